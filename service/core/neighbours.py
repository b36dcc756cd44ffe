"""Core: levels that share a stretch of edge (contract, section 3: drops; change of level).

Where an edge is left at its default and another level's surface lies just beyond it, what is
below there is that surface: the drop is the difference of the two levels' drops.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

import shapely

from service.core.deck import Drops, Level
from service.core.measure import TOUCH, Length, Point
from service.core.outline import EdgeSpec
from service.core.problems import Problem

BEYOND: Final = 1 / 8
"""How far beyond an edge, in inches or their like of the document, the next surface is looked
for: less than any gap that one steps across, more than a survey's rounding."""


@dataclass(frozen=True, slots=True)
class Surface:
    """A level's walking surface in plan. drop: the level's own."""

    level: Level
    outline: shapely.Polygon

    @property
    def drop(self) -> Length | None:
        """From this surface to what lies below its level."""
        return self.level.drops.drop


@dataclass(frozen=True, slots=True)
class Reach:
    """A stretch of an edge, from its first corner counter-clockwise, and the drops there."""

    start: Length
    end: Length
    drops: Drops


def check_overlaps(surfaces: Sequence[Surface]) -> Iterator[Problem]:
    """Levels that lie over each other at the same height."""
    for one, two in combinations(surfaces, 2):
        if one.drop is None or two.drop is None or abs(one.drop - two.drop) > TOUCH:
            continue
        shared = one.outline.intersection(two.outline).area
        if shared > TOUCH:
            yield Problem(
                two.level.outline.pointer,
                "levels_overlap",
                f"Levels {one.level.id} and {two.level.id} are at one height and overlap in"
                f" plan by an area of {shared:.6g}; move one, or give them different drops.",
            )


def drops_along(
    spec: EdgeSpec,
    start: Point,
    end: Point,
    own: Surface,
    others: Sequence[Surface],
    beyond: Length,
    given: bool,
) -> tuple[Reach, ...]:
    """The drops along an edge, stretch by stretch.

    others: every surface, its own among them. beyond: how far outside the edge to look. given:
    whether the caller gave this edge's drop.
    """
    length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    whole = (Reach(0.0, length, spec.drops),)
    if given or own.drop is None or len(others) < 2:
        return whole
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    shifted = [(x + uy * beyond, y - ux * beyond) for x, y in (start, end)]
    line = shapely.LineString(shifted)
    reaches = list(whole)
    for other in others:
        if other is own or other.drop is None or not line.intersects(other.outline):
            continue
        below = max(0.0, own.drop - other.drop)
        for low, high in _spans(line.intersection(other.outline), shifted[0], (ux, uy)):
            reaches = _cover(reaches, low, high, below)
    return tuple(reaches)


def _spans(shared: shapely.Geometry, origin: Point, along: Point) -> list[tuple[Length, Length]]:
    spans = []
    for part in getattr(shared, "geoms", [shared]):
        places = [
            (x - origin[0]) * along[0] + (y - origin[1]) * along[1]
            for x, y in shapely.get_coordinates(part).tolist()
        ]
        if places and max(places) - min(places) > TOUCH:
            spans.append((min(places), max(places)))
    return spans


def _cover(reaches: list[Reach], low: Length, high: Length, below: Length) -> list[Reach]:
    """The stretches with [low, high] lying over a surface `below`, where that is less far down."""
    covered = []
    for reach in reaches:
        start, end = max(reach.start, low), min(reach.end, high)
        known = reach.drops.drop
        if end - start <= TOUCH or (known is not None and known <= below):
            covered.append(reach)
            continue
        over = reach.drops._replace(drop=below, to_next_level=below)
        pieces = [
            Reach(reach.start, start, reach.drops),
            Reach(start, end, over),
            Reach(end, reach.end, reach.drops),
        ]
        covered += [piece for piece in pieces if piece.end - piece.start > TOUCH]
    return covered


def worst(reaches: Sequence[Reach], low: Length, high: Length) -> Drops:
    """The drops of the deepest stretch that [low, high] along an edge touches."""
    met = [r for r in reaches if r.end > low + TOUCH and r.start < high - TOUCH] or list(reaches)
    return max(met, key=lambda r: -1.0 if r.drops.drop is None else r.drops.drop).drops
