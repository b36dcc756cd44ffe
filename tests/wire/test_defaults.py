"""A default that is sent means the same as the member left out: generated clients send every
one."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from service.answer import answer_document
from service.core.problems import Refusal
from service.wire.publishing.components import schemas
from tests.cases.test_cases import FILES, HERE, request_of
from tests.shipped import catalogue

EXAMPLES = Path(__file__).parents[2] / "schema" / "examples"
REQUESTS = {
    **{p.relative_to(HERE).as_posix(): request_of(json.loads(p.read_text("utf-8"))) for p in FILES},
    **{p.name: json.loads(p.read_text("utf-8")) for p in EXAMPLES.glob("*.request.json")},
}
DECK = schemas()["deck"]


def told(document: Any) -> Any:
    """The reply without its digest, which is of the document as sent; of a refusal, the places and
    codes."""
    try:
        reply = answer_document(document, catalogue())
    except Refusal as refusal:
        return [(problem.pointer, problem.code) for problem in refusal.problems]
    return {name: value for name, value in reply.items() if name != "digest"}


def filled(node: Any, value: Any) -> Any:
    """A value with every member added that is left out and has a published default."""
    node = DECK["$defs"][node["$ref"].rsplit("/", 1)[-1]] if "$ref" in node else node
    if "oneOf" in node and isinstance(value, dict):
        return filled(node["oneOf"][-1], value)
    if isinstance(value, list):
        return [filled(node.get("items", {}), each) for each in value]
    if not isinstance(value, dict):
        return value
    members = node.get("properties", {})
    left = {
        name: member["default"]
        for name, member in members.items()
        if "default" in member and name not in value
    }
    other = node.get("additionalProperties") or {}
    return {name: filled(members.get(name, other), each) for name, each in value.items()} | left


def test_defaults_are_filled_in_at_every_depth() -> None:
    """Defaults are added to the document, to members of lists, and to an inline kit, which is an
    alternative to a kit's id."""
    kit = {"strength": {"panes": [{"pane": 0}]}, "extras": [{"of": "post"}]}
    whole = filled(DECK, {"kit": kit, "levels": [{"edges": [{"edge": 1, "glass": 1}]}]})
    assert whole["plan_effort"] == "ordinary"
    assert whole["levels"][0]["edges"][0]["glass"] == 1
    assert whole["levels"][0]["edges"][0]["wall_end"] == "bracket"
    assert whole["kit"]["extras"][0]["every"] == 1
    assert whole["kit"]["strength"]["panes"][0]["plies"] == 1


@pytest.mark.parametrize("name", REQUESTS)
def test_a_default_that_is_sent_changes_nothing(name: str) -> None:
    """Each hand-worked deck and each example gets the same reply as it is and with every default
    written out."""
    assert told(filled(DECK, REQUESTS[name])) == told(REQUESTS[name])
