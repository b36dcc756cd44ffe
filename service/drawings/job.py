"""Drawings: the whole set of a job, for print."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from service.drawings.elevations.sheet import draw_elevations
from service.drawings.lists.buying import parts_list
from service.drawings.lists.cutting import cut_list
from service.drawings.lists.glazing import glass_order
from service.drawings.lists.setting_out import set_out
from service.drawings.look_at import look_at
from service.drawings.parts import Heading, Maker, Part, Subject
from service.drawings.plans.sheet import draw_plan

MAKERS: Final[tuple[tuple[str, Maker], ...]] = (
    ("To look at first", look_at),
    ("Plan", draw_plan),
    ("Elevations", draw_elevations),
    ("Posts to set", set_out),
    ("Cut list", cut_list),
    ("Glass order", glass_order),
    ("Parts list", parts_list),
)
"""What a set is made of, in its order, and what each part of it is called on its pages."""


def make_job(subject: Subject, heading: Heading) -> Iterator[Part]:
    """Every part of the set, each under its own name."""
    for name, maker in MAKERS:
        yield from maker(subject, replace(heading, name=name))
