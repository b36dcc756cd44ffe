"""Bulk: tells the progress with rate and time left (`Progress`): on a terminal by one line that
changes, elsewhere by a plain line now and then."""

from __future__ import annotations

import time
from typing import Final, TextIO

from service.streams import lose_unwritten

OFTEN: Final = 0.2
SELDOM: Final = 10.0
"""Seconds between two lines: OFTEN on a terminal, SELDOM elsewhere."""


class Progress:
    """Tells on the stream `to` how many documents are done.

    total: of the whole input. done: those that were done before this run.
    """

    def __init__(self, to: TextIO, total: int, done: int) -> None:
        self.to, self.total, self.before, self.done = to, total, done, done
        self.terminal = to.isatty()
        self.began = self.told = time.monotonic()

    def add(self, count: int) -> None:
        """Count more documents as done, and tell it where it is time to."""
        self.done += count
        now = time.monotonic()
        if now - self.told >= (OFTEN if self.terminal else SELDOM):
            self.told = now
            self._tell(now)

    def end(self) -> None:
        """Tell the last line."""
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
        """Write words to the stream; where that fails, the work goes on."""
        try:
            print(words, end="", file=self.to, flush=True)
        except OSError:
            lose_unwritten()


def progress_text(done: int, total: int, here: int, seconds: float) -> str:
    """The progress in words. here: the number done by this run, in `seconds`.

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
