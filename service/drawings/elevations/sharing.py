"""Drawings: views side by side on a page, so that a sheet takes fewer rows.

A row of views may be drawn a little smaller to fit, and a view may come before its turn where a row
has room for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from service.drawings.pages import GAP
from service.drawings.parts import View

IN_ORDER: Final = 1
AHEAD: Final = 3
"""How many of the views that are left a row may choose its next one from."""
SMALLER: Final = 0.75
"""A bound on the width of a view at its least scale, as a share of its own width.

No view shrinks more than what is drawn to scale, from 1:24 to 1:32 or from 1:20 to 1:25.
"""


@dataclass(frozen=True)
class Drawn:
    """A view at the scale that it has on a page by itself.

    kin: what it is a view of; views of one kin stay in their order. smaller: draws it at the least
    scale that it may have, None where its scale is fixed.
    """

    view: View
    kin: str
    smaller: Callable[[], View] | None = None

    @cached_property
    def least(self) -> View:
        """The view at the least scale that it may have."""
        return self.smaller() if self.smaller else self.view


def in_rows(drawn: Sequence[Drawn], wide: float) -> Iterator[View]:
    """Views in rows at most `wide` mm wide, in order or nearly so where that takes fewer rows.

    All views of a row are drawn smaller where only that makes them fit.
    """
    rows = min((_rows(drawn, wide, reach) for reach in (IN_ORDER, AHEAD)), key=len)
    for row in rows:
        yield from _side_by_side(row, wide) or [row[0].view]


def _rows(drawn: Sequence[Drawn], wide: float, reach: int) -> list[list[Drawn]]:
    """Rows of views, each of the first view left and those that fit beside it.

    reach: how many of the views left a row may choose from.
    """
    rows: list[list[Drawn]] = []
    left = list(drawn)
    while left:
        row = [left.pop(0)]
        while (taken := _next(row, left[:reach], wide)) is not None:
            row.append(left.pop(taken))
        rows.append(row)
    return rows


def _next(row: Sequence[Drawn], left: Sequence[Drawn], wide: float) -> int | None:
    """Which of the views left a row has room for; None where it has room for none.

    The first that fits is taken, but no view is taken before an earlier one of its kin.
    """
    passed = set[str]()
    for i, each in enumerate(left):
        if each.kin not in passed and _side_by_side([*row, each], wide):
            return i
        passed.add(each.kin)
    return None


def _side_by_side(row: Sequence[Drawn], wide: float) -> list[View]:
    """The views of a row as they are, else smaller; empty where they do not fit either way."""
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
