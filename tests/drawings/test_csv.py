"""CSV: one table, read back by Python's csv module, with nothing in it that a spreadsheet runs."""

from __future__ import annotations

import csv
import io

import pytest

from service.cells import cell
from service.drawings.parts import Column, Heading, Table
from service.drawings.sheets import CSV, HTML, MEDIAS, SHEETS, make_sheet
from service.drawings.writers.csv import write_csv
from tests.drawings.subjects import EXAMPLES, case, example, own, subject_of

HEADING = Heading("List", ("Deck",), (), "in")
LISTS = [name for name, medias in MEDIAS.items() if CSV in medias]


def read(data: bytes) -> list[dict[str, str]]:
    """The rows of a file by its header, read by a script that expects a byte order mark."""
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline=""), strict=True))


def one_column(*texts: str) -> bytes:
    """A file with one column of texts."""
    return write_csv(HEADING, [Table("T", (Column("a", "A"),), tuple((text,) for text in texts))])


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_cut_list_gives_the_replys_numbers(name: str) -> None:
    """A cut list has every number of every row of the reply in full, with its tape reading."""
    subject = example(name)
    rows = read(make_sheet("cut-list", CSV, subject))
    assert len(rows) == len(subject.reply["cut_list"])
    for written, row in zip(rows, subject.reply["cut_list"], strict=True):
        assert written["part"] == row["part"]
        assert float(written["length"]) == row["length"]
        assert written["length_text"] == row["length_text"]
        assert int(written["count"]) == row["count"]
        ends = [float(written["end_cut_first"]), float(written["end_cut_last"])]
        assert ends == row["end_cuts"]
        assert (float(written["blank"]) if written["blank"] else None) == row.get("blank")
        assert written["length_unit"] == subject.reply["unit"]


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_glass_order_gives_the_replys_numbers(name: str) -> None:
    """A glass order has the reply's sizes, thickness, area, mass and corners."""
    subject = example(name)
    rows = read(make_sheet("glass-order", CSV, subject))
    assert [row["mark"] for row in rows] == [p["mark"] for p in subject.reply["glass_order"]]
    for written, panel in zip(rows, subject.reply["glass_order"], strict=True):
        for key in ("width", "height", "thickness", "area", "mass", "count", "total_mass"):
            assert float(written[key]) == panel[key]
        corners = [[float(n) for n in each.split()] for each in written["corners"].split("; ")]
        assert corners == panel["corners"]
        assert written["edge_rise_text"] == panel.get("edge_rise_text", "")
        assert written["mass_unit"] == subject.reply["units"]["mass"]


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_list_of_parts_gives_the_replys_numbers(name: str) -> None:
    """A list of parts has the reply's numbers, words, sizes and quantities."""
    subject = example(name)
    rows = read(make_sheet("parts", CSV, subject))
    for written, row in zip(rows, subject.reply["parts"], strict=True):
        assert float(written["quantity"]) == row["quantity"]
        for key in ("description", "number", "unit", "height_text", "length_text", "mark"):
            assert written[key] == str(row.get(key, ""))


def test_a_file_is_one_table() -> None:
    """A cut list's file has the pieces alone: no sticks after them, no totals and no notes.

    As worked in rectangles/against_a_house, there are 10 rails of each kind and 108 pickets.
    """
    rows = read(make_sheet("cut-list", CSV, case("rectangles/against_a_house")))
    assert {row["part"] for row in rows} == {
        "top_rail_picket",
        "bottom_rail_picket",
        "picket",
        "spacer",
    }
    counts = {"top_rail_picket": 10, "bottom_rail_picket": 10, "picket": 108}
    for part, count in counts.items():
        assert sum(int(row["count"]) for row in rows if row["part"] == part) == count


