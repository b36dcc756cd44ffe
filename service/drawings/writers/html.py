"""Drawings: a sheet as one page of HTML, to look at and to print, which loads nothing from outside.

Drawings stand in it as SVG. In print a drawing's page is as large as the drawing, and lists are on
paper of the size usual with the document's unit.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape
from typing import Final

from service.cells import one_line
from service.drawings.marks import held
from service.drawings.pages import SIZES
from service.drawings.parts import Column, Heading, Page, Part, Table
from service.drawings.writers.svg import FONT, page_style, page_svg

_POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'"
_LONG: Final = re.compile(r"(\S{24})(?=\S)")
"""Where a long word may be broken, lest it make a column as wide as the page."""
_SHORT: Final = 12
"""The most rows of a table that is kept on one page."""
_STYLE: Final = (
    f"html{{font:11pt/1.35 {FONT};color:#1b2126;background:#fff}}"
    "body{margin:0 auto;padding:8mm;max-width:277mm}"
    "h1{font-size:17pt;line-height:1.2;margin:0}h2{font-size:12.5pt;margin:0}"
    "h1,h2,p,li,td,th{overflow-wrap:break-word}"
    "header p{margin:.5mm 0 0;font-size:9.5pt}header .sheet-name{font-size:12.5pt;font-weight:700}"
    "header .digest{font-family:'Liberation Mono','DejaVu Sans Mono',monospace;font-size:7.5pt}"
    ".cautions{border:.35mm solid #1b2126;margin:4mm 0;padding:2mm 4mm;font-size:8.5pt}"
    ".cautions h2{font-size:9.5pt}.cautions ul{margin:1mm 0 0;padding-inline-start:4mm}"
    "section{margin:5mm 0 0}section>p,caption p{margin:1mm 0 0;font-size:9pt;font-weight:400}"
    "table{border-collapse:collapse;width:100%;font-size:10pt}"
    "caption{text-align:start;margin:0 0 1.5mm}"
    "th,td{border:.18mm solid #8b959d;padding:.9mm 1.6mm;text-align:left;vertical-align:top;"
    "font-weight:400}"
    "thead th{background:#e8ebee;font-weight:700;font-size:9pt;vertical-align:bottom}"
    "tbody tr:nth-child(even)>*{background:#f6f7f8}"
    ".right{text-align:right;white-space:nowrap;font-variant-numeric:tabular-nums}"
    "thead .right{white-space:normal}tfoot td{font-weight:700;border-top:.5mm solid #1b2126}"
    "tfoot tr+tr td{border-top-width:.18mm}"
    ".drawing{margin:5mm 0 0}.drawing svg{display:block;width:100%;height:auto}"
)
_NARROW: Final = (
    "@media screen{section{overflow-x:auto}"
    "caption>*{position:sticky;left:0;width:fit-content;max-width:calc(100vw - 18mm)}}"
)
"""On a screen narrower than a table that table alone is moved sideways, and not what is said of
it."""
_PRINT: Final = (
    "@media print{html{font-size:10pt}body{padding:0;max-width:none}"
    "table,.cautions{width:auto;margin-inline:.5mm}table{min-width:calc(100% - 1mm)}"
    "table{font-size:9pt}thead{display:table-header-group}tfoot{display:table-row-group}"
    "tr,li,.cautions,.short{break-inside:avoid}h1,h2,caption,thead{break-after:avoid}"
    "thead th,tbody tr:nth-child(even)>*{-webkit-print-color-adjust:exact;"
    "print-color-adjust:exact}"
    ".drawing{page:drawing;margin:0;break-before:page;break-after:page;break-inside:avoid}}"
)


def write_html(heading: Heading, parts: Sequence[Part]) -> bytes:
    """A sheet as a page of HTML.

    All text is escaped; text that a caller or a kit sent has `dir="auto"`, so that the browser
    finds its direction.
    """
    title = escape(one_line(f"{heading.lines[0]}: {heading.name}"))
    body = "".join(_part(part) for part in parts)
    return (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{title}</title><style>{_style(heading, parts)}</style></head>"
        f"<body>{_header(heading)}<main>{body}</main></body></html>\n"
    ).encode()


def _style(heading: Heading, parts: Sequence[Part]) -> str:
    """The style sheet, with the paper sizes of lists and of drawings."""
    short, long = sorted(SIZES[heading.unit])
    rules = [f"@page{{size:{short}mm {long}mm;margin:12mm}}", _STYLE, _NARROW, _PRINT]
    pages = [part for part in parts if isinstance(part, Page)]
    if pages:
        width, height = pages[0].size
        paper = f"@page drawing{{size:{width}mm {height}mm;margin:0}}"
        drawn = f"@media print{{.drawing svg{{width:{width}mm;height:{height}mm}}}}"
        rules = [page_style(), *rules, paper, drawn]
    return "".join(rules)


def _header(heading: Heading) -> str:
    title, *rest = heading.lines
    *told, digest = rest or [""]
    lines = "".join(f'<p dir="auto">{_text(line)}</p>' for line in told if line)
    cautions = "".join(f"<li>{_text(caution)}</li>" for caution in heading.cautions)
    return (
        f'<header><h1 dir="auto">{_text(title)}</h1>'
        f'<p class="sheet-name">{_text(heading.name)}</p>{lines}'
        f'<p class="digest">{escape(one_line(digest))}</p></header>'
        f'<aside class="cautions"><h2>Read before anything is cut, ordered or built</h2>'
        f"<ul>{cautions}</ul></aside>"
    )


def _part(part: Part) -> str:
    if isinstance(part, Page):
        return f'<div class="drawing">{page_svg(part)}</div>'
    return _table(part.shown("print"))


def _table(table: Table) -> str:
    """A table below its title; without rows, its title and its note alone."""
    note = f"<p>{_text(held(table.note))}</p>" if table.note else ""
    if not table.rows:
        return f"<section><h2>{_text(table.title)}</h2>{note}</section>"
    caption = f"<caption><h2>{_text(table.title)}</h2>{note}</caption>"
    heads = "".join(
        f'<th scope="col"{_side(column)}>{_text(column.name)}</th>' for column in table.columns
    )
    rows = "".join(_row(table, row, ' scope="row"', ' dir="auto"') for row in table.rows)
    sums = "".join(_row(table, row) for row in table.foot)
    foot = f"<tfoot>{sums}</tfoot>" if sums else ""
    kind = ' class="short"' if len(table.rows) <= _SHORT else ""
    return (
        f"<section{kind}><table>{caption}<thead><tr>{heads}</tr></thead><tbody>{rows}</tbody>"
        f"{foot}</table></section>"
    )


def _row(table: Table, row: Sequence[str], header: str = "", more: str = "") -> str:
    """A row of a table, with no line break within a length; right-aligned cells never wrap.

    header: attributes of its first cell if that is the row's header; more: those of every cell.
    """
    cells = []
    for i, (column, text) in enumerate(zip(table.columns, row, strict=True)):
        name, own = ("th", header) if header and i == 0 else ("td", "")
        said = _text(text if column.align == "right" else held(text))
        cells.append(f"<{name}{own}{_side(column)}{more}>{said}</{name}>")
    return f"<tr>{''.join(cells)}</tr>"


def _side(column: Column) -> str:
    return ' class="right"' if column.align == "right" else ""


def _text(text: str) -> str:
    """Text escaped for an element, with a place to break in words longer than any usual one.

    >>> _text("Rails & <posts>"), _text("x" * 30)
    ('Rails &amp; &lt;posts&gt;', 'xxxxxxxxxxxxxxxxxxxxxxxx<wbr>xxxxxx')
    """
    return "<wbr>".join(escape(piece) for piece in _LONG.split(one_line(text)) if piece)
