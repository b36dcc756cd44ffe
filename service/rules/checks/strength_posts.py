"""Rules: the posts' strength: bending at the foot, and how far the top moves."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import Final

from service.core.measure import Force, Length, angle_text
from service.core.records.strength import Strength
from service.rules.demands import (
    Demand,
    bending,
    moving,
    say_demands,
    say_not_checked,
    with_strength,
)
from service.rules.job import Job
from service.rules.load_groups import by_loads
from service.rules.posts import PostKind, lever_height, post_kinds
from service.rules.saying import Saying
from service.rules.strength.beams import (
    cantilever_deflection,
    cantilever_moment,
    post_top_limit,
    skew_factor,
)
from service.rules.strength.loads import NO_GUARD_LOAD, Loads, figures_of, hardest_push
from service.rules.strength.members import ReadyMember, Sides, ready_member

RULE: Final = "strength_post"
SUBJECT: Final = "the strength of the posts"
_STRESS: Final = (
    "M = P h or w L h, stress M/S, of a post turned by a to its rail M (cos a + sin a)/S"
)
_MOVEMENT: Final = "P h^3/(3 E I) with E from memory, its foot held fast"
_USUAL_LIMIT: Final = "h/12 as ASTM E985 is quoted, withdrawn 2015"


def strength_post(job: Job) -> Iterator[Saying]:
    """Stress at the foot of each kind of post, and how far its top moves, under its loads."""
    if job.layout.posts:
        yield from with_strength(job, RULE, SUBJECT, _posts)


def _posts(job: Job, strength: Strength, usual: Loads) -> Iterator[Saying]:
    ready = ready_post(job, strength, usual)
    if isinstance(ready, str):
        yield say_not_checked(job, RULE, SUBJECT, ready)
        return
    for loads, posts in by_loads(job, usual, post_kinds(job)):
        if not loads.has_guard:
            yield say_not_checked(job, RULE, SUBJECT, NO_GUARD_LOAD)
            continue
        reads = figures_of(loads.point, loads.line)
        what = "the stress at the foot comes to"
        topic = bending(RULE, loads, ready, what, _STRESS, leans_on=loads.on_rail, reads=reads)
        yield from say_demands(job, topic, posts, partial(_bends, job, loads, ready))
        topic = moving(RULE, loads, "the top moves", _MOVEMENT, _USUAL_LIMIT, reads)
        yield from say_demands(job, topic, posts, partial(_moves, job, loads, ready))


def ready_post(job: Job, strength: Strength, loads: Loads) -> ReadyMember | str:
    """The kit's post ready for its check; else what its kit has to give, in words."""
    member = strength.post
    if member is None:
        return "give strength.post"
    if member.welded is None:
        return "say in strength.post.welded whether the foot is welded, which halves its strength"
    width = job.kit.post.width
    ready = ready_member(member, Sides(width, width), loads.rules, job.deck.unit)
    hung = job.kit.mounting == "fascia" and lever_height(job, 0.0) is None
    if hung and isinstance(ready, ReadyMember):
        return "give strength.fixing.below, how far its fixings hang"
    return ready


def under_hardest_push(
    loads: Loads,
    kind: PostKind,
    height: Length,
    capacity: float,
    asked: Callable[[Force], float],
    *,
    factored: bool = True,
) -> Demand:
    """What the hardest of the loads at a post's top asks of a part, against the part's capacity.

    height: from the top to where the post is held. asked: what a force at the top asks of the part;
    the harder the force, the more. factored: whether that is told with the code's factor, and with
    how the post is turned.
    """
    push = hardest_push(loads, kind.carried, kind.height, height)
    if push is None:
        return Demand(0.0, capacity, "under no load")
    words = f"under {push.words}"
    if factored:
        turned = f", {angle_text(kind.skew)} off square to the post" if kind.skew else ""
        words = f"under {loads.times}{push.words}{turned}"
    return Demand(asked(push.force), capacity, words, push.figure, kind.carried)


def _bends(job: Job, loads: Loads, ready: ReadyMember, kind: PostKind) -> Demand:
    height = lever_height(job, kind.height) or 0.0
    more = loads.factor * skew_factor(kind.skew)

    def stress(force: Force) -> float:
        return cantilever_moment(more * force, height) / ready.modulus

    return under_hardest_push(loads, kind, height, ready.stress, stress)


def _moves(job: Job, loads: Loads, ready: ReadyMember, kind: PostKind) -> Demand:
    height = lever_height(job, kind.height) or 0.0
    limit = post_top_limit(height) if loads.deflection is None else loads.deflection.number()

    def moved(force: Force) -> Length:
        return cantilever_deflection(force, height, ready.elasticity, ready.moment)

    return under_hardest_push(loads, kind, height, limit, moved, factored=False)
