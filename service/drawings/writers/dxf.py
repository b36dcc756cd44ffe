"""Drawings: views as DXF R12, at full size in the deck's own unit, the same bytes on every machine.

Views lie side by side, the first where the deck document has it, each with its title; the heading's
lines and cautions are below them. R12 is what every drawing program reads: lines, polylines,
circles and lines of text in ASCII, a layer for each kind of mark. The unit is given in the file's
header and in words on the drawing.
"""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Sequence
from typing import Final

from service.core.measure import TOUCH, Length, Point, Unit
from service.drawings.boxes import corners_of
from service.drawings.marks import (
    LARGE,
    SMALL,
    Anchor,
    Disc,
    Layer,
    Mark,
    Stroke,
    Words,
    transformed,
)
from service.drawings.parts import Heading, Page, Part, View
from service.drawings.points import Rect, extent
from service.drawings.scales import Scale
from service.drawings.spelling import spelled
from service.drawings.writers.tags import (
    COLOURS,
    LINES,
    UNITS,
    Tags,
    header,
    pair,
    place,
    section,
    tables,
)

APART: Final[dict[Unit, Length]] = {"in": 24.0, "mm": 600.0}
"""Distance between two views, in the deck's unit."""
MOST: Final = 250
"""The most bytes of a text; R12 allows 255."""
_SIGNS: Final = re.compile(r"%(?=%)|(?<=%)%|\^|\\(?=[UuMm]\+)")
BESIDE: Final[Layer] = "paper"
"""The layer of what is no part of the deck, so that all other layers hold the deck alone."""
_LETTERS: Final = 100
"""The most letters of a line below the views."""
_ALIGN: Final[dict[Anchor, int]] = {"start": 0, "middle": 1, "end": 2}


def write_dxf(heading: Heading, parts: Sequence[Part]) -> bytes:
    """All views of a sheet in one model; tables are not drawn."""
    paged = [each.view for part in parts if isinstance(part, Page) for each in part.views]
    views = [
        view for each in paged for view in ((each,) if each.in_model is None else each.in_model)
    ]
    scale = views[0].scale if views else Scale(1, heading.unit)
    laid = list(_side_by_side(views))
    ends = [(x + moved, y) for view, moved in laid for x, y in view.box]
    around = extent(ends or [(0.0, 0.0), (scale.of_paper(200.0), 0.0)])
    told = list(_told(heading, around.low, scale))
    whole = Rect((around.low[0], min(words.at[1] for words in told)), around.high)
    tags = [*header(whole, scale), *tables(whole), *section("ENTITIES")]
    for view, moved in laid:
        tags += _view(view, moved)
    for words in told:
        tags += _words(words, scale, BESIDE)
    return "".join([*tags, *pair(0, "ENDSEC"), *pair(0, "EOF")]).encode("ascii")


def _side_by_side(views: Sequence[View]) -> Iterator[tuple[View, Length]]:
    """Views from left to right, each with how far it is moved to the right of its own place."""
    end: Length | None = None
    for view in views:
        moved = 0.0 if end is None else end + APART[view.scale.unit] - view.box.low[0]
        yield view, moved
        end = view.box.high[0] + moved


def _view(view: View, moved: Length) -> Tags:
    """The marks of a view, moved to the right; those beside its drawing are on a layer apart."""
    for mark in view.marks:
        if mark.layer in COLOURS:
            layer = BESIDE if _is_beside(mark, view) else mark.layer
            placed = transformed(mark, lambda point: (point[0] + moved, point[1]))
            yield from _mark(placed, view.scale, layer)


def _is_beside(mark: Mark, view: View) -> bool:
    """Whether a mark stands beside the drawing and is no part of it: notes, scale bar, key."""
    if view.drawing_box is None:
        return False
    return not view.drawing_box.grown(TOUCH).has(corners_of(mark, view.scale)[0])


