"""Core: straight flights going down from an opening (method 9). u is as in `drafts`."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations, pairwise
from typing import Final

from service.core.flights.beside import drops_beside
from service.core.flights.drafts import Course, FlightDraft, RakedBay, SideDraft, on_ground
from service.core.flights.rakes import RakeMaker, Slope
from service.core.flights.treads import even_row
from service.core.level import LevelDraft
from service.core.line.corners import Terminal, half_at
from service.core.line.outline import Side
from service.core.line.posts import PostDraft, quarter, square_at
from service.core.line.references import check_stairs, no_infill
from service.core.measure import (
    TOUCH,
    Degrees,
    Length,
    angle_text,
    ceil_count,
    floor_to_mark,
    plain_length,
)
from service.core.problems import Problem, Refusal, Unbuildable, unbuildable
from service.core.records.code import Figure, Here
from service.core.records.deck import HANDS, Deck, Hand, Stair
from service.core.records.kit import Kit
from service.core.records.layout import Handrail, Role
from service.core.runs.bays import BayMaker, bounds_told
from service.core.runs.drafts import Measured, RunKey
from service.core.runs.rows import MarkWork

OVERHANG: Final = 0.25
"""How far a handrail's end reaches past its last bracket, by the space between two: a force at the
end bends it as much as one midway between them (P a = P s/4)."""


def draw_flights(
    deck: Deck,
    levels: Sequence[LevelDraft],
    maker: BayMaker,
    default: Figure | None,
    reach: Length = 0.0,
) -> list[FlightDraft]:
    """Every flight of the deck. default: the code's guard height on a stair, where it has one.
    reach: how far beyond an edge it looks for the drop.

    Refuses with all that can be found: openings that aren't there or aren't for stairs, two
    flights from one opening or across each other, heights that leave no room for the infill.
    """
    problems: list[Problem] = []
    flights = []
    astray = check_stairs(deck)
    openings = {
        f"{level.level.id}/{node.opening.id}": (level, line.side, node)
        for level in levels
        for line in level.lines
        for node in line.line.openings
    }
    for stair in deck.stairs:
        if stair.pointer in astray:
            problems.append(astray[stair.pointer])
            continue
        try:
            course = Course(stair, *openings[stair.opening])
            flights.append(_draw(deck, course, levels, maker, default, reach))
        except Refusal as refusal:
            if not isinstance(refusal, Unbuildable):
                raise
            problems.extend(refusal.problems)
    problems.extend(_crossings(flights))
    if problems:
        raise Unbuildable(problems)
    return flights


def _draw(
    deck: Deck,
    course: Course,
    levels: Sequence[LevelDraft],
    maker: BayMaker,
    default: Figure | None,
    reach: Length,
) -> FlightDraft:
    stair, side, node = course.stair, course.side, course.node
    kit, slope = maker.kit, Slope(stair.rise / stair.risers, stair.going)
    infill = stair.infill or deck.guard.infill
    drop = _drop(course, levels)
    drops = drops_beside(course, levels, drop, reach, kit)
    here = Here(infill=infill, risers=stair.risers, going=stair.going)
    coded = default.at(drops, here) if default is not None else None
    least = min(kit.post.heights) if coded is None else coded.number()
    height = stair.height or deck.guard.height or least
    rakes = RakeMaker(kit, deck.unit, deck.step, slope, infill, height)
    _check_fit(stair, rakes)
    sides = []
    for hand in HANDS:
        if hand in stair.guards:
            terminal = node.sides[HANDS.index(hand)]
            if terminal is None or terminal.post is None:
                raise unbuildable(
                    f"{stair.pointer}/guards",
                    "no_head_post",
                    f"A wall stands at the {hand} of opening {stair.opening}: there is no post"
                    " for a guard to start from. Leave that side out where the wall goes down along"
                    " the flight, or begin the opening far enough off for a post.",
                )
            sides.append(_draw_side(stair, side, terminal, hand, rakes, maker))
    rails = tuple(_handrail(stair, slope, hand, maker) for hand in HANDS if hand in stair.handrail)
    kept = tuple(rail for rail in rails if rail is not None)
    return FlightDraft(
        stair=stair,
        level=course.level,
        side=side,
        node=node,
        slope=slope,
        infill=infill,
        height=height,
        sides=tuple(sides),
        handrails=kept,
        drop=drop,
        drops=drops,
        foot_off=_foot_off(course, levels),
    )


def _drop(course: Course, levels: Sequence[LevelDraft]) -> Length | None:
    """What the flight's rise must come to: down to its level, or to the surface at its foot,
    or to what lies below its edge."""
    down_to = course.stair.to_level
    upper = course.level.level.drops.drop
    if down_to is not None:
        lower = next(one.level.drops.drop for one in levels if one.level.id == down_to)
        return None if lower is None or upper is None else upper - lower
    foot = course.foot()
    under = [
        one.level.drops.drop
        for one in levels
        if one is not course.level and one.outline.covers(foot)
    ]
    if None in under or (under and upper is None):
        return None
    # What lies higher than the flight's own level is overhead; of the rest one stands on the
    # highest.
    below = [lower for lower in under if lower is not None and upper is not None and lower < upper]
    return upper - max(below) if below and upper is not None else course.side.spec.drops.drop


def _foot_off(course: Course, levels: Sequence[LevelDraft]) -> Length | None:
    """How far the foot lies off the level that the flight is said to go down to."""
    down_to = course.stair.to_level
    if down_to is None:
        return None
    return course.off(next(one.outline for one in levels if one.level.id == down_to))


def _check_fit(stair: Stair, rakes: RakeMaker) -> None:
    problems = list(_misfits(stair, rakes))
    if problems:
        raise Unbuildable(problems)


def _misfits(stair: Stair, rakes: RakeMaker) -> Iterator[Problem]:
    """What the kit lacks for a flight, or what of it has no room there."""
    kit, railed = rakes.kit, rakes.infill in rakes.kit.rails
    if not railed:
        yield no_infill(f"{stair.pointer}/infill", rakes.infill, kit)
    if stair.guards and kit.stair_bottom_gap is None:
        message = f"The kit {kit.id} gives no stair_bottom_gap; guards of flights need it."
        yield Problem(f"{stair.pointer}/guards", "kit_without_stairs", message)
    elif stair.guards and railed and rakes.height < rakes.least_height - TOUCH:
        unit, least = rakes.unit, rakes.least_height
        yield Problem(
            stair.pointer,
            "flight_does_not_fit",
            f"At {angle_text(rakes.slope.pitch)} ({plain_length(rakes.slope.riser, unit)} up on"
            f" {plain_length(stair.going, unit)}) a guard of"
            f" {plain_length(rakes.height, unit, least)} leaves no room between its rails; it has"
            f" to be {plain_length(least, unit, rakes.height)} at least, or the pitch less.",
        )
    if stair.handrail and kit.handrail is None:
        message = f"The kit {kit.id} has no handrail."
        yield Problem(f"{stair.pointer}/handrail", "kit_without_handrail", message)


def _draw_side(
    stair: Stair,
    side: Side,
    head: Terminal,
    hand: Hand,
    rakes: RakeMaker,
    maker: BayMaker,
) -> SideDraft:
    assert head.post is not None
    kit, skew = maker.kit, _skew_down(side, head.post)
    half_width, half_head = kit.post.width / 2, half_at(kit, skew)
    run_key: RunKey = stair.id, hand, 0
    if run_key not in maker.divided:
        maker.divided[run_key] = _places(kit, stair, rakes, half_head, maker.budget.work)
    places = maker.divided[run_key]
    raked_head = rakes.height + kit.post.setback * rakes.slope.tangent
    posts = [head.post]
    for u in places[1:]:
        role: Role = "stair" if u == places[-1] else "line"
        posts.append(_post_down(kit, stair, side, head.t, u, rakes, role))
    bays: list[RakedBay] = []
    small: list[Length] = []
    falls: Hand = "right" if hand == "left" else "left"
    maker.budget.spend_bays(len(places) - 1)
    for i, (a, b) in enumerate(pairwise(places)):
        upper = half_head if i == 0 else half_width
        taken = upper + half_width
        clear = round(b - a - taken, 9)
        if clear < -TOUCH:
            raise unbuildable(
                stair.pointer,
                "too_short_for_posts",
                f"Flight {stair.id} needs {plain_length(-clear, kit.unit)} more for the posts of"
                " its guard: from the middle of one to that of the next there are"
                f" {plain_length(b - a, kit.unit, taken)}, and they take up"
                f" {plain_length(taken, kit.unit, b - a)}.",
            )
        if clear < rakes.least_clear:
            small.append(max(0.0, clear))
            continue
        nosings = _nosings(stair, a + upper, clear)
        cosine = rakes.slope.cosine
        measured = maker.measures.of(
            (run_key, i), rakes.room / cosine, (b - a) / cosine, clear / cosine
        )
        widest = clear if measured is None else b - a
        maker.filler.foresee(rakes.infill, widest, widest / cosine)
        bay = _raked_bay(rakes, i, b - a, clear, nosings, falls, measured)
        bay = replace(bay, skews=(skew if i == 0 else 0.0, 0.0))
        maker.budget.spend_fill(bay.fill.pickets, bay.fill.rail_supports, bay.fill.weep_holes)
        bays.append(bay)
    level_heads = tuple(dict.fromkeys(head.post.rails))
    drawn = SideDraft(
        hand, tuple(posts), places, tuple(bays), tuple(small), raked_head, level_heads
    )
    if drawn.meets_head:
        # The head post carries the raked rail too, and must be tall enough for both.
        head.post.others.append(raked_head)
    return drawn


def _raked_bay(
    rakes: RakeMaker,
    index: int,
    centres: Length,
    clear: Length,
    nosings: tuple[Length, ...],
    falls: Hand,
    measured: Measured | None,
) -> RakedBay:
    """A bay by its drawn clear, or by what was measured along its rails."""
    if measured is None:
        fill = rakes.fill(centres, (clear, clear), nosings, falls)
        return RakedBay(index, centres, clear, (0.0, 0.0), fill)
    plans = (measured.top * rakes.slope.cosine, measured.bottom * rakes.slope.cosine)
    centres += max(plans) - clear
    fill = rakes.fill(centres, plans, nosings, falls)
    return RakedBay(index, centres, min(plans), (0.0, 0.0), fill, measured)


def _skew_down(side: Side, post: PostDraft) -> Degrees:
    """Angle between the flight and the face that it meets on its head post."""
    off = quarter(side.heading - post.turned)
    return min(off, 90 - off)


def _nosings(stair: Stair, start: Length, clear: Length) -> tuple[Length, ...]:
    """Places of nosings strictly within a bay, from its upper face at u = start."""
    marks = (j * stair.going - start for j in range(stair.risers))
    return tuple(m for m in marks if TOUCH < m < clear - TOUCH)


def _places(
    kit: Kit, stair: Stair, rakes: RakeMaker, half_head: Length, work: MarkWork
) -> tuple[Length, ...]:
    """Post centres along u, head to foot: the fewest bays along the slope, then the most even.

    Most even: the least difference between widest and narrowest spacing; a tie goes to posts
    nearer the head. Refuses where no posts on treads keep the kit's limits.
    """
    treads = stair.risers - 1
    grounded = on_ground(stair)
    half_base = kit.post.base.width / 2
    foot = treads * stair.going + half_base if grounded else (treads - 0.5) * stair.going
    most = kit.max_centres[rakes.infill] * rakes.slope.cosine
    halves = half_head, kit.post.width / 2

    def keeps(row: Sequence[Length]) -> bool:
        clears = [b - a - 2 * halves[1] for a, b in pairwise(row)]
        clears[0] += halves[1] - halves[0]
        return all(rakes.panel_fits(clear) for clear in clears)

    middles = treads if grounded else treads - 1
    row = even_row(-kit.post.setback, foot, stair.going, middles, most, keeps, work)
    if row is None:
        bounds = bounds_told(kit, rakes.infill, " along the slope")
        raise unbuildable(
            stair.pointer,
            "no_place_for_posts",
            f"No posts on the treads of flight {stair.id} keep {bounds}; the going is"
            f" {plain_length(stair.going, kit.unit)}.",
        )
    return row


def _post_down(
    kit: Kit, stair: Stair, side: Side, t: Length, u: Length, rakes: RakeMaker, role: Role
) -> PostDraft:
    """A post on a tread or on the ground; its height is that of the rail's top at its centre."""
    at, turned = side.place(t, -u), quarter(side.heading)
    base = square_at(at, kit.post.base.width, turned)
    tread = math.ceil(u / stair.going - TOUCH)
    below = min(tread, stair.risers) * rakes.slope.riser
    post = PostDraft(role, at, turned, base, None)
    post.others.append(rakes.height + below - u * rakes.slope.tangent)
    return post


