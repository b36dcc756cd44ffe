"""Drawings: every sheet by its name, and every writer by its media type.

A new sheet is a module with its parts and a row here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from service.drawings.elevations.sheet import draw_elevations
from service.drawings.parts import Heading, Part, Subject
from service.drawings.plan import draw_plan
from service.drawings.writers.svg import write_svg

SVG: Final = "image/svg+xml"
PDF: Final = "application/pdf"
DXF: Final = "image/vnd.dxf"
CSV: Final = "text/csv"
HTML: Final = "text/html"

Maker: TypeAlias = Callable[[Subject, Heading], Iterable[Part]]
Writer: TypeAlias = Callable[[Heading, Sequence[Part]], bytes]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet. medias: what it can be had as, the usual one first; parts: how it is made."""

    name: str
    title: str
    medias: tuple[str, ...]
    parts: Maker


SHEETS: Final[dict[str, Sheet]] = {
    sheet.name: sheet
    for sheet in [
        Sheet("plan", "Plan", (SVG,), draw_plan),
        Sheet("elevations", "Elevations", (SVG,), draw_elevations),
    ]
}
_WRITERS: Final[dict[str, Writer]] = {SVG: write_svg}
SUFFIXES: Final = {SVG: "svg", PDF: "pdf", DXF: "dxf", CSV: "csv", HTML: "html"}


def make_sheet(name: str, media: str, subject: Subject) -> bytes:
    """A sheet as a file. name, media: of those in SHEETS."""
    sheet = SHEETS[name]
    heading = head(subject, sheet.title)
    return _WRITERS[media](heading, list(sheet.parts(subject, heading)))


def head(subject: Subject, name: str) -> Heading:
    """What every sheet of a job says of it."""
    reply = subject.reply
    code = reply.get("code")
    return Heading(
        name,
        (
            reply.get("title", "Deck guard"),
            f"Kit: {reply['kit']['title']}",
            f"Code: {code['title']}" if code else "Code: none asked for",
            f"Lengths in {reply['unit']}; release {reply['release']}",
            reply["digest"],
        ),
        tuple(reply["cautions"]),
        subject.deck.unit,
    )
