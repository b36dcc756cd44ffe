"""Drawings: what a sheet is made of (pages with views, and tables) and what it is made from."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any, Literal, TypeAlias

from service.core.measure import Point, Unit
from service.core.order.ordering import Order
from service.core.records.code import Code
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.drawings.marks import Mark, Words, transformed
from service.drawings.points import Rect
from service.drawings.scales import Scale

Json: TypeAlias = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Subject:
    """A job to make sheets of.

    reply: the layout document, whose numbers and words are what sheets print. deck, kit, code,
    layout: the records, which say where things stand and how large they are. order: what is
    ordered, whose parts are those of the reply, row by row.
    """

    reply: Json
    deck: Deck
    kit: Kit
    code: Code | None
    layout: Layout
    order: Order


@dataclass(frozen=True, slots=True)
class Heading:
    """What every sheet says of its job.

    name: of the sheet, or of a list in the whole set. lines: of the title, the most important
    first. cautions: the reply's cautions in full.
    """

    name: str
    lines: tuple[str, ...]
    cautions: tuple[str, ...]
    unit: Unit


@dataclass(frozen=True, slots=True)
class View:
    """One drawing at a scale.

    box: the rectangle, in the deck's unit, that the whole view lies in, its text included.
    drawing_box: that of the drawing without the words that stand beside it, None where nothing
    stands beside it. in_model: the views that replace this one in a model
    without pages (DXF), empty where nothing does; None where the view itself goes into the model.
    """

    title: str
    scale: Scale
    box: Rect
    marks: tuple[Mark, ...]
    drawing_box: Rect | None = None
    in_model: tuple[View, ...] | None = None

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the view in mm on paper."""
        wide, tall = self.box.size
        return wide * self.scale.per_unit, tall * self.scale.per_unit

    @property
    def is_to_scale(self) -> bool:
        """Whether there is anything but words in the view."""
        return not all(isinstance(mark, Words) for mark in self.marks)


@dataclass(frozen=True, slots=True)
class Placed:
    """A view on a page. at: its lower left corner, in mm from the page's."""

    view: View
    at: Point

    def on_page(self, point: Point) -> Point:
        """Where a point of the view lies on the page, in mm from the page's lower left corner."""
        (x0, y0), k = self.view.box.low, self.view.scale.per_unit
        return self.at[0] + (point[0] - x0) * k, self.at[1] + (point[1] - y0) * k

    def marks(self) -> Iterator[Mark]:
        """The view's marks in mm on the page."""
        scale = self.view.scale.per_unit
        return (transformed(mark, self.on_page, scale) for mark in self.view.marks)


@dataclass(frozen=True, slots=True)
class Page:
    """A page of a drawing. size: in mm. strip: its frame and title, drawn in mm on the page."""

    size: tuple[float, float]
    title: str
    views: tuple[Placed, ...]
    strip: tuple[Mark, ...]


Use: TypeAlias = Literal["print", "data"]
"""What a table is written for: paper that a person reads, or a file that a program reads."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table.

    name: its heading in print; key: its CSV header. only: the one use that shows the column, None
    where both do.
    """

    key: str
    name: str
    align: Literal["left", "right"] = "left"
    only: Use | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text.

    note: a sentence printed under the title, or in place of the rows where there are none. foot:
    rows of totals.
    """

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    foot: tuple[tuple[str, ...], ...] = ()

    def shown(self, use: Use) -> Table:
        """The table with only the columns of one use; every writer calls this first.

        >>> wide = Table("", (Column("a", "A"), Column("b", "", only="data")), (("1", "2"),))
        >>> wide.shown("print").rows
        (('1',),)
        """
        kept = [i for i, column in enumerate(self.columns) if column.only in (None, use)]

        def row(cells: tuple[str, ...]) -> tuple[str, ...]:
            return tuple(cells[i] for i in kept)

        columns = tuple(self.columns[i] for i in kept)
        rows, foot = tuple(map(row, self.rows)), tuple(map(row, self.foot))
        return replace(self, columns=columns, rows=rows, foot=foot)


Part: TypeAlias = Page | Table
Maker: TypeAlias = Callable[[Subject, Heading], Iterable[Part]]
