"""Core: sizes that a run's bays share: rail cuts and infill heights (methods 5, 6 and 7)."""

from __future__ import annotations

from collections.abc import Sequence

from service.core.kit import End, Engagement, Rail, Rails
from service.core.measure import TOUCH, Length, floor_to_mark


def share_clears(clears: Sequence[Length], step: Length, forced: bool) -> list[Length]:
    """The clear that each bay of a run is cut to: the smallest of its run (method 5).

    forced: whether places where no post may stand keep the run's bays apart. Then bays share
    only where their clears differ by no more than two steps, which is what marks on the grid
    can do to equal bays: a rail cut to a far narrower bay would not reach.

    >>> share_clears([55.875, 55.9375, 55.875], 0.0625, forced=False)
    [55.875, 55.875, 55.875]
    >>> share_clears([40.0, 62.5, 62.5625], 0.0625, forced=True)
    [40.0, 62.5, 62.5]
    """
    if not forced:
        return [min(clears)] * len(clears) if clears else []
    sizes: list[Length] = []
    for clear in sorted(clears):
        if not sizes or clear > sizes[-1] + 2 * step + TOUCH:
            sizes.append(clear)
    return [max(size for size in sizes if size <= clear) for clear in clears]


def share_unmeasured(
    clears: Sequence[Length], measured: Sequence[object | None], step: Length, forced: bool
) -> list[Length]:
    """As share_clears, among the bays that were not measured; a measured one keeps its own.

    >>> share_unmeasured([55.875, 55.9375, 55.875], [(55.8, 55.8), None, None], 0.0625, False)
    [55.875, 55.875, 55.875]
    >>> share_unmeasured([55.875, 55.9375, 55.9375], [(55.8, 55.8), None, None], 0.0625, False)
    [55.875, 55.9375, 55.9375]
    """
    drawn = [c for c, m in zip(clears, measured, strict=True) if m is None]
    shared = iter(share_clears(drawn, step, forced))
    return [next(shared) if m is None else c for c, m in zip(clears, measured, strict=True)]


def cut_rail(shared: Length, rail: Rail, ends: tuple[End, End], step: Length) -> Length:
    """A rail's cut: the shared clear less its allowance at each end, floored to a mark.

    >>> ends = {"socket": 0.1875, "swivel": 0.4375, "wall": 0.1875, "rake": 0.375}
    >>> cut_rail(55.875, Rail(1.6, (192.0,), 0.125, 0.0, ends), ("socket",) * 2, 0.0625)
    55.5
    """
    allowance = rail.end_allowance[ends[0]] + rail.end_allowance[ends[1]]
    return floor_to_mark(shared - allowance, step)


def infill_height(
    height: Length, bottom_gap: Length, rails: Rails, engagement: Engagement, step: Length
) -> Length:
    """Length of a picket or height of a panel under a guard `height`, floored to a mark.

    Guard height less both rails and the bottom gap, plus how far the infill runs into each rail.
    """
    opening = height - rails.top.depth - rails.bottom.depth - bottom_gap
    return floor_to_mark(opening + engagement.top + engagement.bottom, step)
