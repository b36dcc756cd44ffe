"""Core: what stands in a railing's place: obstructions where its line is cut (method 1), and what
goes down along the bare sides of flights (method 9), how far off it is."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.flights.drafts import Course, FlightDraft
from service.core.levels.railing import LineDraft
from service.core.line.obstructions import interruptions_of
from service.core.measure import TOUCH, FromTo, Length, Point
from service.core.records.deck import HANDS
from service.core.records.kit import Kit
from service.core.records.seen import StandInSeen

QUARTER_CHORDS: Final = 64
"""Chords that stand for a quarter circle round what goes down along a flight."""


def see_stand_ins(kit: Kit, about: Adjoining) -> Iterator[StandInSeen]:
    """Along each guarded edge, what the railing ends at on both sides, or on one at a corner."""
    draft = about.draft
    for line in draft.lines:
        side = line.side
        for cut in interruptions_of(kit, side, draft.level.obstructions):
            first, last = max(cut.first, 0.0), min(cut.last, side.length)
            if last > first + TOUCH:
                number = side.edge_over(first).number
                drops = draft.drops_between(side, first, last)
                place = f"{draft.level.id}/edge {number}"
                length = side.on_edge(last - first)
                without = _open_without(kit, about, line, (first, last))
                yield StandInSeen(place, cut.name, length, drops, without)


def _open_without(kit: Kit, about: Adjoining, line: LineDraft, cut: FromTo) -> Length:
    """What would be open along a line without what cuts it, in plan."""
    before, after = (
        _goes_on(kit, about, line, t, way) for t, way in zip(cut, (-1, 1), strict=True)
    )
    return math.inf if before is None or after is None else math.dist(before, after)


def _goes_on(kit: Kit, about: Adjoining, line: LineDraft, t: Length, way: int) -> Point | None:
    """Where a railing goes on, or an opening begins, from a place on, toward the line's start (-1)
    or its end (1): round the corner where the next edge has a guard, else at the corner itself;
    None where no railing is left of the next."""
    side, setback = line.side, kit.post.setback
    near = _next_on(kit, line, t, way)
    if near is not None:
        return side.place(near, setback)
    beyond = about.next_edge(side.edge_at(way > 0).number, way)
    if beyond.condition != "guard":
        return side.place(side.length if way > 0 else 0.0, setback)
    for other in about.draft.lines:
        if beyond in other.side.edges:
            near = _next_on(kit, other, -way * math.inf, way)
            return None if near is None else other.side.place(near, setback)
    return None


def _next_on(kit: Kit, line: LineDraft, t: Length, way: int) -> Length | None:
    """How far along a line the next of its posts, rails and openings is reached."""
    found = [drawn.faces[0 if way > 0 else 1] for drawn in line.openings]
    for run in line.runs:
        for terminal in (run.stretch.start, run.stretch.end):
            if run.bays or terminal.post is not None:
                half = 0.0 if terminal.post is None else kit.post.width / 2
                found.append(terminal.t - way * half)
    ahead = [each for each in found if way * (each - t) >= -TOUCH]
    return min(ahead, key=lambda each: way * each, default=None)


def see_beside(kit: Kit, flight: FlightDraft) -> Iterator[StandInSeen]:
    """Along each side of a flight that has no guard, as something goes down along it."""
    stair, near = flight.stair, kit.post.width + TOUCH
    obstructions = flight.course.level.level.obstructions
    if not obstructions:
        return
    course = flight.course
    for face, _ in _bare_sides(flight):
        line = shapely.LineString([course.side.place(face, u) for u in (0.0, -course.run)])
        beside = {
            one.name: one.shape.buffer(near)
            for one in obstructions
            if line.dwithin(one.shape, near)
        }
        length = line.intersection(shapely.union_all(list(beside.values()))).length
        if length > TOUCH:
            yield StandInSeen(stair.id, " and ".join(beside), length, flight.drops, length)


def gap_beside(kit: Kit, flight: FlightDraft) -> Length | None:
    """The diameter, in plan, of the greatest disc that gets off a flight's bare sides past what
    goes down along them, or between two such things; None where no side is bare, or none gets off.
    """
    sides, level = list(_bare_sides(flight)), flight.course.level
    if not sides:
        return None
    walls: list[shapely.Geometry] = [wall for _, wall in level.walls()]
    solids = walls + [one.shape for one in level.level.obstructions]
    found = [_greatest(flight.course, face, way, solids, kit.post.width) for face, way in sides]
    widest = max(found)
    return widest if widest > TOUCH else None


def _bare_sides(flight: FlightDraft) -> Iterator[tuple[Length, int]]:
    """The sides that have no guard, as something goes down along them: where each lies along the
    deck's edge, and which way off the flight is. None of a flight of one riser."""
    course, stair = flight.course, flight.stair
    for hand, face, way in zip(HANDS, course.opening.faces, (-1, 1), strict=True):
        if course.run and hand in flight.walled and hand not in stair.guards:
            yield face, way


def _greatest(
    course: Course,
    face: Length,
    way: int,
    solids: Sequence[shapely.Geometry],
    most: Length,
) -> Length:
    """The greatest diameter of a disc that gets off a side of a flight, from its centre over the
    side to all of it off it, between the deck's edge and the lowest nosing. most: half of it at the
    most, as all of the side is so near to something solid."""
    side, run = course.side, course.run
    line = shapely.LineString([side.place(face, u) for u in (0.0, -run)])
    beside = shapely.GeometryCollection([one for one in solids if line.dwithin(one, 2 * most)])

    def gets_off(half: Length) -> bool:
        if half >= run:
            return False
        over, off = (
            shapely.LineString([side.place(face + way * out, u) for u in (-half, -run)])
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
