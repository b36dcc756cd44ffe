"""Rules: the strength of rails: top rails, bottom rails and the handrails of flights."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import pairwise
from typing import Final, Literal

from service.core.measure import TOUCH, Length
from service.core.records.deck import Infill
from service.core.records.layout import FlightBuilt
from service.core.records.strength import Strength
from service.rules.checks.strength_posts import ready_post
from service.rules.checks.strength_spans import (
    RULE,
    RailCase,
    RailLoad,
    RailPlace,
    RailSpan,
    bends,
    moved,
    rail_case,
    ready_rail,
    spans_of,
)
from service.rules.demands import (
    Demand,
    bending,
    moving,
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
    middle_limit,
    overhang_moment_of_line,
    sag_limit,
    span_moment_of_line,
    span_moment_of_point,
)
from service.rules.strength.loads import NO_GUARD_LOAD, NO_INFILL_LOAD, Load, Loads, figures_of
from service.rules.strength.members import ReadyMember

SUBJECT: Final = "the strength of the rails"
_SPAN: Final = "M = P L/4 or w L^2/8 of a simple span between post centres, stress M/S"
_BRACKETS: Final = (
    "M = P L/4 or w L^2/8 between two brackets, P a or w a^2/2 at an end a past the last, stress "
    "M/S"
)
_USUAL_LIMIT: Final = "h/24 + L/96, and L/96 down, as ASTM E985 is quoted, withdrawn 2015"


def strength_rail(job: Job) -> Iterator[Saying]:
    """Strength of top rails, bottom rails and handrails.

    Top rails carry the guard's loads, bottom rails the infill's, and handrails their own. The
    leaves of gates are not checked.
    """
    yield from _leaves(job)
    if job.layout.bays or any(flight.handrails for flight in job.layout.flights):
        yield from with_strength(job, RULE, SUBJECT, _rails)


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


def _rails(job: Job, strength: Strength, usual: Loads) -> Iterator[Saying]:
    for loads, spans in by_loads(job, usual, spans_of(job)):
        for infill in dict.fromkeys([each.infill for _, each in spans]):
            mine = [(place, each) for place, each in spans if each.infill == infill]
            yield from _rails_of(job, strength, loads, "top", infill, mine)
            yield from _rails_of(job, strength, loads, "bottom", infill, mine)
    flights = [((flight.id,), flight) for flight in job.layout.flights if flight.handrails]
    if flights and job.kit.handrail is not None:
        for loads, places in by_loads(job, usual, flights):
            yield from _handrails(job, strength, loads, job.kit.handrail.diameter, places)


def _rails_of(
    job: Job,
    strength: Strength,
    loads: Loads,
    which: Literal["top", "bottom"],
    infill: Infill,
    spans: list[tuple[Place, RailSpan]],
) -> Iterator[Saying]:
    """Stress in each kind of top or of bottom rail, and how far its middle moves.

    Bottom rails are taken to be held still at their ends, and their movement is told only where the
    code limits it. infill: of these spans.
    """
    role, top = f"{which}_rail_{infill}", which == "top"
    rails = job.kit.rails[infill]
    ready = ready_rail(job, strength, loads, role, (rails.top if top else rails.bottom).depth)
    if not isinstance(ready, ReadyMember):
        yield say_not_checked(job, RULE, *ready)
        return
    rail, cases = f"the {role.replace('_', ' ')}", _cases(loads, which)
    if not cases:
        yield say_not_checked(job, RULE, rail, NO_GUARD_LOAD if top else NO_INFILL_LOAD)
        return
    if top:
        yield from _unlooked(job, loads, ready, role)
    pressed = loads.infill_pressure is not None
    lengths = [(place, (each.length, each.filled if pressed else 0.0)) for place, each in spans]
    reads = figures_of(*[each.load for case in cases for each in case.loads])
    leans_on, what = loads.on_rail if top else loads.factors, f"the stress in the {which} rail"
    topic = bending(RULE, loads, ready, f"{what} comes to", _SPAN, leans_on=leans_on, reads=reads)
    yield from say_demands(job, topic, lengths, partial(bends, loads, cases, ready))
    if not top and loads.deflection is None:
        return
    post = ready_post(job, strength, loads) if top else None
    if isinstance(post, str):
        ends = any(each.ends != (None, None) for _, each in spans)
        if ends and not all(case.down for case in cases):
            yield say_not_checked(
                job, RULE, f"how far the middle of {rail} moves with its posts", post
            )
        post = None
    posts = "its posts held still" if post is None else "the mean of its two post tops with it"
    formula = f"P L^3/(48 E I) or 5 w L^4/(384 E I) with E from memory, {posts}"
    what = f"the middle of the {which} rail moves"
    topic = moving(RULE, loads, what, formula, _USUAL_LIMIT, reads)
    moves = partial(_moves, job, loads, cases, ready, post, still=not top)
    yield from say_demands(job, topic, spans, moves)


def _unlooked(job: Job, loads: Loads, ready: ReadyMember, role: str) -> Iterator[Saying]:
    """Finding on plumb loads that are not looked at, as the kit gives no section for them."""
    plumb = [load.text for load in (loads.point, loads.vertical) if load is not None]
    wanted = []
    if ready.modulus_down is None:
        wanted.append("section_modulus_down")
    if ready.moment_down is None:
        wanted.append("second_moment_down")
    if plumb and wanted:
        what = f"the {role.replace('_', ' ')} under {' and '.join(plumb)} straight down"
        yield say_not_checked(job, RULE, what, f"give strength.{role}.{' and '.join(wanted)}")


def _cases(loads: Loads, which: Literal["top", "bottom"]) -> list[RailCase]:
    """The cases of load on a rail, sideways and then straight down.

    On a bottom rail come the infill's point load, and its pressure, of which each rail takes half.
    On a top rail, sideways, come the point and the line load, together only where the code has it
    so; the infill's point load, which a picket brings to either rail, where that is the greater;
    and the infill's pressure. Straight down come the point and the vertical load, together
    likewise.
    """
    spread = _on_rail(loads.infill_pressure, "infill", "half of the infill's {}")
    if which == "bottom":
        middle = _on_rail(loads.infill_point, "middle", "the infill's load of {} at its middle")
        return [rail_case(each) for each in (*middle, *spread)]
    point = _on_rail(loads.point, "middle", "the point load of {} at mid-span")
    line = _on_rail(loads.line, "along", "the line load of {}")
    vertical = _on_rail(loads.vertical, "along", "the line load of {}")
    cases = _together(loads, [*point, *line], down=False)
    sideways = _on_rail(loads.infill_point, "middle", "the infill's load of {} at mid-span")
    if sideways and point and sideways[0].load.value <= point[0].load.value:
        sideways = []
    if cases:
        cases += [rail_case(each) for each in (*sideways, *spread)]
    return cases + _together(loads, [*point, *vertical], down=True)


def _on_rail(load: Load | None, at: RailPlace, words: str) -> list[RailLoad]:
    """A load of the code on a rail; empty where it states none. words: with `{}` for the load."""
    return [] if load is None else [RailLoad(load, at, words.format(load.text))]


def _together(loads: Loads, each: list[RailLoad], *, down: bool) -> list[RailCase]:
    """The cases of a point load and a line load: one where the code has them come together."""
    if loads.concur and each:
        return [rail_case(*each, down=down)]
    return [rail_case(load, down=down) for load in each]


def _moves(
    job: Job,
    loads: Loads,
    cases: list[RailCase],
    ready: ReadyMember,
    post: ReadyMember | None,
    each: RailSpan,
    *,
    still: bool = False,
) -> Demand | None:
    """How far the middle of a rail moves under the worst of the loads, without a factor.

    post: None where it is not known how the posts move, or where they are taken to be held still
    (`still`). Where it is not known, a rail between posts is told of loads sideways only where it
    moves too far by itself. Straight down, a rail is told where its section is known for it.
    """
    stated = loads.deflection
    level = middle_limit(each.height, each.length) if stated is None else stated.number()
    sag = sag_limit(each.length) if stated is None else stated.number()
    unknown = post is None and not still and each.ends != (None, None)
    found = []
    for case in cases:
        value = moved(job, case, ready, post, each)
        if value is not None:
            limit = sag if case.down else level
            demand = Demand(value, limit, f"under {case.words}", case.loads[0].load.figure)
            if case.down or not unknown or demand.ratio > 1 + TOUCH:
                found.append(demand)
    return worst(found)


def _handrails(
    job: Job,
    strength: Strength,
    loads: Loads,
    diameter: Length,
    places: list[tuple[Place, FlightBuilt]],
) -> Iterator[Saying]:
    """Handrails under their point load, where it bends most, and their line load.

    places: flights where these loads are the same.
    """
    reads = figures_of(loads.handrail, loads.handrail_line)
    if not reads:
        reason = "the code states neither handrail_point_load nor handrail_line_load"
        yield say_not_checked(job, RULE, "the strength of the handrail", reason)
        return
    ready = ready_rail(job, strength, loads, "handrail", diameter)
    if not isinstance(ready, ReadyMember):
        yield say_not_checked(job, RULE, *ready)
        return
    if ready.modulus_down is not None and ready.modulus_down < ready.modulus:
        # The load of a handrail comes from any side, so the lesser modulus counts.
        ready = ready._replace(modulus=ready.modulus_down)
    what = "the stress in the handrail comes to"
    topic = bending(RULE, loads, ready, what, _BRACKETS, leans_on=loads.factors, reads=reads)
    yield from say_demands(job, topic, places, partial(_handrail_bends, loads, ready))


def _handrail_bends(loads: Loads, ready: ReadyMember, flight: FlightBuilt) -> Demand | None:
    """Worst of the loads, between the widest two brackets and on the longest end past them."""
    rails = flight.handrails
    span = max(max((b - a for a, b in pairwise(rail.brackets)), default=0.0) for rail in rails)
    end = max(max(rail.brackets[0], rail.length - rail.brackets[-1]) for rail in rails)
    point, line = span_moment_of_point, span_moment_of_line
    found = []
    for load, between, beyond, where in (
        (loads.handrail, point, cantilever_moment, "between two brackets or at an end"),
        (loads.handrail_line, line, overhang_moment_of_line, "all along it"),
    ):
        if load is not None:
            stress = loads.factor * max(between(load.value, span), beyond(load.value, end))
            words = f"under {loads.times}{load.text} {where}"
            found.append(Demand(stress / ready.modulus, ready.stress, words, load.figure))
    return worst(found)
