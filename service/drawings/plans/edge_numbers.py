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
"""In mm, an edge beside which no more than its number stands."""


def numbers_of(scale: Scale, edges: Iterable[Edge]) -> Among | None:
    """All edges by what is written beside them, to tell which one that is nearest to."""
    return among({_text(scale, edge): shapely.LineString(edge.points) for edge in edges})


def write_number(paper: Paper, edge: Edge, numbers: Among | None) -> None:
    """An edge's number close beside it, nearest to no other edge; else with a line to its
    middle."""
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
    # Its length is told of beside the plan, and counts there.
    paper.led = led


def _text(scale: Scale, edge: Edge) -> str:
    """Beside a short edge its number alone."""
    is_short = edge.length * scale.per_unit < SHORT
    return str(edge.number) if is_short else f"edge {edge.number}"