@pytest.mark.parametrize("name", LISTS)
def test_lines_end_in_cr_lf_and_are_as_long_as_the_header(name: str) -> None:
    """A file is UTF-8 with a byte order mark, and its lines are as RFC 4180 has them."""
    data = make_sheet(name, CSV, example("glass-flight"))
    assert data.startswith(b"\xef\xbb\xbf")
    assert data.endswith(b"\r\n")
    assert data.count(b"\n") == data.count(b"\r\n")
    lines = list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert {len(line) for line in lines} == {len(lines[0])}


def test_an_empty_order_is_its_header() -> None:
    """An order without rows still has its header, so that a script finds the columns."""
    data = make_sheet("glass-order", CSV, example("against-a-house")).decode("utf-8-sig")
    assert data.count("\r\n") == 1
    assert data.startswith("mark,count,width,width_text,")


@pytest.mark.parametrize("name", LISTS)
@pytest.mark.parametrize("media", [CSV, HTML])
def test_the_same_job_gives_the_same_bytes(name: str, media: str) -> None:
    """The same document, laid out again, gives the same bytes."""
    assert media in SHEETS[name].medias
    one, other = (make_sheet(name, media, subject_of(own({}, title="Twice"))) for _ in range(2))
    assert one == other


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1 234", "-1+cmd|' /C calc'!A0", "@SUM(A1:A9)", "\t=1", "\r=1", "\n=1", " =1"]
    + ["\uff1d1", "\u00a0@a", "\u202e=1", "\x00=1", "\t12 in"],
)
def test_a_formula_is_text(text: str) -> None:
    """Text that a spreadsheet would run is led by an apostrophe (OWASP)."""
    (row,) = read(one_column(text))
    assert row["a"].startswith("'")


@pytest.mark.parametrize("text", ["-12.5", "12", "0.0625", "-0.5"])
def test_a_number_stays_a_number(text: str) -> None:
    """Numbers, negative ones too, stay as they are, so that a script can read them."""
    assert read(one_column(text))[0]["a"] == text


@pytest.mark.parametrize("text", ["--1", "-1e5", "-", "-.5", "-1.", "+1", "-1\n", "-\u0661"])
def test_what_only_looks_like_a_number_is_text(text: str) -> None:
    """Text with other signs, exponents or other scripts' digits is no number.

    So it is led by an apostrophe.
    """
    assert cell(text).startswith("'")


@pytest.mark.parametrize("breaker", ["\n", "\r\n", "\r", "\x00", "\x1b", "\x85", "\u2028", "\x0b"])
def test_control_characters_break_no_row(breaker: str) -> None:
    """A control character becomes one space, and the next row stays the next row."""
    rows = read(one_column(f"one{breaker}two", "next"))
    assert [row["a"] for row in rows] == ["one two", "next"]


def test_quotes_and_commas_are_read_back() -> None:
    """Quotes, as of inches, and commas, as in descriptions, are read back as they were."""
    texts = ["4' 7 1/2\"", 'a,"b",c', '"', ",", "дека ☂ חצר", "x" * 200]
    assert [row["a"] for row in read(one_column(*texts))] == texts


def test_a_mark_that_turns_the_text_does_not_turn_the_counts() -> None:
    """Marks that turn the direction of text are left out.

    A right-to-left override would make the rest of the line read backwards.
    """
    data = one_column("\u202eBack deck\u202c", "\u2067x\u2069").decode()
    assert not any(
        mark in data for mark in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
    )


def test_a_kits_words_cannot_run() -> None:
    """The number and the description of an inline kit's part, which a caller wrote, cannot run."""
    words = {"number": "=2+5", "description": '@evil("x"),\u202e=1'}
    subject = subject_of(own({"picket": words}))
    parts, pieces = (read(make_sheet(sheet, CSV, subject)) for sheet in ("parts", "cut-list"))
    rows = [row for row in parts if row["role"] == "picket"]
    assert [(row["number"], row["description"]) for row in rows] == [("'=2+5", '\'@evil("x"),=1')]
    assert {row["description"] for row in pieces if row["part"] == "picket"} == {'\'@evil("x"),=1'}
