"""Limits on load: 401, 429, 503, and what they do not touch."""

from __future__ import annotations

import json
import multiprocessing
import threading
from collections.abc import Callable
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.answer import answer
from service.web import routes
from service.web.draining import Drain
from service.web.load import REMEMBERED, InFlight, Rate

Make = Callable[..., FlaskClient]
KEY, OTHER = "k" * 20, "o" * 20


def test_without_a_key_everything_under_v1_is_401(make_client: Make, deck: dict[str, Any]) -> None:
    """Where keys are set, known and unknown paths alike want one, and the reply says how."""
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
    """Nearly right is wrong; another scheme is wrong."""
    reply = make_client(keys=(KEY,)).get("/v1/kits", headers={"Authorization": sent})
    assert reply.status_code == 401


@pytest.mark.parametrize("sent", [f"Bearer {KEY}", f"bearer {OTHER}", f"Bearer  {OTHER}"])
def test_any_of_the_keys_opens(make_client: Make, sent: str) -> None:
    """The scheme's name is case-insensitive (RFC 9110, section 11.1)."""
    reply = make_client(keys=(KEY, OTHER)).get("/v1/kits", headers={"Authorization": sent})
    assert reply.status_code == 200


def test_with_keys_no_shared_cache_keeps_a_reply(make_client: Make) -> None:
    """What wants a key is not handed on by a cache to someone without one."""
    reply = make_client(keys=(KEY,)).get("/v1/kits", headers={"Authorization": f"Bearer {KEY}"})
    assert reply.headers["Cache-Control"].startswith("private")


def test_health_wants_no_key_and_has_no_rate(make_client: Make) -> None:
    """Whoever runs the service can always ask."""
    client = make_client(keys=(KEY,), rate=1.0)
    assert [client.get("/health/live").status_code for _ in range(5)] == [200] * 5


@pytest.mark.usefixtures("standing")
def test_over_the_rate_is_429_with_retry_after(make_client: Make) -> None:
    """Two at once at two a second; the third waits at most a second."""
    client = make_client(rate=2.0)
    replies = [client.get("/v1/limits") for _ in range(3)]
    assert [reply.status_code for reply in replies] == [200, 200, 429]
    assert replies[2].headers["Retry-After"] == "1"
    told = replies[2].get_json()["errors"][0]["message"]
    assert told == "The rate of one address is 2 a second; try again in 1 s."


@pytest.mark.usefixtures("standing")
def test_guesses_at_a_key_count(make_client: Make) -> None:
    """Nobody tries keys faster than documents are sent."""
    client = make_client(keys=(KEY,), rate=2.0)
    assert [client.get("/v1/limits").status_code for _ in range(3)] == [401, 401, 429]


@pytest.mark.usefixtures("standing")
def test_one_client_does_not_use_up_anothers_rate(make_client: Make) -> None:
    """The rate is each address's own."""
    client = make_client(rate=1.0)
    here = [client.get("/v1/limits").status_code for _ in range(2)]
    there = client.get("/v1/limits", environ_base={"REMOTE_ADDR": "192.0.2.7"}).status_code
    assert [*here, there] == [200, 429, 200]


@pytest.mark.usefixtures("standing")
def test_a_forwarded_address_is_believed_only_behind_a_proxy(make_client: Make) -> None:
    """X-Forwarded-For counts where GUARDS_PROXIES says that a proxy wrote it."""
    for proxies, third in ((0, 429), (1, 200)):
        client = make_client(rate=1.0, proxies=proxies)
        sent = [{"X-Forwarded-For": f"192.0.2.{host}"} for host in (1, 2)]
        codes = [client.get("/v1/limits", headers=headers).status_code for headers in sent]
        assert codes == [200, third]


@pytest.mark.usefixtures("standing")
def test_behind_two_proxies_the_address_that_the_outer_one_saw_counts(make_client: Make) -> None:
    """The last but one; what stands before it the client may have made up."""
    client = make_client(rate=1.0, proxies=2)
    codes = [
        client.get("/v1/limits", headers={"X-Forwarded-For": f"{seen}, 10.0.0.1"}).status_code
        for seen in ("192.0.2.1", "192.0.2.2", "192.0.2.3, 192.0.2.1")
    ]
    assert codes == [200, 200, 429]


def test_a_bucket_fills_again() -> None:
    """At a tenth a second the next is allowed after ten seconds, not after nine."""
    rate = Rate(0.1)
    assert [rate.wait("a", now) for now in (0.0, 9.0, 10.0)] == [0, 1, 0]


def test_a_quiet_hour_saves_nothing_up() -> None:
    """At two a second two may come at once, however long nobody came."""
    rate = Rate(2.0)
    assert [rate.wait("a", now) for now in (0.0, 3600.0, 3600.0, 3600.0)] == [0, 0, 0, 1]


def test_the_memory_of_addresses_is_bounded() -> None:
    """A flood of addresses forgets the oldest, and only that."""
    rate = Rate(1.0)
    for number in range(REMEMBERED + 5):
        rate.wait(str(number), 0.0)
    assert len(rate._buckets) == REMEMBERED
    assert rate.wait(str(REMEMBERED + 4), 0.0) == 1


def test_over_the_decks_under_way_is_503(
    make_client: Make, deck: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """With one place and one deck under way the next is told to come again; then it may."""
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
    """A place that another process holds is taken; when it leaves, or dies, it is free."""
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
    """Having held it once does not keep it."""
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
    """0 places means any number."""
    places = InFlight(0)
    with places.place() as first, places.place() as second:
        assert (first, second) == (True, True)


def test_the_drain_flag_is_seen_by_a_forked_process() -> None:
    """The master raises it after the workers are forked."""
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
