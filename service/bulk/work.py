"""Bulk: a parcel of documents answered in one go, wherever it is run; the same bytes everywhere."""

from __future__ import annotations

import os
import traceback
from collections.abc import Iterator
from functools import cache
from typing import TypeAlias

from service.batch import AnswerLine, Line, answer_line, tell_refused
from service.bulk.documents import Document
from service.core.problems import Problem
from service.data.catalogue import Catalogue, load_catalogue, own_folder
from service.refusals import refuse
from service.streams import tell

Parcel: TypeAlias = list[tuple[int, bytes | None]]
"""Documents by their line; None: too long."""

DOCUMENTS = 32
BYTES = 1_048_576
"""A parcel ends at either."""


def parcels(documents: Iterator[Document]) -> Iterator[Parcel]:
    """Documents in order, a few at a time."""
    parcel: Parcel = []
    size = 0
    for document in documents:
        parcel.append((document.line.number, document.line.body))
        size += len(document.line.body or b"")
        if len(parcel) >= DOCUMENTS or size >= BYTES:
            yield parcel
            parcel, size = [], 0
    if parcel:
        yield parcel


@cache
def loaded() -> Catalogue:
    """Kits and codes, shipped and of one's own, read once for the life of the process."""
    return load_catalogue(own=own_folder(os.environ))


def answer_parcel(parcel: Parcel, longest: int) -> list[bytes]:
    """An answer a document, each a line as `POST /v1/layouts` gives it."""
    catalogue = loaded()
    return [_answer(Line(number, body), longest, catalogue).body for number, body in parcel]


def _answer(line: Line, longest: int, catalogue: Catalogue) -> AnswerLine:
    """A line's answer. A bug is that line's own, as in a batch that the service answers: 500, with
    where to find it on standard error; what the exception says may quote the document."""
    try:
        return answer_line(line, longest, catalogue)
    except Exception as error:
        passed = "".join(traceback.format_tb(error.__traceback__))
        tell(f"line {line.number}: {type(error).__name__}\n{passed}", end="")
        problem = Problem("", "unexpected", f"Line {line.number}; its log says where.")
        return tell_refused(line.number, refuse("unexpected", [problem]))
