"""Core: which places the posts of a run can come to, mark by mark, in whole numbers (method 4).

Places along a run are whole steps of the grid; lengths are in 2^20 parts of a step, so that sums
are exact. The places that a mark can take are kept as few intervals. `marks` chooses among them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from service.core import limits
from service.core.measure import TOUCH, Length
from service.core.problems import Problem, TooLarge
from service.core.runs.spans import Span

PART: Final = 1 << 20
"""Parts of a step in which lengths are whole numbers."""

Interval: TypeAlias = tuple[int, int]


class MarkWork:
    """Counted work of a document, so that an answer never depends on the clock."""

    def __init__(self, most: int = limits.MARK_WORK) -> None:
        self.left = most

    def spend(self, amount: int) -> None:
        """Refuse the document when its share is used up."""
        self.left -= amount
        if self.left < 0:
            raise TooLarge(
                [
                    Problem(
                        "/levels",
                        "too_much_to_prove",
                        f"Proving the best marks weighs over {limits.MARK_WORK} places; give"
                        " fewer or narrower no_post stretches, a coarser precision, or send the"
                        " levels apart.",
                    )
                ]
            )


@dataclass(frozen=True, slots=True)
class Grid:
    """A run in whole numbers. lead: by how much spacing is more than clear, in the first bay, in
    those between and in the last.

    spacings: least and greatest spacing; allowed: places for a post centre, in steps; ideal: even
    marks; cap: the widest clear that a panel may be cut from; narrow: the one bay whose clear must
    be within it. work: what looking for rows of marks may still cost.
    """

    bays: int
    length: int
    lead: tuple[int, int, int]
    spacings: tuple[int, int]
    allowed: tuple[Interval, ...]
    ideal: tuple[int, ...]
    cap: int
    work: MarkWork
    narrow: int | None = None

    def steps(self, bay: int, low: int, high: int) -> Interval:
        """Least and greatest spacing in steps for a clear within [low, high]."""
        least, greatest = self._bounds(bay, low, high)
        return -(-least // PART), greatest // PART

    def last_places(self, low: int, high: int) -> Interval:
        """Where the last inner mark may stand for the last clear to lie within [low, high]."""
        least, greatest = self._bounds(self.bays - 1, low, high)
        return -((greatest - self.length) // PART), (self.length - least) // PART

    def _bounds(self, bay: int, low: int, high: int) -> Interval:
        lead = self.lead[0 if bay == 0 else 2 if bay == self.bays - 1 else 1]
        if bay == self.narrow:
            high = min(high, self.cap)
        return max(low + lead, self.spacings[0]), min(high + lead, self.spacings[1])


def to_grid(
    span: Span,
    bays: int,
    most: Length,
    step: Length,
    panel_fits: Callable[[Length], bool],
    work: MarkWork,
) -> Grid:
    """The grid of a run of so many bays. most: greatest spacing; panel_fits: whether the kit takes
    the panel of a clear."""

    def parts(length: Length) -> int:
        return round(length / step * PART)

    half = span.width / 2
    lead = (parts(span.halves[0] + half), parts(span.width), parts(half + span.halves[1]))
    pitch = span.even_clear(bays) + span.width
    first = span.halves[0] - half
    slack = parts(TOUCH)
    return Grid(
        bays=bays,
        length=parts(span.length),
        lead=lead,
        spacings=(parts(span.base) - slack, parts(most) + slack),
        allowed=_allowed(span, parts, slack),
        ideal=tuple(parts(first + i * pitch) for i in range(1, bays)),
        cap=parts(_widest_panel_clear(most, step, panel_fits)),
        work=work,
    )


def _widest_panel_clear(most: Length, step: Length, panel_fits: Callable[[Length], bool]) -> Length:
    """The widest clear, to a thousandth of a step, whose panel the kit takes."""
    if panel_fits(most):
        return most
    low, high = 0.0, most
    while high - low > step / 1000:
        middle = (low + high) / 2
        low, high = (middle, high) if panel_fits(middle) else (low, middle)
    return low


def _allowed(span: Span, parts: Callable[[Length], int], slack: int) -> tuple[Interval, ...]:
    allowed = []
    start = 1
    last = parts(span.length) // PART
    for low, high in _joined(span.forbidden):
        end = (parts(low) + slack) // PART
        if end >= start:
            allowed.append((start, min(end, last)))
        start = max(start, -((-parts(high) + slack) // PART))
    if start <= last:
        allowed.append((start, last))
    return tuple(allowed)


def _joined(forbidden: Sequence[tuple[Length, Length]]) -> list[tuple[Length, Length]]:
    joined: list[tuple[Length, Length]] = []
    for low, high in sorted(forbidden):
        if joined and low < joined[-1][1] - TOUCH:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return joined


def reach(grid: Grid, low: int, high: int) -> list[list[Interval]]:
    """Places that each inner mark can take from the start with every clear within [low, high], as
    intervals in steps; an empty list where no row of marks comes to the run's end."""
    found: list[list[Interval]] = [[(0, 0)]]
    for i in range(grid.bays - 1):
        least, greatest = grid.steps(i, low, high)
        if least > greatest:
            return []
        grown = _union([(a + least, b + greatest) for a, b in found[-1]])
        found.append(_common(grown, grid.allowed))
        grid.work.spend(1 + len(found[-1]))
        if not found[-1]:
            return []
    ending = _common(found[-1], [grid.last_places(low, high)])
    return [*found[1:-1], ending] if ending else []


def comes_to_the_end(span: Span, most: Length, step: Length, work: MarkWork) -> bool:
    """Whether posts on marks, however many, lead from one end of a run to the other.

    Where they do not, no number of bays will do: a stretch without posts is too wide, or an end
    post takes up all of its bay.
    """
    grid = to_grid(span, 3, most, step, lambda clear: True, work)
    low, high = -PART, grid.spacings[1]
    ends = [grid.last_places(low, high)]
    reached: list[Interval] = []
    front, bay = [(0, 0)], 0
    while front:
        least, greatest = grid.steps(bay, low, high)
        if least > greatest:
            return False
        grown = _common(_union([(a + least, b + greatest) for a, b in front]), grid.allowed)
        if _common(grown, ends):
            return True
        work.spend(1 + len(grown))
        front, bay = _beyond(grown, reached), 1
        reached = _union(sorted([*reached, *grown]))
    return False


def _beyond(grown: Sequence[Interval], reached: Sequence[Interval]) -> list[Interval]:
    """The intervals of `grown` that do not lie whole in one of `reached`."""
    return [each for each in grown if not any(a <= each[0] and each[1] <= b for a, b in reached)]


def _union(intervals: list[Interval]) -> list[Interval]:
    merged: list[Interval] = []
    for a, b in intervals:
        if merged and a <= merged[-1][1] + 1:
            merged[-1] = (merged[-1][0], max(b, merged[-1][1]))
        else:
            merged.append((a, b))
    return merged


def _common(one: Sequence[Interval], two: Sequence[Interval]) -> list[Interval]:
    shared = []
    i = j = 0
    while i < len(one) and j < len(two):
        low, high = max(one[i][0], two[j][0]), min(one[i][1], two[j][1])
        if low <= high:
            shared.append((low, high))
        if one[i][1] < two[j][1]:
            i += 1
        else:
            j += 1
    return shared
