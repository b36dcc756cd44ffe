"""Core: which sticks to buy (method 12): the cheapest mix that nothing rules out.

Of mixes at one cost, it is one with the fewest sticks. A mix is a number of each kind of stick.
Inequalities (`relaxation`) say what any mix must hold, so the cost of the cheapest mix that meets
them all bounds the cost of every plan, and it is a cost that sticks can add up to.

Suppose 7 pieces are needed, a stick at 144 holds 2 of them, and one at 192 holds 3. The search
tries numbers of the second, which holds the most for its cost: three cost 576; two and one of the
first, 528; one and two of the first, 480; four of the first alone, 576. So the answer is 480.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import cached_property
from typing import Final, TypeAlias

from service.core.frozen import record
from service.core.stock.fills import Work, WorkUsedUp

Mix: TypeAlias = tuple[int, ...]
"""How many there are of each kind of stick."""
Aim: TypeAlias = tuple[int, int]
"""Cost and number of sticks: the first two aims of a plan, in that order."""
Tail: TypeAlias = tuple[int, int, int, int, int]
"""What the sticks from a place in the order onward hold toward one requirement. total: all of them
together; free: those that cost nothing; price, value: of the others, the cost of the one that holds
the most for its cost, and what it holds; most: the most that any one of them holds."""
Row: TypeAlias = tuple[int, Tail]
"""For one requirement: what a stick holds toward it, and the tail of the sticks after it."""

TRIES: Final = 1_000_000
"""The least number of needs that may be looked at while numbers of a stick are tried. They are
counted apart from the work: with a thousand sticks on hand, one step of it may try a thousand
numbers."""
BOUNDING: Final = 30_000
"""Counted work on finding what has to be bought at the least."""


@record()
class Requirement:
    """One inequality, as mixes see it. need: the value that is needed; holds: what each stick holds
    of it."""

    need: int
    holds: tuple[int, ...]


def aim_of(mix: Mix, costs: Sequence[int]) -> Aim:
    """Cost of a mix, and how many sticks it has."""
    return sum(map(int.__mul__, mix, costs)), sum(mix)


def least_cost(
    costs: Sequence[int], limits: Sequence[int], requirements: Sequence[Requirement]
) -> int:
    """A lower bound on the cost of every mix that meets all requirements.

    It takes the sticks that cost nothing as holding all that they can, and finds the cost of the
    others for what is left of each need.

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
    except WorkUsedUp:
        mix = None
    least = mixing.floor if mix is None else aim_of(mix, prices)
    return 0 if least is None else least[0]


def _needs_after(
    row: Sequence[Row], needs: Sequence[int], number: int
) -> tuple[list[int], Aim | None]:
    """What `number` of a stick leaves of each need, and a bound on what that takes of later sticks.

    The bound is the least cost and the least number of sticks, or None where they cannot meet a
    need.
    """
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
    """A depth-first search for the cheapest mix, by sticks that hold the most for their cost first.

    best: the cheapest mix found so far.

    >>> Mixing((144, 192), (9, 9), [Requirement(7, (2, 3))], Work(999), Work(9)).cheapest()
    (2, 1)
    """

    def __init__(
        self, costs: Sequence[int], limits: Sequence[int], requirements: Sequence[Requirement],
        work: Work, tries: Work,
    ) -> None:  # fmt: skip
        """tries: how many needs may still be looked at while numbers of a stick are tried, over all
        searches for a mix."""
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
        """The tails of one requirement, one from each place in the order of sticks onward."""
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
        """Lower bounds on a mix's cost and on its number of sticks; None where no mix meets every
        requirement."""
        needs = [requirement.need for requirement in self.requirements]
        return _needs_after([(0, tail[0]) for tail in self.tails], needs, 0)[1]

    def cheapest(self, below: Aim | None = None, closed: Collection[Mix] = ()) -> Mix | None:
        """The mix of least cost, then fewest sticks, that meets every requirement; else None.

        below: only mixes better than this count; closed: mixes that do not count. Raises
        WorkUsedUp.
        """
        self.below, self.closed = below, closed
        needs = [requirement.need for requirement in self.requirements]
        if self.floor is None or self._too_dear(self.floor):
            self.work.spend(len(needs) + 2)
        else:
            self._choose(0, needs, 0, 0)
        return self.best

    def _choose(self, place: int, needs: list[int], cost: int, count: int) -> None:
        """Try the numbers of the stick at a place, then of the sticks after it.

        needs: what the sticks before it leave of each need; cost, count: what those sticks come to.
        """
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
                # More of the last stick would be dearer still. Where later sticks cannot meet a
                # need, they cannot with fewer of this one either.
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
        """The greatest number of a stick that is worth trying.

        More than meet every need that it can help with are of use only to get past closed mixes.
        """
        most = 0
        for need, requirement in zip(needs, self.requirements, strict=True):
            held = requirement.holds[s]
            if need > 0 and held:
                most = max(most, -(-need // held))
        return min(most + len(self.closed), self.limits[s])

    def _fewest(self, place: int, needs: Sequence[int], cost: int) -> int:
        """The least number of the stick at a place that is worth trying.

        With fewer, the later sticks would be too dear, or they hold none of what is still needed.
        cost: of the sticks before it.
        """
        if self.below is None:
            return 0
        left, price_of_one = self.below[0] - cost, self.costs[self.order[place]]
        fewest = 0
        for need, (held, (_, free, price, value, _)) in zip(needs, self.rows[place], strict=True):
            need -= free
            if need > 0:
                enough = -(-need // held) if held else self.limits[self.order[place]] + 1
                # What is short of a need costs at least `price` for each `value` of it. With
                # `number` of this stick, need - number * held is short; it is cheap enough where
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
        """The least number of the last stick that meets every need.

        It is more than there are where the stick holds nothing of a need.
        """
        least = 0
        for need, requirement in zip(needs, self.requirements, strict=True):
            if need > 0:
                held = requirement.holds[s]
                least = max(least, -(-need // held)) if held else self.limits[s] + 1
        return least

    def _keep(self, cost: int, count: int) -> None:
        """Keep the chosen mix as the best so far, unless it is closed or no better."""
        mix = tuple(self.mix)
        if mix not in self.closed and not self._too_dear((cost, count)):
            self.best, self.below = mix, (cost, count)
