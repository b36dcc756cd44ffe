"""The contract's table of statuses (section 1), for every path: what each status is given for, and
what not."""

from __future__ import annotations

import io
import itertools
import json
from types import SimpleNamespace
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from service.core import limits
from service.refusals import ALL_KINDS, KINDS
from service.web import routes
from tests.web.conftest import Make

READ = [
    "/v1/kits",
    "/v1/kits/picket-glass-surface-in",
    "/v1/codes",
    "/v1/codes/us-irc-2021",
    *(f"/v1/schemas/{name}.json" for name in ("deck", "kit", "code", "layout", "problem")),
    "/v1/openapi.json",
    "/v1/limits",
    "/health/live",
    "/health/ready",
]
"""Every path that gives JSON to a GET."""
AS_JSON = {"Content-Type": "application/json"}
OF_HTTP = {"Content-Type", "Content-Length", "X-Content-Type-Options"}
"""Fields of which an OpenAPI document says nothing, or that are for browsers alone."""


def refused(reply: TestResponse, status: int, code: str | None = None) -> dict[str, Any]:
    """The problem document of a reply, once it is seen to have the one shape of a refusal."""
    assert reply.status_code == status, reply.data[:500]
    assert reply.headers["Content-Type"] == "application/problem+json"
    assert reply.headers["Cache-Control"] == "no-store"
    assert reply.headers["Release"]
    assert reply.headers["X-Request-Id"]
    document: dict[str, Any] = json.loads(reply.data)
    assert {"type", "title", "status", "detail", "errors"} <= set(document)
    assert document["status"] == status
    assert document["errors"]
    for error in document["errors"]:
        assert set(error) == {"pointer", "code", "message"}
        assert error["message"]
    if code is not None:
        assert code in [error["code"] for error in document["errors"]]
    return document


def post(client: FlaskClient, body: bytes, **headers: str) -> TestResponse:
    """Send a body to the layout path, as JSON unless the headers say otherwise."""
    named = {"Content-Type": "application/json"}
    named |= {name.replace("_", "-"): value for name, value in headers.items()}
    return client.post("/v1/layout", data=body, headers=named)


def test_a_deck_that_can_be_built_is_200(client: FlaskClient, deck: dict[str, Any]) -> None:
    """The main job: a layout with its digest comes back as JSON that no cache keeps."""
    reply = client.post("/v1/layout", json=deck)
    assert (reply.status_code, reply.headers["Content-Type"]) == (200, "application/json")
    assert reply.headers["Cache-Control"] == "no-store"
    assert json.loads(reply.data)["digest"].startswith("sha256:")


@pytest.mark.parametrize("path", READ)
def test_what_is_published_is_200(client: FlaskClient, path: str) -> None:
    """Every path of the contract that can be read answers in JSON."""
    reply = client.get(path)
    assert (reply.status_code, reply.headers["Content-Type"]) == (200, "application/json")
    assert isinstance(json.loads(reply.data), dict)


@pytest.mark.parametrize(
    "body",
    [
        pytest.param(b"", id="empty"),
        pytest.param(b"{", id="cut"),
        pytest.param(b"{}{}", id="two documents"),
        pytest.param(b"{'unit': 'in'}", id="single quotes"),
        pytest.param(b'{"unit": NaN}', id="NaN"),
        pytest.param(b'{"unit": -Infinity}', id="Infinity"),
        pytest.param(b'{"unit": 1e400}', id="overflow"),
        pytest.param(b'{"unit": ' + b"9" * 400 + b"}", id="overflow without exponent"),
        pytest.param(b'{"unit": ' + b"9" * 5000 + b"}", id="5000 digits"),
        pytest.param(b'{"unit": "in", "unit": "mm"}', id="repeated member"),
        pytest.param(b'{"unit": "\xff"}', id="invalid UTF-8"),
        pytest.param(b'{"unit": "\\ud800"}', id="lone surrogate"),
        pytest.param(b"\xef\xbb\xbf{}", id="byte order mark"),
        pytest.param(b"[" * 1100 + b"]" * 1100, id="1100 deep"),
        pytest.param(b'{"a":' * 33 + b"1" + b"}" * 33, id="33 deep"),
    ],
)
def test_what_is_not_json_is_400(client: FlaskClient, body: bytes) -> None:
    """The table's row of what is not JSON: whatever cannot be read as JSON without loss."""
    refused(post(client, body), 400)


