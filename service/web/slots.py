"""Web: where workers keep what they count: a folder made for one start, a slot in it for each.

prometheus_client has a file for each process, dead ones too, and reads them all whenever it is
asked. Here a worker takes the lowest free slot and goes on from the counts in it: there are never
more files than there were workers at once.

It writes into pages of memory that stand for the file, and a page that finds no room kills the
process. So the files are given all of their room at the start.
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

MEMORY: Final = Path("/dev/shm")
"""Where counting waits for no disk, and where a root that is only read has room."""
NAMED: Final = "guards-metrics-"
LIVE: Final = "gauge_livesum"
"""The kind of file that has what is under way."""
ROOM: Final = {"counter": 262_144, "histogram": 131_072, LIVE: 4096, "gauge_max": 4096}
"""Bytes of a slot's files, by kind: some 1100 counts, where a hundred are many; the histograms of
all routes, and three quarters as much again; one number each."""
_NOTHING_USED: Final = bytes(8)
"""How a file begins that holds no number yet."""
_VARIABLE: Final = "PROMETHEUS_MULTIPROC_DIR"
"""Where prometheus_client looks for the folder's name."""


class Slots:
    """The slots of one start. folder: where they are; None: each process counts for itself."""

    def __init__(self) -> None:
        self.folder: Path | None = None
        self._mine = "master"

    def open(self, workers: int) -> None:
        """Make the folder, once, before anything is counted, with room for so many workers: for the
        process that forks them. Raises OSError where there is none."""
        if self.folder is not None:
            return
        self.folder = roomy_folder((MEMORY, None), (self._mine, *range(workers)))
        os.environ[_VARIABLE] = str(self.folder)
        values.ValueClass = values.MultiProcessValue(lambda: self._mine)  # type: ignore[no-untyped-call]

    def take(self, slot: int) -> None:
        """From now on this process, a worker just forked, counts in its slot."""
        self._mine = str(slot)

    def make_room(self, slot: int) -> None:
        """For the master, of a slot that the start made no room for, as a reload needs for a while.
        Where there is none it goes without: it may do, and what is served is worth more."""
        if self.folder is not None:
            with contextlib.suppress(OSError):
                _reserve(self.folder, slot)

    def leave(self, slot: int) -> None:
        """For the master, of a slot that no worker is in: what was counted there stays, what was
        under way does not. The file keeps its room."""
        if self.folder is None:
            return
        live = self.folder / f"{LIVE}_{slot}.db"
        with contextlib.suppress(FileNotFoundError), live.open("r+b") as file:
            file.write(_NOTHING_USED)


SLOTS: Final = Slots()
"""Those of this process and of the ones forked from it."""


def free_slot(taken: Iterable[int]) -> int:
    """The lowest slot that is not taken.

    >>> free_slot([0, 1, 3])
    2
    """
    held = set(taken)
    return next(slot for slot in itertools.count() if slot not in held)


def roomy_folder(parents: Iterable[Path | None], slots: Iterable[str | int]) -> Path:
    """A folder in the first of `parents` that has room for these slots; None: in the system's for
    what is temporary. Raises the last one's OSError where none has."""
    named, refused = tuple(slots), OSError("no folder")
    for parent in parents:
        try:
            made = make_folder(parent)
        except OSError as error:
            refused = error
            continue
        try:
            for slot in named:
                _reserve(made, slot)
        except OSError as error:
            refused = error
            shutil.rmtree(made, ignore_errors=True)
        else:
            return made
    raise refused


def _reserve(folder: Path, slot: str | int) -> None:
    """Give a slot's files all of their room."""
    for kind, room in ROOM.items():
        # Read and write, not append: else what stands in for fallocate, where a file system has
        # none, refuses the file.
        number = os.open(folder / f"{kind}_{slot}.db", os.O_RDWR | os.O_CREAT, 0o600)
        try:
            os.posix_fallocate(number, 0, room)
        finally:
            os.close(number)


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
