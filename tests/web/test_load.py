"""Limits on load: 401, 429, 503, and what they do not touch."""

from __future__ import annotations

import itertools
import json
import multiprocessing
import socket
import threading
from collections.abc import Callable
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import EnvironBuilder

from service import RELEASE
from service.answer import answer
from service.web import routes
from service.web.draining import Drain
from service.web.listening import defer_accept, defers_accept
from service.web.load import REMEMBERED, InFlight, Rate
from service.web.readiness import DECK as READY
from tests.web.conftest import Make

KEY, OTHER = "k" * 20, "o" * 20


def test_without_a_key_everything_under_v1_is_401(make_client: Make, deck: dict[str, Any]) -> None:
    """Where keys are set, known and unknown paths alike need one, and WWW-Authenticate says how it
    is sent."""
    client = make_client(keys=(KEY, OTHER))
    replies = [client.get(path) for path in ("/v1/kits", "/v1/docs", "/v1/nothing")]
    replies.append(client.post("/v1/layout", json=deck))
    assert [reply.status_code for reply in replies] == [401] * 4
    assert {reply.headers["WWW-Authenticate"] for reply in replies} == {"Bearer"}


@pytest.mark.parametrize(
    "sent",
    ["", "Bearer", f"Bearer {KEY[:-1]}", f"Bearer {KEY}x", f"Basic {KEY}", KEY, "Bearer \xff"],
)
def test_a_wrong_key_is_401(make_client: Make, sent: str) -> None:
    """A key that is nearly right is wrong, and so is another scheme."""
    reply = make_client(keys=(KEY,)).get("/v1/kits", headers={"Authorization": sent})
    assert reply.status_code == 401


@pytest.mark.parametrize("sent", [f"Bearer {KEY}", f"bearer {OTHER}", f"Bearer  {OTHER}"])
def test_any_of_the_keys_opens(make_client: Make, sent: str) -> None:
    """Each of the keys is taken; the scheme's name is case-insensitive (RFC 9110, section 11.1)."""
    reply = make_client(keys=(KEY, OTHER)).get("/v1/kits", headers={"Authorization": sent})
    assert reply.status_code == 200


def test_with_keys_no_shared_cache_keeps_a_reply(make_client: Make) -> None:
    """A reply that needed a key must not be handed by a cache to someone without one."""
    reply = make_client(keys=(KEY,)).get("/v1/kits", headers={"Authorization": f"Bearer {KEY}"})
    assert reply.headers["Cache-Control"].startswith("private")


def test_health_wants_no_key_and_has_no_rate(make_client: Make) -> None:
    """The operator can always ask for the service's health."""
    client = make_client(keys=(KEY,), rate=1.0)
    assert [client.get("/health/live").status_code for _ in range(5)] == [200] * 5


@pytest.mark.usefixtures("standing")
def test_over_the_rate_is_429_with_retry_after(make_client: Make) -> None:
    """At a rate of two a second, two requests may come at once; the third has to wait a second at
    most."""
    client = make_client(rate=2.0)
    replies = [client.get("/v1/limits") for _ in range(3)]
    assert [reply.status_code for reply in replies] == [200, 200, 429]
    assert replies[2].headers["Retry-After"] == "1"
    told = replies[2].get_json()["errors"][0]["message"]
    assert told == "The rate of one address is 2 a second; try again in 1 s."


@pytest.mark.usefixtures("standing")
def test_guesses_at_a_key_count(make_client: Make) -> None:
    """Requests with a wrong key count to the rate, so nobody can try keys faster than documents are
    sent."""
    client = make_client(keys=(KEY,), rate=2.0)
    assert [client.get("/v1/limits").status_code for _ in range(3)] == [401, 401, 429]


@pytest.mark.usefixtures("standing")
def test_one_client_does_not_use_up_anothers_rate(make_client: Make) -> None:
    """Each address has its own rate."""
    client = make_client(rate=1.0)
    here = [client.get("/v1/limits").status_code for _ in range(2)]
    there = client.get("/v1/limits", environ_base={"REMOTE_ADDR": "192.0.2.7"}).status_code
    assert [*here, there] == [200, 429, 200]


@pytest.mark.usefixtures("standing")
def test_a_forwarded_address_is_believed_only_behind_a_proxy(make_client: Make) -> None:
    """X-Forwarded-For counts only where GUARDS_PROXIES says that a proxy wrote it."""
    for proxies, third in ((0, 429), (1, 200)):
        client = make_client(rate=1.0, proxies=proxies)
        sent = [{"X-Forwarded-For": f"192.0.2.{host}"} for host in (1, 2)]
        codes = [client.get("/v1/limits", headers=headers).status_code for headers in sent]
        assert codes == [200, third]


