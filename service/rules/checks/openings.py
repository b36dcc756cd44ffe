"""Rules: what a guard lets through, by the code: between pickets, beside glass, under rails, in
flights, and in the stretches that are too small to rail."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import Final, TypeAlias

from service.core.measure import TOUCH, Length, ceil_to_mark
from service.core.records.code import Figure
from service.core.records.deck import Drops
from service.core.records.layout import FlightBuilt
from service.core.records.seen import GapKind, GapSeen, HungCornerSeen, SmallStretchSeen
from service.rules.alike import (
    BayKind,
    GuardKind,
    LeafKind,
    half_rail,
    leaves,
    level_guards,
    level_kinds,
    off_edge,
    raked_kinds,
)
from service.rules.code_limits import Criterion, Reading, at_flight, by_figure, by_kinds, scope_of
from service.rules.figure_words import scope_text, sphere_asks
from service.rules.finding import Finding, Verdict
from service.rules.job import Job, Place
from service.rules.ruling import Ruling, Scope, circumstances_of, guard_needed, rule_on
from service.rules.saying import (
    Saying,
    say_by_figure,
    say_by_kit,
    steady,
    tell_by_kind,
)
from service.rules.words import list_text

InPlaneKind: TypeAlias = BayKind | GapSeen | LeafKind
"""What may have gaps in the plane of a guard."""
OverDeckKind: TypeAlias = BayKind | LeafKind | FlightBuilt | HungCornerSeen
"""What may have a gap over the deck, or off its edge."""

_BETWEEN: Final = "the gap between pickets is {}"
_BAY_END: Final = "the gap at the ends of the bay, outside its last picket, is {}"
_EMPTY: Final = "the opening, which takes no picket, is {}"
_WIDER: Final = "the gap beside the infill, at the rail where the opening is the wider, is up to {}"
_SPACE: Final = "the clear space beside the infill, to what stands at the end of the bay, is {}"
_SPACE_EMPTY: Final = (
    "the clear space of the opening, which takes no picket, between what stands at its ends is {}"
)
_BESIDE_LEAF: Final = "the gap beside the shut leaf is {}"
_SPACE_LEAF: Final = "the clear space beside the shut leaf, to what stands beside it, is {}"
_BESIDE_GLASS: Final = "the gap beside the glass is {}"
_BESIDE_FLIGHT: Final = (
    "beside the flight, past what goes down along it in place of a guard, a sphere of up to {} "
    "passes"
)
_UNDER: Final = "the gap under the bottom rail is {}"
_UNDER_LEAF: Final = "the gap under the leaf of the gate is {}"
_OFF_EDGE: Final = "the gap from the edge of the deck to the bottom rail, which hangs off it, is {}"
_OFF_EDGE_UNKNOWN: Final = (
    "the gap from the edge of the deck to the middle of the bottom rail, which hangs off it and "
    "whose width the kit does not give, is {}"
)
_OFF_CORNER: Final = (
    "the gap from the edges of the deck to the bottom rails that hang off them is, beside the post "
    "at their corner, up to {}"
)
_OVER_DECK: Final = (
    "a sphere of up to {} passes over the deck, between the head post and the bottom rail that "
    "comes down from it"
)
TRIANGLE: Final = "a sphere of up to {} passes between riser, tread and bottom rail"
_UNRAILED: Final[dict[GapKind, str]] = {
    "wall": "the gap between the post and the wall is {}",
    "pair": "the gap between the two corner posts is {}",
    "open": "the gap between what stands last on the edge and the open edge beside it is {}",
    "past": "the way past the end of the railing, between it and the open edge, is {}",
    "round": "the way from the opening round what stands beside it, to what of the deck lies "
    "outside the railing, is {}",
    "beyond": "the gap past what ends the railing, to what stands beyond it, is {}",
    "joint": "the gap between the railings of two levels, beside the open edge between them, is {}",
    "joint_wall": "the gap between the railing of one level and the wall of the other, beside the "
    "open edge between them, is {}",
    "joint_third": "the gap at the corner where two levels meet a third, from the railing of one "
    "to what stands nearest on the other, is {}",
    "along": "the way between the railings of two levels along one edge, by which somebody who "
    "comes in between them could get out at its end, is at its narrowest {}",
}


def opening_size(job: Job) -> Iterator[Saying]:
    """Every gap in the plane of a level guard, against the code's sphere."""
    criterion = Criterion("opening_size", "opening_sphere", sphere_asks)
    rulings = {gap: _ruling_without_unknowns(job, gap) for gap in job.layout.gaps}
    unsure = {gap: ruling for gap, ruling in rulings.items() if ruling is not None}
    sure = [(place, kind) for place, kind in level_gaps(job) if kind not in unsure]
    yield from by_kinds(job, criterion, sure, partial(gaps_of, job))
    yield from tell_by_kind(
        [(gap.where, gap) for gap in unsure], lambda gap: _by_height(job, gap, unsure[gap])
    )


