"""Refusals: every kind of refusal, with its status and title, and its problem document.

The web room and the commands both make their refusals here, and what is published of a kind is its
title. This module knows nothing of HTTP but its status numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import orjson

from service.core.problems import Malformed, Misfit, Problem, Refusal, TooLarge, Unbuildable


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of refusal: its slug, status and title."""

    slug: str
    status: int
    title: str


ALL_KINDS: Final = (
    Kind("malformed", 400, "The body is not JSON that can be read without loss"),
    Kind("misfit", 400, "The document does not fit the published schema"),
    Kind("bad_request", 400, "The request is not HTTP that can be read"),
    Kind("unauthorized", 401, "A key is missing or wrong"),
    Kind("not_found", 404, "There is nothing at this path"),
    Kind("method_not_allowed", 405, "This path does not take this method"),
    Kind("not_acceptable", 406, "None of the media types asked for can be given"),
    Kind("request_timeout", 408, "The request took too long to arrive"),
    Kind("precondition_failed", 412, "A condition of the request does not hold"),
    Kind("too_large", 413, "A published limit is exceeded"),
    Kind("uri_too_long", 414, "The request line is too long"),
    Kind(
        "unsupported_media_type",
        415,
        "The body is of a type, character set or coding not read here",
    ),
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
KINDS: Final = {kind.slug: kind for kind in ALL_KINDS}
"""Every kind, by its slug."""

_OF_REFUSAL: Final = {
    Malformed: "malformed",
    Misfit: "misfit",
    Unbuildable: "unbuildable",
    TooLarge: "too_large",
}


@dataclass(frozen=True, slots=True)
class Refused:
    """A refusal as it is sent: its status and its problem document (RFC 9457)."""

    status: int
    body: bytes


def refuse(slug: str, problems: Sequence[Problem]) -> Refused:
    """The refusal of the kind that `slug` names, with its problems.

    >>> refuse("misfit", [Problem("/unit", "not_one_of", "No.")]).status
    400
    """
    kind, detail = KINDS[slug], problems[0].message
    if len(problems) > 1:
        detail = f"{len(problems)} faults; the first: {detail}"
    document = {
        "type": f"/v1/docs#problem-{slug}",
        "title": kind.title,
        "status": kind.status,
        "detail": detail,
        "errors": [
            {"pointer": each.pointer, "code": each.code, "message": each.message}
            for each in problems
        ],
    }
    return Refused(kind.status, orjson.dumps(document))


def refuse_document(refusal: Refusal) -> Refused:
    """A Refusal that a document raised, as it is sent."""
    return refuse(_OF_REFUSAL[type(refusal)], refusal.problems)
