"""Rules: for each rule that can be cured by a change, the changes worth trying, best first.

A cure is a search: it tries changes (trial.py) and gives the first, or the mildest, that passes.
What a person would rather keep is tried before what costs more.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Final, TypeAlias

from service.core.measure import TOUCH, Length, floor_to_mark, tidy
from service.core.records.deck import Infill
from service.core.records.kit import PicketKit
from service.rules.advice.changes import (
    bays_of,
    change_edges,
    change_flights,
    close_passages,
    edges_of,
    tape,
)
from service.rules.advice.trial import Attempt, Outcome, Step, Trial
from service.rules.words import list_text

Cure: TypeAlias = Callable[[Trial, str], Outcome | None]

_FIXINGS: Final = {
    "lag_screw": "lag screws",
    "wood_screw": "wood screws",
    "through_bolt": "through-bolts",
}
HALVINGS: Final = 3
"""How often the greatest spacing is halved to find one that passes, before the search between."""


def cure(trial: Trial, rule: str) -> Outcome | None:
    """The change that cures every failing finding of the rule; None where none here does."""
    found = CURES.get(rule)
    return found(trial, rule) if found is not None else None


def _first(
    trial: Trial, rule: str, attempts: Iterable[Attempt], even_if: Collection[str] = ()
) -> Outcome | None:
    outcomes = (trial.passes(rule, attempt, even_if) for attempt in attempts)
    return next((outcome for outcome in outcomes if outcome is not None), None)


# Heights of guards


def higher_guard(trial: Trial, rule: str) -> Outcome | None:
    """Guards as high as is asked, else the kit's stock heights above it in turn."""
    places = edges_of(trial, rule)

    def attempts() -> Iterator[Attempt]:
        for height in _heights(trial, rule):
            words = f"the guard {tape(trial, height)} high"
            if _is_whole_guard(trial, places):
                guard = replace(trial.deck.guard, height=height)
                steps = (Step(f"{guard.pointer}/height", tidy(height, 6)),)
                yield Attempt(words, steps, replace(trial.deck, guard=guard), trial.kit)
            yield change_edges(trial, words, places, "height", tidy(height, 6))

    return _first(trial, rule, attempts())


def _is_whole_guard(trial: Trial, places: Mapping[int, set[int]]) -> bool:
    """Whether these are all the guarded edges, and none has a height of its own."""
    levels = trial.deck.levels
    guarded = {(edge.level, edge.edge) for edge in trial.layout.edges if edge.condition == "guard"}
    named = {(levels[i].id, number) for i, numbers in places.items() for number in numbers}
    own = any(edge.height is not None for level in levels for edge in level.edges)
    return guarded == named and not own


def higher_flight(trial: Trial, rule: str) -> Outcome | None:
    """Guards of flights as high as is asked, else the kit's stock heights above it in turn."""
    names = trial.named(rule)

    def attempts() -> Iterator[Attempt]:
        for height in _heights(trial, rule):
            words = f"the guards of these flights {tape(trial, height)} high"
            yield change_flights(
                trial, words, {name: {"height": tidy(height, 6)} for name in names}
            )

    return _first(trial, rule, attempts())


def _heights(trial: Trial, rule: str) -> list[Length]:
    """What is asked at most, and the stock heights above it."""
    asked = max(trial.limits(rule), default=0.0)
    return [asked, *sorted(height for height in trial.kit.post.heights if height > asked + TOUCH)]


# Glass


def other_pane(trial: Trial, rule: str) -> Outcome | None:
    """Another of the kit's panes: the thinnest that passes."""
    glass = trial.kit.glass
    if glass is None:
        return None
    places = edges_of(trial, rule)
    panes = sorted(enumerate(glass.panes), key=lambda pane: (pane[1].nominal_mm, pane[0]))

    def attempts() -> Iterator[Attempt]:
        for i, pane in panes:
            words = f"{tape(trial, pane.nominal)} {pane.type} glass, pane {i} of the kit"
            yield change_edges(trial, words, places, "glass", i)

    return _first(trial, rule, attempts())


# Spacing


