"""Core: a strip of ground along a side, such as the one that its bases stand in (method 1).

A Strip tells where along the side something solid reaches into it. `place_clear_of_edge` goes by
that to find where a post's base is clear of an edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from typing import Final

import shapely

from service.core.line.approach import Approach
from service.core.line.arcs import ARC_CHORDS, ArcSide, line_circle
from service.core.line.posts import base_reach, half_base, square_at
from service.core.line.sides import Side
from service.core.measure import TOUCH, FromTo, Length, Point
from service.core.records.deck import Obstruction
from service.core.records.kit import Kit

HALVINGS: Final = 40
"""How often the search for the place at which a base on a bow is just clear halves its interval."""


class Strip:
    """A strip of ground along a side, from `low` to `high` inward of the deck's edge."""

    def __init__(self, side: Side, low: Length, high: Length) -> None:
        self.side, self.low, self.high = side, low, high
        self.deep = max(abs(low), abs(high))
        # The strip goes on past the side's ends, as far as a post there reaches.
        self.past = 4 * (high - low + self.deep)

    @cached_property
    def _bounds(self) -> tuple[Length, Length, Length, Length]:
        """A box around the strip of an arc, worked out from its chord."""
        side = self.side
        assert isinstance(side, ArcSide)
        far = self.past + self.deep + abs(side.rise)
        (x0, x1), (y0, y1) = (sorted(pair) for pair in zip(side.start, side.end, strict=True))
        return x0 - far, y0 - far, x1 + far, y1 + far

    @cached_property
    def _band(self) -> shapely.Polygon:
        """The strip of an arc as a polygon, of short chords."""
        assert isinstance(self.side, ArcSide)
        return self.side.band(self.low, self.high, self.past)

    def reaches(self, obstructions: Sequence[Obstruction]) -> Iterator[FromTo | None]:
        """From where to where along the side each obstruction reaches into the strip.

        One for each obstruction, in their order; None where the strip does not meet it. Each is
        worked out once for a side.
        """
        reach_cache = self.side.reach_cache
        for one in obstructions:
            if self._misses(one.box):
                yield None
                continue
            key = self.low, self.high, one
            if key not in reach_cache:
                reach_cache[key] = self.reach(one.points, one.shape)
            yield reach_cache[key]

    def _misses(self, box: Sequence[Point]) -> bool:
        """Whether a quick test shows that the strip misses an upright rectangle.

        box: its corners, counter-clockwise from the one of least x and y. False where the two may
        meet.
        """
        if isinstance(self.side, ArcSide):
            x0, y0, x1, y1 = self._bounds
            return box[2][0] <= x0 or box[0][0] >= x1 or box[2][1] <= y0 or box[0][1] >= y1
        across = [self.side.locate(corner)[1] for corner in box]
        return min(across) >= self.high or max(across) <= self.low

    def reach(self, points: Sequence[Point], shape: shapely.Polygon) -> FromTo | None:
        """First and last place along the side at which the strip meets a polygon.

        points: the polygon's corners; shape: the polygon itself. None where the two do not meet, or
        only touch.
        """
        if isinstance(self.side, ArcSide):
            return self._reach_along(self.side, points, shape)
        local = [self.side.locate(point) for point in points]
        ends, across = [t for t, _ in local], [inward for _, inward in local]
        if min(across) >= self.high or max(across) <= self.low:
            return None
        strip = shapely.box(min(ends) - 1, self.low, max(ends) + 1, self.high)
        shared = shapely.Polygon(local).intersection(strip)
        if shared.area <= TOUCH:
            return None
        first, _, last, _ = shared.bounds
        return first, last

    def _reach_along(
        self, side: ArcSide, points: Sequence[Point], shape: shapely.Polygon
    ) -> FromTo | None:
        """`reach` along an arc.

        The band is of short chords, so each end is moved to where the arcs themselves cross the
        polygon, or to the polygon's corner between them.
        """
        shared = shape.intersection(self._band)
        if shared.area <= TOUCH:
            return None
        along = [side.locate((x, y))[0] for x, y in shapely.get_coordinates(shared)]
        exact = self._crossings(side, points)
        short = side.length / ARC_CHORDS

        def moved(t: Length) -> Length:
            near = min(exact, key=lambda each: abs(each - t), default=t)
            return near if abs(near - t) <= short else t

        return moved(min(along)), moved(max(along))

    def _crossings(self, side: ArcSide, points: Sequence[Point]) -> list[Length]:
        """Where a polygon's edges cross the strip's two arcs, and its corners that lie between."""
        inside = [side.locate(point) for point in points]
        found = [t for t, inward in inside if self.low - TOUCH <= inward <= self.high + TOUCH]
        for one, two, (_, deep) in zip(points, (*points[1:], points[0]), inside, strict=True):
            length = math.dist(one, two)
            if length <= TOUCH:
                continue
            along = (two[0] - one[0]) / length, (two[1] - one[1]) / length
            for inward in (self.low, self.high):
                if abs(deep - inward) > length + 2 * TOUCH:
                    continue
                found += [
                    side.locate(point)[0]
                    for point in line_circle(one, along, side.centre, side.radius_at(inward))
                    if math.dist(one, point) <= length and math.dist(two, point) <= length
                ]
        return found


