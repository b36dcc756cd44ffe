"""Web: the shelf, which holds the replies that are the same for everyone, by path.

They are the kits, codes, schemas and pages, and are made once at the start, by `fill_shelf`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import orjson

from service.core import limits
from service.data.catalogue import Catalogue
from service.drawings.sheets import MEDIAS
from service.web.counter import load_counter
from service.web.docs import load_docs
from service.web.settings import Settings
from service.web.stored import Stored
from service.wire.publishing.components import schemas
from service.wire.publishing.publish import openapi


def fill_shelf(catalogue: Catalogue, settings: Settings) -> dict[str, Stored]:
    """Stored replies by path: kits, codes, schemas, limits, the OpenAPI document and both pages."""
    shelf = {
        "/v1/openapi.json": _json(openapi(MEDIAS)),
        "/v1/limits": _json(published_limits(settings)),
    }
    shelf |= _shelve("kits", catalogue.kit_documents)
    shelf |= _shelve("codes", catalogue.code_documents)
    shelf |= {f"/v1/schemas/{name}.json": _json(each) for name, each in schemas().items()}
    return shelf | load_docs() | load_counter(settings.counter, catalogue)


def published_limits(settings: Settings) -> dict[str, int]:
    """The published limits by name: on a body, on what a document may hold, and on a batch.

    >>> told = published_limits(Settings(body_limit=4096))
    >>> told["body"], told["line"], told["levels"]
    (4096, 4096, 16)
    """
    named = {name.lower(): value for name, value in vars(limits).items() if isinstance(value, int)}
    batch = {
        "line": settings.body_limit,
        "batch_lines": settings.batch_lines,
        "batch_bytes": settings.batch_bytes,
        "batch_seconds": settings.batch_timeout,
    }
    return {"body": settings.body_limit, **named, **batch}


def _shelve(kind: str, documents: Mapping[str, Any]) -> dict[str, Stored]:
    """A reply with all documents of a kind, and one for each under its id, by path."""
    shelf = {f"/v1/{kind}": _json({kind: list(documents.values())})}
    return shelf | {f"/v1/{kind}/{name}": _json(each) for name, each in documents.items()}


def _json(value: object) -> Stored:
    return Stored(orjson.dumps(value))
