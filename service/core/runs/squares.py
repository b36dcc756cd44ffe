"""Core: the row of marks nearest to the even marks, among those within given clears (method 4).

A table made from the run's end has the least sum of squares onward from each place. Read from the
start, it gives the first row with the least sum of all. Places and lengths are as in `rows`.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from typing import TypeAlias

from service.core.runs.rows import PART, Grid, Interval, Lacking, Window, reachable

Costs: TypeAlias = dict[int, int]
"""For each place, in order, the least sum of squares from there to the run's end."""
Table: TypeAlias = dict[Lacking, Costs]


def least_squares(grid: Grid, window: Window) -> tuple[int, tuple[int, ...]]:
    """The least sum of squared distances from the even marks within a window, and its marks.

    Of several rows with that sum, the marks are the lexicographically least. window: one that holds
    a row of marks.
    """
    reached = reachable(grid, window)
    tables: list[Table] = []
    for i in range(grid.bays - 2, -1, -1):
        onward = tables[-1] if tables else None
        table = {}
        for lacking, spans in reached[i].items():
            places = [p for a, b in spans for p in range(a, b + 1)]
            grid.work.spend(len(places))
            table[lacking] = _costs(grid, window, i, lacking, places, onward)
        tables.append(table)
    tables.reverse()
    return _read_marks(grid, window, tables)


def _costs(
    grid: Grid,
    window: Window,
    mark: int,
    lacking: Lacking,
    places: Sequence[int],
    onward: Table | None,
) -> Costs:
    """The cost from each place of a mark: its own square, and the least cost onward within reach.

    Places from which no mark onward is within reach are left out.
    """
    ideal = grid.ideal[mark]
    if onward is None:
        return {p: (p * PART - ideal) ** 2 for p in places}
    costs: Costs = {}
    for left, spacing in grid.choices(mark + 1, lacking, window):
        for p, least in _least_ahead(places, onward.get(left, {}), spacing):
            cost = (p * PART - ideal) ** 2 + least
            costs[p] = min(cost, costs.get(p, cost))
    return dict(sorted(costs.items()))


def _least_ahead(places: Sequence[int], onward: Costs, spacing: Interval) -> list[tuple[int, int]]:
    """For each place, the least of the costs that lie within a spacing ahead of it.

    Places with no cost within the spacing are left out.
    """
    least, greatest = spacing
    found = []
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
            found.append((p, window[0][1]))
    return found


def _read_marks(grid: Grid, window: Window, tables: Sequence[Table]) -> tuple[int, tuple[int, ...]]:
    """The least cost of all, and the lexicographically first row of marks that has it."""
    total, place = min((cost, p) for costs in tables[0].values() for p, cost in costs.items())
    states = {lacking for lacking, costs in tables[0].items() if costs.get(place) == total}
    marks = [place]
    for bay, table in enumerate(tables[1:], start=1):
        ahead = [
            (cost, p, left)
            for lacking in states
            for left, (least, greatest) in grid.choices(bay, lacking, window)
            for p in range(marks[-1] + least, marks[-1] + greatest + 1)
            if (cost := table.get(left, {}).get(p)) is not None
        ]
        best = min((cost, p) for cost, p, _ in ahead)
        states = {left for cost, p, left in ahead if (cost, p) == best}
        marks.append(best[1])
    return total, tuple(marks)
