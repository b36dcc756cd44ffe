"""Drawings, plans: what a tape reads along each run, from its first post centre to its last.

A run is measured as it is marked: from its origin, the dot, to every post centre (ISO 129, running
dimensions). The numbers are the reply's own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Final

import shapely

from service.core.measure import Length, toward
from service.drawings.boxes import box_of, corners_of
from service.drawings.ground import Edge
from service.drawings.marks import Mark, Words
from service.drawings.parts import Json
from service.drawings.plans.lines import Lines, Told
from service.drawings.plans.ordinates import dimension_of, lines_to, ordinates_of, write_ordinates
from service.drawings.plans.paper import LEADER, MEASURED, SOLID, More, Paper, no_more
from service.drawings.plans.run_names import (
    best_name,
    cost_of_leader,
    few_places,
    line_of,
    reach_of,
)
from service.drawings.plans.scene import Scene
from service.drawings.plans.tracks import Track, is_tight
from service.drawings.scales import Scale

FIRST: Final = 6.5
"""In mm, from the outermost of edge and bases to the line that a run is measured on."""
FLIGHT: Final = 10.0
"""The same of a flight, outside of whose bases the ids of its posts and bays stand."""
INSIDE: Final = 10.0
"""In mm, from the bases to that line where it is on the deck's side of them."""
OFFS: Final = (0.0, 4.0, 8.0, 12.0)
"""How much further off that line is tried, in mm."""
NOT_ITS_OWN: Final = 200
"""What a line costs that is nearer to another run's name than that run's own."""
PER_MM: Final = 3.0
ON_DECK: Final = 60.0
"""What a mm further off costs, and the deck's side, beside what lines and words cover."""
LEAD: Final = 300
"""What a line from a post to that line costs at most: at a corner it may run along a rail."""
STEPS: Final = 32
"""Places along a bow that are looked at for how far it reaches past a chord."""


def measure_runs(
    paper: Paper, scene: Scene, tracks: Mapping[str, Track], lines: Lines
) -> tuple[dict[int, float], list[str]]:
    """Draw every run's marks and length. Yields how far out each edge's take room, in mm, and what
    is said of those that have no room to be measured."""
    taken: dict[int, float] = {}
    told: list[str] = []
    if is_tight(tracks, paper.scale):
        paper.left_out += sum(len(track.points) + 1 for track in tracks.values())
        return taken, told
    beside, struck = _beside(paper, tracks), _struck(paper.scale, scene, tracks)
    for alike in _alike(scene, tracks):
        best = [_best_chain(_chains(paper, scene, track, beside, lines, struck)) for track in alike]
        chosen = min(best, key=lambda chain: chain.cost)
        names = " and ".join(track.run.id for track in alike)
        if chosen.lost * 3 > len(chosen.words) + 1:
            paper.left_out += len(chosen.words)
            written = _name_only(paper, lines, chosen.track, names)
            told.append(f"{names} {_said(scene, chosen.track)['length_text']}")
        else:
            written = _draw(paper, scene, chosen, names, lines)
        run = chosen.track.run
        if run.flight is None:
            far = _far_out(paper.scale, scene.edges[run.edge], written)
            taken[run.edge] = max(taken.get(run.edge, 0.0), far)
    return taken, told


def _said(scene: Scene, track: Track) -> Json:
    return scene.said["runs", track.run.id]


def _name_only(paper: Paper, lines: Lines, track: Track, names: str) -> list[Mark]:
    """A run's id beside the run itself."""
    words = paper.write(few_places(paper.scale, track, names))
    if words is None:
        return []
    leader = lines.name(words, (track.points[0], track.points[-1]))
    if leader is not None:
        paper.draw(leader, LEADER)
    return [words]


def _far_out(scale: Scale, edge: Edge, marks: Iterable[Mark]) -> float:
    """How far in mm marks reach out of an edge's chord."""
    (x0, y0), (ux, uy) = edge.points[0], toward(edge.points[0], edge.points[-1])
    corners = (corner for mark in marks for corner in corners_of(mark, scale))
    far = max(((x - x0) * uy - (y - y0) * ux for x, y in corners), default=0.0)
    return max(0.0, far * scale.per_unit)


def _beside(paper: Paper, tracks: Mapping[str, Track]) -> dict[str | None, float]:
    """By the post that a run ends at, how long it is in mm on paper: a flight that goes down from
    there is measured on the side of the shorter one."""
    k = paper.scale.per_unit
    level = [track.run for track in tracks.values() if track.run.flight is None]
    return {post: run.length * k for run in level for post in (run.start, run.end)}


