"""Core: a level's joists and rim in plan (method 11); `read_frame` gives a level's `Frame`.

A place across the joists is measured along `Frame.across`, the unit vector square to them that
points toward +x (toward +y where they run along x); a place along them, along `Frame.along`. Joist
k has its centre at first + k * spacing.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any, Final

import shapely

from service.core.measure import TOUCH, Degrees, FromTo, Length, Point, Unit, plain_length
from service.core.problems import Problem, raise_any
from service.core.records.deck import Framing, Level, Obstruction
from service.core.records.kit import Base
from service.core.timber.ends import STEEPEST, Face

LEAST_ACROSS: Final = 1e-9
"""A side runs along the joists where a unit move along it goes less than this across them."""
MOST_JOISTS: Final = 64
"""No move of a post is looked for where more joists than this lie within its reach."""
SIDES_TO_A_PIECE: Final = 32
"""How many sides of the outline make one of the pieces that it is cut into (`Frame._pieces`)."""
HAIR: Final = 1 / 200
"""Share of a joist's width that counts as no difference, as no saw can be set to it."""


@dataclass(frozen=True)
class Frame:
    """A level's joists and rim in plan, and the obstructions that stand on it. unit: of lengths."""

    framing: Framing
    outline: shapely.Polygon
    unit: Unit
    obstructions: tuple[Obstruction, ...] = ()

    @cached_property
    def standing(self) -> shapely.STRtree:
        """A search tree of the obstructions' shapes, in the order of `obstructions`."""
        return shapely.STRtree([each.shape for each in self.obstructions])

    @cached_property
    def along(self) -> Point:
        """Unit vector along the joists."""
        angle = math.radians(self.framing.joist_direction)
        return math.cos(angle), math.sin(angle)

    @cached_property
    def across(self) -> Point:
        """Unit vector square to the joists, toward +x, or toward +y where they run along x."""
        x, y = -self.along[1], self.along[0]
        flip = -1.0 if x < -1e-12 or (abs(x) <= 1e-12 and y < 0) else 1.0
        return flip * x, flip * y

    @cached_property
    def square(self) -> Degrees:
        """Direction square to the joists, in degrees from +x, 0 to 180."""
        return round(math.degrees(math.atan2(self.across[1], self.across[0])), 9) % 180

    @cached_property
    def ends(self) -> FromTo:
        """The outline's least and greatest places across the joists."""
        x, y = shapely.get_coordinates(self.outline).T
        places = x * self.across[0] + y * self.across[1]
        return float(places.min()), float(places.max())

    @cached_property
    def first(self) -> Length:
        """Place across the joists of the first joist's centre."""
        return self.ends[0] + self.framing.first_joist

    @cached_property
    def last(self) -> int:
        """Number of the last joist, counted from 0."""
        return max(0, math.floor((self.ends[1] - self.first) / self.framing.joist_spacing + TOUCH))

    def place_across(self, point: Point) -> Length:
        """Place of a point across the joists."""
        return point[0] * self.across[0] + point[1] * self.across[1]

    def place_along(self, point: Point) -> Length:
        """Place of a point along the joists."""
        return point[0] * self.along[0] + point[1] * self.along[1]

    def placed(self, point: Point) -> Point:
        """Places of a point across and along the joists."""
        return self.place_across(point), self.place_along(point)

    def point(self, across: Length, along: Length) -> Point:
        """The point in plan with these places across and along the joists."""
        (ax, ay), (lx, ly) = self.across, self.along
        return ax * across + lx * along, ay * across + ly * along

    def joist_centre(self, number: int) -> Length:
        """Place across the joists of the centre of the joist with this number."""
        return self.first + number * self.framing.joist_spacing

    @cached_property
    def inner(self) -> shapely.Polygon:
        """The deck inside the rim: all places at least the rim's width deep (`depths`)."""
        inner = self.outline.buffer(-self.framing.rim_width, join_style="mitre")
        shapely.prepare(inner)
        return inner

    @cached_property
    def room(self) -> Any:
        """`inner` in places across and along the joists, prepared for repeated queries."""
        turn = tuple(zip(self.across, self.along, strict=True))
        room = shapely.transform(self.inner, lambda places: places @ turn)
        shapely.prepare(room)
        return room

    def is_clear(self, place: Point) -> bool:
        """Whether a place, across and along the joists, is inside the rim."""
        return bool(shapely.contains_xy(self.room, *place))

    @cached_property
    def rim_faces(self) -> tuple[shapely.STRtree, list[Face]]:
        """Faces of the rim: a search tree of their lines, and the faces in the same order.

        Places are across and along the joists. Both are empty where the rim takes up the whole
        deck. Short chords of a bow are one face as long as they lie within a hair of it (`HAIR`).
        """
        hair = self.framing.joist_width * HAIR
        rings = shapely.get_rings(shapely.get_parts(shapely.simplify(self.room, hair)))
        faces = [face for ring in rings for face in _faces(shapely.get_coordinates(ring).tolist())]
        lines = shapely.linestrings([face[:2] for face in faces]) if faces else []
        return shapely.STRtree(lines), faces

    def depths(self, places: Sequence[Point]) -> list[Length]:
        """How deep each place on the deck lies in from its edge.

        Past an inner corner the rims of both sides go on until they meet, so the depth of a place
        there is its distance from the farther of the two sides' lines.
        """
        points, ring = shapely.points(places), self._ring
        nearest, off = self._pieces.query_nearest(points, return_distance=True, all_matches=False)
        depths = dict(zip(nearest[0].tolist(), off.tolist(), strict=True))
        nearest, off = self._corners.query_nearest(points, return_distance=True, all_matches=False)
        for i, k, apart in zip(*nearest.tolist(), off.tolist(), strict=True):
            if apart <= depths[i] + TOUCH:
                corner, *ends = ring[[k, k - 1, (k + 1) % len(ring)]].tolist()
                depths[i] = max(_off_line(places[i], corner, end) for end in ends)
        return [depths[i] for i in range(len(places))]

    @cached_property
    def _ring(self) -> Any:
        """Corners of the outline, each once, as an array with rows of x and y."""
        return shapely.get_coordinates(self.outline.exterior)[:-1]

    @cached_property
    def _corners(self) -> shapely.STRtree:
        """A search tree of the outline's corners, in the order of `_ring`."""
        return shapely.STRtree(shapely.points(self._ring))

    @cached_property
    def _pieces(self) -> shapely.STRtree:
        """A search tree of the outline, cut into pieces of SIDES_TO_A_PIECE sides.

        Measuring from a place to every side would cost too much where bows are many short chords.
        """
        line = shapely.get_coordinates(self.outline.exterior)
        starts = range(0, len(line) - 1, SIDES_TO_A_PIECE)
        return shapely.STRtree(
            [shapely.linestrings(line[i : i + SIDES_TO_A_PIECE + 1]) for i in starts]
        )

    def off_joist(self, across: Length) -> Length:
        """Distance from a place across the joists to the centre of the nearest joist."""
        number = round((across - self.first) / self.framing.joist_spacing)
        return abs(across - self.joist_centre(min(max(number, 0), self.last)))

    def rim_reach(self, base: Base) -> Length:
        """The greatest depth from the deck's edge at which the rim holds a fixing of this base."""
        return self.framing.rim_width - base.fixing_edge_distance

    def over_joists(self, point: Point, along: Point, base: Base, far: Length) -> list[FromTo]:
        """Moves along a direction that bring a point over a joist, as spans of distance.

        Over a joist the point keeps the base's edge distance of fixings from both faces. along: the
        direction, a unit vector. far: the greatest move either way; joists beyond it do not count,
        but a span may reach past it. Along the joists every move does, if the point is over one.
        Empty where no move does, where a joist is too thin for a fixing, and where more than
        MOST_JOISTS are in reach.
        """
        spare = self.framing.joist_width / 2 - base.fixing_edge_distance
        pace = along[0] * self.across[0] + along[1] * self.across[1]
        place, spacing = self.place_across(point), self.framing.joist_spacing
        off = place - self.first
        if spare < 0:
            return []
        if abs(pace) < LEAST_ACROSS:
            return [(-far, far)] if self.off_joist(place) <= spare + TOUCH else []
        reach = abs(pace) * far
        first = max(0, math.ceil((off - reach - spare) / spacing))
        last = min(self.last, math.floor((off + reach + spare) / spacing))
        if last - first > MOST_JOISTS:
            return []
        ends = (
            ((number * spacing - spare - off) / pace, (number * spacing + spare - off) / pace)
            for number in range(first, last + 1)
        )
        return [(min(pair), max(pair)) for pair in ends]

    @cached_property
    def _deeper(self) -> dict[Length, shapely.Geometry]:
        """The places at least so deep in from the deck's edge, by that depth, as they are asked."""
        return {}

    def _at_least(self, depth: Length) -> shapely.Geometry:
        """The places on the deck that are at least so deep (`depths`)."""
        if depth not in self._deeper:
            self._deeper[depth] = self.outline.buffer(-depth, join_style="mitre")
        return self._deeper[depth]

    def off_rims(self, point: Point, along: Point, far: Length) -> list[FromTo]:
        """Moves along a direction that leave a point in no rim, as spans of distance.

        A place at a rim's inner face is in none. along: the direction, a unit vector. far: the
        greatest move either way.
        """
        path = _path(point, along, far)
        if self.inner.covers(path):
            return [(-far, far)]
        return _spans(path, path.intersection(self._at_least(self.framing.rim_width - TOUCH)), far)

    def in_rims(self, point: Point, along: Point, base: Base, far: Length) -> list[FromTo]:
        """Moves along a direction that bring a point into a rim, as spans of distance.

        In a rim the point keeps the base's edge distance of fixings from both faces. along, far: as
        for `off_rims`.
        """
        path = _path(point, along, far)
        least, most = base.fixing_edge_distance, self.rim_reach(base)
        if most < least or self.inner.covers(path):
            return []
        deep, deeper = self._at_least(least - TOUCH), self._at_least(most + TOUCH)
        return _spans(path, path.intersection(deep).difference(deeper), far)


