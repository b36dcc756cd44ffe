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

from service.core.finishing.adjoining import Adjoining, GuardLine, obstructions_at
from service.core.flights.drafts import FlightDraft
from service.core.levels.level import LevelDraft
from service.core.line.arcs import ArcSide
from service.core.line.crossing import Segment
from service.core.line.neighbours import BEYOND
from service.core.line.openings import Jamb
from service.core.line.posts import body
from service.core.measure import TOUCH, Length, Point, convert, toward
from service.core.records.deck import HANDS
from service.core.records.kit import Kit
from service.core.records.seen import FootSeen


class Foot(NamedTuple):
    """The lowest nosing of a flight, with the posts of its guards.

    stretch: where it lies in plan, counter-clockwise round the level that it comes down to.
    ends: what stands at the two ends of the stretch: a guard's foot post, else the nosing's end.
    down: unit vector in plan, in the direction in which the flight goes down.
    along: the gap in that direction to posts that would stand beside another part of the edge.
    solid: the nosing over the clear width, and the foot posts of the guards, in plan.
    on_tread: whether its foot posts stand on its lowest tread.
    """

    flight: str
    stretch: Segment
    ends: tuple[shapely.Geometry, shapely.Geometry]
    down: Point
    along: Length
    solid: shapely.Geometry
    on_tread: bool


class Span(NamedTuple):
    """A foot as it lies along a place that it comes down to. low, high: from where to where."""

    low: Length
    high: Length
    foot: Foot


class Place(NamedTuple):
    """A passage, a gate or an open edge of a level.

    stretch: its part of the level's edge, counter-clockwise round the level.
    past: what stands past its start and past its end, in plan; None past a corner with another open
    edge.
    feet: those that stand at it, in order along it.
    """

    name: str
    stretch: Segment
    past: tuple[shapely.Geometry | None, shapely.Geometry | None]
    feet: Sequence[Span] = ()

    def solid(self) -> shapely.Geometry:
        """All the feet that stand here, in plan."""
        return shapely.union_all([span.foot.solid for span in self.feet])

    def round_corners(self, reached: Sequence[Place]) -> Iterator[tuple[str, Length]]:
        """The gap to the feet at each place that this one shares a corner with.

        It is the distance in plan between what stands at the two, and comes with the other's name.
        """
        start, end = self.stretch
        for other in reached:
            if end == other.stretch[0] or other.stretch[1] == start:
                yield other.name, self.solid().distance(other.solid())

    def left(self) -> Length:
        """What is left open beside the feet: the widest of the gaps between what stands.

        These are between the feet, and from the first and the last of them to what stands past the
        place's ends. Where nothing does, the edge counts as far as its corner.
        """
        length, (before, after) = math.dist(*self.stretch), self.past
        first = last = self.feet[0]
        gaps = [_gap(first.foot, 0, before, first.low)]
        for span in self.feet[1:]:
            if span.low > last.high:
                gaps.append(last.foot.ends[1].distance(span.foot.ends[0]))
            if span.high > last.high:
                last = span
        return max(*gaps, _gap(last.foot, 1, after, length - last.high))

    def behind(self) -> Length:
        """The gap in the direction of a flight from a foot post on a tread to what stands past an
        end of the place; the greater of those at both, and 0 where no foot post there stands so."""
        outermost = self.feet[0].foot, max(self.feet, key=lambda span: span.high).foot
        gaps = [
            _gap_down(foot.ends[which], past, foot.down)
            for which, (foot, past) in enumerate(zip(outermost, self.past, strict=True))
            if past is not None and foot.on_tread
        ]
        return max(gaps, default=0.0)


def see_feet(levels: Sequence[Adjoining], flights: Sequence[FlightDraft]) -> Iterator[FootSeen]:
    """Every passage, gate and open edge of a level that flights come down to."""
    for about in levels:
        feet = [_foot(about.kit, each) for each in flights if _goes_down_to(each, about.draft)]
        least = convert(BEYOND, "in", about.kit.unit)
        reached: list[Place] = []
        for place in _open_on(about) if feet else ():
            found = (_span(place.stretch, foot, least) for foot in feet)
            spans = sorted((one for one in found if one is not None), key=lambda one: one.low)
            reached += [place._replace(feet=spans)] if spans else []
        for place in reached:
            there = [span.foot for span in place.feet]
            ids = tuple([foot.flight for foot in feet if foot in there])
            corners = tuple(place.round_corners(reached))
            yield FootSeen(place.name, ids, place.left(), corners, place.behind())


