"""Core: dividing a run into bays (method 4). Even marks first; where those will not do, the
marks proven best.

Proof works in whole numbers: places along a run are whole steps, lengths are in 2^20 parts of
a step. The least difference between widest and narrowest clear is found by walking down the
possible narrowest clears, each with the least widest one that some row of marks reaches
(reachable places are kept as few intervals); then a table from the run's end gives the least
sum of squares, and reading it from the start gives the lexicographically least marks.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, TypeAlias

from service.core import limits
from service.core.measure import TOUCH, Length, ceil_count, nearest_mark
from service.core.problems import Problem, TooLarge
from service.core.runs.spans import Span

PART: Final = 1 << 20
"""Parts of a step in which lengths are whole numbers."""

Interval: TypeAlias = tuple[int, int]


class NoMarks(Exception):
    """No number of bays keeps every limit: the places where no post may stand are too wide."""


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


def divide_run(
    span: Span,
    most: Length,
    step: Length,
    panel_fits: Callable[[Length], bool],
    work: MarkWork,
    most_bays: int = limits.BAYS,
) -> tuple[Length, ...]:
    """Inner marks of the fewest bays that keep every spacing within `most` (method 4).

    panel_fits: whether a panel for that clear is within the kit's size and area.
    Raises NoMarks where no number of bays will do, TooLarge over `most_bays`.

    >>> span = Span(233.5, (1.25, 1.25), 2.5, 4.75)
    >>> divide_run(span, 70.0, 0.0625, lambda clear: True, MarkWork())
    (58.375, 116.75, 175.125)
    """
    bays = max(1, ceil_count(span.length / most))
    while True:
        check_bays(bays, most_bays)
        if bays > 1 and span.length / bays < span.base:
            raise NoMarks
        # No clear of even marks is narrower than this: where no panel fits it, none fits any.
        if not panel_fits(span.even_clear(bays) - 2 * step):
            bays += 1
            continue
        inner = even_marks(span, bays, step)
        fits = panel_fits(min(span.clears(inner)))
        if fits and _keeps(span, inner, most):
            return inner
        if bays > 1 and (fits or span.forbidden):
            best = best_marks(span, bays, most, step, panel_fits, work)
            if best is not None:
                return best
        bays += 1


def check_bays(bays: int, most_bays: int) -> None:
    """Refuse a document of over so many bays."""
    if bays > most_bays:
        message = f"The deck needs over {limits.BAYS} bays; send it in parts."
        raise TooLarge([Problem("/levels", "too_many_bays", message)])


def even_marks(span: Span, bays: int, step: Length) -> tuple[Length, ...]:
    """The nearest marks to the ideal places of equal bays."""
    pitch = span.even_clear(bays) + span.width
    first = span.halves[0] - span.width / 2
    return tuple(nearest_mark(first + i * pitch, step) for i in range(1, bays))


def _keeps(span: Span, inner: Sequence[Length], most: Length) -> bool:
    marks = (0.0, *inner, span.length)
    if any(b - a > most + TOUCH for a, b in pairwise(marks)):
        return False
    return not any(
        low + TOUCH < mark < high - TOUCH for mark in inner for low, high in span.forbidden
    )


@dataclass(frozen=True, slots=True)
class _Grid:
    """A run in whole numbers. lead: from a mark (or terminal) pair's spacing to their clear.

    spacings: least and greatest spacing; allowed: places for a post centre, in steps.
    """

    bays: int
    length: int
    lead: tuple[int, int, int]
    spacings: tuple[int, int]
    allowed: tuple[Interval, ...]
    ideal: tuple[int, ...]
    cap: int


def best_marks(
    span: Span,
    bays: int,
    most: Length,
    step: Length,
    panel_fits: Callable[[Length], bool],
    work: MarkWork,
) -> tuple[Length, ...] | None:
    """The best inner marks of so many bays, or None where none keep every limit.

    Least difference between widest and narrowest clear; then least sum of squared distances
    from the even marks; then lexicographically least.
    """
    grid = _to_grid(span, bays, most, step, panel_fits)
    windows = _narrowest_windows(grid, work)
    found = [_least_squares(grid, low, high, work) for low, high in windows]
    best = min((f for f in found if f is not None), default=None)
    return None if best is None else tuple(place * step for place in best[1])


def _to_grid(
    span: Span, bays: int, most: Length, step: Length, panel_fits: Callable[[Length], bool]
) -> _Grid:
    def parts(length: Length) -> int:
        return round(length / step * PART)

    half = span.width / 2
    lead = (parts(span.halves[0] + half), parts(span.width), parts(half + span.halves[1]))
    pitch = span.even_clear(bays) + span.width
    first = span.halves[0] - half
    slack = parts(TOUCH)
    return _Grid(
        bays=bays,
        length=parts(span.length),
        lead=lead,
        spacings=(parts(span.base) - slack, parts(most) + slack),
        allowed=_allowed(span, parts, slack),
        ideal=tuple(parts(first + i * pitch) for i in range(1, bays)),
        cap=parts(_widest_panel_clear(most, step, panel_fits)),
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


def _steps(grid: _Grid, which: int, low: int, high: int) -> Interval:
    """Least and greatest spacing in steps for a clear within [low, high]; which lead applies."""
    least = max(low + grid.lead[which], grid.spacings[0])
    greatest = min(high + grid.lead[which], grid.spacings[1])
    return -(-least // PART), greatest // PART


def _last_places(grid: _Grid, low: int, high: int) -> Interval:
    """Where the last inner mark may stand for the last clear to lie within [low, high]."""
    least = max(low + grid.lead[2], grid.spacings[0])
    greatest = min(high + grid.lead[2], grid.spacings[1])
    return -((greatest - grid.length) // PART), (grid.length - least) // PART


def _reach(grid: _Grid, low: int, high: int, work: MarkWork) -> list[list[Interval]]:
    """Places that each inner mark can take from the start, as intervals in steps."""
    reach: list[list[Interval]] = [[(0, 0)]]
    for i in range(1, grid.bays):
        least, greatest = _steps(grid, 0 if i == 1 else 1, low, high)
        if least > greatest:
            return []
        grown = _union([(a + least, b + greatest) for a, b in reach[-1]])
        reach.append(_common(grown, grid.allowed))
        work.spend(1 + len(reach[-1]))
        if not reach[-1]:
            return []
    ending = _common(reach[-1], [_last_places(grid, low, high)])
    return [*reach[1:-1], ending] if ending else []


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


def _possible_clears(grid: _Grid, low: int, high: int) -> list[int]:
    """Every clear within [low, high] that some bay can have, ascending."""
    residues = {-grid.lead[0] % PART, (grid.length - grid.lead[2]) % PART}
    if grid.bays > 2:
        residues.add(-grid.lead[1] % PART)
    values: list[int] = []
    for residue in residues:
        first = low + (residue - low) % PART
        values.extend(range(first, high + 1, PART))
    return sorted(values)


def _narrowest_windows(grid: _Grid, work: MarkWork) -> list[Interval]:
    """All windows [narrowest, widest] of the least width within which marks exist.

    As the narrowest clear goes down, the least widest one never goes up; no widest clear is
    below the mean, which says when to stop.
    """
    total = grid.length - grid.lead[0] - grid.lead[2] - (grid.bays - 2) * grid.lead[1]
    mean = total // grid.bays
    greatest = min(grid.spacings[1], grid.cap)
    if greatest < mean:
        return []
    work.spend(3 * (greatest + abs(mean)) // PART + 6)
    lows = _possible_clears(grid, min(0, mean) - PART, mean + 1)
    highs = _possible_clears(grid, mean - 1, greatest)

    def feasible(low: int, high: int) -> bool:
        return bool(_reach(grid, low, high, work))

    k = bisect_left(range(len(lows)), True, key=lambda i: not feasible(lows[i], greatest)) - 1
    if k < 0 or not highs:
        return []
    j = bisect_left(range(len(highs)), True, key=lambda i: feasible(lows[k], highs[i]))
    if j == len(highs):
        return []
    best = highs[j] - lows[k]
    windows = [(lows[k], highs[j])]
    for low in reversed(lows[:k]):
        if mean - low > best:
            break
        while j > 0 and feasible(low, highs[j - 1]):
            j -= 1
        width = highs[j] - low
        if width < best:
            best, windows = width, []
        if width == best:
            windows.append((low, highs[j]))
    return windows


def _least_squares(
    grid: _Grid, low: int, high: int, work: MarkWork
) -> tuple[int, tuple[int, ...]] | None:
    """Least sum of squared distances from the even marks within a window, and its least marks."""
    reach = _reach(grid, low, high, work)
    if not reach:
        return None
    least, greatest = _steps(grid, 1, low, high)
    tables: list[dict[int, int]] = []
    for i in range(grid.bays - 2, -1, -1):
        places = [p for a, b in reach[i] for p in range(a, b + 1)]
        work.spend(len(places))
        onward = tables[-1] if tables else None
        tables.append(_cost_table(places, grid.ideal[i], onward, least, greatest))
    tables.reverse()
    return _read_marks(tables, least, greatest)


def _cost_table(
    places: list[int], ideal: int, onward: dict[int, int] | None, least: int, greatest: int
) -> dict[int, int]:
    """Cost from each place to the run's end: its own square and the least onward within reach."""
    if onward is None:
        return {p: (p * PART - ideal) ** 2 for p in places}
    table = {}
    ahead = list(onward.items())
    window: deque[tuple[int, int]] = deque()
    k = 0
    for p in places:
        while k < len(ahead) and ahead[k][0] <= p + greatest:
            while window and window[-1][1] > ahead[k][1]:
                window.pop()
            window.append(ahead[k])
            k += 1
        while window and window[0][0] < p + least:
            window.popleft()
        if window:
            table[p] = (p * PART - ideal) ** 2 + window[0][1]
    return table


def _read_marks(
    tables: list[dict[int, int]], least: int, greatest: int
) -> tuple[int, tuple[int, ...]] | None:
    if not tables[0]:
        return None
    total = min(tables[0].values())
    marks = [min(p for p, cost in tables[0].items() if cost == total)]
    for table in tables[1:]:
        ahead = range(marks[-1] + least, marks[-1] + greatest + 1)
        reachable = [p for p in ahead if p in table]
        cost = min(table[p] for p in reachable)
        marks.append(next(p for p in reachable if table[p] == cost))
    return total, tuple(marks)
