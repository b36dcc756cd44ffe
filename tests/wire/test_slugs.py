"""Every code that the service's source gives a problem is explained, and no other code is."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from service.drawings.sheets import MEDIAS
from service.refusals import KINDS
from service.wire.publishing.components import components
from service.wire.publishing.publish import openapi
from service.wire.slugs import CODES, SLUGS

TESTS = Path(__file__).resolve().parents[1]
SERVICE = TESTS.parent / "service"
TAKES = {
    **{"Problem": 1, "unbuildable": 1, "_problem": 1, "_Fault": 1, "_find": 3},
    **{"Fault": 0, "fault": 0, "_malformed": 0, "WebRefusal": 0, "Kind": 0},
}
"""Each function whose calls give a problem its code, with the place of that argument."""


def codes(source: str) -> Iterator[str]:
    """Every code that the calls in a module's source give; of a choice between two codes, both."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call):
            function = node.func
            name = getattr(function, "id", getattr(function, "attr", ""))
            place = TAKES.get(name)
            given = [node.args[place]] if place is not None and len(node.args) > place else []
            given += [word.value for word in node.keywords if word.arg in ("code", "slug")]
            for argument in given:
                yield from _words(argument)


def _words(argument: ast.expr) -> Iterator[str]:
    for choice in (
        (argument.body, argument.orelse) if isinstance(argument, ast.IfExp) else (argument,)
    ):
        if isinstance(choice, ast.Constant) and isinstance(choice.value, str):
            yield choice.value


def raised() -> set[str]:
    """Every code that the service gives a problem."""
    sources = [path.read_text("utf-8") for path in SERVICE.rglob("*.py")]
    return {code for source in sources for code in codes(source)}


def test_every_code_is_explained() -> None:
    """A new code needs its line in the table."""
    assert raised() - set(SLUGS) == set(), (
        "give each code its line in the table of its kind in service/wire/slugs.py"
    )


def test_every_code_that_is_explained_is_raised() -> None:
    """A code that nothing gives any more has no line in the table."""
    assert set(SLUGS) - raised() == set(), (
        "nothing raises these: take their lines out of service/wire/slugs.py; or TAKES lacks the "
        "function that gives them"
    )


def test_every_code_of_a_document_is_looked_for_somewhere() -> None:
    """A hand-worked case or a test names each code, in double quotes."""
    files = [*TESTS.rglob("*.json"), *TESTS.rglob("*.py")]
    named = set().union(*(quoted(path.read_text("utf-8")) for path in files))
    assert set(SLUGS) - set(KINDS) - named == set(), (
        "give each code a case in tests/cases/refusals, or a test that names it"
    )


def test_a_code_comes_with_the_status_that_is_said_of_it() -> None:
    """In each hand-worked refusal the status is that of the code's table, or one that the code's
    line names."""
    said = {
        (code, status)
        for kind, codes in CODES.items()
        for code, means in codes.items()
        for status in (str(KINDS[kind].status), *re.findall(r"\b4\d\d\b", means))
    }
    cases = [json.loads(path.read_text("utf-8")) for path in (TESTS / "cases").rglob("*.json")]
    refused = [case for case in cases if case.get("status", 200) != 200]
    given = {(each["code"], str(case["status"])) for case in refused for each in case["errors"]}
    assert len(given) > 50
    assert given - said == set()


def quoted(text: str) -> set[str]:
    """Every slug that stands in double quotes in a text."""
    return set(re.findall(r'"([a-z_0-9]+)"', text))


def test_a_kind_of_refusal_has_one_wording() -> None:
    """The API page, the OpenAPI document and its example say of a kind what its title says, so that
    whoever meets it in two places knows it again."""
    responses = openapi(MEDIAS)["components"]["responses"]
    for kind in KINDS.values():
        assert SLUGS[kind.slug] == f"{kind.title}."
        told = responses.get(str(kind.status), {"description": kind.title})["description"]
        assert kind.title.lower() in told.lower()
    (shown,) = components()["Problem"]["examples"]
    assert shown["title"] == KINDS["unbuildable"].title


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ('Problem("", "a_b", "M.")', ["a_b"]),
        ('raise unbuildable(pointer, "a", message)', ["a"]),
        ('self.fault("a" if many else "b")', ["a", "b"]),
        ('Problem(pointer="", code="a", message="")', ["a"]),
        ("Problem(pointer, code, message)", []),
    ],
)
def test_the_reading_of_the_source(source: str, found: list[str]) -> None:
    """A code is found in whichever way a call gives it."""
    assert list(codes(source)) == found


def test_codes_are_slugs_with_a_sentence() -> None:
    """A code has only lower case letters, digits and underscores, and its words end in a full
    stop."""
    for slug, words in SLUGS.items():
        assert slug.replace("_", "").isalnum()
        assert slug == slug.lower()
        assert words.endswith(".")
