"""Drawings, plans: the number of an edge that has no room for its length."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

import shapely

from service.core.measure import toward
from service.drawings.ground import Edge
from service.drawings.marks import Words
from service.drawings.plans.paper import MEASURED, Paper
from service.drawings.plans.placing import MISTAKEN, PARTS, Among, Aside, Label, among, beside, tag
from service.drawings.scales import Scale

CLEAR: Final = 1.5
"""In mm, from an edge to its number."""
SHORT: Final = 10.0
"""In mm, the length below which an edge has its number alone beside it, without the word."""


def numbers_of(scale: Scale, edges: Iterable[Edge]) -> Among | None:
    """All edges by the text beside each, to tell which edge words are nearest to."""
    return among({_text(scale, edge): shapely.LineString(edge.points) for edge in edges})


def write_number(paper: Paper, edge: Edge, numbers: Among | None) -> None:
    """Write an edge's number close by it, nearest to no other edge; else with a line to its middle.

    numbers: as `numbers_of` gives it.
    """
    ux, uy = toward(edge.points[0], edge.points[-1])
    label = Label(_text(paper.scale, edge), layer="dimension")
    asides = [
        Aside(edge.place(part), (uy * side, -ux * side), CLEAR)
        for side in (1.0, -1.0)
        for part in PARTS
    ]

    def mistaken(words: Words) -> int:
        return MISTAKEN if numbers and numbers.nearest(words, paper.scale) != label.text else 0

    words, cost = paper.best((beside(paper.scale, each, label) for each in asides), mistaken)
    if words is not None and cost < 2 * MEASURED:
        paper.draw(words)
        return
    led = paper.led
    tag(paper, asides[0], label, numbers)
    # The edge is told of beside the plan, and counted there.
    paper.led = led


def _text(scale: Scale, edge: Edge) -> str:
    """The text beside an edge: its number, without the word "edge" where it is short."""
    is_short = edge.length * scale.per_unit < SHORT
    return str(edge.number) if is_short else f"edge {edge.number}"
