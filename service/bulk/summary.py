"""Bulk: the summary, a CSV file with a row for each answer, made from the file of answers."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import orjson

from service.bulk.documents import Document
from service.cells import MARK, cell
from service.core import limits
from service.core.problems import Refusal
from service.wire.decode import decode

COLUMNS: Final = (
    "line", "document", "status", "digest", "posts", "bays", "pickets", "glass_panels",
    "violations", "warnings", "not_checked", "total", "currency", "place", "problem",
    "title", "unpriced",
)  # fmt: skip


def is_summary(path: Path) -> bool:
    """Whether a file is empty or is a summary, be it of an older release without the mark or the
    last columns."""
    with path.open("rb") as file:
        first = file.readline().removeprefix(MARK.encode())
    return first in (b"", *(f"{','.join(COLUMNS[:end])}\n".encode() for end in (None, -1, -2)))


def write_summary(answers: Path, documents: Iterator[Document], summary: Path) -> Counter[int]:
    """Write the summary, and return how many answers have each status.

    documents: those that were answered, in order.
    """
    statuses: Counter[int] = Counter()
    with (
        answers.open("rb") as lines,
        # The name of a document may hold bytes that are not UTF-8.
        summary.open("w", newline="", encoding="utf-8", errors="backslashreplace") as file,
    ):
        file.write(MARK)
        table = csv.DictWriter(file, COLUMNS, lineterminator="\n")
        table.writeheader()
        for line, document in zip(lines, documents, strict=False):
            told = orjson.loads(line)
            statuses[told["status"]] += 1
            row = {"document": document.where, **_row(told, document.line.body)}
            table.writerow({key: _shown(value) for key, value in row.items()})
    return statuses


def _shown(value: Any) -> Any:
    """A value for a cell. Text is made safe, as names and problems repeat what strangers sent."""
    return cell(value) if isinstance(value, str) else value


def _row(told: dict[str, Any], body: bytes | None) -> dict[str, Any]:
    """The row of an answer. body: the document that it answers, None where that is too long."""
    row = {"line": told["line"], "status": told["status"]}
    if told["status"] != 200:
        problem, first = told["problem"], told["problem"]["errors"][0]
        given = {"place": first["pointer"], "problem": problem["detail"], "title": _title(body)}
        return row | given
    layout = told["layout"]
    counts = {name: layout["summary"][name] for name in COLUMNS if name in layout["summary"]}
    quote = layout.get("quote", {})
    money = {name: quote[name] for name in ("total", "currency") if name in quote}
    # Roles that are in no sum, as without them a total reads as that of the whole order.
    money["unpriced"] = " ".join(quote.get("unpriced", ()))
    return (
        row
        | counts
        | money
        | {name: layout[name] for name in ("digest", "title") if name in layout}
    )


def _title(body: bytes | None) -> str:
    """The title that a refused document gives; empty where none can be read without a guess."""
    try:
        document = decode(body or b"")
    except Refusal:
        return ""
    title = document.get("title") if isinstance(document, dict) else None
    return title if isinstance(title, str) and len(title) <= limits.TEXT else ""
