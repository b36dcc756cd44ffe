"""Drawings, plans: what a tape reads along each run, from its first post centre to its last.

A run is measured as it is marked: from its origin, the dot, to every post centre (ISO 129, running
dimensions). The numbers are the reply's own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from service.core.measure import Length
from service.drawings.marks import Disc, Mark, Words, line
from service.drawings.plans.paper import SOLID, Paper
from service.drawings.plans.placing import square_to
from service.drawings.plans.run_names import (
    GAP,
    ROW,
    TICK,
    few_places,
    names_places,
    reach_of,
    strip_places,
)
from service.drawings.plans.scene import Scene
from service.drawings.plans.tracks import Track, is_tight

FIRST: Final = 6.5
"""In mm, from the outermost of edge and bases to the line that a run is measured on."""
INSIDE: Final = 10.0
"""In mm, from the bases to that line where it is on the deck's side of them."""
OFFS: Final = (0.0, 4.0, 8.0, 12.0)
"""How much further off that line is tried, in mm."""
SOONER: Final = 3.0
LATER: Final = 60.0
"""What a mm further off costs, and the deck's side, beside what lines and words cover."""
PAST: Final = 1.0
DOT: Final = 0.7
SHIFTS: Final = (0.0, 1.5, -1.5, 2.8, 3.6)
"""In mm along a run, how far off its line a mark's text is tried."""
CLOSE: Final = 2.4
"""In mm, between two posts whose marks can be told apart."""
STEPS: Final = 32
"""Places along a bow that are looked at for how far it reaches past a chord."""


def measure_runs(paper: Paper, scene: Scene, tracks: Mapping[str, Track]) -> dict[int, float]:
    """Draw every run's marks and length. Yields how far out each edge's take room, in mm."""
    taken: dict[int, float] = {}
    if is_tight(tracks, paper.scale):
        paper.left_out += sum(len(track.points) + 1 for track in tracks.values())
        return taken
    beside = _beside(paper, tracks)
    for alike in _alike(scene, tracks):
        best = [_best_chain(_chains(paper, scene, track, beside)) for track in alike]
        chosen = min(best, key=lambda chain: chain.cost)
        names = " and ".join(track.run.id for track in alike)
        if chosen.lost * 3 > len(chosen.words) + 1:
            paper.left_out += len(chosen.words)
            paper.write(few_places(paper.scale, chosen.track, names))
            continue
        far = _draw(paper, scene, chosen, names)
        run = chosen.track.run
        if run.flight is None and chosen.is_outside:
            taken[run.edge] = max(taken.get(run.edge, 0.0), far)
    return taken


def _beside(paper: Paper, tracks: Mapping[str, Track]) -> dict[str | None, float]:
    """By the post that a run ends at, how long it is in mm on paper: a flight that goes down from
    there is measured on the side of the shorter one."""
    k = paper.scale.per_unit
    level = [track.run for track in tracks.values() if track.run.flight is None]
    return {post: run.length * k for run in level for post in (run.start, run.end)}


def _alike(scene: Scene, tracks: Mapping[str, Track]) -> Iterator[list[Track]]:
    """Each run by itself, but the two sides of a flight together where they are marked alike;
    flights first, as they have fewer ways to be measured."""
    found: dict[object, list[Track]] = {}
    for track in sorted(tracks.values(), key=lambda each: each.run.flight is None):
        run = track.run
        marks = tuple(scene.said["runs", run.id]["marks_text"])
        found.setdefault((run.flight, marks) if run.flight else run.id, []).append(track)
    yield from found.values()


@dataclass(frozen=True, slots=True)
class _Chain:
    """A way to draw a run's dimensions. track: its outer side is the one that they are on; away: mm
    from the run to their line; words: for each mark the places that its text may take; lost: of
    how many there is none; dear: what it costs even so."""

    track: Track
    away: float
    words: list[list[Words]]
    cost: float
    lost: int
    is_outside: bool
    dear: float


def _best_chain(chains: Iterable[_Chain]) -> _Chain:
    """The cheapest; what comes after one that covers nothing is further off and no better."""
    best: _Chain | None = None
    for chain in chains:
        if best is None or chain.cost < best.cost:
            best = chain
        if best.cost <= chain.dear:
            break
    assert best is not None
    return best