@pytest.mark.usefixtures("standing")
def test_behind_two_proxies_the_address_that_the_outer_one_saw_counts(make_client: Make) -> None:
    """The last address but one counts; the client may have made up what stands before it."""
    client = make_client(rate=1.0, proxies=2)
    codes = [
        client.get("/v1/limits", headers={"X-Forwarded-For": f"{seen}, 10.0.0.1"}).status_code
        for seen in ("192.0.2.1", "192.0.2.2", "192.0.2.3, 192.0.2.1")
    ]
    assert codes == [200, 200, 429]


def test_a_bucket_fills_again() -> None:
    """At a tenth of a request a second, the next is allowed after ten seconds, not after nine."""
    rate = Rate(0.1)
    assert [rate.wait("a", now) for now in (0.0, 9.0, 10.0)] == [0, 1, 0]


def test_a_quiet_hour_saves_nothing_up() -> None:
    """At two a second two may come at once, however long nobody came before."""
    rate = Rate(2.0)
    assert [rate.wait("a", now) for now in (0.0, 3600.0, 3600.0, 3600.0)] == [0, 0, 0, 1]


def test_the_memory_of_addresses_is_bounded() -> None:
    """A flood of addresses makes the service forget the oldest, and only those."""
    rate = Rate(1.0)
    for number in range(REMEMBERED + 5):
        rate.wait(str(number), 0.0)
    assert len(rate._buckets) == REMEMBERED
    assert rate.wait(str(REMEMBERED + 4), 0.0) == 1


