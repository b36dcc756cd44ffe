"""Limits on how many there may be of each thing: a 413, whatever else is wrong, and in the schema,
too."""

from __future__ import annotations

from typing import Any

import pytest

from service.core import limits
from service.core.problems import TooLarge
from service.wire.counts import check_counts
from service.wire.gate import compiled, form_faults
from service.wire.publishing.components import Root, schemas

from .documents import code, deck, kit, problems, put

EVERY = "*"
"""A step of a path: every entry of a list, or every member of an open object."""


def bounds(schema: Any, node: Any, path: tuple[str, ...] = ()) -> dict[tuple[str, ...], int]:
    """Every `maxItems` and `maxProperties` within a schema, by its path in a document; lists of a
    fixed length, such as points, aside."""
    if "$ref" in node:
        return bounds(schema, schema["$defs"][node["$ref"].removeprefix("#/$defs/")], path)
    found: dict[tuple[str, ...], int] = {}
    most = node.get("maxItems", node.get("maxProperties"))
    if most is not None and node.get("minItems") != most:
        found[path] = most
    for name, member in node.get("properties", {}).items():
        found |= bounds(schema, member, (*path, name))
    for each in node.get("anyOf", node.get("oneOf", ())):
        found |= bounds(schema, each, path)
    for inner in (node.get("items"), node.get("additionalProperties")):
        if isinstance(inner, dict):
            found |= bounds(schema, inner, (*path, EVERY))
    return found


def holding(path: tuple[str, ...], entries: list[None]) -> Any:
    """A document with nothing in it but a list of these entries at a path, first among others."""
    held: Any = entries
    for name in reversed(path):
        held = [held] if name == EVERY else {name: held}
    return held


@pytest.mark.parametrize("kind", ["deck", "kit", "code"])
def test_every_bound_of_the_schema_is_counted(kind: Root) -> None:
    """At each bound of the published schema nothing is refused; with one more entry the refusal
    names that place and that number."""
    published = bounds(schemas()[kind], schemas()[kind])
    assert published
    for path, most in published.items():
        check_counts(kind, holding(path, [None] * most))
        with pytest.raises(TooLarge) as refused:
            check_counts(kind, holding(path, [None] * (most + 1)))
        (problem,) = refused.value.problems
        assert problem.pointer == "".join(f"/{0 if name == EVERY else name}" for name in path)
        assert problem.message == f"There are {most + 1} entries; at most {most} are taken."


def test_amendments_cannot_be_too_many_unless_they_are_unknown() -> None:
    """The names of amendments are a closed list, with no more entries than the published limit."""
    names = schemas()["deck"]["$defs"]["Amendments"]["properties"]
    assert len(names) <= limits.AMENDMENTS
    check_counts("deck", {"amendments": dict.fromkeys(map(str, range(limits.AMENDMENTS)))})
    with pytest.raises(TooLarge):
        check_counts("deck", {"amendments": dict.fromkeys(map(str, range(limits.AMENDMENTS + 1)))})


@pytest.mark.parametrize(
    ("pointer", "entry", "most"),
    [
        ("/levels", {"id": "a"}, limits.LEVELS),
        ("/levels/0/outline/points", [0, 0], limits.CORNERS),
        ("/levels/1/outline/sides", {"length": 1}, limits.CORNERS),
        ("/levels/2/outline/ties/corners", {"from_a": 1, "from_b": 1}, limits.CORNERS - 2),
        ("/levels/0/edges", {"edge": 0}, limits.EDGES),
        ("/levels/0/openings", {"id": "a"}, limits.OPENINGS),
        ("/levels/0/obstructions", {"name": "a"}, limits.OBSTRUCTIONS),
        ("/levels/0/obstructions/0/points", [0, 0], limits.OBSTRUCTION_CORNERS),
        ("/levels/0/no_post", {"edge": 0}, limits.NO_POST),
        ("/stairs", {"id": "a"}, limits.STAIRS),
        ("/stairs/0/guards", "left", 2),
        ("/stairs/0/handrail", "left", 2),
        ("/site_measures", {"bay": "B1"}, limits.MEASURES),
        ("/kit/post/heights", 36, limits.KIT_LIST),
        ("/kit/rails/glass/top/stock", 144, limits.KIT_LIST),
        ("/kit/glass/panes", {}, limits.KIT_LIST),
    ],
)
def test_one_more_than_the_limit_is_too_large(pointer: str, entry: Any, most: int) -> None:
    """At the limit nothing is refused; with one more the refusal names the place and the limit."""
    document = put(deck(kit=kit()), pointer, [entry] * most)
    check_counts("deck", document)
    put(document, pointer, [entry] * (most + 1))
    kind, (problem,) = problems(document)
    assert (kind, problem.pointer, problem.code) == (TooLarge, pointer, "too_many")
    assert str(most) in problem.message


@pytest.mark.parametrize(
    "pointer",
    [
        *("/kit/post/heights", "/kit/glass/panes", "/kit/handrail/stock", "/kit/picket/stock"),
        *(f"/kit/rails/{i}/{r}/stock" for i in ("picket", "glass") for r in ("top", "bottom")),
        *("/kit/strength/panes", "/kit/strength/other_fixings", "/kit/included", "/kit/extras"),
    ],
)
def test_a_list_of_a_kit_has_32_entries_at_most(pointer: str) -> None:
    """As `maxItems` of the published kit schema and the reference say, 32 entries pass, and 33 are
    too many."""
    document = put(deck(kit=kit()), pointer, [{}] * 32)
    check_counts("deck", document)
    kind, (problem,) = problems(put(document, pointer, [{}] * 33))
    assert (kind, problem.pointer) == (TooLarge, pointer)
    assert "32" in problem.message


def test_parts_and_cases_of_a_figure_are_counted() -> None:
    """Open objects are counted by their members, lists in a code document by their entries."""
    parts: dict[str, dict[str, Any]] = {f"part{i}": {} for i in range(limits.PARTS + 1)}
    when: list[dict[str, Any]] = [{}] * (limits.KIT_LIST + 1)
    document = put(deck(kit=kit(), code=code()), "/kit/parts", parts)
    put(document, "/code/figures/guard_height/when", when)
    kind, found = problems(document)
    assert kind is TooLarge
    assert {p.pointer for p in found} == {"/kit/parts", "/code/figures/guard_height/when"}


def test_size_is_told_before_what_does_not_fit() -> None:
    """Too many entries that are also wrong are refused as too large."""
    kind, _ = problems({"levels": [None] * (limits.LEVELS + 1), "colour": 1})
    assert kind is TooLarge


@pytest.mark.parametrize("document", [None, 1, "a", [], [[1]], {"levels": {"a": 1}}, {"kit": []}])
def test_any_json_is_counted(document: Any) -> None:
    """In a document of another shape there is nothing to count, and the schema then refuses it."""
    check_counts("deck", document)
    assert not compiled("deck").is_valid(document)


def test_the_forms_know_the_limits_too() -> None:
    """Asked by themselves, the forms find too many sizes, as the gate does."""
    sizes = {str(i): "1" for i in range(limits.KIT_LIST + 1)}
    document = put(kit(), "/parts/picket/sizes", sizes)
    assert [(path, fault.code) for path, fault in form_faults("kit", document)] == [
        (("parts", "picket", "sizes"), "too_many")
    ]
    assert not compiled("kit").is_valid(document)
