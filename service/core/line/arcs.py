"""Core: a bowed edge, as a side whose railing line is an arc (method 10).

An ArcSide answers the same questions as a straight Side. `t` runs along the railing's own arc, from
0 at the angle of the edge's first corner; `inward` is measured from the deck's edge toward the
deck.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

import shapely

from service.core.limits import BAYS
from service.core.line.posts import set_in_text
from service.core.line.sides import Side
from service.core.measure import (
    TOUCH,
    Area,
    Degrees,
    FromTo,
    Length,
    Point,
    Unit,
    ceil_count,
    plain_length,
    toward,
)
from service.core.problems import Problem, raise_any, unbuildable
from service.core.records.kit import Kit

ARC_CHORDS: Final = 256
"""Number of chords that an arc is drawn with where a shape of straight lines is needed."""
FLATTEST: Final = 1e8
"""Radius beyond which places on an arc are lost to rounding at 1e-6 of the unit, however the deck
is turned. A rise of 1/2 mm over a chord of 20 m has this radius."""


def arc_radius(chord: Length, rise: Length) -> Length:
    """Radius of the arc over a chord: (c^2/4 + h^2) / 2h.

    >>> arc_radius(96.0, 12.0)
    102.0
    """
    size = abs(rise)
    return (chord * chord / 4 + size * size) / (2 * size)


def arc_sweep(chord: Length, rise: Length) -> float:
    """Angle of the arc over a chord, in radians: 4 atan(2h / c), also beyond a half circle.

    >>> round(arc_radius(96.0, 12.0) * arc_sweep(96.0, 12.0), 4)
    99.9513
    """
    return 4 * math.atan(2 * abs(rise) / chord)


def line_circle(point: Point, along: Point, centre: Point, radius: Length) -> list[Point]:
    """Both crossings of a line and a circle; none where they miss each other by more than 1e-6.

    point, along: a point of the line and its unit vector. A line that misses by less touches the
    circle: both crossings are then the same point.
    """
    x, y = centre[0] - point[0], centre[1] - point[1]
    foot = x * along[0] + y * along[1]
    off = abs(x * along[1] - y * along[0])
    if off > radius + TOUCH:
        return []
    half = math.sqrt(max(0.0, radius * radius - off * off))
    return [(point[0] + along[0] * t, point[1] + along[1] * t) for t in (foot - half, foot + half)]


@dataclass(frozen=True)
class ArcSide(Side):
    """A bowed edge as a side.

    rise: of its arc at mid-chord, outward positive. setback: from the deck's edge to the railing
    line, inward positive: the kit's, or 0 where the edge has no railing.
    """

    rise: Length = 0.0
    setback: Length = 0.0

    @property
    def plan_key(self) -> tuple[Length, ...]:
        """All the numbers that the side's places in plan depend on."""
        return *self.start, *self.end, self.rise, self.setback

    @cached_property
    def radius(self) -> Length:
        """Radius of the deck's edge."""
        return arc_radius(math.dist(self.start, self.end), self.rise)

    @cached_property
    def turning(self) -> float:
        """1 where the arc turns left (an outward bow), -1 where it turns right."""
        return 1.0 if self.rise > 0 else -1.0

    @cached_property
    def line_radius(self) -> Length:
        """Radius of the railing line."""
        return self.radius_at(self.setback)

    def radius_at(self, inward: Length) -> Length:
        """Radius of the arc that lies `inward` of the deck's edge."""
        return self.radius - self.turning * inward

    @cached_property
    def centre(self) -> Point:
        """Common centre of the deck's edge and the railing line."""
        ux, uy = toward(self.start, self.end)
        inward = self.turning * self.radius - self.rise
        return (
            (self.start[0] + self.end[0]) / 2 - uy * inward,
            (self.start[1] + self.end[1]) / 2 + ux * inward,
        )

    @cached_property
    def sweep(self) -> float:
        """Angle of the arc in radians."""
        return arc_sweep(math.dist(self.start, self.end), self.rise)

    @property
    def segment(self) -> Area:
        """Area between the arc and its chord, r^2 (sweep - sin sweep) / 2.

        Negative for an inward bow.
        """
        return self.turning * self.radius**2 * (self.sweep - math.sin(self.sweep)) / 2

    @cached_property
    def length(self) -> Length:
        """Length of the railing's arc, between the angles of the edge's two corners."""
        return self.line_radius * self.sweep

    def along_edge(self, distance: Length) -> Length:
        """A distance along the deck's edge, as the distance along the railing's arc."""
        return distance * self.line_radius / self.radius

    def on_edge(self, distance: Length) -> Length:
        """A distance along the railing's arc, as the distance along the deck's edge."""
        return distance * self.radius / self.line_radius

    @cached_property
    def _first(self) -> float:
        """Angle of the first corner as seen from the centre, in radians."""
        return math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])

    def _angle(self, t: Length) -> float:
        return self._first + self.turning * t / self.line_radius

    def heading_at(self, t: Length) -> Degrees:
        """Direction of the tangent at `t`, in degrees from +x."""
        return math.degrees(self._angle(t)) + 90 * self.turning

    def place(self, t: Length, inward: Length) -> Point:
        """The point at `t` along the railing's arc, `inward` of the deck's edge."""
        (x, y), angle, radius = self.centre, self._angle(t), self.radius_at(inward)
        return x + radius * math.cos(angle), y + radius * math.sin(angle)

    def _cast(self, rays: Sequence[Point], inward: Length) -> list[Point]:
        """The points on these rays from the centre that lie `inward` of the deck's edge."""
        (x, y), radius = self.centre, self.radius_at(inward)
        return [(x + radius * c, y + radius * s) for c, s in rays]

    @cached_property
    def _rays(self) -> list[Point]:
        """Rays to the ends of the ARC_CHORDS short chords that stand for the arc."""
        return self._fan(0.0, self.length)

    def _fan(self, start: Length, length: Length) -> list[Point]:
        """Rays to the ends of ARC_CHORDS short chords along `length` of the arc from `start`."""
        first, turning, radius = self._first, self.turning, self.line_radius
        angles = [
            first + turning * (start + length * i / ARC_CHORDS) / radius
            for i in range(ARC_CHORDS + 1)
        ]
        return [(math.cos(angle), math.sin(angle)) for angle in angles]

    def locate(self, point: Point) -> tuple[Length, Length]:
        """(t, inward) of a point: the inverse of `place`, with t within half a turn of mid-arc."""
        x, y = point[0] - self.centre[0], point[1] - self.centre[1]
        middle = self._angle(self.length / 2)
        off = (math.atan2(y, x) - middle + math.pi) % (2 * math.pi) - math.pi
        t = self.length / 2 + self.turning * off * self.line_radius
        return t, self.turning * (self.radius - math.hypot(x, y))

    def turns(self, points: Any) -> Any:
        """For each point, a number that grows with its place along the arc.

        points: an array of rows of x and y. The number is the tangent of half the point's angle
        from the arc's middle.
        """
        x, y = (points - self.centre).T
        middle = self._angle(self.length / 2)
        c, s = math.cos(middle), math.sin(middle)
        return self.turning * (y * c - x * s) / ((x * x + y * y) ** 0.5 + (x * c + y * s))

    def opening_span(self, edge: int, start: Length, width: Length, post: Length) -> FromTo | None:
        """As of a straight side, but posts on a bow lean together (`_between_faces`)."""
        span = self.span_of(edge, start, width)
        if span is None:
            return None
        between = self._between_faces(width, post)
        return (span[1] - between, span[1]) if self.turned_round else (span[0], span[0] + between)

    def _between_faces(self, clear: Length, post: Length) -> Length:
        """Length along the railing's arc between two posts' faces that leave `clear` between them.

        post: width of a post. Each post stands square to the arc, so two are nearest at their
        corners toward the centre: clear = 2 (r - h) sin a - 2 h cos a, where r is the radius of the
        line, h half a post and a half the angle between the two. Where the arc is too tight for the
        clear width, that width is taken along it.
        """
        half = post / 2
        reach = math.hypot(self.line_radius - half, half)
        if clear / 2 >= reach:
            return clear
        angle = math.asin(clear / 2 / reach) + math.atan2(half, self.line_radius - half)
        return 2 * angle * self.line_radius - post

    def half_extent(self, half: Length) -> Length:
        """As of a straight side; the square's corners toward the arc's centre reach furthest."""
        return self.line_radius * math.atan2(half, self.line_radius - half)

    def off_plate(self, width: Length) -> Length:
        """How far the deck's edge lies behind a flat plate that is held against it.

        width: of the plate. Positive on an outward bow, where the gap is at the plate's two sides;
        negative on an inward bow, where it is in the middle.
        """
        behind = math.sqrt(max(0.0, self.radius**2 - width**2 / 4))
        return self.turning * (self.radius - behind)

    def flat(self, t: Length, points: Sequence[Point]) -> list[tuple[Length, Length]]:
        """(along, inward) of points, measured along the tangent at `t` and square to it."""
        angle = math.radians(self.heading_at(t))
        ux, uy = math.cos(angle), math.sin(angle)
        x0, y0 = self.place(t, 0.0)
        off = [(x - x0, y - y0) for x, y in points]
        return [(t + x * ux + y * uy, y * ux - x * uy) for x, y in off]

    def band(self, low: Length, high: Length, past: Length) -> shapely.Polygon:
        """The ground from `low` to `high` inward of the deck's edge, arcs as many short chords.

        It goes on beyond both ends of the edge by `past` along the railing line, but by no more
        than half of the way to the point opposite the arc's middle.
        """
        past = min(past, self.line_radius * (math.pi - self.sweep / 2) / 2)
        rays = self._fan(-past, self.length + 2 * past) if past else self._rays
        return shapely.polygons(self._cast(rays, low) + self._cast(rays, high)[::-1])

    def outline(self) -> list[Point]:
        """The deck's edge as points, the ends of many short chords, without its last corner."""
        return self._cast(self._rays[:-1], 0.0)

    def chord(self, span: Length) -> Length:
        """Straight distance between two places that are `span` apart along the railing line."""
        return 2 * self.line_radius * math.sin(span / self.line_radius / 2)

    def half_angle(self, span: Length) -> Degrees:
        """Half a chord's central angle over `span` of the line: its skew to the end tangents."""
        return math.degrees(span / self.line_radius) / 2

    def chord_headings(
        self, first: Length, last: Length, skews: tuple[Degrees, Degrees]
    ) -> tuple[Degrees, Degrees]:
        """Headings of the chord that begins at `first` and of the chord that ends at `last`.

        skews: of each chord to the tangents at its ends.
        """
        return (
            self.heading_at(first) + self.turning * skews[0],
            self.heading_at(last) - self.turning * skews[1],
        )

    def chords(self, span: Length, kit: Kit, most: Length) -> int:
        """The fewest equal chords of a stretch that keep spacing and skew within the kit.

        span: length of the stretch along the railing line. most: the greatest spacing. BAYS + 1
        where the skew asks for more chords than BAYS.
        """
        angle = span / self.line_radius
        reach = max(kit.square_limit, kit.swivel_greatest)
        by_skew = math.degrees(angle) / (2 * reach) if reach > TOUCH else math.inf
        if by_skew > BAYS:
            return BAYS + 1
        by_chord = angle / (2 * math.asin(min(1.0, most / (2 * self.line_radius))))
        return max(1, ceil_count(by_skew), ceil_count(by_chord))


