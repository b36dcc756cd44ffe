"""Figures of a code that have a value only in cases, each figure in turn: a reply, never an
error."""

from __future__ import annotations

from typing import Any

import pytest

from service.core.records.figures import FIGURES

from .documents import code, deck, put, reply, small

FAR: dict[str, Any] = {"measure": "drop", "from": 1_000_000, "cite": "no deck is so high"}
SHARED: dict[str, Any] = {"measure": "occupancy", "is": "shared", "cite": "not here"}


@pytest.mark.parametrize("name", FIGURES)
@pytest.mark.parametrize("edition", ["us-irc-2021", "gb-eng-adk-2013"])
def test_a_figure_that_holds_in_cases_alone(edition: str, name: str) -> None:
    """Where no case of the figure is met the code says nothing and the deck still gets findings,
    over a drop that requires a guard and over one that does not. The deck that has most members has
    both cases at once."""

    def own(*cases: Any) -> Any:
        alone = {"when": [*cases], "cite": "x"}
        document = {**code(edition), "id": "own"}
        return {**document, "figures": {**document["figures"], name: alone}}

    whole = deck(code=own(FAR, SHARED), plan_effort="ordinary")
    for member in ("compare", "amendments", "prices"):
        del whole[member]
    low = [put(small(code=own(case)), "/levels/0/drop", 10) for case in (FAR, SHARED)]
    for asked in (whole, *low):
        assert reply(asked)["findings"]
