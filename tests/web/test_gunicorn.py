"""The service under gunicorn: what gunicorn itself refuses, slow senders, reloads, and the end at
SIGTERM."""

from __future__ import annotations

import concurrent.futures
import contextlib
import json
import os
import re
import select
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Callable
from email.message import Message
from email.parser import BytesParser
from email.utils import parsedate_to_datetime
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from service import RELEASE
from tests.web.running import DECK, PATIENCE, ROOT, Server, running

HEAD = b"POST /v1/layout HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\n"


def parse(reply: bytes) -> tuple[int, Message, bytes]:
    """Status, headers and body of a raw reply."""
    head, _, body = reply.partition(b"\r\n\r\n")
    first, _, fields = head.partition(b"\r\n")
    return int(first.split()[1]), BytesParser().parsebytes(fields, headersonly=True), body


def refused(reply: bytes, status: int, code: str) -> Any:
    """The problem document of a raw reply, once it is seen to have the one shape of a refusal and
    the headers of every reply."""
    got, headers, body = parse(reply)
    assert got == status, reply[:300]
    assert headers["Content-Type"] == "application/problem+json"
    assert headers["Release"] == RELEASE
    assert headers["X-Request-Id"]
    assert headers["Cache-Control"] == "no-store"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Connection"] == "close"
    # RFC 9110, section 6.6.1: whoever has a clock sends it with a 4xx, too.
    assert abs(parsedate_to_datetime(headers["Date"]).timestamp() - time.time()) < PATIENCE
    assert int(headers["Content-Length"]) == len(body)
    document = json.loads(body)
    assert (document["status"], document["errors"][0]["code"]) == (status, code)
    return document


def test_a_deck_is_laid_out(server: Server) -> None:
    """The main job through the real server: a deck is sent, and its layout comes back."""
    body = json.dumps(DECK).encode()
    reply = server.raw(HEAD + b"Content-Length: %d\r\n\r\n" % len(body) + body)
    status, headers, sent = parse(reply)
    assert (status, headers["Content-Type"]) == (200, "application/json")
    assert json.loads(sent)["release"] == RELEASE


