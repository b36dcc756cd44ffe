"""Rules: the bays and gates' leaves of a layout by kind, so that each kind is judged once.

Of one kind are bays that are alike but for their run, their posts and their skews. Checks go
through places with their kind, and tell of all places of a kind together.
"""

from __future__ import annotations

from dataclasses import dataclass

from service.core.measure import Length
from service.core.records.code import Here
from service.core.records.deck import Drops
from service.core.records.layout import Bay, GateBuilt
from service.rules.job import Job, Place
from service.rules.ruling import here_in, here_in_leaf


@dataclass(frozen=True, slots=True, eq=False)
class BayKind:
    """Bays that are alike but for their run, their posts and their skews. bay: the first of them.

    drops: what lies below them; here: what else may decide in them. space: the clear space beside
    their infill, or of bays without any, where it is not the gap along the line. out: of a level
    bay, how far the rail lies off the deck's edge at the most, along its middle line; below 0 over
    the deck.
    """

    bay: Bay
    drops: Drops
    here: Here
    space: Length | None
    out: Length


@dataclass(frozen=True, slots=True, eq=False)
class LeafKind:
    """The leaf of a gate, as a kind of its own. space: the clear space beside it, where it is not
    the gap along the line. out: as that of a bay."""

    gate: GateBuilt
    drops: Drops
    here: Here
    space: Length | None
    out: Length


def bay_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Every bay with its kind, in the layout's order."""
    return job.once(_bay_kinds)


def _bay_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    flights = {flight.id: flight for flight in job.layout.flights}
    kinds: dict[tuple[object, ...], BayKind] = {}
    found: list[tuple[Place, BayKind]] = []
    spaces = _spaces(job)
    hung = -job.kit.post.setback
    # The chord of an inward bow leaves the edge further in its middle, where the rail hangs out.
    middles = {} if hung < 0 else {seen.run: seen.middle for seen in job.layout.arcs}
    for bay in job.layout.bays:
        space = spaces.get(bay.id)
        out = max(hung, middles.get(bay.run, hung))
        # By id(): the layout outlives the job, and alike bays share one fill.
        alike = (
            bay.infill, bay.height, bay.centres, bay.clear, bay.drops, bay.ends,
            bay.flight, bay.measured, bay.wider, space, out, id(bay.fill),
        )  # fmt: skip
        kind = kinds.get(alike)
        if kind is None:
            kind = kinds[alike] = BayKind(bay, bay.drops, here_in(bay, flights), space, out)
        found.append(((bay.id,), kind))
    return found


def _spaces(job: Job) -> dict[str, Length]:
    return {seen.place: seen.space for seen in job.layout.spaces}


def level_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Every bay that stands in no flight, with its kind."""
    return job.once(_level_kinds)


def _level_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    return [(place, kind) for place, kind in bay_kinds(job) if kind.bay.flight is None]


def raked_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Every bay that stands in a flight, with its kind."""
    return job.once(_raked_kinds)


def _raked_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    return [(place, kind) for place, kind in bay_kinds(job) if kind.bay.flight is not None]


def off_edge(job: Job, kind: BayKind | LeafKind) -> Length:
    """How far a level guard's bottom rail lies off the deck's edge, of a fascia kit; below 0 it
    lies over the deck. Of the rail's width only as much as the kit says."""
    return kind.out - half_rail(job, kind)


def half_rail(job: Job, kind: BayKind | LeafKind) -> Length:
    """Half of the bottom rail's width; 0 where the kit does not say it."""
    return job.kit.half_bottom_rail(
        kind.gate.infill if isinstance(kind, LeafKind) else kind.bay.infill
    )


def leaves(job: Job) -> list[tuple[Place, LeafKind]]:
    """Every leaf of a gate."""
    hung, spaces = -job.kit.post.setback, _spaces(job)
    return [((gate.place,), _leaf(gate, spaces.get(gate.place), hung)) for gate in job.layout.gates]


def _leaf(gate: GateBuilt, space: Length | None, out: Length) -> LeafKind:
    return LeafKind(gate, gate.opening.drops, here_in_leaf(gate), space, out + gate.bow)


def level_guards(job: Job) -> list[tuple[Place, BayKind | LeafKind]]:
    """Every level bay, then every leaf."""
    return [*level_kinds(job), *leaves(job)]


def all_guards(job: Job) -> list[tuple[Place, BayKind | LeafKind]]:
    """Every bay, then every leaf."""
    return [*bay_kinds(job), *leaves(job)]
