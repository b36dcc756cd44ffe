"""Rules: the bays and the gates' leaves of a layout by kind, so that each kind is judged once.

Bays that differ only in their run, posts and skews are of one kind. Checks go through places with
their kinds (`bay_kinds`, `leaves`, `panels`), and what they say of a kind holds for all its places.
"""

from __future__ import annotations

from typing import NamedTuple

from service.core.frozen import record
from service.core.measure import Length
from service.core.records.code import Circumstances
from service.core.records.deck import Drops, Infill
from service.core.records.infill import Glass, Pickets
from service.core.records.layout import Bay, GateBuilt
from service.rules.job import Job, Place, once
from service.rules.ruling import circumstances_of


@record(eq=False)
class GuardKind:
    """What the bays of a kind, or a gate's leaf, are like.

    drops: what lies below. here: what else a code's figures may depend on. top: of the guard, above
    the walking surface or the nosings. clear: of a bay, face to face; the width of a leaf. out: how
    far the middle line of the bottom rail lies outside the deck's edge, at the most; negative over
    the deck, and of no meaning in a flight. space: clear space beside the infill of a bay, or
    between the ends of one that takes none, or beside a shut leaf, where that differs from the gap
    along the line; else None.
    """

    drops: Drops
    here: Circumstances
    infill: Infill
    top: Length
    clear: Length
    pickets: Pickets | None
    glass: Glass | None
    out: Length
    space: Length | None


@record(eq=False)
class BayKind(GuardKind):
    """Bays that differ only in their run, posts and skews. bay: the first of them."""

    bay: Bay


@record(eq=False)
class LeafKind(GuardKind):
    """The leaf of a gate, as a kind of its own."""

    gate: GateBuilt


@once
def bay_kinds(job: Job) -> list[tuple[Place, BayKind]]:
    """Every bay with its kind, in the layout's order."""
    flights = {flight.id: circumstances_of(flight) for flight in job.layout.flights}
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
            level = Circumstances(bay.infill, bay.height)
            kinds[alike] = BayKind(
                bay.drops,
                level if bay.flight is None else flights[bay.flight],
                bay.infill,
                top=bay.height,
                clear=bay.clear,
                pickets=bay.fill.pickets,
                glass=bay.fill.glass,
                out=out,
                space=space,
                bay=bay,
            )
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


@once
def leaves(job: Job) -> list[tuple[Place, LeafKind]]:
    """Every leaf of a gate with its kind, in the layout's order."""
    hung, spaces = -job.kit.post.setback, _spaces(job)
    return [((gate.place,), _leaf(gate, spaces.get(gate.place), hung)) for gate in job.layout.gates]


def _leaf(gate: GateBuilt, space: Length | None, out: Length) -> LeafKind:
    return LeafKind(
        gate.opening.drops,
        Circumstances(gate.infill, gate.top),
        gate.infill,
        top=gate.top,
        clear=gate.width,
        pickets=gate.pickets,
        glass=gate.glass,
        out=out + gate.bow,
        space=space,
        gate=gate,
    )


def level_guards(job: Job) -> list[tuple[Place, BayKind | LeafKind]]:
    """Every level bay and then every leaf, with its kind."""
    return [*level_kinds(job), *leaves(job)]


def all_guards(job: Job) -> list[tuple[Place, BayKind | LeafKind]]:
    """Every bay and then every leaf, with its kind."""
    return [*bay_kinds(job), *leaves(job)]


class Panel(NamedTuple):
    """A panel of glass and its place. kind: of the bay or the leaf that it fills."""

    place: Place
    glass: Glass
    kind: BayKind | LeafKind


@once
def panels(job: Job) -> list[Panel]:
    """Every panel of glass: those in bays, then those in gates' leaves."""
    guards = all_guards(job)
    return [Panel(place, kind.glass, kind) for place, kind in guards if kind.glass is not None]


def off_edge(job: Job, kind: GuardKind) -> Length:
    """How far a level guard's bottom rail lies outside the deck's edge; negative over the deck.

    Measured to the rail's near face where the kit gives its width, else to its middle line.
    """
    return kind.out - half_rail(job, kind)


def half_rail(job: Job, kind: GuardKind) -> Length:
    """Half of the bottom rail's width; 0 where the kit does not give it."""
    return job.kit.half_rail("bottom", kind.infill)
