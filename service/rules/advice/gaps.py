"""Rules: cures of gaps that guards leave, and of edges that lack a guard: a railing that ends in
another way, goes on, or begins; and pairs of posts at corners."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import combinations
from typing import Any, Final, TypeAlias

from service.core.measure import DRAWN, Length, floor_to_mark
from service.core.records.deck import Condition
from service.core.records.layout import FlightBuilt
from service.rules.advice.attempts import Attempt, Step
from service.rules.advice.changes import (
    change_each_edge,
    change_edges,
    change_flights,
    close_openings,
    edges_text,
    flight_of,
    marked_up,
    some_text,
    tape,
)
from service.rules.advice.infills import closer
from service.rules.advice.moves import moved, moved_off_low_hold
from service.rules.advice.outcomes import Outcome
from service.rules.advice.searches import (
    Cure,
    any_of,
    failing_places,
    first,
    in_turn,
    place_by_place,
)
from service.rules.advice.trial import Trial
from service.rules.finding import Finding

Guarded: TypeAlias = tuple[str, int] | str
"""An edge, by its level and number, or a flight, by its id."""
_HEIGHTS: Final = ("guard_height", "stair_guard_height")
_JOINTS: Final = ("joint", "joint_wall", "joint_third", "along")
"""Kinds of gaps between two levels."""


@place_by_place
def gaps_closed(state: Outcome, name: str, finding: Finding) -> Iterator[Attempt]:
    """Cure of gaps at the ends of railings and beside what stands there.

    Pickets closer together; the railing ended by a post in place of a bracket, or the reverse; the
    railing ended nearer to an open edge; the opening beside the gap moved; a guard on the bare side
    of the opening's flight; the railing continued round the corner. For a gap between two levels
    there is only the railing ended nearer to the edge between them, as a guard would close the way.
    """
    base, places = state.attempt, state.places
    edges = places.edges.get(name, set())
    if finding.numbers is None:
        return
    limit, actual = finding.numbers
    joints = [gap for gap in state.layout.gaps if gap.kind in _JOINTS and name in gap.where]
    if joints:
        told = [gap.where for gap in joints if abs(gap.width - actual) <= DRAWN]
        yield from _levels_joined(state, name, told) if told else _ended_nearer(state, edges)
        return
    by, picket = actual - limit, base.kit.picket
    if picket is not None and any(bay.id == name for bay in places.bays.get(name, ())):
        yield from closer(base, picket, _closer_gaps(base, limit, picket.gap))
    yield from _ended_otherwise(state, edges)
    yield from _ended_nearer(state, edges)
    openings = list(dict.fromkeys(places.openings.get(name, [])))
    for place in openings:
        yield from moved(base, place, [by, by + base.deck.step])
    for flight in state.layout.flights:
        if flight.opening in openings:
            yield from _sides_guarded(base, flight)
    yield from _gone_on(state, edges)


def _closer_gaps(base: Attempt, limit: Length, gap: Length) -> list[Length]:
    """Gaps between pickets to try: within a limit, ever smaller, to change how many a bay takes."""
    step = base.deck.step
    most = floor_to_mark(min(limit, gap), step)
    return [most - step, most - 2 * step, most - 4 * step, most - 8 * step]


def _ended_otherwise(state: Outcome, edges: set[tuple[str, int]]) -> Iterator[Attempt]:
    """Changes that end a railing by a post where a bracket ends it, or the other way round."""
    base = state.attempt
    own = {(level.id, one.number): one for level in base.deck.levels for one in level.edges}
    runs = state.layout.runs
    brackets = {(run.level, run.edge) for run in runs if None in (run.start, run.end)}
    for edge in sorted(edges):
        by_post = edge in own and own[edge].wall_end == "post"
        if not by_post and edge not in brackets:
            continue
        other = "bracket" if by_post else "post"
        words = f"a {other} where the railing along {edges_text([edge])} ends"
        yield change_edges(base, words, [edge], "wall_end", other)


def _levels_joined(
    state: Outcome, name: str, joints: Sequence[tuple[str, ...]]
) -> Iterator[Attempt]:
    """Changes for gaps at an open edge between two levels: one railing ended nearer, then both.

    joints: the places of each gap. A gap is dealt with only at the first of its places.
    """
    for where in joints:
        for names in (where[:1], where) if name == where[0] else ():
            edges = (state.places.edges.get(each, set()) for each in names)
            yield from _ended_nearer(state, set().union(*edges))


def _ended_nearer(state: Outcome, edges: set[tuple[str, int]]) -> Iterator[Attempt]:
    """A change that ends railings as near the open edges beside them as their bases have room for.

    None for a fascia kit, whose end posts stand there already, nor for edges that already end so.
    """
    base, places = state.attempt, state.places
    near = {
        (level.id, one.number)
        for level in base.deck.levels
        for one in level.edges
        if one.open_end == "edge"
    }
    open_, guarded = _edges_that_are(state, "open"), _edges_that_are(state, "guard")
    able = [
        edge
        for edge in sorted(edges & guarded - near)
        if not open_.isdisjoint(places.beside(*edge))
    ]
    if able and base.kit.mounting == "surface":
        along = edges_text(able)
        words = f"the railing along {along} ended as near the open edge as its base can be"
        yield change_edges(base, words, able, "open_end", "edge")


def _edges_that_are(state: Outcome, condition: Condition) -> set[tuple[str, int]]:
    """The edges of this condition, by their levels and numbers."""
    return {(seen.level, seen.edge) for seen in state.layout.edges if seen.condition == condition}


def _gone_on(state: Outcome, edges: set[tuple[str, int]]) -> Iterator[Attempt]:
    """Changes that continue the railing along an open edge beside the gap.

    With a fascia kit each is also tried with two end posts at outside corners.
    """
    open_ = _edges_that_are(state, "open")
    for edge in sorted(edges):
        for other in state.places.beside(*edge):
            if other in open_:
                words = f"a guard along {edges_text([other])} too"
                attempt = change_edges(state.attempt, words, [other], "condition", "guard")
                yield attempt
                yield from _with_pairs(attempt)


@place_by_place
def ends_otherwise(state: Outcome, name: str, _: Finding) -> Iterator[Attempt]:
    """Cure by a post in place of a bracket where a railing ends at a wall or a column, or the
    reverse."""
    yield from _ended_otherwise(state, state.places.edges.get(name, set()))


@place_by_place
def own_posts(state: Outcome, name: str, _: Finding) -> Iterator[Attempt]:
    """Cure by posts of their own for gates and rails that nothing else is high enough to hold.

    The gate is moved to where it has a post of its own; the railing gets a post in place of a
    bracket at a wall or a column.
    """
    if state.places.whole(name):
        yield from moved_off_low_hold(state, name)
    else:
        yield from _ended_otherwise(state, state.places.edges.get(name, set()))


def _with_pairs(base: Attempt) -> Iterator[Attempt]:
    """A change to two end posts at each outside corner in place of one post on a corner bracket.

    Only for a fascia kit. One post stands on each rim, and no rail goes round the corner.
    """
    post = base.kit.post
    if base.kit.mounting == "fascia" and post.corner == "bracket":
        kit = replace(base.kit, post=replace(post, corner="pair"))
        words = "a pair of end posts at each outside corner in place of one on a corner bracket"
        yield base.also(words, (Step("/kit/post/corner", "pair"),), kit=kit)


@in_turn
def pair_at_corners(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by two end posts at each outside corner of a fascia kit."""
    yield from _with_pairs(trial.base)