def base_strip(kit: Kit, side: Side) -> Strip:
    """The strip along a side that posts and their bases cover.

    A fascia's base may end at the rim while the post itself reaches further in. On a bow, the side
    of a base that is far from the arc's centre lies further from it at the base's corners than in
    the middle.
    """
    setback, half = kit.post.setback, kit.post.width / 2
    low, high = base_reach(kit)
    low, high = min(low, setback - half), max(high, setback + half)
    if isinstance(side, ArcSide):
        far = low if side.turning > 0 else high
        radius = side.radius_at(far)
        spill = math.hypot(radius, kit.post.base.width / 2) - radius
        low, high = (low - spill, high) if side.turning > 0 else (low, high + spill)
    return Strip(side, low, high)


def place_clear_of_edge(approach: Approach, t: Length) -> Length:
    """Where a post that is meant for `t` stands clear of the edge beyond its corner.

    That edge is a wall or an open one, which the post's base must not reach past. At an outside
    corner the post goes back from the corner as far as it takes; else it stays at `t`. A fascia's
    post stays at `t`, too, as its base lies on its own rim.

    Beside an open edge the post stands clear of the edges past that one, too, that begin beside its
    base, unless that would move it too far.
    """
    kit, side = approach.kit, approach.side
    if approach.turn <= 0 or kit.mounting == "fascia":
        return t
    near = kit.post.base.width + kit.post.setback
    outside = _outside(kit, [approach.other])
    further = _outside(kit, _beside_base(approach, near))
    clear = _place_clear_of(approach, outside, t)
    clear_of_all = _place_clear_of(approach, further, clear)
    if abs(clear_of_all - clear) <= near:
        outside, clear = outside + further, clear_of_all
    if isinstance(side, ArcSide) and clear != t:
        return _nearest_clear(kit, side, outside, clear, t)
    return clear


def _beside_base(approach: Approach, near: Length) -> Iterator[Side]:
    """The edges past an open one that begin beside a base at the corner.

    near: how far along the side from the corner they begin at the most.
    """
    if approach.other.spec.condition != "open":
        return
    strip, corner = base_strip(approach.kit, approach.side), approach.at(0.0)
    for side in approach.beyond():
        along, inward = approach.side.locate(side.start if approach.at_end else side.end)
        if inward >= strip.high or abs(along - corner) > near:
            break
        yield side


def _outside(kit: Kit, edges: Iterable[Side]) -> list[shapely.Geometry]:
    """The ground just outside each of these edges of the deck, as broad as a base."""
    paths = [shapely.LineString(edge.path()) for edge in edges]
    return [path.buffer(-kit.post.base.width, single_sided=True) for path in paths]


def _place_clear_of(approach: Approach, outside: Sequence[shapely.Geometry], t: Length) -> Length:
    """The place nearest to `t`, back from the corner, where a base is clear of this ground."""
    kit, side = approach.kit, approach.side
    strip, half = base_strip(kit, side), half_base(kit, side)
    for body in (part for each in outside for part in shapely.get_parts(each)):
        ring = body.exterior
        met = None if body.is_empty else strip.reach(ring.coords[:-1], shapely.Polygon(ring))
        if met is not None:
            first, last = met if approach.at_end else met[::-1]
            t = approach.sooner(t, approach.back(first, half))
    return t


def _nearest_clear(
    kit: Kit, side: ArcSide, outside: Sequence[shapely.Geometry], clear: Length, meant: Length
) -> Length:
    """The place nearest to where a base on a bow is meant to be at which it is still clear.

    The strip of a bow is broader than the bases in it, so a base may have been moved too far.
    outside: the ground that it has to be clear of. clear: a place where it is. meant: the place
    that it is meant for.
    """
    for _ in range(HALVINGS):
        middle = (clear + meant) / 2
        at, turned = side.place(middle, kit.post.setback), side.heading_at(middle)
        base = shapely.Polygon(square_at(at, kit.post.base.width, turned))
        if shapely.intersects(base, outside).any():
            meant = middle
        else:
            clear = middle
    return clear
