"""Drawings, plans: the key: what each kind of line means, as far as the plan has it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final, TypeAlias

from service.core.measure import Length, Point
from service.core.records.deck import INFILL_WORDS
from service.drawings.marks import SMALL, Mark, Stroke, Words, box, line
from service.drawings.plans.railing import INFILL_LINES
from service.drawings.plans.scene import Scene
from service.drawings.scales import Scale

Pen: TypeAlias = Callable[[Scale, Point], Iterator[Mark]]
"""A function that draws something at a scale, given its upper left corner."""

_LINES: Final = {
    **INFILL_LINES,
    "open": ("deck", "dashed"),
    "joist": ("joist", "full"),
    "handrail": ("handrail", "full"),
    "landing": ("stair", "dashed"),
}
"""The kinds that are one line, with its layer and pattern."""


def key_of(scene: Scene) -> Iterator[tuple[str, str]]:
    """The kinds of lines that a plan has, each with its meaning."""
    conditions = {edge.condition for edge in scene.edges.values()}
    infills = {bay.infill for track in scene.tracks.values() for bay in track.bays}
    framed = [post.framing for post in scene.posts.values() if post.framing]
    rows = [
        ("base", "post on its base", bool(scene.posts)),
        *((each, f"rail, {words}", each in infills) for each, words in INFILL_WORDS.items()),
        ("wall", "wall", "wall" in conditions),
        ("going_on", "wall that has to go on", bool(scene.wall_ends)),
        ("open", "open edge, no railing", "open" in conditions),
        ("no_post", "no post may stand there", bool(scene.level.no_post)),
        ("joist", "joist (its middle), rim", scene.level.framing is not None),
        ("block", "blocking", any(each.blocking for each in framed)),
        ("handrail", "handrail", any(each.flight.handrails for each in scene.courses)),
        ("landing", "of another level: (P1) as there", scene.landed_on),
    ]
    return ((kind, text) for kind, text, is_there in rows if is_there)


def swatch(kind: str, text: str) -> Pen:
    """A row of the key: a sample of a line and its meaning."""

    def draw(scale: Scale, at: Point) -> Iterator[Mark]:
        mm = scale.of_paper
        x, y = at[0], at[1] - mm(1.5)
        yield from _sample(kind, mm, x, y)
        yield Words("words", (x + mm(11.0), at[1] - mm(2.4)), text, SMALL, "start")

    return draw


def _sample(kind: str, mm: Callable[[float], Length], x: Length, y: Length) -> Iterator[Mark]:
    """A sample of a kind of line, 8 mm long."""
    ends = (x, y), (x + mm(8.0), y)
    if kind == "base":
        yield box("base", (x + mm(2.8), y - mm(1.2)), (x + mm(5.2), y + mm(1.2)), filled=True)
        yield box("post", (x + mm(3.4), y - mm(0.6)), (x + mm(4.6), y + mm(0.6)), filled=True)
    elif kind == "wall":
        yield box("wall", (x, y - mm(0.9)), (x + mm(8.0), y + mm(0.9)), filled=True)
    elif kind == "block":
        yield box("block", (x, y - mm(0.6)), (x + mm(8.0), y + mm(0.6)), filled=True)
    elif kind == "going_on":
        sides = [(end[0], end[1] + w * mm(0.9)) for w in (1, -1) for end in ends]
        yield Stroke("wall", (sides[0], sides[1], sides[3], sides[2]), pattern="dashed")
    elif kind == "no_post":
        yield Stroke("block", ends)
        for end in ends:
            yield line("block", (end[0], end[1] - mm(0.9)), (end[0], end[1] + mm(0.9)))
    else:
        if kind in INFILL_LINES:
            yield box("rail", (x, y - mm(0.5)), (x + mm(8.0), y + mm(0.5)), filled=True)
        layer, pattern = _LINES[kind]
        yield Stroke(layer, ends, pattern=pattern)
