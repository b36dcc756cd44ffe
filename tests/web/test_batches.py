"""POST /v1/layouts in process: what each line gets, and what refuses a whole batch."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import io
import json
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator

import service.batch
from service import RELEASE
from service.answer import answer
from service.batch import Line, split_lines
from service.web import spool
from service.web.arrival import Plain
from service.web.heart import HEART
from service.wire.publishing.components import schema_of_line
from tests.web.conftest import Make
from tests.web.running import ROOT

if TYPE_CHECKING:
    from _typeshed import ReadableBuffer as Buffer

EXAMPLES = sorted((ROOT / "schema" / "examples").glob("*.request.json"))
NDJSON = "application/x-ndjson"
KEY = "k" * 20


def post(client: FlaskClient, body: bytes, **headers: str) -> Any:
    """The reply to a batch, read whole and closed."""
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    reply = client.post("/v1/layouts", data=body, headers={"Content-Type": NDJSON, **named})
    reply.get_data()
    reply.close()
    return reply


def told(client: FlaskClient, body: bytes) -> list[dict[str, Any]]:
    """The lines of the reply to a batch that is not refused as a whole."""
    reply = post(client, body)
    assert (reply.status_code, reply.mimetype) == (200, NDJSON), reply.data
    assert reply.data.endswith(b"\n")
    return [json.loads(line) for line in reply.data.splitlines()]


def one(deck: dict[str, Any], **more: Any) -> bytes:
    """A deck as one line of a batch."""
    return json.dumps({**deck, **more}).encode()


def slugs(lines: list[dict[str, Any]]) -> list[str]:
    """For each line, the code of its first problem, or `layout`."""
    return [
        line["problem"]["errors"][0]["code"] if "problem" in line else "layout" for line in lines
    ]


def test_each_line_gets_what_it_would_get_alone(client: FlaskClient) -> None:
    """Each line's answer is, byte for byte, the reply to the same document sent alone: layouts and
    problems, for every example and for what is no document."""
    bodies = [json.dumps(json.loads(path.read_bytes())).encode() for path in EXAMPLES]
    bodies += [b"[]", b'{"unit": NaN}', b"{", b"\xff", b"nul", b'{"unit":"in","unit":"in"}']
    lines = post(client, b"\n".join(bodies)).data.splitlines()
    assert len(lines) == len(bodies) > 15
    for number, (body, line) in enumerate(zip(bodies, lines, strict=True), 1):
        alone = client.post("/v1/layout", data=body, content_type="application/json")
        member = b"layout" if alone.status_code == 200 else b"problem"
        expected = b'{"line":%d,"status":%d,"%s":%s}' % (
            *(number, alone.status_code, member),
            alone.data,
        )
        assert line == expected


def test_every_line_of_a_reply_fits_its_published_schema(
    client: FlaskClient, deck: dict[str, Any]
) -> None:
    """A library other than the service's own checks each line against the schema."""
    judge = Draft202012Validator(schema_of_line())
    for line in told(client, one(deck) + b"\n{}\n" + one(deck, kit="none")):
        judge.validate(line)


def test_lines_are_counted_with_the_blank_ones(client: FlaskClient, deck: dict[str, Any]) -> None:
    """Lines of white space alone are counted but not answered; a line may end in LF or CR LF, and
    the last needs no line end."""
    body = b"\n" + one(deck) + b"\r\n \t\r\n\n{}\n" + one(deck)
    lines = told(client, body)
    assert [line["line"] for line in lines] == [2, 5, 6]
    assert [line["status"] for line in lines] == [200, 400, 200]


