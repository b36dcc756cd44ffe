"""Core: which places the posts of a run can come to, mark by mark, in whole numbers (method 4).

Places along a run are whole steps of the grid; lengths are in 2^20 parts of a step, so that sums
are exact. The places that a mark can take are kept as a few intervals, among which `marks` chooses.

Bays of a kind whose clears differ by no more than two steps are cut to the narrowest of them
(`cuts`). A bay of glass may therefore be wider than a panel can be cut for, if another bay of its
kind is narrow enough to cut both by; a row of marks must then include such a bay.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

from service.core.measure import TOUCH, FromTo, Length
from service.core.runs.budget import MarkWork
from service.core.runs.spans import Bounds, Span

PART: Final = 1 << 20
"""Lengths are whole numbers of parts, of which this many make a step."""
ROUNDED: Final = 4
"""Parts by which the difference of two clears may be off, as four rounded lengths go into it."""

Interval: TypeAlias = tuple[int, int]
Lacking: TypeAlias = frozenset[int]
"""Kinds of bays that may be wider than any panel, and that have had no bay so far that is narrow
enough to cut them all by."""
Choice: TypeAlias = tuple[Lacking, Interval]
"""Which kinds are lacking after a bay, and the bay's least and greatest spacing, in steps."""


@dataclass(frozen=True, slots=True)
class Window:
    """Bounds on the clears of a run, in parts. low: the narrowest; tops: the widest, by kind of
    bay."""

    low: int
    tops: tuple[int, ...]

    @property
    def width(self) -> int:
        """The difference between the widest and the narrowest clear."""
        return max(self.tops) - self.low


