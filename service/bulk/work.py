"""Bulk: parcels, a few documents each, and how any process answers one (`answer_parcel`).

The answers are the same bytes wherever they are made.
"""

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
from service.streams import print_error

Parcel: TypeAlias = list[tuple[int, bytes | None]]
"""Documents as line number and bytes, which are None where the document is too long."""

DOCUMENTS = 32
BYTES = 1_048_576
"""A parcel ends as soon as it has DOCUMENTS documents or BYTES bytes."""


def parcels(documents: Iterator[Document]) -> Iterator[Parcel]:
    """The documents in order, as parcels."""
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
    """The kits and codes, shipped ones and the yard's own, read once in the life of the process."""
    return load_catalogue(own=own_folder(os.environ))


def answer_parcel(parcel: Parcel, longest: int) -> list[bytes]:
    """The answers to a parcel, a line for each document, as `POST /v1/layouts` gives them."""
    catalogue = loaded()
    return [_answer(Line(number, body), longest, catalogue).body for number, body in parcel]


def _answer(line: Line, longest: int, catalogue: Catalogue) -> AnswerLine:
    """The answer to a line. An unexpected error becomes that line's 500, as in the service's batch.

    The error's type and frames go to standard error, but not its message, which may quote the
    document.
    """
    try:
        return answer_line(line, longest, catalogue)
    except Exception as error:
        passed = "".join(traceback.format_tb(error.__traceback__))
        print_error(f"line {line.number}: {type(error).__name__}\n{passed}", end="")
        problem = Problem("", "unexpected", f"Line {line.number}; its log says where.")
        return tell_refused(line.number, refuse("unexpected", [problem]))