def test_one_bad_line_of_each_kind_spoils_no_other(make_client: Make, deck: dict[str, Any]) -> None:
    """A line that is not JSON, not UTF-8, too long, not fitting or not buildable is refused by
    itself; the good line after each is laid out."""
    client = make_client(body_limit=2048, log_level="error")
    good = one(deck)
    bad = [b"{", b'"\xff"', good + b" " * 2048, b"{}", one(deck, kit="none")]
    lines = told(client, b"\n".join(part for line in bad for part in (line, good)))
    assert [line["status"] for line in lines] == [400, 200, 400, 200, 413, 200, 400, 200, 422, 200]
    found = slugs(lines)
    assert found[::2] == ["not_json", "not_utf_8", "body_too_long", "missing_member", "unknown_kit"]
    assert "2048" in lines[4]["problem"]["detail"]
    layouts = [line["layout"] for line in lines[1::2]]
    assert all(layout == layouts[0] for layout in layouts)


def test_a_line_of_exactly_the_limit_is_taken(make_client: Make, deck: dict[str, Any]) -> None:
    """A line of exactly the limit is laid out, like a body of that length; one byte more is
    refused."""
    client = make_client(body_limit=1024, log_level="error")
    full = one(deck).ljust(1024)
    lines = told(client, full + b"\n" + full + b" \n" + full)
    assert [line["status"] for line in lines] == [200, 413, 200]


@pytest.mark.parametrize("body", [b"", b"\n", b" \r\n\t\n  "])
def test_a_batch_without_a_document_is_400(client: FlaskClient, body: bytes) -> None:
    """An empty body, or blank lines alone, is refused: an empty reply would look like success."""
    reply = post(client, body)
    assert (reply.status_code, reply.get_json()["errors"][0]["code"]) == (400, "empty_body")


def test_a_vertical_tab_is_no_blank_line(client: FlaskClient) -> None:
    """A vertical tab or form feed is not white space, as JSON's white space is space, tab, CR and
    LF alone (RFC 8259, section 2)."""
    assert [line["status"] for line in told(client, b"\x0b\n\x0c")] == [400, 400]


@pytest.mark.parametrize("media", ["application/x-ndjson", "application/ndjson; charset=utf-8"])
def test_each_name_of_the_type_is_taken(
    client: FlaskClient, deck: dict[str, Any], media: str
) -> None:
    """Each name of the media type is taken; another type gets 415, and Accept-Post with the
    names."""
    assert post(client, one(deck), Content_Type=media).status_code == 200
    refused = post(client, one(deck), Content_Type="application/json")
    assert refused.status_code == 415
    assert NDJSON in refused.headers["Accept-Post"]


@pytest.mark.parametrize(
    ("accept", "given"),
    [
        ("*/*", NDJSON),
        ("application/jsonl", "application/jsonl"),
        ("application/json", None),
        (f"*/*, {NDJSON};q=0", "application/ndjson"),
    ],
)
def test_the_reply_is_of_a_type_that_is_asked_for(
    client: FlaskClient, deck: dict[str, Any], accept: str, given: str | None
) -> None:
    """The reply has the first of the three media types that Accept allows; where it allows none of
    them, the reply is 406."""
    reply = post(client, one(deck), Accept=accept)
    assert reply.status_code == (200 if given else 406)
    assert given in (None, reply.mimetype)


def test_a_batch_over_a_limit_is_413(make_client: Make) -> None:
    """A batch with too many lines (blank ones counted) or too many bytes is refused as a whole."""
    client = make_client(batch_lines=3, batch_bytes=2048, log_level="error")
    assert len(told(client, b"{}\n\n{}\n")) == 2
    assert len(told(client, b"{}\n\n{}")) == 2
    many = post(client, b"{}\n\n\n{}")
    assert (many.status_code, many.get_json()["errors"][0]["code"]) == (413, "too_many")
    assert len(told(client, b"{}" + b" " * 2046)) == 1
    long = post(client, b" " * 2049)
    assert (long.status_code, long.get_json()["errors"][0]["code"]) == (413, "body_too_long")


