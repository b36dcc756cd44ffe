"""Drawings, plans: the key: what each line of a plan means, as far as the plan has it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TypeAlias

from service.core.measure import Length, Point
from service.drawings.marks import SMALL, Mark, Stroke, Words, box, line
from service.drawings.plans.scene import Scene
from service.drawings.scales import Scale

Pen: TypeAlias = Callable[[Scale, Point], Iterator[Mark]]
"""What draws something at a scale, given its upper left corner."""


def key_of(scene: Scene) -> Iterator[tuple[str, str]]:
    """Kinds of lines that are in a plan, and what they mean."""
    conditions = {edge.condition for edge in scene.edges.values()}
    infills = {bay.infill for bays in scene.bays.values() for bay in bays}
    if scene.posts:
        yield "base", "post on its base"
    if "picket" in infills:
        yield "picket", "rail, pickets"
    if "glass" in infills:
        yield "glass", "rail, glass"
    if "wall" in conditions:
        yield "wall", "wall"
    if "open" in conditions:
        yield "open", "open edge, no railing"
    if scene.level.no_post:
        yield "no_post", "no post may stand there"
    if scene.level.framing:
        yield "joist", "joist (its middle), rim"
        yield "block", "blocking"
    if any(flight.handrails for flight in scene.flights):
        yield "handrail", "handrail"
    if scene.landed_on:
        yield "landing", "of another level: (P1) as there"


def swatch(kind: str, text: str) -> Pen:
    """A row of the key: a piece of a line, and its meaning."""

    def draw(scale: Scale, at: Point) -> Iterator[Mark]:
        mm = scale.of_paper
        x, y = at[0], at[1] - mm(1.5)
        yield from _sample(kind, mm, x, y)
        yield Words("words", (x + mm(11.0), at[1] - mm(2.4)), text, SMALL, "start")

    return draw


def _sample(kind: str, mm: Callable[[float], Length], x: Length, y: Length) -> Iterator[Mark]:
    """A piece of a line of its kind, eight mm long."""
    ends = (x, y), (x + mm(8.0), y)
    if kind == "base":
        yield box("base", (x + mm(2.8), y - mm(1.2)), (x + mm(5.2), y + mm(1.2)), filled=True)
        yield box("post", (x + mm(3.4), y - mm(0.6)), (x + mm(4.6), y + mm(0.6)), filled=True)
    elif kind in ("picket", "glass"):
        yield box("rail", (x, y - mm(0.5)), (x + mm(8.0), y + mm(0.5)), filled=True)
        dashed = kind == "picket"
        yield Stroke("picket" if dashed else "glass", ends, pattern="dashed" if dashed else "full")
    elif kind == "wall":
        yield box("wall", (x, y - mm(0.9)), (x + mm(8.0), y + mm(0.9)), filled=True)
    elif kind == "block":
        yield box("block", (x, y - mm(0.6)), (x + mm(8.0), y + mm(0.6)), filled=True)
    elif kind == "open":
        yield Stroke("deck", ends, pattern="dashed")
    elif kind == "landing":
        yield Stroke("stair", ends, pattern="dashed")
    elif kind == "no_post":
        yield Stroke("block", ends)
        for end in ends:
            yield line("block", (end[0], end[1] - mm(0.9)), (end[0], end[1] + mm(0.9)))
    elif kind in ("joist", "handrail"):
        yield Stroke("joist" if kind == "joist" else "handrail", ends)
