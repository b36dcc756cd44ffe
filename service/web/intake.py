"""Web: the body of a batch, taken in as it arrives.

As much as arrives without a pause is taken in before the first answer is sent. Most clients
send everything before they read anything, and a proxy may stop sending once an answer begins:
answered too soon, both would wait for us while we wait for them. Who pauses after a line gets
its answer at once.
"""

from __future__ import annotations

import select
import socket
import tempfile
from collections.abc import Iterator
from typing import IO, Any, Final

from gunicorn.http.body import ChunkedReader, LengthReader

from service.core.problems import Problem, TooLarge
from service.web.errors import WebRefusal
from service.web.heart import HEART

PIECE: Final = 65_536
PAUSE: Final = 0.5
"""Seconds without a byte after which the sender is taken to wait for answers."""
IN_MEMORY: Final = 4_194_304
"""Bytes of a body that are held in memory; what is more goes to a file without a name."""
_LAST_CHUNK: Final = b"0\r\n\r\n"


class Intake:
    """One body. most: its bytes at most; lines: its lines at most."""

    def __init__(self, environ: dict[str, Any], most: int, lines: int) -> None:
        self.most, self.lines = most, lines
        self._source = _source(environ)
        self._left = most
        self._begun = 0
        self._open = True
        self._spool: IO[bytes] = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115

    def gather(self) -> None:
        """Take in what arrives without a pause; refuse the whole where a limit is passed."""
        count, tail = 0, b""
        while self._open and self._source.soon(PAUSE):
            piece = self._read(count + 1)
            if b"\n" in piece:
                HEART.beat()
            count, tail = count + piece.count(b"\n"), piece[-1:] or tail
            if count + (tail not in (b"", b"\n")) > self.lines:
                raise self.too_many()
            if not self._hold(piece):
                break
        self._spool.seek(0)

    def pieces(self) -> Iterator[bytes]:
        """All of the body: what was gathered, then the rest as it comes."""
        line = 1
        while piece := self._spool.read(PIECE):
            line += piece.count(b"\n")
            yield piece
        self._spool.close()
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

    def _hold(self, piece: bytes) -> bool:
        """Whether there is room for more; without a place for a file the memory is all there is."""
        try:
            self._spool.write(piece)
        except OSError:
            return False
        return True

    def _read(self, line: int) -> bytes:
        """The next piece, b"" at the end. line: the one that it begins in, for a refusal."""
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


class _Plain:
    """A body that is read as any file is."""

    def __init__(self, stream: Any) -> None:
        self._stream = stream

    def soon(self, _seconds: float) -> bool:
        """It is all there."""
        return True

    def read(self) -> bytes:
        """The next piece."""
        piece: bytes = self._stream.read(PIECE)
        return piece


class _Watched:
    """A socket as gunicorn reads it, and the last bytes that it gave."""

    def __init__(self, wire: socket.socket, tail: bytes) -> None:
        self._wire = wire
        self.tail = tail[-len(_LAST_CHUNK) :]

    def recv(self, most: int) -> bytes:
        """What has arrived, at most so much."""
        piece = self._wire.recv(most)
        self.tail = (self.tail + piece[-len(_LAST_CHUNK) :])[-len(_LAST_CHUNK) :]
        return piece


class _Wire:
    """A body under gunicorn, whose own reading waits for 1024 bytes where a line has come.

    Read from its reader instead, which gives what has arrived.
    """

    def __init__(self, reader: Any, wire: socket.socket) -> None:
        self._reader, self._wire = reader, wire
        self._chunked = isinstance(reader, ChunkedReader)
        self._unreader = reader.req.unreader if self._chunked else reader.unreader
        self._watched = _Watched(wire, self._unreader.buf.getvalue())
        self._unreader.sock = self._watched

    def soon(self, seconds: float) -> bool:
        """Whether the next read is likely not to wait longer than that."""
        if self._here():
            return True
        return bool(select.select([self._wire], [], [], seconds)[0])

    def _here(self) -> bool:
        """Whether all of the body has been received; of chunks, by how the last one looks."""
        if self._chunked:
            return self._watched.tail == _LAST_CHUNK
        return bool(self._unreader.buf.getbuffer().nbytes >= self._reader.length)

    def read(self) -> bytes:
        """The next piece, b"" at the end; an EOFError where the end came too soon."""
        if self._chunked:
            return next(self._reader.parser, b"")
        left = self._reader.length
        if not left:
            return b""
        data: bytes = self._unreader.read(None, read_ahead=min(left, PIECE))
        if not data:
            raise EOFError
        self._unreader.unread(data[left:])
        self._reader.length -= len(data[:left])
        return data[:left]


def _source(environ: dict[str, Any]) -> _Plain | _Wire:
    stream = environ["wsgi.input"]
    reader = getattr(stream, "reader", None)
    if isinstance(reader, ChunkedReader | LengthReader):
        return _Wire(reader, environ["gunicorn.socket"])
    return _Plain(stream)
