"""Core: straight flights going down from openings (method 9).

In: a deck's flights, and its levels as they were drawn. Out: a FlightDraft for each flight
(`draw_flights`): where it lies, its guarded sides, its handrails, and what its rise must come to.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations
from operator import itemgetter
from typing import Final

from service.core.flights.beside import drops_beside
from service.core.flights.drafts import Course, FlightDraft, SideDraft
from service.core.flights.guarded_sides import draw_side
from service.core.flights.rakes import RakeMaker, Slope
from service.core.levels.level import LevelDraft
from service.core.line.references import check_stairs, no_infill
from service.core.line.specs import usual_height
from service.core.measure import (
    DRAWN,
    TOUCH,
    Length,
    angle_text,
    ceil_count,
    floor_to_mark,
    least_length,
    plain_length,
)
from service.core.problems import Problem, Unbuildable, raise_any
from service.core.records.code import Circumstances, Figure
from service.core.records.deck import HANDS, Deck, Stair
from service.core.records.layout import Handrail
from service.core.records.seen import opening_place
from service.core.runs.bays import BayMaker

OVERHANG: Final = 0.25
"""How far each end of a handrail reaches past its last bracket, as a part of the space between two.
A force at the end bends the rail as much there as one midway between two brackets does (P a = P
s/4)."""


def draw_flights(
    deck: Deck,
    levels: Sequence[LevelDraft],
    maker: BayMaker,
    default: Figure | None,
    reach: Length = 0.0,
) -> list[FlightDraft]:
    """Every flight of the deck.

    default: the code's guard height on a stair; None where it has none. reach: how far beyond an
    edge the code looks for the drop.

    Refuses with all that can be found: openings that do not exist or are not for stairs, two
    flights from one opening or across each other, parts that the kit lacks, heights that leave no
    room for the infill, and guarded sides that cannot be drawn.
    """
    problems: list[Problem] = []
    flights = []
    astray = check_stairs(deck)
    openings = {
        opening_place(level.level.id, drawn.opening.id): (level, line.side, drawn)
        for level in levels
        for line in level.lines
        for drawn in line.openings
    }
    for stair in deck.stairs:
        if stair.pointer in astray:
            problems.extend(astray[stair.pointer])
            continue
        try:
            course = Course(stair, *openings[stair.opening])
            flights.append(_draw(deck, course, levels, maker, default, reach))
        except Unbuildable as refusal:
            problems.extend(refusal.problems)
    problems.extend(_crossings(flights))
    raise_any(problems)
    return flights


def _draw(
    deck: Deck,
    course: Course,
    levels: Sequence[LevelDraft],
    maker: BayMaker,
    default: Figure | None,
    reach: Length,
) -> FlightDraft:
    """One flight; what lies below it comes first, as the height of its guards may depend on it."""
    stair, kit = course.stair, maker.kit
    slope = Slope(stair.rise / stair.risers, stair.going)
    infill = stair.infill or deck.guard.infill
    landing, drop = _landing(course, levels)
    said = None if stair.to_level is None else landing
    drops = drops_beside(course, levels, drop, reach, kit)
    if stair.to_level is not None or _at_foot(course, levels):
        drops = drops._replace(beneath=course.level.said_of(course.side.spec.number).beneath)
    here = Circumstances(infill=infill, risers=stair.risers, going=stair.going)
    height = stair.height or deck.guard.height or usual_height(default, drops, here, kit)
    pane = course.side.spec.pane if stair.glass is None else stair.glass
    rakes = RakeMaker(kit, maker.step, slope, infill, height, pane)
    raise_any(_misfits(stair, rakes))
    sides = tuple(_sides(course, rakes, maker))
    return FlightDraft(
        course=course,
        slope=slope,
        infill=infill,
        height=height,
        sides=sides,
        handrails=tuple(_handrails(course, slope, maker, sides)),
        drop=drop,
        drops=drops,
        landing=landing,
        foot_off=None if said is None else course.off(said.outline),
        walled=tuple(course.walled_sides(kit, height)),
    )


def _sides(course: Course, rakes: RakeMaker, maker: BayMaker) -> list[SideDraft]:
    """The guarded sides of a flight, left before right; refuses with the faults of both."""
    problems: list[Problem] = []
    sides = []
    for hand in HANDS:
        if hand in course.stair.guards:
            try:
                sides.append(draw_side(course, hand, rakes, maker))
            except Unbuildable as refusal:
                problems.extend(refusal.problems)
    raise_any(problems)
    return sides


def _landing(
    course: Course, levels: Sequence[LevelDraft]
) -> tuple[LevelDraft | None, Length | None]:
    """The level that a flight goes down to, None for the ground, and what its rise must come to.

    The level is the one that the flight names, else the highest under its foot. The rise must come
    down to that level or, for the ground, to what lies below the flight's edge. What it must come
    to is None where it is not known: a drop that it hangs on is not given, or a level at its foot
    has none and may be the one that it goes down to.
    """
    down_to = course.stair.to_level
    if down_to is not None:
        said = next(one for one in levels if one.level.id == down_to)
        return said, said.rise_to(course.level)
    rises = [(one.rise_to(course.level), one) for one in _at_foot(course, levels)]
    # A level that lies higher than the flight's own is overhead; of the others, people stand on the
    # highest.
    below = [(rise, one) for rise, one in rises if rise is not None and rise > 0]
    drop, level = min(below, key=itemgetter(0), default=(course.side.spec.drops.drop, None))
    return level, None if any(rise is None for rise, _ in rises) else drop


def _at_foot(course: Course, levels: Sequence[LevelDraft]) -> list[LevelDraft]:
    """The other levels whose surfaces lie over or under a flight's foot in plan, or touch it."""
    foot = course.foot()
    return [one for one in levels if one is not course.level and one.outline.dwithin(foot, DRAWN)]