@pytest.mark.parametrize(
    ("sent", "status", "code"),
    [
        pytest.param(b"GET /" + b"a" * 5000 + b" HTTP/1.1\r\n\r\n", 414, "uri_too_long", id="414"),
        pytest.param(
            b"GET /v1/kits HTTP/1.1\r\nX-Long: " + b"a" * 9000 + b"\r\n\r\n",
            431,
            "headers_too_large",
            id="431 long",
        ),
        pytest.param(
            b"GET /v1/kits HTTP/1.1\r\n" + b"X-Many: a\r\n" * 65 + b"\r\n",
            431,
            "headers_too_large",
            id="431 many",
        ),
        pytest.param(b"GARBAGE\r\n\r\n", 400, "bad_request", id="no HTTP"),
        pytest.param(
            b"GET / HTTP/1.1\r\nno colon\r\n\r\n", 400, "bad_request", id="header without colon"
        ),
        pytest.param(
            b"GET / HTTP/1.1\r\nX\x00: a\r\n\r\n", 400, "bad_request", id="NUL in a header's name"
        ),
        pytest.param(HEAD + b"Content-Length: ten\r\n\r\n", 400, "bad_request", id="length"),
        pytest.param(
            HEAD + b"Content-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n",
            400,
            "bad_request",
            id="length and chunks",
        ),
        pytest.param(
            HEAD + b"Transfer-Encoding: chunked\r\n\r\nZZ\r\n", 400, "bad_request", id="chunk size"
        ),
        pytest.param(
            HEAD + b"Transfer-Encoding: chunked\r\n\r\n2\r\n{}xx0\r\n\r\n",
            400,
            "bad_request",
            id="chunk end",
        ),
        pytest.param(
            HEAD + b"Transfer-Encoding: squashed\r\n\r\n", 501, "not_implemented", id="coding"
        ),
        pytest.param(
            HEAD + b"Expect: a miracle\r\n\r\n", 417, "expectation_failed", id="expectation"
        ),
        pytest.param(
            HEAD + b"Transfer-Encoding: gzip, chunked\r\n\r\n", 501, "not_implemented", id="gzip"
        ),
        pytest.param(b"GET / HTTP/1.1\r\n\r\n", 400, "bad_request", id="no Host"),
        pytest.param(b"GET / HTTP/1.1\r\nHost: a b\r\n\r\n", 400, "bad_request", id="Host"),
        pytest.param(
            b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n", 400, "bad_request", id="two Hosts"
        ),
        pytest.param(b"GET / HTTP/2.0\r\nHost: a\r\n\r\n", 400, "bad_request", id="HTTP/2"),
        pytest.param(b"get / HTTP/1.1\r\nHost: a\r\n\r\n", 400, "bad_request", id="get"),
        pytest.param(b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", 400, "bad_request", id="HTTP/2 preface"),
    ],
)
def test_what_gunicorn_refuses_has_the_same_shape(
    server: Server, sent: bytes, status: int, code: str
) -> None:
    """A request that gunicorn itself refuses gets the same kind of problem document as one that the
    app refuses."""
    refused(server.raw(sent), status, code)


@pytest.mark.parametrize(
    ("sent", "word"),
    [
        (b"GET / HTTP/2.0\r\nHost: a\r\n\r\n", "HTTP/1.1"),
        (b"get / HTTP/1.1\r\nHost: a\r\n\r\n", "method is not 3 to 20 upper-case letters"),
        (b"A" * 300 + b" / HTTP/1.1\r\nHost: a\r\n\r\n", "method is not 3 to 20 upper-case"),
        (b"GARBAGE\r\n\r\n", "request line"),
        (b"GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n", "field HOST"),
        (b"GET / HTTP/1.1\r\n\r\n", "no Host"),
        (HEAD + b"Content-Length: ten\r\n\r\n", "field CONTENT-LENGTH"),
    ],
)
def test_http_that_cannot_be_read_is_told_by_its_part(
    server: Server, sent: bytes, word: str
) -> None:
    """The message names the part of the request that cannot be read, so that whoever writes a
    client sees where to look."""
    (error,) = refused(server.raw(sent), 400, "bad_request")["errors"]
    assert word in error["message"]


@pytest.mark.parametrize("over", [0, 1])
def test_a_head_of_just_the_longest_is_read(server: Server, over: int) -> None:
    """A request line of 4,094 bytes, 64 fields, and a field of 8,190 bytes with its line end are
    read; one more of each is refused."""
    first, last = b"GET /health/live?", b" HTTP/1.1"
    line = first + b"a" * (4_094 - len(first + last) + over) + last + b"\r\nHost: a\r\n\r\n"
    plain = b"GET /health/live HTTP/1.1\r\nHost: a\r\n"
    many = plain + b"X-Many: a\r\n" * (63 + over) + b"\r\n"
    long = plain + b"X-Long: " + b"a" * (8_190 - len(b"X-Long: \r\n") + over) + b"\r\n\r\n"
    replies = [server.raw(sent) for sent in (line, many, long)]
    if not over:
        assert [parse(reply)[0] for reply in replies] == [200] * 3
        return
    refused(replies[0], 414, "uri_too_long")
    for reply in replies[1:]:
        refused(reply, 431, "headers_too_large")


@pytest.mark.parametrize("target", [b"http://a", b"http://a?x=1"])
def test_a_whole_address_without_a_path_is_the_root(server: Server, target: bytes) -> None:
    """A request target that is an absolute address without a path means the root (RFC 9110, section
    4.2.3). It used to be answered with a redirect in HTML, whatever the request asked for."""
    status, headers, body = parse(server.raw(b"GET " + target + b" HTTP/1.1\r\nHost: a\r\n\r\n"))
    assert (status, headers["Content-Type"]) == (200, "text/html; charset=utf-8")
    assert body == parse(server.raw(b"GET / HTTP/1.1\r\nHost: a\r\n\r\n"))[2]


@pytest.mark.parametrize(
    "host", ["a:x", "a:80:80", "[::1", "::1", "[]", "a[b]", "a/b", "u@a", "\xe9"]
)
def test_a_host_that_is_none_is_told(server: Server, host: str) -> None:
    """A Host field that is no host is refused: a port consists of digits, and an IPv6 address
    stands in brackets (RFC 9112, section 3.2, and RFC 3986, section 3.2.2)."""
    sent = f"GET /health/live HTTP/1.1\r\nHost: {host}\r\n\r\n".encode("latin-1")
    told = refused(server.raw(sent), 400, "bad_request")
    assert told["detail"] == "The Host field names no host."


@pytest.mark.parametrize(
    "host", ["a:", "", ":80", "a_b.c:8080", "[::1]", "[fe80::1%25eth0]:80", "1.2.3.4"]
)
def test_a_host_may_be_a_name_or_an_address(server: Server, host: str) -> None:
    """The Host field may be a name or an address, with a port (which may be left empty) or without
    one, and may be empty where the target has no host."""
    sent = f"GET /health/live HTTP/1.1\r\nHost: {host}\r\n\r\n".encode()
    assert server.raw(sent).startswith(b"HTTP/1.1 200 ")


def test_http_1_0_needs_no_host(server: Server) -> None:
    """HTTP/1.0 did not know the Host field, so a request without one is answered."""
    assert server.raw(b"GET /health/live HTTP/1.0\r\n\r\n").startswith(b"HTTP/1.0 200 ")


def test_a_later_minor_version_is_answered_as_1_1(server: Server) -> None:
    """A request of HTTP/1.2 is treated as one of HTTP/1.1, which the reply names as the version
    that the server speaks (RFC 9110, section 6.2)."""
    reply = server.raw(b"GET /health/live HTTP/1.2\r\nHost: a\r\n\r\n")
    assert reply.startswith(b"HTTP/1.1 200 ")
    refused(server.raw(b"GET /health/live HTTP/1.2\r\n\r\n"), 400, "bad_request")


def test_a_body_that_stops_short_is_400(server: Server) -> None:
    """The client closes its side fifty bytes before the announced length: the body is refused,
    though what came is a whole deck."""
    body = json.dumps(DECK).encode()
    with server.connect() as wire:
        wire.sendall(HEAD + b"Content-Length: %d\r\n\r\n" % (len(body) + 50) + body)
        wire.shutdown(socket.SHUT_WR)
        reply = rest(wire)
    refused(reply, 400, "bad_request")


def chunked(total: int, piece: bytes) -> bytes:
    """A chunked body of `total` bytes in all."""
    chunk = b"%x\r\n" % len(piece) + piece + b"\r\n"
    return chunk * (total // len(piece)) + b"0\r\n\r\n"


def test_a_long_chunked_body_is_413(server: Server) -> None:
    """A whole document with two million spaces after it is refused; it is not cut at the limit and
    answered with 200."""
    first = json.dumps(DECK).encode()
    sent = b"%x\r\n" % len(first) + first + b"\r\n" + chunked(2_000_000, b" " * 10_000)
    refused(server.raw(HEAD + b"Transfer-Encoding: chunked\r\n\r\n" + sent), 413, "body_too_long")


@pytest.mark.parametrize("how", ["by length", "chunked"])
def test_a_hundred_megabytes_are_refused_quickly_and_the_sender_sees_it(
    server: Server, how: str
) -> None:
    """A client that sends its whole body before it reads still gets the refusal, and no connection
    reset."""
    piece = b" " * 100_000
    head, part = b"Content-Length: 100000000\r\n\r\n", piece
    if how == "chunked":
        head, part = b"Transfer-Encoding: chunked\r\n\r\n", b"186a0\r\n" + piece + b"\r\n"
    with server.connect() as wire:
        wire.sendall(HEAD + head)
        for _ in range(1000):
            wire.sendall(part)
        reply = rest(wire)
    refused(reply, 413, "body_too_long")


def test_a_body_may_wait_for_the_word_to_go_on(server: Server) -> None:
    """A client may send `Expect: 100-continue` and wait for 100 Continue before its body, as curl
    does with a long one."""
    body = json.dumps(DECK).encode()
    with server.connect() as wire:
        wire.sendall(HEAD + b"Expect: 100-continue\r\nContent-Length: %d\r\n\r\n" % len(body))
        assert wire.recv(1000) == b"HTTP/1.1 100 Continue\r\n\r\n"
        wire.sendall(body)
        assert b" 200 " in wire.recv(1000).splitlines()[0]


def test_a_body_that_is_refused_is_not_waited_for(server: Server) -> None:
    """A client that sent `Expect: 100-continue` gets the refusal at once, in place of 100
    Continue."""
    head = HEAD.replace(b"application/json", b"text/plain")
    assert head != HEAD
    expects = b"Expect: 100-continue\r\nContent-Length: "
    with server.connect() as wire:
        wire.sendall(head + expects + b"20\r\n\r\n")
        refused(rest(wire), 415, "unsupported_media_type")
    with server.connect() as wire:
        wire.sendall(HEAD + expects + b"99999999\r\n\r\n")
        refused(rest(wire), 413, "body_too_long")


def test_a_refusal_of_gunicorns_is_logged_like_any_other(server: Server) -> None:
    """The log gets one line with the status and the request id of the reply, and nothing of what
    was sent."""
    reply = server.raw(b"GET / HTTP/1.1\r\nX-Secret-Thing\r\n\r\n")
    known = parse(reply)[1]["X-Request-Id"]
    (line,) = [line for line in server.lines() if line.get("id") == known]
    assert (line["event"], line["status"]) == ("request", 400)
    assert b"Secret" not in server.log.read_bytes()


def test_every_line_of_the_log_is_json(server: Server) -> None:
    """Every line of the log is JSON, gunicorn's own lines too: `lines` parses each of them."""
    events = [line["event"] for line in server.lines()]
    assert any(event.startswith("Listening at") for event in events)


@pytest.mark.skipif(not hasattr(socket, "TCP_DEFER_ACCEPT"), reason="no TCP_DEFER_ACCEPT here")
def test_connections_that_say_nothing_hold_nobody_up(server: Server) -> None:
    """Six connections without a byte, as browsers open them ahead, do not keep two workers from
    answering a request.

    The request is answered while all six are still open (the workers used to wait for them, two at
    a time, and close them); each of the six that sends a request later is answered too.
    """
    with contextlib.ExitStack() as opened:
        silent = [opened.enter_context(server.connect()) for _ in range(6)]
        time.sleep(0.2)
        assert ask(f"{server.url}/health/live") == 200
        assert select.select(silent, [], [], 0)[0] == []
        for wire in silent:
            wire.sendall(b"GET /health/live HTTP/1.1\r\nHost: a\r\n\r\n")
            assert b" 200 " in rest(wire)[:20]
            wire.close()


def test_half_sent_requests_do_not_stall_the_service(tmp_path: Path) -> None:
    """Each of the two workers has half a request; another request is still answered long before the
    timeout of one request, because each half is refused once nothing more of it comes."""
    with (
        running(tmp_path / "log", GUARDS_WORKERS="2", GUARDS_TIMEOUT="600") as server,
        contextlib.ExitStack() as opened,
    ):
        head, body = (opened.enter_context(server.connect()) for _ in range(2))
        head.sendall(b"GET /v1/kits HT")
        body.sendall(HEAD + b"Content-Length: 50\r\n\r\n{")
        time.sleep(0.2)
        assert b" 200 " in server.raw(b"GET /v1/kits HTTP/1.1\r\nHost: a\r\n\r\n")[:20]
        for half in (head, body):
            refused(rest(half), 408, "request_timeout")


def rest(wire: socket.socket) -> bytes:
    """All bytes that still come on a connection."""
    return b"".join(iter(lambda: wire.recv(65_536), b""))


def test_a_trickle_is_cut_off_at_the_timeout(tmp_path: Path) -> None:
    """A client that sends a byte now and then is never silent; the timeout of one request still
    ends it."""
    with running(tmp_path / "log", GUARDS_WORKERS="1", GUARDS_TIMEOUT="4") as server:
        with server.connect() as wire:
            wire.sendall(HEAD + b"Content-Length: 500\r\n\r\n")
            reply = trickle(wire, most=30)
        refused(reply, 408, "request_timeout")
        assert b" 200 " in server.raw(b"GET /v1/kits HTTP/1.1\r\nHost: a\r\n\r\n")[:20]


def test_a_trickle_does_not_keep_a_worker_for_all_that_a_request_may_take(tmp_path: Path) -> None:
    """A body of 500 bytes, and a head, are each refused after ten seconds, though a request may
    take sixty; both workers live on."""
    begun = (
        HEAD + b"Content-Length: 500\r\n\r\n",
        b"GET /v1/kits HTTP/1.1\r\nHost: a\r\nX:",
    )
    with running(tmp_path / "log", GUARDS_WORKERS="2", GUARDS_TIMEOUT="60") as server:
        workers = workers_of(server, 2)
        with (
            server.connect() as body,
            server.connect() as head,
            concurrent.futures.ThreadPoolExecutor(2) as pool,
        ):
            for wire, sent in zip((body, head), begun, strict=True):
                wire.sendall(sent)
            for reply in pool.map(partial(trickle, most=60), (body, head)):
                refused(reply, 408, "request_timeout")
        assert workers_of(server, 2) == workers
        assert not any("TIMEOUT" in line["event"] for line in server.lines())


def trickle(wire: socket.socket, most: int) -> bytes:
    """Send a byte every half second until something comes back; return all of the reply."""
    wire.settimeout(0.5)
    for _ in range(most):
        # Where the reply came long ago the other side is gone; it can be read all the same.
        with contextlib.suppress(ConnectionError):
            wire.sendall(b" ")
        try:
            first = wire.recv(65_536)
        except TimeoutError:
            continue
        wire.settimeout(PATIENCE)
        return first + rest(wire)
    raise AssertionError("nothing came back")


def ask(url: str, timeout: float = PATIENCE) -> int:
    """The status of a GET."""
    try:
        with urllib.request.urlopen(url, timeout=timeout) as reply:
            return int(reply.status)
    except urllib.error.HTTPError as error:
        return error.code


def slow_body(server: Server, last: threading.Event) -> tuple[int, Any]:
    """Status and document of the reply to a deck that is sent slowly: a space now and then, and the
    rest once `last` is set."""
    body, spaces = json.dumps(DECK).encode(), 18
    with server.connect() as wire:
        wire.sendall(HEAD + b"Content-Length: %d\r\n\r\n" % (len(body) + spaces) + body[:-1])
        while spaces > 1 and not last.wait(0.5):
            wire.sendall(b" ")
            spaces -= 1
        wire.sendall(b" " * spaces + body[-1:])
        reply = rest(wire)
    status, _, sent = parse(reply)
    return status, json.loads(sent)


def under_way(server: Server) -> int:
    """Requests under way, without the one that asks."""
    with urllib.request.urlopen(f"{server.url}/metrics", timeout=PATIENCE) as reply:
        (told,) = re.findall(r"^guards_requests_under_way (\d+)", reply.read().decode(), re.M)
    return int(told) - 1


def await_true(true: Callable[[], object]) -> None:
    """Wait until the condition is true; fail when patience runs out."""
    end = time.monotonic() + PATIENCE
    while not true():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.05)


def test_at_sigterm_readiness_goes_off_and_what_is_under_way_ends(tmp_path: Path) -> None:
    """During the drain the service is not ready, but still answers. After the drain, when the other
    worker has ended, the request under way is answered whole, the port is closed, and the process
    ends with 0."""
    last = threading.Event()
    with (
        running(tmp_path / "log", GUARDS_WORKERS="2", GUARDS_DRAIN="4") as server,
        concurrent.futures.ThreadPoolExecutor(1) as pool,
    ):
        slow = pool.submit(slow_body, server, last)
        await_true(lambda: under_way(server) == 1)
        server.process.send_signal(signal.SIGTERM)
        await_true(lambda: ask(f"{server.url}/health/ready") == 503)
        during = (ask(f"{server.url}/v1/kits"), ask(f"{server.url}/health/live"))
        workers_of(server, 1)
        assert not slow.done()
        last.set()
        status, document = slow.result(PATIENCE)
        assert during == (200, 200)
        assert (status, document["release"]) == (200, RELEASE)
        assert server.process.wait(PATIENCE) == 0
        with pytest.raises(urllib.error.URLError):
            ask(f"{server.url}/health/live")


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGQUIT])
def test_told_to_end_at_once_it_says_so_to_whom_it_leaves(tmp_path: Path, number: int) -> None:
    """A client whose body is still on its way is told 503 `not_ready`, not a timeout: its time was
    not over, and its body had not stopped arriving."""
    with running(tmp_path / "log", GUARDS_WORKERS="2") as server, server.connect() as wire:
        wire.sendall(HEAD + b"Content-Length: 1000\r\n\r\n{")
        await_true(lambda: under_way(server) == 1)
        server.process.send_signal(number)
        refused(rest(wire), 503, "not_ready")
        assert server.process.wait(PATIENCE) == 0


