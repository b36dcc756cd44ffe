"""Rules: every panel of glass in a layout, in bays and in gates' leaves, with what a code's figures
may depend on at its place (`panels`)."""

from __future__ import annotations

from typing import NamedTuple

from service.core.measure import Degrees
from service.core.records.code import Circumstances
from service.core.records.deck import Drops
from service.core.records.infill import Glass
from service.rules.job import Job, Place, once
from service.rules.ruling import here_in, here_in_leaf


class PlacedPanel(NamedTuple):
    """A panel and its place. drops, here: what a code's figures may depend on there.

    pitch: that of its bay, 0 on a level. measured: whether it was sized after the posts stood.
    in_leaf: whether it hangs in a gate's frame.
    """

    place: Place
    glass: Glass
    drops: Drops
    here: Circumstances
    pitch: Degrees
    measured: bool
    in_leaf: bool


@once
def panels(job: Job) -> list[PlacedPanel]:
    """Every panel of glass: those in bays, then those in gates."""
    flights = {flight.id: flight for flight in job.layout.flights}
    found = [
        PlacedPanel(
            (bay.id,),
            bay.fill.glass,
            bay.drops,
            here_in(bay, flights),
            pitch=0.0 if bay.fill.rake is None else bay.fill.rake.pitch,
            measured=bay.measured,
            in_leaf=False,
        )
        for bay in job.layout.bays
        if bay.fill.glass is not None
    ]
    found += [
        PlacedPanel(
            (gate.place,),
            gate.glass,
            gate.opening.drops,
            here_in_leaf(gate),
            pitch=0.0,
            measured=False,
            in_leaf=True,
        )
        for gate in job.layout.gates
        if gate.glass is not None
    ]
    return found
