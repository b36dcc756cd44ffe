"""python -m service.bulk: the same bytes however they are made, with nothing done twice or lost."""

from __future__ import annotations

import concurrent.futures
import contextlib
import csv
import io
import json
import random
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import NoReturn

import pytest

from service.answer import Answer, answer
from service.bulk.__main__ import main
from service.bulk.errors import BulkError
from service.bulk.grounds import Grounds, answer_on, own_grounds
from service.bulk.journal import Journal
from service.bulk.progress import Progress
from service.bulk.runners import Sender, in_order
from service.bulk.summary import COLUMNS, is_summary
from service.bulk.walks import read_walks
from service.bulk.work import Parcel
from service.data.catalogue import Catalogue
from service.web.app import create_app
from service.web.settings import Settings
from tests.bounded import LONG
from tests.bulk.commands import call, deck, expected, lines_of, run
from tests.web.running import DECK, ROOT, Server, running

Told = concurrent.futures.Future[list[bytes]]


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One gunicorn for the tests of this module."""
    with running(tmp_path_factory.mktemp("gunicorn") / "log") as started:
        yield started


@pytest.fixture
def asked(tmp_path: Path) -> Path:
    """An input of 60 lines."""
    path = tmp_path / "decks.ndjson"
    path.write_bytes(lines_of(60))
    return path


@pytest.mark.parametrize("words", [("--workers", "1"), ("--workers", "2"), ()])
def test_local_answers_are_those_of_the_service(
    asked: Path, tmp_path: Path, words: tuple[str, ...]
) -> None:
    """In one process and in several, the answers are the service's bytes, in order. The exit status
    is 1, as some documents are refused."""
    ended = run(asked, "--out", tmp_path / "out.ndjson", *words)
    assert ended.returncode == 1, ended.stderr
    assert (tmp_path / "out.ndjson").read_bytes() == expected(asked.read_bytes())
    assert "52 of 60 laid out; refused: 6 with 400, 2 with 422" in ended.stdout


@pytest.mark.parametrize("count", [32, 33])
def test_few_documents_begin_no_worker(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, count: int
) -> None:
    """A parcel holds 32 documents. One parcel is answered before a worker would have begun, so it
    is not shared out; two are."""

    def begun(*_: object) -> NoReturn:
        raise BulkError("a crew was begun")

    monkeypatch.setattr("service.bulk.runners.Crew", begun)
    asked, out = tmp_path / "decks.ndjson", tmp_path / "out.ndjson"
    asked.write_text("".join(json.dumps(deck(i)) + "\n" for i in range(count)))
    assert main([str(asked), "--out", str(out), "--workers", "2"]) == (0 if count == 32 else 2)
    assert len(out.read_bytes().splitlines()) == (32 if count == 32 else 0)


@pytest.mark.parametrize("workers", [1, 2])
def test_kits_of_ones_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, workers: int) -> None:
    """Own kits are known in every process. A kit that has changed since adds nothing to answers by
    the former one, and one that is not good ends the run before anything is written."""
    shipped = json.loads((ROOT / "service/data/kits/picket-glass-surface-in.json").read_bytes())
    (tmp_path / "kits").mkdir()
    kit = tmp_path / "kits" / "yard-9.json"
    kit.write_text(json.dumps({**shipped, "id": "yard-9"}), "utf-8")
    monkeypatch.setenv("GUARDS_CATALOGUE", str(tmp_path))
    asked, out = tmp_path / "decks.ndjson", tmp_path / "out.ndjson"
    asked.write_text("".join(json.dumps(deck(i, kit="yard-9")) + "\n" for i in range(40)))
    ended = run(asked, "--out", out, "--workers", workers)
    assert ended.returncode == 0, ended.stderr
    held = out.read_bytes()
    kit.write_text(json.dumps({**shipped, "id": "yard-9", "title": "Another"}), "utf-8")
    ended = run(asked, "--out", out, "--workers", workers)
    assert (ended.returncode, len(ended.stderr.splitlines())) == (2, 1)
    assert f"{out} exists already, and holds answers by other kits or codes;" in ended.stderr
    assert out.read_bytes() == held
    kit.write_text("{}", "utf-8")
    ended = run(asked, "--out", tmp_path / "other.ndjson", "--workers", workers)
    assert ended.returncode == 2
    assert ended.stderr.startswith(f"a kit or a code cannot be used:\n{kit}: ")
    assert not (tmp_path / "other.ndjson").exists()


def test_by_a_service_the_bytes_are_the_same(asked: Path, tmp_path: Path, server: Server) -> None:
    """A service answers with the same bytes. The note beside the answers is that of a local run, so
    that either can go on with what the other began, as release, kits and codes are the same."""
    ended = call(main, asked, "--out", tmp_path / "out.ndjson", "--url", server.url)
    assert ended.returncode == 1, ended.stderr
    assert (tmp_path / "out.ndjson").read_bytes() == expected(asked.read_bytes())
    local = call(main, asked, "--out", tmp_path / "local.ndjson", "--workers", 1)
    assert local.returncode == 1
    notes = [(tmp_path / f"{name}.ndjson.input").read_bytes() for name in ("out", "local")]
    assert notes[0] == notes[1]


def test_by_a_dask_cluster_the_bytes_are_the_same(asked: Path, tmp_path: Path) -> None:
    """The cluster has two worker processes on the loopback interface."""
    distributed = pytest.importorskip("distributed", reason="the extra `dask` is not installed")
    with distributed.LocalCluster(
        n_workers=2,
        threads_per_worker=1,
        processes=True,
        dashboard_address=None,
        local_directory=str(tmp_path),
        host="127.0.0.1",
        protocol="tcp",
    ) as cluster:
        ended = run(
            asked, "--out", tmp_path / "out.ndjson", "--scheduler", cluster.scheduler_address
        )
    assert ended.returncode == 1, ended.stderr
    assert (tmp_path / "out.ndjson").read_bytes() == expected(asked.read_bytes())


def test_a_worker_of_a_cluster_with_other_kits_answers_nothing() -> None:
    """With each parcel a worker compares its own release, kits and codes with those that the run
    began with."""
    own, line = own_grounds(), json.dumps(DECK).encode()
    parcel: list[tuple[int, bytes | None]] = [(1, line)]
    assert answer_on(own, parcel, 10_000) == [expected(line)]
    for other in (Grounds("9.9.9", own.catalogue), Grounds(own.release, "sha256:0")):
        with pytest.raises(BulkError, match="differ in their release, kits or codes"):
            answer_on(other, parcel, 10_000)


def test_without_dask_nothing_is_written(
    asked: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """Where a scheduler is named and Dask is not installed, the run is refused before a file is
    begun."""
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    words = [str(asked), "--out", str(tmp_path / "out.ndjson"), "--scheduler", "tcp://127.0.0.1:1"]
    assert main(words) == 2
    assert "--scheduler needs Dask" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == [asked]


def test_a_folder_of_files(tmp_path: Path, server: Server) -> None:
    """A folder's documents are answered in the order of their names: documents over many lines,
    blank ones, which a batch would pass over, and one that is longer than --longest. Locally and by
    a service the answers are the same."""
    folder = tmp_path / "decks"
    folder.mkdir()
    for i in range(5):
        (folder / f"{i}.json").write_text(json.dumps(deck(i), indent=2))
    for i, body in enumerate(("{\n  nothing\n}", "", " ", json.dumps(deck(8)) + " " * 4000), 5):
        (folder / f"{i}.json").write_text(body)
    (folder / "notes.txt").write_text("not a deck")
    words = (folder, "--longest", 4000)
    local = call(main, *words, "--out", tmp_path / "a.ndjson")
    served = call(main, *words, "--out", tmp_path / "b.ndjson", "--url", server.url)
    assert (local.returncode, served.returncode) == (1, 1), local.stderr + served.stderr
    told = (tmp_path / "a.ndjson").read_bytes()
    assert told == (tmp_path / "b.ndjson").read_bytes()
    statuses = [json.loads(line)["status"] for line in told.splitlines()]
    assert statuses == [200] * 5 + [400] * 3 + [413]


def test_tape_walks_of_a_csv_file(tmp_path: Path) -> None:
    """Each row is a deck, and has a row with its name in the summary."""
    walks = tmp_path / "walks.csv"
    walks.write_text(
        "  id, unit,kit,code,infill,drop,sides,walls \n"
        "  front,in,picket-glass-surface-in,us-irc-2021,picket,48,240;144;240;?,2\n"
        "odd,in,picket-glass-surface-in,,glass,20,240:80;144;230;?,\n"
        "no kit,in,nope,,picket,48,240;144;240;?,\n"
    )
    files = "--out", tmp_path / "out.ndjson", "--summary", tmp_path / "sum.csv"
    ended = call(main, walks, *files)
    assert ended.returncode == 1, ended.stderr
    with (tmp_path / "sum.csv").open(newline="", encoding="utf-8-sig") as file:
        rows = list(csv.DictReader(file))
    assert [row["document"] for row in rows] == ["front", "odd", "no kit"]
    assert [row["status"] for row in rows] == ["200", rows[1]["status"], "422"]
    assert rows[0]["posts"] == "9"
    assert (rows[2]["place"], rows[2]["posts"]) == ("/kit", "")


def test_rows_are_told_by_the_line_that_they_begin_on(tmp_path: Path) -> None:
    """Rows are numbered by their first line, also after a spreadsheet's UTF-8 byte order mark, a
    cell of two lines and a row of empty cells. Numbers are read as numbers, but for one with more
    digits than any length has, which stays text for the service to refuse."""
    walks = tmp_path / "walks.csv"
    walks.write_bytes(
        b"\xef\xbb\xbfid,unit,kit,infill,drop,sides\n"
        b'"a\nb",in,k,picket,48,240\n, ,,,,\n'
        b"c,in,k,picket,-0.5,240\nd,in,k,picket," + b"9" * 5000 + b",240\n"
    )
    rows = [(line, name, json.loads(body)) for line, name, body in read_walks(walks)]
    assert [(line, name) for line, name, _ in rows] == [(2, "a\nb"), (5, "c"), (6, "d")]
    drops = [deck["levels"][0]["drop"] for *_, deck in rows]
    assert drops == [48, -0.5, "9" * 5000]


@pytest.mark.parametrize(
    ("body", "said"),
    [
        (b'id,unit,kit,infill,drop,sides\n1,2,3,4,5,6\n"a', ":3: no CSV: "),
        (b"id,unit,kit,infill,drop,sides\n1,2,\xff", ":2: byte 4 of the line is not UTF-8"),
        (b"id,unit,kit,infill,drop,sides,id\n", ":1: twice 'id'; the columns are "),
    ],
)
def test_what_is_no_table_is_told_with_its_line(tmp_path: Path, body: bytes, said: str) -> None:
    """A file that is no table is refused with its line, and nothing of it is guessed."""
    walks = tmp_path / "walks.csv"
    walks.write_bytes(body)
    with pytest.raises(BulkError, match=f"^{walks}{said}"):
        list(read_walks(walks))


def test_parcels_are_taken_in_no_faster_than_they_are_answered() -> None:
    """At most two parcels are under way, so that memory does not grow with the input; answers come
    in order."""
    begun: list[Parcel] = []

    def submit(parcel: Parcel) -> Told:
        begun.append(parcel)
        told: Told = concurrent.futures.Future()
        told.set_result([b"%d" % number for number, _ in parcel])
        return told

    parcels: list[Parcel] = [[(number, None)] for number in range(5)]
    taken = [(told, len(begun)) for told in in_order(iter(parcels), submit, 2)]
    assert taken == [([b"0"], 2), ([b"1"], 3), ([b"2"], 4), ([b"3"], 5), ([b"4"], 5)]


def test_what_a_sender_has_left_is_not_sent_once_it_is_closed() -> None:
    """The parcel under way ends; the next one is never sent."""
    begun, free = threading.Event(), threading.Event()
    sent: list[int] = []

    def slow(parcel: Parcel) -> list[bytes]:
        sent.append(parcel[0][0])
        begun.set()
        free.wait(120)
        return []

    sender = Sender(slow)
    first, second = sender.submit([(1, b"{}")]), sender.submit([(2, b"{}")])
    assert begun.wait(120)
    sender.close()
    free.set()
    assert first.result() == []
    assert isinstance(second, concurrent.futures.Future)
    with pytest.raises(TimeoutError):
        second.result(0.2)
    assert sent == [1]


def test_nothing_in_a_summary_is_worked_out_by_a_spreadsheet(tmp_path: Path) -> None:
    """An apostrophe stands before a walk's id or a file's name that is a formula, as in the printed
    lists. The byte order mark says that the summary is UTF-8, and the next run recognises its own
    summary."""
    walks = tmp_path / "walks.csv"
    walks.write_text(
        "id,unit,kit,code,infill,drop,sides,walls\n"
        '"=HYPERLINK(""http://a"")",in,picket-glass-surface-in,,picket,48,240;144;240;?,2\n'
        "חצר,in,picket-glass-surface-in,,picket,48,240;144;240;?,2\n",
        encoding="utf-8",
    )
    folder = tmp_path / "decks"
    folder.mkdir()
    (folder / "@SUM(A1).json").write_text("{")
    for asked, names in (
        (walks, ['\'=HYPERLINK("http://a")', "חצר"]),
        (folder, ["'@SUM(A1).json"]),
    ):
        out = tmp_path / f"{asked.stem}.ndjson"
        words = asked, "--out", out, "--summary", tmp_path / "sum.csv"
        said = [call(main, *words) for _ in range(2)]
        assert said[0].returncode == said[1].returncode != 2, said[1].stderr
        held = (tmp_path / "sum.csv").read_bytes()
        assert held.startswith(b"\xef\xbb\xbfline,")
        rows = csv.DictReader(held.decode("utf-8-sig").splitlines(), strict=True)
        assert [row["document"] for row in rows] == names


def test_a_summary_without_the_mark_is_one_too(tmp_path: Path) -> None:
    """A summary without the mark, as earlier releases wrote it, is recognised; so are one without
    what is unpriced, one without titles either, and an empty one. A file with anything else before
    its columns is not."""
    held = tmp_path / "sum.csv"
    for before, known in (("", True), ("\ufeff", True), ("x", False), ("\ufeff\ufeff", False)):
        held.write_text(before + ",".join(COLUMNS) + "\n", encoding="utf-8")
        assert is_summary(held) == known
    for last in ("title", "problem"):
        header = ",".join(COLUMNS).partition(f",{last}")[0] + f",{last}"
        held.write_text(f"\ufeff{header}\n", encoding="utf-8")
        assert is_summary(held)
    held.write_text("")
    assert is_summary(held), "one that was begun and has nothing yet"


def test_killed_at_random_it_goes_on_without_losing_or_repeating(tmp_path: Path) -> None:
    """After several kill -9, the answers of a last run are whole, in order, and each there once."""
    body = lines_of(600 if LONG else 300)
    asked, out = tmp_path / "decks.ndjson", tmp_path / "out.ndjson"
    asked.write_bytes(body)
    chance = random.Random(7)
    command = [
        sys.executable,
        "-m",
        "service.bulk",
        str(asked),
        "--out",
        str(out),
        "--workers",
        "1",
    ]
    kills = 0
    for _ in range(4):
        process = subprocess.Popen(
            command, cwd=ROOT, stderr=subprocess.DEVNULL, stdout=subprocess.DEVNULL
        )
        before = out.stat().st_size if out.exists() else 0
        end = time.monotonic() + 120
        while process.poll() is None and time.monotonic() < end:
            if out.exists() and out.stat().st_size > before + chance.randrange(1, 400_000):
                break
            time.sleep(0.005)
        if process.poll() is None:
            process.send_signal(signal.SIGKILL)
            kills += 1
        process.wait()
        if chance.random() < 0.5 and out.exists():  # a write that the kill cut in two
            with out.open("r+b") as file:
                file.truncate(max(0, out.stat().st_size - chance.randrange(1, 2000)))
    assert kills > 0
    ended = run(asked, "--out", out, "--workers", "1")
    assert ended.returncode == 1, ended.stderr
    assert out.read_bytes() == expected(body)


def test_what_is_done_is_not_done_again(asked: Path, tmp_path: Path) -> None:
    """A second run of the same command has nothing left to do and says the same."""
    out = tmp_path / "out.ndjson"
    words = asked, "--out", out, "--workers", 1
    first = call(main, *words)
    written = out.stat().st_mtime_ns
    again = call(main, *words)
    assert out.stat().st_mtime_ns == written
    assert again.stdout == first.stdout
    assert "60 of 60" in again.stderr


def test_answers_to_another_input_are_not_added_to(asked: Path, tmp_path: Path) -> None:
    """Where the input has changed since, the run is refused and the answers stay as they were."""
    out = tmp_path / "out.ndjson"
    words = asked, "--out", out, "--workers", 1
    call(main, *words)
    held = out.read_bytes()
    asked.write_bytes(lines_of(61))
    ended = call(main, *words)
    assert ended.returncode == 2
    assert "another input" in ended.stderr
    assert out.read_bytes() == held


@pytest.mark.parametrize(
    ("name", "body", "said"),
    [
        ("no.csv", b"id,unit,kit\n", "no.csv:1: no column 'infill', 'drop', 'sides'"),
        ("more.csv", b"id,unit,kit,infill,drop,sides,colour\n", "unknown 'colour'"),
        ("none.ndjson", b"\n \n", "it holds no document"),
        ("wide.csv", b"id,unit,kit,infill,drop,sides\n1,2,3,4,5,6,7\n", "wide.csv:2: there are 7"),
        (
            "cut.csv",
            b"id,unit,kit,infill,drop,sides,walls\n"
            b"a,in,picket-glass-surface-in,picket,48,240;144;240;?,2\n"
            b"b,in,picket-glass-surface-in,picket,48,240;144;240;?\n",
            "cut.csv:3: there are 6 cells and 7 columns",
        ),
    ],
)
def test_an_input_that_is_none_is_told_with_its_place(
    tmp_path: Path, name: str, body: bytes, said: str
) -> None:
    """The exit status is 2, with one line that names the place."""
    (tmp_path / name).write_bytes(body)
    ended = call(main, tmp_path / name, "--out", tmp_path / "out.ndjson")
    assert ended.returncode == 2
    assert said in ended.stderr
    assert len(ended.stderr.splitlines()) == 1
    assert not (tmp_path / "out.ndjson").exists()


def test_no_service_there_and_no_file(asked: Path, tmp_path: Path) -> None:
    """A service that does not answer and an input that is not there are each told in a sentence."""
    gone = call(main, asked, "--out", tmp_path / "a.ndjson", "--url", "http://127.0.0.1:9")
    assert (gone.returncode, "does not answer" in gone.stderr) == (2, True)
    none = call(main, tmp_path / "nothing.ndjson", "--out", tmp_path / "b.ndjson")
    assert (none.returncode, "No such file" in none.stderr) == (2, True)


def test_a_line_that_is_too_long_is_told_and_the_rest_goes_on(tmp_path: Path) -> None:
    """A line that is too long is refused with the limit; the line after it is laid out."""
    asked = tmp_path / "decks.ndjson"
    asked.write_bytes(b'{"x": "' + b"y" * 5000 + b'"}\n' + json.dumps(deck(1)).encode() + b"\n")
    call(main, asked, "--out", tmp_path / "out.ndjson", "--longest", 4000)
    told = [json.loads(line) for line in (tmp_path / "out.ndjson").read_bytes().splitlines()]
    assert [one["status"] for one in told] == [413, 200]
    assert "4000" in told[0]["problem"]["detail"]


def test_a_bug_in_one_document_is_that_documents_own(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """One of three documents makes the program fail: it is answered with 500, and those about it as
    ever.

    A batch of the service gives the same answers, but for the words on where the log is. The exit
    status is 3, and standard error has the line and the frames, but nothing that the exception
    quotes. The next run has nothing left to do.
    """

    def broken(body: bytes, catalogue: Catalogue) -> Answer:
        if b"deck 1" in body:
            raise KeyError(body)
        return answer(body, catalogue)

    monkeypatch.setattr("service.batch.answer", broken)
    asked, out = tmp_path / "decks.ndjson", tmp_path / "out.ndjson"
    asked.write_text("".join(json.dumps(deck(i)) + "\n" for i in range(3)))
    for broke in (True, False):
        assert main([str(asked), "--out", str(out), "--workers", "1"]) == 3
        said = capsys.readouterr()
        assert said.out.startswith("2 of 3 laid out; failed: 1 with 500\n")
        assert ("line 2: KeyError\n" in said.err) == ("in broken\n" in said.err) == broke
        assert "deck 1" not in said.err
    lines = out.read_bytes().splitlines()
    sent = {"data": asked.read_bytes(), "content_type": "application/x-ndjson"}
    batch = (
        create_app(Settings(log_level="error"))
        .test_client()
        .post("/v1/layouts", **sent)
        .data.splitlines()
    )
    assert (lines[0], lines[2]) == (batch[0], batch[2])
    ours, theirs = json.loads(lines[1]), json.loads(batch[1])
    assert ours["status"] == theirs["status"] == 500
    for told in (ours["problem"], theirs["problem"]):
        assert [error.pop("message") for error in told["errors"]] == [told.pop("detail")]
    assert ours == theirs


@pytest.mark.parametrize("option", ["--workers", "--longest"])
@pytest.mark.parametrize("text", ["0", "-1", "1.5", "many"])
def test_a_number_that_is_none_is_wrong_use(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], option: str, text: str
) -> None:
    """The exit status is 2 and the message names the option; nothing is read or written."""
    with pytest.raises(SystemExit) as ended:
        main([str(tmp_path / "x"), "--out", str(tmp_path / "out"), f"{option}={text}"])
    assert ended.value.code == 2
    said = capsys.readouterr().err
    assert f"argument {option}: {text} is not a whole number from 1 up" in said
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("longest", "status"), [(67_108_864, 0), (67_108_865, 2)])
def test_the_longest_document_that_may_be_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], longest: int, status: int
) -> None:
    """--longest may be up to 64 MiB, like GUARDS_BODY_LIMIT; a byte more is wrong use."""
    asked = tmp_path / "decks.ndjson"
    asked.write_bytes(lines_of(1))
    words = [str(asked), "--out", str(tmp_path / "out"), "--workers", "1", f"--longest={longest}"]
    if status:
        with pytest.raises(SystemExit) as ended:
            main(words)
        assert ended.value.code == status
    else:
        assert main(words) == 0
    assert ("67108865 is more than 67108864" in capsys.readouterr().err) is bool(status)


def test_more_answers_than_documents_are_not_gone_on_with(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A line that somebody added would be taken for the answer to a document."""
    asked, out = tmp_path / "decks.ndjson", tmp_path / "out.ndjson"
    asked.write_bytes(lines_of(2))
    words = [str(asked), "--out", str(out), "--workers", "1"]
    assert main(words) == 0
    held = out.read_bytes()
    out.write_bytes(held + held.splitlines(keepends=True)[0])
    (tmp_path / "out.csv").unlink()
    assert main(words) == 2
    assert f"{out}: more answers than the input has documents\n" in capsys.readouterr().err
    assert not (tmp_path / "out.csv").exists()


