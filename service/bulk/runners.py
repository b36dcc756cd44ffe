"""Bulk: where parcels are worked on: the local cores, a service's address, or a Dask cluster.

Each gives answers in order and takes in no more parcels than it has hands for, so that memory does
not grow with the input. `longest` is the bytes of a document that it takes.
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
"""Parcels begun for each worker."""
SENT: Final = 2
"""Parcels begun for a service: one under way and the next."""


class Future(Protocol):
    """What a pool gives back for a parcel."""

    def result(self) -> list[bytes]:
        """Its answers, once they are there."""


Submit: TypeAlias = Callable[[Parcel], Future]
Answers: TypeAlias = Generator[list[bytes], None, None]
"""Those of a parcel at a time; to be closed by who takes them."""


def in_order(parcels: Iterator[Parcel], submit: Submit, ahead: int) -> Answers:
    """The answers of parcels in their order, at most `ahead` of them begun.

    Of a parcel that broke off, those that there are, before it is raised.
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
    """Where parcels are worked on."""

    def check(self) -> None:
        """Raises BulkError where it cannot be asked at all, before anything is read or written."""

    def grounds(self) -> Grounds:
        """What it answers on."""

    def answers(self, parcels: Iterator[Parcel], known: Grounds) -> Answers:
        """The answers to parcels on those grounds."""


@dataclass(frozen=True, slots=True)
class Local:
    """This machine; one worker is this process itself."""

    workers: int
    longest: int

    def check(self) -> None:
        """There is nothing to check."""

    def grounds(self) -> Grounds:
        """This process's own."""
        return own_grounds()

    def answers(self, parcels: Iterator[Parcel], known: Grounds) -> Answers:
        """By this process, or a crew of others; where there is but one parcel, it is done before a
        worker would have begun."""
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
    """A running service, by its address."""

    url: str
    key: str | None
    longest: int

    def check(self) -> None:
        """That its address and its key can be used."""
        check_address(self.url, self.key)

    def grounds(self) -> Grounds:
        """As it tells them."""
        return Client(self.url, self.key, self.longest).grounds()

    def answers(self, parcels: Iterator[Parcel], known: Grounds) -> Answers:
        """As batches. Raises BulkError where it is of another release by now, or in the end has
        other kits or codes: it may have been begun anew meanwhile."""
        sender = Sender(Client(self.url, self.key, self.longest, known.release).answer)
        try:
            yield from in_order(parcels, sender.submit, SENT)
        finally:
            sender.close()
        if self.grounds() != known:
            raise BulkError(
                f"{self.url} has another release, or other kits or codes, than when this began, "
                "and answers may be by either; begin again with another file"
            )


@dataclass(frozen=True, slots=True)
class Cluster:
    """The workers of a Dask cluster, which have this service installed, by its scheduler."""

    scheduler: str
    longest: int

    def check(self) -> None:
        """That Dask is installed here."""
        if importlib.util.find_spec("distributed") is None:
            raise BulkError("--scheduler needs Dask: pip install '.[dask]'")

    def grounds(self) -> Grounds:
        """Those of one worker; each holds its own against them with each parcel."""
        with self._connect() as client:
            told: Grounds = client.submit(own_grounds, pure=False).result()
            return told

    def answers(self, parcels: Iterator[Parcel], known: Grounds) -> Answers:
        """By all its workers."""
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
    """A thread that sends one parcel after another: a service keeps its other workers for others.

    It is a daemon, so that nobody waits for a reply that has been given up.
    """

    def __init__(self, answer: Callable[[Parcel], list[bytes]]) -> None:
        self.answer = answer
        self.asked: SimpleQueue[tuple[Parcel, concurrent.futures.Future[list[bytes]]] | None]
        self.asked = SimpleQueue()
        self.closed = False
        threading.Thread(target=self._run, daemon=True).start()

    def submit(self, parcel: Parcel) -> Future:
        """Have a parcel sent after those before it."""
        told: concurrent.futures.Future[list[bytes]] = concurrent.futures.Future()
        self.asked.put((parcel, told))
        return told

    def close(self) -> None:
        """Nothing more is sent."""
        self.closed = True
        self.asked.put(None)

    def _run(self) -> None:
        while (asked := self.asked.get()) is not None and not self.closed:
            parcel, told = asked
            try:
                told.set_result(self.answer(parcel))
            except Exception as error:
                told.set_exception(error)
