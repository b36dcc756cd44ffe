"""Core: how the leaf of a gate turns, in plan."""

from __future__ import annotations

import math

from service.core.frozen import record
from service.core.measure import Length, Point


@record()
class Swing:
    """How a leaf turns.

    at_start: whether it hangs at the start of its opening, the side that comes first
        counter-clockwise.
    pivot: the point that it turns about.
    shut, open: unit vectors from there along the leaf, when it is shut and when it is wide open.
    """

    at_start: bool
    pivot: Point
    shut: Point
    open: Point

    def tip(self, leaf: Length, part: float) -> Point:
        """The free edge of a leaf, on its quarter circle from shut to open.

        leaf: width of the leaf. part: 0 where it is shut, 1 where it is open.

        >>> Swing(True, (2.0, 3.0), (1.0, 0.0), (0.0, 1.0)).tip(40.0, 0.0)
        (42.0, 3.0)
        """
        angle = part * math.pi / 2
        along, off = leaf * math.cos(angle), leaf * math.sin(angle)
        (x, y), (ux, uy), (vx, vy) = self.pivot, self.shut, self.open
        return x + along * ux + off * vx, y + along * uy + off * vy
