"""Drawings, plans: what a tape reads along each run, from its first mark to its last.

A run is measured as it is marked: from its origin, drawn as a dot, to every mark (ISO 129, running
dimensions). The numbers are the reply's own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

import shapely

from service.core.measure import Length, toward
from service.drawings.boxes import box_of, corners_of
from service.drawings.ground import Edge
from service.drawings.marks import SMALL, Mark, Words, width_of
from service.drawings.parts import Json
from service.drawings.plans.lines import LineWords, Piece
from service.drawings.plans.paper import LEADER, MEASURED, SOLID, ExtraCost, Paper, no_extra_cost
from service.drawings.plans.placed import Track
from service.drawings.plans.placing import Aside, Label, around
from service.drawings.plans.run_lines import (
    GAP,
    RunLine,
    best_name,
    cost_of_leader,
    draw_dimension,
    leads_to,
    places_of_marks,
    write_marks,
)
from service.drawings.plans.scene import Scene
from service.drawings.scales import Scale

FIRST: Final = 6.5
"""In mm, from whatever lies furthest out (edge or bases) to the line that a run is measured on."""
FLIGHT: Final = 10.0
"""The same for a run of a flight, where the ids of posts and bays stand outside the bases."""
INSIDE: Final = 10.0
"""In mm, from the bases to that line where it lies on the deck's side of them."""
OFFS: Final = (0.0, 4.0, 8.0, 12.0)
"""In mm, how much further off the line is tried."""
NOT_ITS_OWN: Final = 200
"""What a line costs that would lie nearer to another run's name than that run's own line does."""
PER_MM: Final = 3.0
ON_DECK: Final = 60.0
"""What each mm further off costs (PER_MM), and what the deck's side costs (ON_DECK).

Both come on top of what lines and words cover.
"""
LEAD: Final = 300
"""The most that a line from a post to the measured line is charged.

At a corner such a line may run along a rail.
"""
NAME_ONLY: Final = 2.0
"""In mm, from a run that is not measured to its id."""
STEPS: Final = 32
"""Places along a bow that are looked at to find how far it reaches past a chord."""


def measure_runs(paper: Paper, scene: Scene) -> tuple[dict[int, float], list[str]]:
    """Draw the marks and length of every run.

    Returns by edge how far out of it its runs' measures reach, in mm, and what is to be said beside
    the plan of runs without room to be measured.
    """
    taken: dict[int, float] = {}
    notes: list[str] = []
    if scene.is_tight(paper.scale):
        paper.left_out += sum(len(track.points) + 1 for track in scene.tracks.values())
        return taken, notes
    lengths_by_post, struck = _lengths_by_post(paper, scene), _struck(paper.scale, scene)
    for alike in _alike(scene):
        best = []
        for track in alike:
            down = track.run.flight is not None
            base_cost = lengths_by_post.get(track.run.start, 0.0) if down else 0.0
            extra_cost = struck if down else no_extra_cost
            best.append(_best_chain(paper, scene, track, base_cost, extra_cost))
        chosen = min(best, key=lambda chain: chain.cost)
        names = " and ".join(track.run.id for track in alike)
        track = chosen.own.track
        if chosen.unplaced * 3 > len(chosen.words) + 1:
            paper.left_out += len(chosen.words)
            written = _name_only(paper, track, names)
            notes.append(f"{names} {_said(scene, track)['length_text']}")
        else:
            written = _draw(paper, scene, chosen, names)
        run = track.run
        if run.flight is None:
            far = _far_out(paper.scale, scene.edges[run.edge], written)
            taken[run.edge] = max(taken.get(run.edge, 0.0), far)
    return taken, notes


def _said(scene: Scene, track: Track) -> Json:
    return scene.said["runs", track.run.id]


def _name_only(paper: Paper, track: Track, names: str) -> list[Mark]:
    """Write the id of a run beside the run itself; return the marks written."""
    aside = Aside(track.middle, track.outward, NAME_ONLY)
    words = paper.write(around(paper.scale, aside, Label(names, layer="dimension")))
    if words is None:
        return []
    _lead(paper, words, (track.points[0], track.points[-1]))
    return [words]


def _lead(paper: Paper, words: Words, own: Piece) -> None:
    """Record a name and the line that it belongs to, and draw the line between them if needed."""
    leader = paper.lines.add_name(words, own)
    if leader is not None:
        paper.draw(leader, LEADER)


def _far_out(scale: Scale, edge: Edge, marks: Iterable[Mark]) -> float:
    """How far in mm marks reach out of an edge's chord, at least 0."""
    (x0, y0), (ux, uy) = edge.points[0], toward(edge.points[0], edge.points[-1])
    corners = (corner for mark in marks for corner in corners_of(mark, scale))
    far = max(((x - x0) * uy - (y - y0) * ux for x, y in corners), default=0.0)
    return max(0.0, far * scale.per_unit)


def _lengths_by_post(paper: Paper, scene: Scene) -> dict[str | None, float]:
    """The length in mm on paper of the level's run that ends at each post.

    A flight that goes down from the post is measured on the side of the shorter of those runs.
    """
    k = paper.scale.per_unit
    level = [track.run for track in scene.tracks.values() if track.run.flight is None]
    return {post: run.length * k for run in level for post in (run.start, run.end)}


