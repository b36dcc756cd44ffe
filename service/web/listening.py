"""Web: listeners that hand a connection to a worker with its first bytes.

A browser opens connections before it has anything to ask. A worker that takes one waits for it and
for nobody else, so the kernel is asked to keep it until it speaks.
"""

from __future__ import annotations

import socket
from collections.abc import Iterable
from typing import Any, Final

DEFERRED: Final = 30
"""Seconds without a byte after which the kernel hands a connection over all the same: longer than
browsers keep one that they open ahead, and within what it keeps by its own defaults."""
_OPTION: Final[int | None] = getattr(socket, "TCP_DEFER_ACCEPT", None)
"""Linux has it."""


def keep_silent_ones(listeners: Iterable[Any]) -> None:
    """Have the kernel keep connections that say nothing, where it can."""
    for listener in listeners:
        if _OPTION is not None and listener.family in (socket.AF_INET, socket.AF_INET6):
            listener.setsockopt(socket.IPPROTO_TCP, _OPTION, DEFERRED)


def keeps_silent_ones(listener: Any) -> bool:
    """Whether who comes from it has spoken, or has been waited for already.

    >>> with socket.socket() as plain:
    ...     keeps_silent_ones(plain)
    False
    """
    if _OPTION is None or listener.family not in (socket.AF_INET, socket.AF_INET6):
        return False
    return bool(listener.getsockopt(socket.IPPROTO_TCP, _OPTION))
