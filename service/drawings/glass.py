"""Drawings: the glass order as a glass shop has it: its lists, and the shapes of raked panels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from service.drawings.elevations.sheet import draw_shapes
from service.drawings.lists.glazing import glass_order
from service.drawings.parts import Heading, Part, Subject


def order_glass(subject: Subject, heading: Heading) -> Iterator[Part]:
    """The lists first; in the whole set shapes are among the elevations, and not drawn again."""
    yield from glass_order(subject, heading)
    yield from draw_shapes(subject, replace(heading, name="Raked panels"))
