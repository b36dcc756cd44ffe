"""Core: every gate of a layout: its leaf, how it turns, and what it would swing into.

In: levels and flights as they were drawn, with their numbers. Out: a GateBuilt for each gate.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import shapely

from service.core.finishing.numbering import Ids
from service.core.finishing.solids import (
    TRIMMED_DEPTH,
    Rises,
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
from service.core.line.corners import Terminal
from service.core.line.openings import OpeningDraft
from service.core.line.sides import Side
from service.core.measure import TOUCH, Length, convert
from service.core.problems import Problem, Unbuildable, raise_any
from service.core.records.kit import Kit
from service.core.records.layout import GateBuilt, OpeningBuilt
from service.core.records.seen import opening_place
from service.core.records.swing import Swing
from service.core.runs.filling import Filler


def check_leaves(filler: Filler, drafts: Sequence[LevelDraft]) -> Iterator[Problem]:
    """What leaves no leaf to build, of every gate."""
    for draft in drafts if filler.kit.gate is not None else ():
        for side, drawn in draft.gates():
            try:
                make_leaf(filler, side, drawn)
            except Unbuildable as refusal:
                yield from refusal.problems


def hang_gates(
    filler: Filler,
    ids: Ids,
    openings: Mapping[str, OpeningBuilt],
    drafts: Sequence[LevelDraft],
    flights: Sequence[FlightDraft],
) -> Iterator[GateBuilt]:
    """Every gate of every level, with its leaf; none where the kit has no gates. Refuses all that
    leave no leaf to build. openings: every one, by its place."""
    kit = filler.kit
    if kit.gate is None or not any(True for draft in drafts for _ in draft.gates()):
        return
    hung: list[_Hung] = []
    problems: list[Problem] = []
    for draft in drafts:
        for side, drawn in draft.gates():
            try:
                leaf = make_leaf(filler, side, drawn)
            except Unbuildable as refusal:
                problems.extend(refusal.problems)
                continue
            hung.append(_Hung(draft, side, drawn, leaf, swing_of(kit, side, drawn)))
    raise_any(problems)
    shut = {gate.place: gate.shut(kit) for gate in hung}
    solids = Solids([*_solids(kit, ids, drafts, flights), *shut.values()])
    down = {flight.stair.opening: flight.stair.id for flight in flights}
    for gate in hung:
        side, leaf, swing = gate.side, gate.leaf, gate.swing
        rises, sweep = Rises.over(gate.draft, drafts), swept(swing, leaf.width)
        met = leaf_hits(
            kit, solids, sweep, gate.drawn.jambs, side.spec.height, rises, own_leaf=gate.place
        )
        yield gate.built(kit, openings[gate.place], met, down.get(gate.place))


class _Hung(NamedTuple):
    """A gate before it is known what it would swing into."""

    draft: LevelDraft
    side: Side
    drawn: OpeningDraft
    leaf: Leaf
    swing: Swing

    @property
    def place(self) -> str:
        """level/opening."""
        return opening_place(self.draft.level.id, self.drawn.opening.id)

    def shut(self, kit: Kit) -> Solid:
        """Its leaf as it is shut, which other gates may swing into."""
        line = shapely.LineString([self.swing.pivot, self.swing.tip(self.leaf.width, 0.0)])
        top = self.side.spec.height
        return Solid(self.place, line, self.draft.level.id, top, foot=kit.bottom_gap)

    def built(
        self, kit: Kit, opening: OpeningBuilt, hits: tuple[str, ...], flight: str | None
    ) -> GateBuilt:
        """The gate. hits, flight: as there."""
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


def _solids(
    kit: Kit, ids: Ids, drafts: Sequence[LevelDraft], flights: Sequence[FlightDraft]
) -> Iterator[Solid]:
    """What leaves may swing into: posts, rails, walls, obstructions, decks of higher levels,
    flights and their handrails."""
    yield from level_posts(kit, ids)
    for draft in drafts:
        yield from level_rails(kit, ids, draft, least_half=0.0)
    for draft in drafts:
        yield from level_surroundings(draft)
    if len(drafts) > 1:
        deep = convert(TRIMMED_DEPTH, "in", kit.unit)
        for draft in drafts:
            yield deck_of(draft, deep)
    for flight in flights:
        # The leaf of a fascia hangs over the first tread, and turns away from it where it opens in.
        treads = flight.course.treads_past(max(0.0, -kit.post.setback))
        if treads is not None:
            top = flight.height if flight.sides else 0.0
            rise = flight.stair.rise
            yield Solid(flight.stair.id, treads, flight.level_id, top, foot=-rise)
        yield from flight_guards(kit, ids, flight)
        yield from _handrails(kit, flight)


def handrail_name(flight: str) -> str:
    """How a gate's hits name the handrails of a flight, by its id."""
    return f"the handrail of flight {flight}"


def _handrails(kit: Kit, flight: FlightDraft) -> Iterator[Solid]:
    """The handrails of a flight from its top nosing on to the line of a leaf at its head, which
    hangs out past that nosing on a fascia: within the clear width, and as broad as they are at the
    least, as brackets hold them further in."""
    course, out = flight.course, min(-kit.post.setback, flight.course.total_going)
    if kit.handrail is None or out <= TOUCH:
        return
    broad = kit.handrail.diameter
    for rail in flight.handrails:
        foot = rail.height - out * flight.slope.tangent - broad
        if foot < course.side.spec.height - TOUCH:
            shape = course.beside_face(rail.hand, broad, out)
            name = handrail_name(flight.stair.id)
            yield Solid(name, shape, flight.level_id, rail.height, foot=foot)


def leaf_hits(
    kit: Kit,
    solids: Solids,
    sweep: shapely.Polygon,
    beside: Sequence[Terminal | None],
    top: Length,
    rises: Rises,
    own_leaf: str = "",
) -> tuple[str, ...]:
    """Names of what a leaf would swing into, in the order of the solids, but for the posts beside
    its opening and the leaf itself. top: of the leaf, above its level."""
    own = {terminal.post for terminal in beside if terminal is not None}
    met = (
        solid.name
        for solid in solids.about(sweep)
        if (solid.post is None or solid.post not in own)
        and solid.name != own_leaf
        and _stands_in_way(kit, solid, top, rises)
        and meets(sweep, solid.shape)
    )
    return tuple(dict.fromkeys(met))


def _stands_in_way(kit: Kit, solid: Solid, top: Length, rises: Rises) -> bool:
    """Whether a solid stands in the height of a leaf, which goes from the kit's bottom gap above
    its level up to `top`."""
    if solid.level == rises.own:
        return not solid.is_deck
    if solid.top is None:
        return False
    return stands_between(solid, rises.to(solid.level), kit.bottom_gap, top)
