"""Drawings: the whole set of a job, for print."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from service.core import limits
from service.drawings.elevations.sheet import draw_elevations
from service.drawings.lists.buying import parts_list
from service.drawings.lists.cutting import cut_list
from service.drawings.lists.glazing import glass_order
from service.drawings.lists.setting_out import set_out
from service.drawings.look_at import look_at
from service.drawings.pages import check_count
from service.drawings.parts import Heading, Maker, Part, Subject
from service.drawings.plans.sheet import PARTS, draw_plan

LISTS: Final[tuple[tuple[str, Maker], ...]] = (
    ("Posts to set", set_out),
    ("Cut list", cut_list),
    ("Glass order", glass_order),
    ("Parts list", parts_list),
)
"""The lists that follow the drawings, in their order, each with its name on the pages."""


def make_job(subject: Subject, heading: Heading) -> Iterator[Part]:
    """Every part of the whole set, each under its own name.

    Raises TooLarge, before the plan is drawn, where the drawings come to more pages than are
    allowed. Elevations are drawn first: the plan needs a page for each level, and draws its larger
    levels in parts on as many pages as the elevations leave.
    """

    def named(name: str) -> Heading:
        return replace(heading, name=name)

    raised = draw_elevations(subject, named("Elevations"))
    pages = len(raised) + len(subject.deck.levels)
    check_count(pages)
    yield from look_at(subject, named("To look at first"))
    yield from draw_plan(subject, named("Plan"), min(PARTS, limits.PAGES - pages))
    yield from raised
    for name, maker in LISTS:
        yield from maker(subject, named(name))
