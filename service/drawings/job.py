"""Drawings: the whole set of a job, for print."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from service.drawings.look_at import look_at
from service.drawings.parts import Heading, Maker, Part, Subject
from service.drawings.plan import draw_plan

MAKERS: Final[tuple[tuple[str, Maker], ...]] = (
    ("To look at first", look_at),
    ("Plan", draw_plan),
)
"""What a set is made of, in its order, and what each part of it is called on its pages."""


def make_job(subject: Subject, heading: Heading) -> Iterator[Part]:
    """Every part of the set, each under its own name."""
    for name, maker in MAKERS:
        yield from maker(subject, replace(heading, name=name))
