"""The files of a run: one is never put to two uses, and none is touched where the run is
refused."""

from __future__ import annotations

import json
import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from service.bulk.__main__ import main
from tests.bulk.commands import call, deck, expected, lines_of
from tests.web.running import ROOT

WALKS = (
    "id,unit,kit,code,infill,drop,sides,walls\n"
    "front,in,picket-glass-surface-in,us-irc-2021,picket,48,240;144;240;?,2\n"
)


def held(folder: Path) -> dict[str, bytes | str]:
    """Every file below a folder with its bytes; for a link, the path that it leads to."""
    return {
        str(path.relative_to(folder)): os.readlink(path) if path.is_symlink() else path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_symlink() or path.is_file()
    }


@pytest.fixture(scope="module")
def answered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a file of lines, and the answers to them with their note and summary."""
    folder = tmp_path_factory.mktemp("answered")
    (folder / "decks.ndjson").write_bytes(lines_of(3))
    assert call(main, folder / "decks.ndjson", "--out", folder / "r.ndjson").returncode == 0
    return folder


@pytest.fixture
def folder(answered: Path, tmp_path: Path) -> Path:
    """A copy of that folder, with a file of walks, a list that is no summary, a folder of decks,
    and links."""
    folder = shutil.copytree(answered, tmp_path / "folder")
    (folder / "walks.csv").write_text(WALKS)
    (folder / "list.csv").write_text("id,money\n1,2\n")
    (folder / "decks").mkdir()
    (folder / "decks" / "one.json").write_text(json.dumps(deck(1)))
    (folder / "link.csv").symlink_to(folder / "walks.csv")
    (folder / "later.csv").symlink_to(folder / "o.ndjson")
    os.link(folder / "walks.csv", folder / "twin.ndjson")
    return folder


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("walks.csv --out walks.ndjson", "the input and the summary would be one file"),
        ("walks.csv --out ./walks.csv", "the input and the file of answers would be one file"),
        ("decks.ndjson --out o.csv", "the file of answers and the summary would be one file"),
        ("decks.ndjson --out r.ndjson --summary decks/../r.ndjson", "answers and the summary"),
        ("decks.ndjson --out r.ndjson --summary r.ndjson.input", "the summary and the note"),
        ("decks.ndjson --out r.ndjson --summary r.ndjson.input.new", "the summary and the note"),
        ("r.ndjson.input --out r.ndjson", "the input and the note"),
        ("walks.csv --out o.ndjson --summary link.csv", "the input and the summary"),
        ("decks.ndjson --out o.ndjson --summary later.csv", "answers and the summary"),
        ("walks.csv --out twin.ndjson --summary s.csv", "the input and the file of answers"),
        ("decks --out decks/answers.json", "would be a document of the input"),
        ("decks --out decks/one.json", "would be a document of the input"),
        ("decks --out o.ndjson --summary decks/sum.json", "would be a document of the input"),
        ("decks.ndjson --out o.ndjson --summary list.csv", "list.csv exists already"),
        ("decks.ndjson --out list.ndjson", "list.csv exists already, and is not a summary"),
        ("decks.ndjson --out .", "--out .: a folder"),
        ("decks.ndjson --out decks", "--out decks: a folder"),
        ("decks.ndjson --out missing/dir/x", "there is no folder missing/dir"),
        ("decks.ndjson --out decks.ndjson/x", "there is no folder decks.ndjson"),
        ("decks.ndjson --out /dev/null", "--out /dev/null: not a regular file"),
        ("- --out o.ndjson", "INPUT -: standard streams are not taken; give the name of a file"),
        (
            "decks.ndjson --out -",
            "--out -: standard streams are not taken; give the name of a file",
        ),
        ("decks.ndjson --out o.ndjson --summary -", "--summary -: standard streams are not taken"),
        ("decks.ndjson --out o.ndjson --summary decks", "--summary decks: a folder"),
        ("decks.ndjson --out o.ndjson --summary missing/s.csv", "there is no folder missing"),
        (f"decks.ndjson --out {'x' * 300}", "File name too long"),
    ],
)
def test_files_that_cannot_be_are_refused_before_anything_is_touched(
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    words: str,
    said: str,
) -> None:
    """The exit status is 2, one line says which files are at fault, and every file is as it was."""
    before = held(folder)
    monkeypatch.chdir(folder)
    status = main(words.split())
    told = capsys.readouterr()
    assert status == 2, told.err
    assert said in told.err
    assert len(told.err.splitlines()) == 1
    assert told.out == ""
    assert held(folder) == before


@pytest.mark.parametrize("way", ["pipe", "file", "folder"])
def test_an_input_that_cannot_be_read_again_is_refused(tmp_path: Path, way: str) -> None:
    """An input is read more than once. A pipe would be empty the second time: nothing would be
    answered, and the run would seem to succeed. A pipe that nobody writes into would be waited for
    without end."""
    out, (reads, writes) = tmp_path / "o.ndjson", os.pipe()
    os.write(writes, json.dumps(deck(1)).encode())
    os.close(writes)
    named = {"pipe": Path("/dev/stdin"), "file": tmp_path / "a.json", "folder": tmp_path}[way]
    os.mkfifo(tmp_path / "a.json")
    with os.fdopen(reads, "rb") as piped:
        ended = subprocess.run(
            [sys.executable, "-m", "service.bulk", named, "--out", out],
            cwd=ROOT,
            stdin=piped,
            capture_output=True,
            text=True,
            timeout=300,
            check=False,
        )
    assert (ended.returncode, ended.stdout) == (2, "")
    assert "not a regular file, and it is read more than once" in ended.stderr
    assert not out.exists()


def test_a_limit_that_no_memory_holds_is_refused(tmp_path: Path) -> None:
    """Such a limit is wrong use, refused before the input is opened."""
    (tmp_path / "one.json").write_text(json.dumps(deck(1)))
    ended = call(main, tmp_path, "--out", tmp_path / "o.ndjson", "--longest", 10**20)
    assert ended.returncode == 2
    assert f"{10**20} is more than 67108864" in ended.stderr


def test_what_is_done_is_done_where_nobody_reads(tmp_path: Path) -> None:
    """A reader that is gone changes nothing. A full disk behind standard output is told as such,
    and one behind standard error keeps nothing of the progress."""
    (tmp_path / "walks.csv").write_text(WALKS)
    for number, (to, status, said) in enumerate(
        (
            ("| true; exit ${PIPESTATUS[0]}", 0, ""),
            (">/dev/full", 2, "standard output: No space"),
            ("2>/dev/full", 0, ""),
            ("--summary no/such 2>/dev/full", 2, ""),
        )
    ):
        python = shlex.quote(sys.executable)
        command = f"{python} -m service.bulk walks.csv --out {number}.ndjson {to}"
        ended = subprocess.run(
            ["/bin/bash", "-c", command],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            text=True,
            timeout=300,
            check=False,
        )
        assert ended.returncode == status, ended.stderr
        assert said in ended.stderr
        assert f"{number}.ndjson: " not in ended.stderr
        assert (tmp_path / f"{number}.csv").exists() is ("no/such" not in to)


def test_names_that_no_output_can_write_are_told_in_escapes(tmp_path: Path) -> None:
    """The file of answers has a name that is not UTF-8, and output is strict: the run ends as any
    other."""
    (tmp_path / "walks.csv").write_text(WALKS)
    ended = subprocess.run(
        [sys.executable, "-m", "service.bulk", "walks.csv", "--out", b"o\xff.ndjson"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8:strict"},
        capture_output=True,
        timeout=300,
        check=False,
    )
    assert ended.returncode == 0, ended.stderr
    assert b"answers: o\\udcff.ndjson" in ended.stdout


def test_answers_may_stand_in_the_folder_that_is_read(tmp_path: Path) -> None:
    """The file of answers has another ending than a document's, so the next run has the same input
    and nothing to do."""
    folder = tmp_path / "decks"
    folder.mkdir()
    body = json.dumps(deck(1)).encode()
    (folder / "one.json").write_bytes(body)
    first = call(main, folder, "--out", folder / "answers.ndjson")
    again = call(main, folder, "--out", folder / "answers.ndjson")
    assert (first.returncode, again.returncode) == (0, 0), first.stderr + again.stderr
    assert (folder / "answers.ndjson").read_bytes() == expected(body)
    assert again.stdout.startswith("1 of 1 laid out\n")


def test_a_document_whose_name_is_no_utf_8_is_named_all_the_same(tmp_path: Path) -> None:
    """The summary has the document's name with its bytes escaped, and the run ends as any other."""
    folder = tmp_path / "decks"
    folder.mkdir()
    named = os.path.join(os.fsencode(folder), b"x\xff.json")
    with open(named, "wb") as file:
        file.write(json.dumps(deck(1)).encode())
    ended = call(main, folder, "--out", tmp_path / "o.ndjson")
    assert ended.returncode == 0, ended.stderr
    rows = (tmp_path / "o.csv").read_text(encoding="utf-8").splitlines()
    assert rows[1].startswith("1,x\\udcff.json,200,")