def test_no_room_for_the_summary_is_told_by_its_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The exit status is 2, with one line; the answers are all there."""
    asked, out = tmp_path / "decks.ndjson", tmp_path / "out.ndjson"
    asked.write_bytes(lines_of(2))
    words = [str(asked), "--out", str(out), "--workers", "1", "--summary", "/dev/full"]
    assert main(words) == 2
    assert capsys.readouterr().err.endswith("\n/dev/full: No space left on device\n")
    assert out.read_bytes() == expected(asked.read_bytes())


def test_memory_does_not_grow_with_the_input(tmp_path: Path) -> None:
    """The command's greatest memory over 1,000 documents (20,000 in the long run) is within 10 MB
    of that over 100: 900 documents of 20 kB, or their answers, would take more."""
    peaks = []
    for count in (100, 20_000 if LONG else 1_000):
        asked = tmp_path / f"{count}.ndjson"
        asked.write_bytes((json.dumps(DECK).encode().ljust(20_000) + b"\n") * count)
        ended = subprocess.run(
            [
                sys.executable,
                "-c",
                "import sys; from service.bulk.__main__ import main; main(sys.argv[1:]);"
                " print(open('/proc/self/status').read())",
                *(str(asked), "--out", str(tmp_path / f"{count}.out"), "--workers", "1"),
            ],
            cwd=ROOT,
            capture_output=True,
            text=True,
            timeout=1200,
            check=True,
        )
        # VmHWM is of this program alone; ru_maxrss would count the process that began it too, which
        # is larger.
        (peak,) = re.findall(r"^VmHWM:\s*(\d+) kB$", ended.stdout, re.MULTILINE)
        peaks.append(int(peak) / 1024)
    assert peaks[1] - peaks[0] < 10, peaks


class Screen(io.StringIO):
    """A stream that is a terminal or not, and holds in `seen` what was written when it was last
    flushed."""

    def __init__(self, terminal: bool) -> None:
        super().__init__()
        self.terminal = terminal
        self.seen = ""

    def isatty(self) -> bool:
        """Whether the stream was made as a terminal."""
        return self.terminal

    def flush(self) -> None:
        """Make all that was written seen."""
        self.seen = self.getvalue()


@pytest.mark.parametrize(
    ("terminal", "early", "late", "first", "last"),
    [
        (
            *(True, 0.19, 0.25),
            "\r\x1b[K60 of 100, 80.0 a second, 0:00 left",
            "\r\x1b[K70 of 100, 120.0 a second, 0:00 left\n",
        ),
        (
            *(False, 9.9, 12.0),
            "60 of 100, 1.7 a second, 0:24 left\n",
            "70 of 100, 2.5 a second, 0:12 left\n",
        ),
    ],
)
def test_progress_is_told_now_and_then(
    monkeypatch: pytest.MonkeyPatch,
    terminal: bool,
    early: float,
    late: float,
    first: str,
    last: str,
) -> None:
    """On a terminal progress is told each 0.2 s in one line that is written over, elsewhere each 10
    s in a further line.

    Of 100 documents 40 were done before. After twice 10 more, 20 in 0.25 s are 80 a second, and 20
    in 12 s are 1.7, at which the 40 that are left take 24 s. Another 10 at the same moment are told
    at the end only: 30 in these 12 s are 2.5 a second, and 30 are left.
    """
    now = [100.0]
    monkeypatch.setattr("service.bulk.progress.time", SimpleNamespace(monotonic=lambda: now[0]))
    to = Screen(terminal)
    progress = Progress(to, 100, 40)
    for when, seen in ((early, ""), (late, first), (late, first)):
        now[0] = 100.0 + when
        progress.add(10)
        assert to.seen == seen
    progress.end()
    assert to.getvalue() == first + last


def test_a_journal_takes_away_half_a_line(tmp_path: Path) -> None:
    """Half a line, which a kill left of a write, is no answer and is removed."""
    path = tmp_path / "out"
    journal = Journal(path, "sha256:1", 10, own_grounds())
    journal.add([b"one\n", b"two\n"])
    journal.close()
    path.write_bytes(path.read_bytes() + b"thr")
    again = Journal(path, "sha256:1", 10, own_grounds())
    again.close()
    assert (again.done, path.read_bytes()) == (2, b"one\ntwo\n")


def test_a_journal_that_is_read_in_pieces(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Wherever the pieces end, the first 12 bytes are three whole lines, and the five bytes after
    them are none."""
    path, own = tmp_path / "out", own_grounds()
    for piece in range(1, 20):
        path.unlink(missing_ok=True)
        journal = Journal(path, "sha256:1", 10, own)
        journal.add([b"one\n", b"two\n", b"six\n"])
        journal.close()
        path.write_bytes(path.read_bytes() + b"seven")
        monkeypatch.setattr("service.bulk.journal.PIECE", piece)
        again = Journal(path, "sha256:1", 10, own)
        again.close()
        assert (again.done, path.read_bytes()) == (3, b"one\ntwo\nsix\n")


