"""/metrics: what is counted, under which labels, over which workers, and for how long."""

from __future__ import annotations

import errno
import fcntl
import http.client
import json
import os
import resource
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from prometheus_client.parser import text_string_to_metric_families
from werkzeug.test import run_wsgi_app

from service import RELEASE
from service.batch import answer_line
from service.web import batch
from service.web.metrics import Metrics
from service.web.slots import NAMED, make_folder, roomy_folder
from tests.web.conftest import Make
from tests.web.running import DECK, GUNICORN, PATIENCE, ROOT, Server, running

Sample = tuple[str, frozenset[tuple[str, str]]]
Samples = dict[Sample, float]

LINES = "application/x-ndjson"
BODY = json.dumps(DECK).encode()
HEAD = b"POST /v1/layout HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\n"
HALF = HEAD + b"Content-Length: %d\r\n\r\n" % len(BODY) + BODY[:-1]
"""All of a deck but its last byte, for which whoever reads it waits."""

TYPES = {
    "guards_requests": "counter",
    "guards_request_duration_seconds": "histogram",
    "guards_request_bytes": "counter",
    "guards_response_bytes": "counter",
    "guards_documents": "counter",
    "guards_bays": "counter",
    "guards_requests_under_way": "gauge",
    "guards_build_info": "gauge",
}
"""Every metric and its type; the parser takes `_total` off a counter's name."""


def read(text: str) -> Samples:
    """The value of every sample by its name and labels, of which no pair occurs twice."""
    found: Samples = {}
    for family in text_string_to_metric_families(text):
        for sample in family.samples:
            key = (sample.name, frozenset(sample.labels.items()))
            assert key not in found
            found[key] = sample.value
    return found


def at(samples: Samples, name: str, **labels: str) -> float:
    """The value of one sample; 0 where there is none."""
    return samples.get((name, frozenset(labels.items())), 0.0)


def counted(samples: Samples, method: str, route: str, status: str) -> float:
    """Requests counted with this method, route and status."""
    return at(samples, "guards_requests_total", method=method, route=route, status=status)


def looked_at(samples: Samples, route: str, status: str) -> float:
    """Documents counted with this route and status."""
    return at(samples, "guards_documents_total", route=route, status=status)


def metrics(client: FlaskClient) -> Samples:
    """The samples of an app in process."""
    return read(client.get("/metrics").text)


def post(client: FlaskClient, body: bytes, path: str = "/v1/layout") -> Any:
    """A reply, read whole and closed."""
    media = LINES if path == "/v1/layouts" else "application/json"
    with client.post(path, data=body, content_type=media) as reply:
        reply.get_data()
        return reply


def test_the_text_is_what_prometheus_reads(make_client: Make) -> None:
    """The text is of version 0.0.4 of the format, and the parser of Prometheus finds each metric
    with its type and description."""
    client = make_client()
    post(client, BODY)
    reply = client.get("/metrics")
    assert reply.headers["Content-Type"] == "text/plain; version=0.0.4; charset=utf-8"
    assert reply.headers["Cache-Control"] == "no-store"
    families = list(text_string_to_metric_families(reply.text))
    assert {family.name: family.type for family in families} == TYPES
    assert all(family.documentation for family in families)
    assert at(read(reply.text), "guards_build_info", release=RELEASE) == 1


@pytest.mark.parametrize(
    "accept",
    [
        "application/openmetrics-text;version=1.0.0;q=0.5,text/plain;version=0.0.4;q=0.3,*/*;q=0.2",
        "text/plain;version=0.0.4",
        "text/*",
        "",
    ],
)
def test_what_prometheus_asks_with_is_answered(client: FlaskClient, accept: str) -> None:
    """An Accept field that prefers other formats still gets text, as long as it allows text."""
    reply = client.get("/metrics", headers={"Accept": accept})
    assert (reply.status_code, reply.mimetype) == (200, "text/plain")


