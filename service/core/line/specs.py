"""Core: the first look at a level (`read_level`).

It resolves every default of what the caller says of edges and places, and finds all that can be
refused before any railing is laid out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import cache
from typing import Final

from service.core.line.arcs import arc_radius, arc_sweep
from service.core.line.outline import Plan, count_edges, form_pointer, read_outline
from service.core.line.sides import EdgeSpec
from service.core.measure import (
    DRAWN,
    TOUCH,
    Degrees,
    Length,
    Unit,
    convert,
    number_text,
    plain_length,
    toward,
)
from service.core.problems import Problem, Unbuildable
from service.core.records.code import Circumstances, Code, Figure
from service.core.records.deck import Deck, Drops, Edge, Infill, Level, NoPost, Opening, Ties
from service.core.records.kit import Kit

_CONDITION: Final = {"wall": "a wall", "open": "open"}
"""What an edge without railing is, in the words of a refusal."""
FOLDED: Final[Degrees] = 170.0
"""Turn beyond which two edges count as lying on each other, if they are no more than FOLD apart."""
FOLD: Final = 1 / 8
"""Distance between two edges, in inches, that a tape cannot tell from none, as the corner at either
may be out by the tape's smallest mark, 1/16."""


def read_level(
    deck: Deck, level: Level, kit: Kit | None, code: Code | None
) -> tuple[Plan, tuple[EdgeSpec, ...], list[Problem]]:
    """A level's outline, its edges, and the problems of places on it.

    kit, code: as for `resolve_edges`. Refuses an invalid outline, with the problems that places
    would have on any outline, and guarded edges that fold back on each other, with the problems of
    places.
    """
    problems = list(_check_numbers(level))
    try:
        plan = read_outline(level, deck.unit)
    except Unbuildable as refusal:
        raise Unbuildable([*refusal.problems, *problems, *_check_obstructions(level)]) from None
    specs = resolve_edges(deck, level, plan, kit, code)
    problems += _check_places(level, plan, specs, deck.unit)
    problems += _check_obstructions(level)
    if plan.clearance <= convert(FOLD, "in", deck.unit) + TOUCH:
        folds = list(_check_folds(level, plan, specs, deck.unit))
        if folds:
            raise Unbuildable([*folds, *problems])
    return plan, specs, problems


def resolve_edges(
    deck: Deck, level: Level, plan: Plan, kit: Kit | None, code: Code | None
) -> tuple[EdgeSpec, ...]:
    """Every edge of the outline, in plan order, with the defaults of contract section 3.

    An edge's height is its own, else the guard's, else the code's, else the kit's least. kit, code:
    None where there is none to go by; a height that would be the kit's is then 0.
    """
    said = {edge.number: edge for edge in level.edges}
    coded = None if code is None else code.figure("guard_height")
    default = cache(
        lambda drops, infill: usual_height(coded, drops, Circumstances(infill=infill), kit)
    )
    return tuple(
        _resolve(deck, level, number, said.get(number), default) for number in plan.numbers
    )


def _resolve(
    deck: Deck,
    level: Level,
    number: int,
    edge: Edge | None,
    default: Callable[[Drops, Infill], Length],
) -> EdgeSpec:
    """An edge with every default resolved.

    edge: what the caller says of it; None where nothing is said. default: the height where none is
    given, by the drops and the infill.
    """
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
        height=edge.height or deck.guard.height or default(drops, infill),
        drops=drops,
        wall_end=edge.wall_end or "bracket",
        open_end=edge.open_end or "setback",
        arc_rise=edge.arc_rise if abs(edge.arc_rise) > TOUCH else 0.0,
        height_pointer=_height_pointer(deck, edge),
    )


def _height_pointer(deck: Deck, edge: Edge) -> str:
    if edge.height:
        return f"{edge.pointer}/height"
    return "/guard/height" if deck.guard.height else "/guard"


def _over(level: Drops, edge: Drops) -> Drops:
    """What is said of an edge's drops, completed by what is said of its level's."""
    if edge == Drops():
        return level
    both = zip(edge, level, strict=True)
    return Drops._make(own if own is not None else general for own, general in both)


def usual_height(
    coded: Figure | None, drops: Drops, here: Circumstances, kit: Kit | None
) -> Length:
    """Height of a guard that the document gives none: the code's figure, else the kit's least.

    coded: the code's figure for guard heights, where it has one, which is read for these drops and
    `here`. 0 with neither figure nor kit.
    """
    binding = coded.at(drops, here) if coded is not None else None
    if binding is not None:
        return binding.number()
    return 0.0 if kit is None else min(kit.post.heights)


def _check_obstructions(level: Level) -> Iterator[Problem]:
    """A problem for each obstruction whose outline crosses itself or encloses nothing."""
    for obstruction in level.obstructions:
        shape = obstruction.shape
        if not shape.is_valid or shape.area <= TOUCH:
            yield Problem(
                f"{obstruction.pointer}/points",
                "obstruction_crosses_itself",
                f"The outline of {obstruction.name} crosses or touches itself, or encloses"
                " nothing; give its corners in order.",
            )


def _check_folds(
    level: Level, plan: Plan, specs: tuple[EdgeSpec, ...], unit: Unit
) -> Iterator[Problem]:
    """A problem for each corner where two straight edges, at least one of them guarded, fold back.

    The edges lie on each other, and the lines set in from both would meet yards away. In a spike,
    what lies between the edges is deck, but too narrow to be any use as one; in a slit, a cut into
    the deck, it is not deck.
    """
    points, most = plan.points, convert(FOLD, "in", unit)
    for j, corner in enumerate(points):
        edges = specs[j - 1], specs[j]
        ends = points[j - 1], points[(j + 1) % len(points)]
        reach = min(math.dist(corner, end) for end in ends)
        (ax, ay), (bx, by) = (toward(corner, end) for end in ends)
        apart = reach * abs(ax * by - ay * bx)
        folded = ax * bx + ay * by > -math.cos(math.radians(FOLDED))
        railed = any(edge.condition == "guard" for edge in edges)
        if folded and railed and apart <= most + TOUCH and not any(e.arc_rise for e in edges):
            one, two = edges[::-1] if plan.turned_round else edges
            said = (
                f"Edges {one.number} and {two.number} of level {level.id} fold back on each other"
                f" at their corner, ({number_text(corner[0], 4)}, {number_text(corner[1], 4)}):"
                f" where the shorter ends, {plain_length(reach, unit)} off, they are"
                f" {plain_length(apart, unit, most)} apart; leave that corner out, or give corners"
                f" by which they are more than {plain_length(most, unit, apart)} apart."
            )
            yield Problem(form_pointer(level), "outline_crosses_itself", said)


def _check_numbers(level: Level) -> Iterator[Problem]:
    """A problem for each edge number that the outline does not have."""
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
    """Problems of openings and `no_post` stretches on edges that exist.

    A place may reach past the end of its edge, or its edge may have no railing.
    """
    by_number = {number: j for j, number in enumerate(plan.numbers)}
    for place in _places(level):
        j = by_number.get(place.edge)
        if j is None:
            continue
        length = length_along(plan, specs, j)
        end = place.start + place.width
        if end > length + DRAWN:
            yield Problem(
                f"{place.pointer}/width",
                "off_its_edge",
                f"From {plain_length(place.start, unit)}, {plain_length(place.width, unit)} wide,"
                f" ends at {plain_length(end, unit)}; edge {place.edge} is"
                f" {plain_length(length, unit)} long.",
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
