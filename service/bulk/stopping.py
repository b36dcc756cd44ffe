"""Bulk: SIGINT and SIGTERM, which stop the command in good order, and when they must wait."""

from __future__ import annotations

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

SIGNALS: Final = (signal.SIGINT, signal.SIGTERM)


class Stopped(BaseException):
    """The command was told to stop. status: what it ends with, 128 and the signal's number."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.status = 128 + number


@contextmanager
def heed_signals() -> Iterator[None]:
    """Within, the first of SIGNALS raises Stopped; those after it change nothing any more.

    One that was ignored from the start, as a shell does for what runs in the background, stays so.
    """
    before = {number: signal.getsignal(number) for number in SIGNALS}
    heeded = [number for number in SIGNALS if before[number] is not signal.SIG_IGN]
    for number in heeded:
        signal.signal(number, _stop)
    try:
        yield
    finally:
        for number in heeded:
            if signal.getsignal(number) is _stop:
                signal.signal(number, before[number])


def _stop(number: int, _frame: Any) -> None:
    ignore_signals()
    raise Stopped(number)


def ignore_signals() -> None:
    """From here on: in a worker, since the one who began it says when to stop; in the command, once
    it is stopping."""
    for number in SIGNALS:
        signal.signal(number, signal.SIG_IGN)


@contextmanager
def held_back() -> Iterator[None]:
    """Within, SIGNALS wait; a process begun within has them waiting until it ignores them."""
    before = signal.pthread_sigmask(signal.SIG_BLOCK, SIGNALS)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
