"""Wire: the paths of the OpenAPI document, with the replies that each may give (`paths`)."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any, Final

from service import RELEASE
from service.refusals import KINDS
from service.wire.forms.strict import reference
from service.wire.publishing.components import ROOTS
from service.wire.publishing.examples import replies, requests

Json = dict[str, Any]
Sheets = Mapping[str, Sequence[str]]
"""The media types of each sheet by the sheet's name, the default first."""
JSON: Final = "application/json"
PROBLEM: Final = "application/problem+json"
PLAIN: Final = "text/plain"
NDJSON: Final = ("application/x-ndjson", "application/ndjson", "application/jsonl")
"""Media types of newline-delimited JSON, none of them registered. The first is the default."""

STATUSES: Final = (400, 401, 404, 406, 408, 412, 413, 415, 422, 429, 503)
"""Statuses of the refusals that operations name; `default` stands for the others."""
HEADERS: Final[dict[str, Json]] = {
    "Release": {
        "description": "The release of the service.",
        "schema": {"type": "string", "examples": [RELEASE]},
    },
    "X-Request-Id": {
        "description": "The id of the request: the one sent, or a new one.",
        "schema": {"type": "string", "maxLength": 64},
    },
    "Cache-Control": {"description": "How long a copy may be used.", "schema": {"type": "string"}},
    "Content-Disposition": {
        "description": "The name of the file.",
        "schema": {"type": "string"},
    },
    "ETag": {"description": "The tag of this copy.", "schema": {"type": "string"}},
    "Retry-After": {
        "description": "Seconds after which to try again.",
        "schema": {"type": "string", "pattern": "^[0-9]+$"},
    },
    "WWW-Authenticate": {"description": "How to send a key.", "schema": {"type": "string"}},
    "Allow": {
        "description": "Of a 405: the methods that the path takes.",
        "schema": {"type": "string"},
    },
    "Accept-Post": {
        "description": "The types that are read, where another was sent.",
        "schema": {"type": "string"},
    },
    "Accept-Encoding": {
        "description": "`identity`, where a compressed body was sent.",
        "schema": {"type": "string"},
    },
}
OF_EVERY_REPLY: Final = ("Release", "X-Request-Id", "Cache-Control")
OF_REFUSALS: Final[dict[int | None, tuple[str, ...]]] = {
    401: ("WWW-Authenticate",),
    415: ("Accept-Post", "Accept-Encoding"),
    429: ("Retry-After",),
    503: ("Retry-After",),
    None: ("Allow", "Retry-After"),
}
"""Headers that a refusal has besides those of every reply, by status; None is any other status."""
PARAMETERS: Final[dict[str, Json]] = {
    "RequestId": {
        "name": "X-Request-Id",
        "in": "header",
        "description": (
            "An id to find this request by: 1 to 64 of A-Z a-z 0-9 . _ -. It is echoed and logged; "
            "one with anything else in it is replaced by a new one."
        ),
        "schema": {"type": "string"},
    },
    "IfNoneMatch": {
        "name": "If-None-Match",
        "in": "header",
        "description": "Tags of the copies that you have; 304 where one of them is current.",
        "schema": {"type": "string"},
    },
}


def refusal(status: int | None) -> Json:
    """The OpenAPI response of a refusal with this status, in the words of its kinds' titles; None
    stands for any other status."""
    titles = [kind.title for kind in KINDS.values() if kind.status == status]
    first, *others = titles or ["Any other refusal"]
    words = ", or ".join([first, *(title[0].lower() + title[1:] for title in others)])
    return {
        "description": f"{words}.",
        "headers": _headers(*OF_EVERY_REPLY, *OF_REFUSALS.get(status, ())),
        "content": {PROBLEM: {"schema": reference("Problem")}},
    }


