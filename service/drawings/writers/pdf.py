"""Drawings: pages and tables as PDF, with the same bytes on every machine.

The file holds the letters used of one open font: Latin, Greek and Cyrillic. A letter that the font
lacks is replaced by plainer ones, else by its code point (`spelling`). Text that comes out wider
than drawings reckon with is drawn narrower.
"""

from __future__ import annotations

import io
import math
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Any, Final

from reportlab import rl_config
from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFInfo, PDFString
from reportlab.pdfbase.pdfmetrics import registerFont
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import FILL_NON_ZERO, Canvas
from ttf_opensans import OPENSANS_BOLD, OPENSANS_REGULAR

from service.core.measure import MM_PER_IN
from service.drawings.looks import CAPITAL, DASHES, LOOKS
from service.drawings.marks import LETTER, Disc, Mark, Stroke, Words, width_of
from service.drawings.parts import Heading, Page, Part, Table
from service.drawings.spelling import spelled
from service.drawings.tables import as_pages

POINT: Final = 72 / MM_PER_IN
"""Points, the unit of PDF, to a millimetre."""
EDGE: Final = 3.0
"""In mm, the distance that text keeps from the page's edges and from the lines of its strip."""
_FONTS: Final[dict[bool, Any]] = {
    strong: TTFont(font.name, str(font.path), asciiReadable=False)
    for strong, font in ((False, OPENSANS_REGULAR), (True, OPENSANS_BOLD))
}
"""The fonts of plain (False) and of bold (True) text."""
_LETTERS: Final = frozenset(
    point
    for point in frozenset.intersection(*(frozenset(f.face.charToGlyph) for f in _FONTS.values()))
    if not unicodedata.combining(chr(point))
)

# Streams are left binary: in ASCII they are a quarter longer.
rl_config.useA85 = 0
for _font in _FONTS.values():
    registerFont(_font)


class _Titled(PDFInfo):  # type: ignore[misc]
    """What a file says of itself: its title alone; a date that never moves would be false."""

    def format(self, document: Any) -> Any:
        """The document's information as a PDF dictionary."""
        return PDFDictionary({"Title": PDFString(self.title)}).format(document)


def write_pdf(heading: Heading, parts: Sequence[Part]) -> bytes:
    """All parts of a sheet as a PDF, each page with an entry in its outline."""
    written = io.BytesIO()
    canvas = Canvas(
        written,
        pageCompression=1,
        invariant=1,
        lang="en",
        initialFontName=OPENSANS_REGULAR.name,
        pdfVersion=(1, 4),
    )
    canvas._doc.info = _Titled()
    canvas.setTitle(spelled(f"{heading.lines[0]}: {heading.name}", lambda _: True))
    said = replace(heading, lines=tuple(map(_shown, heading.lines)))
    pages = as_pages(said, [_spelled(part) for part in parts])
    for i, page in enumerate(pages):
        canvas.setPageSize((page.size[0] * POINT, page.size[1] * POINT))
        canvas.bookmarkPage(f"page{i}")
        canvas.addOutlineEntry(_shown(page.title) or heading.name, f"page{i}")
        _draw(canvas, page)
        canvas.showPage()
    canvas.save()
    return written.getvalue()


def _shown(text: str) -> str:
    """Text in letters that both fonts have."""
    return spelled(text, _LETTERS.__contains__)


def _spelled(part: Part) -> Part:
    """A table for print in letters of the font, so that it is set out by what will be shown.

    Pages come back as they are.
    """
    if not isinstance(part, Table):
        return part
    part = part.shown("print")
    rows, foot = (tuple(tuple(map(_held, row)) for row in some) for some in (part.rows, part.foot))
    columns = tuple(replace(column, name=_shown(column.name)) for column in part.columns)
    return Table(_shown(part.title), columns, rows, _held(part.note), foot)


def _held(text: str) -> str:
    """Text in letters of the font, its no-break spaces kept."""
    return "\xa0".join(map(_shown, text.split("\xa0")))


def _draw(canvas: Canvas, page: Page) -> None:
    canvas.scale(POINT, POINT)
    canvas.setLineJoin(1)
    sides = list(_sides(page))
    for mark in page.strip:
        _mark(canvas, mark, _cell(mark, sides, page.size))
    for placed in page.views:
        for mark in placed.marks():
            if mark.layer in LOOKS:
                _mark(canvas, mark, _reach(mark, page.size))