def test_an_answer_is_kept_once_it_is_added(tmp_path: Path) -> None:
    """An answer is in the file at once, for whoever reads it meanwhile and for the run after a
    kill."""
    with contextlib.closing(Journal(tmp_path / "out", "sha256:1", 10, own_grounds())) as journal:
        journal.add([b"one\n"])
        assert (tmp_path / "out").read_bytes() == b"one\n"


def test_what_is_no_file_of_answers_is_left_as_it_is(tmp_path: Path) -> None:
    """Somebody's notes, whose last line has no end, are refused, and not a byte of them is
    changed."""
    path = tmp_path / "out"
    path.write_bytes(b"Back deck: 9 posts\nFront: 12")
    with pytest.raises(BulkError, match="that no note beside it describes"):
        Journal(path, "sha256:1", 10, own_grounds())
    assert path.read_bytes() == b"Back deck: 9 posts\nFront: 12"


def test_a_journal_goes_on_only_with_what_it_was_begun_with(tmp_path: Path) -> None:
    """The message names all that differs; answers without a readable note beside them are refused
    too."""
    path, own = tmp_path / "out", own_grounds()
    journal = Journal(path, "sha256:1", 10, own)
    journal.add([b"one\n"])
    journal.close()
    for digest, longest, known, said in (
        ("sha256:2", 10, own, "holds answers to another input;"),
        ("sha256:1", 11, own, "holds answers under another --longest;"),
        ("sha256:2", 11, own, "answers to another input and under another --longest;"),
        ("sha256:1", 10, Grounds("9.9.9", own.catalogue), "holds answers of another release;"),
        ("sha256:1", 10, Grounds(own.release, "sha256:0"), "answers by other kits or codes;"),
    ):
        with pytest.raises(BulkError, match=said):
            Journal(path, digest, longest, known)
    for note in ("[]", "{", "{}"):
        (tmp_path / "out.input").write_text(note)
        with pytest.raises(BulkError, match="holds answers "):
            Journal(path, "sha256:1", 10, own)
    assert path.read_bytes() == b"one\n"
