"""Wire: amendments whose number is plainly in the other unit, judged by the code's own figures."""

from __future__ import annotations

from typing import Final

from service.core.measure import OTHER_UNIT, Unit, convert, number_text
from service.core.problems import Problem
from service.core.records.code import Figure
from service.core.records.figures import FigureKind
from service.rules.words import LOAD_UNITS
from service.wire.reading.lengths import Lengths

NEAR: Final = 2.0
"""A number is in the other unit only where, read in that unit, it is within this factor of a value
that the code has for the figure; FAR has to hold too."""
FAR: Final = 8.0
"""A number is in the other unit only where, read in the document's own unit, it is more than this
factor off every value that the code has for the figure; NEAR has to hold too."""
_APART: Final[frozenset[FigureKind]] = frozenset({"length", "line_load", "pressure"})
"""Kinds of figure that are checked: those whose two units differ by a factor of 20 or more, so that
no building has both readings. A pound-force is only 4 newtons, and two codes' loads may be as far
apart."""


def of_other_unit(figure: Figure, sent: object, unit: Unit, pointer: str) -> Problem | None:
    """The problem of an amendment that is near the code's figure only if read in the other unit.

    None for any other number, and for text, which names its unit. figure: as the code has it, in
    `unit`. sent: the amendment as sent. unit: the document's.
    """
    kind = figure.kind
    if kind not in _APART or not isinstance(sent, int | float):
        return None
    values = (figure.value, *(case.value for case in figure.when))
    stated = [one for one in values if isinstance(one, float)]
    number = float(sent)
    if any(_within(number, one, FAR) for one in stated):
        return None
    meant = _from_other(number, kind, unit)
    beside = next((one for one in stated if _within(meant, one, NEAR)), None)
    if beside is None:
        return None
    return Problem(pointer, "amendment_of_other_unit", _message(figure, number, beside, unit))


def _within(number: float, other: float, times: float) -> bool:
    return other / times <= number <= other * times


def _from_other(number: float, kind: FigureKind, unit: Unit) -> float:
    """A number that is in the other unit, converted into `unit`."""
    if kind == "length":
        return convert(number, OTHER_UNIT[unit], unit)
    return Lengths(OTHER_UNIT[unit], unit).load(number, kind)


def _message(figure: Figure, number: float, beside: float, unit: Unit) -> str:
    kind, other = figure.kind, OTHER_UNIT[unit]
    given = number_text(number, 6)
    if kind == "length":
        texts = {"in": f'{given}"', "mm": f"{given} mm"}
        return (
            f"{given} is not taken: the document's unit is {unit}, and the code has {figure.name} "
            f"{number_text(beside, 4)} {unit}. Send it as text that names its unit: "
            f"{texts[other]} or {texts[unit]}."
        )
    return (
        f"{given} {LOAD_UNITS[kind, unit]} is not taken: the code has {figure.name} "
        f"{number_text(beside, 4)} {LOAD_UNITS[kind, unit]}. Convert it, if it is "
        f"{given} {LOAD_UNITS[kind, other]}."
    )
