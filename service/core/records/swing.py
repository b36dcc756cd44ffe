"""Core: how the leaf of a gate turns, in plan."""

from __future__ import annotations

import math
from dataclasses import dataclass

from service.core.measure import Length, Point


@dataclass(frozen=True, slots=True)
class Swing:
    """How a leaf turns. at_start: whether it hangs on the start of its opening, which comes first
    counter-clockwise.

    pivot: where it turns; shut, open: unit vectors from there along the leaf, as it is shut and as
    it stands wide open.
    """

    at_start: bool
    pivot: Point
    shut: Point
    open: Point

    def tip(self, leaf: Length, part: float) -> Point:
        """The free edge of a leaf this wide, on its quarter circle from shut (0) to open (1).

        >>> Swing(True, (2.0, 3.0), (1.0, 0.0), (0.0, 1.0)).tip(40.0, 0.0)
        (42.0, 3.0)
        """
        angle = part * math.pi / 2
        along, off = leaf * math.cos(angle), leaf * math.sin(angle)
        (x, y), (ux, uy), (vx, vy) = self.pivot, self.shut, self.open
        return x + along * ux + off * vx, y + along * uy + off * vy