def paths(sheets: Sheets) -> dict[str, Json]:
    """Every path of the service with its OpenAPI operations. sheets: media types of each sheet."""
    return {
        "/v1/layout": {"post": _layout()},
        "/v1/layouts": {"post": _layouts()},
        "/v1/sheets/{sheet}": {"post": _sheet(sheets)},
        **_catalogue("kits", "kit", "Kit"),
        **_catalogue("codes", "code", "Code"),
        "/v1/schemas/{name}.json": {"get": _schema()},
        "/v1/openapi.json": {"get": _stored("openapi", "This document", reference("OpenApi"))},
        "/v1/limits": {"get": _stored("limits", "The published limits", reference("Limits"))},
        "/v1/docs": {"get": _docs()},
        "/": {"get": _counter()},
        "/health/live": {"get": _health("live", "Whether the process answers", [])},
        "/health/ready": {"get": _health("ready", "Whether it can take work", [503])},
        "/metrics": {"get": _metrics()},
    }


_PDF: Final = "application/pdf"
_FIRST: Final = ("against-a-house", "tape-walk")
"""Names of the examples that are also shown for sheets and for batches."""
_LOADED: Final = {"kit": "picket-glass-surface-in", "code": "us-irc-2021"}


def _headers(*names: str) -> Json:
    return {name: {"$ref": f"#/components/headers/{name}"} for name in names}


def _refusals(*statuses: int) -> Json:
    named = {str(status): {"$ref": f"#/components/responses/{status}"} for status in statuses}
    return {**named, "default": {"$ref": "#/components/responses/default"}}


def _reply(words: str, schema: Json, *headers: str) -> Json:
    return {
        "description": words,
        "headers": _headers(*OF_EVERY_REPLY, *headers),
        "content": {JSON: {"schema": schema}},
    }


def _operation(name: str, summary: str, tag: str, responses: Json, **more: Any) -> Json:
    parameters = ["RequestId", *more.pop("parameters", ())]
    return {
        "operationId": name,
        "summary": summary,
        "tags": [tag],
        "parameters": parameters,
        **more,
        "responses": responses,
    }


def _layout() -> Json:
    reply = _reply("The layout.", reference("Layout"))
    reply["content"] = {JSON: _shown(reference("Layout"), examples=replies())}
    return _operation(
        "layout",
        "Lay out a deck",
        "Layout",
        {"200": reply, **_refusals(400, 401, 406, 408, 413, 415, 422, 429, 503)},
        description=(
            "A deck document in, a layout document out. The same document gives the same bytes, "
            "on any machine."
        ),
        requestBody=_body({JSON: _shown(reference("Deck"), examples=requests())}),
    )


def _layouts() -> Json:
    words = (
        "One document a line, each a deck as at /v1/layout. Blank lines are skipped but counted; "
        "the last line needs no line end."
    )
    # OpenAPI 3.1 cannot say what one line of a body holds, so the words and x-line do.
    sent = {"type": "string", "pattern": "[^ \\t\\r\\n]", "description": words}
    given = {"type": "string", "description": "The answers in the order of the documents."}
    decks = [each["value"] for name, each in requests().items() if name in _FIRST]
    batch = "".join(f"{json.dumps(deck)}\n" for deck in decks)
    reply = _reply("One answer a line.", {})
    reply["content"] = {media: _lines(given, "BatchLine") for media in NDJSON}
    return _operation(
        "layouts",
        "Lay out many decks",
        "Layout",
        {"200": reply, **_refusals(400, 401, 406, 408, 413, 415, 429, 503)},
        description=(
            "One document a line in (NDJSON), one answer a line out, in the same order and as "
            "soon as it is there. Each document gets the layout, byte for byte, or the problem "
            "that it would get at /v1/layout; one that is wrong does not touch the rest. Where "
            "the answers have to end early, a last line says why and is marked `ended`. Answers "
            "begin once the body has arrived or its sender pauses for half a second. The limits "
            "are at /v1/limits."
        ),
        requestBody=_body({media: _lines(sent, "Deck", example=batch) for media in NDJSON}),
    )


