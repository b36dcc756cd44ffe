"""What is published is whole, stands alone, has words and units, and is the same at every
making."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from urllib.parse import urljoin

import jsonschema
import pytest

from service.answer import answer_document
from service.drawings.sheets import MEDIAS
from service.refusals import refuse
from service.wire.forms.problem import ProblemForm
from service.wire.publishing import examples
from service.wire.publishing.components import DIALECT, Root, components, schemas
from service.wire.publishing.objects import OBJECTS
from service.wire.publishing.publish import openapi, published
from tests.shipped import catalogue

from .documents import problems, second_opinion, small

KINDS: list[Root] = ["deck", "kit", "code", "layout", "problem"]
SENT = ["Deck", "Kit", "Code"]


def nodes(node: Any) -> list[dict[str, Any]]:
    """Every object within a schema, itself included."""
    if isinstance(node, list):
        return [found for entry in node for found in nodes(entry)]
    if isinstance(node, dict):
        return [node, *nodes(list(node.values()))]
    return []


@pytest.mark.parametrize("kind", KINDS)
def test_a_schema_is_one_of_2020_12_and_stands_alone(kind: Root) -> None:
    """A published schema names its dialect, its references stay inside it, and all its definitions
    are used."""
    schema = schemas()[kind]
    assert schema["$schema"] == DIALECT
    jsonschema.Draft202012Validator.check_schema(schema)
    references = {node["$ref"] for node in nodes(schema) if "$ref" in node}
    assert references == {f"#/$defs/{name}" for name in schema.get("$defs", {})}


@pytest.mark.parametrize("name", sorted(components()))
def test_every_object_is_titled_described_and_closed_or_open_on_purpose(name: str) -> None:
    """Objects that are sent are closed; those of replies and problems are open, as members may be
    added."""
    component = components()[name]
    assert component["title"]
    assert component["description"]
    if component.get("type") != "object":
        return
    sent = name in {n for root in SENT for n in reach(root)}
    assert component.get("additionalProperties", True) is not sent
    for member in component["properties"].values():
        assert member["title"]


def test_a_code_s_loads_are_in_its_own_unit_and_amendments_in_the_deck_s() -> None:
    """The descriptions say that a code document names its own unit and that amendments are in the
    deck's (contract, 1 and 3)."""
    figure = components()["ForceFigure"]["properties"]["value"]["description"]
    amended = components()["Amendments"]["properties"]["guard_point_load"]["description"]
    assert "where the code document is in inches" in figure
    assert "where the deck document is in inches" in amended


def test_an_object_is_one_class_to_whoever_makes_clients() -> None:
    """No object has alternatives beside its members: client generators would make a class of each,
    15 for a case with three tests of five kinds, or a class without any member. One level down
    alternatives bind just as well."""
    objects = {name: node for name, node in components().items() if "properties" in node}
    beside = {name for name, node in objects.items() if {"oneOf", "anyOf", "not"} & node.keys()}
    assert beside == set()
    told = [each for node in objects.values() for each in node.get("allOf", ())]
    assert {"oneOf", "anyOf", "if"} <= {key for each in told for key in each}
    # One client generator has no type for a member that refers to an object with a condition beside
    # its members.
    assert not any({"if", "then", "else"} & node.keys() for node in objects.values())


def described(member: dict[str, Any]) -> str:
    """A member's own description, else that of the component it refers to."""
    own: str = member.get("description", "")
    other = member.get("$ref", "").removeprefix("#/components/schemas/")
    return own or (components()[other]["description"] if other else "")


MEMBERS = [
    pytest.param(member, id=f"{name}.{title}")
    for name, component in sorted(components().items())
    for title, member in component.get("properties", {}).items()
]
UNIT = re.compile(r"\bunit\b|[Dd]egrees|\bmm\b|sq ft|\blbf?\b|metres|Without a unit")
"""Matches words that say a number's unit, or that it has none."""


@pytest.mark.parametrize("member", MEMBERS)
def test_every_member_is_described_with_its_unit_and_an_example(member: dict[str, Any]) -> None:
    """Each member is described, each number that is no count has its unit, and each text or number
    that is no choice of a few has an example."""
    said = described(member)
    assert said
    kinds = member.get("type", [])
    kinds = {kinds} if isinstance(kinds, str) else set(kinds)
    if not kinds & {"number", "integer", "string"} or "enum" in member:
        return
    assert member["examples"]
    if kinds == {"number"}:
        assert UNIT.search(said), said


def reach(name: str) -> set[str]:
    """The names of all components under one, itself included."""
    found, left = {name}, [name]
    while left:
        for node in nodes(components()[left.pop()]):
            other = node.get("$ref", "").removeprefix("#/components/schemas/")
            if other and other not in found:
                found.add(other)
                left.append(other)
    return found


