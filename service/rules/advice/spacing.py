"""Rules: cures by posts that stand closer together or further in, and by stronger fixings."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from dataclasses import replace
from typing import Final

from service.core.records.deck import Infill
from service.rules.advice.attempts import Attempt, Step
from service.rules.advice.changes import marked_up, tape
from service.rules.advice.lesser import SPACING, with_less
from service.rules.advice.outcomes import Outcome
from service.rules.advice.searches import greatest, in_turn
from service.rules.advice.trial import Trial

_FIXINGS: Final = {
    "lag_screw": "lag screws",
    "wood_screw": "wood screws",
    "through_bolt": "through-bolts",
}
HALVINGS: Final = 3
"""How often at most the spacing is halved to find one that passes, before searching in between."""


def closer_posts(trial: Trial, rule: str) -> Outcome | None:
    """Cure by the greatest spacing of posts that passes."""
    return with_closer_posts(
        trial, rule, trial.base, {bay.infill for bay in trial.failing_bays(rule)}
    )


def with_closer_posts(
    trial: Trial, rule: str, base: Attempt, infills: Collection[Infill]
) -> Outcome | None:
    """Outcome of a change with the greatest spacing of posts that passes, by halving; else None.

    infills: those whose posts are spaced closer. A longer bay is never safer.
    """
    if not infills:
        return None
    step, now = trial.deck.step, base.kit.max_centres

    def spaced(marks: int) -> Attempt:
        most = marks * step
        less = [name for name in sorted(infills) if most < now[name]]
        return with_less(base, {SPACING[name]: most for name in less})

    fails = math.floor(max(trial.kit.max_centres[infill] for infill in infills) / step)
    for _ in range(HALVINGS):
        passes = fails // 2
        best = trial.passes(rule, spaced(passes))
        if best is not None:
            return greatest(trial, rule, passes, fails, spaced) or best
        fails = passes
    return None


@in_turn
def posts_further_in(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by posts of a surface kit set in by as much more as their bases reach past the edge.

    The least distance comes first, as at a corner a base reaches past two edges at once.
    """
    post = trial.kit.post
    over = {finding.numbers[1] for finding in trial.failing(rule) if finding.numbers}
    for more in sorted(over) if trial.kit.mounting == "surface" else ():
        setback = marked_up(trial.base, post.setback + more)
        kit = replace(trial.kit, post=replace(post, setback=setback))
        words = f"posts {tape(trial.base, setback)} from the edge of the deck to their middle"
        step = Step("/kit/post/setback", tape(trial.base, setback))
        yield trial.base.also(words, (step,), kit=kit)


@in_turn
def other_fixing(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by the first of the kit's other fixings that passes."""
    strength = trial.kit.strength
    if strength is None:
        return
    for i, fixing in enumerate(strength.other_fixings):
        words = f"{tape(trial.base, fixing.diameter)} {_FIXINGS[fixing.kind]} in the bases"
        step = Step("/kit/strength/fixing", source=f"/kit/strength/other_fixings/{i}")
        kit = replace(trial.kit, strength=replace(strength, fixing=fixing))
        yield trial.base.also(words, (step,), kit=kit)
