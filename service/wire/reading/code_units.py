"""Wire: amendments of which the number is one of the other unit, by what the code has there."""

from __future__ import annotations

from typing import Final

from service.core.measure import OTHER_UNIT, Unit, convert, number_text
from service.core.problems import Problem
from service.core.records.code import Figure
from service.core.records.figures import FIGURES, FigureKind
from service.rules.words import LOAD_UNITS
from service.wire.reading.lengths import Lengths

NEAR: Final = 2.0
"""A number is one of the other unit where, read so, it is no more than this many times more or less
than what the code has"""
FAR: Final = 8.0
"""and, read in the document's own unit, it is more than this many times more or less than all that
the code has."""
_APART: Final[frozenset[FigureKind]] = frozenset({"length", "line_load", "pressure"})
"""Kinds of which the two units are so far apart that no building has both: 25 times and more. A
pound is 4 newtons, as two codes' loads may be."""


def of_other_unit(figure: Figure, sent: object, unit: Unit, pointer: str) -> Problem | None:
    """An amended figure of a document in `unit` that would be near the code's own in the other
    unit alone; None of any other, and of text, which names its unit.

    figure: as the code has it, in `unit`; sent: as it was sent.
    """
    kind = FIGURES[figure.name].kind
    if kind not in _APART or isinstance(sent, str) or not isinstance(sent, int | float):
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
    """A number of the other unit, in this one."""
    if kind == "length":
        return convert(number, OTHER_UNIT[unit], unit)
    return Lengths(OTHER_UNIT[unit], unit).load(number, kind)


def _message(figure: Figure, number: float, beside: float, unit: Unit) -> str:
    kind, other = FIGURES[figure.name].kind, OTHER_UNIT[unit]
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
