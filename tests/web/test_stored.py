"""Catalogue, schemas and limits: ready-made bytes, a strong ETag, and 304."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.core import limits
from tests.web.conftest import Make

STORED = [
    "/v1/kits",
    "/v1/kits/glass-picket-surface-mm",
    "/v1/codes",
    "/v1/codes/gb-eng-adk-2013",
    *(f"/v1/schemas/{name}.json" for name in ("deck", "kit", "code", "layout", "problem")),
    "/v1/openapi.json",
    "/v1/limits",
    "/v1/docs",
    "/v1/docs/swagger-ui-bundle.js",
]


@pytest.mark.parametrize("path", STORED)
def test_a_tag_that_is_known_gets_304(client: FlaskClient, path: str) -> None:
    """A 304 has no body, and has the headers that a cache refreshes (RFC 9110, section 15.4.5)."""
    first = client.get(path)
    tag = first.headers["ETag"]
    assert re.fullmatch(r'"[0-9a-f]{32}"', tag), "strong: no W/"
    again = client.get(path, headers={"If-None-Match": tag})
    assert (again.status_code, again.data) == (304, b"")
    assert again.headers["ETag"] == tag
    assert again.headers["Cache-Control"] == first.headers["Cache-Control"] == "public, max-age=300"


@pytest.mark.parametrize("sent", ["*", '"other", {tag}', "W/{tag}"])
def test_the_forms_of_if_none_match(client: FlaskClient, sent: str) -> None:
    """A star, a list, and a weak tag all match (RFC 9110, section 13.1.2: weak comparison)."""
    tag = client.get("/v1/kits").headers["ETag"]
    reply = client.get("/v1/kits", headers={"If-None-Match": sent.format(tag=tag)})
    assert reply.status_code == 304


def test_another_tag_gets_the_document(client: FlaskClient) -> None:
    """A tag of an older copy gets the document."""
    reply = client.get("/v1/kits", headers={"If-None-Match": '"0123"'})
    assert (reply.status_code, len(reply.data) > 0) == (200, True)


@pytest.mark.parametrize("path", STORED)
def test_a_copy_that_must_match_and_does_not_is_412(client: FlaskClient, path: str) -> None:
    """The refusal is a problem document like any other, and names the current tag (RFC 9110,
    section 13.1.1)."""
    reply = client.get(path, headers={"If-Match": '"0123"'})
    assert (reply.status_code, reply.content_type) == (412, "application/problem+json")
    (error,) = json.loads(reply.data)["errors"]
    assert error["code"] == "precondition_failed"
    tag = client.get(path).headers["ETag"]
    assert tag in error["message"]
    assert client.get(path, headers={"If-Match": f'"0123", {tag}'}).status_code == 200


def test_a_star_asks_for_no_more_than_that_there_is_something(client: FlaskClient) -> None:
    """`If-Match: *` is met wherever there is a document (RFC 9110, section 13.1.1, step 1);
    If-None-Match is still looked at (13.2.2)."""
    star = client.get("/v1/kits", headers={"If-Match": "*"})
    tag = star.headers.get("ETag", "")
    assert (star.status_code, len(star.data) > 0) == (200, True)
    known = client.get("/v1/kits", headers={"If-Match": "*", "If-None-Match": tag})
    assert known.status_code == 304


@pytest.mark.parametrize("path", ["/v1/docs/docs.css", "/v1/docs/docs.js", "/counter/start.json"])
def test_what_a_page_loads_is_given_whatever_is_accepted(client: FlaskClient, path: str) -> None:
    """Browsers and proxies ask for a style or a script by other types than its own."""
    assert client.get(path, headers={"Accept": "image/png"}).status_code == 200


def test_tags_differ_between_documents(client: FlaskClient) -> None:
    """No two documents have the same tag."""
    tags = [client.get(path).headers["ETag"] for path in STORED]
    assert len(set(tags)) == len(tags)


@pytest.mark.parametrize("kind", ["kits", "codes"])
def test_a_listed_document_can_be_sent_inline(
    client: FlaskClient, deck: dict[str, Any], kind: str
) -> None:
    """A document of the catalogue, sent inline, gives the same reply as its id."""
    member = kind.removesuffix("s")
    for document in json.loads(client.get(f"/v1/{kind}").data)[kind]:
        assert document == json.loads(client.get(f"/v1/{kind}/{document['id']}").data)
        by_id = client.post("/v1/layout", json=deck | {member: document["id"]})
        inline = client.post("/v1/layout", json=deck | {member: document})
        assert (by_id.status_code, by_id.data) == (inline.status_code, inline.data)


def test_limits_are_those_that_are_kept(make_client: Make) -> None:
    """The published limits on bytes and levels are those of the settings and of the core."""
    told = json.loads(make_client(body_limit=4096).get("/v1/limits").data)
    assert (told["body"], told["levels"]) == (4096, limits.LEVELS)
