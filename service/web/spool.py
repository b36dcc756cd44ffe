"""Web: holds what was taken in of a body, the first bytes in memory, the rest in an unnamed file.

Where no file can be made, or its disk is full, the last piece is held in memory and no more is
taken in; the rest of the body is then read as it is answered.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from typing import IO, Any, Final

from service.web.arrival import PIECE

IN_MEMORY: Final = 4_194_304
"""The most bytes that are held in memory; further ones go to the file."""


class Spool:
    """Holds pieces of bytes, in the order in which they were added."""

    def __init__(self) -> None:
        self._first = bytearray()
        self._file: IO[Any] | None = None
        self._written = 0
        self._last = b""

    def add(self, piece: bytes) -> bool:
        """Hold a piece, and return whether there is room for more."""
        if self._file is None and len(self._first) + len(piece) <= IN_MEMORY:
            self._first += piece
            return True
        try:
            self._write(piece)
        except OSError:
            # Part of the piece may be in the file past `_written`, which is never read.
            self._last = piece
            return False
        self._written += len(piece)
        return True

    def _write(self, piece: bytes) -> None:
        """Write a whole piece to the file; a nearly full disk takes a part and refuses the rest."""
        if self._file is None:
            self._file = tempfile.TemporaryFile(buffering=0)  # noqa: SIM115
        left = memoryview(piece)
        while left:
            left = left[self._file.write(left) :]

    def pieces(self) -> Iterator[bytes]:
        """All that is held, piece by piece; after that, nothing is held."""
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
        """Drop all that is held."""
        self._first.clear()
        self._last = b""
        if self._file is not None:
            self._file.close()
            self._file = None
