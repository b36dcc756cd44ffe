"""Rules: the strength of top rails under the guard's loads, and how far they move."""

from __future__ import annotations

from collections.abc import Iterator

from service.core.deck import Infill
from service.core.measure import Length
from service.rules.carried import lever_height
from service.rules.checks.strength_posts import able_post
from service.rules.checks.strength_spans import RULE, Span, able_rail, bending, moving
from service.rules.strength.beams import (
    cantilever_deflection,
    middle_limit,
    sag_limit,
    span_deflection_of_line,
    span_deflection_of_point,
    span_moment_of_line,
    span_moment_of_point,
)
from service.rules.strength.loads import Load, Loads
from service.rules.strength.members import Able
from service.rules.use import Begun, Use, say_uses, unmade, worst
from service.rules.verdict import Job, Place, Saying


def top_rails(
    job: Job, begun: Begun, infill: Infill, spans: dict[Span, list[Place]]
) -> Iterator[Saying]:
    role = f"top_rail_{infill}"
    member = begun.strength.rails.get(role)
    able = able_rail(job, begun, role, member, job.kit.rails[infill].top.depth)
    loads = begun.loads
    if not isinstance(able, Able):
        yield unmade(job, RULE, *able)
        return
    if loads.vertical is not None and able.modulus_down is None:
        what = f"the {role.replace('_', ' ')} under {loads.vertical.text} straight down"
        yield unmade(job, RULE, what, f"give strength.{role}.section_modulus_down")
    by_length: dict[Length, list[Place]] = {}
    for each, places in spans.items():
        by_length.setdefault(each.length, []).extend(places)
    bends = [(places, _bends(loads, able, length)) for length, places in by_length.items()]
    topic = bending(loads, able, "the stress in the top rail comes to")
    yield from say_uses(job, topic, [(p, use) for p, use in bends if use is not None])
    post = able_post(job, begun)
    holder = None if isinstance(post, str) else post
    moves = [(places, _moves(job, loads, able, holder, each)) for each, places in spans.items()]
    movement = moving(loads, holder)
    yield from say_uses(job, movement, [(p, use) for p, use in moves if use is not None])


def _bends(loads: Loads, able: Able, length: Length) -> Use | None:
    """The worst of the loads on a top rail: level ones, and plumb ones where it can be told."""
    found = []
    for load, down in ((loads.point, False), (loads.line, False)):
        found.append(_bend(loads, load, able.modulus, able.stress, length, down))
    if able.modulus_down is not None:
        for load, down in ((loads.point, True), (loads.vertical, True)):
            found.append(_bend(loads, load, able.modulus_down, able.stress, length, down))
    return worst(use for use in found if use is not None)


def _bend(
    loads: Loads, load: Load | None, modulus: float, stress: float, length: Length, down: bool
) -> Use | None:
    if load is None:
        return None
    if load is loads.point:
        moment = span_moment_of_point(load.value, length)
    else:
        moment = span_moment_of_line(load.value, length)
    words = f"under {loads.times}{_load_words(loads, load)}{' straight down' if down else ''}"
    return Use(loads.factor * moment / modulus, stress, words, load.figure)


def _load_words(loads: Loads, load: Load) -> str:
    if load is loads.point:
        return f"the point load of {load.text} at mid-span"
    return f"the line load of {load.text}"


def _moves(job: Job, loads: Loads, able: Able, post: Able | None, each: Span) -> Use | None:
    """The middle of a rail, its posts moving too; and its own sag where plumb loads are known."""
    stated = loads.deflection
    level = middle_limit(each.height, each.length) if stated is None else stated.length()
    sag = sag_limit(each.length) if stated is None else stated.length()
    found = []
    for load, down in (
        (loads.point, False),
        (loads.line, False),
        (loads.point, True),
        (loads.vertical, True),
    ):
        moment = able.moment_down if down else able.moment
        if load is None or moment is None:
            continue
        own = _deflection(loads, load, able.elasticity, moment, each.length)
        more = 0.0 if down or post is None else _posts_move(job, loads, load, post, each)
        words = f"under {_load_words(loads, load)}{' straight down' if down else ''}"
        found.append(Use(own + more, sag if down else level, words, load.figure))
    return worst(found)


def _deflection(
    loads: Loads, load: Load, elasticity: float, moment: float, length: Length
) -> Length:
    if load is loads.point:
        return span_deflection_of_point(load.value, length, elasticity, moment)
    return span_deflection_of_line(load.value, length, elasticity, moment)


def _posts_move(job: Job, loads: Loads, load: Load, post: Able, each: Span) -> Length:
    """The mean of both post tops: under half the point load each, or the line load of each."""
    total = 0.0
    for stand in each.ends:
        height = None if stand is None else lever_height(job, stand.height)
        if stand is not None and height is not None:
            force = load.value / 2 if load is loads.point else load.value * stand.carried
            total += cantilever_deflection(force, height, post.elasticity, post.moment)
    return total / 2
