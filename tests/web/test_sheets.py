"""The path of the sheets: a sheet comes as the type asked for, and a refusal is a problem
document."""

from __future__ import annotations

import hashlib
import json
from typing import Any
from xml.etree import ElementTree

import pytest
from flask.testing import FlaskClient

from service import answer
from service.data.catalogue import load_catalogue
from service.drawings.parts import Subject
from service.drawings.sheets import MEDIAS, SUFFIXES, make_sheet
from tests.web.conftest import Make
from tests.web.test_statuses import refused

EACH = [(name, media) for name, medias in MEDIAS.items() for media in medias]

CONTRACT = {
    "plan": ("image/svg+xml", "application/pdf", "image/vnd.dxf"),
    "elevations": ("image/svg+xml", "application/pdf", "image/vnd.dxf"),
    "cut-list": ("text/csv", "text/html", "application/pdf"),
    "glass-order": ("text/csv", "text/html", "application/pdf"),
    "parts": ("text/csv", "text/html", "application/pdf"),
    "job": ("application/pdf", "text/html"),
}
"""The contract, section 2: these sheets, by these media types, as each sheet suits."""

BEGINS = {
    "image/svg+xml": b'<?xml version="1.0" encoding="UTF-8"?>\n<svg ',
    "application/pdf": b"%PDF-1.",
    "image/vnd.dxf": b"0\nSECTION",
    "text/csv": b"\xef\xbb\xbf",
    "text/html": b"<!DOCTYPE html>\n",
}


def test_every_sheet_of_the_contract_is_there() -> None:
    """Each sheet has its name and the types that suit it, the usual type first. There may be more
    sheets than the contract has."""
    assert {name: MEDIAS.get(name) for name in CONTRACT} == CONTRACT


@pytest.mark.parametrize(("name", "media"), EACH)
def test_a_sheet_comes_as_what_is_asked_for(
    client: FlaskClient, deck: dict[str, Any], name: str, media: str
) -> None:
    """A sheet comes with its type, a file name and the headers of every reply, and is not to be
    cached."""
    reply = client.post(f"/v1/sheets/{name}", json=deck, headers={"Accept": media})
    assert reply.status_code == 200
    assert reply.mimetype == media
    assert reply.data.startswith(BEGINS[media])
    assert reply.headers["Content-Disposition"] == f'inline; filename="{name}.{SUFFIXES[media]}"'
    assert reply.headers["Cache-Control"] == "no-store"
    assert reply.headers["X-Content-Type-Options"] == "nosniff"
    assert reply.headers["Release"]


@pytest.mark.parametrize(("name", "media"), EACH)
def test_a_sheet_is_the_same_each_time(
    client: FlaskClient, deck: dict[str, Any], name: str, media: str
) -> None:
    """The same document gives the same bytes."""
    digests = {
        hashlib.sha256(
            client.post(f"/v1/sheets/{name}", json=deck, headers={"Accept": media}).data
        ).digest()
        for _ in range(2)
    }
    assert len(digests) == 1


BESIDE = {
    "compare": [{"label": "glass", "guard": {"infill": "glass"}}, {"label": "none"}],
    "advise": True,
    "guard": {"infill": "picket", "height": 30},
}
"""Two variants, and advice, as the guard is too low."""


