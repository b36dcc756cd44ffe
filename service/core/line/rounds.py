"""Core: which way round an outline goes where its corners alone do not tell (`ways_round`).

They do not tell where the edges cross, or enclose nothing, with the bows drawn straight.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

import shapely

from service.core.measure import TOUCH, Length, Point

PIECES: Final = 64
"""Number of straight pieces that a bow is drawn with here."""


def ways_round(points: Sequence[Point], rises: Mapping[int, Length]) -> list[bool]:
    """The ways, True for counter-clockwise, in which an outline with its bows encloses a deck.

    rises: rise of each bow, outward positive, by the corner that it begins at; which side of it is
    outward depends on the way. Empty where neither way encloses a deck.

    A bow from the right to the left, over the two corners of a notch that stands out past its ends:

    >>> corners = [(0, 0), (2, 0), (2, 6), (4, 6), (4, 0), (6, 0), (6, 4), (0, 4)]
    >>> ways_round(corners, {6: 2.9}), ways_round(corners, {6: -2.9}), ways_round(corners, {})
    ([True], [], [])
    """
    return [way for way in (True, False) if _encloses(points, rises, way)]


def _encloses(points: Sequence[Point], rises: Mapping[int, Length], way: bool) -> bool:
    dense: list[Point] = []
    for i, start in enumerate(points):
        rise = rises.get(i, 0.0)
        dense += _path(start, points[(i + 1) % len(points)], rise if way else -rise)
    shape = shapely.Polygon(dense)
    if not shape.is_valid or shape.exterior.is_ccw != way:
        return False
    return bool(shapely.minimum_clearance(shape) > TOUCH)


def _path(start: Point, end: Point, rise: Length) -> Iterator[Point]:
    """An edge's points, without its last corner.

    rise: of its bow, positive to the right of the edge's direction.
    """
    yield start
    if abs(rise) <= TOUCH:
        return
    x, y = (end[0] - start[0]) / 2, (end[1] - start[1]) / 2
    half = math.hypot(x, y)
    # Half of the bow's central angle. Differences of cosines are written as products of sines, as
    # the cosines of a flat bow all round to 1.
    angle = 2 * math.atan(abs(rise) / half)
    for i in range(1, PIECES):
        turn = angle * (2 * i / PIECES - 1)
        along = math.sin(turn) / math.sin(angle)
        above = math.sin((angle + turn) / 2) * math.sin((angle - turn) / 2)
        out = rise / half * above / math.sin(angle / 2) ** 2
        yield (start[0] + x * (1 + along) + y * out, start[1] + y * (1 + along) - x * out)
