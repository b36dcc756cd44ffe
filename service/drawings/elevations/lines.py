"""Drawings: text set in lines, one under the other."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Sequence
from typing import Final

from service.core.measure import Point
from service.drawings.marks import (
    LETTER,
    SMALL,
    Layer,
    Words,
)
from service.drawings.scales import Scale

LINE: Final = 1.55
"""From one line of text to the next, by the height of a capital."""
_WITHIN: Final = re.compile(r"(?<=[0-9'x]) (?=[0-9])|(?<=[0-9]) (?=(?:mm|in|kg|lb|x|pickets?)\b)")
"""Spaces inside lengths and masses."""


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