def test_the_limits_are_published(make_client: Make) -> None:
    """/v1/limits gives the limits as they are set."""
    client = make_client(batch_lines=3, batch_bytes=2048, batch_timeout=9, body_limit=1024)
    limits = client.get("/v1/limits").get_json()
    assert [limits[name] for name in ("line", "batch_lines", "batch_bytes", "batch_seconds")] == [
        *(1024, 3, 2048, 9)
    ]


def test_a_key_is_wanted_where_keys_are_set(make_client: Make, deck: dict[str, Any]) -> None:
    """A batch needs a key, as every path of the contract does."""
    client = make_client(keys=(KEY,), log_level="error")
    assert post(client, one(deck)).status_code == 401
    assert post(client, one(deck), Authorization=f"Bearer {KEY}").status_code == 200


@pytest.mark.usefixtures("standing")
def test_a_batch_is_one_request_to_the_rate(make_client: Make, deck: dict[str, Any]) -> None:
    """A batch of three decks counts as one request to the rate; the next request is one too
    many."""
    client = make_client(rate=1.0, log_level="error")
    assert len(told(client, (one(deck) + b"\n") * 3)) == 3
    assert post(client, one(deck)).status_code == 429


@pytest.mark.parametrize(
    ("settings", "alone"), [({"in_flight": 1, "batches": 2}, 503), ({"batches": 1}, 200)]
)
def test_a_batch_holds_a_place_until_it_ends(
    make_client: Make, deck: dict[str, Any], settings: dict[str, int], alone: int
) -> None:
    """While a batch is open, a second one gets 503, and so does a deck sent alone where the limit
    is on decks under way. Once the first batch is closed there is room again."""
    client = make_client(log_level="error", **settings)
    with client.post("/v1/layouts", data=one(deck), content_type=NDJSON, buffered=False) as first:
        assert first.status_code == 200
        busy = post(client, one(deck))
        assert (busy.status_code, busy.headers["Retry-After"]) == (503, "1")
        assert client.post("/v1/layout", json=deck).status_code == alone
    assert post(client, one(deck)).status_code == 200


def test_a_reply_has_the_headers_of_every_reply(client: FlaskClient, deck: dict[str, Any]) -> None:
    """The reply has Release and the request id, forbids guessing its type, and is not to be
    cached."""
    reply = post(client, one(deck), X_Request_Id="job-17")
    assert (reply.headers["Release"], reply.headers["X-Request-Id"]) == (RELEASE, "job-17")
    assert reply.headers["X-Content-Type-Options"] == "nosniff"
    assert reply.headers["Cache-Control"] == "no-store"