def test_over_the_decks_under_way_is_503(
    make_client: Make, deck: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """With one place and one deck under way, the next is refused with Retry-After; once the place
    is free, it is laid out."""
    client = make_client(in_flight=1)
    entered, leave = threading.Event(), threading.Event()

    def slow(body: bytes, catalogue: Any) -> Any:
        entered.set()
        leave.wait(120)
        return answer(body, catalogue)

    monkeypatch.setattr(routes, "answer", slow)
    first: list[int] = []
    application = client.application
    thread = threading.Thread(
        target=lambda: first.append(
            application.test_client().post("/v1/layout", json=deck).status_code
        )
    )
    thread.start()
    entered.wait(120)
    refused = client.post("/v1/layout", json=deck)
    health = client.get("/health/ready")
    leave.set()
    thread.join(120)
    after = client.post("/v1/layout", json=deck)
    assert (refused.status_code, refused.headers["Retry-After"]) == (503, "1")
    (error,) = json.loads(refused.data)["errors"]
    assert error["code"] == "busy"
    assert error["message"] == "Of decks 1 may be under way at once; try again in 1 s."
    assert (health.status_code, first, after.status_code) == (200, [200], 200)


def _hold(places: InFlight, held: Any, leave: Any) -> None:
    with places.place():
        held.set()
        leave.wait(120)


@pytest.mark.parametrize("end", ["leaves", "is killed"])
def test_places_are_shared_between_processes(end: str) -> None:
    """A place that another process holds is taken; once that process leaves it, or dies, it is
    free."""
    fork = multiprocessing.get_context("fork")
    places, held, leave = InFlight(1), fork.Event(), fork.Event()
    other = fork.Process(target=_hold, args=(places, held, leave))
    other.start()
    assert held.wait(120)
    with places.place() as during:
        pass
    if end == "leaves":
        leave.set()
    else:
        other.kill()
    other.join(120)
    with places.place() as after:
        pass
    assert (during, after) == (False, True)


def test_a_place_that_was_left_is_free_for_another_process() -> None:
    """A process that has left a place does not keep it."""
    fork = multiprocessing.get_context("fork")
    places, got = InFlight(1), fork.Value("i", -1)
    with places.place():
        pass

    def take() -> None:
        with places.place() as placed:
            got.value = int(placed)

    other = fork.Process(target=take)
    other.start()
    other.join(120)
    assert got.value == 1


def test_no_limit_is_no_limit() -> None:
    """A limit of 0 places means any number."""
    places = InFlight(0)
    with places.place() as first, places.place() as second:
        assert (first, second) == (True, True)


def test_the_drain_flag_is_seen_by_a_forked_process() -> None:
    """The master sets the flag after the workers are forked, and they see it."""
    fork = multiprocessing.get_context("fork")
    drain, begun, seen = Drain(), fork.Event(), fork.Value("i", -1)

    def look() -> None:
        begun.wait(120)
        seen.value = int(drain.under_way)

    other = fork.Process(target=look)
    other.start()
    drain.begin()
    begun.set()
    other.join(120)
    assert seen.value == 1


def test_a_drain_is_under_way_to_the_end_of_the_service() -> None:
    """A drain that is over still counts as under way, so that readiness is answered as before."""
    drain, told = Drain(), []
    for step in (None, drain.begin, drain.end):
        if step is not None:
            step()
        told.append((drain.under_way, drain.is_over))
    assert told == [(False, False), (True, False), (True, True)]


def test_readiness_says_what_was_laid_out_and_when_it_is_over(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Readiness gives the digest of the deck that was laid out at the start. During the drain it is
    503 with Retry-After, while all else is answered."""
    ready = client.get("/health/ready").get_json()
    alone = client.post("/v1/layout", data=READY, content_type="application/json").get_json()
    assert ready == {"status": "ready", "release": RELEASE, "digest": alone["digest"]}
    drain = Drain()
    drain.begin()
    monkeypatch.setattr(routes, "DRAIN", drain)
    reply = client.get("/health/ready")
    assert (reply.status_code, reply.headers["Retry-After"]) == (503, "5")
    assert reply.get_json()["errors"][0]["code"] == "not_ready"
    assert client.get("/health/live").get_json() == {"status": "live", "release": RELEASE}
    assert client.get("/v1/kits").status_code == 200


class Meanwhile:
    """A body that comes in one piece, before which `first` is called."""

    def __init__(self, body: bytes, first: Callable[[], object]) -> None:
        self.pieces = [body, b""]
        self.first = first

    def read(self, _most: int = -1) -> bytes:
        """The body, then nothing."""
        if len(self.pieces) > 1:
            self.first()
        return self.pieces.pop(0)


def test_a_deck_that_is_still_arriving_holds_no_place(
    make_client: Make, deck: dict[str, Any]
) -> None:
    """With one place, another deck is sent and laid out while the body of the first still
    arrives."""
    client = make_client(in_flight=1, log_level="error")
    body, codes = json.dumps(deck).encode(), []
    slow = Meanwhile(body, lambda: codes.append(client.post("/v1/layout", json=deck).status_code))
    reply = client.post(
        "/v1/layout",
        environ_overrides={"wsgi.input": slow, "wsgi.input_terminated": True},
        content_type="application/json",
    )
    assert (codes, reply.status_code) == ([200], 200)


@pytest.mark.parametrize("path", ["/v1/layout", "/v1/layouts", "/v1/sheets/plan"])
def test_what_says_that_it_is_too_long_is_not_read(make_client: Make, path: str) -> None:
    """A body is refused with 413 by its Content-Length alone."""
    client = make_client(body_limit=1024, batch_bytes=1024, log_level="error")
    read: list[bool] = []
    body = Meanwhile(b"{}", lambda: read.append(True))
    reply = client.post(
        path,
        environ_overrides={"wsgi.input": body, "CONTENT_LENGTH": "1025"},
        content_type="application/x-ndjson" if path == "/v1/layouts" else "application/json",
    )
    assert (reply.status_code, read) == (413, [])


@pytest.mark.parametrize("parts", [0, 1, 9])
@pytest.mark.parametrize("settings", [{"in_flight": 1}, {"batches": 1}])
def test_a_batch_lets_go_of_its_place_however_it_ends(
    make_client: Make, deck: dict[str, Any], settings: dict[str, int], parts: int
) -> None:
    """A batch gives its place back where it is given up before its first line or after it, and
    where it was read to its end but not yet closed."""
    client = make_client(log_level="error", **settings)
    sent: dict[str, Any] = {
        "data": json.dumps(deck).encode() + b"\n{}\n",
        "content_type": "application/x-ndjson",
    }
    environ = EnvironBuilder("/v1/layouts", method="POST", **sent).get_environ()
    reply = client.application(environ, lambda *_: lambda _: None)
    lines = list(itertools.islice(reply, parts))
    assert len(lines) == min(parts, 2)
    if parts < 2:
        assert client.post("/v1/layouts", **sent).status_code == 503
        reply.close()  # type: ignore[attr-defined]
    after = client.post("/v1/layouts", **sent)
    assert (after.status_code, len(after.data.splitlines())) == (200, 2)
    after.close()
    reply.close()  # type: ignore[attr-defined]


def test_with_keys_the_counter_page_is_anyones(make_client: Make) -> None:
    """The empty form holds no secret, so it needs no key and any cache may keep it."""
    client = make_client(keys=(KEY,))
    for path in ("/", "/counter/start.json"):
        reply = client.get(path)
        assert (reply.status_code, reply.headers["Cache-Control"]) == (200, "public, no-cache")


@pytest.mark.skipif(not hasattr(socket, "TCP_DEFER_ACCEPT"), reason="no TCP_DEFER_ACCEPT here")
@pytest.mark.parametrize("family", [socket.AF_INET, socket.AF_INET6])
def test_silent_connections_are_kept_back_from_either_kind_of_address(
    family: socket.AddressFamily,
) -> None:
    """The kernel holds silent connections back for half a minute at least, longer than browsers
    keep what they open ahead."""
    with socket.socket(family) as listener:
        assert not defers_accept(listener)
        defer_accept([listener])
        assert defers_accept(listener)
        assert listener.getsockopt(socket.IPPROTO_TCP, socket.TCP_DEFER_ACCEPT) >= 30


def test_what_has_no_address_keeps_nobody_back() -> None:
    """A socket in the file system has no such option, and is left as it is."""
    with socket.socket(socket.AF_UNIX) as listener:
        defer_accept([listener])
        assert not defers_accept(listener)