def _struck(scale: Scale, scene: Scene, tracks: Mapping[str, Track]) -> More:
    """What words of a flight cost that a line would strike by which a run of the level is yet to be
    measured."""
    leads = [
        piece
        for track in tracks.values()
        if track.run.flight is None
        for piece in lines_to(
            scale, scene, track, _outermost(scene, track) * scale.per_unit + FIRST
        )
    ]
    drawn = shapely.MultiLineString(leads)
    shapely.prepare(drawn)

    def cost(words: Words) -> int:
        return MEASURED if drawn.intersects(shapely.Polygon(box_of(words, scale))) else 0

    return cost


def _alike(scene: Scene, tracks: Mapping[str, Track]) -> Iterator[list[Track]]:
    """Each run by itself, but the two sides of a flight together where they are marked alike;
    flights first, as they have fewer choices of how they are measured."""
    found: dict[object, list[Track]] = {}
    for track in sorted(tracks.values(), key=lambda each: each.run.flight is None):
        run = track.run
        marks = tuple(scene.said["runs", run.id]["marks_text"])
        found.setdefault((run.flight, marks) if run.flight else run.id, []).append(track)
    yield from found.values()


@dataclass(frozen=True, slots=True)
class _Chain:
    """A run's dimensions as they might be drawn. track: its outer side is the one that they are on;
    away: mm from the run to their line; words: for each mark the places that its text may take;
    more: what such a place costs beside what it covers; lost: of how many there is none; dear: what
    it costs even so."""

    track: Track
    away: float
    words: list[list[Words]]
    more: More
    cost: float
    lost: int
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
    paper: Paper,
    scene: Scene,
    track: Track,
    beside: Mapping[str | None, float],
    lines: Lines,
    struck: More,
) -> Iterator[_Chain]:
    """Outside of the deck or the flight, at the usual distance or further out; else inside."""
    said = _said(scene, track)
    texts = said["marks_text"] if len(track.run.marks) > 2 else []
    clear = FIRST if track.run.flight is None else FLIGHT
    first = _outermost(scene, track) * paper.scale.per_unit + clear
    inner = scene.subject.kit.post.base.width / 2 * paper.scale.per_unit + INSIDE
    inside = replace(track, out=-track.out)
    names = f"{track.run.id} {said['length_text']}", track.run.id if texts else ""
    reach = reach_of(texts)
    more = no_more if track.run.flight is None else struck
    if track.run.flight is not None:
        dear = beside.get(track.run.start, 0.0)
        sides = [(track, first + off, dear + off * PER_MM) for off in OFFS]
    else:
        sides = [(track, first + off, off * PER_MM) for off in OFFS]
        sides += [(inside, inner + off, ON_DECK + off * PER_MM) for off in OFFS]
    for side, away, dear in sides:
        words = list(ordinates_of(paper, side, texts, away))
        ends = line_of(paper.scale, side, away)
        costs = [paper.best(each, more)[1] for each in words]
        costs.append(best_name(paper, lines, side, away, reach, names)[1])
        lost = sum(cost >= SOLID for cost in costs)
        leads = map(paper.cost_along, lines_to(paper.scale, scene, side, away))
        cost = sum(costs) + paper.cost_along(ends) + sum(min(each, LEAD) for each in leads) + dear
        if not lines.keeps_off([ends]):
            cost += NOT_ITS_OWN
        yield _Chain(side, away, words, more, cost, lost, dear)


def _draw(paper: Paper, scene: Scene, chain: _Chain, names: str, lines: Lines) -> list[Mark]:
    """Words first, which know nothing yet of the lines that they belong to. Yields all of them."""
    scale, track, away = paper.scale, chain.track, chain.away
    said = _said(scene, track)
    marks: list[Mark] = [*write_ordinates(paper, track, chain.words, chain.more)]
    reach = reach_of(said["marks_text"] if chain.words else [])
    few = names if chain.words and marks and marks[-1] in chain.words[-1] else ""
    text = f"{names} {said['length_text']}"
    own = line_of(scale, track, away)
    leader_cost = cost_of_leader(paper, own)
    words, cost = best_name(paper, lines, track, away, reach, (text, few), leader_cost)
    if words is None or cost >= SOLID:
        paper.left_out += 1
    else:
        paper.draw(words)
        leader = lines.name(words, own)
        lines.told.append(Told(words, own, names))
        marks.append(words)
        if leader is not None:
            paper.draw(leader, LEADER)
    lines.draw([own])
    for mark in dimension_of(paper, scene, track, away):
        paper.draw(mark)
        marks.append(mark)
    return marks


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
