"""Rules: members of the document and of its kit of which less is stricter, so that of several
figures for one of them the least keeps all (`with_less`, `agree_on_least`)."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from service.core.measure import Length, tidy
from service.core.records.deck import INFILLS
from service.rules.advice.attempts import Attempt, Step
from service.rules.advice.changes import tape
from service.rules.advice.outcomes import Outcome
from service.rules.advice.trial import Trial
from service.rules.words import list_text

PRECISION: Final = "/precision"
PICKET_GAP: Final = "/kit/picket/gap"
SIDE_GAP: Final = "/kit/glass/side_gap"
BOTTOM_GAP: Final = "/kit/bottom_gap"
STAIR_BOTTOM_GAP: Final = "/kit/stair_bottom_gap"
SPACING: Final = {infill: f"/kit/max_centres/{infill}" for infill in INFILLS}
WORDS: Final = {
    PRECISION: "the deck laid out and cut to {}",
    PICKET_GAP: "pickets at a gap of at most {}",
    SIDE_GAP: "glass {} from its posts",
    BOTTOM_GAP: "the bottom rail {} above the deck",
    STAIR_BOTTOM_GAP: "the bottom rail of flights {} above the nosings",
    **dict.fromkeys(SPACING.values(), "posts of [] bays at most {} apart"),
}
"""Each of these members by its path, in words to follow "with". `{}` stands for the length, `[]`
for the infills."""


def with_less(base: Attempt, values: Mapping[str, Length]) -> Attempt:
    """A change that sets some of these members. values: by their paths.

    Infills with the same spacing are told together. Where the precision changes, lengths are told
    to the new mark, which may be finer than the document's.
    """
    kit, steps, alike = base.kit, list[Step](), dict[str, list[str]]()
    deck = replace(base.deck, step=values.get(PRECISION, base.deck.step))
    for path, value in values.items():
        told = tape(base._replace(deck=deck), value)
        if path == PRECISION:
            steps.append(Step(path, tidy(value, 6)))
        else:
            kit = _with(kit, _members(path), value)
            steps.append(Step(path, told))
        alike.setdefault(WORDS[path].replace("{}", told), []).append(path.rpartition("/")[2])
    words = [words.replace("[]", " and ".join(names)) for words, names in alike.items()]
    return base.also(list_text(words), steps, deck=deck, kit=kit)


def agree_on_least(
    trial: Trial, found: Mapping[str, Outcome | None], broken: Collection[str]
) -> dict[str, Outcome]:
    """Changes of these members alone, made to agree where several rules ask for the same member.

    Each member gets the least value that any rule asks for it, so that every rule passes, whichever
    of the changes are made and in which order. Values for rules that only warn do not lower those
    for violated rules. Where some change brings another infill, its spacing is set too. A change
    that does not pass with the least values keeps its own, and is not in the result.

    found: the outcome of the change that cures each rule, or None. broken: the rules that are
    violated. Returned are the outcomes of the new changes, by rule.
    """
    own: dict[str, dict[str, Length]] = {}
    alone: dict[str, bool] = {}
    brought: set[str] = set()
    for rule, outcome in found.items():
        attempt = trial.base if outcome is None else outcome.attempt
        asked = [step.path for step in attempt.steps if step.path in WORDS]
        own[rule] = {path: _value(attempt, path) for path in asked}
        alone[rule] = len(asked) == len(attempt.steps)
        brought |= {each for step in attempt.steps for each in _infills(step)}
    trial.share_among(1)
    outcomes = {}
    for rule, values in own.items():
        others = [each for name, each in own.items() if name in broken or rule not in broken]
        least = {
            path: min(other.get(path, value) for other in others) for path, value in values.items()
        }
        too = _spaced_too(trial, least, brought)
        if alone[rule] and (too or least != values):
            outcomes[rule] = trial.passes(rule, _with_least(trial, least, too))
    return {rule: outcome for rule, outcome in outcomes.items() if outcome is not None}


def _with_least(trial: Trial, least: Mapping[str, Length], too: Mapping[str, Length]) -> Attempt:
    """A change to the least values, and to spacings for infills that other changes bring (`too`).

    Where the deck has no bay of such an infill yet, the words say where it comes from.
    """
    attempt = with_less(trial.base, {**least, **too})
    built = {bay.infill for bay in trial.layout.bays}
    fresh = [name for name, path in SPACING.items() if path in too and name not in built]
    if not fresh:
        return attempt
    stands = {path: value for path, value in too.items() if path.rpartition("/")[2] in built}
    words = with_less(trial.base, {**least, **stands}).words
    return attempt.called(
        f"{words}, and so those of {' and '.join(fresh)} bays, which another change brings"
    )


def _spaced_too(
    trial: Trial, values: Mapping[str, Length], brought: Collection[str]
) -> dict[str, Length]:
    """Spacings to set for further infills, which other changes bring in place of those in `values`.

    Posts carry no less with another infill, so it gets the least spacing of `values`. brought: the
    infills that changes bring.
    """
    asked = [values[path] for path in SPACING.values() if path in values]
    most = min(asked, default=math.inf)
    return {
        path: most
        for name, path in SPACING.items()
        if name in brought and path not in values and most < trial.kit.max_centres.get(name, 0.0)
    }


def _infills(step: Step) -> set[str]:
    """The infills that a step of a change gives to edges and flights."""
    if step.path.endswith("/infill"):
        return {str(step.value)}
    entries = step.value if isinstance(step.value, list) else [step.value]
    return {str(each["infill"]) for each in entries if isinstance(each, dict) and "infill" in each}


def _value(attempt: Attempt, path: str) -> Length:
    """The value of the member at a path, as a change leaves it."""
    if path == PRECISION:
        return attempt.deck.step
    value: Any = attempt.kit
    for name in _members(path):
        value = value[name] if isinstance(value, Mapping) else getattr(value, name)
    return float(value)


def _members(path: str) -> list[str]:
    return path.split("/")[2:]


def _with(record: Any, names: Sequence[str], value: Length) -> Any:
    """A record or mapping with another value deep within. names: the members on the way there."""
    if not names:
        return value
    name, *rest = names
    if isinstance(record, Mapping):
        return {**record, name: _with(record[name], rest, value)}
    return replace(record, **{name: _with(getattr(record, name), rest, value)})
