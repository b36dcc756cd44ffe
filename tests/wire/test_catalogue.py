"""Shipped kits and codes are checked at the start, and a bad file stops it with its name and
place."""

from __future__ import annotations

import errno
import json
import os
import shutil
import zipfile
from pathlib import Path
from typing import Any

import pytest

from service.core.problems import Unbuildable
from service.core.records.figures import FIGURES
from service.data.catalogue import BadFileError, load_catalogue
from tests.shipped import catalogue

from .documents import code, kit, put, second_opinion

CASES = Path(__file__).parents[1] / "cases"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder of one good kit and one good code, which a test may spoil."""
    for kind, document in (("kits", kit()), ("codes", code())):
        (tmp_path / kind).mkdir()
        (tmp_path / kind / f"{document['id']}.json").write_text(json.dumps(document), "utf-8")
    return tmp_path


def write(folder: Path, document: Any, name: str = "picket-glass-surface-in.json") -> None:
    """Write a kit's file into the folder."""
    (folder / "kits" / name).write_text(json.dumps(document), "utf-8")


def test_what_is_shipped() -> None:
    """There is a kit in each unit and of each mounting, there are codes, and all of them fit their
    schemas."""
    kits, codes = catalogue().kits, catalogue().codes
    assert {shipped.document["unit"] for shipped in kits.values()} == {"in", "mm"}
    assert {shipped.document["mounting"] for shipped in kits.values()} == {"surface", "fascia"}
    assert {"us-irc-2021", "gb-eng-adk-2013"} <= set(codes)
    assert all(second_opinion("kit").is_valid(each.document) for each in kits.values())
    assert all(second_opinion("code").is_valid(each.document) for each in codes.values())


def test_a_shipped_figure_says_how_well_it_is_supported() -> None:
    """Each figure of a shipped code says how well it is supported, and each but text how it reads:
    left out, they would be taken for `seen` and for the usual reading."""
    silent = [
        f"{name}: {figure} has no {member}"
        for name, document in catalogue().code_documents.items()
        for figure, node in document["figures"].items()
        for member in ("basis", *(() if FIGURES[figure].kind == "text" else ("reads",)))
        if member not in node
    ]
    assert silent == []


def test_every_shipped_document_is_used_by_a_case() -> None:
    """Each shipped kit and code is named by the request of a case worked by hand."""
    texts = [path.read_text("utf-8") for path in CASES.rglob("*.json")]
    shipped = [*catalogue().kits, *catalogue().codes]
    left = [name for name in shipped if not any(f'"{name}"' in text for text in texts)]
    assert left == [], "give each of them a case in tests/cases, with its figures worked by hand"


def test_a_new_file_is_enough(folder: Path) -> None:
    """A new kit is a new JSON file; files of other kinds are passed over."""
    write(folder, {**kit(), "id": "yard-9"}, "yard-9.json")
    (folder / "kits" / "notes.txt").write_text("not a kit", "utf-8")
    found = load_catalogue(folder)
    assert list(found.kits) == ["picket-glass-surface-in", "yard-9"]
    assert found.kit("yard-9").records["mm"].post.width == pytest.approx(2.25 * 25.4)
    assert found.kit_documents["yard-9"]["id"] == "yard-9"
    assert list(found.code_documents) == ["us-irc-2021"]


@pytest.mark.parametrize(
    ("pointer", "value", "place"),
    [
        ("/post/width", 0, "/post/width"),
        ("/post/width", '2 1/3"', "/post/width"),
        ("/colour", 1, "/colour"),
        ("/post/setback", -1, "/post/setback"),
        ("/post/heights", [36] * 33, "/post/heights"),
        ("/picket/width", '0"', "/picket/width"),
        ("/id", "another", "/id"),
    ],
)
def test_a_bad_kit_stops_the_start(folder: Path, pointer: str, value: Any, place: str) -> None:
    """The error names the file and the place in it, whichever stage finds the fault."""
    write(folder, put(kit(), pointer, value))
    with pytest.raises(BadFileError) as caught:
        load_catalogue(folder)
    file = folder / "kits" / "picket-glass-surface-in.json"
    assert f"{file}: {place}: " in str(caught.value)


def test_all_that_is_wrong_with_any_file_is_told(folder: Path) -> None:
    """Every fault of every file has its line, not the first alone."""
    write(folder, put(put(kit(), "/post/width", 0), "/colour", 1))
    write(folder, put(kit(), "/post/setback", -1), "yard-9.json")
    write(folder, put(kit(), "/colour", 1), "yard-8.json")
    (folder / "codes" / "us-irc-2021.json").write_text("{", "utf-8")
    with pytest.raises(BadFileError) as caught:
        load_catalogue(folder)
    told = [line.split(": ")[:2] for line in str(caught.value).splitlines()]
    kits, codes = folder / "kits", folder / "codes"
    assert told == [
        [f"{kits / 'picket-glass-surface-in.json'}", "/colour"],
        [f"{kits / 'picket-glass-surface-in.json'}", "/post/width"],
        [f"{kits / 'yard-8.json'}", "/id"],
        [f"{kits / 'yard-8.json'}", "/colour"],
        [f"{kits / 'yard-9.json'}", "/id"],
        [f"{kits / 'yard-9.json'}", "/post/setback"],
        [f"{codes / 'us-irc-2021.json'}", "(whole)"],
    ]


