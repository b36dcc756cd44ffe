"""Core: whether pieces go into a few sticks, each of which is filled as well as it can be
(method 12).

The longest piece that is left goes into a stick of each size with every fill that may be best,
the fullest first. What the sticks can hold more than they have to says how much one may waste.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeAlias

from service.core.stock.fills import Fill, Work, fills_with, weigh
from service.core.stock.packing import take_off

State: TypeAlias = tuple[tuple[int, ...], tuple[int, ...]]
"""How many are left of each piece, and the rooms that nothing is in yet."""


class Completion:
    """One search. most: by room, no less than any fill of it weighs."""

    def __init__(self, weights: Sequence[int], most: Mapping[int, int], work: Work) -> None:
        self._weights = weights
        self._most = most
        self._work = work
        self._dead: set[State] = set()

    def fill(self, left: Sequence[int], rooms: Sequence[int]) -> list[Fill] | None:
        """What each of the rooms holds when all that is left is in them, () where nothing is; None
        where it does not go. Raises Spent.

        >>> Completion((6, 5, 4), {9: 9, 11: 11}, Work(99)).fill((1, 1, 2), (9, 11))
        [((2, 2),), ((0, 1), (1, 1))]
        >>> Completion((6, 5, 4), {9: 9, 11: 11}, Work(99)).fill((2, 1, 1), (9, 11)) is None
        True
        """
        order = sorted(range(len(rooms)), key=lambda stick: rooms[stick])
        empty = tuple([rooms[stick] for stick in order])
        need = sum(map(int.__mul__, self._weights, left))
        found = self._look(tuple(left), empty, sum([self._most[room] for room in rooms]) - need)
        if found is None:
            return None
        fills: list[Fill] = [()] * len(rooms)
        for stick in order:
            fills[stick] = found[rooms[stick]].pop() if found.get(rooms[stick]) else ()
        return fills

    def _look(
        self, left: tuple[int, ...], empty: tuple[int, ...], spare: int
    ) -> dict[int, list[Fill]] | None:
        """Fills by room. spare: how much more the rooms can hold than is left."""
        if not any(left):
            return {}
        if spare < 0 or (left, empty) in self._dead:
            return None
        self._work.spend(len(left))
        first = next(i for i, count in enumerate(left) if count)
        for room in dict.fromkeys(empty):
            if self._weights[first] > room:
                continue
            at = empty.index(room)
            rest = empty[:at] + empty[at + 1 :]
            for wasted, fill in self._fills(left, first, room, spare):
                after = list(left)
                take_off(after, fill, 1)
                found = self._look(tuple(after), rest, spare - wasted)
                if found is not None:
                    found.setdefault(room, []).append(fill)
                    return found
        self._dead.add((left, empty))
        return None

    def _fills(
        self, left: Sequence[int], first: int, room: int, spare: int
    ) -> list[tuple[int, Fill]]:
        """Fills of a room that have the longest piece, by what they waste."""
        most = self._most[room]
        found = []
        for fill in fills_with(self._weights, left, first, room, room - most + spare):
            self._work.spend(1)
            if fill is not None:
                found.append((most - weigh(fill, self._weights), fill))
        return sorted(found)
