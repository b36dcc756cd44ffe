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

    orjson's sorted form is the same but for what `_may_differ` finds; then the reference writes.
    """
    quick = orjson.dumps(value, option=orjson.OPT_SORT_KEYS)
    return rfc8785.dumps(value) if _may_differ(quick) else quick


def _may_differ(quick: bytes) -> bool:
    """Whether orjson may have written otherwise than RFC 8785.

    Whole numbers with a point; exponents; and names, which UTF-16 sorts otherwise than UTF-8
    where one holds a character past U+FFFF.
    """
    return (
        b".0," in quick
        or b".0]" in quick
        or b".0}" in quick
        or quick.endswith(b".0")
        or ((b"e-" in quick or b"e+" in quick) and _EXPONENT.search(quick) is not None)
        or (not quick.isascii() and _ASTRAL.search(quick) is not None)
    )


def digest(request: dict[str, Any], loaded: Mapping[str, bytes]) -> str:
    """`sha256:` and the hex of the canonical {"release": ..., "request": ...}.

    request: as sent; it fits its schema, so that all its names are plain. loaded: canonical
    forms of the documents that take the place of the ids in it, by member.
    """
    members = [
        b'"%b":%b' % (name.encode(), loaded[name] if name in loaded else canonical(request[name]))
        for name in sorted(request)
    ]
    form = b'{"release":%b,"request":{%b}}' % (canonical(RELEASE), b",".join(members))
    return "sha256:" + hashlib.sha256(form).hexdigest()
