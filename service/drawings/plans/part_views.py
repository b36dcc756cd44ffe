"""Drawings, plans: the views of a level's parts, and the view that replaces them in a model."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.measure import Point
from service.drawings.boxes import extent_of
from service.drawings.marks import Mark, Stroke, box, transformed
from service.drawings.pages import room
from service.drawings.parts import View
from service.drawings.plans.closer import Closer
from service.drawings.plans.flags import Concern
from service.drawings.plans.level import DrawnLevel
from service.drawings.plans.side_notes import (
    COLUMN,
    GAP,
    NoteRow,
    column_of,
    draw_rows,
    rows_of,
    title_of,
    untold,
)
from service.drawings.plans.windows import boxed, clip_to_window, frame_of
from service.drawings.points import Rect, extent
from service.drawings.scales import Scale

KEY: Final = 24.0
"""In mm, the greatest height of a key plan and the room below it."""
IN_ALL: Final = "in all parts together; see the elevations"


def part_views(level: DrawnLevel, closer: Closer) -> Iterator[View]:
    """A view of each part, with notes beside it.

    None of them goes into a model, which has the view of `model_of` instead.
    """
    paper, count = closer.paper, len(closer.windows)
    scale, (wide, tall) = paper.scale, room(paper.scale.unit)
    texts, drawn = untold((), paper.left_out, IN_ALL), list(boxed(paper.marks, scale))
    for i, window in enumerate(closer.windows, 1):
        title = f"Plan of {level.scene.level.id}, part {i} of {count}"
        concerns = [each for each in level.concerns if _is_seen(each, level, window)]
        part = [title_of(f"Part {i} of {count}"), _key_plan(level, closer, window)]
        rows = rows_of(level.scene, texts, concerns, part)
        column = column_of(rows, tall)
        (left, _), (right, top) = window
        corner = right + scale.of_paper(GAP), top
        marks: list[Mark] = [*clip_to_window(drawn, window), frame_of(window)]
        marks += draw_rows([column], scale, corner)
        page = Rect((left, top - scale.of_paper(tall)), (left + scale.of_paper(wide), top))
        yield View(title, scale, page, tuple(marks), window, ())


def _is_seen(concern: Concern, level: DrawnLevel, window: Rect) -> bool:
    """Whether a concern is one of the whole level, or names a place in the window."""
    return not concern.here or any(window.has(level.places[name]) for name in concern.here)


def model_of(level: DrawnLevel, closer: Closer) -> View:
    """The whole level as it is drawn closer, with notes beside it, for a model without pages."""
    scale = closer.paper.scale
    drawing_box = extent_of(closer.paper.marks, scale)
    title = f"Plan of {level.scene.level.id}"
    texts = untold(closer.short, closer.paper.left_out)
    columns = [rows_of(level.scene, texts, level.concerns)]
    corner = drawing_box.high[0] + scale.of_paper(GAP), drawing_box.high[1]
    marks = (*closer.paper.marks, *draw_rows(columns, scale, corner))
    low, (right, top) = extent_of(marks, scale)
    whole = Rect(low, (max(right, corner[0] + scale.of_paper(COLUMN)), top))
    return View(title, scale, whole, marks, drawing_box)


def _key_plan(level: DrawnLevel, closer: Closer, window: Rect) -> NoteRow:
    """The level's outline, small, with a frame where this part of it lies."""
    outline = level.scene.outline
    ends = [point for each in closer.windows for point in each]
    (x0, y0), (x1, y1) = extent([*outline, *ends])
    small = min((COLUMN - 4.0) / (x1 - x0), (KEY - 4.0) / (y1 - y0))

    def draw(scale: Scale, at: Point) -> Iterator[Mark]:
        k = scale.of_paper(small)

        def place(point: Point) -> Point:
            """Where a point of the deck lies on the key plan."""
            return at[0] + (point[0] - x0) * k, at[1] - (y1 - point[1]) * k

        yield Stroke("dimension", tuple(map(place, outline)), closed=True)
        yield transformed(box("words", *window), place)

    return NoteRow((y1 - y0) * small + 4.0, draw)
