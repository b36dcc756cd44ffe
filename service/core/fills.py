"""Core: what one stick can hold (method 12). The most valuable fill, and every fill worth trying.

Whole numbers throughout: a piece weighs its length and a kerf, a stick holds its length less its
trim and one kerf more, since the last piece needs no cut after it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cmp_to_key
from typing import Final, NamedTuple, TypeAlias

Fill: TypeAlias = tuple[tuple[int, int], ...]
"""Pieces of one stick: (number of the piece's length, how many), longest first."""

FILL_STEPS: Final = 20_000
"""Steps of one search for the most valuable fill; above it the answer is a bound."""


class Spent(Exception):
    """The counted work of a search is used up."""


class Work:
    """Counted work, so that an answer never depends on the clock."""

    __slots__ = ("left",)

    def __init__(self, left: int) -> None:
        self.left = left

    def spend(self, amount: int) -> None:
        """Take from what is left; raises Spent below nothing."""
        self.left -= amount
        if self.left < 0:
            raise Spent


class Ranked(NamedTuple):
    """Pieces by value for weight, best first; `least` is the least weight from there on."""

    index: list[int]
    weights: list[int]
    values: list[int]
    most: list[int]
    least: list[int]


@dataclass(frozen=True, slots=True)
class Worth:
    """The most that a fill is worth is at most `bound`; `fill` reaches `value`, () where unseen."""

    bound: int
    value: int
    fill: Fill


def rank(weights: Sequence[int], values: Sequence[int], most: Sequence[int]) -> Ranked:
    """Pieces of some value by value for weight, exactly.

    >>> rank((5, 3, 2), (5, 4, 0), (1, 1, 1)).index
    [1, 0]
    """
    index = [i for i, value in enumerate(values) if value > 0 and most[i] > 0]
    index.sort(key=lambda i: -values[i] / weights[i])
    pairs = zip(index, index[1:], strict=False)
    if any(values[i] * weights[j] < values[j] * weights[i] for i, j in pairs):
        index.sort(key=cmp_to_key(lambda i, j: values[j] * weights[i] - values[i] * weights[j]))
    least: list[int] = []
    for i in reversed(index):
        least.append(min(least[-1], weights[i]) if least else weights[i])
    least.reverse()
    return Ranked(
        index, [weights[i] for i in index], [values[i] for i in index], [most[i] for i in index],
        least,
    )  # fmt: skip


def best_fill(ranked: Ranked, room: int, floor: int, work: Work) -> Worth:
    """The most valuable fill of a stick that is worth more than `floor`.

    Depth first in order of value for weight, cut by the value of filling what is left with
    the next piece's material.

    >>> best_fill(rank((5, 3), (5, 3), (2, 3)), 11, 0, Work(99))
    Worth(bound=11, value=11, fill=((0, 1), (1, 2)))
    >>> best_fill(rank((5, 3), (5, 3), (2, 3)), 11, 12, Work(99))
    Worth(bound=12, value=0, fill=())
    """
    index, weights, values, most, least = ranked
    size = len(index)
    take = [0] * size
    best, found = floor, None
    left, value, i, steps = room, 0, 0, 0
    while steps < FILL_STEPS:
        steps += 1
        while i < size and left >= least[i]:
            weight = weights[i]
            if weight <= left:
                if value + left * values[i] // weight <= best:
                    break
                count = left // weight
                if count > most[i]:
                    count = most[i]
                take[i] = count
                left -= count * weight
                value += count * values[i]
            i += 1
        if value > best:
            best, found = value, take[:i]
        i -= 1
        while i >= 0:
            count = take[i]
            if count:
                left += weights[i]
                value -= values[i]
                if i + 1 < size and value + left * values[i + 1] // weights[i + 1] > best:
                    take[i] = count - 1
                    break
                take[i] = 0
                left += (count - 1) * weights[i]
                value -= (count - 1) * values[i]
            i -= 1
        if i < 0:
            break
        i += 1
    work.spend(2 * steps + size)
    bound = best
    if steps >= FILL_STEPS and i >= 0:
        bound = max(best, room * values[0] // weights[0])
    if found is None:
        return Worth(bound, 0, ())
    fill = tuple(sorted((index[j], count) for j, count in enumerate(found) if count))
    return Worth(bound, best, fill)


def greedy_fill(weights: Sequence[int], left: Sequence[int], room: int) -> Fill:
    """The fill that takes the longest piece that still fits, again and again.

    >>> greedy_fill((5, 3, 2), (1, 1, 9), 12)
    ((0, 1), (1, 1), (2, 2))
    """
    fill = []
    for i, weight in enumerate(weights):
        if left[i] and weight <= room:
            count = min(left[i], room // weight)
            fill.append((i, count))
            room -= count * weight
    return tuple(fill)


def fills_with(
    weights: Sequence[int], left: Sequence[int], first: int, room: int, waste: int
) -> Iterator[Fill | None]:
    """Every fill of a stick that has one piece `first`, the longest there is, and may be best.

    Left out: fills that leave more than `waste`, fills that another piece fits into, and fills
    where a longer piece fits in place of one of theirs: pieces can change places with those of
    other sticks until none of that is so. Yields None for each step without a fill.
    """
    size = len(weights)
    space = room - weights[first]
    take = [0] * size
    take[first] = 1
    # Material that pieces from i on could fill.
    rest = [0] * (size + 1)
    for i in range(size - 1, first - 1, -1):
        rest[i] = rest[i + 1] + (left[i] - take[i]) * weights[i]
    counts: list[int] = [0] * size
    i = first
    while True:
        while i < size:
            count = min(left[i] - take[i], space // weights[i]) if space >= weights[i] else 0
            counts[i] = count
            space -= count * weights[i]
            i += 1
            if space - rest[i] > waste:
                break
        if space <= waste and i == size and _is_best(weights, left, first, counts, space):
            counts[first] += 1
            yield tuple((j, count) for j, count in enumerate(counts) if count)
            counts[first] -= 1
        else:
            yield None
        i -= 1
        while i >= first:
            if counts[i] and space + weights[i] - rest[i + 1] <= waste:
                counts[i] -= 1
                space += weights[i]
                break
            space += counts[i] * weights[i]
            counts[i] = 0
            i -= 1
        if i < first:
            return
        i += 1


def _is_best(
    weights: Sequence[int], left: Sequence[int], first: int, counts: Sequence[int], space: int
) -> bool:
    """Whether no piece that is left over fits in, or fits in place of a shorter one."""
    longer: int | None = None
    for i in range(first, len(weights)):
        count = counts[i]
        if count and longer is not None and longer - weights[i] <= space:
            return False
        if left[i] - count - (i == first):
            if weights[i] <= space:
                return False
            longer = weights[i]
    return True
