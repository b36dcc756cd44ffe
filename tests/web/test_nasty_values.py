"""Whole decks with flights, gates, arcs, framing and measures, sent with nasty values.

One to four values at a time are replaced: the reply is an answer or a refusal with a place, never a
500.
"""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from service.web.app import create_app
from service.web.settings import Settings
from tests.bounded import LONG
from tests.wire.documents import closed_layout, deck, places, second_opinion

CLIENT = create_app(Settings(log_level="error")).test_client()

NUMBERS: list[Any] = [
    *(0, 1e-9, 1e-6, 0.0625, 1, 2, 3.25, 7, 10.5, 24, 36, 42, 48, 60, 62, 70, 72, 119.9999999),
    *(120, 144, 240, 1000, 1e6, -1e-9, -6, -71.9999999, -72, -1e6, "3'", '1/64"', "190 mm", "1 m"),
]
WORDS: dict[str, list[str]] = {
    "infill": ["picket", "glass"],
    "use": ["stair", "gate", "passage"],
    "opens": ["in", "out"],
    "hinge": ["near", "far"],
    "condition": ["guard", "wall", "open"],
    "wall_end": ["bracket", "post"],
    "open_end": ["setback", "edge"],
    "foot_post": ["tread", "ground"],
    "guards": ["left", "right"],
    "handrail": ["left", "right"],
    "to_level": ["main", "walk", "ties", "none"],
    "opening": ["main/gate", "main/steps", "walk/steps", "/"],
    "bay": ["B1", "B2", "B9", "B29", "B30", "B99"],
    "unit": ["in", "mm"],
    "kit": ["picket-glass-surface-in", "picket-glass-fascia-in", "glass-picket-surface-mm"],
    "code": ["us-irc-2021", "gb-eng-adk-2013", "none"],
}
"""The words tried for each member that takes words."""


@st.composite
def nasty(draw: st.DrawFn) -> Any:
    """The deck that has everything, with one to four of its values replaced by others of their
    kind. In one of three cases it keeps its variants and its thorough plan, which cost more than
    all else."""
    document = deck()
    if draw(st.integers(0, 2)):
        del document["compare"], document["plan_effort"]
    paths = list(places(document))
    for _ in range(draw(st.integers(1, 4))):
        *way, last = draw(st.sampled_from(paths))
        holder = document
        for key in way:
            holder = holder[key]
        name = next(key for key in (last, *reversed(way)) if isinstance(key, str))
        if not isinstance(holder[last], dict | list):
            holder[last] = draw(_another(name, holder[last]))
    return document


def _another(name: str, value: Any) -> st.SearchStrategy[Any]:
    if name in WORDS:
        return st.sampled_from(WORDS[name])
    if name in ("edge", "glass", "risers"):
        return st.integers(0, 61) | st.sampled_from([0, 1, 2.0, 60])
    if name in ("id", "title", "name", "why") or (isinstance(value, str) and "all" in value):
        return st.just(value)
    near = st.floats(0.5, 1.6).map(lambda share: share * value)
    numbers = st.sampled_from(NUMBERS) | st.floats(-400, 400)
    return numbers if isinstance(value, str) else numbers | near


def judge(document: Any) -> int:
    """The status of a document's reply, once that status agrees with the schema, and a layout fits
    its own schema with no further members."""
    reply = CLIENT.post("/v1/layout", json=document)
    fits = second_opinion("deck").is_valid(document)
    assert reply.status_code in ((200, 413, 422) if fits else (400, 413)), reply.data
    if reply.status_code == 200:
        assert closed_layout(reply.json) == []
    else:
        assert reply.json is not None
        assert all(error["message"] for error in reply.json["errors"])
    return reply.status_code


@given(document=nasty())
@example(document=deck())
@settings(max_examples=5000 if LONG else 150, derandomize=not LONG, deadline=None)
def test_no_value_makes_the_service_stumble(document: Any) -> None:
    """Any value may stand where a number or a word stands."""
    judge(document)


@pytest.mark.parametrize("name", ["stairs", "site_measures"])
@pytest.mark.parametrize("count", [0, 1, 2, 32, 33, 2500, 2501])
def test_any_number_of_flights_and_measures(name: str, count: int) -> None:
    """None, one, several, each limit, and one over it; copies of one are refused as given twice."""
    document = deck()
    document[name] = [copy.deepcopy(document[name][0])] * count
    most = {"stairs": 32, "site_measures": 2500}[name]
    assert judge(document) == (413 if count > most else 200 if count < 2 else 422)
