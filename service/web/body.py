"""Web: the body of a request, whole, no longer than the limit and in time, or a refusal."""

from __future__ import annotations

import time
from typing import Final

from flask import Request

from service.core.problems import Problem, TooLarge
from service.web.arrival import Arrival, arriving
from service.web.errors import WebRefusal

PATIENCE: Final = 10.0
"""Seconds that a body may take to arrive, and a second more for each PACE bytes of it."""
PACE: Final = 65_536


def check_length(request: Request, limit: int) -> None:
    """Refuse (413) by Content-Length alone, before anything is read."""
    if (request.content_length or 0) > limit:
        raise _too_long(limit)


def read_body(request: Request, limit: int) -> bytes:
    """The whole body, at most `limit` bytes; one that is longer is refused (413), never cut, one
    that breaks off (400) and one that trickles (408) likewise.

    werkzeug's own limit on a stream cuts a chunked body where it is read in one piece, and
    refuses one of exactly the limit where it is read line by line; so the count is kept here.
    """
    body = arriving(request.environ, request.stream)
    pieces: list[bytes] = []
    size, began = 0, time.monotonic()
    while piece := _read_piece(body):
        size += len(piece)
        if size > limit:
            raise _too_long(limit)
        pieces.append(piece)
        if time.monotonic() - began > PATIENCE + size / PACE:
            raise WebRefusal("request_timeout", "The body arrived too slowly.")
    return b"".join(pieces)


def _read_piece(body: Arrival) -> bytes:
    """The next piece. Whatever goes wrong here is the sender's: a cut or ill-formed body, or one
    that has not come when the worker loses patience, or is told that its time is up; but not that
    it is told to end at once."""
    try:
        return body.read()
    except (BlockingIOError, SystemExit) as error:
        if isinstance(error, SystemExit) and not error.code:
            raise
        raise WebRefusal("request_timeout", "The body stopped arriving.") from error
    except Exception as error:
        raise WebRefusal("bad_request", "The body did not arrive whole.") from error


def _too_long(limit: int) -> TooLarge:
    return TooLarge([Problem("", "body_too_long", f"The body is longer than {limit} bytes.")])
