"""Drawings: views as DXF R12, at full size in the deck's own unit; the same bytes on every machine.

Views lie side by side, each over its title and the first where the deck document has it; what the
heading says is below them. R12 is what every program for drawings reads: lines, polylines, circles
and lines of text, a layer for each kind of mark, in letters of ASCII.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from service.core.measure import Length, Point, Unit
from service.drawings.looks import DASHES
from service.drawings.marks import (
    LARGE,
    NORMAL,
    SMALL,
    Anchor,
    Disc,
    Layer,
    Mark,
    Pattern,
    Stroke,
    Words,
)
from service.drawings.parts import Heading, Page, Part, View
from service.drawings.scales import Scale
from service.drawings.spelling import spelled

Tags: TypeAlias = Iterator[str]
COLOURS: Final[dict[Layer, int]] = {
    "deck": 7, "wall": 7, "joist": 43, "base": 252, "post": 7, "rail": 7, "picket": 7, "glass": 145,
    "block": 25, "stair": 7, "handrail": 195, "gate": 235, "dimension": 252, "words": 7, "paper": 7,
}  # fmt: skip
"""The colour index that is nearest to a layer's lines; 7, black on white and white on black, is
ink."""
LINES: Final[dict[Pattern, str]] = {"full": "CONTINUOUS", "dashed": "DASHED", "chain": "CENTER"}
APART: Final[dict[Unit, Length]] = {"in": 24.0, "mm": 600.0}
"""Between two views, in the deck's unit."""
MOST: Final = 250
"""Bytes of a text; R12 has 255 at most."""
_LETTERS: Final = 100
"""Of a line of what stands below the views."""
_ALIGN: Final[dict[Anchor, int]] = {"start": 0, "middle": 1, "end": 2}


@dataclass(frozen=True, slots=True)
class Laid:
    """A view in the model. moved: how far to the right of where its marks have it."""

    view: View
    moved: Length

    def at(self, point: Point) -> Point:
        """Where a point of the view lies in the model."""
        return point[0] + self.moved, point[1]


def write_dxf(heading: Heading, parts: Sequence[Part]) -> bytes:
    """All views of a sheet in one model; tables are not drawn."""
    views = [each.view for part in parts if isinstance(part, Page) for each in part.views]
    laid = tuple(_side_by_side(views))
    scale = views[0].scale if views else Scale(1, heading.unit)
    left = min((each.at(each.view.low)[0] for each in laid), default=0.0)
    right = max((each.at(each.view.high)[0] for each in laid), default=scale.of_paper(200.0))
    low = min((view.low[1] for view in views), default=0.0)
    high = max((view.high[1] for view in views), default=0.0)
    told = list(_told(heading, (left, low), scale))
    bottom = min(words.at[1] for words in told)
    tags = [
        *_header((left, bottom), (right, high), scale),
        *_tables((left, bottom), (right, high)),
        *_section("ENTITIES"),
    ]
    for each in laid:
        title = Words("paper", each.view.low, each.view.title, NORMAL, "start")
        for mark in (*each.view.marks, title):
            tags += _mark(mark, each)
    whole = Laid(View(heading.name, scale, (left, bottom), (right, high), ()), 0.0)
    for words in told:
        tags += _words(words, whole)
    return "".join([*tags, *_pair(0, "ENDSEC"), *_pair(0, "EOF")]).encode("ascii")


def _side_by_side(views: Sequence[View]) -> Iterator[Laid]:
    """Views from left to right, as high as they are."""
    end: Length | None = None
    for view in views:
        moved = 0.0 if end is None else end + APART[view.scale.unit] - view.low[0]
        yield Laid(view, moved)
        end = view.high[0] + moved


def _told(heading: Heading, corner: Point, scale: Scale) -> Iterator[Words]:
    """What the heading says, line by line below a corner."""
    x, y = corner
    named = (f"{heading.lines[0]}: {heading.name}", *heading.lines[1:], *heading.cautions)
    for i, text in enumerate(named):
        size = LARGE if i == 0 else SMALL
        for row in textwrap.wrap(text, _LETTERS):
            for piece in pieces(row):
                y -= scale.of_paper(1.8 * size)
                yield Words("paper", (x, y), piece, size, "start")


def pieces(text: str) -> Iterator[str]:
    """Text in pieces that a line of R12 holds once they are escaped.

    >>> [len(piece) for piece in pieces("甲" * 100)]
    [35, 35, 30]
    """
    piece, size = "", 0
    for letter in text:
        more = len(escaped(letter))
        if size + more > MOST:
            yield piece
            piece, size = "", 0
        piece, size = piece + letter, size + more
    if piece:
        yield piece


def escaped(text: str) -> str:
    r"""Text as one line of ASCII that says nothing but itself.

    What R12 reads as a sign within text (\U+..., ^J, %%d) is told by its code point, as is every
    letter that is not in ASCII; one beyond U+FFFF, or that cannot be seen, stands in brackets.

    >>> print(escaped("5° ½\n0\nEOF"), escaped("%%d 5% ^J"))
    5\U+00B0 \U+00BD 0 EOF \U+0025\U+0025d 5\U+0025 \U+005EJ
    """
    plain = spelled(text, lambda point: point <= 0xFFFF)
    return "".join(c if c.isascii() and c not in "\\^%" else f"\\U+{ord(c):04X}" for c in plain)


