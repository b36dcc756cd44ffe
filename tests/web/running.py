"""A deck to send, and gunicorn on the loopback interface to send it to."""

from __future__ import annotations

import contextlib
import json
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

ROOT = Path(__file__).resolve().parents[2]
GUNICORN = [sys.executable, "-m", "gunicorn", "--config", "deploy/gunicorn.conf.py"]

DECK: dict[str, Any] = {
    "unit": "in",
    "kit": "picket-glass-surface-in",
    "code": "us-irc-2021",
    "guard": {"infill": "picket"},
    "levels": [
        {
            "id": "main",
            "drop": 48,
            "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]},
            "edges": [{"edge": 2, "condition": "wall"}],
        }
    ],
}
"""A deck of 20 ft by 12 ft against a house."""


PATIENCE = 120
"""Seconds to wait, on a busy machine, for something that normally takes a moment."""


def gunicorn_with(change: str) -> list[str]:
    """A command like GUNICORN. change: Python code that runs first, in the process that the workers
    are forked from, and may put something in the place of a part of the service."""
    begin = "from gunicorn.app.wsgiapp import run\nrun()"
    return [sys.executable, "-c", f"{change}\n{begin}", *GUNICORN[3:]]


@dataclass(frozen=True)
class Server:
    """A running gunicorn."""

    process: subprocess.Popen[bytes]
    port: int
    log: Path

    @property
    def url(self) -> str:
        """The address at which it listens."""
        return f"http://127.0.0.1:{self.port}"

    def lines(self) -> list[dict[str, Any]]:
        """The lines logged so far, without one that is still being written."""
        whole, _, _ = self.log.read_bytes().rpartition(b"\n")
        return [json.loads(line) for line in whole.splitlines() if line]

    def connect(self) -> socket.socket:
        """A new connection to the server."""
        return socket.create_connection(("127.0.0.1", self.port), timeout=PATIENCE)

    def raw(self, sent: bytes) -> bytes:
        """All bytes that come back in answer to these bytes."""
        with self.connect() as wire:
            wire.sendall(sent)
            return b"".join(iter(lambda: wire.recv(65_536), b""))


@contextlib.contextmanager
def held_port() -> Iterator[int]:
    """A free port of the loopback interface for a server of the tests.

    As long as it is also bound here, the kernel gives it neither to a process that asks for any
    port nor to one that makes an outgoing connection.
    """
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        yield port


@contextlib.contextmanager
def running(
    log: Path, app: str | None = None, reply: Path | None = None, **settings: str
) -> Iterator[Server]:
    """Run gunicorn by deploy/gunicorn.conf.py until the block ends, from when it answers; it is
    ended by its own process id.

    app: another application than the service, which gets `reply` as BENCH_REPLY.
    """
    if reply is not None:
        settings["BENCH_REPLY"] = str(reply)
    command = [*GUNICORN, app] if app else GUNICORN
    with log.open("wb") as sink, begun(command, sink, **settings) as (process, port):
        await_answer(process, port, log)
        yield Server(process, port, log)


@contextlib.contextmanager
def begun(
    command: Sequence[str], error: IO[bytes], **settings: str
) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    """Run a command that serves on a port until the block ends, with `error` as its standard error;
    it is ended by its own process id."""
    environ = {name: value for name, value in os.environ.items() if not name.startswith("GUARDS_")}
    environ |= {"HOST": "127.0.0.1", "GUARDS_DRAIN": "0", **settings}
    with held_port() as port:
        environ["PORT"] = str(port)
        process = subprocess.Popen(command, cwd=ROOT, env=environ, stderr=error)
        try:
            yield process, port
        finally:
            process.terminate()
            try:
                process.wait(timeout=PATIENCE)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()


def await_answer(process: subprocess.Popen[bytes], port: int, log: Path) -> None:
    """Wait until the server replies; fail with what it logged where the process ends instead.

    Any reply will do, as gunicorn listens only once the app is loaded and its trial deck is laid
    out.
    """
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end and process.poll() is None:
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/health/live", timeout=10).close()
        except urllib.error.HTTPError as reply:
            reply.close()
        except OSError:
            time.sleep(0.05)
            continue
        return
    raise AssertionError(f"gunicorn does not answer: {log.read_bytes()[-2000:]!r}")
