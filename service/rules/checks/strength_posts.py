"""Rules: the posts' strength: bending at the foot, and how far the top moves."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Final

from service.core.measure import Length, angle_text
from service.rules.carried import Stand, all_stands, lever_height
from service.rules.demands import (
    Demand,
    StrengthInputs,
    Topic,
    say_demands,
    say_not_checked,
    with_strength,
    worst,
)
from service.rules.job import Job
from service.rules.load_groups import by_loads
from service.rules.saying import Saying
from service.rules.strength.beams import (
    cantilever_deflection,
    cantilever_moment,
    post_top_limit,
    skew_factor,
)
from service.rules.strength.loads import NO_GUARD_LOAD, Loads, figures_of, pushes
from service.rules.strength.members import ReadyMember, Sides, ready_member

RULE: Final = "strength_post"
SUBJECT: Final = "the strength of the posts"
BASIS: Final = {
    "US": "allowable stress, the lesser of yield/1.65 and ultimate/1.95 (Aluminum Construction "
    "Manual 1.3)",
    "EN": "partial factors, the lesser of f0/1.10 and fu/1.25 (EN 1999-1-1 table 3.2b; factors "
    "from memory)",
}
"""How the capacity of aluminium is worked out by each rule set, with its source."""


def strength_post(job: Job) -> Iterator[Saying]:
    """Stress at the foot of each kind of post, and how far its top moves, under its loads."""
    if job.layout.posts:
        yield from with_strength(job, RULE, SUBJECT, _posts)


def _posts(job: Job, given: StrengthInputs) -> Iterator[Saying]:
    ready = ready_post(job, given)
    if isinstance(ready, str):
        yield say_not_checked(job, RULE, SUBJECT, ready)
        return
    for there, posts in by_loads(job, given, all_stands(job)):
        loads = there.loads
        if not loads.has_guard:
            yield say_not_checked(job, RULE, SUBJECT, NO_GUARD_LOAD)
            continue
        yield from say_demands(
            job, _bending(loads, ready), posts, partial(_bends, job, loads, ready)
        )
        yield from say_demands(job, _moving(loads), posts, partial(_moves, job, loads, ready))


def ready_post(job: Job, given: StrengthInputs) -> ReadyMember | str:
    """The kit's post ready for its check; else what its kit has to give, in words."""
    member = given.strength.post
    if member is None:
        return "give strength.post"
    if member.welded is None:
        return "say in strength.post.welded whether the foot is welded, which halves its strength"
    width = job.kit.post.width
    ready = ready_member(member, Sides(width, width), given.loads.rules, job.deck.unit)
    hung = job.kit.mounting == "fascia" and lever_height(job, 0.0) is None
    if hung and isinstance(ready, ReadyMember):
        return "give strength.fixing.below, how far its fixings hang"
    return ready


def askew(stand: Stand) -> str:
    """How far off square a post is to its rails, in words; empty where it is square."""
    return f", {angle_text(stand.skew)} off square to the post" if stand.skew else ""


def _bends(job: Job, loads: Loads, ready: ReadyMember, stand: Stand) -> Demand:
    height = lever_height(job, stand.height) or 0.0
    more = loads.factor * skew_factor(stand.skew)
    found = [
        Demand(
            cantilever_moment(more * push.force, height) / ready.modulus,
            ready.stress,
            f"under {loads.times}{push.words}{askew(stand)}",
            push.figure,
            stand.carried,
        )
        for push in pushes(loads, stand.carried, stand.height, height)
    ]
    return worst(found) or Demand(0.0, ready.stress, "under no load")


def _moves(job: Job, loads: Loads, ready: ReadyMember, stand: Stand) -> Demand:
    height = lever_height(job, stand.height) or 0.0
    limit = _top_limit(loads, height)
    found = [
        Demand(
            cantilever_deflection(push.force, height, ready.elasticity, ready.moment),
            limit,
            f"under {push.words}",
            push.figure,
            stand.carried,
        )
        for push in pushes(loads, stand.carried, stand.height, height)
    ]
    return worst(found) or Demand(0.0, limit, "under no load")


def _top_limit(loads: Loads, height: Length) -> Length:
    return post_top_limit(height) if loads.deflection is None else loads.deflection.number()


def _bending(loads: Loads, ready: ReadyMember) -> Topic:
    return Topic(
        RULE,
        "stress",
        what="the stress at the foot comes to",
        held=f"{ready.name} may take",
        method=(
            "M = P h or w L h, stress M/S, of a post turned by a to its rail M (cos a + sin a)/S; "
            f"{BASIS[loads.rules]}; strengths {ready.mark}"
        ),
        leans_on=loads.on_rail,
        reads=figures_of(loads.point, loads.line),
    )


def _moving(loads: Loads) -> Topic:
    stated = loads.deflection
    source = "h/12 as ASTM E985 is quoted, withdrawn 2015" if stated is None else stated.cite
    return Topic(
        RULE,
        "length",
        what="the top moves",
        held="it may move",
        method=f"P h^3/(3 E I) with E from memory, its foot held fast; limit {source}",
        leans_on=() if stated is None else (stated,),
        fails_as="warning" if stated is None else "violation",
        reads=figures_of(loads.point, loads.line),
    )
