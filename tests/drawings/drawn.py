"""Decks to draw: that of the README, the published examples and every hand-worked case."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache

from service.core.problems import Refusal
from service.drawings.parts import Heading, Subject
from service.drawings.sheets import head
from tests.cases.test_cases import FILES, request_of
from tests.drawings.subjects import EXAMPLES, Json, example, subject_of

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
def everything() -> tuple[tuple[str, Subject], ...]:
    """Every example and every hand-worked deck that can be built, by name."""
    return tuple(_everything())


def _everything() -> Iterator[tuple[str, Subject]]:
    for name in EXAMPLES:
        yield name, example(name)
    for path in FILES:
        case = json.loads(path.read_text("utf-8"))
        try:
            yield f"{path.parent.name}/{path.stem}", subject_of(request_of(case))
        except Refusal:
            continue


def heading(subject: Subject) -> Heading:
    """The heading of every sheet of a job."""
    return head(subject, "Elevations")


def ten_fronts() -> Json:
    """A deck of ten fronts of 48 in, parted by nine notches that are 48 in wide and 24 in deep."""
    corners = [[96 * i + x, y] for i in range(9) for x, y in ((0, 0), (48, 0), (48, 24), (96, 24))]
    points = [*corners, [864, 0], [912, 0], [912, 168], [0, 168]]
    edges = [{"edge": len(points) - 2, "condition": "wall"}]
    return {**README, "levels": [{**LEVEL_ONE, "outline": {"points": points}, "edges": edges}]}
