"""Web: every refusal as one shape, application/problem+json, whoever made it.

Flask's handler and the gunicorn worker both ask `answer_to`; statuses are in refusals.py.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

import structlog
from flask import Flask, Response, g
from werkzeug.exceptions import HTTPException, MethodNotAllowed

from service.core.problems import Problem, Refusal
from service.refusals import KINDS, Refused, refuse, refuse_document
from service.web.logs import frames

MEDIA: Final = "application/problem+json"
_OF_STATUS: Final = {
    404: "not_found",
    405: "method_not_allowed",
    408: "request_timeout",
    413: "too_large",
    414: "uri_too_long",
    415: "unsupported_media_type",
    431: "headers_too_large",
}

_ELSE: Final = {"not_found": "; see /v1/docs for those there are, which end in no slash"}
"""What can be done about a status that Flask finds, where its title does not say."""


class WebRefusal(Exception):
    """A refusal of this room: of the request, not of the document in it."""

    def __init__(self, slug: str, message: str, **headers: str) -> None:
        self.slug = slug
        self.problem = Problem("", slug, message)
        self.headers = {name.replace("_", "-"): value for name, value in headers.items()}
        super().__init__(message)

    @property
    def refused(self) -> Refused:
        """Its status and document."""
        return refuse(self.slug, [self.problem])


def given_up(end: SystemExit, overrun: str) -> WebRefusal:
    """What a request is told that its worker leaves: one that gunicorn's master ends with 1, as the
    time is over (`overrun` says of what), or with 0, as SIGINT and SIGQUIT end all at once."""
    if end.code:
        return WebRefusal("overrun", overrun, Retry_After="5")
    return WebRefusal("not_ready", "The service is about to stop.", Retry_After="5")


@dataclass(frozen=True, slots=True)
class BadNews:
    """What a refusal looks like on the wire, but for the headers that every reply has."""

    status: int
    body: bytes
    headers: dict[str, str] = field(default_factory=dict)


def answer_to(error: BaseException, request_id: str) -> BadNews:
    """The reply to bad news of any sort; what is none of ours is a 500 that tells only the id."""
    if isinstance(error, Refusal):
        return _answer(refuse_document(error), {})
    if isinstance(error, WebRefusal):
        return _answer(error.refused, error.headers)
    if isinstance(error, HTTPException) and error.code is not None and error.code < 500:
        return _answer_http(error)
    return _answer(unexpected(request_id), {})


def unexpected(request_id: str) -> Refused:
    """A bug, which tells only the id to find it by."""
    return refuse("unexpected", [Problem("", "unexpected", f"Request id {request_id}.")])


def attach_errors(app: Flask) -> None:
    """Make `answer_to` the app's one error handler."""

    def handle(error: Exception) -> Response:
        answer = answer_to(error, g.request_id)
        if answer.status >= 500 and not isinstance(error, WebRefusal):
            structlog.get_logger().error("unexpected", id=g.request_id, **frames(error))
        return Response(answer.body, answer.status, answer.headers, content_type=MEDIA)

    app.register_error_handler(Exception, handle)


def _answer(refused: Refused, headers: dict[str, str]) -> BadNews:
    return BadNews(refused.status, refused.body, headers)


def _answer_http(error: HTTPException) -> BadNews:
    slug = _OF_STATUS.get(error.code or 400, "bad_request")
    headers = {}
    message = f"{KINDS[slug].title}{_ELSE.get(slug, '')}."
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        headers["Allow"] = ", ".join(sorted(error.valid_methods))
        message = f"This path takes {headers['Allow']}."
    return _answer(refuse(slug, [Problem("", slug, message)]), headers)
