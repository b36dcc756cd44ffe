"""Batches through gunicorn: senders that read late or not at all, and batches that keep a worker
for long."""

from __future__ import annotations

import contextlib
import http.client
import json
import select
import signal
import socket
import time
from collections.abc import Iterator
from io import BufferedIOBase
from pathlib import Path
from typing import Any

import pytest

from service.web.intake import PAUSE
from tests.bounded import LONG
from tests.web.running import (
    DECK,
    PATIENCE,
    Server,
    await_answer,
    begun,
    gunicorn_with,
    running,
)

HEAD = b"POST /v1/layouts HTTP/1.1\r\nHost: a\r\nContent-Type: application/x-ndjson\r\n"
CHUNKED = HEAD + b"Transfer-Encoding: chunked\r\n\r\n"
LINE = json.dumps(DECK).encode() + b"\n"
FEW, MANY = (2_000, 20_000) if LONG else (100, 1_000)

Json = dict[str, Any]


def chunk(part: bytes) -> bytes:
    """One chunk of a chunked body."""
    return b"%x\r\n%s\r\n" % (len(part), part)


@contextlib.contextmanager
def wire(server: Server, room: int = 0) -> Iterator[tuple[socket.socket, BufferedIOBase]]:
    """A connection, and a reader of what comes back on it. room: bytes that it may hold unread; 0
    leaves that to the system."""
    with socket.socket() as sender, sender.makefile("rb") as reader:
        if room:
            sender.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, room)
        sender.settimeout(PATIENCE)
        sender.connect(("127.0.0.1", server.port))
        yield sender, reader


def skip_head(reader: BufferedIOBase) -> int:
    """The status of a reply, whose header fields are read and dropped."""
    status = int(reader.readline().split()[1])
    while reader.readline() not in (b"\r\n", b""):
        pass
    return status


def next_line(reader: BufferedIOBase) -> Json | None:
    """The next line of a chunked reply; None at its proper end."""
    size = int(reader.readline(), 16)
    part = reader.read(size + 2)
    assert len(part) == size + 2
    return json.loads(part) if size else None


def whole(reader: BufferedIOBase) -> list[Json]:
    """Every line of a reply that has its proper end."""
    lines = iter(lambda: next_line(reader), None)
    return [line for line in lines if line is not None]


def ask(server: Server, body: bytes) -> tuple[int, list[Json]]:
    """Status and lines of the reply to a client that, like most, sends everything before it
    reads."""
    caller = http.client.HTTPConnection("127.0.0.1", server.port, timeout=600)
    with contextlib.closing(caller):
        caller.request("POST", "/v1/layouts", body, {"Content-Type": "application/x-ndjson"})
        reply = caller.getresponse()
        return reply.status, [json.loads(line) for line in reply]


def batches(server: Server) -> list[Json]:
    """The log's lines of all batches."""
    return [line for line in server.lines() if line.get("path") == "/v1/layouts"]


def logged(server: Server, before: int = 0, **members: Any) -> Json:
    """The log's line of the first batch after `before` of them that has these members.

    A batch is logged a little after its reply has ended, so others may be logged in between.
    """
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        for told in batches(server)[before:]:
            if told.items() >= members.items():
                return told
        time.sleep(0.05)
    raise AssertionError(f"no batch was logged with {members}")


def test_who_sends_everything_first_is_answered_whole(server: Server) -> None:
    """12 MB are sent before any of 20 MB of reply is read, more than sockets hold: neither side
    waits for the other."""
    body = (LINE.rstrip().ljust(12_000) + b"\n") * 1_000
    status, lines = ask(server, body)
    assert status == 200
    assert [(line["line"], line["status"]) for line in lines] == [(n, 200) for n in range(1, 1001)]


def test_who_waits_for_each_answer_gets_it(server: Server) -> None:
    """While the body stays open, the answer to each line comes before the next line is sent."""
    with wire(server) as (sender, reader):
        sender.sendall(CHUNKED)
        for number in (1, 2, 3):
            sender.sendall(chunk(LINE))
            if number == 1:
                assert skip_head(reader) == 200
            line = next_line(reader)
            assert line is not None
            assert (line["line"], line["status"]) == (number, 200)
        sender.sendall(b"0\r\n\r\n")
        assert next_line(reader) is None


