"""Core: walls and obstructions that take the place of a guard beside a flight (method 9).

Observed here are the gap that they leave (`gap_beside`) and those of unknown height (`see_beside`).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import shapely

from service.core.flights.drafts import Course, FlightDraft
from service.core.measure import TOUCH, Length
from service.core.records.deck import HANDS, Obstruction
from service.core.records.kit import Kit
from service.core.records.seen import StandInSeen

QUARTER_CHORDS: Final = 64
"""Chords that stand for each quarter circle round a wall or an obstruction."""


def see_beside(kit: Kit, flight: FlightDraft) -> Iterator[StandInSeen]:
    """Obstructions of unknown height that take the place of a guard beside a flight.

    One record for each side of the flight, with the length of it that they stand along. Those that
    make no difference, as behind a wall that closes the side alone, are left out.
    """
    course, stair, near = flight.course, flight.stair, kit.post.width + TOUCH
    columns = course.columns(flight.height)
    unknown = [one for one in columns if one.height is None]
    if not unknown:
        return
    sure = _walls(course) + [one.shape for one in columns if one.height is not None]
    for face, sense in _bare_sides(flight):
        line = shapely.LineString([course.side.place(face, u) for u in (0.0, -course.total_going)])
        told = _decisive(kit, course, face, sense, sure, unknown)
        beside = {one.name: one.shape.buffer(near) for one in told}
        length = line.intersection(shapely.union_all(list(beside.values()))).length
        if length > TOUCH:
            yield StandInSeen(stair.id, " and ".join(beside), length, flight.drops, length)


def gap_beside(kit: Kit, flight: FlightDraft) -> Length | None:
    """Diameter, in plan, of the largest disc that gets off the bare sides of a flight.

    A side is bare where a wall or an obstruction takes the place of its guard. The disc gets past
    such a body, or between two of them. None where no side is bare, or where no disc gets off.
    """
    sides = list(_bare_sides(flight))
    if not sides:
        return None
    solids = _walls(flight.course) + [one.shape for one in flight.course.columns(flight.height)]
    found = [_greatest(flight.course, face, sense, solids, kit.post.width) for face, sense in sides]
    widest = max(found)
    return widest if widest > TOUCH else None


def _decisive(
    kit: Kit,
    course: Course,
    face: Length,
    sense: int,
    sure: Sequence[shapely.Geometry],
    unknown: Sequence[Obstruction],
) -> list[Obstruction]:
    """The obstructions of unknown height on which it depends how a side of a flight is closed.

    Without them part of the side is farther from everything solid than a post's width, or a larger
    disc gets off it. face, sense: the side, as from `_bare_sides`. sure: the walls, and the
    obstructions known to be as high as a guard.
    """
    near = kit.post.width + TOUCH
    line = shapely.LineString([course.side.place(face, u) for u in (0.0, -course.total_going)])
    beside = [one for one in unknown if line.dwithin(one.shape, near)]
    closed = [solid.buffer(near) for solid in sure if line.dwithin(solid, near)]
    left = line.difference(shapely.union_all(closed))
    told = [] if left.length <= TOUCH else [one for one in beside if left.dwithin(one.shape, near)]

    def lets_off(among: Sequence[Obstruction]) -> Length:
        solids = [*sure, *(one.shape for one in among)]
        return _greatest(course, face, sense, solids, kit.post.width)

    if len(told) < len(beside) and lets_off(told) > lets_off(beside) + TOUCH:
        return beside
    return told


def _walls(course: Course) -> list[shapely.Geometry]:
    """The walls of a flight's level."""
    return [wall for _, wall in course.level.walls()]


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
