"""Core: whether pieces go into a few sticks, by filling each as well as can be (method 12).

The longest piece that is left goes into a stick of each room with every fill that may be best, the
fullest first. What the sticks can hold beyond the pieces left is how much one of them may waste.
Fills are listed once and serve every search of the same pieces.

The counts of a fill's pieces are packed into one whole number, a field each, that of the longest
piece lowest; each field has one spare bit. A fill is contained in what is left if one subtraction
leaves the spare bit of every field alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, NamedTuple, TypeAlias

from service.core.stock.fills import Fill, Work, weigh_onward

Packed: TypeAlias = int
"""How many there are of each piece, packed into one whole number, a field each."""
State: TypeAlias = tuple[Packed, tuple[int, ...]]
"""The pieces left, and the rooms of the sticks that are still empty."""

AT_ONCE: Final = 16
"""How many listed fills are looked at for one step of work."""


class _Listed(NamedTuple):
    """A fill of a room. wasted: by how much it is short of the most that a fill of the room may
    weigh; space: what it leaves of the room."""

    wasted: int
    fill: Packed
    space: int


class PlainSearch:
    """Searches of the same pieces, and what is known from one to the next.

    weights: longest first; counts: how many there are of each; most: by room, an upper bound on the
    weight of its fills.
    """

    def __init__(
        self, weights: Sequence[int], counts: Sequence[int], most: Mapping[int, int]
    ) -> None:
        self._weights, self._counts, self._most = weights, counts, most
        self._width = max(counts).bit_length() + 1
        self._ones = [1 << self._width * i for i in range(len(weights))]
        self._guards = sum(self._ones) << self._width - 1
        self._heavy = weigh_onward(counts, weights)
        self._listed: dict[tuple[int, int], tuple[int, list[_Listed]]] = {}
        self._dead: set[State] = set()
        self._work = Work(0)

    def fill(self, left: Sequence[int], rooms: Sequence[int], work: Work) -> list[Fill] | None:
        """The fill of each room when all pieces left are in them, () for an empty one.

        None where the pieces do not go in. Raises WorkUsedUp.

        >>> search = PlainSearch((6, 5, 4), (2, 1, 2), {9: 9, 11: 11})
        >>> search.fill((1, 1, 2), (9, 11), Work(99))
        [((2, 2),), ((0, 1), (1, 1))]
        >>> search.fill((2, 1, 1), (9, 11), Work(99)) is None
        True
        """
        self._work = work
        need = sum(map(int.__mul__, self._weights, left))
        spare = sum([self._most[room] for room in rooms]) - need
        found = self._look(sum(map(int.__mul__, self._ones, left)), tuple(sorted(rooms)), spare)
        if found is None:
            return None
        return [self._unpacked(found[room].pop()) if found.get(room) else () for room in rooms]

    def _look(
        self, left: Packed, empty: tuple[int, ...], spare: int
    ) -> dict[int, list[Packed]] | None:
        """The fills by room; None where the pieces left do not go in.

        empty: the rooms still to fill, in order. spare: how much more they can hold than is left.
        """
        if not left:
            return {}
        if spare < 0 or (left, empty) in self._dead:
            return None
        self._work.spend(1)
        first = self._place(left & -left)
        for room in dict.fromkeys(empty):
            at = empty.index(room)
            rest = empty[:at] + empty[at + 1 :]
            for wasted, fill in self._fills(left, first, room, spare):
                found = self._look(left - fill, rest, spare - wasted)
                if found is not None:
                    found.setdefault(room, []).append(fill)
                    return found
        self._dead.add((left, empty))
        return None

    def _place(self, field: Packed) -> int:
        """The index of the piece in whose field the highest bit is."""
        return (field.bit_length() - 1) // self._width

    def _fills(
        self, left: Packed, first: int, room: int, spare: int
    ) -> Iterator[tuple[int, Packed]]:
        """Fills of a room that have the longest piece left, with what they waste, least first.

        Fills that the shortest piece left over would still go into are left out.
        """
        limit, listed = self._listed.get((room, first), (-1, []))
        if limit < spare:
            limit = 2 * spare
            listed = sorted(self._list(first, room, limit + room - self._most[room]))
            self._listed[room, first] = limit, listed
        self._work.spend(len(listed) // AT_ONCE)
        guards, guarded, weights = self._guards, left | self._guards, self._weights
        for wasted, fill, space in listed:
            if wasted > spare:
                return
            if (guarded - fill) & guards == guards and (
                left == fill or space < weights[self._place(left - fill)]
            ):
                yield wasted, fill

    def _list(self, first: int, room: int, waste: int) -> Iterator[_Listed]:
        """Every fill of a room that has `first` as its longest piece and leaves no more than
        `waste`."""
        weights, counts, heavy, ones = self._weights, self._counts, self._heavy, self._ones
        size, full = len(weights), room - self._most[room]
        begun = [(first, room, 0)]
        while begun:
            self._work.spend(1)
            place, space, fill = begun.pop()
            for i in range(place, size if fill else first + 1):
                if space - heavy[i] > waste:
                    break
                weight, one = weights[i], ones[i]
                after, more = space, fill
                for _ in range(min(counts[i], space // weight)):
                    after -= weight
                    more += one
                    if after <= waste:
                        yield _Listed(after - full, more, after)
                    if after >= weights[-1]:
                        begun.append((i + 1, after, more))

    def _unpacked(self, fill: Packed) -> Fill:
        mask = (1 << self._width) - 1
        many = [fill >> self._width * i & mask for i in range(len(self._weights))]
        return tuple([(i, count) for i, count in enumerate(many) if count])
