"""Core: stock plans made without a search (method 12), the first ones that there are to better.

Stick after stick, each takes the longest piece that is left and company for it: the longest that
still fit, or the most valuable fill.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, TypeAlias

from service.core.stock.fills import (
    Fill,
    Work,
    best_fill,
    greedy_fill,
    greedy_fill_of_many,
    rank,
    weigh,
)
from service.core.stock.instance import Instance
from service.core.stock.packing import FilledSticks, take_off

Filler: TypeAlias = Callable[[list[int], int, int], Fill]
"""A fill of a room that has a given piece: what is left, that piece, the room."""

ENOUGH_STEPS: Final = 2_000
"""Steps after which a fill chosen well is good enough."""
MANY_LENGTHS: Final = 100
"""More lengths than this are a great many."""
PAIRS: Final = 20_000
"""Lengths times sticks from which on not all sticks on hand are tried for each longest piece."""
ON_HAND: Final = 16
"""How many of them are, then."""
VALUE_SCALE: Final = 1_000
"""Values of pieces are so many times their weight, so that a bonus is a whole number."""


class PlanSoFar:
    """A plan under way: pieces and sticks that are left, the sticks taken, and as filled."""

    def __init__(self, instance: Instance) -> None:
        self.instance = instance
        self.left, self.limits = list(instance.counts), list(instance.limits)
        self.mix, self.filled = [0] * len(instance.rooms), list[FilledSticks]()

    def take(self, sticks: Sequence[tuple[int, Fill, int]]) -> bool:
        """Take sticks, each with its fill and at most so often; whether any went."""
        before = len(self.filled)
        for stick, fill, most in sticks:
            count = take_off(self.left, fill, min(most, self.limits[stick]))
            if count:
                self.limits[stick] -= count
                self.mix[stick] += count
                self.filled.append((self.instance.rooms[stick], fill, count))
        return len(self.filled) > before

    def fill_up(self, filler: Filler, *, fullest: bool) -> bool:
        """Fill sticks until no piece is left; whether all pieces went. fullest: of sticks that cost
        nothing the fullest comes first, not the one that holds the most."""
        most = sum(self.instance.counts)
        while any(self.left):
            chosen = self._cheapest_fill(filler, fullest=fullest)
            if chosen is None:
                return False
            self.take([(*chosen, most)])
        return True

    def _cheapest_fill(self, filler: Filler, *, fullest: bool) -> tuple[int, Fill] | None:
        """The stick, with a fill that has the longest piece left, that costs least for what it
        holds. With a great many lengths and sticks only the longest on hand are looked at."""
        instance, left, limits = self.instance, self.left, self.limits
        first = next(i for i, count in enumerate(left) if count)
        spare = ON_HAND if len(left) * len(limits) > PAIRS else len(limits)
        best: tuple[float, int, int, Fill] | None = None
        for stick, room in enumerate(instance.rooms):
            cost = instance.costs[stick]
            if limits[stick] and room >= instance.weights[first] and (cost or spare):
                spare -= not cost
                fill = filler(left, first, room)
                held = weigh(fill, instance.weights)
                less = room - held if fullest and not cost else -held
                key = cost / held, less, stick, fill
                best = key if best is None or key[:3] < best[:3] else best
        return None if best is None else (best[2], best[3])


def filler_of(instance: Instance, bonus: float | None, work: Work) -> Filler:
    """How sticks are filled: greedily, or well where a bonus is given. bonus: how much more the
    longest piece counts than the least."""
    weights = instance.weights
    if bonus is not None:
        return _fill_well(instance, bonus, work)
    if len(weights) > MANY_LENGTHS:
        return lambda left, first, room: greedy_fill_of_many(weights, left, first, room)
    return lambda left, _, room: greedy_fill(weights, left, room)


def _fill_well(instance: Instance, bonus: float, work: Work) -> Filler:
    """By the most valuable fill, as far as a few steps find it."""
    weights, top = instance.weights, max(instance.rooms)
    values = [
        weight * (VALUE_SCALE + round(VALUE_SCALE * bonus * weight / top)) for weight in weights
    ]
    ranked, ranked_of = rank(weights, values, instance.counts), list[int]()

    def well(left: list[int], first: int, room: int) -> Fill:
        nonlocal ranked, ranked_of
        left[first] -= 1
        # The same pieces are left for one stick after another.
        if left != ranked_of:
            ranked, ranked_of = rank(weights, values, left), list(left)
        fill = dict(best_fill(ranked, room - weights[first], -1, work, ENOUGH_STEPS).fill)
        left[first] += 1
        fill[first] = fill.get(first, 0) + 1
        return tuple(sorted(fill.items()))

    return well
