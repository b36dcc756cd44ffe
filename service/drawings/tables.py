"""Drawings: tables set out on pages like those of drawings, for a writer that has pages alone.

`as_pages` is the main entry. A table is first cut into bands, which pages then take whole.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Final

from service.drawings.marks import (
    LARGE,
    SMALL,
    Anchor,
    Mark,
    Words,
    clipped,
    held,
    line,
    lines_in,
    transformed,
    width_of,
)
from service.drawings.pages import GAP, MARGIN, SIZES, STRIP, strip_of
from service.drawings.parts import Column, Heading, Page, Part, Table

TEXT: Final = 2.0
"""Height of capitals in a cell, in mm."""
_LINE: Final = 3.5
"""In mm, from one baseline to the next."""
_PAD: Final = 1.2
"""In mm, between text and the lines above and below its row, and the edges of its column."""
_BOLD: Final = 1.15
"""Width of bold letters as a multiple of that of plain ones."""
_MOST: Final = 8
"""The most lines of a row that are kept on one page."""
_HEAD: Final = 3
"""The most lines that a table's head may have."""
_FIRST_LINES: Final = 3
"""How many lines of a text above a table, from its first on, share a page with the next line."""
_SUMS: Final = 4
"""The most rows of totals that are kept on one page, with the last row above them."""
_SIDE: Final = MARGIN + GAP / 2
_PARTS: Final = (0.0, 0.25, 0.5, 0.75, 1.0)
"""Shares of the width that columns can spare, each tried as what they give to the other columns.

The first of them that makes the table lowest is taken.
"""
_SLACK: Final = 1.1
"""How much more than their even share lines of words take, since they end between words."""


@dataclass(frozen=True, slots=True)
class Band:
    """A slice of a table, across its whole width, that is not broken across pages.

    marks: in mm from the slice's upper left corner, y up. again: bands repeated above it where it
    comes first on a new page. keep_with_next: whether it must share a page with the next band.
    title: its table's.
    """

    height: float
    marks: tuple[Mark, ...]
    again: tuple[Band, ...] = ()
    keep_with_next: bool = False
    title: str = ""


def as_pages(heading: Heading, parts: Sequence[Part]) -> tuple[Page, ...]:
    """A sheet as pages alone: drawings as they are, and tables set out on as many as they need.

    Tables that follow each other share pages. In a sheet of both kinds every page has its number in
    the whole at its foot.
    """
    found: list[tuple[Page, bool]] = []
    for tables, some in groupby(parts, lambda part: isinstance(part, Table)):
        if tables:
            rows = [part for part in some if isinstance(part, Table)]
            found += [(page, True) for page in _set_out(rows, heading)]
        else:
            found += [(part, False) for part in some if isinstance(part, Page)]
    found = found or [(Page(SIZES[heading.unit], heading.name, (), ()), True)]
    mixed = len({bare for _, bare in found}) > 1
    pages = []
    for i, (page, bare) in enumerate(found):
        strip = strip_of(heading, i + 1, len(found)) if bare else ()
        foot = (_number(page, i + 1, len(found)),) if mixed else ()
        pages.append(replace(page, strip=(*strip, *page.strip, *foot)))
    return tuple(pages)


def _number(page: Page, number: int, count: int) -> Mark:
    """The number of a page in its sheet, below its frame."""
    at = page.size[0] - MARGIN, MARGIN - SMALL - 1.5
    return Words("paper", at, f"{number} / {count}", SMALL, "end")


def _set_out(tables: Sequence[Table], heading: Heading) -> Iterator[Page]:
    """Pages with tables, still without frame and title."""
    width, height = SIZES[heading.unit]
    top = height - MARGIN - GAP / 2
    room = width - 2 * _SIDE, top - MARGIN - STRIP - GAP / 2
    bands = [
        replace(band, title=table.title) for table in tables for band in bands_of(table, room[0])
    ]
    for page in flow(bands, room[1]):
        marks = [mark for y, band in page for mark in _at_height(band, top - y)]
        titles = dict.fromkeys(band.title for _, band in page if band.title)
        yield Page((width, height), "; ".join(titles), (), tuple(marks))


