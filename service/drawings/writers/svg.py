"""Drawings: pages as SVG, one below the other, with the same bytes on every machine.

`number` writes every number and `_text` escapes every text.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from itertools import accumulate
from typing import Final

from service.cells import one_line
from service.drawings.looks import CAPITAL, DASHES, INK, LOOKS, PAPER, Look
from service.drawings.marks import Disc, Layer, Mark, Pattern, Stroke
from service.drawings.pages import MARGIN, STRIP
from service.drawings.parts import Heading, Page, Part

FONT: Final = "'Liberation Sans','DejaVu Sans',Arial,Helvetica,sans-serif"
AROUND: Final = 2.0
"""In mm, the room around the drawing box of a view that is shown by itself."""
_PATTERNS: Final[dict[Pattern, str]] = {"full": "", "dashed": " dashed", "chain": " chain"}


def write_svg(heading: Heading, parts: Sequence[Part]) -> bytes:
    """All pages of a sheet in one picture, in mm.

    Its SVG view `drawing-1` shows what the first page draws, without title and side notes; each
    further page has one likewise. A view's title is that of its page.
    """
    pages = [part for part in parts if isinstance(part, Page)]
    width = max(page.size[0] for page in pages)
    *above, height = accumulate((page.size[1] for page in pages), initial=0.0)
    size = f"{number(width)} {number(height)}"
    placed = list(zip(pages, above, strict=True))
    views = "".join(_named(i + 1, *each) for i, each in enumerate(placed))
    body = views + "".join(_page(page, top) for page, top in placed)
    title = _text(f"{heading.lines[0]}: {heading.name}")
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" '
        f'width="{number(width)}mm" height="{number(height)}mm" role="img">'
        f"<title>{title}</title><style>{_STYLE}</style>{body}</svg>\n"
    ).encode()


def _named(nth: int, page: Page, above: float) -> str:
    """A named SVG view of what a page draws: its only view's drawing box, or else all its room."""
    (wide, tall), edge = page.size, MARGIN
    left, low, right, high = edge, edge + STRIP, wide - edge, tall - edge
    if len(page.views) == 1 and page.views[0].view.drawing_box:
        (x0, y0), (x1, y1) = map(page.views[0].on_page, page.views[0].view.drawing_box)
        left, right = max(left, x0 - AROUND), min(right, x1 + AROUND)
        low, high = max(low, y0 - AROUND), min(high, y1 + AROUND)
    place = " ".join(map(number, (left, above + tall - high, right - left, high - low)))
    return f'<view id="drawing-{nth}" viewBox="{place}"><title>{_text(page.title)}</title></view>'


def page_svg(page: Page) -> str:
    """A page as an element that stands in another document."""
    width, height = (number(side) for side in page.size)
    return (
        f'<svg class="page" viewBox="0 0 {width} {height}" role="img">'
        f"<title>{_text(page.title)}</title>{_page(page, 0.0)}</svg>"
    )


def page_style() -> str:
    """The style sheet that pages are drawn with."""
    return _STYLE


def _style() -> str:
    """The style sheet: each look as rules for the classes that marks carry.

    The classes of a mark are its layer and, where they apply, `filled`, a pattern and `strong`.
    """
    dashes = "".join(
        f".{name}{{stroke-dasharray:{' '.join(map(number, lengths))}}}"
        for name, lengths in DASHES.items()
        if lengths
    )
    return (
        f"text{{font-family:{FONT}}}text,circle{{fill:{INK}}}"
        "polyline,polygon{fill:none;stroke-linejoin:round}"
        f"{''.join(_rules(layer, look) for layer, look in LOOKS.items())}"
        "text[class],circle[class]{stroke:none}.strong{font-weight:bold}"
        f".sheet{{fill:{PAPER}}}{dashes}"
    )


def _rules(layer: Layer, look: Look) -> str:
    fills = {f".{layer}.filled": look.fill, f"circle.{layer}": look.disc}
    fills[f"text.{layer}"] = look.words
    told = (f"{which}{{fill:{fill}}}" for which, fill in fills.items() if fill not in ("", INK))
    thin = f".{layer}.filled{{fill-opacity:{number(look.covers)}}}" if look.covers < 1.0 else ""
    line = f".{layer}{{stroke:{look.stroke};stroke-width:{number(look.width)}}}"
    return line + "".join(told) + thin


def _page(page: Page, above: float) -> str:
    """A page with its upper edge `above` mm below the picture's."""
    width, height = page.size
    sheet = f'<rect class="sheet" width="{number(width)}" height="{number(height)}"/>'
    marks = [mark for each in (page.strip, *(view.marks() for view in page.views)) for mark in each]
    drawn = "".join(_mark(mark, height) for mark in marks if mark.layer in LOOKS)
    return f'<g transform="translate(0 {number(above)})">{sheet}{drawn}</g>'


def _mark(mark: Mark, height: float) -> str:
    """A mark of a page. height: of the page in mm, as y runs down in SVG."""
    if isinstance(mark, Stroke):
        return _stroke(mark, height)
    x, y = number(mark.at[0]), number(height - mark.at[1])
    if isinstance(mark, Disc):
        return f'<circle class="{mark.layer}" cx="{x}" cy="{y}" r="{number(mark.radius)}"/>'
    turned = f' transform="rotate({number(-mark.turn)} {x} {y})"' if mark.turn else ""
    anchor = "" if mark.anchor == "start" else f' text-anchor="{mark.anchor}"'
    kind = f"{mark.layer}{' strong' if mark.strong else ''}"
    return (
        f'<text class="{kind}" x="{x}" y="{y}" font-size="{number(mark.size / CAPITAL)}"'
        f"{anchor}{turned}>{_text(mark.text)}</text>"
    )


def _stroke(mark: Stroke, height: float) -> str:
    points = " ".join(f"{number(x)},{number(height - y)}" for x, y in mark.points)
    name = "polygon" if mark.closed else "polyline"
    kind = f"{mark.layer}{' filled' if mark.filled else ''}{_PATTERNS[mark.pattern]}"
    return f'<{name} class="{kind}" points="{points}"/>'


def _text(text: str) -> str:
    """Text escaped for an element."""
    return escape(one_line(text), quote=False)


def number(value: float) -> str:
    """Millimetres to a hundredth, without trailing zeros or a minus zero.

    >>> number(12.0), number(0.333), number(-0.001)
    ('12', '0.33', '0')
    """
    text = f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


_STYLE: Final = _style()
