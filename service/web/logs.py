"""Web: logs, one JSON object a line on standard error; never a body, and no header but the id.

An exception's message may quote the request, so only its type and its frames are logged.
"""

from __future__ import annotations

import contextlib
import logging
import os
import select
import sys
import traceback
from datetime import UTC, datetime
from typing import Any, Final

import orjson
import structlog
from gunicorn.glogging import Logger

from service.web.settings import LEVELS

PATIENCE: Final = 1.0
"""Seconds to wait for a log that takes nothing, once."""


def start_logs(level: str) -> None:
    """Send structlog's lines, from `level` up, to standard error as JSON."""
    structlog.configure(
        processors=[_stamp, structlog.processors.JSONRenderer(serializer=orjson.dumps)],
        wrapper_class=structlog.make_filtering_bound_logger(LEVELS[level]),
        logger_factory=_Lines,
        cache_logger_on_first_use=False,
    )


class _Room:
    """Waits for room to write a line.

    Where a pipe stays full because its reader has stopped, only the first line waits; those after
    it are lost at once, until there is room again.
    """

    def __init__(self) -> None:
        self._patience = PATIENCE

    def wait(self, number: int) -> bool:
        """Whether the file descriptor `number` can be written to now, or after a wait."""
        asked = select.poll()
        asked.register(number, select.POLLOUT)
        there = bool(asked.poll(self._patience * 1000))
        self._patience = PATIENCE if there else 0
        return there


_ROOM: Final = _Room()
"""The one of this process."""


def write_line(line: bytes) -> None:
    """Write a line to the current standard error, which may not be the one of the start.

    Where it cannot be written (the disk is full, nobody reads the pipe), the line or its end is
    lost, so that replies do not wait for the log.
    """
    said = line + b"\n"
    with contextlib.suppress(OSError):
        for at in range(0, len(said), select.PIPE_BUF):  # a pipe with room takes that at once
            if not _ROOM.wait(sys.stderr.fileno()):
                break
            sys.stderr.buffer.write(said[at : at + select.PIPE_BUF])
            sys.stderr.buffer.flush()


class _Lines:
    """The logger that structlog writes to."""

    def __init__(self, *_: object) -> None:
        pass

    debug = info = warning = error = staticmethod(write_line)


def frames(error: BaseException) -> dict[str, Any]:
    """The type of an exception, and the file, line and function of each of its frames.

    >>> frames(KeyError("something that was sent"))
    {'error': 'KeyError', 'frames': []}
    """
    passed = traceback.extract_tb(error.__traceback__)
    return {
        "error": type(error).__name__,
        "frames": [f"{frame.filename}:{frame.lineno} {frame.name}" for frame in passed],
    }


def _stamp(_logger: object, method: str, event: structlog.typing.EventDict) -> dict[str, Any]:
    return {
        "time": datetime.now(UTC).isoformat(timespec="milliseconds"),
        "level": method,
        "pid": os.getpid(),
        **event,
    }


class JsonLines(logging.Formatter):
    """Formats records of the standard library's logging like our own lines."""

    def format(self, record: logging.LogRecord) -> str:
        event: dict[str, Any] = {"event": record.getMessage(), "logger": record.name}
        if record.exc_info and record.exc_info[1] is not None:
            event |= frames(record.exc_info[1])
        return orjson.dumps(_stamp(None, record.levelname.lower(), event)).decode()


class Handler(logging.Handler):
    """Writes records of the standard library's logging where our own lines go (`write_line`)."""

    def emit(self, record: logging.LogRecord) -> None:
        """Write one record."""
        try:
            write_line(self.format(record).encode())
        except Exception:  # as in the library's own handlers
            self.handleError(record)


class ServerLog(Logger):  # type: ignore[misc]  # gunicorn ships no types
    """gunicorn's log of itself, as our own lines. Its access log stays off, as we log requests."""

    def setup(self, cfg: Any) -> None:
        super().setup(cfg)
        handler = Handler()
        handler.setFormatter(JsonLines())
        self.error_log.handlers = [handler]
