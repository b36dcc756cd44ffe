"""Core: where the posts of a run stand: its marks, on the grid (method 4).

Equal bays first, each post at its nearest mark. Where those break a limit or fall where no post may
stand, the best marks there are: the least difference between widest and narrowest clear, then the
least moved from equal bays, then the first by place. They are proven best, in whole numbers
(`rows`): narrowest clears are tried downward, each with the least widest one that some row of marks
reaches; a table from the run's end then gives the least sum of squares, and reading it from the
start the first row that has it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TypeAlias

from service.core import limits
from service.core.measure import TOUCH, Length, ceil_count, nearest_mark
from service.core.problems import Problem, TooLarge
from service.core.runs.rows import (
    PART,
    Grid,
    Interval,
    MarkWork,
    comes_to_the_end,
    reach,
    to_grid,
)
from service.core.runs.spans import Span

Window: TypeAlias = tuple[Grid, Interval]
"""A run and the bounds of its clears, narrowest and widest."""


class NoMarks(Exception):
    """No number of bays keeps every limit: the places where no post may stand are too wide."""


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
    looked = False
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
            if not looked and not comes_to_the_end(span, most, step, work):
                raise NoMarks
            looked = True
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
    grid = to_grid(span, bays, most, step, panel_fits, work)
    windows = _narrowest(grid)
    found = [_least_squares(each, low, high) for each, (low, high) in windows]
    best = min((f for f in found if f is not None), default=None)
    return None if best is None else tuple(place * step for place in best[1])


def _narrowest(grid: Grid) -> list[Window]:
    """The windows of the least width within which there are marks whose panels the kit has.

    Where clears are within two steps of each other the narrowest is what panels are cut from
    (method 5), and one bay has to be within the cap; else every bay has to be.
    """
    most, cap = grid.spacings[1], grid.cap
    if cap >= most:
        return [(grid, window) for window in _windows(grid, most, most)]
    shared = _windows(grid, min(most, cap + 2 * PART), most)
    if shared and _width(shared[0]) <= 2 * PART:
        kept = [(grid, window) for window in shared if window[0] <= cap]
        if kept:
            return kept
        for bay in range(grid.bays):
            one = replace(grid, narrow=bay)
            kept += [(one, each) for each in _windows(one, min(most, cap + 2 * PART), cap)]
        kept = [each for each in kept if _width(each[1]) <= 2 * PART]
    else:
        kept = []
    kept += [(grid, window) for window in _windows(grid, cap, cap)]
    least = min((_width(window) for _, window in kept), default=0)
    return [each for each in kept if _width(each[1]) == least]


def _width(window: Interval) -> int:
    return window[1] - window[0]


def _possible_clears(grid: Grid, low: int, high: int) -> list[int]:
    """Every clear within [low, high] that some bay can have, ascending."""
    residues = {-grid.lead[0] % PART, (grid.length - grid.lead[2]) % PART}
    if grid.bays > 2:
        residues.add(-grid.lead[1] % PART)
    values: list[int] = []
    for residue in residues:
        first = low + (residue - low) % PART
        values.extend(range(first, high + 1, PART))
    return sorted(values)


def _windows(grid: Grid, greatest: int, lowest: int) -> list[Interval]:
    """All windows [narrowest, widest] of the least width within which marks exist, with no clear
    over `greatest` and the narrowest at most `lowest`.

    As the narrowest clear goes down, the least widest one never goes up; no widest clear is
    below the mean, which says when to stop.
    """
    total = grid.length - grid.lead[0] - grid.lead[2] - (grid.bays - 2) * grid.lead[1]
    mean = total // grid.bays
    if greatest < mean:
        return []
    grid.work.spend(3 * (greatest + abs(mean)) // PART + 6)
    lows = _possible_clears(grid, min(0, mean) - PART, min(mean + 1, lowest))
    highs = _possible_clears(grid, mean - 1, greatest)

    def feasible(low: int, high: int) -> bool:
        return bool(reach(grid, low, high))

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


def _least_squares(grid: Grid, low: int, high: int) -> tuple[int, tuple[int, ...]] | None:
    """The least sum of squared distances from the even marks within a window, and of the marks that
    have it the lexicographically least; None where no marks keep within it."""
    reached = reach(grid, low, high)
    if not reached:
        return None
    spacings = [grid.steps(bay, low, high) for bay in range(1, grid.bays)]
    tables: list[dict[int, int]] = []
    for i in range(grid.bays - 2, -1, -1):
        places = [p for a, b in reached[i] for p in range(a, b + 1)]
        grid.work.spend(len(places))
        onward = tables[-1] if tables else None
        tables.append(_cost_table(places, grid.ideal[i], onward, *spacings[i]))
    tables.reverse()
    return _read_marks(tables, spacings)


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
    tables: list[dict[int, int]], spacings: Sequence[Interval]
) -> tuple[int, tuple[int, ...]] | None:
    if not tables[0]:
        return None
    total = min(tables[0].values())
    marks = [min(p for p, cost in tables[0].items() if cost == total)]
    for table, (least, greatest) in zip(tables[1:], spacings, strict=False):
        ahead = range(marks[-1] + least, marks[-1] + greatest + 1)
        reachable = [p for p in ahead if p in table]
        cost = min(table[p] for p in reachable)
        marks.append(next(p for p in reachable if table[p] == cost))
    return total, tuple(marks)