def _ruling_without_unknowns(job: Job, gap: GapSeen) -> Ruling | None:
    """Ruling on a gap without what may not guard it; None where that makes no difference.

    An obstruction of unknown height off the railing's line may be low, and a wall may end at the
    corner that it is given to end at. Where the gap keeps the code's figure by these alone, the
    ruling is on the gap without them. Obstructions in the railing's place are told of by
    `guard_required`.
    """
    figure, by = job.figure("opening_sphere"), gap.parted_by or gap.goes_on
    if figure is None or not by or not scope_of(job, gap.drops, None).binds:
        return None
    parted, whole = (rule_on(figure, gap.drops, width) for width in (gap.width, gap.whole))
    if parted is None or not parted.keeps or whole is None or whole.keeps:
        return None
    return whole


def _by_height(job: Job, gap: GapSeen, ruling: Ruling) -> Finding:
    """Finding on a gap that depends on the height of an obstruction, or on how far a wall goes on.

    ruling: on the gap without these.
    """
    actual = steady(gap.whole)
    what = _UNRAILED[gap.kind].format(job.text(actual, ruling.figure.number()))
    if gap.goes_on:
        sentence = (
            f"{what} where the wall ends at the corner of the deck; see on site that it goes on "
            f"in its line, for at least {job.text(ceil_to_mark(gap.goes_on, job.deck.step))}, with "
            f"which it is {job.text(steady(gap.width))}, or close what is left open; "
            f"{sphere_asks(job, ruling.figure, steady(gap.width))} {job.clause(ruling.figure)}"
        )
        return say_by_figure("opening_size", "not_checked", sentence, ruling.figure, actual)
    names = list_text(list(dict.fromkeys(gap.parted_by)))
    sentence = (
        f"{what}, but for {names}, with which it is {job.text(steady(gap.width))}; how high that "
        "stands is not given: see that it guards as the railing beside it does; "
        f"{sphere_asks(job, ruling.figure, steady(gap.width))} {job.clause(ruling.figure)}"
    )
    return say_by_figure("opening_size", "not_checked", sentence, ruling.figure, actual)


def gap_under_rail(job: Job) -> Iterator[Saying]:
    """Gap under the bottom rail of every level guard, and what a raked rail leaves over the deck.

    On the treads of a flight that gap is the triangle (`stair_triangle`).
    """
    own = "gap_under_rail_sphere"
    for name in ("opening_sphere", own) if job.figure(own) is not None else ("opening_sphere",):
        criterion = Criterion("gap_under_rail", name, sphere_asks)
        yield from by_kinds(job, criterion, over_decks(job), partial(gaps_under, job))


def over_decks(job: Job) -> list[tuple[Place, OverDeckKind]]:
    """Every guard with a gap over a deck, and every corner that the rails of a fascia kit hang off.

    The guards are level bays, leaves, and flights whose raked rails come down over the deck.
    """
    raked = [flight for flight in job.layout.flights if flight.over_deck is not None]
    corners = [((seen.post,), seen) for seen in job.layout.hung_corners]
    return [*level_guards(job), *(((flight.id,), flight) for flight in raked), *corners]


def gaps_under(job: Job, kind: OverDeckKind) -> list[Reading]:
    """Gap under the bottom rail of a level bay, or under a gate's leaf.

    Where the rail hangs off the edge of the deck, the gap from that edge to the rail, which is the
    wider, comes second. For a flight: what its bottom rail leaves over the deck. For a corner that
    rails hang off: the gap beside the post there.
    """
    what, under = _UNDER, job.kit.bottom_gap
    if not isinstance(kind, BayKind):
        if isinstance(kind, FlightBuilt):
            return [Reading(_OVER_DECK, kind.over_deck or 0.0, kind.drops, circumstances_of(kind))]
        if isinstance(kind, HungCornerSeen):
            # The room in plan and the gap under the rails are the legs; the sphere's diameter is
            # the hypotenuse.
            return [Reading(_OFF_CORNER, math.hypot(kind.room, under), kind.drops)]
        what, under = _UNDER_LEAF, kind.gate.top - kind.gate.height
    gaps = [Reading(what, under, kind.drops, kind.here)]
    out = off_edge(job, kind)
    if out > TOUCH:
        what = _OFF_EDGE if half_rail(job, kind) else _OFF_EDGE_UNKNOWN
        gaps.append(Reading(what, math.hypot(out, under), kind.drops, kind.here))
    return gaps