@pytest.mark.parametrize(
    ("pointer", "change"),
    [
        ("/unit", {"unit": "ft"}),
        ("/colour", {"colour": "black"}),
        ("/levels", {"levels": []}),
        ("/guard/infill", {"guard": {"infill": "mesh"}}),
        ("/guard/height", {"guard": {"infill": "picket", "height": True}}),
        ("/guard/height", {"guard": {"infill": "picket", "height": "6' 13\""}}),
        ("/precision", {"precision": "0.5"}),
    ],
)
def test_what_does_not_fit_the_schema_is_400(
    client: FlaskClient, deck: dict[str, Any], pointer: str, change: dict[str, Any]
) -> None:
    """The table's row of JSON that does not fit the schema; the pointer names the place in what was
    sent."""
    document = refused(client.post("/v1/layout", json=deck | change), 400)
    assert pointer in [error["pointer"] for error in document["errors"]]


def test_all_that_does_not_fit_is_told_at_once(client: FlaskClient, deck: dict[str, Any]) -> None:
    """Three faults in three places are three errors."""
    bad = deck | {"unit": "ft", "colour": 1, "guard": {"infill": "mesh"}}
    document = refused(client.post("/v1/layout", json=bad), 400)
    pointers = {error["pointer"] for error in document["errors"]}
    assert {"/unit", "/colour", "/guard/infill"} <= pointers


@pytest.mark.parametrize(
    "change",
    [
        pytest.param({"kit": "no-such-kit"}, id="unknown kit"),
        pytest.param({"code": "no-such-code"}, id="unknown code"),
        pytest.param(
            {"levels": [{"id": "a", "outline": {"points": [[0, 0], [9, 9], [9, 0], [0, 9]]}}]},
            id="self-crossing",
        ),
        pytest.param(
            {"levels": [{"id": "a", "outline": {"points": [[0, 0], [1, 0], [1, 1], [0, 1]]}}]},
            id="edges too short",
        ),
    ],
)
def test_what_cannot_be_built_is_422(
    client: FlaskClient, deck: dict[str, Any], change: dict[str, Any]
) -> None:
    """The document fits the schema, but nothing can be built from it."""
    refused(client.post("/v1/layout", json=deck | change), 422)


def test_too_many_levels_or_corners_are_413(client: FlaskClient, deck: dict[str, Any]) -> None:
    """One over a published limit is 413, and the limit itself is not."""
    level = deck["levels"][0]
    # One above another, since levels at one height may not overlap.
    stack = [level | {"id": f"l{n}", "drop": 100 + n} for n in range(limits.LEVELS + 1)]
    many = deck | {"levels": stack}
    refused(client.post("/v1/layout", json=many), 413)
    just = deck | {"levels": many["levels"][: limits.LEVELS]}
    assert client.post("/v1/layout", json=just).status_code == 200
    corners = [[number, 0] for number in range(limits.CORNERS + 1)]
    wide = deck | {"levels": [level | {"outline": {"points": corners}}]}
    refused(client.post("/v1/layout", json=wide), 413)


def test_a_body_over_the_limit_is_413_and_one_at_it_is_read(
    make_client: Make, deck: dict[str, Any]
) -> None:
    """A body of exactly the limit is read, and one byte more is refused; spaces after the document
    fill it up."""
    body = json.dumps(deck).encode()
    client = make_client(body_limit=2048)
    assert post(client, body.ljust(2048)).status_code == 200
    refused(post(client, body.ljust(2049)), 413, "body_too_long")


def test_a_chunked_body_over_the_limit_is_413_never_cut(
    make_client: Make, deck: dict[str, Any]
) -> None:
    """A document with spaces after it is refused: cut at the limit, it would be read as whole and
    answered."""
    client = make_client(body_limit=2048)
    body = json.dumps(deck).encode()

    def chunked(sent: bytes) -> TestResponse:
        return client.post(
            "/v1/layout",
            input_stream=io.BytesIO(sent),
            headers={"Content-Type": "application/json", "Transfer-Encoding": "chunked"},
            environ_overrides={"wsgi.input_terminated": True},
        )

    assert chunked(body.ljust(2048)).status_code == 200
    refused(chunked(body.ljust(2049)), 413, "body_too_long")


