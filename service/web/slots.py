"""Web: where workers keep what they count: a folder made for one start, a slot in it for each.

prometheus_client has a file for each process, dead ones too, and reads them all whenever it is
asked. Here a worker takes the lowest free slot and goes on from the counts in it: there are never
more files than there were workers at once.
"""

from __future__ import annotations

import atexit
import contextlib
import fcntl
import itertools
import os
import shutil
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from prometheus_client import values
from prometheus_client.multiprocess import mark_process_dead

MEMORY: Final = Path("/dev/shm")
"""Where counting waits for no disk, and where a root that is only read has room."""
NAMED: Final = "guards-metrics-"
_VARIABLE: Final = "PROMETHEUS_MULTIPROC_DIR"
"""Where prometheus_client looks for the folder's name."""


class Slots:
    """The slots of one start. folder: where they are; None: each process counts for itself."""

    def __init__(self) -> None:
        self.folder: Path | None = None
        self._mine = "master"

    def open(self) -> None:
        """Make the folder, once, before anything is counted: for the process that forks workers."""
        if self.folder is not None:
            return
        self.folder = make_folder(MEMORY if os.access(MEMORY, os.W_OK) else None)
        os.environ[_VARIABLE] = str(self.folder)
        values.ValueClass = values.MultiProcessValue(lambda: self._mine)  # type: ignore[no-untyped-call]

    def take(self, slot: int) -> None:
        """From now on this process, a worker just forked, counts in its slot."""
        self._mine = str(slot)

    def leave(self, slot: int) -> None:
        """For the master, of a worker that is dead: what it counted stays, what it had under way
        does not."""
        if self.folder is not None:
            mark_process_dead(slot, str(self.folder))  # type: ignore[no-untyped-call]


SLOTS: Final = Slots()
"""Those of this process and of the ones forked from it."""


def free_slot(taken: Iterable[int]) -> int:
    """The lowest slot that is not taken.

    >>> free_slot([0, 1, 3])
    2
    """
    held = set(taken)
    return next(slot for slot in itertools.count() if slot not in held)


def make_folder(parent: Path | None) -> Path:
    """An empty folder in `parent`, or in the system's for what is temporary, for this user alone.
    It is gone when this process ends; one left by a process that was killed goes now."""
    within = parent or Path(tempfile.gettempdir())
    for old in within.glob(f"{NAMED}*"):
        _remove_left(old)
    made = Path(tempfile.mkdtemp(prefix=NAMED, dir=within))
    _lock(made)
    maker = os.getpid()

    def remove() -> None:
        # Workers inherit this and end before the master does.
        if os.getpid() == maker:
            shutil.rmtree(made, ignore_errors=True)

    atexit.register(remove)
    return made


def _remove_left(old: Path) -> None:
    """Remove a folder that no process holds. One with nothing in it may be about to be locked;
    another user's cannot be opened."""
    with contextlib.suppress(OSError):
        if any(old.iterdir()):
            held = _lock(old)
            shutil.rmtree(old, ignore_errors=True)
            os.close(held)


def _lock(folder: Path) -> int:
    """Hold a folder, for this process and those forked from it, until the last of them ends; an
    OSError where others hold it. The kernel lets go for whoever is killed."""
    opened = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW)
    try:
        fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(opened)
        raise
    return opened
