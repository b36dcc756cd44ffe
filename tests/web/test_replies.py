"""What every reply carries, and what a line of the log holds."""

from __future__ import annotations

import io
import json
import logging
import os
import re
import sys
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import Any

import pytest
from flask.testing import FlaskClient

from service import RELEASE
from service.web import routes
from service.web.logs import JsonLines
from tests.web.conftest import Make

ALL = [
    ("GET", "/v1/kits"),
    ("GET", "/v1/docs"),
    ("GET", "/v1/docs/docs.css"),
    ("GET", "/health/live"),
    ("GET", "/health/ready"),
    ("GET", "/metrics"),
    ("GET", "/nothing"),
    ("PUT", "/v1/layout"),
    ("POST", "/v1/layout"),
    ("OPTIONS", "/v1/layout"),
    ("HEAD", "/v1/limits"),
]


@pytest.mark.parametrize(("method", "path"), ALL)
def test_every_reply_names_the_release_and_the_request(
    client: FlaskClient, method: str, path: str
) -> None:
    """Every reply, a refusal too, has Release and the request id, and forbids a browser to guess at
    its type."""
    reply = client.open(path, method=method, headers={"X-Request-Id": "job-17.2_a"})
    assert reply.headers["Release"] == RELEASE
    assert reply.headers["X-Request-Id"] == "job-17.2_a"
    assert reply.headers["X-Content-Type-Options"] == "nosniff"
    assert "Cache-Control" in reply.headers


@pytest.mark.parametrize("sent", ["", "a b", "a" * 65, "<b>", "a\tb", "é", "a,b", '"'])
def test_an_id_that_is_not_safe_to_write_down_is_replaced(client: FlaskClient, sent: str) -> None:
    """A request id is 1 to 64 of A-Z a-z 0-9 . _ -; anything else is replaced by a new one."""
    given = client.get("/health/live", headers={"X-Request-Id": sent}).headers["X-Request-Id"]
    assert given != sent
    assert len(given) == 32


def test_the_longest_id_is_kept(client: FlaskClient) -> None:
    """An id of 64 characters is still kept as the caller sent it."""
    sent = "a" * 64
    given = client.get("/health/live", headers={"X-Request-Id": sent}).headers["X-Request-Id"]
    assert given == sent


def test_new_ids_differ(client: FlaskClient) -> None:
    """Requests without an id get different ones."""
    ids = {client.get("/health/live").headers["X-Request-Id"] for _ in range(3)}
    assert len(ids) == 3