def _handrail(stair: Stair, slope: Slope, hand: Hand, maker: BayMaker) -> Handrail | None:
    """Over the top nosing to over the lowest, along the slope, on two brackets at the least.

    Brackets are as few as keep the kit's interval, each end OVERHANG of it past the last.
    """
    kit = maker.kit.handrail
    assert kit is not None
    length = (stair.risers - 1) * stair.going / slope.cosine
    if floor_to_mark(length, maker.step) <= TOUCH:
        return None
    beyond = 2 * OVERHANG
    count = max(2, ceil_count(length / kit.max_bracket_interval - beyond) + 1)
    maker.budget.spend_places(count)
    apart = length / (count - 1 + beyond)
    brackets = tuple(apart * (i + OVERHANG) for i in range(count))
    return Handrail(hand, length, kit.height, brackets)


def _meet_in_height(one: FlightDraft, two: FlightDraft) -> bool:
    """Whether two flights have a height in common, as far as their levels' drops tell."""
    first, second = (flight.level.level.drops.drop for flight in (one, two))
    if first is None or second is None:
        return True
    lowest = max(first - one.stair.rise, second - two.stair.rise)
    return min(first, second) > lowest + TOUCH


def _crossings(flights: Sequence[FlightDraft]) -> Iterator[Problem]:
    """Flights whose treads lie over each other in plan and, where that is known, in height."""
    shapes = [(flight, flight.treads_past(0.0)) for flight in flights]
    for (one, a), (two, b) in combinations(shapes, 2):
        if a is None or b is None or not _meet_in_height(one, two):
            continue
        if a.intersection(b).area > TOUCH:
            yield Problem(
                two.stair.pointer,
                "flights_cross",
                f"Flights {one.stair.id} and {two.stair.id} lie over each other in plan.",
            )