def test_a_batch_is_one_line_of_log(
    make_client: Make, deck: dict[str, Any], capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """The log gets one line, when the batch has ended: how many lines it had and what they got, but
    nothing of what they said."""
    client = make_client()
    capfdbinary.readouterr()
    secret = "A house that nobody should read of"
    reply = post(client, one(deck, title=secret) + b"\n\n{}\n{}", X_Request_Id="job-9")
    logged = capfdbinary.readouterr().err
    (line,) = map(json.loads, logged.splitlines())
    assert (line["id"], line["path"], line["status"]) == ("job-9", "/v1/layouts", 200)
    assert (line["lines"], line["answers"], line["ended"]) == (4, {"200": 1, "400": 2}, "whole")
    assert line["bytes"] == len(reply.data)
    assert line["digest"].startswith("sha256:")
    assert secret.encode() not in logged


def test_the_log_tells_the_digest_of_all_layouts(
    make_client: Make, deck: dict[str, Any], capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """The digest in the log is SHA-256 over the digests of the layouts, one a line, in order;
    refusals have none."""
    client = make_client()
    capfdbinary.readouterr()
    lines = told(client, one(deck, title="a") + b"\n{}\n" + one(deck, title="b"))
    own = "".join(line["layout"]["digest"] + "\n" for line in lines if "layout" in line)
    assert own.count("sha256:") == 2
    logged = json.loads(capfdbinary.readouterr().err)
    assert logged["digest"] == "sha256:" + hashlib.sha256(own.encode()).hexdigest()


class Pausing:
    """A body that arrives in pieces, with a pause after each, and may end in an error."""

    def __init__(self, *pieces: bytes | BaseException) -> None:
        self.pieces = [*pieces, b""]

    def read(self, _most: int = -1) -> bytes:
        """The next piece; an error among the pieces is raised."""
        piece = self.pieces.pop(0)
        if isinstance(piece, BaseException):
            raise piece
        return piece


def pour(client: FlaskClient, body: Pausing) -> Any:
    """The reply to a batch whose body arrives in this way, read whole and closed."""
    reply = client.post(
        "/v1/layouts", environ_overrides={"wsgi.input": body}, headers={"Content-Type": NDJSON}
    )
    reply.get_data()
    reply.close()
    return reply


@pytest.fixture
def gathered(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[bool]]:
    """A list of whether the next piece comes without a pause; once it is used up, none does. The
    test has to use all of it."""
    at_once: list[bool] = []
    monkeypatch.setattr(Plain, "soon", lambda *_: bool(at_once) and at_once.pop(0))
    yield at_once
    assert at_once == []


@pytest.mark.parametrize(
    ("pieces", "status", "code", "said"),
    [
        ((b"{}\n", b"{}\n{}\n{}\n{}\n"), 413, "too_many", "more than 4 lines"),
        ((b"{}\n{}\n{}\n{}\n", b" " * 2037), 413, "body_too_long", "longer than 2048 bytes"),
        ((b"{}\n{}\n", b"{}\n{}\n", BlockingIOError()), 408, "request_timeout", "in line 5"),
        ((b"{}\n{}\n", b"{}\n{}\n", EOFError()), 400, "bad_request", "broke off in line 5"),
        (
            (b"{}\n{}\n{}\n", b"{}\n", SystemExit(1)),
            503,
            "overrun",
            "may; leave it out and send the rest",
        ),
        ((b"{}\n{}\n{}\n", b"{}\n", SystemExit(0)), 503, "not_ready", "is about to stop"),
    ],
)
def test_the_log_tells_what_cut_a_batch_short(
    make_client: Make,
    gathered: list[bool],
    capfdbinary: pytest.CaptureFixture[bytes],
    pieces: tuple[bytes | BaseException, ...],
    status: int,
    code: str,
    said: str,
) -> None:
    """The last line of the reply and the log name the same cause, whether the first lines were
    gathered before the first answer or came after it.

    At most four lines and 2,048 bytes are allowed (4 x 3 and 2,037 are 2,049); four lines were
    answered in each case.
    """
    for gathers in (0, 1):
        gathered[:] = [True] * gathers
        client = make_client(batch_lines=4, batch_bytes=2048)
        capfdbinary.readouterr()
        reply = pour(client, Pausing(*pieces))
        lines = [json.loads(line) for line in reply.data.splitlines()]
        assert [(line["line"], line["status"]) for line in lines] == [
            *((number, 400) for number in (1, 2, 3, 4)),
            (5, status),
        ]
        assert [line.get("ended", False) for line in lines] == [False] * 4 + [True]
        assert slugs(lines)[-1] == code
        assert said in lines[-1]["problem"]["detail"]
        logged = json.loads(capfdbinary.readouterr().err)
        answers = {"400": 5} if status == 400 else {"400": 4, str(status): 1}
        assert (logged["ended"], logged["lines"], logged["answers"]) == (code, 4, answers)
        assert logged["bytes"] == len(reply.data)


def test_a_body_gives_signs_of_life_with_its_lines(
    client: FlaskClient, gathered: list[bool], monkeypatch: pytest.MonkeyPatch
) -> None:
    """While a body arrives, before any answer, a piece with a line end gives a sign of life and one
    without gives none. So a sender of many lines is waited for longer than one line may take, and
    one that trickles is not."""
    beats: list[None] = []
    monkeypatch.setattr(HEART, "beat", lambda: beats.append(None))
    seen: list[int] = []

    class Noting(Pausing):
        def read(self, _most: int = -1) -> bytes:
            seen.append(len(beats))
            return super().read()

    gathered[:] = [True] * 5
    body = Noting(b"{}\n", b"{", b"}\n{}\n", b" ")
    assert pour(client, body).status_code == 200
    assert seen == [0, 1, 1, 2, 2]


def test_a_batch_whose_time_is_over_before_its_first_answer_is_503(
    client: FlaskClient, deck: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The batch took 301 s to arrive, where 300 are allowed: it is refused as a whole, and may be
    sent again after 5 s."""
    looks = iter([0.0, 301.0])
    monkeypatch.setattr(
        "service.web.batch.time", SimpleNamespace(monotonic=lambda: next(looks, 301.0))
    )
    reply = post(client, one(deck))
    assert (reply.status_code, reply.headers["Retry-After"]) == (503, "5")
    assert reply.get_json()["errors"][0]["code"] == "overrun"


@pytest.mark.parametrize(("workers", "told", "places"), [(4, 0, 3), (4, 2, 2), (1, 0, 1)])
def test_as_many_batches_at_once_as_are_told(
    make_client: Make, deck: dict[str, Any], workers: int, told: int, places: int
) -> None:
    """With four workers three batches may be open at once, so that one worker is left to other
    requests; with one worker, one. Where a number of batches is set, it holds instead."""
    client = make_client(workers=workers, batches=told, log_level="error")
    with contextlib.ExitStack() as open_ones:
        for _ in range(places):
            one_more = client.post(
                "/v1/layouts", data=one(deck), content_type=NDJSON, buffered=False
            )
            open_ones.enter_context(one_more)
            assert one_more.status_code == 200
        refused = post(client, one(deck))
    assert refused.status_code == 503
    assert f"Of batches {places} may be" in refused.get_json()["detail"]


def test_a_bug_costs_one_line(
    make_client: Make,
    deck: dict[str, Any],
    monkeypatch: pytest.MonkeyPatch,
    capfdbinary: pytest.CaptureFixture[bytes],
) -> None:
    """An unexpected error gives its line 500 with the request id and no more, and the log the
    frames; the next line is answered."""

    def broken(body: bytes, catalogue: Any) -> Any:
        if b"spoilt" in body:
            raise KeyError("a secret of the caller")
        return answer(body, catalogue)

    monkeypatch.setattr(service.batch, "answer", broken)
    client = make_client()
    capfdbinary.readouterr()
    body = one(deck, title="spoilt") + b"\n" + one(deck)
    reply = post(client, body, X_Request_Id="job-3")
    lines = [json.loads(line) for line in reply.data.splitlines()]
    logged = capfdbinary.readouterr().err
    assert [line["status"] for line in lines] == [500, 200]
    assert "job-3" in lines[0]["problem"]["detail"]
    error = json.loads(logged.splitlines()[0])
    assert (error["id"], error["error"]) == ("job-3", "KeyError")
    assert b"a secret" not in logged + json.dumps(lines).encode()


def test_after_its_time_a_batch_says_which_line_is_left(
    make_client: Make, deck: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The clock is read at the start and then before each line; before the third it is past the
    limit of 9 s, so lines 1 and 2 are answered."""
    client = make_client(batch_timeout=9, log_level="error")
    looks = iter([0.0, 1.0, 8.0, 9.5, 9.6, 9.7])
    clock = SimpleNamespace(monotonic=lambda: next(looks))
    monkeypatch.setattr("service.web.batch.time", clock)
    lines = told(client, (one(deck) + b"\n") * 5)
    assert [(line["line"], line["status"]) for line in lines] == [(1, 200), (2, 200), (3, 503)]
    assert (slugs(lines)[-1], lines[-1]["ended"]) == ("overrun", True)
    assert "9 s" in lines[-1]["problem"]["detail"]


def test_the_time_of_a_batch_is_told_to_its_end(
    make_client: Make,
    deck: dict[str, Any],
    monkeypatch: pytest.MonkeyPatch,
    capfdbinary: pytest.CaptureFixture[bytes],
) -> None:
    """A batch that ends a second and a half after its beginning is logged with that time in
    milliseconds, and counted with it in seconds."""
    client = make_client()
    looks = iter([100.0])
    clock = SimpleNamespace(monotonic=lambda: next(looks, 101.5))
    monkeypatch.setattr("service.web.batch.time", clock)
    capfdbinary.readouterr()
    post(client, one(deck))
    assert json.loads(capfdbinary.readouterr().err)["ms"] == 1500.0
    counts = client.get("/metrics").text.splitlines()
    assert 'guards_request_duration_seconds_sum{route="/v1/layouts"} 1.5' in counts


def test_without_a_place_for_a_file_nothing_is_lost(
    client: FlaskClient, deck: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where no file can be made, as on a read-only root, what does not fit into memory is read as
    it is answered."""

    def nowhere(**_: Any) -> Any:
        raise FileNotFoundError

    monkeypatch.setattr(spool, "IN_MEMORY", 10_000)
    monkeypatch.setattr(tempfile, "TemporaryFile", nowhere)
    body = (one(deck).ljust(2_000) + b"\n") * 200
    assert [line["line"] for line in told(client, body)] == list(range(1, 201))


class Full(io.FileIO):
    """A file on a disk with room for `room` bytes, which fails as a full disk does."""

    room = 0

    def write(self, piece: Buffer, /) -> int:
        """Write as much as there is room for; raise OSError where there is none."""
        left = self.room - self.tell()
        if left <= 0:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return super().write(memoryview(piece)[:left])


@pytest.mark.parametrize("room", [0, 33_333, 65_536, 150_000])
def test_on_a_disk_that_fills_up_nothing_is_lost(
    client: FlaskClient, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, room: int
) -> None:
    """Wherever within a piece the disk is full, what it does not take is read as it is answered."""

    def nearly_full(buffering: int = -1, **_: Any) -> Any:
        file = Full(tmp_path / "disk", "w+b")
        file.room = room
        return io.BufferedRandom(file) if buffering else file

    monkeypatch.setattr(spool, "IN_MEMORY", 10_000)
    monkeypatch.setattr(tempfile, "TemporaryFile", nearly_full)
    body = (b"{}".ljust(2_000) + b"\n") * 200
    assert [line["line"] for line in told(client, body)] == list(range(1, 201))


def test_what_is_held_comes_in_its_order(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pieces are held in memory while there is room and in the file from then on, even a piece that
    would still fit into memory, so they come back in order."""
    monkeypatch.setattr(spool, "IN_MEMORY", 10_000)
    sizes = (6_000, 6_000, 100, 70_000, 0, 1)
    pieces = [bytes([65 + number]) * size for number, size in enumerate(sizes)]
    held = spool.Spool()
    assert all(held.add(piece) for piece in pieces)
    assert b"".join(held.pieces()) == b"".join(pieces)
    assert list(held.pieces()) == []


@pytest.mark.parametrize("size", range(1, 9))
def test_lines_are_the_same_however_they_are_cut_into_pieces(size: int) -> None:
    """Lines are the same as by the standard library's own splitting, with None for a line that is
    longer than allowed."""
    body = b"a\n\nbcd\r\nlonger than it may be\nef\ng"
    pieces = [body[i : i + size] for i in range(0, len(body), size)]
    expected = [
        Line(number, line if len(line) <= 5 else None)
        for number, line in enumerate(body.split(b"\n"), 1)
    ]
    assert list(split_lines(pieces, 5)) == expected
