"""Drawings: the glass order for a glass shop: its lists, then the shapes of raked panels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from service.drawings.elevations.sheet import draw_shapes
from service.drawings.lists.glazing import glass_order
from service.drawings.parts import Heading, Part, Subject


def glass_order_with_shapes(subject: Subject, heading: Heading) -> Iterator[Part]:
    """The tables of the glass order, then the pages with the shapes of raked panels.

    The whole set takes the tables alone, as its elevations already draw the shapes.
    """
    yield from glass_order(subject, heading)
    yield from draw_shapes(subject, replace(heading, name="Raked panels"))
