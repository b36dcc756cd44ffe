"""Drawings, plans: what a tape reads: running dimensions of each run, and the length of each edge.

A run is measured as it is marked: from its origin, the dot, to every post centre (ISO 129, running
dimensions). The numbers are the reply's own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from service.core.measure import Length, Point, tape_text
from service.drawings.ground import Edge
from service.drawings.marks import SMALL, Disc, Mark, Stroke, Words, line, width_of
from service.drawings.plans.paper import LINE, Paper
from service.drawings.plans.placing import along, square_to
from service.drawings.plans.scene import Scene
from service.drawings.plans.tracks import Track, between, unit

FIRST: Final = 6.5
"""In mm, from the outermost of edge and posts to the line that a run is measured on."""
OFFS: Final = (0.0, 4.0, 8.0, 12.0)
"""How much further out that line is tried, in mm."""
PAST: Final = 1.0
TICK: Final = 0.9
DOT: Final = 0.7
GAP: Final = 1.2
"""In mm, from a line to the words at its end."""
TIER: Final = 3.2
"""In mm, from what the runs of an edge take up to the line of its whole length."""
CLOSE: Final = 2.4
"""In mm, between two posts whose marks can be told apart."""


def measure_runs(paper: Paper, scene: Scene, tracks: Mapping[str, Track]) -> dict[int, float]:
    """Draw every run's marks and length. Yields how far out each edge's take room, in mm."""
    taken: dict[int, float] = {}
    for track in tracks.values():
        far = _measure(paper, scene, track)
        if track.run.flight is None:
            taken[track.run.edge] = max(taken.get(track.run.edge, 0.0), far)
    return taken


def measure_edges(paper: Paper, scene: Scene, taken: Mapping[int, float]) -> None:
    """Each edge's number, whether it is guarded, and its length, outside all that its runs take."""
    deck = scene.subject.deck
    for edge in scene.edges.values():
        text = scene.lengths.get(edge.number) or tape_text(edge.length, deck.unit, deck.step)
        kind = "" if edge.condition == "guard" else f" {edge.condition}"
        bowed = " bowed" if edge.rise else ""
        _span_edge(
            paper, edge, taken.get(edge.number, 0.0), f"edge {edge.number}{kind}{bowed}", text
        )