def test_a_signal_to_every_process_drains_as_one_to_the_master_does(tmp_path: Path) -> None:
    """SIGTERM to every process at once, as a service manager sends it, begins the drain: readiness
    goes off, requests are still answered, and the workers end only after the drain."""
    with running(tmp_path / "log", GUARDS_DRAIN="600") as server:
        for process in (*workers_of(server, 2), server.process.pid):
            os.kill(process, signal.SIGTERM)
        time.sleep(1.5)
        await_true(lambda: ask(f"{server.url}/health/ready") == 503)
        assert [ask(f"{server.url}/v1/kits") for _ in range(4)] == [200] * 4
        server.process.send_signal(signal.SIGTERM)
        assert server.process.wait(PATIENCE) == 0


def test_a_worker_that_is_told_to_end_alone_is_replaced(tmp_path: Path) -> None:
    """No drain begins when SIGTERM goes to one worker alone: the worker ends, and another takes its
    place."""
    with running(tmp_path / "log", GUARDS_WORKERS="1") as server:
        (first,) = workers_of(server, 1)
        os.kill(first, signal.SIGTERM)
        await_true(lambda: first not in workers_of(server, 1))
        assert ask(f"{server.url}/v1/kits") == 200


def configured(**settings: str) -> dict[str, Any]:
    """The settings of gunicorn's configuration file under these environment variables, read in a
    process of its own."""
    program = (
        "import json, runpy; told = runpy.run_path('deploy/gunicorn.conf.py')\n"
        "print(json.dumps({k: v for k, v in told.items() if type(v) in (str, int, float, bool)}))"
    )
    ended = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        env={**os.environ, **settings},
        capture_output=True,
        text=True,
        timeout=PATIENCE,
        check=True,
    )
    told: dict[str, Any] = json.loads(ended.stdout)
    return told


