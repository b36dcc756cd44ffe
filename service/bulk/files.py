"""Bulk: the files of a run, checked before anything is read or written (`settle_files`).

No two may be the same file, none that is written may be a document of the input, and the folder of
each must be there.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

from service.bulk.documents import DOCUMENT
from service.bulk.errors import BulkError
from service.bulk.summary import is_summary


@dataclass(frozen=True, slots=True)
class Files:
    """The files of a run: its input, and where its answers and its summary go."""

    input: Path
    answers: Path
    summary: Path

    @property
    def note(self) -> Path:
        """The note beside the answers, which says of which input and grounds they are."""
        return note_of(self.answers)


def note_of(answers: Path) -> Path:
    """Path of the note beside a file of answers.

    >>> note_of(Path("out/r.ndjson")).name
    'r.ndjson.input'
    """
    return answers.with_name(answers.name + ".input")


def fresh_of(note: Path) -> Path:
    """Path at which a note is written before it is moved into place.

    >>> fresh_of(Path("r.ndjson.input")).name
    'r.ndjson.input.new'
    """
    return note.with_name(note.name + ".new")


def settle_files(asked: Path, answers: Path, summary: Path | None) -> Files:
    """The files of a run. summary: None for the name of the answers with the ending .csv.

    Raises BulkError, before anything is touched, where two of them are the same file under any
    names, where one would be a document of the input folder, where one cannot be written, and where
    the summary would overwrite a file that is no summary.
    """
    _check_names(asked, answers, summary)
    try:
        _check_place(answers, "--out")
        if answers.exists() and not answers.is_file():
            raise BulkError(
                f"--out {answers}: not a regular file, so answers cannot be added to it"
            )
        files = Files(asked, answers, summary or answers.with_suffix(".csv"))
        _check_place(files.summary, "--summary")
        _check_apart(files)
        if asked.is_dir():
            _check_outside(files)
        if files.summary.is_file() and not is_summary(files.summary):
            raise BulkError(
                f"{files.summary} exists already, and is not a summary; name another with --summary"
            )
    except OSError as error:
        raise BulkError(f"{error.filename or answers}: {error.strerror}") from None
    return files


def _check_names(*named: Path | None) -> None:
    """Refuse the name `-`, which other commands take for a standard stream."""
    for option, path in zip(("INPUT", "--out", "--summary"), named, strict=True):
        if path == Path("-"):
            raise BulkError(f"{option} -: standard streams are not taken; give the name of a file")


def _check_place(path: Path, option: str) -> None:
    if path.is_dir():
        raise BulkError(f"{option} {path}: a folder; give the name of a file")
    if not path.parent.is_dir():
        raise BulkError(f"{option} {path}: there is no folder {path.parent}")
    if not os.access(path if path.exists() else path.parent, os.W_OK):
        raise BulkError(f"{option} {path}: may not be written")


def _check_apart(files: Files) -> None:
    named = (
        ("the input", files.input),
        ("the file of answers", files.answers),
        ("the summary", files.summary),
        ("the note beside the answers", files.note),
        ("the note beside the answers", fresh_of(files.note)),
    )
    for (one, path), (other, its) in combinations(named, 2):
        if _same(path, its):
            raise BulkError(
                f"{one} and {other} would be one file, {its}; name another with --out or --summary"
            )


def _same(path: Path, other: Path) -> bool:
    """Whether two paths lead to the same file, whether it exists or not."""
    if os.path.realpath(path) == os.path.realpath(other):
        return True
    return path.exists() and other.exists() and path.samefile(other)


def _check_outside(files: Files) -> None:
    """Refuse to write to a file that is a document of the input folder, now or on the next run."""
    folder = Path(os.path.realpath(files.input))
    documents = [file.stat() for file in files.input.glob(DOCUMENT) if file.exists()]
    known = {(held.st_dev, held.st_ino) for held in documents}
    for option, path in (("--out", files.answers), ("--summary", files.summary)):
        stands = (Path(os.path.realpath(path.parent)) / path.name, Path(os.path.realpath(path)))
        within = any(name.parent == folder and name.match(DOCUMENT) for name in stands)
        held = path.stat() if path.exists() else None
        if within or (held is not None and (held.st_dev, held.st_ino) in known):
            raise BulkError(
                f"{option} {path}: would be a document of the input, as every {DOCUMENT} of"
                f" {files.input} is; give it another ending or another folder"
            )
