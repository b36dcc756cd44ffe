"""Core: which sticks to buy (method 12): the cheapest mix that nothing rules out, then the fewest.

A mix is how many of each stick. Inequalities (`relaxation`) are what any mix must hold, so the
cheapest mix that keeps them all bounds the cost of every plan, rounded up to what sticks can cost.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from service.core.stock.fills import Work

Mix: TypeAlias = tuple[int, ...]
"""How many of each stick."""
Aim: TypeAlias = tuple[int, int]
"""Cost and number of sticks: the first two aims."""

Row: TypeAlias = tuple[int, int, int, int]
"""Of one requirement: what a stick holds of it; of those that follow the best cost for value, and
the most that one of them holds."""

TRIES: Final = 1_000_000
"""Needs that are looked at, at the least, as numbers of sticks are tried: of a thousand sticks on
hand a step of the work may try all thousand numbers."""


@dataclass(frozen=True, slots=True)
class Requirement:
    """One inequality, as mixes see it: the value that is needed and what each stick holds of it."""

    need: int
    holds: tuple[int, ...]


def aim_of(mix: Mix, costs: Sequence[int]) -> Aim:
    """Cost and number of a mix."""
    return sum(map(int.__mul__, mix, costs)), sum(mix)


def cheapest_mix(
    costs: Sequence[int],
    limits: Sequence[int],
    requirements: Sequence[Requirement],
    closed: Collection[Mix],
    below: Aim | None,
    work: Work,
    tries: Work,
) -> Mix | None:
    """The mix of least cost, then fewest sticks, that meets every requirement and is not closed.

    below: only mixes better than this count. tries: so many needs may still be looked at as
    numbers of a stick are tried, over all looks for a mix. None where there is none.

    >>> cheapest_mix((144, 192), (9, 9), [Requirement(7, (2, 3))], (), None, Work(999), Work(9))
    (2, 1)
    """
    return _Mixing(costs, limits, requirements, closed, below, work, tries).run()


def _after(row: Sequence[Row], needs: Sequence[int], number: int) -> tuple[list[int], Aim | None]:
    """What is needed after so many of a stick; and the least cost and number with which those that
    follow it can meet that, None where they cannot."""
    rest = []
    cost = count = 0
    for need, (held, price, value, most) in zip(needs, row, strict=True):
        left = need - number * held
        rest.append(left)
        if left > 0:
            if not most:
                return rest, None
            dear, many = -(-left * price // value), -(-left // most)
            if dear > cost:
                cost = dear
            if many > count:
                count = many
    return rest, (cost, count)


class _Mixing:
    """Depth first over sticks, those that hold the most for their cost first."""

    def __init__(
        self, costs: Sequence[int], limits: Sequence[int], requirements: Sequence[Requirement],
        closed: Collection[Mix], below: Aim | None, work: Work, tries: Work,
    ) -> None:  # fmt: skip
        self.costs, self.limits, self.closed = costs, limits, closed
        self.work, self.tries = work, tries
        self.requirements = requirements
        size = len(costs)
        main = requirements[-1].holds
        self.order = sorted(range(size), key=lambda s: (-main[s] / max(costs[s], 1e-9), -main[s]))
        # For each requirement, from each place in the order on: the best cost for value, and the
        # most that a stick holds.
        self.tails = [self._tail(requirement.holds) for requirement in requirements]
        self.rows = [
            [
                (requirement.holds[s], *tail[place + 1])
                for requirement, tail in zip(requirements, self.tails, strict=True)
            ]
            for place, s in enumerate(self.order)
        ]
        self.best: Mix | None = None
        self.below = below
        self.mix = [0] * size

    def _tail(self, holds: Sequence[int]) -> list[tuple[int, int, int]]:
        tail = [(1, 0, 0)]
        for s in reversed(self.order):
            cost, value, most = tail[-1]
            if holds[s] * cost > value * self.costs[s]:
                cost, value = self.costs[s], holds[s]
            tail.append((cost, value, max(most, holds[s])))
        tail.reverse()
        return tail

    def run(self) -> Mix | None:
        needs = [requirement.need for requirement in self.requirements]
        _, floor = _after([(0, *tail[0]) for tail in self.tails], needs, 0)
        if floor is None or self._too_dear(floor):
            self.work.spend(len(needs) + 2)
        else:
            self._choose(0, needs, 0, 0)
        return self.best

    def _choose(self, place: int, needs: list[int], cost: int, count: int) -> None:
        self.work.spend(len(needs) + 2)
        if place == len(self.order):
            self._close(cost, count)
            return
        s, row = self.order[place], self.rows[place]
        last = place == len(self.order) - 1
        if last:
            tried = range(self._least(s, needs), self.limits[s] + 1)
        else:
            tried = range(self._most(s, needs), self._fewest(place, needs, cost) - 1, -1)
        for number in tried:
            self.tries.spend(len(needs))
            rest, floor = _after(row, needs, number)
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
        """More than meet every need that it can help with are of use only past closed mixes."""
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
        for need, (held, price, value, _) in zip(needs, self.rows[place], strict=True):
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

    def _least(self, s: int, needs: Sequence[int]) -> int:
        least = 0
        for need, requirement in zip(needs, self.requirements, strict=True):
            if need > 0:
                held = requirement.holds[s]
                least = max(least, -(-need // held)) if held else self.limits[s] + 1
        return least

    def _close(self, cost: int, count: int) -> None:
        mix = tuple(self.mix)
        if mix not in self.closed and not self._too_dear((cost, count)):
            self.best, self.below = mix, (cost, count)
