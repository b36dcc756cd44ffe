"""Data: every kit and code, read and checked once at start.

They come from the JSON files here and from a folder of the yard's own. The main entry is
`load_catalogue`; nothing changes a Catalogue once it is loaded.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable
from itertools import chain
from operator import attrgetter
from pathlib import Path
from stat import S_ISREG
from typing import Any, Final, Generic, TypeVar

from service.core.measure import Unit
from service.core.problems import Refusal, unbuildable
from service.core.records.code import Code
from service.core.records.kit import Kit
from service.wire.canonical import canonical
from service.wire.decode import decode
from service.wire.echo import echo
from service.wire.gate import check_fit
from service.wire.publishing.components import Root
from service.wire.reading.code import read_code
from service.wire.reading.kit import read_kit

UNITS: Final[tuple[Unit, ...]] = ("in", "mm")
Record = TypeVar("Record", Kit, Code)


class BadFileError(Exception):
    """Files of kits or codes cannot be used, which stops the start.

    faults: a line for each fault, with the file, the place in it, and what would be accepted.
    """

    def __init__(self, *faults: str) -> None:
        super().__init__("\n".join(faults))
        self.faults = faults


@dataclass(frozen=True, slots=True)
class Shipped(Generic[Record]):
    """A kit or a code: the document as its file has it, its canonical form, its record by unit."""

    document: dict[str, Any]
    canonical: bytes
    records: Mapping[Unit, Record]


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The kits and codes that are loaded, by id."""

    kits: Mapping[str, Shipped[Kit]]
    codes: Mapping[str, Shipped[Code]]

    @property
    def kit_documents(self) -> dict[str, dict[str, Any]]:
        """Every kit as a document that a caller may also send inline, by id."""
        return {name: shipped.document for name, shipped in self.kits.items()}

    @property
    def code_documents(self) -> dict[str, dict[str, Any]]:
        """Every code as a document that a caller may also send inline, by id."""
        return {name: shipped.document for name, shipped in self.codes.items()}

    def kit(self, name: str) -> Shipped[Kit]:
        """The kit of the id `name`. Refuses (Unbuildable) an unknown id, naming the known ones."""
        return _find(self.kits, name, "kit", "unknown_kit")

    def code(self, name: str) -> Shipped[Code]:
        """The code of the id `name`. Refuses (Unbuildable) an unknown id, naming the known ones."""
        return _find(self.codes, name, "code", "unknown_code")


def own_folder(environ: Mapping[str, str]) -> Path | None:
    """The folder of the yard's own kits and codes that GUARDS_CATALOGUE names; None where unset.

    >>> own_folder({}), own_folder({"GUARDS_CATALOGUE": "yard"})
    (None, PosixPath('yard'))
    """
    named = environ.get("GUARDS_CATALOGUE")
    return Path(named) if named else None


def load_catalogue(root: Traversable | None = None, own: Traversable | None = None) -> Catalogue:
    """Read every kits/*.json and codes/*.json. Raises BadFileError with the faults of all files.

    root: the folder that holds `kits` and `codes`; by default the shipped one. own: a second folder
    with one or both of them, whose ids may not repeat those of the first.
    """
    folders = [root or files("service.data")]
    if own is not None:
        folders.append(own)
        _check_own(own)
    faults: list[str] = []
    kits = _load_all([folder / "kits" for folder in folders], "kit", read_kit, faults)
    codes = _load_all([folder / "codes" for folder in folders], "code", read_code, faults)
    if faults:
        raise BadFileError(*faults)
    return Catalogue(kits, codes)


def _check_own(own: Traversable) -> None:
    try:
        either = any((own / kind).is_dir() for kind in ("kits", "codes"))
    except OSError as error:  # such as a folder that may not be read
        raise _unread(own, error) from error
    if not either:
        raise BadFileError(f"{own}: there is neither a folder kits nor a folder codes in it")


def _load_all(
    folders: Sequence[Traversable],
    kind: Root,
    read: Callable[[dict[str, Any], Unit, str], Record],
    faults: list[str],
) -> dict[str, Shipped[Record]]:
    """The documents of one kind that can be used, by id; the rest are added to `faults`."""
    loaded: dict[str, Shipped[Record]] = {}
    for file in chain.from_iterable(_documents(folder, faults) for folder in folders):
        name = file.name.removesuffix(".json")
        try:
            if name in loaded:
                raise _bad(file, ["there is one of that id already"])
            loaded[name] = _load(file, name, kind, read)
        except BadFileError as error:
            faults += error.faults
    return loaded


def _documents(folder: Traversable, faults: list[str]) -> list[Traversable]:
    """The JSON files of a folder, sorted by name.

    Empty where there is no such folder, and where it cannot be read, which is added to `faults`.
    """
    found: list[Traversable] = []
    try:
        found += folder.iterdir()
    except FileNotFoundError:
        pass
    except OSError as error:
        faults += _unread(folder, error).faults
    return sorted((file for file in found if file.name.endswith(".json")), key=attrgetter("name"))


def _load(
    file: Traversable, name: str, kind: Root, read: Callable[[dict[str, Any], Unit, str], Record]
) -> Shipped[Record]:
    faults: list[str] = []
    try:
        # Reading a pipe could wait for ever, and a device may never end.
        if isinstance(file, Path) and not S_ISREG(file.stat().st_mode):
            raise _bad(file, ["it is not a regular file"])
        document: dict[str, Any] = decode(file.read_bytes())
        own = document.get("id") if isinstance(document, dict) else None
        if isinstance(own, str) and own != name:
            faults.append(f"/id: {echo(own)} is not the name of the file; it has to be {name}")
        check_fit(kind, document)
        records = {unit: read(document, unit, "") for unit in UNITS}
    except OSError as error:
        raise _unread(file, error) from error
    except Refusal as refusal:
        faults += [f"{one.pointer or '(whole)'}: {one.message}" for one in refusal.problems]
    if faults:
        raise _bad(file, faults)
    return Shipped(document, canonical(document), records)


def _bad(file: Traversable, faults: Iterable[str]) -> BadFileError:
    return BadFileError(*(f"{file}: {fault}" for fault in faults))


def _unread(place: Traversable, error: OSError) -> BadFileError:
    return _bad(place, [f"it cannot be read: {error.strerror}"])


def _find(
    loaded: Mapping[str, Shipped[Record]], name: str, kind: str, slug: str
) -> Shipped[Record]:
    found = loaded.get(name)
    if found is None:
        there = ", ".join(loaded)
        message = f"No {kind} {echo(name)} is loaded; there are {there}."
        raise unbuildable(f"/{kind}", slug, message)
    return found