def _chains(
    paper: Paper, scene: Scene, track: Track, beside: Mapping[str | None, float]
) -> Iterator[_Chain]:
    """Outside of the deck or the flight, at the usual distance or further out; else inside."""
    said = scene.said["runs", track.run.id]
    texts = said["marks_text"] if len(track.run.marks) > 2 else []
    first = _outermost(scene, track) * paper.scale.per_unit + FIRST
    inner = scene.subject.kit.post.base.width / 2 * paper.scale.per_unit + INSIDE
    inside = replace(track, out=-track.out)
    text = f"{track.run.id} {said['length_text']}"
    reach = reach_of(texts)
    if track.run.flight is not None:
        dear = beside.get(track.run.start, 0.0)
        sides = [(track, first + off, dear + off * SOONER, True) for off in OFFS]
    else:
        sides = [(track, first + off, off * SOONER, True) for off in OFFS]
        sides += [(inside, inner + off, LATER + off * SOONER, False) for off in OFFS]
    for side, away, dear, is_outside in sides:
        words = list(_ordinates(paper, side, texts, away))
        out = paper.scale.of_paper(away)
        ends = [side.off(side.points[i], 0.0, out) for i in (0, -1)]
        costs = [paper.best(each)[1] for each in words]
        costs.append(paper.best(names_places(paper.scale, side, away, reach, text))[1])
        lost = sum(cost >= SOLID for cost in costs)
        cost = sum(costs) + paper.cost_along(ends) + dear
        yield _Chain(side, away, words, cost, lost, is_outside, dear)


def _draw(paper: Paper, scene: Scene, chain: _Chain, names: str) -> float:
    """Words first, which know nothing yet of the lines that they belong to."""
    track, away = chain.track, chain.away
    said = scene.said["runs", track.run.id]
    _write_ordinates(paper, track, chain.words)
    texts = said["marks_text"] if chain.words else []
    reach = reach_of(texts)
    text = f"{names} {said['length_text']}"
    written = paper.write(names_places(paper.scale, track, away, reach, text))
    strip = list(strip_places(paper.scale, track, away, text))
    for mark in _dimension(paper, scene, track, away):
        paper.draw(mark)
    return away + reach + (0.0 if written in strip else ROW)


def _outermost(scene: Scene, track: Track) -> Length:
    """How far out of the railing line the edge and the bases reach."""
    kit, run = scene.subject.kit, track.run
    half = kit.post.base.width / 2
    if run.flight is not None:
        return half
    edge = scene.edges[run.edge]
    bulge = 0.0
    if edge.rise > 0:
        (x0, y0), (ux, uy), (ax, ay) = track.points[0], track.outward, track.along
        for x, y in (edge.place(i / STEPS) for i in range(STEPS + 1)):
            if 0.0 <= (x - x0) * ax + (y - y0) * ay <= run.length:
                bulge = max(bulge, (x - x0) * ux + (y - y0) * uy)
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


def _ordinates(
    paper: Paper, track: Track, texts: Sequence[str], away: float
) -> Iterator[list[Words]]:
    """For each mark the places that its text may take: on its line, else a little beside it."""
    mm = paper.scale.of_paper
    for i, (point, text) in enumerate(zip(track.points, texts, strict=False)):
        toward = 1.0 if i == 0 else -1.0
        yield [
            square_to(
                paper.scale,
                track.off(point, mm(toward * shift), mm(away + GAP)),
                track.outward,
                text,
            )
            for shift in SHIFTS
        ]


def _write_ordinates(paper: Paper, track: Track, ordinates: Sequence[list[Words]]) -> None:
    """First and last, then those between that can be told apart from them and from each other."""
    if not ordinates:
        return
    k = paper.scale.per_unit
    last = len(ordinates) - 1
    paper.write(ordinates[0])
    paper.write(ordinates[last])
    kept = 0
    for i in range(1, last):
        ends = (track.points[kept], track.points[last])
        if min(math.dist(track.points[i], end) for end in ends) * k < CLOSE:
            paper.left_out += 1
            continue
        paper.write(ordinates[i])
        kept = i
