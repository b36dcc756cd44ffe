"""Rules: cures by heights: guards as high as a rule requires, as low as the kit has posts and
panels for, or so high that the rails of a flight meet those of its deck; and lower bottom rails."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Final, TypeVar

from service.core.measure import TOUCH, Length, ceil_count, floor_to_mark, nearest_mark, tidy
from service.rules.advice.attempts import Attempt, Step
from service.rules.advice.changes import (
    change_edges,
    change_flights,
    edges_text,
    flight_of,
    flights_text,
    marked_down,
    marked_up,
    marks_asked,
    some_text,
    tape,
)
from service.rules.advice.lesser import BOTTOM_GAP, STAIR_BOTTOM_GAP, with_less
from service.rules.advice.outcomes import Outcome
from service.rules.advice.searches import MADE_ON_SITE, failing_places, first, greatest, in_turn
from service.rules.advice.spacing import with_closer_posts
from service.rules.advice.trial import Trial
from service.rules.finding import Finding
from service.rules.ruling import figure_on_flight

_OF_STRENGTH: Final = (
    "strength_post", "strength_rail", "strength_infill", "strength_glass", "strength_base",
)  # fmt: skip
"""Rules that a higher guard may violate, and that closer posts may then keep."""
Named = TypeVar("Named", tuple[str, int], str)
"""An edge, by its level and number, or a flight, by its id."""


def higher_guard(trial: Trial, rule: str) -> Outcome | None:
    """Cure by guards as high as the rule requires, or guard_height where that fails as well.

    Then the kit's stock heights above that are tried in turn, and last the required height on
    closer posts.
    """
    edges = trial.failing_edges(rule)
    if not edges:
        return None
    heights = heights_to_try(trial, rule, "guard_height")
    attempts = (each for height in heights for each in _guards_high(trial, edges, height))
    outcome = first(trial, rule, attempts)
    if outcome is not None:
        return outcome
    return _on_closer_posts(trial, rule, next(_guards_high(trial, edges, heights[0])))


def _on_closer_posts(trial: Trial, rule: str, higher: Attempt) -> Outcome | None:
    """Outcome of higher guards with the greatest spacing of posts that holds them, or None.

    Only for guards that cure the rule, but in which something is too weak.
    """
    outcome = trial.gives(rule, higher)
    if outcome is None or outcome.fails(rule):
        return None
    weak = {place for name in _OF_STRENGTH for place, _ in failing_places(name, outcome)}
    infills = {bay.infill for place in weak for bay in outcome.places.bays.get(place, ())}
    return with_closer_posts(trial, rule, higher, infills)


def _guards_high(trial: Trial, edges: set[tuple[str, int]], height: Length) -> Iterator[Attempt]:
    """Changes that give the guard along some edges a height.

    Where these are all the guarded edges, the height is first set once for the whole document.
    """
    words = f"the guard {tape(trial.base, height)} high"
    if _is_whole_guard(trial, edges):
        guard = replace(trial.deck.guard, height=height)
        steps = (Step("/guard/height", tidy(height, 6)),)
        yield trial.base.also(words, steps, deck=replace(trial.deck, guard=guard))
    words += f" along {edges_text(edges)}"
    yield change_edges(trial.base, words, edges, "height", tidy(height, 6))


def _is_whole_guard(trial: Trial, edges: set[tuple[str, int]]) -> bool:
    """Whether these are all the guarded edges, and no edge has a height of its own."""
    guarded = {(seen.level, seen.edge) for seen in trial.layout.edges if seen.condition == "guard"}
    own = any(edge.height is not None for level in trial.deck.levels for edge in level.edges)
    return guarded == edges and not own


@partial(in_turn, even_if=MADE_ON_SITE)
def higher_flight(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by guards of flights as high as the rule requires, or at a stock height above that.

    Where the tops of these guards serve as handrails, each height is also tried with separate
    handrails.
    """
    names, tops = trial.named(rule), _tops(trial, rule)
    for height in heights_to_try(trial, rule):
        words = f"the guards of {flights_text(names)} {tape(trial.base, height)} high"
        change = {name: {"height": tidy(height, 6)} for name in names}
        higher = change_flights(trial.base, words, change)
        yield higher
        if tops:
            yield _own_handrails(higher, tops)


