"""Rules: whether a handrail can be held, and goes far enough past the steps, by the code."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.rules.checks.handrails import flights_with_top_as_handrail
from service.rules.code_limits import at_flight, by_bounds
from service.rules.finding import Finding
from service.rules.job import Job
from service.rules.saying import Saying, say_by_figure

_GRIP: Final = ("handrail_grip_min", "handrail_grip_max")


def handrail_grip(job: Job) -> Iterator[Saying]:
    """Diameter of the kit's handrail, which is round.

    The top of a guard that is the handrail has no diameter to judge, so it is not_checked.
    """
    rail = job.kit.handrail
    if rail is not None:
        what = "the handrail is round, {} across"
        readings = [
            at_flight(flight, what, rail.diameter)
            for flight in job.layout.flights
            if flight.handrails
        ]
        yield from by_bounds(job, "handrail_grip", readings, optional=True)
    for flight in flights_with_top_as_handrail(job):
        finding = _of_top(job)
        if finding is not None:
            yield finding, [(flight.id,)]


def _of_top(job: Job) -> Finding | None:
    figure = next((one for one in map(job.figure, _GRIP) if one is not None), None)
    if figure is None:
        return None
    sentence = (
        "the top of the guard is the handrail, and the kit does not say how a hand closes round "
        f"it; lay out a handrail, or see to its shape {job.clause(figure)}"
    )
    return say_by_figure("handrail_grip", "not_checked", sentence, figure, None)


def handrail_extent(job: Job) -> Iterator[Saying]:
    """How far each handrail goes on, level, past the top nosing.

    As laid out, none does. Nor does the top of a guard that is the handrail: it slopes from its
    head post.
    """
    what = "the handrail ends above the top nosing and goes {} past it"
    readings = [at_flight(flight, what, 0.0) for flight in job.layout.flights if flight.handrails]
    what = (
        "the top of the guard, which is the handrail, slopes from its head post and goes {} on a "
        "level past the top nosing"
    )
    readings += [at_flight(flight, what, 0.0) for flight in flights_with_top_as_handrail(job)]
    yield from by_bounds(job, "handrail_extent", readings, optional=True)
