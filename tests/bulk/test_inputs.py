"""What the bulk command reads and sums up, piece by piece, without running the command."""

from __future__ import annotations

import itertools
import json
import os
import tracemalloc
from pathlib import Path

import pytest

from service.batch import Line, split_lines
from service.bulk.documents import Document, open_input
from service.bulk.summary import write_summary
from service.bulk.walks import read_walks
from service.bulk.work import answer_parcel, parcels
from service.cells import cell, one_line


def test_a_summary_tells_of_each_answer_what_it_holds(tmp_path: Path) -> None:
    """A layout has its counts, its digest, its total and the roles that are in no sum; a refusal
    has its first place, its own words and the title of its document; a cell with nothing to say is
    empty. The answers are counted by status."""
    counts = {"posts": 9, "bays": 10, "runs": 3, "pickets": 104, "glass_panels": 2}
    judged = {"violations": 1, "warnings": 4, "not_checked": 6}
    layout = {"digest": "sha256:ab", "summary": {**counts, **judged}}
    sums = {"currency": "USD", "subtotal": "17.00", "total": "18.00"}
    quote = {**sums, "unpriced": ["post_cap", "glass_panel"]}
    faults = [{"pointer": "/kit"}, {"pointer": "/code"}]
    problem = {"detail": "There is no such kit.", "errors": faults}
    told = (
        {"line": 1, "status": 200, "layout": {"title": "Front porch", **layout, "quote": quote}},
        {"line": 2, "status": 422, "problem": problem},
        {"line": 4, "status": 200, "layout": layout},
        {"line": 5, "status": 200, "layout": {**layout, "quote": {**sums, "unpriced": []}}},
    )
    answers, summary = tmp_path / "out.ndjson", tmp_path / "out.csv"
    answers.write_text("".join(json.dumps(one) + "\n" for one in told))
    bodies = (b'{"title": "Front porch"}', b'{"title": "Back porch", "kit": "none"}', b"{}", b"{}")
    names = ("front", "back", "side", "shed")
    documents = (
        Document(Line(number, body), name)
        for number, body, name in zip((1, 2, 4, 5), bodies, names, strict=True)
    )
    statuses = write_summary(answers, documents, summary)
    assert statuses == {200: 3, 422: 1}
    assert summary.read_text("utf-8-sig").splitlines() == [
        "line,document,status,digest,posts,bays,pickets,glass_panels,"
        "violations,warnings,not_checked,total,currency,place,problem,title,unpriced",
        "1,front,200,sha256:ab,9,10,104,2,1,4,6,18.00,USD,,,Front porch,post_cap glass_panel",
        "2,back,422,,,,,,,,,,,/kit,There is no such kit.,Back porch,",
        "4,side,200,sha256:ab,9,10,104,2,1,4,6,,,,,,",
        "5,shed,200,sha256:ab,9,10,104,2,1,4,6,18.00,USD,,,,",
    ]


@pytest.mark.parametrize(
    "body",
    [
        pytest.param(None, id="too-long-to-be-kept"),
        pytest.param(b'{"title": "A porch"', id="not-json"),
        pytest.param(b'{"title": "A porch", "title": "B"}', id="two-titles"),
        pytest.param(b'["title"]', id="no-object"),
        pytest.param(b'{"unit": "in"}', id="without-title"),
        pytest.param(b'{"title": 7}', id="no-text"),
        pytest.param(b'{"title": "%b"}' % (b"a" * 201), id="longer-than-titles-are"),
    ],
)
def test_a_refused_document_whose_title_cannot_be_read_has_none(
    body: bytes | None, tmp_path: Path
) -> None:
    """The summary guesses no title of a document that gives none, or more than one."""
    answers, summary = tmp_path / "out.ndjson", tmp_path / "out.csv"
    problem = {"detail": "It does not fit.", "errors": [{"pointer": ""}]}
    answers.write_text(json.dumps({"line": 1, "status": 400, "problem": problem}) + "\n")
    assert write_summary(answers, iter([Document(Line(1, body), "a")]), summary) == {400: 1}
    assert summary.read_text("utf-8-sig").splitlines()[1] == "1,a,400,,,,,,,,,,,,It does not fit.,,"


