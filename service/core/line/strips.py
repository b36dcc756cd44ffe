"""Core: where a strip beside a side's railing line meets a solid thing in plan (method 1)."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from service.core.line.arcs import ArcSide
from service.core.line.outline import Side
from service.core.measure import TOUCH, Length, Point


class Strip:
    """Along a side, from `low` to `high` inward of the deck's edge."""

    def __init__(self, side: Side, low: Length, high: Length) -> None:
        self.side, self.low, self.high = side, low, high
        # Past its ends, too, as far as a post there reaches.
        past = 4 * (high - low + max(abs(low), abs(high)))
        self.band = side.band(low, high, past) if isinstance(side, ArcSide) else None

    def reach(self, points: Sequence[Point]) -> tuple[Length, Length] | None:
        """First and last place along the side at which it meets a polygon; None where it does
        not, or touches."""
        if self.band is not None:
            # In plan, where the polygon's edges are straight; along an arc they are not.
            shared = shapely.Polygon(points).intersection(self.band)
            if shared.area <= TOUCH:
                return None
            along = [self.side.locate((x, y))[0] for x, y in shapely.get_coordinates(shared)]
            return min(along), max(along)
        local = [self.side.locate(point) for point in points]
        ends = [t for t, _ in local]
        strip = shapely.box(min(ends) - 1, self.low, max(ends) + 1, self.high)
        shared = shapely.Polygon(local).intersection(strip)
        if shared.area <= TOUCH:
            return None
        first, _, last, _ = shared.bounds
        return first, last