def closer_posts(trial: Trial, rule: str) -> Outcome | None:
    """The greatest spacing of posts that passes, by halving; a longer bay is never safer."""
    infills = sorted({bay.infill for bay in bays_of(trial, rule)})
    if not infills:
        return None
    step = trial.deck.step
    widest = max(trial.kit.max_centres[infill] for infill in infills)
    fails, passes, best = math.floor(widest / step), 0, None
    for _ in range(HALVINGS):
        passes = fails // 2
        best = trial.passes(rule, _spaced(trial, infills, passes * step))
        if best is not None:
            break
        fails = passes
    if best is None:
        return None
    return (
        _greatest(trial, rule, passes, fails, lambda n: _spaced(trial, infills, n * step)) or best
    )


def _greatest(
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


def _spaced(trial: Trial, infills: Sequence[Infill], most: Length) -> Attempt:
    """The kit with a lesser greatest spacing for some infills."""
    least = {infill: min(most, trial.kit.max_centres[infill]) for infill in infills}
    kit = replace(trial.kit, max_centres={**trial.kit.max_centres, **least})
    words = f"posts of {' and '.join(infills)} bays at most {tape(trial, most)} apart"
    steps = [Step(f"/kit/max_centres/{name}", tape(trial, value)) for name, value in least.items()]
    return Attempt(words, tuple(steps), trial.deck, kit)


def other_fixing(trial: Trial, rule: str) -> Outcome | None:
    """Another of the kit's fixings, in its order; else posts closer together."""
    strength = trial.kit.strength
    others = strength.other_fixings if strength is not None else ()

    def attempts() -> Iterator[Attempt]:
        for i, fixing in enumerate(others):
            words = f"{tape(trial, fixing.diameter)} {_FIXINGS[fixing.kind]} in the bases"
            step = Step("/kit/strength/fixing", source=f"/kit/strength/other_fixings/{i}")
            assert strength is not None
            kit = replace(trial.kit, strength=replace(strength, fixing=fixing))
            yield Attempt(words, (step,), trial.deck, kit)

    return _first(trial, rule, attempts()) or closer_posts(trial, rule)


# Openings


def closer_pickets(trial: Trial, rule: str) -> Outcome | None:
    """The greatest gap between pickets, on a mark, that the opening limit lets pass."""
    picket = trial.kit.picket
    limit = _least_limit(trial, rule)
    if picket is None or limit is None:
        return None
    return _first(trial, rule, (_gapped(trial, picket, gap) for gap in _below(trial, limit)))


def _gapped(trial: Trial, picket: PicketKit, gap: Length) -> Attempt:
    kit = replace(trial.kit, picket=replace(picket, gap=gap))
    words = f"pickets at a gap of at most {tape(trial, gap)}"
    return Attempt(words, (Step("/kit/picket/gap", tape(trial, gap)),), trial.deck, kit)


def lower_rail(trial: Trial, rule: str) -> Outcome | None:
    """The greatest gap under the bottom rail that passes."""
    limit = _least_limit(trial, rule)
    if limit is None:
        return None

    def attempts(bound: Length) -> Iterator[Attempt]:
        for gap in _below(trial, bound):
            kit = replace(trial.kit, bottom_gap=gap)
            words = f"the bottom rail {tape(trial, gap)} above the deck"
            yield Attempt(words, (Step("/kit/bottom_gap", tape(trial, gap)),), trial.deck, kit)

    return _first(trial, rule, attempts(limit))


def lower_stair_rail(trial: Trial, rule: str) -> Outcome | None:
    """The greatest gap under a flight's bottom rail that passes, down to the nosings."""
    step, gap = trial.deck.step, trial.kit.stair_bottom_gap
    if gap is None:
        return None
    return _greatest(trial, rule, -1, math.ceil(gap / step), lambda n: _low_stair(trial, n * step))


def _low_stair(trial: Trial, gap: Length) -> Attempt:
    kit = replace(trial.kit, stair_bottom_gap=gap)
    words = f"the bottom rail of flights {tape(trial, gap)} above the nosings"
    return Attempt(words, (Step("/kit/stair_bottom_gap", tape(trial, gap)),), trial.deck, kit)


def _least_limit(trial: Trial, rule: str) -> Length | None:
    return min(trial.limits(rule), default=None)


def _below(trial: Trial, limit: Length) -> tuple[Length, Length]:
    """The greatest mark within a limit, and the one below it where the limit itself is too much."""
    most = floor_to_mark(limit, trial.deck.step)
    return most, most - trial.deck.step


# Edges and flights


def guarded(trial: Trial, rule: str) -> Outcome | None:
    """A guard along the open edges that need one, on the bare sides of flights, and across
    passages."""
    names = trial.named(rule)
    numbers = {level.id: i for i, level in enumerate(trial.deck.levels)}
    places: dict[int, set[int]] = {}
    for edge in trial.layout.edges:
        if edge.place in names:
            places.setdefault(numbers[edge.level], set()).add(edge.edge)
    bare = [stair.id for stair in trial.deck.stairs if stair.id in names]
    told = ["a guard along these edges"] if places else []
    told += [f"guards on both sides of {list_text(bare)}"] if bare else []
    passages = {o.place for o in trial.layout.openings if o.use == "passage"} & names
    told += ["a guard across each passage"] if passages else []
    if not told:
        return None
    words = list_text(told)
    edges = change_edges(trial, words, places, "condition", "guard")
    sides = change_flights(trial, words, {name: {"guards": ("left", "right")} for name in bare})
    levels, closed = close_passages(edges.deck.levels, passages)
    deck = replace(edges.deck, stairs=sides.deck.stairs, levels=levels)
    return _first(
        trial, rule, [Attempt(words, edges.steps + sides.steps + closed, deck, trial.kit)]
    )


def other_risers(trial: Trial, rule: str) -> Outcome | None:
    """One riser more or fewer, then two, up to four, in every flight that fails."""
    names = trial.named(rule)
    flights = {stair.id: stair for stair in trial.deck.stairs if stair.id in names}

    def attempts() -> Iterator[Attempt]:
        for more in (1, -1, 2, -2, 3, -3, 4, -4):
            counts = {name: stair.risers + more for name, stair in flights.items()}
            if all(count >= 1 for count in counts.values()):
                told = ", ".join(f"{count} in {name}" for name, count in counts.items())
                changes = {name: {"risers": count} for name, count in counts.items()}
                yield change_flights(trial, f"other risers: {told}", changes)

    return _first(trial, rule, attempts())


def other_going(trial: Trial, rule: str) -> Outcome | None:
    """The going that is asked, in every flight that fails."""
    names = trial.named(rule)

    def attempts() -> Iterator[Attempt]:
        for going in sorted(set(trial.limits(rule))):
            words = f"a going of {tape(trial, going)}"
            yield change_flights(trial, words, {name: {"going": tidy(going, 6)} for name in names})

    return _first(trial, rule, attempts())


def with_handrail(trial: Trial, rule: str) -> Outcome | None:
    """A handrail on one guarded side of each flight that needs one, else on both.

    How far it goes past the nosings is made on site, so that may still be broken.
    """
    names = trial.named(rule)

    def attempts() -> Iterator[Attempt]:
        for sides in (("right",), ("left",), ("left", "right")):
            words = f"a handrail on the {' and the '.join(sides)}, as seen going up"
            yield change_flights(trial, words, {name: {"handrail": sides} for name in names})

    return _first(trial, rule, attempts(), even_if=("handrail_extent",))


CURES: Final[dict[str, Cure]] = {
    "guard_required": guarded,
    "guard_height": higher_guard,
    "stair_guard_height": higher_flight,
    "opening_size": closer_pickets,
    "stair_opening_size": closer_pickets,
    "gap_under_rail": lower_rail,
    "stair_triangle": lower_stair_rail,
    "riser_height": other_risers,
    "risers_and_going": other_risers,
    "stair_pitch": other_risers,
    "tread_going": other_going,
    "handrail_required": with_handrail,
    "arc_over_edge": closer_posts,
    "glass_type": other_pane,
    "glass_thickness": other_pane,
    "strength_post": closer_posts,
    "strength_rail": closer_posts,
    "strength_infill": closer_posts,
    "strength_glass": other_pane,
    "strength_base": other_fixing,
}
"""The cure of each rule that has one."""
