"""Bulk: where parcels are worked on: the local cores, a service's address, or a Dask cluster.

Each gives answers in order and takes in no more parcels than it has hands for, so that memory does
not grow with the input.
"""

from __future__ import annotations

import json
import urllib.error
import urllib.request
from collections import deque
from collections.abc import Callable, Generator, Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any, Final, Protocol, TypeAlias

from service.batch import tell_refused, too_long
from service.bulk.crew import Crew
from service.bulk.errors import BulkError
from service.bulk.work import Parcel, answer_parcel
from service.refusals import Refused, refuse_document

AHEAD: Final = 3
"""Parcels begun for each worker."""
TIMEOUT: Final = 600
SENDERS: Final = 1
"""Batches sent at once: a service keeps a worker free for others."""


class Future(Protocol):
    """What a pool gives back for a parcel."""

    def result(self) -> list[bytes]:
        """Its answers, once they are there."""


Submit: TypeAlias = Callable[[Parcel], Future]
Answers: TypeAlias = Generator[list[bytes], None, None]
"""Those of a parcel at a time; to be closed by who takes them."""


def in_order(parcels: Iterator[Parcel], submit: Submit, ahead: int) -> Answers:
    """The answers of parcels in their order, at most `ahead` of them begun."""
    begun: deque[Future] = deque()
    for parcel in parcels:
        begun.append(submit(parcel))
        if len(begun) >= ahead:
            yield begun.popleft().result()
    while begun:
        yield begun.popleft().result()


def run_local(parcels: Iterator[Parcel], longest: int, workers: int) -> Answers:
    """On this machine; one worker is this process itself."""
    if workers == 1:
        for parcel in parcels:
            yield answer_parcel(parcel, longest)
        return
    with Crew(workers, longest) as crew:
        yield from in_order(parcels, crew.submit, AHEAD * workers)


def run_dask(parcels: Iterator[Parcel], longest: int, scheduler: str) -> Answers:
    """On the workers of a Dask cluster, which have this service installed."""
    try:
        import distributed
    except ImportError:
        raise BulkError("--scheduler needs Dask: install guard-layout[dask]") from None
    try:
        connect: Any = distributed.Client
        client = connect(scheduler, timeout=10)
    except (OSError, ValueError) as error:
        raise BulkError(f"no Dask scheduler answers at {scheduler}: {error}") from None
    with client:
        hands = max(1, sum(client.nthreads().values()))

        def submit(parcel: Parcel) -> Any:
            return client.submit(answer_parcel, parcel, longest, pure=False)

        yield from in_order(parcels, submit, AHEAD * hands)


def run_service(parcels: Iterator[Parcel], longest: int, url: str, key: str | None) -> Answers:
    """By a running service, as batches."""
    service = _Service(url.rstrip("/"), key, longest)
    with ThreadPoolExecutor(SENDERS) as pool:
        yield from in_order(parcels, lambda parcel: pool.submit(service.answer, parcel), 2)


class _Service:
    """A service by its address."""

    def __init__(self, url: str, key: str | None, longest: int) -> None:
        self.url, self.longest = url, longest
        self.headers = {"Authorization": f"Bearer {key}"} if key else {}

    def answer(self, parcel: Parcel) -> list[bytes]:
        """Documents of one line each as a batch; others, which no line can hold, one by one."""
        answers: dict[int, bytes] = {}
        batch: list[tuple[int, bytes]] = []
        for number, body in parcel:
            if body is None or len(body) > self.longest:
                refused = refuse_document(too_long(self.longest))
                answers[number] = tell_refused(number, refused).body
            elif b"\n" in body or not body.strip():
                answers[number] = self._one(number, body)
            else:
                batch.append((number, body))
        if batch:
            answers |= self._batch(batch)
        return [answers[number] for number, _ in parcel]

    def _one(self, number: int, body: bytes) -> bytes:
        status, reply = self._post("/v1/layout", body, "application/json")
        if status == 200:
            return b'{"line":%d,"status":200,"layout":' % number + reply + b"}\n"
        if status not in (400, 413, 422):
            raise BulkError(f"{self.url} answers {status}: {_detail(reply)}")
        return tell_refused(number, Refused(status, reply)).body

    def _batch(self, batch: list[tuple[int, bytes]]) -> dict[int, bytes]:
        sent = b"".join(body + b"\n" for _, body in batch)
        status, reply = self._post("/v1/layouts", sent, "application/x-ndjson")
        if status != 200:
            raise BulkError(f"{self.url} answers {status}: {_detail(reply)}")
        told = reply.splitlines(keepends=True)
        if len(told) != len(batch) or b',"ended":true}' in told[-1][-20:]:
            raise BulkError(f"{self.url} ended a batch early: {_detail(told[-1] if told else b'')}")
        return {
            number: b'{"line":%d,' % number + line.partition(b",")[2]
            for (number, _), line in zip(batch, told, strict=True)
        }

    def _post(self, path: str, body: bytes, media: str) -> tuple[int, bytes]:
        request = urllib.request.Request(
            self.url + path, body, {"Content-Type": media, **self.headers}, method="POST"
        )
        try:
            with urllib.request.urlopen(request, timeout=TIMEOUT) as reply:
                return reply.status, reply.read()
        except urllib.error.HTTPError as refused:
            return refused.code, refused.read()
        except (OSError, ValueError) as error:
            raise BulkError(f"{self.url} does not answer: {error}") from None


def _detail(reply: bytes) -> str:
    """A problem document's own words, or the beginning of what came."""
    try:
        read = json.loads(reply)
        return str(read.get("problem", read)["detail"])
    except (ValueError, KeyError, TypeError, AttributeError):
        return repr(reply[:200])
