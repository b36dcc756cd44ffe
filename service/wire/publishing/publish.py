"""Wire: the text of the published schemas and of the OpenAPI document (`published`)."""

from __future__ import annotations

import json
from typing import Any, Final

from service.wire.publishing.components import components, new_spec, schemas
from service.wire.publishing.objects import OBJECTS
from service.wire.publishing.paths import HEADERS, PARAMETERS, STATUSES, Sheets, paths, refusal

_WORDS: Final = (
    "Lays out aluminium deck guards: from a measured deck to the places of posts, rail cuts, "
    "pickets, glass and findings.\n\n"
    "Name a kit of `/v1/kits` and a code of `/v1/codes` in a deck, or send your own inline. "
    "Lengths are in the unit that the document names; angles in degrees, counter-clockwise "
    "positive; x to the right and y up in plan. Every refusal is a problem document (RFC 9457) "
    "with the place of each fault. Within version 1 members may be added, never removed or "
    "given another meaning."
)

_SERVERS: Final = [{"url": "..", "description": "The service that this document came from."}]
"""Relative to /v1/openapi.json: paths begin where `/v1` stands, at the root or under a prefix."""

_TAGS: Final = {
    "Layout": "A deck in; its layout, drawings and lists out.",
    "Documents": "What is loaded, and the contract. Each has an `ETag`.",
    "Health": "For whoever runs the service; no key is asked for.",
}


def openapi(sheets: Sheets) -> dict[str, Any]:
    """The OpenAPI 3.1 document. sheets: the media types of each sheet, by the sheet's name."""
    spec = new_spec(
        info={"description": _WORDS},
        servers=_SERVERS,
        security=[{}, {"bearer": []}],
        tags=[{"name": name, "description": words} for name, words in _TAGS.items()],
    )
    spec.components.schemas |= components() | OBJECTS
    spec.components.security_scheme("bearer", {"type": "http", "scheme": "bearer"})
    for name, header in HEADERS.items():
        spec.components.header(name, header)
    for status in STATUSES:
        spec.components.response(str(status), refusal(status))
    spec.components.response("default", refusal(None))
    for name, parameter in PARAMETERS.items():
        spec.components.parameter(name, "header", parameter)
    for path, operations in paths(sheets).items():
        spec.path(path=path, operations=operations)
    document: dict[str, Any] = spec.to_dict()
    return document


def published(sheets: Sheets) -> dict[str, str]:
    """The text of every published file, by file name. sheets: as for `openapi`."""
    documents = {f"{name}.json": schema for name, schema in schemas().items()}
    documents["openapi.json"] = openapi(sheets)
    return {
        name: json.dumps(document, indent=2, ensure_ascii=False) + "\n"
        for name, document in documents.items()
    }
