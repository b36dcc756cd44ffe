"""Core: which sticks to buy (method 12): the cheapest mix that nothing rules out, then the fewest.

A mix is how many of each stick. Inequalities (`relaxation`) are what any mix must hold, so the
cheapest mix that keeps them all bounds the cost of every plan, rounded up to what sticks can cost.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from service.core.stock.fills import Work

Mix: TypeAlias = tuple[int, ...]
"""How many of each stick."""
Aim: TypeAlias = tuple[int, int]
"""Cost and number of sticks: the first two aims."""


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
) -> Mix | None:
    """The mix of least cost, then fewest sticks, that meets every requirement and is not closed.

    below: only mixes better than this count. None where there is none.

    >>> cheapest_mix((144, 192), (9, 9), [Requirement(7, (2, 3))], (), None, Work(999))
    (2, 1)
    """
    return _Mixing(costs, limits, requirements, closed, below, work).run()


class _Mixing:
    """Depth first over sticks, those that hold the most for their cost first."""

    def __init__(
        self, costs: Sequence[int], limits: Sequence[int], requirements: Sequence[Requirement],
        closed: Collection[Mix], below: Aim | None, work: Work,
    ) -> None:  # fmt: skip
        self.costs, self.limits, self.closed, self.work = costs, limits, closed, work
        self.requirements = requirements
        size = len(costs)
        main = requirements[-1].holds
        self.order = sorted(range(size), key=lambda s: (-main[s] / max(costs[s], 1e-9), -main[s]))
        # For each requirement, from each place in the order on: the best cost for value, and the
        # most that a stick holds.
        self.tails = [self._tail(requirement.holds) for requirement in requirements]
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
        floor = self._floor(0, needs)
        if floor is None or self._too_dear(floor):
            self.work.spend(len(needs) + 2)
        else:
            self._choose(0, needs, 0, 0)
        return self.best

    def _floor(self, place: int, needs: Sequence[int]) -> Aim | None:
        """Least cost and number with which sticks from `place` on can meet the needs."""
        cost = count = 0
        for need, tail in zip(needs, self.tails, strict=True):
            if need > 0:
                price, value, most = tail[place]
                if not most:
                    return None
                cost = max(cost, -(-need * price // value))
                count = max(count, -(-need // most))
        return cost, count

    def _choose(self, place: int, needs: list[int], cost: int, count: int) -> None:
        self.work.spend(len(needs) + 2)
        if place == len(self.order):
            self._close(cost, count)
            return
        s = self.order[place]
        most = self._most(s, needs)
        last = place == len(self.order) - 1
        tried = range(self._least(s, needs), self.limits[s] + 1) if last else range(most, -1, -1)
        for number in tried:
            rest = [
                need - number * requirement.holds[s]
                for need, requirement in zip(needs, self.requirements, strict=True)
            ]
            floor = self._floor(place + 1, rest)
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
