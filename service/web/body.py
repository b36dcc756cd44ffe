"""Web: reads the whole body of a request, or refuses one that is too long, too slow or cut off.

The main entry is `read_body`.
"""

from __future__ import annotations

import time
from typing import Final

from flask import Request

from service.core.problems import Problem, TooLarge
from service.web.arrival import Arrival, arriving
from service.web.errors import WebRefusal

PATIENCE: Final = 10.0
"""Seconds that a body may take to arrive; for each PACE bytes of it, it has a second more."""
PACE: Final = 65_536


def check_length(request: Request, limit: int) -> None:
    """Refuse (413) a body whose Content-Length is above `limit`, before any of it is read."""
    if (request.content_length or 0) > limit:
        raise body_too_long(limit)


def read_body(request: Request, limit: int) -> bytes:
    """The whole body of a request.

    Refuses a body of more than `limit` bytes (413), one that breaks off (400) and one that arrives
    too slowly (408). Bytes are counted here because werkzeug's own limit on a stream cuts a chunked
    body short where it is read at once, and refuses one of exactly the limit where it is read line
    by line.
    """
    body = arriving(request.environ, request.stream)
    pieces: list[bytes] = []
    size, began = 0, time.monotonic()
    while piece := _read_piece(body):
        size += len(piece)
        if size > limit:
            raise body_too_long(limit)
        pieces.append(piece)
        if time.monotonic() - began > PATIENCE + size / PACE:
            raise WebRefusal("request_timeout", "The body arrived too slowly.")
    return b"".join(pieces)


def _read_piece(body: Arrival) -> bytes:
    """The next piece; b"" at the end.

    Any error is taken to be the sender's fault: a body that is cut off or ill-formed (400), or that
    has not come when the socket's or the worker's time is up (408). Only the SystemExit of a worker
    that is told to end at once passes through.
    """
    try:
        return body.read()
    except (BlockingIOError, SystemExit) as error:
        if isinstance(error, SystemExit) and not error.code:
            raise
        raise WebRefusal("request_timeout", "The body stopped arriving.") from error
    except Exception as error:
        raise WebRefusal("bad_request", "The body did not arrive whole.") from error


def body_too_long(limit: int) -> TooLarge:
    """The refusal (413) of a body of more than `limit` bytes."""
    return TooLarge([Problem("", "body_too_long", f"The body is longer than {limit} bytes.")])