@pytest.mark.parametrize(("pause", "status"), [(1.6, 200), (1.7, 408)])
def test_a_long_body_may_take_longer(
    client: FlaskClient,
    deck: dict[str, Any],
    monkeypatch: pytest.MonkeyPatch,
    pause: float,
    status: int,
) -> None:
    """A body may take 10 s, and one more for each piece. The longest has 16 pieces of 65,536 bytes,
    so it may take 26 s. At 1.6 s a piece it takes 25.6, at 1.7 s 27.2."""
    ticks = itertools.count()
    clock = SimpleNamespace(monotonic=lambda: next(ticks) * pause)
    monkeypatch.setattr("service.web.body.time", clock)
    assert post(client, json.dumps(deck).encode().ljust(1_048_576)).status_code == status


def test_size_is_looked_at_before_the_media_type(make_client: Make) -> None:
    """A body that is too long gets 413 even where its media type or Accept is wrong too."""
    client = make_client(body_limit=1024)
    refused(post(client, b" " * 2000, Content_Type="text/plain"), 413)
    refused(post(client, b" " * 2000, Accept="text/html"), 413)


@pytest.mark.parametrize(
    "headers",
    [
        {"Content_Type": "text/plain"},
        {"Content_Type": ""},
        {"Content_Type": "application/x-www-form-urlencoded"},
        {"Content_Type": "application/jsonp"},
        {"Content_Type": "application/json; charset=latin-1"},
        {"Content_Type": "application/json; charset=utf-16"},
        {"Content_Encoding": "gzip"},
    ],
)
def test_another_media_type_is_415(
    client: FlaskClient, deck: dict[str, Any], headers: dict[str, str]
) -> None:
    """Only JSON in UTF-8 is taken, and not compressed."""
    refused(post(client, json.dumps(deck).encode(), **headers), 415, "unsupported_media_type")


@pytest.mark.parametrize(
    "headers",
    [
        {"Content_Type": "application/json"},
        {"Content_Type": "application/json; charset=utf-8"},
        {"Content_Type": 'Application/JSON;charset="UTF-8"'},
        {"Content_Encoding": "identity"},
    ],
)
def test_json_in_utf_8_is_read(
    client: FlaskClient, deck: dict[str, Any], headers: dict[str, str]
) -> None:
    """JSON in UTF-8 is taken however its media type is spelt."""
    assert post(client, json.dumps(deck).encode(), **headers).status_code == 200


def test_a_415_says_what_to_send_instead(client: FlaskClient, deck: dict[str, Any]) -> None:
    """A header field names what a client should send: the type, or no coding (RFC 9110, 12.5.3)."""
    body = json.dumps(deck).encode()
    letters = post(client, body, Content_Type="application/json; charset=latin-1")
    assert letters.headers["Accept-Post"] == "application/json"
    assert post(client, body, Content_Encoding="gzip").headers["Accept-Encoding"] == "identity"


NOT_JSON = [
    *("text/html", "image/*", "application/json;q=0", "*/*;q=0", "application/xml, text/csv"),
    *("*/*;q=0.", "*/*;q=.", "*/*; q=.0"),
]
JSON_TOO = ["application/json", "*/*", "application/*;q=0.1", "text/html, */*;q=0.1", ""]
SPELT = [
    "Application/JSON",
    "application/json; charset=utf-8",
    "*/*;q=1.",
    "*/* ; Q=0. ,*/*;q=.001",
]
"""Accept fields spelt in uncommon ways; a weight may end in its point (RFC 9110, section
12.4.2)."""
OLD = "text/html, image/gif, image/jpeg, *; q=.2, */*; q=.2"
"""The Accept field that HttpURLConnection of older Javas sends: a weight begins with its point."""


@pytest.mark.parametrize("accept", NOT_JSON)
@pytest.mark.parametrize("path", READ)
def test_none_acceptable_is_406(client: FlaskClient, path: str, accept: str) -> None:
    """An Accept field that rules JSON out is refused; the problem document itself comes whatever
    Accept says."""
    refused(client.get(path, headers={"Accept": accept}), 406, "not_acceptable")


