"""Web: logs, one JSON object a line on standard error. Never a body, never a header but the id.

What an exception says may quote the request, so a traceback here is its frames and its type.
"""

from __future__ import annotations

import contextlib
import logging
import os
import sys
import traceback
from datetime import UTC, datetime
from typing import Any

import orjson
import structlog
from gunicorn.glogging import Logger

from service.web.settings import LEVELS


def start_logs(level: str) -> None:
    """Send structlog's lines, from `level` up, to standard error as JSON."""
    structlog.configure(
        processors=[_stamp, structlog.processors.JSONRenderer(serializer=orjson.dumps)],
        wrapper_class=structlog.make_filtering_bound_logger(LEVELS[level]),
        logger_factory=_Lines,
        cache_logger_on_first_use=False,
    )


class _Lines:
    """Lines on what is standard error now, which may be another than at the start. What it cannot
    take (a disk is full, nobody reads the pipe) is lost or comes late: a reply is worth more."""

    def __init__(self, *_: object) -> None:
        pass

    def write(self, line: bytes) -> None:
        """One line, at once."""
        with contextlib.suppress(OSError):
            sys.stderr.buffer.write(line + b"\n")
            sys.stderr.buffer.flush()

    debug = info = warning = error = write


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


class ServerLog(Logger):  # type: ignore[misc]  # gunicorn ships no types
    """gunicorn's log of itself, in our form. Its access log stays off: ours says it."""

    def setup(self, cfg: Any) -> None:
        super().setup(cfg)
        for handler in self.error_log.handlers:
            handler.setFormatter(JsonLines())