def test_what_is_set_is_what_gunicorn_is_told() -> None:
    """The settings of the service become those of gunicorn.

    A batch under way is waited for: 11 s, and 7 s for its last line. The app is loaded before the
    workers are forked, because they share what is loaded and counted; there is no control socket.
    """
    told = configured(
        HOST="::1",
        PORT="8123",
        GUARDS_WORKERS="3",
        GUARDS_TIMEOUT="7",
        GUARDS_BATCH_TIMEOUT="11",
        GUARDS_LOG_LEVEL="warning",
    )
    assert (told["bind"], told["workers"], told["loglevel"]) == ("[::1]:8123", 3, "warning")
    assert (told["timeout"], told["graceful_timeout"]) == (7, 18)
    assert (told["preload_app"], told["control_socket_disable"]) == (True, True)
    limits = ("limit_request_line", "limit_request_fields", "limit_request_field_size")
    assert [told[name] for name in limits] == [4_094, 64, 8_190]


def workers_of(server: Server, count: int) -> list[int]:
    """The process ids of the workers, once there are `count` of them."""
    master = server.process.pid
    children = Path(f"/proc/{master}/task/{master}/children")
    await_true(lambda: len(children.read_text().split()) == count)
    return [int(each) for each in children.read_text().split()]


def test_only_another_signal_to_stop_ends_the_drain(tmp_path: Path) -> None:
    """Reopening the log, a reload, a change of window size and the death of a worker do not end the
    drain, and the service still answers. A second SIGTERM, from whoever cannot wait, ends it."""
    with running(tmp_path / "log", GUARDS_WORKERS="2", GUARDS_DRAIN="600") as server:
        first, _ = workers_of(server, 2)
        server.process.send_signal(signal.SIGTERM)
        await_true(lambda: ask(f"{server.url}/health/ready") == 503)
        os.kill(first, signal.SIGKILL)
        workers_of(server, 1)
        for number in (signal.SIGUSR1, signal.SIGHUP, signal.SIGWINCH):
            server.process.send_signal(number)
            time.sleep(0.3)
        assert server.process.poll() is None
        assert ask(f"{server.url}/v1/kits") == 200
        server.process.send_signal(signal.SIGTERM)
        assert server.process.wait(PATIENCE) == 0


