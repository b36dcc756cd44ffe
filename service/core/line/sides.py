"""Core: the straight sides that railings stand along, made of the edges of an outline (method 1).

All later modules deal with sides (`make_sides`) rather than with edges; a bowed one is an `ArcSide`
(`arcs`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from service.core.frozen import record
from service.core.line.outline import Plan
from service.core.measure import (
    DRAWN,
    TOUCH,
    Degrees,
    FromTo,
    Length,
    Point,
    Unit,
    plain_length,
    toward,
)
from service.core.records.deck import Condition, Drops, Infill, Obstruction, OpenEnd, WallEnd

ONE_LINE: Final[Degrees] = 0.05
"""A corner between edges alike that turns by less than this is no corner (method 1)."""
BOWED: Final[dict[Unit, Length]] = {"in": 0.125, "mm": 3.175}
"""How far a row of such corners may lie off the straight line between its ends. No source: about
what posts are shimmed by."""


@record()
class EdgeSpec:
    """An edge with every default resolved.

    number, pointer: the caller's number of the edge, and its place in the document. pane: index in
    the kit's list. height_pointer: to where the edge's height is given; to the guard itself where
    the height is the code's or the kit's.
    """

    number: int
    pointer: str
    condition: Condition
    infill: Infill
    pane: int
    height: Length
    drops: Drops
    wall_end: WallEnd
    open_end: OpenEnd = "setback"
    arc_rise: Length = 0.0
    height_pointer: str = "/guard"

    def alike(self, other: EdgeSpec) -> bool:
        """Whether both edges may lie in one run; the pane matters for glass alone."""
        return (
            self.condition == other.condition
            and self.infill == other.infill
            and (self.pane == other.pane or self.infill == "picket")
            and self.height == other.height
            and self.drops == other.drops
            and self.arc_rise == other.arc_rise == 0.0
        )


@dataclass(frozen=True)
class Side:
    """Edges in one line and alike, counter-clockwise.

    spec: of the first edge. edges: of all of them; offsets: where each begins along the side;
    lengths: how long each is. level: id of its level. turned_round: whether the caller gave its
    outline clockwise.
    """

    spec: EdgeSpec
    start: Point
    end: Point
    edges: tuple[EdgeSpec, ...]
    offsets: tuple[Length, ...]
    lengths: tuple[Length, ...]
    level: str = ""
    turned_round: bool = False

    @cached_property
    def length(self) -> Length:
        """Length from corner to corner."""
        return math.dist(self.start, self.end)

    @cached_property
    def reach_cache(self) -> dict[tuple[Length, Length, Obstruction], FromTo | None]:
        """What `Strip.reaches` has found: where along the side each obstruction reaches in.

        Each is kept by the strip's bounds, inward of the deck's edge, and the obstruction, as a bow
        asks for it again and again until it is settled. None where the two do not meet.
        """
        return {}

    @cached_property
    def along(self) -> Point:
        """Unit vector along the side."""
        return toward(self.start, self.end)

    @property
    def plan_key(self) -> tuple[Length, ...]:
        """All the numbers that the side's places in plan depend on."""
        return *self.start, *self.end

    @cached_property
    def heading(self) -> Degrees:
        """Direction of the side, in degrees from +x."""
        return math.degrees(math.atan2(self.along[1], self.along[0]))

    def heading_at(self, t: Length) -> Degrees:
        """Direction of the side at `t`, in degrees from +x."""
        return self.heading

    def along_edge(self, distance: Length) -> Length:
        """A distance along the deck's edge, as the distance along the railing line."""
        return distance

    def on_edge(self, distance: Length) -> Length:
        """A distance along the railing line, as the distance along the deck's edge."""
        return distance

    def span_of(self, edge: int, start: Length, width: Length) -> FromTo | None:
        """Where a stretch of an edge lies along the railing line; None for an edge of another side.

        start, width: along the edge, from its first corner as the caller numbers it.
        """
        for spec, offset, length in zip(self.edges, self.offsets, self.lengths, strict=True):
            if spec.number == edge:
                near = length - start - width if self.turned_round else start
                return offset + self.along_edge(near), offset + self.along_edge(near + width)
        return None

    def opening_span(self, edge: int, start: Length, width: Length, post: Length) -> FromTo | None:
        """Where an opening that leaves `width` clear lies along the railing line, face to face.

        start: to its first face, from the edge's first corner as the caller numbers it. post: width
        of the posts beside it. None for an edge of another side.
        """
        return self.span_of(edge, start, width)

    def stretch_text(self, low: Length, high: Length, unit: Unit) -> str:
        """A part of the railing line in the caller's words: from where to where along which edge.

        Each place is measured from its edge's own first corner, in the caller's direction; a place
        past an end of its edge counts as at that end.
        """
        ends = [self._told(min(low, high), before=False), self._told(max(low, high), before=True)]
        (one, start), (two, end) = reversed(ends) if self.turned_round else ends
        if one == two and abs(end - start) <= TOUCH:
            return f"at {plain_length(start, unit)} along edge {two} of level {self.level}"
        leaves = "" if one == two else f" along edge {one}"
        return (
            f"from {plain_length(start, unit)}{leaves} to {plain_length(end, unit)} along edge"
            f" {two} of level {self.level}"
        )

    def place_text(self, t: Length, unit: Unit) -> str:
        """A place on the railing line in the caller's words."""
        edge, at = self._told(t, before=False)
        return f"{plain_length(at, unit)} along edge {edge} of level {self.level}"

    def _told(self, t: Length, *, before: bool) -> tuple[int, Length]:
        """The caller's number of the edge at `t`, and how far along it `t` lies for the caller.

        before: whether a place where two edges meet belongs to the first of them. A place past an
        end of its edge counts as at that end.
        """
        reach = t - TOUCH if before else t + TOUCH
        j = sum(offset <= reach for offset in self.offsets[1:])
        along = min(max(0.0, self.on_edge(t - self.offsets[j])), self.lengths[j])
        return self.edges[j].number, self.lengths[j] - along if self.turned_round else along

    def edge_at(self, at_end: bool) -> EdgeSpec:
        """The side's last edge where `at_end`, else its first."""
        return self.edges[-1 if at_end else 0]

    def edge_over(self, t: Length, toward: int = 0) -> EdgeSpec:
        """The edge that `t` lies on; past an end of the side, the edge at that end.

        toward: where two edges meet at `t`, whether the one before it (-1) or after it (1) is
        meant.
        """
        t += toward * DRAWN
        over = [edge for edge, start in zip(self.edges, self.offsets, strict=True) if start <= t]
        return over[-1] if over else self.edges[0]

    def place(self, t: Length, inward: Length) -> Point:
        """The point at `t` along the side and `inward` of the deck's edge (to the left)."""
        ux, uy = self.along
        return (
            self.start[0] + ux * t - uy * inward,
            self.start[1] + uy * t + ux * inward,
        )

    def outline(self) -> list[Point]:
        """The deck's edge as points, without its last corner."""
        return [self.start]

    def path(self) -> tuple[Point, ...]:
        """The deck's edge as points, from corner to corner."""
        return *self.outline(), self.end

    def half_extent(self, half: Length) -> Length:
        """Half the length along the railing line that a square centred on the line takes up.

        half: half the square's width.
        """
        return half

    def flat(self, t: Length, points: Sequence[Point]) -> list[tuple[Length, Length]]:
        """(along, inward) of points, measured along the direction of the side at `t`."""
        return [self.locate(point) for point in points]

    def locate(self, point: Point) -> tuple[Length, Length]:
        """(t, inward) of a point: the inverse of `place`."""
        ux, uy = self.along
        x, y = point[0] - self.start[0], point[1] - self.start[1]
        return x * ux + y * uy, y * ux - x * uy


