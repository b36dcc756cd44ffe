"""Core: the plan, of as many sticks that cost as much, in which one stick holds the least
(method 12): what that one has left is the longest offcut.

In each mix of sticks, a stick of each length in turn is the one to be emptied. The others hold no
more of any value of the pieces than their fullest fills do, so some value is left for that stick:
of the material, of the number of pieces, of the prices of a relaxation. Fills of the stick that
have it are tried from the least on; the first with which all other pieces go into the other sticks
is the least there is, as long as every search before it ended in a proof. So where the work lasts
the offcut is the longest. None of the sticks is left empty: where they are the fewest, none can be.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from typing import Final, TypeAlias

from service.core.stock.completing import Completion
from service.core.stock.fills import Fill, Spent, Work, best_fill, greedy_fill, rank, weigh
from service.core.stock.packing import FilledSticks, fill_fullest, take_off
from service.core.stock.planning import Instance, NumberedSticks, number_sticks
from service.core.stock.relaxation import relax
from service.core.stock.searching import Bins, Search, Shop
from service.core.stock.tableau import Offer

Emptied: TypeAlias = tuple[Fill, list[FilledSticks]]
"""What the emptied stick holds, and the others."""
Manner: TypeAlias = Callable[[Bins, int], Emptied | None]
"""How a stick is emptied: told the others, and below which weight its fill is of use."""

FEW_PIECES: Final = 24
"""Pieces up to which one search goes on for long; beyond which the other sticks are first filled
as full as can be."""
PLAIN_PIECES: Final = 45
"""Pieces up to which a plain search comes first, that knows of no relaxation."""
MOST_LENGTHS: Final = 12
"""Lengths beyond which trying the fills of a stick finds next to nothing more, of more pieces than
FEW_PIECES."""
FILLING_SHARE: Final = 0.5
"""Of the work that is left, what filling the others may take."""
RELAXING_SHARE: Final = 0.2
"""What one relaxation may take."""
SEARCHING_SHARE: Final = 0.25
"""What one search may take."""
PLAIN_WORK: Final = 1000
"""Work of a plain search, where another follows it."""
BOUND_STEPS: Final = 200
"""Steps after which a bound on what a room holds is good enough."""
INEQUALITIES_KEPT: Final = 12
"""Inequalities that are kept from one search to the next."""


def empty_one(
    instance: Instance, numbers: Sequence[int], longest: int, work: Work
) -> NumberedSticks | None:
    """A plan of as many sticks at the cost of `numbers`, the first of which has more left than
    `longest`: as much as the work finds. None where none is found.

    >>> empty_one(Instance((6, 5, 3), (1, 1, 2), (12,), (12,), (9,)), (0, 0), 4, Work(999))
    ((0, ((1, 1),), 1), (0, ((0, 1), (2, 2)), 1))
    """
    emptying = _Emptying(instance, longest, work)
    many = sum(instance.counts) > FEW_PIECES
    if many:
        part = work.share(int(work.left * FILLING_SHARE))
        emptying.look(numbers, emptying.by_filling, part)
        work.settle(part)
    if not many or len(instance.weights) <= MOST_LENGTHS:
        emptying.look(numbers, emptying.by_trying, work)
    return emptying.best


def _mixes(instance: Instance, numbers: Sequence[int], work: Work) -> Iterator[tuple[int, ...]]:
    """Every mix of as many sticks at the same cost, each as how many there are of each stick: the
    given one, then the others."""
    own = tuple(map(list(numbers).count, range(len(instance.rooms))))
    yield own
    cost = sum([instance.costs[number] for number in numbers])
    for mix in _mixes_from(instance, 0, len(numbers), cost, work):
        if mix != own:
            yield mix


def _mixes_from(
    instance: Instance, number: int, sticks: int, cost: int, work: Work
) -> Iterator[tuple[int, ...]]:
    """Mixes of the sticks from a number on."""
    costs, most = instance.costs[number:], min(sticks, instance.limits[number])
    work.spend(1 + most // 8)
    if len(costs) == 1:
        if most == sticks and most * costs[0] == cost:
            yield (most,)
        return
    least, greatest = min(costs[1:]), max(costs[1:])
    for count in range(most + 1):
        left = cost - count * costs[0]
        if (sticks - count) * least <= left <= (sticks - count) * greatest:
            for rest in _mixes_from(instance, number + 1, sticks - count, left, work):
                yield (count, *rest)


def _all_used(filled: Sequence[FilledSticks], bins: Bins) -> bool:
    """Whether no stick is empty."""
    return sum([count for *_, count in filled]) == sum(bins.values())


class _Emptying:
    """A look at one instance: what is known whichever its sticks, and the best so far."""

    def __init__(self, instance: Instance, longest: int, work: Work) -> None:
        self.instance, self.longest, self.work = instance, longest, work
        self.best: NumberedSticks | None = None
        self.ranked = rank(instance.weights, instance.weights, instance.counts)
        self.shop = Shop(instance.weights, instance.counts)
        self.material = self.shop.inequality(instance.weights)
        self.number = self.shop.inequality((1,) * len(instance.weights))
        self.shop.inequalities += [self.material, self.number]

    def look(self, numbers: Sequence[int], manner: Manner, work: Work) -> None:
        """Empty a stick of every mix in one manner, until the work is used up."""
        self.work = work
        try:
            for mix in _mixes(self.instance, numbers, work):
                for target, count in enumerate(mix):
                    if count:
                        self._empty(mix, target, manner)
        except Spent:
            pass

    def _empty(self, mix: Sequence[int], target: int, manner: Manner) -> None:
        self.work.spend(2)
        others = list(mix)
        others[target] -= 1
        bins: Bins = {}
        for room, count in zip(self.instance.rooms, others, strict=True):
            if count:
                bins[room] = bins.get(room, 0) + count
        self._measure(bins)
        room = self.instance.rooms[target]
        below = room - self.longest
        found = manner(bins, below) if bins and self._least(bins) < below else None
        if found is not None:
            fill, filled = found
            rest = number_sticks(self.instance, tuple(others), filled)
            self.best = ((target, fill, 1), *rest)
            self.longest = room - weigh(fill, self.instance.weights)

    def by_filling(self, bins: Bins, below: int) -> Emptied | None:
        """The other sticks as full as can be, one after another; what is left is the fill."""
        left = list(self.instance.counts)
        filled = fill_fullest(self.instance.weights, left, bins, self.work)
        fill = tuple([(i, count) for i, count in enumerate(left) if count])
        good = 0 < weigh(fill, self.instance.weights) < below and _all_used(filled, bins)
        return (fill, filled) if good else None

    def by_trying(self, bins: Bins, below: int) -> Emptied | None:
        """The least fill with which all other pieces are seen to go into the other sticks."""
        self._relax(bins, below)
        for fill in self._fills(bins, below):
            filled = self._pack(fill, bins)
            if filled is not None and _all_used(filled, bins):
                return fill, filled
        return None

    def _measure(self, bins: Bins) -> None:
        """The most material that a fill of each room has, and the most pieces: the shortest."""
        weights, counts = self.instance.weights, self.instance.counts
        for room in bins:
            if room not in self.material.known:
                most = best_fill(self.ranked, room, 0, self.work, BOUND_STEPS).bound
                self.material.known[room] = most
                shortest = greedy_fill(weights[::-1], counts[::-1], room)
                self.number.known[room] = sum([count for _, count in shortest])

    def _know(self, values: Sequence[int], holds: Mapping[int, int]) -> None:
        """Keep an inequality. holds: the most value that a fill of a room has, where known."""
        known = self.shop.inequalities
        if (
            any(values)
            and len(known) < INEQUALITIES_KEPT
            and all([each.values != values for each in known])
        ):
            known.append(self.shop.inequality(values))
            known[-1].known.update(holds)

    def _left(self, bins: Bins) -> list[int]:
        """The value that the other sticks leave, by each inequality."""
        left = []
        for each in self.shop.inequalities:
            held = [some * each.holds(room, self.work) for room, some in bins.items()]
            left.append(each.value_of(self.instance.counts) - sum(held))
        return left

    def _least(self, bins: Bins) -> int:
        """What a fill weighs at least that has what every inequality leaves for it."""
        pairs = zip(self.shop.inequalities, self._left(bins), strict=True)
        return max([1, *[self._weight_of(each.values, left) for each, left in pairs]])

    def _weight_of(self, values: Sequence[int], need: int) -> int:
        """What pieces of a value weigh at least."""
        if need <= 0:
            return 0
        pairs = zip(self.instance.weights, values, strict=True)
        return min([-(-need * weight // value) for weight, value in pairs if value])

    def _relax(self, bins: Bins, below: int) -> None:
        """Keep an inequality: of the prices of the relaxation in which a piece that is in no other
        stick costs its weight, those that leave the most for the one to be emptied."""
        weights, counts, limits = self.instance.weights, self.instance.counts, tuple(bins.values())
        best: tuple[int, Sequence[int], Sequence[int]] = (0, (), ())

        def enough(values: Sequence[int], holds: Sequence[int]) -> bool:
            nonlocal best
            need = sum(map(int.__mul__, values, counts)) - sum(map(int.__mul__, holds, limits))
            best = max(best, (self._weight_of(values, need), values, tuple(holds)))
            return best[0] >= below

        top = max(self.instance.rooms)
        offer = Offer(tuple(bins), [0.0] * len(bins), limits, [weight / top for weight in weights])
        part = self.work.share(int(self.work.left * RELAXING_SHARE))
        with suppress(Spent):
            relax(weights, counts, offer, self.shop.pool, part, enough)
        self.work.settle(part)
        _, values, holds = best
        self._know(values, dict(zip(bins, holds, strict=False)))

    def _fills(self, bins: Bins, below: int) -> Iterator[Fill]:
        """Fills of less weight than `below`, the least first, that no inequality rules out."""
        known, left = self.shop.inequalities, self._left(bins)
        least, first = max(
            (self._weight_of(each.values, some), place)
            for place, (each, some) in enumerate(zip(known, left, strict=True))
        )
        values, need = known[first].values, left[first]
        for _, fill in sorted(self._listed(max(1, least), below, values, need)):
            if len(left) < len(known):
                left = self._left(bins)
            pairs = zip(known, left, strict=True)
            if all([weigh(fill, each.values) >= some for each, some in pairs]):
                yield fill

    def _listed(
        self, least: int, below: int, values: Sequence[int], need: int
    ) -> Iterator[tuple[int, Fill]]:
        """Weights and fills from `least` to less than `below` that have the value needed."""
        weights, counts = self.instance.weights, self.instance.counts
        # What the pieces from each place on weigh and are worth.
        heavy, dear = [0], [0]
        for weight, value, count in zip(weights[::-1], values[::-1], counts[::-1], strict=True):
            heavy.insert(0, heavy[0] + weight * count)
            dear.insert(0, dear[0] + value * count)
        begun: list[tuple[int, int, int, Fill]] = [(0, 0, 0, ())] if least < below else []
        while begun:
            place, held, worth, fill = begun.pop()
            self.work.spend(1)
            if place == len(weights):
                yield held, fill
                continue
            after = place + 1
            light, cheap = least - heavy[after], need - dear[after]
            for k in range(min(counts[place], (below - 1 - held) // weights[place]) + 1):
                if held >= light and worth >= cheap:
                    begun.append((after, held, worth, (*fill, (place, k)) if k else fill))
                held += weights[place]
                worth += values[place]

    def _pack(self, fill: Fill, bins: Bins) -> list[FilledSticks] | None:
        """All other pieces in the other sticks; None where they do not go, or it takes too long to
        see."""
        left = list(self.instance.counts)
        take_off(left, fill, 1)
        pieces, long = sum(self.instance.counts), int(self.work.left * SEARCHING_SHARE)
        try:
            if pieces <= PLAIN_PIECES:
                share = self.work.share(long if pieces <= FEW_PIECES else PLAIN_WORK)
                return self._complete(left, bins, share)
        except Spent:
            if pieces <= FEW_PIECES:
                return None
        return self._search(left, bins, self.work.share(long))

    def _complete(self, left: Sequence[int], bins: Bins, work: Work) -> list[FilledSticks] | None:
        """The same by the plain search. Raises Spent."""
        rooms = [room for room, count in bins.items() for _ in range(count)]
        try:
            fills = Completion(self.instance.weights, self.material.known, work).fill(left, rooms)
        finally:
            self.work.settle(work)
        if fills is None:
            return None
        return [(room, fill, 1) for room, fill in zip(rooms, fills, strict=True) if fill]

    def _search(self, left: Sequence[int], bins: Bins, work: Work) -> list[FilledSticks] | None:
        """The same by the search with relaxations; an inequality that the sticks break is kept."""
        search = Search(self.shop, bins, work)
        filled = search.run(tuple(left))
        self.work.settle(work)
        if search.violated is not None:
            self._know(search.violated.values, search.violated.known)
        return filled
