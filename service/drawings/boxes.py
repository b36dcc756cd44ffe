"""Drawings: the boxes that marks lie in, text included."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Final

from service.core.measure import Point
from service.drawings.marks import LETTER, Mark, Stroke, Words, width_of
from service.drawings.points import Corners, Rect, extent
from service.drawings.scales import Scale

SINK: Final = 0.3
"""How far letters reach below their baseline, as a multiple of the height of a capital."""


NARROW: Final = {
    **dict.fromkeys("'ijl.,:;", 0.35),
    **dict.fromkeys(" ft()/-r", 0.5),
    '"': 0.56,
}
"""Usual width of the narrow letters, as a multiple of the height of a capital."""
BELOW: Final = frozenset("gjpqy,;()Q")
"""Letters that reach below their baseline."""


def box_of(words: Words, scale: Scale, spare: float = 0.0) -> Corners:
    """Corners, in the deck's unit, of the rectangle that words take up, turned with them.

    The width is that of `width_of`, which is generous. spare: mm added on every side.

    >>> words = Words("words", (0.0, 0.0), "55 1/2", 2.5, "start")
    >>> [(round(x, 2), round(y, 2)) for x, y in box_of(words, Scale(1, "mm"))]
    [(0.0, -0.75), (12.0, -0.75), (12.0, 2.5), (0.0, 2.5)]
    """
    return _turned(words, scale, sides_of(words, spare))


def ink_of(words: Words, scale: Scale, spare: float) -> Corners:
    """Corners of the rectangle that the letters themselves fill, a closer estimate than `box_of`.

    Narrow letters count as narrow, and the rectangle ends at the baseline where no letter reaches
    below it. spare: mm added on every side.

    >>> words = Words("words", (0.0, 0.0), "R1 1/2", 2.5, "start")
    >>> [(round(x, 2), round(y, 2)) for x, y in ink_of(words, Scale(1, "mm"), 0.0)]
    [(0.0, 0.0), (10.5, 0.0), (10.5, 2.5), (0.0, 2.5)]
    """
    width = sum(NARROW.get(letter, LETTER) for letter in words.text) * words.size
    sink = SINK * words.size if BELOW.intersection(words.text) else 0.0
    return _turned(words, scale, _sides(words, width, sink, spare))


def _turned(
    words: Words, scale: Scale, sides: tuple[tuple[float, float], tuple[float, float]]
) -> Corners:
    """Corners in the deck of a rectangle given in mm from the place of words, turned with them."""
    (left, right), (low, high) = sides
    angle = math.radians(words.turn)
    cos, sin = math.cos(angle) / scale.per_unit, math.sin(angle) / scale.per_unit
    x, y = words.at
    a, b, c, d = (
        (x + p * cos - q * sin, y + p * sin + q * cos)
        for p, q in Rect((left, low), (right, high)).corners
    )
    return a, b, c, d


def middle_of(words: Words, scale: Scale) -> Point:
    """The middle of the baseline of words.

    >>> middle_of(Words("words", (0.0, 0.0), "55 1/2", 2.5, "end"), Scale(1, "mm"))
    (-6.0, 0.0)
    """
    (start, end), _ = sides_of(words, 0.0)
    along, angle = scale.of_paper((start + end) / 2), math.radians(words.turn)
    return words.at[0] + along * math.cos(angle), words.at[1] + along * math.sin(angle)


def sides_of(words: Words, spare: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """Where words reach in mm from their place.

    The first pair is from and to along the baseline, the second low and high from it.
    """
    return _sides(words, width_of(words.text, words.size), SINK * words.size, spare)


def _sides(
    words: Words, width: float, sink: float, spare: float
) -> tuple[tuple[float, float], tuple[float, float]]:
    start = {"start": 0.0, "middle": -width / 2, "end": -width}[words.anchor]
    return (start - spare, start + width + spare), (-sink - spare, words.size + spare)


def extent_of(marks: Iterable[Mark], scale: Scale) -> Rect:
    """The least upright rectangle around marks.

    Words count with the box that they take up.

    >>> extent_of([Words("words", (0.0, 0.0), "B1", 2.5, "start")], Scale(10, "mm"))
    Rect(low=(0.0, -7.5), high=(40.0, 25.0))
    """
    return extent([point for mark in marks for point in corners_of(mark, scale)])


def corners_of(mark: Mark, scale: Scale) -> Sequence[Point]:
    """Points that span a mark: a stroke's own, or corners of the box of words or of a disc."""
    if isinstance(mark, Stroke):
        return mark.points
    if isinstance(mark, Words):
        return box_of(mark, scale)
    (x, y), r = mark.at, mark.radius
    return (x - r, y - r), (x + r, y + r)
