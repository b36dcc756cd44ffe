"""Stock plans by a general solver (HiGHS), with a whole number for each way to fill a stick.

Lengths are whole numbers. A piece's weight includes one kerf, and so does a stick's room.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import highspy


@dataclass
class Job:
    """Pieces to cut and the sticks to cut them from.

    weights, counts: of each kind of piece; rooms, costs, limits: of each kind of stick, `limits`
    being how many sticks there are.
    """

    weights: Sequence[int]
    counts: Sequence[int]
    rooms: Sequence[int]
    costs: Sequence[int]
    limits: Sequence[int]

    def patterns(self) -> list[tuple[int, tuple[int, ...]]]:
        """Each kind of stick with each fill that leaves no room for another piece."""
        return [
            (stick, fill)
            for stick, room in enumerate(self.rooms)
            if self.limits[stick]
            for fill in self._fills((), room)
        ]

    def _fills(self, begun: tuple[int, ...], left: int) -> Iterator[tuple[int, ...]]:
        place = len(begun)
        if place == len(self.weights):
            if any(begun) and all(
                taken == count or weight > left
                for taken, count, weight in zip(begun, self.counts, self.weights, strict=True)
            ):
                yield begun
            return
        for taken in range(min(self.counts[place], left // self.weights[place]) + 1):
            yield from self._fills((*begun, taken), left - taken * self.weights[place])


@dataclass
class Programme:
    """A programme in whole numbers, built column by column."""

    model: highspy.Highs = field(default_factory=highspy.Highs)
    columns: int = 0

    def __post_init__(self) -> None:
        self.model.setOptionValue("output_flag", False)
        self.model.setOptionValue("mip_rel_gap", 0.0)

    def add(self, cost: float, most: int) -> int:
        """Add a column that runs from 0 to `most`, and return its number."""
        self.model.addCol(cost, 0, most, 0, [], [])
        self.model.changeColIntegrality(self.columns, highspy.HighsVarType.kInteger)
        self.columns += 1
        return self.columns - 1

    def hold(self, least: float, most: float, terms: dict[int, float]) -> None:
        """Add a row: the sum of the terms lies between `least` and `most`."""
        self.model.addRow(least, most, len(terms), list(terms), list(terms.values()))

    def solve(self) -> list[int] | None:
        """Whole values of the columns; None where no values satisfy the rows."""
        self.model.run()
        if self.model.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
            return None
        assert self.model.getModelStatus() == highspy.HighsModelStatus.kOptimal
        return [round(value) for value in self.model.getSolution().col_value]


def least_cost(job: Job) -> int:
    """Least cost of the sticks that all pieces can be cut from."""
    patterns, programme = job.patterns(), Programme()
    for stick, _ in patterns:
        programme.add(job.costs[stick], job.limits[stick])
    for piece, count in enumerate(job.counts):
        terms = {k: float(fill[piece]) for k, (_, fill) in enumerate(patterns) if fill[piece]}
        programme.hold(count, highspy.kHighsInf, terms)
    for stick, limit in enumerate(job.limits):
        terms = {k: 1.0 for k, (of, _) in enumerate(patterns) if of == stick}
        programme.hold(0, limit, terms)
    values = programme.solve()
    assert values is not None
    return sum(value * job.costs[stick] for value, (stick, _) in zip(values, patterns, strict=True))


def longest_offcut(job: Job, sticks: int, cost: int) -> int:
    """Longest offcut of any plan of all pieces with so many sticks, none empty, of so much cost.

    For each kind of stick in turn, one stick of it is set apart and the least that it has to hold
    is found, with all other pieces in the other sticks.
    """
    patterns, best = job.patterns(), -1
    for target, room in enumerate(job.rooms):
        programme = Programme()
        for stick, _ in patterns:
            programme.add(0, job.limits[stick])
        sizes = zip(job.weights, job.counts, strict=True)
        held = [programme.add(weight, count) for weight, count in sizes]
        for piece, count in enumerate(job.counts):
            terms = {k: float(fill[piece]) for k, (_, fill) in enumerate(patterns) if fill[piece]}
            programme.hold(count, highspy.kHighsInf, {**terms, held[piece]: 1.0})
        programme.hold(sticks - 1, sticks - 1, dict.fromkeys(range(len(patterns)), 1.0))
        others = {k: float(job.costs[stick]) for k, (stick, _) in enumerate(patterns)}
        programme.hold(cost - job.costs[target], cost - job.costs[target], others)
        programme.hold(1, sum(job.counts) - (sticks - 1), dict.fromkeys(held, 1.0))
        weights = dict(zip(held, map(float, job.weights), strict=True))
        programme.hold(0, room, weights)
        values = programme.solve()
        if values is not None:
            best = max(best, room - sum(values[k] * int(weights[k]) for k in held))
    return best
