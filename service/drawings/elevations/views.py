"""Drawings: views of elevations, each at the scale that its page has room for, with title and
notes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from service.core.measure import Length, Point, Unit
from service.drawings.boxes import extent_of
from service.drawings.marks import NORMAL, SMALL, Mark, Words, lines_in
from service.drawings.pages import room
from service.drawings.parts import View
from service.drawings.scales import Scale, fit

LINE: Final = 1.55
"""From one line of text to the next, as a multiple of the height of a capital."""
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
    """A view at a scale, still without its title and notes.

    alike: a sentence under the title that says what else looks so, or "". beside: whether title and
    notes stand to the right of the drawing instead of over and under it. least_width: in mm on
    paper, of title and notes over and under it.
    """

    title: str
    alike: str
    marks: tuple[Mark, ...]
    notes: tuple[str, ...]
    beside: bool = False
    least_width: float = NARROWEST


@dataclass(frozen=True, slots=True)
class Sketch:
    """A view whose scale is still open.

    draft: draws it at a scale. size: of what is built, in the deck's unit. around: the room in mm
    on paper taken up beside it, and over and under it, to begin with.
    """

    draft: Callable[[Scale], Draft]
    size: tuple[Length, Length]
    around: tuple[float, float]
    unit: Unit

    def view(self, greatest: Mapping[Unit, int]) -> View:
        """The view at the largest scale at which it fits a page.

        greatest: the largest scale that it may have, by unit.
        """
        page, taken = room(self.unit), list(self.around)
        while True:
            left = max(page[0] - taken[0], FLOOR), max(page[1] - taken[1], FLOOR)
            ratio = max(fit(self.size, left, self.unit).ratio, greatest[self.unit])
            scale = Scale(ratio, self.unit)
            view = _finished(self.draft(scale), scale)
            over = [i for i in (0, 1) if view.size[i] > page[i] + 1e-6]
            if all(left[i] <= FLOOR for i in over):
                return view
            for i in over:
                taken[i] = page[i] - self.size[i] * scale.per_unit + 1e-3


def _texts(draft: Draft, scale: Scale, width: float) -> tuple[list[str], list[str], list[str]]:
    """The title, what is alike, and the notes, each as lines no wider than `width` mm."""
    title = lines_in(f"{draft.title}. 1:{scale.ratio}", width, NORMAL)
    notes = [row for each in draft.notes for row in lines_in(each, width)]
    return title, lines_in(draft.alike, width), notes


def _set_lines(
    lines: Sequence[str], at: Point, scale: Scale, size: float = SMALL
) -> Iterator[Words]:
    """Lines of text one below the other. at: the upper left corner of the first."""
    x, y = at
    for i, text in enumerate(lines):
        yield Words("words", (x, y - scale.of_paper(size + i * LINE * size)), text, size, "start")


def _deep(lines: Sequence[str], size: float = SMALL) -> float:
    """The height of lines of text in mm on paper."""
    return len(lines) * LINE * size


def _finished(draft: Draft, scale: Scale) -> View:
    """A draft with its title and notes."""
    (x0, y0), (x1, y1) = extent_of(draft.marks, scale)
    drawn, tall = (x1 - x0) * scale.per_unit, (y1 - y0) * scale.per_unit
    widths = [min(max(drawn, draft.least_width), room(scale.unit)[0])]
    if draft.beside:
        widths = [width - BETWEEN for width in range(int(BESIDE), int(WIDEST) + 1)]
    for width in widths:
        title, under, notes = _texts(draft, scale, width)
        if _deep(title, NORMAL) + _deep(under) + BETWEEN + _deep(notes) <= tall:
            break
    rise = _deep(title, NORMAL) + _deep(under)
    top = x0, y1 + scale.of_paper(BETWEEN + rise)
    at = x0, y0 - scale.of_paper(BETWEEN)
    if draft.beside:
        top = x1 + scale.of_paper(BETWEEN), y1
        at = top[0], y1 - scale.of_paper(rise + BETWEEN)
    marks = [
        *draft.marks,
        *_set_lines(title, top, scale, NORMAL),
        *_set_lines(under, (top[0], top[1] - scale.of_paper(_deep(title, NORMAL))), scale),
        *_set_lines(notes, at, scale),
    ]
    return View(draft.title, scale, extent_of(marks, scale), tuple(marks))


def listed(title: str, items: Sequence[str], unit: Unit) -> list[View]:
    """Text items one after the other, as narrow as notes are, on as many views as they need."""
    scale = Scale(GREATEST[unit], unit)
    head, rows = lines_in(title, NARROWEST, NORMAL), lines_in("; ".join(items), NARROWEST)
    most = int((room(unit)[1] - _deep(head, NORMAL) - NORMAL * LINE) / (SMALL * LINE))
    return [_text_view(title, head, rows[i : i + most], scale) for i in range(0, len(rows), most)]


def _text_view(title: str, head: Sequence[str], rows: Sequence[str], scale: Scale) -> View:
    marks = (
        *_set_lines(head, (0.0, scale.of_paper(_deep(head, NORMAL))), scale, NORMAL),
        *_set_lines(rows, (0.0, -scale.of_paper(1.0)), scale),
    )
    return View(title, scale, extent_of(marks, scale), marks)
