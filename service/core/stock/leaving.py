"""Core: what the other sticks leave over for the one that is to be emptied (method 12).

The other sticks hold no more of any value of the pieces than their fullest fills do, be it
material, the number of pieces, or the prices of a relaxation. What is over has to be in the emptied
stick, so its fills are tried from the lightest that can hold it. Pieces of 6, 5, 3 and 3 weigh 17;
another stick of 12 holds at most 12 of them, so 5 are left over, and the lightest fill that may do
is the piece of 5.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from service.core.stock.fills import Fill, Work, best_fill, greedy_fill, rank, weigh, weigh_onward
from service.core.stock.instance import Instance
from service.core.stock.searching import SearchContext, SticksByRoom

BOUND_STEPS: Final = 200
"""Steps after which a bound on what a room holds is good enough."""
INEQUALITIES_KEPT: Final = 12
"""How many inequalities are kept from one search to the next."""


class Leaving:
    """What is known of an instance whatever the mix.

    context: its inequalities, and what else searches share; material: the inequality by weight.

    In its methods, `sticks_by_room` are the other sticks, and a fill must weigh less than `below`
    to be of use.
    """

    def __init__(self, instance: Instance) -> None:
        self.instance = instance
        self.context = SearchContext(instance.weights, instance.counts)
        self.material = self.context.inequality(instance.weights)
        self._number = self.context.inequality((1,) * len(instance.weights))
        self.context.inequalities += [self.material, self._number]
        self._ranked = rank(instance.weights, instance.weights, instance.counts)

    def measure(self, sticks_by_room: SticksByRoom, work: Work) -> None:
        """Work out, for each new room, the most material and the most pieces that a fill of it
        has."""
        weights, counts = self.instance.weights, self.instance.counts
        for room in sticks_by_room:
            if room not in self.material.known:
                most = best_fill(self._ranked, room, 0, work, BOUND_STEPS).bound
                self.material.known[room] = most
                shortest = greedy_fill(weights[::-1], counts[::-1], room)
                self._number.known[room] = sum([count for _, count in shortest])

    def keep(self, values: Sequence[int], holds: Mapping[int, int]) -> None:
        """Keep a new inequality, up to INEQUALITIES_KEPT.

        holds: the most value that a fill of each room has, where that is known.
        """
        known = self.context.inequalities
        if (
            any(values)
            and len(known) < INEQUALITIES_KEPT
            and all([each.values != values for each in known])
        ):
            known.append(self.context.inequality(values))
            known[-1].known.update(holds)

    def _values_left(self, sticks_by_room: SticksByRoom, work: Work) -> list[int]:
        """The value that the other sticks leave over at the least, by each inequality."""
        left = []
        for each in self.context.inequalities:
            held = [some * each.holds(room, work) for room, some in sticks_by_room.items()]
            left.append(each.value_of(self.instance.counts) - sum(held))
        return left

    def least(self, sticks_by_room: SticksByRoom, work: Work) -> int:
        """The least weight of a fill that may hold what the other sticks leave over by every
        inequality."""
        pairs = zip(self.context.inequalities, self._values_left(sticks_by_room, work), strict=True)
        return max([1, *[self._least_weight(each.values, left) for each, left in pairs]])

    def _least_weight(self, values: Sequence[int], need: int) -> int:
        """The least that pieces of this total value can weigh."""
        if need <= 0:
            return 0
        pairs = zip(self.instance.weights, values, strict=True)
        return min([-(-need * weight // value) for weight, value in pairs if value])

    def fills(self, sticks_by_room: SticksByRoom, below: int, work: Work) -> Iterator[Fill]:
        """The fills that weigh less than `below` and that no inequality rules out, lightest
        first."""
        known, left = self.context.inequalities, self._values_left(sticks_by_room, work)
        least, first = max(
            (self._least_weight(each.values, some), place)
            for place, (each, some) in enumerate(zip(known, left, strict=True))
        )
        values, need = known[first].values, left[first]
        for _, fill in sorted(self._enumerated(max(1, least), below, values, need, work)):
            if len(left) < len(known):
                left = self._values_left(sticks_by_room, work)
            pairs = zip(known, left, strict=True)
            if all([weigh(fill, each.values) >= some for each, some in pairs]):
                yield fill

    def _enumerated(
        self, least: int, below: int, values: Sequence[int], need: int, work: Work
    ) -> Iterator[tuple[int, Fill]]:
        """Fills that weigh from `least` to less than `below` and have the value needed, with their
        weights."""
        weights, counts = self.instance.weights, self.instance.counts
        heavy, dear = weigh_onward(counts, weights), weigh_onward(counts, values)
        begun: list[tuple[int, int, int, Fill]] = [(0, 0, 0, ())] if least < below else []
        while begun:
            work.spend(1)
            place, held, worth, fill = begun.pop()
            if held >= least and worth >= need:
                yield held, fill
            for i in range(place, len(weights)):
                if held + heavy[i] < least or worth + dear[i] < need:
                    break
                for k in range(1, min(counts[i], (below - 1 - held) // weights[i]) + 1):
                    more = held + k * weights[i]
                    begun.append((i + 1, more, worth + k * values[i], (*fill, (i, k))))
