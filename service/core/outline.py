"""Core: any outline form to corners counter-clockwise, and its edges to sides (method 1).

A side is one edge, or several in one line that are alike; everything later speaks of sides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import shapely

from service.core.deck import Condition, Corners, Drops, Infill, Level, Ties, Walk, WallEnd
from service.core.measure import TOUCH, Degrees, Length, Point
from service.core.problems import Problem, Unbuildable, unbuildable
from service.core.survey import Survey, tie_corners, walk_corners

ONE_LINE: Final[Degrees] = 0.05
"""A corner that turns by less, between edges alike, is no corner."""


@dataclass(frozen=True, slots=True)
class Plan:
    """An outline counter-clockwise. numbers[j]: the caller's number of the edge from points[j].

    turned_round: whether the caller gave it clockwise. polygon: its corners, as the caller gave
    them, bowed edges straight.
    """

    points: tuple[Point, ...]
    numbers: tuple[int, ...]
    turned_round: bool
    survey: Survey
    polygon: shapely.Polygon

    def edge_length(self, j: int) -> Length:
        """Length of the edge from points[j]."""
        return math.dist(self.points[j], self.points[(j + 1) % len(self.points)])


@dataclass(frozen=True, slots=True)
class EdgeSpec:
    """An edge with every default resolved. number and pointer are the caller's."""

    number: int
    pointer: str
    condition: Condition
    infill: Infill
    pane: int
    height: Length
    drops: Drops
    wall_end: WallEnd
    arc_rise: Length = 0.0

    def alike(self, other: EdgeSpec) -> bool:
        """Whether both may lie in one run."""
        return (
            self.condition == other.condition
            and self.infill == other.infill
            and self.pane == other.pane
            and self.height == other.height
            and self.drops == other.drops
            and self.arc_rise == other.arc_rise == 0.0
        )


@dataclass(frozen=True)
class Side:
    """Edges in one line and alike, counter-clockwise. offsets: where each edge begins along it."""

    spec: EdgeSpec
    start: Point
    end: Point
    edges: tuple[EdgeSpec, ...]
    offsets: tuple[Length, ...]
    lengths: tuple[Length, ...]

    @cached_property
    def length(self) -> Length:
        """From corner to corner."""
        return math.dist(self.start, self.end)

    @cached_property
    def along(self) -> Point:
        """Unit vector along the side."""
        return (
            (self.end[0] - self.start[0]) / self.length,
            (self.end[1] - self.start[1]) / self.length,
        )

    @cached_property
    def heading(self) -> Degrees:
        """Direction of the side, degrees from +x."""
        return math.degrees(math.atan2(self.along[1], self.along[0]))

    def heading_at(self, t: Length) -> Degrees:
        """Direction of the side at `t`."""
        return self.heading

    def along_edge(self, distance: Length) -> Length:
        """A distance along the deck's edge, as a distance along the railing line."""
        return distance

    def span_of(
        self, edge: int, start: Length, width: Length, turned_round: bool
    ) -> tuple[Length, Length] | None:
        """Where a stretch of one of its edges lies along its railing line; None if of another.

        start: from the edge's first corner as the caller numbers it; turned_round: that the
        outline was given clockwise.
        """
        for spec, offset, length in zip(self.edges, self.offsets, self.lengths, strict=True):
            if spec.number == edge:
                near = length - start - width if turned_round else start
                return offset + self.along_edge(near), offset + self.along_edge(near + width)
        return None

    def edge_at(self, at_end: bool) -> EdgeSpec:
        """The edge at the side's end, or at its start."""
        return self.edges[-1 if at_end else 0]

    def edge_over(self, t: Length) -> EdgeSpec:
        """The edge that `t` lies on; before the first it is the first."""
        over = [edge for edge, start in zip(self.edges, self.offsets, strict=True) if start <= t]
        return over[-1] if over else self.edges[0]

    def place(self, t: Length, inward: Length) -> Point:
        """The point at `t` along the side, `inward` of it (to the left)."""
        ux, uy = self.along
        return (
            self.start[0] + ux * t - uy * inward,
            self.start[1] + uy * t + ux * inward,
        )

    def shadow(self, half: Length) -> Length:
        """Half of what a square this wide about the railing line takes up along it."""
        return half

    def flat(self, t: Length, points: Sequence[Point]) -> list[tuple[Length, Length]]:
        """(along, inward) of points by the direction of the side at `t`."""
        return [self.locate(point) for point in points]

    def locate(self, point: Point) -> tuple[Length, Length]:
        """(t, inward) of a point: the inverse of `place`."""
        ux, uy = self.along
        x, y = point[0] - self.start[0], point[1] - self.start[1]
        return x * ux + y * uy, y * ux - x * uy


