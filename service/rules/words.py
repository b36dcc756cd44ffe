"""Rules: the words that messages share. Lengths read as on a tape where they are on its marks."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Final

from service.core.measure import (
    DECIMALS,
    OTHER_UNIT,
    TOUCH,
    Length,
    Unit,
    convert,
    decimals_apart,
    nearest_mark,
    number_text,
    tape_text,
)
from service.core.records.code import Figure
from service.core.records.figures import FigureKind
from service.core.records.kit import Pane

LOAD_UNITS: Final[dict[tuple[FigureKind, Unit], str]] = {
    ("force", "in"): "lbf",
    ("force", "mm"): "N",
    ("line_load", "in"): "lbf/ft",
    ("line_load", "mm"): "kN/m",
    ("pressure", "in"): "psf",
    ("pressure", "mm"): "kPa",
}
"""The unit of each kind of load, by the document's unit."""
FINEST: Final = 1 / 64
"""Inches between the finest marks of a tape."""
GLASS_STEP: Final = 1 / 32
"""Glass that is made by the inch is a whole multiple of this thick, in inches."""
PUBLISHED_STEPS: Final[dict[Unit, Length]] = {"in": 1 / 8, "mm": 1.0}
"""By unit: a published length that is a whole multiple of this is a round figure."""
_ALIKE: Final = 0.001
"""Lengths further apart than this do not read alike."""
MOST_NAMED: Final = 16
"""The most places and stretches of places that a message names; `where` always has all."""

_NUMBERED = re.compile(r"(.*/(?:edge|corner) |[BPR])(0|[1-9][0-9]{0,8})")


def length_text(value: Length, unit: Unit, step: Length, beside: Length | None = None) -> str:
    """A length as a tape reads it; in decimals where it is off the marks.

    In inches the marks are the finest that tapes have, whatever the step. A length so near a mark
    that its decimals would read like it, as those along a turned edge are, is told as that mark, so
    that lengths are written in one way. beside: the limit that
    the length is compared with; a value that would read like it gets two more decimals.

    >>> length_text(3.75, "in", 0.0625), length_text(4.3125, "in", 0.0625)
    ('3 3/4"', '4 5/16"')
    >>> length_text(51 / 13, "in", 0.0625), length_text(101.6, "mm", 1.0)
    ('3.9231"', '101.6 mm')
    >>> length_text(3.59375, "in", 0.0625)
    '3 19/32"'
    >>> length_text(4.00002, "in", 0.0625, beside=4.0)
    '4.00002"'
    >>> length_text(14.625003, "in", 0.0625), length_text(14.625003, "in", 0.0625, beside=14.625)
    ('1\\' 2 5/8"', '14.625003"')
    """
    marks = min(step, FINEST) if unit == "in" else step
    mark = nearest_mark(value, marks)
    off, decimals = abs(mark - value), DECIMALS[unit]
    if off <= TOUCH:
        return tape_text(value, unit, marks)
    if beside is not None:
        decimals = decimals_apart(value, beside, decimals)
    if off < _ALIKE and round(value, decimals) == round(mark, decimals):
        return tape_text(value, unit, marks)
    return number_text(value, decimals) + ('"' if unit == "in" else " mm")


def printed_text(value: Length, unit: Unit, step: Length, beside: Length | None = None) -> str:
    """A published length; also in the other unit, where it is a round figure only in that.

    beside: what it is compared with; as in `length_text`, neither reads like the other.

    >>> printed_text(1000 / 25.4, "in", 0.0625), printed_text(101.6, "mm", 1.0)
    ('39.3701" (1000 mm)', '101.6 mm (4")')
    >>> printed_text(36.0, "in", 0.0625), printed_text(50 / 13, "in", 0.0625)
    ("3'", '3.8462"')
    >>> printed_text(865 / 25.4, "in", 0.0625, beside=34.0551)
    '34.055118" (865 mm)'
    """
    text = length_text(value, unit, step, beside)
    other = OTHER_UNIT[unit]
    theirs, marks = convert(value, unit, other), PUBLISHED_STEPS[other]
    if _is_on(value, PUBLISHED_STEPS[unit]) or not _is_on(theirs, marks):
        return text
    return f"{text} ({tape_text(theirs, other, marks)})"


def _is_on(value: Length, step: Length) -> bool:
    return abs(nearest_mark(value, step) - value) <= TOUCH


def nearest_text(value: Length, unit: Unit, step: Length, beside: Length | None = None) -> str:
    """A length to the nearest mark, as the lists print it and a tape is laid to.

    beside: a limit that the length breaks; a value that would read like it is told as in
    `length_text`.

    >>> nearest_text(36.3902, "in", 0.0625), nearest_text(970.9735, "mm", 1.0)
    ('3\\' 0 3/8"', '971 mm')
    >>> nearest_text(48.02, "in", 0.0625, beside=48.0)
    '48.02"'
    """
    mark = nearest_mark(value, step)
    if beside is not None and abs(mark - nearest_mark(beside, step)) <= TOUCH:
        return length_text(value, unit, step, beside)
    return tape_text(mark, unit, step)


