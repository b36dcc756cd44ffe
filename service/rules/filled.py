"""Rules: what is filled with glass: bays and the leaves of gates alike."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from service.core.records.code import Here
from service.core.records.deck import Drops
from service.core.records.layout import Glass, Layout
from service.rules.ruling import here_in, here_in_leaf
from service.rules.verdict import Job, Place


class Filled(NamedTuple):
    """A panel in its place. drops, here: what the code's figures may depend on there.

    measured: sized after the posts stood; in_leaf: hung in a gate's frame.
    """

    place: Place
    glass: Glass
    drops: Drops
    here: Here
    measured: bool
    in_leaf: bool


def panels(job: Job) -> list[Filled]:
    """Every panel of glass, of bays and then of gates."""
    found: list[Filled] | None = job.memo.get("panels")
    if found is None:
        found = job.memo["panels"] = list(_panels(job.layout))
    return found


def _panels(layout: Layout) -> Iterator[Filled]:
    flights = {flight.id: flight for flight in layout.flights}
    for bay in layout.bays:
        if bay.fill.glass is not None:
            here = here_in(bay, flights)
            yield Filled((bay.id,), bay.fill.glass, bay.drops, here, bay.measured, False)
    for gate in layout.gates:
        if gate.glass is not None:
            here = here_in_leaf(gate)
            yield Filled((gate.opening,), gate.glass, gate.drops, here, False, in_leaf=True)
