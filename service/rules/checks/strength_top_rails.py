"""Rules: the strength of top rails under the guard's loads, and how far they move."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Final, NamedTuple

from service.core.measure import TOUCH, Length
from service.core.records.deck import Infill
from service.rules.carried import lever_height
from service.rules.checks.strength_posts import ready_post
from service.rules.checks.strength_spans import RULE, RailSpan, bending, moving, ready_rail
from service.rules.demands import Demand, StrengthInputs, say_demands, say_not_checked, worst
from service.rules.job import Job, Place
from service.rules.saying import Saying
from service.rules.strength.beams import (
    cantilever_deflection,
    middle_limit,
    sag_limit,
    span_deflection_of_line,
    span_deflection_of_point,
    span_moment_of_line,
    span_moment_of_point,
)
from service.rules.strength.loads import NO_GUARD_LOAD, Load, Loads, figures_of
from service.rules.strength.members import ReadyMember


def top_rails(
    job: Job, given: StrengthInputs, infill: Infill, spans: list[tuple[Place, RailSpan]]
) -> Iterator[Saying]:
    """Stress in each kind of top rail, and how far its middle moves. infill: of these spans.

    The loads sideways are the guard's point and line loads, the infill's point load where that is
    the greater, and half of the infill's pressure; then come the loads straight down.
    """
    role = f"top_rail_{infill}"
    member = given.strength.rails.get(role)
    ready = ready_rail(job, given, role, member, job.kit.rails[infill].top.depth)
    loads = given.loads
    if not isinstance(ready, ReadyMember):
        yield say_not_checked(job, RULE, *ready)
        return
    cases = _cases(loads)
    if not cases:
        yield say_not_checked(job, RULE, f"the {role.replace('_', ' ')}", NO_GUARD_LOAD)
        return
    yield from _unlooked(job, loads, ready, role)
    pressed = loads.infill_pressure is not None
    lengths = [(place, (each.length, each.filled if pressed else 0.0)) for place, each in spans]
    reads = figures_of(*[load for case in cases for load in case.loads])
    topic = bending(loads, ready, "the stress in the top rail comes to", reads, loads.on_rail)
    yield from say_demands(job, topic, lengths, partial(_bends, loads, cases, ready))
    post = ready_post(job, given)
    if isinstance(post, str) and _with_posts(cases, spans):
        what = f"how far the middle of the {role.replace('_', ' ')} moves with its posts"
        yield say_not_checked(job, RULE, what, post)
    holder = None if isinstance(post, str) else post
    movement = moving(loads, holder, "the middle of the top rail moves", reads)
    yield from say_demands(job, movement, spans, partial(_moves, job, loads, cases, ready, holder))


def _with_posts(cases: list[Case], spans: list[tuple[Place, RailSpan]]) -> bool:
    """Whether any of these rails has a post at an end and is pushed sideways."""
    ends = any(each.ends != (None, None) for _, each in spans)
    return ends and not all(case.down for case in cases)


def _unlooked(job: Job, loads: Loads, ready: ReadyMember, role: str) -> Iterator[Saying]:
    """Finding on plumb loads that are not looked at, as the kit gives no section for them."""
    plumb = [load.text for load in (loads.point, loads.vertical) if load is not None]
    if not plumb:
        return
    what = f"the {role.replace('_', ' ')} under {' and '.join(plumb)} straight down"
    wanted = []
    if ready.modulus_down is None:
        wanted.append("section_modulus_down")
    if ready.moment_down is None:
        wanted.append("second_moment_down")
    if wanted:
        yield say_not_checked(job, RULE, what, f"give strength.{role}.{' and '.join(wanted)}")


class Case(NamedTuple):
    """Loads that come together on a rail, sideways or straight down.

    factored, plain: the case in words, with the factor and without.
    """

    loads: tuple[Load, ...]
    down: bool
    factored: str
    plain: str


def _cases(loads: Loads) -> list[Case]:
    """The cases of load on a top rail, sideways and then straight down.

    Sideways come the point and the line load, together only where the code has it so; the infill's
    point load, which a picket brings to either rail; and the infill's pressure, of which each rail
    takes half. Straight down come the point and the vertical load, together likewise.
    """
    level = [load for load in (loads.point, loads.line) if load is not None]
    apart = [tuple(level)] if loads.concur else [(load,) for load in level]
    infill, point = loads.infill_point, loads.point
    if level and infill is not None and (point is None or infill.value > point.value):
        apart.append((infill,))
    if level and loads.infill_pressure is not None:
        apart.append((loads.infill_pressure,))
    plumb = [load for load in (loads.point, loads.vertical) if load is not None]
    falling = [tuple(plumb)] if loads.concur else [(load,) for load in plumb]
    sideways = [_case(loads, each, down=False) for each in apart if each]
    return sideways + [_case(loads, each, down=True) for each in falling if each]


_LOAD_WORDS: Final = {
    "point": "the point load of {} at mid-span",
    "infill": "the infill's load of {} at mid-span",
    "line": "the line load of {}",
    "pressure": "half of the infill's {}",
}
_DISTRIBUTED: Final = ("line", "pressure")
"""Kinds of load that go all along a rail."""


def _load_kind(loads: Loads, load: Load) -> str:
    """Which of the loads on a rail this is: a key of `_LOAD_WORDS`."""
    if load is loads.point:
        return "point"
    if load is loads.infill_point:
        return "infill"
    return "pressure" if load is loads.infill_pressure else "line"


def _case(loads: Loads, together: tuple[Load, ...], *, down: bool) -> Case:
    told = [_LOAD_WORDS[_load_kind(loads, load)].format(load.text) for load in together]
    words = " with ".join(told)
    if down:
        words += " straight down"
    return Case(together, down, f"under {loads.times}{words}", f"under {words}")


def _bends(
    loads: Loads, cases: list[Case], ready: ReadyMember, reach: tuple[Length, Length]
) -> Demand | None:
    """Worst of the loads on a top rail; plumb ones only where its section is known for them.

    reach: length of the rail, and height of the infill under it.
    """
    length, filled = reach
    found = []
    for case in cases:
        modulus = ready.modulus_down if case.down else ready.modulus
        if modulus is None:
            continue
        moment = 0.0
        for load in case.loads:
            kind = _load_kind(loads, load)
            bends = span_moment_of_line if kind in _DISTRIBUTED else span_moment_of_point
            value = load.value * filled / 2 if kind == "pressure" else load.value
            moment += bends(value, length)
        stress = loads.factor * moment / modulus
        found.append(Demand(stress, ready.stress, case.factored, case.loads[0].figure))
    return worst(found)


def _moves(
    job: Job,
    loads: Loads,
    cases: list[Case],
    ready: ReadyMember,
    post: ReadyMember | None,
    each: RailSpan,
) -> Demand | None:
    """How far the middle of a rail moves: sideways with its posts, straight down by itself.

    post: None where it is not known how the posts move. Sideways, only a rail without posts is then
    told, and one that moves too far by itself. Straight down, a rail is told where its section is
    known for it.
    """
    stated = loads.deflection
    level = middle_limit(each.height, each.length) if stated is None else stated.number()
    sag = sag_limit(each.length) if stated is None else stated.number()
    unknown = post is None and each.ends != (None, None)
    found = []
    for case in cases:
        moment = ready.moment_down if case.down else ready.moment
        if moment is None:
            continue
        moved = 0.0
        for load in case.loads:
            kind = _load_kind(loads, load)
            bends = span_deflection_of_line if kind in _DISTRIBUTED else span_deflection_of_point
            value = load.value * each.filled / 2 if kind == "pressure" else load.value
            moved += bends(value, each.length, ready.elasticity, moment)
            if post is not None and not case.down:
                moved += _posts_move(job, value, kind in _DISTRIBUTED, post, each)
        limit = sag if case.down else level
        demand = Demand(moved, limit, case.plain, case.loads[0].figure)
        if case.down or not unknown or demand.ratio > 1 + TOUCH:
            found.append(demand)
    return worst(found)


def _posts_move(job: Job, load: float, along: bool, post: ReadyMember, each: RailSpan) -> Length:
    """How far the middle of a rail moves with its posts: the mean of their two tops.

    Each post takes half of a point load, or a line load over what it carries. along: whether the
    load goes all along the rail.
    """
    total = 0.0
    for stand in each.ends:
        height = None if stand is None else lever_height(job, stand.height)
        if stand is not None and height is not None:
            force = load * stand.carried if along else load / 2
            total += cantilever_deflection(force, height, post.elasticity, post.moment)
    return total / 2
