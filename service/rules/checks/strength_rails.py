"""Rules: the strength of rails: top rails, bottom rails and the handrails of flights."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import pairwise
from typing import Final

from service.core.measure import Length
from service.core.records.layout import FlightBuilt, Handrail
from service.rules.checks.strength_bottom_rails import bottom_rails
from service.rules.checks.strength_spans import RULE, bending, ready_rail, spans_of
from service.rules.checks.strength_top_rails import top_rails
from service.rules.demands import (
    Demand,
    StrengthInputs,
    say_demands,
    say_not_checked,
    with_strength,
    worst,
)
from service.rules.job import Job, Place
from service.rules.load_groups import by_loads
from service.rules.saying import Saying, say_by_kit
from service.rules.strength.beams import (
    cantilever_moment,
    overhang_moment_of_line,
    span_moment_of_line,
    span_moment_of_point,
)
from service.rules.strength.loads import Loads, figures_of
from service.rules.strength.members import ReadyMember

SUBJECT: Final = "the strength of the rails"
BETWEEN: Final = (
    "M = P L/4 or w L^2/8 between two brackets, P a or w a^2/2 at an end a past the last"
)


def strength_rail(job: Job) -> Iterator[Saying]:
    """Strength of top rails, bottom rails and handrails.

    Top rails carry the guard's loads, bottom rails the infill's, and handrails their own. The
    leaves of gates are not checked.
    """
    yield from _leaves(job)
    if job.layout.bays or any(flight.handrails for flight in job.layout.flights):
        yield from with_strength(job, RULE, SUBJECT, _rails)


def _rails(job: Job, given: StrengthInputs) -> Iterator[Saying]:
    for there, spans in by_loads(job, given, spans_of(job)):
        for infill in dict.fromkeys([each.infill for _, each in spans]):
            mine = [(place, each) for place, each in spans if each.infill == infill]
            yield from top_rails(job, there, infill, mine)
            yield from bottom_rails(job, there, infill, mine)
    yield from _handrails(job, given)


def _leaves(job: Job) -> Iterator[Saying]:
    """Finding that a gate's frame, hinges and latch are not checked: no kit has their strength."""
    if not job.layout.gates:
        return
    sentence = (
        "the strength of the gate's frame, hinges and latch was not checked: a kit says nothing "
        "of it; ask their maker"
    )
    unknown = say_by_kit(job, RULE, "not_checked", sentence)
    yield unknown, [(gate.place,) for gate in job.layout.gates]


def _handrails(job: Job, given: StrengthInputs) -> Iterator[Saying]:
    """Handrails of each flight under their point load, where it bends most, and their line load."""
    flights = [((flight.id,), flight) for flight in job.layout.flights if flight.handrails]
    if flights and job.kit.handrail is not None:
        depth = job.kit.handrail.diameter
        for there, places in by_loads(job, given, flights):
            yield from _alike(job, there, depth, places)


def _alike(
    job: Job, given: StrengthInputs, depth: Length, places: list[tuple[Place, FlightBuilt]]
) -> Iterator[Saying]:
    """Findings on handrails under the same loads. depth: their diameter."""
    loads, member = given.loads, given.strength.handrail
    reads = figures_of(loads.handrail, loads.handrail_line)
    if not reads:
        reason = "the code states neither handrail_point_load nor handrail_line_load"
        yield say_not_checked(job, RULE, "the strength of the handrail", reason)
        return
    ready = ready_rail(job, given, "handrail", member, depth)
    if not isinstance(ready, ReadyMember):
        yield say_not_checked(job, RULE, *ready)
        return
    if ready.modulus_down is not None and ready.modulus_down < ready.modulus:
        # The load of a handrail comes from any side, so the lesser modulus counts.
        ready = ready._replace(modulus=ready.modulus_down)
    what = "the stress in the handrail comes to"
    topic = bending(loads, ready, what, reads, spanning=BETWEEN)
    yield from say_demands(job, topic, places, partial(_bends, loads, ready))


def _bends(loads: Loads, ready: ReadyMember, flight: FlightBuilt) -> Demand | None:
    """Worst of the loads, between the widest two brackets and on the longest end past them."""
    span = max(map(_widest, flight.handrails))
    end = max(max(rail.brackets[0], rail.length - rail.brackets[-1]) for rail in flight.handrails)
    found = []
    for load, moment_between, moment_beyond, where in (
        (
            loads.handrail,
            span_moment_of_point,
            cantilever_moment,
            "between two brackets or at an end",
        ),
        (loads.handrail_line, span_moment_of_line, overhang_moment_of_line, "all along it"),
    ):
        if load is not None:
            moment = max(moment_between(load.value, span), moment_beyond(load.value, end))
            words = f"under {loads.times}{load.text} {where}"
            found.append(
                Demand(loads.factor * moment / ready.modulus, ready.stress, words, load.figure)
            )
    return worst(found)


def _widest(rail: Handrail) -> Length:
    """Widest space between two brackets of a handrail; 0 where it has one alone."""
    return max((after - before for before, after in pairwise(rail.brackets)), default=0.0)
