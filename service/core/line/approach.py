"""Core: a side's railing line as it comes to one of its two corners (methods 1, 2 and 10).

What stands at the corner is decided by `corners`, or by `arc_corners` where either side is bowed.
"""

from __future__ import annotations

from service.core.frozen import record
from service.core.line.sides import EdgeSpec, Side
from service.core.measure import Length, Point


@record()
class Approach:
    """A side as it comes to one of its corners, with the other side that meets it there.

    at_end: whether the corner is the end of `side`; else it is the start.
    """

    side: Side
    other: Side
    at_end: bool

    @property
    def corner(self) -> Point:
        """The corner of the outline at which the two sides meet."""
        return self.side.end if self.at_end else self.side.start

    @property
    def edge(self) -> EdgeSpec:
        """The edge of `side` that lies at the corner."""
        return self.side.edge_at(self.at_end)

    def at(self, reach: Length) -> Length:
        """The place that lies `reach` past the corner along a straight side.

        A negative reach lies short of the corner.
        """
        return self.side.length + reach if self.at_end else -reach

    def back(self, t: Length, distance: Length) -> Length:
        """The place that lies `distance` back from `t`, away from the corner."""
        return t - distance if self.at_end else t + distance

    def sooner(self, one: Length, two: Length) -> Length:
        """Whichever of two places the line comes to first on its way to the corner."""
        return min(one, two) if self.at_end else max(one, two)
