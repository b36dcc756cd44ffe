"""Bulk: SIGINT and SIGTERM, which stop the command in good order, and when they must wait."""

from __future__ import annotations

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

SIGNALS: Final = (signal.SIGINT, signal.SIGTERM)


class Stopped(BaseException):
    """The command was told to stop. status: what it ends with, 128 and the signal's number."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.status = 128 + number


class _Told:
    """The signal that stops the command, once there was one, and whether Stopped waits."""

    number: int | None = None
    waits = False


@contextmanager
def heed_signals() -> Iterator[None]:
    """Within, and on its way in and out, the first of SIGNALS raises Stopped; those after it change
    nothing any more.

    One that was ignored from the start, as a shell does for what runs in the background, stays so.
    """
    before = {number: signal.getsignal(number) for number in SIGNALS}
    heeded = [number for number in SIGNALS if before[number] is not signal.SIG_IGN]
    _Told.number, _Told.waits = None, False
    try:
        for number in heeded:
            signal.signal(number, _stop)
        yield
    finally:
        _Told.waits = True
        if _Told.number is not None:
            _ignore_to_the_end()
        else:
            for number in heeded:
                signal.signal(number, before[number])


def _stop(number: int, _frame: Any) -> None:
    """The handler stays after the first signal: while one that has come is on its way to Python,
    its handler must not be replaced by SIG_IGN, or Python tells of an error."""
    if _Told.number is None:
        _Told.number = number
        if not _Told.waits:
            raise Stopped(number)


def ignore_signals() -> None:
    """In a worker, which begins with SIGNALS waiting: the one who began it says when to stop."""
    for number in SIGNALS:
        signal.signal(number, signal.SIG_IGN)


def _ignore_to_the_end() -> None:
    """In the command, which has nothing more to do: Python's own end would make them deadly again.
    Of one that is on its way just now Python says that it is ignored, as is wanted."""
    hook, sys.unraisablehook = sys.unraisablehook, lambda _: None
    ignore_signals()
    sys.unraisablehook = hook


@contextmanager
def held_back() -> Iterator[None]:
    """Within, Stopped waits; a process begun within has SIGNALS waiting until it ignores them.
    Raises Stopped at the end where the first signal came within.

    The mask is for that process alone: a library's threads may take a signal here, and the handler
    then runs in this thread all the same.
    """
    told = _Told.number
    _Told.waits = True
    before = signal.pthread_sigmask(signal.SIG_BLOCK, SIGNALS)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
        _Told.waits = False
        if _Told.number is not None and told is None:
            raise Stopped(_Told.number)
