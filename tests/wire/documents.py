"""Documents for the tests of the wire room: a deck that has most members, one that has every one
(`every_member`), and their parts."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from functools import cache
from typing import Any

import jsonschema
import jsonschema_rs

from service.answer import answer
from service.core.problems import Problem, Refusal
from service.core.records.deck import Deck
from service.wire.publishing.components import Root, schemas
from service.wire.reading.deck import read_deck_so_far
from tests.shipped import catalogue

Json = Any

DECK: Json = {
    "title": "Everything once",
    "unit": "in",
    "precision": 0.0625,
    "kit": "picket-glass-surface-in",
    "code": "us-irc-2021",
    "amendments": {
        "guard_height": 42,
        "geometry_applies_to": "all guards",
        "riser_max": '7 1/2"',
        "handrail_required_risers": 3,
    },
    "guard": {"infill": "picket", "height": "3' 6\""},
    "levels": [
        {
            "id": "main",
            "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]},
            "drop": 48,
            "drop_to_ground": "4' 2\"",
            "edges": [
                {"edge": 2, "condition": "wall"},
                {"edge": 1, "infill": "glass", "glass": 1, "height": 42, "wall_end": "post"},
            ],
            "openings": [
                {"id": "gate", "edge": 0, "from": 96, "width": 36, "use": "gate", "opens": "out"},
                {"id": "steps", "edge": 0, "from": 150, "width": 42, "use": "stair"},
            ],
            "obstructions": [
                {"name": "column", "points": [[100, 60], [106, 60], [106, 66], [100, 66]]}
            ],
            "no_post": [{"edge": 1, "from": 30, "width": 6, "why": "downpipe"}],
            "framing": {
                "joist_direction": 90,
                "joist_spacing": "1' 4\"",
                "first_joist": 0.75,
                "joist_width": 1.5,
                "rim_width": '1 1/2"',
            },
        },
        {
            "id": "walk",
            "outline": {"sides": [{"length": 240}, {"length": 144}, {"turn": 90}, {"length": 144}]},
            "edges": [{"edge": 1, "arc_rise": "1' 3\""}, {"edge": 3, "arc_rise": -6}],
        },
        {
            "id": "ties",
            "outline": {
                "ties": {"baseline": 240, "corners": [{"from_a": 120.5, "from_b": 170.25}]}
            },
        },
    ],
    "stairs": [
        {
            "id": "front",
            "opening": "main/steps",
            "rise": "4'",
            "risers": 7,
            "going": 10.5,
            "nosing": '1"',
            "guards": ["left", "right"],
            "infill": "glass",
            "height": "3'",
            "foot_post": "ground",
            "handrail": ["right"],
            "to_level": "walk",
        },
        {"id": "side", "opening": "main/gate", "rise": 48, "risers": 8, "going": 11},
    ],
    "site_measures": [{"bay": "B1", "clear_top": 43.5, "clear_bottom": "3' 7 1/4\""}],
    "prices": {
        "currency": "USD",
        "tax_rate": "0.07",
        "parts": {
            "post_line": {"per_height": {"36": "58", "42": "61.50"}},
            "top_rail_picket": {
                "per_stick": {"150": "66.00", "198": "88.00"},
                "cutting": "1.25",
                "discounts": [{"from": 4, "rate": "0.05"}, {"from": 10, "rate": "0.08"}],
            },
            "picket": {"each": "2.10", "waste": "0.03"},
            "spacer": {"per_pack": "9.75"},
            "glass_panel": {"per_area": "31.00", "least": "95.00"},
            "gasket": {"per_length": "0.80", "least": "12.00"},
        },
    },
    "stock_on_hand": [{"part": "top_rail_picket", "length": "7' 4\"", "count": 2}],
    "plan_effort": "thorough",
    "compare": [
        {"label": "glass", "guard": {"infill": "glass", "height": 42}, "edges": "all"},
        {"label": "on the rim", "kit": "picket-glass-fascia-in", "code": "us-irc-2021"},
    ],
}


def deck(**members: Json) -> Json:
    """A copy of the deck that has most members, free to change, with some members replaced."""
    return {**copy.deepcopy(DECK), **members}


def small(**members: Json) -> Json:
    """A rectangular deck against a house, with some members replaced or added."""
    level = {
        "id": "main",
        "drop": 48,
        "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]},
        "edges": [{"edge": 2, "condition": "wall"}],
    }
    found = {
        "unit": "in",
        "kit": "picket-glass-surface-in",
        "guard": {"infill": "picket"},
        "levels": [level],
    }
    return {**found, **members}


def kit(name: str = "picket-glass-surface-in") -> Json:
    """A copy of a shipped kit's document, free to change."""
    return copy.deepcopy(catalogue().kits[name].document)


