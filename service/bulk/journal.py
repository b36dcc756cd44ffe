"""Bulk: the file of answers, which is also the record of what is done (`Journal`).

Answers are appended in the order of the input, so the number of whole lines says how far the work
came; a last line that was cut off is removed. A small note beside the file says of which input,
release, kits and codes the answers are. Only one run at a time can hold the file.
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
"""The members of a note, each with words for answers whose note has another value there."""


class Journal:
    """The file of answers at `path`, open to append to and locked.

    digest: of the input. longest: the most bytes of a document. done: the number of answers that
    the file has already. Raises BulkError where another run holds the file, or where it has answers
    to another input, with another limit or on other grounds.
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
        """Check that the note of begun answers agrees with `known`; for an empty file, write it."""
        if self.path.stat().st_size:
            if differs := _differs(self.note, known):
                raise BulkError(
                    f"{self.path} exists already, and holds answers {differs}; name another file,"
                    " or remove it"
                )
            return
        fresh = fresh_of(self.note)
        fresh.write_text(json.dumps(known), "utf-8")
        os.replace(fresh, self.note)

    def add(self, answers: list[bytes]) -> None:
        """Append answers in one write."""
        self._file.write(b"".join(answers))
        self._file.flush()

    def close(self) -> None:
        """Close the file, so that another run may hold it."""
        self._file.close()


def _differs(note: Path, known: dict[str, object]) -> str:
    """Words for the ways in which a note differs from `known`; empty where it agrees."""
    try:
        held = json.loads(note.read_text("utf-8"))
    except (OSError, ValueError):
        held = None
    if not isinstance(held, dict):
        return "that no note beside it describes"
    return " and ".join(words for name, words in _DIFFERS.items() if held.get(name) != known[name])


def _hold(path: Path, file: BinaryIO) -> None:
    """Lock the file until it is closed, or the process is killed. Raises BulkError where another
    run holds it."""
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        message = "another run is using it; wait for that to end, or name another file"
        raise BulkError(f"{path}: {message}") from None


def _mend(path: Path) -> int:
    """The number of whole lines of a file. Anything after the last whole line is cut off."""
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
