"""Web: the paths. Each asks elsewhere; none knows a status but through a refusal."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Iterator

import orjson
from flask import Blueprint, Response, g, request

from service import RELEASE
from service.answer import answer, answer_for_sheets
from service.drawings.parts import Subject
from service.drawings.sheets import SHEETS, SUFFIXES, make_sheet
from service.web.batch import Batch
from service.web.body import check_length, read_body
from service.web.draining import DRAIN
from service.web.errors import WebRefusal
from service.web.every import tell_later, told
from service.web.intake import Intake
from service.web.load import InFlight
from service.web.metrics import MEDIA
from service.web.negotiation import choose, prefer, take, take_json, want
from service.web.state import State, state
from service.wire.decode import decode
from service.wire.publishing.paths import JSON, NDJSON, PLAIN

routes = Blueprint("routes", __name__)


@routes.post("/v1/layout")
def layout() -> Response:
    """A deck document in, a layout document out."""
    now = state()
    check_length(request, now.settings.body_limit)
    want(request, JSON)
    take_json(request)
    with one_deck(now) as body:
        answered = answer(body, now.catalogue)
        told().digest, told().bays = answered.digest, answered.bays
    return Response(answered.body, mimetype=JSON)


@routes.post("/v1/layouts")
def layouts() -> Response:
    """A deck document a line in, an answer a line out."""
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
    tell_later(response, batch.fields, lambda: intake.received)
    response.call_on_close(kept.close)
    return response


@routes.post("/v1/sheets/<name>")
def sheet(name: str) -> Response:
    """A deck document in, a drawing or a list out."""
    now = state()
    asked = SHEETS.get(name)
    if asked is None:
        raise WebRefusal("not_found", f"There is no such sheet; there are {', '.join(SHEETS)}.")
    check_length(request, now.settings.body_limit)
    media = prefer(request, asked.medias)
    take_json(request)
    with one_deck(now) as body:
        reply, answered = answer_for_sheets(decode(body), now.catalogue)
        subject = Subject(reply, answered.deck, answered.kit, answered.code, answered.layout)
        made = make_sheet(name, media, subject)
        told().digest, told().bays = reply["digest"], len(answered.layout.bays)
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
    """What is loaded, and the contract itself: made ready at the start."""
    return _from_shelf(shared=not state().settings.keys)


@routes.get("/")
@routes.get("/counter/<name>")
def counter(name: str = "") -> Response:
    """The counter page and what it loads: no key is wanted to see an empty form."""
    return _from_shelf(shared=True)


def _from_shelf(*, shared: bool) -> Response:
    """What is kept for the path that was asked for, or a refusal (404)."""
    shelf = state().shelf
    found = shelf.get(request.path)
    if found is None:
        raise WebRefusal("not_found", _not_here(sorted(shelf)))
    return found.reply(request, shared=shared)


def _not_here(paths: Iterable[str]) -> str:
    """That there is nothing here, and what is beside it; nothing of the path is said again."""
    folder = f"{request.path.rpartition('/')[0]}/"
    beside = [path.removeprefix(folder) for path in paths if path.startswith(folder)]
    return f"Nothing of this name is loaded; there are {', '.join(beside)}."


@routes.get("/health/live")
def live() -> Response:
    """The process answers, and that is all it says."""
    want(request, JSON)
    return Response(orjson.dumps({"status": "live", "release": RELEASE}), mimetype=JSON)


@routes.get("/health/ready")
def ready() -> Response:
    """A deck was laid out at the start, and the service is not about to stop."""
    want(request, JSON)
    if DRAIN.under_way:
        raise WebRefusal("not_ready", "The service is about to stop.", Retry_After="5")
    shown = {"status": "ready", "release": RELEASE, "digest": state().readiness}
    return Response(orjson.dumps(shown), mimetype=JSON)


@routes.get("/metrics")
def metrics() -> Response:
    """What was counted since the start, over all workers."""
    want(request, PLAIN)
    return Response(state().metrics.write(), content_type=MEDIA)


def release_after(parts: Iterator[bytes], held: contextlib.ExitStack) -> Iterator[bytes]:
    """The parts of a reply; what is held is let go before the last byte of it is sent.

    Whoever has read a reply to its end finds the place free that it held.
    """
    with held:
        yield from parts


@contextlib.contextmanager
def one_deck(now: State) -> Iterator[bytes]:
    """The document that was sent, while its place among the decks under way is held. It counts as
    one without bays until more is told of it."""
    body = read_body(request, now.settings.body_limit)
    told().received = len(body)
    with under_way(now.in_flight):
        told().bays = 0
        yield body


@contextlib.contextmanager
def under_way(in_flight: InFlight, what: str = "decks") -> Iterator[None]:
    """Hold a place among the decks, or the batches, under way, or refuse (503)."""
    with in_flight.place() as placed:
        if not placed:
            message = f"Of {what} {in_flight.places} may be under way at once; try again in 1 s."
            raise WebRefusal("busy", message, Retry_After="1")
        yield