def test_every_column_of_a_walk_has_its_place_in_the_deck(tmp_path: Path) -> None:
    """Spaces around what stands in a cell mean nothing, nor does a plus sign before a number."""
    walks = tmp_path / "walks.csv"
    walks.write_text(
        "id,unit,kit,code,infill,height,drop,sides,walls\n"
        " front , in , k , c , glass , 36 , +48 , 240 : 80 ; ? ; 96.5: -90 , 0; 2 \n"
    )
    ((line, name, body),) = read_walks(walks)
    assert (line, name) == (2, "front")
    assert json.loads(body) == {
        "title": "front",
        "unit": "in",
        "kit": "k",
        "code": "c",
        "guard": {"infill": "glass", "height": 36},
        "levels": [
            {
                "id": "main",
                "drop": 48,
                "outline": {
                    "sides": [{"length": 240, "turn": 80}, {}, {"length": 96.5, "turn": -90}]
                },
                "edges": [{"edge": 0, "condition": "wall"}, {"edge": 2, "condition": "wall"}],
            }
        ],
    }


def test_what_is_left_out_of_a_walk_is_left_out_of_the_deck(tmp_path: Path) -> None:
    """An empty or blank cell means the same as a column that is not there."""
    walks = tmp_path / "walks.csv"
    walks.write_text(
        "id,unit,kit,code,infill,height,drop,sides,walls\n,mm,k,, picket,,1200,3000,  \n"
    )
    ((_, name, body),) = read_walks(walks)
    level = {"id": "main", "drop": 1200, "outline": {"sides": [{"length": 3000}]}}
    deck = {"unit": "mm", "kit": "k", "guard": {"infill": "picket"}, "levels": [level]}
    assert (name, json.loads(body)) == ("", deck)


def test_lines_of_a_file_are_told_by_their_number(tmp_path: Path) -> None:
    """Blank lines are counted, but are no documents; a line that is too long is a document all the
    same."""
    path = tmp_path / "decks.ndjson"
    path.write_bytes(b"{}\n\n \t\r\n[1]\nlonger\n{}")
    assert list(open_input(path, 5).documents()) == [
        Document(Line(1, b"{}"), "decks.ndjson:1"),
        Document(Line(4, b"[1]"), "decks.ndjson:4"),
        Document(Line(5, None), "decks.ndjson:5"),
        Document(Line(6, b"{}"), "decks.ndjson:6"),
    ]


def test_files_of_a_folder_are_told_by_their_name(tmp_path: Path) -> None:
    """Files come in the order of their names, not of their age. One of just the longest length is
    read, and one of a byte more is not."""
    for age, (name, body) in enumerate((("b", b"12345"), ("c", b"123456"), ("a", b"{}"))):
        path = tmp_path / f"{name}.json"
        path.write_bytes(body)
        os.utime(path, (age, age))
    assert list(open_input(tmp_path, 5).documents()) == [
        Document(Line(1, b"{}"), "a.json"),
        Document(Line(2, b"12345"), "b.json"),
        Document(Line(3, None), "c.json"),
    ]


def test_the_digest_of_a_folder_knows_its_names_and_its_bytes(tmp_path: Path) -> None:
    """A file that is renamed, changed or added makes another input, since the answers' lines would
    belong to other documents; a file that is no document does not count."""
    digests = []
    for change in (
        lambda: (tmp_path / "a.json").write_bytes(b"{}"),
        lambda: (tmp_path / "b.json").write_bytes(b"[]"),
        lambda: (tmp_path / "a.json").rename(tmp_path / "0.json"),
        lambda: (tmp_path / "b.json").write_bytes(b"{}"),
    ):
        change()
        digests.append(open_input(tmp_path, 5).digest())
    (tmp_path / "notes.txt").write_bytes(b"x")
    assert open_input(tmp_path, 5).digest() == digests[-1]
    assert len(set(digests)) == 4


