"""Drawings, plans: the places that words may take, the best first."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import shapely

from service.core.measure import Point
from service.drawings.boxes import SINK, box_of
from service.drawings.dimensions import upright
from service.drawings.marks import SMALL, Anchor, Layer, Stroke, Words, width_of
from service.drawings.plans.lines import FAR
from service.drawings.plans.paper import LEADER, STRUCK, ExtraCost, Paper
from service.drawings.points import Corners, between, moved
from service.drawings.scales import Scale

PARTS: Final = (0.5, 0.35, 0.65, 0.2, 0.8)
"""Where along a line or a flight its words are tried, as shares of its length."""
TURNS: Final = (0.0, 45.0, -45.0, 90.0, -90.0, 135.0, -135.0, 180.0)
"""Degrees to either side of the direction in which words are wanted."""
CLOSE: Final = (0.0, 25.0, -25.0, *TURNS[1:])
"""The same for the nearest places.

A little aside comes early among them, as a line from the point may run where words are wanted.
"""
MISTAKEN: Final = 60
"""What a place costs that is nearer to another thing of the kind than to the one named."""
STEPS: Final = (0.0, 1.6, 3.6, 6.4, 10.0, 14.0)
"""In mm, how much further out words are tried."""
HALVES: Final = (22.5, -22.5, 67.5, -67.5, 112.5, -112.5, 157.5, -157.5)
OUTLYING: Final = (
    *((step, HALVES) for step in STEPS[1:]),
    *((f, (*TURNS, *HALVES)) for f in (18.0, 22.0, 26.0)),
)
"""Steps further out, each with its turns, tried last so that no line to words runs through
others."""


class Aside(NamedTuple):
    """Where words are wanted.

    at: the point that they stand beside. direction: from it to them. clear: mm from the point to
    the nearest of them.
    """

    at: Point
    direction: Point
    clear: float


class Label(NamedTuple):
    """What is to be written. size: height of its capitals in mm."""

    text: str
    size: float = SMALL
    layer: Layer = "words"


@dataclass(frozen=True, slots=True)
class Among:
    """Things of one kind by their names, to tell which of them words are nearest to."""

    names: tuple[str, ...]
    tree: shapely.STRtree

    def mistaken(self, words: Words, scale: Scale) -> int:
        """What words cost if they name one thing and are nearer to another: MISTAKEN, else 0."""
        nearest = int(self.tree.nearest(shapely.polygons(box_of(words, scale))))
        return 0 if self.names[nearest] == words.text else MISTAKEN


def among(shapes: Mapping[str, shapely.Geometry]) -> Among:
    """Things of one kind, from the shape of each by name."""
    return Among(tuple(shapes), shapely.STRtree(list(shapes.values())))


def tag(paper: Paper, aside: Aside, label: Label, others: Among | None = None) -> None:
    """Name what stands at a point, with a line to it where the name finds no place close by.

    others: things of its kind, to none of which its name may be nearer.
    """
    at, _, clear = aside

    def leader(words: Words) -> tuple[Point, Point] | None:
        """The ends of the line to words; None where they need none."""
        end = nearest(box_of(words, paper.scale), at)
        far = math.dist(end, at) * paper.scale.per_unit > clear * math.sqrt(2) + FAR
        return (at, end) if far else None

    def crossed(words: Words) -> int:
        ends = leader(words)
        if ends is None:
            return others.mistaken(words, paper.scale) if others else 0
        return cost_of_line(paper, ends, clear)

    words = paper.settle(best_led(paper, aside, label, crossed))
    if words is not None and (ends := leader(words)):
        paper.draw(Stroke("dimension", ends, leads_to=words), LEADER)
        paper.led += 1


def cost_of_line(paper: Paper, ends: tuple[Point, Point], clear: float) -> int:
    """What a line to words costs, apart from its first `clear` mm, where what they name stands."""
    part = min(1.0, paper.scale.of_paper(clear) / math.dist(*ends))
    return paper.cost_to_lead(between(*ends, part), ends[1])


def best_led(
    paper: Paper, aside: Aside, label: Label, extra_cost: ExtraCost
) -> tuple[Words | None, float]:
    """The best place round a point for words that a line may have to lead to, and what it costs.

    extra_cost: what that line costs.
    """
    words, cost = paper.best(around(paper.scale, aside, label), extra_cost)
    if cost >= STRUCK:
        other, less = paper.best(_outlying(paper.scale, aside, label), extra_cost, cost)
        if other is not None:
            return other, less
    return words, cost


def nearest(corners: Corners, at: Point) -> Point:
    """The point of an upright box that is nearest to another point.

    >>> nearest(((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0)), (3.0, 0.5))
    (2.0, 0.5)
    """
    (x0, y0), (x1, y1) = corners[0], corners[2]
    return min(max(at[0], x0), x1), min(max(at[1], y0), y1)


def around(scale: Scale, aside: Aside, label: Label) -> Iterator[Words]:
    """Level words round a point: first where they are wanted, then on other sides, then further."""
    for step in STEPS:
        yield from _ring(scale, aside, label, step, TURNS if step else CLOSE)


def _outlying(scale: Scale, aside: Aside, label: Label) -> Iterator[Words]:
    """Places between those that `around` gives, and beyond them."""
    for step, turns in OUTLYING:
        yield from _ring(scale, aside, label, step, turns)


def _ring(
    scale: Scale, aside: Aside, label: Label, step: float, turns: Sequence[float]
) -> Iterator[Words]:
    """Places round a point, `step` mm further out. turns: degrees from where words are wanted."""
    at, direction, clear = aside
    for turn in turns:
        angle = math.atan2(direction[1], direction[0]) + math.radians(turn)
        turned = Aside(at, (math.cos(angle), math.sin(angle)), clear + step)
        yield beside(scale, turned, label)


def beside(scale: Scale, aside: Aside, label: Label) -> Words:
    """Level words in a direction from a point, far enough off to keep clear of it.

    Words wholly to its right begin next to it, and those wholly to its left end next to it, so that
    their distance does not depend on the font.

    >>> beside(Scale(1, "mm"), Aside((0.0, 0.0), (1.0, 0.0), 2.0), Label("P1", 2.5)).at
    (2.0, -0.875)
    >>> beside(Scale(1, "mm"), Aside((0.0, 0.0), (0.0, 1.0), 2.0), Label("P1", 2.5)).at
    (0.0, 2.75)
    """
    (at, direction, clear), (text, size, layer) = aside, label
    # Letters that reach below the baseline count, so the middle of words lies below half a capital.
    half = width_of(text, size) / 2, size * (1 + SINK) / 2
    most = max(abs(direction[0]), abs(direction[1]))
    right, up = 1.5 * direction[0], min(1.0, max(-1.0, 1.5 * direction[1]))
    anchor: Anchor = "start" if right >= 1.0 else "end" if right <= -1.0 else "middle"
    x = direction[0] / most * clear + (half[0] * right if anchor == "middle" else 0.0)
    y = direction[1] / most * clear + half[1] * (up - 1.0) + SINK * size
    place = at[0] + scale.of_paper(x), at[1] + scale.of_paper(y)
    return Words(layer, place, text, size, anchor)


def along(scale: Scale, at: Point, direction: Point, rise: float, text: str) -> Words:
    """Words along a line, their middle `rise` mm to its left (below 0: to its right)."""
    angle = math.degrees(math.atan2(direction[1], direction[0]))
    turn = upright(angle)
    flipped = math.cos(math.radians(angle - turn)) < 0
    # The baseline lies below the middle of words as they are read.
    sink = SMALL / 2 if flipped else -SMALL / 2
    place = moved(at, direction, 0.0, -scale.of_paper(rise + sink))
    return Words("dimension", place, text, SMALL, turn=turn)


def square_to(scale: Scale, at: Point, out: Point, text: str) -> Words:
    """Words that begin at a point and run outward from it."""
    angle = math.degrees(math.atan2(out[1], out[0]))
    turn = upright(angle)
    onward = math.cos(math.radians(angle - turn)) > 0
    # Words are moved down as they are read, which is to the right of the way they run.
    place = moved(at, out, 0.0, scale.of_paper(SMALL / 2 if onward else -SMALL / 2))
    return Words("dimension", place, text, SMALL, "start" if onward else "end", turn)
