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
    one that does not."""
    own = {**code(edition), "id": "own"}
    for case in (FAR, SHARED):
        own["figures"] = {**own["figures"], name: {"when": [case], "cite": "x"}}
        document = deck(code=own, plan_effort="ordinary")
        for member in ("compare", "amendments", "prices"):
            del document[member]
        for asked in (document, put(small(code=own), "/levels/0/drop", 10)):
            assert reply(asked)["findings"]
