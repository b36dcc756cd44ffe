"""Core: the stock plan in whole numbers (method 12)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from service.core.fills import Fill, Spent, Work, best_fill, rank
from service.core.mixes import Aim, Demand, Mix, aim_of, cheapest_mix
from service.core.packing import Load, pack_fullest, pack_greedily
from service.core.searching import Search, Shop
from service.core.relaxation import Cut, relax
from service.core.tableau import Offer


@dataclass(frozen=True, slots=True)
class Job:
    """weights, counts: of pieces, longest first. rooms, costs, limits: of sticks."""

    weights: tuple[int, ...]
    counts: tuple[int, ...]
    rooms: tuple[int, ...]
    costs: tuple[int, ...]
    limits: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Found:
    loads: list[Load]
    aim: Aim
    floor: int
    fewest: bool


@dataclass(frozen=True, slots=True)
class Effort:
    work: int
    share: int
    deep: bool


EFFORTS: Final = {"ordinary": Effort(30_000, 15_000, True), "thorough": Effort(20_000_000, 5_000_000, True)}


class Solving:
    def __init__(self, job: Job, effort: Effort) -> None:
        self.job = job
        self.effort = effort
        self.work = Work(effort.work)
        self.pool: dict[Fill, int] = {}
        self.cuts: list[Cut] = []
        self.demands: list[Demand] = []
        self.closed: set[Mix] = set()
        self.best: tuple[Aim, Mix, list[Load]] | None = None
        self.floor: Aim | None = None
        self.log: list = []

    def add_cut(self, cut: Cut) -> None:
        self.cuts.append(cut)
        holds = tuple(cut.holds(room, self.work) for room in self.job.rooms)
        self.add_demand(Demand(cut.value_of(self.job.counts), holds))

    def add_demand(self, d):
        for i, o in enumerate(self.demands):
            if o.holds == d.holds:
                if d.need > o.need:
                    self.demands[i] = d
                return
        self.demands.append(d)

    def add_material(self) -> None:
        job = self.job
        cut = Cut(job.weights, job.counts, job.weights)
        cut.known = {r: r for r in job.rooms}
        self.add_cut(cut)

    def add_counting(self) -> None:
        """How many of the pieces at least as long as each go into a stick."""
        job = self.job
        for t in range(len(job.weights)):
            values = [int(i <= t) for i in range(len(job.weights))]
            need = sum(job.counts[: t + 1])
            self.add_demand(Demand(need, tuple(_most_of(job, t, room) for room in job.rooms)))

    def bins(self, mix: Mix) -> dict[int, int]:
        bins: dict[int, int] = {}
        for room, n in zip(self.job.rooms, mix):
            if n:
                bins[room] = bins.get(room, 0) + n
        return bins

    def next_mix(self) -> Mix | None:
        return cheapest_mix(self.job.costs, self.job.limits, self.demands, self.closed,
                            self.best[0] if self.best else None, self.work)

    def keep(self, mix: Mix, loads: list[Load]) -> None:
        used: dict[int, int] = {}
        for room, _, n in loads:
            used[room] = used.get(room, 0) + n
        real = []
        for s in sorted(range(len(mix)), key=lambda s: self.job.costs[s]):
            take = min(mix[s], used.get(self.job.rooms[s], 0))
            used[self.job.rooms[s]] = used.get(self.job.rooms[s], 0) - take
            real.append((s, take))
        m = [0] * len(mix)
        for s, t in real:
            m[s] = t
        aim = aim_of(tuple(m), self.job.costs)
        if self.best is None or aim < self.best[0]:
            self.best = (aim, tuple(m), loads)

    def start(self) -> None:
        """A first plan: cheapest material each time."""
        job = self.job
        left = list(job.counts)
        limits = list(job.limits)
        loads = []
        mix = [0] * len(job.rooms)
        from service.core.fills import greedy_fill
        while any(left):
            first = next(i for i, c in enumerate(left) if c)
            best = None
            for s, room in enumerate(job.rooms):
                if limits[s] and room >= job.weights[first]:
                    fill = greedy_fill(job.weights, left, room)
                    w = sum(job.weights[i] * k for i, k in fill)
                    key = (job.costs[s] / w, -w)
                    if best is None or key < best[0]:
                        best = (key, s, fill)
            if best is None:
                return
            _, s, fill = best
            n = min(limits[s], *[left[i] // k for i, k in fill])
            limits[s] -= n
            mix[s] += n
            for i, k in fill:
                left[i] -= k * n
            loads.append((job.rooms[s], fill, n))
        self.keep(tuple(mix), loads)

    def root(self) -> None:
        job = self.job
        top = max(job.costs) or 1
        costs = [c / top for c in job.costs]
        total = sum(job.counts)
        offer = Offer(job.rooms, costs, [l if l < total else None for l in job.limits], [8.0] * len(job.weights))
        if self.best:
            for _, fill, _ in self.best[2]:
                self.pool[fill] = sum(job.weights[i] * k for i, k in fill)
        relaxed = relax(job.weights, job.counts, offer, self.pool, self.work)
        self.root_cost = relaxed.cost * top
        self.columns = relaxed.columns
        cut = Cut(job.weights, job.counts, relaxed.values)
        self.add_cut(cut)

    def quick(self, mix: Mix) -> bool:
        bins = self.bins(mix)
        loads = pack_greedily(self.job.weights, self.job.counts, bins)
        if loads is None:
            loads = pack_fullest(self.job.weights, self.job.counts, bins, self.work)
        if loads is not None:
            self.keep(mix, loads)
        return loads is not None

    def search(self, mix: Mix) -> None:
        job = self.job
        part = self.work.share(self.work.left * 6 // 10)
        before = part.left
        packing = Search(Shop(job.weights, job.counts, self.cuts, self.pool), self.bins(mix), part)
        parts = {(job.rooms[s], f): x for (s, f), x in self.columns} if len(job.rooms) == 1 else None
        loads = packing.run(parts)
        self.work.settle(part)
        self.log.append((mix, loads is not None, packing.proven, before - part.left))
        if packing.violated is not None:
            self.add_cut(packing.violated)
        if loads is not None:
            self.keep(mix, loads)
            return
        if not packing.proven and self.floor is None:
            self.floor = aim_of(mix, job.costs)
        self.closed.add(mix)

    def run(self) -> Found:
        job = self.job
        self.add_counting()
        self.add_material()
        self.start()
        rooted = False
        mix = None
        try:
            while True:
                mix = self.next_mix()
                if mix is None:
                    break
                if self.quick(mix):
                    continue
                if not rooted:
                    self.root()
                    rooted = True
                    continue
                self.search(mix)
        except Spent:
            if self.floor is None:
                self.floor = aim_of(mix, job.costs) if mix else (0, 0)
        aim, mix, loads = self.best
        floor = self.floor if self.floor is not None else aim
        out = []
        rest = list(mix)
        for room, fill, n in loads:
            for s in range(len(rest)):
                if job.rooms[s] == room and rest[s] and n:
                    k = min(n, rest[s])
                    rest[s] -= k
                    n -= k
                    out.append((s, fill, k))
        return Found(out, aim, min(floor[0], aim[0]), floor == aim)


def _most_of(job: Job, t: int, room: int) -> int:
    n = 0
    for i in range(t, -1, -1):
        k = min(job.counts[i], room // job.weights[i])
        n += k
        room -= k * job.weights[i]
        if k < job.counts[i]:
            break
    return n


def solve(job: Job, effort: str) -> Found:
    s = Solving(job, EFFORTS[effort])
    f = s.run()
    global LAST
    LAST = s
    return f
