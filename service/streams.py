"""Streams: standard input, output and error of the commands and of the service.

Any of the three may be closed, the outputs may be full or unread, and their encoding may lack
letters; none of these may end a command in a traceback or change its exit status by chance.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
from typing import TextIO


def open_streams() -> None:
    """Make sure that all three standard streams are open.

    A stream that was closed becomes the null device, so that no file that is opened later gets its
    descriptor. Letters that the encoding of output or error lacks are written as escapes.
    """
    for number, name in enumerate(("stdin", "stdout", "stderr")):
        if not _is_open(number):
            os.open(os.devnull, os.O_RDWR)  # takes the lowest free descriptor, which is this one
        if getattr(sys, name) is None:
            # The process keeps this stream to its end.
            stream = open(number, "w" if number else "r", encoding="utf-8", closefd=False)  # noqa: SIM115
            setattr(sys, name, stream)
    for said in (sys.stdout, sys.stderr):
        if isinstance(said, io.TextIOWrapper):
            said.reconfigure(errors="backslashreplace")


def print_output(words: str | bytes) -> None:
    """Write a line to standard output and flush it.

    Where the reader has closed the pipe (`| head`), the line is dropped silently. Raises OSError,
    with "standard output" as its file name, where writing fails for another reason.
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


def print_error(words: object, end: str = "\n") -> None:
    """Write words to standard error and flush them.

    Words that cannot be written are lost: the exit status and the files made still say how it went.
    """
    with contextlib.suppress(OSError):
        print(words, end=end, file=sys.stderr, flush=True)
    lose_unwritten()


def lose_unwritten() -> None:
    """Drop what standard error could not take.

    Python would try to flush it once more at exit, and change the exit status where that fails.
    """
    try:
        sys.stderr.flush()
    except OSError:
        _lose(sys.stderr)


def _lose(stream: TextIO) -> None:
    """Point a stream at the null device, so that Python's flush at exit cannot fail."""
    with contextlib.suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def _is_open(number: int) -> bool:
    try:
        os.fstat(number)
    except OSError:
        return False
    return True
