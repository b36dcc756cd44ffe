"""The worker's patience, which is for each wait and not for a whole reply."""

from __future__ import annotations

import concurrent.futures
import json
import socket
import time
from collections.abc import Iterator
from http.client import parse_headers
from types import SimpleNamespace
from typing import Any

import pytest
from gunicorn import util
from gunicorn.config import Config
from gunicorn.workers.sync import SyncWorker

from service import RELEASE
from service.web import worker
from service.web.draining import Drain
from service.web.listening import defer_accept
from service.web.logs import start_logs
from service.web.metrics import Metrics
from service.web.state import NAME
from tests.web.running import PATIENCE

REPLY = b"x" * 4_000_000
"""More bytes than any buffer of a local socket holds."""


@pytest.fixture
def ends(monkeypatch: pytest.MonkeyPatch) -> Iterator[tuple[socket.socket, socket.socket]]:
    """The worker's end of a connection, which loses patience after three seconds, and the client's
    end."""
    monkeypatch.setattr(worker, "SILENCE", 3)
    ours, theirs = socket.socketpair()
    with ours, theirs:
        worker._set_timeouts(ours)
        yield ours, theirs


def test_a_slow_reader_gets_the_whole_reply(ends: tuple[socket.socket, socket.socket]) -> None:
    """Four stops of 0.8 s are together longer than the patience of 3 s, but each alone is
    shorter."""
    ours, theirs = ends
    theirs.settimeout(PATIENCE)
    with concurrent.futures.ThreadPoolExecutor(1) as pool, theirs.makefile("rb") as reader:
        sending = pool.submit(ours.sendall, REPLY)
        got = 0
        for _ in range(4):
            time.sleep(0.8)
            got += len(reader.read(1_000_000))
        sending.result(PATIENCE)
    assert got == len(REPLY)


def test_a_reader_that_stops_for_good_is_given_up(
    ends: tuple[socket.socket, socket.socket],
) -> None:
    """Such a reader is given up after the patience of 3 s; it would be waited for without end."""
    ours, _ = ends
    started = time.monotonic()
    with pytest.raises(BlockingIOError):
        ours.sendall(REPLY)
    assert time.monotonic() - started >= 2.9


def test_who_said_nothing_is_closed_without_a_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    """After a silence of 0.1 s the worker is free, though the client keeps its end open. gunicorn's
    graceful close, which would linger for 2 s, finds the connection closed already, since there is
    no reply to linger for."""
    monkeypatch.setattr(worker, "SILENCE", 0.1)
    monkeypatch.setattr(worker, "_set_timeouts", lambda _: None)
    left: list[int] = []
    monkeypatch.setattr(util, "close_graceful", lambda one, **_: left.append(one.fileno()))
    young = worker.Worker.__new__(worker.Worker)
    ours, theirs = socket.socketpair()
    with ours, theirs, socket.socket() as listener:
        young.handle(listener, ours, None)
        assert left == [-1]
        theirs.settimeout(PATIENCE)
        assert theirs.recv(1) == b""


@pytest.mark.parametrize(
    ("head", "body", "read", "waits"),
    [
        (b"Connection: close\r\nContent-Length: 0\r\n", b"", 0, False),
        (b"Connection: close\r\n", b"", 0, True),
        (b"connection: Close\r\nContent-Length: 3\r\n", b"abc", 3, False),
        (b"Connection: close\r\nContent-Length: 3\r\n", b"abc", 0, True),
        (b"Connection: close\r\nContent-Length: 3\r\n", b"ab", 0, True),
        (b"Connection: close\r\nContent-Length: 3\r\n", b"abc...", 3, True),
        (b"Connection: close\r\nTransfer-Encoding: chunked\r\n", b"0\r\n\r\n", 1, True),
        (b"Connection: close\r\nContent-Length: 2000\r\n", b"a" * 1024, 1024, True),
        (b"Connection: keep-alive\r\nContent-Length: 0\r\n", b"", 0, True),
        (b"Content-Length: 0\r\n", b"", 0, True),
    ],
    ids=["close", "no length", "read", "unread", "cut", "more", "chunked", "due", "kept", "silent"],
)
def test_a_client_that_sends_no_more_is_not_waited_for(
    monkeypatch: pytest.MonkeyPatch, head: bytes, body: bytes, read: int, waits: bool
) -> None:
    """Who says "Connection: close" sends no further request (RFC 9112, section 9.6). Once all of
    this one was read, its reply can be lost by nothing, so the worker is free at once and does not
    wait for the client to close its end; it would linger for 2 s. Where any byte may still come,
    or has come unread, it lingers: a close would then cost the client the end of its reply. A POST
    that says no length has no body (section 6.3), but who forgot to say it may be sending one."""
    left: list[int] = []
    monkeypatch.setattr(util, "close_graceful", lambda one, **_: left.append(one.fileno()))
    young = worker.Worker.__new__(worker.Worker)
    young.cfg = Config()
    young.handle_request = lambda _listener, request, *_: request.body.read(read)
    ours, theirs = socket.socketpair()
    with ours, theirs, socket.socket() as listener:
        theirs.sendall(b"POST /v1/layout HTTP/1.1\r\nHost: a\r\n" + head + b"\r\n" + body)
        young.handle(listener, ours, ("127.0.0.1", 1))
        assert left == [ours.fileno()]
        assert (ours.fileno() >= 0) is waits


