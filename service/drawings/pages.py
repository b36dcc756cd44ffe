"""Drawings: views set out on pages, each page with its frame, title and cautions.

`set_out` is the main entry.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Final

from service.core import limits
from service.core.measure import Unit
from service.core.problems import Problem, TooLarge
from service.drawings.marks import (
    LARGE,
    LETTER,
    NORMAL,
    SMALL,
    Mark,
    Words,
    box,
    clipped,
    line,
    most_width,
)
from service.drawings.parts import Heading, Page, Placed, View

SIZES: Final[dict[Unit, tuple[float, float]]] = {"in": (279.4, 215.9), "mm": (297.0, 210.0)}
"""Width and height in mm of a letter sheet (ANSI A) and of ISO A4 in landscape.

This is what a yard prints on.
"""
MARGIN: Final = 10.0
STRIP: Final = 45.0
"""Height of the title strip along the lower edge of a page."""
INSET: Final = 4.0
"""In mm, from a page's frame to its views."""
GAP: Final = 6.0
"""In mm, between two views."""
_LINE: Final = 2.6
_APART: Final = 1.2
"""In mm, the gap between two cautions on top of the line spacing, where there is room for it."""
_WIDE: Final = 110.0
"""In mm, width of the title in the strip; the cautions have the rest."""
_TITLE: Final = 4
"""Lines that a job's title may take at most: enough for 200 letters, mostly as wide as capitals."""


def room(unit: Unit) -> tuple[float, float]:
    """Width and height in mm that a page has for views.

    >>> room("mm")
    (269.0, 137.0)
    """
    width, height = SIZES[unit]
    return width - 2 * MARGIN - 2 * INSET, height - 2 * MARGIN - STRIP - 2 * INSET


def check_count(pages: int) -> None:
    """Raise TooLarge where a sheet comes to more pages of drawings than the published limit."""
    if pages > limits.PAGES:
        message = (
            f"This sheet comes to {pages} pages of drawings; {limits.PAGES} are allowed. Send fewer"
            " levels, or fewer flights, at a time."
        )
        raise TooLarge([Problem("", "too_many_pages", message)])


def set_out(views: Sequence[View], heading: Heading) -> tuple[Page, ...]:
    """Pages with views in rows from the upper left, in the order given."""
    width, height = SIZES[heading.unit]
    low, high = MARGIN + STRIP + INSET, height - MARGIN - INSET
    right = width - MARGIN - INSET
    pages: list[list[Placed]] = [[]]
    x, y, deep = MARGIN + INSET, high, 0.0
    for view in views:
        wide, tall = view.size
        if x > MARGIN + INSET and x + wide > right:
            x, y, deep = MARGIN + INSET, y - deep - GAP, 0.0
        if pages[-1] and y - tall < low:
            pages.append([])
            x, y, deep = MARGIN + INSET, high, 0.0
        pages[-1].append(Placed(view, (x, y - tall)))
        x, deep = x + wide + GAP, max(deep, tall)
    return tuple(
        Page(
            (width, height),
            _title(placed),
            tuple(placed),
            strip_of(heading, i + 1, len(pages), _scales(placed)),
        )
        for i, placed in enumerate(pages)
    )


def _title(placed: Sequence[Placed]) -> str:
    return "; ".join(each.view.title for each in placed)


def _scales(placed: Sequence[Placed]) -> list[str]:
    return [each.view.scale.text for each in placed if each.view.is_to_scale]


def strip_of(
    heading: Heading, page: int, pages: int, scales: Sequence[str] = ()
) -> tuple[Mark, ...]:
    """The frame, title and cautions of a page. page: its number, from 1; scales: of its views."""
    width, height = SIZES[heading.unit]
    top = MARGIN + STRIP
    drawn_at = f"Scale {', '.join(dict.fromkeys(scales))}" if scales else ""
    marks: list[Mark] = [
        box("paper", (MARGIN, MARGIN), (width - MARGIN, height - MARGIN)),
        line("paper", (MARGIN, top), (width - MARGIN, top)),
        line("paper", (MARGIN + _WIDE, MARGIN), (MARGIN + _WIDE, top)),
    ]
    x, y = MARGIN + 3.0, top - 6.0
    rows = [*_rows(heading, [drawn_at, f"{heading.name}, page {page} of {pages}"], _WIDE - 6.0)]
    apart = min(_LINE + 1.4, (y - MARGIN - 2.0) / max(1, len(rows) - 1))
    for row, high, strong in rows:
        marks.append(Words("paper", (x, y), row, high, "start", strong=strong))
        y -= apart
    return (*marks, *_cautions(heading, MARGIN + _WIDE + 3.0, top - 5.0))


def _rows(
    heading: Heading, last: Sequence[str], room_for: float
) -> Iterator[tuple[str, float, bool]]:
    """Rows of a strip's title: the text of each, its height in mm, and whether it is bold.

    last: rows below what every page says; room_for: the greatest width of a row in mm.
    """
    title, *rest = heading.lines
    fits = (size for size in (LARGE, NORMAL) if most_width(title, size) <= room_for)
    size = next(fits, SMALL)
    for row in lines_at_most(title, room_for, _TITLE) if size == SMALL else [title]:
        yield row, size, True
    for each in filter(None, rest):
        yield from ((row, SMALL, False) for row in lines_at_most(each, room_for, 2))
    yield from ((clipped(each, SMALL, room_for), SMALL, False) for each in last if each)


def lines_at_most(words: str, width: float, most: int, size: float = SMALL) -> list[str]:
    """Text in as few lines as hold it, at most `most`, the last one cut short where they do not.

    A word wider than a line is broken, after a hyphen if it has one there. width: of a line in mm,
    which no letters that a caller sent exceed.

    >>> lines_at_most("Code: none asked for", 20.0, 2)
    ['Code: none', 'asked for']
    >>> lines_at_most("Code: none asked for", 20.0, 1)
    ['Code: none a…']
    >>> lines_at_most("A WWWWWWWWWWWW", 9 * 1.5 * SMALL, 3)
    ['A', 'WWWWWWWWW', 'WWW']
    >>> lines_at_most("terrace-north", 10 * LETTER * SMALL, 3)
    ['terrace-', 'north']
    """
    if most == 1:
        return [clipped(words, size, width)]
    parts = words.split(" ")
    for i in range(len(parts), 0, -1):
        line_one = " ".join(parts[:i])
        if most_width(line_one, size) <= width:
            rest = " ".join(parts[i:])
            return [line_one, *lines_at_most(rest, width, most - 1, size)] if rest else [line_one]
    i = next(i for i in range(1, len(words)) if most_width(words[: i + 1], size) > width)
    i = words.rfind("-", 0, i) + 1 or i
    return [words[:i], *lines_at_most(words[i:], width, most - 1, size)]


def _cautions(heading: Heading, x: float, y: float) -> list[Mark]:
    """The cautions one below the other, as far apart as the strip has room for.

    x, y: where the first baseline begins, in mm on the page.
    """
    letters = int((SIZES[heading.unit][0] - MARGIN - 3.0 - x) / (SMALL * LETTER))
    told = [textwrap.wrap(each, letters) for each in heading.cautions]
    left = y - MARGIN - 1.0 - sum(map(len, told)) * _LINE
    apart = min(_APART, max(0.0, left / max(1, len(told) - 1)))
    marks: list[Mark] = []
    for rows in told:
        for row in rows:
            marks.append(Words("paper", (x, y), row, SMALL, "start"))
            y -= _LINE
        y -= apart
    return marks
