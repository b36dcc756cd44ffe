"""Core: what the caller says of edges and places, with every default resolved and checked.

The first look at a level: everything that can be refused before any geometry is laid out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Final

import shapely

from service.core.line.arcs import arc_radius, arc_sweep
from service.core.line.outline import EdgeSpec, Plan, count_edges, read_outline
from service.core.measure import TOUCH, Length, Unit, plain_length
from service.core.problems import Problem, Unbuildable
from service.core.records.code import Code, Here
from service.core.records.deck import Deck, Drops, Edge, Infill, Level, NoPost, Opening, Stair, Ties
from service.core.records.kit import Kit


def read_level(
    deck: Deck, level: Level, kit: Kit | None, code: Code | None
) -> tuple[Plan, tuple[EdgeSpec, ...], list[Problem]]:
    """A level's outline, its edges, and what is wrong with the places on it. Refuses an outline
    that is none, with what its places show by themselves; kit: as of resolve_edges."""
    problems = list(_check_numbers(level))
    try:
        plan = read_outline(level, deck.unit)
    except Unbuildable as refusal:
        raise Unbuildable([*refusal.problems, *problems, *_check_obstructions(level)]) from None
    specs = resolve_edges(deck, level, plan, kit, code)
    problems += _check_places(level, plan, specs, deck.unit)
    problems += _check_obstructions(level)
    return plan, specs, problems


_CONDITION: Final = {"wall": "a wall", "open": "open"}


def check_alone(deck: Deck) -> Iterator[Problem]:
    """All that the levels of a deck and its flights' openings show without a kit and a code."""
    for level in deck.levels:
        try:
            yield from read_level(deck, level, None, None)[2]
        except Unbuildable as refusal:
            yield from refusal.problems
    yield from check_stairs(deck).values()


def check_stairs(deck: Deck) -> dict[str, Problem]:
    """What is wrong with where a flight leads from and to, by the flight's pointer: openings and
    levels that aren't there, openings not for a straight flight, or for another one."""
    places = {
        f"{level.id}/{opening.id}": (opening, level)
        for level in deck.levels
        for opening in level.openings
    }
    astray: dict[str, Problem] = {}
    taken: dict[str, str] = {}
    for stair in deck.stairs:
        fault = _no_opening(stair, places, taken)
        if fault is not None:
            astray[stair.pointer] = fault
            continue
        taken[stair.opening] = stair.id
        fault = _no_way_down(stair, places[stair.opening][1], deck)
        if fault is not None:
            astray[stair.pointer] = fault
    return astray


def _no_way_down(stair: Stair, level: Level, deck: Deck) -> Problem | None:
    """Why a flight cannot go down to the level that it names."""
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
    """Why a flight cannot go down from its opening."""
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


def resolve_edges(
    deck: Deck, level: Level, plan: Plan, kit: Kit | None, code: Code | None
) -> tuple[EdgeSpec, ...]:
    """Every edge of the outline, in plan order, with the defaults of contract section 3.

    Height: the edge's, else the guard's, else the code's, else the kit's least; 0 without a kit.
    """
    said = {edge.number: edge for edge in level.edges}
    least = cache(lambda drops, infill: _default_height(drops, infill, kit, code))
    return tuple(_resolve(deck, level, number, said.get(number), least) for number in plan.numbers)


def _resolve(
    deck: Deck,
    level: Level,
    number: int,
    edge: Edge | None,
    least: Callable[[Drops, Infill], Length],
) -> EdgeSpec:
    """least: the height where none is given, by the drops and the infill."""
    own_wall = isinstance(level.outline, Ties) and number == len(level.outline.corners) + 1
    if edge is None:
        edge = Edge(number, level.outline.pointer)
    drops = _over(level.drops, edge.drops)
    infill = edge.infill or deck.guard.infill
    return EdgeSpec(
        number=number,
        pointer=edge.pointer,
        condition=edge.condition or ("wall" if own_wall else "guard"),
        infill=infill,
        pane=edge.glass or 0,
        height=edge.height or deck.guard.height or least(drops, infill),
        drops=drops,
        wall_end=edge.wall_end or "bracket",
        arc_rise=edge.arc_rise if abs(edge.arc_rise) > TOUCH else 0.0,
        height_pointer=_height_pointer(deck, edge),
    )


def _height_pointer(deck: Deck, edge: Edge) -> str:
    if edge.height:
        return f"{edge.pointer}/height"
    return f"{deck.guard.pointer}/height" if deck.guard.height else deck.guard.pointer


def _over(level: Drops, edge: Drops) -> Drops:
    if edge == Drops():
        return level

    def first(*values: Length | None) -> Length | None:
        return next((value for value in values if value is not None), None)

    return Drops(
        first(edge.drop, level.drop),
        first(edge.to_ground, level.to_ground),
        first(edge.to_next_level, level.to_next_level),
        edge.beneath or level.beneath,
    )


