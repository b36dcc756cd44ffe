"""Bulk: the file of answers, which is also the record of what is done.

Answers are appended in the order of the input, a line each, so the whole lines that it holds say
how far the work came; a last line that was cut off by a kill is taken away. A small file beside it
says which input and which release the answers are of. One run at a time holds the file.
"""

from __future__ import annotations

import fcntl
import json
import os
from pathlib import Path
from typing import BinaryIO, Final

from service import RELEASE
from service.bulk.errors import BulkError
from service.bulk.files import fresh_of, note_of

PIECE: Final = 1_048_576


class Journal:
    """Answers at `path`, open to append to and held. done: how many it has already.

    Raises BulkError where another run holds it or where it has the answers to something else.
    """

    def __init__(self, path: Path, digest: str, longest: int) -> None:
        self.path = path
        self.note = note_of(path)
        known = {"input": digest, "longest": longest, "release": RELEASE}
        try:
            self._file: BinaryIO = path.open("ab")
        except OSError as error:
            raise BulkError(f"{path}: {error.strerror}") from None
        try:
            _hold(path, self._file)
            self._know(known)
            self.done = _mend(path)
        except BaseException:
            self.close()
            raise

    def _know(self, known: dict[str, object]) -> None:
        """Go on only with the same input, limit and release; begin with a note of them."""
        if self.path.exists() and self.path.stat().st_size:
            try:
                held = json.loads(self.note.read_text("utf-8"))
            except (OSError, ValueError):
                held = None
            if held != known:
                raise BulkError(
                    f"{self.path} is there already, and holds the answers to another input, limit"
                    " or release; name another file, or remove it"
                )
            return
        fresh = fresh_of(self.note)
        fresh.write_text(json.dumps(known), "utf-8")
        os.replace(fresh, self.note)

    def add(self, answers: list[bytes]) -> None:
        """Append answers, in one write."""
        self._file.write(b"".join(answers))
        self._file.flush()

    def close(self) -> None:
        """Nothing more is added, and another run may begin."""
        self._file.close()


def _hold(path: Path, file: BinaryIO) -> None:
    """Keep others out until the file is closed, or the kernel closes it after a kill."""
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        message = "another run is under way with it; wait for its end, or name another file"
        raise BulkError(f"{path}: {message}") from None


def _mend(path: Path) -> int:
    """The whole lines of a file; what stands after the last of them is taken away."""
    if not path.exists():
        return 0
    lines = end = at = 0
    with path.open("rb") as file:
        while piece := file.read(PIECE):
            lines += piece.count(b"\n")
            if b"\n" in piece:
                end = at + piece.rindex(b"\n") + 1
            at += len(piece)
    if end < at:
        os.truncate(path, end)
    return lines
