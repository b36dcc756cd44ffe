"""Drawings: rows of text and dimensions over and under a view, and views with title and notes.

Text that does not fit its place is turned or left out.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from service.core.measure import Length, Point, Unit
from service.drawings.boxes import extent_of
from service.drawings.dimensions import TICK, dimension
from service.drawings.marks import (
    NORMAL,
    SMALL,
    Anchor,
    Layer,
    Mark,
    Words,
    clipped,
    line,
    lines_in,
    width_of,
)
from service.drawings.pages import room
from service.drawings.parts import View
from service.drawings.scales import Scale, fit

LINE: Final = 1.55
"""From one line of text to the next, as a multiple of the height of a capital."""
APART: Final = 2.4
"""In mm on paper, the least distance from one line of turned text to the next."""
OFF: Final = 2.5
"""In mm on paper, from the foot of a dimension's extension lines to its line."""
FLOOR: Final = 10.0
"""In mm, the side of the least room that is asked for a drawing.

Where text leaves less on the page, the view stays as large as it is.
"""
GREATEST: Final[dict[Unit, int]] = {"in": 24, "mm": 20}
"""No view is drawn larger than one to this, by unit.

So most of a sheet is at one scale, and two short runs share a page.
"""
LEAST: Final[dict[Unit, int]] = {"in": 32, "mm": 25}
"""No run is drawn smaller than one to this, by unit; it is broken over several views instead.

Views are drawn as small as this where more of them then share a page.
"""
NARROWEST: Final = 80.0
"""In mm on paper, the least width of title and notes in most views."""
BESIDE: Final = 38.0
WIDEST: Final = 105.0
"""The least (BESIDE) and greatest width in mm on paper of title and notes beside a drawing.

The gap between is included. They are no wider than it takes to be no deeper than the drawing.
"""
BETWEEN: Final = 3.0
"""In mm, from a drawing to its title, and to its notes."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A view still without its title and notes.

    lines: those under the title. beside: whether title and notes stand to the right of the drawing
    instead of over and under it. least_width: in mm on paper, of title and notes over and under it.
    """

    title: str
    lines: tuple[str, ...]
    marks: tuple[Mark, ...]
    notes: tuple[str, ...]
    beside: bool = False
    least_width: float = NARROWEST


def spanned(spans: Iterable[tuple[Point, Point, str]], off: float, scale: Scale) -> Iterator[Mark]:
    """Dimensions of the spans whose text fits between their ends; the others are left out."""
    for start, end, text in spans:
        if has_room(text, math.dist(start, end), scale):
            yield from dimension(start, end, text, off, scale)


def has_room(text: str, length: Length, scale: Scale) -> bool:
    """Whether the text of a dimension fits between its ends. length: from one to the other."""
    return width_of(text, SMALL) <= length * scale.per_unit - 2 * TICK


def row_name(name: str, x: Length, y: Length, scale: Scale) -> Words:
    """The name of a row, to the left of it."""
    return Words("dimension", (x - scale.of_paper(3.0), y), name, SMALL, "end")


def turned(
    places: Sequence[tuple[Length, str]], y: Length, scale: Scale, layer: Layer = "dimension"
) -> Iterator[Mark]:
    """Text square to a row, hanging down from y, with a tick over each at its place.

    Text that would run into the one before it is left out.
    """
    last = -math.inf
    for x, text in sorted(places):
        yield line(layer, (x, y + scale.of_paper(1.6)), (x, y + scale.of_paper(0.4)))
        if (x - last) * scale.per_unit >= APART - 1e-6:
            yield Words(layer, (x + scale.of_paper(SMALL / 2), y), text, SMALL, "end", 90.0)
            last = x


def fits_turned(places: Sequence[Length], scale: Scale) -> bool:
    """Whether text square to a row has room at each of its places."""
    return all((b - a) * scale.per_unit >= APART for a, b in pairwise(sorted(places)))


def labels(
    items: Sequence[tuple[Length, str]], y: Length, size: float, scale: Scale
) -> tuple[list[Mark], float]:
    """Text in a row over y, with the row's height in mm; turned where it does not fit level."""
    level = all(
        (b - a) * scale.per_unit >= (width_of(one, size) + width_of(two, size)) / 2 + 0.5
        for (a, one), (b, two) in pairwise(items)
    )
    if level:
        return [Words("words", (x, y), text, size) for x, text in items], size
    across: Anchor = "start"
    half = scale.of_paper(SMALL / 2)
    marks: list[Mark] = [
        Words("words", (x + half, y), text, SMALL, across, 90.0) for x, text in items
    ]
    return marks, max(width_of(text, SMALL) for _, text in items)


