"""Web: the body of a batch, taken in as it arrives (`Intake`).

All that arrives without a pause is taken in before the first answer is sent, because most clients
read nothing until they have sent everything, and a proxy may stop sending once an answer begins. A
client that pauses after a line gets its answer at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from service.core.problems import Problem, TooLarge
from service.web.arrival import arriving
from service.web.body import body_too_long
from service.web.errors import WebRefusal
from service.web.heart import HEART
from service.web.spool import Spool

PAUSE: Final = 0.5
"""Seconds without a byte after which the sender is taken to be waiting for answers."""


class Intake:
    """The body of one batch. most: the most bytes that it may have. lines: the most lines."""

    def __init__(self, environ: dict[str, Any], most: int, lines: int) -> None:
        self.most, self.lines = most, lines
        self._source = arriving(environ, environ["wsgi.input"])
        self._left = most
        self._open = True
        self._spool = Spool()

    @property
    def received(self) -> int:
        """Bytes of the body that have arrived."""
        return self.most - self._left

    def gather(self) -> None:
        """Take in what arrives without a pause. Refuses the whole batch where a limit is passed."""
        count = 0
        while self._open and self._source.soon(PAUSE):
            piece = self._read(count + 1)
            if b"\n" in piece:
                HEART.beat()
            count += piece.count(b"\n")
            if count + (piece[-1:] not in (b"", b"\n")) > self.lines:
                raise self.too_many()
            if not self._spool.add(piece):
                break

    def pieces(self) -> Iterator[bytes]:
        """The whole body: what was gathered, then the rest as it arrives."""
        line = 1
        for piece in self._spool.pieces():
            line += piece.count(b"\n")
            yield piece
        while self._open:
            piece = self._read(line)
            line += piece.count(b"\n")
            yield piece

    def close(self) -> None:
        """Drop what was gathered."""
        self._spool.close()

    def too_many(self) -> TooLarge:
        """The refusal of a batch with too many lines."""
        message = f"There are more than {self.lines} lines; send the rest as another batch."
        return TooLarge([Problem("", "too_many", message)])

    def _read(self, line: int) -> bytes:
        """The next piece; b"" at the end. line: the number of the line that it begins in.

        Any error is taken to be the sender's fault, as in `body`. Refuses (413) a body that is too
        long.
        """
        try:
            piece = self._source.read()
        except BlockingIOError as error:  # the worker's socket has timed out
            message = f"The body stopped arriving in line {line}."
            raise WebRefusal("request_timeout", message) from error
        except Exception as error:
            message = f"The body did not arrive whole: it broke off in line {line}."
            raise WebRefusal("bad_request", message) from error
        self._open = bool(piece)
        self._left -= len(piece)
        if self._left < 0:
            raise body_too_long(self.most)
        return piece