def code(name: str = "us-irc-2021") -> Json:
    """A copy of a shipped code's document, free to change."""
    return copy.deepcopy(catalogue().codes[name].document)


def every_member() -> Json:
    """A deck that has every member that a document may have, with its kit and code inline.

    A new member stands here, too: test_all_is_read looks for it.
    """
    yard, town = kit(), code()
    yard["post"]["corner"] = "bracket"
    yard["picket"] |= {"stock": [150], "kerf": 0.125, "trim": 0.5}
    put(yard, "/strength/panes/1", {"pane": 1, "make": "tempered", "plies": 2, "ply_minimum": 0.18})
    screw = {"kind": "lag_screw", "diameter": 0.375, "in_tension": 2, "lever_arm": 3.75, "below": 4}
    screw |= {"length": 6, "thread": 3.5, "tip": 0.25, "side": 1.5}
    put(yard, "/strength/other_fixings", [screw])
    amended = {"value": 42, "twin": 1067, "cite": "as the town amends it", "basis": "near"}
    cases = [
        {"measure": "drop", "above": 70, "above_twin": 1800, **amended},
        {"measure": "drop_to_ground", "from": 70, "from_twin": 1800, **amended},
        {"measure": "occupancy", "is": "shared", **amended},
    ]
    put(town, "/figures/guard_height/when", cases)
    found = deck(kit=yard, code=town, advise=True, occupancy="shared", occupants=12)
    timber = {"species": "southern_pine", "specific_gravity": 0.55, "grade": "C24"}
    dry = {"wet_service": False, "load_duration": "ten_minutes"}
    found["site"] = {"temperature_range": 90, **dry, "timber": timber}
    main, flight = found["levels"][0], found["stairs"][0]
    below = {"drop": 48, "drop_to_ground": 60, "drop_to_next_level": 72, "beneath": "walked"}
    main |= below
    main["edges"][1] |= {**below, "open_end": "edge"}
    main["obstructions"][0]["height"] = 96
    main["openings"][0]["hinge"] = "far"
    flight |= {"glass": 1, "top_as_handrail": True}
    prices = {"picket": {"per_length": "0.40", "waste": "0.03"}, "base_fixing": {"each": "1.20"}}
    found["prices"]["parts"] |= prices
    return found


def put(document: Json, pointer: str, value: Json) -> Json:
    """The document, changed in place: one member or entry is replaced or added."""
    *path, last = pointer.split("/")[1:]
    holder = document
    for name in path:
        holder = holder[int(name) if isinstance(holder, list) else name]
    holder[int(last) if isinstance(holder, list) else last] = value
    return document


def places(document: Json, at: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The path of every member and entry, at any depth."""
    inner = document.items() if isinstance(document, dict) else enumerate(document)
    for key, value in inner:
        yield (*at, key)
        if isinstance(value, dict | list):
            yield from places(value, (*at, key))


def read_deck(document: Json) -> Deck:
    """The record of a deck document that has no fault."""
    so_far = read_deck_so_far(document)
    assert so_far.faults == ()
    return so_far.deck


def reply(document: Json) -> Json:
    """The reply to a document, as its JSON reads; it fits the closed layout schema."""
    found = json.loads(answer(json.dumps(document).encode(), catalogue()).body)
    faults = [f"{error.instance_path}: {error.message[:200]}" for error in closed_layout(found)]
    assert faults == []
    return found


def closed_layout(document: Json) -> list[Any]:
    """Where a reply does not fit the layout schema with unknown members refused."""
    return list(_closed_layout().iter_errors(document))


@cache
def _closed_layout() -> jsonschema_rs.Draft202012Validator:
    return jsonschema_rs.Draft202012Validator(_close(schemas()["layout"]))


def _close(node: Json) -> Json:
    if isinstance(node, list):
        return [_close(entry) for entry in node]
    if not isinstance(node, dict):
        return node
    shut = {"additionalProperties": False} if "properties" in node else {}
    return {**{key: _close(value) for key, value in node.items()}, **shut}


def problems(document: Json) -> tuple[type[Refusal], tuple[Problem, ...]]:
    """The kind of refusal that a document gets, and its problems."""
    try:
        answer(
            document if isinstance(document, bytes) else json.dumps(document).encode(), catalogue()
        )
    except Refusal as refusal:
        return type(refusal), refusal.problems
    raise AssertionError("nothing was refused")


@cache
def second_opinion(kind: Root) -> jsonschema.Draft202012Validator:
    """Validator for a published schema, by a library that the service does not use."""
    return jsonschema.Draft202012Validator(schemas()[kind])