def load_text(value: float, kind: FigureKind, unit: Unit) -> str:
    """A load with its unit, or a plain number where the kind has no unit.

    >>> load_text(200.0, "force", "in"), load_text(0.74, "line_load", "mm")
    ('200 lbf', '0.74 kN/m')
    >>> load_text(4.0, "number", "mm")
    '4'
    """
    return f"{number_text(value, 3)} {LOAD_UNITS.get((kind, unit), '')}".strip()


def count_text(count: int, what: str) -> str:
    """A count of things, with their noun in the singular or the plural.

    >>> count_text(1, "riser"), count_text(7, "riser")
    ('1 riser', '7 risers')
    """
    return f"{count} {what}{'' if count == 1 else 's'}"


def list_text(names: Sequence[str]) -> str:
    """Names as a person lists them.

    >>> list_text(["P4"]), list_text(["P4", "P5", "front"])
    ('P4', 'P4, P5 and front')
    """
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def places_text(places: Sequence[tuple[str, ...]]) -> str:
    """Places as a person lists them, with three or more consecutive numbers drawn together.

    The two ids of a pair (of posts) are joined by "and".

    >>> places_text([("B1",), ("B2",), ("B3",), ("B4",), ("B7",)])
    'B1 to B4, B7'
    >>> places_text([("main/edge 0",), ("main/edge 1",), ("main/edge 2",), ("main/steps",)])
    'main/edge 0 to 2, main/steps'
    >>> places_text([("P1", "P2"), ("P5", "P6")])
    'P1 and P2, P5 and P6'
    >>> apart = [(f"P{2 * k}",) for k in range(18)]
    >>> places_text(apart[:16])[-8:], places_text(apart)[-14:]
    ('P28, P30', 'P30 and 2 more')
    """
    named: list[str] = []
    for stretch in _stretches(places):
        if len(stretch) < 3:
            named.extend(" and ".join(place) for place in stretch)
            continue
        first, last = stretch[0][0], stretch[-1][0]
        named.append(f"{first} to {last.rsplit(' ', 1)[-1] if '/' in last else last}")
    more = f" and {len(named) - MOST_NAMED} more" if len(named) > MOST_NAMED else ""
    return ", ".join(named[:MOST_NAMED]) + more


def _stretches(places: Iterable[tuple[str, ...]]) -> list[list[tuple[str, ...]]]:
    """Places in order, in groups whose numbers count up by one."""
    stretches: list[list[tuple[str, ...]]] = []
    due: tuple[str, int] | None = None
    for place in places:
        here = _numbered(place[0]) if len(place) == 1 else None
        if here is not None and here == due:
            stretches[-1].append(place)
        else:
            stretches.append([place])
        due = (here[0], here[1] + 1) if here else None
    return stretches


@lru_cache(maxsize=4096)
def _numbered(name: str) -> tuple[str, int] | None:
    """The name of a numbered place without its number, and the number; None where it has none.

    Cached, as most decks have the same few names.
    """
    found = _NUMBERED.fullmatch(name)
    return (found[1], int(found[2])) if found else None


def clause_text(figure: Figure, published: str | None) -> str:
    """The clause in brackets: where the figure stands, and whether it is the local authority's.

    published: what the code prints for an amended figure, in words; None where it prints none.

    >>> clause_text(Figure(36.0, "at_least", "Code 1.2", "memory"), None)
    '(Code 1.2, from memory)'
    >>> clause_text(Figure(42.0, "at_least", "Code 1.2", "seen", amended=True), "3'")
    "(the local authority's figure; the code prints 3', Code 1.2)"
    """
    cite = figure.cite + (", from memory" if figure.basis == "memory" else "")
    if not figure.amended:
        return f"({cite})"
    prints = f"; the code prints {published}, {cite}" if published is not None else f"; {cite}"
    return f"(the local authority's figure{prints})"


def shop_text(pane: Pane, unit: Unit) -> str:
    """A nominal thickness as a glass shop calls it, whatever unit the kit is written in.

    Glass made by the inch goes by inches, in a document of millimetres by its millimetre name with
    the inches after it; other glass by millimetres. unit: that of `pane.nominal`, the document's.

    >>> quarter, ten = Pane(0.25, 6.0, 0.219, "tempered"), Pane(10 / 25.4, 10.0, 0.355, "tempered")
    >>> shop_text(quarter, "in"), shop_text(ten, "in")
    ('1/4"', '10 mm')
    >>> quarter, thick = Pane(6.35, 6.0, 5.56, "tempered"), Pane(13.52, 13.0, 12.9, "laminated")
    >>> shop_text(quarter, "mm"), shop_text(thick, "mm")
    ('6 mm (1/4")', '13.52 mm')
    """
    inches = convert(pane.nominal, unit, "in")
    if abs(inches - nearest_mark(inches, GLASS_STEP)) > TOUCH:
        return f"{number_text(convert(pane.nominal, unit, 'mm'), 3)} mm"
    told = tape_text(inches, "in", GLASS_STEP)
    return told if unit == "in" else f"{number_text(pane.nominal_mm, 3)} mm ({told})"
