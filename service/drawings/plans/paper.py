"""Drawings, plans: the paper of one view, which knows where something is drawn already.

Every mark on it makes its cells costly to cover. Words take the cheapest of the places offered: one
where nothing lies, or an earlier one where they cover few lines. Where every place would cover
words or something solid, they are left out and counted.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final, TypeAlias

from service.core.measure import Point
from service.drawings.boxes import box_of, sides_of
from service.drawings.marks import Mark, Stroke, Words
from service.drawings.plans.lines import Lines
from service.drawings.scales import Scale

Cell: TypeAlias = tuple[int, int]
ExtraCost: TypeAlias = Callable[[Words], int]
CELL: Final = 0.9
"""In mm on paper, the side of a cell; the paper knows of each cell what lies in it."""
WIDE: Final = 800
"""Cells in a row of the paper, more than twice as many as a page has."""
LINE: Final = 3
MEASURED: Final = 18
LEADER: Final = 150
RAIL: Final = 100
SOLID: Final = 1000
WRITTEN: Final = SOLID + 1
"""What it costs words to cover a cell, by what lies in it.

LINE: a line; MEASURED: a line that something is measured on; LEADER: a line that leads to words;
RAIL: a rail; SOLID: something solid; WRITTEN: other words.
"""
CROSSED: Final = 200
"""The most that a line to words costs for what it crosses, other words and solid things aside."""
STRUCK: Final = 300
"""What the line costs on top where it runs through other words."""
HIDDEN: Final = 100
"""What the line costs on top where it runs through something solid, on which nobody sees it.

With CROSSED this comes to STRUCK, at which other places for the words are tried too.
"""
BEARABLE: Final = 890
"""The most that words cost for anything but what they cover: they are never left out for it."""
LATER: Final = 2
"""What each place costs more than the one offered before it."""
MOST: Final = 9_000
"""The most places that are looked at for the words of one view; after them, only the first of each.

