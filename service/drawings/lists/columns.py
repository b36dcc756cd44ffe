"""Drawings, lists: the columns of a list over a reply's records, in print and for programs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TypeAlias

from service.drawings.naming import called, plain
from service.drawings.parts import Column, Json, Table

Field: TypeAlias = tuple[Column, Callable[[Json], str]]
"""A column, and what a row's record has in it."""


def tabulate(
    title: str,
    fields: Sequence[Field],
    records: Iterable[Json],
    note: str,
    foot: Sequence[dict[str, str]] = (),
) -> Table:
    """A table with a row for each record. foot: rows of totals, each by the columns' keys."""
    return Table(
        title,
        tuple(column for column, _ in fields),
        tuple(tuple(write(record) for _, write in fields) for record in records),
        note,
        tuple(tuple(row.get(column.key, "") for column, _ in fields) for row in foot),
    )


def text(key: str, name: str) -> Field:
    """A text, as the reply has it; nothing where it has none."""
    return Column(key, name), lambda record: str(record.get(key, ""))


def count(key: str, name: str) -> Field:
    """A number, as plain decimals in print too."""
    return Column(key, name, "right"), lambda record: plain(record.get(key))


def data(key: str) -> Field:
    """A number, a text or a yes or no, for programs alone."""
    return Column(key, key, only="data"), lambda record: _value(record.get(key))


def length(key: str, name: str) -> tuple[Field, Field]:
    """A length: its tape reading, and for programs its number too."""
    reading = Column(f"{key}_text", name, "right")
    return data(key), (reading, lambda record: str(record.get(f"{key}_text", "")))


def amount(key: str, name: str, unit: str) -> tuple[Field, Field]:
    """An area or a mass of one: in print to three decimals, for programs as plain decimals."""
    column = Column(f"{key}_text", f"{name}, {unit}", "right", only="print")
    return data(key), (column, lambda record: f"{record[key]:.3f}")


def listed(key: str, name: str) -> tuple[Field, Field]:
    """Ids: in print as people call them, or as the record has them under `<key>_called`; for
    programs one by one, a space between."""

    def printed(record: Json) -> str:
        return str(record.get(f"{key}_called") or called(record.get(key, ())))

    return (
        (Column(key, name, only="print"), printed),
        (Column(key, key, only="data"), lambda record: " ".join(record.get(key, ()))),
    )


def _value(value: bool | float | str | None) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return value if isinstance(value, str) else plain(value)