def read_outline(level: Level) -> Plan:
    """The outline's corners counter-clockwise with the caller's edge numbers.

    Refuses edges of no length and outlines that cross or touch themselves.
    """
    survey = _survey(level)
    points = survey.points
    count = len(points)
    pointer = _form_pointer(level)
    short = [i for i in range(count) if math.dist(points[i], points[(i + 1) % count]) <= TOUCH]
    if short:
        raise Unbuildable(
            Problem(pointer, "edge_without_length", f"Edge {i} begins and ends at one corner.")
            for i in short
        )
    polygon = shapely.Polygon(points)
    if not polygon.is_valid or polygon.area <= TOUCH:
        raise unbuildable(
            pointer,
            "outline_crosses_itself",
            "The outline crosses or touches itself, or encloses nothing; give its corners in"
            " order, walking once round the deck.",
        )
    if _doubled_area(points) > 0:
        return Plan(points, tuple(range(count)), turned_round=False, survey=survey, polygon=polygon)
    numbers = tuple((count - 2 - j) % count for j in range(count))
    return Plan(points[::-1], numbers, turned_round=True, survey=survey, polygon=polygon)


def _form_pointer(level: Level) -> str:
    outline = level.outline
    if isinstance(outline, Corners):
        return f"{outline.pointer}/points"
    return f"{outline.pointer}/sides" if isinstance(outline, Walk) else f"{outline.pointer}/corners"


def _survey(level: Level) -> Survey:
    outline = level.outline
    if isinstance(outline, Corners):
        return Survey(outline.points)
    if isinstance(outline, Ties):
        return tie_corners(outline, level.id)
    return walk_corners(outline, level.id)


def _doubled_area(points: tuple[Point, ...]) -> float:
    return math.fsum(
        points[i - 1][0] * points[i][1] - points[i][0] * points[i - 1][1]
        for i in range(len(points))
    )


def turn_between(arriving: Side, leaving: Side) -> Degrees:
    """Signed turn from one side to the next, left positive, within (-180, 180]."""
    (ax, ay), (bx, by) = arriving.along, leaving.along
    return math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))


def join_sides(plan: Plan, specs: tuple[EdgeSpec, ...]) -> tuple[Side, ...]:
    """Sides of an outline counter-clockwise; specs[j] is of the edge from plan.points[j].

    Corners of under 0.05 degrees between edges alike are no corner; the side takes the number
    of its first edge counter-clockwise.
    """
    count = len(specs)
    singles = [_side(plan, specs, (j,)) for j in range(count)]
    breaks = [
        j
        for j in range(count)
        if not specs[j - 1].alike(specs[j])
        or abs(turn_between(singles[j - 1], singles[j])) >= ONE_LINE
    ]
    if len(breaks) == count:
        return tuple(singles)
    sides = []
    for k, first in enumerate(breaks):
        after = breaks[(k + 1) % len(breaks)]
        members = [first]
        while (members[-1] + 1) % count != after:
            members.append((members[-1] + 1) % count)
        sides.append(singles[first] if len(members) == 1 else _side(plan, specs, tuple(members)))
    return tuple(sides)


def _side(plan: Plan, specs: tuple[EdgeSpec, ...], members: tuple[int, ...]) -> Side:
    points = plan.points
    start = points[members[0]]
    end = points[(members[-1] + 1) % len(points)]
    length = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    offsets = tuple(
        (points[j][0] - start[0]) * ux + (points[j][1] - start[1]) * uy for j in members
    )
    return Side(
        spec=specs[members[0]],
        start=start,
        end=end,
        edges=tuple(specs[j] for j in members),
        offsets=offsets,
        lengths=tuple(plan.edge_length(j) for j in members),
    )