def test_a_line_may_come_in_many_chunks_and_a_chunk_hold_many_lines(server: Server) -> None:
    """Lines are the same wherever chunks end."""
    body = LINE * 5
    for size in (7, 1000, len(body)):
        parts = [body[i : i + size] for i in range(0, len(body), size)]
        with wire(server) as (sender, reader):
            sender.sendall(CHUNKED + b"".join(map(chunk, parts)) + b"0\r\n\r\n")
            assert skip_head(reader) == 200
            assert [line["line"] for line in whole(reader)] == [1, 2, 3, 4, 5]


@pytest.mark.parametrize(
    "sent",
    [HEAD + b"Content-Length: 3\r\n\r\n{}\n", CHUNKED + chunk(b"{}\n") + b"0\r\n\r\n"],
    ids=["by its length", "chunked"],
)
def test_a_whole_body_is_not_waited_for(tmp_path: Path, sent: bytes) -> None:
    """Where the whole body has come, no pause is waited for: the pause is an hour here, and the
    answer comes all the same. Before the end of the body has come, there is none."""
    log = tmp_path / "log"
    command = gunicorn_with("from service.web import intake; intake.PAUSE = 3600.0")
    with log.open("wb") as sink, begun(command, sink) as (process, port):
        await_answer(process, port, log)
        server = Server(process, port, log)
        for _ in range(20):
            assert b" 200 " in server.raw(sent)[:20]
        with wire(server) as (sender, _):
            sender.sendall(CHUNKED + chunk(b"{}\n"))
            assert not select.select([sender], [], [], 4 * PAUSE)[0]


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        (HEAD + b"Content-Length: 500000\r\n\r\n" + LINE * 2, "line 3"),
        (CHUNKED + chunk(LINE * 2), "line 3"),
        (CHUNKED + chunk(LINE * 2) + b"3e8\r\n" + LINE[:100], "line 3"),
        (CHUNKED + chunk(LINE) + b"zz\r\n", "line 2"),
    ],
)
def test_a_body_that_breaks_off_is_said(server: Server, sent: bytes, said: str) -> None:
    """A body that breaks off is refused, even at the end of a line: what came is good NDJSON, but
    lines are missing."""
    with wire(server) as (sender, reader):
        sender.sendall(sent)
        sender.shutdown(socket.SHUT_WR)
        assert skip_head(reader) == 400
        problem = json.loads(reader.read())
    assert problem["errors"][0]["code"] == "bad_request"
    assert said in problem["detail"]


def test_a_body_that_breaks_off_after_the_first_answer_is_said_in_a_last_line(
    server: Server,
) -> None:
    """The status 200 has been sent by then, so a last line tells of it, and the reply has its
    proper end."""
    with wire(server) as (sender, reader):
        sender.sendall(CHUNKED + chunk(LINE))
        assert skip_head(reader) == 200
        next_line(reader)
        sender.sendall(chunk(LINE) + b"100\r\n{")
        sender.shutdown(socket.SHUT_WR)
        good, last = whole(reader)
    assert (good["line"], good["status"]) == (2, 200)
    assert (last["line"], last["status"], last["ended"]) == (3, 400, True)


def test_a_body_that_stops_arriving_is_said_in_a_last_line(server: Server) -> None:
    """A body that stops in the middle of line 2 is given up after five seconds without a byte."""
    before = len(batches(server))
    with wire(server) as (sender, reader):
        sender.sendall(CHUNKED + chunk(LINE + LINE[:50]))
        assert skip_head(reader) == 200
        first, last = whole(reader)
    assert (first["line"], last["line"], last["status"]) == (1, 2, 408)
    assert last["problem"]["errors"][0]["code"] == "request_timeout"
    assert logged(server, before, ended="request_timeout")["status"] == 200


