"""Rules: how far a flight goes without a landing, and how its treads project, by the code."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.measure import TOUCH
from service.core.records.code import Figure
from service.rules.askings import bound_asks
from service.rules.code_limits import Reading, by_bounds
from service.rules.job import Job, Place
from service.rules.ruling import here_by
from service.rules.saying import Saying, say_by_figure

_NOSING: Final = "nosing_projection"
_HAS: Final = {True: "the flight has {} riser", False: "the flight has {} risers"}
_PROJECT: Final = "the treads project {} past the riser below"


def flight_rise(job: Job) -> Iterator[Saying]:
    """The total rise of each flight, where the code limits it."""
    readings = [
        ((f.id,), Reading("the flight rises {} without a landing", f.rise, f.drops, here_by(f)))
        for f in job.layout.flights
    ]
    yield from by_bounds(
        job, "flight_rise", ("flight_rise_max",), readings, bound_asks, optional=True
    )


def flight_risers(job: Job) -> Iterator[Saying]:
    """The number of risers of each flight, where the code limits it."""
    readings = [
        ((f.id,), Reading(_HAS[f.risers == 1], f.risers, f.drops, here_by(f)))
        for f in job.layout.flights
    ]
    names = ("flight_risers_min", "flight_risers_max")
    yield from by_bounds(job, "flight_risers", names, readings, _risers_asks, optional=True)


def _risers_asks(job: Job, figure: Figure, actual: float) -> str:
    return bound_asks(job, figure, actual, "count")


def nosing_projection(job: Job) -> Iterator[Saying]:
    """How far treads project past the riser below. Nought is taken as not given where the code
    asks for a projection."""
    least = job.figure("nosing_min")
    readings: list[tuple[Place, Reading]] = []
    for flight in job.layout.flights:
        if flight.risers == 1:
            continue
        here = here_by(flight)
        binding = least.at(flight.drops, here) if least is not None else None
        if binding is not None and flight.nosing <= TOUCH:
            sentence = (
                "how far the treads project past the riser below is not given; give the flight's "
                f"nosing: {bound_asks(job, binding, 0.0)} {job.clause(binding)}"
            )
            yield say_by_figure(_NOSING, "not_checked", sentence, binding, None), [(flight.id,)]
        else:
            readings.append(((flight.id,), Reading(_PROJECT, flight.nosing, flight.drops, here)))
    names = ("nosing_min", "nosing_max")
    yield from by_bounds(job, _NOSING, names, readings, bound_asks, optional=True)
