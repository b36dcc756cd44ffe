"""Drawings: the rectangle that marks lie in, their text included, and text set in lines."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from service.core.measure import Point
from service.drawings.marks import (
    LETTER,
    SMALL,
    Anchor,
    Disc,
    Layer,
    Mark,
    Stroke,
    Words,
    extent,
    width_of,
)
from service.drawings.scales import Scale

DESCENT: Final = 0.3
"""How far letters reach below their baseline, by the height of a capital."""
LINE: Final = 1.55
"""From one line of text to the next, by the height of a capital."""
_WITHIN: Final = re.compile(r"(?<=[0-9'x]) (?=[0-9])|(?<=[0-9]) (?=(?:mm|in|kg|lb|x|pickets?)\b)")
"""Spaces inside lengths and masses."""
_SHIFT: Final[dict[Anchor, float]] = {"start": 0.0, "middle": -0.5, "end": -1.0}


def corners_of(mark: Mark, scale: Scale) -> Sequence[Point]:
    """Points that a mark reaches to: of text the corners of the box that it lies in."""
    if isinstance(mark, Stroke):
        return mark.points
    x, y = mark.at
    if isinstance(mark, Disc):
        return (x - mark.radius, y - mark.radius), (x + mark.radius, y + mark.radius)
    width = width_of(mark.text, mark.size)
    low = width * _SHIFT[mark.anchor]
    c, s = math.cos(math.radians(mark.turn)), math.sin(math.radians(mark.turn))
    box = [(a, b) for a in (low, low + width) for b in (-DESCENT * mark.size, mark.size)]
    return [(x + scale.of_paper(a * c - b * s), y + scale.of_paper(a * s + b * c)) for a, b in box]


def bounds(marks: Iterable[Mark], scale: Scale) -> tuple[Point, Point]:
    """Lower left and upper right corner of what marks lie in.

    >>> low, high = bounds([Words("words", (0.0, 0.0), "B1", 2.5, "start")], Scale(10, "mm"))
    >>> low, high
    ((0.0, -7.5), (40.0, 25.0))
    """
    return extent([point for mark in marks for point in corners_of(mark, scale)])


def lines_in(text: str, width: float, size: float = SMALL) -> list[str]:
    """Text broken into lines no wider than `width` mm on paper, but not within a length.

    >>> lines_in("one two three", 14.4)
    ['one two', 'three']
    >>> lines_in("cut to 11 x 3 3/4", 20.0)
    ['cut to', '11 x 3 3/4']
    """
    held = _WITHIN.sub("\u00a0", text)
    rows = textwrap.wrap(held, max(12, int(width / (size * LETTER))))
    return [row.replace("\u00a0", " ") for row in rows]


def set_lines(
    lines: Sequence[str], at: Point, scale: Scale, size: float = SMALL, layer: Layer = "words"
) -> Iterator[Words]:
    """Lines of text one under the other; `at` is the upper left corner of the first."""
    x, y = at
    for i, line in enumerate(lines):
        yield Words(layer, (x, y - scale.of_paper(size + i * LINE * size)), line, size, "start")


def deep(lines: Sequence[str], size: float = SMALL) -> float:
    """Height in mm on paper of lines of text."""
    return len(lines) * LINE * size