def _gap_down(one: shapely.Geometry, other: shapely.Geometry, down: Point) -> Length:
    """How far two bodies are apart in a direction; 0 where they lie beside each other."""
    spans: list[list[Length]] = [
        [x * down[0] + y * down[1] for x, y in shapely.get_coordinates(each).tolist()]
        for each in (one, other)
    ]
    return max(0.0, *(min(a) - max(b) for a, b in (spans, spans[::-1])))


def _gap(foot: Foot, which: int, past: shapely.Geometry | None, to_corner: Length) -> Length:
    """The gap from one of a foot's two ends to what stands past the place's end there.

    to_corner: how far from the foot that end of the place lies, for where nothing stands past it.
    """
    if past is None:
        return math.hypot(max(0.0, to_corner), foot.along)
    return float(foot.ends[which].distance(past))


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
    posts = {side.hand: body(kit, side.posts[-1]) for side in flight.sides}
    nosing = shapely.LineString([course.side.place(face, -out) for face in course.opening.faces])
    nosing_ends = [shapely.Point(corner) for corner in nosing.coords]
    return Foot(
        flight=flight.stair.id,
        stretch=(end, start),
        ends=(posts.get(HANDS[1], nosing_ends[1]), posts.get(HANDS[0], nosing_ends[0])),
        down=down,
        along=_along(kit, flight) if guards else 0.0,
        solid=shapely.union_all([nosing, *posts.values()]),
        on_tread=flight.foot_on_tread and bool(guards),
    )


def _along(kit: Kit, flight: FlightDraft) -> Length:
    """The gap between a flight's foot posts and end posts beside the edge that it comes down to.

    It is measured in the direction of the flight; 0 where the posts stand beside each other.
    """
    half = kit.post.base.width / 2
    foot = -flight.stair.going / 2 if flight.foot_on_tread else half
    # The end post of a fascia kit stands half a base in from the corner (step 1).
    end = kit.post.setback if kit.mounting == "surface" else half
    return max(0.0, abs(end - foot) - kit.post.width)


def _open_on(about: Adjoining) -> Iterator[Place]:
    """The straight open edges, passages and gates of a level."""
    level = about.draft
    for j, spec in enumerate(level.specs):
        edge = level.edge_in_plan(j)
        if spec.condition == "open" and edge.bow is None:
            past = _past_corner(about, spec.number, -1), _past_corner(about, spec.number, 1)
            yield Place(about.edge_place(spec.number), (edge.start, edge.end), past)
    for line in about.lines:
        if not isinstance(line.side, ArcSide):
            for drawn in line.openings:
                if drawn.opening.use != "stair":
                    start, end = (line.side.place(face, 0.0) for face in drawn.faces)
                    before, after = (_standing(line, jamb) for jamb in drawn.jambs)
                    yield Place(about.opening_place(drawn), (start, end), (before, after))


def _past_corner(about: Adjoining, number: int, sense: int) -> shapely.Geometry | None:
    """What stands past a corner of an open edge: a wall, or what is last on a line of railing.

    None where that edge is open too, or where nothing stands at its end. number: of the open edge.
    sense: -1 for its start, 1 for its end.
    """
    spec = about.next_edge(number, sense)
    if spec.condition == "wall":
        return about.walls[spec.number]
    line = about.line_along(spec)
    last = None if line is None else line.end(-sense).last
    return None if last is None else last.shape


def _standing(line: GuardLine, jamb: Jamb) -> shapely.Geometry:
    """What stands at a side of an opening, with the rails that come to it."""
    if jamb.post is None:
        columns = line.obstructions_touching(jamb.face)
        return shapely.union_all([columns, *line.about.walls.values()])
    return shapely.union_all([*obstructions_at(jamb.terminal), *line.met_at(jamb.terminal)])


def _span(stretch: Segment, foot: Foot, least: Length) -> Span | None:
    """A foot as it lies along a stretch, counter-clockwise round its level; None if it does not.

    It does not where it lies more than `least` off the stretch's line, or past the stretch's ends,
    or where the flight does not come down onto the level but leads out over its edge. Where it does
    come down onto it, the foot runs the same way along the stretch.
    """
    (x, y), (to_x, to_y) = stretch
    onto = (to_x - x) * foot.down[1] - (to_y - y) * foot.down[0]
    (low, low_off), (high, high_off) = (_on(stretch, end) for end in foot.stretch)
    if onto <= 0 or max(abs(low_off), abs(high_off)) > least + TOUCH:
        return None
    if min(high, math.dist(*stretch)) - max(low, 0.0) <= TOUCH:
        return None
    return Span(low, high, foot)


def _on(stretch: Segment, point: Point) -> tuple[Length, Length]:
    """How far along a stretch a point lies, and how far to the left of it."""
    (x, y), (ux, uy) = stretch[0], toward(*stretch)
    dx, dy = point[0] - x, point[1] - y
    return dx * ux + dy * uy, ux * dy - uy * dx
