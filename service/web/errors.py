"""Web: every refusal as application/problem+json, whichever part of the service made it.

Flask's error handler and the gunicorn worker both call `answer_to`. Statuses are in refusals.py.
"""

from __future__ import annotations

import structlog
from flask import Flask, Response, g
from werkzeug.exceptions import HTTPException, MethodNotAllowed

from service.core.problems import Problem, Refusal
from service.refusals import KINDS, Refused, refuse, refuse_document
from service.web.logs import frames
from service.wire.publishing.paths import PROBLEM


class WebRefusal(Exception):
    """A refusal of a request, not of the document in it.

    slug: names the kind of refusal. headers: to send, with underscores for hyphens in their names.
    refused: the refusal as it is sent.
    """

    def __init__(self, slug: str, message: str, **headers: str) -> None:
        self.slug = slug
        self.headers = {name.replace("_", "-"): value for name, value in headers.items()}
        self.refused = refuse(slug, [Problem("", slug, message)])
        super().__init__(message)


def given_up(end: SystemExit, overrun: str) -> WebRefusal:
    """The refusal of a request whose worker is made to exit by `end` before it has answered.

    gunicorn's master makes it exit with 1 when its time is up (the message is then `overrun`), and
    with 0 when SIGINT or SIGQUIT stops all workers at once.
    """
    if end.code:
        return WebRefusal("overrun", overrun, Retry_After="5")
    return WebRefusal("not_ready", "The service is about to stop.", Retry_After="5")


def answer_to(error: BaseException, request_id: str) -> tuple[Refused, dict[str, str]]:
    """The refusal that an error of any kind is answered with, and its own headers.

    An unexpected error gets a 500 that tells only the id.
    """
    if isinstance(error, Refusal):
        return refuse_document(error), {}
    if isinstance(error, HTTPException) and error.code is not None and error.code < 500:
        error = _of_flask(error)
    if isinstance(error, WebRefusal):
        return error.refused, error.headers
    return unexpected(request_id), {}


def unexpected(request_id: str) -> Refused:
    """The refusal for an unexpected error, which tells only the request's id."""
    return refuse("unexpected", [Problem("", "unexpected", f"Request id {request_id}.")])


def attach_errors(app: Flask) -> None:
    """Make `answer_to` the app's one error handler."""

    def handle(error: Exception) -> Response:
        refused, headers = answer_to(error, g.request_id)
        if refused.status >= 500 and not isinstance(error, WebRefusal):
            structlog.get_logger().error("unexpected", id=g.request_id, **frames(error))
        return Response(refused.body, refused.status, headers, content_type=PROBLEM)

    app.register_error_handler(Exception, handle)


def _of_flask(error: HTTPException) -> WebRefusal:
    """The refusal of a request that Flask found no route for, or could not read."""
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        allowed = ", ".join(sorted(error.valid_methods))
        return WebRefusal("method_not_allowed", f"This path takes {allowed}.", Allow=allowed)
    if error.code == 404:
        title = KINDS["not_found"].title
        return WebRefusal(
            "not_found", f"{title}; see /v1/docs for those there are, which end in no slash."
        )
    return WebRefusal("bad_request", f"{KINDS['bad_request'].title}.")
