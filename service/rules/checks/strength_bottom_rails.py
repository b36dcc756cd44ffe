"""Rules: the strength of bottom rails under the infill's loads, and how far they move."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import NamedTuple

from service.core.measure import Length
from service.core.records.code import Figure
from service.core.records.deck import Infill
from service.rules.checks.strength_spans import RULE, RailSpan, bending, moving, ready_rail
from service.rules.demands import Demand, StrengthInputs, say_demands, say_not_checked, worst
from service.rules.job import Job, Place
from service.rules.saying import Saying
from service.rules.strength.beams import (
    span_deflection_of_line,
    span_deflection_of_point,
    span_moment_of_line,
    span_moment_of_point,
)
from service.rules.strength.loads import NO_INFILL_LOAD, Loads, figures_of
from service.rules.strength.members import ReadyMember


def bottom_rails(
    job: Job, given: StrengthInputs, infill: Infill, spans: list[tuple[Place, RailSpan]]
) -> Iterator[Saying]:
    """Stress in bottom rails, and how far they move where the code limits that.

    The loads are the infill's point load at midspan, and half of its pressure all along. infill: of
    these spans.
    """
    role = f"bottom_rail_{infill}"
    member = given.strength.rails.get(role)
    ready = ready_rail(job, given, role, member, job.kit.rails[infill].bottom.depth)
    if not isinstance(ready, ReadyMember):
        yield say_not_checked(job, RULE, *ready)
        return
    if not given.loads.has_infill:
        yield say_not_checked(job, RULE, f"the {role.replace('_', ' ')}", NO_INFILL_LOAD)
        return
    reads = figures_of(given.loads.infill_point, given.loads.infill_pressure)
    topic = bending(given.loads, ready, "the stress in the bottom rail comes to", reads)
    yield from say_demands(job, topic, spans, partial(_bends, given.loads, ready))
    stated = given.loads.deflection
    if stated is not None:
        movement = moving(given.loads, None, "the middle of the bottom rail moves", reads)
        yield from say_demands(
            job, movement, spans, partial(_moves, given.loads, ready, stated.number())
        )


class InfillCase(NamedTuple):
    """One of the infill's loads on a bottom rail.

    load: a force at midspan, or a force for each unit of length all along. moment_of,
    deflection_of: what it bends and moves a span by. words: the case, for readers.
    """

    load: float
    moment_of: Callable[[float, Length], float]
    deflection_of: Callable[[float, Length, float, float], Length]
    words: str
    figure: Figure


def _cases(loads: Loads, each: RailSpan) -> Iterator[InfillCase]:
    """The infill's point load at midspan, and half of the pressure on the infill, all along."""
    point, pressure = loads.infill_point, loads.infill_pressure
    if point is not None:
        words = f"the infill's load of {point.text} at its middle"
        yield InfillCase(
            point.value, span_moment_of_point, span_deflection_of_point, words, point.figure
        )
    if pressure is not None:
        words = f"half of the infill's {pressure.text}"
        line = pressure.value * each.filled / 2
        yield InfillCase(line, span_moment_of_line, span_deflection_of_line, words, pressure.figure)


def _bends(loads: Loads, ready: ReadyMember, each: RailSpan) -> Demand | None:
    found = []
    for case in _cases(loads, each):
        moment = case.moment_of(case.load, each.length)
        words = f"under {loads.times}{case.words}"
        found.append(
            Demand(loads.factor * moment / ready.modulus, ready.stress, words, case.figure)
        )
    return worst(found)


def _moves(loads: Loads, ready: ReadyMember, limit: Length, each: RailSpan) -> Demand | None:
    """How far the middle of a bottom rail moves under the worst of the loads, without a factor."""
    found = []
    for case in _cases(loads, each):
        moved = case.deflection_of(case.load, each.length, ready.elasticity, ready.moment)
        found.append(Demand(moved, limit, f"under {case.words}", case.figure))
    return worst(found)
