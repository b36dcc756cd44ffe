"""A log that cannot be written: what is served goes on without it."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
from pathlib import Path

import pytest

from tests.web.running import DECK, GUNICORN, PATIENCE, await_answer, begun

BODY = json.dumps(DECK).encode()


def ask(port: int, method: str, path: str, body: bytes = b"", media: str = "") -> int:
    """The status of a whole reply."""
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
    """On a full disk, closed, or into a pipe that nobody reads: forty requests of four sorts are
    answered by both workers, and the service ends as it should."""
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