@pytest.mark.parametrize("kind", ["deck", "kit", "code"])
def test_every_number_that_is_sent_has_bounds(kind: Root) -> None:
    """A schema carries every bound that a schema can (contract, section 1)."""
    for node in nodes(schemas()[kind]):
        if node.get("type") in ("number", "integer") and "enum" not in node:
            assert "maximum" in node
            assert "minimum" in node or "exclusiveMinimum" in node
        if node.get("type") == "string" and "enum" not in node:
            assert "maxLength" in node or "pattern" in node
        if node.get("type") == "array":
            assert "maxItems" in node


@pytest.mark.parametrize("kind", KINDS)
def test_examples_and_defaults_fit_what_they_stand_in(kind: Root) -> None:
    """Each default and example in a schema is valid by the part that it stands in."""
    schema = schemas()[kind]
    shown = 0
    for node in nodes(schema):
        values = [node["default"]] if "default" in node and "title" in node else []
        values += node["examples"] if isinstance(node.get("examples"), list) else []
        for value in values:
            whole = {**node, "$defs": schema.get("$defs", {})}
            jsonschema.Draft202012Validator(whole).validate(value)
            shown += 1
    assert shown


def test_the_deck_that_the_schema_shows_is_the_readmes() -> None:
    """The example of the deck schema is the README's deck, and it is laid out."""
    (shown,) = schemas()["deck"]["examples"]
    readme = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    assert shown == json.loads(re.findall(r"-d '(.*?)'", readme, re.DOTALL)[0])
    assert answer_document(shown, catalogue())["summary"]["posts"] == 9


def test_the_traps_of_the_publishing_library_are_stepped_round() -> None:
    """What the publishing library gets wrong is published right: exclusive bounds, integers, closed
    objects with a description, exactly one of three."""
    found = components()
    assert found["Length"]["anyOf"][0]["exclusiveMinimum"] == 0
    assert found["Edge"]["properties"]["edge"]["type"] == "integer"
    assert found["Deck"]["additionalProperties"] is False
    (one_form,) = found["Outline"]["allOf"]
    assert one_form == {"oneOf": [{"required": [n]} for n in ("points", "sides", "ties")]}
    assert "$ref" not in found["Deck"]["properties"]["kit"]
    assert "nullable" not in json.dumps(found)


def test_a_point_is_defined_once_in_documents_and_once_in_replies() -> None:
    """A client generator makes a type of each pair of numbers that stands in a member itself, the
    second with a number for its name."""
    holding = [
        name
        for name, component in components().items()
        if any(node.get("title") == "Coordinate" for node in nodes(component))
    ]
    assert sorted(holding) == ["Point", "PointBuilt"]
    corner = components()["Outline"]["properties"]["points"]["items"]
    assert corner["$ref"] == "#/components/schemas/Point"
    centre = components()["PostBuilt"]["properties"]["at"]
    assert centre["$ref"] == "#/components/schemas/PointBuilt"
    assert [components()[name]["examples"] for name in sorted(holding)] == [[[55.5, 36]]] * 2


def test_an_id_or_a_document_is_exactly_one_of_both() -> None:
    """Kit and code are text or an object. A client generator that merges the alternatives of
    `anyOf` would send an empty object for an id; of `oneOf` it takes the one that fits."""
    found = components()
    for name in ("Deck", "Variant"):
        for member in ("kit", "code"):
            text, document = found[name]["properties"][member]["oneOf"]
            assert text["type"] == "string"
            assert document == {"$ref": f"#/components/schemas/{member.title()}"}


def test_every_object_in_a_reply_has_a_name_of_its_own() -> None:
    """A client generator names a class after the path and the status where a reply's object stands
    in the path itself, such as KitsResponse200."""
    document = openapi(MEDIAS)
    named = document["components"]["schemas"]
    for path, operations in document["paths"].items():
        for node in nodes(operations):
            assert node.get("type") != "object", (path, node)
            if "schema" in node and "$ref" in node["schema"]:
                assert node["schema"]["$ref"].removeprefix("#/components/schemas/") in named
    assert named["Kits"]["properties"]["kits"]["items"]["$ref"] == "#/components/schemas/Kit"
    assert named["Codes"]["properties"]["codes"]["items"]["$ref"] == "#/components/schemas/Code"


def test_the_openapi_document_has_no_outside_address() -> None:
    """The only outside address is the name of the schema dialect, which nothing fetches."""
    text = json.dumps(openapi(MEDIAS)).replace(DIALECT, "")
    assert "http://" not in text
    assert "https://" not in text


@pytest.mark.parametrize("root", ["http://127.0.0.1:8080/", "https://yard.example/guards/"])
def test_the_server_is_where_the_document_came_from(root: str) -> None:
    """The server's address, relative to that of the document (OpenAPI 3.1, server object; RFC 3986,
    section 5.2), is what `/v1` stands behind, at the root or under a prefix of a proxy. "/", which
    holds where none is given, would lose the prefix."""
    (server,) = openapi(MEDIAS)["servers"]
    assert urljoin(f"{root}v1/openapi.json", server["url"]) == root


