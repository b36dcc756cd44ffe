"""Web: the body of a batch, taken in as it arrives.

As much as arrives without a pause is taken in before the first answer is sent: most clients read
nothing until all is sent, and a proxy may stop sending once an answer begins. Who pauses after a
line gets its answer at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from service.core.problems import Problem, TooLarge
from service.web.arrival import arriving
from service.web.errors import WebRefusal
from service.web.heart import HEART
from service.web.spool import Spool

PAUSE: Final = 0.5
"""Seconds without a byte after which the sender is taken to wait for answers."""


class Intake:
    """One body. most: its bytes at most; lines: its lines at most."""

    def __init__(self, environ: dict[str, Any], most: int, lines: int) -> None:
        self.most, self.lines = most, lines
        self._source = arriving(environ, environ["wsgi.input"])
        self._left = most
        self._open = True
        self._spool = Spool()

    @property
    def received(self) -> int:
        """Bytes of it that have arrived."""
        return self.most - self._left

    def gather(self) -> None:
        """Take in what arrives without a pause; refuse the whole where a limit is passed."""
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
        """All of the body: what was gathered, then the rest as it comes."""
        line = 1
        for piece in self._spool.pieces():
            line += piece.count(b"\n")
            yield piece
        while self._open:
            piece = self._read(line)
            line += piece.count(b"\n")
            yield piece

    def close(self) -> None:
        """Let go of what is held."""
        self._spool.close()

    def too_many(self) -> TooLarge:
        """The refusal of a batch with more lines than are taken."""
        message = f"There are more than {self.lines} lines; send the rest as another batch."
        return TooLarge([Problem("", "too_many", message)])

    def _read(self, line: int) -> bytes:
        """The next piece, b"" at the end. line: the one that it begins in, for a refusal. What goes
        wrong here is the sender's, whatever it is (`body`)."""
        try:
            piece = self._source.read()
        except BlockingIOError as error:  # what a read says when the worker has lost patience
            message = f"The body stopped arriving in line {line}."
            raise WebRefusal("request_timeout", message) from error
        except Exception as error:
            message = f"The body did not arrive whole: it broke off in line {line}."
            raise WebRefusal("bad_request", message) from error
        self._open = bool(piece)
        self._left -= len(piece)
        if self._left < 0:
            message = f"The body is longer than {self.most} bytes."
            raise TooLarge([Problem("", "body_too_long", message)])
        return piece
