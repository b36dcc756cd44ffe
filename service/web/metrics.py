"""Web: what is counted for whoever runs the service, in the text that Prometheus reads.

Labels come from short lists of ours, never from what was sent, so that nobody outside can make
them more. Nothing here knows what a document holds but how many bays came of it.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final

from prometheus_client import (
    CollectorRegistry,
    Counter,
    Gauge,
    Histogram,
    Metric,
    disable_created_metrics,
)
from prometheus_client.exposition import CONTENT_TYPE_PLAIN_0_0_4, generate_latest
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.registry import Collector
from werkzeug.wsgi import ClosingIterator

from service import RELEASE

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

MEDIA: Final = CONTENT_TYPE_PLAIN_0_0_4
METHODS: Final = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
"""Methods that are told apart; the rest are one."""
OTHER: Final = "other"
NONE: Final = "none"
"""The route of what no path takes, and route and method of what was refused unread."""
SECONDS: Final = (
    0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30, 100, 300,
)  # fmt: skip
"""Bounds of the histogram: a typical layout takes 2 to 5 ms, the largest some seconds, and a batch
as long as GUARDS_BATCH_TIMEOUT allows."""

# When each series began, which OpenMetrics wants, would double their number.
disable_created_metrics()  # type: ignore[no-untyped-call]


class Folder(Collector):
    """The counts of all workers, by the library's own reader of its files."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def collect(self) -> Iterable[Metric]:
        """Each metric, its samples added up."""
        files = [str(file) for file in self._path.glob("*.db") if _is_filled(file)]
        merged: Iterable[Metric] = MultiProcessCollector.merge(files)  # type: ignore[no-untyped-call]
        return merged


def _is_filled(file: Path) -> bool:
    """Whether it has begun: for a moment a new worker's is empty, which the reader can't bear, and
    what a dead one had under way may be gone just now."""
    try:
        return file.stat().st_size > 0
    except FileNotFoundError:
        return False


class Metrics:
    """What one app counts. folder: where its workers' counts lie; None: in this process alone."""

    def __init__(self, folder: Path | None = None) -> None:
        self._registry = CollectorRegistry()
        if folder is not None:
            self._registry.register(Folder(folder))
        # What the workers count is read from the folder, not from this process.
        own = self._registry if folder is None else None
        counted = partial(Counter, registry=own)
        self._requests = counted(
            "guards_requests_total",
            "Requests answered; route none: taken by no path, and with method none not even read.",
            ("method", "route", "status"),
        )
        self._seconds = Histogram(
            "guards_request_duration_seconds",
            "From head to answer, its body's arrival included; a batch's to the end of sending.",
            ("route",),
            registry=own,
            buckets=SECONDS,
        )
        self._received = counted(
            "guards_request_bytes_total", "Bytes of documents received to be laid out.", ("route",)
        )
        self._sent = counted("guards_response_bytes_total", "Bytes of bodies sent.", ("route",))
        self._documents = counted(
            "guards_documents_total",
            "Deck documents looked at, lines of batches included: 200 laid out, else refused.",
            ("route", "status"),
        )
        self._bays = counted("guards_bays_total", "Bays laid out.", ("route",))
        self._under_way = Gauge(
            "guards_requests_under_way",
            "Requests that are being answered, the one that asks for this included.",
            registry=own,
            multiprocess_mode="livesum",
        )
        Gauge(
            "guards_build_info",
            "1, and the release of the service.",
            ("release",),
            registry=own,
            multiprocess_mode="max",
        ).labels(RELEASE).set(1)

    def count_request(
        self, method: str, rule: str | None, status: int, seconds: float, received: int, sent: int
    ) -> None:
        """A request that was answered. rule: of the route that took it; received, sent: bytes."""
        route = rule or NONE
        self._requests.labels(method if method in METHODS else OTHER, route, status).inc()
        self._seconds.labels(route).observe(seconds)
        self._sent.labels(route).inc(sent)
        if received:
            self._received.labels(route).inc(received)

    def count_unread(self, status: int) -> None:
        """A request that the server refused before the app saw it, or took from the app."""
        self._requests.labels(NONE, NONE, status).inc()

    def count_document(self, route: str, status: int, bays: int) -> None:
        """A deck document that was laid out or refused. bays: how many came of it."""
        self._documents.labels(route, status).inc()
        if bays:
            self._bays.labels(route).inc(bays)

    def watch(self, app: WSGIApplication) -> WSGIApplication:
        """The same application; a request is under way until the whole of its answer is sent."""

        def watched(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
            self._under_way.inc()
            try:
                parts = app(environ, start_response)
            except BaseException:  # SystemExit too: the master's, after the timeout
                self._under_way.dec()
                raise
            return ClosingIterator(parts, self._under_way.dec)

        return watched

    def write(self) -> bytes:
        """All of it, over all workers."""
        return generate_latest(self._registry)
