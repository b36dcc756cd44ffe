"""Rules: changes to a deck, each as the changed records, to be tried, and as the steps of a JSON
Patch (RFC 6902) on the document, to be told."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from service.core.measure import Length
from service.core.records.deck import Deck, Edge, Level, Stair
from service.core.records.layout import Bay
from service.rules.advice.trial import Attempt, Step, Trial
from service.rules.words import length_text


def bays_of(trial: Trial, rule: str) -> list[Bay]:
    """The bays at which a rule fails, and those that meet the posts at which it does."""
    names = trial.named(rule)
    return [
        bay
        for bay in trial.layout.bays
        if bay.id in names or bay.run in names or bay.start in names or bay.end in names
    ]


def edges_of(trial: Trial, rule: str) -> dict[int, set[int]]:
    """The edges of the level bays and gates at which a rule fails, by the number of their level."""
    numbers = {level.id: i for i, level in enumerate(trial.deck.levels)}
    names = trial.named(rule)
    at = [(bay.level, bay.edge) for bay in bays_of(trial, rule) if bay.flight is None]
    at += [(each.level, each.edge) for each in trial.layout.openings if each.place in names]
    places: dict[int, set[int]] = {}
    for level, edge in at:
        places.setdefault(numbers[level], set()).add(edge)
    return places


def change_edges(
    trial: Trial, words: str, places: Mapping[int, set[int]], member: str, value: object
) -> Attempt:
    """One member of some edges given another value."""
    levels = list(trial.deck.levels)
    steps: list[Step] = []
    for i, numbers in sorted(places.items()):
        levels[i], own = _level_with(levels[i], sorted(numbers), member, value)
        steps += own
    return Attempt(words, tuple(steps), replace(trial.deck, levels=tuple(levels)), trial.kit)


def _level_with(
    level: Level, numbers: list[int], member: str, value: object
) -> tuple[Level, list[Step]]:
    edges = list(level.edges)
    places = {edge.number: i for i, edge in enumerate(edges)}
    steps: list[Step] = []
    at = f"{level.pointer}/edges"
    fresh = []
    for number in numbers:
        if number in places:
            i = places[number]
            edges[i] = _with(edges[i], member, value)
            steps.append(Step(f"{at}/{i}/{member}", value))
        else:
            edges.append(_with(Edge(number, level.outline.pointer), member, value))
            fresh.append({"edge": number, member: value})
    if fresh and not level.edges:
        steps.append(Step(at, fresh))
    else:
        steps += [Step(f"{at}/-", one) for one in fresh]
    return replace(level, edges=tuple(edges)), steps


def _with(edge: Edge, member: str, value: object) -> Edge:
    changed: dict[str, object] = {member: value}
    return replace(edge, **changed)  # type: ignore[arg-type]


def change_flights(
    trial: Trial, words: str, changes: Mapping[str, Mapping[str, object]]
) -> Attempt:
    """Members of some flights given other values. changes: by the flight's id."""
    deck: Deck = trial.deck
    stairs: list[Stair] = []
    steps: list[Step] = []
    for stair in deck.stairs:
        change = changes.get(stair.id, {})
        stairs.append(replace(stair, **change))  # type: ignore[arg-type]
        steps += [
            Step(f"{stair.pointer}/{member}", list(value) if isinstance(value, tuple) else value)
            for member, value in change.items()
        ]
    return Attempt(words, tuple(steps), replace(deck, stairs=tuple(stairs)), trial.kit)


def tape(trial: Trial, value: Length) -> str:
    """A length as text, which names its own unit: the kit may be in another than the deck. One off
    the marks is in decimals, as the nearest mark may not cure what it does."""
    return length_text(value, trial.deck.unit, trial.deck.step)


def close_passages(
    levels: Sequence[Level], passages: Collection[str]
) -> tuple[tuple[Level, ...], tuple[Step, ...]]:
    """Levels without some passages, named "level/opening"; the last of each goes first."""
    changed: list[Level] = []
    steps: list[Step] = []
    for level in levels:
        gone = [each for each in level.openings if f"{level.id}/{each.id}" in passages]
        kept = tuple(each for each in level.openings if each not in gone)
        steps += [Step(each.pointer, removes=True) for each in reversed(gone)]
        changed.append(replace(level, openings=kept))
    return tuple(changed), tuple(steps)
