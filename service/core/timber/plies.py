"""Core: how many plies a block has, and where the joints between them come (method 11).

A fixing in the joint between two plies holds in neither, as a ply ends there like any timber. So a
block is set off the middle of its fixings where that puts each of them within one ply. Places are
along the joists. `lay_plies` is the main entry.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from service.core.measure import TOUCH, Length, Unit, convert

SOLID: Final = 3.0
"""Inches: a thinner piece twists by itself, so a block of such pieces has at least two (two or more
2x plies or a 4x: engineering facts, 5.5, seen S25)."""
MOST_PLIES: Final = 24
"""The most pieces that anybody fastens side by side. Where a block would need more, the joists are
thinner than any timber, or the kit's edge distance is greater than any fixing's."""


class Laid(NamedTuple):
    """Plies side by side.

    plies: how many. at: place of the middle of them all. joint: place of one of their joints or
    edges; None where no joint could keep far enough from all fixings.
    """

    plies: int
    at: Length
    joint: Length | None


def least_plies(ply: Length, unit: Unit) -> int:
    """The fewest plies of a block that does not twist. ply: width of each."""
    return 1 if ply >= convert(SOLID, "in", unit) - TOUCH else 2


def lay_plies(
    places: Sequence[Length], post: Length, keeps: Length, ply: Length, fewest: int
) -> Laid:
    """The fewest plies over these places that hold each place within one ply.

    Of the layouts with the fewest plies, the one whose joints and edges keep furthest from the
    places. A ply more than the places need lies on the side away from `post`, the middle of their
    post. Where no joints could keep `keeps` from all places, the plies lie as `midway` has them.

    ply: width of each. fewest: the least number of plies.

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
    """The fewest plies, midway over these places, whose outer edges keep `keeps` from them.

    It does not matter where their joints come.
    """
    low, high = min(places), max(places)
    plies = max(fewest, math.ceil((high - low + 2 * keeps - TOUCH) / ply))
    return Laid(plies, (low + high) / 2, None)


def _joints(places: Sequence[Length], ply: Length) -> Iterator[tuple[Length, Length]]:
    """Places that a joint may have, each with its distance to the nearest of `places`.

    Joints repeat with every ply, so the places are taken modulo its width: a joint may lie midway
    between each two neighbours.
    """
    low = min(places)
    offs = sorted((place - low) % ply for place in places)
    for one, two in pairwise([*offs, offs[0] + ply]):
        yield low + (one + two) / 2, (two - one) / 2


def is_off_joints(from_edge: Length, ply: Length, keeps: Length) -> bool:
    """Whether a place on a block keeps `keeps` from the joints and edges of its plies.

    from_edge: from an edge of the block to the place.
    """
    off = from_edge % ply
    return min(off, ply - off) >= keeps - TOUCH
