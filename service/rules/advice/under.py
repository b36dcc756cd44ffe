"""Rules: cures by how far the bottom rails lie above the deck and above the nosings, and by the
setting blocks in them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from service.core.measure import TOUCH, Length, floor_to_mark
from service.core.records.kit import Block
from service.rules.advice.attempts import Attempt, Step
from service.rules.advice.changes import marked_down, marked_up, tape
from service.rules.advice.lesser import BOTTOM_GAP, STAIR_BOTTOM_GAP, with_less
from service.rules.advice.outcomes import Outcome
from service.rules.advice.searches import greatest, in_turn
from service.rules.advice.trial import Trial
from service.rules.checks.glass_fit import length_asked, trade_of
from service.rules.finding import Finding
from service.rules.job import Job
from service.rules.words import list_text

_BLOCK: Final = "/kit/glass/block"


@in_turn
def lower_rail(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by the greatest gap under the bottom rail that passes.

    The limit may be on a gap straight up from the deck, or on one that slants out from the deck's
    edge; for each, the greatest gap on a mark is tried, then one mark less.
    """
    gap, step = trial.kit.bottom_gap, trial.deck.step
    failing = trial.failing(rule)
    if not failing:
        return
    up = min(trial.limits(rule), default=0.0)
    slanting = min(_up_from_the_edge(finding, gap) for finding in failing)
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


@in_turn
def usual_blocks(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by setting blocks as long as is asked, then also as far from the corners of the glass.

    What is as the trade has it is left.
    """
    glass, base = trial.kit.glass, trial.base
    if glass is None:
        return
    old = glass.block
    asked = length_asked(Job(trial.layout, trial.deck, trial.kit, trial.code))
    length = marked_up(base, asked) if asked > old.length + TOUCH else old.length
    inset = marked_up(base, trade_of(trial.kit).corner + length / 2)
    for place in (old.inset, inset):
        steps, words = list[Step](), list[str]()
        if length != old.length:
            steps.append(Step(f"{_BLOCK}/length", tape(base, length)))
            words.append(f"setting blocks {tape(base, length)} long")
        if place != old.inset:
            steps.append(Step(f"{_BLOCK}/inset", tape(base, place)))
            whose = "their middles" if words else "the middles of setting blocks"
            words.append(f"{whose} {tape(base, place)} from the ends of the glass")
        if steps:
            kit = replace(base.kit, glass=replace(glass, block=Block(place, length)))
            yield base.also(list_text(words), steps, kit=kit)
