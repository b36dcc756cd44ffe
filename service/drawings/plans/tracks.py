"""Drawings, plans: where each run lies, from mark to mark."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import shapely

from service.core.line.arcs import arc_radius
from service.core.measure import Length, Point
from service.core.records.layout import Bay, Run
from service.drawings.ground import Edge, outline_of
from service.drawings.plans.scene import Scene
from service.drawings.scales import Scale

LOOSE: Final = 1e-3
"""Part of a run's length by which a stretch between two walls may differ from it."""
TIGHT: Final = 5.0
"""In mm on paper, a bay that has room for its id and its post's."""


@dataclass(frozen=True, slots=True)
class Track:
    """A run in plan. points: of its marks, in order; along: unit vector; out: to its outer side, 1
    where that is to the right of the way along it, -1 to the left."""

    run: Run
    points: tuple[Point, ...]
    along: Point
    out: float = 1.0

    def off(self, point: Point, along: Length, away: Length) -> Point:
        """A point moved along the run, and away from the deck or the flight."""
        (ux, uy), (x, y) = self.along, point
        away *= self.out
        return x + ux * along + uy * away, y + uy * along - ux * away

    @property
    def middle(self) -> Point:
        """Half-way along it."""
        (x0, y0), (x1, y1) = self.points[0], self.points[-1]
        return (x0 + x1) / 2, (y0 + y1) / 2

    @property
    def outward(self) -> Point:
        """Unit vector to its outer side."""
        return self.along[1] * self.out, -self.along[0] * self.out


def unit(start: Point, end: Point) -> Point:
    """The direction from a point to another one.

    >>> unit((0.0, 0.0), (0.0, 5.0))
    (0.0, 1.0)
    """
    size = math.dist(start, end)
    return (end[0] - start[0]) / size, (end[1] - start[1]) / size


def between(start: Point, end: Point, part: float = 0.5) -> Point:
    """A point on the way from one to another."""
    return start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part


def tracks_of(scene: Scene) -> dict[str, Track]:
    """Every run of a level and its flights by its id; one of which nobody can say where it lies,
    as no post stands on it and no walls are as far apart, is left out."""
    found = {}
    for run in scene.runs.values():
        ends = _ends(scene, run)
        if ends is not None and math.dist(*ends) > 0:
            along = unit(*ends)
            marks = run.marks
            points = [between(*ends, mark / run.length) for mark in marks]
            found[run.id] = Track(run, tuple(points), along, _out(scene, run, along, ends[0]))
    return found


def bay_ends(scene: Scene, track: Track, bay: Bay) -> tuple[Point, Point]:
    """The centres of the posts of a bay, or the wall faces that it meets."""
    start, end = scene.at(bay.start), scene.at(bay.end)
    return start or track.points[0], end or track.points[-1]


def is_tight(tracks: Mapping[str, Track], scale: Scale) -> bool:
    """Whether all but the largest bays are so small on paper that nothing can be said of each."""
    bays = sorted(math.dist(*pair) for track in tracks.values() for pair in pairwise(track.points))
    return bool(bays) and bays[len(bays) * 9 // 10] * scale.per_unit < TIGHT


def _out(scene: Scene, run: Run, along: Point, start: Point) -> float:
    """Outward is to the right on a level; on a flight to the side that its other guard is not."""
    flight = next((each for each in scene.flights if each.id == run.flight), None)
    if flight is None:
        return 1.0
    # Runs go from head to foot: seen going up, what is left then lies to the right.
    return 1.0 if _hand(scene, run, flight.opening) == "left" else -1.0


def _hand(scene: Scene, run: Run, place: str) -> str:
    opening = next(each for each in scene.openings if each.place == place)
    return "left" if run.start == opening.start else "right"


def _ends(scene: Scene, run: Run) -> tuple[Point, Point] | None:
    start, end = scene.at(run.start), scene.at(run.end)
    if start is not None and end is not None:
        return start, end
    edge = scene.edges[run.edge]
    if edge.rise:
        return _on_bow(scene, edge, run, start, end)
    ux, uy = unit(edge.points[0], edge.points[-1])
    known = _known(scene, run)
    if known is None:
        return _between_walls(scene, edge, run)
    (x, y), mark = known
    rest = run.length - mark
    return (x - ux * mark, y - uy * mark), (x + ux * rest, y + uy * rest)


def _known(scene: Scene, run: Run) -> tuple[Point, Length] | None:
    """A post on a run and its mark."""
    if run.start is not None:
        return scene.posts[run.start].at, 0.0
    if run.end is not None:
        return scene.posts[run.end].at, run.length
    for bay, mark in zip(scene.bays[run.id], run.marks[1:], strict=False):
        if bay.end is not None:
            return scene.posts[bay.end].at, mark
    return None


def _on_bow(
    scene: Scene, edge: Edge, run: Run, start: Point | None, end: Point | None
) -> tuple[Point, Point] | None:
    """The ends of a chord on a bowed edge, of which one or both meet a wall."""
    first, last = edge.points[0], edge.points[-1]
    chord, setback = math.dist(first, last), scene.subject.kit.post.setback
    way = math.copysign(1.0, edge.rise)
    radius = arc_radius(chord, edge.rise)
    ux, uy = unit(first, last)
    inward = way * radius - edge.rise
    centre = between(first, last)[0] - uy * inward, between(first, last)[1] + ux * inward
    line = radius - way * setback
    sweep = 2 * math.asin(min(1.0, run.length / (2 * line))) * way
    if start is None and end is None:
        turn = math.atan2(edge.place(0.5)[1] - centre[1], edge.place(0.5)[0] - centre[0])
        return _polar(centre, line, turn - sweep / 2), _polar(centre, line, turn + sweep / 2)
    known = start or end
    assert known is not None
    turn = math.atan2(known[1] - centre[1], known[0] - centre[0])
    other = _polar(centre, line, turn + (sweep if end is None else -sweep))
    return (known, other) if end is None else (other, known)


def _polar(centre: Point, radius: Length, angle: float) -> Point:
    return centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)


def _between_walls(scene: Scene, edge: Edge, run: Run) -> tuple[Point, Point] | None:
    """Where on the railing line of an edge a stretch as long as a run lies free."""
    first, last = edge.points[0], edge.points[-1]
    ux, uy = unit(first, last)
    setback = scene.subject.kit.post.setback
    far = math.dist(first, last)
    start = first[0] - uy * setback, first[1] + ux * setback
    line = shapely.LineString(
        [
            (start[0] - ux * far, start[1] - uy * far),
            (start[0] + ux * 2 * far, start[1] + uy * 2 * far),
        ]
    )
    half = scene.subject.kit.post.width / 2
    solid = [shapely.Polygon(each.points).buffer(half) for each in scene.level.obstructions]
    ground = shapely.Polygon(outline_of(tuple(scene.edges.values())))
    if setback < 0:
        ground = ground.buffer(abs(setback) + half, join_style="mitre")
    free = line.intersection(ground.difference(shapely.union_all(solid)))
    return min(_as_long(free, run.length, (ux, uy)), default=None)


def _as_long(free: shapely.Geometry, length: Length, way: Point) -> Iterator[tuple[Point, Point]]:
    for part in shapely.get_parts(free):
        ends: Sequence[Point] = [tuple(place) for place in shapely.get_coordinates(part).tolist()]
        if len(ends) > 1 and abs(part.length - length) <= LOOSE * length:
            a, b = ends[0], ends[-1]
            ahead = (b[0] - a[0]) * way[0] + (b[1] - a[1]) * way[1] > 0
            yield (a, b) if ahead else (b, a)