def test_who_asks_for_something_stored_needs_to_say_no_length(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A GET has no body as a rule and says no length, so its client is not waited for either."""
    left: list[int] = []
    monkeypatch.setattr(util, "close_graceful", lambda one, **_: left.append(one.fileno()))
    young = worker.Worker.__new__(worker.Worker)
    young.cfg = Config()
    young.handle_request = lambda *_: None
    ours, theirs = socket.socketpair()
    with ours, theirs, socket.socket() as listener:
        theirs.sendall(b"GET /v1/kits HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n")
        young.handle(listener, ours, ("127.0.0.1", 1))
        assert left == [-1]


def test_a_connection_that_is_closed_already_is_left() -> None:
    """gunicorn closes a connection itself where a reply breaks off; that is the end of it."""
    young = worker.Worker.__new__(worker.Worker)
    young.cfg = Config()

    def break_off(_listener: Any, _request: Any, client: socket.socket, _addr: Any) -> None:
        client.close()
        raise StopIteration

    young.handle_request = break_off
    ours, theirs = socket.socketpair()
    with ours, theirs, socket.socket() as listener:
        theirs.sendall(b"GET / HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n")
        young.handle(listener, ours, ("127.0.0.1", 1))
        assert ours.fileno() == -1


@pytest.mark.skipif(not hasattr(socket, "TCP_DEFER_ACCEPT"), reason="no TCP_DEFER_ACCEPT here")
def test_who_was_waited_for_by_the_kernel_is_not_waited_for_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A silent connection from a listener that holds silent ones back is closed within a moment;
    the patience of 100 s is for other listeners."""
    monkeypatch.setattr(worker, "SILENCE", 100)
    young = worker.Worker.__new__(worker.Worker)
    ours, theirs = socket.socketpair()
    with ours, theirs, socket.create_server(("127.0.0.1", 0)) as listener:
        defer_accept([listener])
        started = time.monotonic()
        young.handle(listener, ours, None)
        assert time.monotonic() - started < 60
        theirs.settimeout(PATIENCE)
        assert theirs.recv(1) == b""


def test_a_sender_that_says_nothing_is_given_up(
    ends: tuple[socket.socket, socket.socket],
) -> None:
    """A read waits as long as a write."""
    ours, _ = ends
    with pytest.raises(BlockingIOError):
        ours.recv(1)


@pytest.mark.parametrize("is_over", [False, True])
def test_a_worker_that_was_told_to_end_before_it_could_hear_ends(
    monkeypatch: pytest.MonkeyPatch, is_over: bool
) -> None:
    """A SIGTERM within milliseconds of the fork is lost, so a worker that starts after the drain
    ends by itself. Such a worker once delayed the stop of the whole service by GUARDS_BATCH_TIMEOUT
    and GUARDS_TIMEOUT."""
    drain = Drain()
    if is_over:
        drain.end()
    monkeypatch.setattr(worker, "DRAIN", drain)
    monkeypatch.setattr(SyncWorker, "init_signals", lambda _: None)
    young = worker.Worker.__new__(worker.Worker)
    young.alive = True
    young.init_signals()
    assert young.alive is not is_over


@pytest.mark.parametrize(
    ("error", "status", "code", "after"),
    [
        (SystemExit(1), 503, "overrun", "5"),
        (SystemExit(0), 503, "not_ready", "5"),
        (BlockingIOError(), 408, "request_timeout", None),
        (ValueError("a secret"), 500, "unexpected", None),
    ],
)
def test_what_the_application_could_not_end_is_answered_here(
    error: BaseException,
    status: int,
    code: str,
    after: str | None,
    capfdbinary: pytest.CaptureFixture[bytes],
) -> None:
    """A request that ends outside the app gets a reply under the caller's own id. Retry-After is
    there where its time was over or the service was stopping at once (gunicorn ends a worker with 1
    and 0). It is counted, and a line of the log has the type of the error and none of its text."""
    start_logs("info")
    young = worker.Worker.__new__(worker.Worker)
    metrics = Metrics()
    young.wsgi = SimpleNamespace(extensions={NAME: SimpleNamespace(metrics=metrics)})
    request = SimpleNamespace(headers=[("HOST", "a"), ("X-REQUEST-ID", "job-17")])
    ours, theirs = socket.socketpair()
    capfdbinary.readouterr()
    with ours, theirs, theirs.makefile("rb") as reader:
        young.handle_error(request, ours, None, error)
        ours.close()
        assert reader.readline().split()[:2] == [b"HTTP/1.1", b"%d" % status]
        headers = parse_headers(reader)
        document = json.load(reader)
    assert (headers["X-Request-Id"], headers["Retry-After"]) == ("job-17", after)
    assert (headers["Connection"], headers["Release"]) == ("close", RELEASE)
    assert (document["status"], document["errors"][0]["code"]) == (status, code)
    logged = capfdbinary.readouterr().err
    line = json.loads(logged.splitlines()[-1])
    assert (line["id"], line["status"], line["refused"]) == ("job-17", status, type(error).__name__)
    assert b"a secret" not in logged + json.dumps(document).encode()
    series = f'guards_requests_total{{method="none",route="none",status="{status}"}} 1.0'
    assert series in metrics.write().decode()
