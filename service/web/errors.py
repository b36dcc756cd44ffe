"""Web: every refusal as application/problem+json, whichever part of the service made it.

Flask's error handler and the gunicorn worker both call `answer_to`. Statuses are in refusals.py.
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
"""Advice to add to the title of a kind of refusal that Flask finds."""


class WebRefusal(Exception):
    """A refusal of a request, not of the document in it.

    slug: names the kind of refusal. headers: to send, with underscores for hyphens in their names.
    """

    def __init__(self, slug: str, message: str, **headers: str) -> None:
        self.slug = slug
        self.problem = Problem("", slug, message)
        self.headers = {name.replace("_", "-"): value for name, value in headers.items()}
        super().__init__(message)

    @property
    def refused(self) -> Refused:
        """The refusal as it is sent."""
        return refuse(self.slug, [self.problem])


def given_up(end: SystemExit, overrun: str) -> WebRefusal:
    """The refusal of a request whose worker is made to exit by `end` before it has answered.

    gunicorn's master makes it exit with 1 when its time is up (the message is then `overrun`), and
    with 0 when SIGINT or SIGQUIT stops all workers at once.
    """
    if end.code:
        return WebRefusal("overrun", overrun, Retry_After="5")
    return WebRefusal("not_ready", "The service is about to stop.", Retry_After="5")


@dataclass(frozen=True, slots=True)
class ProblemReply:
    """A refusal as it is sent, without the headers that every reply has."""

    status: int
    body: bytes
    headers: dict[str, str] = field(default_factory=dict)


def answer_to(error: BaseException, request_id: str) -> ProblemReply:
    """The reply to an error of any kind; an unexpected one gets a 500 that tells only the id."""
    if isinstance(error, Refusal):
        return _answer(refuse_document(error), {})
    if isinstance(error, WebRefusal):
        return _answer(error.refused, error.headers)
    if isinstance(error, HTTPException) and error.code is not None and error.code < 500:
        return _answer_http(error)
    return _answer(unexpected(request_id), {})


def unexpected(request_id: str) -> Refused:
    """The refusal for an unexpected error, which tells only the request's id."""
    return refuse("unexpected", [Problem("", "unexpected", f"Request id {request_id}.")])


def attach_errors(app: Flask) -> None:
    """Make `answer_to` the app's one error handler."""

    def handle(error: Exception) -> Response:
        answer = answer_to(error, g.request_id)
        if answer.status >= 500 and not isinstance(error, WebRefusal):
            structlog.get_logger().error("unexpected", id=g.request_id, **frames(error))
        return Response(answer.body, answer.status, answer.headers, content_type=MEDIA)

    app.register_error_handler(Exception, handle)


def _answer(refused: Refused, headers: dict[str, str]) -> ProblemReply:
    return ProblemReply(refused.status, refused.body, headers)


def _answer_http(error: HTTPException) -> ProblemReply:
    slug = _OF_STATUS.get(error.code or 400, "bad_request")
    headers = {}
    message = f"{KINDS[slug].title}{_ELSE.get(slug, '')}."
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        headers["Allow"] = ", ".join(sorted(error.valid_methods))
        message = f"This path takes {headers['Allow']}."
    return _answer(refuse(slug, [Problem("", slug, message)]), headers)
