"""Bulk: the documents of an input, one by one: lines of NDJSON, JSON files, rows of tape walks.

The main entry is `open_input`. A faulty document is answered like any other; only an input that
cannot be read, or is no input at all, stops the command.
"""

from __future__ import annotations

import hashlib
import stat
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from io import BufferedReader
from pathlib import Path
from typing import Final

from service.batch import Line, split_lines
from service.bulk.errors import BulkError
from service.bulk.walks import read_walks

PIECE: Final = 1_048_576
DOCUMENT: Final = "*.json"
"""The pattern of a folder's files that are documents."""


@dataclass(frozen=True, slots=True)
class Document:
    """One document of an input. where: names its place in the input for a person."""

    line: Line
    where: str


@dataclass(frozen=True, slots=True)
class Input:
    """A source of documents, which can be read any number of times.

    files: those that it is read from. documents: yields every document, in order.
    """

    files: Sequence[Path]
    documents: Callable[[], Iterator[Document]]

    def digest(self) -> str:
        """A digest of the names and bytes of the files, which tells this input from every other."""
        whole = hashlib.sha256()
        for path in self.files:
            try:
                with open_plain(path) as file:
                    held = hashlib.file_digest(file, "sha256").hexdigest()
            except OSError as error:
                raise BulkError(f"{path}: {error.strerror}") from None
            whole.update(f"{held} {path.name}\n".encode("utf-8", "surrogateescape"))
        return f"sha256:{whole.hexdigest()}"


def open_input(path: Path, longest: int) -> Input:
    """The input at `path`: a folder, a .csv file or a file of NDJSON.

    longest: the most bytes of a document. Raises BulkError where the input cannot be read.
    """
    try:
        if path.is_dir():
            files = _files_of(path)
            return Input(files, partial(_whole_files, files, longest))
        with open_plain(path):
            pass
    except OSError as error:
        raise BulkError(f"{path}: {error.strerror}") from None
    walks = path.suffix.lower() == ".csv"
    return Input([path], partial(_walks, path) if walks else partial(_lines, path, longest))


def open_plain(path: Path) -> BufferedReader:
    """A file of the input, opened to read.

    Raises BulkError where it is not a regular file: an input is read more than once, and a pipe
    would block, or be empty the second time. Raises OSError where it cannot be opened.
    """
    if not stat.S_ISREG(path.stat().st_mode):
        raise BulkError(
            f"{path}: not a regular file, and it is read more than once; save it as one"
        )
    return path.open("rb")


def _lines(path: Path, longest: int) -> Iterator[Document]:
    """The documents of a file of NDJSON, one for every line that is not blank."""
    with open_plain(path) as file:
        for line in split_lines(iter(lambda: file.read(PIECE), b""), longest):
            if not line.blank:
                yield Document(line, f"{path.name}:{line.number}")


def _walks(path: Path) -> Iterator[Document]:
    """Every row of a CSV file of tape walks, numbered by the line on which the row begins."""
    for number, name, body in read_walks(path):
        yield Document(Line(number, body), name)


def _files_of(folder: Path) -> list[Path]:
    """The files of a folder that are documents, by name. Raises BulkError where there is none."""
    found = sorted(folder.glob(DOCUMENT), key=lambda file: file.name)
    if not found:
        raise BulkError(f"{folder}: there is no file {DOCUMENT} in this folder")
    return found


def _whole_files(files: Sequence[Path], longest: int) -> Iterator[Document]:
    """A document for every file, numbered from 1. One that is too long is not read to its end."""
    for number, path in enumerate(files, 1):
        try:
            with open_plain(path) as file:
                body = file.read(longest + 1)
        except OSError as error:
            raise BulkError(f"{path}: {error.strerror}") from None
        yield Document(Line(number, body if len(body) <= longest else None), path.name)
