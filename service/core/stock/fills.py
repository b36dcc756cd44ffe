"""Core: what one stick can hold (method 12): the most valuable fill, and every fill worth trying.

Everything is in whole numbers. A piece weighs its length and one kerf; a stick has room for its
length, less its trim, and one kerf, since the last piece needs no cut after it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from functools import cmp_to_key
from itertools import accumulate
from operator import mul, neg
from typing import Final, NamedTuple, TypeAlias

Fill: TypeAlias = tuple[tuple[int, int], ...]
"""The pieces of one stick: for each length, its index and how many, longest first."""

FILL_STEPS: Final = 20_000
"""Steps of one search for the most valuable fill; after them, its result is only a bound."""


class WorkUsedUp(Exception):
    """Raised where the counted work of a search is used up."""


class Work:
    """Counted work, so that an answer never depends on the clock."""

    __slots__ = ("left",)

    def __init__(self, left: int) -> None:
        self.left = left

    def spend(self, amount: int) -> None:
        """Take an amount from what is left. Raises WorkUsedUp where too little is left."""
        self.left -= amount
        if self.left < 0:
            raise WorkUsedUp

    def share(self, amount: int) -> Work:
        """A part of this work, at most `amount`, to be given back with `settle`."""
        part = Work(min(amount, self.left))
        self.left -= part.left
        return part

    def settle(self, part: Work) -> None:
        """Take back what is left of a share."""
        self.left += max(part.left, 0)


class Ranked(NamedTuple):
    """Pieces in order of value for weight, best first.

    pieces: their indices; most: how many there are of each; least: the least weight from each place
    onward.
    """

    pieces: list[int]
    weights: list[int]
    values: list[int]
    most: list[int]
    least: list[int]


class Worth(NamedTuple):
    """What `best_fill` found: no fill is worth more than `bound`, and `fill` is worth `value`.

    fill: () where no fill was found that is worth more than the floor.
    """

    bound: int
    value: int
    fill: Fill


def weigh(fill: Fill, weights: Sequence[int]) -> int:
    """The weight of a fill, or its value where values are given in place of weights.

    >>> weigh(((0, 1), (2, 2)), (5, 3, 2))
    9
    """
    return sum([weights[i] * count for i, count in fill])


def weigh_onward(counts: Sequence[int], weights: Sequence[int]) -> list[int]:
    """The weight of all pieces from each index onward, or their value where values are given.

    The last entry, past the last piece, is 0.

    >>> weigh_onward((2, 1, 1), (5, 3, 2))
    [15, 5, 2, 0]
    """
    amounts = map(mul, reversed(counts), reversed(weights))
    return list(accumulate(amounts, initial=0))[::-1]


def rank(weights: Sequence[int], values: Sequence[int], most: Sequence[int]) -> Ranked:
    """The pieces of some value, in exact order of value for weight.

    >>> rank((5, 3, 2), (5, 4, 0), (1, 1, 1)).pieces
    [1, 0]
    """
    index = [i for i, value in enumerate(values) if value > 0 and most[i] > 0]
    index.sort(key=lambda i: -values[i] / weights[i])
    pairs = zip(index, index[1:], strict=False)
    if any(values[i] * weights[j] < values[j] * weights[i] for i, j in pairs):

        def order(i: int, j: int) -> int:
            return values[j] * weights[i] - values[i] * weights[j]

        index.sort(key=cmp_to_key(order))
    ordered = [weights[i] for i in index]
    least = list(ordered)
    for place in range(len(least) - 2, -1, -1):
        least[place] = min(least[place], least[place + 1])
    return Ranked(index, ordered, [values[i] for i in index], [most[i] for i in index], least)


def best_fill(
    ranked: Ranked, room: int, floor: int, work: Work, patience: int = FILL_STEPS
) -> Worth:
    """The most valuable fill of a room that is worth more than `floor`.

    patience: steps after which the best fill found will do, though the bound may then be too high.

    The search goes depth first, in order of value for weight. A branch ends where material of the
    next piece in all the room that is left would not beat the best so far.

    >>> best_fill(rank((5, 3), (5, 3), (2, 3)), 11, 0, Work(99))
    Worth(bound=11, value=11, fill=((0, 1), (1, 2)))
    >>> best_fill(rank((5, 3), (5, 3), (2, 3)), 11, 12, Work(99))
    Worth(bound=12, value=0, fill=())
    """
    _, weights, values, most, least = ranked
    size = len(weights)
    take = [0] * size
    best, found = floor, list[int]()
    place, left, value, steps = 0, room, 0, 0
    # Both halves of a step are written out here, as function calls would take as long as the work.
    while place >= 0 and steps < (patience if found else FILL_STEPS):
        steps += 1
        # Take as many as fit from `place` on, while that may still beat the best.
        while place < size and left >= least[place]:
            weight = weights[place]
            if weight <= left:
                if value + left * values[place] // weight <= best:
                    break
                count = min(left // weight, most[place])
                take[place] = count
                left -= count * weight
                value += count * values[place]
            place += 1
        if value > best:
            best, found = value, take[:place]
        # Take off one of the last piece whose room may be filled better; `place` is -1 if there is
        # none.
        place -= 1
        while place >= 0:
            count = take[place]
            if count:
                more, less = left + weights[place], value - values[place]
                after = place + 1
                if after < size and less + more * values[after] // weights[after] > best:
                    take[place] = count - 1
                    place, left, value = after, more, less
                    break
                take[place] = 0
                left += count * weights[place]
                value -= count * values[place]
            place -= 1
    work.spend(2 * steps + len(take))
    bound = best if place < 0 else max(best, room * ranked.values[0] // ranked.weights[0])
    if not found:
        return Worth(bound, 0, ())
    fill = tuple(sorted([(ranked.pieces[j], count) for j, count in enumerate(found) if count]))
    return Worth(bound, best, fill)


def greedy_fill(weights: Sequence[int], left: Sequence[int], room: int) -> Fill:
    """The fill that takes the longest piece that still fits, again and again.

    >>> greedy_fill((5, 3, 2), (1, 1, 9), 12)
    ((0, 1), (1, 1), (2, 2))
    """
    fill = []
    for i, weight in enumerate(weights):
        if weight <= room and left[i]:
            count = min(left[i], room // weight)
            fill.append((i, count))
            room -= count * weight
    return tuple(fill)


def greedy_fill_of_many(weights: Sequence[int], left: Sequence[int], first: int, room: int) -> Fill:
    """As `greedy_fill`, for a great many lengths: the next that fits is found by bisection.

    weights: longest first; nothing is left of those before `first`.

    >>> greedy_fill_of_many((6, 5, 3, 2), (0, 1, 1, 9), 1, 12)
    ((1, 1), (2, 1), (3, 2))
    """
    fill = list[tuple[int, int]]()
    at, size = first, len(weights)
    while True:
        at = bisect_left(weights, -room, at, size, key=neg)
        while at < size and not left[at]:
            at += 1
        if at == size:
            return tuple(fill)
        count = min(left[at], room // weights[at])
        fill.append((at, count))
        room -= count * weights[at]
        at += 1


def fills_with(
    weights: Sequence[int], left: Sequence[int], first: int, room: int, waste: int
) -> Iterator[Fill | None]:
    """Every fill of a room that has a piece `first`, the longest left, and may be best.

    Fills are left out that leave more than `waste`, that another piece would go into, or in which a
    longer piece that is left could replace one of theirs. Any packing with such a fill can be
    changed, by moving or exchanging pieces, until it has none. None is yielded for a step without a
    fill, so that steps can be counted.

    >>> [fill for fill in fills_with((5, 3, 2), (1, 1, 2), 0, 9, 9) if fill]
    [((0, 1), (1, 1)), ((0, 1), (2, 2))]
    """
    free = list(left)
    free[first] -= 1
    size, rest = len(weights), weigh_onward(free, weights)
    counts = [0] * size
    place, space = first, room - weights[first]
    while place >= first:
        while place < size and space - rest[place] <= waste:
            counts[place] = min(free[place], space // weights[place])
            space -= counts[place] * weights[place]
            place += 1
        whole = place == size and space <= waste and _is_best(weights, free, counts, space)
        yield _with_first(counts, first) if whole else None
        place, space = _step_back(weights, rest, counts, first, place, space, waste)


def _with_first(counts: Sequence[int], first: int) -> Fill:
    return tuple(
        [(i, count + (i == first)) for i, count in enumerate(counts) if count or i == first]
    )


def _step_back(
    weights: Sequence[int], rest: Sequence[int], counts: list[int], first: int, place: int,
    space: int, waste: int,
) -> tuple[int, int]:  # fmt: skip
    """Take off one of the last piece whose room the pieces after it could fill well enough.

    Returns the place and the space to go on from; a place before `first` where there is no such
    piece.
    """
    place -= 1
    while place >= first:
        if counts[place]:
            if space + weights[place] - rest[place + 1] <= waste:
                counts[place] -= 1
                return place + 1, space + weights[place]
            space += counts[place] * weights[place]
            counts[place] = 0
        place -= 1
    return place, space


def _is_best(
    weights: Sequence[int], free: Sequence[int], counts: Sequence[int], space: int
) -> bool:
    """Whether no piece that is left over goes in, either as it is or in place of a shorter one."""
    longer: int | None = None
    for weight, some, count in zip(weights, free, counts, strict=True):
        if count and longer is not None and longer - weight <= space:
            return False
        if some > count:
            if weight <= space:
                return False
            longer = weight
    return True
