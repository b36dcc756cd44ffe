"""Web: the body of a request, whole and no longer than the limit, or a refusal."""

from __future__ import annotations

from typing import Final

from flask import Request

from service.core.problems import Problem, TooLarge
from service.web.errors import WebRefusal

PIECE: Final = 65_536


def check_length(request: Request, limit: int) -> None:
    """Refuse (413) by Content-Length alone, before anything is read."""
    if (request.content_length or 0) > limit:
        raise _too_long(limit)


def read_body(request: Request, limit: int) -> bytes:
    """The whole body, at most `limit` bytes; one that is longer is refused (413), never cut.

    werkzeug's own limit on a stream cuts a chunked body where it is read in one piece, and
    refuses one of exactly the limit where it is read line by line; so the count is kept here.
    """
    pieces: list[bytes] = []
    left = limit
    while piece := _read_piece(request):
        left -= len(piece)
        if left < 0:
            raise _too_long(limit)
        pieces.append(piece)
    return b"".join(pieces)


def _read_piece(request: Request) -> bytes:
    """The next piece. Whatever goes wrong here is the sender's: a cut or ill-formed body."""
    try:
        return request.stream.read(PIECE)
    except BlockingIOError as error:  # what a read says when the worker has lost patience
        raise WebRefusal("request_timeout", "The body stopped arriving.") from error
    except Exception as error:
        raise WebRefusal("bad_request", "The body did not arrive whole.") from error


def _too_long(limit: int) -> TooLarge:
    return TooLarge([Problem("", "body_too_long", f"The body is longer than {limit} bytes.")])
