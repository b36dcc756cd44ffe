"""Rules: cures of what stands in a flight's way: a passage in another level's railing, or the
flight moved; and of a guard against another level: none there."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from service.core.line.outline import read_outline
from service.core.measure import TOUCH, Length, toward
from service.core.records.deck import Level, Opening
from service.core.records.layout import FlightBuilt, OpeningBuilt
from service.core.records.seen import edge_place
from service.rules.advice.attempts import Attempt, Step
from service.rules.advice.changes import (
    change_edges,
    edges_text,
    flight_of,
    marked_down,
    marked_up,
    tape,
)
from service.rules.advice.moves import moved_further
from service.rules.advice.outcomes import Outcome
from service.rules.advice.searches import place_by_place
from service.rules.advice.trial import Trial
from service.rules.finding import Finding

ALONG: Final = 1e-3
"""How far an edge may turn, in radians, from the line of a flight's nosings."""


@place_by_place
def way_cleared(state: Outcome, name: str, _: Finding) -> Iterator[Attempt]:
    """Cure of what stands in the way down a flight, or of its rails and posts.

    The railings there are opened; then the flight is moved.
    """
    base = state.attempt
    for flight in state.layout.flights:
        if flight.id in state.places.flights.get(name, ()):
            for edge in _in_way_of(state, flight):
                yield from _parted(state, flight, edge)
            yield from moved_further(base, flight_of(base, flight.id).opening)


def _in_way_of(state: Outcome, flight: FlightBuilt) -> list[tuple[str, int]]:
    """The edges of other levels whose railing stands in the way down a flight, or in its rails."""
    own = {flight.id, *flight.posts, *flight.bays}
    met = [each for way in state.layout.ways if way.place in own for each in way.met]
    runs = {run.id: (run.level, run.edge) for run in state.layout.runs if run.flight is None}
    found = [runs[each] for each in met if each in runs]
    others = [each for each in met if each not in runs]
    found += [edge for each in others for edge in sorted(state.places.edges.get(each, ()))]
    return [edge for edge in dict.fromkeys(found) if edge[0] != flight.level]


def _parted(state: Outcome, flight: FlightBuilt, edge: tuple[str, int]) -> Iterator[Attempt]:
    """A change that opens a passage in the railing along an edge where a flight comes through.

    None where the flight does not run square to the edge, or where the passage would begin before
    it.
    """
    base = state.attempt
    head = next(each for each in state.layout.openings if each.place == flight.opening)
    level = next(each for each in base.deck.levels if each.id == edge[0])
    reach = _stretch(base, level, edge[1], head)
    if reach is None:
        return
    start = marked_down(base, reach[0] - flight.outside_width)
    width = marked_up(base, reach[1] + flight.outside_width - start)
    if start < 0:
        return
    ids, count = {each.id for each in level.openings}, len(level.openings)
    name = next(f"way{i or ''}" for i in range(count + 1) if f"way{i or ''}" not in ids)
    pointer = f"{level.pointer}/openings"
    passage = Opening(name, edge[1], start, width, "passage", f"{pointer}/{count}")
    written = {"id": name, "edge": edge[1], "from": start, "width": width, "use": "passage"}
    step = Step(f"{pointer}/-", written) if count else Step(pointer, [written])
    levels = tuple(
        replace(each, openings=(*each.openings, passage)) if each is level else each
        for each in base.deck.levels
    )
    words = f"a passage in the railing along edge {edge[1]} of {edge[0]}, {tape(base, width)} wide "
    words += f"from {tape(base, start)} along it, where flight {flight.id} comes through"
    yield base.also(words, (step,), deck=replace(base.deck, levels=levels))


def _stretch(
    base: Attempt, level: Level, number: int, head: OpeningBuilt
) -> tuple[Length, Length] | None:
    """From where to where along an edge the flight from the opening `head` comes through.

    None where the flight does not run square to the edge. number: the edge's.
    """
    corners = read_outline(level, base.deck.unit).survey.points
    first, last = corners[number], corners[(number + 1) % len(corners)]
    along = toward(first, last)
    (ax, ay), (bx, by) = head.ends
    wide = math.dist(*head.ends)
    if wide <= TOUCH or abs((bx - ax) * along[1] - (by - ay) * along[0]) / wide > ALONG:
        return None
    offs = [(x - first[0]) * along[0] + (y - first[1]) * along[1] for x, y in head.ends]
    return min(offs), max(offs)


@place_by_place
def opened(state: Outcome, name: str, _: Finding) -> Iterator[Attempt]:
    """Cure by an open edge where another level lies beyond all of it, as high or higher."""
    edges = [(seen.level, seen.edge) for seen in state.layout.edges if seen.place == name]
    if len(edges) == 1:
        words = f"no railing along {edges_text(edges)}"
        yield change_edges(state.attempt, words, edges, "condition", "open")


def railing_left_out(trial: Trial, rule: str) -> Outcome | None:
    """Cure by an open edge where its railing runs into another or into another level's deck.

    Only where it is known that no guard is required there.
    """
    for edge in sorted(trial.failing_edges(rule)):
        words = f"no railing along {edges_text([edge])}"
        attempt = change_edges(trial.base, words, [edge], "condition", "open")
        outcome = trial.passes(rule, attempt)
        if outcome is not None:
            if edge_place(*edge) not in outcome.unguarded():
                return outcome
            trial.decline(rule, attempt, "a guard is required there, or may be")
    return None
