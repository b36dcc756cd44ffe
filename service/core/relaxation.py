"""Core: the relaxation of a stock plan that allows parts of sticks (method 12), and the cuts that
its prices give.

A cut is a value for each piece, in whole numbers, with the most that a stick of each room can
hold of it: whatever sticks are bought must together hold the value of all pieces. The prices
come from a linear programme whose columns, fills of sticks, are made as they are needed
(Gilmore and Gomory 1961, from memory). It reckons in floating point, which proves nothing:
the proof is the cut, whose rooms are filled exactly.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from service.core.fills import Fill, Work, best_fill, rank

FINE: Final = 1 << 30
"""Prices are whole numbers of this part of the dearest stick."""
NOTHING: Final = 1e-9
ROUNDS: Final = 2000

Column: TypeAlias = tuple[int, Fill]
"""A stick's number and what it holds."""


class Cut:
    """A value of each piece, and the most of it that a room holds."""

    __slots__ = ("_most", "_ranked", "_weights", "known", "values")

    def __init__(
        self, weights: Sequence[int], most: Sequence[int], values: Sequence[int]
    ) -> None:
        self.values = tuple(values)
        self.known: dict[int, int] = {}
        self._weights = weights
        self._most = most
        self._ranked = rank(weights, values, most)

    def holds(self, room: int, work: Work) -> int:
        """The most value that a fill of this room has, or a bound above it."""
        found = self.known.get(room)
        if found is None:
            found = self.known[room] = best_fill(self._ranked, room, 0, work).bound
        return found

    def of(self, left: Sequence[int]) -> int:
        """The value of all pieces."""
        return sum(map(int.__mul__, self.values, left))


@dataclass(slots=True)
class Offer:
    """What may be bought: rooms, what each costs at most 1, how many there are (None: enough).

    single: what a piece costs that no stick has room for.
    """

    rooms: Sequence[int]
    costs: Sequence[float]
    limits: Sequence[int | None]
    single: Sequence[float]


@dataclass(slots=True)
class Relaxed:
    """Least cost with parts of sticks, how many of each column, and the last prices."""

    cost: float
    columns: list[tuple[Column, float]]
    values: tuple[int, ...]
    stopped: bool


class _Tableau:
    """The basis of the programme: rows for pieces (at least), then for limited sticks (at most)."""

    def __init__(self, left: Sequence[int], offer: Offer) -> None:
        self.rows = {s: 0 for s, limit in enumerate(offer.limits) if limit is not None}
        for row, s in enumerate(self.rows, start=len(left)):
            self.rows[s] = row
        self.size = len(left) + len(self.rows)
        self.inverse = [[float(i == j) for j in range(self.size)] for i in range(self.size)]
        limits = [float(limit) for limit in offer.limits if limit is not None]
        self.held = [float(count) for count in left] + limits
        self.costs = [*offer.single] + [0.0] * len(limits)
        self.prices = list(self.costs)
        self.basis: list[Column | None] = [None] * self.size

    def enter(self, sparse: Sequence[tuple[int, float]], gain: float, cost: float,
              column: Column | None) -> bool:  # fmt: skip
        """Bring a column in; false where none has to leave or the step is too small to trust."""
        step = [sum([line[i] * k for i, k in sparse]) for line in self.inverse]
        leaving, least = -1, 0.0
        for i, part in enumerate(step):
            if part > 1e-9:
                ratio = self.held[i] / part
                if leaving < 0 or ratio < least - 1e-12 or (
                    ratio <= least + 1e-12 and part > step[leaving]
                ):  # fmt: skip
                    leaving, least = i, ratio
        if leaving < 0:
            return False
        pivot = step[leaving]
        line = self.inverse[leaving] = [x / pivot for x in self.inverse[leaving]]
        least = max(least, 0.0)
        for i, part in enumerate(step):
            if part and i != leaving:
                self.inverse[i] = [x - part * y for x, y in zip(self.inverse[i], line, strict=True)]
                self.held[i] = max(0.0, self.held[i] - part * least)
        self.held[leaving] = least
        self.prices = [x + gain * y for x, y in zip(self.prices, line, strict=True)]
        self.costs[leaving] = cost
        self.basis[leaving] = column
        return True

    @property
    def cost(self) -> float:
        """Cost of the present basis."""
        return sum(map(float.__mul__, self.costs, self.held))


