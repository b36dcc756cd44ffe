"""Core: the plan, of as many sticks that cost as much, in which one stick holds the least
(method 12): what that one has left is the longest offcut.

In each mix of sticks, a stick of each length in turn is the one to be emptied. Fills of it that
hold all that the others must leave (`leaving`) are tried from the least on; the first with which
all other pieces go into the other sticks is the least there is, as long as every search before it
ended in a proof. So where the work lasts the offcut is the longest. None of the sticks is left
empty: where they are the fewest, none can be.

Pieces of 6, 5, 3 and 3 need two sticks of 12. As 6 + 5 and 3 + 3 the longest offcut is 6. A fill of
5 is the least that the other stick must leave, and 6 + 3 + 3 go into that: now 7 are left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from typing import Final, TypeAlias

from service.core.stock.completing import Completion
from service.core.stock.fills import Fill, Spent, Work, weigh
from service.core.stock.instance import Instance, NumberedSticks
from service.core.stock.leaving import Leaving
from service.core.stock.packing import FilledSticks, fill_fullest, take_off
from service.core.stock.searching import Bins, Search

Emptied: TypeAlias = tuple[Fill, list[FilledSticks]]
"""What the emptied stick holds, and the others."""
Manner: TypeAlias = Callable[[Bins, int], Emptied | None]
"""How a stick is emptied: told the others, and below which weight its fill is of use."""

FILLED_FIRST: Final = 12
"""Pieces beyond which the other sticks are first filled as full as can be."""
FEW_PIECES: Final = 24
"""Pieces beyond which, where there are many lengths, trying the fills of a stick finds too little
more for what it takes."""
MOST_LENGTHS: Final = 12
"""Lengths that are not many."""
PLAIN_PIECES: Final = 45
"""Pieces up to which a plain search will do, that knows of no relaxation."""
FILLING_SHARE: Final = 0.5
"""Of the work that is left, what filling the others may take."""
SEARCHING_SHARE: Final = 0.25
"""What one search may take."""


def empty_one(
    instance: Instance, numbers: Sequence[int], longest: int, work: Work
) -> NumberedSticks | None:
    """A plan of as many sticks at the cost of `numbers`, the first of which has more left than
    `longest`: as much as the work finds. None where none is found.

    >>> empty_one(Instance((6, 5, 3), (1, 1, 2), (12,), (12,), (9,)), (0, 0), 4, Work(999))
    ((0, ((1, 1),), 1), (0, ((0, 1), (2, 2)), 1))
    """
    emptying = _Emptying(instance, longest, work)
    pieces = sum(instance.counts)
    if pieces > FILLED_FIRST:
        part = work.share(int(work.left * FILLING_SHARE))
        emptying.look(numbers, emptying.by_filling, part)
        work.settle(part)
    if pieces <= FEW_PIECES or len(instance.weights) <= MOST_LENGTHS:
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
        self.leaving = Leaving(instance)

    @cached_property
    def _completion(self) -> Completion:
        """The plain searches, which share what they list."""
        instance = self.instance
        return Completion(instance.weights, instance.counts, self.leaving.material.known)

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
        bins = self.instance.bins(others)
        self.leaving.measure(bins, self.work)
        room = self.instance.rooms[target]
        below = room - self.longest
        is_hopeful = bins and self.leaving.least(bins, self.work) < below
        found = manner(bins, below) if is_hopeful else None
        if found is not None:
            fill, filled = found
            rest = self.instance.numbered(others, filled)
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
        for fill in self.leaving.fills(bins, below, self.work):
            filled = self._pack(fill, bins)
            if filled is not None and _all_used(filled, bins):
                return fill, filled
        return None

    def _pack(self, fill: Fill, bins: Bins) -> list[FilledSticks] | None:
        """All other pieces in the other sticks; None where they do not go, or it takes too long to
        see."""
        left = list(self.instance.counts)
        take_off(left, fill, 1)
        share = self.work.share(int(self.work.left * SEARCHING_SHARE))
        is_plain = sum(self.instance.counts) <= PLAIN_PIECES
        return (self._complete if is_plain else self._search)(left, bins, share)

    def _complete(self, left: Sequence[int], bins: Bins, work: Work) -> list[FilledSticks] | None:
        """The same by the plain search."""
        rooms = [room for room, count in bins.items() for _ in range(count)]
        try:
            fills = self._completion.fill(left, rooms, work)
        except Spent:
            fills = None
        self.work.settle(work)
        if fills is None:
            return None
        return [(room, fill, 1) for room, fill in zip(rooms, fills, strict=True) if fill]

    def _search(self, left: Sequence[int], bins: Bins, work: Work) -> list[FilledSticks] | None:
        """The same by the search with relaxations; an inequality that the sticks break is kept."""
        search = Search(self.leaving.shop, bins, work)
        filled = search.run(tuple(left))
        self.work.settle(work)
        if search.violated is not None:
            self.leaving.keep(search.violated.values, search.violated.known)
        return filled