def _at_height(band: Band, top: float) -> Iterator[Mark]:
    """The marks of a band whose upper edge lies at a height on its page."""
    return (transformed(mark, lambda p: (p[0] + _SIDE, p[1] + top)) for mark in band.marks)


def flow(bands: Iterable[Band], tall: float) -> list[list[tuple[float, Band]]]:
    """Bands on pages `tall` mm high, each with how far below the top of its page it begins.

    A band without marks is a gap, and is left out at the top of a page.
    """
    pages: list[list[tuple[float, Band]]] = [[]]
    y = 0.0
    for group in _together(bands):
        if pages[-1] and y + sum(band.height for band in group) > tall:
            pages.append([])
            y = 0.0
            group = [*group[0].again, *group]
        for band in group:
            if y or band.marks:
                pages[-1].append((y, band))
                y += band.height
    return pages


def _together(bands: Iterable[Band]) -> Iterator[list[Band]]:
    """Bands in groups that must each share a page."""
    group: list[Band] = []
    for band in bands:
        group.append(band)
        if not band.keep_with_next:
            yield group
            group = []
    if group:
        yield group


def bands_of(table: Table, room: float) -> Iterator[Band]:
    """Bands of a table from the gap above its title to its foot. room: their width in mm."""
    listed = bool(table.rows or table.foot)
    yield Band(2 * _LINE, (), keep_with_next=True)
    yield from _text_bands(table.title, LARGE, room, keep_with_next=True)
    if table.note:
        yield from _text_bands(table.note, TEXT, room, keep_with_next=listed)
    if not listed and table.note:
        return
    wide = widths(table, room)
    head = _head(table, wide, keep_with_next=listed)
    yield head
    title = clipped(table.title, TEXT, room - width_of(", continued", TEXT))
    again = (*_text_bands(f"{title}, continued", TEXT, room, keep_with_next=True), head)
    body, foot = (
        [
            replace(band, again=again)
            for row in rows
            for band in _row(row, table.columns, wide, strong=strong)
        ]
        for strong, rows in ((False, table.rows), (True, table.foot))
    )
    bands = [*body, *foot]
    # Neither the first row nor the last stands alone on a page, and a few rows of totals never
    # stand without the row above them.
    sums = range(len(body) - 1, len(bands) - 1) if len(foot) <= _SUMS else ()
    for i in {0, len(bands) - 2, *sums}:
        if 0 <= i < len(bands) - 1:
            bands[i] = replace(bands[i], keep_with_next=True)
    yield from bands


def widths(table: Table, room: float) -> tuple[float, ...]:
    """Widths of a table's columns in mm.

    Each column gets what its cells ask for, or a fair share where all ask for more than the room;
    what one column does not need goes to the others. A column also gives up width to others where
    its cells may wrap without making their rows any deeper, if that makes the table lower.

    >>> columns = (Column("id", "Id"), Column("what", "What"))
    >>> [round(wide, 2) for wide in widths(Table("", columns, (("P1", "a post"),)), 100.0)]
    [6.08, 12.0]
    >>> long = Table("", columns, (("P1", "a post " * 20),))
    >>> [round(wide, 2) for wide in widths(long, 100.0)]
    [6.08, 93.92]
    """
    texts = list(_texts(table))
    rows = [[width_of(cell, size) for cell in row] for row, size in texts]
    wide = _shared([2 * _PAD + max(column) for column in zip(*rows, strict=True)], room)
    if sum(wide) < room - 1e-6 or not table.rows:
        return wide
    words = [[_longest(cell, size) for cell in row] for row, size in texts]
    least = _shared([*_least(rows, words, wide)], room)
    tried = [tuple(a + (b - a) * part for a, b in zip(wide, least, strict=True)) for part in _PARTS]
    return min(tried, key=lambda each: _deep(rows, each))


def _texts(table: Table) -> Iterator[tuple[tuple[str, ...], float]]:
    """Rows of cells, the head first, each with the height of capitals that it is measured at."""
    yield tuple(column.name for column in table.columns), TEXT * _BOLD
    yield from ((row, TEXT) for row in table.rows)
    yield from ((row, TEXT * _BOLD) for row in table.foot)


