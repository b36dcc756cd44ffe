"""Core: how large a sphere passes between two things in plan, past the obstructions between them.

A `Between` is made once for the obstructions of a level. Nothing here knows of posts or rails.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import NamedTuple

import shapely

from service.core.measure import TOUCH, Length
from service.core.records.deck import Obstruction


class Clearance(NamedTuple):
    """What passes between two things.

    width: diameter of the largest sphere that passes.
    by: the row of obstructions that lets no larger one pass, in order from the first thing to the
    second; empty where obstructions make no difference.
    """

    width: Length
    by: tuple[Obstruction, ...] = ()


class Parted(NamedTuple):
    """What passes between two things where the heights of some obstructions are not given.

    width: diameter of the largest sphere that passes if all of these obstructions are high enough.
    whole: the same if none of them is.
    parted_by: names of the ones that `width` depends on.
    """

    width: Length
    whole: Length
    parted_by: tuple[str, ...] = ()


class Between:
    """The obstructions that may stand between two things."""

    def __init__(self, obstructions: Sequence[Obstruction]) -> None:
        self._obstructions = obstructions
        self._shapes = [one.shape for one in obstructions]

    @cached_property
    def _apart(self) -> list[list[Length]]:
        """The distances between all obstructions, by their indices."""
        return [shapely.distance(one, self._shapes).tolist() for one in self._shapes]

    def not_below(
        self, height: Length, columns: Sequence[shapely.Geometry]
    ) -> list[shapely.Geometry]:
        """What is left of some of them, in plan, without those known not to reach a height."""
        known = [one for one in self._obstructions if one.height is not None]
        low = [one.shape for one in known if not one.reaches(height)]
        left = [each.difference(shapely.union_all(low)) for each in columns] if low else columns
        return [each for each in left if not each.is_empty]

    def clearance(self, start: shapely.Geometry, end: shapely.Geometry) -> Clearance:
        """The largest sphere that passes between two shapes.

        Obstructions may stand in a row from one shape to the other like a fence, and a sphere
        passes a fence at its widest gap. The fence whose widest gap is least decides: Dijkstra's
        search, with the widest gap so far in place of the length.
        """
        straight: Length = start.distance(end)
        if not self._shapes:
            return Clearance(straight)
        reach: list[Length] = shapely.distance(start, self._shapes).tolist()
        left = list(range(len(reach)))
        onward: list[Length] = shapely.distance(end, self._shapes).tolist()
        least, widest, last = straight, 0.0, None
        before: dict[int, int] = {}
        first = [*reach]
        while left:
            nearest = min(left, key=reach.__getitem__)
            left.remove(nearest)
            widest = max(widest, reach[nearest])
            if widest >= least:
                break
            if max(widest, onward[nearest]) < least - TOUCH:
                least, last = max(widest, onward[nearest]), nearest
            for i in left:
                if self._apart[nearest][i] < reach[i]:
                    reach[i], before[i] = self._apart[nearest][i], nearest
        row: list[Obstruction] = []
        while last is not None:
            row.insert(0, self._obstructions[last])
            last = None if first[last] <= least else before[last]
        return Clearance(least, tuple(row))

    def parted(
        self, high: Sequence[Obstruction], start: shapely.Geometry, end: shapely.Geometry
    ) -> Parted:
        """What passes between two shapes where the heights of some obstructions are not given.

        high: the obstructions that count as high enough. Any other whose height is given is too low
        to be in the way.
        """
        may_be = [one for one in self._obstructions if one in high or one.height is None]
        width, by = Between(may_be).clearance(start, end)
        names = tuple(one.name for one in by if one not in high)
        return Parted(width, Between(high).clearance(start, end).width, names)
