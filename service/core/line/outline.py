"""Core: from an outline, however it was measured, to its corners counter-clockwise, each edge with
the caller's number; and the sides that railing runs along (method 1), which `joining` makes of
them. Everything later speaks of sides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import shapely

from service.core.line.crossing import meeting_lines, touching_lines
from service.core.line.rounds import ways_round
from service.core.line.survey import Survey, tie_corners, walk_corners
from service.core.measure import (
    TOUCH,
    Area,
    Degrees,
    FromTo,
    Length,
    Point,
    Unit,
    plain_length,
)
from service.core.problems import Problem, raise_any, unbuildable
from service.core.records.deck import (
    Condition,
    Corners,
    Drops,
    Infill,
    Level,
    Obstruction,
    OpenEnd,
    Outline,
    Ties,
    Walk,
    WallEnd,
)


@dataclass(frozen=True, slots=True)
class Plan:
    """An outline of a level counter-clockwise. numbers[j]: the caller's number of the edge from
    points[j].

    turned_round: whether the caller gave it clockwise. polygon: its corners, as the caller gave
    them, bowed edges straight; area: what it encloses, of one that crosses itself the left less
    the right of its way; clearance: how near a corner comes to another or to an edge that does not
    end in it.
    """

    level: str
    points: tuple[Point, ...]
    numbers: tuple[int, ...]
    turned_round: bool
    survey: Survey
    polygon: shapely.Polygon
    area: Area
    clearance: Length

    def edge_length(self, j: int) -> Length:
        """Length of the edge from points[j]."""
        return math.dist(self.points[j], self.points[(j + 1) % len(self.points)])


@dataclass(frozen=True, slots=True)
class EdgeSpec:
    """An edge with every default resolved. number and pointer are the caller's.

    height_pointer: where its height is given; the guard itself, where that is the code's or the
    kit's.
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
        """Whether both may lie in one run. Of pickets the pane does not matter."""
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
    """Edges in one line and alike, counter-clockwise. offsets: where each edge begins along it.

    level: that it is of. turned_round: whether the caller gave its outline clockwise.
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
        """From corner to corner."""
        return math.dist(self.start, self.end)

    @cached_property
    def reached(self) -> dict[tuple[Length, Length, Obstruction], FromTo | None]:
        """What `Strip.reaches` has found: from where to where each obstruction reaches along this
        side into a strip, by the strip's bounds inward. Kept, as a bow asks for each again and
        again until it is settled."""
        return {}

    @cached_property
    def along(self) -> Point:
        """Unit vector along the side."""
        return (
            (self.end[0] - self.start[0]) / self.length,
            (self.end[1] - self.start[1]) / self.length,
        )

    @property
    def grounds(self) -> tuple[Length, ...]:
        """All that its places in plan hang on."""
        return *self.start, *self.end

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

    def on_edge(self, distance: Length) -> Length:
        """A distance along the railing line, as a distance along the deck's edge."""
        return distance

    def span_of(self, edge: int, start: Length, width: Length) -> FromTo | None:
        """Where a stretch of an edge lies along the railing line; None of an edge of another side.

        start: from the edge's first corner as the caller numbers it.
        """
        for spec, offset, length in zip(self.edges, self.offsets, self.lengths, strict=True):
            if spec.number == edge:
                near = length - start - width if self.turned_round else start
                return offset + self.along_edge(near), offset + self.along_edge(near + width)
        return None

    def opening_span(self, edge: int, start: Length, width: Length, post: Length) -> FromTo | None:
        """Where an opening that leaves `width` clear lies along the railing line, from post face to
        post face; None of an edge of another side. post: width of the posts."""
        return self.span_of(edge, start, width)

    def stretch_text(self, low: Length, high: Length, unit: Unit) -> str:
        """A part of its railing line in the caller's words: from where to where along which edge,
        each edge from its own first corner as the caller goes; past an edge's end where that is."""
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
        """A place on its railing line in the caller's words."""
        edge, at = self._told(t, before=False)
        return f"{plain_length(at, unit)} along edge {edge} of level {self.level}"

    def _told(self, t: Length, *, before: bool) -> tuple[int, Length]:
        """The caller's number of the edge at `t`, and how far along it that is as the caller goes.

        before: whether a place where two edges meet is of the first of them. What lies past an
        edge's end counts as at its end.
        """
        reach = t - TOUCH if before else t + TOUCH
        j = sum(offset <= reach for offset in self.offsets[1:])
        along = min(max(0.0, self.on_edge(t - self.offsets[j])), self.lengths[j])
        return self.edges[j].number, self.lengths[j] - along if self.turned_round else along

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

    def outline(self) -> list[Point]:
        """The deck's edge as points, without its last corner."""
        return [self.start]

    def path(self) -> tuple[Point, ...]:
        """The deck's edge as points, from corner to corner."""
        return *self.outline(), self.end

    def shadow(self, half: Length) -> Length:
        """Half of the length that a square, centred on the railing line, takes up along it. half:
        half its width."""
        return half

    def flat(self, t: Length, points: Sequence[Point]) -> list[tuple[Length, Length]]:
        """(along, inward) of points by the direction of the side at `t`."""
        return [self.locate(point) for point in points]

    def locate(self, point: Point) -> tuple[Length, Length]:
        """(t, inward) of a point: the inverse of `place`."""
        ux, uy = self.along
        x, y = point[0] - self.start[0], point[1] - self.start[1]
        return x * ux + y * uy, y * ux - x * uy


