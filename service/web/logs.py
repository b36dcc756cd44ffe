"""Web: logs, one JSON object a line on standard error. Never a body, never a header but the id.

What an exception says may quote the request, so a traceback here is its frames and its type.
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
"""Seconds for which a log that takes nothing is waited for, once."""


def start_logs(level: str) -> None:
    """Send structlog's lines, from `level` up, to standard error as JSON."""
    structlog.configure(
        processors=[_stamp, structlog.processors.JSONRenderer(serializer=orjson.dumps)],
        wrapper_class=structlog.make_filtering_bound_logger(LEVELS[level]),
        logger_factory=_Lines,
        cache_logger_on_first_use=False,
    )


class _Room:
    """Room for a line. A pipe that is full is waited for, but of one whose reader has stopped only
    the first line waits: those after it are lost at once, until there is room again."""

    def __init__(self) -> None:
        self._patience = PATIENCE

    def wait(self, number: int) -> bool:
        """Whether what is open under this number can be written now."""
        asked = select.poll()
        asked.register(number, select.POLLOUT)
        there = bool(asked.poll(self._patience * 1000))
        self._patience = PATIENCE if there else 0
        return there


_ROOM: Final = _Room()
"""That of this process."""


def write_line(line: bytes) -> None:
    """One line on what is standard error now, which may be another than at the start. What it
    cannot take (a disk is full, nobody reads the pipe) is lost, of a long line its end, or comes
    late: a reply is worth more."""
    said = line + b"\n"
    with contextlib.suppress(OSError):
        for at in range(0, len(said), select.PIPE_BUF):  # what a pipe with room takes at once
            if not _ROOM.wait(sys.stderr.fileno()):
                break
            sys.stderr.buffer.write(said[at : at + select.PIPE_BUF])
            sys.stderr.buffer.flush()


class _Lines:
    """Where structlog writes."""

    def __init__(self, *_: object) -> None:
        pass

    debug = info = warning = error = staticmethod(write_line)


def frames(error: BaseException) -> dict[str, Any]:
    """The type of an exception and where it passed: file, line, function.

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
    """The same form for records of the standard library's logging."""

    def format(self, record: logging.LogRecord) -> str:
        event: dict[str, Any] = {"event": record.getMessage(), "logger": record.name}
        if record.exc_info and record.exc_info[1] is not None:
            event |= frames(record.exc_info[1])
        return orjson.dumps(_stamp(None, record.levelname.lower(), event)).decode()


class Handler(logging.Handler):
    """Writes them where ours go, and waits no longer."""

    def emit(self, record: logging.LogRecord) -> None:
        """One record."""
        try:
            write_line(self.format(record).encode())
        except Exception:  # as the library's own handlers have it
            self.handleError(record)


class ServerLog(Logger):  # type: ignore[misc]  # gunicorn ships no types
    """gunicorn's log of itself, in our form. Its access log stays off: ours says it."""

    def setup(self, cfg: Any) -> None:
        super().setup(cfg)
        handler = Handler()
        handler.setFormatter(JsonLines())
        self.error_log.handlers = [handler]
