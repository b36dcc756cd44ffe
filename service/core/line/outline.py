"""Core: from an outline, however it was measured, to its corners counter-clockwise (method 1).

Each edge keeps the caller's number. `read_outline` is the entry.
"""

from __future__ import annotations

import math

import shapely

from service.core.frozen import record
from service.core.line.crossing import meeting_lines, touching_lines
from service.core.line.rounds import ways_round
from service.core.line.survey import Survey, tie_corners, walk_corners
from service.core.measure import TOUCH, Area, Length, Point, Unit
from service.core.problems import Problem, raise_any, unbuildable
from service.core.records.deck import Corners, Level, Outline, Ties, Walk


@record()
class Plan:
    """The outline of a level, counter-clockwise.

    level: id of the level.
    points: its corners.
    numbers[j]: the caller's number of the edge from points[j].
    turned_round: whether the caller gave the outline clockwise.
    survey: its corners as they were measured.
    polygon: its corners in the caller's order, with bowed edges drawn straight.
    area: what `polygon` encloses; where it crosses itself, what lies to the left of its way less
    what lies to the right.
    clearance: how near a corner comes to another, or to an edge that does not end in it.
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
        """Straight length of the edge from points[j]; of a bowed edge, its chord."""
        return math.dist(self.points[j], self.points[(j + 1) % len(self.points)])


def read_outline(level: Level, unit: Unit) -> Plan:
    """The outline of a level, counter-clockwise, with the caller's edge numbers.

    unit: of its lengths. Refuses edges of no length, and an outline that crosses or touches itself
    with its bows drawn straight, unless its bows as they are mend that and tell which way round it
    goes.
    """
    survey = _survey(level, unit)
    points = survey.points
    count = len(points)
    polygon: shapely.Polygon = shapely.polygons(points)
    area = polygon.area
    # The clearance that shapely finds takes no notice of corners given twice.
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
    """Whether an outline that is no shape with its bows straight goes counter-clockwise.

    Refuses an outline that is no shape with its bows as they are, either, and one whose bows would
    let it go either way.
    """
    rises = {edge.number: edge.arc_rise for edge in level.edges if edge.arc_rise}
    ways = ways_round(points, rises) if rises else []
    if len(ways) == 1:
        return ways[0]
    said = _crossed(level, points)
    if ways:
        said = (
            f"With its bows straight the outline of level {level.id} is no shape, so that either"
            " side of it may be outward; give a bow a corner between its ends, as two bows."
        )
    raise unbuildable(form_pointer(level), "outline_crosses_itself", said)


def _check_lengths(level: Level, points: tuple[Point, ...]) -> None:
    """Refuse edges that begin and end at the same corner."""
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
    """What is wrong with an outline that is no shape: two edges meet, or it encloses nothing."""
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
    """Pointer to the corner that leaves an edge without length; in a walk, to the side.

    The corner is the edge's second or, for the last edge, its first. Where ties do not list it, as
    one of their ends A and B, it is the nearest corner that they do list.
    """
    corner = min(edge + 1, count - 1)
    if isinstance(level.outline, Walk):
        return f"{form_pointer(level)}/{edge}"
    if isinstance(level.outline, Ties):
        corner = min(corner, count - 2) - 1
    return f"{form_pointer(level)}/{corner}"


def count_edges(outline: Outline) -> int:
    """Number of edges of an outline as it is given, whether or not it can be built."""
    if isinstance(outline, Corners):
        return len(outline.points)
    return len(outline.sides) if isinstance(outline, Walk) else len(outline.corners) + 2


def form_pointer(level: Level) -> str:
    """Pointer to the corners, sides or tapes by which the document gives an outline."""
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
