"""Drawings, plans: a large drawing cut into windows that overlap, each as large as a page."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import Final, NamedTuple

import shapely

from service.core.measure import Length
from service.drawings.boxes import box_of, corners_of
from service.drawings.marks import Mark, Stroke, Words, box
from service.drawings.points import Rect, extent, points_of
from service.drawings.scales import Scale

CLEAR: Final = 0.6
"""In mm, from words to the line around a window."""


def windows_over(
    whole: Rect, size: tuple[Length, Length], overlap: Length, items: Sequence[Rect]
) -> list[Rect]:
    """Windows of a size over a drawing, row by row from the upper left.

    They come from a grid of windows that covers `whole`. Only as many are kept as a greedy search
    needs so that each item that lies wholly within a window of the grid lies wholly within one that
    is kept.

    >>> whole = Rect((0.0, 0.0), (170.0, 50.0))
    >>> items = [Rect((x, 10.0), (x + 5.0, 12.0)) for x in (10.0, 56.0, 160.0)]
    >>> [each.low for each in windows_over(whole, (60.0, 60.0), 5.0, items)]
    [(0.0, -5.0), (55.0, -5.0), (110.0, -5.0)]
    """
    (x0, y0), (x1, y1) = whole
    lefts, lows = _starts(x0, x1, size[0], overlap), _starts(y0, y1, size[1], overlap)
    shown = defaultdict[tuple[int, int], set[int]](set)
    for k, item in enumerate(items):
        rows = _holding(lows, size[1], item.low[1], item.high[1])
        for row, column in product(rows, _holding(lefts, size[0], item.low[0], item.high[0])):
            shown[-row, column].add(k)
    unseen, kept = set[int]().union(*shown.values()), []
    while unseen:
        best = min(shown, key=lambda at: (-len(shown[at] & unseen), at))
        kept.append(best)
        unseen -= shown[best]
    corners = [(lefts[column], lows[-row]) for row, column in sorted(kept)]
    return [Rect((x, y), (x + size[0], y + size[1])) for x, y in corners]


def _holding(starts: list[Length], size: Length, low: Length, high: Length) -> range:
    """The windows along an axis, by where they begin, that hold what reaches from low to high."""
    first = bisect_left(starts, high, key=lambda start: start + size)
    return range(first, bisect_right(starts, low))


def _starts(low: Length, high: Length, size: Length, overlap: Length) -> list[Length]:
    """Where windows begin along an axis, evenly spread; a single window lies in the middle."""
    spare = high - low - size
    if spare <= 0:
        return [low + spare / 2]
    count = math.ceil(spare / (size - overlap)) + 1
    return [low + spare * i / (count - 1) for i in range(count)]


def frame_of(window: Rect) -> Stroke:
    """A chain line around a window."""
    return box("words", *window, "chain")


class Boxed(NamedTuple):
    """A mark and the least window that shows all of it.

    whole: what must be seen whole wherever any of the mark is to be seen; None where nothing must.
    """

    mark: Mark
    box: Rect
    whole: Rect | None


def boxed(marks: Iterable[Mark], scale: Scale) -> Iterator[Boxed]:
    """Marks with what a window must show of them."""
    for mark in marks:
        around = window_of(mark, scale)
        if not isinstance(mark, Stroke) or mark.under is not None:
            yield Boxed(mark, around, around)
        else:
            to = mark.leads_to
            yield Boxed(mark, around, window_of(to, scale) if to is not None else None)


def window_of(mark: Mark, scale: Scale) -> Rect:
    """The least window that shows all of a mark.

    Words have room around them; a stroke that lies under words has the window of those words.
    """
    if isinstance(mark, Stroke) and mark.under is not None:
        mark = mark.under
    if isinstance(mark, Words):
        return extent(box_of(mark, scale, CLEAR))
    return extent(corners_of(mark, scale))


def clip_to_window(marks: Iterable[Boxed], window: Rect) -> Iterator[Mark]:
    """What is seen through a window of marks that `boxed` gave.

    Lines and shapes are cut at its sides; discs, and words with what lies under them or leads to
    them, are shown only where the discs or the words lie wholly within it.
    """
    left, lower, right, upper = window.sides
    for mark, around, whole in marks:
        (x0, y0), (x1, y1) = around
        if whole is not None and not window.holds(whole):
            continue
        if window.holds(around):
            yield mark
        elif isinstance(mark, Stroke) and x0 < right and left < x1 and y0 < upper and lower < y1:
            yield from _cut(mark, window)


def _cut(mark: Stroke, window: Rect) -> Iterator[Stroke]:
    """The pieces of a line or of a filled shape within a window."""
    if mark.closed and mark.filled:
        shape = shapely.make_valid(shapely.Polygon(mark.points))
        for piece in shapely.get_parts(shapely.clip_by_rect(shape, *window.sides)):
            if isinstance(piece, shapely.Polygon) and not piece.is_empty:
                yield replace(mark, points=points_of(piece.exterior)[:-1])
        return
    cut = shapely.clip_by_rect(shapely.LineString(mark.ends), *window.sides)
    for piece in shapely.get_parts(cut):
        if isinstance(piece, shapely.LineString) and not piece.is_empty:
            yield replace(mark, points=points_of(piece), closed=False)
