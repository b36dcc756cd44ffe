"""Drawings: two views side by side on a page, a little smaller where that is what it takes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from service.drawings.pages import GAP
from service.drawings.parts import View


@dataclass(frozen=True, slots=True)
class Drawn:
    """A view at the scale that it has on a page by itself, and what draws it at the least that it
    may have; nothing where it is one of several."""

    view: View
    smaller: Callable[[], Sequence[View]] | None


def in_pairs(drawn: Sequence[Drawn], wide: float) -> Iterator[View]:
    """Views in their order. Two that do not fit a page's width, in mm, are both smaller if they do
    so then."""
    row: list[Drawn] = []
    taken = 0.0
    for each in drawn:
        width = each.view.size[0]
        if row and taken + width > wide:
            pair = _smaller(row, each, wide)
            if pair:
                yield from pair
                row, taken = [], 0.0
                continue
            yield from (one.view for one in row)
            row, taken = [], 0.0
        row.append(each)
        taken += width + GAP
    yield from (one.view for one in row)


def _smaller(row: Sequence[Drawn], other: Drawn, wide: float) -> tuple[View, ...]:
    """The only view of a row and another one, both smaller; none where they do not fit so."""
    (first, *more) = row
    if more or first.smaller is None or other.smaller is None:
        return ()
    views = (*first.smaller(), *other.smaller())
    return views if sum(view.size[0] for view in views) + GAP <= wide else ()
