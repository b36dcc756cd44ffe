"""Web: a flag that the master sets at SIGTERM and every worker sees: draining, or done draining.

It is a page of shared memory, made before the workers are forked, so it needs no file, lock or
message.
"""

from __future__ import annotations

import mmap


class Drain:
    """The drain of the service before it stops: not begun, under way, or over.

    The process that stops the service calls `begin`, then `end`.
    """

    def __init__(self) -> None:
        self._page = mmap.mmap(-1, 1)

    def begin(self) -> None:
        """Turn readiness off in every process that shares this flag."""
        self._page[0] = 1

    @property
    def under_way(self) -> bool:
        """Whether the service is about to stop."""
        return self._page[0] > 0

    def end(self) -> None:
        """Let workers end when they are told to."""
        self._page[0] = 2

    @property
    def is_over(self) -> bool:
        """Whether the drain is over, so that workers may end."""
        return self._page[0] == 2


DRAIN = Drain()
"""The flag of this process and of those forked from it."""
