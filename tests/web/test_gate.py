"""A document that fits the published schema is never a 400, and one that does not fit always is
one.

Decks that can be built are spoilt at random places; an independent validator, not the library that
the service uses, then says whether they still fit.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from tests.bounded import LONG

RICH: dict[str, Any] = {
    "title": "Everything once",
    "unit": "in",
    "precision": 0.0625,
    "kit": "picket-glass-surface-in",
    "code": "us-irc-2021",
    "amendments": {"guard_height": 42},
    "guard": {"infill": "picket", "height": 42},
    "levels": [
        {
            "id": "main",
            "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]},
            "drop": "4'",
            "edges": [
                {"edge": 2, "condition": "wall"},
                {"edge": 1, "infill": "glass", "glass": 1, "height": 42, "wall_end": "bracket"},
                {"edge": 3, "open_end": "edge"},
            ],
            "openings": [{"id": "steps", "edge": 0, "from": 96, "width": 48, "use": "stair"}],
            "obstructions": [
                {"name": "column", "points": [[100, 60], [106, 60], [106, 66], [100, 66]]}
            ],
            "no_post": [{"edge": 1, "from": 30, "width": 6, "why": "downpipe"}],
        },
        {
            "id": "walk",
            "outline": {
                "sides": [{"length": 240}, {"length": 144, "turn": 90}, {}, {"length": "12'"}]
            },
        },
        {
            "id": "ties",
            "outline": {
                "ties": {
                    "baseline": 240,
                    "corners": [
                        {"from_a": 120.5, "from_b": 170.25},
                        {"from_a": 170.25, "from_b": 120.5},
                    ],
                }
            },
        },
    ],
}

ODD = [
    *(None, True, False, 0, -0.0, 1, 1.0, 1.7, -1, 0.5, 1e-12, 1e6, 1e6 + 1, 1e17, 1e308, 2**64),
    *("", "12", "12 in", "6'", "6' 13\"", '1/0"', '78 3/8"', "2.4 m", "2400 mm", "-3'", "\u0663'"),
    *("a", "in", "mm", "picket", "glass", "wall", "stair", "A" * 300, "tab\there", "nul\0", "x\n"),
    *([], {}, [[0, 0]], [0, 0], {"edge": 0}, {"points": [[0, 0], [9, 0], [9, 9]]}, "\U0001f528"),
]


def places(document: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The path of every member and entry, at any depth."""
    inner = document.items() if isinstance(document, dict) else enumerate(document)
    for key, value in inner:
        yield (*at, key)
        if isinstance(value, dict | list):
            yield from places(value, (*at, key))


@st.composite
def spoilt(draw: st.DrawFn) -> Any:
    """RICH with one to three members replaced, left out, doubled or added."""
    document = copy.deepcopy(RICH)
    for _ in range(draw(st.integers(1, 3))):
        where = draw(st.sampled_from(list(places(document))))
        holder = document
        for key in where[:-1]:
            holder = holder[key]
        spoil(holder, where[-1], draw)
    return document


def spoil(holder: Any, key: Any, draw: st.DrawFn) -> None:
    """Make one change to a member or entry."""
    kind = draw(st.sampled_from(["replace", "replace", "replace", "drop", "add"]))
    odd = copy.deepcopy(draw(st.sampled_from(ODD)))
    if kind == "replace":
        holder[key] = draw(st.just(odd) | st.floats(-1e7, 1e7))
    elif kind == "drop":
        del holder[key]
    elif isinstance(holder, dict):
        holder[draw(st.sampled_from(["glass", "why", "colour", "use", "arc_rise"]))] = odd
    else:
        holder.append(draw(st.sampled_from([odd, copy.deepcopy(holder[key])])))


@pytest.fixture(scope="module")
def fits(client: FlaskClient) -> Draft202012Validator:
    """The published deck schema, compiled by another library."""
    return Draft202012Validator(json.loads(client.get("/v1/schemas/deck.json").data))


def test_the_deck_that_is_spoilt_is_a_good_one(
    client: FlaskClient, fits: Draft202012Validator
) -> None:
    """The deck fits and is laid out; otherwise the tests below would say nothing of documents that
    fit."""
    fits.validate(RICH)
    reply = client.post("/v1/layout", json=RICH)
    assert reply.status_code == 200, reply.data[:1000]


@given(document=spoilt())
@settings(
    max_examples=20_000 if LONG else 600,
    derandomize=not LONG,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_the_status_says_whether_it_fits(
    client: FlaskClient, fits: Draft202012Validator, document: Any
) -> None:
    """A document that fits gets 200, 413 or 422; one that does not gets 400 or 413. There is
    nothing else, and never a 500."""
    reply = client.post("/v1/layout", json=document)
    if fits.is_valid(document):
        assert reply.status_code in (200, 413, 422), (document, reply.data[:500])
    else:
        assert reply.status_code in (400, 413), (document, next(fits.iter_errors(document)).message)