def read_outline(level: Level, unit: Unit) -> Plan:
    """The outline's corners counter-clockwise with the caller's edge numbers.

    unit: of its lengths. Refuses edges of no length and outlines that cross or touch themselves,
    with their bows straight and as they are.
    """
    survey = _survey(level, unit)
    points = survey.points
    count = len(points)
    polygon = shapely.Polygon(points)
    area = polygon.area
    # Corners given twice leave no trace in the clearance of the others.
    clearance = shapely.minimum_clearance(polygon) if len({*points}) == count else 0.0
    doubled = _doubled_area(points)
    turned_round = doubled <= 0
    if clearance <= TOUCH or not polygon.is_valid or area <= TOUCH:
        _check_lengths(level, points)
        turned_round = not _way_by_bows(level, points)
        area = -doubled / 2 if turned_round else doubled / 2
    numbers = tuple(range(count))
    if turned_round:
        points, numbers = points[::-1], tuple((count - 2 - j) % count for j in range(count))
    return Plan(level.id, points, numbers, turned_round, survey, polygon, area, clearance)


def _way_by_bows(level: Level, points: tuple[Point, ...]) -> bool:
    """Whether an outline that crosses itself or encloses nothing with its bows straight goes
    counter-clockwise. Refuses one that does so bowed, too, and one that bows tell no way of."""
    rises = {edge.number: edge.arc_rise for edge in level.edges if edge.arc_rise}
    ways = ways_round(points, rises) if rises else []
    if len(ways) == 1:
        return ways[0]
    said = _undecided(level) if ways else _crossed(level, points)
    raise unbuildable(_form_pointer(level), "outline_crosses_itself", said)


def _undecided(level: Level) -> str:
    return (
        f"With its bows straight the outline of level {level.id} is no shape, so that either"
        " side of it may be outward; give a bow a corner between its ends, as two bows."
    )


def _check_lengths(level: Level, points: tuple[Point, ...]) -> None:
    """Refuses edges that begin and end at one corner."""
    count = len(points)
    raise_any(
        Problem(
            _corner_pointer(level, i, count),
            "edge_without_length",
            f"Edge {i} of level {level.id} begins and ends at one corner; leave one of its two"
            " corners out.",
        )
        for i in range(count)
        if math.dist(points[i], points[(i + 1) % count]) <= TOUCH
    )


def _crossed(level: Level, points: tuple[Point, ...]) -> str:
    """What is wrong with an outline that is no shape: two edges that meet, or that none do."""
    ends = (*points[1:], points[0])
    lines = [shapely.LineString(both) for both in zip(points, ends, strict=True)]
    pair = meeting_lines(lines) or touching_lines(lines)
    if pair is None:
        return f"The outline of level {level.id} encloses nothing; give corners that do."
    return (
        f"Edges {pair[0]} and {pair[1]} of level {level.id} cross or touch; give the corners in"
        " order, walking once round the deck."
    )


def _corner_pointer(level: Level, edge: int, count: int) -> str:
    """Where the document gives the corner that makes an edge short: its second, but of the last
    edge its first."""
    corner = min(edge + 1, count - 1)
    if isinstance(level.outline, Walk):
        return f"{_form_pointer(level)}/{edge}"
    if isinstance(level.outline, Ties):
        corner = min(corner, count - 2) - 1
    return f"{_form_pointer(level)}/{corner}"


def count_edges(outline: Outline) -> int:
    """Edges of an outline as it is given, whether or not it can be built."""
    if isinstance(outline, Corners):
        return len(outline.points)
    return len(outline.sides) if isinstance(outline, Walk) else len(outline.corners) + 2


def _form_pointer(level: Level) -> str:
    outline = level.outline
    if isinstance(outline, Corners):
        return f"{outline.pointer}/points"
    return f"{outline.pointer}/sides" if isinstance(outline, Walk) else f"{outline.pointer}/corners"


def _survey(level: Level, unit: Unit) -> Survey:
    outline = level.outline
    if isinstance(outline, Corners):
        return Survey(outline.points)
    if isinstance(outline, Ties):
        return tie_corners(outline, level.id, unit)
    return walk_corners(outline, level.id, unit)


def _doubled_area(points: tuple[Point, ...]) -> float:
    return math.fsum(
        [
            points[i - 1][0] * points[i][1] - points[i][0] * points[i - 1][1]
            for i in range(len(points))
        ]
    )


def turn_between(arriving: Side, leaving: Side) -> Degrees:
    """Signed turn from one side to the next, left positive, within (-180, 180]."""
    (ax, ay), (bx, by) = arriving.along, leaving.along
    return math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))
