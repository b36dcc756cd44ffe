"""Rules: the strength of bottom rails under the infill's loads, and how far they move."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from service.core.measure import Length
from service.core.records.deck import Infill
from service.rules.checks.strength_spans import RULE, RailSpan, able_rail, bending, moving
from service.rules.strength.beams import (
    span_deflection_of_line,
    span_deflection_of_point,
    span_moment_of_line,
    span_moment_of_point,
)
from service.rules.strength.loads import Loads, figures_of
from service.rules.strength.members import Able
from service.rules.use import Begun, Use, say_uses, unmade, worst
from service.rules.verdict import Job, Place, Saying


def bottom_rails(
    job: Job, begun: Begun, infill: Infill, spans: list[tuple[Place, RailSpan]]
) -> Iterator[Saying]:
    """Half of the infill's load along it, or the infill's point load in its middle."""
    role = f"bottom_rail_{infill}"
    member = begun.strength.rails.get(role)
    able = able_rail(job, begun, role, member, job.kit.rails[infill].bottom.depth)
    if not isinstance(able, Able):
        yield unmade(job, RULE, *able)
        return
    if begun.loads.infill_point is None and begun.loads.infill_pressure is None:
        reason = "the code states neither infill_point_load nor infill_pressure"
        yield unmade(job, RULE, f"the {role.replace('_', ' ')}", reason)
        return
    reads = figures_of(begun.loads.infill_point, begun.loads.infill_pressure)
    topic = bending(begun.loads, able, "the stress in the bottom rail comes to", reads)
    yield from say_uses(job, topic, spans, partial(_bends, begun.loads, able))
    stated = begun.loads.deflection
    if stated is not None:
        movement = moving(begun.loads, None, "the middle of the bottom rail moves", reads)
        yield from say_uses(
            job, movement, spans, partial(_moves, begun.loads, able, stated.number())
        )


def _bends(loads: Loads, able: Able, each: RailSpan) -> Use | None:
    found = []
    if loads.infill_point is not None:
        moment = span_moment_of_point(loads.infill_point.value, each.length)
        words = f"under {loads.times}the infill's load of {loads.infill_point.text} at its middle"
        figure = loads.infill_point.figure
        found.append(Use(loads.factor * moment / able.modulus, able.stress, words, figure))
    if loads.infill_pressure is not None:
        line = loads.infill_pressure.value * each.filled / 2
        moment = span_moment_of_line(line, each.length)
        words = f"under {loads.times}half of the infill's {loads.infill_pressure.text}"
        figure = loads.infill_pressure.figure
        found.append(Use(loads.factor * moment / able.modulus, able.stress, words, figure))
    return worst(found)


def _moves(loads: Loads, able: Able, limit: Length, each: RailSpan) -> Use | None:
    """How far the middle of a bottom rail moves, without a factor."""
    found = []
    if loads.infill_point is not None:
        force = loads.infill_point.value
        moved = span_deflection_of_point(force, each.length, able.elasticity, able.moment)
        words = f"under the infill's load of {loads.infill_point.text} at its middle"
        found.append(Use(moved, limit, words, loads.infill_point.figure))
    if loads.infill_pressure is not None:
        line = loads.infill_pressure.value * each.filled / 2
        moved = span_deflection_of_line(line, each.length, able.elasticity, able.moment)
        words = f"under half of the infill's {loads.infill_pressure.text}"
        found.append(Use(moved, limit, words, loads.infill_pressure.figure))
    return worst(found)
