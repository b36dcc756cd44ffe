"""Web: the bytes of a body as they arrive, from gunicorn's socket or from another server's stream.

The main entry is `arriving`.
"""

from __future__ import annotations

import select
import socket
from typing import Any, Final, TypeAlias

from gunicorn.http.body import ChunkedReader, LengthReader

PIECE: Final = 65_536
"""The most bytes that are read at once."""
GO_ON: Final = b"HTTP/1.1 100 Continue\r\n\r\n"
"""The reply to a sender that asks by `Expect: 100-continue` whether it may send its body."""
_LAST_CHUNK: Final = b"0\r\n\r\n"


class Plain:
    """A body that is read like any file, from a server other than gunicorn."""

    def __init__(self, stream: Any) -> None:
        self._stream = stream

    def soon(self, _seconds: float) -> bool:
        """Always True, as nothing is known of how such a body arrives."""
        return True

    def read(self) -> bytes:
        """The next piece; b"" at the end."""
        piece: bytes = self._stream.read(PIECE)
        return piece


class _Watched:
    """A socket for gunicorn to read from, which keeps the last bytes read in `tail`."""

    def __init__(self, wire: socket.socket, tail: bytes) -> None:
        self._wire = wire
        self.tail = tail[-len(_LAST_CHUNK) :]

    def recv(self, most: int) -> bytes:
        """The bytes that have arrived, `most` at most."""
        piece = self._wire.recv(most)
        self.tail = (self.tail + piece[-len(_LAST_CHUNK) :])[-len(_LAST_CHUNK) :]
        return piece


class Wire:
    """A body under gunicorn.

    gunicorn's own body waits for 1024 bytes even where a whole line has come. So this class reads
    from the reader below it, which gives what has arrived.
    """

    def __init__(self, reader: Any, wire: socket.socket) -> None:
        self._reader, self._wire = reader, wire
        self._chunked = isinstance(reader, ChunkedReader)
        self._unreader = reader.req.unreader if self._chunked else reader.unreader
        self._watched = _Watched(wire, self._unreader.buf.getvalue())
        self._unreader.sock = self._watched

    def soon(self, seconds: float) -> bool:
        """Whether the next read will probably not wait: bytes came within `seconds`, or all has."""
        if self._here():
            return True
        return bool(select.select([self._wire], [], [], seconds)[0])

    def _here(self) -> bool:
        """Whether the whole body has been received; a chunked one is judged by its last bytes."""
        if self._chunked:
            return self._watched.tail == _LAST_CHUNK
        return bool(self._unreader.buf.getbuffer().nbytes >= self._reader.length)

    def read(self) -> bytes:
        """The next piece; b"" at the end. Raises EOFError where the body ends too soon."""
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
    """The body of a request, to be read piece by piece.

    Under gunicorn, a client that expects 100 Continue is sent it here. stream: the stream to read
    from under another server.
    """
    reader = getattr(environ["wsgi.input"], "reader", None)
    if isinstance(reader, ChunkedReader | LengthReader):
        wire = environ["gunicorn.socket"]
        if environ.get("HTTP_EXPECT") and environ["SERVER_PROTOCOL"] != "HTTP/1.0":
            wire.sendall(GO_ON)
        return Wire(reader, wire)
    return Plain(stream)
