"""Core: the relaxation of a stock plan, which allows parts of sticks (method 12); inequalities.

An inequality gives each piece a value, in whole numbers, and says how much of it a stick of each
room can hold at most: the sticks that are bought must together hold the value of all pieces. The
values are the prices of a linear programme whose columns, filled sticks, are made as they are
needed (P. C. Gilmore and R. E. Gomory, 1961; from memory). The programme is solved in floating
point and proves nothing; an inequality is a proof whatever its values are, since what a room holds
of them is worked out exactly.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, TypeAlias

from service.core.stock.fills import Fill, Ranked, Work, best_fill, rank, weigh
from service.core.stock.tableau import NOTHING, Column, Offer, Tableau

PRICE_SCALE: Final = 1 << 30
"""Values are prices in whole multiples of 1/PRICE_SCALE of the dearest stick."""
ROUNDS: Final = 4000
LEAST_AMOUNT: Final = 1e-7
"""A column of which no more than this is held counts as not held."""
COLUMN_STEPS: Final = 4000
"""Steps spent on a column, once one that pays is found."""
FILLS_KEPT: Final = 3000
"""How many fills are kept from one programme to the next."""

NEARLY_WHOLE: Final = 0.6
"""Where a relaxation has no filled stick whole, those that it has this much of are taken for whole,
or the one that it has most of."""

Pool: TypeAlias = dict[Fill, int]
"""Fills already made, with their weights."""
StopTest: TypeAlias = Callable[[Sequence[int], Sequence[int]], bool]
"""Called with the values of the pieces and the most of them that each room holds; a true result
stops the programme."""


class Inequality:
    """A value for each piece, and the most value that a stick of each room holds.

    known: that most, by room, where it has been worked out.
    """

    def __init__(self, weights: Sequence[int], most: Sequence[int], values: Sequence[int]) -> None:
        """most: the most of each piece that may be left whenever the inequality is used."""
        self.values = tuple(values)
        self.known: dict[int, int] = {}
        self._weights, self._most = weights, most

    @cached_property
    def _ranked(self) -> Ranked:
        return rank(self._weights, self.values, self._most)

    def holds(self, room: int, work: Work) -> int:
        """The most value that a fill of this room has, or an upper bound on it."""
        found = self.known.get(room)
        if found is None:
            found = self.known[room] = best_fill(self._ranked, room, 0, work).bound
        return found

    def value_of(self, left: Sequence[int]) -> int:
        """The total value of the pieces left."""
        return sum(map(int.__mul__, self.values, left))


@dataclass(frozen=True, slots=True)
class Relaxed:
    """The result of a relaxation.

    columns: the filled sticks held and how much of each, at the least cost where parts of sticks
    are allowed; values: those of the pieces at the end. stopped: whether `should_stop` stopped it,
    in which case the cost is not the least.
    """

    columns: tuple[tuple[Column, float], ...]
    values: tuple[int, ...]
    stopped: bool


def whole_sticks(
    parts: Collection[tuple[Column, float]], *, nearly: bool = True
) -> list[tuple[int, Fill, int]]:
    """The filled sticks that a relaxation has whole, and how many of each.

    Where it has none, those that are nearly whole, if `nearly` allows that. parts: how much the
    relaxation has of each.

    >>> whole_sticks([((0, ((0, 2),)), 2.5), ((0, ((1, 3),)), 0.9)])
    [(0, ((0, 2),), 2)]
    >>> whole_sticks([((0, ((0, 2),)), 0.5), ((0, ((1, 3),)), 0.9)])
    [(0, ((1, 3),), 1)]
    """
    whole = [(s, fill, int(amount + 1e-6)) for (s, fill), amount in parts if amount >= 1]
    if whole or not parts or not nearly:
        return whole
    least = min(NEARLY_WHOLE, max(amount for _, amount in parts))
    return [(s, fill, 1) for (s, fill), amount in parts if amount >= least]


def relax(
    weights: Sequence[int],
    left: Sequence[int],
    offer: Offer,
    pool: Pool,
    work: Work,
    should_stop: StopTest,
) -> Relaxed:
    """Solve the relaxation for the pieces that are left.

    It ends early where `should_stop` says so, or where the cost is down to 0. The fills that it
    makes are added to the pool.

    >>> offer, no = Offer((5,), (1.0,), (None,), (8.0,)), lambda values, holds: False
    >>> [(column, amount)] = relax((2,), (3,), offer, {}, Work(9999), no).columns
    >>> column, round(amount, 6)
    ((0, ((0, 2),)), 1.5)
    """
    size = sum(map(bool, left)) + len(offer.rooms)
    work.spend(size * size // 4 + len(pool) // 2)
    return _Relaxing(weights, left, offer, pool, work).run(should_stop)


class _Relaxing:
    def __init__(
        self, weights: Sequence[int], left: Sequence[int], offer: Offer, pool: Pool, work: Work
    ) -> None:
        self.weights, self.left, self.offer = weights, left, offer
        self.pool, self.work = pool, work
        self.alone = [self._alone(i) for i in range(len(left))]
        single = [
            each[0] if each is not None else dear
            for each, dear in zip(self.alone, offer.single, strict=True)
        ]
        self.table = Tableau(left, replace(offer, single=single))
        self.usable = [
            (fill, weight)
            for fill, weight in pool.items()
            if all([left[i] >= count for i, count in fill])
        ]

    def _alone(self, piece: int) -> tuple[float, int, int] | None:
        """The cheapest way to buy this piece alone: cost of one, the stick, and how many fit in.

        Only sticks without a limit count. None where no such stick takes the piece, or none of it
        is left.
        """
        best: tuple[float, int, int] | None = None
        if self.left[piece]:
            for s, (room, cost) in enumerate(zip(self.offer.rooms, self.offer.costs, strict=True)):
                count = min(self.left[piece], room // self.weights[piece])
                if count and self.offer.limits[s] is None:
                    each = (cost / count, s, count)
                    best = each if best is None else min(best, each)
        return best

    def run(self, should_stop: StopTest) -> Relaxed:
        """Enter columns into the basis until none pays."""
        values = (0,) * len(self.left)
        table, stopped = self.table, False
        for _ in range(ROUNDS):
            self.work.spend(table.size * table.size // 8 + len(self.usable) // 2 + 20)
            if table.cost <= NOTHING:
                break
            if self._enter_known():
                continue
            values, holds, columns = self._price()
            stopped = should_stop(values, holds)
            if stopped:
                break
            if (
                not any([table.enter(column) for column in columns])
                and not table.enter_slack_or_single()
            ):
                break
        return Relaxed(tuple(self._held()), values, stopped)

    def _held(self) -> Iterator[tuple[Column, float]]:
        """The columns held, with their amounts; a piece bought singly becomes a stick of that piece
        alone."""
        for entry, amount in zip(self.table.basis, self.table.held, strict=True):
            if entry is None or amount <= LEAST_AMOUNT:
                continue
            if not isinstance(entry, int):
                yield entry, amount
            elif (alone := self.alone[entry]) is not None:
                _, s, count = alone
                yield (s, ((entry, count),)), amount / count

    def _enter_known(self) -> bool:
        """Enter the fill of the pool that pays most. Returns whether one was entered."""
        prices, row_of = self.table.prices, self.table.row_of
        sticks = list(enumerate(zip(self.offer.rooms, self.table.floors(), strict=True)))
        best, gain = None, 1e-7
        for fill, weight in self.usable:
            value = sum([prices[row_of[i]] * count for i, count in fill])
            for s, (room, floor) in sticks:
                if weight <= room and value - floor > gain:
                    best, gain = (s, fill), value - floor
        return best is not None and self.table.enter(best)

    def _price(self) -> tuple[tuple[int, ...], list[int], list[Column]]:
        """Whole values of the pieces, the most of them that each room holds, and new columns, best
        first."""
        table = self.table
        values = [0] * len(self.left)
        for i, price in zip(table.pieces, table.prices, strict=False):
            values[i] = max(0, round(price * PRICE_SCALE))
        ranked = rank(self.weights, values, self.left)
        holds: list[int] = []
        columns: list[tuple[int, Column]] = []
        for s, floor in enumerate(table.floors()):
            least = max(0, round(floor * PRICE_SCALE))
            # Because of rounding, some fills seem to pay by a little.
            worth = best_fill(ranked, self.offer.rooms[s], least + 64, self.work, COLUMN_STEPS)
            holds.append(worth.bound)
            if worth.fill:
                columns.append((least - worth.value, (s, worth.fill)))
                self._learn(worth.fill)
        columns.sort()
        return tuple(values), holds, [column for _, column in columns]

    def _learn(self, fill: Fill) -> None:
        if fill not in self.pool:
            if len(self.pool) >= FILLS_KEPT:
                for old in list(self.pool)[: FILLS_KEPT // 2]:
                    del self.pool[old]
            self.pool[fill] = weigh(fill, self.weights)
            self.usable.append((fill, self.pool[fill]))
