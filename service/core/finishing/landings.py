"""Core: how deep the landings of flights are that the deck itself is (`see_landings`).

They are the level that a flight goes down from and the one that it comes down to. The ground at its
foot is not in the document.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal, NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.solids import TOUCH_LENGTH, level_posts, level_rails, level_surroundings
from service.core.flights.drafts import FlightDraft
from service.core.levels.level import LevelDraft
from service.core.line.arcs import ArcSide
from service.core.line.neighbours import BEYOND
from service.core.measure import TOUCH, FromTo, Length, Point, convert
from service.core.records.seen import LandingSeen


class _Way(NamedTuple):
    """The clear width of a flight, led on over a landing.

    start: the middle of the nosing that it begins at. along: unit vector of the way. far: to where
    it goes. strip: the way itself, from just past that nosing.
    """

    start: Point
    along: Point
    far: Length
    strip: shapely.Polygon

    def met(self, shapes: Iterable[shapely.Geometry]) -> Iterator[Length]:
        """How far along the way the corners lie of what some shapes take of it."""
        (x, y), (ux, uy) = self.start, self.along
        for shape in shapes:
            for a, b in shapely.get_coordinates(self.strip.intersection(shape)).tolist():
                yield (a - x) * ux + (b - y) * uy


class _Surface(NamedTuple):
    """What people walk on at the height of a level, and what stands on it, in plan.

    ends: walls, obstructions, and the straight edges along which a railing stands. railing: posts
    and rails, these as broad as posts.
    """

    area: shapely.Geometry
    ends: Sequence[shapely.Geometry]
    railing: Sequence[shapely.Geometry]


def see_landings(
    levels: Sequence[Adjoining], flights: Sequence[FlightDraft]
) -> Iterator[LandingSeen]:
    """The landing at the head of each flight, and at its foot where it stands on a level."""
    kit = levels[0].kit
    spare, known = convert(BEYOND, "in", kit.unit), dict[tuple[str, bool], _Surface]()
    # How much of the way a railing along the far edge takes up at most, if the way is no more than
    # 60 degrees askew to it. One that is nearer stands beside the way: `see_ways` tells of it.
    room = 2 * (abs(kit.post.setback) + kit.post.width)

    def depths(flight: FlightDraft, at: str, level: LevelDraft, *, most: bool) -> FromTo:
        """The depth to the end of the surface, and to a railing before that."""
        key = level.level.id, most
        if key not in known:
            known[key] = _surface(_alike(levels, level, most=most), spare)
        area, ends, railing = known[key]
        way = _way(flight, at, spare, area)
        deep = min(way.met([way.strip.difference(area), *ends]), default=way.far)
        deep = 0.0 if deep <= spare + TOUCH else deep
        there = (each for each in way.met(railing) if deep - room < each < deep)
        return round(deep, 6), round(min(there, default=deep), 6)

    for flight in flights:
        for at, level in _landings(flight, spare):
            deep, clear = depths(flight, at, level, most=False)
            most = deep
            if any(level.rise_to(about.draft) is None for about in levels):
                most = max(deep, depths(flight, at, level, most=True)[0])
            yield LandingSeen(flight.stair.id, level.level.id, at, deep, clear, most)


def _landings(
    flight: FlightDraft, spare: Length
) -> Iterator[tuple[Literal["head", "foot"], LevelDraft]]:
    """The levels at the head and at the foot of a flight. spare: how far off the latter it may be
    that it still stands on it."""
    yield "head", flight.course.level
    foot = flight.landing
    if foot is not None and flight.course.off(foot.outline) <= spare + TOUCH:
        yield "foot", foot


def _alike(levels: Sequence[Adjoining], level: LevelDraft, *, most: bool) -> Sequence[Adjoining]:
    """The levels at the height of one, itself among them. most: also those that may be, as the drop
    of either is not given."""
    rises = ((one, level.rise_to(one.draft)) for one in levels)
    return [one for one, rise in rises if (most if rise is None else abs(rise) <= TOUCH)]


def _surface(alike: Sequence[Adjoining], spare: Length) -> _Surface:
    """The surface of levels at one height. Levels less than `spare` apart make one."""
    ends = [solid.shape for one in alike for solid in level_surroundings(one)]
    ends += [edge for one in alike for edge in _railed_edges(one)]
    half = alike[0].kit.post.width / 2
    railing = [rail.shape for one in alike for rail in level_rails(one, least_half=half)]
    railing += [post.shape for one in alike for post in level_posts(one)]
    return _Surface(_joined([one.draft.outline for one in alike], spare / 2), ends, railing)


def _joined(outlines: Sequence[shapely.Polygon], half: Length) -> shapely.Geometry:
    """The area of some outlines, with gaps between two of less than twice `half`."""
    if not outlines[1:]:
        return outlines[0]
    broad = shapely.union_all([one.buffer(half, join_style="mitre") for one in outlines])
    return broad.buffer(-half, join_style="mitre")


def _way(flight: FlightDraft, at: str, start: Length, area: shapely.Geometry) -> _Way:
    """The way over a landing, from `start` past its nosing to the far side of the surface."""
    x0, y0, x1, y1 = area.bounds
    far = math.dist((x0, y0), (x1, y1)) + start
    course = flight.course
    low, high = course.opening.faces
    out, sense = (course.total_going, -1.0) if at == "foot" else (0.0, 1.0)

    def place(t: Length, on: Length) -> Point:
        return course.side.place(t, sense * on - out)

    (x, y), (to_x, to_y) = place((low + high) / 2, 0.0), place((low + high) / 2, 1.0)
    low, high = low + TOUCH_LENGTH, high - TOUCH_LENGTH
    corners = [place(low, start), place(high, start), place(high, far), place(low, far)]
    return _Way((x, y), (to_x - x, to_y - y), far, shapely.Polygon(corners))


def _railed_edges(about: Adjoining) -> Iterator[shapely.LineString]:
    """The stretches of a level's straight edges along which a railing stands.

    Past an inner corner, or an outer one of a fascia, a line goes on, and the edge does not.
    """
    for line in about.lines:
        for run in line.runs if not isinstance(line.side, ArcSide) else ():
            first, last = max(run.stretch.start.t, 0.0), min(run.stretch.end.t, line.side.length)
            if last > first:
                yield shapely.LineString([line.side.place(t, 0.0) for t in (first, last)])
