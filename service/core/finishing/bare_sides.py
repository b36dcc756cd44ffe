"""Core: walls and obstructions that take the place of a guard beside a flight (method 9).

Observed here are the gap that they leave (`gap_beside`) and those of unknown height (`see_beside`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

import shapely

from service.core.flights.drafts import Course, FlightDraft
from service.core.measure import TOUCH, Length
from service.core.records.deck import HANDS, Obstruction
from service.core.records.kit import Kit
from service.core.records.seen import StandInSeen

QUARTER_CHORDS: Final = 64
"""Chords that stand for each quarter circle round a wall or an obstruction."""


class _BareSide(NamedTuple):
    """A side of a flight on which a wall or an obstruction takes the place of a guard.

    face: its place along the deck's edge. sense: the direction along that edge that leads off the
    flight (-1 or 1).
    """

    course: Course
    face: Length
    sense: int

    def line(self, out: Length = 0.0, start: Length = 0.0) -> shapely.LineString:
        """The side in plan, from `start` to the lowest nosing, moved `out` off the flight."""
        t, total = self.face + self.sense * out, self.course.total_going
        return shapely.LineString([self.course.side.place(t, -u) for u in (start, total)])

    def greatest(self, solids: Sequence[shapely.Geometry], most: Length) -> Length:
        """Diameter, in plan, of the largest disc that gets off the side; 0 where none does.

        The disc starts with its centre on the side and ends entirely off the flight, between the
        deck's edge and the lowest nosing. most: an upper bound of the radius, as every point of the
        side is this near to something solid.
        """
        line = self.line()
        beside = shapely.GeometryCollection([one for one in solids if line.dwithin(one, 2 * most)])

        def gets_off(half: Length) -> bool:
            if half >= self.course.total_going:
                return False
            over, off = self.line(0.0, half), self.line(half, half)
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


def see_beside(kit: Kit, flight: FlightDraft) -> Iterator[StandInSeen]:
    """Obstructions of unknown height that take the place of a guard beside a flight.

    For each side of the flight, those without which it is not closed have one record, and the
    others beside it have another, each with the length of the side that they stand along. What is
    open without the others may be as much as with them, as behind a wall that closes the side.
    """
    columns = flight.course.columns(flight.height)
    unknown = [one for one in columns if one.height is None]
    if not unknown:
        return
    known = [one.shape for one in columns if one.height is not None]
    for side in _bare_sides(flight):
        yield from _unknown_beside(kit, flight, side, _walls(flight) + known, unknown)


def gap_beside(kit: Kit, flight: FlightDraft) -> Length | None:
    """Diameter, in plan, of the largest disc that gets off the bare sides of a flight.

    A side is bare where a wall or an obstruction takes the place of its guard. The disc gets past
    such a body, or between two of them. None where no side is bare, or where no disc gets off.
    """
    sides = list(_bare_sides(flight))
    if not sides:
        return None
    solids = _walls(flight) + [one.shape for one in flight.course.columns(flight.height)]
    widest = max(side.greatest(solids, kit.post.width) for side in sides)
    return widest if widest > TOUCH else None


def _unknown_beside(
    kit: Kit,
    flight: FlightDraft,
    side: _BareSide,
    sure: Sequence[shapely.Geometry],
    unknown: Sequence[Obstruction],
) -> Iterator[StandInSeen]:
    """The obstructions of unknown height on which it depends how a side of a flight is closed.

    Without the first part of the side is farther from everything solid than a post's width. Without
    the second a larger disc may get off it. sure: the walls, and the obstructions known to be as
    high as a guard.
    """
    line, near = side.line(), kit.post.width + TOUCH
    beside = [one for one in unknown if line.dwithin(one.shape, near)]
    closed = [solid.buffer(near) for solid in sure if line.dwithin(solid, near)]
    left = line.difference(shapely.union_all(closed))
    bare = left.length > TOUCH
    closing = [one for one in beside if bare and left.dwithin(one.shape, near)]
    narrowing = [one for one in beside if one not in closing]

    def lets_off(among: Sequence[Obstruction]) -> Length:
        return side.greatest([*sure, *(one.shape for one in among)], kit.post.width)

    def seen(those: Sequence[Obstruction], without: Length, stands: Length) -> StandInSeen:
        shapes = [one.shape.buffer(near) for one in those]
        length = line.intersection(shapely.union_all(shapes)).length
        name = " and ".join(dict.fromkeys(one.name for one in those))
        place, drops = flight.stair.id, flight.drops
        return StandInSeen(place, name, length, drops, without, beside=stands)

    if closing:
        yield seen(closing, math.inf, 0.0)
    if narrowing:
        yield seen(narrowing, lets_off(closing), lets_off(beside))


def _walls(flight: FlightDraft) -> list[shapely.Geometry]:
    """The walls of a flight's level."""
    return [wall for _, wall in flight.course.level.walls()]


def _bare_sides(flight: FlightDraft) -> Iterator[_BareSide]:
    """The bare sides of a flight; one of one riser has none."""
    course, stair = flight.course, flight.stair
    for hand, face, sense in zip(HANDS, course.opening.faces, (-1, 1), strict=True):
        if course.total_going and hand in flight.walled and hand not in stair.guards:
            yield _BareSide(course, face, sense)
