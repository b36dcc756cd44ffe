"""Core: walls and obstructions that take the place of a guard beside a flight (method 9).

Observed here are the gap that they leave (`gap_beside`) and those of unknown height (`see_beside`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import shapely

from service.core.flights.drafts import Course, FlightDraft
from service.core.measure import TOUCH, Length
from service.core.records.deck import HANDS
from service.core.records.kit import Kit
from service.core.records.seen import StandInSeen

QUARTER_CHORDS: Final = 64
"""Chords that stand for each quarter circle round a wall or an obstruction."""


def see_beside(kit: Kit, flight: FlightDraft) -> Iterator[StandInSeen]:
    """Obstructions of unknown height that take the place of a guard beside a flight.

    One record for each side of the flight, with the length of it that they stand along.
    """
    course, stair, near = flight.course, flight.stair, kit.post.width + TOUCH
    obstructions = [one for one in course.columns(flight.height) if one.height is None]
    if not obstructions:
        return
    for face, _ in _bare_sides(flight):
        line = shapely.LineString([course.side.place(face, u) for u in (0.0, -course.total_going)])
        beside = {
            one.name: one.shape.buffer(near)
            for one in obstructions
            if line.dwithin(one.shape, near)
        }
        length = line.intersection(shapely.union_all(list(beside.values()))).length
        if length > TOUCH:
            yield StandInSeen(stair.id, " and ".join(beside), length, flight.drops, length)


def gap_beside(kit: Kit, flight: FlightDraft) -> Length | None:
    """Diameter, in plan, of the largest disc that gets off the bare sides of a flight.

    A side is bare where a wall or an obstruction takes the place of its guard. The disc gets past
    such a body, or between two of them. None where no side is bare, or where no disc gets off.
    """
    sides, level = list(_bare_sides(flight)), flight.course.level
    if not sides:
        return None
    walls: list[shapely.Geometry] = [wall for _, wall in level.walls()]
    solids = walls + [one.shape for one in flight.course.columns(flight.height)]
    found = [_greatest(flight.course, face, sense, solids, kit.post.width) for face, sense in sides]
    widest = max(found)
    return widest if widest > TOUCH else None


def _bare_sides(flight: FlightDraft) -> Iterator[tuple[Length, int]]:
    """The sides of a flight on which a wall or an obstruction takes the place of a guard.

    Each is given by its place along the deck's edge, and by the direction along that edge that
    leads off the flight (-1 or 1). A flight of one riser has none.
    """
    course, stair = flight.course, flight.stair
    for hand, face, sense in zip(HANDS, course.opening.faces, (-1, 1), strict=True):
        if course.total_going and hand in flight.walled and hand not in stair.guards:
            yield face, sense


def _greatest(
    course: Course,
    face: Length,
    sense: int,
    solids: Sequence[shapely.Geometry],
    most: Length,
) -> Length:
    """Diameter, in plan, of the largest disc that gets off a side of a flight; 0 where none does.

    The disc starts with its centre on the side and ends entirely off the flight, between the deck's
    edge and the lowest nosing. face, sense: the side, as from `_bare_sides`. most: an upper bound
    of the radius, as every point of the side is this near to something solid.
    """
    side, total = course.side, course.total_going
    line = shapely.LineString([side.place(face, u) for u in (0.0, -total)])
    beside = shapely.GeometryCollection([one for one in solids if line.dwithin(one, 2 * most)])

    def gets_off(half: Length) -> bool:
        if half >= total:
            return False
        over, off = (
            shapely.LineString([side.place(face + sense * out, u) for u in (-half, -total)])
            for out in (0.0, half)
        )
        free = shapely.union(over, off).convex_hull.difference(
            beside.buffer(half, quad_segs=QUARTER_CHORDS)
        )
        parts = shapely.get_parts(free)
        return any(part.dwithin(over, TOUCH) and part.dwithin(off, TOUCH) for part in parts)

    if line.difference(beside.buffer(TOUCH)).length <= TOUCH:
        return 0.0
    low, high = 0.0, most + TOUCH
    while high - low > TOUCH / 4:
        half = (low + high) / 2
        low, high = (half, high) if gets_off(half) else (low, half)
    return 2 * low