def _mark(mark: Mark, laid: Laid) -> Tags:
    if isinstance(mark, Stroke):
        yield from _stroke(mark, laid)
    elif isinstance(mark, Disc):
        yield from _entity("CIRCLE", mark.layer)
        yield from _place(10, laid.at(mark.at))
        yield from _pair(40, mark.radius)
    else:
        yield from _words(mark, laid)


def _stroke(mark: Stroke, laid: Laid) -> Tags:
    points = [laid.at(point) for point in mark.points]
    if len(points) == 2 and not mark.closed:
        yield from _entity("LINE", mark.layer, mark.pattern)
        yield from _place(10, points[0])
        yield from _place(11, points[1])
        return
    yield from _entity("POLYLINE", mark.layer, mark.pattern)
    yield from _pair(66, 1)
    yield from _place(10, (0.0, 0.0))
    yield from _pair(70, int(mark.closed))
    for point in points:
        yield from _entity("VERTEX", mark.layer)
        yield from _place(10, point)
    yield from _entity("SEQEND", mark.layer)


def _words(mark: Words, laid: Laid) -> Tags:
    begins, *more = [*pieces(mark.text), ""]
    text = escaped(begins[:-3] + "..." if more[:-1] else begins)
    if not text.strip():
        return
    yield from _entity("TEXT", mark.layer)
    yield from _place(10, laid.at(mark.at))
    yield from _pair(40, laid.view.scale.of_paper(mark.size))
    yield from _pair(1, text)
    if mark.turn:
        yield from _pair(50, mark.turn)
    yield from _pair(72, _ALIGN[mark.anchor])
    yield from _place(11, laid.at(mark.at))


def _entity(kind: str, layer: Layer, pattern: Pattern = "full") -> Tags:
    yield from _pair(0, kind)
    yield from _pair(8, layer.upper())
    if pattern != "full":
        yield from _pair(6, LINES[pattern])


def _header(low: Point, high: Point, scale: Scale) -> Tags:
    """Release, letters, extents, and how long a dash of a millimetre on paper is."""
    yield from _section("HEADER")
    for name, code, value in (("$ACADVER", 1, "AC1009"), ("$DWGCODEPAGE", 3, "ANSI_1252")):
        yield from _pair(9, name)
        yield from _pair(code, value)
    for name, point in (
        ("$EXTMIN", low), ("$EXTMAX", high), ("$LIMMIN", low), ("$LIMMAX", high)
    ):  # fmt: skip
        yield from _pair(9, name)
        yield from _place(10, point)
    yield from _pair(9, "$LTSCALE")
    yield from _pair(40, scale.of_paper(1.0))
    yield from _pair(0, "ENDSEC")


def _tables(low: Point, high: Point) -> Tags:
    """What a program opens at, line types, layers and the one style of text."""
    yield from _section("TABLES")
    yield from _table("VPORT", [_window(low, high)])
    yield from _table("LTYPE", [_line_type(pattern) for pattern in LINES])
    yield from _table(
        "LAYER", [_layer("0", 7), *(_layer(k.upper(), c) for k, c in COLOURS.items())]
    )
    yield from _table("STYLE", [_style()])
    yield from _pair(0, "ENDSEC")


def _window(low: Point, high: Point) -> Tags:
    """The view that a program opens at: all of the model."""
    wide, tall = max(high[0] - low[0], 1.0), max(high[1] - low[1], 1.0)
    yield from _named("VPORT", "*ACTIVE")
    for code, place in (
        (10, (0.0, 0.0)), (11, (1.0, 1.0)), (12, ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)),
    ):  # fmt: skip
        yield from _place(code, place)
    yield from _pair(40, max(tall, wide / 1.5) * 1.05)
    yield from _pair(41, 1.5)


def _line_type(pattern: Pattern) -> Tags:
    lengths = DASHES[pattern]
    yield from _named("LTYPE", LINES[pattern])
    yield from _pair(3, pattern)
    yield from _pair(72, 65)
    yield from _pair(73, len(lengths))
    yield from _pair(40, sum(lengths, 0.0))
    for i, length in enumerate(lengths):
        yield from _pair(49, -length if i % 2 else length)


def _layer(name: str, colour: int) -> Tags:
    yield from _named("LAYER", name)
    yield from _pair(62, colour)
    yield from _pair(6, LINES["full"])


def _style() -> Tags:
    yield from _named("STYLE", "STANDARD")
    for code, value in ((40, 0.0), (41, 1.0), (50, 0.0), (71, 0), (42, 1.0), (3, "txt"), (4, "")):
        yield from _pair(code, value)


def _table(name: str, rows: Sequence[Tags]) -> Tags:
    yield from _pair(0, "TABLE")
    yield from _pair(2, name)
    yield from _pair(70, len(rows))
    for row in rows:
        yield from row
    yield from _pair(0, "ENDTAB")


def _named(kind: str, name: str) -> Tags:
    yield from _pair(0, kind)
    yield from _pair(2, name)
    yield from _pair(70, 0)


def _section(name: str) -> Tags:
    yield from _pair(0, "SECTION")
    yield from _pair(2, name)


def _place(code: int, point: Point) -> Tags:
    yield from _pair(code, point[0])
    yield from _pair(code + 10, point[1])


def _pair(code: int, value: str | float) -> Tags:
    """A group code and its value; a length to a millionth, with no exponent and no minus nought."""
    text = f"{round(value, 6) + 0.0:.6f}" if isinstance(value, float) else str(value)
    yield f"{code}\n{text}\n"
