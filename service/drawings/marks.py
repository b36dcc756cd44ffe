"""Drawings: the marks that a drawing is made of, in no file format.

The marks of a view lie in the deck's own unit, x to the right and y up. The size of text is its
height on paper, at whatever scale the view is drawn.
"""

from __future__ import annotations

import re
import textwrap
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import accumulate
from typing import Final, Literal, TypeAlias

from service.core.measure import Degrees, Length, Point
from service.drawings.points import Rect

Layer: TypeAlias = Literal[
    "deck", "wall", "joist", "base", "post", "rail", "picket", "glass", "block", "stair",
    "handrail", "gate", "dimension", "words", "paper", "outline", "veil",
]  # fmt: skip
"""What a mark shows, however it is drawn.

`deck` is the outlines of walking surfaces; `wall` is what is solid; `block` is what stands or lies
under or in a bay (setting blocks, supports, weep holes, blocking in the timber); `paper` is the
frame and title of a page; `outline` is the whole walking surface, for programs, without ink; `veil`
lies between words and a line under them, for ink alone. A writer draws only the layers that its
table names.
"""
Anchor: TypeAlias = Literal["start", "middle", "end"]
Pattern: TypeAlias = Literal["full", "dashed", "chain"]

SMALL: Final = 1.8
NORMAL: Final = 2.5
LARGE: Final = 3.5
"""Heights of capitals in mm on paper (ISO 3098 has 1.8, 2.5 and 3.5)."""
LETTER: Final = 0.8
"""Width of a letter as a multiple of the height of a capital.

It is on the safe side for the fonts that drawings are written in.
"""
_WITHIN: Final = re.compile(
    r"(?<=[0-9'x]) (?=[0-9])|(?<=[0-9]) (?=(?:mm|in|kg|lb|x|pickets?|risers?)\b)"
)
"""The spaces inside lengths and masses, and between a count and what is counted."""
_COMMON: Final = re.compile(r"[\u0000-\u052f\u2000-\u22ff]")
"""Letters of Latin, Greek and Cyrillic, with the usual signs and marks."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """Straight lines from point to point.

    closed: whether a line runs back to the first point. filled: whether the mark is a shape rather
    than only its edge (closed strokes only). under, leads_to: the words that the stroke lies under,
    or leads to; it is shown where those words are, and only there.
    """

    layer: Layer
    points: tuple[Point, ...]
    closed: bool = False
    filled: bool = False
    pattern: Pattern = "full"
    under: Words | None = None
    leads_to: Words | None = None

    @property
    def ends(self) -> tuple[Point, ...]:
        """The points of the line; of a closed one the first again at the end."""
        return (*self.points, self.points[0]) if self.closed else self.points


@dataclass(frozen=True, slots=True)
class Disc:
    """A filled circle."""

    layer: Layer
    at: Point
    radius: Length


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text, whose baseline begins, has its middle, or ends at `at`, as `anchor` says.

    size: height of its capitals in mm on paper. turn: degrees counter-clockwise. strong: in bold.
    """

    layer: Layer
    at: Point
    text: str
    size: float = NORMAL
    anchor: Anchor = "middle"
    turn: Degrees = 0.0
    strong: bool = False


Mark: TypeAlias = Stroke | Disc | Words


def box(
    layer: Layer, low: Point, high: Point, pattern: Pattern = "full", *, filled: bool = False
) -> Stroke:
    """An upright rectangle from its lower left and its upper right corner."""
    return Stroke(layer, Rect(low, high).corners, pattern=pattern, closed=True, filled=filled)


def line(layer: Layer, start: Point, end: Point, pattern: Pattern = "full") -> Stroke:
    """A straight line."""
    return Stroke(layer, (start, end), pattern=pattern)