def _measure(paper: Paper, scene: Scene, track: Track) -> float:
    scale = paper.scale
    said = scene.said["runs", track.run.id]
    texts = said["marks_text"] if len(track.run.marks) > 2 else []
    first = _outermost(scene, track) * scale.per_unit + FIRST
    tries = [(off, list(_ordinates(paper, track, texts, first + off))) for off in OFFS]
    off, ordinates = min(tries, key=lambda each: (sum(map(paper.cost, each[1])) // LINE, each[0]))
    away = first + off
    for mark in _dimension(paper, scene, track, away):
        paper.draw(mark)
    _write_ordinates(paper, track, ordinates)
    reach = max((width_of(each, SMALL) for each in texts), default=0.0)
    name = f"{track.run.id} {said['length_text']}"
    written = paper.write(_along_run(paper, track, away, reach, name))
    return away + (reach + GAP if texts else SMALL + GAP if written is not None else 0.0)


def _outermost(scene: Scene, track: Track) -> Length:
    """How far out of the railing line the edge and the bases reach."""
    kit, run = scene.subject.kit, track.run
    half = kit.post.base.width / 2
    if run.flight is not None:
        return half
    edge = scene.edges[run.edge]
    bulge = 0.0
    if edge.rise > 0:
        points = [edge.place(i / 32) for i in range(33)]
        ux, uy = track.outward
        x0, y0 = track.points[0]
        size = math.dist(track.points[0], track.points[-1])
        ax, ay = track.along
        near = [
            (x - x0) * ux + (y - y0) * uy
            for x, y in points
            if -size * 0.1 <= (x - x0) * ax + (y - y0) * ay <= size * 1.1
        ]
        bulge = max(near, default=0.0)
    return max(kit.post.setback, half, bulge)


def _dimension(paper: Paper, scene: Scene, track: Track, away: float) -> Iterator[Mark]:
    """The line that a run is measured on, its origin, a slash at each mark, and lines to it."""
    scale = paper.scale
    out, t = scale.of_paper(away), scale.of_paper(TICK)
    begin = scene.subject.kit.post.base.width / 2 + scale.of_paper(PAST)
    points = track.points
    yield line("dimension", track.off(points[0], 0.0, out), track.off(points[-1], 0.0, out))
    for point in points:
        yield line("dimension", track.off(point, 0.0, begin), track.off(point, 0.0, out + t))
        yield line("dimension", track.off(point, -t, out - t), track.off(point, t, out + t))
    yield Disc("dimension", track.off(points[0], 0.0, out), scale.of_paper(DOT))


def _ordinates(paper: Paper, track: Track, texts: Sequence[str], away: float) -> Iterator[Words]:
    out = paper.scale.of_paper(away + GAP)
    for point, text in zip(track.points, texts, strict=False):
        yield square_to(paper.scale, track.off(point, 0.0, out), track.outward, text)


def _write_ordinates(paper: Paper, track: Track, ordinates: Sequence[Words]) -> None:
    """First and last, then those between that can be told apart from them and from each other."""
    if not ordinates:
        return
    k = paper.scale.per_unit
    last = len(ordinates) - 1
    paper.write([ordinates[0]])
    paper.write([ordinates[last]])
    kept = 0
    for i in range(1, last):
        near = math.dist(track.points[i], track.points[kept]) * k
        if min(near, math.dist(track.points[i], track.points[last]) * k) < CLOSE:
            paper.left_out += 1
            continue
        paper.write([ordinates[i]])
        kept = i


def _along_run(paper: Paper, track: Track, away: float, reach: float, text: str) -> Iterator[Words]:
    """Between the deck and the line, in a bay near the middle; else outside of all."""
    scale, points = paper.scale, track.points
    wide = scale.of_paper(width_of(text, SMALL) + 2 * TICK)
    middles = sorted(
        (
            between(a, b)
            for a, b in zip(points, points[1:], strict=False)
            if math.dist(a, b) >= wide
        ),
        key=lambda point: math.dist(point, track.middle),
    )
    side = -track.out
    inner = scale.of_paper(away)
    for point in middles:
        yield along(
            scale,
            track.off(point, 0.0, inner),
            track.along,
            side * -0.0 + side * (SMALL / 2 + 0.6),
            text,
        )
    outer = scale.of_paper(away + GAP + reach + SMALL / 2 + 0.4)
    for step in (0.0, SMALL + 0.8, 2 * SMALL + 1.6):
        place = track.off(track.middle, 0.0, outer + scale.of_paper(step))
        yield along(scale, place, track.along, 0.0, text)
    end = track.off(points[-1], scale.of_paper(SMALL), inner)
    yield square_to(scale, end, track.outward, text)


def _span_edge(paper: Paper, edge: Edge, taken: float, name: str, text: str) -> None:
    """An edge's length from corner to corner, its line broken for nothing; where it is too short
    for its words they stand square to it, or its number alone stands beside it."""
    scale = paper.scale
    start, end = edge.points[0], edge.points[-1]
    ux, uy = unit(start, end)
    out = (uy, -ux)
    bulge = max(0.0, edge.rise) * scale.per_unit
    away = max(taken + TIER, bulge + 5.0)

    def at(point: Point, far: float) -> Point:
        return point[0] + out[0] * scale.of_paper(far), point[1] + out[1] * scale.of_paper(far)

    full = f"{name}: {text}"
    fits = width_of(full, SMALL) + 2 * TICK <= math.dist(start, end) * scale.per_unit
    rise = -(SMALL / 2 + 0.6)
    offered = []
    for step in (0.0, 3.6, 7.2):
        for part in (0.5, 0.35, 0.65, 0.2, 0.8) if fits else ():
            offered.append(
                along(scale, at(between(start, end, part), away + step), (ux, uy), rise, full)
            )
    lines = bool(offered)
    if not lines:
        offered = [
            square_to(scale, at(between(start, end), away + step), out, full) for step in (0.0, 4.0)
        ]
        offered += [along(scale, at(between(start, end), away), (ux, uy), 0.0, str(edge.number))]
    costs = [paper.cost(each) for each in offered]
    best = costs.index(min(costs))
    if lines:
        far = away + 3.6 * (best // 5)
        for mark in _corner_to_corner(scale.of_paper(TICK), at(start, far), at(end, far), (ux, uy)):
            paper.draw(mark)
    paper.write([offered[best]])


def _corner_to_corner(t: Length, start: Point, end: Point, way: Point) -> Iterator[Stroke]:
    ux, uy = way
    yield line("dimension", start, end)
    for x, y in (start, end):
        yield line("dimension", (x + uy * t * 2, y - ux * t * 2), (x - uy * t * 2, y + ux * t * 2))
        yield line(
            "dimension",
            (x - ux * t + uy * t, y - uy * t - ux * t),
            (x + ux * t - uy * t, y + uy * t + ux * t),
        )