def _struck(scale: Scale, scene: Scene) -> ExtraCost:
    """A cost for words of a flight where a run of the level is still to be measured across them.

    It is MEASURED where the words lie on the lines that such a run will have from its marks
    outward, else 0.
    """
    leads = [
        piece
        for track in scene.tracks.values()
        if track.run.flight is None
        for piece in leads_to(
            scene, RunLine(scale, track, _outermost(scene, track) * scale.per_unit + FIRST)
        )
    ]
    drawn = shapely.MultiLineString(leads)
    shapely.prepare(drawn)

    def cost(words: Words) -> int:
        return MEASURED if drawn.intersects(shapely.Polygon(box_of(words, scale))) else 0

    return cost


def _alike(scene: Scene) -> Iterator[list[Track]]:
    """Each run by itself, but the two sides of a flight together where they have the same marks.

    Runs of flights come first, as they have fewer choices of how they are measured.
    """
    found: dict[object, list[Track]] = {}
    for track in sorted(scene.tracks.values(), key=lambda each: each.run.flight is None):
        run = track.run
        marks = tuple(scene.said["runs", run.id]["marks_text"])
        found.setdefault((run.flight, marks) if run.flight else run.id, []).append(track)
    yield from found.values()


@dataclass(frozen=True, slots=True)
class _Chain:
    """The dimensions of a run as they might be drawn.

    own: their line. words: for each mark, the places that its text may take. extra_cost: what a
    place costs beside what it covers. cost: of the whole chain. unplaced: how many texts find no
    place.
    """

    own: RunLine
    words: list[list[Words]]
    extra_cost: ExtraCost
    cost: float
    unplaced: int


def _best_chain(
    paper: Paper, scene: Scene, track: Track, base_cost: float, extra_cost: ExtraCost
) -> _Chain:
    """The cheapest chain of a run.

    The run's lines come in the order of what they cost by their distance and side alone, so none is
    looked at after one that costs no less by these than the cheapest chain so far.
    """
    best: _Chain | None = None
    for own, side_cost in _lines_of(paper.scale, scene, track):
        chain = _chain(paper, scene, own, base_cost + side_cost, extra_cost)
        if best is None or chain.cost < best.cost:
            best = chain
        if best.cost <= base_cost + side_cost:
            break
    assert best is not None
    return best


def _lines_of(scale: Scale, scene: Scene, track: Track) -> Iterator[tuple[RunLine, float]]:
    """Lines that a run may be measured on, each with what its distance and side alone cost.

    They lie outside of the deck or the flight, at the usual distance and further out; then inside.
    Runs of flights are never measured inside.
    """
    on_level = track.run.flight is None
    first = _outermost(scene, track) * scale.per_unit + (FIRST if on_level else FLIGHT)
    for off in OFFS:
        yield RunLine(scale, track, first + off), off * PER_MM
    if on_level:
        inner = scene.subject.kit.post.base.width / 2 * scale.per_unit + INSIDE
        inside = replace(track, out=-track.out)
        for off in OFFS:
            yield RunLine(scale, inside, inner + off), ON_DECK + off * PER_MM


def _chain(
    paper: Paper, scene: Scene, own: RunLine, base_cost: float, extra_cost: ExtraCost
) -> _Chain:
    """The dimensions of a run on a line, with all that they cost."""
    run, said = own.track.run, _said(scene, own.track)
    texts = said["marks_text"] if len(run.marks) > 2 else []
    words = list(places_of_marks(own, texts))
    costs = [paper.best(each, extra_cost)[1] for each in words]
    names = f"{run.id} {said['length_text']}", run.id if texts else ""
    costs.append(best_name(paper, own, _reach_of(texts), names)[1])
    leads = map(paper.cost_along, leads_to(scene, own))
    cost = sum(costs) + paper.cost_along(own.ends) + sum(min(each, LEAD) for each in leads)
    cost += base_cost
    if not paper.lines.keeps_off([own.ends]):
        cost += NOT_ITS_OWN
    return _Chain(own, words, extra_cost, cost, sum(cost >= SOLID for cost in costs))


def _draw(paper: Paper, scene: Scene, chain: _Chain, names: str) -> list[Mark]:
    """Draw the dimensions of a run; return all marks drawn.

    Words are placed before their lines are drawn, so that they are not charged for covering them.
    """
    own, track = chain.own, chain.own.track
    said = _said(scene, track)
    marks: list[Mark] = [*write_marks(paper, track, chain.words, chain.extra_cost)]
    reach = _reach_of(said["marks_text"] if chain.words else [])
    few = names if chain.words and marks and marks[-1] in chain.words[-1] else ""
    text = f"{names} {said['length_text']}"
    leader_cost = cost_of_leader(paper, own.ends)
    words, cost = best_name(paper, own, reach, (text, few), leader_cost)
    if words is None or cost >= SOLID:
        paper.left_out += 1
    else:
        paper.draw(words)
        _lead(paper, words, own.ends)
        paper.lines.line_words.append(LineWords(words, own.ends, names))
        marks.append(words)
    paper.lines.draw([own.ends])
    for mark in draw_dimension(scene, own):
        paper.draw(mark)
        marks.append(mark)
    return marks


def _reach_of(texts: Sequence[str]) -> float:
    """How far in mm the texts of marks reach off their line."""
    return max((width_of(each, SMALL) + GAP for each in texts), default=0.0)


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
