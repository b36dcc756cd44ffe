"""Rules: openings by figures that hold for a part of guards only, by the code: the upper band of a
guard, a guard that is not required, and the gap under the bottom rail of a flight."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import chain
from typing import Final

from service.core.code import Figure
from service.core.deck import Drops
from service.core.measure import Length
from service.rules.checks.openings import flight_gaps, gaps_under_rails, level_gaps
from service.rules.demands import sphere_demand
from service.rules.finding import Finding, Result
from service.rules.held import beside, beside_flight, scope_over
from service.rules.verdict import (
    Job,
    Reading,
    Saying,
    by_figure,
    say_by_figure,
    say_unstated,
    tell_alike,
)

_SPARED: Final = "opening_not_required"


def opening_size_upper(job: Job) -> Iterator[Saying]:
    """The gaps of guards that reach into the upper band, which run through it from below."""
    name = "opening_sphere_upper"
    begins = job.figure("opening_sphere_upper_from")
    if job.code is not None and job.figure(name) is None:
        return
    readings = level_gaps(job)
    if begins is not None:
        from_ = begins.number()
        tall = {bay.id for bay in job.layout.bays if bay.height > from_}
        tall |= {gate.opening for gate in job.layout.gates if gate.top > from_}
        ending = f", above {job.text(from_)} as below it"
        readings = (
            reading._replace(what=reading.what + ending)
            for reading in readings
            if reading.place[0] in tall
        )
    yield from by_figure(job, "opening_size_upper", name, readings, sphere_demand)


def opening_not_required(job: Job) -> Iterator[Saying]:
    """The gaps of guards that the code does not require: small or wide, nothing between, where
    a head is caught."""
    small, wide = job.figure("opening_not_required_guard"), job.figure(_SPARED + "_guard_wide")
    readings = chain(level_gaps(job), gaps_under_rails(job), flight_gaps(job))
    if job.code is None:
        missing = say_unstated(job, _SPARED, "opening_not_required_guard")
        yield missing, [reading.place for reading in readings]
        return
    if small is None:
        return
    code = job.code

    def tell(kind: tuple[str, Length, Drops]) -> Finding | None:
        what, actual, drops = kind
        required = scope_over(code, drops).binds
        return None if required else _spared(job, small, wide, what, actual)

    kinds = ((each.place, (each.what, round(each.actual, 6), each.drops)) for each in readings)
    yield from tell_alike(kinds, tell)


def _spared(job: Job, small: Figure, wide: Figure | None, what: str, actual: Length) -> Finding:
    """One gap: kept by the lesser figure or by the greater."""
    least = small.number()
    sentence = f"{what.format(job.text(actual, least))}, in a guard that is not required here"
    asks = f"{sphere_demand(job, small, actual)} {job.clause(small)}"
    keeps, decides = small.met_by(actual), small
    if wide is not None and not keeps:
        most = job.text(wide.number())
        asks += f", unless one of {most} passes too {job.clause(wide)}"
        if wide.met_by(actual):
            keeps, decides = True, wide
            asks = f"a {most} sphere passes, so that no head is caught {job.clause(wide)}"
    result: Result = "pass" if keeps else "fail"
    return say_by_figure(_SPARED, result, f"{sentence}; {asks}", decides, actual)


def stair_gap_under_rail(job: Job) -> Iterator[Saying]:
    """The gap between the line of nosings and the bottom rail, square to the slope."""
    name = "stair_gap_sphere"
    if job.code is not None and job.figure(name) is None:
        return
    what = "the gap between the line of nosings and the bottom rail, square to the slope, is {}"
    lift = job.kit.stair_bottom_gap or 0.0
    readings: Iterable[Reading] = (
        Reading(
            (flight.id,),
            what,
            lift * math.cos(math.radians(flight.pitch)),
            beside_flight(flight),
            beside(flight),
        )
        for flight in job.layout.flights
        if flight.guards
    )
    yield from by_figure(job, "stair_gap_under_rail", name, readings, sphere_demand)
