"""Web: where workers keep their counts: a folder made at the start, with a slot for each worker.

By default prometheus_client keeps a file for each process, dead ones too, and reads them all
whenever it is asked. Here a new worker takes the lowest free slot and goes on from the counts in
it, so there are never more files than there were workers at once.

prometheus_client writes to the files through mapped memory, and a page for which the disk has no
room kills the process. So all room of the files is reserved at the start.
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
"""A folder in memory, so that counting never waits for a disk, and works on a read-only root."""
NAMED: Final = "guards-metrics-"
LIVE: Final = "gauge_livesum"
"""The kind of file that counts requests under way."""
ROOM: Final = {"counter": 262_144, "histogram": 131_072, LIVE: 4096, "gauge_max": 4096}
"""Bytes of a slot's files by kind. The counter file holds some 1100 counts, where a hundred are
many; the histogram file holds those of all routes, and three quarters as much again; the others
hold one number each."""
_NOTHING_USED: Final = bytes(8)
"""The first bytes of a file that holds no number."""
_VARIABLE: Final = "PROMETHEUS_MULTIPROC_DIR"
"""The environment variable in which prometheus_client looks for the folder."""


class Slots:
    """The slots of one start. folder: holds them; None where each process counts for itself."""

    def __init__(self) -> None:
        self.folder: Path | None = None
        self._mine = "master"

    def open(self, workers: int) -> None:
        """Make the folder, once, with room for the master and `workers` workers.

        Called by the master before anything is counted. Raises OSError where there is no room.
        """
        if self.folder is not None:
            return
        self.folder = roomy_folder((MEMORY, None), (self._mine, *range(workers)))
        os.environ[_VARIABLE] = str(self.folder)
        values.ValueClass = values.MultiProcessValue(lambda: self._mine)  # type: ignore[no-untyped-call]

    def take(self, slot: int) -> None:
        """Make this process, a worker just forked, count in its slot from now on."""
        self._mine = str(slot)

    def make_room(self, slot: int) -> None:
        """Reserve room for a slot that had none at the start, as a reload needs for a while.

        Called by the master. Where there is no room the worker is started all the same: it may
        manage, and serving matters more than counting.
        """
        if self.folder is not None:
            with contextlib.suppress(OSError):
                _reserve(self.folder, slot)

    def leave(self, slot: int) -> None:
        """Clear the requests under way of a slot that has no worker; its other counts stay.

        Called by the master. The file keeps its room.
        """
        if self.folder is None:
            return
        live = self.folder / f"{LIVE}_{slot}.db"
        with contextlib.suppress(FileNotFoundError), live.open("r+b") as file:
            file.write(_NOTHING_USED)


SLOTS: Final = Slots()
"""The slots of this process and of those forked from it."""


def free_slot(taken: Iterable[int]) -> int:
    """The lowest slot number that is not taken.

    >>> free_slot([0, 1, 3])
    2
    """
    held = set(taken)
    return next(slot for slot in itertools.count() if slot not in held)


def roomy_folder(parents: Iterable[Path | None], slots: Iterable[str | int]) -> Path:
    """A new folder in the first of `parents` that has room for the slots.

    A parent of None is the system's folder for temporary files. Raises the OSError of the last
    parent where none has room.
    """
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
    """Reserve the room of all files of a slot. Raises OSError where there is not enough."""
    for kind, room in ROOM.items():
        # Opened to read and write, not to append: on a file system without fallocate, what stands
        # in for it refuses a file opened to append.
        number = os.open(folder / f"{kind}_{slot}.db", os.O_RDWR | os.O_CREAT, 0o600)
        try:
            os.posix_fallocate(number, 0, room)
        finally:
            os.close(number)


def make_folder(parent: Path | None) -> Path:
    """A new empty folder for this user alone, in `parent` or the system's folder for temporary
    files.

    It is removed when this process ends. Folders left by processes that were killed are removed
    first.
    """
    within = parent or Path(tempfile.gettempdir())
    for old in within.glob(f"{NAMED}*"):
        _remove_left(old)
    made = Path(tempfile.mkdtemp(prefix=NAMED, dir=within))
    _lock(made)
    maker = os.getpid()

    def remove() -> None:
        # Workers inherit this handler, and end before the master does.
        if os.getpid() == maker:
            shutil.rmtree(made, ignore_errors=True)

    atexit.register(remove)
    return made


def _remove_left(old: Path) -> None:
    """Remove a folder that no process holds.

    An empty folder is left, as its process may be about to lock it; so is another user's, which
    cannot be opened.
    """
    with contextlib.suppress(OSError):
        if any(old.iterdir()):
            held = _lock(old)
            shutil.rmtree(old, ignore_errors=True)
            os.close(held)


def _lock(folder: Path) -> int:
    """Lock a folder for this process and those forked from it, until the last of them ends.

    Raises OSError where other processes hold it. The kernel releases the lock of a killed process.
    """
    opened = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW)
    try:
        fcntl.flock(opened, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        os.close(opened)
        raise
    return opened
