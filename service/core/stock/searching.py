"""Core: whether pieces go into sticks that are already chosen, by search (method 12).

The search takes the longest piece that is left and tries every fill that has it and may be best.
Cuts, and the relaxation of what is left, say early where nothing can come of it; the relaxation's
own loads are tried first.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, TypeAlias

from service.core.stock.fills import Fill, Spent, Work, fills_with, weigh
from service.core.stock.packing import Load, pack_greedily, pack_rounded, take_off
from service.core.stock.relaxation import Cut, Pool, Relaxed, relax
from service.core.stock.tableau import Offer

Numbers: TypeAlias = tuple[int, ...]
"""How many of each room, or of each piece."""
Slack: TypeAlias = tuple[int, Cut]
"""The value that sticks hold over that of what is left, by a cut."""
Parts: TypeAlias = dict[tuple[int, Fill], float]
"""How much a relaxation has of each load."""

CUTS: Final = 24
"""Cuts that a search keeps."""
MOVES: Final = 4000
"""Steps in listing the fills of one stick; with more the search proves nothing."""
DEPTH: Final = 150
"""Loads on top of one another; with more the search proves nothing."""
LARGE: Final = 40
"""Lengths from which on a relaxation is taken at its word for several loads at once."""


@dataclass(slots=True)
class Shop:
    """What searches of one job share: weights and numbers of pieces, cuts, fills made before."""

    weights: Sequence[int]
    counts: Numbers
    cuts: list[Cut] = field(default_factory=list)
    pool: Pool = field(default_factory=dict)

    def cut(self, values: Sequence[int]) -> Cut:
        """A cut with these values."""
        return Cut(self.weights, self.counts, values)


class Search:
    """One search. After `run`, `proven` says whether nothing was left untried, and `violated`
    is the cut that the sticks break, if it was the relaxation of the whole that said no.
    """

    def __init__(self, shop: Shop, bins: Mapping[int, int], work: Work) -> None:
        self.proven = True
        self.violated: Cut | None = None
        self._shop, self._work = shop, work
        self._cuts = list(shop.cuts)
        self._rooms = tuple(sorted(bins, reverse=True))
        self._bins = tuple([bins[room] for room in self._rooms])
        self._loads: list[Load] = []
        self._dead: set[tuple[Numbers, Numbers]] = set()

    def run(self, parts: Parts | None = None) -> list[Load] | None:
        """A packing of all pieces into the bins; None where there is none or none was found.

        parts: the loads of a relaxation that these bins are known to hold.
        """
        try:
            found = self._look(self._shop.counts, self._bins, 0, parts)
        except Spent:
            self.proven = False
            return None
        return self._loads if found else None

    def _look(self, left: Numbers, bins: Numbers, depth: int, parts: Parts | None = None) -> bool:
        if not any(left):
            return True
        if (left, bins) in self._dead:
            return False
        if depth > DEPTH:
            self.proven = False
            return False
        self._work.spend(len(left) * (2 + len(self._cuts)))
        slacks = self._slacks(left, bins)
        if all(slack >= 0 for slack, _ in slacks) and self._try(left, bins, slacks, depth, parts):
            return True
        self._dead.add((left, bins))
        return False

    def _slacks(self, left: Numbers, bins: Numbers) -> list[Slack]:
        """By each cut, the value that the bins hold over that of what is left.

        Each with its cut: the cuts that the search keeps change below this place.
        """
        rooms = [(room, some) for room, some in zip(self._rooms, bins, strict=True) if some]
        slacks = []
        for cut in self._cuts:
            held = sum([some * cut.holds(room, self._work) for room, some in rooms])
            slacks.append((held - cut.value_of(left), cut))
        return slacks

    def _try(
        self, left: Numbers, bins: Numbers, slacks: Sequence[Slack], depth: int, parts: Parts | None
    ) -> bool:
        numbers = dict(zip(self._rooms, bins, strict=True))
        easy = pack_greedily(self._shop.weights, left, numbers)
        if easy is None:
            if parts is None:
                parts = self._relax(left, bins, depth)
                if parts is None:
                    return False
            easy = pack_rounded(self._shop.weights, left, numbers, parts, self._work)
        if easy is not None:
            self._loads.extend(easy)
            return True
        firm = _firm(parts or {}, len(left))
        if firm and self._place(left, bins, firm, depth):
            return True
        moves = self._moves(left, bins, slacks, parts or {})
        return any(self._place(left, bins, [(room, fill, 1)], depth) for room, fill in moves)

    def _relax(self, left: Numbers, bins: Numbers, depth: int) -> Parts | None:
        """Loads of which parts of these sticks would do, or None where not even those do.

        The cut that says so is kept.
        """

        def too_much(values: Sequence[int], holds: Sequence[int]) -> bool:
            need = sum(map(int.__mul__, values, left))
            return need > sum(map(int.__mul__, holds, bins))

        weights, top = self._shop.weights, self._rooms[0]
        offer = Offer(self._rooms, [0.0] * len(bins), bins, [w / top for w in weights])
        relaxed = relax(weights, left, offer, self._shop.pool, self._work, too_much)
        if relaxed.stopped:
            self._learn(relaxed, depth)
            return None
        return {(self._rooms[s], fill): amount for (s, fill), amount in relaxed.columns}

    def _learn(self, relaxed: Relaxed, depth: int) -> None:
        cut = self._shop.cut(relaxed.values)
        if depth == 0:
            self.violated = cut
        if len(self._cuts) >= CUTS:
            del self._cuts[len(self._shop.cuts)]
        self._cuts.append(cut)

    def _place(self, left: Numbers, bins: Numbers, loads: Sequence[Load], depth: int) -> bool:
        """Go on with these loads placed; they come off again where nothing comes of it."""
        rest, numbers = list(left), list(bins)
        mark = len(self._loads)
        for room, fill, most in loads:
            at = self._rooms.index(room)
            count = take_off(rest, fill, min(most, numbers[at]))
            if count:
                numbers[at] -= count
                self._loads.append((room, fill, count))
        if len(self._loads) > mark and self._look(tuple(rest), tuple(numbers), depth + 1):
            return True
        del self._loads[mark:]
        return False

    def _moves(
        self, left: Numbers, bins: Numbers, slacks: Sequence[Slack], parts: Parts
    ) -> Iterator[tuple[int, Fill]]:
        """Loads with the longest piece: those of the relaxation, then those that waste least."""
        weights = self._shop.weights
        first = next(i for i, count in enumerate(left) if count)
        ranked: list[tuple[float, int, int, Fill]] = []
        for room, some in zip(self._rooms, bins, strict=True):
            if not some or weights[first] > room:
                continue
            for fill in self._fills(left, first, room, slacks[0][0]):
                waste = self._waste(room, fill, slacks)
                if waste is not None:
                    order = waste - 2 * parts.get((room, fill), 0.0)
                    ranked.append((order, len(ranked), room, fill))
        ranked.sort()
        for _, _, room, fill in ranked:
            yield room, fill

    def _fills(self, left: Numbers, first: int, room: int, waste: int) -> Iterator[Fill]:
        """Fills worth trying, listed within the counted steps."""
        steps = 0
        for fill in fills_with(self._shop.weights, left, first, room, waste):
            steps += 1
            if steps > MOVES:
                self.proven = False
                break
            if fill is not None:
                yield fill
        self._work.spend(2 * steps)

    def _waste(self, room: int, fill: Fill, slacks: Sequence[Slack]) -> float | None:
        """The greatest share of a cut's slack that the load uses up; None where over all of it."""
        greatest = 0.0
        for slack, cut in slacks:
            used = cut.known[room] - weigh(fill, cut.values)
            if used > slack:
                return None
            greatest = max(greatest, used / (slack + 1))
        return greatest


def _firm(parts: Parts, lengths: int) -> list[Load]:
    """Loads that the relaxation has whole; of a large job those that it has nearly whole."""
    whole = [(room, fill, int(part + 1e-6)) for (room, fill), part in parts.items() if part >= 1]
    if whole or lengths < LARGE or not parts:
        return whole
    most = max(parts.values())
    return [(room, fill, 1) for (room, fill), part in parts.items() if part >= min(most, 0.6)]
