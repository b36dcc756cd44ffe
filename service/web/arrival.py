"""Web: the bytes of a body as they arrive: from gunicorn's socket, or from any other stream."""

from __future__ import annotations

import select
import socket
from typing import Any, Final, TypeAlias

from gunicorn.http.body import ChunkedReader, LengthReader

PIECE: Final = 65_536
"""Bytes that are read at once, at most."""
GO_ON: Final = b"HTTP/1.1 100 Continue\r\n\r\n"
"""What a sender waits for that asked whether its body is wanted; nothing else can be expected."""
_LAST_CHUNK: Final = b"0\r\n\r\n"


class Plain:
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


class Wire:
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


Arrival: TypeAlias = Plain | Wire


def arriving(environ: dict[str, Any], stream: Any) -> Arrival:
    """The body of a request, piece by piece. stream: where another server brought it."""
    reader = getattr(environ["wsgi.input"], "reader", None)
    if isinstance(reader, ChunkedReader | LengthReader):
        wire = environ["gunicorn.socket"]
        if environ.get("HTTP_EXPECT") and environ["SERVER_PROTOCOL"] != "HTTP/1.0":
            wire.sendall(GO_ON)
        return Wire(reader, wire)
    return Plain(stream)
