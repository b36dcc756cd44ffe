"""Core: the plan of given cost and number of sticks in which one stick holds the least (method 12).

What that stick has left is the longest offcut. In each mix of sticks, a stick of each kind in turn
is the one to be emptied. Those of its fills that hold all that the other sticks must leave over
(`leaving`) are tried, lightest first. The first with which all other pieces go into the other
sticks is the lightest there is, provided that every search before it ended in a proof; so, where
the work lasts, the offcut is the longest possible. No stick may be left empty; where the sticks are
the fewest, none can be.

Pieces of 6, 5, 3 and 3 need two sticks of 12. As 6 + 5 and 3 + 3, the longest offcut is 6. A fill
of 5 is the least that the other stick must leave over, and 6 + 3 + 3 go into that stick: now 7 are
left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cached_property
from typing import Final, TypeAlias

from service.core.stock.completing import PlainSearch
from service.core.stock.fills import Fill, Work, WorkUsedUp, weigh
from service.core.stock.instance import Instance, NumberedSticks
from service.core.stock.leaving import Leaving
from service.core.stock.packing import FilledSticks, fill_fullest, take_off
from service.core.stock.searching import Search, SticksByRoom

Emptied: TypeAlias = tuple[Fill, list[FilledSticks]]
"""The fill of the emptied stick, and the other sticks as filled."""
EmptyStick: TypeAlias = Callable[[SticksByRoom, int], Emptied | None]
"""A way to empty a stick. Called with the other sticks, and with the weight that its fill must be
below; gives None where it finds no such fill."""

FILLED_FIRST: Final = 12
"""With more pieces than this, the other sticks are first filled as full as can be."""
FEW_PIECES: Final = 24
"""With more pieces than this, of many lengths, trying the fills of a stick gains too little for the
work it takes."""
MOST_LENGTHS: Final = 12
"""More lengths than this are many."""
PLAIN_PIECES: Final = 45
"""Up to this many pieces the plain search is used, which has no relaxation."""
FILLING_SHARE: Final = 0.5
"""Share of the remaining work that filling the other sticks may take."""
SEARCHING_SHARE: Final = 0.25
"""Share of the remaining work that one search may take."""


def empty_one(
    instance: Instance, numbers: Sequence[int], longest: int, work: Work
) -> NumberedSticks | None:
    """A plan of as many sticks at the same cost, the first of which has more left than `longest`.

    It is the best such plan that the work finds; None where none is found. numbers: the sticks of
    the plan to better, by the index of their kind.

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
    """Every mix of as many sticks at the same cost: that of `numbers` first, then the others."""
    own = tuple(map(list(numbers).count, range(len(instance.rooms))))
    yield own
    cost = sum([instance.costs[number] for number in numbers])
    for mix in _mixes_from(instance, 0, len(numbers), cost, work):
        if mix != own:
            yield mix


def _mixes_from(
    instance: Instance, number: int, sticks: int, cost: int, work: Work
) -> Iterator[tuple[int, ...]]:
    """Mixes of this many sticks at this cost, of the kinds from index `number` onward."""
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


def _all_used(filled: Sequence[FilledSticks], sticks_by_room: SticksByRoom) -> bool:
    """Whether no stick is empty."""
    return sum([count for *_, count in filled]) == sum(sticks_by_room.values())


class _Emptying:
    """The emptying of one instance: what is known of it whatever the mix, and the best plan so
    far."""

    def __init__(self, instance: Instance, longest: int, work: Work) -> None:
        self.instance, self.longest, self.work = instance, longest, work
        self.best: NumberedSticks | None = None
        self.leaving = Leaving(instance)

    @cached_property
    def _plain_search(self) -> PlainSearch:
        """The plain searches, which share the fills that they list."""
        instance = self.instance
        return PlainSearch(instance.weights, instance.counts, self.leaving.material.known)

    def look(self, numbers: Sequence[int], empty_stick: EmptyStick, work: Work) -> None:
        """Empty a stick of each kind, in every mix, by `empty_stick`, until the work is used up."""
        self.work = work
        try:
            for mix in _mixes(self.instance, numbers, work):
                for target, count in enumerate(mix):
                    if count:
                        self._empty(mix, target, empty_stick)
        except WorkUsedUp:
            pass

    def _empty(self, mix: Sequence[int], target: int, empty_stick: EmptyStick) -> None:
        self.work.spend(2)
        others = list(mix)
        others[target] -= 1
        sticks_by_room = self.instance.sticks_by_room(others)
        self.leaving.measure(sticks_by_room, self.work)
        room = self.instance.rooms[target]
        below = room - self.longest
        is_hopeful = sticks_by_room and self.leaving.least(sticks_by_room, self.work) < below
        found = empty_stick(sticks_by_room, below) if is_hopeful else None
        if found is not None:
            fill, filled = found
            rest = self.instance.numbered(others, filled)
            self.best = ((target, fill, 1), *rest)
            self.longest = room - weigh(fill, self.instance.weights)

    def by_filling(self, sticks_by_room: SticksByRoom, below: int) -> Emptied | None:
        """Fill the other sticks as full as can be, one after another; what is left is the fill.

        None where that is not below the given weight, or where a stick would be empty.
        """
        left = list(self.instance.counts)
        filled = fill_fullest(self.instance.weights, left, sticks_by_room, self.work)
        fill = tuple([(i, count) for i, count in enumerate(left) if count])
        good = 0 < weigh(fill, self.instance.weights) < below and _all_used(filled, sticks_by_room)
        return (fill, filled) if good else None

    def by_trying(self, sticks_by_room: SticksByRoom, below: int) -> Emptied | None:
        """The lightest fill with which all other pieces are found to go into the other sticks.

        None where no fill below the given weight is found.
        """
        for fill in self.leaving.fills(sticks_by_room, below, self.work):
            filled = self._pack(fill, sticks_by_room)
            if filled is not None and _all_used(filled, sticks_by_room):
                return fill, filled
        return None

    def _pack(self, fill: Fill, sticks_by_room: SticksByRoom) -> list[FilledSticks] | None:
        """All other pieces in the other sticks; None where they do not go in, or it takes too long
        to tell."""
        left = list(self.instance.counts)
        take_off(left, fill, 1)
        share = self.work.share(int(self.work.left * SEARCHING_SHARE))
        is_plain = sum(self.instance.counts) <= PLAIN_PIECES
        return (self._search_plainly if is_plain else self._search)(left, sticks_by_room, share)

    def _search_plainly(
        self, left: Sequence[int], sticks_by_room: SticksByRoom, work: Work
    ) -> list[FilledSticks] | None:
        """As `_pack`, by the plain search."""
        rooms = [room for room, count in sticks_by_room.items() for _ in range(count)]
        try:
            fills = self._plain_search.fill(left, rooms, work)
        except WorkUsedUp:
            fills = None
        self.work.settle(work)
        if fills is None:
            return None
        return [(room, fill, 1) for room, fill in zip(rooms, fills, strict=True) if fill]

    def _search(
        self, left: Sequence[int], sticks_by_room: SticksByRoom, work: Work
    ) -> list[FilledSticks] | None:
        """As `_pack`, by the search with relaxations; an inequality that the sticks break is
        kept."""
        search = Search(self.leaving.context, sticks_by_room, work)
        filled = search.run(tuple(left))
        self.work.settle(work)
        if search.violated is not None:
            self.leaving.keep(search.violated.values, search.violated.known)
        return filled