def turn_between(arriving: Side, leaving: Side) -> Degrees:
    """Signed turn from one side to the next, left positive, within (-180, 180]."""
    (ax, ay), (bx, by) = arriving.along, leaving.along
    return math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))


def signed(angle: Degrees) -> Degrees:
    """The same turn as an angle between -180 and 180.

    >>> signed(350.0), signed(-190.0)
    (-10.0, 170.0)
    """
    return (angle + 180) % 360 - 180


def make_sides(plan: Plan, specs: tuple[EdgeSpec, ...], unit: Unit) -> tuple[Side, ...]:
    """Sides of an outline, counter-clockwise.

    specs[j]: the edge from plan.points[j]. A corner of under 0.05 degrees between edges alike is no
    corner: both edges are in one side, which takes the number of its first edge counter-clockwise.
    A row of such corners that bows is parted (`_straight_sides`).
    """
    count = len(specs)
    singles = [_side(plan, specs, (j,)) for j in range(count)]
    # Places of the edges that begin a side.
    breaks = [
        j
        for j in range(count)
        if not specs[j - 1].alike(specs[j])
        or abs(turn_between(singles[j - 1], singles[j])) >= ONE_LINE - TOUCH
    ]
    if len(breaks) == count:
        return tuple(singles)
    sides = []
    for first, after in zip(breaks, [*breaks[1:], breaks[0]], strict=True):
        members = tuple((first + n) % count for n in range((after - first - 1) % count + 1))
        sides += _straight_sides(plan, specs, members, BOWED[unit])
    return tuple(sides)


def _straight_sides(
    plan: Plan, specs: tuple[EdgeSpec, ...], members: tuple[int, ...], most: Length
) -> list[Side]:
    """The side along edges in one line, parted where corners lie over `most` off that line.

    members: places of the edges in the outline. The row is parted at the corner furthest off the
    line, the first of several, unless the turn between the two parts would again be no corner.
    """
    side = _side(plan, specs, members)
    if len(members) <= 2:
        return [side]
    places = [side.locate(plan.points[j]) for j in members[1:]]
    furthest = max(abs(off) for _, off in places) - DRAWN
    cut = next(j for j, (_, off) in enumerate(places) if abs(off) >= furthest)
    along, off = places[cut][0], abs(places[cut][1])
    turn = math.degrees(math.atan2(off, along) + math.atan2(off, side.length - along))
    if off <= most or turn < ONE_LINE - TOUCH:
        return [side]
    parts = members[: cut + 1], members[cut + 1 :]
    return [part for both in parts for part in _straight_sides(plan, specs, both, most)]


def _side(plan: Plan, specs: tuple[EdgeSpec, ...], members: tuple[int, ...]) -> Side:
    """The side along edges that follow each other in one line, by their places in the outline."""
    points = plan.points
    start = points[members[0]]
    end = points[(members[-1] + 1) % len(points)]
    ux, uy = toward(start, end)
    offsets = [(points[j][0] - start[0]) * ux + (points[j][1] - start[1]) * uy for j in members]
    return Side(
        spec=specs[members[0]],
        start=start,
        end=end,
        edges=tuple([specs[j] for j in members]),
        offsets=tuple(offsets),
        lengths=tuple([plan.edge_length(j) for j in members]),
        level=plan.level,
        turned_round=plan.turned_round,
    )