This bounds the work of a plan, however crowded it is.
"""
SPARE: Final = 0.35
"""In mm, the room left around words."""


def no_extra_cost(_words: Words) -> int:
    """No cost beside what words cover."""
    return 0


@dataclass(eq=False, slots=True)
class Paper:
    """The marks drawn so far, and what each cell of the paper holds.

    middle: the point of the deck in the middle of the paper. wide: cells in a row. looked: places
    looked at so far, those of earlier tries included. left_out: texts that found no room. led:
    names that a line leads to. lines: those that runs and edges are measured on, with their names.
    """

    scale: Scale
    middle: Point
    looked: int = 0
    wide: int = WIDE
    marks: list[Mark] = field(default_factory=list)
    left_out: int = 0
    led: int = 0
    lines: Lines = field(init=False)
    _rows: dict[int, list[int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.lines = Lines(self.scale)

    def draw(self, mark: Mark, weight: int | None = None) -> None:
        """Draw a mark.

        weight: what covering a cell of the mark costs words; the cost of a line where it is None.
        """
        self.marks.append(mark)
        if isinstance(mark, Stroke):
            line = MEASURED if mark.layer == "dimension" else LINE
            self.take(mark.points, line if weight is None else weight, closed=mark.closed)
        elif isinstance(mark, Words):
            self._hold(_cells_in(self._on_paper(box_of(mark, self.scale))), WRITTEN)

    def take(self, points: Sequence[Point], weight: int = LINE, *, closed: bool = False) -> None:
        """Hold the cells of lines and, if they are closed and solid, all that they enclose."""
        corners = self._on_paper(points)
        if closed and weight >= SOLID:
            self._hold(_cells_in(corners), weight)
        ends = [*corners, corners[0]] if closed else corners
        for pair in pairwise(ends):
            self._hold(_cells_along(*pair), weight)

    def fill(self, corners: Sequence[Point]) -> None:
        """Hold all cells of a surface at a line's cost, so that words prefer places off it."""
        self._hold(_cells_in(self._on_paper(corners)), LINE)

    def cost(self, words: Words, most: float = math.inf) -> int:
        """What words would cover at a place. most: above it the sum breaks off and is not exact."""
        rows, cost = self._rows, 0
        for row, first, last in self._rows_of(words):
            held = rows.get(row)
            if held is not None:
                cost += sum(held[max(0, first) : max(0, last + 1)])
                if cost > most:
                    break
        return cost

    def _rows_of(self, words: Words) -> Iterable[tuple[int, int, int]]:
        """The cells of words and of the room around them, row by row: (row, first, last column)."""
        if words.turn not in (0.0, 90.0):
            return _rows_in(self._on_paper(box_of(words, self.scale, SPARE)))
        ((x, y),) = self._on_paper((words.at,))
        (left, right), (low, high) = (
            (one / CELL, other / CELL) for one, other in sides_of(words, SPARE)
        )
        if words.turn:
            left, right, low, high = -high, -low, left, right
        first, last = math.floor(x + left), math.floor(x + right)
        rows = range(math.floor(y + low), math.floor(y + high) + 1)
        return ((row, first, last) for row in rows)

    def cost_along(self, points: Sequence[Point]) -> int:
        """The cost of all that a line would cross."""
        rows = self._rows
        return sum(
            rows[row][column]
            for pair in pairwise(self._on_paper(points))
            for column, row in _cells_along(*pair)
            if row in rows and 0 <= column < self.wide
        )

    def cost_to_lead(self, start: Point, end: Point) -> int:
        """The cost of a line to words, which ends at them.

        It is at most CROSSED for what the line crosses, and on top of that STRUCK where it runs
        through other words, or HIDDEN where it runs through something solid.
        """
        rows, cost, struck = self._rows, 0, 0
        for column, row in _cells_along(*self._on_paper((start, end))):
            if row in rows and 0 <= column < self.wide:
                held = rows[row][column]
                cost += held
                if held >= SOLID:
                    struck = max(struck, STRUCK if held == WRITTEN else HIDDEN)
        return min(CROSSED, cost) + struck

    def write(
        self, offered: Iterable[Words], extra_cost: ExtraCost = no_extra_cost
    ) -> Words | None:
        """Draw words at the best of the places offered, and return them.

        The best is where the fewest lines lie, an earlier place being better than a later one.
        Where all would cover words or something solid, the words are left out and counted.
        extra_cost: what words cost beside what they cover.
        """
        return self.settle(self.best(offered, extra_cost))

    def settle(self, found: tuple[Words | None, float]) -> Words | None:
        """Draw words at the place that `best` found, or leave them out and count them.

        They are left out where the place covers words or something solid. None where they are, and
        where no place was found.
        """
        best, cost = found
        if best is None:
            return None
        if cost >= SOLID:
            self.left_out += 1
            return None
        self.draw(best)
        return best

    def best(
        self,
        offered: Iterable[Words],
        extra_cost: ExtraCost = no_extra_cost,
        most: float = math.inf,
    ) -> tuple[Words | None, float]:
        """The best of the places offered and what it costs; None where there is none below `most`.

        Once MOST places have been looked at on this paper, only the first is. extra_cost: what
        words cost beside what they cover.
        """
        best, least = None, most
        for i, words in enumerate(offered):
            order_cost = i * LATER
            if order_cost >= least or (i and self.looked >= MOST):
                break
            self.looked += 1
            covered = self.cost(words, least - order_cost)
            if covered + order_cost < least:
                covered += min(extra_cost(words), max(0, BEARABLE - covered))
            if covered + order_cost < least:
                best, least = words, covered + order_cost
        return best, least

    def _on_paper(self, points: Sequence[Point]) -> list[Point]:
        """Points in cells: columns from the left of the paper, rows from its middle."""
        k, (x0, y0) = self.scale.per_unit / CELL, self.middle
        return [((x - x0) * k + self.wide / 2, (y - y0) * k) for x, y in points]

    def _hold(self, cells: Iterable[Cell], weight: int) -> None:
        rows = self._rows
        for column, row in cells:
            held = rows.get(row)
            if held is None:
                held = rows[row] = [0] * self.wide
            if 0 <= column < self.wide and held[column] < weight:
                held[column] = weight


def _cells_along(start: Point, end: Point) -> Iterator[Cell]:
    """The cells of a line whose ends are given in cells."""
    (x0, y0), (x1, y1) = start, end
    count = math.ceil(max(abs(x1 - x0), abs(y1 - y0)) * 1.5) or 1
    for i in range(count + 1):
        t = i / count
        yield math.floor(x0 + (x1 - x0) * t), math.floor(y0 + (y1 - y0) * t)


def _cells_in(corners: Sequence[Point]) -> Iterator[Cell]:
    """The cells of a closed shape."""
    for row, first, last in _rows_in(corners):
        for column in range(first, last + 1):
            yield column, row


def _rows_in(corners: Sequence[Point]) -> Iterator[tuple[int, int, int]]:
    """The cells of a closed shape, row by row through their middles: (row, first, last column)."""
    ys = [y for _, y in corners]
    low, high = min(ys), max(ys)
    rows = range(math.floor(low), math.floor(high) + 1)
    sides = list(zip(corners, (*corners[1:], corners[0]), strict=True))
    for row in rows:
        level = min(max(row + 0.5, low + 1e-9), high - 1e-9)
        cuts = sorted(
            x0 + (x1 - x0) * (level - y0) / (y1 - y0)
            for (x0, y0), (x1, y1) in sides
            if (y0 <= level) != (y1 <= level)
        )
        for left, right in zip(cuts[::2], cuts[1::2], strict=False):
            yield row, math.floor(left), math.floor(right)
