"""Core: a bowed edge, as a side whose railing line is an arc (method 10).

An ArcSide answers the same questions as a straight Side: `t` runs along the railing's own arc from
the angle of its first corner, `inward` is toward the deck from the deck's edge.
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
"""Chords that stand for an arc where a shape of straight lines is wanted."""
FLATTEST: Final = 1e8
"""Radius beyond which places on an arc can't be told to 1e-6 of the unit, however the deck is
turned; a rise of 1/2 mm over 20 m has it."""


def arc_radius(chord: Length, rise: Length) -> Length:
    """Radius of the arc over a chord: (c^2/4 + h^2) / 2h.

    >>> arc_radius(96.0, 12.0)
    102.0
    """
    size = abs(rise)
    return (chord * chord / 4 + size * size) / (2 * size)


def arc_sweep(chord: Length, rise: Length) -> float:
    """Angle of the arc over a chord in radians: 4 atan(2h / c), good beyond a half circle.

    >>> round(arc_radius(96.0, 12.0) * arc_sweep(96.0, 12.0), 4)
    99.9513
    """
    return 4 * math.atan(2 * abs(rise) / chord)


def line_circle(point: Point, along: Point, centre: Point, radius: Length) -> list[Point]:
    """Crossings of a line and a circle; a line that touches within 1e-6 crosses once."""
    x, y = centre[0] - point[0], centre[1] - point[1]
    foot = x * along[0] + y * along[1]
    off = abs(x * along[1] - y * along[0])
    if off > radius + TOUCH:
        return []
    half = math.sqrt(max(0.0, radius * radius - off * off))
    return [(point[0] + along[0] * t, point[1] + along[1] * t) for t in (foot - half, foot + half)]


@dataclass(frozen=True)
class ArcSide(Side):
    """A bowed edge. rise: of its arc at mid-chord, outward positive; setback: of its railing line,
    the kit's; 0 where it has none."""

    rise: Length = 0.0
    setback: Length = 0.0

    @property
    def grounds(self) -> tuple[Length, ...]:
        """All that its places in plan hang on."""
        return *self.start, *self.end, self.rise, self.setback

    @cached_property
    def radius(self) -> Length:
        """Of the deck's edge."""
        return arc_radius(math.dist(self.start, self.end), self.rise)

    @cached_property
    def turning(self) -> float:
        """1 where the arc turns left (outward), -1 where it turns right."""
        return 1.0 if self.rise > 0 else -1.0

    @cached_property
    def line_radius(self) -> Length:
        """Of the railing line."""
        return self.radius - self.turning * self.setback

    @cached_property
    def centre(self) -> Point:
        """Of both arcs."""
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
        """Area between the arc and its chord, r^2 (sweep - sin sweep) / 2; below 0 of an inward
        bow."""
        return self.turning * self.radius**2 * (self.sweep - math.sin(self.sweep)) / 2

    @cached_property
    def length(self) -> Length:
        """Of the railing's arc, between the angles of the two corners."""
        return self.line_radius * self.sweep

    def along_edge(self, distance: Length) -> Length:
        """A distance along the deck's edge, as a distance along the railing's arc."""
        return distance * self.line_radius / self.radius

    def on_edge(self, distance: Length) -> Length:
        """A distance along the railing's arc, as a distance along the deck's edge."""
        return distance * self.radius / self.line_radius

    @cached_property
    def _first(self) -> float:
        """Angle of the first corner."""
        return math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])

    def _angle(self, t: Length) -> float:
        return self._first + self.turning * t / self.line_radius

    def heading_at(self, t: Length) -> Degrees:
        """Direction of the tangent at `t`."""
        return math.degrees(self._angle(t)) + 90 * self.turning

    def place(self, t: Length, inward: Length) -> Point:
        """The point at `t` along, `inward` of the deck's edge."""
        return self._cast([self._ray(t)], inward)[0]

    def _ray(self, t: Length) -> Point:
        """The unit vector from the centre toward `t`."""
        angle = self._angle(t)
        return math.cos(angle), math.sin(angle)

    def _cast(self, rays: Sequence[Point], inward: Length) -> list[Point]:
        """The points on rays from the centre, `inward` of the deck's edge."""
        (x, y), radius = self.centre, self.radius - self.turning * inward
        return [(x + radius * c, y + radius * s) for c, s in rays]

    @cached_property
    def _rays(self) -> list[Point]:
        """Rays to the ends of the ARC_CHORDS short chords that stand for the arc."""
        return self._fan(0.0, self.length)

    def _fan(self, start: Length, length: Length) -> list[Point]:
        """Rays to the ends of ARC_CHORDS short chords along so much of the arc."""
        first, turning, radius = self._first, self.turning, self.line_radius
        angles = [
            first + turning * (start + length * i / ARC_CHORDS) / radius
            for i in range(ARC_CHORDS + 1)
        ]
        return [(math.cos(angle), math.sin(angle)) for angle in angles]

    def locate(self, point: Point) -> tuple[Length, Length]:
        """(t, inward) of a point; t within half a turn of the arc's middle."""
        x, y = point[0] - self.centre[0], point[1] - self.centre[1]
        middle = self._angle(self.length / 2)
        off = (math.atan2(y, x) - middle + math.pi) % (2 * math.pi) - math.pi
        t = self.length / 2 + self.turning * off * self.line_radius
        return t, self.turning * (self.radius - math.hypot(x, y))

    def turns(self, points: Any) -> Any:
        """A number for each point, a row of x and y, that grows with its place along: the tangent
        of half its angle from the arc's middle."""
        x, y = (points - self.centre).T
        middle = self._angle(self.length / 2)
        c, s = math.cos(middle), math.sin(middle)
        return self.turning * (y * c - x * s) / ((x * x + y * y) ** 0.5 + (x * c + y * s))

    def opening_span(self, edge: int, start: Length, width: Length, post: Length) -> FromTo | None:
        """Where an opening that leaves `width` clear lies along the railing line, from post face to
        post face, beginning where the caller measured its start; None of an edge of another side.
        """
        span = self.span_of(edge, start, width)
        if span is None:
            return None
        between = self._between_faces(width, post)
        return (span[1] - between, span[1]) if self.turned_round else (span[0], span[0] + between)

    def _between_faces(self, clear: Length, post: Length) -> Length:
        """Along the railing's arc from face to face of two posts that leave `clear` between them.
        post: their width.

        Each stands square to the arc, so they are nearest at their corners toward the centre: clear
        = 2 (r - h) sin a - 2 h cos a, where h is half a post and a half the angle between them. A
        clear width that the arc is too tight for is taken along it.
        """
        half = post / 2
        reach = math.hypot(self.line_radius - half, half)
        if clear / 2 >= reach:
            return clear
        angle = math.asin(clear / 2 / reach) + math.atan2(half, self.line_radius - half)
        return 2 * angle * self.line_radius - post

    def shadow(self, half: Length) -> Length:
        """Half of the length that a square, centred on the railing line, takes up along it: its
        corners nearest to the arc's centre reach furthest. half: half its width."""
        return self.line_radius * math.atan2(half, self.line_radius - half)

    def off_plate(self, width: Length) -> Length:
        """How far the deck's edge lies behind a flat plate against it: at the plate's two sides,
        or where below 0, of an inward bow, in its middle. width: of the plate.
        """
        behind = math.sqrt(max(0.0, self.radius**2 - width**2 / 4))
        return self.turning * (self.radius - behind)

    def flat(self, t: Length, points: Sequence[Point]) -> list[tuple[Length, Length]]:
        """(along, inward) of points by the tangent at `t`."""
        angle = math.radians(self.heading_at(t))
        ux, uy = math.cos(angle), math.sin(angle)
        x0, y0 = self.place(t, 0.0)
        off = [(x - x0, y - y0) for x, y in points]
        return [(t + x * ux + y * uy, y * ux - x * uy) for x, y in off]

    def band(self, low: Length, high: Length, past: Length) -> shapely.Polygon:
        """The ground from `low` to `high` inward of the deck's edge, and `past` beyond both its
        ends, but never half way round; the arcs as many short chords."""
        past = min(past, self.line_radius * (math.pi - self.sweep / 2) / 2)
        rays = self._fan(-past, self.length + 2 * past) if past else self._rays
        return shapely.polygons(self._cast(rays, low) + self._cast(rays, high)[::-1])

    def outline(self) -> list[Point]:
        """The deck's edge as many short chords, without its last corner."""
        return self._cast(self._rays[:-1], 0.0)

    def chord(self, span: Length) -> Length:
        """Straight length between two places of the railing line, `span` apart along it."""
        return 2 * self.line_radius * math.sin(span / self.line_radius / 2)

    def half_angle(self, span: Length) -> Degrees:
        """Half the angle of a chord over so much of the line: its skew to its ends' tangents."""
        return math.degrees(span / self.line_radius) / 2

    def chord_headings(
        self, first: Length, last: Length, skews: tuple[Degrees, Degrees]
    ) -> tuple[Degrees, Degrees]:
        """Headings of the chord that begins at `first` and of the one that ends at `last`. skews:
        of each to the tangents at its ends."""
        return (
            self.heading_at(first) + self.turning * skews[0],
            self.heading_at(last) - self.turning * skews[1],
        )

    def chords(self, span: Length, kit: Kit, most: Length) -> int:
        """The fewest equal chords of a stretch that keep spacing and skew within the kit."""
        angle = span / self.line_radius
        reach = max(kit.square_limit, kit.swivel_greatest)
        by_skew = math.degrees(angle) / (2 * reach) if reach > TOUCH else math.inf
        if by_skew > BAYS:
            return BAYS + 1
        by_chord = angle / (2 * math.asin(min(1.0, most / (2 * self.line_radius))))
        return max(1, ceil_count(by_skew), ceil_count(by_chord))


def bend_side(side: Side, rise: Length, kit: Kit) -> ArcSide:
    """The bowed side over a straight one. A railing line is set in from it where it is guarded.

    Refuses a rise that makes no arc of the chord, and an arc that its setback swallows.
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
    """What is wrong with the rise of an arc over a side: half its chord or more, or too little to
    bow it."""
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