def is_bent(*sides: Side) -> bool:
    """Whether any of the sides is an arc."""
    return any([isinstance(side, ArcSide) for side in sides])


def bend_side(side: Side, rise: Length, kit: Kit) -> ArcSide:
    """The bowed side over a straight one, with a railing line set in where the side is guarded.

    Refuses a rise that makes no arc of the chord, and an arc that is too tight for a railing line
    at the kit's setback.
    """
    pointer = f"{side.spec.pointer}/arc_rise"
    raise_any(check_rise(side, rise, kit.unit))
    guarded = side.spec.condition == "guard"
    arc = ArcSide(
        side.spec,
        side.start,
        side.end,
        side.edges,
        side.offsets,
        (arc_radius(side.length, rise) * arc_sweep(side.length, rise),),
        side.level,
        side.turned_round,
        rise=rise,
        setback=kit.post.setback if guarded else 0.0,
    )
    least = max(kit.post.base.width, kit.post.width)
    if guarded and arc.line_radius <= least:
        raise unbuildable(
            pointer,
            "arc_too_tight",
            f"The arc has a radius of {plain_length(arc.radius, kit.unit)}; {set_in_text(kit)} it"
            f" no row of posts {plain_length(kit.post.base.width, kit.unit)} wide at the base fits:"
            f" the line's own radius, {plain_length(arc.line_radius, kit.unit, least)}, has to be"
            f" more than {plain_length(least, kit.unit, arc.line_radius)}.",
        )
    return arc


def check_rise(side: Side, rise: Length, unit: Unit) -> Iterator[Problem]:
    """What is wrong with an arc's rise: half the chord or more, or too little to bow the side."""
    chord, half, rise = side.length, side.length / 2, abs(rise)
    pointer = f"{side.spec.pointer}/arc_rise"
    over = f"An arc over a chord of {plain_length(chord, unit)}"
    if rise >= half - TOUCH:
        message = (
            f"{over} must rise less than half of it, {plain_length(half, unit, rise)}; this one"
            f" rises {plain_length(rise, unit, half)}."
        )
        yield Problem(pointer, "arc_too_deep", message)
    elif arc_radius(chord, rise) > FLATTEST:
        message = (
            f"{over} that rises {plain_length(rise, unit)} cannot be told from a straight edge;"
            " give it no arc_rise."
        )
        yield Problem(pointer, "arc_too_flat", message)