def transformed(mark: Mark, at: Callable[[Point], Point], scale: float = 1.0) -> Mark:
    """A mark moved and scaled. at: where each point goes; scale: of its circles, not of its text.

    >>> transformed(Disc("block", (2.0, 0.0), 1.0), lambda point: (point[0] / 2, 5.0), 0.5)
    Disc(layer='block', at=(1.0, 5.0), radius=0.5)
    """
    if isinstance(mark, Stroke):
        return replace(mark, points=tuple(map(at, mark.points)))
    if isinstance(mark, Disc):
        return replace(mark, at=at(mark.at), radius=mark.radius * scale)
    return replace(mark, at=at(mark.at))


def width_of(words: str, size: float) -> float:
    """Estimated width of a line of text in mm on paper, a little more than common fonts take.

    A letter that is neither Latin, Greek nor Cyrillic counts as its code point in brackets, which
    stands for it where a font lacks it.

    >>> width_of("55 1/2", 2.5), width_of("Säule 甲", 2.5)
    (12.0, 28.0)
    """
    return _count(words) * size * LETTER


def _count(words: str) -> int:
    """How many letters a line of text has at the most, whatever letters its font lacks."""
    if words.isascii():
        return len(words)
    return sum(1 if _COMMON.match(letter) else len(f"[U+{ord(letter):04X}]") for letter in words)


def most_width(words: str, size: float) -> float:
    """A width in mm on paper that a line of text does not exceed, whatever letters a caller sent.

    >>> most_width("55 1/2", 2.5), most_width("WW", 2.0), most_width("甲", 2.0)
    (12.0, 6.0, 3.0)
    """
    return sum(map(_letter, words)) * size


def _letter(letter: str) -> float:
    """Width of a letter as a multiple of the height of a capital."""
    if letter in "W@" or unicodedata.east_asian_width(letter) in "WF":
        return 1.5
    if letter in "Mm%&…":
        return 1.25
    return 1.0 if letter.isupper() or letter == "w" else LETTER


def clipped(words: str, size: float, width: float) -> str:
    """Text cut short to a width in mm on paper, ending in an ellipsis where it was cut.

    >>> clipped("Back deck against the house", 2.5, 26.0)
    'Back deck a…'
    """
    if most_width(words, size) <= width:
        return words
    room, kept = width - most_width("…", size), 0
    for reach in accumulate(_letter(letter) * size for letter in words):
        if reach > room:
            break
        kept += 1
    return words[:kept] + "…"


def held(text: str) -> str:
    """Text with the spaces inside its lengths and masses made no-break, so that no line ends there.

    >>> held("2 of 1200 mm").split(" ")
    ['2', 'of', '1200\\xa0mm']
    """
    return _WITHIN.sub("\u00a0", text)


def lines_in(text: str, width: float, size: float = SMALL) -> list[str]:
    """Text broken into lines no wider than `width` mm on paper.

    No line ends within a length or within a range such as 0-3. A word longer than a line is broken,
    after a hyphen if it has one there.

    >>> lines_in("one two three", 14.4)
    ['one two', 'three']
    >>> lines_in("cut to 11 x 3 3/4", 20.0), lines_in("on edges 0-3", 12.0)
    (['cut to', '11 x 3 3/4'], ['on edges', '0-3'])
    >>> lines_in("flight steps-to-the-garden, down", 14 * 1.44), lines_in("a bcdefgh", 4 * 1.44)
    (['flight', 'steps-to-the-', 'garden, down'], ['a', 'bcde', 'fgh'])
    """
    count = max(1, int(width / (size * LETTER) + 1e-9))
    words = (piece for word in held(text).split(" ") for piece in _pieces(word, count))
    rows = textwrap.wrap(" ".join(words), count, break_on_hyphens=False)
    return [row.replace("\u00a0", " ") for row in rows]


def _pieces(word: str, most: int) -> Iterator[str]:
    """A word longer than a line in pieces that end in its hyphens, or fill lines where it has none.

    No two of them that follow each other have room on one line.
    """
    while len(word) > most:
        end = word.rfind("-", 0, most) + 1 or most
        yield word[:end]
        word = word[end:]
    yield word
