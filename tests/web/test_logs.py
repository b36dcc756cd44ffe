"""A log that cannot be written: requests are served without it."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import select
import threading
from pathlib import Path

import pytest

from service.web.logs import write_line
from tests.web.running import (
    DECK,
    GUNICORN,
    PATIENCE,
    await_answer,
    begun,
    gunicorn_with,
    running,
)

BODY = json.dumps(DECK).encode()


def fill(pipe: int) -> None:
    """Fill a pipe until it has no room."""
    os.set_blocking(pipe, False)
    with contextlib.suppress(BlockingIOError):
        while True:
            os.write(pipe, b"x" * 4096)
    os.set_blocking(pipe, True)


def ask(port: int, method: str, path: str, body: bytes = b"", media: str = "") -> int:
    """The status of a reply, which is read whole."""
    caller = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
    with contextlib.closing(caller):
        caller.request(method, path, body, {"Content-Type": media} if media else {})
        reply = caller.getresponse()
        reply.read()
        return reply.status


@pytest.mark.parametrize(
    "end", ["2>/dev/full", "2>&-", "<&- >&- 2>&-", ""], ids=["full", "closed", "all", "unread"]
)
def test_a_log_that_cannot_be_written_takes_no_reply_along(end: str) -> None:
    """Standard error is on a full disk, closed, or a pipe that nobody reads: forty requests of four
    sorts are still answered, and the service ends as it should."""
    read, write = os.pipe()
    os.close(read)
    command = ["sh", "-c", f'exec "$@" {end}', "sh", *GUNICORN]
    with open(write, "wb", closefd=True) as unread, begun(command, unread) as (process, port):
        await_answer(process, port, Path(os.devnull))
        for _ in range(10):
            assert ask(port, "POST", "/v1/layout", BODY, "application/json") == 200
            assert ask(port, "POST", "/v1/layouts", BODY, "application/x-ndjson") == 200
            assert ask(port, "GET", "/no-such") == 404
            assert ask(port, "GET", "/" + "a" * 5000) == 414
    assert process.returncode == 0


def test_at_its_lowest_level_a_log_holds_nothing_that_was_sent(tmp_path: Path) -> None:
    """At `debug` the log has no path, no query and nothing of what is not HTTP, although gunicorn
    by itself logs each path."""
    with running(tmp_path / "log", GUARDS_LOG_LEVEL="debug") as server:
        assert ask(server.port, "GET", "/v1/kits/secret?secret=secret") == 404
        assert b" 400 " in server.raw(b"SECRET secret\r\n\r\n")
        assert ask(server.port, "POST", "/v1/layout", b'{"secret": 1}', "application/json") == 400
    assert "secret" not in (tmp_path / "log").read_text("utf-8").lower()


COUNTED = """
import os
from service.web import logs

class Counted(logs._Room):
    def wait(self, number):
        patience, there = self._patience, super().wait(number)
        if patience and not there:
            with open(os.environ["WAITS"], "a") as waits:
                print(os.getpid(), file=waits)
        return there

logs._ROOM = Counted()
"""
"""Notes the id of a process each time that it has waited for room in the log, and in vain."""


def test_a_log_whose_reader_has_stopped_holds_nothing_up(tmp_path: Path) -> None:
    """The log is a full pipe whose reader lives but reads nothing, as with a halted terminal: for
    forty requests the one worker waits for room once, and so does any other process. When the
    reader reads again, lines are logged from then on."""
    waits = tmp_path / "waits"
    read, write = os.pipe()
    fill(write)
    with (
        open(read, "rb", closefd=True) as reader,
        open(write, "wb", closefd=True) as sink,
        begun(gunicorn_with(COUNTED), sink, WAITS=str(waits), GUARDS_WORKERS="1") as (
            process,
            port,
        ),
    ):
        await_answer(process, port, Path(os.devnull))
        for _ in range(40):
            assert ask(port, "GET", "/v1/limits") == 200
        waited = waits.read_text().split()
        assert 1 <= len(waited) == len(set(waited))
        while select.select([read], [], [], 0)[0]:
            os.read(read, 65_536)
        assert ask(port, "GET", "/no-such") == 404
        assert json.loads(reader.readline())["status"] == 404
    assert process.returncode == 0


def test_of_a_line_longer_than_there_is_room_for_the_end_is_lost(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A line is longer than the one free page of a pipe: its rest is not waited for."""
    read, write = os.pipe()
    fill(write)
    os.read(read, 4096)
    with open(read, "rb"), open(write, "w") as full:
        monkeypatch.setattr("sys.stderr", full)
        monkeypatch.setattr("service.web.logs._ROOM._patience", 0.1)
        said = threading.Thread(target=write_line, args=[b"x" * 10_000], daemon=True)
        said.start()
        said.join(PATIENCE)
        assert not said.is_alive()
        assert not select.select([], [write], [], 0)[1]


def test_a_reader_that_is_a_little_late_misses_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """The reader reads again after a fifth of a second, and a full second is waited for it."""
    read, write = os.pipe()
    fill(write)
    with open(read, "rb") as reader, open(write, "w") as full:
        monkeypatch.setattr("sys.stderr", full)
        late = threading.Timer(0.2, lambda: os.read(read, 4096))
        late.start()
        write_line(b'{"late": true}')
        late.join()
        full.close()
        assert reader.read().endswith(b'x{"late": true}\n')
