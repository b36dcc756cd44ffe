"""Drawings: every sheet by its name, and every writer by its media type.

`make_sheet` is the main entry. A new sheet is a module with its parts and a row here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

from service.drawings.elevations.sheet import draw_elevations, draw_shapes
from service.drawings.job import make_job
from service.drawings.lists.buying import parts_list
from service.drawings.lists.cutting import cut_list
from service.drawings.lists.glazing import glass_order
from service.drawings.pages import check_count
from service.drawings.parts import Heading, Maker, Page, Part, Subject
from service.drawings.plans.sheet import draw_plan
from service.drawings.writers.csv import write_csv
from service.drawings.writers.dxf import write_dxf
from service.drawings.writers.html import write_html
from service.drawings.writers.pdf import write_pdf
from service.drawings.writers.svg import write_svg

SVG: Final = "image/svg+xml"
PDF: Final = "application/pdf"
DXF: Final = "image/vnd.dxf"
CSV: Final = "text/csv"
HTML: Final = "text/html"

Writer: TypeAlias = Callable[[Heading, Sequence[Part]], bytes]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet that can be asked for.

    words: what is on it; medias: the media types that it comes in, the usual one first; parts: what
    makes its parts.
    """

    name: str
    title: str
    words: str
    medias: tuple[str, ...]
    parts: Maker


def _glass_with_shapes(subject: Subject, heading: Heading) -> Iterator[Part]:
    """The tables of the glass order, then the pages with the shapes of raked panels.

    The whole set takes the tables alone, as its elevations already draw the shapes.
    """
    yield from glass_order(subject, heading)
    yield from draw_shapes(subject, replace(heading, name="Raked panels"))


SHEETS: Final[dict[str, Sheet]] = {
    sheet.name: sheet
    for sheet in [
        Sheet(
            "plan",
            "Plan",
            "each level from above: posts by running marks, rails, openings, flights, joists",
            (SVG, PDF, DXF),
            draw_plan,
        ),
        Sheet(
            "elevations",
            "Elevations",
            "each run, flight and gate from outside: cuts, pickets, panels, blocks, weep holes",
            (SVG, PDF, DXF),
            draw_elevations,
        ),
        Sheet(
            "cut-list",
            "Cut list",
            "what to cut, the sticks that it comes out of, posts cut down, blocking",
            (CSV, HTML, PDF),
            cut_list,
        ),
        Sheet(
            "glass-order",
            "Glass order",
            "panels by mark: sizes, shapes, masses, setting blocks; raked ones drawn",
            (CSV, HTML, PDF),
            _glass_with_shapes,
        ),
        Sheet(
            "parts",
            "Parts list",
            "what to buy, and the quote where prices were sent",
            (CSV, HTML, PDF),
            parts_list,
        ),
        Sheet(
            "job",
            "Whole set",
            "all of these for print, after what to look at first and with the posts to set and the "
            "bays to measure",
            (PDF, HTML),
            make_job,
        ),
    ]
}
MEDIAS: Final = {name: sheet.medias for name, sheet in SHEETS.items()}
_WRITERS: Final[dict[str, Writer]] = {
    SVG: write_svg,
    PDF: write_pdf,
    DXF: write_dxf,
    CSV: write_csv,
    HTML: write_html,
}
_UNITS: Final = {"in": "inches", "mm": "millimetres"}
_NAMED: Final = 6
"""The most amended figures that a title names; of the rest it says how many there are."""
SUFFIXES: Final = {SVG: "svg", PDF: "pdf", DXF: "dxf", CSV: "csv", HTML: "html"}


def make_sheet(name: str, media: str, subject: Subject) -> bytes:
    """A sheet as the bytes of a file.

    name, media: as in SHEETS. Raises TooLarge where the sheet comes to more pages of drawings than
    the published limit.
    """
    sheet = SHEETS[name]
    heading = head(subject, sheet.title)
    parts = list(sheet.parts(subject, heading))
    check_count(sum(isinstance(part, Page) for part in parts))
    return _WRITERS[media](heading, parts)


def head(subject: Subject, name: str) -> Heading:
    """The heading of a sheet of a job. name: the sheet's title."""
    reply = subject.reply
    code = reply.get("code")
    figures = subject.code.figures.values() if subject.code is not None else ()
    amended = [figure.name.replace("_", " ") for figure in figures if figure.amended]
    return Heading(
        name,
        (
            reply.get("title", "Deck guard"),
            f"Kit: {reply['kit']['title']}",
            f"Code: {code['title']}, {code['edition']}" if code else "Code: none asked for",
            *([f"Amended by the local authority: {_some(amended)}"] if amended else []),
            f"Lengths in {_UNITS[reply['unit']]}; release {reply['release']}",
            reply["digest"],
        ),
        tuple(reply["cautions"]),
        subject.deck.unit,
    )


def _some(names: Sequence[str]) -> str:
    """Names joined by commas, ending in how many more there are than a title has room for.

    >>> _some(["guard height"]), _some(list("abcdefgh"))
    ('guard height', 'a, b, c, d, e, f and 2 more')
    """
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    return ", ".join(names[:_NAMED]) + more