def heights_to_try(trial: Trial, *rules: str) -> list[Length]:
    """On marks: the greatest height that these rules require, and the kit's stock heights above
    it."""
    asked = max((mark for rule in rules for mark in marks_asked(trial, rule)), default=0.0)
    marks = {marked_down(trial.base, each) for each in trial.kit.post.heights}
    return [asked, *sorted(each for each in marks if each > asked + TOUCH)]


@in_turn
def lower_guard(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by guards low enough for the kit's posts or panels: of flights, of the deck, or of both.

    Each flight gets a height of its own; the edges all get the least that one of them needs.
    """
    decks, raked = _low_enough(trial, rule)
    highs = {name: marked_down(trial.base, high) for name, high in raked.items()}
    height = marked_down(trial.base, min(decks.values(), default=0.0))
    lower = list(_guards_high(trial, set(decks), height)) if decks else []
    if highs:
        yield _flights_high(trial.base, highs)
    yield from lower
    if highs:
        yield from (_flights_high(deck, highs) for deck in lower)


def _flights_high(base: Attempt, highs: Mapping[str, Length]) -> Attempt:
    """A change that gives the guards of flights these heights."""
    told = [f"of flight {name} {tape(base, high)}" for name, high in highs.items()]
    changes = {name: {"height": high} for name, high in highs.items()}
    return change_flights(base, f"the guard {some_text(told)} high", changes)


def lighter_guard(trial: Trial, rule: str) -> Outcome | None:
    """Cure by the highest guards that pass, down to the height that the code requires.

    The lower a guard is, the less its posts have to carry.
    """
    step = trial.deck.step
    asked = [
        marked_up(trial.base, finding.numbers[0])
        for finding in trial.findings
        if finding.rule == "guard_height" and finding.numbers is not None
    ]
    least = max(asked, default=math.inf)
    highs = {
        (bay.level, bay.edge): bay.height
        for bay in trial.failing_bays(rule)
        if bay.flight is None and bay.height > least + TOUCH
    }
    lowest = first(trial, rule, _guards_high(trial, set(highs), least)) if highs else None
    if lowest is None:
        return None

    def at_mark(mark: int) -> Attempt:
        return next(_guards_high(trial, set(highs), tidy(mark * step, 6)))

    passes, too_high = round(least / step), ceil_count(min(highs.values()) / step)
    return greatest(trial, rule, passes, too_high, at_mark) or lowest


def _low_enough(trial: Trial, rule: str) -> tuple[dict[tuple[str, int], Length], dict[str, Length]]:
    """How high guards may be, by edge and by flight, where a rule fails because they are too high.

    A head post holds a guard of each kind; only a guard that is itself too high there is lowered.
    """
    heads = {(seen.flight, seen.post): seen.raked_height for seen in trial.layout.heads}
    heights = {flight.id: flight.height for flight in trial.layout.flights}
    decks: dict[tuple[str, int], Length] = {}
    raked: dict[str, Length] = {}
    for finding in trial.failing(rule):
        limit, actual = finding.numbers or (0.0, 0.0)
        for place in finding.where:
            for bay in trial.stands.places.bays.get(place, ()):
                if bay.flight is None:
                    over = min(actual, bay.height) - limit
                    _lowered(decks, (bay.level, bay.edge), bay.height, over)
                else:
                    over = min(actual, heads.get((bay.flight, place), actual)) - limit
                    _lowered(raked, bay.flight, heights[bay.flight], over)
    return decks, raked


def _lowered(lows: dict[Named, Length], name: Named, high: Length, over: Length) -> None:
    """Notes how high a guard may be that is too high by `over`; of several the least is kept."""
    if over > TOUCH:
        lows[name] = min(high - over, lows.get(name, high))


@in_turn
def meeting_at_head(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by guards of flights at the height at which their rails meet those of the deck.

    A guard is lowered only where a code states a height for guards of flights, required there or
    not, and the guard keeps it; else there is no such change.
    """
    flights = {flight.id: flight for flight in trial.layout.flights}
    named = trial.named(rule)
    highs: dict[str, Length] = {}
    for seen in trial.layout.heads:
        if seen.post in named:
            flight = flights[seen.flight]
            mark = nearest_mark(
                flight.height + seen.level_height - seen.raked_height, trial.deck.step
            )
            least = figure_on_flight(trial.code, "guard_height_stair", flight)
            if mark < flight.height and (least is None or mark < least.number() - TOUCH):
                return
            highs[seen.flight] = tidy(mark, 6)
    if highs:
        yield _flights_high(trial.base, highs)


@partial(in_turn, even_if=MADE_ON_SITE)
def handrail_within(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by the kit's handrail at the height that is required.

    Guards whose tops serve as handrails are tried at that height, and then with separate handrails.
    """
    tops, rail = _tops(trial, rule), trial.kit.handrail
    for limit in marks_asked(trial, rule):
        height = tidy(limit, 6)
        if rail is not None:
            kit = replace(trial.kit, handrail=replace(rail, height=height))
            words = f"handrails {tape(trial.base, height)} above the nosings"
            steps = (Step("/kit/handrail/height", tape(trial.base, height)),)
            yield trial.base.also(words, steps, kit=kit)
        if tops:
            words = f"the guards of {flights_text(tops)} {tape(trial.base, height)} high"
            yield change_flights(trial.base, words, {name: {"height": height} for name in tops})
    if tops:
        yield _own_handrails(trial.base, tops)


def _tops(trial: Trial, rule: str) -> list[str]:
    """The flights at which a rule fails and whose guards' tops serve as handrails."""
    return [name for name in trial.named(rule) if flight_of(trial.base, name).top_as_handrail]


def _own_handrails(base: Attempt, flights: Sequence[str]) -> Attempt:
    """A change to separate handrails for flights whose guards' tops serve as handrails.

    They are at the guarded sides.
    """
    own = {
        name: {"top_as_handrail": False, "handrail": flight_of(base, name).guards}
        for name in flights
    }
    return change_flights(base, f"handrails of their own at {flights_text(flights)}", own)


@in_turn
def lower_rail(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by the greatest gap under the bottom rail that passes.

    The limit may be on a gap straight up from the deck, or on one that slants out from the deck's
    edge; for each, the greatest gap on a mark is tried, then one mark less.
    """
    gap, step = trial.kit.bottom_gap, trial.deck.step
    up = min(trial.limits(rule), default=0.0)
    slanting = min(_up_from_the_edge(finding, gap) for finding in trial.failing(rule))
    marks = [floor_to_mark(most, step) for most in (up, slanting)]
    gaps = [each for most in marks for each in (most, most - step)]
    yield from (with_less(trial.base, {BOTTOM_GAP: each}) for each in gaps if 0 < each < gap)


def _up_from_the_edge(finding: Finding, gap: Length) -> Length:
    """How high the rail may lie for a gap slanting out from the deck's edge to be within its limit.

    gap: how high it lies now. It stays as far out as it is; 0 where that alone is too far.
    """
    if finding.numbers is None:
        return 0.0
    limit, actual = finding.numbers
    out = math.sqrt(max(0.0, actual**2 - gap**2))
    return math.sqrt(max(0.0, limit**2 - out**2))


def lower_stair_rail(trial: Trial, rule: str) -> Outcome | None:
    """Cure by the greatest gap under the bottom rails of flights that passes, down to 0."""
    step, gap = trial.deck.step, trial.kit.stair_bottom_gap
    if gap is None or not any(flight.guards for flight in trial.layout.flights):
        return None

    def attempt(marks: int) -> Attempt:
        return with_less(trial.base, {STAIR_BOTTOM_GAP: marks * step})

    return greatest(trial, rule, -1, math.ceil(gap / step), attempt)


@in_turn
def lower_foothold(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by bottom rails lowered by as much as their tops are too high, on levels and flights."""
    step = trial.deck.step
    pairs = [finding.numbers for finding in trial.failing(rule)]
    over = max((actual - limit for limit, actual in filter(None, pairs)), default=0.0)
    for by in (over, over + step):
        level = marked_down(trial.base, trial.kit.bottom_gap - by)
        if by <= 0 or level < 0:
            return
        yield with_less(trial.base, {BOTTOM_GAP: level})
        gap = trial.kit.stair_bottom_gap
        if gap is not None and trial.layout.flights:
            stair = max(0, marked_down(trial.base, gap - by))
            yield with_less(trial.base, {BOTTOM_GAP: level, STAIR_BOTTOM_GAP: stair})