def test_a_chunked_batch_over_a_limit_is_never_cut(tmp_path: Path) -> None:
    """A limit passed before the first answer refuses the whole batch; one passed after it is told
    in a last line, at the first line that was too many."""
    with running(tmp_path / "log", GUARDS_BATCH_LINES="4", GUARDS_BATCH_BYTES="5000") as server:
        for body, code in ((b"{}\n" * 5, "too_many"), (b" " * 5001, "body_too_long")):
            reply = server.raw(CHUNKED + chunk(body) + b"0\r\n\r\n")
            assert b" 413 " in reply[:20]
            assert f'"{code}"'.encode() in reply
        for body, at, code in ((b"{}\n" * 4, 5, "too_many"), (b" " * 5001, 2, "body_too_long")):
            with wire(server) as (sender, reader):
                sender.sendall(CHUNKED + chunk(b"{}\n"))
                skip_head(reader)
                next_line(reader)
                sender.sendall(chunk(body) + b"0\r\n\r\n")
                last = whole(reader)[-1]
            assert (last["line"], last["status"], last["ended"]) == (at, 413, True)
            assert last["problem"]["errors"][0]["code"] == code


def test_a_batch_may_take_longer_than_one_line_may(tmp_path: Path) -> None:
    """Each line gives a sign of life, so a batch outlives the timeout of three seconds. The lines
    are doubled until the batch takes longer than that."""
    with running(tmp_path / "log", GUARDS_WORKERS="1", GUARDS_TIMEOUT="3") as server:
        taken, count = 0.0, 500
        while taken < 4:
            count *= 2
            started = time.monotonic()
            status, lines = ask(server, LINE * count)
            taken = time.monotonic() - started
            assert (status, len(lines), lines[-1]["status"]) == (200, count, 200)
        assert [line for line in server.lines() if line["level"] in ("error", "critical")] == []


def test_a_batch_that_takes_too_long_says_what_is_left(tmp_path: Path) -> None:
    """After three seconds no further line is begun; those before it are answered."""
    with (
        running(tmp_path / "log", GUARDS_BATCH_TIMEOUT="3") as server,
        wire(server) as (sender, reader),
    ):
        sender.sendall(CHUNKED + chunk(LINE))
        assert skip_head(reader) == 200
        good: list[Json] = []
        last = next_line(reader)
        while last is not None and "ended" not in last:
            good.append(last)
            sender.sendall(chunk(LINE))
            last = next_line(reader)
        assert last is not None
        assert next_line(reader) is None
        assert {line["status"] for line in good} == {200}
        assert (last["line"], last["status"], last["ended"]) == (len(good) + 1, 503, True)
        assert last["problem"]["errors"][0]["code"] == "overrun"


def test_a_line_that_trickles_is_given_up_with_a_word(tmp_path: Path) -> None:
    """A client that sends a byte now and then is never silent; the timeout of one line still ends
    the batch, in a last line."""
    with (
        running(tmp_path / "log", GUARDS_WORKERS="1", GUARDS_TIMEOUT="3") as server,
        wire(server) as (sender, reader),
    ):
        sender.sendall(CHUNKED + chunk(LINE))
        assert skip_head(reader) == 200
        next_line(reader)
        with contextlib.suppress(OSError):
            for _ in range(300):
                if select.select([sender], [], [], 0.4)[0]:
                    break
                sender.sendall(chunk(b" "))
        (last,) = whole(reader)
        assert (last["line"], last["status"], last["ended"]) == (2, 503, True)


def test_a_client_that_goes_away_stops_the_work(tmp_path: Path) -> None:
    """A client reads the first of ten thousand answers and closes: the worker soon serves another
    request."""
    with running(tmp_path / "log", GUARDS_WORKERS="1") as server:
        body = LINE * 10_000
        with wire(server) as (sender, reader):
            sender.sendall(HEAD + b"Content-Length: %d\r\n\r\n" % len(body) + body)
            skip_head(reader)
            next_line(reader)
        assert b" 200 " in server.raw(b"GET /v1/kits HTTP/1.1\r\nHost: a\r\n\r\n")[:20]
        line = logged(server)
    assert line["ended"] == "gone"
    assert line["lines"] < 2_000


def test_a_client_that_stops_reading_is_given_up(tmp_path: Path) -> None:
    """A client that stays connected but reads nothing is given up after five seconds, and the
    worker is free again."""
    with (
        running(tmp_path / "log", GUARDS_WORKERS="1") as server,
        wire(server, 65_536) as (sender, reader),
    ):
        body = LINE * 2_000
        sender.sendall(HEAD + b"Content-Length: %d\r\n\r\n" % len(body) + body)
        skip_head(reader)
        assert b" 200 " in server.raw(b"GET /v1/kits HTTP/1.1\r\nHost: a\r\n\r\n")[:20]
        assert logged(server)["ended"] == "gone"


