"""Web: a flag that the master raises at SIGTERM and every worker sees, and how far it is.

A page of shared memory, made before the workers are forked: no file, no lock, no message.
"""

from __future__ import annotations

import mmap


class Drain:
    """Raised once, by the process that stops the service, and once more when it is over."""

    def __init__(self) -> None:
        self._page = mmap.mmap(-1, 1)

    def begin(self) -> None:
        """From now on readiness is off, in every process that shares this flag."""
        self._page[0] = 1

    @property
    def under_way(self) -> bool:
        """Whether the service is about to stop."""
        return self._page[0] > 0

    def end(self) -> None:
        """From now on workers end when they are told to."""
        self._page[0] = 2

    @property
    def is_over(self) -> bool:
        """Whether workers may end."""
        return self._page[0] == 2


DRAIN = Drain()
"""The one of this process and of those forked from it."""
