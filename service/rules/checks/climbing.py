"""Rules: what in a guard helps a child to climb it, by the code.

A picket or glass guard has two horizontal members, its rails. The top of the bottom rail is a
foothold; so is the top rail's where it lies low.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import Final

from service.core.code import Figure, Here
from service.core.deck import Drops
from service.core.layout import Bay, FlightBuilt
from service.core.measure import Length
from service.rules.finding import Finding
from service.rules.held import beside_flight, scope_over, within, within_leaf
from service.rules.verdict import (
    Job,
    Reading,
    Saying,
    by_figure,
    say_by_figure,
    say_unstated,
    scope_text,
    tell_alike,
)

_RULE: Final = "climbable"
_FIGURES: Final = ("climb_zone_from", "climb_zone_to", "horizontal_rails")


def climbable(job: Job) -> Iterator[Saying]:
    """Both rails of each bay and of each leaf against the zone that may have no foothold."""
    if job.code is None:
        missing = say_unstated(job, _RULE, "climb_zone_from")
        bays = [(bay.id,) for bay in job.layout.bays]
        yield missing, bays + [(gate.opening,) for gate in job.layout.gates]
        return
    if not any(job.figure(name) is not None for name in _FIGURES):
        return
    flights = {flight.id: flight for flight in job.layout.flights}
    low, high, words = (job.figure(name) for name in _FIGURES)
    if low is not None:
        rails = _bottom_rails(job, flights)
        yield from by_figure(job, _RULE, "climb_zone_from", rails, _under_demand)
    if high is not None:
        tops = _top_rails(job, flights)
        yield from by_figure(job, _RULE, "climb_zone_to", tops, _over_demand)
    if words is not None:
        yield from _no_rails_between(job, words, flights)


def _bottom_rails(job: Job, flights: dict[str, FlightBuilt]) -> Iterator[Reading]:
    for bay in job.layout.bays:
        what = f"a foot finds the top of the bottom rail {{}} above {_surface(bay)}"
        yield Reading((bay.id,), what, _foothold(job, bay), _drops(bay, flights), within(bay))
    for gate in job.layout.gates:
        what = "a foot finds the top of the leaf's bottom rail {} above the walking surface"
        foot = gate.top - gate.height + job.kit.rails[gate.infill].bottom.depth
        yield Reading((gate.opening,), what, foot, gate.drops, within_leaf(gate))


def _top_rails(job: Job, flights: dict[str, FlightBuilt]) -> Iterator[Reading]:
    for bay in job.layout.bays:
        what = f"the top rail is {{}} above {_surface(bay)}"
        yield Reading((bay.id,), what, bay.height, _drops(bay, flights), within(bay))
    for gate in job.layout.gates:
        what = "the top rail of the gate's leaf is {} above the walking surface"
        yield Reading((gate.opening,), what, gate.top, gate.drops, within_leaf(gate))


def _foothold(job: Job, bay: Bay) -> Length:
    """Walking surface, or plumb line of nosings, to the top of the bottom rail."""
    depth = job.kit.rails[bay.infill].bottom.depth
    if bay.fill.rake is None:
        return job.kit.bottom_gap + depth
    slope = bay.fill.rake.centres_slope / bay.centres
    return (job.kit.stair_bottom_gap or 0.0) + depth * slope


def _drops(bay: Bay, flights: dict[str, FlightBuilt]) -> Drops:
    flight = flights.get(bay.flight or "")
    return bay.drops if flight is None else beside_flight(flight)


def _surface(bay: Bay) -> str:
    return "the walking surface" if bay.fill.rake is None else "the nosings"


def _under_demand(job: Job, figure: Figure, actual: Length) -> str:
    limit = job.text(figure.number())
    below = "under" if figure.reads == "less_than" else "no higher than"
    cure = "" if figure.met_by(actual) else ": a lower or a shallower rail cures it"
    return f"here nothing may help climbing from {limit} up, so it must lie {below} that{cure}"


def _over_demand(job: Job, figure: Figure, actual: Length) -> str:
    limit = job.text(figure.number())
    return f"here nothing may help climbing up to {limit}, so it must be no lower"


def _no_rails_between(
    job: Job, figure: Figure, flights: dict[str, FlightBuilt]
) -> Iterator[Saying]:
    """These guards have no rail between their two, whatever the code has of such rails."""
    assert job.code is not None
    code = job.code

    def tell(kind: tuple[Drops, Here]) -> Finding | None:
        held, scope = figure.at(*kind), scope_over(code, kind[0])
        if held is None or not scope.binds:
            return None
        sentence = (
            "no rail stands between the bottom rail and the top rail to climb by; horizontal "
            f"rails are to be avoided {job.clause(held)}{scope_text(job, scope)}"
        )
        return say_by_figure(_RULE, "pass", sentence, held, None, [scope.by])

    bays = (((bay.id,), (_drops(bay, flights), within(bay))) for bay in job.layout.bays)
    leaves = (((gate.opening,), (gate.drops, within_leaf(gate))) for gate in job.layout.gates)
    yield from tell_alike(chain(bays, leaves), tell)