def _default_height(drops: Drops, infill: Infill, kit: Kit | None, code: Code | None) -> Length:
    figure = code.figure("guard_height") if code is not None else None
    held = figure.at(drops, Here(infill=infill)) if figure is not None else None
    if held is not None:
        return held.number()
    return 0.0 if kit is None else min(kit.post.heights)


def check_deck(deck: Deck, kit: Kit | None) -> Iterator[Problem]:
    """Faults that need no outline: ids given twice, an infill that the kit, if any, does not
    have."""
    if kit is not None and deck.guard.infill not in kit.rails:
        yield no_infill(f"{deck.guard.pointer}/infill", deck.guard.infill, kit)
    yield from _twice([(level.id, f"{level.pointer}/id") for level in deck.levels], "level")
    yield from _twice([(stair.id, f"{stair.pointer}/id") for stair in deck.stairs], "flight")
    for level in deck.levels:
        yield from _twice([(o.id, f"{o.pointer}/id") for o in level.openings], "opening")
        yield from _twice([(e.number, f"{e.pointer}/edge") for e in level.edges], "edge")
        if kit is not None:
            for edge in level.edges:
                yield from _check_edge(edge, kit)


def _check_obstructions(level: Level) -> Iterator[Problem]:
    """Obstructions that are no shape in plan."""
    for obstruction in level.obstructions:
        shape = shapely.Polygon(obstruction.points)
        if not shape.is_valid or shape.area <= TOUCH:
            yield Problem(
                f"{obstruction.pointer}/points",
                "obstruction_crosses_itself",
                f"The outline of {obstruction.name} crosses or touches itself, or encloses"
                " nothing; give its corners in order.",
            )


def _twice(names: list[tuple[str | int, str]], what: str) -> Iterator[Problem]:
    seen: set[str | int] = set()
    for name, pointer in names:
        if name in seen:
            yield Problem(pointer, "given_twice", f"The {what} {name} is given twice.")
        seen.add(name)


def _check_edge(edge: Edge, kit: Kit) -> Iterator[Problem]:
    if edge.infill is not None and edge.infill not in kit.rails:
        yield no_infill(f"{edge.pointer}/infill", edge.infill, kit)
    panes = len(kit.glass.panes) if kit.glass is not None else 0
    # 0 is the default, and says nothing to a kit without glass.
    if edge.glass and edge.glass >= panes:
        message = f"Glass {edge.glass} is not in the kit's list; it has {panes}, counted from 0."
        yield Problem(f"{edge.pointer}/glass", "glass_not_in_kit", message)


def no_infill(pointer: str, infill: str, kit: Kit) -> Problem:
    """The kit has no rails for that infill."""
    has = " and ".join(sorted(kit.rails))
    return Problem(pointer, "infill_not_in_kit", f"The kit {kit.id} has no {infill}; it has {has}.")


def _check_numbers(level: Level) -> Iterator[Problem]:
    """Edges that aren't there."""
    count = count_edges(level.outline)
    named = [(edge.number, edge.pointer) for edge in level.edges]
    named += [(place.edge, place.pointer) for place in _places(level)]
    for number, pointer in named:
        if number >= count:
            message = f"There is no edge {number}; this outline has edges 0 to {count - 1}."
            yield Problem(f"{pointer}/edge", "no_such_edge", message)


def _places(level: Level) -> tuple[Opening | NoPost, ...]:
    return (*level.openings, *level.no_post)


def _check_places(
    level: Level, plan: Plan, specs: tuple[EdgeSpec, ...], unit: Unit
) -> Iterator[Problem]:
    """Faults of places on edges that are there: one without railing, off its end."""
    by_number = {number: j for j, number in enumerate(plan.numbers)}
    for place in _places(level):
        j = by_number.get(place.edge)
        if j is None:
            continue
        length = length_along(plan, specs, j)
        end = place.start + place.width
        if end > length + TOUCH:
            yield Problem(
                f"{place.pointer}/width",
                "off_its_edge",
                f"From {plain_length(place.start, unit, length - place.width)},"
                f" {plain_length(place.width, unit, length - place.start)} wide,"
                f" ends at {plain_length(end, unit, length)}; edge {place.edge} is"
                f" {plain_length(length, unit, end)} long.",
            )
        if specs[j].condition != "guard":
            yield Problem(
                f"{place.pointer}/edge",
                "edge_without_railing",
                f"Edge {place.edge} is {_CONDITION[specs[j].condition]}: it has no railing to open"
                " or to keep posts out of.",
            )


def length_along(plan: Plan, specs: tuple[EdgeSpec, ...], j: int) -> Length:
    """Length of the edge from plan.points[j], along its arc where it is bowed."""
    chord, rise = plan.edge_length(j), specs[j].arc_rise
    return arc_radius(chord, rise) * arc_sweep(chord, rise) if rise else chord
