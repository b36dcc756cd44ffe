"""Web: what is done before every request is answered (id, key, rate) and before every reply is sent
(headers, log, counts). The main entry is `attach_hooks`."""

from __future__ import annotations

import hmac
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

import structlog
from flask import Flask, Request, Response, g, request

from service import RELEASE
from service.web.errors import WebRefusal
from service.web.request_id import HEADER, request_id
from service.web.state import state

_LOG: Final = structlog.get_logger()


@dataclass(slots=True)
class RequestNotes:
    """What the log and the counts tell of a request that its reply does not show.

    received: bytes of the body. bays: the layout's number of bays; 0 where the document was
    refused, None where no document was looked at. digest: the layout's. later: whether the reply
    is logged and counted only once it is sent.
    """

    received: int = 0
    bays: int | None = None
    digest: str | None = None
    later: bool = False


def notes() -> RequestNotes:
    """The `RequestNotes` of the request that is being answered."""
    known: RequestNotes = g.notes
    return known


def attach_hooks(app: Flask) -> None:
    """Make the app number and admit every request, and head, log and count every reply."""
    app.before_request(_number)
    app.before_request(_admit)
    app.after_request(_log)
    # Flask calls these in reverse: _head runs first, so that the log sees what is sent.
    app.after_request(_head)


def _number() -> None:
    g.started = time.perf_counter()
    g.request_id = request_id(request.headers.get(HEADER))
    g.notes = RequestNotes()


def _admit() -> None:
    """Refuse (429, 401) a request under /v1/ above the rate, or without a key where keys are set.

    The rate is looked at first, so that guesses at a key count too. Other paths answer to anyone.
    """
    if not request.path.startswith("/v1/"):
        return
    now = state()
    wait = now.rate.wait(request.remote_addr or "", time.monotonic()) if now.rate else 0
    if wait:
        raise WebRefusal(
            "too_many_requests",
            f"The rate of one address is {now.settings.rate:g} a second; try again in {wait} s.",
            Retry_After=str(wait),
        )
    if now.settings.keys and not _has_key(request, now.settings.keys):
        raise WebRefusal(
            "unauthorized", "Send Authorization: Bearer and a key.", WWW_Authenticate="Bearer"
        )


def _has_key(sent: Request, keys: tuple[str, ...]) -> bool:
    """Whether Authorization holds one of the keys, compared in constant time."""
    scheme, _, key = sent.headers.get("Authorization", "").partition(" ")
    given = key.strip().encode("utf-8", "replace")
    matches = [hmac.compare_digest(given, known.encode()) for known in keys]
    return scheme.lower() == "bearer" and any(matches)


def _head(response: Response) -> Response:
    headers = response.headers
    headers["Release"] = RELEASE
    headers[HEADER] = g.request_id
    headers["X-Content-Type-Options"] = "nosniff"
    headers.setdefault("Cache-Control", "no-store")
    if request.method == "OPTIONS" and response.status_code == 200:
        response.status_code = 204
        headers["Allow"] = ", ".join(sorted(response.allow))
        headers.remove("Content-Type")
    return response


def log_later(
    response: Response, fields: Callable[[], dict[str, Any]], received: Callable[[], int]
) -> None:
    """Log and count a reply once all of it is sent or the client has gone.

    fields: gives the further members of the log's line, `ms` and `bytes` among them. received:
    gives the bytes of the request's body. Both are called at that time.
    """
    notes().later = True
    known, metrics = _known(response), state().metrics

    def log() -> None:
        more = fields()
        _LOG.info("request", **known, **more)
        seconds, sent = more["ms"] / 1000, more["bytes"]
        metrics.count_request(*_labels(known), seconds, received(), sent)

    response.call_on_close(log)


def _log(response: Response) -> Response:
    """Log and count a request, unless its reply does so later (`log_later`)."""
    noted = notes()
    if not noted.later:
        known, size = _known(response), response.calculate_content_length()
        seconds = time.perf_counter() - g.started
        _LOG.info("request", **known, ms=round(seconds * 1000, 1), bytes=size, digest=noted.digest)
        metrics, sent = state().metrics, size if _has_body(response) else 0
        metrics.count_request(*_labels(known), seconds, noted.received, sent or 0)
        if noted.bays is not None:
            metrics.count_document(known["path"], known["status"], noted.bays)
    return response


def _known(response: Response) -> dict[str, Any]:
    return {
        "id": g.request_id,
        "method": request.method[:16],
        "path": request.url_rule.rule if request.url_rule else None,
        "status": response.status_code,
    }


def _labels(known: dict[str, Any]) -> tuple[str, str | None, int]:
    return known["method"], known["path"], known["status"]


def _has_body(response: Response) -> bool:
    """Whether the reply's body is sent; replies to HEAD and 304s have a length but no body."""
    return request.method != "HEAD" and response.status_code != 304
