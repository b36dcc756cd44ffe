"""Core: which treads of a flight carry its posts (method 9): fewest bays, then the most even.

`even_row` is the entry; places are along u, as in `drafts`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from service.core.measure import TOUCH, FromTo, Length, ceil_count
from service.core.runs.budget import MarkWork


@dataclass(frozen=True, slots=True)
class Treads:
    """Where the posts of a flight's side may stand along u.

    The first post stands at `head` and the last at `foot`; the others stand in the middles of
    treads, at (j - 1/2) * going, with j from 1 to `middles`.
    """

    head: Length
    foot: Length
    going: Length
    middles: int


def even_row(
    treads: Treads, most: Length, keeps: Callable[[Sequence[Length]], bool], work: MarkWork
) -> tuple[Length, ...] | None:
    """The places of a side's posts: head, some of the tread middles, and foot.

    Of the rows that `keeps` accepts, with every spacing within `most`, this is one of the fewest
    bays; then of the least difference between widest and narrowest spacing; then with the posts
    nearest the head. None where there is no such row.

    Work is counted: a flight that would take too much of its document's share is refused.

    >>> even_row(Treads(-3.0, 57.75, 10.5, 5), 40.0, lambda row: True, MarkWork())
    (-3.0, 26.25, 57.75)
    """
    ends = treads.head, treads.foot
    fewest = max(0, ceil_count((ends[1] - ends[0]) / most) - 1)
    for inner in range(fewest, treads.middles + 1):
        for _, row in _rows(treads, inner, work) if inner else [(0.0, ends)]:
            if max(b - a for a, b in pairwise(row)) <= most + TOUCH and keeps(row):
                return row
    return None


def _rows(treads: Treads, inner: int, work: MarkWork) -> list[tuple[Length, tuple[Length, ...]]]:
    """Rows of `inner` posts between head and foot, the most even first.

    For each narrowest spacing allowed, there is one row: the nearest to the head within the
    narrowest window of spacings that any row keeps. It comes with the width of that window.
    """
    going, middles = treads.going, treads.middles
    places = [(j - 0.5) * going for j in range(1, middles + 1)]
    # Every spacing that a bay can have: at the head, at the foot, between treads.
    every = {round(m - treads.head, 9) for m in places}
    every |= {round(treads.foot - m, 9) for m in places}
    if inner > 1:
        every |= {round(k * going, 9) for k in range(1, middles)}
    spacings = sorted(spacing for spacing in every if spacing > TOUCH)
    rows: list[tuple[Length, tuple[Length, ...]]] = []
    k = 0
    # As the narrowest spacing allowed grows, the widest one that a row needs never shrinks.
    for i, low in enumerate(spacings):
        k = max(k, i)
        while k < len(spacings):
            work.spend(inner)
            found = _nearest_row(treads, inner, (low, spacings[k]))
            if found is not None:
                rows.append((round(spacings[k] - low, 6), found))
                break
            k += 1
    return sorted(rows)


def _nearest_row(treads: Treads, inner: int, window: FromTo) -> tuple[Length, ...] | None:
    """The row nearest the head whose spacings lie within the window; None where there is none.

    window: least and greatest spacing. The treads that the i-th post can stand on and still reach
    the foot follow each other without a gap.
    """
    head, foot, going, middles = treads.head, treads.foot, treads.going, treads.middles
    low, high = window[0] - TOUCH, window[1] + TOUCH
    least, greatest = math.ceil(low / going), math.floor(high / going)
    last = (
        max(1, math.ceil((foot - high) / going + 0.5)),
        min(middles, math.floor((foot - low) / going + 0.5)),
    )
    stretches = [last]
    for _ in range(inner - 1):
        onward = stretches[-1]
        stretches.append((max(1, onward[0] - greatest), min(middles, onward[1] - least)))
    stretches.reverse()
    taken: list[int] = []
    for first, until in stretches:
        if taken:
            near, far = taken[-1] + least, taken[-1] + greatest
        else:
            near = math.ceil((head + low) / going + 0.5)
            far = math.floor((head + high) / going + 0.5)
        tread = max(first, near)
        if tread > min(until, far):
            return None
        taken.append(tread)
    return (head, *((tread - 0.5) * going for tread in taken), foot)