def _path(point: Point, along: Point, far: Length) -> shapely.LineString:
    """The places that a point is moved to along a direction, `far` either way."""
    (x, y), (ux, uy) = point, along
    return shapely.LineString([(x + off * ux, y + off * uy) for off in (-far, far)])


def _spans(path: shapely.LineString, parts: shapely.Geometry, far: Length) -> list[FromTo]:
    """Parts of a path, as spans of distance from its middle. far: from there to either end."""
    spans = [
        [path.project(shapely.Point(place)) for place in part.coords]
        for part in shapely.get_parts(parts)
    ]
    return [(min(span) - far, max(span) - far) for span in spans if span]


def _faces(ring: Sequence[Sequence[Length]]) -> Iterator[Face]:
    """Faces of a ring of corners. ring: places across and along, the first repeated at the end."""
    corners = [(x, y) for x, y in ring[:-1]]
    sides = list(pairwise([*corners, corners[0]]))
    alongs = [end[1] - start[1] for start, end in sides]
    are_flat = [
        abs(end[0] - start[0]) > STEEPEST * abs(along)
        for (start, end), along in zip(sides, alongs, strict=True)
    ]
    turns = [
        alongs[i - 1] * along <= TOUCH * TOUCH or are_flat[i - 1] != are_flat[i]
        for i, along in enumerate(alongs)
    ]
    for i, start in enumerate(corners):
        following = (i + 1) % len(corners)
        yield Face(start, corners[following], (turns[i], turns[following]))


