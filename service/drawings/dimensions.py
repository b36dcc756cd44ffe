"""Drawings: dimension lines, with text as a tape reads."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from service.core.measure import Degrees, Length, Point, toward
from service.drawings.marks import SMALL, Anchor, Mark, Stroke, Words, line, width_of
from service.drawings.points import moved
from service.drawings.scales import Scale

TICK: Final = 1.2
"""Half the length of the slash at each end, in mm on paper, along the line and across it."""
OVER: Final = 0.6
"""From a dimension's line to its text, in mm."""
PAST: Final = 1.5
"""In mm, how far extension lines run past a dimension's line.

They begin as far off what is measured.
"""

LEAN: Final = 10.0
"""Degrees past upright, to the left, up to which text reads from the right (common practice, no
source)."""


def dimension(start: Point, end: Point, text: str, off: float, scale: Scale) -> Iterator[Mark]:
    """The distance between two points, drawn as a dimension.

    off: mm on paper from the points to the dimension's line, to the right of the way from start to
    end (below 0: to the left). Text too wide to stand between the ends is turned square to the line
    and stands beyond it. No marks where the points coincide.
    """
    size = math.dist(start, end)
    if not size:
        return
    ux, uy = toward(start, end)
    side = math.copysign(1.0, off)

    def at(point: Point, along: float, away: float) -> Point:
        """A point moved by mm on paper: along the way, and away from what is measured."""
        return moved(point, (ux, uy), scale.of_paper(along), scale.of_paper(away) * side)

    away = abs(off)
    for point in (start, end):
        yield line("dimension", at(point, 0.0, PAST), at(point, 0.0, away + PAST))
        yield slash(at(point, 0.0, away), (ux, uy), (side * uy, -side * ux), scale.of_paper(TICK))
    yield line("dimension", at(start, 0.0, away), at(end, 0.0, away))
    middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    angle = math.degrees(math.atan2(uy, ux))
    if width_of(text, SMALL) <= size * scale.per_unit - 2 * TICK:
        turn = upright(angle)
        rise = -side * math.cos(math.radians(angle - turn)) * OVER
        yield Words("dimension", at(middle, 0.0, away + rise), text, SMALL, turn=turn)
    else:
        out = angle - 90.0 * side
        turn = upright(out)
        onward = math.cos(math.radians(out - turn)) > 0
        sink = SMALL / 2 * side * (1.0 if onward else -1.0)
        place = at(middle, -sink, away + PAST)
        anchor: Anchor = "start" if onward else "end"
        yield Words("dimension", place, text, SMALL, anchor, turn)


def slash(at: Point, along: Point, away: Point, half: Length) -> Stroke:
    """The slash across an end of a dimension's line, at 45 degrees.

    along, away: unit vectors along the line and away from what is measured; half: how far the slash
    reaches along each of them to either side.

    >>> slash((5.0, 0.0), (1.0, 0.0), (0.0, 1.0), 2.0).points
    ((3.0, -2.0), (7.0, 2.0))
    """
    (x, y), a, b = at, (along[0] + away[0]) * half, (along[1] + away[1]) * half
    return line("dimension", (x - a, y - b), (x + a, y + b))


def upright(angle: Degrees) -> Degrees:
    """The turn of text along a line so that it reads from below or from the right (ISO 129).

    Text also reads from the right along a line that leans a little to the left, so that two
    opposite sides of a deck are not read from opposite sides because one of them is a degree off
    square.

    >>> upright(180.0), upright(90.0), upright(-90.0), upright(-30.0)
    (0.0, 90.0, 90.0, -30.0)
    >>> upright(91.5), upright(-88.5), upright(100.5)
    (91.5, 91.5, -79.5)
    """
    turn = math.fmod(angle, 180.0)
    if turn > 90.0 + LEAN:
        turn -= 180.0
    if turn <= LEAN - 90.0:
        turn += 180.0
    return turn + 0.0
