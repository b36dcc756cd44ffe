"""Core: the basis of the stock plan's relaxation (method 12), a small revised simplex method.

The rows are the pieces (at least as many as are left), then the sticks of limited number (at most
as many as there are). It works in floating point, in an order that is the same everywhere; nothing
that it says is taken as proof.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from service.core.stock.fills import Fill

Column: TypeAlias = tuple[int, Fill]
"""The index of a stick, and its fill."""
Sparse: TypeAlias = list[tuple[int, float]]

NOTHING: Final = 1e-9
TIE: Final = 1e-12


@dataclass(frozen=True, slots=True)
class Offer:
    """What may be bought.

    rooms, costs, limits: of each stick, what it holds, what it costs (at most 1), and how many
    there are (None for as many as needed). single: cost of each piece outside any stick, so that
    there is always a solution.
    """

    rooms: Sequence[int]
    costs: Sequence[float]
    limits: Sequence[int | None]
    single: Sequence[float]


class Tableau:
    """The basis, its inverse, how much of each basic column is held, and the prices of the rows."""

    def __init__(self, left: Sequence[int], offer: Offer) -> None:
        self.offer = offer
        self.pieces = [i for i, count in enumerate(left) if count]
        self.row_of = {i: row for row, i in enumerate(self.pieces)}
        limited = [s for s, limit in enumerate(offer.limits) if limit is not None]
        self.limit_row = {s: row for row, s in enumerate(limited, start=len(self.pieces))}
        size = self.size = len(self.pieces) + len(limited)
        self.single = [offer.single[i] for i in self.pieces]
        self.inverse = [[float(i == j) for j in range(size)] for i in range(size)]
        # A little more of each piece than is left, so that few rows run out together.
        self.held = [left[i] + 1e-8 * (1 + i * 61 % 97) for i in self.pieces]
        self.held += [float(limit) for limit in offer.limits if limit is not None]
        self.costs = self.single + [0.0] * len(limited)
        self.basis: list[Column | int | None] = [*self.pieces, *[None] * len(limited)]
        self.prices = list(self.costs)

    @property
    def cost(self) -> float:
        """Cost of the present basis."""
        return sum(map(float.__mul__, self.costs, self.held))

    def floors(self) -> list[float]:
        """What a fill of each stick must be worth before it pays to buy it."""
        rows, prices = self.limit_row, self.prices
        return [
            cost - (prices[rows[s]] if s in rows else 0.0)
            for s, cost in enumerate(self.offer.costs)
        ]

    def enter_slack_or_single(self) -> bool:
        """Enter the column without a fill that pays most. Returns whether one was entered.

        Such a column leaves a piece over, buys a piece singly, or leaves sticks unused.
        """
        row, gain = self._best_slack_or_single()
        if gain > -NOTHING:
            return False
        price = self.prices[row]
        if row >= len(self.single):
            return self._enter([(row, 1.0)], gain, 0.0, None)
        if price < 0:
            return self._enter([(row, -1.0)], gain, 0.0, None)
        return self._enter([(row, 1.0)], gain, self.single[row], self.pieces[row])

    def _best_slack_or_single(self) -> tuple[int, float]:
        """The row whose column without a fill pays most, and its reduced cost; 0 where none
        pays."""
        singles = len(self.single)
        best, least = 0, 0.0
        for row, price in enumerate(self.prices):
            gain = -price
            if row < singles:
                gain = price if price < 0 else self.single[row] - price
            if gain < least:
                best, least = row, gain
        return best, least

    def enter(self, column: Column) -> bool:
        """Enter a filled stick into the basis, where that pays. Returns whether it was entered."""
        s, fill = column
        sparse = [(self.row_of[i], float(count)) for i, count in fill]
        if s in self.limit_row:
            sparse.append((self.limit_row[s], 1.0))
        cost = self.offer.costs[s]
        gain = cost - sum([self.prices[row] * part for row, part in sparse])
        return gain < -1e-8 and self._enter(sparse, gain, cost, column)

    def _enter(self, sparse: Sparse, gain: float, cost: float, column: Column | int | None) -> bool:
        step = [sum([line[i] * part for i, part in sparse]) for line in self.inverse]
        leaving = self._leaving(step)
        if leaving < 0:
            return False
        self._pivot(step, leaving)
        line = self.inverse[leaving]
        self.prices = [x + gain * y for x, y in zip(self.prices, line, strict=True)]
        self.costs[leaving] = cost
        self.basis[leaving] = column
        return True

    def _leaving(self, step: Sequence[float]) -> int:
        """The row that runs out first, -1 where none does; of rows that tie, the one of the
        greatest step."""
        leaving, least = -1, 0.0
        for row, part in enumerate(step):
            if part > NOTHING:
                ratio = self.held[row] / part
                tied = leaving >= 0 and ratio <= least + TIE and part > step[leaving]
                if leaving < 0 or ratio < least - TIE or tied:
                    leaving, least = row, ratio
        return leaving

    def _pivot(self, step: Sequence[float], leaving: int) -> None:
        pivot = step[leaving]
        amount = max(0.0, self.held[leaving] / pivot)
        line = [x / pivot for x in self.inverse[leaving]]
        for row, part in enumerate(step):
            if part:
                old = self.inverse[row]
                self.inverse[row] = [x - part * y for x, y in zip(old, line, strict=True)]
                self.held[row] = max(0.0, self.held[row] - part * amount)
        self.inverse[leaving] = line
        self.held[leaving] = amount
