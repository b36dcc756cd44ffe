"""Drawings: what a layout stands on, in plan: the outline of a level, edge by edge."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import shapely

from service.core.line.arcs import arc_radius, arc_sweep
from service.core.line.outline import read_outline
from service.core.line.specs import resolve_edges
from service.core.measure import TOUCH, Length, Point, Unit, tape_text, toward
from service.core.records.deck import Condition, Deck, Level
from service.drawings.points import between, moved

FINENESS: Final = math.radians(2.0)
"""The greatest angle at the centre of a bow that one straight piece of its drawing spans."""


@dataclass(frozen=True, slots=True)
class Edge:
    """An edge of a level, running counter-clockwise round it.

    number: the caller's. points: from the edge's first corner to its last, points of a bow between.
    backward: whether the caller counts along the edge from its last corner. rise: of its arc at
    mid-chord, outward positive, 0 where the edge is straight.
    """

    number: int
    condition: Condition
    points: tuple[Point, ...]
    backward: bool = False
    rise: Length = 0.0

    @property
    def length(self) -> Length:
        """From corner to corner, along the arc where the edge is bowed."""
        chord = math.dist(self.points[0], self.points[-1])
        if not self.rise:
            return chord
        return arc_radius(chord, self.rise) * arc_sweep(chord, self.rise)

    def place(self, part: float) -> Point:
        """The point a share of the way along the edge (0 to 1), in the caller's direction."""
        here = min(max(1.0 - part if self.backward else part, 0.0), 1.0) * (len(self.points) - 1)
        i = min(int(here), len(self.points) - 2)
        return between(self.points[i], self.points[i + 1], here - i)


def edges_of(deck: Deck, level: Level) -> tuple[Edge, ...]:
    """The edges of a level, counter-clockwise in their order round it."""
    plan = read_outline(level, deck.unit)
    specs = resolve_edges(deck, level, plan, None, None)
    ends = zip(plan.points, (*plan.points[1:], plan.points[0]), strict=True)
    return tuple(
        Edge(
            spec.number,
            spec.condition,
            tuple(bow(*pair, spec.arc_rise)),
            plan.turned_round,
            spec.arc_rise,
        )
        for spec, pair in zip(specs, ends, strict=True)
    )


def solid_at(level: Level, edges: Sequence[Edge], at: Point) -> str:
    """What a rail or a gate's leaf meets where it has no post: "wall" or an obstruction's name.

    It is the nearest wall or obstruction of the level; "wall" where the level has neither.
    """
    place = shapely.Point(at)
    walls = [shapely.LineString(each.points) for each in edges if each.condition == "wall"]
    found = [("wall", wall.distance(place)) for wall in walls]
    found += [(each.name, each.shape.distance(place)) for each in level.obstructions]
    return min(found, key=lambda one: one[1], default=("wall", 0.0))[0]


def origin_of(edges: Sequence[Edge], unit: Unit, step: Length) -> str:
    """Where x and y are counted from, in words.

    That is the corner at the origin; where none lies there, the coordinates of the nearest corner.

    >>> corners = (3.0, 4.0), (9.0, 4.0), (9.0, 8.0)
    >>> sides = zip(corners, (*corners[1:], corners[0]))
    >>> origin_of(tuple(Edge(i, "guard", ends) for i, ends in enumerate(sides)), "in", 0.0625)
    'x 3", y 4" at corner of edges 2 and 0'
    """
    i = min(range(len(edges)), key=lambda each: math.hypot(*edges[each].points[0]))
    x, y = edges[i].points[0]
    corner = f"corner of edges {edges[i - 1].number} and {edges[i].number}"
    if math.hypot(x, y) < TOUCH:
        return f"x, y from {corner}"
    return f"x {tape_text(x, unit, step)}, y {tape_text(y, unit, step)} at {corner}"


def distance_along(edge: Edge, point: Point) -> Length:
    """How far along a straight edge a point lies, measured square to the edge.

    The distance counts from the corner where the edge begins counter-clockwise.

    >>> distance_along(Edge(0, "guard", ((1.0, 0.0), (9.0, 0.0))), (4.5, 3.5))
    3.5
    """
    (x0, y0), (x1, y1), (x, y) = edge.points[0], edge.points[-1], point
    return ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / math.hypot(x1 - x0, y1 - y0)


def outline_of(edges: Iterable[Edge]) -> tuple[Point, ...]:
    """The outline of edges as the points of a closed shape."""
    return tuple(point for edge in edges for point in edge.points[:-1])


def bow(start: Point, end: Point, rise: Length) -> Iterator[Point]:
    """Points along an edge that has the deck on its left.

    rise: of its arc at mid-chord, outward positive; no points between the ends where it is 0.

    >>> [(round(x, 6), round(y, 6)) for x, y in bow((0.0, 0.0), (10.0, 0.0), 0.0)]
    [(0.0, 0.0), (10.0, 0.0)]
    >>> middle = list(bow((0.0, 0.0), (10.0, 0.0), 1.0))
    >>> min(round(y, 6) for _, y in middle)
    -1.0
    """
    yield start
    if rise:
        chord = math.dist(start, end)
        sweep, radius = arc_sweep(chord, rise), arc_radius(chord, rise)
        count = 2 * math.ceil(sweep / FINENESS / 2)
        for i in range(1, count):
            angle = sweep * (i / count - 0.5)
            out = math.copysign(radius * math.cos(angle) + (abs(rise) - radius), rise)
            yield moved(start, toward(start, end), chord / 2 + radius * math.sin(angle), out)
    yield end
