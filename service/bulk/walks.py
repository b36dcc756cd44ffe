"""Bulk: tape walks from a CSV file, a deck a row, as deck documents (`read_walks`).

Cells go into the document unchecked, numbers as numbers, so a faulty cell gets the same refusal as
the document itself would, with the place in the document.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final, TypeAlias

from service.bulk.errors import BulkError

Json: TypeAlias = dict[str, Any]

COLUMNS: Final[dict[str, str]] = {
    "id": "what the deck is called; its title",
    "unit": "in or mm",
    "kit": "id of the kit",
    "code": "id of the code; may be left out",
    "infill": "picket or glass",
    "height": "guard height; may be left out",
    "drop": "from the walking surface to what lies below",
    "sides": "the walk, length:turn; ... where no turn is 90, and ? for the length left out",
    "walls": "numbers of the sides along a wall, 0 the first, with ; between; may be left out",
}
"""The columns, which may come in any order, and their meanings."""
_OPTIONAL: Final = ("code", "height", "walls")
_NUMBER: Final = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?")


def read_walks(path: Path) -> Iterator[tuple[int, str, bytes]]:
    """For every row, the line on which it begins, its id, and its deck document as JSON.

    Raises BulkError, with the line, for a header with other columns, for a row with more or fewer
    cells than the header (a row that was cut off would be another deck), and where the file is no
    CSV in UTF-8.
    """
    with path.open("rb") as file:
        rows = _rows(path, file)
        _, names = next(rows, (1, []))
        names = [name.strip() for name in names]
        _check_columns(path, names)
        for line, cells in rows:
            if len(cells) != len(names):
                message = f"there are {len(cells)} cells and {len(names)} columns"
                raise BulkError(f"{path}:{line}: {message}")
            row = dict(zip(names, (cell.strip() for cell in cells), strict=True))
            document = json.dumps(write_deck(row), ensure_ascii=False)
            yield line, row.get("id", ""), document.encode()


def write_deck(row: dict[str, str]) -> Json:
    """The deck document of a row; empty cells are left out. row: the cells by column.

    >>> row = {"unit": "in", "kit": "k", "infill": "picket", "drop": "48", "sides": "240;?:85"}
    >>> write_deck(row)  # doctest: +NORMALIZE_WHITESPACE
    {'unit': 'in', 'kit': 'k', 'guard': {'infill': 'picket'},
     'levels': [{'id': 'main', 'drop': 48, 'outline': {'sides': [{'length': 240}, {'turn': 85}]}}]}
    """
    held = {name: cell for name, cell in row.items() if cell}
    deck: Json = {"title": held["id"]} if "id" in held else {}
    deck |= {name: held[name] for name in ("unit", "kit", "code") if name in held}
    guard = {name: _value(held[name]) for name in ("infill", "height") if name in held}
    level: Json = {"id": "main"}
    if "drop" in held:
        level["drop"] = _value(held["drop"])
    level["outline"] = {"sides": [_side(part) for part in held.get("sides", "").split(";")]}
    if "walls" in held:
        edges = [_value(part.strip()) for part in held["walls"].split(";")]
        level["edges"] = [{"edge": edge, "condition": "wall"} for edge in edges]
    return {**deck, "guard": guard, "levels": [level]}


def _side(part: str) -> Json:
    length, _, turn = (word.strip() for word in part.partition(":"))
    side: Json = {} if length == "?" else {"length": _value(length)}
    return side | ({"turn": _value(turn)} if turn else {})


def _value(text: str) -> int | float | str:
    """A cell as a number where it is written as one, else as text.

    >>> [_value(text) for text in ("48", "4.5", "4' 6\\"", "1e9", "")]
    [48, 4.5, '4\\' 6"', '1e9', '']
    """
    if len(text) > 30 or _NUMBER.fullmatch(text) is None:
        return text
    return float(text) if "." in text else int(text)


def _check_columns(path: Path, names: list[str]) -> None:
    missing = [name for name in COLUMNS if name not in names and name not in _OPTIONAL]
    unknown = [name for name in names if name not in COLUMNS]
    twice = sorted({name for name in names if names.count(name) > 1})
    faults = [
        f"{word} {', '.join(map(repr, held))}"
        for word, held in (("no column", missing), ("unknown", unknown), ("twice", twice))
        if held
    ]
    if faults:
        raise BulkError(f"{path}:1: {'; '.join(faults)}; the columns are {','.join(COLUMNS)}")


def _rows(path: Path, file: Any) -> Iterator[tuple[int, list[str]]]:
    """Every row that is not blank, with the line on which it begins."""
    reader = csv.reader(_lines(path, file), strict=True)
    begins = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield begins, cells
            begins = reader.line_num + 1
    except csv.Error as error:
        raise BulkError(f"{path}:{begins}: no CSV: {error}") from None


def _lines(path: Path, file: Any) -> Iterator[str]:
    for number, line in enumerate(file, 1):
        try:
            yield line.decode("utf-8-sig" if number == 1 else "utf-8")
        except UnicodeDecodeError as error:
            message = f"byte {error.start} of the line is not UTF-8"
            raise BulkError(f"{path}:{number}: {message}") from None
