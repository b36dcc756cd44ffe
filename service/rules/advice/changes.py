"""Rules: changes to a deck, each as the changed records, to be tried, and as the steps of a JSON
Patch (RFC 6902) on the document, to be told."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from service.core.measure import Length, ceil_to_mark, floor_to_mark, tidy
from service.core.records.deck import Edge, Level, Opening, Stair
from service.core.records.seen import opening_place
from service.rules.advice.attempts import Attempt, Step
from service.rules.advice.trial import Trial
from service.rules.words import length_text, list_text

_MEMBERS: Final = {"start": "from"}
"""Members of records that the document calls otherwise."""
TOLD_NAMES: Final = 6
"""Edges, flights and openings that a sentence names; the steps of a change have them all."""


def change_edges(
    base: Attempt, words: str, edges: Collection[tuple[str, int]], member: str, value: object
) -> Attempt:
    """One member of some edges, by level and number, given another value."""
    return change_each_edge(base, words, {edge: {member: value} for edge in edges})


def change_each_edge(
    base: Attempt, words: str, changes: Mapping[tuple[str, int], Mapping[str, Any]]
) -> Attempt:
    """Members of some edges given other values. changes: by the edge's level and number."""
    levels: list[Level] = []
    steps: list[Step] = []
    for level in base.deck.levels:
        own = {number: changes[name, number] for name, number in changes if name == level.id}
        changed, fresh = _level_with(level, dict(sorted(own.items()))) if own else (level, [])
        levels.append(changed)
        steps += fresh
    return base.also(words, steps, deck=replace(base.deck, levels=tuple(levels)))


def _level_with(level: Level, changes: Mapping[int, Mapping[str, Any]]) -> tuple[Level, list[Step]]:
    edges = list(level.edges)
    places = {edge.number: i for i, edge in enumerate(edges)}
    steps: list[Step] = []
    at = f"{level.pointer}/edges"
    fresh = []
    for number, change in changes.items():
        if number in places:
            i = places[number]
            edges[i] = replace(edges[i], **change)
            steps += [Step(f"{at}/{i}/{member}", value) for member, value in change.items()]
        else:
            edges.append(replace(Edge(number, level.outline.pointer), **change))
            fresh.append({"edge": number, **change})
    if fresh and not level.edges:
        steps.append(Step(at, fresh))
    else:
        steps += [Step(f"{at}/-", one) for one in fresh]
    return replace(level, edges=tuple(edges)), steps


def change_flights(base: Attempt, words: str, changes: Mapping[str, Mapping[str, Any]]) -> Attempt:
    """Members of some flights given other values. changes: by the flight's id."""
    stairs: list[Stair] = []
    steps: list[Step] = []
    for stair in base.deck.stairs:
        change = changes.get(stair.id, {})
        stairs.append(replace(stair, **change))
        steps += [
            Step(f"{stair.pointer}/{member}", list(value) if isinstance(value, tuple) else value)
            for member, value in change.items()
        ]
    return base.also(words, steps, deck=replace(base.deck, stairs=tuple(stairs)))


def change_opening(base: Attempt, words: str, place: str, **change: Any) -> Attempt:
    """Members of one opening, named "level/opening", given other values."""
    old = opening_of(base, place)
    new = replace(old, **change)
    steps = [
        Step(f"{old.pointer}/{_MEMBERS.get(member, member)}", value)
        for member, value in change.items()
    ]
    levels = tuple(
        replace(level, openings=tuple(new if each is old else each for each in level.openings))
        for level in base.deck.levels
    )
    return base.also(words, steps, deck=replace(base.deck, levels=levels))


def opening_of(base: Attempt, place: str) -> Opening:
    """The opening that is named "level/opening"."""
    return next(
        opening
        for level in base.deck.levels
        for opening in level.openings
        if opening_place(level.id, opening.id) == place
    )


def flight_of(base: Attempt, name: str) -> Stair:
    """The flight of that id."""
    return next(stair for stair in base.deck.stairs if stair.id == name)


def close_openings(base: Attempt, words: str, places: Collection[str]) -> Attempt:
    """Some openings, named "level/opening", taken out; the last of each level goes first."""
    levels: list[Level] = []
    steps: list[Step] = []
    for level in base.deck.levels:
        gone = [each for each in level.openings if opening_place(level.id, each.id) in places]
        steps += [Step(each.pointer, removes=True) for each in reversed(gone)]
        kept = [each for each in level.openings if each not in gone]
        at = f"{level.pointer}/openings"
        moved = tuple(replace(each, pointer=f"{at}/{i}") for i, each in enumerate(kept))
        levels.append(replace(level, openings=moved))
    return base.also(words, steps, deck=replace(base.deck, levels=tuple(levels)))


def tape(base: Attempt, value: Length) -> str:
    """A length as text, which names its own unit: the kit may be in another than the deck. One off
    the marks is in decimals, as the nearest mark may not cure what it does."""
    return length_text(value, base.deck.unit, base.deck.step)


def marked_down(base: Attempt, value: Length) -> Length:
    """The greatest mark that is no more."""
    return tidy(floor_to_mark(value, base.deck.step), 6)


def marked_up(base: Attempt, value: Length) -> Length:
    """The least mark that is no less."""
    return tidy(ceil_to_mark(value, base.deck.step), 6)


def marks_asked(trial: Trial, rule: str) -> list[Length]:
    """What a rule asks where it fails, each to the next mark that keeps it, the least first."""
    step = trial.deck.step
    found = set()
    for finding in trial.failing(rule):
        if finding.numbers is not None:
            limit, actual = finding.numbers
            to_mark = ceil_to_mark if actual < limit else floor_to_mark
            found.add(tidy(to_mark(limit, step), 6))
    return sorted(found)


def edges_text(edges: Iterable[tuple[str, int]]) -> str:
    """Edges by their numbers, level by level.

    >>> edges_text([("main", 3)]), edges_text([("low", 1), ("main", 0), ("main", 2)])
    ('edge 3 of main', 'edge 1 of low and edges 0 and 2 of main')
    """
    levels: dict[str, list[str]] = {}
    for level, number in sorted(edges):
        levels.setdefault(level, []).append(str(number))
    return some_text(
        [
            f"edge{'s' if len(numbers) > 1 else ''} {some_text(numbers)} of {level}"
            for level, numbers in levels.items()
        ]
    )


def flights_text(flights: Iterable[str]) -> str:
    """Flights by their ids; of many the first.

    >>> flights_text(["front"]), flights_text(["back", "front"])
    ('flight front', 'flights back and front')
    """
    names = sorted(flights)
    return f"flight{'s' if len(names) > 1 else ''} {some_text(names)}"


def some_text(names: Sequence[str]) -> str:
    """Names as a person lists them; of many the first.

    >>> some_text(["a", "b"]), some_text(["a", "b", "c", "d", "e", "f", "g", "h"])
    ('a and b', 'a, b, c, d, e, f and 2 more')
    """
    rest = len(names) - TOLD_NAMES
    return list_text([*names[:TOLD_NAMES], f"{rest} more"] if rest > 0 else names)
