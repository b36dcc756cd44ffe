"""Core: where flights come down to a passage, a gate or an open edge of a lower level (`see_feet`).

Nobody falls off the level where a flight's foot stands; observed here is how much the flights leave
open. In: levels and flights as drawn. Out: a FootSeen for each such place (contract, section 3:
change of level).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import shapely

from service.core.flights.drafts import FlightDraft
from service.core.levels.level import LevelDraft
from service.core.line.arcs import ArcSide
from service.core.line.crossing import Segment
from service.core.line.neighbours import BEYOND
from service.core.line.posts import PostDraft, body
from service.core.measure import TOUCH, FromTo, Length, Point, convert, toward
from service.core.records.deck import HANDS
from service.core.records.kit import Kit
from service.core.records.seen import FootSeen, edge_place, opening_place


class Foot(NamedTuple):
    """The lowest nosing of a flight, with the posts of its guards.

    stretch: where it lies in plan.
    down: unit vector in plan, in the direction in which the flight goes down.
    along: the gap in that direction between the guards' posts and those of the level.
    solid: the nosing over the clear width, and the foot posts of the guards, in plan.
    """

    flight: str
    stretch: Segment
    down: Point
    along: Length
    solid: shapely.Geometry


class Reached(NamedTuple):
    """A place that flights come down to.

    stretch: its part of the level's edge, counter-clockwise round the level.
    feet: those that stand at it.
    taken: from where to where along the stretch feet and posts of the level stand.
    """

    place: str
    stretch: Segment
    feet: Sequence[Foot]
    taken: Sequence[FromTo]

    def solid(self) -> shapely.Geometry:
        """All the feet that stand there, in plan."""
        return shapely.union_all([foot.solid for foot in self.feet])


def see_feet(
    kit: Kit, levels: Sequence[LevelDraft], flights: Sequence[FlightDraft]
) -> Iterator[FootSeen]:
    """Every passage, gate and open edge of a level that flights come down to."""
    least = convert(BEYOND, "in", kit.unit)
    for level in levels:
        feet = [_foot(kit, flight) for flight in flights if _goes_down_to(flight, level)]
        reached = [
            one
            for place, stretch in (_open_on(level) if feet else ())
            if (one := _reached(kit, level, place, stretch, feet, least)) is not None
        ]
        for one in reached:
            across = _longest_left(math.dist(*one.stretch), one.taken)
            left = math.hypot(across, max(foot.along for foot in one.feet))
            ids = tuple([foot.flight for foot in one.feet])
            yield FootSeen(one.place, ids, left, tuple(_round_corners(one, reached)))


def _reached(
    kit: Kit,
    level: LevelDraft,
    place: str,
    stretch: Segment,
    feet: Sequence[Foot],
    least: Length,
) -> Reached | None:
    """A place with the feet that stand at it; None where no foot does."""
    at = [(foot, _taken(stretch, foot, least)) for foot in feet]
    taken = [span for _, span in at if span is not None]
    if not taken:
        return None
    here = [foot for foot, span in at if span is not None]
    return Reached(place, stretch, here, [*taken, *_beside(kit, level, stretch)])


def _round_corners(one: Reached, reached: Sequence[Reached]) -> Iterator[tuple[str, Length]]:
    """The gap between the feet at a place and those at each place that it shares a corner with.

    It is the distance in plan between what stands at the two, and comes with the other's name.
    """
    for other in reached:
        if one.stretch[1] == other.stretch[0] or other.stretch[1] == one.stretch[0]:
            yield other.place, one.solid().distance(other.solid())


def _goes_down_to(flight: FlightDraft, level: LevelDraft) -> bool:
    rise = level.rise_to(flight.course.level)
    return flight.landing is level and rise is not None and rise > TOUCH


def _foot(kit: Kit, flight: FlightDraft) -> Foot:
    """The foot of a flight, as far as the outer faces of its guards' posts.

    What lies past those posts counts as open, though treads reach further.
    """
    course, guards = flight.course, [side.hand for side in flight.sides]
    low, high = course.opening.faces
    low -= kit.post.width if HANDS[0] in guards else 0.0
    high += kit.post.width if HANDS[1] in guards else 0.0
    out = course.total_going
    start, end, on = (course.side.place(*at) for at in ((low, -out), (high, -out), (low, -out - 1)))
    down = on[0] - start[0], on[1] - start[1]
    posts = [body(kit, side.posts[-1]) for side in flight.sides]
    nosing = shapely.LineString([course.side.place(face, -out) for face in course.opening.faces])
    return Foot(
        flight=flight.stair.id,
        stretch=(start, end),
        down=down,
        along=_along(kit, flight) if guards else 0.0,
        solid=shapely.union_all([nosing, *posts]),
    )


def _along(kit: Kit, flight: FlightDraft) -> Length:
    """The gap between a flight's foot posts and the posts of the level that it comes down to.

    It is measured in the direction of the flight; 0 where the posts stand beside each other.
    """
    foot = -flight.stair.going / 2 if flight.foot_on_tread else kit.post.base.width / 2
    return max(0.0, abs(kit.post.setback - foot) - kit.post.width)


def _open_on(level: LevelDraft) -> Iterator[tuple[str, Segment]]:
    """The straight open edges, passages and gates of a level, each with its stretch of the edge."""
    for j, spec in enumerate(level.specs):
        edge = level.edge_in_plan(j)
        if spec.condition == "open" and edge.bow is None:
            yield edge_place(level.level.id, spec.number), (edge.start, edge.end)
    for line in level.lines:
        if not isinstance(line.side, ArcSide):
            for drawn in line.openings:
                if drawn.opening.use != "stair":
                    start, end = (line.side.place(face, 0.0) for face in drawn.faces)
                    yield opening_place(level.level.id, drawn.opening.id), (start, end)


def _taken(stretch: Segment, foot: Foot, least: Length) -> FromTo | None:
    """Where a foot stands along a stretch, counter-clockwise round its level; None if it does not.

    It does not where it lies more than `least` off the stretch's line, or past the stretch's ends,
    or where the flight does not come down onto the level but leads out over its edge.
    """
    (x, y), (to_x, to_y) = stretch
    onto = (to_x - x) * foot.down[1] - (to_y - y) * foot.down[0]
    places = [_on(stretch, end) for end in foot.stretch]
    if onto <= 0 or max(abs(off) for _, off in places) > least + TOUCH:
        return None
    low, high = sorted(t for t, _ in places)
    low, high = max(low, 0.0), min(high, math.dist(*stretch))
    return (low, high) if high - low > TOUCH else None


def _beside(kit: Kit, level: LevelDraft, stretch: Segment) -> list[FromTo]:
    """Where posts of a level stand along a stretch of it.

    A post counts if no part of it lies further from the stretch's line than the setback and a
    post's width together.
    """
    posts: set[PostDraft] = {
        end.post for line in level.lines for end in line.terminals() if end.post is not None
    }
    reach, spans = abs(kit.post.setback) + kit.post.width, []
    for post in posts:
        places = [_on(stretch, corner) for corner in body(kit, post).exterior.coords]
        if max(abs(off) for _, off in places) <= reach:
            along = [t for t, _ in places]
            low, high = max(min(along), 0.0), min(max(along), math.dist(*stretch))
            if high - low > TOUCH:
                spans.append((low, high))
    return spans


def _on(stretch: Segment, point: Point) -> tuple[Length, Length]:
    """How far along a stretch a point lies, and how far to the left of it."""
    (x, y), (ux, uy) = stretch[0], toward(*stretch)
    dx, dy = point[0] - x, point[1] - y
    return dx * ux + dy * uy, ux * dy - uy * dx


def _longest_left(length: Length, taken: Sequence[FromTo]) -> Length:
    """The length of the longest part of a stretch that is not taken.

    >>> _longest_left(60.0, [(3.0, 57.0)]), _longest_left(60.0, [(30.0, 60.0), (0.0, 26.0)])
    (3.0, 4.0)
    >>> _longest_left(60.0, [(0.0, 58.0), (5.0, 20.0)])
    2.0
    """
    left, free = 0.0, 0.0
    for low, high in [*sorted(taken), (length, length)]:
        left, free = max(left, low - free), max(free, high)
    return left
