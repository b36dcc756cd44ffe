"""The contract as published, tried by schemathesis: in process, and through gunicorn."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from jsonschema import Draft202012Validator
from openapi_spec_validator import OpenAPIV31SpecValidator
from schemathesis.config import SchemathesisConfig

from service.web.app import create_app
from service.web.settings import Settings
from tests.bounded import LONG
from tests.web import lines
from tests.web.running import ROOT, Server

CONFIG = Path(__file__).with_name("schemathesis.toml")

PATHS = {
    "/v1/layout",
    "/v1/layouts",
    "/v1/sheets/{sheet}",
    "/v1/kits",
    "/v1/kits/{id}",
    "/v1/codes",
    "/v1/codes/{id}",
    "/v1/schemas/{name}.json",
    "/v1/openapi.json",
    "/v1/limits",
    "/v1/docs",
    "/",
    "/health/live",
    "/health/ready",
    "/metrics",
}

REACHED: set[str] = set()
"""Members of the documents that fit and were sent in process."""

IN_PROCESS = SchemathesisConfig.from_path(CONFIG)
# Examples are made by every process that collects tests, so they are sent through gunicorn only.
IN_PROCESS.projects.default.phases.examples.enabled = False

schema = schemathesis.openapi.from_wsgi(
    "/v1/openapi.json", create_app(Settings(log_level="error")), config=IN_PROCESS
)


def tried(examples: int) -> settings:
    """Settings for this many cases of each operation, the same ones at every run; the long run has
    many more."""
    return settings(
        max_examples=2000 if LONG else examples,
        derandomize=not LONG,
        deadline=None,
        suppress_health_check=list(HealthCheck),
    )


@schema.exclude(path="/v1/layout").parametrize()
@tried(60)
def test_in_process(case: schemathesis.Case[Any]) -> None:
    """Every operation passes all checks, with data that fits and data that does not."""
    case.call_and_validate()


@schema.include(path="/v1/layout").parametrize()
@tried(120)
def test_decks_in_process(case: schemathesis.Case[Any]) -> None:
    """Deck documents have cases of their own, as they have more to reach than anything else that is
    sent."""
    reply = case.call_and_validate()
    if case.method == "POST" and reply.request.body:
        judge(reply.request.body, reply.status_code)


@pytest.mark.parametrize("path", ["/health/live", "/v1/kits"])
def test_a_case_goes_to_its_path(path: str) -> None:
    """With the server that the document names, what schemathesis sends arrives at the path."""
    reply = schema[path]["GET"].Case().call()
    assert (urlsplit(reply.request.url).path, reply.status_code) == (path, 200)


def judge(sent: Any, status: int) -> None:
    """Check the status against an independent validator's verdict on whether the body fits."""
    if status in (406, 415):  # refused for its headers, before the body is looked at
        return
    try:
        body = json.loads(sent)
    except ValueError:
        assert status == 400
        return
    fits = DECK.is_valid(body)
    assert status in ((200, 413, 422) if fits else (400, 413))
    if fits:
        REACHED.update(members(body))


def members(node: Any) -> set[str]:
    """The name of every member of a document, at any depth."""
    if isinstance(node, list):
        return {name for entry in node for name in members(entry)}
    if isinstance(node, dict):
        return {*node, *(name for entry in node.values() for name in members(entry))}
    return set()


DECK = Draft202012Validator(json.loads(schema.app.test_client().get("/v1/schemas/deck.json").data))


def test_every_list_of_a_deck_was_reached() -> None:
    """The data that fits had flights, framing, arcs and measures in it, not level decks alone.

    Members that such data has once in fifty documents or less, as the `guards` of flights, come in
    the published examples, which are sent through gunicorn.
    """
    sent = schema.raw_schema["paths"]["/v1/layout"]["post"]["requestBody"]["content"]
    published = [each["value"] for each in sent["application/json"]["examples"].values()]
    assert {"stairs", "guards", "openings", "site_measures"} <= members(published)
    if not REACHED:
        pytest.skip("test_decks_in_process did not run")
    wanted = {"stairs", "risers", "framing", "joist_spacing", "arc_rise", "site_measures"}
    assert wanted - REACHED == set()


def test_through_gunicorn(server: Server, tmp_path: Path) -> None:
    """The same document passes all checks against the running server, in all phases but one, for
    which only the long run has time."""
    config = tmp_path / CONFIG.name
    words = CONFIG.read_text("utf-8")
    assert "enabled = false" in words
    config.write_text(words.replace("enabled = false", "enabled = true") if LONG else words)
    command = [
        *(sys.executable, "-c", "from schemathesis.cli import schemathesis; schemathesis()"),
        *("--config-file", str(config)),
        *("run", f"{server.url}/v1/openapi.json", "--checks", "all", "--no-color"),
        *("--max-examples", "1000" if LONG else "25", "--seed", "1", "--request-timeout", "120"),
        # A slow machine makes cases slowly, which is no fault of the service.
        *("--suppress-health-check", "too_slow"),
    ]
    ended = subprocess.run(
        command,
        cwd=tmp_path,
        env={**os.environ, "SCHEMATHESIS_HOOKS": lines.__name__, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=3000,
        check=False,
    )
    assert ended.returncode == 0, ended.stdout[-6000:] + ended.stderr[-2000:]


def test_the_document_is_openapi_3_1() -> None:
    """The specification's own validator accepts the document."""
    OpenAPIV31SpecValidator(schema.raw_schema).validate()


def test_the_document_has_every_path_and_no_other() -> None:
    """The published paths are these, which are all that are served but the files of two pages."""
    assert set(schema.raw_schema["paths"]) == PATHS
    rules = create_app(Settings(log_level="error")).url_map.iter_rules()
    served = {re.sub(r"<\w+>", "*", rule.rule) for rule in rules}
    published = {re.sub(r"\{\w+\}(\.json)?", "*", path) for path in PATHS}
    assert served - {"/counter/*", "/v1/docs/*"} == published, (
        "a path has its route in service/web/routes.py, its part of the OpenAPI document in "
        "service/wire/publishing/paths.py, and a place in PATHS; README and reference name it"
    )


@pytest.mark.parametrize("path", sorted(PATHS - {"/v1/docs"}))
def test_every_operation_publishes_its_problem(path: str) -> None:
    """Each operation has at least one refusal, as a problem document."""
    for operation in schema.raw_schema["paths"][path].values():
        refusals = [
            reply for status, reply in operation["responses"].items() if status.startswith("4")
        ]
        assert refusals
