"""Core: what a post's fixings go into, and the blocking under it, frozen (method 11).

Lengths are in the document's unit, unrounded.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from service.core.measure import Degrees, FromTo, Length


@dataclass(frozen=True, slots=True)
class BlockingPiece:
    """A piece of blocking. between: the joists it stands between, None for the rim.

    at: its middle along the joists; edges: from where to where its two edges lie across them, first
    the one at the lesser place along. direction: degrees from +x, 0 to 180. ply: how wide each of
    its `plies` is, which stand side by side.
    """

    between: tuple[int | None, int | None]
    at: Length
    edges: tuple[FromTo, FromTo]
    direction: Degrees
    ply: Length
    plies: int = 1

    @property
    def across(self) -> FromTo:
        """From where to where its middle lies across the joists."""
        (low, high), (other_low, other_high) = self.edges
        return (low + other_low) / 2, (high + other_high) / 2

    @property
    def lengths(self) -> tuple[Length, ...]:
        """Of each ply's longer edge, first the ply at the least place along the joists."""
        first, last = (high - low for low, high in self.edges)
        edges = [first + (last - first) * i / self.plies for i in range(self.plies + 1)]
        return tuple(max(pair) for pair in pairwise(edges))

    @property
    def length(self) -> Length:
        """Of its longest edge."""
        return max(high - low for low, high in self.edges)

    @property
    def end_cuts(self) -> tuple[Degrees, Degrees]:
        """Of each end, degrees to the length."""
        width = self.plies * self.ply
        first, last = (abs(b - a) for a, b in zip(*self.edges, strict=True))
        return _end_cut(first, width), _end_cut(last, width)


def _end_cut(off: Length, width: Length) -> Degrees:
    """The angle of an end that reaches `off` further on one edge of its block than on the other."""
    return 90.0 - math.degrees(math.atan2(off, width))


@dataclass(frozen=True, slots=True)
class PostFraming:
    """lands_on: what each fixing goes into, or `none`. spare: a move along its run, toward its
    end, that would spare the blocking, None where none within reach does. cramped: fixings that
    are on the deck, need blocking and have no room for it. off_deck: those off the deck. by_timber:
    those with blocking that does not hold them as they are so close to a face of the rim or of a
    joist; past_ends: other ones that their blocking does not hold, as the rim around leaves it no
    more room. at_joints: those that their blocking holds as one timber, but too near a joint of its
    plies. at_ends: those in a joist that are closer to its end than to an edge they may be.
    crosses: what stands on the deck over the blocking, such as a column. bare: a post hangs on the
    rim, and behind that is no joist, nor room for blocking. off_rim: how far blocking behind such a
    post lies off the rim there."""

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