def _told(heading: Heading, corner: Point, scale: Scale) -> Iterator[Words]:
    """The heading's lines and cautions, one below the other from a corner down."""
    x, y = corner
    full = f"Drawn at full size: one unit is one {UNITS[heading.unit][0]}."
    named = (f"{heading.lines[0]}: {heading.name}", full, *heading.lines[1:], *heading.cautions)
    for i, text in enumerate(named):
        size = LARGE if i == 0 else SMALL
        for row in textwrap.wrap(plain_text(text), _LETTERS):
            for piece in pieces(row):
                y -= scale.of_paper(1.8 * size)
                yield Words("paper", (x, y), piece, size, "start")


def pieces(plain: str) -> Iterator[str]:
    """Plain text in pieces, each of which fits a line of R12 once it is escaped.

    >>> [len(piece) for piece in pieces("甲" * 100)]
    [35, 35, 30]
    """
    piece, size = "", 0
    for letter in plain:
        more = len(escaped(letter))
        if size + more > MOST:
            yield piece
            piece, size = "", 0
        piece, size = piece + letter, size + more
    if piece:
        yield piece


def plain_text(text: str) -> str:
    r"""Text as one line in which nothing is read as a control sign.

    What cannot be seen, letters beyond U+FFFF, and what R12 reads as a sign within text (%%d, ^J,
    \U+00B0) are replaced by code points in brackets, which every reader leaves alone.

    >>> plain_text("5%\n0\nEOF"), plain_text("%%d ^J")
    ('5% 0 EOF', '[U+0025][U+0025]d [U+005E]J')
    """
    shown = spelled(text, lambda point: point <= 0xFFFF)
    return _SIGNS.sub(lambda found: f"[U+{ord(found[0]):04X}]", shown)


def escaped(plain: str) -> str:
    r"""Plain text in ASCII, with R12's escapes for other letters.

    >>> print(escaped("5° ½"))
    5\U+00B0 \U+00BD
    """
    return "".join(c if c.isascii() else f"\\U+{ord(c):04X}" for c in plain)


def _mark(mark: Mark, scale: Scale, layer: Layer) -> Tags:
    """A mark on a layer, in the colour of the mark's own layer."""
    if isinstance(mark, Stroke):
        yield from _stroke(mark, layer)
    elif isinstance(mark, Disc):
        yield from _entity("CIRCLE", mark, layer)
        yield from place(10, mark.at)
        yield from pair(40, mark.radius)
    else:
        yield from _words(mark, scale, layer)


def _stroke(mark: Stroke, layer: Layer) -> Tags:
    points = mark.points
    if len(points) == 2 and not mark.closed:
        yield from _entity("LINE", mark, layer)
        yield from place(10, points[0])
        yield from place(11, points[1])
        return
    yield from _entity("POLYLINE", mark, layer)
    yield from pair(66, 1)
    yield from place(10, (0.0, 0.0))
    yield from pair(70, int(mark.closed))
    for point in points:
        yield from _on_layer("VERTEX", layer)
        yield from place(10, point)
    yield from _on_layer("SEQEND", layer)


def _words(mark: Words, scale: Scale, layer: Layer) -> Tags:
    begins, *more = [*pieces(plain_text(mark.text)), ""]
    text = escaped(begins[:-3] + "..." if more[:-1] else begins)
    if not text.strip():
        return
    yield from _entity("TEXT", mark, layer)
    yield from place(10, mark.at)
    yield from pair(40, scale.of_paper(mark.size))
    yield from pair(1, text)
    if mark.turn:
        yield from pair(50, mark.turn)
    yield from pair(72, _ALIGN[mark.anchor])
    yield from place(11, mark.at)


def _entity(kind: str, mark: Mark, layer: Layer) -> Tags:
    """The beginning of an entity: its layer, and its line type and colour if not the layer's."""
    yield from _on_layer(kind, layer)
    if isinstance(mark, Stroke) and mark.pattern != "full":
        yield from pair(6, LINES[mark.pattern])
    if COLOURS[mark.layer] != COLOURS[layer]:
        yield from pair(62, COLOURS[mark.layer])


def _on_layer(kind: str, layer: Layer) -> Tags:
    yield from pair(0, kind)
    yield from pair(8, layer.upper())
