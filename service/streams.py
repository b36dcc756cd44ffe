"""Streams: standard input, output and error of the commands and of the service, closed, full, or of
few letters."""

from __future__ import annotations

import contextlib
import io
import os
import sys
from typing import TextIO


def open_streams() -> None:
    """Have all three: one that is closed reads as empty and keeps nothing, and no file that is
    opened later takes its place. Letters that output or error lacks are written as escapes."""
    for number, name in enumerate(("stdin", "stdout", "stderr")):
        if not _is_open(number):
            os.open(os.devnull, os.O_RDWR)  # the lowest number that is free: this one
        if getattr(sys, name) is None:
            # It is the process's own, to its end.
            stream = open(number, "w" if number else "r", encoding="utf-8", closefd=False)  # noqa: SIM115
            setattr(sys, name, stream)
    for said in (sys.stdout, sys.stderr):
        if isinstance(said, io.TextIOWrapper):
            said.reconfigure(errors="backslashreplace")


def say(words: str | bytes) -> None:
    """A line on standard output, now. Whoever reads may have read enough (`| head`), and the rest
    is theirs to leave; raises OSError, by its name, where it cannot be written for another reason.
    """
    try:
        if isinstance(words, bytes):
            sys.stdout.buffer.write(words + b"\n")
        else:
            print(words)
        sys.stdout.flush()
    except OSError as error:
        _lose(sys.stdout)
        if not isinstance(error, BrokenPipeError):
            raise OSError(error.errno, error.strerror, "standard output") from None


def tell(words: object, end: str = "\n") -> None:
    """Words on standard error, now. What it cannot take is lost: how it went is said by the exit
    status, and by what was made."""
    with contextlib.suppress(OSError):
        print(words, end=end, file=sys.stderr, flush=True)
    lose_unwritten()


def lose_unwritten() -> None:
    """What standard error could not take goes nowhere: Python would try once more at its end, and
    then change the exit status."""
    try:
        sys.stderr.flush()
    except OSError:
        _lose(sys.stderr)


def _lose(stream: TextIO) -> None:
    """What Python flushes at its end goes nowhere."""
    with contextlib.suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _is_open(number: int) -> bool:
    try:
        os.fstat(number)
    except OSError:
        return False
    return True
