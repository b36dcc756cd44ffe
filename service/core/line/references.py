"""Core: what a deck names and refers to, checked before any geometry.

Ids that are given twice; infills, panes, openings and levels that do not exist or cannot be what
they are asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from service.core.measure import TOUCH
from service.core.problems import Problem
from service.core.records.deck import Deck, Edge, Level, Opening, Stair
from service.core.records.kit import Kit
from service.core.records.seen import opening_place


def check_deck(deck: Deck, kit: Kit | None) -> Iterator[Problem]:
    """Faults that need no outline: ids given twice, and infills and panes that the kit lacks.

    kit: None where there is none to check against.
    """
    if kit is not None and deck.guard.infill not in kit.rails:
        yield no_infill("/guard/infill", deck.guard.infill, kit)
    yield from _twice([(level.id, f"{level.pointer}/id") for level in deck.levels], "level")
    yield from _twice([(stair.id, f"{stair.pointer}/id") for stair in deck.stairs], "flight")
    for level in deck.levels:
        yield from _twice([(o.id, f"{o.pointer}/id") for o in level.openings], "opening")
        yield from _twice([(e.number, f"{e.pointer}/edge") for e in level.edges], "edge")
        if kit is not None:
            for edge in level.edges:
                yield from _check_edge(edge, kit)
    if kit is not None:
        for stair in deck.stairs:
            yield from _check_pane(stair.glass, stair.pointer, kit)


def _twice(names: list[tuple[str | int, str]], what: str) -> Iterator[Problem]:
    seen: set[str | int] = set()
    for name, pointer in names:
        if name in seen:
            yield Problem(pointer, "given_twice", f"The {what} {name} is given twice.")
        seen.add(name)


def _check_edge(edge: Edge, kit: Kit) -> Iterator[Problem]:
    if edge.infill is not None and edge.infill not in kit.rails:
        yield no_infill(f"{edge.pointer}/infill", edge.infill, kit)
    yield from _check_pane(edge.glass, edge.pointer, kit)


def _check_pane(pane: int | None, pointer: str, kit: Kit) -> Iterator[Problem]:
    panes = len(kit.glass.panes) if kit.glass is not None else 0
    # 0 is the default, so it is no fault in a kit without glass.
    if pane and pane >= panes:
        message = f"Glass {pane} is not in the kit's list; it has {panes}, counted from 0."
        yield Problem(f"{pointer}/glass", "glass_not_in_kit", message)


def no_infill(pointer: str, infill: str, kit: Kit) -> Problem:
    """The problem that a kit has no rails for an infill."""
    has = " and ".join(sorted(kit.rails))
    return Problem(pointer, "infill_not_in_kit", f"The kit {kit.id} has no {infill}; it has {has}.")


def check_measures(deck: Deck) -> Iterator[Problem]:
    """A problem for each measure that repeats a bay, whether or not the bay exists."""
    seen: set[str] = set()
    for measure in deck.site_measures:
        if measure.bay in seen:
            message = f"Bay {measure.bay[:40]} is measured twice."
            yield Problem(f"{measure.pointer}/bay", "given_twice", message)
        seen.add(measure.bay)


def check_stairs(deck: Deck) -> dict[str, list[Problem]]:
    """What is wrong with where each flight leads from and to, by the flight's pointer.

    The opening may not exist, be no place for a straight flight, or have another flight; the level
    that the flight goes down to may not exist, or be the one that it starts from. Flights without a
    fault are left out.
    """
    places = {
        opening_place(level.id, opening.id): (opening, level)
        for level in deck.levels
        for opening in level.openings
    }
    astray: dict[str, list[Problem]] = {}
    taken: dict[str, str] = {}
    for stair in deck.stairs:
        no_opening = _no_opening(stair, places, taken)
        if no_opening is None:
            taken[stair.opening] = stair.id
        _, level = places.get(stair.opening, (None, None))
        faults = [no_opening, _no_way_down(stair, level, deck)]
        if found := [fault for fault in faults if fault is not None]:
            astray[stair.pointer] = found
    return astray


def stray_stairs(deck: Deck) -> Iterator[Problem]:
    """Every problem of where flights lead from and to."""
    for faults in check_stairs(deck).values():
        yield from faults


def _no_way_down(stair: Stair, level: Level | None, deck: Deck) -> Problem | None:
    """Why a flight cannot go down to the level that it names; None where it can, or names none.

    level: the one that the flight starts from; None where its opening does not exist.
    """
    if stair.to_level is None:
        return None
    pointer = f"{stair.pointer}/to_level"
    lower = next((one for one in deck.levels if one.id == stair.to_level), None)
    if lower is None:
        levels = ", ".join(one.id for one in deck.levels)
        message = f"There is no level {stair.to_level}; the levels are {levels}."
        return Problem(pointer, "no_such_level", message)
    if lower is level:
        message = (
            f"Flight {stair.id} goes down from level {level.id}; name the one it goes down to."
        )
        return Problem(pointer, "level_not_below", message)
    return None


def _no_opening(
    stair: Stair, places: Mapping[str, tuple[Opening, Level]], taken: Mapping[str, str]
) -> Problem | None:
    """Why a flight cannot go down from its opening; None where it can.

    places: each opening with its level, by its place. taken: id of the flight that has each opening
    already.
    """
    pointer = f"{stair.pointer}/opening"
    if stair.opening not in places:
        for_stairs = sorted(k for k, (opening, _) in places.items() if opening.use != "passage")
        has = ", ".join(for_stairs) or "none"
        message = f"There is no opening {stair.opening[:60]}; those for stairs: {has}."
        return Problem(pointer, "no_such_opening", message)
    opening, level = places[stair.opening]
    if opening.use == "passage":
        message = f"Opening {stair.opening} is a passage; give it the use stair, or gate."
        return Problem(pointer, "opening_not_for_stair", message)
    if any(edge.number == opening.edge and abs(edge.arc_rise) > TOUCH for edge in level.edges):
        message = (
            f"Opening {stair.opening} is on a bowed edge; a straight flight needs a straight one."
        )
        return Problem(pointer, "flight_on_an_arc", message)
    if stair.opening in taken:
        message = f"Opening {stair.opening} has flight {taken[stair.opening]} already."
        return Problem(pointer, "given_twice", message)
    return None
