"""Drawings: how sheets write what a reply holds: parts, places, numbers, end cuts."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Final, TypeAlias

from service.core.measure import (
    PRECISIONS,
    TOUCH,
    Length,
    floor_to_mark,
    nearest_mark,
    number_text,
    tape_text,
)
from service.core.order.roles import ROLES
from service.drawings.parts import Json

Parts: TypeAlias = dict[str, list[Json]]
"""Rows of the reply's list of parts, by role."""

SOURCES: Final = {"engineering": "engineering", "survey": "the survey"}
"""The words for the source of a finding that cites only the kit's id but is not the kit's.

The counter page uses the same words.
"""
NONE_SO_HIGH: Final = "none stocked so high"
"""What is said of posts that are higher than any the kit stocks."""
SQUARE: Final = 90.0
LEANING: Final = {"same_way": "leaning the same way", "opposite_ways": "leaning opposite ways"}
"""Which way the ends of a block lean."""
_NUMBERED: Final = re.compile(r"([A-Z])([1-9][0-9]*)")
"""An id that the service gives; one that a caller gives is a name of its own, or holds a slash."""
FINEST: Final = min(PRECISIONS["in"])
"""In inches, the finest mark of a tape."""
_STEPS: Final = 64
"""Steps to an inch: the finest mark of a tape."""


def plain(value: float | None) -> str:
    """A number without an exponent; empty where there is none.

    >>> plain(55.875), plain(81), plain(None)
    ('55.875', '81', '')
    """
    return "" if value is None else number_text(value, 6)


def cited(finding: Json, reply: Json) -> str:
    """What a finding goes by: its clause, or its source in words where it cites only the kit's id.

    >>> cited({"cite": "IRC 2021 R312.1.1"}, {"kit": {"id": "square"}})
    'IRC 2021 R312.1.1'
    >>> own = {"cite": "square", "source": "kit"}
    >>> cited(own, {"kit": {"id": "square"}}), cited({}, {"kit": {"id": "square"}})
    ('the kit', '')
    >>> cited({**own, "source": "engineering"}, {"kit": {"id": "square"}})
    'engineering'
    """
    cite = str(finding.get("cite", ""))
    if cite != reply["kit"]["id"]:
        return cite
    return SOURCES.get(finding["source"], "the kit")


def follows(one: str, other: str) -> bool:
    """Whether the second id is numbered next after the first.

    >>> follows("B9", "B10"), follows("B1", "P2"), follows("deck1", "deck2")
    (True, False, False)
    """
    first, second = _NUMBERED.fullmatch(one), _NUMBERED.fullmatch(other)
    if first is None or second is None or first[1] != second[1]:
        return False
    return int(second[2]) == int(first[2]) + 1


def together(ids: Iterable[str], follows: Callable[[str, str], bool] = follows) -> str:
    """Ids in their order, three or more that follow on each other drawn together.

    follows: whether the second of two ids follows on the first.

    >>> together(["B1", "B2", "B3", "B4", "B7"]), together(["B1", "B2", "B4"])
    ('B1-B4, B7', 'B1, B2, B4')
    >>> together(["B9", "B10", "B11", "main/gate", "P12"]), together([])
    ('B9-B11, main/gate, P12', '')
    """
    runs: list[list[str]] = []
    for each in ids:
        if runs and follows(runs[-1][-1], each):
            runs[-1].append(each)
        else:
            runs.append([each])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs)


def called(ids: Iterable[str]) -> str:
    """Bays and posts by their ids, drawn together; a gate by its opening, as on its elevation.

    >>> called(["B1", "B2", "B3", "main/gate"])
    'B1-B3, gate main/gate'
    """
    return together(f"gate {each}" if "/" in each else each for each in ids)


def side_of(hand: str, flight: str) -> str:
    """A side of a flight by the name that its elevation has.

    >>> side_of("left", "front")
    'left side of flight front'
    """
    return f"{hand} side of flight {flight}"


def by_role(reply: Json) -> Parts:
    """Rows of the reply's list of parts, by role."""
    found: Parts = {}
    for row in reply["parts"]:
        found.setdefault(row["role"], []).append(row)
    return found


def named(parts: Parts, role: str) -> str:
    """What a part is called: the yard's description in the parts list, else words for its role."""
    return str(parts[role][0]["description"]) if role in parts else ROLES[role].words


