"""Core: the feet under a bay's bottom rail and the weep holes in it (method 8)."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from service.core.frozen import record
from service.core.measure import TOUCH, FromTo, Length, ceil_count, ceil_to_mark, nearest_mark
from service.core.records.infill import Glass, Pickets
from service.core.records.kit import Kit, RailSupport, Weep

TRIES: Final = 5
"""How many rows of weep holes are tried, each with one hole more than the last."""


def place_supports(clear: Length, kit: RailSupport, step: Length) -> tuple[Length, ...]:
    """Centres of the feet, which divide the clear opening evenly; there is at least one.

    >>> place_supports(55.875, RailSupport(32.0, 1.5), 0.0625)
    (27.9375,)
    """
    count = max(1, ceil_count(clear / kit.max_interval) - 1)
    return tuple([nearest_mark(clear * i / (count + 1), step) for i in range(1, count + 1)])


def widest_between(*places: Length) -> Length:
    """The greatest distance from one of these places to the next.

    >>> widest_between(0.0, 20.0, 55.5)
    35.5
    """
    return max(after - before for before, after in pairwise(places))


def over_bottom_rail(
    kit: Kit,
    supports: Sequence[Length],
    pickets: Pickets | None,
    glass: Glass | None,
    cosine: float,
    wider: Length,
) -> list[tuple[Length, Length]]:
    """Everything that a weep hole keeps clear of, as its middle and half its width, in plan.

    These are supports, pickets and setting blocks. cosine: of the rail's pitch. wider: by how much
    the opening at the rail exceeds the one that the infill was set out in; pickets and blocks are
    taken wider by as much, as the infill may stand at either side.
    """
    found: list[tuple[Length, Length]] = []
    if kit.rail_support is not None:
        found += [(at, kit.rail_support.width / 2) for at in supports]
    if pickets is not None and kit.picket is not None:
        half = (kit.picket.width + wider) / 2
        found += [(at + wider / 2, half) for at in pickets.centres]
    if glass is not None and kit.glass is not None:
        half, first = kit.glass.block.length / 2 * cosine, glass.side_gap + wider / 2
        found += [(first + at * cosine, half + wider / 2) for at in glass.blocks]
    return found


@record()
class BottomRail:
    """A bay's bottom rail, as cut.

    start: where it begins; cut: its length; middle: the middle of the bay. Places are measured from
    the bay's first face.
    """

    start: Length
    cut: Length
    middle: Length

    @property
    def end(self) -> Length:
        """Where the rail ends."""
        return self.start + self.cut


def count_weeps(rail: BottomRail, kit: Weep, at_least: int, step: Length) -> int:
    """How many weep holes keep the kit's interval; 0 where so many would run into each other.

    >>> count_weeps(BottomRail(0.25, 70.0, 35.25), Weep(0.3125, 30.0), 1, 0.0625)
    2
    """
    count = max(1, at_least, ceil_count(rail.cut / kit.max_interval) - 1)
    return count if count <= max(at_least, rail.cut / (kit.diameter + step)) else 0


def place_weeps(
    rail: BottomRail,
    kit: Weep,
    at_least: int,
    obstacles: Sequence[tuple[Length, Length]],
    step: Length,
) -> tuple[tuple[Length, ...], bool]:
    """Centres of the weep holes, from the bay's first face, and whether the kit's interval holds.

    obstacles: (centre, half width) of supports, blocks and pickets; a hole's edge clears each by
    one step. The holes are even along the rail, each moved to the nearest free mark (ties toward
    the bay's middle) and left out where it would run into another one. One hole more is
    tried, up to TRIES rows, while an interval, rail ends included, is over the kit's; where none
    keeps it, the row of the least widest interval stands. There are no holes where `count_weeps`
    is 0.

    >>> place_weeps(BottomRail(0.0, 12.0, 6.0), Weep(0.25, 5.0), 1, [(4.0, 1.9), (8.0, 1.9)], 0.25)
    ((1.5, 10.5), False)
    """
    count = count_weeps(rail, kit, at_least, step)
    if not count:
        return (), False
    blocked = _blocked(obstacles, kit.diameter / 2 + step, step)
    bounds = (rail.start + kit.diameter / 2, rail.end - kit.diameter / 2)
    best: tuple[Length, ...] = ()
    least = math.inf
    for number in range(count, count + TRIES):
        even = [rail.start + rail.cut * i / (number + 1) for i in range(1, number + 1)]
        found = {_nearest_free(at, blocked, bounds, rail.middle, step) for at in even}
        free = sorted(hole for hole in found if hole is not None)
        holes = _apart(rail, free, kit.diameter + step) if len(free) > 1 else tuple(free)
        widest = widest_between(rail.start, *holes, rail.end)
        if len(holes) >= count and widest <= kit.max_interval + TOUCH:
            return holes, True
        if widest < least - TOUCH:
            best, least = holes, widest
    return best, False


def _apart(rail: BottomRail, holes: Sequence[Length], least: Length) -> tuple[Length, ...]:
    """As many of the holes, in order, as stand at least `least` apart.

    Of those that have room between the holes before and after, the one stands that leaves the less
    wide interval beside it (ties toward the bay's middle).

    >>> _apart(BottomRail(0.0, 5.0, 2.5), [1.25, 1.5, 4.0], 0.5)
    (1.5, 4.0)
    >>> _apart(BottomRail(0.0, 5.0, 2.5), [2.0, 2.5, 3.0], 1.0)
    (2.0, 3.0)
    """
    apart, crowded = [rail.start - least], False
    for hole in holes:
        if hole - apart[-1] >= least - TOUCH:
            apart += [hole]
        else:
            crowded = True
    if not crowded:
        return tuple(holes)
    apart += [rail.end + least]
    for i in range(1, len(apart) - 1):
        before, after = apart[i - 1], apart[i + 1]
        first, last = before + least - TOUCH, after - least + TOUCH
        # Where holes stand apart by `least` to the last bit, the one itself may be past the bounds.
        room = holes[bisect_left(holes, first) : bisect_left(holes, last)] or [apart[i]]
        low, high = max(before, rail.start), min(after, rail.end)
        apart[i] = _best(room, [max(at - low, high - at) for at in room], rail.middle)
    return tuple(apart[1:-1])


def _best(places: Sequence[Length], off: Sequence[Length], middle: Length) -> Length:
    """The place that is least off; of two such the one nearer the middle, else the lesser.

    places: in order. off: what each is measured by. middle: of the bay.
    """
    least = min(off) + TOUCH
    near = [at for at, each in zip(places, off, strict=True) if each <= least]
    if len(near) == 1:
        return near[0]
    inmost = min(abs(at - middle) for at in near) + TOUCH
    return next(at for at in near if abs(at - middle) <= inmost)


def _blocked(
    obstacles: Sequence[tuple[Length, Length]], margin: Length, step: Length
) -> list[FromTo]:
    """Open intervals in which no hole's centre may lie, in order; there is a mark between any two.

    Each is narrower by TOUCH at either end, so that a mark within it of a bound is free.
    """
    joined: list[FromTo] = []
    end = -math.inf
    margin -= TOUCH
    for low, high in sorted([(at - half - margin, at + half + margin) for at, half in obstacles]):
        if low < end + step and ceil_to_mark(end, step) > -ceil_to_mark(-low, step):
            end = max(high, end)
            joined[-1] = (joined[-1][0], end)
        else:
            end = high
            joined.append((low, high))
    return joined


def _nearest_free(
    at: Length,
    blocked: list[FromTo],
    bounds: FromTo,
    middle: Length,
    step: Length,
) -> Length | None:
    """The free mark nearest to `at` (`_best`); None where none is within the bounds."""
    below, above = -ceil_to_mark(-at, step), ceil_to_mark(at, step)
    if (within := _around(blocked, below)) is not None:
        below = -ceil_to_mark(-within[0], step)
    if (within := _around(blocked, above)) is not None:
        above = ceil_to_mark(within[1], step)
    free = [c for c in (below, above) if bounds[0] - TOUCH <= c <= bounds[1] + TOUCH]
    return _best(free, [abs(c - at) for c in free], middle) if free else None


def _around(blocked: list[FromTo], at: Length) -> FromTo | None:
    """The interval that `at` lies in; None where it lies in none."""
    k = bisect_left(blocked, (at, -math.inf))
    return blocked[k - 1] if k and at < blocked[k - 1][1] else None
