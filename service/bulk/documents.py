"""Bulk: the documents of an input, one by one: lines of NDJSON, JSON files, rows of tape walks.

The main entry is `open_input`. A faulty document is answered like any other; only an input that
cannot be read, or is no input at all, stops the command.
"""

from __future__ import annotations

import hashlib
import stat
from collections.abc import Iterator
from dataclasses import dataclass
from io import BufferedReader
from pathlib import Path
from typing import Final, Protocol

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


class Input(Protocol):
    """A source of documents, which can be read any number of times."""

    def documents(self) -> Iterator[Document]:
        """Every document, in order."""

    def digest(self) -> str:
        """A digest that tells this input from every other."""


def open_input(path: Path, longest: int) -> Input:
    """The input at `path`: a folder, a .csv file or a file of NDJSON.

    longest: the most bytes of a document. Raises BulkError where the input cannot be read.
    """
    try:
        if path.is_dir():
            return Folder(path, longest)
        with open_plain(path):
            pass
    except OSError as error:
        raise BulkError(f"{path}: {error.strerror}") from None
    return Walks(path) if path.suffix.lower() == ".csv" else Lines(path, longest)


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


class Lines:
    """A file of NDJSON: a document a line; blank lines are skipped but counted."""

    def __init__(self, path: Path, longest: int) -> None:
        self.path, self.longest = path, longest

    def documents(self) -> Iterator[Document]:
        """A document for every line that is not blank."""
        with open_plain(self.path) as file:
            for line in split_lines(iter(lambda: file.read(PIECE), b""), self.longest):
                if not line.blank:
                    yield Document(line, f"{self.path.name}:{line.number}")

    def digest(self) -> str:
        """A digest of the file's name and bytes."""
        return _digest([self.path])


class Walks:
    """A CSV file of tape walks, a deck a row."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def documents(self) -> Iterator[Document]:
        """Every row as a deck document, numbered by the line on which the row begins."""
        for number, name, body in read_walks(self.path):
            yield Document(Line(number, body), name)

    def digest(self) -> str:
        """A digest of the file's name and bytes."""
        return _digest([self.path])


class Folder:
    """The *.json files of a folder, a document each, numbered from 1 by name."""

    def __init__(self, path: Path, longest: int) -> None:
        self.longest = longest
        self.files = sorted(path.glob(DOCUMENT), key=lambda file: file.name)
        if not self.files:
            raise BulkError(f"{path}: there is no file {DOCUMENT} in this folder")

    def documents(self) -> Iterator[Document]:
        """A document for every file. One that is too long is not read to its end."""
        for number, path in enumerate(self.files, 1):
            try:
                with open_plain(path) as file:
                    body = file.read(self.longest + 1)
            except OSError as error:
                raise BulkError(f"{path}: {error.strerror}") from None
            yield Document(Line(number, body if len(body) <= self.longest else None), path.name)

    def digest(self) -> str:
        """A digest of the files' names and bytes."""
        return _digest(self.files)


def _digest(paths: list[Path]) -> str:
    whole = hashlib.sha256()
    for path in paths:
        try:
            with open_plain(path) as file:
                held = hashlib.file_digest(file, "sha256").hexdigest()
        except OSError as error:
            raise BulkError(f"{path}: {error.strerror}") from None
        whole.update(f"{held} {path.name}\n".encode("utf-8", "surrogateescape"))
    return f"sha256:{whole.hexdigest()}"
