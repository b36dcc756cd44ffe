"""Slow, plain models of the method's searches to compare it with; they share no code with it.

Everything is in whole numbers: marks along a run in steps, lengths in parts of a step.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

import highspy

SCALE = 8
"""Parts in a step: a case's lengths are whole numbers of these parts."""


@dataclass(frozen=True)
class Case:
    """A run to divide, in parts of a step.

    spacings: the least and the greatest; the least is halved beside a wall, whose half is 0.
    forbidden: open intervals where no mark may lie. cap: the widest clear that a panel may be cut
    from, in whole steps after it is floored to a step. Of each kind of bays the widest bay and all
    within two steps of it are cut from the narrowest among them, and the bays that are left are
    grouped in the same way.
    """

    length: int
    halves: tuple[int, int]
    width: int
    spacings: tuple[int, int]
    forbidden: tuple[tuple[int, int], ...] = ()
    cap: int | None = None

    def even(self, bays: int) -> list[Fraction]:
        """Places of the even marks, in parts of a step."""
        clear = Fraction(self.length - sum(self.halves) - (bays - 1) * self.width, bays)
        first = self.halves[0] - Fraction(self.width, 2)
        return [first + i * (clear + self.width) for i in range(1, bays)]

    def clears(self, marks: Sequence[int]) -> list[Fraction]:
        """Clear openings for inner marks that are given in steps."""
        places = [0, *(mark * SCALE for mark in marks), self.length]
        half = Fraction(self.width, 2)
        losses = [Fraction(self.halves[0]), *(half for _ in marks), Fraction(self.halves[1])]
        return [
            Fraction(b - a) - x - y
            for a, b, x, y in zip(places, places[1:], losses, losses[1:], strict=False)
        ]

    def free(self, mark: int) -> bool:
        """Whether a post may stand on a mark that is given in steps."""
        return not any(low < mark * SCALE < high for low, high in self.forbidden)

    def least(self, bay: int, bays: int) -> Fraction:
        """The least spacing of a bay: a base, or half a base where the bay ends at a wall."""
        at_wall = (bay == 0 and not self.halves[0]) + (bay == bays - 1 and not self.halves[1])
        return Fraction(self.spacings[0], 2 if at_wall else 1)

    def keeps(self, marks: Sequence[int]) -> bool:
        """Whether inner marks keep every limit."""
        places = [0, *(mark * SCALE for mark in marks), self.length]
        gaps = [b - a for a, b in zip(places, places[1:], strict=False)]
        return (
            all(self.least(i, len(gaps)) <= gap <= self.spacings[1] for i, gap in enumerate(gaps))
            and all(self.free(mark) for mark in marks)
            and (self.cap is None or max(self.cut_from(marks)) // SCALE <= self.cap)
        )

    def kinds(self, bays: int) -> list[Fraction]:
        """The kind of each bay: how much of its spacing the posts take, where the limit on spacing
        alone holds some clears more than two steps under others; else 0 for every bay."""
        half = Fraction(self.width, 2)
        ends = [Fraction(self.halves[0]), *[half] * (bays - 1), Fraction(self.halves[1])]
        taken = [a + b for a, b in itertools.pairwise(ends)]
        bounds = sorted(self.spacings[1] - each for each in taken)
        between = self.length - sum(taken)
        # Where the k bays with the least room are as wide as their spacing lets them be, the others
        # share what is left.
        widest = max((between - sum(bounds[:k])) / (bays - k) for k in range(bays))
        return taken if widest - min(widest, bounds[0]) > 2 * SCALE else [Fraction(0)] * bays

    def cut_from(self, marks: Sequence[int]) -> list[Fraction]:
        """The clears that the panels of a row of marks are cut from, one for each group of bays."""
        kinds = self.kinds(len(marks) + 1)
        left = set(zip(self.clears(marks), kinds, strict=True))
        sizes = []
        while left:
            widest, kind = max(left)
            near = {each for each in left if each[1] == kind and each[0] >= widest - 2 * SCALE}
            sizes.append(min(near)[0])
            left -= near
        return sizes

    def worth(self, marks: Sequence[int]) -> tuple[Fraction, Fraction, tuple[int, ...]]:
        """The three figures that the method makes least, in its order."""
        clears = self.clears(marks)
        even = self.even(len(marks) + 1)
        off = sum((mark * SCALE - place) ** 2 for mark, place in zip(marks, even, strict=True))
        return max(clears) - min(clears), Fraction(off), tuple(marks)


def by_trying_all(case: Case, bays: int) -> tuple[int, ...] | None:
    """The best marks for a number of bays, found by trying every row of marks."""
    places = range(1, case.length // SCALE + 1)
    rows = (row for row in itertools.combinations(places, bays - 1) if case.keeps(row))
    return min(rows, key=case.worth, default=None)


class Programme:
    """The same search as a mixed-integer programme, with a binary for each mark on each place."""

    def __init__(self, case: Case, bays: int, narrow: dict[Fraction, int | None]) -> None:
        """narrow: for each kind of bays, the bay within the cap that the widest of its kind are cut
        from; None where all bays of the kind are within the cap."""
        self.case, self.bays = case, bays
        self.places = [p for p in range(1, case.length // SCALE + 1) if case.free(p)]
        self.rows: list[tuple[float, float, dict[int, float]]] = []
        count = (bays - 1) * len(self.places)
        self.narrowest, self.widest = count, count + 1
        for i in range(bays - 1):
            self._hold(1, 1, {self._at(i, k): 1 for k in range(len(self.places))})
        for i, kind in enumerate(case.kinds(bays)):
            self._bay(i)
            self._panel(i, narrow[kind])

    @property
    def cap(self) -> float:
        """The widest clear whose panel is within the case's cap; infinite without a cap."""
        return highspy.kHighsInf if self.case.cap is None else (self.case.cap + 1) * SCALE - 0.25

    def _at(self, mark: int, place: int) -> int:
        return mark * len(self.places) + place

    def _hold(self, low: float, high: float, terms: dict[int, float]) -> None:
        self.rows.append((low, high, terms))

    def _spacing(self, i: int) -> tuple[float, dict[int, float], float]:
        """Bay i's spacing, as a known part and the terms of its marks, and how much of it is not
        clear."""
        case = self.case
        terms: dict[int, float] = {}
        for k, place in enumerate(self.places):
            if i > 0:
                terms[self._at(i - 1, k)] = -place * SCALE
            if i < self.bays - 1:
                terms[self._at(i, k)] = place * SCALE
        half = case.width / 2
        lost = (half if i > 0 else case.halves[0]) + (half if i < self.bays - 1 else case.halves[1])
        return case.length if i == self.bays - 1 else 0, terms, lost

    def _bay(self, i: int) -> None:
        """Add the rows that keep bay i within the spacing limits, and its clear between the
        narrowest and the widest."""
        case, far = self.case, highspy.kHighsInf
        known, terms, lost = self._spacing(i)
        least = float(case.least(i, self.bays))
        self._hold(least - known, case.spacings[1] - known, terms)
        self._hold(lost - known, far, terms | {self.narrowest: -1})
        self._hold(-far, lost - known, terms | {self.widest: -1})

    def _panel(self, i: int, narrow: int | None) -> None:
        """Add the row that keeps bay i within the cap, or at most two steps wider than bay
        `narrow`, which is within it."""
        far = highspy.kHighsInf
        known, terms, lost = self._spacing(i)
        if narrow is None or narrow == i:
            self._hold(-far, self.cap + lost - known, terms)
            return
        known_there, there, lost_there = self._spacing(narrow)
        apart = {k: terms.get(k, 0.0) - there.get(k, 0.0) for k in terms | there}
        self._hold(-far, 2 * SCALE + lost - known - lost_there + known_there, apart)

    def solve(self, costs: dict[int, float]) -> list[int] | None:
        """Marks of least cost, in steps; None where no marks satisfy the rows."""
        solver = highspy.Highs()
        solver.setOptionValue("output_flag", False)
        solver.setOptionValue("mip_rel_gap", 0.0)
        solver.setOptionValue("mip_abs_gap", 1e-7)
        far, whole = highspy.kHighsInf, highspy.HighsVarType.kInteger
        for column in range(self.widest + 1):
            is_place = column < self.narrowest
            high = 1.0 if is_place else far
            solver.addCol(costs.get(column, 0.0), 0.0 if is_place else -far, high, 0, [], [])
            if is_place:
                solver.changeColIntegrality(column, whole)
        for low, high, terms in self.rows:
            solver.addRow(low, high, len(terms), list(terms), [float(v) for v in terms.values()])
        solver.run()
        if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            return None
        values = solver.getSolution().col_value
        return [
            next(p for k, p in enumerate(self.places) if values[self._at(i, k)] > 0.5)
            for i in range(self.bays - 1)
        ]


def by_programme(case: Case, bays: int) -> tuple[int, ...] | None:
    """The best marks for a number of bays. The programme is solved for every choice, kind by kind,
    of either all bays within the cap or one bay that is narrow enough for the others."""
    kinds: dict[Fraction, list[int | None]] = {}
    for i, kind in enumerate(case.kinds(bays)):
        kinds.setdefault(kind, [None]).append(i)
    choices = itertools.product(*([None] if case.cap is None else each for each in kinds.values()))
    found = [
        _by_solves(Programme(case, bays, dict(zip(kinds, chosen, strict=True))))
        for chosen in choices
    ]
    return min((row for row in found if row is not None), key=case.worth, default=None)


def _by_solves(programme: Programme) -> tuple[int, ...] | None:
    """The programme's best marks in three solves: the least spread, the least squares, the least
    marks.

    The bound that each solve sets for the next is recomputed in whole numbers from the marks found.
    """
    case, bays = programme.case, programme.bays
    found = programme.solve({programme.widest: 1.0, programme.narrowest: -1.0})
    if found is None:
        return None
    spread = case.worth(found)[0]
    programme._hold(0, float(spread) + 0.25, {programme.widest: 1, programme.narrowest: -1})
    squares = _squares(programme)
    found = programme.solve(squares)
    assert found is not None
    least = case.worth(found)[1] * (2 * bays) ** 2
    programme._hold(0, float(least) + 0.5, squares)
    base = len(programme.places) + 1
    order = {
        programme._at(i, k): float(k * base ** (bays - 2 - i))
        for i in range(bays - 1)
        for k in range(len(programme.places))
    }
    found = programme.solve(order)
    assert found is not None
    return tuple(found)


def _squares(programme: Programme) -> dict[int, float]:
    """Cost of each mark on each place: its squared distance from the even mark, as a whole
    number."""
    scale = (2 * programme.bays) ** 2
    costs = {}
    for i, even in enumerate(programme.case.even(programme.bays)):
        for k, place in enumerate(programme.places):
            cost = (place * SCALE - even) ** 2 * scale
            assert cost.denominator == 1
            costs[programme._at(i, k)] = float(cost)
    return costs


def weep_row(
    start: Fraction,
    rail: Fraction,
    radius: Fraction,
    number: int,
    obstacles: Sequence[tuple[Fraction, Fraction]],
    middle: Fraction,
    step: Fraction,
) -> list[Fraction]:
    """Holes of a row of `number`: for each even place, the nearest free mark of all marks on the
    rail."""
    marks = list(_marks(start + radius, start + rail - radius, step))
    free = [
        mark
        for mark in marks
        if all(abs(mark - at) >= half + radius + step for at, half in obstacles)
    ]
    even = [start + rail * i / (number + 1) for i in range(1, number + 1)]
    if not free:
        return []
    chosen = {min(free, key=lambda m: (abs(m - at), abs(m - middle))) for at in even}
    return sorted(chosen)


def _marks(low: Fraction, high: Fraction, step: Fraction) -> Iterator[Fraction]:
    mark = -(-low // step) * step
    while mark <= high:
        yield mark
        mark += step
