"""Drawings: the plan, a view of each level: what stands where, and what a tape reads of it.

`draw_plan` is the main entry. A level too large for a page also has views of its parts, drawn
closer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from service.core.measure import Point
from service.drawings.boxes import extent_of
from service.drawings.pages import room, set_out
from service.drawings.parts import Heading, Page, Subject, View
from service.drawings.plans.breaks import break_lines
from service.drawings.plans.closer import MOST_PARTS, Closer, closer_of, draw_windows
from service.drawings.plans.flags import flagged_of
from service.drawings.plans.flights import landings_of
from service.drawings.plans.level import (
    DrawnLevel,
    draw_level,
    level_of,
    measure_level,
    measure_outline,
    name_level,
)
from service.drawings.plans.paper import Paper
from service.drawings.plans.part_views import model_of, part_views
from service.drawings.plans.scene import scenes_of
from service.drawings.plans.side_notes import (
    COLUMN,
    GAP,
    NoteRow,
    draw_rows,
    flow,
    least_height,
    rows_of,
    untold,
)
from service.drawings.points import Rect, between
from service.drawings.scales import Scale, coarser, fit

AROUND: Final = 10.0
"""In mm, the least room that dimensions and names take up on each side of a level."""
TRIES: Final = 16
"""How many scales are tried with all the notes beside a plan, before its title and bar must do.

Words reach no more than 60 mm from what they name, so there is always room for those in the end.
"""
CROWDED: Final = 15
"""The most words that a plan may set apart before its level is drawn closer in parts as well.

Set apart are words that are left out, told beside the plan, or so far off that a line leads to
them.
"""
PARTS: Final = 160
"""The most parts of all levels of a plan together.

A level may be drawn closer only while as many are left as one level can have.
"""
FOLLOW: Final = "Drawn closer in parts, on the pages that follow."


def draw_plan(subject: Subject, heading: Heading, parts: int = PARTS) -> tuple[Page, ...]:
    """A plan of every level, each on a page of its own, large ones drawn closer in parts as well.

    parts: the most parts of all levels together.
    """
    flagged = flagged_of(subject.reply)
    views: list[View] = []
    left = parts
    scenes = scenes_of(subject)
    landings = landings_of(scenes)
    for scene in scenes:
        level = level_of(scene, flagged, landings.get(scene.level.id, ()))
        found = _views(level, may_part=left >= MOST_PARTS)
        left -= len(found) - 1
        views += found
    return set_out(views, heading)


def _views(level: DrawnLevel, *, may_part: bool) -> list[View]:
    """The view of a level, and views of its parts where it is crowded.

    The level is drawn at the largest scale at which it fits its page with all its words. Where that
    leaves it crowded and it may have parts, a view of the whole comes first, then one of each part.
    """
    unit = level.scene.subject.deck.unit
    (wide, tall), seen = room(unit), level.extent
    scale = largest = fit(seen.size, (wide - 2 * AROUND, tall - 2 * AROUND), unit)
    middle = between(*seen)
    tries = looked = 0
    while True:
        paper = Paper(scale, middle, looked)
        short = measure_level(paper, level)
        if _fits(paper):
            name_level(paper, level)
            break_lines(paper)
            astray = paper.left_out + paper.led + len(short)
            is_crowded = level.scene.is_narrow(scale) or astray > CROWDED
            closer = closer_of(level, scale) if is_crowded and may_part else None
            if closer:
                whole = _overview(level, closer, largest, middle)
                return [
                    replace(whole, in_model=(model_of(level, closer),)),
                    *part_views(level, closer),
                ]
            view = _placed(level, paper, untold(short, paper.left_out), tries)
            if view is not None:
                return [view]
        scale = coarser(scale)
        tries, looked = tries + 1, paper.looked


def _overview(level: DrawnLevel, closer: Closer, scale: Scale, middle: Point) -> View:
    """The view of a whole level whose parts are drawn closer: where they and its findings lie.

    It has the largest scale at which it fits, from `scale` on, that is smaller than the scale of
    its parts.
    """
    texts, tries = [FOLLOW, *untold(closer.short, 0)], 0
    while True:
        paper = Paper(scale, middle)
        draw_level(paper, level)
        draw_windows(paper, closer)
        measure_outline(paper, level)
        break_lines(paper)
        is_closer = scale.ratio <= closer.paper.scale.ratio
        view = None if is_closer else _placed(level, paper, texts, tries)
        if view is not None:
            return view
        scale, tries = coarser(scale), tries + 1


def _placed(level: DrawnLevel, paper: Paper, texts: Sequence[str], tries: int) -> View | None:
    """A drawing on its page with the notes beside it; None where there is no room for both.

    texts: what is said of the drawing; tries: how many scales were tried before this one.
    """
    rows = rows_of(level.scene, texts, level.concerns)
    placed = _notes_beside(paper, rows if tries < TRIES else rows[:2])
    return None if placed is None else _framed(level, paper, *placed)


def _size(paper: Paper) -> tuple[float, float]:
    """Width and height in mm of what is drawn so far."""
    wide, tall = extent_of(paper.marks, paper.scale).size
    return wide * paper.scale.per_unit, tall * paper.scale.per_unit


def _fits(paper: Paper) -> bool:
    """Whether what is drawn so far is no larger than the room on a page."""
    (width, height), (wide, tall) = _size(paper), room(paper.scale.unit)
    return width <= wide and height <= tall


def _notes_beside(paper: Paper, rows: list[NoteRow]) -> tuple[list[list[NoteRow]], Point] | None:
    """Notes in columns to the right of a drawing, else below it, with their upper left corner.

    The corner is in mm from that of the page's room, y down. None where neither place has room.
    """
    (width, height), (wide, tall) = _size(paper), room(paper.scale.unit)
    columns = flow(rows, tall)
    left = wide - len(columns) * COLUMN
    if width + GAP <= left and height <= tall:
        return columns, (left, 0.0)
    count = int(wide // COLUMN)
    deep = least_height(rows, count)
    if width <= wide and height + GAP + deep <= tall:
        return flow(rows, deep), (0.0, tall - deep)
    return None


def _framed(level: DrawnLevel, paper: Paper, columns: list[list[NoteRow]], corner: Point) -> View:
    """A view as large as the page's room, with the drawing in the middle of what notes leave."""
    scale, (wide, tall) = paper.scale, room(paper.scale.unit)
    drawing_box = extent_of(paper.marks, scale)
    (x0, y0), (x1, y1) = drawing_box
    across, down = corner[0] or wide, corner[1] or tall
    left = (x0 + x1) / 2 - scale.of_paper(across / 2)
    top = (y0 + y1) / 2 + scale.of_paper(down / 2)
    place = left + scale.of_paper(corner[0]), top - scale.of_paper(corner[1])
    marks = (*paper.marks, *draw_rows(columns, scale, place))
    page = Rect((left, top - scale.of_paper(tall)), (left + scale.of_paper(wide), top))
    return View(f"Plan of {level.scene.level.id}", scale, page, marks, drawing_box)
