"""Web: the id of a request: the caller's own where it is safe to log, else a new one."""

from __future__ import annotations

import re
import secrets
from typing import Final

HEADER: Final = "X-Request-Id"
_SAFE: Final = re.compile(r"[A-Za-z0-9._-]{1,64}")


def request_id(sent: str | None) -> str:
    """The id sent, where it is 1 to 64 of A-Z a-z 0-9 . _ -; else a new id.

    >>> request_id("job-17.2")
    'job-17.2'
    >>> len(request_id("two words"))
    32
    """
    return sent if sent is not None and _SAFE.fullmatch(sent) else secrets.token_hex(16)
