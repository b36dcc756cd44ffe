"""Bulk: how far it is, with rate and time left: on a terminal one line that changes, elsewhere a
plain line now and then."""

from __future__ import annotations

import time
from typing import Final, TextIO

from service.streams import lose_unwritten

OFTEN: Final = 0.2
SELDOM: Final = 10.0
"""Seconds between two lines, on a terminal and elsewhere."""


class Progress:
    """Tells `to` how many of `total` documents are done; `done` of them were already."""

    def __init__(self, to: TextIO, total: int, done: int) -> None:
        self.to, self.total, self.before, self.done = to, total, done, done
        self.terminal = to.isatty()
        self.began = self.told = time.monotonic()

    def add(self, count: int) -> None:
        """So many more."""
        self.done += count
        now = time.monotonic()
        if now - self.told >= (OFTEN if self.terminal else SELDOM):
            self.told = now
            self._tell(now)

    def end(self) -> None:
        """The last line."""
        self._tell(time.monotonic())
        if self.terminal:
            self._say("\n")

    def _tell(self, now: float) -> None:
        words = progress_text(self.done, self.total, self.done - self.before, now - self.began)
        if self.terminal:
            self._say(f"\r\x1b[K{words}")
        else:
            self._say(f"{words}\n")

    def _say(self, words: str) -> None:
        """Where it cannot be told, the work goes on."""
        try:
            print(words, end="", file=self.to, flush=True)
        except OSError:
            lose_unwritten()


def progress_text(done: int, total: int, here: int, seconds: float) -> str:
    """How far it is, in words. here: done in these seconds.

    >>> progress_text(500, 1000, 400, 2.0)
    '500 of 1000, 200.0 a second, 0:02 left'
    >>> progress_text(0, 10, 0, 0.0)
    '0 of 10'
    """
    if not here or seconds <= 0:
        return f"{done} of {total}"
    rate = here / seconds
    minutes, rest = divmod(int((total - done) / rate), 60)
    return f"{done} of {total}, {rate:.1f} a second, {minutes}:{rest:02} left"
