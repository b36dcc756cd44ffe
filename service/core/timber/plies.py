"""Core: how many plies a block has, and where their joints come (method 11).

A fixing in the joint between two plies holds in neither: a ply ends there as a timber does. So a
block is set off the middle of its fixings where that brings each of them into one ply. Places are
along the joists.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from service.core.measure import TOUCH, Length, Unit, convert

SOLID: Final = 3.0
"""Inches: a piece thinner than this twists by itself, and a block has two of them at least (two or
more 2x plies or a 4x: engineering facts, 5.5, seen S25)."""
MOST_PLIES: Final = 24
"""Pieces side by side that nobody fastens together: joists that need more are no timber's width, or
the kit's edge distance is no fixing's."""


class Laid(NamedTuple):
    """Plies side by side. at: the middle of them all; joint: where one of their joints or edges is,
    None where none of these could be as far from all fixings as these have to keep."""

    plies: int
    at: Length
    joint: Length | None


def least_plies(ply: Length, unit: Unit) -> int:
    """How many pieces a block has that does not twist."""
    return 1 if ply >= convert(SOLID, "in", unit) - TOUCH else 2


def lay_plies(
    places: Sequence[Length], post: Length, keeps: Length, ply: Length, fewest: int
) -> Laid:
    """The fewest plies over these places that hold each in one ply; of as few those whose joints
    and edges keep the furthest off. A ply more than the places need lies on the side away from the
    middle of their post. Where no joints could keep `keeps` off, they lie as `midway` has it.

    ply: the width of each. fewest: how many it takes at least.

    >>> lay_plies([5.0], 3.5, 0.5, 1.5, 2)
    Laid(plies=2, at=5.75, joint=5.75)
    >>> lay_plies([2.0, 5.125], 3.5, 0.5, 1.5, 2)
    Laid(plies=3, at=3.5625, joint=2.8125)
    >>> lay_plies([2.0, 2.8], 2.4, 0.5, 1.5, 2)
    Laid(plies=2, at=2.4, joint=None)
    """
    low, high = min(places), max(places)
    middle = (low + high) / 2
    found = []
    for joint, off in _joints(places, ply):
        if off >= keeps - TOUCH:
            first, last = (math.floor((end - joint) / ply) for end in (low, high))
            spare = max(0, fewest - (last - first + 1))
            plies = last - first + 1 + spare
            start = first - spare if post > middle + TOUCH else first
            at = joint + (start + plies / 2) * ply
            rank = (plies, -round(off, 6), spare, round(abs(at - middle), 6))
            found.append((rank, Laid(plies, at, joint)))
    return min(found)[1] if found else midway(places, keeps, ply, fewest)


def midway(places: Sequence[Length], keeps: Length, ply: Length, fewest: int) -> Laid:
    """The fewest plies that keep their edges so far off these places, midway between them, wherever
    their joints come."""
    low, high = min(places), max(places)
    plies = max(fewest, math.ceil((high - low + 2 * keeps - TOUCH) / ply))
    return Laid(plies, (low + high) / 2, None)


def _joints(places: Sequence[Length], ply: Length) -> Iterator[tuple[Length, Length]]:
    """Places for a joint, one between each two of the fixings that follow one another when all are
    moved by whole plies to lie within one; and how far each is from those two."""
    low = min(places)
    offs = sorted((place - low) % ply for place in places)
    for one, two in pairwise([*offs, offs[0] + ply]):
        yield low + (one + two) / 2, (two - one) / 2


def is_off_joints(across: Length, ply: Length, keeps: Length) -> bool:
    """Whether a place so far from the edge of its block is as far from the joints and edges of its
    plies as it has to keep."""
    off = across % ply
    return min(off, ply - off) >= keeps - TOUCH