def test_a_request_is_one_line_without_its_body(
    make_client: Make, deck: dict[str, Any], capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """The log's line has method, route, status, time, size, id and digest, and nothing else that
    was sent."""
    client = make_client()
    capfdbinary.readouterr()
    title = "A house that nobody should read of"
    headers = {"X-Request-Id": "job-9", "Authorization": "Bearer whatever", "X-Other": "private"}
    reply = client.post("/v1/layout", json=deck | {"title": title}, headers=headers)
    logged = capfdbinary.readouterr().err
    line = json.loads(logged)
    assert {name: line[name] for name in ("id", "method", "path", "status")} == {
        "id": "job-9",
        "method": "POST",
        "path": "/v1/layout",
        "status": 200,
    }
    assert (line["event"], line["level"], line["pid"]) == ("request", "info", os.getpid())
    assert line["digest"] == json.loads(reply.data)["digest"]
    assert line["bytes"] == len(reply.data)
    assert line["ms"] >= 0
    for secret in (title, "whatever", "private"):
        assert secret.encode() not in logged


def test_the_time_of_a_request_is_told(
    make_client: Make,
    deck: dict[str, Any],
    monkeypatch: pytest.MonkeyPatch,
    capfdbinary: pytest.CaptureFixture[bytes],
) -> None:
    """A quarter of a second is logged in milliseconds and counted in seconds."""
    client = make_client()
    looks = iter([100.0])
    clock = SimpleNamespace(perf_counter=lambda: next(looks, 100.25))
    capfdbinary.readouterr()
    with monkeypatch.context() as slow:
        slow.setattr("service.web.hooks.time", clock)
        client.post("/v1/layout", json=deck)
    assert json.loads(capfdbinary.readouterr().err)["ms"] == 250.0
    counts = client.get("/metrics").text.splitlines()
    assert 'guards_request_duration_seconds_sum{route="/v1/layout"} 0.25' in counts


def test_a_sheet_is_told_of_by_its_layout(
    make_client: Make, deck: dict[str, Any], capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """A sheet is logged with the digest of its layout, and its bays are counted as those of a
    layout are."""
    client = make_client()
    layout = client.post("/v1/layout", json=deck).get_json()
    capfdbinary.readouterr()
    assert client.post("/v1/sheets/cut-list", json=deck).status_code == 200
    assert json.loads(capfdbinary.readouterr().err)["digest"] == layout["digest"]
    counts = client.get("/metrics").text.splitlines()
    route = 'route="/v1/sheets/<name>"'
    assert f"guards_bays_total{{{route}}} {len(layout['bays'])}.0" in counts
    assert f'guards_documents_total{{{route},status="200"}} 1.0' in counts


def test_a_line_of_log_has_its_moment(
    make_client: Make, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """The time is in UTC wherever the machine stands, to the millisecond (RFC 3339)."""
    client = make_client()
    capfdbinary.readouterr()
    before = datetime.now(UTC)
    client.get("/health/live")
    after = datetime.now(UTC)
    told = json.loads(capfdbinary.readouterr().err)["time"]
    assert re.fullmatch(r"[0-9-]{10}T[0-9:]{8}\.[0-9]{3}\+00:00", told)
    moment = datetime.fromisoformat(told)
    assert before - timedelta(milliseconds=1) < moment <= after


def test_a_line_of_the_servers_own_log_has_the_same_form() -> None:
    """A line of gunicorn's log has the level as ours have it, the logger's name and, of an
    exception, its type and frames alone."""
    try:
        raise KeyError("a secret of the caller")
    except KeyError:
        told = sys.exc_info()
    record = logging.LogRecord(
        *("gunicorn.error", logging.WARNING, "x.py", 1, "Worker %s ended", (7,), told)
    )
    text = JsonLines().format(record)
    line = json.loads(text)
    assert (line["event"], line["level"]) == ("Worker 7 ended", "warning")
    assert (line["logger"], line["error"], line["pid"]) == (
        "gunicorn.error",
        "KeyError",
        os.getpid(),
    )
    assert [frame.rpartition(" ")[2] for frame in line["frames"]] == [
        "test_a_line_of_the_servers_own_log_has_the_same_form"
    ]
    assert "a secret" not in text


def test_a_path_is_logged_as_its_route(
    make_client: Make, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """The log has the route, not the path, which may hold the caller's own words."""
    client = make_client()
    capfdbinary.readouterr()
    client.get("/v1/kits/some-secret-name")
    client.get("/somewhere-else?key=some-secret-name")
    first, second = map(json.loads, capfdbinary.readouterr().err.splitlines())
    assert (first["path"], second["path"]) == ("/v1/kits/<name>", None)
    assert "some-secret-name" not in json.dumps([first, second])


def test_an_unplanned_error_is_logged_with_where_it_passed_but_not_what_it_says(
    make_client: Make,
    deck: dict[str, Any],
    capfdbinary: pytest.CaptureFixture[bytes],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Type and frames are logged under the request id; the text of an exception may quote the
    body."""

    def broken(body: bytes, catalogue: Any) -> Any:
        raise KeyError("a secret of the caller")

    client = make_client()
    monkeypatch.setattr(routes, "answer", broken)
    capfdbinary.readouterr()
    client.post("/v1/layout", json=deck, headers={"X-Request-Id": "job-3"})
    logged = capfdbinary.readouterr().err
    error, line = map(json.loads, logged.splitlines())
    assert (error["event"], error["id"], error["error"]) == ("unexpected", "job-3", "KeyError")
    assert any("test_replies.py" in frame and "broken" in frame for frame in error["frames"])
    assert (line["event"], line["status"]) == ("request", 500)
    assert b"a secret" not in logged


def test_the_level_of_the_log_is_kept(
    make_client: Make, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """At `warning` an ordinary request is not logged."""
    client = make_client(log_level="warning")
    capfdbinary.readouterr()
    client.get("/v1/kits")
    assert capfdbinary.readouterr().err == b""


def test_the_log_goes_to_what_is_standard_error_now(
    make_client: Make, monkeypatch: pytest.MonkeyPatch, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """The stream that was standard error at the start may be closed by now."""
    with monkeypatch.context() as before, io.TextIOWrapper(io.BytesIO()) as then:
        before.setattr("sys.stderr", then)
        client = make_client()
    capfdbinary.readouterr()
    assert client.get("/health/live").status_code == 200
    assert json.loads(capfdbinary.readouterr().err)["status"] == 200
