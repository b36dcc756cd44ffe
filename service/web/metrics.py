"""Web: counts for whoever runs the service, in the text format that Prometheus reads (`Metrics`).

Labels come from short lists of our own, never from what was sent, so that no client can add to
them. Of a document, only the number of its bays is counted.
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
"""Methods that are counted apart; all others count as OTHER."""
OTHER: Final = "other"
NONE: Final = "none"
"""The route of requests that no path takes; route and method of requests refused unread."""
SECONDS: Final = (
    0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30, 100, 300,
)  # fmt: skip
"""Upper bounds of the histogram's buckets: a typical layout takes 2 to 5 ms, the largest some
seconds, and a batch as long as GUARDS_BATCH_TIMEOUT allows."""

# The series that tell when each count began, which OpenMetrics wants, would double their number.
disable_created_metrics()  # type: ignore[no-untyped-call]


class Folder(Collector):
    """The counts of all workers, read from their files by prometheus_client's own reader."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def collect(self) -> Iterable[Metric]:
        """Each metric, merged over all workers."""
        files = [str(file) for file in self._path.glob("*.db") if _is_filled(file)]
        merged: Iterable[Metric] = MultiProcessCollector.merge(files)  # type: ignore[no-untyped-call]
        return merged


def _is_filled(file: Path) -> bool:
    """Whether a file of counts is there and not empty.

    The file of a new worker is empty for a moment, which the reader fails on, and a file may be
    removed at any time.
    """
    try:
        return file.stat().st_size > 0
    except FileNotFoundError:
        return False


class Metrics:
    """The counts of one app.

    folder: the folder of its workers' counts; None where this process alone counts.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._registry = CollectorRegistry()
        if folder is not None:
            self._registry.register(Folder(folder))
        # With a folder, counts are read from there, so this process's metrics are not registered.
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
        """Count a request that was answered.

        rule: of its route; None where no path took it. received, sent: bytes of the two bodies.
        """
        route = rule or NONE
        self._requests.labels(method if method in METHODS else OTHER, route, status).inc()
        self._seconds.labels(route).observe(seconds)
        self._sent.labels(route).inc(sent)
        if received:
            self._received.labels(route).inc(received)

    def count_unread(self, status: int) -> None:
        """Count a request that the worker answered itself, as the app did not see or end it."""
        self._requests.labels(NONE, NONE, status).inc()

    def count_document(self, route: str, status: int, bays: int) -> None:
        """Count a deck document that was laid out or refused. bays: the layout's, else 0."""
        self._documents.labels(route, status).inc()
        if bays:
            self._bays.labels(route).inc(bays)

    def watch(self, app: WSGIApplication) -> WSGIApplication:
        """The app, wrapped to count each request as under way until all of its reply is sent."""

        def watched(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
            self._under_way.inc()
            try:
                parts = app(environ, start_response)
            except BaseException:  # also SystemExit, with which the master ends a worker
                self._under_way.dec()
                raise
            return ClosingIterator(parts, self._under_way.dec)

        return watched

    def write(self) -> bytes:
        """The counts of all workers in Prometheus's text format."""
        return generate_latest(self._registry)
