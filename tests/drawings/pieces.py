"""Small parts of sheets."""

from __future__ import annotations

from hypothesis import strategies as st

from service.core.measure import Point, Unit
from service.drawings.marks import Mark
from service.drawings.pages import SIZES
from service.drawings.parts import Column, Heading, Page, Placed, Table, View
from service.drawings.points import Rect
from service.drawings.scales import Scale

STRANGE = "Deck 甲板 😀 cafe\u0301 \u202eשל\x07\n0\nEOF"
"""Letters beyond the font and beyond 16 bits, an accent by itself, right-to-left text, controls."""
ANYTHING = st.text(st.characters(categories=("C", "L", "M", "N", "P", "S", "Z")), max_size=400)
"""Any text that a caller may write."""


def heading(title: str = "Back deck", unit: Unit = "in") -> Heading:
    """The heading of a sheet."""
    return Heading("Plan", (title, "Kit: square post"), ("Check every measure on site.",), unit)


def page(*marks: Mark, at: Point = (18.0, 60.0), ratio: int = 24, unit: Unit = "in") -> Page:
    """A page with one view, of 96 by 48 at most, and no strip."""
    view = View("Plan of main", Scale(ratio, unit), Rect((0.0, 0.0), (96.0, 48.0)), marks)
    return Page(SIZES[unit], view.title, (Placed(view, at),), ())


def table(count: int, note: str = "", title: str = "Rails") -> Table:
    """A table of `count` rows, each an id and its length as a tape reads it."""
    columns = (Column("id", "Id"), Column("cut", "To cut", "right"))
    return Table(title, columns, tuple((f"R{i + 1}", "4' 7 5/8\"") for i in range(count)), note)
