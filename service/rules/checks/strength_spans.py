"""Rules: what the strength check of rails looks at: bays as spans of their rails, a rail with its
section, and the cases of load on a rail."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, Literal, NamedTuple, TypeAlias

from service.core.frozen import record
from service.core.measure import Length
from service.core.records.deck import Infill
from service.core.records.strength import Strength
from service.rules.alike import BayKind, bay_kinds
from service.rules.demands import Demand, worst
from service.rules.job import Job, Place
from service.rules.posts import PostKind, kinds_by_post, lever_height, span
from service.rules.strength.beams import (
    cantilever_deflection,
    span_deflection_of_line,
    span_deflection_of_point,
    span_moment_of_line,
    span_moment_of_point,
)
from service.rules.strength.loads import Load, Loads
from service.rules.strength.members import ReadyMember, Sides, ready_member

RULE: Final = "strength_rail"


@record(eq=False)
class RailSpan:
    """What alike bays share, as spans of their rails.

    length: from post centre to post centre, or to the wall, along the slope in a flight.
    height: of the guard. filled: height of the infill.
    ends: what the posts at the two ends are like and carry; None at a wall.
    """

    infill: Infill
    length: Length
    height: Length
    filled: Length
    ends: tuple[PostKind | None, PostKind | None]


def spans_of(job: Job) -> list[tuple[Place, RailSpan]]:
    """Every bay with what bays like it share, in the layout's order."""
    at = kinds_by_post(job)
    spans: dict[tuple[BayKind, PostKind | None, PostKind | None], RailSpan] = {}
    found: list[tuple[Place, RailSpan]] = []
    for bay, (place, kind) in zip(job.layout.bays, bay_kinds(job), strict=True):
        alike = kind, at.get(bay.start or ""), at.get(bay.end or "")
        if alike not in spans:
            glass, pickets = kind.glass, kind.pickets
            filled = glass.height if glass else pickets.length if pickets else 0.0
            length, height = round(span(bay), 6), round(bay.height, 6)
            spans[alike] = RailSpan(bay.infill, length, height, filled, alike[1:])
        found.append((place, spans[alike]))
    return found


def ready_rail(
    job: Job, strength: Strength, loads: Loads, role: str, depth: Length
) -> ReadyMember | tuple[str, str]:
    """A rail ready for its check; else, in words, what is not checked and what to give.

    depth: of the rail; of a handrail, its diameter.
    """
    what = f"the strength of the {role.replace('_', ' ')}"
    member = strength.handrail if role == "handrail" else strength.rails.get(role)
    if member is None:
        return what, f"give strength.{role}"
    rounded = role == "handrail"
    sides = Sides(depth if rounded else member.width, depth, rounded)
    ready = ready_member(member, sides, loads.rules, job.deck.unit)
    return (what, f"of strength.{role}: {ready}") if isinstance(ready, str) else ready


RailPlace: TypeAlias = Literal["middle", "along", "infill"]
"""Where a load acts: a force at mid-span; a force for each unit of length, all along; or a pressure
on the infill, of which each of its two rails takes half."""


class RailLoad(NamedTuple):
    """A load on a rail. words: the load and where it acts."""

    load: Load
    at: RailPlace
    words: str


class RailCase(NamedTuple):
    """Loads that come together on a rail, sideways or straight down. words: the case in words."""

    loads: tuple[RailLoad, ...]
    down: bool
    words: str


def rail_case(*together: RailLoad, down: bool = False) -> RailCase:
    """The case of loads that come together."""
    words = " with ".join([load.words for load in together])
    return RailCase(together, down, f"{words} straight down" if down else words)


def bends(
    loads: Loads, cases: Sequence[RailCase], ready: ReadyMember, reach: tuple[Length, Length]
) -> Demand | None:
    """Worst stress in a rail; of plumb loads only where its section is known for them.

    reach: length of the rail, and height of the infill beside it.
    """
    length, filled = reach
    found = []
    for case in cases:
        modulus = ready.modulus_down if case.down else ready.modulus
        if modulus is None:
            continue
        moment = 0.0
        for load, at, _ in case.loads:
            if at == "middle":
                moment += span_moment_of_point(load.value, length)
            else:
                line = load.value * filled / 2 if at == "infill" else load.value
                moment += span_moment_of_line(line, length)
        stress = loads.factor * moment / modulus
        words = f"under {loads.times}{case.words}"
        found.append(Demand(stress, ready.stress, words, case.loads[0].load.figure))
    return worst(found)


def moved(
    job: Job, case: RailCase, ready: ReadyMember, post: ReadyMember | None, each: RailSpan
) -> Length | None:
    """How far the middle of a rail moves in one case: sideways with its posts, down by itself.

    post: None where the posts are taken to be held still. None where the rail's section is not
    known for the case.
    """
    moment = ready.moment_down if case.down else ready.moment
    if moment is None:
        return None
    total = 0.0
    for load, at, _ in case.loads:
        deflects = span_deflection_of_point if at == "middle" else span_deflection_of_line
        value = load.value * each.filled / 2 if at == "infill" else load.value
        total += deflects(value, each.length, ready.elasticity, moment)
        if post is not None and not case.down:
            total += _posts_move(job, value, at != "middle", post, each)
    return total


def _posts_move(job: Job, load: float, along: bool, post: ReadyMember, each: RailSpan) -> Length:
    """How far the middle of a rail moves with its posts: the mean of their two tops.

    Each post takes half of a point load, or a line load over what it carries. along: whether the
    load goes all along the rail.
    """
    total = 0.0
    for kind in each.ends:
        height = None if kind is None else lever_height(job, kind.height)
        if kind is not None and height is not None:
            force = load * kind.carried if along else load / 2
            total += cantilever_deflection(force, height, post.elasticity, post.moment)
    return total / 2
