"""Drawings: the plan, a view of each level: what stands where, and what a tape says of it."""

from __future__ import annotations

from collections.abc import Iterator

from service.core.line.posts import square_at
from service.core.records.deck import Level
from service.drawings.ground import edges_of, outline_of
from service.drawings.marks import Mark, Stroke, Words, extent
from service.drawings.pages import room, set_out
from service.drawings.parts import Heading, Page, Subject, View
from service.drawings.scales import fit

AROUND = 25.0
"""Room in mm on paper around a level, for dimensions and names."""


def draw_plan(subject: Subject, heading: Heading) -> tuple[Page, ...]:
    """A plan of every level, a level a page."""
    views = [_level(subject, level) for level in subject.deck.levels]
    return set_out(views, heading)


def _level(subject: Subject, level: Level) -> View:
    unit = subject.deck.unit
    outline = outline_of(edges_of(level, unit))
    low, high = extent(outline)
    wide, tall = room(unit)
    size = (high[0] - low[0], high[1] - low[1])
    scale = fit(size, (wide - 2 * AROUND, tall - 2 * AROUND), unit)
    margin = scale.of_paper(AROUND)
    marks = [Stroke("deck", outline, closed=True, filled=True), *_posts(subject, level)]
    return View(
        f"Plan of {level.id}",
        scale,
        (low[0] - margin, low[1] - margin),
        (high[0] + margin, high[1] + margin),
        tuple(marks),
    )


def _posts(subject: Subject, level: Level) -> Iterator[Mark]:
    for post in subject.layout.posts:
        if post.level == level.id:
            yield Stroke("base", post.base, closed=True, filled=True)
            square = square_at(post.at, subject.kit.post.width, post.turned)
            yield Stroke("post", tuple(square), closed=True, filled=True)
            yield Words("words", post.at, post.id)
