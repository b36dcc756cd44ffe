"""Rules: changes to a deck, each made as changed records, to be tried, and as the steps of a JSON
Patch (RFC 6902) of the document, to be told."""

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
"""Members of records that have another name in the document."""
TOLD_NAMES: Final = 6
"""How many edges, flights or openings a sentence names at the most; a change's steps have all."""


def change_edges(
    base: Attempt, words: str, edges: Collection[tuple[str, int]], member: str, value: object
) -> Attempt:
    """A change that gives one member of some edges another value. edges: by level and number."""
    return change_each_edge(base, words, {edge: {member: value} for edge in edges})


def change_each_edge(
    base: Attempt, words: str, changes: Mapping[tuple[str, int], Mapping[str, Any]]
) -> Attempt:
    """A change that gives members of some edges other values.

    changes: values by member, by the edge's level and number.
    """
    levels: list[Level] = []
    steps: list[Step] = []
    for level in base.deck.levels:
        own = {number: changes[name, number] for name, number in changes if name == level.id}
        changed, fresh = _level_with(level, dict(sorted(own.items()))) if own else (level, [])
        levels.append(changed)
        steps += fresh
    return base.also(words, steps, deck=replace(base.deck, levels=tuple(levels)))


def _level_with(level: Level, changes: Mapping[int, Mapping[str, Any]]) -> tuple[Level, list[Step]]:
    """A level with other values on some of its edges, and the steps to it. changes: by edge."""
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
    """A change that gives members of some flights other values.

    changes: values by member, by the flight's id.
    """
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
    """A change that gives members of one opening other values. place: "level/opening"."""
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
    """A change that removes some openings. places: each as "level/opening".

    The last opening of each level goes first, so that the pointers to the others stay true.
    """
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
    """A length as text that names its own unit, as the kit may be in another unit than the deck.

    A length off the marks is written in decimals: the nearest mark might not cure what the length
    does.
    """
    return length_text(value, base.deck.unit, base.deck.step)


def marked_down(base: Attempt, value: Length) -> Length:
    """The greatest mark not above a length."""
    return tidy(floor_to_mark(value, base.deck.step), 6)


def marked_up(base: Attempt, value: Length) -> Length:
    """The least mark not below a length."""
    return tidy(ceil_to_mark(value, base.deck.step), 6)


def marks_asked(trial: Trial, rule: str) -> list[Length]:
    """The limits of a rule's failing findings, each at the next mark that keeps it; least first."""
    step = trial.deck.step
    found = set()
    for finding in trial.failing(rule):
        if finding.numbers is not None:
            limit, actual = finding.numbers
            to_mark = ceil_to_mark if actual < limit else floor_to_mark
            found.add(tidy(to_mark(limit, step), 6))
    return sorted(found)


def edges_text(edges: Iterable[tuple[str, int]]) -> str:
    """Edges by their numbers in words, level by level; of many the first few.

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
    """Flights by their ids in words; of many the first few.

    >>> flights_text(["front"]), flights_text(["back", "front"])
    ('flight front', 'flights back and front')
    """
    names = sorted(flights)
    return f"flight{'s' if len(names) > 1 else ''} {some_text(names)}"


def some_text(names: Sequence[str]) -> str:
    """Names as a person lists them; of many the first few.

    >>> some_text(["a", "b"]), some_text(["a", "b", "c", "d", "e", "f", "g", "h"])
    ('a and b', 'a, b, c, d, e, f and 2 more')
    """
    rest = len(names) - TOLD_NAMES
    return list_text([*names[:TOLD_NAMES], f"{rest} more"] if rest > 0 else names)
