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


class _Deferred:
    """Whether Stopped waits, and for which signal it does."""

    waits = False
    number: int | None = None


def _stop(number: int, _frame: Any) -> None:
    ignore_signals()
    if _Deferred.waits:
        _Deferred.number = number
    else:
        raise Stopped(number)


def ignore_signals() -> None:
    """From here on: in a worker, since the one who began it says when to stop; in the command, once
    it is stopping."""
    for number in SIGNALS:
        signal.signal(number, signal.SIG_IGN)


@contextmanager
def held_back() -> Iterator[None]:
    """Within, Stopped waits; a process begun within has SIGNALS waiting until it ignores them.
    Raises Stopped at the end where a signal came within.

    The mask is for that process alone: a library's threads may take a signal here, and the handler
    then runs in this thread all the same.
    """
    before = signal.pthread_sigmask(signal.SIG_BLOCK, SIGNALS)
    _Deferred.waits = True
    try:
        yield
    finally:
        _Deferred.waits = False
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
        number, _Deferred.number = _Deferred.number, None
        if number is not None:
            raise Stopped(number)
