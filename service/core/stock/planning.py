"""Core: the stock plan in whole numbers (method 12); the plan and its bound are found together.

The cheapest mix of sticks that no inequality rules out is tried. If all pieces go into it, it is
the best plan; if not, the mix is closed or a new inequality rules it out, and the next cheapest is
tried. So the bound is a cost that sticks can add up to, and a plan called optimal is proven so.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from typing import Final

from service.core.frozen import record
from service.core.stock.fills import Work, WorkUsedUp, best_fill, rank, weigh
from service.core.stock.first_plans import MANY_LENGTHS, PlanSoFar, filler_of
from service.core.stock.instance import Instance, NumberedSticks
from service.core.stock.mixes import TRIES, Aim, Mix, Mixing, Requirement, aim_of, least_cost
from service.core.stock.packing import FilledSticks, pack_fullest, pack_greedily
from service.core.stock.relaxation import Inequality, Relaxed, StopTest, relax, whole_sticks
from service.core.stock.searching import Parts, Search, SearchContext
from service.core.stock.tableau import Offer

EFFORTS: Final = {"ordinary": 30_000, "thorough": 20_000_000}
"""Counted work of each effort."""
MIX_SHARE: Final = 0.6
"""Share of the remaining work that the search of one mix may take."""
BONUSES: Final = (0.0, 0.1, 0.2, 0.4)
"""By how much the longest pieces count for more than their weight, in each of the plans that are
made before the search."""
WORK_FOR_PLANS: Final = 1_000_000
"""Those plans, and the plan of a dive, are made only with more work left than this."""
BOUND_STEPS: Final = 30
"""Steps after which a bound on how much of a stick on hand can be filled is good enough."""
PENALTY: Final = 8.0
"""Cost of a piece that is left out of a relaxation, in dearest sticks."""


@record()
class Solution:
    """A plan. cost: of all its sticks; floor: no plan costs less."""

    sticks: NumberedSticks
    cost: int
    floor: int


def solve(instance: Instance, work: int) -> Solution | None:
    """The best plan found within the counted work.

    None where the sticks do not hold the pieces, or where no plan was found.

    >>> solve(Instance((7, 5), (1, 2), (12, 10), (12, 10), (9, 9)), EFFORTS["ordinary"])
    Solution(sticks=((1, ((0, 1),), 1), (1, ((1, 2),), 1)), cost=20, floor=20)
    """
    return _Solving(instance, work).run()


class _Solving:
    """The solving of one instance: its inequalities, the closed mixes, and the best plan so far."""

    def __init__(self, instance: Instance, work: int) -> None:
        self.instance = instance
        self.work, self.tries = Work(work), Work(max(TRIES, work))
        self.context = SearchContext(instance.weights, instance.counts)
        self.requirements: list[Requirement] = []
        self.closed: set[Mix] = set()
        self.best: tuple[Aim, Mix, list[FilledSticks]] | None = None
        self.floor: Aim | None = None
        self.parts: Parts | None = None

    def run(self) -> Solution | None:
        self._count_pieces()
        self._weigh_material()
        self._start()
        self._descend()
        if self.best is None:
            return None
        aim, mix, filled = self.best
        floor = aim if self.floor is None else min(self.floor, aim)
        return Solution(self.instance.numbered(mix, filled), aim[0], floor[0])

    def _descend(self) -> None:
        """Try mixes, cheapest first, until all pieces go into one.

        Where the work is used up before that, the mix that is being tried gives the floor.
        """
        relaxed = False
        mix: Mix | None = ()
        try:
            while (mix := self._next_mix()) is not None:
                if self._pack(mix) or (relaxed and self._search(mix)):
                    return
                if not relaxed:
                    relaxed = True
                    many = self.work.left > WORK_FOR_PLANS
                    for bonus in BONUSES if many else ():
                        self._start(bonus)
                    fractions = self._relax()
                    if many:
                        self._dive(fractions)
        except WorkUsedUp:
            if self.floor is None:
                self.floor = aim_of(mix or (), self.instance.costs)

    def _next_mix(self) -> Mix | None:
        """The cheapest mix that nothing rules out and that is better than the best plan; else None.

        Where the search for it takes too long, the cheapest mix found by then; the floor is then a
        lower bound on the cost of any mix.
        """
        costs, limits = self.instance.costs, self.instance.limits
        below = self.best[0] if self.best else None
        # With sticks on hand, which cost nothing, a great many mixes have the same cost.
        share = self.work.share(int(self.work.left * (MIX_SHARE if 0 in costs else 1)))
        mixing = Mixing(costs, limits, self.requirements, share, self.tries)
        try:
            mix = mixing.cheapest(below, self.closed)
        except WorkUsedUp:
            mix = mixing.best
            if self.floor is None:
                self.floor = least_cost(costs, limits, self.requirements), 0
        self.work.settle(share)
        return mix

    def _count_pieces(self) -> None:
        """Require that a mix hold, for each length, the number of pieces of that length or longer.

        Of a great many lengths, only some are looked at.
        """
        weights, counts, rooms = self.instance.weights, self.instance.counts, self.instance.rooms
        heavy, number = [0], [0]
        for weight, count in zip(weights, counts, strict=True):
            heavy.append(heavy[-1] + weight * count)
            number.append(number[-1] + count)
        step = 1 + len(counts) // MANY_LENGTHS
        for end in range(1 + (len(counts) - 1) % step, len(counts) + 1, step):
            holds = tuple([_most_of(weights, heavy, number, end, room) for room in rooms])
            self._require(Requirement(number[end], holds))

    def _weigh_material(self) -> None:
        """Require that the sticks of a mix have room for the material of all pieces.

        A stick on hand may be of an odd length; only as much of it counts as pieces can fill.
        """
        weights, counts = self.instance.weights, self.instance.counts
        inequality = self.context.inequality(weights)
        inequality.known = {room: room for room in self.instance.rooms}
        ranked, spare = rank(weights, weights, counts), Work(TRIES)
        for room, cost in zip(self.instance.rooms, self.instance.costs, strict=True):
            if not cost:
                inequality.known[room] = best_fill(ranked, room, 0, spare, BOUND_STEPS).bound
        self._add_inequality(inequality)

    def _add_inequality(self, inequality: Inequality) -> None:
        self.context.inequalities.append(inequality)
        holds = tuple(inequality.holds(room, self.work) for room in self.instance.rooms)
        self._require(Requirement(inequality.value_of(self.instance.counts), holds))

    def _require(self, requirement: Requirement) -> None:
        """Keep a requirement.

        Of requirements toward which every stick holds the same, only the greatest is kept.
        """
        for i, other in enumerate(self.requirements):
            if other.holds == requirement.holds:
                if requirement.need > other.need:
                    self.requirements[i] = requirement
                return
        self.requirements.append(requirement)

    def _start(self, bonus: float | None = None) -> None:
        """Make a plan without a search, and keep it where it is the best so far.

        Each time, the longest piece left goes into the stick that costs least for what it holds.
        Other pieces are added greedily, or by value where a bonus is given. With sticks on hand a
        second plan is made, which prefers those of them that are left fullest.
        """
        for fullest in (False, True) if 0 in self.instance.costs else (False,):
            self._finish(PlanSoFar(self.instance), bonus, fullest)

    def _finish(self, plan: PlanSoFar, bonus: float | None = None, fullest: bool = False) -> None:
        """Fill sticks with the pieces that a plan has left, and keep it where it is the best so
        far."""
        if plan.fill_up(filler_of(self.instance, bonus, self.work), fullest=fullest):
            self._keep(tuple(plan.mix), plan.filled)

    def _keep(self, mix: Mix, filled: list[FilledSticks]) -> None:
        """Keep a plan that is better than the best so far. Sticks of its mix that hold nothing are
        left out."""
        used: dict[int, int] = {}
        for room, _, count in filled:
            used[room] = used.get(room, 0) + count
        taken = [0] * len(mix)
        for stick in sorted(range(len(mix)), key=self.instance.costs.__getitem__):
            room = self.instance.rooms[stick]
            taken[stick] = min(mix[stick], used.get(room, 0))
            used[room] = used.get(room, 0) - taken[stick]
        aim = aim_of(tuple(taken), self.instance.costs)
        if self.best is None or aim < self.best[0]:
            self.best = (aim, tuple(taken), filled)

    def _pack(self, mix: Mix) -> bool:
        """Whether all pieces go into a mix without a search."""
        weights, counts = self.instance.weights, self.instance.counts
        sticks_by_room = self.instance.sticks_by_room(mix)
        filled = pack_greedily(weights, counts, sticks_by_room)
        if filled is None:
            filled = pack_fullest(weights, counts, sticks_by_room, self.work)
        if filled is not None:
            self._keep(mix, filled)
        return filled is not None

    def _relax(self) -> Relaxed:
        """The linear relaxation of the whole instance, whose prices, made whole, become an
        inequality."""
        instance = self.instance
        for _, fill, _ in self.best[2] if self.best else ():
            self.context.pool[fill] = weigh(fill, instance.weights)
        spare = self.work.left // 2
        counts, limits = instance.counts, instance.limits
        relaxed = self._relaxed(counts, limits, lambda _, __: self.work.left < spare)
        if len(instance.rooms) == 1:
            (room,) = instance.rooms
            self.parts = {(room, fill): amount for (_, fill), amount in relaxed.columns}
        self._add_inequality(self.context.inequality(relaxed.values))
        return relaxed

    def _relaxed(
        self, left: Sequence[int], limits: Sequence[int], should_stop: StopTest
    ) -> Relaxed:
        instance = self.instance
        top, total = max(instance.costs) or 1, sum(instance.counts)
        offer = Offer(
            instance.rooms,
            [cost / top for cost in instance.costs],
            [limit if limit < total else None for limit in limits],
            [PENALTY] * len(instance.weights),
        )
        return relax(instance.weights, left, offer, self.context.pool, self.work, should_stop)

    def _dive(self, relaxed: Relaxed) -> None:
        """Make a plan from a relaxation, and keep it where it is the best so far.

        The filled sticks that the relaxation has whole, or nearly so, are taken; what is left is
        relaxed again, and so on.
        """
        plan = PlanSoFar(self.instance)
        try:
            while plan.take(whole_sticks(relaxed.columns)) and any(plan.left):
                relaxed = self._relaxed(plan.left, plan.limits, lambda _, __: False)
        except WorkUsedUp:
            pass
        self._finish(plan)

    def _search(self, mix: Mix) -> bool:
        """Whether a search packs all pieces into a mix. A mix for which it does not is closed.

        Where it fails without a proof, the cost of the mix is the floor, unless there is one
        already.
        """
        share = self.work.share(int(self.work.left * MIX_SHARE))
        search = Search(self.context, self.instance.sticks_by_room(mix), share)
        filled = search.run(self.instance.counts, self.parts)
        self.work.settle(share)
        if search.violated is not None:
            self._add_inequality(search.violated)
        if filled is not None:
            self._keep(mix, filled)
            return True
        if not search.proven and self.floor is None:
            self.floor = aim_of(mix, self.instance.costs)
        self.closed.add(mix)
        return False


def _most_of(
    weights: Sequence[int], heavy: Sequence[int], number: Sequence[int], end: int, room: int
) -> int:
    """How many of the pieces before index `end`, the longest ones, a room holds at the most.

    heavy, number: total weight and number of the pieces before each index. The shortest go in
    first.

    >>> _most_of((7, 5, 3), (0, 7, 17, 26), (0, 1, 3, 6), 3, 20)
    5
    """
    first = bisect_left(heavy, heavy[end] - room, 0, end)
    held = number[end] - number[first]
    if first:
        held += (room - heavy[end] + heavy[first]) // weights[first - 1]
    return held
