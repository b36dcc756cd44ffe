"""Drawings: what a sheet is made of: views on pages, and tables; and what it is made from."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any, Literal, TypeAlias

from service.core.measure import Point, Unit
from service.core.records.code import Code
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.drawings.marks import Mark
from service.drawings.scales import Scale

Json: TypeAlias = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Subject:
    """A job to make sheets of. reply: the layout document, whose numbers and words are what sheets
    print; the records are where things stand and how large they are."""

    reply: Json
    deck: Deck
    kit: Kit
    code: Code | None
    layout: Layout


@dataclass(frozen=True, slots=True)
class Heading:
    """What every sheet says of its job. name: of the sheet; lines: of the title, the most
    important first; cautions: in full."""

    name: str
    lines: tuple[str, ...]
    cautions: tuple[str, ...]
    unit: Unit


@dataclass(frozen=True, slots=True)
class View:
    """One drawing at a scale. low, high: corners of the upright rectangle, in the deck's unit, that
    all of it lies in, its text included; heart: those without the words that stand beside, None
    where nothing does. in_model: the views that stand for it in a model without pages, None where
    that is itself."""

    title: str
    scale: Scale
    low: Point
    high: Point
    marks: tuple[Mark, ...]
    heart: tuple[Point, Point] | None = None
    in_model: tuple[View, ...] | None = None

    @property
    def size(self) -> tuple[float, float]:
        """Width and height in mm on paper."""
        (x0, y0), (x1, y1) = self.low, self.high
        return (x1 - x0) * self.scale.per_unit, (y1 - y0) * self.scale.per_unit


@dataclass(frozen=True, slots=True)
class Placed:
    """A view on a page. at: of its lower left corner, in mm from that of the page."""

    view: View
    at: Point

    def on_page(self, point: Point) -> Point:
        """Where a point of the view lies on the page, in mm from its lower left corner."""
        (x0, y0), k = self.view.low, self.view.scale.per_unit
        return self.at[0] + (point[0] - x0) * k, self.at[1] + (point[1] - y0) * k


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
    """A column of a table. name: as a heading; key: as a CSV header. only: the one use that it is
    for, None where it is for both."""

    key: str
    name: str
    align: Literal["left", "right"] = "left"
    only: Use | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of text. note: what is to be said under its title, or in place of rows where it has
    none. foot: rows of totals."""

    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    foot: tuple[tuple[str, ...], ...] = ()

    def shown(self, use: Use) -> Table:
        """The table with only the columns of a use; every writer takes it so.

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
