"""Subjects of sheets: worked cases, published examples and documents of a test's own."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

from service.answer import answer_with_records
from service.drawings.parts import Subject, Table
from tests.cases.test_cases import request_of
from tests.shipped import catalogue

ROOT = Path(__file__).resolve().parent.parent.parent
EXAMPLES = sorted(
    path.name.removesuffix(".request.json")
    for path in (ROOT / "schema" / "examples").glob("*.request.json")
    if not path.name.startswith("cannot-")
)
"""The published examples that can be laid out, by name."""

Json = Any


def subject_of(document: Json) -> Subject:
    """The subject of sheets that a deck document makes."""
    reply, answered = answer_with_records(document, catalogue())
    return Subject(
        reply, answered.deck, answered.kit, answered.code, answered.layout, answered.order
    )


@cache
def case(name: str) -> Subject:
    """The subject of a worked case, by its path in tests/cases.

    What is expected of it is worked there.
    """
    path = ROOT / "tests" / "cases" / f"{name}.json"
    return subject_of(request_of(json.loads(path.read_text("utf-8"))))


def request(name: str) -> Json:
    """A published example, as it is sent."""
    path = ROOT / "schema" / "examples" / f"{name}.request.json"
    return json.loads(path.read_text("utf-8"))


@cache
def example(name: str) -> Subject:
    """The subject of a published example."""
    return subject_of(request(name))


def own(parts: Json, **members: Json) -> Json:
    """The document of the published example with a kit of its own, that kit's parts replaced.

    parts: number and description by role. members: of the document.
    """
    document = request("own-kit-and-amendments")
    return {**document, "kit": {**document["kit"], "parts": parts}, **members}


def picked(table: Table, *keys: str, use: Any = "print") -> list[tuple[str, ...]]:
    """The rows of a table, in the given columns alone."""
    shown = table.shown(use)
    places = [[column.key for column in shown.columns].index(key) for key in keys]
    return [tuple(row[i].replace("\xa0", " ") for i in places) for row in shown.rows]


def totals(table: Table, *keys: str) -> list[tuple[str, ...]]:
    """The foot of a table in print, in the given columns alone."""
    shown = table.shown("print")
    places = [[column.key for column in shown.columns].index(key) for key in keys]
    return [tuple(row[i] for i in places) for row in shown.foot]
