"""Core: whether pieces go into sticks that are already chosen (method 12).

First by filling stick after stick with the longest pieces; then by search. The search takes the
longest piece that is left and tries every fill that has it and may be best; cuts, and in a deep
search the relaxation of what is left, say early where nothing can come of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, TypeAlias

from service.core.fills import Fill, Spent, Work, best_fill, fills_with, greedy_fill, rank
from service.core.relaxation import Cut, Offer, Relaxed, relax

Load: TypeAlias = tuple[int, Fill, int]
"""A room, what it holds, and how many such sticks."""
Bins: TypeAlias = tuple[int, ...]

CUTS: Final = 24
"""Cuts that a search keeps."""
MOVES: Final = 4000
"""Fills that are weighed for one stick; with more the search proves nothing."""
DEPTH: Final = 150


def pack_greedily(
    weights: Sequence[int], left: Sequence[int], bins: Mapping[int, int]
) -> list[Load] | None:
    """Longest pieces first, into the roomiest sticks first, then the least roomy; None if over.

    >>> pack_greedily((5, 3), (2, 2), {8: 2})
    [(8, ((0, 1), (1, 1)), 2)]
    """
    for rooms in (sorted(bins, reverse=True), sorted(bins)):
        loads = _fill_in_turn(weights, list(left), [(room, bins[room]) for room in rooms])
        if loads is not None:
            return loads
    return None


def _fill_in_turn(
    weights: Sequence[int], left: list[int], bins: Sequence[tuple[int, int]]
) -> list[Load] | None:
    loads: list[Load] = []
    for room, number in bins:
        while number:
            fill = greedy_fill(weights, left, room)
            if not fill:
                break
            count = min(number, min([left[i] // k for i, k in fill]))
            for i, k in fill:
                left[i] -= k * count
            number -= count
            loads.append((room, fill, count))
    return None if any(left) else loads


class Packing:
    """One search for a packing; `pack` gives it, or None with `proven` saying whether it is so."""

    def __init__(
        self,
        weights: Sequence[int],
        cuts: Sequence[Cut],
        pool: dict[Fill, int],
        most: Sequence[int],
        deep: bool,
    ) -> None:
        self.weights, self.cuts, self.pool, self.most = weights, list(cuts), pool, most
        self.base = len(self.cuts)
        self.deep = deep
        self.proven = True
        self.violated: Cut | None = None
        self.rooms: tuple[int, ...] = ()
        self._loads: list[Load] = []
        self._dead: set[tuple[tuple[int, ...], Bins]] = set()

    def pack(self, left: Sequence[int], bins: Mapping[int, int], work: Work) -> list[Load] | None:
        """A packing of what is left into the bins (room: how many)."""
        self.rooms = tuple(sorted(bins, reverse=True))
        self.work = work
        numbers = tuple([bins[room] for room in self.rooms])
        try:
            found = self._search(tuple(left), numbers, 0)
        except Spent:
            self.proven = False
            return None
        return list(self._loads) if found else None

    def _search(self, left: tuple[int, ...], bins: Bins, depth: int) -> bool:
        if not any(left):
            return True
        if depth > DEPTH:
            self.proven = False
            return False
        if (left, bins) in self._dead:
            return False
        self.work.spend(len(left) * (2 + len(self.cuts)))
        slacks = self._slacks(left, bins)
        if min(slacks) >= 0 and self._try(left, bins, slacks, depth):
            return True
        self._dead.add((left, bins))
        return False

    def _try(self, left: tuple[int, ...], bins: Bins, slacks: list[int], depth: int) -> bool:
        numbers = dict(zip(self.rooms, bins, strict=True))
        easy = pack_greedily(self.weights, left, numbers)
        if easy is not None:
            self._loads.extend(easy)
            return True
        hints: dict[tuple[int, Fill], float] = {}
        if self.deep:
            relaxed = self._relax(left, bins, depth)
            if relaxed.stopped:
                return False
            hints = {(self.rooms[s], fill): count for (s, fill), count in relaxed.columns}
            whole = [(room, fill, int(n + 1e-6)) for (room, fill), n in hints.items() if n >= 1]
            if whole and self._place(left, bins, whole, depth):
                return True
        moves = self._moves(left, bins, slacks, hints)
        return any(self._place(left, bins, [(room, fill, 1)], depth) for room, fill in moves)

    def _place(
        self, left: tuple[int, ...], bins: Bins, loads: Sequence[Load], depth: int
    ) -> bool:
        """Go on with these loads placed; they come off again where nothing comes of it."""
        rest, numbers = list(left), list(bins)
        placed: list[Load] = []
        for room, fill, count in loads:
            number = self.rooms.index(room)
            count = min([count, numbers[number], *[rest[i] // k for i, k in fill]])
            if count > 0:
                numbers[number] -= count
                for i, k in fill:
                    rest[i] -= k * count
                placed.append((room, fill, count))
        mark = len(self._loads)
        self._loads.extend(placed)
        if placed and self._search(tuple(rest), tuple(numbers), depth + 1):
            return True
        del self._loads[mark:]
        return False

    def _slacks(self, left: Sequence[int], bins: Bins) -> list[int]:
        """By each cut, the value that the bins hold over that of what is left."""
        return [
            sum([
                number * cut.holds(room, self.work)
                for room, number in zip(self.rooms, bins, strict=True)
                if number
            ]) - cut.of(left)
            for cut in self.cuts
        ]  # fmt: skip

    def _relax(self, left: tuple[int, ...], bins: Bins, depth: int) -> Relaxed:
        """Whether parts of these sticks would do; if not, the cut that says so is kept."""

        def too_much(values: tuple[int, ...], holds: Sequence[int]) -> bool:
            need = sum(map(int.__mul__, values, left))
            return need > sum(map(int.__mul__, holds, bins))

        top = max(self.rooms)
        single = [weight / top for weight in self.weights]
        offer = Offer(self.rooms, [0.0] * len(bins), list(bins), single)
        relaxed = relax(self.weights, left, offer, self.pool, self.work, too_much)
        if relaxed.stopped:
            cut = Cut(self.weights, self.most, relaxed.values)
            if depth == 0:
                self.violated = cut
            if len(self.cuts) >= CUTS:
                del self.cuts[self.base]
            self.cuts.append(cut)
        return relaxed

    def _moves(
        self, left: tuple[int, ...], bins: Bins, slacks: Sequence[int],
        hints: Mapping[tuple[int, Fill], float],
    ) -> Iterator[tuple[int, Fill]]:  # fmt: skip
        """Fills with the longest piece: those of the relaxation, then those that waste least."""
        first = next(i for i, count in enumerate(left) if count)
        cuts = self.cuts[: len(slacks)]
        ranked: list[tuple[float, int, int, Fill]] = []
        for room, number in zip(self.rooms, bins, strict=True):
            if not number or self.weights[first] > room:
                continue
            seen = 0
            for fill in fills_with(self.weights, left, first, room, slacks[0]):
                seen += 1
                if seen > MOVES:
                    self.proven = False
                    break
                if fill is None:
                    continue
                spare = [
                    slack - cut.known[room] + sum([cut.values[i] * k for i, k in fill])
                    for slack, cut in zip(slacks, cuts, strict=True)
                ]
                if min(spare) >= 0:
                    share = max([(slack - s) / (slack + 1) for slack, s in zip(slacks, spare, strict=True)])
                    ranked.append((share - 2 * hints.get((room, fill), 0.0), len(ranked), room, fill))
            self.work.spend(2 * seen)
        ranked.sort()
        for _, _, room, fill in ranked:
            yield room, fill


def pack_fullest(
    weights: Sequence[int], left: Sequence[int], bins: Mapping[int, int], work: Work
) -> list[Load] | None:
    """The longest piece each time, in the stick and with the company that leave the least over."""
    rest, numbers = list(left), dict(bins)
    loads: list[Load] = []
    while any(rest):
        first = next(i for i, count in enumerate(rest) if count)
        rest[first] -= 1
        ranked = rank(weights, weights, rest)
        best: tuple[int, int, Fill] | None = None
        for room, number in sorted(numbers.items()):
            space = room - weights[first]
            if number and space >= 0:
                worth = best_fill(ranked, space, -1, work)
                if best is None or space - worth.value < best[0]:
                    best = space - worth.value, room, worth.fill
        rest[first] += 1
        if best is None:
            return None
        counts = dict(best[2])
        counts[first] = counts.get(first, 0) + 1
        fill = tuple(sorted(counts.items()))
        count = min(numbers[best[1]], *[rest[i] // k for i, k in fill])
        numbers[best[1]] -= count
        for i, k in fill:
            rest[i] -= k * count
        loads.append((best[1], fill, count))
    return loads