def _longest(cell: str, size: float) -> float:
    """Width in mm of a cell's longest word, a length counting as one word."""
    return max(width_of(word, size) for word in held(cell).split(" "))


def _shared(wanted: Sequence[float], room: float) -> tuple[float, ...]:
    """The width that each column gets of a room: what it wants, or a fair share of too little."""
    given = dict.fromkeys(range(len(wanted)), 0.0)
    left = room
    for i, k in enumerate(sorted(given, key=lambda k: wanted[k])):
        given[k] = min(wanted[k], left / (len(wanted) - i))
        left -= given[k]
    return tuple(given.values())


def _deep(rows: Sequence[Sequence[float]], wide: Sequence[float]) -> int:
    """About how many lines rows take in columns of these widths.

    rows: widths of cells, each on one line.
    """
    return sum(max(map(_lines, row, wide)) for row in rows)


def _lines(size: float, wide: float) -> int:
    return math.ceil(size / max(wide - 2 * _PAD, 1.0))


def _least(
    rows: Sequence[Sequence[float]], words: Sequence[Sequence[float]], wide: Sequence[float]
) -> Iterator[float]:
    """The width that each column needs once its cells may wrap as deep as their rows are anyway.

    rows, words: widths in mm of cells and of their longest words; wide: the widths of columns by
    which rows are as deep as they are.
    """
    deep = [max(map(_lines, row, wide)) for row in rows]
    for i, given in enumerate(wide):
        parted = [
            row[i] / lines * _SLACK if _lines(row[i], given) < lines else row[i]
            for row, lines in zip(rows, deep, strict=True)
        ]
        yield 2 * _PAD + max(*parted, *(each[i] for each in words))


def _text_bands(text: str, size: float, room: float, *, keep_with_next: bool) -> Iterator[Band]:
    """Text above a table as bands, a line each; a title is bold.

    keep_with_next: whether the last line must share a page with what follows it.
    """
    rows = _wrapped(text, size, room)
    for i, row in enumerate(rows):
        words = Words("paper", (0.0, -size - 0.5), row, size, "start", strong=size == LARGE)
        kept = keep_with_next if i == len(rows) - 1 else i < _FIRST_LINES
        yield Band(size + 2.2, (words,), keep_with_next=kept)


def _wrapped(text: str, size: float, room: float) -> list[str]:
    return lines_in(text, room, size) or [""]


def _head(table: Table, wide: Sequence[float], *, keep_with_next: bool) -> Band:
    """The names of the columns between two lines."""
    names = tuple(column.name for column in table.columns)
    band = next(_row(names, table.columns, wide, strong=True, most=_HEAD))
    ends = 0.0, sum(wide)
    rules = [line("paper", (ends[0], y), (ends[1], y)) for y in (0.0, -band.height)]
    return Band(band.height, (*rules, *band.marks), keep_with_next=keep_with_next)


def _row(
    cells: Sequence[str],
    columns: Sequence[Column],
    wide: Sequence[float],
    *,
    strong: bool,
    most: int = _MOST,
) -> Iterator[Band]:
    """A row as bands of at most `most` lines each, with a thin line below the last."""
    size = TEXT * _BOLD if strong else TEXT
    rows = [_wrapped(c, size, w - 2 * _PAD) for c, w in zip(cells, wide, strict=True)]
    count = max(map(len, rows))
    for begin in range(0, count, most):
        marks: list[Mark] = []
        x = 0.0
        for row, column, w in zip(rows, columns, wide, strict=True):
            right = column.align == "right"
            place = x + (w - _PAD if right else _PAD)
            for i, said in enumerate(row[begin : begin + most]):
                at = place, -_PAD - TEXT - i * _LINE
                anchor: Anchor = "end" if right else "start"
                marks.append(Words("paper", at, said, TEXT, anchor, strong=strong))
            x += w
        lines = min(most, count - begin)
        height = lines * _LINE + (_PAD if begin + most >= count else 0.0)
        if begin + most >= count:
            marks.append(line("dimension", (0.0, -height), (x, -height)))
        yield Band(height, tuple(marks))