@pytest.mark.parametrize("accept", NOT_JSON)
def test_none_acceptable_is_406_for_a_layout(
    client: FlaskClient, deck: dict[str, Any], accept: str
) -> None:
    """A deck is refused for its Accept field before anything is laid out."""
    refused(client.post("/v1/layout", json=deck, headers={"Accept": accept}), 406)


@pytest.mark.parametrize("accept", [*JSON_TOO, *SPELT, OLD])
@pytest.mark.parametrize("path", READ)
def test_json_among_others_is_acceptable(client: FlaskClient, path: str, accept: str) -> None:
    """Wildcards and small weights count as acceptance; an empty Accept takes anything."""
    assert client.get(path, headers={"Accept": accept}).status_code == 200


def test_the_more_particular_range_of_accept_wins(client: FlaskClient) -> None:
    """`*/*` does not bring back what `application/json;q=0` ruled out (RFC 9110, section
    12.5.1)."""
    accept = "*/*, application/json;q=0"
    refused(client.get("/v1/kits", headers={"Accept": accept}), 406)


@pytest.mark.parametrize(
    "path",
    [
        "/nothing",
        "/v1",
        "/v1/",
        "/v2/layout",
        "/v1/layout/",
        "/v1/kits/",
        "/v1/kits/none",
        "/v1/kits/../kits",
        "/v1/codes/none",
        "/v1/schemas/none.json",
        "/v1/schemas/deck",
        "/v1/docs/none.js",
        "/static/docs.html",
        "/static/counter/start.json",
        "/v1/docs/..%2f..%2fapp.py",
        "/health",
        "/health/live/",
        "//v1/kits",
        "/v1//kits",
        "/favicon.ico",
        "/%00",
        "/v1/kits/%ff",
    ],
)
def test_no_such_path_is_404(client: FlaskClient, path: str) -> None:
    """No path is redirected, and the refusal repeats nothing of the path."""
    document = refused(client.get(path), 404, "not_found")
    assert "none" not in json.dumps(document)


@pytest.mark.parametrize("path", ["//v1/kits", "///v1/kits", "//", "//v1/layout", "//health/live"])
@pytest.mark.parametrize("method", ["GET", "POST", "OPTIONS"])
def test_a_path_that_begins_with_two_slashes_is_404(
    client: FlaskClient, path: str, method: str
) -> None:
    """The contract has no such path. The test client takes what follows two slashes for a host, so
    the path is put where a server puts it."""
    reply = client.open("/x", method=method, environ_overrides={"PATH_INFO": path})
    refused(reply, 404, "not_found")


@pytest.mark.parametrize("method", ["GET", "POST", "PUT", "OPTIONS", "BREW"])
@pytest.mark.parametrize(
    "path",
    [
        "/v1/sheets/none",
        "/v1/kits/none",
        "/v1/codes/none",
        "/v1/schemas/none.json",
        "/v1/docs/none.js",
        "/counter/none.js",
    ],
)
def test_what_is_not_there_takes_no_method(client: FlaskClient, path: str, method: str) -> None:
    """There is nothing at the path, so no method is told that would be taken (RFC 9110, section
    15.5.6, has 405 for a resource that there is)."""
    reply = client.open(path, method=method)
    refused(reply, 404, "not_found")
    assert "Allow" not in reply.headers


@pytest.mark.parametrize("path", ["/layout", "/v1", "/v1/layout/", "/v1/sheets/job/"])
def test_a_path_that_is_nearly_right_is_told_where_those_are_that_are(
    client: FlaskClient, path: str
) -> None:
    """A path without its version, cut short, or with a slash at its end gets a message that says
    where the paths are listed."""
    told = refused(client.post(path), 404, "not_found")["errors"][0]["message"]
    assert "; see /v1/docs for those there are, which end in no slash." in told


def test_a_kit_that_is_not_there_is_told_with_those_that_are(client: FlaskClient) -> None:
    """The message names the kits that there are, so that a caller need not ask for the list."""
    message = refused(client.get("/v1/kits/none"), 404, "not_found")["errors"][0]["message"]
    assert all(kit["id"] in message for kit in json.loads(client.get("/v1/kits").data)["kits"])


