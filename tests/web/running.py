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
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]

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
"""20 ft by 12 ft against a house."""


@dataclass(frozen=True)
class Server:
    """A running gunicorn."""

    process: subprocess.Popen[bytes]
    port: int
    log: Path

    @property
    def url(self) -> str:
        """Where it listens."""
        return f"http://127.0.0.1:{self.port}"

    def lines(self) -> list[dict[str, Any]]:
        """What it logged so far."""
        return [json.loads(line) for line in self.log.read_bytes().splitlines() if line]

    def raw(self, sent: bytes) -> bytes:
        """Everything that comes back to these bytes."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=60) as wire:
            wire.sendall(sent)
            return b"".join(iter(lambda: wire.recv(65_536), b""))


def free_port() -> int:
    """A port of the loopback interface that nobody holds just now."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@contextlib.contextmanager
def running(
    log: Path, app: str | None = None, reply: Path | None = None, **settings: str
) -> Iterator[Server]:
    """gunicorn by deploy/gunicorn.conf.py, ready; it is ended by its own process id.

    app: another application than the service, which gets `reply` as BENCH_REPLY.
    """
    port = free_port()
    environ = {name: value for name, value in os.environ.items() if not name.startswith("GUARDS_")}
    environ |= {"HOST": "127.0.0.1", "PORT": str(port), "GUARDS_DRAIN": "0", **settings}
    if reply is not None:
        environ["BENCH_REPLY"] = str(reply)
    command = [sys.executable, "-m", "gunicorn", "--config", "deploy/gunicorn.conf.py"]
    with log.open("wb") as sink:
        process = subprocess.Popen(
            command + ([app] if app else []), cwd=ROOT, env=environ, stderr=sink
        )
        try:
            await_answer(process, port, log)
            yield Server(process, port, log)
        finally:
            process.terminate()
            try:
                process.wait(timeout=20)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()


def await_answer(process: subprocess.Popen[bytes], port: int, log: Path) -> None:
    """Wait, 20 s at most, for a reply; a process that ends instead fails with what it logged.

    Any reply will do: gunicorn listens only after the app is loaded and its trial deck laid out.
    """
    end = time.monotonic() + 20
    while time.monotonic() < end and process.poll() is None:
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/health/live", timeout=2).close()
        except urllib.error.HTTPError as reply:
            reply.close()
        except OSError:
            time.sleep(0.05)
            continue
        return
    raise AssertionError(f"gunicorn does not answer: {log.read_text()[-2000:]}")
