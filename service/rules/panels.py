"""Rules: every panel of glass in a layout, of bays and of gates' leaves alike, with what a code's
figures may depend on where it is."""

from __future__ import annotations

from typing import NamedTuple

from service.core.measure import Degrees
from service.core.records.code import Here
from service.core.records.deck import Drops
from service.core.records.layout import Glass
from service.rules.job import Job, Place
from service.rules.ruling import here_in, here_in_leaf


class PlacedPanel(NamedTuple):
    """A panel in its place. drops, here: what the code's figures may depend on there.

    pitch: of its bay, 0 on a level; measured: sized after the posts stood; in_leaf: hung in a
    gate's frame.
    """

    place: Place
    glass: Glass
    drops: Drops
    here: Here
    pitch: Degrees
    measured: bool
    in_leaf: bool


def panels(job: Job) -> list[PlacedPanel]:
    """Every panel of glass, of bays and then of gates."""
    return job.once(_panels)


def _panels(job: Job) -> list[PlacedPanel]:
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
