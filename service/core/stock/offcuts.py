"""Core: of the plans that cost as much and have as many sticks, one with the longest single offcut
(method 12).

Pieces of the plan are moved and exchanged first. Then whatever would leave more is tried, in this
mix of sticks and in every other that costs as much, for as long as the counted work goes. Rooms are
whole here, as what no piece fits in is left too.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from service.core.stock.completing import Completion
from service.core.stock.fills import Fill, Spent, Work, best_fill, greedy_fill, rank, weigh
from service.core.stock.packing import take_off
from service.core.stock.planning import Instance, NumberedSticks

FEW: Final = 24
"""Sticks of a part up to which each is tried as the one with the longest offcut."""
PIECES: Final = 120
"""Pieces of a part up to which other plans than the found one are looked for."""
SMALL: Final = 24
"""Pieces of a part up to which the longest offcut is mostly found for certain."""
SHARE_OF_SMALL: Final = 0.5
"""Of an effort's work, what is spent on the longest offcut of so few pieces."""
SHARE: Final = 0.03
"""What is spent on that of more."""
MOST: Final = 30_000
"""No more than this is spent on it."""
PACKING: Final = 0.25
"""Of the work that is left, what one try to put all other pieces into the other sticks may take."""
Contents: TypeAlias = dict[int, int]
"""What a stick holds: how many pieces of each number."""


@dataclass(slots=True)
class _Sticks:
    """Sticks by number, and what each holds."""

    numbers: list[int]
    contents: list[Contents]

    def longest(self, instance: Instance) -> int:
        """The longest offcut."""
        return max(self.left(instance))

    def left(self, instance: Instance) -> list[int]:
        """What each stick has left."""
        return [
            instance.rooms[number] - weigh(tuple(content.items()), instance.weights)
            for number, content in zip(self.numbers, self.contents, strict=True)
        ]

    def numbered(self) -> NumberedSticks:
        """The same, as a plan tells it."""
        return tuple(
            (number, tuple(sorted((i, k) for i, k in content.items() if k)), 1)
            for number, content in zip(self.numbers, self.contents, strict=True)
        )


def lengthen(instance: Instance, placed: NumberedSticks, work: int) -> NumberedSticks:
    """A plan as dear with as many sticks, none of them empty, whose longest offcut is no shorter.

    work: the effort's own, of which a share is spent here.

    >>> instance = Instance((6, 5, 3), (1, 1, 2), (12,), (12,), (9,))
    >>> lengthen(instance, ((0, ((0, 1), (2, 1)), 1), (0, ((1, 1), (2, 1)), 1)), 1000)
    ((0, ((1, 1),), 1), (0, ((0, 1), (2, 2)), 1))
    """
    numbers = [number for number, _, count in placed for _ in range(count)]
    sticks = _Sticks(numbers, [dict(fill) for _, fill, count in placed for _ in range(count)])
    longest = sticks.longest(instance)
    best = _gathered(instance, sticks, longest)
    pieces = sum(instance.counts)
    if len(numbers) <= FEW and pieces <= PIECES:
        share = SHARE_OF_SMALL if pieces <= SMALL else SHARE
        look = _Look(instance, numbers, Work(min(MOST, int(work * share))))
        best = look.run(best or sticks) or best
    return placed if best is None else best.numbered()


def _gathered(instance: Instance, sticks: _Sticks, longest: int) -> _Sticks | None:
    """The same pieces in the same sticks, moved and exchanged so that one offcut grows; None where
    none does. Of few sticks each is tried as the one with that offcut, else the emptiest."""
    room = sticks.left(instance)
    alike = len(instance.weights) == 1
    if len(room) < 2 or (alike and not _can_grow(instance, sticks, room, longest)):
        return None
    fills = (tuple(sorted(content.items())) for content in sticks.contents)
    kinds = zip(sticks.numbers, fills, strict=True)
    tried = list({kind: i for i, kind in enumerate(kinds)}.values())
    if len(room) > FEW:
        tried = [max(range(len(room)), key=room.__getitem__)]
    best = None
    for target in tried:
        contents, left = [dict(content) for content in sticks.contents], list(room)
        while _relieve(instance.weights, contents, left, target):
            pass
        if left[target] > longest:
            longest, best = left[target], _Sticks(sticks.numbers, contents)
    return best


