"""Rules: the bays and the gates' leaves of a layout by kind, so that each kind is judged once.

Bays that differ only in their run, posts and skews are of one kind. Checks go through places with
their kinds (`bay_kinds`, `leaves`), and what they say of a kind holds for all its places.
"""

from __future__ import annotations

from service.core.frozen import record
from service.core.measure import Length
from service.core.records.code import Circumstances
from service.core.records.deck import Drops
from service.core.records.layout import Bay, GateBuilt
from service.rules.job import Job, Place, once
from service.rules.ruling import here_in, here_in_leaf


@record(eq=False)
class BayKind:
    """Bays that differ only in their run, posts and skews.

    bay: the first of them. drops: what lies below them. here: what else a code's figures may depend
    on. space: clear space beside their infill (of bays that take none, between their ends), where
    that differs from the gap along the line; else None. out: for a level bay, how far the middle
    line of its rail lies outside the deck's edge, at the most; negative over the deck.
    """

    bay: Bay
    drops: Drops
    here: Circumstances
    space: Length | None
    out: Length


@record(eq=False)
class LeafKind:
    """The leaf of a gate, as a kind of its own.

    space: clear space beside the shut leaf, where that differs from the gap along the line; else
    None. drops, here, out: as in BayKind.
    """

    gate: GateBuilt
    drops: Drops
    here: Circumstances
    space: Length | None
    out: Length


@once
def bay_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Every bay with its kind, in the layout's order."""
    flights = {flight.id: flight for flight in job.layout.flights}
    kinds: dict[tuple[object, ...], BayKind] = {}
    found: list[tuple[Place, BayKind]] = []
    spaces = _spaces(job)
    hung = -job.kit.post.setback
    # On an inward bow a rail that hangs off the deck is furthest off its edge in mid-chord.
    middles = {} if hung < 0 else {seen.run: seen.middle for seen in job.layout.arcs}
    for bay in job.layout.bays:
        space = spaces.get(bay.id)
        out = max(hung, middles[bay.run]) if bay.run in middles else hung
        # By id(), as alike bays share one fill and the layout outlives the job.
        alike = (
            bay.infill, bay.height, bay.centres, bay.clear, bay.drops, bay.ends,
            bay.flight, bay.measured, bay.wider, space, out, id(bay.fill),
        )  # fmt: skip
        if alike not in kinds:
            kinds[alike] = BayKind(bay, bay.drops, here_in(bay, flights), space, out)
        found.append(((bay.id,), kinds[alike]))
    return found


def _spaces(job: Job) -> dict[str, Length]:
    return {seen.place: seen.space for seen in job.layout.spaces}


@once
def level_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Every bay that stands in no flight, with its kind."""
    return [(place, kind) for place, kind in bay_kinds(job) if kind.bay.flight is None]


@once
def raked_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Every bay that stands in a flight, with its kind."""
    return [(place, kind) for place, kind in bay_kinds(job) if kind.bay.flight is not None]


def off_edge(job: Job, kind: BayKind | LeafKind) -> Length:
    """How far a level guard's bottom rail lies outside the deck's edge; negative over the deck.

    Measured to the rail's near face where the kit gives its width, else to its middle line.
    """
    return kind.out - half_rail(job, kind)


def half_rail(job: Job, kind: BayKind | LeafKind) -> Length:
    """Half of the bottom rail's width; 0 where the kit does not give it."""
    infill = kind.gate.infill if isinstance(kind, LeafKind) else kind.bay.infill
    return job.kit.half_rail("bottom", infill)


@once
def leaves(job: Job) -> list[tuple[Place, LeafKind]]:
    """Every leaf of a gate with its kind, in the layout's order."""
    hung, spaces = -job.kit.post.setback, _spaces(job)
    return [((gate.place,), _leaf(gate, spaces.get(gate.place), hung)) for gate in job.layout.gates]


def _leaf(gate: GateBuilt, space: Length | None, out: Length) -> LeafKind:
    return LeafKind(gate, gate.opening.drops, here_in_leaf(gate), space, out + gate.bow)


def level_guards(job: Job) -> list[tuple[Place, BayKind | LeafKind]]:
    """Every level bay and then every leaf, with its kind."""
    return [*level_kinds(job), *leaves(job)]


def all_guards(job: Job) -> list[tuple[Place, BayKind | LeafKind]]:
    """Every bay and then every leaf, with its kind."""
    return [*bay_kinds(job), *leaves(job)]
