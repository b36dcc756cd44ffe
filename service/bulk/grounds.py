"""Bulk: what answers rest on beside the input: the release, and its kits and codes."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from service import RELEASE
from service.bulk.errors import BulkError
from service.bulk.work import Parcel, answer_parcel, loaded
from service.data.catalogue import BadFileError
from service.wire.canonical import canonical

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Grounds:
    """Answers on the same grounds are the same, wherever they are made. catalogue: a digest."""

    release: str
    catalogue: str


def grounds(release: str, kits: Iterable[Json], codes: Iterable[Json]) -> Grounds:
    """Of a release with these documents, in whatever order and however they were written.

    >>> one = grounds("1", [{"id": "a", "x": 1.0}, {"id": "b"}], [])
    >>> one == grounds("1", [{"id": "b"}, {"x": 1, "id": "a"}], [])
    True
    >>> one == grounds("1", [{"id": "a", "x": 2}, {"id": "b"}], [])
    False
    """
    named = {
        kind: {each["id"]: each for each in documents}
        for kind, documents in (("kits", kits), ("codes", codes))
    }
    return Grounds(release, "sha256:" + hashlib.sha256(canonical(named)).hexdigest())


def own_grounds() -> Grounds:
    """Those of this process. Raises BulkError where a file of the catalogue is not good."""
    try:
        catalogue = loaded()
    except BadFileError as error:
        raise BulkError(f"a kit or a code cannot be used:\n{error}") from error
    kits, codes = catalogue.kit_documents, catalogue.code_documents
    return grounds(RELEASE, kits.values(), codes.values())


def answer_on(known: Grounds, parcel: Parcel, longest: int) -> list[bytes]:
    """A parcel's answers, by a process that is not ours. Raises BulkError where it would answer on
    other grounds than those that are known."""
    if own_grounds() != known:
        raise BulkError("two workers of the cluster differ in their release, kits or codes")
    return answer_parcel(parcel, longest)
