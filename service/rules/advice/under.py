"""Rules: cures by how far the bottom rails lie above the deck and above the nosings."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from service.core.measure import Length, floor_to_mark, tidy
from service.rules.advice.changes import tape
from service.rules.advice.searches import first, greatest
from service.rules.advice.trial import Attempt, Outcome, Step, Trial


def lower_rail(trial: Trial, rule: str) -> Outcome | None:
    """The greatest gap under the bottom rail that passes, by what is asked where it fails."""
    limits = trial.limits(rule)
    if not limits:
        return None
    most = floor_to_mark(min(limits), trial.deck.step)
    gaps = [most, most - trial.deck.step]
    return first(trial, rule, (_low(trial, gap) for gap in gaps if gap < trial.kit.bottom_gap))


def _low(trial: Trial, gap: Length) -> Attempt:
    kit = replace(trial.kit, bottom_gap=gap)
    words = f"the bottom rail {tape(trial.base, gap)} above the deck"
    return trial.base.also(words, (Step("/kit/bottom_gap", tape(trial.base, gap)),), kit=kit)


def lower_stair_rail(trial: Trial, rule: str) -> Outcome | None:
    """The greatest gap under a flight's bottom rail that passes, down to the nosings."""
    step, gap = trial.deck.step, trial.kit.stair_bottom_gap
    if gap is None or not any(flight.guards for flight in trial.layout.flights):
        return None
    return greatest(trial, rule, -1, math.ceil(gap / step), lambda n: _low_stair(trial, n * step))


def _low_stair(trial: Trial, gap: Length) -> Attempt:
    kit = replace(trial.kit, stair_bottom_gap=gap)
    words = f"the bottom rail of flights {tape(trial.base, gap)} above the nosings"
    return trial.base.also(words, (Step("/kit/stair_bottom_gap", tape(trial.base, gap)),), kit=kit)


def lower_foothold(trial: Trial, rule: str) -> Outcome | None:
    """Bottom rails lower by what their tops are too high, above the deck and above the nosings."""
    step = trial.deck.step
    over = max(
        (
            finding.actual - finding.limit
            for finding in trial.failing(rule)
            if isinstance(finding.actual, float) and isinstance(finding.limit, float)
        ),
        default=0.0,
    )

    def attempts() -> Iterator[Attempt]:
        for by in (over, over + step):
            level = tidy(floor_to_mark(trial.kit.bottom_gap - by, step), 6)
            if by <= 0 or level < 0:
                return
            low = _low(trial, level)
            yield low
            gap = trial.kit.stair_bottom_gap
            if gap is not None and trial.layout.flights:
                stair = _low_stair(trial, tidy(max(0.0, floor_to_mark(gap - by, step)), 6))
                kit = replace(low.kit, stair_bottom_gap=stair.kit.stair_bottom_gap)
                yield low.also(stair.words, stair.steps, kit=kit)

    return first(trial, rule, attempts())
