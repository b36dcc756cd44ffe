"""Core: every gate of a layout: its leaf, its swing, and what it would swing into (`hang_gates`).

In: levels and flights as drawn, with their ids. Out: a GateBuilt for each gate.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.solids import (
    Solid,
    Solids,
    deck_of,
    flight_guards,
    level_posts,
    level_rails,
    level_surroundings,
    meets,
    stands_between,
)
from service.core.flights.drafts import FlightDraft
from service.core.levels.gates import Leaf, make_leaf, swept, swing_of
from service.core.levels.level import LevelDraft
from service.core.line.openings import OpeningDraft
from service.core.line.posts import PostDraft
from service.core.line.sides import Side
from service.core.measure import TOUCH, Length
from service.core.problems import Problem, Unbuildable, raise_any
from service.core.records.deck import Level
from service.core.records.kit import Kit
from service.core.records.layout import GateBuilt, OpeningBuilt
from service.core.records.swing import Swing
from service.core.runs.filling import Filler


def check_leaves(filler: Filler, drafts: Sequence[LevelDraft]) -> Iterator[Problem]:
    """The problems of all gates whose opening leaves no leaf to build."""
    for draft in drafts if filler.kit.gate is not None else ():
        for side, drawn in draft.gates():
            try:
                make_leaf(filler, side, drawn)
            except Unbuildable as refusal:
                yield from refusal.problems


def hang_gates(
    filler: Filler,
    openings: Mapping[str, OpeningBuilt],
    levels: Sequence[Adjoining],
    flights: Sequence[FlightDraft],
) -> Iterator[GateBuilt]:
    """Every gate of every level, with its leaf and what the leaf would swing into.

    Nothing where the kit has no gates. openings: every opening, by its place. Raises Unbuildable
    with every gate whose opening leaves no leaf to build.
    """
    kit = filler.kit
    if kit.gate is None or not any(True for about in levels for _ in about.draft.gates()):
        return
    raise_any(check_leaves(filler, [about.draft for about in levels]))
    hung = [
        _Hung(about, side, drawn, make_leaf(filler, side, drawn), swing_of(kit, side, drawn))
        for about in levels
        for side, drawn in about.draft.gates()
    ]
    shut = {gate.place: gate.shut(kit) for gate in hung}
    solids = Solids([*_solids(levels, flights), *shut.values()])
    down = {flight.stair.opening: flight.stair.id for flight in flights}
    for gate in hung:
        side, leaf, swing = gate.side, gate.leaf, gate.swing
        sweep, own = swept(swing, leaf.width), gate.about.draft.level
        met = leaf_hits(kit, solids, sweep, gate.drawn.posts, side.spec.height, own, gate.place)
        yield gate.built(kit, openings[gate.place], met, down.get(gate.place))


class _Hung(NamedTuple):
    """A gate with its leaf, before it is known what the leaf would swing into."""

    about: Adjoining
    side: Side
    drawn: OpeningDraft
    leaf: Leaf
    swing: Swing

    @property
    def place(self) -> str:
        """The place of the gate's opening: "level/opening"."""
        return self.about.opening_place(self.drawn)

    def shut(self, kit: Kit) -> Solid:
        """The shut leaf, which other gates may swing into."""
        line = shapely.LineString([self.swing.pivot, self.swing.tip(self.leaf.width, 0.0)])
        top = self.side.spec.height
        return Solid(self.place, line, self.about.draft.level, top, foot=kit.bottom_gap)

    def built(
        self, kit: Kit, opening: OpeningBuilt, hits: tuple[str, ...], flight: str | None
    ) -> GateBuilt:
        """The record of the gate. hits, flight: as in GateBuilt."""
        spec, leaf = self.side.spec, self.leaf
        middle = self.side.locate(self.swing.tip(leaf.width / 2, 0.0))[1]
        return GateBuilt(
            opening=opening,
            width=leaf.width,
            height=leaf.height,
            top=spec.height,
            infill=spec.infill,
            pickets=leaf.pickets,
            glass=leaf.glass,
            swing=self.swing,
            hits=hits,
            flight=flight,
            bow=max(0.0, kit.post.setback - middle),
        )


def _solids(levels: Sequence[Adjoining], flights: Sequence[FlightDraft]) -> Iterator[Solid]:
    """Everything that a leaf may swing into.

    That is posts, rails, walls, obstructions, flights with their guards and handrails, and, where
    there are several levels, their decks.
    """
    kit, ids = levels[0].kit, levels[0].ids
    for about in levels:
        yield from level_posts(about)
    for about in levels:
        yield from level_rails(about, least_half=0.0)
    for about in levels:
        yield from level_surroundings(about)
    if levels[1:]:
        yield from map(deck_of, levels)
    for flight in flights:
        # Even shut, a fascia's leaf hangs over the first tread, and turns away from it as it opens
        # in. So treads count from the leaf's line on.
        treads = flight.course.treads_past(max(0.0, -kit.post.setback))
        if treads is not None:
            top = flight.height if flight.sides else 0.0
            rise = flight.stair.rise
            yield Solid(flight.stair.id, treads, flight.course.level.level, top, foot=-rise)
        yield from flight_guards(kit, ids, flight)
        yield from _handrails(kit, flight)


def handrail_name(flight: str) -> str:
    """The name of a flight's handrails among the hits of a gate. flight: its id."""
    return f"the handrail of flight {flight}"


def _handrails(kit: Kit, flight: FlightDraft) -> Iterator[Solid]:
    """The handrails of a flight as far as the leaf of a gate at its head may reach.

    They begin at the top nosing and end at the leaf's line, which on a fascia lies past that
    nosing. A handrail is taken to lie within the clear width and to be as broad as its diameter,
    the least that is possible, as brackets hold it further in. Handrails above the leaf are left
    out.
    """
    course, out = flight.course, min(-kit.post.setback, flight.course.total_going)
    if kit.handrail is None or out <= TOUCH:
        return
    broad = kit.handrail.diameter
    for rail in flight.handrails:
        foot = rail.height - out * flight.slope.tangent - broad
        if foot < course.side.spec.height - TOUCH:
            shape = course.beside_face(rail.hand, broad, out)
            name = handrail_name(flight.stair.id)
            yield Solid(name, shape, course.level.level, rail.height, foot=foot)


def leaf_hits(
    kit: Kit,
    solids: Solids,
    sweep: shapely.Polygon,
    jambs: Sequence[PostDraft],
    top: Length,
    own: Level,
    own_leaf: str,
) -> tuple[str, ...]:
    """Names of what a leaf would swing into, each once, in the order of the solids.

    sweep: the area that the leaf sweeps.
    jambs: the posts beside its opening, which do not count.
    top: the top of the leaf, above its own level.
    own_leaf: the name of the leaf itself, which does not count either.
    """
    met = (
        solid.name
        for solid in solids.about(sweep)
        if solid.post not in jambs
        and solid.name != own_leaf
        and _stands_in_way(kit, solid, top, own)
        and meets(sweep, solid.shape)
    )
    return tuple(dict.fromkeys(met))


def _stands_in_way(kit: Kit, solid: Solid, top: Length, own: Level) -> bool:
    """Whether a solid stands within the height of a leaf.

    A leaf reaches from the kit's bottom gap above its level up to `top`. On its own level
    everything but the deck counts; on another level only what has a known top.
    """
    if solid.level is own:
        return not solid.is_deck
    if solid.top is None:
        return False
    return stands_between(solid, own.rise_to(solid.level) or 0.0, kit.bottom_gap, top)
