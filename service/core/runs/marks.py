"""Core: where the posts of a run stand: its marks, on the grid (method 4).

Equal bays come first, each post at its nearest mark. Where these break a limit, or put a post where
none may stand, the best marks are looked for: the least difference between widest and narrowest
clear, then the least moved from equal bays, then the lexicographically least. They are proven best,
in whole numbers (`rows`): narrowest clears are tried downward, each with the least widest clear
that some row of marks reaches; `squares` then finds the best row within these.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise, product

from service.core import limits
from service.core.measure import TOUCH, Length, ceil_count, nearest_mark
from service.core.runs.budget import MarkWork, check_bays
from service.core.runs.rows import PART, Grid, Window, comes_to_the_end, reachable, to_grid
from service.core.runs.spans import Bounds, Span
from service.core.runs.squares import least_squares


class NoMarks(Exception):
    """Raised where no number of bays keeps every limit.

    The places where no post may stand are too wide, or the posts at the run's ends leave no room.
    """


def divide_run(
    span: Span, bounds: Bounds, work: MarkWork, most_bays: int = limits.BAYS
) -> tuple[Length, ...]:
    """Inner marks of the fewest bays that keep the kit's bounds (method 4).

    Raises NoMarks where no number of bays will do, TooLarge where it takes more than `most_bays`.

    >>> span = Span(233.5, (1.25, 1.25), 2.5, 4.75)
    >>> divide_run(span, Bounds(70.0, 0.0625, lambda clear: True), MarkWork())
    (58.375, 116.75, 175.125)
    """
    bays = max(1, ceil_count(span.length / bounds.most))
    looked = False
    while True:
        check_bays(bays, most_bays)
        tight = bays > 1 and span.length / bays < max(span.base, *span.rooms) + span.width / 2
        if tight and span.length < sum(span.apart()) + (bays - 3) * span.base:
            raise NoMarks
        # No clear between even marks is narrower than this: if its panel is too large, so is every
        # one.
        if not bounds.panel_fits(span.even_clear(bays) - 2 * bounds.step):
            bays += 1
            continue
        inner = even_marks(span, bays, bounds.step)
        stand = _keeps(span, inner, bounds.most) and not (tight and _bases_meet(span, inner))
        if stand and bounds.panel_fits(min(span.clears(inner))):
            return inner
        # Panels by themselves move no post off its even mark, but in a run with forbidden places.
        if bays > 1 and (span.is_forced() or not stand):
            if not looked and not comes_to_the_end(span, bounds, work):
                raise NoMarks
            looked = True
            best = best_marks(span, bays, bounds, work)
            if best is not None:
                return best
        bays += 1


def even_marks(span: Span, bays: int, step: Length) -> tuple[Length, ...]:
    """The marks nearest to where the posts of equal bays would stand."""
    pitch = span.even_clear(bays) + span.width
    first = span.halves[0] - span.width / 2
    return tuple([nearest_mark(first + i * pitch, step) for i in range(1, bays)])


def _keeps(span: Span, inner: Sequence[Length], most: Length) -> bool:
    marks = (0.0, *inner, span.length)
    if any(b - a > most + TOUCH for a, b in pairwise(marks)):
        return False
    return not any(
        low + TOUCH < mark < high - TOUCH for low, high in span.forbidden for mark in inner
    )


def _bases_meet(span: Span, inner: Sequence[Length]) -> bool:
    """Whether a base would run into another base, or into a wall."""
    first, between, last = span.apart()
    least = (first, *[between] * (len(inner) - 1), last)
    marks = (0.0, *inner, span.length)
    return any(b - a < each - TOUCH for (a, b), each in zip(pairwise(marks), least, strict=True))


def best_marks(span: Span, bays: int, bounds: Bounds, work: MarkWork) -> tuple[Length, ...] | None:
    """The best inner marks for this number of bays, or None where none keep every limit.

    Best is the least difference between widest and narrowest clear; then the least sum of squared
    distances from the even marks; then the lexicographically least marks.
    """
    grid = to_grid(span, bays, bounds, work)
    best = min((least_squares(grid, window) for window in _narrowest(grid)), default=None)
    return None if best is None else tuple(place * bounds.step for place in best[1])


def _narrowest(grid: Grid) -> list[Window]:
    """The windows of the least width that hold a row of marks with panels that the kit has.

    Either every bay is within what a panel can be cut for, or some are wider and share a narrower
    bay's size.
    """
    within = min(grid.most, grid.cap)
    windows = _windows(grid, within)
    least = windows[0].width if windows else None
    if grid.cap < grid.most:
        for tops in _tops_over_the_cap(grid):
            window = _narrowest_under(grid, tops, least)
            if window is not None:
                least = window.width
                windows.append(window)
    return [window for window in windows if window.width == least]


def _tops_over_the_cap(grid: Grid) -> Iterator[tuple[int, ...]]:
    """Greatest clears by kind of bay, some of them over what a panel can be cut for.

    A kind that has only one bay is never over it, as that bay has none to share a size with.
    """
    bays = Counter(map(grid.kind_of, range(grid.bays)))
    over = [
        _possible_clears(grid, grid.cap + 1, grid.cap + grid.near, kind) if bays[kind] > 1 else []
        for kind in sorted(bays)
    ]
    for tops in product(*[[grid.cap, *each] for each in over]):
        if max(tops) > grid.cap:
            yield tops


def _narrowest_under(grid: Grid, tops: tuple[int, ...], least: int | None) -> Window | None:
    """The narrowest window with these greatest clears that holds a row of marks.

    None where there is none, or where it is wider than `least`.
    """
    mean, high = grid.mean(), max(tops)
    if high < mean:
        return None
    low = min(0, mean) - PART if least is None else high - least
    lows = _possible_clears(grid, low, min(mean, high))

    def feasible(k: int) -> bool:
        return bool(reachable(grid, Window(lows[k], tops)))

    grid.work.spend(len(lows))
    if not lows or not feasible(0):
        return None
    k = bisect_left(range(len(lows)), x=True, key=lambda i: not feasible(i)) - 1
    return Window(lows[k], tops)


def _possible_clears(grid: Grid, low: int, high: int, kind: int | None = None) -> list[int]:
    """Every clear within [low, high] that some bay can have, ascending.

    kind: of bays of this kind only; None for all.
    """
    places = (0, 1, grid.bays - 1) if grid.bays > 2 else (0, 1)
    residues = {grid.residue(bay) for bay in places if kind in (None, grid.kind_of(bay))}
    values: list[int] = []
    for residue in residues:
        first = low + (residue - low) % PART
        values.extend(range(first, high + 1, PART))
    return sorted(values)


def _windows(grid: Grid, greatest: int) -> list[Window]:
    """All windows of the least width that hold a row of marks, with no clear over `greatest`.

    As the narrowest clear goes down, the least possible widest clear never goes up. No widest clear
    is below the mean, which says when to stop.
    """
    mean = grid.mean()
    if greatest < mean:
        return []
    grid.work.spend(3 * (greatest + abs(mean)) // PART + 6)
    lows = _possible_clears(grid, min(0, mean) - PART, min(mean + 1, greatest))
    highs = _possible_clears(grid, mean - 1, greatest)

    def feasible(low: int, high: int) -> bool:
        return bool(reachable(grid, _between(grid, low, high)))

    k = bisect_left(range(len(lows)), x=True, key=lambda i: not feasible(lows[i], greatest)) - 1
    if k < 0 or not highs:
        return []
    j = bisect_left(range(len(highs)), x=True, key=lambda i: feasible(lows[k], highs[i]))
    if j == len(highs):
        return []
    best = highs[j] - lows[k]
    windows = [_between(grid, lows[k], highs[j])]
    for low in reversed(lows[:k]):
        if mean - low > best:
            break
        while j > 0 and feasible(low, highs[j - 1]):
            j -= 1
        width = highs[j] - low
        if width < best:
            best, windows = width, []
        if width == best:
            windows.append(_between(grid, low, highs[j]))
    return windows


def _between(grid: Grid, low: int, high: int) -> Window:
    """The window with the same bounds for every kind of bay."""
    return Window(low, (high,) * (max(grid.kinds) + 1))