@pytest.mark.parametrize("name", ["walks.csv", "WALKS.CSV"])
def test_a_file_of_walks_is_known_by_its_ending(tmp_path: Path, name: str) -> None:
    """The ending may be in small or capital letters, which some programs write."""
    path = tmp_path / name
    path.write_text("id,unit,kit,infill,drop,sides\nfront,in,k,picket,48,240;144;240;?\n")
    (told,) = open_input(path, 1000).documents()
    assert (told.line.number, told.where) == (2, "front")


def test_a_row_that_makes_a_longer_document_than_may_be_is_refused() -> None:
    """A row's document comes whole, unlike a line that is too long, so its length is checked here
    as by a service: 5 bytes are more than 4."""
    (told,) = answer_parcel([(7, b"12345")], 4)
    assert json.loads(told)["status"] == 413
    assert json.loads(told)["problem"]["errors"][0]["code"] == "body_too_long"


@pytest.mark.parametrize(
    ("sizes", "held"),
    [
        ([10] * 70, [32, 32, 6]),
        ([10] * 64, [32, 32]),
        ([524_288] * 5, [2, 2, 1]),
        ([0] * 31 + [1_048_576] + [524_287] * 3, [32, 3]),
        ([], []),
    ],
)
def test_a_parcel_ends_at_32_documents_or_a_megabyte(sizes: list[int], held: list[int]) -> None:
    """A parcel ends at whichever limit comes first; each document is in one parcel, in order."""
    lines = [Line(number, b" " * size or None) for number, size in enumerate(sizes, 1)]
    told = list(parcels(Document(line, "") for line in lines))
    assert [len(parcel) for parcel in told] == held
    assert [each for parcel in told for each in parcel] == [(one.number, one.body) for one in lines]


def test_of_a_line_no_more_is_held_than_may_be() -> None:
    """A line of 64 MiB comes in pieces of one, where ten bytes are allowed: less than a tenth of it
    is ever held."""
    piece = b"x" * 1_048_576
    tracemalloc.start()
    try:
        lines = list(split_lines(itertools.chain(itertools.repeat(piece, 64), [b"\nyz"]), 10))
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert lines == [Line(1, None), Line(2, b"yz")]
    assert most < 6_710_886


@pytest.mark.parametrize(
    ("sent", "shown"),
    [
        # Controls, and what ends a line (Unicode 15, 23.1; UAX 14, table 1: BK, CR, LF, NL).
        *((letter, " ") for letter in "\x00\t\n\r\x1f\x7f\x80\x85\x9f\u2028\u2029"),
        # What turns the order of text (UAX 9, 2.1 to 2.5).
        *((letter, "") for letter in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"),
        # What is no character (Unicode 15, 23.7).
        *((letter, "\ufffd") for letter in "\ufdd0\ufdef\ufffe\uffff"),
        *((letter, letter) for letter in " ~\xa0\u2027\u202f\u2065\u206a\ufdcf\ufdf0\ufffd"),
    ],
)
def test_text_stands_on_one_line_in_its_order(sent: str, shown: str) -> None:
    """Any text is put on one line, in its own order, and loses nothing else."""
    assert one_line(f"a{sent}b") == f"a{shown}b"


@pytest.mark.parametrize("letter", "=+-@\uff1d\uff0b\uff0d\uff20")
def test_no_cell_is_worked_out(letter: str) -> None:
    """An apostrophe is put before the first letters of formulas, and before their wide forms, which
    spreadsheets read alike (OWASP, CSV injection)."""
    assert cell(f"{letter}A1") == f"'{letter}A1"
    assert cell(f" {letter}A1") == f"' {letter}A1"
    assert cell(f"A1{letter}") == f"A1{letter}"