@pytest.mark.parametrize("path", [*READ, "/v1/docs", "/v1/docs/docs.js", "/metrics"])
@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE", "TRACE", "BREW"])
def test_a_wrong_method_is_405_with_allow(client: FlaskClient, path: str, method: str) -> None:
    """Allow names the methods that the path takes (RFC 9110, section 15.5.6)."""
    reply = client.open(path, method=method)
    refused(reply, 405, "method_not_allowed")
    assert reply.headers["Allow"] == "GET, HEAD, OPTIONS"


@pytest.mark.parametrize("method", ["GET", "HEAD", "PUT", "DELETE", "BREW"])
def test_a_layout_is_asked_for_by_post_alone(client: FlaskClient, method: str) -> None:
    """Any other method gets 405; to HEAD, whose reply has no body to read, status and Allow are the
    same."""
    reply = client.open("/v1/layout", method=method)
    assert (reply.status_code, reply.headers["Allow"]) == (405, "OPTIONS, POST")


@pytest.mark.parametrize("path", READ)
def test_head_is_get_without_the_body(client: FlaskClient, path: str) -> None:
    """HEAD gets the length, type and tag of GET, and no bytes."""
    get, head = client.get(path), client.head(path)
    assert (head.status_code, head.data) == (200, b"")
    for name in ("Content-Type", "Content-Length", "ETag", "Cache-Control"):
        assert head.headers.get(name) == get.headers.get(name)


@pytest.mark.parametrize("path", [*READ, "/v1/layout", "/metrics"])
def test_options_says_what_is_allowed(client: FlaskClient, path: str) -> None:
    """OPTIONS gets 204 with the same Allow as a refused method, and no body that would need a
    type."""
    reply = client.options(path)
    assert (reply.status_code, reply.data) == (204, b"")
    assert reply.headers["Allow"] == client.put(path).headers["Allow"]
    assert "OPTIONS" in reply.headers["Allow"]
    assert "Content-Type" not in reply.headers


@pytest.mark.parametrize(
    ("method", "path", "headers", "status", "field"),
    [
        ("GET", "/v1/layout", {}, "405", "Allow"),
        ("POST", "/v1/layout", {"Content-Type": "text/plain"}, "415", "Accept-Post"),
        ("POST", "/v1/layouts", {"Content-Type": "text/plain"}, "415", "Accept-Post"),
        ("POST", "/v1/layout", {**AS_JSON, "Content-Encoding": "gzip"}, "415", "Accept-Encoding"),
        ("GET", "/v1/kits", {"If-Match": '"none"'}, "412", "Release"),
        ("GET", "/", {"If-Match": '"none"'}, "412", "Release"),
        ("GET", "/v1/limits", {"Accept": "text/csv"}, "406", "Release"),
    ],
)
def test_what_a_refusal_says_in_its_head_is_published(
    client: FlaskClient, method: str, path: str, headers: dict[str, str], status: str, field: str
) -> None:
    """The header fields of a refusal are published with the operation's own response of that
    status, or with `default` where another method was used."""
    reply = client.open(path, method=method, headers=headers)
    assert (str(reply.status_code), field in reply.headers) == (status, True)
    published = client.get("/v1/openapi.json").json
    assert published is not None
    operation = published["paths"][path].get(method.lower(), {"responses": {"default": {}}})
    named = status if status in operation["responses"] else "default"
    assert named == ("default" if status == "405" else status)
    told = set(published["components"]["responses"][named]["headers"])
    assert set(reply.headers.keys()) - OF_HTTP <= told


def test_an_unplanned_error_is_500_with_an_id_and_nothing_else(
    client: FlaskClient, deck: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The text of an exception may hold what was sent, so none of it goes out."""

    def broken(body: bytes, catalogue: Any) -> Any:
        raise KeyError("a secret of the caller")

    monkeypatch.setattr(routes, "answer", broken)
    reply = client.post("/v1/layout", json=deck, headers={"X-Request-Id": "job-7"})
    document = refused(reply, 500)
    assert "job-7" in document["detail"]
    assert b"secret" not in reply.data
    assert b"KeyError" not in reply.data


def test_every_kind_of_refusal_has_a_slug_of_its_own() -> None:
    """The slug is the key of the table, and stays the same for clients."""
    assert sorted(KINDS) == sorted(kind.slug for kind in ALL_KINDS)
    assert all(400 <= kind.status < 600 for kind in ALL_KINDS)