@pytest.mark.parametrize("text", ["", "{", "[]", '{"id": "a", "id": "b"}', '{"id": NaN}'])
def test_a_file_that_is_no_document_stops_the_start(folder: Path, text: str) -> None:
    """A file is read as strictly as a document that a caller sends."""
    (folder / "codes" / "us-irc-2021.json").write_text(text, "utf-8")
    with pytest.raises(BadFileError, match=r"/codes/us-irc-2021\.json: (\(whole\)|/id): "):
        load_catalogue(folder)


def test_an_id_that_is_not_loaded(folder: Path) -> None:
    """The refusal names the ids that are loaded."""
    with pytest.raises(Unbuildable, match="picket-glass-surface-in"):
        load_catalogue(folder).kit("other")


def test_own_kits_stand_beside_the_shipped(folder: Path) -> None:
    """A folder with kits alone adds them to the shipped ones, and the codes stay the shipped
    ones."""
    (folder / "codes" / "us-irc-2021.json").unlink()
    (folder / "codes").rmdir()
    (folder / "kits" / "picket-glass-surface-in.json").unlink()
    write(folder, {**kit(), "id": "yard-9"}, "yard-9.json")
    found = load_catalogue(own=folder)
    assert list(found.kits) == [*catalogue().kits, "yard-9"]
    assert found.code_documents == catalogue().code_documents


def test_an_id_of_ones_own_is_not_among_the_shipped(folder: Path) -> None:
    """What a shipped id means does not depend on where the service runs, so a file of one's own may
    not use it."""
    with pytest.raises(BadFileError, match=r"/picket-glass-surface-in\.json: there is one of that"):
        load_catalogue(own=folder)


def test_a_folder_with_neither_is_not_what_was_meant(tmp_path: Path) -> None:
    """A path one level too deep or too high would add nothing, so it is refused."""
    with pytest.raises(BadFileError, match="neither a folder kits nor a folder codes"):
        load_catalogue(own=tmp_path)


def test_what_is_no_plain_file_is_told_and_not_waited_for(folder: Path) -> None:
    """A device, which would be read without end, and a pipe that nobody writes into are reported
    and not read."""
    kits = folder / "kits"
    (kits / "device.json").symlink_to("/dev/null")
    (kits / "folder.json").mkdir()
    (kits / "gone.json").symlink_to(kits / "nowhere")
    os.mkfifo(kits / "pipe.json")
    with pytest.raises(BadFileError) as caught:
        load_catalogue(folder)
    assert caught.value.faults == (
        f"{kits}/device.json: it is not a regular file",
        f"{kits}/folder.json: it is not a regular file",
        f"{kits}/gone.json: it cannot be read: No such file or directory",
        f"{kits}/pipe.json: it is not a regular file",
    )


def test_what_is_packed_is_read(folder: Path, tmp_path: Path) -> None:
    """Kits and codes are read from an archive, as Python itself imports from one."""
    packed = shutil.make_archive(str(tmp_path / "packed"), "zip", folder)
    assert load_catalogue(zipfile.Path(packed)).kits.keys() == load_catalogue(folder).kits.keys()


def test_a_folder_that_cannot_be_read_is_told(folder: Path) -> None:
    """A file in place of the folder of kits is refused; it was once passed over, as if there were
    no kits."""
    kits = folder / "kits"
    shutil.rmtree(kits)
    kits.write_text("", "utf-8")
    with pytest.raises(BadFileError, match=f"^{kits}: it cannot be read: Not a directory$"):
        load_catalogue(folder)


@pytest.mark.parametrize("asked", ["is_dir", "iterdir"])
def test_a_folder_that_may_not_be_looked_into_is_told(
    folder: Path, monkeypatch: pytest.MonkeyPatch, asked: str
) -> None:
    """The error names the folder and the reason. Once, the commands ended with a traceback, as did
    a start without deploy/serve."""
    (folder / "codes" / "us-irc-2021.json").unlink()
    (folder / "kits" / "picket-glass-surface-in.json").unlink()
    inner = getattr(Path, asked)

    def refuse(path: Path) -> Any:
        if path.is_relative_to(folder):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))
        return inner(path)

    monkeypatch.setattr(Path, asked, refuse)
    told = f"(?m)^{folder}.*: it cannot be read: Permission denied$"
    with pytest.raises(BadFileError, match=told):
        load_catalogue(own=folder)