@dataclass(frozen=True, slots=True)
class Grid:
    """A run in whole numbers. Lengths are in parts, unless they are said to be in steps.

    lead, kinds, least: for the first bay, those between, and the last: by how much its spacing
    exceeds its clear, which kind it is (from 0), and its least spacing. most: the greatest spacing
    of any bay; allowed: places for a post's centre, in steps; ideal: the even marks; cap: the
    widest clear that a panel may be cut for; near: by how much bays that share a size may differ.
    work: what looking for rows of marks may still cost.
    """

    bays: int
    length: int
    lead: tuple[int, int, int]
    kinds: tuple[int, int, int]
    least: tuple[int, int, int]
    most: int
    allowed: tuple[Interval, ...]
    ideal: tuple[int, ...]
    cap: int
    near: int
    work: MarkWork

    def kind_of(self, bay: int) -> int:
        """Which kind a bay is of."""
        return self.kinds[self._which(bay)]

    def residue(self, bay: int) -> int:
        """What any clear of a bay has over a whole number of steps."""
        lead = self.lead[self._which(bay)]
        return (self.length - lead if bay == self.bays - 1 else -lead) % PART

    def mean(self) -> int:
        """The mean clear, rounded down."""
        between = (self.bays - 2) * self.lead[1]
        return (self.length - self.lead[0] - self.lead[2] - between) // self.bays

    def lacking_at_start(self, window: Window) -> Lacking:
        """The kinds that are lacking at a run's start: all that may be wider than a panel."""
        return frozenset(kind for kind, top in enumerate(window.tops) if top > self.cap)

    def choices(self, bay: int, lacking: Lacking, window: Window) -> Iterator[Choice]:
        """The spacings that a bay may have, with the kinds that are lacking after it."""
        for left, low, high in self._clears(bay, lacking, window):
            least, greatest = self._bounds(bay, low, high)
            yield left, (-(-least // PART), greatest // PART)

    def last_places(self, lacking: Lacking, window: Window) -> list[Interval]:
        """Where the last inner mark may stand so that the last bay leaves no kind lacking."""
        bay = self.bays - 1
        places = []
        for left, low, high in self._clears(bay, lacking, window):
            if not left:
                least, greatest = self._bounds(bay, low, high)
                first, last = -((greatest - self.length) // PART), (self.length - least) // PART
                places += [(first, last)] if first <= last else []
        return places

    def _clears(
        self, bay: int, lacking: Lacking, window: Window
    ) -> Iterator[tuple[Lacking, int, int]]:
        """The least and the greatest clear of a bay, with the kinds that are lacking after it.

        First for any bay of its kind; then, where its kind is lacking, for a bay that is narrow
        enough to cut the kind by.
        """
        kind = self.kind_of(bay)
        top = window.tops[kind]
        yield lacking, window.low, top
        if kind in lacking:
            yield lacking - {kind}, max(window.low, top - self.near), self.cap

    def _which(self, bay: int) -> int:
        return 0 if bay == 0 else 2 if bay == self.bays - 1 else 1

    def _bounds(self, bay: int, low: int, high: int) -> Interval:
        which = self._which(bay)
        lead = self.lead[which]
        return max(low + lead, self.least[which]), min(high + lead, self.most)


def to_grid(span: Span, bays: int, bounds: Bounds, work: MarkWork) -> Grid:
    """The grid of a run with this number of bays."""
    most, step = bounds.most, bounds.step

    def parts(length: Length) -> int:
        return round(length / step * PART)

    half = span.width / 2
    lead = (parts(span.halves[0] + half), parts(span.width), parts(half + span.halves[1]))
    pitch = span.even_clear(bays) + span.width
    first = span.halves[0] - half
    slack = parts(TOUCH)
    first_least, base, last_least = span.apart()
    kinds = span.kinds(bays, most, step)
    return Grid(
        bays=bays,
        length=parts(span.length),
        lead=lead,
        kinds=(kinds[0], kinds[bays // 2], kinds[-1]),
        least=(parts(first_least) - slack, parts(base) - slack, parts(last_least) - slack),
        most=parts(most) + slack,
        allowed=_allowed(span, parts, slack),
        ideal=tuple(parts(first + i * pitch) for i in range(1, bays)),
        cap=parts(_widest_panel_clear(bounds)),
        near=2 * PART + max(slack, ROUNDED),
        work=work,
    )


def _widest_panel_clear(bounds: Bounds) -> Length:
    """The widest clear whose panel the kit takes, to a thousandth of a step."""
    if bounds.panel_fits(bounds.most):
        return bounds.most
    low, high = 0.0, bounds.most
    while high - low > bounds.step / 1000:
        middle = (low + high) / 2
        low, high = (middle, high) if bounds.panel_fits(middle) else (low, middle)
    return low


def _allowed(span: Span, parts: Callable[[Length], int], slack: int) -> tuple[Interval, ...]:
    allowed = []
    start = 1
    last = parts(span.length) // PART
    for low, high in _joined(span.forbidden):
        end = (parts(low) + slack) // PART
        if end >= start:
            allowed.append((start, min(end, last)))
        start = max(start, -((-parts(high) + slack) // PART))
    if start <= last:
        allowed.append((start, last))
    return tuple(allowed)


def _joined(forbidden: Sequence[FromTo]) -> list[FromTo]:
    joined: list[FromTo] = []
    for low, high in sorted(forbidden):
        if joined and low < joined[-1][1] - TOUCH:
            joined[-1] = (joined[-1][0], max(high, joined[-1][1]))
        else:
            joined.append((low, high))
    return joined


def reachable(grid: Grid, window: Window) -> list[dict[Lacking, list[Interval]]]:
    """The places that each inner mark can take with every clear within a window.

    For each mark, counted from the start, intervals in steps by the kinds that are lacking there.
    An empty list where no row of marks comes to the run's end with no kind lacking.
    """
    found: list[dict[Lacking, list[Interval]]] = [{grid.lacking_at_start(window): [(0, 0)]}]
    for bay in range(grid.bays - 1):
        found.append(_onward(grid, window, bay, found[-1]))
        grid.work.spend(1 + sum(map(len, found[-1].values())))
        if not found[-1]:
            return []
    ending = {}
    for lacking, places in found[-1].items():
        shared = _common(places, _union(sorted(grid.last_places(lacking, window))))
        if shared:
            ending[lacking] = shared
    return [*found[1:-1], ending] if ending else []


def _onward(
    grid: Grid, window: Window, bay: int, reached: Mapping[Lacking, Sequence[Interval]]
) -> dict[Lacking, list[Interval]]:
    """The places that the end of a bay can take, by kinds lacking, from those reached at its
    start."""
    grown: dict[Lacking, list[Interval]] = {}
    for lacking, places in reached.items():
        for left, (least, greatest) in grid.choices(bay, lacking, window):
            if least <= greatest:
                grown.setdefault(left, []).extend((a + least, b + greatest) for a, b in places)
    ends = {left: _common(_union(sorted(each)), grid.allowed) for left, each in grown.items()}
    return {left: places for left, places in ends.items() if places}


def comes_to_the_end(span: Span, bounds: Bounds, work: MarkWork) -> bool:
    """Whether any number of posts on marks leads from one end of a run to the other.

    Where none does, no number of bays will do: a stretch without posts is too wide, or an end post
    takes up all of its bay.
    """
    # Three bays stand for any number: there is a first, a last, and all between are of one sort.
    any_panel = replace(bounds, panel_fits=lambda clear: True)
    grid = replace(to_grid(span, 3, any_panel, work), kinds=(0, 0, 0))
    window = Window(-PART, (grid.most,))
    none: Lacking = frozenset()
    ends = grid.last_places(none, window)
    reached: list[Interval] = []
    front, bay = [(0, 0)], 0
    while front:
        grown = _onward(grid, window, bay, {none: front}).get(none, [])
        if _common(grown, ends):
            return True
        work.spend(1 + len(grown))
        front, bay = _beyond(grown, reached), 1
        reached = _union(sorted([*reached, *grown]))
    return False


def _beyond(grown: Sequence[Interval], reached: Sequence[Interval]) -> list[Interval]:
    """The intervals of `grown` that do not lie wholly within one of `reached`."""
    return [each for each in grown if not any(a <= each[0] and each[1] <= b for a, b in reached)]


def _union(intervals: list[Interval]) -> list[Interval]:
    merged: list[Interval] = []
    for a, b in intervals:
        if merged and a <= merged[-1][1] + 1:
            merged[-1] = (merged[-1][0], max(b, merged[-1][1]))
        else:
            merged.append((a, b))
    return merged


def _common(one: Sequence[Interval], two: Sequence[Interval]) -> list[Interval]:
    shared = []
    i = j = 0
    while i < len(one) and j < len(two):
        low, high = max(one[i][0], two[j][0]), min(one[i][1], two[j][1])
        if low <= high:
            shared.append((low, high))
        if one[i][1] < two[j][1]:
            i += 1
        else:
            j += 1
    return shared