def stair_opening_size(job: Job) -> Iterator[Saying]:
    """Gaps of raked bays, gaps beside bare sides of flights, and what is left past foot posts.

    The gaps of a raked bay are horizontal, as its pickets and panels stand plumb.
    """
    criterion = Criterion("stair_opening_size", stair_sphere(job), sphere_asks)
    yield from by_kinds(job, criterion, raked_kinds(job), partial(gaps_of, job))
    yield from by_figure(job, criterion, _beside_flights(job))
    if job.figure(criterion.figure) is not None:
        yield from by_figure(job, criterion._replace(asking=_foot_asks), _past_feet(job))


def _beside_flights(job: Job) -> list[tuple[Place, Reading]]:
    """Gaps between the bare sides of flights and what goes down along them."""
    return [
        at_flight(flight, _BESIDE_FLIGHT, flight.beside)
        for flight in job.layout.flights
        if flight.beside is not None
    ]


def _past_feet(job: Job) -> Iterator[tuple[Place, Reading]]:
    """What is left of lowest treads past the foot posts on them, where a guard is required there.

    Such a tread lies high over what is beside it: its flight ends on something narrow, over a
    further drop.
    """
    for flight in job.layout.flights:
        # The greater counts, as a rise that misses its drop is told of by riser_evenness.
        drops = _lower(flight.drops, max(flight.rise, flight.drop or 0.0) - flight.riser)
        needed = None if job.code is None else guard_needed(job.code, drops)
        if flight.past_foot is not None and needed is not None and needed.keeps:
            over = job.text(drops.drop or 0.0, needed.figure.number())
            what = f"what is left past the foot post of the lowest tread, {over} over what lies "
            what += "beside it, is {}"
            yield (flight.id,), Reading(what, flight.past_foot, drops, circumstances_of(flight))


def _foot_asks(job: Job, figure: Figure, actual: Length) -> str:
    cure = "" if figure.met_by(actual) else "; foot posts past the lowest riser cure it"
    return sphere_asks(job, figure, actual) + cure


def _lower(drops: Drops, by: Length) -> Drops:
    """Drops from a surface that lies `by` lower.

    0 where nothing is left of a drop; None where it is not given.
    """
    drop, ground, level = (
        None if each is None else max(0.0, each - by)
        for each in (drops.drop, drops.to_ground, drops.to_next_level)
    )
    return drops._replace(drop=drop, to_ground=ground, to_next_level=level)


def stair_triangle(job: Job) -> Iterator[Saying]:
    """Largest sphere that passes between riser, tread and the bottom rail of a flight's guard."""
    name = "stair_triangle_sphere"
    if job.figure(name) is None and job.figure("stair_gap_sphere") is not None:
        return
    criterion = Criterion("stair_triangle", name, _triangle_asks)
    yield from by_figure(job, criterion, triangles_of(job))


def triangles_of(job: Job) -> list[tuple[Place, Reading]]:
    """The triangle of every flight with a raked rail."""
    return [
        at_flight(flight, TRIANGLE, flight.triangle)
        for flight in job.layout.flights
        if flight.triangle is not None
    ]


def _triangle_asks(job: Job, figure: Figure, actual: Length) -> str:
    cure = "" if figure.met_by(actual) else "; a lower rail, a filler or a closed string cures it"
    return sphere_asks(job, figure, actual) + cure


def stair_sphere(job: Job) -> str:
    """Name of the sphere for openings in flights: the code's own, or else that of any guard."""
    has_own = job.figure("opening_sphere_stair") is not None
    return "opening_sphere_stair" if has_own else "opening_sphere"


def bay_size(job: Job) -> Iterator[Saying]:
    """Stretches too small to rail: whether the code lets them stay open.

    They are less than the kit's least bay, or leave rails and infill no size. Without a code's
    opening limit each is a violation.
    """
    risers = {flight.id: flight.risers for flight in job.layout.flights}
    flights = {run.id: run.flight for run in job.layout.runs if run.flight is not None}
    for stretch in job.layout.small_stretches:
        flight = flights.get(stretch.where)
        name = "opening_sphere" if flight is None else stair_sphere(job)
        steps = None if flight is None else risers.get(flight)
        yield _small_stretch(job, stretch, job.figure(name), steps), [(stretch.where,)]


def level_gaps(job: Job) -> list[tuple[Place, InPlaneKind]]:
    """Level bays, gaps that no rail closes, and leaves: all that may have gaps in a level guard."""
    corners = [(gap.where, gap) for gap in job.layout.gaps]
    return [*level_kinds(job), *corners, *leaves(job)]


