"""Drawings: pages as SVG, one under the other; the same bytes on every machine.

One formatter writes every number and one escaper every text.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from html import escape
from typing import Final, TypeAlias

from service.core.measure import Point
from service.drawings.marks import Disc, Mark, Pattern, Stroke
from service.drawings.parts import Heading, Page, Part, Placed

At: TypeAlias = Callable[[Point], Point]
FONT: Final = "'Liberation Sans','DejaVu Sans',Arial,Helvetica,sans-serif"
_STYLE: Final = (
    f"text{{font-family:{FONT};fill:#1b2126;stroke:none}}"
    "path,polyline,polygon{fill:none;stroke:#1b2126;stroke-width:.25;stroke-linejoin:round}"
    ".deck{stroke-width:.5}.deck.filled{fill:#f6f3ec}.wall{stroke-width:.35}"
    ".wall.filled{fill:#c8ced3}.joist{stroke:#a98f5d;stroke-width:.15}.base{stroke:#68727a}"
    ".base.filled{fill:#fff}.post.filled{fill:#39444d}.rail.filled{fill:#dfe4e8}"
    ".picket.filled{fill:#eef1f3}.picket{stroke-width:.15}.glass{stroke:#3d7488}"
    ".glass.filled{fill:#e3eff2}.block.filled{fill:#e2b48f}.block{stroke:#8a4b1f;stroke-width:.15}"
    ".stair{stroke-width:.25}.stair.filled{fill:#f6f3ec}.handrail{stroke:#5b3f8c;stroke-width:.4}"
    ".gate{stroke:#8c2f5b}.gate.filled{fill:#f6e7ef}.dimension{stroke:#68727a;stroke-width:.13}"
    "circle{stroke:none;fill:#1b2126}circle.block{fill:#8a4b1f}circle.dimension{fill:#68727a}"
    "text.dimension{fill:#323b42;stroke:none}.paper{stroke-width:.35}.sheet{fill:#fff;stroke:none}"
    ".dashed{stroke-dasharray:2 1}.chain{stroke-dasharray:5 1 1 1}"
)
_CAPITAL: Final = 0.72
"""Height of a capital by the size of the font."""
_PATTERNS: Final[dict[Pattern, str]] = {"full": "", "dashed": " dashed", "chain": " chain"}


def write_svg(heading: Heading, parts: Sequence[Part]) -> bytes:
    """All pages of a sheet in one picture, in mm."""
    pages = [part for part in parts if isinstance(part, Page)]
    width = max(page.size[0] for page in pages)
    height = sum(page.size[1] for page in pages)
    size = f"{_number(width)} {_number(height)}"
    body = "".join(_page(page, _above(pages, i)) for i, page in enumerate(pages))
    title = escape(f"{heading.lines[0]}: {heading.name}", quote=False)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" '
        f'width="{_number(width)}mm" height="{_number(height)}mm" role="img">'
        f"<title>{title}</title><style>{_STYLE}</style>{body}</svg>\n"
    ).encode()


def _above(pages: Sequence[Page], count: int) -> float:
    """Height in mm of so many first pages."""
    return sum(page.size[1] for page in pages[:count])


def page_svg(page: Page) -> str:
    """A page as an element to stand in another document."""
    width, height = (_number(side) for side in page.size)
    return (
        f'<svg class="page" viewBox="0 0 {width} {height}" role="img">'
        f"<title>{escape(page.title, quote=False)}</title>{_page(page, 0.0)}</svg>"
    )


def page_style() -> str:
    """The style sheet that pages are drawn by."""
    return _STYLE


def _page(page: Page, above: float) -> str:
    width, height = page.size
    sheet = f'<rect class="sheet" width="{_number(width)}" height="{_number(height)}"/>'
    marks = [_mark(mark, _down(height)) for mark in page.strip]
    for placed in page.views:
        marks += _view(placed, height)
    return f'<g transform="translate(0 {_number(above)})">{sheet}{"".join(marks)}</g>'


def _view(placed: Placed, height: float) -> Iterator[str]:
    per_unit = placed.view.scale.per_unit

    def at(point: Point) -> Point:
        x, y = placed.on_page(point)
        return x, height - y

    return (_mark(mark, at, per_unit) for mark in placed.view.marks)


def _down(height: float) -> At:
    """Where a point of a page lies in SVG, whose y runs down."""
    return lambda point: (point[0], height - point[1])


def _mark(mark: Mark, at: At, per_unit: float = 1.0) -> str:
    if isinstance(mark, Stroke):
        return _stroke(mark, at)
    x, y = (_number(place) for place in at(mark.at))
    if isinstance(mark, Disc):
        radius = _number(mark.radius * per_unit)
        return f'<circle class="{mark.layer}" cx="{x}" cy="{y}" r="{radius}"/>'
    turned = f' transform="rotate({_number(-mark.turn)} {x} {y})"' if mark.turn else ""
    anchor = "" if mark.anchor == "start" else f' text-anchor="{mark.anchor}"'
    return (
        f'<text class="{mark.layer}" x="{x}" y="{y}" font-size="{_number(mark.size / _CAPITAL)}"'
        f"{anchor}{turned}>{escape(mark.text, quote=False)}</text>"
    )


def _stroke(mark: Stroke, at: At) -> str:
    points = " ".join(",".join(map(_number, at(point))) for point in mark.points)
    name = "polygon" if mark.closed else "polyline"
    kind = f"{mark.layer}{' filled' if mark.filled else ''}{_PATTERNS[mark.pattern]}"
    return f'<{name} class="{kind}" points="{points}"/>'


def _number(value: float) -> str:
    """Millimetres to a hundredth, with no nought at the end and no minus nought.

    >>> _number(12.0), _number(0.333), _number(-0.001)
    ('12', '0.33', '0')
    """
    text = f"{round(value, 2) + 0.0:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
