"""Web: makes listeners hand over a connection only once its first bytes have come.

A browser opens connections before it has anything to ask. A worker that accepts one can serve
nobody else until it speaks, so the kernel is asked to hold such connections back.
"""

from __future__ import annotations

import socket
from collections.abc import Iterable
from typing import Any, Final

DEFERRED: Final = 30
"""Seconds without a byte after which the kernel hands a connection over all the same: longer than
browsers keep one that they open ahead, and no longer than the kernel's own defaults allow."""
_OPTION: Final[int | None] = getattr(socket, "TCP_DEFER_ACCEPT", None)
"""The socket option, on Linux; None on other systems."""


def defer_accept(listeners: Iterable[Any]) -> None:
    """Have the kernel hold back connections that have sent nothing, where it can."""
    for listener in listeners:
        if _OPTION is not None and listener.family in (socket.AF_INET, socket.AF_INET6):
            listener.setsockopt(socket.IPPROTO_TCP, _OPTION, DEFERRED)


def defers_accept(listener: Any) -> bool:
    """Whether a connection from this listener has sent something, or has been waited for already.

    >>> with socket.socket() as plain:
    ...     defers_accept(plain)
    False
    """
    if _OPTION is None or listener.family not in (socket.AF_INET, socket.AF_INET6):
        return False
    return bool(listener.getsockopt(socket.IPPROTO_TCP, _OPTION))
