"""Drawings, plans: the surface that a railing stands on: edges, walls and obstructions."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

import shapely

from service.core.measure import TOUCH, Length, Point, toward
from service.drawings.ground import Edge, outline_of
from service.drawings.marks import SMALL, Pattern, Stroke, clipped, line
from service.drawings.plans.paper import SOLID, Paper
from service.drawings.plans.placing import Aside, Label, tag
from service.drawings.plans.scene import Scene
from service.drawings.points import between, extent, moved, points_of

BAND: Final = 1.8
"""In mm on paper, the thickness that walls are drawn with, which is no measure of them."""
BESIDE: Final = 0.9
"""In mm, how far off its edge a stretch without posts is drawn."""
NEAR: Final = 0.2
"""How far past a level obstructions are drawn, as a share of the level's size."""
NAME: Final = 40.0
"""In mm, the room for a name that a caller gave."""


def draw_ground(paper: Paper, scene: Scene) -> None:
    """Draw edges, walls, obstructions and stretches without posts, without words."""
    edges = tuple(scene.edges.values())
    for i, edge in enumerate(edges):
        if edge.condition == "wall":
            paper.draw(_band(edges, i, paper.scale.of_paper(BAND)), SOLID)
    paper.marks.append(Stroke("outline", outline_of(edges), closed=True))
    for outline in _outline(edges):
        paper.draw(outline)
    for seen in scene.wall_ends:
        arrives = math.dist(scene.edges[seen.edge].points[-1], seen.goes_on[0]) < TOUCH
        thick = paper.scale.of_paper(BAND) * (1.0 if arrives else -1.0)
        paper.draw(_going_on(*seen.goes_on, thick))
    for _, shape in standing(scene):
        paper.draw(shape, SOLID)
    for points, _ in _stretches(paper, scene):
        paper.draw(Stroke("block", points))
        for end in (points[0], points[-1]):
            paper.draw(_tick(paper, end, toward(points[0], points[-1])))


def name_ground(paper: Paper, scene: Scene) -> None:
    """Write the names of obstructions, and why no post may stand where it may not."""
    for name, shape in standing(scene):
        if not name:
            continue
        around = extent(shape.points)
        half = paper.scale.per_unit * max(around.size) / 2
        text = clipped(name, SMALL, NAME)
        tag(paper, Aside(between(*around), (0.7, 0.7), half + 0.8), Label(text))
    for points, why in _stretches(paper, scene):
        ux, uy = toward(points[0], points[-1])
        text = clipped(f"no post: {why}" if why else "no post", SMALL, NAME)
        middle = points[len(points) // 2] if len(points) > 2 else between(points[0], points[-1])
        tag(paper, Aside(middle, (uy, -ux), 1.0), Label(text))


def standing(scene: Scene) -> Iterator[tuple[str, Stroke]]:
    """Obstructions on a level or near it, with their names; what lies far off is cut away.

    An obstruction that this cuts into pieces comes once for each of them, of which only the largest
    has its name; that of the others is empty.
    """
    outline = scene.outline
    whole = extent(outline)
    window = shapely.box(*whole.grown(NEAR * max(whole.size)).sides)
    for each in scene.level.obstructions:
        seen = shapely.make_valid(shapely.Polygon(each.points)).intersection(window)
        pieces = [part for part in shapely.get_parts(seen) if isinstance(part, shapely.Polygon)]
        largest = max(pieces, key=lambda piece: piece.area, default=None)
        for piece in pieces:
            points = points_of(piece.exterior)[:-1]
            name = each.name if piece is largest else ""
            if points:
                yield name, Stroke("wall", points, closed=True, filled=True)


def _outline(edges: Sequence[Edge]) -> Iterator[Stroke]:
    """The outline as lines: one for each row of edges that look alike, closed if all do."""
    looks: list[Pattern] = ["dashed" if edge.condition == "open" else "full" for edge in edges]
    starts = [i for i, look in enumerate(looks) if look != looks[i - 1]]
    if not starts:
        yield Stroke("deck", outline_of(edges), closed=True, pattern=looks[0])
        return
    for start, end in pairwise([*starts, starts[0] + len(edges)]):
        some = [edges[i % len(edges)] for i in range(start, end)]
        points = (*outline_of(some), some[-1].points[-1])
        yield Stroke("deck", points, pattern=looks[start])


def _band(edges: Sequence[Edge], i: int, thick: Length) -> Stroke:
    """A wall along the outside of an edge, meeting the walls before and after it in mitres."""
    points = edges[i].points
    before, after = edges[i - 1], edges[(i + 1) % len(edges)]
    first, last = toward(*points[:2]), toward(*points[-2:])
    on = [0.0] * len(points)
    if before.condition == "wall":
        on[0] = -_mitre(toward(*before.points[-2:]), first, thick)
    if after.condition == "wall":
        on[-1] = _mitre(last, toward(*after.points[:2]), thick)
    starts, ends = (points[0], *points[:-1]), (*points[1:], points[-1])
    outer = []
    for point, start, end, along in zip(points, starts, ends, on, strict=True):
        direction = toward(start, end)
        outer.append(moved(moved(point, direction, 0.0, thick), direction, along))
    return Stroke("wall", (*points, *outer[::-1]), closed=True, filled=True)


def _going_on(corner: Point, end: Point, thick: Length) -> Stroke:
    """Where a wall has to go on past the deck's corner.

    thick: its thickness, to the right of the way from corner to end (below 0: to the left).
    """
    direction = toward(corner, end)
    outer = [moved(point, direction, 0.0, thick) for point in (end, corner)]
    return Stroke("wall", (corner, end, *outer), pattern="dashed")


def _mitre(one: Point, two: Point, thick: Length) -> Length:
    """How far the outer face of a wall runs past a corner to meet the next wall.

    one, two: unit vectors of the walls before and after the corner. The length is below 0 where
    they turn to the right; it is never more than twice the thickness, either way.

    >>> round(_mitre((1.0, 0.0), (0.0, 1.0), 2.0), 9), round(_mitre((0.0, 1.0), (1.0, 0.0), 2.0), 9)
    (2.0, -2.0)
    """
    cross, dot = one[0] * two[1] - one[1] * two[0], one[0] * two[0] + one[1] * two[1]
    return thick * max(-2.0, min(2.0, math.tan(math.atan2(cross, dot) / 2)))


def _stretches(paper: Paper, scene: Scene) -> Iterator[tuple[tuple[Point, ...], str]]:
    """Stretches where no post may stand, each with its reason.

    Their points run counter-clockwise, a little outside their edges.
    """
    off = paper.scale.of_paper(BESIDE)
    for each in scene.level.no_post:
        edge = scene.edges[each.edge]
        parts = [each.start / edge.length, (each.start + each.width) / edge.length]
        if edge.backward:
            parts = parts[::-1]
        count = len(edge.points) if edge.rise else 1
        steps = [parts[0] + (parts[1] - parts[0]) * i / count for i in range(count + 1)]
        places = [edge.place(part) for part in steps]
        direction = toward(places[0], places[-1])
        yield tuple(moved(place, direction, 0.0, off) for place in places), each.why


def _tick(paper: Paper, at: Point, along: Point) -> Stroke:
    """A short line across another one."""
    half = paper.scale.of_paper(BESIDE)
    return line("block", moved(at, along, 0.0, -half), moved(at, along, 0.0, half))