def _sheet(sheets: Sheets) -> Json:
    """The one operation for all sheets; its description lists the media types of each.

    Clients that take the first type for all get bytes, as PDF is first.
    """
    medias = dict.fromkeys([_PDF, *(media for each in sheets.values() for media in each)])
    reply = _reply("The sheet.", {}, "Content-Disposition")
    reply["content"] = {media: {"schema": _file(media)} for media in medias}
    told = "; ".join(f"`{name}` as {', '.join(each)}" for name, each in sheets.items())
    sent = {name: each for name, each in requests().items() if name in _FIRST}
    return _operation(
        "sheet",
        "Draw or list a deck",
        "Layout",
        {"200": reply, **_refusals(400, 401, 404, 406, 408, 413, 415, 422, 429, 503)},
        description=(
            "A deck document in, a drawing or a list of its layout out, with the layout's digest "
            f"on it. `Accept` picks the format, the first of these where it prefers none: {told}."
        ),
        parameters=[_in_path("sheet", {"type": "string", "enum": list(sheets)})],
        requestBody=_body({JSON: _shown(reference("Deck"), examples=sent)}),
    )


def _file(media: str) -> Json:
    """The schema of a reply that is a file: text, or bytes for a PDF."""
    return {"type": "string", **({"format": "binary"} if media == _PDF else {})}


def _lines(schema: Json, component: str, **shown: Any) -> Json:
    return {"schema": schema, "x-line": reference(component), **_given(shown)}


def _shown(schema: Json, **shown: Any) -> Json:
    return {"schema": schema, **_given(shown)}


def _given(shown: Json) -> Json:
    """Examples as members of a media type; none where their folder is missing."""
    return {name: value for name, value in shown.items() if value}


def _body(content: Json) -> Json:
    return {"required": True, "content": content}


def _stored(
    name: str, summary: str, schema: Json, *parameters: str | Json, refusals: tuple[int, ...] = ()
) -> Json:
    unchanged = {
        "description": "Your copy is current.",
        "headers": _headers(*OF_EVERY_REPLY, "ETag"),
    }
    responses = {
        "200": _reply(f"{summary}.", schema, "ETag"),
        "304": unchanged,
        **_refusals(401, *refusals, 406, 412, 429),
    }
    tagged = ["IfNoneMatch", *parameters]
    return _operation(name, summary, "Documents", responses, parameters=tagged)


def _in_path(name: str, schema: Json, **more: Any) -> Json:
    return {"name": name, "in": "path", "required": True, "schema": schema, **more}


def _catalogue(plural: str, kind: str, component: str) -> dict[str, Json]:
    one = reference(component)
    named = _in_path("id", {"type": "string"}, example=_LOADED[kind])
    return {
        f"/v1/{plural}": {
            "get": _stored(
                plural,
                f"All {plural} that are loaded, each as it may be sent inline",
                reference(plural.capitalize()),
            )
        },
        f"/v1/{plural}/{{id}}": {
            "get": _stored(
                kind, f"One {kind}, as it may be sent inline", one, named, refusals=(404,)
            )
        },
    }


def _schema() -> Json:
    named = _in_path("name", {"type": "string", "enum": list(ROOTS)})
    words = "A schema of the contract (JSON Schema 2020-12)"
    return _stored("schema", words, reference("JsonSchema"), named, refusals=(404,))


def _page(name: str, summary: str) -> Json:
    operation = _stored(name, summary, {})
    operation["responses"]["200"]["content"] = {"text/html": {"schema": {"type": "string"}}}
    return operation


def _docs() -> Json:
    return _page("docs", "This API as a page, with nothing loaded from outside")


def _counter() -> Json:
    operation = _page("counter", "The counter page: a browser client of the same paths")
    for status in ("401", "429"):
        # The page needs no key and has no rate limit; its own requests under /v1/ have both.
        del operation["responses"][status]
    return {**operation, "security": []}


def _health(name: str, summary: str, refusals: list[int]) -> Json:
    responses = {"200": _reply(f"{summary}.", reference("Health")), **_refusals(406, *refusals)}
    return {**_operation(name, summary, "Health", responses), "security": []}


def _metrics() -> Json:
    reply = _reply("The counts.", {})
    reply["content"] = {PLAIN: {"schema": {"type": "string"}}}
    operation = _operation(
        "metrics",
        "What was counted since the start, over all workers",
        "Health",
        {"200": reply, **_refusals(406)},
        description=(
            "In the text format of Prometheus, version 0.0.4: requests by method, route and "
            "status, their seconds and bytes, documents laid out and refused, bays, requests "
            "under way, and the release."
        ),
    )
    return {**operation, "security": []}
