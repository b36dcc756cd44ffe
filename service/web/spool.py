"""Web: what was taken in of a body: its first bytes in memory, more in a file without a name.

Where there is no place for a file, or its disk is full, what came last is held in memory, and
nothing more is taken in: it is read as it is answered.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from typing import IO, Any, Final

from service.web.arrival import PIECE

IN_MEMORY: Final = 4_194_304
"""Bytes that are held in memory; what is more goes to the file."""


class Spool:
    """Bytes in the order in which they were added."""

    def __init__(self) -> None:
        self._first = bytearray()
        self._file: IO[Any] | None = None
        self._written = 0
        self._last = b""

    def add(self, piece: bytes) -> bool:
        """Hold a piece; whether there is room for more."""
        if self._file is None and len(self._first) + len(piece) <= IN_MEMORY:
            self._first += piece
            return True
        try:
            self._write(piece)
        except OSError:
            # What a file has of it past `_written` is not read again.
            self._last = piece
            return False
        self._written += len(piece)
        return True

    def _write(self, piece: bytes) -> None:
        """All of it to the file; a disk that is nearly full takes a part and refuses the rest."""
        if self._file is None:
            self._file = tempfile.TemporaryFile(buffering=0)  # noqa: SIM115
        left = memoryview(piece)
        while left:
            left = left[self._file.write(left) :]

    def pieces(self) -> Iterator[bytes]:
        """All that is held, once; then nothing is."""
        for start in range(0, len(self._first), PIECE):
            yield bytes(self._first[start : start + PIECE])
        if self._file is not None:
            self._file.seek(0)
            while piece := self._file.read(min(PIECE, self._written)):
                self._written -= len(piece)
                yield piece
        if self._last:
            yield self._last
        self.close()

    def close(self) -> None:
        """Let go of all of it."""
        self._first.clear()
        self._last = b""
        if self._file is not None:
            self._file.close()
            self._file = None
