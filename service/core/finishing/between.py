"""Core: what passes from one thing to another in plan, by the obstructions that stand between
them.

In: the obstructions of a level, once. Nothing here knows of posts or rails.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import NamedTuple

import shapely

from service.core.measure import Length
from service.core.records.deck import Obstruction


class Clearance(NamedTuple):
    """What passes between two things. width: the diameter of the widest sphere that does; by: the
    obstructions between them that leave no more, in their order, none where they leave it all."""

    width: Length
    by: tuple[Obstruction, ...] = ()


class Parted(NamedTuple):
    """The same where not all heights are given. whole: what passes where none of those is high
    enough; parted_by: the names of those that leave no more than `width`."""

    width: Length
    whole: Length
    parted_by: tuple[str, ...] = ()


class Between:
    """What may stand between two things."""

    def __init__(self, obstructions: Sequence[Obstruction]) -> None:
        self._obstructions = obstructions
        self._shapes = [one.shape for one in obstructions]

    @cached_property
    def _apart(self) -> list[list[Length]]:
        """How far each of the obstructions is from each."""
        return [shapely.distance(one, self._shapes).tolist() for one in self._shapes]

    def clearance(self, start: shapely.Geometry, end: shapely.Geometry) -> Clearance:
        """The widest sphere that passes between two shapes.

        Obstructions may stand in a row from one shape to the other like a fence, and a sphere
        passes a fence at its widest gap. The fence whose widest gap is least decides: Dijkstra's
        search, with the widest gap so far in place of the length.
        """
        straight: Length = start.distance(end)
        if not self._shapes:
            return Clearance(straight)
        reach: list[Length] = shapely.distance(start, self._shapes).tolist()
        left = [i for i, gap in enumerate(reach) if gap < straight]
        onward: list[Length] = shapely.distance(end, self._shapes).tolist()
        least, widest, last = straight, 0.0, None
        before: dict[int, int] = {}
        while left:
            nearest = min(left, key=reach.__getitem__)
            left.remove(nearest)
            widest = max(widest, reach[nearest])
            if widest >= least:
                break
            if max(widest, onward[nearest]) < least:
                least, last = max(widest, onward[nearest]), nearest
            for i in left:
                if self._apart[nearest][i] < reach[i]:
                    reach[i], before[i] = self._apart[nearest][i], nearest
        row: list[Obstruction] = []
        while last is not None:
            row.insert(0, self._obstructions[last])
            last = before.get(last)
        return Clearance(least, tuple(row))

    def parted(
        self, high: Sequence[Obstruction], start: shapely.Geometry, end: shapely.Geometry
    ) -> Parted:
        """What passes between two shapes by those that are known to be high enough and those whose
        height is not given; none that is lower stands in the way."""
        may_be = [one for one in self._obstructions if one in high or one.height is None]
        width, by = Between(may_be).clearance(start, end)
        names = tuple(one.name for one in by if one not in high)
        return Parted(width, Between(high).clearance(start, end).width, names)
