"""Rules: how far a flight goes without a landing, and how its treads project, by the code."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.measure import TOUCH
from service.rules.code_limits import Reading, at_flight, by_bounds
from service.rules.figure_words import bound_asks
from service.rules.job import Job, Place
from service.rules.ruling import figure_on_flight
from service.rules.saying import Saying, say_by_figure

_NOSING: Final = "nosing_projection"
_HAS: Final = {True: "the flight has {} riser", False: "the flight has {} risers"}
_PROJECT: Final = "the treads project {} past the riser below"


def flight_rise(job: Job) -> Iterator[Saying]:
    """Total rise of each flight, where the code limits it."""
    what = "the flight rises {} without a landing"
    readings = [at_flight(flight, what, flight.rise) for flight in job.layout.flights]
    yield from by_bounds(job, "flight_rise", readings, optional=True)


def flight_risers(job: Job) -> Iterator[Saying]:
    """Number of risers of each flight, where the code limits it."""
    readings = [
        at_flight(flight, _HAS[flight.risers == 1], flight.risers) for flight in job.layout.flights
    ]
    yield from by_bounds(job, "flight_risers", readings, optional=True)


def nosing_projection(job: Job) -> Iterator[Saying]:
    """How far the treads of each flight project past the riser below.

    A projection of 0 is taken as not given where the code asks for one.
    """
    readings: list[tuple[Place, Reading]] = []
    for flight in job.layout.flights:
        if flight.risers == 1:
            continue
        binding = figure_on_flight(job.code, "nosing_min", flight)
        if binding is not None and flight.nosing <= TOUCH:
            sentence = (
                "how far the treads project past the riser below is not given; give the flight's "
                f"nosing: {bound_asks(job, binding, 0.0)} {job.clause(binding)}"
            )
            yield say_by_figure(_NOSING, "not_checked", sentence, binding, None), [(flight.id,)]
        else:
            readings.append(at_flight(flight, _PROJECT, flight.nosing))
    yield from by_bounds(job, _NOSING, readings, optional=True)
