"""Core: what a post's fixings go into, and the blocking under it, as frozen records (method 11).

Lengths are in the document's unit and not rounded.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Final, Literal, TypeAlias, get_args

from service.core.frozen import record
from service.core.measure import Degrees, FromTo, Length

Lean: TypeAlias = Literal["same_way", "opposite_ways"]
LEANS: Final[tuple[Lean, ...]] = get_args(Lean)


@record()
class BlockingPiece:
    """A block: timber square to the joists, of one or more plies side by side.

    between: numbers of the joists that it stands between; None for the rim.
    at: place of its middle along the joists, from the origin in the way that they are said to run.
    edges: where its two edges begin and end across the joists; first the edge at the lesser place
        along.
    direction: degrees from +x, 0 to 180.
    ply: width of each ply.
    """

    between: tuple[int | None, int | None]
    at: Length
    edges: tuple[FromTo, FromTo]
    direction: Degrees
    ply: Length
    plies: int = 1

    @property
    def half(self) -> Length:
        """Half its width."""
        return self.plies * self.ply / 2

    @property
    def across(self) -> FromTo:
        """Where its middle line begins and ends across the joists."""
        (low, high), (other_low, other_high) = self.edges
        return (low + other_low) / 2, (high + other_high) / 2

    @property
    def lengths(self) -> tuple[Length, ...]:
        """Length of each ply's longer edge, first the ply at the least place along the joists."""
        first, last = (high - low for low, high in self.edges)
        edges = [first + (last - first) * i / self.plies for i in range(self.plies + 1)]
        return tuple(max(pair) for pair in pairwise(edges))

    @property
    def length(self) -> Length:
        """Length of its longest edge."""
        return max(high - low for low, high in self.edges)

    @property
    def end_cuts(self) -> tuple[Degrees, Degrees]:
        """Angle between each end and the length; 90 where the end is square."""
        width = 2 * self.half
        first, last = (abs(b - a) for a, b in zip(*self.edges, strict=True))
        return _end_cut(first, width), _end_cut(last, width)

    @property
    def lean(self) -> Lean:
        """Which way its ends lean, where neither is square."""
        first, last = (b - a for a, b in zip(*self.edges, strict=True))
        return "same_way" if first * last > 0.0 else "opposite_ways"


def _end_cut(off: Length, width: Length) -> Degrees:
    """Angle of an end that reaches `off` further on one edge of its block than on the other."""
    return 90.0 - math.degrees(math.atan2(off, width))


@record()
class PostFraming:
    """What a post's fixings go into, and its blocking.

    lands_on: what each fixing goes into (`rim`, `joist` or `none`).
    blocking: the blocks that its other fixings need, or that stand behind it.
    spare: a move along the post's run, positive toward the run's end, that would spare the
        blocking; None where no move within reach does.
    cramped: how many on the deck land in nothing and get no block, as they are in the rim or have
        no room for one.
    by_timber: how many have blocking that does not hold them, as they are too close to a face of
        the rim or of a joist.
    past_ends: how many others their blocking does not hold, as what stands around leaves it no more
        room.
    at_joints: how many their blocking would hold as one timber, but are too near a joint of its
        plies.
    at_ends: how many go into a joist, but lie closer to its end than a fixing may lie to an edge.
    off_deck: how many are off the deck.
    crosses: names of what stands on the deck over the blocking, such as a column.
    bare: whether the post hangs on the rim with neither a joist nor room for blocking behind it.
    off_rim: how far blocking behind such a post lies off the rim there.
    """

    lands_on: tuple[str, ...]
    blocking: tuple[BlockingPiece, ...]
    spare: Length | None = None
    cramped: int = 0
    by_timber: int = 0
    past_ends: int = 0
    at_joints: int = 0
    at_ends: int = 0
    off_deck: int = 0
    crosses: tuple[str, ...] = ()
    bare: bool = False
    off_rim: Length = 0.0