def _texts(draft: Draft, scale: Scale, width: float) -> tuple[list[str], list[str], list[str]]:
    """The title, the lines under it, and the notes, each as lines no wider than `width` mm."""
    title = lines_in(f"{draft.title}. 1:{scale.ratio}", width, NORMAL)
    under, notes = (
        [row for each in texts for row in lines_in(each, width)]
        for texts in (draft.lines, draft.notes)
    )
    return title, under, notes


def set_lines(
    lines: Sequence[str], at: Point, scale: Scale, size: float = SMALL
) -> Iterator[Words]:
    """Lines of text one below the other. at: the upper left corner of the first."""
    x, y = at
    for i, text in enumerate(lines):
        yield Words("words", (x, y - scale.of_paper(size + i * LINE * size)), text, size, "start")


def deep(lines: Sequence[str], size: float = SMALL) -> float:
    """The height of lines of text in mm on paper."""
    return len(lines) * LINE * size


def finish(draft: Draft, scale: Scale) -> View:
    """A view of a draft, with its title and notes."""
    (x0, y0), (x1, y1) = extent_of(draft.marks, scale)
    drawn, tall = (x1 - x0) * scale.per_unit, (y1 - y0) * scale.per_unit
    widths = [min(max(drawn, draft.least_width), room(scale.unit)[0])]
    if draft.beside:
        widths = [width - BETWEEN for width in range(int(BESIDE), int(WIDEST) + 1)]
    for width in widths:
        title, under, notes = _texts(draft, scale, width)
        if deep(title, NORMAL) + deep(under) + BETWEEN + deep(notes) <= tall:
            break
    rise = deep(title, NORMAL) + deep(under)
    top = x0, y1 + scale.of_paper(BETWEEN + rise)
    at = x0, y0 - scale.of_paper(BETWEEN)
    if draft.beside:
        top = x1 + scale.of_paper(BETWEEN), y1
        at = top[0], y1 - scale.of_paper(rise + BETWEEN)
    marks = [
        *draft.marks,
        *set_lines(title, top, scale, NORMAL),
        *set_lines(under, (top[0], top[1] - scale.of_paper(deep(title, NORMAL))), scale),
        *set_lines(notes, at, scale),
    ]
    low, high = extent_of(marks, scale)
    return View(draft.title, scale, low, high, tuple(marks))


def fitted(
    make: Callable[[Scale], Draft],
    size: tuple[Length, Length],
    around: tuple[float, float],
    unit: Unit,
    greatest: Mapping[Unit, int],
) -> View:
    """A view at the largest scale at which it fits a page, within the greatest that it may have.

    size: of what is built, in the deck; around: room in mm on paper taken up beside it, and over
    and under it, to begin with; greatest: the largest scale, by unit.
    """
    page = room(unit)
    taken = list(around)
    while True:
        left = max(page[0] - taken[0], FLOOR), max(page[1] - taken[1], FLOOR)
        scale = Scale(max(fit(size, left, unit).ratio, greatest[unit]), unit)
        view = finish(make(scale), scale)
        over = [i for i in (0, 1) if view.size[i] > page[i] + 1e-6]
        if all(left[i] <= FLOOR for i in over):
            return view
        for i in over:
            taken[i] = page[i] - size[i] * scale.per_unit + 1e-3


def listed(title: str, items: Sequence[str], unit: Unit) -> list[View]:
    """Text items one after the other, on as many views as they need, each as wide as a page."""
    scale = Scale(GREATEST[unit], unit)
    wide, tall = room(unit)
    rows = lines_in("; ".join(items), wide - 1.0)
    most = int((tall - 2 * NORMAL * LINE) / (SMALL * LINE))
    return [_text_view(title, rows[i : i + most], scale) for i in range(0, len(rows), most)]


def _text_view(title: str, rows: Sequence[str], scale: Scale) -> View:
    head = clipped(title, NORMAL, room(scale.unit)[0])
    marks = (
        *set_lines([head], (0.0, scale.of_paper(NORMAL * LINE)), scale, NORMAL),
        *set_lines(rows, (0.0, -scale.of_paper(1.0)), scale),
    )
    return View(title, scale, *extent_of(marks, scale), marks)
