"""Core: whether pieces go into sticks that are already chosen, by search (method 12).

The search takes the longest piece that is left and tries every fill that has it and may be best,
those of a relaxation first. Inequalities, and the relaxation of what is left, show early where no
packing can follow.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, TypeAlias

from service.core.stock.fills import Fill, Work, WorkUsedUp, fills_with, weigh
from service.core.stock.packing import FilledSticks, pack_greedily, pack_rounded, take_off
from service.core.stock.relaxation import Inequality, Pool, Relaxed, relax, whole_sticks
from service.core.stock.tableau import Offer

Numbers: TypeAlias = tuple[int, ...]
"""How many there are of each room, or of each piece."""
Slack: TypeAlias = tuple[int, Inequality]
"""How much more value the sticks hold than the pieces left have, by an inequality, and which
one."""
SticksByRoom: TypeAlias = dict[int, int]
"""How many sticks there are of each room."""
Parts: TypeAlias = dict[tuple[int, Fill], float]
"""How much a relaxation has of each filled stick, given by its room and its fill."""

INEQUALITIES_KEPT: Final = 24
"""How many inequalities a search keeps."""
LISTING_STEPS: Final = 4000
"""Steps allowed for listing the fills of one stick. If they run out, the search proves nothing."""
DEPTH: Final = 150
"""Placements allowed on top of one another. If more are needed, the search proves nothing."""
NEARLY_WHOLE_FROM: Final = 40
"""With this many lengths or more, where a relaxation has no filled stick whole, those that it has
nearly whole are placed instead, all at once."""


@dataclass(slots=True)
class SearchContext:
    """What searches share: weights and counts of the pieces, inequalities, and fills already
    made."""

    weights: Sequence[int]
    counts: Numbers
    inequalities: list[Inequality] = field(default_factory=list)
    pool: Pool = field(default_factory=dict)

    def inequality(self, values: Sequence[int]) -> Inequality:
        """A new inequality with these values, not yet among the shared ones."""
        return Inequality(self.weights, self.counts, values)


class Search:
    """One search for a packing.

    After `run`, `proven` says whether nothing was left untried, and `violated` is the inequality
    that the sticks break, where the relaxation of the whole showed one; else None.
    """

    def __init__(
        self, context: SearchContext, sticks_by_room: Mapping[int, int], work: Work
    ) -> None:
        self.proven = True
        self.violated: Inequality | None = None
        self._context, self._work = context, work
        self._inequalities = list(context.inequalities)
        self._rooms = tuple(sorted(sticks_by_room, reverse=True))
        self._sticks = tuple([sticks_by_room[room] for room in self._rooms])
        self._filled: list[FilledSticks] = []
        self._dead: set[tuple[Numbers, Numbers]] = set()

    def run(self, left: Numbers, parts: Parts | None = None) -> list[FilledSticks] | None:
        """A packing of the pieces left into the sticks; None where there is none or none was found.

        parts: a relaxation's filled sticks, which these sticks are known to hold; where left out,
        they are worked out.
        """
        try:
            found = self._look(left, self._sticks, 0, parts)
        except WorkUsedUp:
            self.proven = False
            return None
        return self._filled if found else None

    def _look(self, left: Numbers, sticks: Numbers, depth: int, parts: Parts | None = None) -> bool:
        if not any(left):
            return True
        if (left, sticks) in self._dead:
            return False
        if depth > DEPTH:
            self.proven = False
            return False
        self._work.spend(len(left) * (2 + len(self._inequalities)))
        slacks = self._slacks(left, sticks)
        if all(slack >= 0 for slack, _ in slacks) and self._try(left, sticks, slacks, depth, parts):
            return True
        self._dead.add((left, sticks))
        return False

    def _slacks(self, left: Numbers, sticks: Numbers) -> list[Slack]:
        """How much more value the sticks hold than the pieces left have, by each inequality.

        Each slack is paired with its inequality, as the list that the search keeps changes deeper
        down.
        """
        rooms = [(room, some) for room, some in zip(self._rooms, sticks, strict=True) if some]
        slacks = []
        for inequality in self._inequalities:
            held = sum([some * inequality.holds(room, self._work) for room, some in rooms])
            slacks.append((held - inequality.value_of(left), inequality))
        return slacks

    def _try(
        self,
        left: Numbers,
        sticks: Numbers,
        slacks: Sequence[Slack],
        depth: int,
        parts: Parts | None,
    ) -> bool:
        numbers = dict(zip(self._rooms, sticks, strict=True))
        easy = pack_greedily(self._context.weights, left, numbers)
        if easy is None:
            if parts is None:
                parts = self._relax(left, sticks, depth)
                if parts is None:
                    return False
            easy = pack_rounded(self._context.weights, left, numbers, parts, self._work)
        if easy is not None:
            self._filled.extend(easy)
            return True
        firm = whole_sticks((parts or {}).items(), nearly=len(left) >= NEARLY_WHOLE_FROM)
        if firm and self._place(left, sticks, firm, depth):
            return True
        moves = self._moves(left, sticks, slacks, parts or {})
        return any(self._place(left, sticks, [(room, fill, 1)], depth) for room, fill in moves)

    def _relax(self, left: Numbers, sticks: Numbers, depth: int) -> Parts | None:
        """How much of each filled stick is needed, if parts of sticks are allowed.

        None where even parts of sticks do not hold the pieces; the inequality that shows this is
        kept.
        """

        def too_much(values: Sequence[int], holds: Sequence[int]) -> bool:
            need = sum(map(int.__mul__, values, left))
            return need > sum(map(int.__mul__, holds, sticks))

        weights, top = self._context.weights, self._rooms[0]
        offer = Offer(self._rooms, [0.0] * len(sticks), sticks, [w / top for w in weights])
        relaxed = relax(weights, left, offer, self._context.pool, self._work, too_much)
        if relaxed.stopped:
            self._learn(relaxed, depth)
            return None
        return {(self._rooms[s], fill): amount for (s, fill), amount in relaxed.columns}

    def _learn(self, relaxed: Relaxed, depth: int) -> None:
        inequality = self._context.inequality(relaxed.values)
        if depth == 0:
            self.violated = inequality
        shared = len(self._context.inequalities)
        if len(self._inequalities) >= max(INEQUALITIES_KEPT, shared + 1):
            del self._inequalities[shared]
        self._inequalities.append(inequality)

    def _place(
        self, left: Numbers, sticks: Numbers, filled: Sequence[FilledSticks], depth: int
    ) -> bool:
        """Place these filled sticks and go on; take them off again where no packing follows."""
        rest, numbers = list(left), list(sticks)
        mark = len(self._filled)
        for room, fill, most in filled:
            at = self._rooms.index(room)
            count = take_off(rest, fill, min(most, numbers[at]))
            if count:
                numbers[at] -= count
                self._filled.append((room, fill, count))
        if len(self._filled) > mark and self._look(tuple(rest), tuple(numbers), depth + 1):
            return True
        del self._filled[mark:]
        return False

    def _moves(
        self, left: Numbers, sticks: Numbers, slacks: Sequence[Slack], parts: Parts
    ) -> Iterator[tuple[int, Fill]]:
        """Rooms and fills with the longest piece, those of the relaxation first, then the least
        wasteful."""
        weights = self._context.weights
        first = next(i for i, count in enumerate(left) if count)
        spare, material = slacks[0]
        ranked: list[tuple[float, int, int, Fill]] = []
        for room, some in zip(self._rooms, sticks, strict=True):
            if not some or weights[first] > room:
                continue
            waste = spare + room - material.known[room]
            for fill in self._fills(left, first, room, waste):
                share = self._share(room, fill, slacks)
                if share is not None:
                    order = share - 2 * parts.get((room, fill), 0.0)
                    ranked.append((order, len(ranked), room, fill))
        ranked.sort()
        for _, _, room, fill in ranked:
            yield room, fill

    def _fills(self, left: Numbers, first: int, room: int, waste: int) -> Iterator[Fill]:
        """Fills worth trying, as far as the counted steps list them."""
        steps = 0
        for fill in fills_with(self._context.weights, left, first, room, waste):
            steps += 1
            if steps > LISTING_STEPS:
                self.proven = False
                break
            if fill is not None:
                yield fill
        self._work.spend(2 * steps)

    def _share(self, room: int, fill: Fill, slacks: Sequence[Slack]) -> float | None:
        """The greatest share of any slack that the fill uses up; None where it uses more than a
        slack."""
        greatest = 0.0
        for slack, inequality in slacks:
            used = inequality.known[room] - weigh(fill, inequality.values)
            if used > slack:
                return None
            greatest = max(greatest, used / (slack + 1))
        return greatest
