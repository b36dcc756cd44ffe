"""Web: replies that are stored at the start: their bytes, with a strong ETag, and 304 for clients
that have them already."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from http import HTTPStatus
from typing import Any, Final

from flask import Request, Response

from service.web.errors import WebRefusal
from service.web.negotiation import want

MAX_AGE: Final = 300
"""Seconds for which a client may use its copy without asking; for that long, the copy may be of the
release before."""


@dataclass(frozen=True, slots=True)
class Stored:
    """A reply that does not depend on the request.

    negotiated: whether Accept must allow `media`. max_age: seconds for which a client may use its
    copy without asking; 0 where it must always ask. etag: made from the body.
    """

    body: bytes
    media: str = "application/json"
    headers: dict[str, str] = field(default_factory=dict)
    negotiated: bool = True
    max_age: int = MAX_AGE
    etag: str = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "etag", hashlib.sha256(self.body).hexdigest()[:32])

    def reply(self, request: Request, *, shared: bool) -> Response:
        """The reply, or a 304 where If-None-Match has its ETag.

        shared: whether any cache may keep it. Refuses where Accept rules it out (406), and where
        If-Match lacks its ETag (412).
        """
        if self.negotiated:
            want(request, self.media)
        response = Response(self.body, headers=self.headers, mimetype=self.media)
        response.set_etag(self.etag)
        kept = f"max-age={self.max_age}" if self.max_age else "no-cache"
        response.headers["Cache-Control"] = f"{'public' if shared else 'private'}, {kept}"
        response.make_conditional(_asked(request))
        if response.status_code == HTTPStatus.PRECONDITION_FAILED:
            raise WebRefusal(
                "precondition_failed", f"What is here has the ETag {response.headers['ETag']}."
            )
        return response


def _asked(request: Request) -> dict[str, Any]:
    """The request's environ, without an If-Match of "*".

    Whatever is here matches "*" (RFC 9110, section 13.1.1), but werkzeug takes it for a tag.
    """
    told: dict[str, Any] = dict(request.environ)
    if request.if_match.star_tag:
        del told["HTTP_IF_MATCH"]
    return told