@pytest.mark.parametrize("accept", ["application/json", "text/plain;q=0", "text/html"])
def test_who_rules_text_out_gets_406(client: FlaskClient, accept: str) -> None:
    """An Accept field that rules text out gets a problem document, as at every other path."""
    reply = client.get("/metrics", headers={"Accept": accept})
    assert (reply.status_code, reply.mimetype) == (406, "application/problem+json")


def test_head_has_the_headers_alone(client: FlaskClient) -> None:
    """HEAD gets the type of the text and no body."""
    reply = client.head("/metrics")
    assert (reply.status_code, reply.data) == (200, b"")
    assert reply.headers["Content-Type"] == "text/plain; version=0.0.4; charset=utf-8"


def test_no_key_and_no_rate_is_asked_for(make_client: Make) -> None:
    """/metrics, like /health, is for the operator: it needs no key, and no rate limits it."""
    client = make_client(keys=("k" * 20,), rate=1.0)
    assert [client.get("/metrics").status_code for _ in range(5)] == [200] * 5


def test_requests_are_counted_by_method_route_and_status(make_client: Make) -> None:
    """Three layouts, of which one is not JSON, are counted by status. Paths of kits are counted
    under their route, `/v1/kits/<name>`, not under the name asked for."""
    client = make_client()
    for body in (BODY, BODY, b"{"):
        post(client, body)
    for path in ("/v1/kits/picket-glass-surface-in", "/v1/kits/none", "/v1/kits/nor-this"):
        client.get(path)
    client.head("/health/live")
    samples = metrics(client)
    assert counted(samples, "POST", "/v1/layout", "200") == 2
    assert counted(samples, "POST", "/v1/layout", "400") == 1
    assert counted(samples, "GET", "/v1/kits/<name>", "200") == 1
    assert counted(samples, "GET", "/v1/kits/<name>", "404") == 2
    assert counted(samples, "HEAD", "/health/live", "200") == 1
    assert sum(v for (name, _), v in samples.items() if name == "guards_requests_total") == 7


def test_each_method_that_is_known_is_told_apart(make_client: Make) -> None:
    """Each HTTP method that a browser or a script may send is counted by its name (RFC 9110,
    section 9; PATCH, RFC 5789)."""
    client = make_client()
    methods = ("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS")
    for method in methods:
        client.open("/none", method=method)
    samples = metrics(client)
    assert [counted(samples, method, "none", "404") for method in methods] == [1] * 7


def test_what_strangers_make_up_adds_no_labels(make_client: Make) -> None:
    """Forty unknown paths and forty unknown methods make two series of 40 each, whose sum is 80."""
    client = make_client()
    for number in range(40):
        client.get(f"/none/{number}")
        client.open("/v1/kits", method=f"BREW{number}")
    samples = metrics(client)
    series = {labels for name, labels in samples if name == "guards_requests_total"}
    assert len(series) == 2
    assert counted(samples, "GET", "none", "404") == 40
    assert counted(samples, "other", "none", "405") == 40


@pytest.mark.usefixtures("standing")
def test_refusals_are_counted_by_status_and_are_no_documents(make_client: Make) -> None:
    """Requests refused for a missing key (401), the rate (429), the media type (415) or the length
    (413) are counted as requests, but not as documents, since nothing was looked at."""
    locked = make_client(keys=("k" * 20,))
    post(locked, BODY)
    hurried = make_client(rate=1.0)
    post(hurried, BODY)
    post(hurried, BODY)
    open_to_all = make_client(body_limit=1024)
    open_to_all.post("/v1/layout", data=BODY, content_type="text/plain")
    post(open_to_all, b" " * 1025)
    for client, status in (
        *((locked, "401"), (hurried, "429"), (open_to_all, "415"), (open_to_all, "413")),
    ):
        samples = metrics(client)
        assert counted(samples, "POST", "/v1/layout", status) == 1
        assert looked_at(samples, "/v1/layout", status) == 0


