"""Bulk: the runners, which have parcels answered: by local cores, a service, or a Dask cluster.

Each yields answers in order and takes in only as many parcels as it can work on, so that memory
does not grow with the input. `longest` is always the most bytes of a document.
"""

from __future__ import annotations

import concurrent.futures
import importlib.util
import threading
from collections import deque
from collections.abc import Callable, Generator, Iterator
from dataclasses import dataclass
from itertools import chain, islice
from queue import SimpleQueue
from typing import Any, Final, Protocol, TypeAlias

from service.bulk.client import Client, check_address
from service.bulk.crew import Crew
from service.bulk.errors import BulkError
from service.bulk.grounds import Grounds, answer_on, own_grounds
from service.bulk.work import Parcel, answer_parcel

AHEAD: Final = 3
"""The most parcels begun for each worker."""
SENT: Final = 2
"""The most parcels begun for a service: the one under way and the next."""


class Future(Protocol):
    """The answers to a parcel that is under way."""

    def result(self) -> list[bytes]:
        """The answers to the parcel, waited for."""


Submit: TypeAlias = Callable[[Parcel], Future]
Answers: TypeAlias = Generator[list[bytes], None, None]
"""Answers, those of one parcel at a time. Whoever takes them has to close the generator."""


def in_order(parcels: Iterator[Parcel], submit: Submit, ahead: int) -> Answers:
    """The answers to parcels, in their order. ahead: the most parcels begun at a time.

    Where a parcel breaks off, the answers that its BulkError holds come first; then it is raised.
    """
    begun: deque[Future] = deque()
    try:
        for parcel in parcels:
            begun.append(submit(parcel))
            if len(begun) >= ahead:
                yield begun.popleft().result()
        while begun:
            yield begun.popleft().result()
    except BulkError as error:
        if error.answers:
            yield error.answers
        raise


class Runner(Protocol):
    """A way to have parcels answered: on this machine, by a service, or by a cluster.

    Making one raises BulkError where it cannot be used.
    """

    def grounds(self) -> Grounds:
        """The grounds of its answers."""

    def answers(self, parcels: Iterator[Parcel], known: Grounds) -> Answers:
        """The answers to parcels, made on the `known` grounds."""


@dataclass(frozen=True, slots=True)
class Local:
    """Has parcels answered on this machine. A single worker is this process itself."""

    workers: int
    longest: int

    def grounds(self) -> Grounds:
        """The grounds of this process."""
        return own_grounds()

    def answers(self, parcels: Iterator[Parcel], known: Grounds) -> Answers:
        """The answers of a crew, or of this process where it is the only worker.

        This process also answers where there is only one parcel, as it is done before a worker
        would have begun.
        """
        first = list(islice(parcels, 2))
        parcels = chain(first, parcels)
        if self.workers == 1 or len(first) < 2:
            for parcel in parcels:
                yield answer_parcel(parcel, self.longest)
            return
        with Crew(self.workers, self.longest) as crew:
            yield from in_order(parcels, crew.submit, AHEAD * self.workers)


@dataclass(frozen=True, slots=True)
class Service:
    """Has parcels answered by a running service at an address."""

    url: str
    key: str | None
    longest: int

    def __post_init__(self) -> None:
        check_address(self.url, self.key)

    def grounds(self) -> Grounds:
        """The grounds of the service, as it publishes them."""
        return Client(self.url, self.key, self.longest).grounds()

    def answers(self, parcels: Iterator[Parcel], known: Grounds) -> Answers:
        """The answers of the service, asked for in batches.

        Raises BulkError where its release changes on the way, or where its kits or codes are others
        in the end: it may have been restarted meanwhile.
        """
        sender = Sender(Client(self.url, self.key, self.longest, known.release).answer)
        try:
            yield from in_order(parcels, sender.submit, SENT)
        finally:
            sender.close()
        if self.grounds() != known:
            raise BulkError(
                f"{self.url} has another release, or other kits or codes, than when this began, "
                "and answers may be by either; start again with another file"
            )


@dataclass(frozen=True, slots=True)
class Cluster:
    """Has parcels answered by the workers of a Dask cluster, which need this service installed."""

    scheduler: str
    longest: int

    def __post_init__(self) -> None:
        if importlib.util.find_spec("distributed") is None:
            raise BulkError("--scheduler needs Dask: pip install '.[dask]'")

    def grounds(self) -> Grounds:
        """The grounds of one worker; with each parcel, its worker checks that its own agree."""
        with self._connect() as client:
            told: Grounds = client.submit(own_grounds, pure=False).result()
            return told

    def answers(self, parcels: Iterator[Parcel], known: Grounds) -> Answers:
        """The answers of all workers of the cluster."""
        with self._connect() as client:
            hands = max(1, sum(client.nthreads().values()))

            def submit(parcel: Parcel) -> Any:
                return client.submit(answer_on, known, parcel, self.longest, pure=False)

            yield from in_order(parcels, submit, AHEAD * hands)

    def _connect(self) -> Any:
        import distributed

        try:
            connect: Any = distributed.Client
            return connect(self.scheduler, timeout=10)
        except (OSError, ValueError) as error:
            raise BulkError(f"no Dask scheduler answers at {self.scheduler}: {error}") from None


class Sender:
    """A thread that sends one parcel after another, which leaves the service's other workers free.

    It is a daemon thread, so that the command never waits for a reply that it has given up.
    """

    def __init__(self, answer: Callable[[Parcel], list[bytes]]) -> None:
        self.answer = answer
        self.asked: SimpleQueue[tuple[Parcel, concurrent.futures.Future[list[bytes]]] | None]
        self.asked = SimpleQueue()
        self.closed = False
        threading.Thread(target=self._run, daemon=True).start()

    def submit(self, parcel: Parcel) -> Future:
        """The future of a parcel, which is sent after those before it."""
        told: concurrent.futures.Future[list[bytes]] = concurrent.futures.Future()
        self.asked.put((parcel, told))
        return told

    def close(self) -> None:
        """Send nothing more."""
        self.closed = True
        self.asked.put(None)

    def _run(self) -> None:
        while (asked := self.asked.get()) is not None and not self.closed:
            parcel, told = asked
            try:
                told.set_result(self.answer(parcel))
            except Exception as error:
                told.set_exception(error)
