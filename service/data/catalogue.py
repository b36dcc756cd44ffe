"""Data: every kit and code, shipped or a yard's own, read and checked once at start."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
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
    """A file that cannot be used. It stops the start, with its name and the place in it."""


@dataclass(frozen=True, slots=True)
class Shipped(Generic[Record]):
    """One document as it stands in its file, its canonical form, and its record in both units."""

    document: dict[str, Any]
    canonical: bytes
    records: Mapping[Unit, Record]


@dataclass(frozen=True, slots=True)
class Catalogue:
    """What is loaded, by id."""

    kits: Mapping[str, Shipped[Kit]]
    codes: Mapping[str, Shipped[Code]]

    @property
    def kit_documents(self) -> dict[str, dict[str, Any]]:
        """Every kit as a caller may also send it inline."""
        return {name: shipped.document for name, shipped in self.kits.items()}

    @property
    def code_documents(self) -> dict[str, dict[str, Any]]:
        """Every code as a caller may also send it inline."""
        return {name: shipped.document for name, shipped in self.codes.items()}

    def kit(self, name: str) -> Shipped[Kit]:
        """The kit of that id, or a refusal that names those there are."""
        return _find(self.kits, name, "kit", "unknown_kit")

    def code(self, name: str) -> Shipped[Code]:
        """The code of that id, or a refusal that names those there are."""
        return _find(self.codes, name, "code", "unknown_code")


def own_folder(environ: Mapping[str, str]) -> Path | None:
    """Where a command finds kits and codes that are not shipped: what GUARDS_CATALOGUE names.

    >>> own_folder({}), own_folder({"GUARDS_CATALOGUE": "yard"})
    (None, PosixPath('yard'))
    """
    named = environ.get("GUARDS_CATALOGUE")
    return Path(named) if named else None


def load_catalogue(root: Traversable | None = None, own: Traversable | None = None) -> Catalogue:
    """Read kits/*.json and codes/*.json. Raises BadFileError at the first that is not good.

    root: the folder that holds both; the shipped one where left out. own: one with either or both,
    whose ids may not be among those of the first.
    """
    folders = [root or files("service.data")]
    if own is not None:
        folders.append(own)
        if not any((own / kind).is_dir() for kind in ("kits", "codes")):
            raise BadFileError(f"{own}: there is neither a folder kits nor a folder codes in it")
    return Catalogue(
        kits=_load_all([folder / "kits" for folder in folders], "kit", read_kit),
        codes=_load_all([folder / "codes" for folder in folders], "code", read_code),
    )


def _load_all(
    folders: Sequence[Traversable],
    kind: Root,
    read: Callable[[dict[str, Any], Unit, str], Record],
) -> dict[str, Shipped[Record]]:
    loaded: dict[str, Shipped[Record]] = {}
    for folder in folders:
        if folder.is_dir():
            for name, shipped in _load(folder, kind, read):
                if name in loaded:
                    raise _bad(folder / f"{name}.json", ["there is one of that id already"])
                loaded[name] = shipped
    return loaded


def _load(
    folder: Traversable, kind: Root, read: Callable[[dict[str, Any], Unit, str], Record]
) -> Iterator[tuple[str, Shipped[Record]]]:
    for file in sorted(folder.iterdir(), key=lambda file: file.name):
        if file.name.endswith(".json"):
            name = file.name.removesuffix(".json")
            document = _read_document(file, kind)
            if document["id"] != name:
                raise _bad(file, [f"/id: {echo(document['id'])} is not the name of the file"])
            try:
                records = {unit: read(document, unit, "") for unit in UNITS}
            except Refusal as refusal:
                raise _bad(file, _places(refusal)) from None
            yield name, Shipped(document, canonical(document), records)


def _read_document(file: Traversable, kind: Root) -> dict[str, Any]:
    try:
        document: dict[str, Any] = decode(file.read_bytes())
        check_fit(kind, document)
    except OSError as error:
        raise _bad(file, [f"it cannot be read: {error.strerror}"]) from error
    except Refusal as refusal:
        raise _bad(file, _places(refusal)) from None
    return document


def _places(refusal: Refusal) -> list[str]:
    return [f"{problem.pointer or '(whole)'}: {problem.message}" for problem in refusal.problems]


def _bad(file: Traversable, faults: list[str]) -> BadFileError:
    return BadFileError(f"{file.name}: " + "; ".join(faults))


def _find(
    loaded: Mapping[str, Shipped[Record]], name: str, kind: str, slug: str
) -> Shipped[Record]:
    found = loaded.get(name)
    if found is None:
        there = ", ".join(loaded)
        message = f"No {kind} {echo(name)} is loaded; there are {there}."
        raise unbuildable(f"/{kind}", slug, message)
    return found
