"""Rules: how changes are looked through: the first that passes, the greatest number that does,
place by place where a rule fails at several, and moves made shorter. A `Cure` is such a search."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from typing import Final, TypeAlias

from service.rules.advice.attempts import Attempt, Move
from service.rules.advice.outcomes import Outcome
from service.rules.advice.trial import Trial
from service.rules.finding import Finding

Cure: TypeAlias = Callable[[Trial, str], Outcome | None]
"""Outcome of a change that cures every failing finding of a rule; None where none tried does so."""
Changes: TypeAlias = Callable[[Trial, str], Iterable[Attempt]]
"""Changes worth trying to cure a rule, best first."""
AtPlace: TypeAlias = Callable[[Outcome, str, Finding], Iterable[Attempt]]
"""Changes worth trying at one place where a finding fails, added to what is changed already."""

MADE_ON_SITE: Final = ("handrail_extent",)
"""Rules that a handrail may violate: how far it goes past the nosings is settled on site."""


def first(
    trial: Trial, rule: str, attempts: Iterable[Attempt], even_if: Collection[str] = ()
) -> Outcome | None:
    """Outcome of the first change that passes, or None. even_if: as in `Trial.passes`."""
    outcomes = (trial.passes(rule, attempt, even_if) for attempt in attempts)
    return next((outcome for outcome in outcomes if outcome is not None), None)


def in_turn(changes: Changes, even_if: Collection[str] = ()) -> Cure:
    """A cure that tries changes in their order until one passes; for use as a decorator.

    even_if: as in `Trial.passes`.
    """

    def cure(trial: Trial, rule: str) -> Outcome | None:
        return first(trial, rule, changes(trial, rule), even_if)

    return cure


def greatest(
    trial: Trial, rule: str, passes: int, fails: int, attempt: Callable[[int], Attempt]
) -> Outcome | None:
    """Outcome of the change with the greatest number that passes, by halving; None where none does.

    passes, fails: numbers that are taken to pass and to fail; only those between them are tried.
    attempt: the change with a number.
    """
    best: Outcome | None = None
    while fails - passes > 1:
        middle = (fails + passes) // 2
        outcome = trial.passes(rule, attempt(middle))
        if outcome is None:
            fails = middle
        else:
            passes, best = middle, outcome
    return best


def shorten_moves(trial: Trial, found: Mapping[str, Outcome | None]) -> dict[str, Outcome]:
    """Outcomes of the changes that cure, with every move in them made as short as passes.

    found: the outcome of the change that cures each rule, or None. Changes that take something out
    are not in the result.
    """
    trial.share_among(1)
    return {
        rule: _shorten_all(trial, rule, outcome)
        for rule, outcome in found.items()
        if outcome is not None and not any(step.removes for step in outcome.attempt.steps)
    }


def _shorten_all(trial: Trial, rule: str, best: Outcome) -> Outcome:
    """A change with each of its moves made shorter.

    Halving goes on between the distance moved and one that was tried in vain. Then the other way is
    tried, first by a mark less than what passes, and on by halving if that passes too.
    """
    for move in best.attempt.moves:
        way, far = (1 if move.marks > 0 else -1), abs(move.marks)
        best, far = _shorten_move(trial, rule, best, move, way, far, move.fails)
        other, less = _shorten_move(trial, rule, best, move, -way, far, far - 2)
        if less < far:
            best, _ = _shorten_move(trial, rule, other, move, -way, less, move.fails)
    return best


def _shorten_move(
    trial: Trial, rule: str, best: Outcome, move: Move, way: int, far: int, near: int
) -> tuple[Outcome, int]:
    """A change with one move made as short as halving finds, and how many marks that is.

    A shorter move counts if it passes, and if no rule fails or goes unchecked at more places than
    in `best`. way: 1, or -1 for the other way. far, near: distances in marks, of which `far` passes
    and `near` does not.
    """
    most = best.not_passing()
    while far - near > 1:
        middle = (far + near) // 2
        attempt = move.at(best.attempt, way * middle)
        outcome = None if attempt is None else trial.passes(rule, attempt)
        if outcome is None or outcome.not_passing() - most:
            near = middle
        else:
            best, far = outcome, middle
    return best, far


def any_of(*cures: Cure) -> Cure:
    """A cure that takes the first of several cures to find a change."""

    def cure(trial: Trial, rule: str) -> Outcome | None:
        found = (one(trial, rule) for one in cures)
        return next((outcome for outcome in found if outcome is not None), None)

    return cure


def place_by_place(at: AtPlace, *, at_once: bool = True) -> Cure:
    """A cure that goes by what is best at each place where the rule fails; for use as a decorator.

    It first tries the first change for every place, all together. If that does not pass, it goes
    from place to place, and adds the first change after which the rule fails at fewer places. at:
    the changes to try at a place. at_once: False to skip the first step, where another cure has
    done it.
    """

    def cure(trial: Trial, rule: str) -> Outcome | None:
        state = trial.stands
        together = _all_first(rule, state, at) if at_once else None
        if together is not None and (outcome := trial.passes(rule, together)) is not None:
            return outcome
        while (place := next(failing_places(rule, state), None)) is not None:
            improved = (trial.improves(rule, each, state, place[0]) for each in at(state, *place))
            better = next((outcome for outcome in improved if outcome is not None), None)
            if better is None:
                return None
            state = better
        return trial.passes(rule, state.attempt)

    return cure


def _all_first(rule: str, state: Outcome, at: AtPlace) -> Attempt | None:
    """The first change for every place, all together; places that belong to one before are skipped.

    None where some place has no change, or where there are fewer than two changes.
    """
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
    """The places at which the rule fails, each with its finding, in the findings' order."""
    return ((place, finding) for finding in outcome.failing(rule) for place in finding.where)
