"""Bulk: the file of answers, which is also the record of what is done.

Answers are appended in the order of the input, so its whole lines say how far the work came; a last
line that was cut off is taken away. A small file beside it says which input, release, kits and
codes they are of. One run at a time holds the file.
"""

from __future__ import annotations

import fcntl
import json
import os
from dataclasses import asdict
from pathlib import Path
from typing import BinaryIO, Final

from service.bulk.errors import BulkError
from service.bulk.files import fresh_of, note_of
from service.bulk.grounds import Grounds

PIECE: Final = 1_048_576
_DIFFERS: Final = {
    "input": "to another input",
    "longest": "under another --longest",
    "release": "of another release",
    "catalogue": "by other kits or codes",
}
"""What a note holds, and what answers are where it says otherwise."""


class Journal:
    """Answers at `path`, open to append to and held. done: how many it has already.

    Raises BulkError where another run holds it or where it has the answers to something else.
    """

    def __init__(self, path: Path, digest: str, longest: int, grounds: Grounds) -> None:
        self.path = path
        self.note = note_of(path)
        known = {"input": digest, "longest": longest, **asdict(grounds)}
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
        """Go on only with the same input and limit, on the same grounds; begin with a note."""
        if self.path.stat().st_size:
            if differs := _differs(self.note, known):
                raise BulkError(
                    f"{self.path} is there already, and holds answers {differs}; name another file,"
                    " or remove it"
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


def _differs(note: Path, known: dict[str, object]) -> str:
    """In what a note is not of what is known; nothing where it is."""
    try:
        held = json.loads(note.read_text("utf-8"))
    except (OSError, ValueError):
        held = None
    if not isinstance(held, dict):
        return "that no note beside it tells anything of"
    return " and ".join(words for name, words in _DIFFERS.items() if held.get(name) != known[name])


def _hold(path: Path, file: BinaryIO) -> None:
    """Keep others out until the file is closed, or the kernel closes it after a kill."""
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        message = "another run is under way with it; wait for its end, or name another file"
        raise BulkError(f"{path}: {message}") from None


def _mend(path: Path) -> int:
    """The whole lines of a file; what stands after the last of them is taken away."""
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
