"""Rules: every gap of a layout's guards as a reading in words, for the rules of several modules.

A gap is in the plane of a guard (`gaps_of`), under or beside its bottom rail (`gaps_under`), or in
a flight (`triangles_of`, `beside_flights`, `past_feet`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final, TypeAlias

from service.core.measure import TOUCH, Length
from service.core.records.deck import Drops
from service.core.records.layout import FlightBuilt
from service.core.records.seen import GapKind, GapSeen, HungCornerSeen
from service.rules.alike import (
    BayKind,
    GuardKind,
    LeafKind,
    half_rail,
    leaves,
    level_guards,
    level_kinds,
    off_edge,
)
from service.rules.code_limits import Reading, at_flight
from service.rules.job import Job, Place
from service.rules.ruling import circumstances_of, guard_needed

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
UNRAILED: Final[dict[GapKind, str]] = {
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
"""A gap that no rail closes, in words, by its kind."""


def stair_sphere(job: Job) -> str:
    """Name of the sphere for openings in flights: the code's own, or else that of any guard."""
    has_own = job.figure("opening_sphere_stair") is not None
    return "opening_sphere_stair" if has_own else "opening_sphere"


def level_gaps(job: Job) -> list[tuple[Place, InPlaneKind]]:
    """Level bays, gaps that no rail closes, and leaves: all that may have gaps in a level guard."""
    unrailed = [(gap.where, gap) for gap in job.layout.gaps]
    return [*level_kinds(job), *unrailed, *leaves(job)]


def gaps_of(job: Job, kind: InPlaneKind) -> list[Reading]:
    """Every gap in the plane of a guard: of a bay or a leaf, or the one that no rail closes."""
    if isinstance(kind, GapSeen):
        width = kind.whole if kind.goes_on else kind.width
        return [Reading(UNRAILED[kind.kind], width, kind.drops)]
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
    if isinstance(kind, FlightBuilt):
        return [Reading(_OVER_DECK, kind.over_deck or 0.0, kind.drops, circumstances_of(kind))]
    if isinstance(kind, HungCornerSeen):
        # The room in plan and the gap under the rails are the legs; the sphere's diameter is the
        # hypotenuse.
        return [Reading(_OFF_CORNER, math.hypot(kind.room, under), kind.drops)]
    if isinstance(kind, LeafKind):
        what, under = _UNDER_LEAF, kind.top - kind.gate.height
    gaps = [Reading(what, under, kind.drops, kind.here)]
    out = off_edge(job, kind)
    if out > TOUCH:
        what = _OFF_EDGE if half_rail(job, kind) else _OFF_EDGE_UNKNOWN
        gaps.append(Reading(what, math.hypot(out, under), kind.drops, kind.here))
    return gaps


def triangles_of(job: Job) -> list[tuple[Place, Reading]]:
    """The triangle of every flight with a raked rail."""
    return [
        at_flight(flight, TRIANGLE, flight.triangle)
        for flight in job.layout.flights
        if flight.triangle is not None
    ]


def beside_flights(job: Job) -> list[tuple[Place, Reading]]:
    """Gaps between the bare sides of flights and what goes down along them."""
    return [
        at_flight(flight, _BESIDE_FLIGHT, flight.beside)
        for flight in job.layout.flights
        if flight.beside is not None
    ]


def past_feet(job: Job) -> Iterator[tuple[Place, Reading]]:
    """What is left of lowest treads past the foot posts on them, where a guard is required there.

    Such a tread lies high over what is beside it: its flight ends on something narrow, over a
    further drop.
    """
    for flight in job.layout.flights:
        # The greater counts, as a rise that misses its drop is told of by riser_evenness.
        drops = _lower(flight.drops, max(flight.rise, flight.drop or 0.0) - flight.riser)
        needed = guard_needed(job, drops)
        if flight.past_foot is not None and needed is not None and needed.keeps:
            over = job.text(drops.drop or 0.0, needed.figure.number())
            what = f"what is left past the foot post of the lowest tread, {over} over what lies "
            what += "beside it, is {}"
            yield (flight.id,), Reading(what, flight.past_foot, drops, circumstances_of(flight))


def _lower(drops: Drops, by: Length) -> Drops:
    """Drops from a surface that lies `by` lower.

    0 where nothing is left of a drop; None where it is not given.
    """
    drop, ground, level = (
        None if each is None else max(0.0, each - by)
        for each in (drops.drop, drops.to_ground, drops.to_next_level)
    )
    return drops._replace(drop=drop, to_ground=ground, to_next_level=level)