def test_a_reload_loses_nothing(tmp_path: Path) -> None:
    """At SIGHUP the workers are replaced, and every request meanwhile is answered."""
    with running(tmp_path / "log") as server:
        codes = []
        for number in range(40):
            if number == 10:
                server.process.send_signal(signal.SIGHUP)
            codes.append(ask(f"{server.url}/v1/kits"))
            time.sleep(0.02)
        assert set(codes) == {200}


def test_a_reload_told_to_every_process_loses_nothing(tmp_path: Path) -> None:
    """SIGHUP to every process, as when a terminal hangs up: a worker that has half of a body still
    answers it whole, and both workers are replaced."""
    last = threading.Event()
    with (
        running(tmp_path / "log", GUARDS_WORKERS="2") as server,
        concurrent.futures.ThreadPoolExecutor(1) as pool,
    ):
        slow = pool.submit(slow_body, server, last)
        await_true(lambda: under_way(server) == 1)
        before = workers_of(server, 2)
        for process in (*before, server.process.pid):
            os.kill(process, signal.SIGHUP)
        await_true(lambda: len(set(before).intersection(workers_of(server, 3))) == 1)
        last.set()
        status, document = slow.result(PATIENCE)
        assert (status, document["release"]) == (200, RELEASE)
        assert not set(before).intersection(workers_of(server, 2))


def test_the_decks_under_way_are_counted_over_all_workers(tmp_path: Path) -> None:
    """The limit of one deck under way holds over both workers: while one has a batch under way, a
    deck that comes to the other is refused with 503 and Retry-After."""
    body = json.dumps(DECK).encode()
    message = HEAD + b"Content-Length: %d\r\n\r\n" % len(body) + body
    line = b"%x\r\n%s\n\r\n" % (len(body) + 1, body)
    head = b"POST /v1/layouts HTTP/1.1\r\nHost: a\r\nContent-Type: application/x-ndjson\r\n"
    with running(tmp_path / "log", GUARDS_WORKERS="2", GUARDS_IN_FLIGHT="1") as server:
        with server.connect() as wire:
            wire.sendall(head + b"Transfer-Encoding: chunked\r\n\r\n" + line)
            assert b" 200 " in wire.recv(65_536)[:20]  # Its answer: the body is not at its end.
            status, headers, _ = parse(server.raw(message))
            wire.sendall(b"0\r\n\r\n")
            rest(wire)
        again = parse(server.raw(message))
    assert (status, headers["Retry-After"], again[0]) == (503, "1", 200)