def test_a_sheet_is_bytes_to_a_client_that_looks_at_the_first_type() -> None:
    """A client generator that makes one return type of several media types takes the first. As
    text it would fail on the bytes of a PDF, so that is first, and binary."""
    reply = openapi(MEDIAS)["paths"]["/v1/sheets/{sheet}"]["post"]["responses"]["200"]
    first, *others = reply["content"].items()
    assert first == ("application/pdf", {"schema": {"type": "string", "format": "binary"}})
    assert [other["schema"] for _, other in others] == [{"type": "string"}] * 4


def test_every_refusal_is_published_as_a_problem() -> None:
    """Each refusal has the one media type and schema, and the headers that refusals always have."""
    for status, response in openapi(MEDIAS)["components"]["responses"].items():
        (media,) = response["content"]
        assert media == "application/problem+json"
        assert response["content"][media]["schema"] == {"$ref": "#/components/schemas/Problem"}
        assert {"Release", "X-Request-Id"} <= set(response["headers"]), status


def test_making_it_twice_gives_the_same_text() -> None:
    """What is published does not depend on order or time."""
    assert published(MEDIAS) == published(MEDIAS)


def test_examples_are_read_where_they_are_there(tmp_path: Path) -> None:
    """Examples are read by their names, without very long replies; where the folder does not exist
    there are none."""
    (tmp_path / "a-deck.request.json").write_text('{"title": "A deck"}', "utf-8")
    (tmp_path / "a-deck.reply.json").write_text("{}", "utf-8")
    (tmp_path / "long.reply.json").write_text(" " * examples.LONGEST + "{}", "utf-8")
    assert examples.requests(tmp_path) == {
        "a-deck": {"summary": "A deck", "value": {"title": "A deck"}}
    }
    assert examples.replies(tmp_path) == {"a-deck": {"summary": "a deck", "value": {}}}
    assert examples.requests(tmp_path / "none") == {}


@pytest.mark.parametrize(
    "document", [small(unit="ft", **{"a\nb": 1}), b'{"a": NaN}', small(kit="none-such")]
)
def test_a_refusal_fits_its_own_schema(document: Any) -> None:
    """A refusal for one fault or for several fits the problem schema, whatever names were sent."""
    _, found = problems(document)
    body = json.loads(refuse("misfit", found).body)
    assert second_opinion("problem").is_valid(body)
    assert ProblemForm().validate(body) == {}
    assert list(body) == ["type", "title", "status", "detail", "errors"]
    assert body["type"] == "/v1/docs#problem-misfit"
    assert found[0].message in body["detail"]
    assert (str(len(found)) in body["detail"]) or len(found) == 1


def test_lists_beside_a_type_are_of_text() -> None:
    """A list of allowed values beside a type holds text alone, as client generators read no others:
    one leaves out the whole document for a list of numbers."""
    listed = [node["enum"] for node in nodes(components()) if "type" in node and "enum" in node]
    assert listed
    assert all(isinstance(value, str) for values in listed for value in values)


def test_several_types_are_scalars() -> None:
    """Client generators know no list of types with objects or lists among them."""
    several = [node["type"] for node in nodes(components()) if isinstance(node.get("type"), list)]
    assert several
    assert not {"array", "object"} & {each for types in several for each in types}


def test_figures_alike_share_a_form() -> None:
    """No two forms of figures differ by their words alone, as each form becomes a class of a
    client."""
    forms: dict[str, str] = {}
    for name, node in components().items():
        if name.endswith("Figure"):
            shape = repr({key: node[key] for key in node if key not in ("title", "description")})
            assert forms.setdefault(shape, name) == name
    assert forms


def unplaced(node: Any, known: bool, names: frozenset[str], where: str = "") -> list[str]:
    """Places of a schema where `required` stands with no type of object, or names no property.

    A strict validator or linter takes both for a slip. known, names: whether the schema that this
    one is laid over, for the same value, has the type, and the properties that it has.
    """
    if not isinstance(node, dict):
        return []
    known = known or node.get("type") == "object"
    names = names | node.get("properties", {}).keys()
    found = [where] if "required" in node and not (known and names >= set(node["required"])) else []
    for key, inner in node.items():
        same = key in ("not", "if", "then", "else", "allOf", "anyOf", "oneOf")
        each = inner.items() if key in ("properties", "$defs") else [("", inner)]
        each = enumerate(inner) if isinstance(inner, list) else each
        for name, one in each:
            below = f"{where}/{key}/{name}".removesuffix("/")
            found += unplaced(one, known and same, names if same else frozenset(), below)
    return found


@pytest.mark.parametrize("name", sorted(components() | OBJECTS))
def test_what_is_required_is_a_property_of_an_object(name: str) -> None:
    """A validator in its strict mode refuses a schema whose `required` stands where no type says
    that the value is an object, and a linter warns of a required name that is no property."""
    assert unplaced((components() | OBJECTS)[name], known=False, names=frozenset()) == []


def test_a_property_is_never_a_bare_false() -> None:
    """Some client generators look for a reference in the schema of each property and fail where it
    is `true` or `false`, which JSON Schema allows."""
    members = [one for node in nodes(components()) for one in node.get("properties", {}).values()]
    assert members
    assert all(isinstance(member, dict) for member in members)