def _off_line(place: Point, start: Point, end: Point) -> Length:
    """Distance from a place to the line through two others."""
    (x, y), dx, dy = start, end[0] - start[0], end[1] - start[1]
    return abs(dx * (place[1] - y) - dy * (place[0] - x)) / math.hypot(dx, dy)


def read_frame(level: Level, outline: shapely.Polygon, unit: Unit) -> Frame | None:
    """The level's framing in plan; None where the level gives no framing.

    Refuses joists no further apart than their own width, and a first joist that lies off the deck.
    """
    if level.framing is None:
        return None
    frame = Frame(level.framing, outline, unit, level.obstructions)
    raise_any(_faults(frame))
    return frame


def _faults(frame: Frame) -> Iterator[Problem]:
    framing, unit, across = frame.framing, frame.unit, frame.ends[1] - frame.ends[0]
    if framing.joist_spacing <= framing.joist_width + TOUCH:
        yield Problem(
            f"{framing.pointer}/joist_spacing",
            "joists_too_close",
            f"Joists {plain_length(framing.joist_width, unit, framing.joist_spacing)} wide cannot"
            f" stand {plain_length(framing.joist_spacing, unit, framing.joist_width)} apart, centre"
            " to centre; the spacing has to be more than the width.",
        )
    if framing.first_joist > across + TOUCH:
        yield Problem(
            f"{framing.pointer}/first_joist",
            "no_joist",
            "The first joist lies off the deck: it is"
            f" {plain_length(framing.first_joist, unit, across)} from the deck's outermost point,"
            " where joists are counted from, and the deck is"
            f" {plain_length(across, unit, framing.first_joist)} across them.",
        )