def test_what_no_sheet_prints_is_not_worked_out(
    client: FlaskClient, deck: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither variants nor advice are worked out for any sheet; the layout has both, as ever."""
    asked = deck | BESIDE
    both = json.loads(client.post("/v1/layout", json=asked).data)
    assert (len(both["comparison"]), len(both["advice"]) > 0) == (2, True)
    for work in ("compare", "advise"):
        monkeypatch.setattr(answer, work, lambda *_: pytest.fail("worked out"))
    for name in MEDIAS:
        assert client.post(f"/v1/sheets/{name}", json=asked).status_code == 200


@pytest.mark.parametrize(("name", "media"), EACH)
def test_a_sheet_is_that_of_the_whole_layout_document(
    client: FlaskClient, deck: dict[str, Any], name: str, media: str
) -> None:
    """A sheet is, byte for byte, what is drawn from the layout with its variants and its advice."""
    reply, answered = answer.answer_with_records(deck | BESIDE, load_catalogue())
    subject = Subject(
        reply, answered.deck, answered.kit, answered.code, answered.layout, answered.order
    )
    made = make_sheet(name, media, subject)
    sent = client.post(f"/v1/sheets/{name}", json=deck | BESIDE, headers={"Accept": media})
    assert sent.data == made


def test_what_stands_beside_a_job_leaves_the_job_as_it_is(deck: dict[str, Any]) -> None:
    """The digest and every other member are the same with and without variants and advice. So is
    the stock plan's share of the work: a third of one half, which the deck shares with its two
    variants, as the other half is for advice."""
    whole, answered = answer.answer_with_records(deck | BESIDE, load_catalogue())
    alone, lone = answer.answer_for_sheets(deck | BESIDE, load_catalogue())
    beside = ("comparison", "advice")
    assert alone == {name: value for name, value in whole.items() if name not in beside}
    assert lone.order_request.shares == answered.order_request.shares == 2 * (1 + 2)


@pytest.mark.parametrize("name", MEDIAS)
def test_the_first_comes_where_nothing_is_preferred(
    client: FlaskClient, deck: dict[str, Any], name: str
) -> None:
    """The sheet's first type comes without an Accept field, with one for any type, and with one
    that wants all types alike."""
    for headers in ({}, {"Accept": "*/*"}, {"Accept": ", ".join(reversed(MEDIAS[name]))}):
        reply = client.post(f"/v1/sheets/{name}", json=deck, headers=headers)
        assert reply.mimetype == MEDIAS[name][0]


def test_what_is_wanted_most_comes(client: FlaskClient, deck: dict[str, Any]) -> None:
    """The type of the greatest weight comes (RFC 9110, section 12.5.1), also where a wildcard has
    that weight."""
    for accept, media in (
        ("image/svg+xml;q=0.5, application/pdf", "application/pdf"),
        ("application/*, image/*;q=0.9", "application/pdf"),
        ("image/svg+xml;q=0, */*;q=0.1", "application/pdf"),
        ("text/html, image/vnd.dxf;q=0.2", "image/vnd.dxf"),
    ):
        reply = client.post("/v1/sheets/plan", json=deck, headers={"Accept": accept})
        assert reply.mimetype == media, accept


@pytest.mark.parametrize(
    ("name", "accept"), [("plan", "text/csv"), ("cut-list", "image/svg+xml"), ("job", "image/*")]
)
def test_what_a_sheet_cannot_be_is_406(
    client: FlaskClient, deck: dict[str, Any], name: str, accept: str
) -> None:
    """The message names all types of the sheet."""
    reply = client.post(f"/v1/sheets/{name}", json=deck, headers={"Accept": accept})
    told = refused(reply, 406, "not_acceptable")["errors"][0]["message"]
    assert all(media in told for media in MEDIAS[name])


def test_a_sheet_that_is_not_there_is_404(client: FlaskClient, deck: dict[str, Any]) -> None:
    """The message names the sheets that there are, and repeats nothing of the path."""
    told = refused(client.post("/v1/sheets/elevation<b>", json=deck), 404, "not_found")
    assert all(name in told["errors"][0]["message"] for name in MEDIAS)
    assert "<b>" not in json.dumps(told)


@pytest.mark.parametrize("method", ["GET", "PUT", "DELETE", "PATCH"])
def test_a_sheet_is_only_posted_to(client: FlaskClient, method: str) -> None:
    """Any other method is a 405 that says which is taken."""
    reply = client.open("/v1/sheets/plan", method=method)
    refused(reply, 405)
    assert reply.headers["Allow"] == "OPTIONS, POST"


def test_a_document_is_refused_as_at_the_layout(client: FlaskClient, deck: dict[str, Any]) -> None:
    """The problem document is the same as at the layout, byte for byte, whichever sheet is asked
    for."""
    bad = [
        (b"{", 400),
        (json.dumps(deck | {"colour": 1}).encode(), 400),
        (json.dumps(deck | {"kit": "no-such-kit"}).encode(), 422),
    ]
    for body, status in bad:
        headers = {"Content-Type": "application/json"}
        layout = client.post("/v1/layout", data=body, headers=headers)
        for name in MEDIAS:
            reply = client.post(f"/v1/sheets/{name}", data=body, headers=headers)
            refused(reply, status)
            assert reply.data == layout.data


@pytest.mark.usefixtures("standing")
def test_limits_and_types_hold_as_at_the_layout(make_client: Make, deck: dict[str, Any]) -> None:
    """A sheet is refused for a body that is too long or of another type, for a missing key, and for
    the rate."""
    body = json.dumps(deck).encode()
    small = make_client(body_limit=1024, log_level="error")
    long = body + b" " * 1024
    refused(small.post("/v1/sheets/plan", data=long, content_type="application/json"), 413)
    refused(small.post("/v1/sheets/plan", data=body[:9], content_type="text/plain"), 415)
    keyed = make_client(keys=("k" * 20,), log_level="error")
    refused(keyed.post("/v1/sheets/plan", json=deck), 401)
    slow = make_client(rate=1, log_level="error")
    statuses = [slow.post("/v1/sheets/plan", json=deck).status_code for _ in range(4)]
    assert statuses == [200, 429, 429, 429]


def test_the_digest_of_the_layout_is_on_every_sheet_of_text(
    client: FlaskClient, deck: dict[str, Any]
) -> None:
    """The digest is unbroken, so that two sheets can be compared by a person or found by a search
    for it."""
    digest = json.loads(client.post("/v1/layout", json=deck).data)["digest"]
    for name, media in EACH:
        if media in ("image/svg+xml", "text/html", "image/vnd.dxf"):
            reply = client.post(f"/v1/sheets/{name}", json=deck, headers={"Accept": media})
            assert digest.encode() in reply.data, (name, media)


HOSTILE = "<script>alert(1)</script>\"'&]]>\ufffe"


def test_a_strangers_words_are_only_words(client: FlaskClient, deck: dict[str, Any]) -> None:
    """Markup in a title or a name is text in every file of a type that knows markup. The SVG stays
    well formed, though XML does not know U+FFFE."""
    deck["title"] = HOSTILE
    column = {"name": HOSTILE, "points": [[100, 100], [106, 100], [106, 106], [100, 106]]}
    deck["levels"][0]["obstructions"] = [column]
    for name, media in EACH:
        reply = client.post(f"/v1/sheets/{name}", json=deck, headers={"Accept": media})
        assert reply.status_code == 200
        if media in ("image/svg+xml", "text/html"):
            assert b"<script" not in reply.data
            assert b"&lt;script&gt;" in reply.data
        if media == "image/svg+xml":
            ElementTree.fromstring(reply.data)
