"""Bulk: the grounds of answers, which are what they depend on besides the input: the release, the
kits and the codes."""

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
    """The grounds of answers: equal grounds give equal answers, wherever they are made.

    catalogue: a digest of the kits and codes.
    """

    release: str
    catalogue: str


def grounds(release: str, kits: Iterable[Json], codes: Iterable[Json]) -> Grounds:
    """The grounds of a release with these documents, whatever their order and way of writing.

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
    """The grounds of this process. Raises BulkError where a kit or a code cannot be used."""
    try:
        catalogue = loaded()
    except BadFileError as error:
        raise BulkError(f"a kit or a code cannot be used:\n{error}") from error
    kits, codes = catalogue.kit_documents, catalogue.code_documents
    return grounds(RELEASE, kits.values(), codes.values())


def answer_on(known: Grounds, parcel: Parcel, longest: int) -> list[bytes]:
    """The answers to a parcel, made by a worker of a cluster.

    Raises BulkError where the worker's own grounds are not `known`.
    """
    if own_grounds() != known:
        raise BulkError("two workers of the cluster differ in their release, kits or codes")
    return answer_parcel(parcel, longest)
