"""A log that cannot be written: what is served goes on without it."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from typing import IO

import pytest

from tests.web.running import DECK, PATIENCE, ROOT, held_port

BODY = json.dumps(DECK).encode()


def ask(port: int, method: str, path: str, body: bytes = b"", media: str = "") -> int:
    """The status of a whole reply."""
    caller = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
    with contextlib.closing(caller):
        caller.request(method, path, body, {"Content-Type": media} if media else {})
        reply = caller.getresponse()
        reply.read()
        return reply.status


@contextlib.contextmanager
def serving(end: str, error: IO[bytes]) -> Iterator[tuple[int, subprocess.Popen[bytes]]]:
    """The service with `error` as its standard error, or with its standard streams as the end of a
    shell's command has them."""
    settings = {"HOST": "127.0.0.1", "GUARDS_DRAIN": "0"}
    words = [sys.executable, "-m", "gunicorn", "--config", "deploy/gunicorn.conf.py"]
    with held_port() as port:
        environ = {**os.environ, **settings, "PORT": str(port)}
        process = subprocess.Popen(
            ["sh", "-c", f'exec "$@" {end}', "sh", *words], cwd=ROOT, env=environ, stderr=error
        )
        try:
            yield port, process
        finally:
            process.terminate()
            try:
                process.wait(timeout=PATIENCE)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()


def await_listening(port: int) -> None:
    """Until somebody takes connections there."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        with contextlib.suppress(OSError):
            socket.create_connection(("127.0.0.1", port)).close()
            return
        time.sleep(0.05)
    raise AssertionError("it does not listen")


@pytest.mark.parametrize(
    "end", ["2>/dev/full", "2>&-", "<&- >&- 2>&-", ""], ids=["full", "closed", "all", "unread"]
)
def test_a_log_that_cannot_be_written_takes_no_reply_along(end: str) -> None:
    """On a full disk, closed, or into a pipe that nobody reads: forty requests of four sorts are
    answered by both workers, and the service ends as it should."""
    read, write = os.pipe()
    os.close(read)
    with open(write, "wb", closefd=True) as unread, serving(end, unread) as (port, process):
        await_listening(port)
        for _ in range(10):
            assert ask(port, "POST", "/v1/layout", BODY, "application/json") == 200
            assert ask(port, "POST", "/v1/layouts", BODY, "application/x-ndjson") == 200
            assert ask(port, "GET", "/no-such") == 404
            assert ask(port, "GET", "/" + "a" * 5000) == 414
    assert process.returncode == 0
