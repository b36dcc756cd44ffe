"""Requests per second through gunicorn on loopback, in rounds of bounded length."""

from __future__ import annotations

import multiprocessing
import socket
import time
from collections.abc import Iterator
from io import BufferedIOBase

SECONDS = 2.0
SENDERS = 2


def request(body: bytes, keep: bool) -> bytes:
    """A POST to the layout path. keep: ask for the connection to be kept open."""
    head = (
        b"POST /v1/layout HTTP/1.1\r\nHost: bench\r\nContent-Type: application/json\r\n"
        b"Connection: %s\r\nContent-Length: %d\r\n\r\n"
    )
    return head % (b"keep-alive" if keep else b"close", len(body)) + body


def rate(port: int, sent: bytes) -> float:
    """Replies of status 200 a second, to SENDERS processes that send one request after another."""
    fork = multiprocessing.get_context("fork")
    with fork.Pool(SENDERS) as pool:
        counts = pool.starmap(_send, [(port, sent)] * SENDERS)
    return sum(counts) / SECONDS


def _send(port: int, sent: bytes) -> int:
    replies = 0
    end = time.perf_counter() + SECONDS
    for status in _replies(port, sent):
        if status != b"200":
            raise RuntimeError(f"the service answered {status!r}")
        replies += 1
        if time.perf_counter() > end:
            break
    return replies


def _replies(port: int, sent: bytes) -> Iterator[bytes]:
    """The status of each reply; a new connection wherever the last one was closed."""
    while True:
        with (
            socket.create_connection(("127.0.0.1", port), timeout=20) as wire,
            wire.makefile("rb") as reader,
        ):
            open_still = True
            while open_still:
                wire.sendall(sent)
                status = reader.readline().split()[1]
                length, open_still = _fields(reader)
                reader.read(length)
                yield status


def _fields(reader: BufferedIOBase) -> tuple[int, bool]:
    """The length of the body, and whether the connection stays open after it."""
    length, keep = 0, True
    for line in iter(reader.readline, b"\r\n"):
        name, _, value = line.partition(b":")
        if name.lower() == b"content-length":
            length = int(value)
        elif name.lower() == b"connection":
            keep = value.strip().lower() != b"close"
    return length, keep
