"""Drawings: text set in lines, one below the other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from service.core.measure import Point
from service.drawings.marks import SMALL, Words
from service.drawings.scales import Scale

LINE: Final = 1.55
"""From one line of text to the next, as a multiple of the height of a capital."""


def set_lines(
    lines: Sequence[str], at: Point, scale: Scale, size: float = SMALL
) -> Iterator[Words]:
    """Lines of text one below the other. at: the upper left corner of the first."""
    x, y = at
    for i, line in enumerate(lines):
        yield Words("words", (x, y - scale.of_paper(size + i * LINE * size)), line, size, "start")


def deep(lines: Sequence[str], size: float = SMALL) -> float:
    """The height of lines of text in mm on paper."""
    return len(lines) * LINE * size
