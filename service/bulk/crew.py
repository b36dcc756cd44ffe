"""Bulk: worker processes on this machine, each with a pipe of its own (`Crew`).

They share no queue and no lock, so a worker can be killed at any moment, even while it writes, and
nothing waits for the rest. No worker outlives the command, however the command ends.
"""

from __future__ import annotations

import multiprocessing
import os
import threading
from collections import deque
from multiprocessing import resource_tracker
from multiprocessing.connection import wait
from multiprocessing.process import BaseProcess
from typing import Any

from service.bulk.errors import BulkError
from service.bulk.stopping import ignore_signals, signals_deferred
from service.bulk.work import Parcel, answer_parcel, loaded


class Task:
    """A parcel to be answered. answers: None until they are there."""

    def __init__(self, crew: Crew, parcel: Parcel) -> None:
        self.crew, self.parcel = crew, parcel
        self.answers: list[bytes] | None = None

    def result(self) -> list[bytes]:
        """The answers to the parcel, waited for. Raises BulkError where a worker has died."""
        while self.answers is None:
            self.crew.turn()
        return self.answers


class Crew:
    """Worker processes, `most` at most, begun as they are needed and killed at the block's end.

    longest: the most bytes of a document.
    """

    def __init__(self, most: int, longest: int) -> None:
        self.most, self.longest = most, longest
        self.workers: dict[Any, BaseProcess] = {}
        self.left: deque[Task] = deque()
        self._idle: list[Any] = []
        self._under_way: dict[Any, Task] = {}

    def __enter__(self) -> Crew:
        return self

    def __exit__(self, *_: object) -> None:
        with signals_deferred():
            for worker in self.workers.values():
                worker.kill()
            for pipe, worker in self.workers.items():
                worker.join()
                pipe.close()

    def submit(self, parcel: Parcel) -> Task:
        """A task for a parcel, begun as soon as a worker is free. Raises BulkError where a worker
        has died."""
        task = Task(self, parcel)
        self.left.append(task)
        self.turn(0)
        if self.left and len(self.workers) < self.most:
            self._begin()
        return task

    def turn(self, seconds: float | None = None) -> None:
        """Take the answers that are ready, then hand waiting tasks to idle workers.

        seconds: how long to wait for the first answer; None for as long as it takes.
        """
        for pipe in wait(list(self.workers), seconds) if self.workers else ():
            self._take(pipe)
        while self.left and self._idle:
            pipe, task = self._idle.pop(), self.left.popleft()
            self._under_way[pipe] = task
            try:
                pipe.send(task.parcel)
            except OSError:
                raise _ended() from None

    def _take(self, pipe: Any) -> None:
        try:
            answers = pipe.recv()
        except (EOFError, OSError):
            raise _ended() from None
        if answers is not None:
            self._under_way.pop(pipe).answers = answers
        self._idle.append(pipe)

    def _begin(self) -> None:
        context = multiprocessing.get_context("spawn")
        # Beginning the tracker unblocks SIGNALS, so it is begun before they are deferred.
        resource_tracker.ensure_running()
        with signals_deferred():
            ours, theirs = context.Pipe()
            worker = context.Process(target=serve, args=(theirs, self.longest), daemon=True)
            worker.start()
            theirs.close()
            self.workers[ours] = worker


def _ended() -> BulkError:
    return BulkError("a worker process ended by itself; run the command again to continue")


def serve(pipe: Any, longest: int) -> None:
    """The main loop of a worker: sends None once it is ready, then answers parcel after parcel."""
    ignore_signals()
    threading.Thread(target=_end_with_parent, daemon=True).start()
    loaded()
    try:
        pipe.send(None)
        while True:
            pipe.send(answer_parcel(pipe.recv(), longest))
    except (EOFError, ConnectionError):  # the command is gone
        return


def _end_with_parent() -> None:
    """End this process at once when its parent has ended, as nobody needs its work any more."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
    os._exit(1)