def test_documents_are_counted_by_what_became_of_them(make_client: Make) -> None:
    """Of three documents sent alone, one laid out, one not JSON and one with an unknown kit, each
    is counted under its status; the bays of the layout are counted too."""
    client = make_client()
    bays = len(post(client, BODY).json["bays"])
    post(client, b"{")
    post(client, json.dumps(DECK | {"kit": "none"}).encode())
    samples = metrics(client)
    for status in ("200", "400", "422"):
        assert looked_at(samples, "/v1/layout", status) == 1
    assert bays > 0
    assert at(samples, "guards_bays_total", route="/v1/layout") == bays


def test_each_line_of_a_batch_is_a_document(make_client: Make) -> None:
    """Two decks, a line that is not JSON and one that is too long are four documents; a blank line
    is none, and the batch itself is one request."""
    client = make_client(body_limit=1024)
    body = b"\n".join((BODY, b"{", b" ", b" " * 1025, BODY))
    lines = post(client, body, "/v1/layouts").data.splitlines()
    bays = sum(len(json.loads(line).get("layout", {}).get("bays", ())) for line in lines)
    samples = metrics(client)
    counts = {status: looked_at(samples, "/v1/layouts", status) for status in ("200", "400", "413")}
    assert counts == {"200": 2, "400": 1, "413": 1}
    assert at(samples, "guards_bays_total", route="/v1/layouts") == bays > 0
    assert counted(samples, "POST", "/v1/layouts", "200") == 1


