"""Core: a side's railing line as it comes to one of its two corners (methods 1, 2 and 10).

What stands at the corner is decided by `corners`, or by `arc_corners` where either side is bowed.
"""

from __future__ import annotations

from service.core.frozen import record
from service.core.line.arcs import is_bent
from service.core.line.sides import EdgeSpec, Side, signed, turn_between
from service.core.measure import Degrees, Length, Point
from service.core.records.kit import Kit


@record()
class Approach:
    """A side as it comes to one of its corners, with the other side that meets it there.

    kit: what stands at the corner is made of.
    at_end: whether the corner is the end of `side`; else it is the start.
    turn: from the arriving to the leaving side at the corner, left positive.
    bent: whether either side is an arc.
    sides, index: all sides of the outline, counter-clockwise, and which of them leaves the corner.
    """

    kit: Kit
    side: Side
    other: Side
    at_end: bool
    turn: Degrees
    bent: bool
    sides: tuple[Side, ...]
    index: int

    @property
    def corner(self) -> Point:
        """The corner of the outline at which the two sides meet."""
        return self.side.end if self.at_end else self.side.start

    @property
    def edge(self) -> EdgeSpec:
        """The edge of `side` that lies at the corner."""
        return self.side.edge_at(self.at_end)

    def beyond(self) -> tuple[Side, ...]:
        """The sides beyond the other one, in order away from the corner."""
        around = self.sides[self.index :] + self.sides[: self.index]
        return around[1:] if self.at_end else around[-2::-1]

    def at(self, reach: Length) -> Length:
        """The place that lies `reach` past the corner along the side.

        A negative reach lies short of the corner.
        """
        return self.side.length + reach if self.at_end else -reach

    def back(self, t: Length, distance: Length) -> Length:
        """The place that lies `distance` back from `t`, away from the corner."""
        return t - distance if self.at_end else t + distance

    def sooner(self, one: Length, two: Length) -> Length:
        """Whichever of two places the line comes to first on its way to the corner."""
        return min(one, two) if self.at_end else max(one, two)


def approaches(kit: Kit, sides: tuple[Side, ...], index: int) -> tuple[Approach, Approach]:
    """The arriving and the leaving side of a corner, as they come to it.

    The arguments are as in Approach.
    """
    arriving, leaving = sides[index - 1], sides[index]
    bent = is_bent(arriving, leaving)
    if bent:
        turn = signed(leaving.heading_at(0.0) - arriving.heading_at(arriving.length))
    else:
        turn = turn_between(arriving, leaving)
    return (
        Approach(kit, arriving, leaving, True, turn, bent, sides, index),
        Approach(kit, leaving, arriving, False, turn, bent, sides, index),
    )