def _misfits(stair: Stair, rakes: RakeMaker) -> Iterator[Problem]:
    """What the kit lacks for a flight, and a guard whose rails have no room between them."""
    kit, railed = rakes.kit, rakes.infill in rakes.kit.rails
    if not railed:
        yield no_infill(f"{stair.pointer}/infill", rakes.infill, kit)
    if stair.guards and kit.stair_bottom_gap is None:
        message = f"The kit {kit.id} gives no stair_bottom_gap; guards of flights need it."
        yield Problem(f"{stair.pointer}/guards", "kit_without_stairs", message)
    elif stair.guards and railed and rakes.height < rakes.least_height - TOUCH:
        unit, least = kit.unit, rakes.least_height
        yield Problem(
            stair.pointer,
            "flight_does_not_fit",
            f"At {angle_text(rakes.slope.pitch)} ({plain_length(rakes.slope.riser, unit)} up on"
            f" {plain_length(stair.going, unit)}) a guard of"
            f" {plain_length(rakes.height, unit, least)} leaves no room between its rails; it has"
            f" to be {least_length(least, unit, rakes.height)} at least, or the pitch less.",
        )
    if stair.handrail and kit.handrail is None:
        message = f"The kit {kit.id} has no handrail."
        yield Problem(f"{stair.pointer}/handrail", "kit_without_handrail", message)


def _handrails(
    course: Course, slope: Slope, maker: BayMaker, sides: Sequence[SideDraft]
) -> Iterator[Handrail]:
    """The handrails that are asked for: along the slope, from over the top nosing to the lowest.

    sides: the sides that have a guard. A handrail has as few brackets as keep the kit's interval,
    but two at the least; each end reaches past the last one by OVERHANG. There are none where they
    would have no length.
    """
    length = course.total_going / slope.cosine
    hands = [hand for hand in HANDS if hand in course.stair.handrail]
    if not hands or floor_to_mark(length, maker.step) <= TOUCH:
        return
    kit, half = maker.kit.handrail, maker.kit.post.width / 2
    assert kit is not None
    beyond = 2 * OVERHANG
    count = max(2, ceil_count(length / kit.max_bracket_interval - beyond) + 1)
    maker.budget.spend_places(count * len(hands))
    apart = length / (count - 1 + beyond)
    brackets = tuple(apart * (i + OVERHANG) for i in range(count))
    guards = {side.hand: side for side in sides}
    for hand in hands:
        bare = [
            at
            for at in brackets
            if hand in guards and not guards[hand].is_beside(at * slope.cosine, half)
        ]
        yield Handrail(hand, length, kit.height, brackets, tuple(bare))


def _meet_in_height(one: FlightDraft, two: FlightDraft) -> bool:
    """Whether two flights have a height in common; True where a level's drop is not given."""
    first, second = (flight.course.level.drop for flight in (one, two))
    if first is None or second is None:
        return True
    lowest = max(first - one.stair.rise, second - two.stair.rise)
    return min(first, second) > lowest + TOUCH


def _crossings(flights: Sequence[FlightDraft]) -> Iterator[Problem]:
    """A problem for each pair of flights that overlap in plan and, if known, in height."""
    shapes = [(flight, flight.course.treads_past(0.0)) for flight in flights]
    for (one, a), (two, b) in combinations(shapes, 2):
        if a is None or b is None or not _meet_in_height(one, two):
            continue
        if a.intersection(b).area > TOUCH:
            yield Problem(
                two.stair.pointer,
                "flights_cross",
                f"Flights {one.stair.id} and {two.stair.id} lie over each other in plan.",
            )
