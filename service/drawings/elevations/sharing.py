"""Drawings: views side by side on a page: a little smaller where that is what it takes, and a view
before its turn where a page has room for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from service.drawings.pages import GAP
from service.drawings.parts import View

IN_ORDER: Final = 1
AHEAD: Final = 3
"""How many of the views that are left a row may take its next one from."""
SMALLER: Final = 0.75
"""How wide a view is at the least that it may have, as a share of what it is by itself: no more of
it shrinks than is to scale, from 1:24 to 1:32 or from 1:20 to 1:25."""


@dataclass(frozen=True)
class Drawn:
    """A view at the scale that it has on a page by itself. kin: what it is of, whose views stay in
    their order; smaller: what draws it at the least scale that it may have, None where it stays as
    it is."""

    view: View
    kin: str
    smaller: Callable[[], View] | None = None

    @cached_property
    def least(self) -> View:
        """The view at the least scale that it may have."""
        return self.smaller() if self.smaller else self.view


def in_rows(drawn: Sequence[Drawn], wide: float) -> Iterator[View]:
    """Views in rows no wider than so many mm: in their order, or nearly so where that makes fewer
    rows. Those of a row are all smaller if they fit only so."""
    rows = min((_rows(drawn, wide, reach) for reach in (IN_ORDER, AHEAD)), key=len)
    for row in rows:
        yield from _side_by_side(row, wide) or [row[0].view]


def _rows(drawn: Sequence[Drawn], wide: float, reach: int) -> list[list[Drawn]]:
    """Rows, each of the first view that is left and those that it has room for beside it."""
    rows: list[list[Drawn]] = []
    left = list(drawn)
    while left:
        row = [left.pop(0)]
        while (taken := _next(row, left[:reach], wide)) is not None:
            row.append(left.pop(taken))
        rows.append(row)
    return rows


def _next(row: Sequence[Drawn], left: Sequence[Drawn], wide: float) -> int | None:
    """Which of those that are left a row has room for, the first of them that passes no kin."""
    passed = set[str]()
    for i, each in enumerate(left):
        if each.kin not in passed and _side_by_side([*row, each], wide):
            return i
        passed.add(each.kin)
    return None


def _side_by_side(row: Sequence[Drawn], wide: float) -> list[View]:
    """Views of a row as they are, else smaller; none where they do not fit so either."""
    room = wide - GAP * (len(row) - 1)
    large = [each.view for each in row]
    if _width(large) <= room:
        return large
    if _width(large) * SMALLER > room:
        return []
    small = [each.least for each in row]
    return small if _width(small) <= room else []


def _width(views: Sequence[View]) -> float:
    return sum(view.size[0] for view in views)
