"""Drawings: rows of text and dimensions over and under what an elevation shows.

Text that does not fit its place is turned or left out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Final, TypeAlias

from service.core.measure import Length, Point
from service.drawings.dimensions import TICK, dimension
from service.drawings.marks import SMALL, Mark, Words, line, width_of
from service.drawings.scales import Scale

Span: TypeAlias = tuple[Point, Point, str]
"""The ends of a dimension, and its text."""

APART: Final = 2.4
"""In mm on paper, the least distance from one line of turned text to the next."""
OFF: Final = 2.5
"""In mm on paper, from the foot of a dimension's extension lines to its line."""


def spanned(spans: Iterable[Span], off: float, scale: Scale) -> Iterator[Mark]:
    """Dimensions of the spans whose text fits between their ends; the others are left out."""
    for start, end, text in spans:
        if has_room(text, math.dist(start, end), scale):
            yield from dimension(start, end, text, off, scale)


def named_row(
    name: str, spans: Iterable[Span], off: float, at: Point, scale: Scale
) -> Iterator[Mark]:
    """Dimensions as `spanned` gives them, with the name of their row to the left of `at`.

    Nothing where none of them has room.
    """
    if shown := list(spanned(spans, off, scale)):
        yield from [*shown, row_name(name, *at, scale)]


def has_room(text: str, length: Length, scale: Scale) -> bool:
    """Whether the text of a dimension fits between its ends. length: from one to the other."""
    return width_of(text, SMALL) <= length * scale.per_unit - 2 * TICK


def row_name(name: str, x: Length, y: Length, scale: Scale) -> Words:
    """The name of a row, to the left of it."""
    return Words("dimension", (x - scale.of_paper(3.0), y), name, SMALL, "end")


def turned(places: Iterable[tuple[Length, str]], y: Length, scale: Scale) -> Iterator[Mark]:
    """Text square to a row, hanging down from y, with a tick over each at its place.

    Text that would run into the one before it is left out.
    """
    last = -math.inf
    for x, text in sorted(places):
        yield line("dimension", (x, y + scale.of_paper(1.6)), (x, y + scale.of_paper(0.4)))
        if (x - last) * scale.per_unit >= APART - 1e-6:
            at = x + scale.of_paper(SMALL / 2), y
            yield Words("dimension", at, text, SMALL, "end", 90.0)
            last = x


def fits_turned(places: Sequence[Length], scale: Scale) -> bool:
    """Whether text square to a row has room at each of its places."""
    return all((b - a) * scale.per_unit >= APART for a, b in pairwise(sorted(places)))


def labels(
    items: Sequence[tuple[Length, str]], y: Length, size: float, scale: Scale
) -> tuple[list[Words], float]:
    """Text in a row over y, with the row's height in mm; turned where it does not fit level."""
    level = all(
        (b - a) * scale.per_unit >= (width_of(one, size) + width_of(two, size)) / 2 + 0.5
        for (a, one), (b, two) in pairwise(items)
    )
    if level:
        return [Words("words", (x, y), text, size) for x, text in items], size
    half = scale.of_paper(SMALL / 2)
    return (
        [Words("words", (x + half, y), text, SMALL, "start", 90.0) for x, text in items],
        max(width_of(text, SMALL) for _, text in items),
    )
