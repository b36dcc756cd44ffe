"""Decks to draw: the published examples, every hand-worked case, and large ones."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from service.answer import answer_with_records
from service.core.problems import Refusal
from service.data.catalogue import Catalogue, load_catalogue
from service.drawings.parts import Heading, Subject
from service.drawings.sheets import head
from tests.cases.test_cases import FILES, request_of

EXAMPLES = Path(__file__).resolve().parents[2] / "schema" / "examples"
LEVEL_ONE = {
    **{"id": "main", "drop": 48, "edges": [{"edge": 2, "condition": "wall"}]},
    "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]},
}
README = {
    **{"unit": "in", "kit": "picket-glass-surface-in", "code": "us-irc-2021"},
    **{"guard": {"infill": "picket"}, "levels": [LEVEL_ONE]},
}
"""The deck that the README lays out."""


@cache
def catalogue() -> Catalogue:
    """The shipped kits and codes."""
    return load_catalogue()


def drawn_from(document: Any) -> Subject:
    """What a deck document's sheets are made from."""
    reply, answered = answer_with_records(document, catalogue())
    return Subject(reply, answered.deck, answered.kit, answered.layout)


@cache
def example(name: str) -> Subject:
    """A published example that can be built."""
    return drawn_from(json.loads((EXAMPLES / f"{name}.request.json").read_text("utf-8")))


def names() -> list[str]:
    """Of the published examples that can be built."""
    return sorted(path.name.split(".")[0] for path in EXAMPLES.glob("*.reply.json"))


@cache
def everything() -> tuple[tuple[str, Subject], ...]:
    """Every example and every hand-worked deck that can be built, by name."""
    return tuple(_everything())


def _everything() -> Iterator[tuple[str, Subject]]:
    for name in names():
        yield name, example(name)
    for path in FILES:
        case = json.loads(path.read_text("utf-8"))
        try:
            yield f"{path.parent.name}/{path.stem}", drawn_from(request_of(case))
        except Refusal:
            continue


def heading(subject: Subject) -> Heading:
    """What every sheet of a job says of it."""
    return head(subject, "Elevations")
