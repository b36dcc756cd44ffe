"""Core: the edges of an outline, joined into the straight sides that railings stand along.

In: an outline, and its edges with every default resolved. Out: its sides, counter-clockwise
(`join_sides`).
"""

from __future__ import annotations

import math
from typing import Final

from service.core.line.outline import Plan
from service.core.line.sides import EdgeSpec, Side, turn_between
from service.core.measure import DRAWN, TOUCH, Degrees, Length, Unit, toward

ONE_LINE: Final[Degrees] = 0.05
"""A corner between edges alike that turns by less than this is no corner (method 1)."""
BOWED: Final[dict[Unit, Length]] = {"in": 0.125, "mm": 3.175}
"""How far a row of such corners may lie off the straight line between its ends. No source: about
what posts are shimmed by."""


def join_sides(plan: Plan, specs: tuple[EdgeSpec, ...], unit: Unit) -> tuple[Side, ...]:
    """Sides of an outline, counter-clockwise.

    specs[j]: the edge from plan.points[j]. A corner of under 0.05 degrees between edges alike is no
    corner: both edges are in one side, which takes the number of its first edge counter-clockwise.
    A row of such corners that bows is parted (`_straight_sides`).
    """
    count = len(specs)
    singles = [_side(plan, specs, (j,)) for j in range(count)]
    # Places of the edges that begin a side.
    breaks = [
        j
        for j in range(count)
        if not specs[j - 1].alike(specs[j])
        or abs(turn_between(singles[j - 1], singles[j])) >= ONE_LINE - TOUCH
    ]
    if len(breaks) == count:
        return tuple(singles)
    sides = []
    for first, after in zip(breaks, [*breaks[1:], breaks[0]], strict=True):
        members = tuple((first + n) % count for n in range((after - first - 1) % count + 1))
        sides += _straight_sides(plan, specs, members, BOWED[unit])
    return tuple(sides)


def _straight_sides(
    plan: Plan, specs: tuple[EdgeSpec, ...], members: tuple[int, ...], most: Length
) -> list[Side]:
    """The side along edges in one line, parted where corners lie over `most` off that line.

    members: places of the edges in the outline. The row is parted at the corner furthest off the
    line, the first of several, unless the turn between the two parts would again be no corner.
    """
    side = _side(plan, specs, members)
    if len(members) <= 2:
        return [side]
    places = [side.locate(plan.points[j]) for j in members[1:]]
    furthest = max(abs(off) for _, off in places) - DRAWN
    cut = next(j for j, (_, off) in enumerate(places) if abs(off) >= furthest)
    along, off = places[cut][0], abs(places[cut][1])
    turn = math.degrees(math.atan2(off, along) + math.atan2(off, side.length - along))
    if off <= most or turn < ONE_LINE - TOUCH:
        return [side]
    parts = members[: cut + 1], members[cut + 1 :]
    return [part for both in parts for part in _straight_sides(plan, specs, both, most)]


def _side(plan: Plan, specs: tuple[EdgeSpec, ...], members: tuple[int, ...]) -> Side:
    """The side along edges that follow each other in one line, by their places in the outline."""
    points = plan.points
    start = points[members[0]]
    end = points[(members[-1] + 1) % len(points)]
    ux, uy = toward(start, end)
    offsets = [(points[j][0] - start[0]) * ux + (points[j][1] - start[1]) * uy for j in members]
    return Side(
        spec=specs[members[0]],
        start=start,
        end=end,
        edges=tuple([specs[j] for j in members]),
        offsets=tuple(offsets),
        lengths=tuple([plan.edge_length(j) for j in members]),
        level=plan.level,
        turned_round=plan.turned_round,
    )
