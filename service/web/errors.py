"""Web: every refusal as one shape, application/problem+json, whoever made it.

The one place that knows which status a kind of bad news has. Flask's handler and the
gunicorn worker both ask `answer_to`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

import structlog
from flask import Flask, Response, g
from werkzeug.exceptions import HTTPException, MethodNotAllowed

from service.core.problems import Malformed, Misfit, Problem, Refusal, TooLarge, Unbuildable
from service.web.logs import frames
from service.wire.problem import write_problem

MEDIA: Final = "application/problem+json"


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of bad news: its slug, status and title."""

    slug: str
    status: int
    title: str


KINDS: Final = {
    kind.slug: kind
    for kind in (
        Kind("malformed", 400, "The body is not JSON that can be read without loss"),
        Kind("misfit", 400, "The document does not fit the published schema"),
        Kind("bad_request", 400, "The request is not HTTP that can be read"),
        Kind("unauthorized", 401, "A key is missing or wrong"),
        Kind("not_found", 404, "There is nothing at this path"),
        Kind("method_not_allowed", 405, "This path does not take this method"),
        Kind("not_acceptable", 406, "None of the media types asked for can be given"),
        Kind("request_timeout", 408, "The request took too long to arrive"),
        Kind("too_large", 413, "A published limit is exceeded"),
        Kind("uri_too_long", 414, "The request line is too long"),
        Kind("unsupported_media_type", 415, "The body is of a type that is not read here"),
        Kind("expectation_failed", 417, "The expectation cannot be met"),
        Kind("unbuildable", 422, "Nothing can be built from this document"),
        Kind("too_many_requests", 429, "The limit on the rate of requests is reached"),
        Kind("headers_too_large", 431, "The header fields are too large"),
        Kind("unexpected", 500, "An error of the service itself"),
        Kind("not_implemented", 501, "The transfer coding is not read here"),
        Kind("busy", 503, "The limit on work under way is reached"),
        Kind("not_ready", 503, "The service is about to stop"),
        Kind("overrun", 503, "The request held its worker for too long"),
    )
}
"""Every kind, by its slug."""

_OF_REFUSAL: Final = {
    Malformed: "malformed",
    Misfit: "misfit",
    Unbuildable: "unbuildable",
    TooLarge: "too_large",
}
_OF_STATUS: Final = {
    404: "not_found",
    405: "method_not_allowed",
    408: "request_timeout",
    413: "too_large",
    414: "uri_too_long",
    415: "unsupported_media_type",
    431: "headers_too_large",
}


class WebRefusal(Exception):
    """A refusal of this room: of the request, not of the document in it."""

    def __init__(self, slug: str, message: str, **headers: str) -> None:
        self.slug = slug
        self.problem = Problem("", slug, message)
        self.headers = {name.replace("_", "-"): value for name, value in headers.items()}
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class Answer:
    """What a refusal looks like on the wire, but for the headers that every reply has."""

    status: int
    body: bytes
    headers: dict[str, str] = field(default_factory=dict)


def answer_to(error: BaseException, request_id: str) -> Answer:
    """The reply to bad news of any sort; what is none of ours is a 500 that tells only the id."""
    if isinstance(error, Refusal):
        return _answer(_OF_REFUSAL[type(error)], error.problems, {})
    if isinstance(error, WebRefusal):
        return _answer(error.slug, (error.problem,), error.headers)
    if isinstance(error, HTTPException) and error.code is not None and error.code < 500:
        return _answer_http(error)
    return _answer("unexpected", (Problem("", "unexpected", f"Request id {request_id}."),), {})


def attach_errors(app: Flask) -> None:
    """Make `answer_to` the app's one error handler."""

    def handle(error: Exception) -> Response:
        answer = answer_to(error, g.request_id)
        if answer.status >= 500 and not isinstance(error, WebRefusal):
            structlog.get_logger().error("unexpected", id=g.request_id, **frames(error))
        return Response(answer.body, answer.status, answer.headers, content_type=MEDIA)

    app.register_error_handler(Exception, handle)


def _answer(slug: str, problems: tuple[Problem, ...], headers: dict[str, str]) -> Answer:
    kind = KINDS[slug]
    return Answer(kind.status, write_problem(kind.slug, kind.title, kind.status, problems), headers)


def _answer_http(error: HTTPException) -> Answer:
    slug = _OF_STATUS.get(error.code or 400, "bad_request")
    headers = {}
    message = f"{KINDS[slug].title}."
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        headers["Allow"] = ", ".join(sorted(error.valid_methods))
        message = f"This path takes {headers['Allow']}."
    return _answer(slug, (Problem("", slug, message),), headers)
