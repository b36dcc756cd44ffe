"""Core: stock plans made without a search (method 12), which the search then tries to better.

Sticks are filled one after another. Each takes the longest piece that is left, and beside it either
the longest pieces that still fit or those of the most valuable fill.
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
"""A way to fill a room that takes in a given piece. Called with the number left of each piece, the
index of the given piece, and the room."""

ENOUGH_STEPS: Final = 2_000
"""Steps after which a fill chosen by value is good enough."""
MANY_LENGTHS: Final = 100
"""With more lengths than this, faster ways are used, here and in `planning`."""
PAIRS: Final = 20_000
"""With more lengths times kinds of stick than this, only some of the sticks on hand are tried for
each longest piece."""
ON_HAND: Final = 16
"""How many sticks on hand are tried then, the longest of them."""
VALUE_SCALE: Final = 1_000
"""Without a bonus, a piece's value is its weight times this, so that a bonus is a whole number
too."""


class PlanSoFar:
    """A plan in the making.

    left, limits: how many pieces of each length and sticks of each kind remain; mix: how many of
    each kind of stick are taken; filled: the same sticks as filled.
    """

    def __init__(self, instance: Instance) -> None:
        self.instance = instance
        self.left, self.limits = list(instance.counts), list(instance.limits)
        self.mix, self.filled = [0] * len(instance.rooms), list[FilledSticks]()

    def take(self, sticks: Sequence[tuple[int, Fill, int]]) -> bool:
        """Take sticks, each as often as pieces and sticks allow. Returns whether any was taken.

        sticks: for each, its index, its fill, and the most times to take it.
        """
        before = len(self.filled)
        for stick, fill, most in sticks:
            count = take_off(self.left, fill, min(most, self.limits[stick]))
            if count:
                self.limits[stick] -= count
                self.mix[stick] += count
                self.filled.append((self.instance.rooms[stick], fill, count))
        return len(self.filled) > before

    def fill_up(self, filler: Filler, *, fullest: bool) -> bool:
        """Fill sticks until no piece is left. Returns whether all pieces went in.

        fullest: among sticks that cost nothing, prefer the one that is left fullest to the one that
        holds the most.
        """
        most = sum(self.instance.counts)
        while any(self.left):
            chosen = self._cheapest_fill(filler, fullest=fullest)
            if chosen is None:
                return False
            self.take([(*chosen, most)])
        return True

    def _cheapest_fill(self, filler: Filler, *, fullest: bool) -> tuple[int, Fill] | None:
        """The stick that costs least for what it holds, and its fill with the longest piece left.

        None where no stick holds that piece. With a great many lengths and sticks, only the longest
        of the sticks on hand are looked at.
        """
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
    """The way to fill sticks: greedily, or by value where a bonus is given.

    bonus: by how much more than its weight a piece as long as the longest stick counts.
    """
    weights = instance.weights
    if bonus is not None:
        return _fill_well(instance, bonus, work)
    if len(weights) > MANY_LENGTHS:
        return lambda left, first, room: greedy_fill_of_many(weights, left, first, room)
    return lambda left, _, room: greedy_fill(weights, left, room)


def _fill_well(instance: Instance, bonus: float, work: Work) -> Filler:
    """A filler that gives the most valuable fill that a few steps find."""
    weights, top = instance.weights, max(instance.rooms)
    values = [
        weight * (VALUE_SCALE + round(VALUE_SCALE * bonus * weight / top)) for weight in weights
    ]
    ranked, ranked_of = rank(weights, values, instance.counts), list[int]()

    def well(left: list[int], first: int, room: int) -> Fill:
        nonlocal ranked, ranked_of
        left[first] -= 1
        # Successive calls often have the same pieces left, each for another stick.
        if left != ranked_of:
            ranked, ranked_of = rank(weights, values, left), list(left)
        fill = dict(best_fill(ranked, room - weights[first], -1, work, ENOUGH_STEPS).fill)
        left[first] += 1
        fill[first] = fill.get(first, 0) + 1
        return tuple(sorted(fill.items()))

    return well
