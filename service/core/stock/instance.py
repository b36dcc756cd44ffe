"""Core: one problem of the stock plan in whole numbers (method 12): its pieces and its sticks.

`sticks` turns lengths into these numbers and back; all modules between work on an `Instance`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from service.core.frozen import record
from service.core.stock.fills import Fill
from service.core.stock.packing import FilledSticks

NumberedSticks: TypeAlias = tuple[tuple[int, Fill, int], ...]
"""Filled sticks, a row each: index of the stick, its fill, and how many sticks are filled so."""


@record()
class Instance:
    """The pieces and the sticks of one stock plan, in whole numbers.

    weights, counts: of each length of piece, longest first; a weight includes one kerf. rooms,
    costs, limits: of each kind of stick, what one holds and costs, and how many there are.
    """

    weights: tuple[int, ...]
    counts: tuple[int, ...]
    rooms: tuple[int, ...]
    costs: tuple[int, ...]
    limits: tuple[int, ...]

    def sticks_by_room(self, mix: Sequence[int]) -> dict[int, int]:
        """How many sticks of each room there are in a mix. mix: how many of each kind of stick."""
        sticks_by_room: dict[int, int] = {}
        for room, count in zip(self.rooms, mix, strict=True):
            if count:
                sticks_by_room[room] = sticks_by_room.get(room, 0) + count
        return sticks_by_room

    def numbered(self, mix: Sequence[int], filled: Sequence[FilledSticks]) -> NumberedSticks:
        """The filled sticks of a mix, each with the index of its kind of stick.

        Where kinds have the same room, filled sticks are assigned to the first of them until it
        runs out.
        """
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
