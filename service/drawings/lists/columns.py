"""Drawings, lists: the columns of a list over a reply's records, in print and for programs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TypeAlias

from service.drawings.naming import called, plain
from service.drawings.parts import Column, Json, Table

Field: TypeAlias = tuple[Column, Callable[[Json], str]]
"""A column, and the function that writes its cell from a row's record."""


def tabulate(
    title: str,
    fields: Sequence[Field],
    records: Iterable[Json],
    note: str,
    foot: Sequence[dict[str, str]] = (),
) -> Table:
    """A table with a row for each record. foot: rows of totals, each by the keys of columns."""
    return Table(
        title,
        tuple(column for column, _ in fields),
        tuple(tuple(write(record) for _, write in fields) for record in records),
        note,
        tuple(tuple(row.get(column.key, "") for column, _ in fields) for row in foot),
    )


def text(key: str, name: str) -> Field:
    """A column of text as the reply has it, empty where a record has none."""
    return Column(key, name), lambda record: str(record.get(key, ""))


def printed(key: str, name: str) -> Field:
    """A column of text in print alone."""
    return Column(key, name, only="print"), lambda record: str(record[key])


def count(key: str, name: str) -> Field:
    """A column of numbers, written as plain decimals in print too."""
    return Column(key, name, "right"), lambda record: plain(record.get(key))


def data(key: str) -> Field:
    """A column for programs alone, of numbers, texts or truth values."""
    return Column(key, key, only="data"), lambda record: _value(record.get(key))


def length(key: str, name: str) -> tuple[Field, Field]:
    """Two columns of a length: its number, for programs alone, and its tape reading."""
    reading = Column(f"{key}_text", name, "right")
    return data(key), (reading, lambda record: str(record.get(f"{key}_text", "")))


def amount(key: str, name: str, unit: str) -> tuple[Field, Field]:
    """Two columns of an area or a mass: a plain decimal for programs, three decimals in print."""
    column = Column(f"{key}_text", f"{name}, {unit}", "right", only="print")
    return data(key), (column, lambda record: f"{record[key]:.3f}")


def listed(key: str, name: str) -> tuple[Field, Field]:
    """Two columns of ids: in print as people call them, for programs one by one between spaces.

    A record may have the printed text itself, under `<key>_called`.
    """

    def by_name(record: Json) -> str:
        return str(record.get(f"{key}_called") or called(record.get(key, ())))

    return (
        (Column(key, name, only="print"), by_name),
        (Column(key, key, only="data"), lambda record: " ".join(record.get(key, ()))),
    )


def _value(value: bool | float | str | None) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return value if isinstance(value, str) else plain(value)
