"""Wire: components of the OpenAPI document for objects that no form reads or writes (`OBJECTS`).

A client generator names a class after its component. An object that stands in a path itself has
none, and its class is named after the path and the status, such as KitsResponse200.
"""

from __future__ import annotations

from typing import Any, Final

from service.wire.forms.strict import reference

Json = dict[str, Any]


def _loaded(plural: str, component: str) -> Json:
    """The schema of everything of one kind that is loaded."""
    return {
        "title": plural.capitalize(),
        "description": f"All {plural} that are loaded, each as it may be sent inline.",
        "type": "object",
        "required": [plural],
        "properties": {plural: {"type": "array", "items": reference(component)}},
    }


OBJECTS: Final[dict[str, Json]] = {
    "Kits": _loaded("kits", "Kit"),
    "Codes": _loaded("codes", "Code"),
    "Limits": {
        "title": "Limits",
        "description": (
            "What a request may hold at most, by name; `body`, `line` and `batch_bytes` in bytes, "
            "`batch_seconds` in seconds."
        ),
        "type": "object",
        "properties": {"body": {"type": "integer", "description": "Bytes of a request body."}},
        "additionalProperties": {"type": "integer"},
        "required": ["body"],
    },
    "Health": {
        "title": "Health",
        "description": "How the service is.",
        "type": "object",
        "required": ["status", "release"],
        "properties": {
            "status": {"type": "string"},
            "release": {"type": "string"},
            "digest": {
                "type": "string",
                "description": "Digest of the deck that was laid out at the start.",
            },
        },
    },
    "JsonSchema": {
        "title": "JSON Schema",
        "description": "A JSON Schema, 2020-12.",
        "type": "object",
    },
    "OpenApi": {
        "title": "OpenAPI",
        "description": "An OpenAPI document, 3.1.",
        "type": "object",
    },
}
"""The components by name."""
