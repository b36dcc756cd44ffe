"""Core: what the bays of a run are cut to: their shared clear opening (method 5).

From it follow the length of a rail and the height of the infill (methods 5, 6 and 7).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from service.core.measure import TOUCH, Length, floor_to_mark
from service.core.records.deck import Infill
from service.core.records.kit import End, Kit, Rail
from service.core.runs.spans import number_alike


class Clears(NamedTuple):
    """The clear openings of a bay.

    own: from face to face; shared: the opening that it is cut to, together with other bays of its
    run (method 5).
    """

    own: Length
    shared: Length


def share_clears(
    clears: Sequence[Length],
    kinds: Sequence[int],
    measured: Sequence[object | None],
    step: Length,
    *,
    forced: bool,
) -> list[Length]:
    """The clear that each bay of a run is cut to: the smallest of the bays of its kind (method 5).

    Kinds are kept apart because a rail cut for a far narrower bay would not reach, and pickets
    counted for that bay would leave too wide a gap at the ends. kinds: a number for each bay, as
    from `Span.kinds`. measured: what was measured in each bay, or None; a measured bay shares with
    none and keeps its own clear.

    forced: whether places where no post may stand keep the run's bays apart. Bays of a kind then
    share only if their clears are alike (`number_alike`).

    >>> share_clears([66.75, 66.8125, 67.875], [1, 1, 0], [None] * 3, 0.0625, forced=False)
    [66.75, 66.75, 67.875]
    >>> share_clears([40.0, 62.5, 62.5625], [0, 0, 0], [None] * 3, 0.0625, forced=True)
    [40.0, 62.5, 62.5]
    >>> share_clears([62.5625, 62.4375, 62.375], [0, 0, 0], [None] * 3, 0.0625, forced=True)
    [62.4375, 62.4375, 62.375]
    >>> first = [(55.8, 55.8), None, None]
    >>> share_clears([55.875, 55.9375, 55.9375], [0, 0, 0], first, 0.0625, forced=False)
    [55.875, 55.9375, 55.9375]
    """
    shared = list(clears)
    for kind in set(kinds):
        bays = [i for i, each in enumerate(kinds) if each == kind and measured[i] is None]
        own = [clears[i] for i in bays]
        numbers = number_alike(own, step) if forced and own else [0] * len(own)
        # Of clears with the same number, the smallest comes last and stays.
        least = dict(sorted(zip(numbers, own, strict=True), reverse=True))
        for i, number in zip(bays, numbers, strict=True):
            shared[i] = least[number]
    return shared


def cut_rail(shared: Length, rail: Rail, ends: tuple[End, End], step: Length) -> Length:
    """A rail's cut: the shared clear less the rail's allowance at each end, floored to a mark.

    >>> from service.core.records.kit import Stock
    >>> ends = {"socket": 0.1875, "swivel": 0.4375, "wall": 0.1875, "rake": 0.375}
    >>> rail = Rail(1.6, Stock((192.0,), 0.125), ends)
    >>> cut_rail(55.875, rail, ("socket", "socket"), 0.0625)
    55.5
    """
    return floor_to_mark(shared - sum(rail.allowances(ends)), step)


def infill_height(
    kit: Kit, infill: Infill, height: Length, gap: Length, step: Length, cosine: float = 1.0
) -> Length:
    """Length of a picket or height of a panel in a guard of this height: plumb, floored to a mark.

    It is the guard's height less both rails and the gap under them, plus how far the infill runs
    into each rail. cosine: of a raked rail's pitch, as its depths and engagements are square to the
    slope.
    """
    rails, engagement = kit.rails[infill], kit.engagement(infill)
    depths = (rails.top.depth + rails.bottom.depth) / cosine
    into = (engagement.top + engagement.bottom) / cosine
    return floor_to_mark(height - depths - gap + into, step)


def least_height(
    kit: Kit, infill: Infill, gap: Length, step: Length, cosine: float = 1.0
) -> Length:
    """The least mark that a guard's height can be.

    At this height its rails lie apart, and its infill is at least one step high. gap, cosine: as
    for `infill_height`.
    """
    rails = kit.rails[infill]
    least = floor_to_mark(gap + (rails.top.depth + rails.bottom.depth) / cosine, step) + step
    if infill_height(kit, infill, least, gap, step, cosine) < step - TOUCH:
        return least + step
    return least
