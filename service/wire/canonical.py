"""Wire: the digest of a request, over its canonical form (RFC 8785)."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from typing import Any, Final

import orjson
import rfc8785

from service import RELEASE

_EXPONENT: Final = re.compile(rb"[0-9]e[+-]")
_ASTRAL: Final = re.compile(rb"[\xf0-\xff]")


def canonical(value: Any) -> bytes:
    """The canonical form of a JSON value.

    >>> canonical({"b": 1.0, "a": [0.5, -0.0, "\\u20ac"]})
    b'{"a":[0.5,0,"\\xe2\\x82\\xac"],"b":1}'

    orjson's sorted output is the canonical form except where `_may_differ` says otherwise; then
    the slower reference library writes it.
    """
    quick = orjson.dumps(value, option=orjson.OPT_SORT_KEYS)
    return rfc8785.dumps(value) if _may_differ(quick) else quick


def _may_differ(quick: bytes) -> bool:
    """Whether orjson's output may differ from the canonical form of RFC 8785.

    It may where a whole number is written with a point, where a number has an exponent, and where
    a character is past U+FFFF: names are sorted by UTF-16, which orders it otherwise than UTF-8.
    """
    return (
        b".0," in quick
        or b".0]" in quick
        or b".0}" in quick
        or quick.endswith(b".0")
        or ((b"e-" in quick or b"e+" in quick) and _EXPONENT.search(quick) is not None)
        or (not quick.isascii() and _ASTRAL.search(quick) is not None)
    )


_RELEASE: Final = canonical(RELEASE)


def digest(request: dict[str, Any], loaded: Mapping[str, bytes]) -> str:
    """`sha256:` and the hex of the canonical {"release": ..., "request": ...}.

    request: the document as sent; it fits its schema, so none of its names needs escaping. loaded:
    canonical forms to use in place of the request's own members, by member: those in which loaded
    documents take the place of ids.
    """
    members = [
        b'"%b":%b' % (name.encode(), loaded[name] if name in loaded else canonical(request[name]))
        for name in sorted(request)
    ]
    form = b'{"release":%b,"request":{%b}}' % (_RELEASE, b",".join(members))
    return "sha256:" + hashlib.sha256(form).hexdigest()