def _sides(page: Page) -> Iterator[tuple[float, float, float]]:
    """The upright lines of a strip's frame: the x of each, and its lowest and highest y."""
    for stroke in page.strip:
        if isinstance(stroke, Stroke):
            for start, end in pairwise(stroke.points):
                if start[0] == end[0]:
                    yield start[0], min(start[1], end[1]), max(start[1], end[1])


def _cell(
    mark: Mark, sides: Sequence[tuple[float, float, float]], size: tuple[float, float]
) -> float:
    """The room in mm that text in a strip has: to the next upright line or the page's edge."""
    if isinstance(mark, Words) and mark.anchor == "start":
        x, y = mark.at
        ends = [side for side, low, high in sides if side > x and low <= y <= high]
        if ends:
            return min(ends) - x - EDGE
    return _reach(mark, size)


def _reach(mark: Mark, size: tuple[float, float]) -> float:
    """The room in mm that text has up to EDGE off the page's edge; 0 for marks that are no text."""
    if not isinstance(mark, Words):
        return 0.0
    turn = math.radians(mark.turn)
    direction = math.cos(turn), math.sin(turn)
    before, after = (
        min(
            (most - here if sign * there > 0 else here) / abs(there)
            for here, there, most in zip(mark.at, direction, size, strict=True)
            if abs(there) > 1e-9
        )
        - EDGE
        for sign in (-1, 1)
    )
    return {"start": after, "end": before, "middle": 2 * min(before, after)}[mark.anchor]


def _mark(canvas: Canvas, mark: Mark, room: float) -> None:
    """Draw a mark. room: what text has at most, in mm."""
    if isinstance(mark, Stroke):
        _stroke(canvas, mark)
    elif isinstance(mark, Disc):
        canvas.setFillColorRGB(*_rgb(LOOKS[mark.layer].disc))
        canvas.circle(*mark.at, mark.radius, stroke=0, fill=1)
    else:
        _words(canvas, mark, room)


def _stroke(canvas: Canvas, mark: Stroke) -> None:
    look = LOOKS[mark.layer]
    path = canvas.beginPath()
    for i, point in enumerate(mark.points):
        (path.lineTo if i else path.moveTo)(*point)
    if mark.closed:
        path.close()
    fill = bool(mark.filled and look.fill)
    if fill:
        canvas.setFillColorRGB(*_rgb(look.fill))
    canvas.setStrokeColorRGB(*_rgb(look.stroke))
    canvas.setLineWidth(look.width)
    canvas.setDash(list(DASHES[mark.pattern]))
    if look.covers < 1.0:
        canvas.setFillAlpha(look.covers)
    canvas.drawPath(path, stroke=int(look.width > 0), fill=int(fill), fillMode=FILL_NON_ZERO)
    if look.covers < 1.0:
        canvas.setFillAlpha(1.0)


def _words(canvas: Canvas, mark: Words, room: float) -> None:
    """Draw a line of text, cut short to its room and no wider than drawings reckon with."""
    font = _FONTS[mark.strong]
    size = mark.size / CAPITAL
    text = _cut(_shown(mark.text), max(1, int(room / (mark.size * LETTER))))
    wide = font.stringWidth(text, size)
    narrow = min(1.0, width_of(text, mark.size) / wide) if wide else 1.0
    back = {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * wide * narrow
    cos, sin = math.cos(math.radians(mark.turn)), math.sin(math.radians(mark.turn))
    x, y = mark.at[0] - back * cos, mark.at[1] - back * sin
    said = canvas.beginText()
    said.setTextTransform(narrow * cos, narrow * sin, -sin, cos, x, y)
    said.setFont(font.fontName, size)
    said.setFillColorRGB(*_rgb(LOOKS[mark.layer].words))
    said.textOut(text)
    canvas.drawText(said)


def _cut(text: str, letters: int) -> str:
    """Text of at most `letters` letters, ending in an ellipsis where it was longer."""
    return text if len(text) <= letters else text[: letters - 1] + "…"


def _rgb(colour: str) -> tuple[float, float, float]:
    """The red, green and blue of a colour, each from 0 to 1.

    >>> _rgb("#ff0033")
    (1.0, 0.0, 0.2)
    """
    red, green, blue = bytes.fromhex(colour[1:])
    return red / 255, green / 255, blue / 255
