"""Rules: bays that differ in nothing that a rule looks at, so that each kind is looked at once."""

from __future__ import annotations

from dataclasses import dataclass

from service.core.measure import Length
from service.core.records.code import Here
from service.core.records.deck import Drops
from service.core.records.layout import Bay, GateBuilt
from service.rules.held import here_in, here_in_leaf
from service.rules.verdict import Job, Place


@dataclass(frozen=True, slots=True, eq=False)
class BayKind:
    """Bays that are alike but for their run, their posts and their skews. bay: the first of them.

    drops: what lies below them; here: what else may decide in them.
    """

    bay: Bay
    drops: Drops
    here: Here


@dataclass(frozen=True, slots=True, eq=False)
class LeafKind:
    """The leaf of a gate, as a kind of its own. between: the faces that it hangs between, clear;
    None where that is not told."""

    gate: GateBuilt
    between: Length | None
    drops: Drops
    here: Here


def bay_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Every bay with its kind, in the layout's order."""
    found: list[tuple[Place, BayKind]] | None = job.memo.get("bay_kinds")
    if found is None:
        found = job.memo["bay_kinds"] = _bay_kinds(job)
    return found


def _bay_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    flights = {flight.id: flight for flight in job.layout.flights}
    kinds: dict[tuple[object, ...], BayKind] = {}
    found: list[tuple[Place, BayKind]] = []
    for bay in job.layout.bays:
        # By id(): the layout outlives the job, and alike bays share one fill.
        alike = (
            *(bay.infill, bay.height, bay.centres, bay.clear, bay.drops, bay.ends),
            *(bay.flight, bay.measured, bay.wider, id(bay.fill)),
        )
        kind = kinds.get(alike)
        if kind is None:
            kind = kinds[alike] = BayKind(bay, bay.drops, here_in(bay, flights))
        found.append(((bay.id,), kind))
    return found


def level_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Those of bays that stand in no flight."""
    return [(place, kind) for place, kind in bay_kinds(job) if kind.bay.flight is None]


def raked_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Those of bays that stand in a flight."""
    return [(place, kind) for place, kind in bay_kinds(job) if kind.bay.flight is not None]


def leaves(job: Job) -> list[tuple[Place, LeafKind]]:
    """Every leaf of a gate."""
    if not job.layout.gates:
        return []
    clear = {opening.place: opening.clear_width for opening in job.layout.openings}
    return [
        ((gate.opening,), LeafKind(gate, clear.get(gate.opening), gate.drops, here_in_leaf(gate)))
        for gate in job.layout.gates
    ]


def level_guards(job: Job) -> list[tuple[Place, BayKind | LeafKind]]:
    """Every level bay, then every leaf."""
    return [*level_kinds(job), *leaves(job)]


def all_guards(job: Job) -> list[tuple[Place, BayKind | LeafKind]]:
    """Every bay, then every leaf."""
    return [*bay_kinds(job), *leaves(job)]
