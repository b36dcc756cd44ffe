"""Rules: how changes are looked through: the first that passes, the greatest number that does, and
place by place where a rule fails in several."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from typing import Final, TypeAlias

from service.rules.advice.attempts import Attempt, Move
from service.rules.advice.trial import Outcome, Trial
from service.rules.finding import Finding

Cure: TypeAlias = Callable[[Trial, str], Outcome | None]
"""The change that cures every failing finding of a rule; None where none that was tried does."""
AtPlace: TypeAlias = Callable[[Outcome, str, Finding], Iterable[Attempt]]
"""What is worth trying at one place where a finding fails, beside what was changed already."""

MADE_ON_SITE: Final = ("handrail_extent",)
"""Rules that a handrail may break all the same: how far it goes past the nosings."""


def first(
    trial: Trial, rule: str, attempts: Iterable[Attempt], even_if: Collection[str] = ()
) -> Outcome | None:
    """The first change that passes."""
    outcomes = (trial.passes(rule, attempt, even_if) for attempt in attempts)
    return next((outcome for outcome in outcomes if outcome is not None), None)


def greatest(
    trial: Trial, rule: str, passes: int, fails: int, attempt: Callable[[int], Attempt]
) -> Outcome | None:
    """The change with the greatest number between one that passes and one that fails; None where
    none between them passes."""
    best: Outcome | None = None
    while fails - passes > 1:
        middle = (fails + passes) // 2
        outcome = trial.passes(rule, attempt(middle))
        if outcome is None:
            fails = middle
        else:
            passes, best = middle, outcome
    return best


def shortened(trial: Trial, found: Mapping[str, Outcome | None]) -> dict[str, Outcome]:
    """The changes that move something, with each move by as few marks as pass. found: the changes
    that cure, by rule."""
    trial.share(1)
    return {
        rule: _shortened(trial, rule, outcome)
        for rule, outcome in found.items()
        if outcome is not None and not any(step.removes for step in outcome.attempt.steps)
    }


def _shortened(trial: Trial, rule: str, best: Outcome) -> Outcome:
    """By halving between how far something was moved and how far it was moved in vain; then the
    other way, if it passes there by a mark less."""
    for move in best.attempt.moves:
        way, far = (1 if move.marks > 0 else -1), abs(move.marks)
        best, far = _halved(trial, rule, best, move, way, far, move.fails)
        other, less = _halved(trial, rule, best, move, -way, far, far - 2)
        if less < far:
            best, _ = _halved(trial, rule, other, move, -way, less, move.fails)
    return best


def _halved(
    trial: Trial, rule: str, best: Outcome, move: Move, way: int, far: int, near: int
) -> tuple[Outcome, int]:
    """A move that passes, and brings no more than the best so far, by as few marks more than one
    that does not as are found; and how many. way: 1, or -1 for the other; far, near: how many marks
    pass, and how many do not."""
    most = best.amiss()
    while far - near > 1:
        middle = (far + near) // 2
        attempt = move.at(best.attempt, way * middle)
        outcome = None if attempt is None else trial.passes(rule, attempt)
        if outcome is None or outcome.amiss() - most:
            near = middle
        else:
            best, far = outcome, middle
    return best, far


def any_of(*cures: Cure) -> Cure:
    """The first of several cures that finds a change."""

    def cure(trial: Trial, rule: str) -> Outcome | None:
        found = (one(trial, rule) for one in cures)
        return next((outcome for outcome in found if outcome is not None), None)

    return cure


def place_by_place(at: AtPlace, *, at_once: bool = True) -> Cure:
    """At each place where the rule fails what is best there: the first change for each, if with all
    of these it passes, else one after the other the first after which it fails in fewer. at_once:
    whether all are tried together, as another cure has not done so."""

    def cure(trial: Trial, rule: str) -> Outcome | None:
        state = trial.stands
        together = _all_first(rule, state, at) if at_once else None
        if together is not None and (outcome := trial.passes(rule, together)) is not None:
            return outcome
        while (place := next(failing_places(rule, state), None)) is not None:
            betters = (trial.betters(rule, each, state, place[0]) for each in at(state, *place))
            better = next((outcome for outcome in betters if outcome is not None), None)
            if better is None:
                return None
            state = better
        return trial.passes(rule, state.attempt)

    return cure


def _all_first(rule: str, state: Outcome, at: AtPlace) -> Attempt | None:
    """The first change for each place but those that belong with one before; None where that is no
    more than one change."""
    seen: set[str] = set()
    for name, finding in failing_places(rule, state):
        belongs = state.places.whole(name) or state.places.lasting(name)
        if not belongs & seen:
            attempt = next(iter(at(state, name, finding)), None)
            if attempt is None:
                return None
            seen |= belongs
            state = state._replace(attempt=attempt)
    return state.attempt if len(state.attempt.parts) > 1 else None


def failing_places(rule: str, outcome: Outcome) -> Iterator[tuple[str, Finding]]:
    """Where the rule fails, in the findings' order."""
    for finding in outcome.findings:
        if finding.rule == rule and finding.result == "fail":
            yield from ((place, finding) for place in finding.where)