def _can_grow(instance: Instance, sticks: _Sticks, room: Sequence[int], longest: int) -> bool:
    """Whether some stick would have more left than the longest if the others took all of its
    pieces that they have room for but one, where all pieces are alike."""
    weight = instance.weights[0]
    spare = sum(left // weight for left in room)
    return any(
        left + weight * min(content[0] - 1, spare - left // weight) > longest
        for left, content in zip(room, sticks.contents, strict=True)
    )


def _relieve(
    weights: Sequence[int], contents: list[Contents], left: list[int], target: int
) -> bool:
    """Whether the offcut of a stick grew: by the one piece that most is gained with, given to
    another stick or exchanged for a shorter one of it. A stick is never emptied."""
    mine = contents[target]
    best = max(_gains(weights, contents, left, target), default=(0, 0, 0, 0, 0))
    gain, _, to, piece, other = best
    if gain <= 0:
        return False
    for place, one in ((-to, piece), (target, other)):
        if one >= 0:
            contents[place][one] = contents[place].get(one, 0) + 1
    mine[piece] -= 1
    if other >= 0:
        contents[-to][other] -= 1
    left[target] += gain
    left[-to] -= gain
    return True


def _gains(
    weights: Sequence[int], contents: list[Contents], left: list[int], target: int
) -> Iterator[tuple[int, int, int, int, int]]:
    """Every move and exchange that goes: gain, minus the other stick's offcut and its number, the
    piece that leaves, and the one that comes for it, -1 for none."""
    mine = {piece: weights[piece] for piece, count in contents[target].items() if count}
    alone = sum(contents[target].values()) == 1
    for i, content in enumerate(contents):
        if i == target:
            continue
        others = [(-1, 0)] if not alone else []
        others += [(other, weights[other]) for other, count in content.items() if count]
        for piece, weight in mine.items():
            for other, back in others:
                if 0 < weight - back <= left[i]:
                    yield weight - back, -left[i], -i, piece, other


class _Look:
    """A look for plans with a longer offcut than the best so far."""

    def __init__(self, instance: Instance, numbers: Sequence[int], work: Work) -> None:
        self.instance = instance
        self.work = work
        self.stick_count = len(numbers)
        self.cost = sum(instance.costs[number] for number in numbers)
        self.total = sum(w * k for w, k in zip(instance.weights, instance.counts, strict=True))
        self.own = tuple(map(list(numbers).count, range(len(instance.rooms))))
        self.fullest: dict[int, tuple[int, int]] = {}

    def run(self, sticks: _Sticks) -> _Sticks | None:
        """The best that is found; None where nothing beats these sticks."""
        longest, best = sticks.longest(self.instance), None
        try:
            for mix in self._mixes():
                for target, count in enumerate(mix):
                    found = self._emptier(mix, target, longest) if count else None
                    if found is not None:
                        longest, best = found.longest(self.instance), found
        except Spent:
            pass
        return best

    def _mixes(self) -> Iterator[tuple[int, ...]]:
        """How many of each stick, of every mix of as many that costs as much: the plan's own, then
        the others."""
        yield self.own
        for mix in self._mixes_from(0, self.stick_count, self.cost):
            if mix != self.own:
                yield mix

    def _mixes_from(self, number: int, sticks: int, cost: int) -> Iterator[tuple[int, ...]]:
        """Mixes of the sticks from a number on."""
        self.work.spend(1)
        if number == len(self.instance.rooms):
            if not sticks and not cost:
                yield ()
            return
        for count in range(min(sticks, self.instance.limits[number]) + 1):
            left = cost - count * self.instance.costs[number]
            if left < 0:
                return
            for rest in self._mixes_from(number + 1, sticks - count, left):
                yield (count, *rest)

    def _emptier(self, mix: tuple[int, ...], target: int, longest: int) -> _Sticks | None:
        """All pieces in a mix so that a stick of one number holds as little as can be, and has more
        left than the longest so far."""
        instance = self.instance
        numbers = [number for number, count in enumerate(mix) for _ in range(count)]
        numbers.remove(target)
        rooms = [instance.rooms[number] for number in numbers]
        fullest = [self._fullest(number) for number in numbers]
        least = self.total - sum(weight for weight, _ in fullest)
        count = max(1, sum(instance.counts) - sum(count for _, count in fullest))
        most = [weight for weight, _ in fullest]
        for _, fill in sorted(self._fills(least, instance.rooms[target] - longest, count)):
            fills = self._packed(fill, rooms, most)
            if fills is not None:
                return _Sticks([target, *numbers], [dict(fill), *map(dict, fills)])
        return None

    def _fullest(self, number: int) -> tuple[int, int]:
        """The most weight of all pieces that a stick can hold, and the most pieces."""
        if number not in self.fullest:
            instance, room = self.instance, self.instance.rooms[number]
            ranked = rank(instance.weights, instance.weights, instance.counts)
            few = greedy_fill(instance.weights[::-1], instance.counts[::-1], room)
            most = sum(count for _, count in few)
            self.fullest[number] = best_fill(ranked, room, 0, self.work).bound, most
        return self.fullest[number]

    def _fills(self, least: int, below: int, count: int) -> Iterator[tuple[int, Fill]]:
        """Weights and fills of a stick, from `least` to less than `below`, of `count` pieces at
        least."""
        weights, counts = self.instance.weights, self.instance.counts
        rest, pieces = [0], [0]
        for weight, some in zip(reversed(weights), reversed(counts), strict=True):
            rest.insert(0, rest[0] + weight * some)
            pieces.insert(0, pieces[0] + some)
        begun: list[tuple[int, int, int, Fill]] = [(0, 0, 0, ())] if least < below else []
        while begun:
            i, held, taken, fill = begun.pop()
            self.work.spend(1)
            if i == len(weights):
                yield held, fill
                continue
            for k in range(min(counts[i], (below - 1 - held) // weights[i]) + 1):
                more = held + k * weights[i]
                if more + rest[i + 1] >= least and taken + k + pieces[i + 1] >= count:
                    begun.append((i + 1, more, taken + k, (*fill, (i, k)) if k else fill))

    def _packed(
        self, fill: Fill, rooms: Sequence[int], fullest: Sequence[int]
    ) -> list[Fill] | None:
        """All other pieces in the other sticks, with none empty; None where they do not go, or it
        takes too long to see."""
        left = list(self.instance.counts)
        take_off(left, fill, 1)
        if sum(left) < len(rooms):
            return None
        part = self.work.share(int(self.work.left * PACKING))
        most = dict(zip(rooms, fullest, strict=True))
        packing = Completion(self.instance.weights, most, part)
        try:
            fills = packing.fill(left, rooms)
        except Spent:
            fills = None
        self.work.settle(part)
        return fills if fills is not None and all(fills) else None
