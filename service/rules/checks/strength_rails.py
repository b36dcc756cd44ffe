"""Rules: the strength of rails as simple spans between posts, and how far they move."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from service.core.deck import Infill
from service.core.layout import Bay
from service.core.measure import Length
from service.core.strength import Member
from service.rules.carried import Stand, lever_height, span, stands
from service.rules.checks.strength_posts import BASIS, able_post
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
from service.rules.strength.members import Able, Sides, ready
from service.rules.use import Begun, Topic, Use, begin, say_uses, unmade, worst
from service.rules.verdict import Job, Place, Saying

RULE: Final = "strength_rail"
SUBJECT: Final = "the strength of the rails"


class Span(NamedTuple):
    """What alike bays have. stands: of the posts at their ends, None at a wall."""

    infill: Infill
    length: Length
    height: Length
    filled: Length
    ends: tuple[Stand | None, Stand | None]


def strength_rail(job: Job) -> Iterator[Saying]:
    """The top rail under the guard's loads, the bottom rail under the infill's, the handrail."""
    begun = begin(job, RULE, SUBJECT)
    if not isinstance(begun, Begun):
        yield begun
        return
    spans = _spans(job)
    for infill in dict.fromkeys(each.infill for each in spans):
        mine = {each: places for each, places in spans.items() if each.infill == infill}
        yield from _top_rails(job, begun, infill, mine)
        yield from _bottom_rails(job, begun, infill, mine)
    yield from _handrails(job, begun)


def _spans(job: Job) -> dict[Span, list[Place]]:
    """Bays that are alike, each kind with all its places."""
    at = stands(job.layout)
    found: dict[Span, list[Place]] = {}
    for bay in job.layout.bays:
        ends = (at.get(bay.start or ""), at.get(bay.end or ""))
        kind = Span(bay.infill, round(span(bay), 6), round(bay.height, 6), _filled(bay), ends)
        found.setdefault(kind, []).append((bay.id,))
    return found


def _filled(bay: Bay) -> Length:
    """Height of the infill."""
    if bay.glass is not None:
        return bay.glass.height
    return 0.0 if bay.pickets is None else bay.pickets.length


def _able(
    job: Job, begun: Begun, role: str, member: Member | None, depth: Length
) -> Able | tuple[str, str]:
    """A rail, or its words with what it lacks."""
    what = f"the strength of the {role.replace('_', ' ')}"
    if member is None:
        return what, f"give strength.{role}"
    able = ready(member, Sides(member.width, depth), begun.loads.rules, job.deck.unit)
    return (what, f"of strength.{role}: {able}") if isinstance(able, str) else able


def _top_rails(
    job: Job, begun: Begun, infill: Infill, spans: dict[Span, list[Place]]
) -> Iterator[Saying]:
    role = f"top_rail_{infill}"
    member = begun.strength.rails.get(role)
    able = _able(job, begun, role, member, job.kit.rails[infill].top.depth)
    loads = begun.loads
    if not isinstance(able, Able):
        yield unmade(job, RULE, *able)
        return
    if loads.vertical is not None and able.modulus_down is None:
        what = f"the {role.replace('_', ' ')} under {loads.vertical.text} straight down"
        yield unmade(job, RULE, what, f"give strength.{role}.section_modulus_down")
    bends = [(places, _bends(loads, able, each.length)) for each, places in spans.items()]
    bending = _bending(loads, able, "the stress in the top rail comes to")
    yield from say_uses(job, bending, [(p, use) for p, use in bends if use is not None])
    post = able_post(job, begun)
    holder = None if isinstance(post, str) else post
    moves = [(places, _moves(job, loads, able, holder, each)) for each, places in spans.items()]
    moving = _moving(loads, holder)
    yield from say_uses(job, moving, [(p, use) for p, use in moves if use is not None])


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
    words = f"under {_load_words(loads, load)}{' straight down' if down else ''}"
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
    for load, down in ((loads.point, False), (loads.line, False), (loads.vertical, True)):
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


def _bottom_rails(
    job: Job, begun: Begun, infill: Infill, spans: dict[Span, list[Place]]
) -> Iterator[Saying]:
    """Half of the infill's load along it, or the infill's point load in its middle."""
    role = f"bottom_rail_{infill}"
    member = begun.strength.rails.get(role)
    able = _able(job, begun, role, member, job.kit.rails[infill].bottom.depth)
    if not isinstance(able, Able):
        yield unmade(job, RULE, *able)
        return
    uses = [(places, _infill_bends(begun.loads, able, each)) for each, places in spans.items()]
    topic = _bending(begun.loads, able, "the stress in the bottom rail comes to")
    yield from say_uses(job, topic, [(p, use) for p, use in uses if use is not None])


def _infill_bends(loads: Loads, able: Able, each: Span) -> Use | None:
    found = []
    if loads.infill_point is not None:
        moment = span_moment_of_point(loads.infill_point.value, each.length)
        words = f"under the infill's load of {loads.infill_point.text} at its middle"
        figure = loads.infill_point.figure
        found.append(Use(loads.factor * moment / able.modulus, able.stress, words, figure))
    if loads.infill_pressure is not None:
        line = loads.infill_pressure.value * each.filled / 2
        moment = span_moment_of_line(line, each.length)
        words = f"under half of the infill's {loads.infill_pressure.text}"
        figure = loads.infill_pressure.figure
        found.append(Use(loads.factor * moment / able.modulus, able.stress, words, figure))
    return worst(found)


def _handrails(job: Job, begun: Begun) -> Iterator[Saying]:
    """Each flight's handrail under its point load between two brackets."""
    load, member = begun.loads.handrail, begun.strength.handrail
    flights = [flight for flight in job.layout.flights if flight.handrails]
    if load is None or not flights or job.kit.handrail is None:
        return
    able = _able(job, begun, "handrail", member, job.kit.handrail.diameter)
    if not isinstance(able, Able):
        yield unmade(job, RULE, *able)
        return
    words = f"under {load.text} between two brackets"
    uses = []
    for flight in flights:
        longest = max(_widest(rail.brackets, rail.length) for rail in flight.handrails)
        moment = begun.loads.factor * span_moment_of_point(load.value, longest)
        use = Use(moment / able.modulus, able.stress, words, load.figure)
        uses.append(([(flight.id,)], use))
    yield from say_uses(
        job, _bending(begun.loads, able, "the stress in the handrail comes to"), uses
    )


def _widest(brackets: tuple[Length, ...], length: Length) -> Length:
    """Between two brackets; of a single one, the whole rail."""
    pairs = zip(brackets, brackets[1:], strict=False)
    return max((after - before for before, after in pairs), default=length)


def _bending(loads: Loads, able: Able, what: str) -> Topic:
    times = "" if loads.factor == 1 else f" times {loads.factor:g}"
    return Topic(
        RULE,
        "stress",
        what,
        f"{able.name} may take",
        f"M = P L/4 or w L^2/8{times} of a simple span between post centres, stress M/S; "
        f"{BASIS[loads.rules]}; strengths {able.mark}",
        loads.factors,
    )


def _moving(loads: Loads, post: Able | None) -> Topic:
    stated = loads.deflection
    source = (
        "h/24 + L/96, and L/96 down, as ASTM E985 is quoted, withdrawn 2015"
        if stated is None
        else stated.cite
    )
    posts = "the mean of its two post tops with it" if post is not None else "its posts held still"
    return Topic(
        RULE,
        "length",
        "the middle of the top rail moves",
        "it may move",
        f"P L^3/(48 E I) or 5 w L^4/(384 E I), {posts}; limit {source}",
        () if stated is None else (stated,),
        warning=stated is None,
    )