def gaps_of(job: Job, kind: InPlaneKind) -> list[Reading]:
    """Every gap in the plane of a guard: of a bay or a leaf, or the one that no rail closes."""
    if isinstance(kind, GapSeen):
        width = kind.whole if kind.goes_on else kind.width
        return [Reading(_UNRAILED[kind.kind], width, kind.drops)]
    gaps = _infill_gaps(kind)
    if isinstance(kind, BayKind):
        if kind.space is not None:
            what = _SPACE_EMPTY if gaps[-1].what == _EMPTY else _SPACE
            gaps[-1] = gaps[-1]._replace(what=what, actual=kind.space)
        if kind.bay.wider > TOUCH:
            # Where posts lean, all that the opening is wider by may be on one side.
            _, actual, drops, here = gaps[-1]
            gaps.append(Reading(_WIDER, actual + kind.bay.wider, drops, here))
        return gaps
    leaf, gate = kind.gate, job.kit.gate
    if gate is not None:
        # The leaf is floored to a mark, and what that leaves is at the latch's side.
        rest = leaf.opening.clear_width - leaf.width - gate.hinge_gap
        beside = max(gate.hinge_gap, gate.latch_gap, rest)
        what, actual = (_BESIDE_LEAF, beside) if kind.space is None else (_SPACE_LEAF, kind.space)
        gaps.append(Reading(what, actual, kind.drops, kind.here))
    return gaps


def _infill_gaps(kind: GuardKind) -> list[Reading]:
    """Gaps between pickets and at their ends, or beside glass; the whole opening without either."""
    pickets, drops, here = kind.pickets, kind.drops, kind.here
    if kind.glass is not None:
        return [Reading(_BESIDE_GLASS, kind.glass.side_gap, drops, here)]
    if pickets is None or pickets.count == 0:
        return [Reading(_EMPTY, kind.clear, drops, here)]
    ends = Reading(_BAY_END, pickets.end_gap, drops, here)
    return [Reading(_BETWEEN, pickets.gap, drops, here), ends] if pickets.count > 1 else [ends]


def _small_stretch(
    job: Job, stretch: SmallStretchSeen, figure: Figure | None, risers: int | None
) -> Finding:
    """Finding on a stretch that stays unrailed. risers: of its flight; None on a level.

    Its length along the line is held against the kit's least bay, as the method has it, and the
    space between what stands at its ends against the code's sphere.
    """
    actual, space = steady(stretch.clear), steady(stretch.space)
    least = job.kit.least_bay
    what = (
        f"a stretch of {job.text(actual, least)} is less than the kit's least bay of "
        f"{job.text(least)} and stays unrailed"
        if actual < least
        else f"a stretch of {job.text(actual)} leaves rails and infill no size and stays unrailed"
    )
    if abs(space - actual) > TOUCH:
        what += (
            f", {job.text(space, actual)} between what stands at its ends, where that is nearest"
        )
    if figure is None:
        sentence = f"{what}; name a code with an opening limit, which decides whether it may"
        return _of_stretch(job, "violation", sentence, actual)
    return _stretch_by_code(job, figure, stretch, what, scope_of(job, stretch.drops, risers))


def _stretch_by_code(
    job: Job, figure: Figure, stretch: SmallStretchSeen, what: str, scope: Scope
) -> Finding:
    """Finding by the code on a stretch that stays unrailed. what: the stretch in words."""
    actual, space = steady(stretch.clear), steady(stretch.space)
    if not scope.binds:
        clause = f" {job.clause(scope.by)}" if scope.by is not None else ""
        sentence = f"{what}, as it may: no guard is required at its drop{clause}"
        return _of_stretch(job, "pass", sentence, actual, scope.by)
    ruling = rule_on(figure, stretch.drops, space)
    if ruling is None:
        return _of_stretch(job, "pass", f"{what}, as it may: no opening figure holds here", actual)
    asks = f"{sphere_asks(job, ruling.figure, space)} {job.clause(ruling.figure)}"
    if ruling.keeps is None:
        gives = "give the drop of its edge or level, which decides the opening that may be left"
        sentence = f"{what}; {gives}"
        return _of_stretch(job, "not_checked", sentence, actual, ruling.figure)
    if ruling.keeps:
        sentence = f"{what}, as it may: {asks}{scope_text(job, scope)}"
        return _of_stretch(job, "pass", sentence, actual, ruling.figure, scope.by)
    sentence = f"{what}: too small to rail, too wide to leave; {asks}{scope_text(job, scope)}"
    return _of_stretch(job, "violation", sentence, actual, ruling.figure, scope.by)


def _of_stretch(
    job: Job, verdict: Verdict, sentence: str, actual: Length, *figures: Figure | None
) -> Finding:
    """Finding by the kit, with the code's figures that it rests on."""
    least = job.kit.least_bay
    said = say_by_kit(job, "bay_size", verdict, sentence, limit=least, actual=actual)
    decided = [figure for figure in figures if figure is not None]
    return said._replace(
        amended=any(figure.amended for figure in decided),
        figures=tuple(figure.name for figure in decided),
    )