def relax(
    weights: Sequence[int],
    left: Sequence[int],
    offer: Offer,
    pool: dict[Fill, int],
    work: Work,
    enough: Callable[[tuple[int, ...], Sequence[int]], bool],
) -> Relaxed:
    """Solve the relaxation for what is left.

    pool: fills made before and their weights; it grows. enough: called with whole prices and the
    most of them that each room holds, true stops. A cost of nothing stops too.
    """
    return _Relaxing(weights, left, offer, pool, work).run(enough)


class _Relaxing:
    def __init__(
        self, weights: Sequence[int], left: Sequence[int], offer: Offer, pool: dict[Fill, int],
        work: Work,
    ) -> None:  # fmt: skip
        self.weights, self.left, self.offer, self.pool, self.work = (
            weights, left, offer, pool, work,
        )  # fmt: skip
        self.table = _Tableau(left, offer)
        self.usable = [
            (fill, weight)
            for fill, weight in pool.items()
            if all(left[i] >= count for i, count in fill)
        ]

    def run(self, enough: Callable[[tuple[int, ...], Sequence[int]], bool]) -> Relaxed:
        values: tuple[int, ...] = ()
        stopped = False
        table = self.table
        for _ in range(ROUNDS):
            self.work.spend(table.size * table.size // 8 + len(self.usable) // 2 + 20)
            if table.cost <= NOTHING:
                break
            if self._enter_bare() or self._enter_known():
                continue
            values, holds, columns = self._price()
            if enough(values, holds):
                stopped = True
                break
            if not sum([self._enter(s, fill) for s, fill in columns]):
                break
        used = [
            (column, count)
            for column, count in zip(table.basis, table.held, strict=True)
            if column is not None and count > NOTHING
        ]
        return Relaxed(table.cost, used, values, stopped)

    def _floors(self) -> list[float]:
        """What a fill of each stick must be worth to be bought."""
        prices, rows = self.table.prices, self.table.rows
        return [
            cost - (prices[rows[s]] if s in rows else 0.0)
            for s, cost in enumerate(self.offer.costs)
        ]

    def _enter_bare(self) -> bool:
        """Leave a piece over, buy one singly, or leave a limit unused, where that pays."""
        prices = self.table.prices
        single = self.offer.single
        size = len(single)
        for row, price in enumerate(prices):
            if row >= size:
                if price > NOTHING:
                    return self.table.enter([(row, 1.0)], -price, 0.0, None)
            elif price < -NOTHING:
                return self.table.enter([(row, -1.0)], price, 0.0, None)
            elif price > single[row] + NOTHING:
                return self.table.enter([(row, 1.0)], single[row] - price, single[row], None)
        return False

    def _enter_known(self) -> bool:
        prices = self.table.prices
        floors = self._floors()
        rooms = self.offer.rooms
        best, gain = None, 1e-7
        for fill, weight in self.usable:
            value = sum([prices[i] * count for i, count in fill])
            for s, room in enumerate(rooms):
                if weight <= room and value - floors[s] > gain:
                    best, gain = (s, fill), value - floors[s]
        return best is not None and self._enter(*best)

    def _enter(self, s: int, fill: Fill) -> bool:
        table = self.table
        sparse = [(i, float(count)) for i, count in fill]
        if s in table.rows:
            sparse.append((table.rows[s], 1.0))
        cost = self.offer.costs[s]
        gain = cost - sum([table.prices[row] * part for row, part in sparse])
        return gain < -1e-8 and table.enter(sparse, gain, cost, (s, fill))

    def _price(self) -> tuple[tuple[int, ...], list[int], list[Column]]:
        """Whole prices, the most of them that each room holds, and the best column of each."""
        size = len(self.left)
        values = tuple([max(0, round(price * FINE)) for price in self.table.prices[:size]])
        ranked = rank(self.weights, values, self.left)
        holds: list[int] = []
        columns: list[tuple[int, Column]] = []
        for s, (room, floor) in enumerate(zip(self.offer.rooms, self._floors(), strict=True)):
            worth = best_fill(ranked, room, max(0, round(floor * FINE) + 64), self.work)
            holds.append(worth.bound)
            if worth.fill:
                columns.append((round(floor * FINE) - worth.value, (s, worth.fill)))
                if worth.fill not in self.pool:
                    weight = sum([self.weights[i] * count for i, count in worth.fill])
                    self.pool[worth.fill] = weight
                    self.usable.append((worth.fill, weight))
        columns.sort()
        return values, holds, [column for _, column in columns]
