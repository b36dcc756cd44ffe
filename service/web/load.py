"""Web: limits on load: a rate for each client address (`Rate`), and a number of decks or batches
under way at once (`InFlight`)."""

from __future__ import annotations

import contextlib
import fcntl
import math
import os
import threading
from collections import OrderedDict
from collections.abc import Iterator
from typing import Final

REMEMBERED: Final = 10_000
"""The most client addresses whose rate is kept; the one quiet for longest is forgotten first."""


class Rate:
    """A token bucket for each client: `rate` requests a second, in bursts of one second's worth."""

    def __init__(self, rate: float) -> None:
        self.rate = rate
        self.burst = max(1.0, rate)
        self._buckets: OrderedDict[str, tuple[float, float]] = OrderedDict()
        self._lock = threading.Lock()

    def wait(self, client: str, now: float) -> int:
        """Whole seconds until `client` may send; 0 where it may now, and the request is counted.

        now: seconds on a monotonic clock.

        >>> rate = Rate(2)
        >>> [rate.wait("a", now) for now in (0.0, 0.0, 0.0, 0.5)]
        [0, 0, 1, 0]
        """
        with self._lock:
            left, then = self._buckets.pop(client, (self.burst, now))
            left = min(self.burst, left + (now - then) * self.rate)
            allowed = left >= 1.0
            self._buckets[client] = (left - 1.0 if allowed else left, now)
            if len(self._buckets) > REMEMBERED:
                self._buckets.popitem(last=False)
        return 0 if allowed else math.ceil((1.0 - left) / self.rate)


class InFlight:
    """A number of places that all processes forked after this was made share; 0 is no limit.

    Each place is one locked byte of a file in memory. When a process dies, the kernel frees the
    places that it held, which no shared counter would do.
    """

    def __init__(self, places: int) -> None:
        self.places = places
        self._file = os.memfd_create("in-flight")
        self._held: set[int] = set()
        self._lock = threading.Lock()

    @contextlib.contextmanager
    def place(self) -> Iterator[bool]:
        """Whether there was a free place, which is then held to the end of the block."""
        if not self.places:
            yield True
            return
        taken = self._take()
        try:
            yield taken is not None
        finally:
            if taken is not None:
                self._leave(taken)

    def _take(self) -> int | None:
        with self._lock:
            for byte in range(self.places):
                # The kernel's lock belongs to the process; `_held` tells its threads apart.
                if byte not in self._held and self._locked(byte):
                    self._held.add(byte)
                    return byte
        return None

    def _locked(self, byte: int) -> bool:
        try:
            fcntl.lockf(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB, 1, byte)
        except OSError:
            return False
        return True

    def _leave(self, byte: int) -> None:
        with self._lock:
            fcntl.lockf(self._file, fcntl.LOCK_UN, 1, byte)
            self._held.discard(byte)
