"""Core: which sticks to buy (method 12): the cheapest mix that nothing rules out, then the fewest.

A mix is how many of each stick. Inequalities (`relaxation`) are what any mix must hold, so the
cheapest mix that keeps them all bounds the cost of every plan, rounded up to what sticks can cost.

Where 7 pieces are needed, and a stick at 144 holds 2 of them and one at 192 holds 3, the look goes
by the numbers of the second, which holds the most for its cost: 3 come to 576, 2 with one of the
first to 528, 1 with two to 480; none of it with four of the first come to 576. So 480 it is.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final, TypeAlias

from service.core.stock.fills import Spent, Work

Mix: TypeAlias = tuple[int, ...]
"""How many of each stick."""
Aim: TypeAlias = tuple[int, int]
"""Cost and number of sticks: the first two aims."""
Tail: TypeAlias = tuple[int, int, int, int, int]
"""Of one requirement and the sticks from a place on. total: what all of them hold; free: what those
hold that cost nothing; price, value: of the others the best cost for what it holds, and that; most:
what one of them all holds at most."""
Row: TypeAlias = tuple[int, Tail]
"""Of one requirement: what a stick holds of it, and the tail that follows."""

TRIES: Final = 1_000_000
"""Needs that are looked at, at the least, as numbers of sticks are tried: of a thousand sticks on
hand a step of the work may try all thousand numbers."""
BOUNDING: Final = 30_000
"""Work on what has to be bought at least."""


@dataclass(frozen=True, slots=True)
class Requirement:
    """One inequality, as mixes see it: the value that is needed and what each stick holds of it."""

    need: int
    holds: tuple[int, ...]


def aim_of(mix: Mix, costs: Sequence[int]) -> Aim:
    """Cost and number of a mix."""
    return sum(map(int.__mul__, mix, costs)), sum(mix)


def least_cost(
    costs: Sequence[int], limits: Sequence[int], requirements: Sequence[Requirement]
) -> int:
    """No mix that meets every requirement costs less: what the sticks that cost something come to,
    at least, where those that cost nothing hold all that they can.

    Of 1000, thirty free sticks of 20 hold 600, and eight of 50 the rest:

    >>> least_cost((0, 9), (30, 99), [Requirement(1000, (20, 50))])
    72
    """
    bought = [stick for stick, cost in enumerate(costs) if cost]
    left = []
    for each in requirements:
        held = map(int.__mul__, each.holds, limits)
        free = sum([some for some, cost in zip(held, costs, strict=True) if not cost])
        left.append(Requirement(each.need - free, tuple([each.holds[stick] for stick in bought])))
    prices = [costs[stick] for stick in bought]
    numbers = [limits[stick] for stick in bought]
    mixing = Mixing(prices, numbers, left, Work(BOUNDING), Work(BOUNDING))
    try:
        mix = mixing.cheapest()
    except Spent:
        mix = None
    least = mixing.floor if mix is None else aim_of(mix, prices)
    return 0 if least is None else least[0]


def _needs_after(
    row: Sequence[Row], needs: Sequence[int], number: int
) -> tuple[list[int], Aim | None]:
    """What is still needed after `number` of a stick, and the least cost and number with which the
    sticks that follow it can meet that; None where they cannot."""
    rest = []
    cost = count = 0
    for need, (held, (total, free, price, value, most)) in zip(needs, row, strict=True):
        left = need - number * held
        rest.append(left)
        if left > 0:
            if left > total:
                return rest, None
            many = -(-left // most)
            if many > count:
                count = many
            if left > free:
                dear = -((free - left) * price // value)
                if dear > cost:
                    cost = dear
    return rest, (cost, count)


class Mixing:
    """A look for the cheapest mix: depth first over sticks, those that hold the most for their cost
    first. best: the cheapest mix so far.

    >>> Mixing((144, 192), (9, 9), [Requirement(7, (2, 3))], Work(999), Work(9)).cheapest()
    (2, 1)
    """

    def __init__(
        self, costs: Sequence[int], limits: Sequence[int], requirements: Sequence[Requirement],
        work: Work, tries: Work,
    ) -> None:  # fmt: skip
        """tries: how many needs may still be looked at while numbers of a stick are tried, over all
        looks for a mix."""
        self.costs, self.limits = costs, limits
        self.work, self.tries = work, tries
        self.requirements = requirements
        size = len(costs)
        main = requirements[-1].holds
        self.order = sorted(range(size), key=lambda s: (-main[s] / max(costs[s], 1e-9), -main[s]))
        self.tails = [self._tail(requirement.holds) for requirement in requirements]
        self.rows = [
            [
                (requirement.holds[s], tail[place + 1])
                for requirement, tail in zip(requirements, self.tails, strict=True)
            ]
            for place, s in enumerate(self.order)
        ]
        self.best: Mix | None = None
        self.closed: Collection[Mix] = ()
        self.below: Aim | None = None
        self.mix = [0] * size

    def _tail(self, holds: Sequence[int]) -> list[Tail]:
        """The tail of one requirement, from each place in the order on."""
        tail: list[Tail] = [(0, 0, 1, 0, 0)]
        for s in reversed(self.order):
            total, free, price, value, most = tail[-1]
            held = holds[s] * self.limits[s]
            if not self.costs[s]:
                free += held
            elif held and holds[s] * price > value * self.costs[s]:
                price, value = self.costs[s], holds[s]
            tail.append((total + held, free, price, value, max(most, holds[s])))
        tail.reverse()
        return tail

    @cached_property
    def floor(self) -> Aim | None:
        """No mix has less cost or fewer sticks; None where no mix meets every requirement."""
        needs = [requirement.need for requirement in self.requirements]
        return _needs_after([(0, tail[0]) for tail in self.tails], needs, 0)[1]

    def cheapest(self, below: Aim | None = None, closed: Collection[Mix] = ()) -> Mix | None:
        """The mix of least cost, then fewest sticks, that meets every requirement and is not
        closed. below: only mixes better than this count. None where there is none.

        Raises Spent.
        """
        self.below, self.closed = below, closed
        needs = [requirement.need for requirement in self.requirements]
        if self.floor is None or self._too_dear(self.floor):
            self.work.spend(len(needs) + 2)
        else:
            self._choose(0, needs, 0, 0)
        return self.best

    def _choose(self, place: int, needs: list[int], cost: int, count: int) -> None:
        """Try the numbers of the stick at a place. needs, cost, count: what the sticks before it
        leave of each need, and what they come to."""
        self.work.spend(len(needs) + 2)
        if place == len(self.order):
            self._keep(cost, count)
            return
        s, row = self.order[place], self.rows[place]
        last = place == len(self.order) - 1
        if last:
            tried = range(self._least_of_last(s, needs), self.limits[s] + 1)
        else:
            tried = range(self._most(s, needs), self._fewest(place, needs, cost) - 1, -1)
        for number in tried:
            self.tries.spend(len(needs))
            rest, floor = _needs_after(row, needs, number)
            aim = (cost + number * self.costs[s], count + number)
            if floor is None or self._too_dear((aim[0] + floor[0], aim[1] + floor[1])):
                # Fewer of this stick cost no less where it holds the most for its cost; more of
                # the last one cost more.
                if last or (floor is None):
                    break
                continue
            self.mix[s] = number
            self._choose(place + 1, rest, *aim)
            self.mix[s] = 0
            if last and self.best is not None and self._too_dear(aim):
                break

    def _too_dear(self, aim: Aim) -> bool:
        return self.below is not None and aim >= self.below

    def _most(self, s: int, needs: Sequence[int]) -> int:
        """More of a stick than meet every need that it can help with are of use only past closed
        mixes."""
        most = 0
        for need, requirement in zip(needs, self.requirements, strict=True):
            held = requirement.holds[s]
            if need > 0 and held:
                most = max(most, -(-need // held))
        return min(most + len(self.closed), self.limits[s])

    def _fewest(self, place: int, needs: Sequence[int], cost: int) -> int:
        """Fewer of the stick at a place are too dear whatever follows, or meet no need of one kind
        with all that follows. cost: of the sticks before it."""
        if self.below is None:
            return 0
        left, price_of_one = self.below[0] - cost, self.costs[self.order[place]]
        fewest = 0
        for need, (held, (_, free, price, value, _)) in zip(needs, self.rows[place], strict=True):
            need -= free
            if need > 0:
                enough = -(-need // held) if held else self.limits[self.order[place]] + 1
                # What is short of a need costs at least its price for so much value, and `number`
                # sticks leave short (need - number * held): cheap enough where
                # number * gain >= short.
                gain, short = held * price - price_of_one * value, need * price - left * value
                if gain > 0:
                    enough = min(enough, -(-short // gain))
                elif short <= 0:
                    continue
                if enough > fewest:
                    fewest = enough
        return fewest

    def _least_of_last(self, s: int, needs: Sequence[int]) -> int:
        """As many of the last stick as meet all that is needed; more than there are of one that
        holds nothing of a need."""
        least = 0
        for need, requirement in zip(needs, self.requirements, strict=True):
            if need > 0:
                held = requirement.holds[s]
                least = max(least, -(-need // held)) if held else self.limits[s] + 1
        return least

    def _keep(self, cost: int, count: int) -> None:
        """The mix that was chosen is the best so far, unless it is closed or no better."""
        mix = tuple(self.mix)
        if mix not in self.closed and not self._too_dear((cost, count)):
            self.best, self.below = mix, (cost, count)
