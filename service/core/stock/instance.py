"""Core: one job of the stock plan in whole numbers (method 12): its pieces and its sticks, and how
a plan of it is told.

Lengths come and go through `sticks`; all between reckons with these.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from service.core.stock.fills import Fill
from service.core.stock.packing import FilledSticks

NumberedSticks: TypeAlias = tuple[tuple[int, Fill, int], ...]
"""Sticks: the number of each, what it holds, and how many such."""


@dataclass(frozen=True, slots=True)
class Instance:
    """Pieces and sticks. weights, counts: of pieces, longest first, each with its kerf. rooms,
    costs, limits: of sticks."""

    weights: tuple[int, ...]
    counts: tuple[int, ...]
    rooms: tuple[int, ...]
    costs: tuple[int, ...]
    limits: tuple[int, ...]

    def bins(self, mix: Sequence[int]) -> dict[int, int]:
        """How many sticks of a mix there are of each room."""
        bins: dict[int, int] = {}
        for room, count in zip(self.rooms, mix, strict=True):
            if count:
                bins[room] = bins.get(room, 0) + count
        return bins

    def numbered(self, mix: Sequence[int], filled: Sequence[FilledSticks]) -> NumberedSticks:
        """Filled sticks of a mix by the number of their stick; those of one room are taken in their
        order."""
        rest = list(mix)
        numbered = []
        for room, fill, count in filled:
            for stick, left in enumerate(rest):
                taken = min(count, left) if self.rooms[stick] == room else 0
                if taken:
                    rest[stick] -= taken
                    count -= taken
                    numbered.append((stick, fill, taken))
        return tuple(numbered)