def test_a_line_that_says_why_a_batch_ended_is_no_document(
    make_client: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second line is given up after its time, so only the first is counted; the last line,
    which says so, is no document."""

    def answer_first(line: Any, *rest: Any) -> Any:
        if line.number > 1:
            raise SystemExit
        return answer_line(line, *rest)

    client = make_client()
    monkeypatch.setattr(batch, "answer_line", answer_first)
    lines = post(client, (BODY + b"\n") * 3, "/v1/layouts").data.splitlines()
    assert [json.loads(line)["status"] for line in lines] == [200, 503]
    samples = metrics(client)
    assert looked_at(samples, "/v1/layouts", "200") == 1
    assert looked_at(samples, "/v1/layouts", "503") == 0


@pytest.mark.parametrize("path", ["/v1/layout", "/v1/layouts"])
def test_bytes_are_counted_both_ways(make_client: Make, path: str) -> None:
    """The bytes of the bodies sent and of the bodies of the answers are counted by route."""
    client = make_client()
    sizes = [len(post(client, body, path).data) for body in (BODY, b"{")]
    samples = metrics(client)
    assert at(samples, "guards_request_bytes_total", route=path) == len(BODY) + 1
    assert at(samples, "guards_response_bytes_total", route=path) == sum(sizes)


def test_what_has_no_body_sends_no_bytes(make_client: Make) -> None:
    """Replies to HEAD and 304 replies have a length but no body, so they count no bytes."""
    client = make_client()
    tag = client.head("/v1/limits").headers["ETag"]
    assert client.get("/v1/limits", headers={"If-None-Match": tag}).status_code == 304
    samples = metrics(client)
    assert counted(samples, "GET", "/v1/limits", "304") == 1
    assert at(samples, "guards_response_bytes_total", route="/v1/limits") == 0


def test_seconds_are_counted_by_route(make_client: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    """An answer that takes at least 20 ms is counted in the last bucket, and in none whose bound is
    below 20 ms."""
    client = make_client()
    at_once = metrics(client)
    real = Metrics.write

    def slow(self: Metrics) -> bytes:
        time.sleep(0.02)
        return real(self)

    monkeypatch.setattr(Metrics, "write", slow)
    client.get("/metrics")
    name, route = "guards_request_duration_seconds", "/metrics"
    monkeypatch.undo()
    samples = metrics(client)
    # Two answers: the first at once, the second after 20 ms.
    assert at(at_once, f"{name}_count", route=route) == 0
    assert at(samples, f"{name}_count", route=route) == 2
    assert at(samples, f"{name}_bucket", route=route, le="+Inf") == 2
    assert at(samples, f"{name}_bucket", route=route, le="0.01") <= 1
    assert at(samples, f"{name}_sum", route=route) >= 0.02
    bounds = sorted(float(dict(labels)["le"]) for at, labels in samples if at == f"{name}_bucket")
    assert (bounds[0], bounds[-2]) == (0.001, 300)


def test_a_request_is_under_way_until_its_answer_is_closed_or_fails() -> None:
    """One request is under way while it is answered, and none afterwards, even where SystemExit
    ended the app."""
    held = Metrics()
    during: list[float] = []

    def under_way() -> float:
        return at(read(held.write().decode()), "guards_requests_under_way")

    def app(environ: Any, start_response: Any) -> Iterator[bytes]:
        start_response("200 OK", [])
        during.append(under_way())
        yield b"first"
        during.append(under_way())

    def ended(environ: Any, start_response: Any) -> Any:
        during.append(under_way())
        raise SystemExit

    run_wsgi_app(held.watch(app), {}, buffered=True)
    assert (during, under_way()) == ([1, 1], 0)
    with pytest.raises(SystemExit):
        run_wsgi_app(held.watch(ended), {})
    assert (during, under_way()) == ([1, 1, 1], 0)


def test_apps_of_one_process_count_apart(make_client: Make) -> None:
    """Two apps in one process count each for itself."""
    one, other = make_client(), make_client()
    post(one, BODY)
    assert counted(metrics(one), "POST", "/v1/layout", "200") == 1
    assert counted(metrics(other), "POST", "/v1/layout", "200") == 0


def test_nothing_of_a_document_or_an_address_is_told(make_client: Make) -> None:
    """A deck's title, a name in a path and a request id never appear in the metrics."""
    client = make_client()
    secret = "nobody-should-read-this"
    post(client, json.dumps(DECK | {"title": secret}).encode())
    client.get(f"/v1/kits/{secret}", headers={"X-Request-Id": secret})
    client.get(f"/{secret}")
    assert secret not in client.get("/metrics").text


def test_a_file_that_a_worker_has_just_made_is_passed_over(tmp_path: Path) -> None:
    """A counts file that is still empty, as it is for a moment after it is made, is no error; nor
    is one that has been removed meanwhile."""
    (tmp_path / "counter_0.db").touch()
    (tmp_path / "counter_1.db").symlink_to(tmp_path / "gone")
    assert Metrics(tmp_path).write() == b""


def test_a_folder_that_a_killed_service_left_goes_at_the_next_start(tmp_path: Path) -> None:
    """A folder that no process holds is removed. One that is held stays, as does an empty one,
    which may be about to be locked."""
    left, held, empty = (tmp_path / f"{NAMED}{name}" for name in ("left", "held", "empty"))
    for folder in (left, held, empty):
        folder.mkdir()
    for folder in (left, held):
        (folder / "counter_0.db").touch()
    opened = os.open(held, os.O_RDONLY)
    try:
        fcntl.flock(opened, fcntl.LOCK_EX)
        made = make_folder(tmp_path)
    finally:
        os.close(opened)
    assert set(tmp_path.iterdir()) == {held, empty, made}
    assert made.stat().st_mode & 0o777 == 0o700


def test_a_folder_in_use_stays_at_another_start(tmp_path: Path) -> None:
    """A second service on the same machine leaves the first one's counts alone."""
    first = make_folder(tmp_path)
    (first / "counter_0.db").touch()
    second = make_folder(tmp_path)
    assert set(tmp_path.iterdir()) == {first, second}
    assert [each.name for each in first.iterdir()] == ["counter_0.db"]


def test_a_folder_goes_with_the_process_that_made_it(tmp_path: Path) -> None:
    """The folder is removed when its maker ends, and not when a process forked from it does."""
    program = (
        "import os, sys; from pathlib import Path; from service.web.slots import make_folder\n"
        "made = make_folder(Path(sys.argv[1]))\n"
        "if not (child := os.fork()): sys.exit()\n"
        "os.waitpid(child, 0)\n"
        "print(made.is_dir(), made)"
    )
    command = [sys.executable, "-W", "error", "-c", program, str(tmp_path)]
    said = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout
    there, _, made = said.strip().partition(" ")
    assert (there, Path(made).parent) == ("True", tmp_path)
    assert list(tmp_path.iterdir()) == []


def ask(server: Server, path: str, method: str = "GET", body: bytes | None = None) -> str:
    """The body of a reply through the server; what is sent has the type that the path takes."""
    caller = http.client.HTTPConnection("127.0.0.1", server.port, timeout=PATIENCE)
    media = LINES if path == "/v1/layouts" else "application/json"
    try:
        caller.request(method, path, body, {"Content-Type": media} if body else {})
        return caller.getresponse().read().decode()
    finally:
        caller.close()


def scrape(server: Server) -> Samples:
    """The samples of the service, from whichever worker answers."""
    return read(ask(server, "/metrics"))


def awaited(server: Server, true: Callable[[Samples], bool]) -> Samples:
    """The samples once `true` holds of them, or the last ones when patience runs out."""
    end = time.monotonic() + PATIENCE
    while not true(samples := scrape(server)) and time.monotonic() < end:
        time.sleep(0.05)
    return samples


def workers_of(server: Server) -> set[int]:
    """The process ids of the server's workers."""
    master = server.process.pid
    return set(map(int, Path(f"/proc/{master}/task/{master}/children").read_text().split()))


def await_others(server: Server, before: set[int]) -> None:
    """Wait until none of these workers is left and two others have taken their places."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        now = workers_of(server)
        if len(now) == 2 and not now & before:
            return
        time.sleep(0.05)
    raise AssertionError("the workers were not replaced")


def worker_at(server: Server, known: str) -> int:
    """The process id of the worker that logged the answer to a request."""
    (line,) = [line for line in server.lines() if line.get("id") == known]
    return int(line["pid"])


def folder_of(server: Server) -> Path:
    """The folder in which the workers count, found by what the master holds open."""
    opened = {link.resolve() for link in Path(f"/proc/{server.process.pid}/fd").iterdir()}
    (found,) = {path for path in opened if path.name.startswith(NAMED)}
    return found


def hold(server: Server, under_way: int) -> socket.socket:
    """A connection on which all but the last byte of a deck was sent, once `under_way` such
    requests are being read."""
    held = server.connect()
    held.sendall(HALF)
    samples = awaited(server, lambda now: at(now, "guards_requests_under_way") == under_way + 1)
    assert at(samples, "guards_requests_under_way") == under_way + 1
    return held


def test_counts_add_up_over_workers_and_outlive_them(tmp_path: Path) -> None:
    """While one worker waits for a deck's last byte, the other answers four decks; then both are
    killed and replaced. No count is lost, whichever worker is asked."""
    with running(tmp_path / "log", GUARDS_WORKERS="2") as server:
        with hold(server, 1) as held:
            for _ in range(4):
                ask(server, "/v1/layout", "POST", BODY)
            held.sendall(BODY[-1:])
            assert b" 200 " in held.recv(65_536)[:20]
        pids = {line["pid"] for line in server.lines() if line.get("path") == "/v1/layout"}
        assert len(pids) == 2
        for _ in range(6):
            assert counted(scrape(server), "POST", "/v1/layout", "200") == 5
        for each in pids:
            os.kill(each, signal.SIGKILL)
        await_others(server, pids)
        assert counted(scrape(server), "POST", "/v1/layout", "200") == 5
        ask(server, "/v1/layout", "POST", BODY)
        assert counted(scrape(server), "POST", "/v1/layout", "200") == 6


def test_a_worker_that_is_killed_leaves_nothing_under_way(tmp_path: Path) -> None:
    """A worker is killed in the middle of a request: of the two requests that were under way, only
    the one that asks for the metrics is left."""
    with running(tmp_path / "log", GUARDS_WORKERS="2") as server, hold(server, 1) as held:
        answered = f"job-{os.getpid()}"
        caller = http.client.HTTPConnection("127.0.0.1", server.port, timeout=PATIENCE)
        caller.request("GET", "/health/live", headers={"X-Request-Id": answered})
        caller.getresponse().read()
        caller.close()
        (busy,) = workers_of(server) - {worker_at(server, answered)}
        os.kill(busy, signal.SIGKILL)
        assert held.recv(10) == b""
        after = awaited(server, lambda now: at(now, "guards_requests_under_way") == 1)
        assert at(after, "guards_requests_under_way") == 1


def allocated(file: Path) -> bool:
    """Whether the file system has reserved room for the whole length of the file."""
    known = file.stat()
    return known.st_blocks * 512 >= known.st_size > 0


def test_room_for_counts_is_taken_before_anything_is_counted(tmp_path: Path) -> None:
    """All room of the counts files is reserved at the start.

    A write into a mapped page for which there is no room kills the process by SIGBUS (mmap(2)). So
    every file has all its room after many kinds of requests, after the death of both workers, and
    after a reload.
    """
    with running(tmp_path / "log", GUARDS_WORKERS="2") as server:
        folder = folder_of(server)
        sizes = {file.name: file.stat().st_size for file in folder.iterdir()}
        for path in ("/", "/v1/kits", "/v1/docs", "/v1/limits", "/health/live", "/no-such"):
            for method in ("GET", "HEAD", "OPTIONS", "PUT", "DELETE", "PATCH", "POST"):
                ask(server, path, method)
        before = workers_of(server)
        for each in before:
            os.kill(each, signal.SIGKILL)
        await_others(server, before)
        ask(server, "/v1/layout", "POST", BODY)
        after = {file.name: file.stat().st_size for file in folder.iterdir()}
        assert {file.name for file in folder.iterdir() if not allocated(file)} == set()
        before = workers_of(server)
        server.process.send_signal(signal.SIGHUP)
        await_others(server, before)
        reloaded = list(folder.iterdir())
        assert {file.name for file in reloaded if not allocated(file)} == set()
    assert (after, len(sizes)) == (sizes, 3 * 4)  # four kinds, for two workers and the master
    assert len(reloaded) == 5 * 4  # and for the two that took their places at the reload


def test_where_memory_has_no_room_counts_lie_elsewhere(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the folder in memory has no room for the counts, what was begun there is removed and
    the folder for temporary files takes them."""
    memory, temporary = tmp_path / "memory", tmp_path / "temporary"
    for folder in (memory, temporary):
        folder.mkdir()
    real = os.posix_fallocate

    def full(opened: int, start: int, length: int) -> None:
        if Path(f"/proc/self/fd/{opened}").resolve().is_relative_to(memory):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        real(opened, start, length)

    monkeypatch.setattr(os, "posix_fallocate", full)
    made = roomy_folder((memory, temporary), ("master", 0))
    assert (list(memory.iterdir()), made.parent) == ([], temporary)
    assert len([file for file in made.iterdir() if allocated(file)]) == 2 * 4


def test_a_start_without_room_for_counts_says_so(tmp_path: Path) -> None:
    """With a limit of 1000 bytes on the length of a file, there is as little room as on a full
    disk: the service does not start, and says why."""

    def bound() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))

    ended = subprocess.run(
        GUNICORN,
        cwd=ROOT,
        env={**os.environ, "TMPDIR": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=bound,
    )
    told = ended.stderr.splitlines()
    assert (ended.returncode, told[0]) == (1, "The service does not start:")
    assert told[1:] == ["There is no place for what it counts: [Errno 27] File too large"]
    assert list(tmp_path.iterdir()) == []


def test_files_do_not_pile_up_with_workers(tmp_path: Path) -> None:
    """All workers are replaced three times, and no counts are lost. At most the old and the new
    workers count at once, so two workers need four slots and the master one: five files of a
    kind."""
    with running(tmp_path / "log", GUARDS_WORKERS="2") as server:
        folder = folder_of(server)
        for number in range(1, 4):
            ask(server, "/v1/kits")
            before = workers_of(server)
            server.process.send_signal(signal.SIGHUP)
            await_others(server, before)
            assert counted(scrape(server), "GET", "/v1/kits", "200") == number
        kinds = [path.name.rpartition("_")[0] for path in folder.iterdir()]
        assert {kinds.count(kind) <= 5 for kind in set(kinds)} == {True}


def test_a_second_start_begins_at_nothing_and_the_end_leaves_nothing(tmp_path: Path) -> None:
    """Counts belong to one start of the service, and their folder is removed with the master."""
    for _ in range(2):
        with running(tmp_path / "log", GUARDS_WORKERS="2") as server:
            folder = folder_of(server)
            assert folder.is_dir()
            ask(server, "/v1/kits")
            assert counted(scrape(server), "GET", "/v1/kits", "200") == 1
        assert server.process.returncode == 0
        assert not folder.exists()


def test_a_start_that_fails_leaves_nothing(tmp_path: Path) -> None:
    """Where the app cannot be loaded, the folder, which here lies in that for temporary files, is
    removed as well."""
    program = (
        "import sys; from pathlib import Path; from service.web import slots\n"
        "slots.MEMORY = Path(sys.argv.pop())\n"
        "from gunicorn.app.wsgiapp import run\n"
        "try: run()\n"
        "finally: print(slots.SLOTS.folder, slots.SLOTS.folder.is_dir())"
    )
    words = ("--config", "deploy/gunicorn.conf.py", "tests.no_such:app", str(tmp_path / "none"))
    ended = subprocess.run(
        [sys.executable, "-c", program, *words],
        cwd=ROOT,
        env={**os.environ, "TMPDIR": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    folder, there = ended.stdout.split()
    assert (ended.returncode != 0, Path(folder).parent, there) == (True, tmp_path, "True")
    assert not Path(folder).exists()


def since(before: Samples, after: Samples) -> Samples:
    """What was counted between two scrapes of one server."""
    return {key: value - before.get(key, 0.0) for key, value in after.items()}


def test_what_the_server_refuses_is_counted(server: Server) -> None:
    """A request that is not HTTP and one whose line is too long never reach the app, and are
    counted all the same."""
    before = scrape(server)
    for sent in (b"GARBAGE\r\n\r\n", b"GARBAGE\r\n\r\n", b"GET /" + b"a" * 5000 + b"\r\n\r\n"):
        server.raw(sent)
    samples = since(before, scrape(server))
    assert counted(samples, "none", "none", "400") == 2
    assert counted(samples, "none", "none", "414") == 1


def test_a_batch_is_counted_line_by_line_through_the_server(server: Server) -> None:
    """Of forty lines every other is not JSON: twenty documents of each status are counted,
    whichever worker is asked."""
    body, route = (BODY + b"\n{\n") * 20, "/v1/layouts"
    before = scrape(server)
    sent = len(ask(server, route, "POST", body).encode())
    batches = counted(before, "POST", route, "200") + 1
    after = awaited(server, lambda now: counted(now, "POST", route, "200") == batches)
    samples = since(before, after)
    assert counted(samples, "POST", route, "200") == 1
    assert looked_at(samples, route, "200") == looked_at(samples, route, "400") == 20
    assert at(samples, "guards_request_bytes_total", route=route) == len(body)
    assert at(samples, "guards_response_bytes_total", route=route) == sent
