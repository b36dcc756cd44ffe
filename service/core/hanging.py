"""Core: gates in a level that is numbered: each one's leaf, and what it would swing into."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import shapely

from service.core.built import built_gate
from service.core.flights.drafts import FlightDraft
from service.core.gates import Rises, Solid, Solids, make_leaf, swept, swing_of
from service.core.level import LevelDraft
from service.core.line.posts import PostDraft, body
from service.core.problems import Problem, Unbuildable
from service.core.records.kit import Kit
from service.core.records.layout import GateBuilt, OpeningBuilt, Post
from service.core.runs.drafts import RunKey
from service.core.runs.filling import Filler


class Standing(NamedTuple):
    """What stands when gates are hung: posts by their drafts, names of runs, openings by place."""

    posts: Mapping[PostDraft, Post]
    runs: Mapping[RunKey, str]
    openings: Mapping[str, OpeningBuilt]


def check_leaves(filler: Filler, drafts: Sequence[LevelDraft]) -> Iterator[Problem]:
    """What leaves no leaf to build, of every gate."""
    for draft in drafts if filler.kit.gate is not None else ():
        for side, node in draft.gates():
            try:
                make_leaf(filler, side, node)
            except Unbuildable as refusal:
                yield from refusal.problems


def hang_gates(
    filler: Filler,
    standing: Standing,
    drafts: Sequence[LevelDraft],
    flights: Sequence[FlightDraft],
) -> Iterator[GateBuilt]:
    """Every gate of every level, with its leaf; none where the kit has no gates. Refuses all that
    leave no leaf to build."""
    kit = filler.kit
    if kit.gate is None or not any(True for draft in drafts for _ in draft.gates()):
        return
    solids = Solids(_solids(kit, standing, drafts, flights))
    down = {flight.stair.opening: flight.stair.id for flight in flights}
    problems: list[Problem] = []
    for draft in drafts:
        level = draft.level.id
        rises = Rises(level, {other.level.id: draft.below(other) for other in drafts})
        for side, node in draft.gates():
            try:
                leaf = make_leaf(filler, side, node)
            except Unbuildable as refusal:
                problems.extend(refusal.problems)
                continue
            swing = swing_of(kit, side, node, draft.plan.turned_round)
            sweep = swept(swing, leaf.width)
            met = solids.hit(kit, sweep, node.sides, side.spec.height, rises)
            built = standing.openings[f"{level}/{node.opening.id}"]
            yield built_gate(built, side.spec, leaf, swing, met, down.get(built.place))
    if problems:
        raise Unbuildable(problems)


def _solids(
    kit: Kit, standing: Standing, drafts: Sequence[LevelDraft], flights: Sequence[FlightDraft]
) -> Iterator[Solid]:
    """What leaves may swing into: posts, rails, walls, obstructions, flights."""
    for post, seen in standing.posts.items():
        if seen.flight is None:
            yield Solid(seen.id, body(kit, post), seen.level, seen.height, post)
    for draft in drafts:
        yield from level_rails(kit, standing.runs, draft)
    for draft in drafts:
        for name, wall in draft.walls():
            yield Solid(name, wall, draft.level.id)
        for one in draft.level.obstructions:
            yield Solid(one.name, shapely.Polygon(one.points), draft.level.id)
    for flight in flights:
        # The leaf of a fascia hangs over the first tread, and turns away from it where it opens in.
        treads = flight.treads_past(max(0.0, -kit.post.setback))
        if treads is not None:
            top = flight.height if flight.sides else 0.0
            rise = flight.stair.rise
            yield Solid(flight.stair.id, treads, flight.level.level.id, top, foot=-rise)
        yield from _guards(kit, standing, flight)


def _guards(kit: Kit, standing: Standing, flight: FlightDraft) -> Iterator[Solid]:
    """The posts of a flight but its heads, and its raked rails, each as high as it reaches."""
    name, level = flight.stair.id, flight.level.level.id
    for side in flight.sides:
        for post, foot, top in flight.uprights(side):
            yield Solid(standing.posts[post].id, body(kit, post), level, top, post, foot)
        falls = [u * flight.slope.tangent for u in side.places]
        for bay in side.bays:
            upper, lower = bay.index, bay.index + 1
            rail = shapely.LineString([side.posts[upper].at, side.posts[lower].at])
            yield Solid(name, rail, level, flight.height - falls[upper], foot=-falls[lower])


def level_rails(kit: Kit, runs: Mapping[RunKey, str], draft: LevelDraft) -> Iterator[Solid]:
    """The rails of a level, run by run, by the names of the runs."""
    for line in draft.lines:
        for run in line.runs:
            if run.bays:
                ends = run.stretch.start.t, run.stretch.end.t
                rail = [line.side.place(t, kit.post.setback) for t in ends]
                shape, top = shapely.LineString(rail), line.side.spec.height
                yield Solid(runs[run.key], shape, draft.level.id, top)