def numbered(parts: Parts, role: str, size: Length | None = None) -> str:
    """The yard's stock number for a role; empty where it has none, or not the same for every size.

    size: the length or height of the part, where only rows of that size count.
    """
    rows = [row for row in parts.get(role, ()) if "number" in row]
    if size is not None:
        rows = [row for row in rows if size in (row.get("length"), row.get("height"))]
    found = {str(row["number"]) for row in rows}
    return found.pop() if len(found) == 1 else ""


def reading(reply: Json, value: Length) -> str:
    """The tape reading of the nearest mark, for a number that the reply has no reading for."""
    return tape_text(value, reply["unit"], reply["precision"])


def exact(reply: Json, value: Length) -> str:
    """A length of the kit's own, written exactly, as it need not lie on a mark.

    >>> exact({"unit": "in"}, 0.125), exact({"unit": "mm"}, 3.2)
    ('1/8"', '3.2 mm')
    """
    return f'{inches(value)}"' if reply["unit"] == "in" else f"{plain(value)} mm"


def measured_text(reply: Json, clear: Length) -> str:
    """A measured length as it was sent: its tape reading where it is on a tape's marks, else exact.

    >>> measured_text({"unit": "in"}, 7.96875), measured_text({"unit": "in"}, 55.3)
    ('7 31/32"', '55.3"')
    """
    on_mark = abs(clear - nearest_mark(clear, FINEST)) <= TOUCH
    if reply["unit"] == "in" and on_mark:
        return tape_text(clear, "in", FINEST)
    return exact(reply, clear)


def left_over(reply: Json, value: Length) -> str:
    """The tape reading of what is left over, rounded down to a mark."""
    return reading(reply, floor_to_mark(value, reply["precision"]))


def ends(record: Json) -> str:
    """The end cuts of a piece, in words.

    Each is the angle in degrees between the end and the length, with what a saw is set to in
    brackets: the angle off square. Of a block with no square end it is said which way they lean.

    >>> ends({"end_cuts": [90, 90]}), ends({"end_cuts": [90, 45]})
    ('square', 'square; 45° (saw 45°)')
    >>> ends({"end_cuts": [57.9946, 57.9946]}), ends({"end_cuts": [90, 90.04]})
    ('both 58° (saw 32°)', 'square')
    >>> ends({"end_cuts": [90, 90.06]})
    'square; 90.1° (saw 0.1°)'
    >>> ends({"end_cuts": [45, 45], "ends_lean": "opposite_ways"})
    'both 45° (saw 45°), leaning opposite ways'
    >>> ends({"end_cuts": [40, 45], "ends_lean": "same_way"})
    '40° (saw 50°); 45° (saw 45°), leaning the same way'
    """
    one, other = (_end(angle) for angle in record["end_cuts"])
    square = _end(SQUARE)
    if one == other == square:
        return square
    told = f"both {one}" if one == other else f"{one}; {other}"
    leans = "ends_lean" in record and square not in (one, other)
    return f"{told}, {LEANING[record['ends_lean']]}" if leans else told


def _end(angle: float) -> str:
    """One end cut, to the tenth of a degree that a saw is set to; "square" where that is none."""
    off = number_text(abs(SQUARE - angle), 1)
    return "square" if off == "0" else f"{number_text(angle, 1)}° (saw {off}°)"


def pieces(lengths: Iterable[str]) -> str:
    """Readings of pieces in their order, equal ones counted, with no line break within one.

    >>> pieces(["901 mm", "901 mm", "310 mm"]) == "2\\xa0×\\xa0901\\xa0mm, 1\\xa0×\\xa0310\\xa0mm"
    True
    """
    counted = (f"{many} × {each}" for each, many in Counter(lengths).items())
    return ", ".join(each.replace(" ", "\xa0") for each in counted)


def inches(value: Length) -> str:
    """Inches with a fraction and no feet, as a glass shop reads them; decimals off a tape's marks.

    >>> inches(50.1875), inches(36.0), inches(0.375), inches(-16.5), inches(0.3937)
    ('50 3/16', '36', '3/8', '-16 1/2', '0.3937')
    """
    parts = Fraction(abs(value)).limit_denominator(_STEPS * _STEPS)
    if _STEPS % parts.denominator:
        return plain(value)
    whole, rest = divmod(parts, 1)
    words = " ".join(str(each) for each in (whole, rest) if each) or "0"
    return f"-{words}" if value < 0 else words