def _all_guarded(trial: Trial, rule: str) -> Outcome | None:
    """Cure by guards wherever one is missing: at open edges, bare sides of flights and passages.

    Each is as high as the code requires, where the document's height is less. For a fascia kit, two
    end posts at each outside corner are tried as well.
    """
    attempt = _with_guards(trial, rule, {})
    if attempt is None:
        return None
    outcome = trial.gives(rule, attempt)
    highs = {} if outcome is None else _heights_for_new_guards(trial, outcome)
    higher = _with_guards(trial, rule, highs) if highs else None
    tried = [each for each in (higher, attempt) if each is not None]
    return first(trial, rule, (each for one in tried for each in (one, *_with_pairs(one))))


def _with_guards(trial: Trial, rule: str, highs: Mapping[Guarded, Length]) -> Attempt | None:
    """A change that adds a guard wherever a required one is missing; None where none is.

    highs: guard height by edge or flight, where it differs from the document's.
    """
    names = trial.named(rule)
    open_ = {(s.level, s.edge) for s in trial.layout.edges if s.place in names}
    bare = {
        flight.id: tuple(flight.bare)
        for flight in trial.layout.flights
        if flight.id in names and flight.bare
    }
    passages = [o.place for o in trial.layout.openings if o.use == "passage" and o.place in names]
    edges: dict[tuple[str, int], dict[str, Any]] = {
        edge: {"condition": "guard", **_high(highs, edge)} for edge in sorted(open_)
    }
    sides: dict[str, dict[str, Any]] = {
        name: {"guards": (*flight_of(trial.base, name).guards, *hands), **_high(highs, name)}
        for name, hands in bare.items()
    }
    attempt = change_each_edge(trial.base, "", edges)
    attempt = close_openings(change_flights(attempt, "", sides), "", passages)
    alike: dict[Length | None, list[tuple[str, int]]] = {}
    for edge in edges:
        alike.setdefault(highs.get(edge), []).append(edge)
    told = [
        f"a guard{_high_text(trial.base, high)} along {edges_text(some)}"
        for high, some in alike.items()
    ]
    told += [
        f"a guard{_high_text(trial.base, highs.get(name))} {_sides_text(name, hands)}"
        for name, hands in bare.items()
    ]
    told += [f"a guard across {some_text(passages)}"] if passages else []
    return attempt.called(some_text(told)) if told else None


