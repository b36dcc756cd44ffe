"""Rules: the guard of a flight as high as the code asks, its handrails, and how high they are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.code import Figure
from service.core.layout import FlightBuilt
from service.rules.demands import bound_demand
from service.rules.finding import Finding, Result
from service.rules.held import beside_flight
from service.rules.verdict import (
    Job,
    Reading,
    Saying,
    by_bounds,
    by_figure,
    say_by_figure,
    say_unstated,
)
from service.rules.words import count_text

_RULE: Final = "handrail_required"


def stair_guard_height(job: Job) -> Iterator[Saying]:
    """The height of each guarded flight's guard, plumb above the line of nosings."""
    what = "the guard of the flight is {} high above the nosings"
    readings = (
        Reading((flight.id,), what, flight.height, beside_flight(flight))
        for flight in job.layout.flights
        if flight.guards
    )
    name = "guard_height_stair"
    yield from by_figure(job, "stair_guard_height", name, readings, bound_demand)


def handrail_required(job: Job) -> Iterator[Saying]:
    """Whether each flight has its handrail, and one on both sides where it is wide."""
    figure = job.figure("handrail_required_risers")
    if job.code is None or figure is None:
        missing = say_unstated(job, _RULE, "handrail_required_risers")
        yield from ((missing, (flight.id,)) for flight in job.layout.flights)
        return
    for flight in job.layout.flights:
        yield _required(job, figure.at(flight.drops), flight), (flight.id,)


def _required(job: Job, figure: Figure, flight: FlightBuilt) -> Finding:
    risers = count_text(flight.risers, "riser")
    least = count_text(round(figure.length()), "riser")
    asks = f"one is required {'over' if figure.reads == 'more_than' else 'from'} {least}"
    asks = f"{asks} {job.clause(figure, 'count')}"
    has = _has_text(flight)
    if not figure.met_by(flight.risers):
        return say_by_figure(_RULE, "pass", f"{has}, at {risers}; {asks}", figure, flight.risers)
    if flight.risers == 1:
        sentence = f"{asks}; beside a single riser none is laid out here, so settle it on site"
        return say_by_figure(_RULE, "not_checked", sentence, figure, flight.risers)
    both = job.figure("handrail_both_sides_width")
    if both is not None and both.at(flight.drops).met_by(flight.clear_width):
        return _both_sides(job, both.at(flight.drops), flight)
    result: Result = "pass" if flight.handrails else "fail"
    return say_by_figure(_RULE, result, f"{has}, at {risers}; {asks}", figure, flight.risers)


def _both_sides(job: Job, figure: Figure, flight: FlightBuilt) -> Finding:
    limit, width = figure.length(), flight.clear_width
    over = "over" if figure.reads == "more_than" else "from"
    sentence = (
        f"{_has_text(flight)}, at a clear width of {job.text(width, limit)}; both sides need one "
        f"{over} a width of {job.text(limit)} {job.clause(figure)}"
    )
    result: Result = "pass" if len(flight.handrails) > 1 else "fail"
    return say_by_figure(_RULE, result, sentence, figure, width)


def _has_text(flight: FlightBuilt) -> str:
    if not flight.handrails:
        return "no handrail"
    if len(flight.handrails) > 1:
        return "a handrail on both sides"
    return f"a handrail on the {flight.handrails[0].hand}"


def handrail_height(job: Job) -> Iterator[Saying]:
    """The height of each handrail above the line of nosings."""
    what = "the handrail is {} high above the nosings"
    readings = [
        Reading((flight.id,), what, rail.height, flight.drops)
        for flight in job.layout.flights
        for rail in flight.handrails
    ]
    names = ("handrail_height_min", "handrail_height_max")
    yield from by_bounds(job, "handrail_height", names, readings, bound_demand)