def test_batches_leave_a_worker_for_the_rest(server: Server) -> None:
    """With two workers and one long batch, /health/ready is answered at once and a second batch is
    refused with Retry-After."""
    with wire(server) as (sender, reader):
        sender.sendall(CHUNKED + chunk(LINE))
        skip_head(reader)
        reply = server.raw(HEAD + b"Content-Length: 3\r\n\r\n{}\n")
        assert (b" 503 " in reply[:20], b"Retry-After: 1" in reply) == (True, True)
        assert b" 200 " in server.raw(b"GET /health/ready HTTP/1.1\r\nHost: a\r\n\r\n")[:20]
        sender.sendall(b"0\r\n\r\n")
        assert [line["status"] for line in whole(reader)] == [200]


def test_at_sigterm_a_batch_under_way_ends(tmp_path: Path) -> None:
    """A batch that takes longer than the timeout of one line is under way at SIGTERM: every line is
    answered, then the process ends."""
    body = LINE * 2_000
    with running(tmp_path / "log", GUARDS_TIMEOUT="3", GUARDS_DRAIN="0.2") as server:
        with wire(server) as (sender, reader):
            sender.sendall(HEAD + b"Content-Length: %d\r\n\r\n" % len(body) + body)
            assert skip_head(reader) == 200
            server.process.send_signal(signal.SIGTERM)
            lines = whole(reader)
        assert (len(lines), "ended" in lines[-1]) == (2_000, False)
        assert server.process.wait(PATIENCE) == 0


def test_while_a_batch_ends_nobody_else_is_kept_waiting(tmp_path: Path) -> None:
    """After the drain only the batch is under way. A new connection is refused at once; it does not
    wait in a queue that no worker will look into again, to be dropped without a word at the end."""
    with running(tmp_path / "log", GUARDS_WORKERS="1", GUARDS_DRAIN="0") as server:
        with wire(server) as (sender, reader):
            sender.sendall(CHUNKED + chunk(LINE))
            assert skip_head(reader) == 200
            assert next_line(reader) is not None
            server.process.send_signal(signal.SIGTERM)
            end = time.monotonic() + PATIENCE
            while takes_calls(server):
                assert time.monotonic() < end, "it is waited for still"
                sender.sendall(chunk(LINE))
                assert next_line(reader) is not None
            sender.sendall(chunk(LINE) + b"0\r\n\r\n")
            assert [line["status"] for line in whole(reader)] == [200]
        assert server.process.wait(PATIENCE) == 0


def takes_calls(server: Server) -> bool:
    """Whether the server is listening."""
    try:
        server.connect().close()
    except ConnectionRefusedError:
        return False
    return True


def peak(server: Server, count: int) -> int:
    """The most bytes that the worker has ever held in memory, after a batch of `count` lines of 24
    kB."""
    before = len(batches(server))
    line = LINE.rstrip().ljust(24_000) + b"\n"
    caller = http.client.HTTPConnection("127.0.0.1", server.port, timeout=600)
    with contextlib.closing(caller):
        head = {"Content-Type": "application/x-ndjson", "Content-Length": str(count * len(line))}
        caller.request("POST", "/v1/layouts", (line for _ in range(count)), head)
        reply = caller.getresponse()
        size = sum(len(part) for part in iter(lambda: reply.read(65_536), b""))
    # The memory compared below would hold this much if replies were held.
    assert size > count * 15_000
    status = Path(f"/proc/{logged(server, before)['pid']}/status").read_text()
    (highest,) = [each for each in status.splitlines() if each.startswith("VmHWM")]
    return int(highest.split()[1]) * 1024


def test_memory_does_not_grow_with_the_batch(tmp_path: Path) -> None:
    """After ten times the lines, the most memory ever held is no more than 12 MB above what it was
    after the first batch, which is what buffers and the heap may come to with any batch. If lines
    were held, each of the 900 more would add 24 kB, which is 21.6 MB, and its answer 20 kB: 39 MB,
    or 790 in the long run."""
    with running(tmp_path / "log", GUARDS_WORKERS="1") as server:
        few = peak(server, FEW)
        many = peak(server, MANY)
    assert many - few < 12_000_000
