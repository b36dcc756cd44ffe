"""Web: the paths. Each leaves its work to other modules, and refuses only by raising a refusal."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Iterator
from typing import Final

import orjson
from flask import Blueprint, Response, g, request
from werkzeug.exceptions import NotFound

from service import RELEASE
from service.answer import answer, answer_for_sheets
from service.drawings.parts import Subject
from service.drawings.sheets import SHEETS, SUFFIXES, make_sheet
from service.web.batch import Batch
from service.web.body import check_length, read_body
from service.web.draining import DRAIN
from service.web.errors import WebRefusal
from service.web.hooks import log_later, notes
from service.web.intake import Intake
from service.web.load import InFlight
from service.web.metrics import MEDIA
from service.web.negotiation import choose, prefer, take, want
from service.web.state import State, state
from service.wire.decode import decode
from service.wire.publishing.paths import JSON, NDJSON, PLAIN

routes = Blueprint("routes", __name__)


_SHEET_FOLDER: Final = "/v1/sheets/"
_FOLDERS: Final = ("/v1/kits/", "/v1/codes/", "/v1/schemas/", "/v1/docs/", "/counter/")
"""Folders of stored replies."""


def check_path() -> None:
    """Refuse (404) a path at which there is nothing, whatever the method.

    Routing alone would find a method wrong for a kit or a sheet that is not there, and drop all but
    one of the slashes with which a path begins.
    """
    path = request.path
    folder, _, name = path.rpartition("/")
    if request.environ["PATH_INFO"].startswith("//"):
        request.url_rule = None
        raise NotFound
    if f"{folder}/" == _SHEET_FOLDER and name not in SHEETS:
        raise WebRefusal("not_found", f"There is no such sheet; there are {', '.join(SHEETS)}.")
    shelf = state().shelf
    if f"{folder}/" in _FOLDERS and path not in shelf:
        raise WebRefusal("not_found", _not_here(sorted(shelf)))


@routes.post("/v1/layout")
def layout() -> Response:
    """A deck document in, a layout document out."""
    now = state()
    check_length(request, now.settings.body_limit)
    want(request, JSON)
    take(request, (JSON,))
    with one_deck(now) as body:
        answered = answer(body, now.catalogue)
        notes().digest, notes().bays = answered.digest, answered.bays
    return Response(answered.body, mimetype=JSON)


@routes.post("/v1/layouts")
def layouts() -> Response:
    """Deck documents in, one a line; answers out, one a line."""
    now = state()
    check_length(request, now.settings.batch_bytes)
    media = choose(request, NDJSON)
    take(request, NDJSON)
    with contextlib.ExitStack() as held:
        held.enter_context(under_way(now.batches, "batches"))
        held.enter_context(under_way(now.in_flight))
        intake = Intake(request.environ, now.settings.batch_bytes, now.settings.batch_lines)
        held.callback(intake.close)
        batch = Batch(intake, now, g.request_id)
        batch.begin()
        kept = held.pop_all()
    response = Response(release_after(batch.replies(), kept), mimetype=media)
    log_later(response, batch.fields, lambda: intake.received)
    response.call_on_close(kept.close)
    return response


@routes.post("/v1/sheets/<name>")
def sheet(name: str) -> Response:
    """A deck document in, a drawing or list of its layout out."""
    now = state()
    check_length(request, now.settings.body_limit)
    media = prefer(request, SHEETS[name].medias)
    take(request, (JSON,))
    with one_deck(now) as body:
        reply, answered = answer_for_sheets(decode(body), now.catalogue)
        subject = Subject(
            reply, answered.deck, answered.kit, answered.code, answered.layout, answered.order
        )
        made = make_sheet(name, media, subject)
        notes().digest, notes().bays = reply["digest"], len(answered.layout.bays)
    response = Response(made, mimetype=media)
    response.headers["Content-Disposition"] = f'inline; filename="{name}.{SUFFIXES[media]}"'
    return response


@routes.get("/v1/kits")
@routes.get("/v1/kits/<name>")
@routes.get("/v1/codes")
@routes.get("/v1/codes/<name>")
@routes.get("/v1/schemas/<name>")
@routes.get("/v1/openapi.json")
@routes.get("/v1/limits")
@routes.get("/v1/docs")
@routes.get("/v1/docs/<name>")
def stored(name: str = "") -> Response:
    """The loaded kits and codes and the contract's own documents, all stored at the start."""
    return _from_shelf(shared=not state().settings.keys)


@routes.get("/")
@routes.get("/counter/<name>")
def counter(name: str = "") -> Response:
    """The counter page and its files. No key is needed to see an empty form."""
    return _from_shelf(shared=True)


def _from_shelf(*, shared: bool) -> Response:
    """The stored reply of the path asked for. shared: whether any cache may keep it."""
    return state().shelf[request.path].reply(request, shared=shared)


def _not_here(paths: Iterable[str]) -> str:
    """A message that nothing is here, with the names beside it; the path is not repeated."""
    folder = f"{request.path.rpartition('/')[0]}/"
    beside = [path.removeprefix(folder) for path in paths if path.startswith(folder)]
    return f"Nothing of this name is loaded; there are {', '.join(beside)}."


@routes.get("/health/live")
def live() -> Response:
    """Says that the process answers, and no more."""
    want(request, JSON)
    return Response(orjson.dumps({"status": "live", "release": RELEASE}), mimetype=JSON)


@routes.get("/health/ready")
def ready() -> Response:
    """Says that a deck was laid out at the start. Refuses (503) once the service is to stop."""
    want(request, JSON)
    if DRAIN.under_way:
        raise WebRefusal("not_ready", "The service is about to stop.", Retry_After="5")
    shown = {"status": "ready", "release": RELEASE, "digest": state().readiness}
    return Response(orjson.dumps(shown), mimetype=JSON)


@routes.get("/metrics")
def metrics() -> Response:
    """The counts of all workers since the start."""
    want(request, PLAIN)
    return Response(state().metrics.write(), content_type=MEDIA)


def release_after(parts: Iterator[bytes], held: contextlib.ExitStack) -> Iterator[bytes]:
    """The parts of a reply, with `held` closed before the reply's last byte is sent.

    So a client that has read a reply to its end finds the place free that the reply had held.
    """
    with held:
        yield from parts


@contextlib.contextmanager
def one_deck(now: State) -> Iterator[bytes]:
    """The body of the request, with a place among the decks under way held for the block.

    The document counts as one without bays until the block says otherwise.
    """
    body = read_body(request, now.settings.body_limit)
    noted = notes()
    noted.received = len(body)
    with under_way(now.in_flight):
        noted.bays = 0
        yield body


@contextlib.contextmanager
def under_way(in_flight: InFlight, what: str = "decks") -> Iterator[None]:
    """Hold a place among the decks or batches under way for the block. Refuses (503) where none is
    free."""
    with in_flight.place() as placed:
        if not placed:
            message = f"Of {what} {in_flight.places} may be under way at once; try again in 1 s."
            raise WebRefusal("busy", message, Retry_After="1")
        yield
