"""The API page needs no outside address, and runs no script but the service's own files."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urljoin

import pytest
from flask.testing import FlaskClient

from service.wire.slugs import SLUGS
from tests.web.running import Server


class Addresses(HTMLParser):
    """Every src and href of a page, its inline scripts and styles, and its on… attributes."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.loaded: list[str] = []
        self.linked: list[str] = []
        self.inline: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Sort what the tag names."""
        named = dict(attrs)
        for name in ("src", "href"):
            if named.get(name):
                (self.linked if tag == "a" else self.loaded).append(str(named[name]))
        if tag == "style" or (tag == "script" and "src" not in named):
            self.inline.append(tag)
        self.inline += [name for name in named if name.startswith("on") or name == "style"]


@pytest.fixture
def page(client: FlaskClient) -> Addresses:
    """The page, parsed."""
    return Addresses(client.get("/v1/docs").get_data(as_text=True))


def test_everything_that_the_page_loads_is_served_here(
    client: FlaskClient, page: Addresses
) -> None:
    """Every address of the page is a path relative to the page, so that a proxy may put a prefix
    before it, and is answered with 200 and the media type of its ending, JSON for those without
    one."""
    types = {"png": "image/png", "css": "text/css", "js": "text/javascript"}
    assert sorted(address.rpartition(".")[2] for address in page.loaded) == [
        *("css", "css"),
        *("js", "js"),
        "png",
    ]
    assert page.linked
    for address in page.loaded + page.linked:
        assert re.match(r"\w[^:]*$", address), address
        reply = client.get(urljoin("/v1/docs", address))
        assert reply.status_code == 200, address
        ending = address.rpartition(".")[2]
        assert reply.mimetype == types.get(ending, "application/json"), address
        assert len(reply.data) > 0


def test_the_policy_allows_only_this_host(client: FlaskClient, page: Addresses) -> None:
    """The policy allows nothing by default, scripts from this host alone and none inside the page,
    which has none."""
    policy = client.get("/v1/docs").headers["Content-Security-Policy"]
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == rules["connect-src"] == "'self'"
    assert rules["frame-ancestors"] == "'none'"
    assert "http" not in policy
    assert page.inline == []


def test_our_script_asks_for_our_document_and_no_outside_check(client: FlaskClient) -> None:
    """Swagger UI would send the document's address to a validator elsewhere unless it is set not
    to."""
    script = client.get("/v1/docs/docs.js").get_data(as_text=True)
    assert "validatorUrl: null" in script
    assert 'url: "openapi.json"' in script
    assert not re.search(r"https?://", script)


def test_the_style_sheet_loads_nothing_from_elsewhere(client: FlaskClient) -> None:
    """Every url(...) in it is data."""
    sheet = client.get("/v1/docs/swagger-ui.css").get_data(as_text=True)
    assert re.findall(r"url\((?!['\"]?data:)[^)]*\)", sheet) == []


def test_the_page_is_the_same_whatever_is_sent(client: FlaskClient) -> None:
    """No query, header or host of a request is written into HTML."""
    plain = client.get("/v1/docs").data
    sent = client.get(
        "/v1/docs?url=//evil.example/x&<script>",
        headers={"Host": "evil.example", "X-Forwarded-Host": "evil.example"},
    )
    assert sent.data == plain


@pytest.mark.parametrize("accept", ["text/html", "text/html,application/xhtml+xml,*/*;q=0.8"])
def test_a_browser_gets_html(client: FlaskClient, accept: str) -> None:
    """The page comes as HTML in UTF-8."""
    reply = client.get("/v1/docs", headers={"Accept": accept})
    assert (reply.status_code, reply.content_type) == (200, "text/html; charset=utf-8")


def test_one_who_wants_only_json_is_told_406(client: FlaskClient) -> None:
    """The page comes as HTML only."""
    assert client.get("/v1/docs", headers={"Accept": "application/json"}).status_code == 406


def test_the_type_of_every_refusal_leads_to_its_words_on_the_page(client: FlaskClient) -> None:
    """The `type` of a refusal is the address of its documentation, as it should be (RFC 9457,
    section 3.1.1)."""
    page = client.get("/v1/docs").get_data(as_text=True)
    kinds = re.findall(r'<dt id="problem-([a-z0-9_]+)">', page)
    assert len(kinds) == len(set(kinds)) == len(SLUGS)
    refused = client.post("/v1/layout", data=b"{", content_type="application/json").get_json()
    path, anchor = refused["type"].split("#")
    assert path == "/v1/docs"
    assert f'id="{anchor}"' in page


@pytest.mark.parametrize("prefix", ["", "/guards"])
def test_what_is_tried_on_the_page_goes_to_the_service(
    blank: Any, server: Server, prefix: str
) -> None:
    """A request tried on the page reaches the service, also behind a proxy that takes a prefix off:
    the paths of openapi.json begin where its server is, a folder above it."""

    def take_off(route: Any) -> None:
        route.fulfill(response=route.fetch(url=route.request.url.replace(prefix, "", 1)))

    if prefix:
        blank.route(f"{server.url}{prefix}/**", take_off)
    blank.goto(f"{server.url}{prefix}/v1/docs")
    blank.locator("#operations-Health-live .opblock-summary-control").click()
    blank.locator("#operations-Health-live .try-out__btn").click()
    with blank.expect_response(f"{server.url}{prefix}/health/live") as told:
        blank.locator("#operations-Health-live .execute").click()
    assert told.value.status == 200


def test_the_batch_that_the_page_shows_is_laid_out(blank: Any, server: Server) -> None:
    """The example batch is sent as a deck a line, although Swagger UI shows the lines as one piece
    of JSON text."""
    blank.goto(f"{server.url}/v1/docs")
    blank.locator("#operations-Layout-layouts .opblock-summary-control").click()
    blank.locator("#operations-Layout-layouts .try-out__btn").click()
    with blank.expect_response(f"{server.url}/v1/layouts") as told:
        blank.locator("#operations-Layout-layouts .execute").click()
    answers = [json.loads(line) for line in told.value.text().splitlines()]
    assert [answer["status"] for answer in answers] == [200, 200]


def test_the_page_has_one_main_part_and_its_list_of_refusals_a_name(
    blank: Any, server: Server
) -> None:
    """Swagger UI brings the main part; a second one around it would leave those who go from part to
    part by a screen reader with two of one name."""
    blank.goto(f"{server.url}/v1/docs")
    blank.locator("#operations-tag-Layout").wait_for()
    api = pytest.importorskip("playwright.sync_api")
    api.expect(blank.get_by_role("main")).to_have_count(1)
    api.expect(blank.get_by_role("region", name="Refusals")).to_have_count(1)
