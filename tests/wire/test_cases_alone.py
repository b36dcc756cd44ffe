"""Figures of a code without a value of their own, each in turn: a reply, never an error."""

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
    """No case of it is met: the code says nothing there, over a drop that wants a guard and over
    one that does not. The deck with everything in it has both cases at once."""

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
