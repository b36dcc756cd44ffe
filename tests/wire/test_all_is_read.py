"""What a document may say is read: no member is published that no reader asks for.

Readers are given objects that note which of their members are asked for. A member that has its form
but was forgotten in the reader would be accepted and change nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from typing import Any

from service import answer
from service.compare import vary
from service.core.problems import Unbuildable
from service.wire.gate import compiled
from service.wire.publishing.components import Root, schemas
from service.wire.reading.code import read_code
from service.wire.reading.kit import read_kit
from tests.shipped import catalogue
from tests.wire.documents import every_member
from tests.wire.test_defaults import REQUESTS

Json = Any
UNREAD = {
    "mass_per_length": "the contract has it, but nothing here depends on what a rail weighs",
    "applies_to": "tells people which buildings a code is for",
    "label": "given back by `compare`, which lays variants out and does not read them",
}
"""Members that no reader asks for, each with the reason."""
AS_LENGTHS = ("LengthAtLeastFigure", "When")
"""The forms of a figure that is a length and of its cases, which stand for those of all kinds."""


class Noted(dict[str, Any]):
    """An object of a document that notes which of its members are asked for.

    Whoever goes through all of its members has asked for each.
    """

    def __init__(self, members: dict[str, Any]) -> None:
        super().__init__({name: noted(value) for name, value in dict.items(members)})
        self.asked: set[str] = set()

    def __deepcopy__(self, memo: object) -> Noted:
        return Noted(self)

    def __getitem__(self, name: str) -> Any:
        self.asked.add(name)
        return super().__getitem__(name)

    def get(self, name: str, default: Any = None) -> Any:
        """The member, or the default where it is left out."""
        self.asked.add(name)
        return super().get(name, default)

    def __iter__(self) -> Iterator[str]:
        self.asked.update(super().keys())
        return super().__iter__()

    def items(self) -> Any:
        """Every member with its name."""
        self.asked.update(super().keys())
        return super().items()


def noted(value: Json) -> Json:
    """A copy of a document, or of a part of one, whose objects are all Noted."""
    if isinstance(value, dict):
        return Noted(value)
    return [noted(each) for each in value] if isinstance(value, list) else value


def members(value: Json, place: str) -> Iterator[tuple[str, bool]]:
    """Each member at any depth by its place, in which entries of lists have no number, and whether
    it was asked for."""
    if isinstance(value, list):
        for each in value:
            yield from members(each, place)
    elif isinstance(value, Noted):
        asked = frozenset(value.asked)
        for name, each in dict.items(value):
            yield f"{place}/{name}", name in asked
            yield from members(each, f"{place}/{name}")


@cache
def decks() -> list[Json]:
    """Every case and example that fits the schema, and the deck that has every member."""
    requests = (*REQUESTS.values(), every_member())
    return [each for each in requests if compiled("deck").is_valid(each)]


def read_deck(sent: Json) -> Iterator[Json]:
    """A deck document, and those of the variants that it asks for, each read as an answer does."""
    document = noted(sent)
    varied = [noted(vary(sent, change)) for change in document.get("compare", ())]
    for each in (document, *varied):
        with suppress(Unbuildable):
            answer._read(each, catalogue(), 1, other_kit=False)
        yield each


def test_every_member_that_is_sent_is_read() -> None:
    """Each member of each case, example, shipped kit and shipped code is asked for by a reader, at
    least in one of the documents that have it."""
    found: dict[str, bool] = {}

    def note(document: Json, place: str) -> None:
        for at, asked in members(document, place):
            found[at] = found.get(at, False) or asked

    for sent in decks():
        for document in read_deck(sent):
            note(document, "")
    for kind, read, shipped in (
        ("kit", read_kit, catalogue().kit_documents),
        ("code", read_code, catalogue().code_documents),
    ):
        for sent in shipped.values():
            document = noted(sent)
            read(document, "in", "")
            note(document, f"/{kind}")
    forgotten = [at for at, asked in found.items() if not asked and at.split("/")[-1] not in UNREAD]
    assert forgotten == [], (
        "these members are published, but no reader asks for them: read them in wire/reading, or "
        "give the reason in UNREAD"
    )
    assert {at.split("/")[-1] for at, asked in found.items() if not asked} == set(UNREAD)


def sent_of(kind: Root, node: Json, value: Json) -> Iterator[tuple[str, str]]:
    """The members that a document has, each after the name of the object that the schema defines it
    in. node: the schema of `value`."""
    name = node.get("$ref", "").rsplit("/", 1)[-1]
    node = schemas()[kind]["$defs"][name] if name else node
    for choice in node.get("anyOf", node.get("oneOf", ())):
        yield from sent_of(kind, choice, value)
    if isinstance(value, list):
        for each in value:
            yield from sent_of(kind, node.get("items", {}), each)
    elif isinstance(value, dict):
        named, other = node.get("properties", {}), node.get("additionalProperties") or {}
        for member, each in value.items():
            if member in named:
                yield name or kind, member
            yield from sent_of(kind, named.get(member, other), each)


def published(kind: Root) -> set[tuple[str, str]]:
    """Every member of a document of a kind, after the name of the object that it belongs to."""
    schema = schemas()[kind]
    objects = [(str(kind), schema), *schema["$defs"].items()]
    return {(name, member) for name, node in objects for member in node.get("properties", ())}


def test_the_deck_that_has_every_member_has_every_member() -> None:
    """Each published member of decks, kits and codes is in the document that the test above reads.
    Of figures, whose forms are made alike, the lengths stand for all; amendments are read by their
    names."""
    assert compiled("deck").is_valid(every_member())
    sent = set(sent_of("deck", schemas()["deck"], every_member()))
    wanted = {
        (name, member)
        for name, member in published("deck")
        if name in AS_LENGTHS or not name.endswith(("Figure", "When", "Figures", "Amendments"))
    }
    left = wanted - sent
    assert left == set(), "put these into `every_member` of tests/wire/documents.py"