def _high(highs: Mapping[Guarded, Length], name: Guarded) -> dict[str, Any]:
    return {"height": highs[name]} if name in highs else {}


def _high_text(base: Attempt, high: Length | None) -> str:
    return "" if high is None else f" {tape(base, high)} high"


def _heights_for_new_guards(trial: Trial, outcome: Outcome) -> dict[Guarded, Length]:
    """Heights that new guards are required to have, by edge or flight, where they are lower."""
    railed = {bay.flight or (bay.level, bay.edge) for bay in trial.layout.bays}
    highs: dict[Guarded, Length] = {}
    for rule in _HEIGHTS:
        for place, finding in failing_places(rule, outcome):
            if finding.numbers is not None:
                mark = marked_up(outcome.attempt, finding.numbers[0])
                edges, flights = outcome.places.edges, outcome.places.flights
                for name in {*edges.get(place, ()), *flights.get(place, ())} - railed:
                    highs[name] = max(mark, highs.get(name, mark))
    return highs


def _sides_text(flight: str, hands: tuple[str, ...]) -> str:
    return f"on the {' and the '.join(hands)} of flight {flight}, as seen going up"


def _guarded(state: Outcome, name: str, _: Finding) -> Iterator[Attempt]:
    """Changes for one place without a guard: along the edge, across the passage, on the flight."""
    base, layout = state.attempt, state.layout
    edges = [(seen.level, seen.edge) for seen in layout.edges if seen.place == name]
    if edges:
        words = f"a guard along {edges_text(edges[:1])}"
        yield change_edges(base, words, edges[:1], "condition", "guard")
    if any(each.place == name and each.use == "passage" for each in layout.openings):
        yield close_openings(base, f"a guard across {name}", [name])
    for flight in layout.flights:
        if flight.id == name:
            yield from _sides_guarded(base, flight)


def _sides_guarded(base: Attempt, flight: FlightBuilt) -> Iterator[Attempt]:
    """Changes that put guards on the bare sides of a flight: on one, then on both."""
    for hands in (some for count in (1, 2) for some in combinations(flight.bare, count)):
        change = {flight.id: {"guards": (*flight_of(base, flight.id).guards, *hands)}}
        yield change_flights(base, f"a guard {_sides_text(flight.id, hands)}", change)


guarded: Cure = any_of(_all_guarded, place_by_place(_guarded, at_once=False))
"""Cure by guards wherever one is required."""
