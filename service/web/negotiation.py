"""Web: refuses types of body that are not read (415), and picks the media type of a reply (406)."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Final

from flask import Request
from werkzeug.datastructures import MIMEAccept
from werkzeug.http import parse_accept_header, parse_options_header

from service.web.errors import WebRefusal

_POINT: Final = re.compile(r"(;[ \t]*q=)(?:([01])\.|\.([0-9]+))(?=[ \t]*(?:[,;]|$))", re.IGNORECASE)


def want(request: Request, media: str) -> None:
    """Refuse (406) where the Accept header rules `media` out; no header accepts anything."""
    choose(request, (media,))


def choose(request: Request, medias: tuple[str, ...]) -> str:
    """The first of `medias` that Accept allows. Refuses (406) where it allows none."""
    asked = request.headers.get("Accept", "")
    chosen = next((media for media in medias if acceptable(asked, media)), None)
    if chosen is None:
        raise WebRefusal("not_acceptable", f"The reply here is {medias[0]}; let Accept allow it.")
    return chosen


def prefer(request: Request, medias: tuple[str, ...]) -> str:
    """The one of `medias` that Accept prefers, the first of equals. Refuses (406) where it allows
    none."""
    accepted = read_accept(request.headers.get("Accept", ""))
    if not accepted:
        return medias[0]
    chosen = max(medias, key=lambda media: weight(accepted, media))
    if not weight(accepted, chosen):
        raise WebRefusal("not_acceptable", f"This can be had as {', '.join(medias)}.")
    return chosen


@lru_cache(maxsize=256)
def acceptable(header: str, media: str) -> bool:
    """Whether an Accept header allows a reply of `media`.

    Cached, as few different headers are ever sent.

    >>> acceptable("text/html, */*;q=0.1", "application/json")
    True
    """
    return not header.strip() or weight(read_accept(header), media) > 0


def read_accept(header: str) -> MIMEAccept:
    """The media ranges of an Accept header with their weights.

    A weight that ends in its decimal point (RFC 9110, section 12.4.2), or begins with it, as older
    Java clients write it, is read too; werkzeug would leave its range out.

    >>> list(read_accept("text/html;q=1., */*; q=.2"))
    [('text/html', 1.0), ('*/*', 0.2)]
    """
    return parse_accept_header(_POINT.sub(_whole, header), MIMEAccept)


def _whole(found: re.Match[str]) -> str:
    return f"{found[1]}{found[2] or f'0.{found[3]}'}"


def weight(accepted: Iterable[tuple[str, float]], media: str) -> float:
    """The weight of `media`: that of the most specific range that includes it; 0 where none does.

    By RFC 9110, section 12.5.1; werkzeug lets a wildcard allow what a weight of 0 rules out.

    >>> weight([("*/*", 1), ("application/json", 0)], "application/json")
    0
    >>> weight([("text/html", 1), ("application/*", 0.1)], "application/json")
    0.1
    """
    weights: dict[str, float] = {}
    for value, wanted in accepted:
        name = value.partition(";")[0].strip().lower()
        weights[name] = max(wanted, weights.get(name, 0))
    ranges = (media, media.partition("/")[0] + "/*", "*/*")
    return next((weights[name] for name in ranges if name in weights), 0)


def take(request: Request, medias: tuple[str, ...]) -> None:
    """Refuse (415) a body of a type other than `medias`, not in UTF-8, or with a content coding.

    Parameters other than charset mean nothing for JSON and are ignored.
    """
    media, options = parse_options_header(request.headers.get("Content-Type"))
    post = ", ".join(medias)
    if media.lower() not in medias:
        message = f"Send Content-Type: {medias[0]}."
        raise WebRefusal("unsupported_media_type", message, Accept_Post=post)
    if options.get("charset", "utf-8").lower() not in ("utf-8", "utf8"):
        message = "JSON is read as UTF-8; send it so."
        raise WebRefusal("unsupported_media_type", message, Accept_Post=post)
    if request.headers.get("Content-Encoding", "identity").strip().lower() != "identity":
        raise WebRefusal(
            "unsupported_media_type",
            "A compressed body is not read here; send it with no Content-Encoding.",
            Accept_Encoding="identity",
        )
