"""Rules: what the strength checks of top rails, bottom rails and handrails share: bays by kind, a
rail with its section, and the words of bending and moving."""

from __future__ import annotations

from typing import Final

from service.core.frozen import record
from service.core.measure import Length
from service.core.records.code import Figure
from service.core.records.deck import Infill
from service.core.records.infill import BayFill
from service.core.records.strength import Member
from service.rules.alike import BayKind, bay_kinds
from service.rules.carried import Stand, span, stands_by_id
from service.rules.checks.strength_posts import BASIS
from service.rules.demands import StrengthInputs, Topic
from service.rules.job import Job, Place
from service.rules.strength.loads import Loads
from service.rules.strength.members import ReadyMember, Sides, ready_member

RULE: Final = "strength_rail"
SIMPLE: Final = "M = P L/4 or w L^2/8 of a simple span between post centres"


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
    ends: tuple[Stand | None, Stand | None]


def spans_of(job: Job) -> list[tuple[Place, RailSpan]]:
    """Every bay with what bays like it share, in the layout's order."""
    at = stands_by_id(job)
    sizes: dict[BayKind, tuple[Infill, Length, Length, Length]] = {}
    spans: dict[tuple[object, ...], RailSpan] = {}
    found: list[tuple[Place, RailSpan]] = []
    for bay, (place, kind) in zip(job.layout.bays, bay_kinds(job), strict=True):
        if kind not in sizes:
            filled = _filled(bay.fill)
            sizes[kind] = bay.infill, round(span(bay), 6), round(bay.height, 6), filled
        alike = sizes[kind], (at.get(bay.start or ""), at.get(bay.end or ""))
        if alike not in spans:
            spans[alike] = RailSpan(*sizes[kind], alike[1])
        found.append((place, spans[alike]))
    return found


def _filled(fill: BayFill) -> Length:
    """Height of a panel, or length of a picket; 0 for a bay with neither."""
    if fill.glass is not None:
        return fill.glass.height
    return 0.0 if fill.pickets is None else fill.pickets.length


def ready_rail(
    job: Job, given: StrengthInputs, role: str, member: Member | None, depth: Length
) -> ReadyMember | tuple[str, str]:
    """A rail ready for its check; else, in words, what is not checked and what to give.

    depth: of the rail; of a handrail, its diameter.
    """
    what = f"the strength of the {role.replace('_', ' ')}"
    if member is None:
        return what, f"give strength.{role}"
    rounded = role == "handrail"
    sides = Sides(depth if rounded else member.width, depth, rounded)
    ready = ready_member(member, sides, given.loads.rules, job.deck.unit)
    return (what, f"of strength.{role}: {ready}") if isinstance(ready, str) else ready


def bending(
    loads: Loads,
    ready: ReadyMember,
    what: str,
    reads: tuple[Figure, ...],
    beside: tuple[Figure, ...] | None = None,
    spanning: str = SIMPLE,
) -> Topic:
    """Topic on the bending of a rail.

    reads: figures of the loads that are looked at. beside: figures that decide beside these, where
    they are more than the factors. spanning: formulas of the moments.
    """
    return Topic(
        RULE,
        "stress",
        what=what,
        held=f"{ready.name} may take",
        method=f"{spanning}, stress M/S; {BASIS[loads.rules]}; strengths {ready.mark}",
        leans_on=loads.factors if beside is None else beside,
        reads=reads,
    )


def moving(loads: Loads, post: ReadyMember | None, what: str, reads: tuple[Figure, ...]) -> Topic:
    """Topic on how far the middle of a rail moves.

    post: the posts that move with the rail; None where they are taken to be held still. reads: as
    for `bending`.
    """
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
        what=what,
        held="it may move",
        method=(f"P L^3/(48 E I) or 5 w L^4/(384 E I) with E from memory, {posts}; limit {source}"),
        leans_on=() if stated is None else (stated,),
        fails_as="warning" if stated is None else "violation",
        reads=reads,
    )
