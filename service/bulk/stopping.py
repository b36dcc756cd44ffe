"""Bulk: SIGINT and SIGTERM, which stop the command in good order (`stop_on_signals`), and the
blocks in which they have to wait (`signals_deferred`)."""

from __future__ import annotations

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Final

SIGNALS: Final = (signal.SIGINT, signal.SIGTERM)


class Stopped(BaseException):
    """The command was told to stop. status: its exit status, 128 plus the signal's number."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.status = 128 + number


class _Told:
    """The signal that stops the command, or None so far; and whether Stopped has to wait."""

    number: int | None = None
    waits = False


@contextmanager
def stop_on_signals() -> Iterator[None]:
    """Have the first of SIGNALS within the block, or on its way in or out, raise Stopped.

    Later signals change nothing. A signal that was ignored before, as shells do for commands in the
    background, stays ignored.
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
    """The signal handler, which raises Stopped for the first signal.

    It stays in place after that: were it replaced by SIG_IGN while a further signal is on its way
    to Python, Python would report an error.
    """
    if _Told.number is None:
        _Told.number = number
        if not _Told.waits:
            raise Stopped(number)


def ignore_signals() -> None:
    """Ignore SIGNALS for good, in a worker that began with them blocked; its parent stops it."""
    for number in SIGNALS:
        signal.signal(number, signal.SIG_IGN)


def _ignore_to_the_end() -> None:
    """Ignore SIGNALS for good, in the command, whose work is over.

    With the former handlers back, a signal could kill the command while Python ends. Python's
    report of a signal that is on its way just now is silenced, as that one is to be ignored too.
    """
    hook, sys.unraisablehook = sys.unraisablehook, lambda _: None
    ignore_signals()
    sys.unraisablehook = hook


@contextmanager
def signals_deferred() -> Iterator[None]:
    """Hold Stopped back until the end of the block, where it is raised if a first signal has come.

    A process begun in the block has SIGNALS blocked until it ignores them. The signal mask serves
    that process alone: here, a library's thread may take a signal, and the handler then runs in
    this thread all the same.
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
