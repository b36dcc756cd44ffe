"""PDF: where marks lie and what is printed, read back with pypdf."""

from __future__ import annotations

import io
import re
from collections import Counter
from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from service.core.measure import Unit
from service.drawings.looks import CAPITAL, LOOKS
from service.drawings.marks import Anchor, Disc, Layer, Stroke, Words, box, line
from service.drawings.pages import SIZES, strip_of
from service.drawings.parts import Column, Page, Part, Table
from service.drawings.plans.sheet import draw_plan
from service.drawings.sheets import head, make_sheet
from service.drawings.spelling import spelled
from service.drawings.tables import widths
from service.drawings.writers.pdf import write_pdf
from service.drawings.writers.svg import page_style
from tests.drawings.drawn import LEVEL_ONE, README
from tests.drawings.paper import Said, Sheet, fonts_of, read_pages
from tests.drawings.pieces import ANYTHING, STRANGE, heading, page, table
from tests.drawings.subjects import EXAMPLES, example, subject_of


def written(*parts: Part) -> list[Sheet]:
    """The pages of a sheet with the given parts."""
    return read_pages(write_pdf(heading(), parts))


def reader(data: bytes) -> PdfReader:
    """A file as pypdf reads it in its strict mode, in which it mends nothing."""
    return PdfReader(io.BytesIO(data), strict=True)


def inside(said: Said, size: tuple[float, float]) -> bool:
    """Whether a text begins and ends on its page."""
    ends = [said.at, tuple(a + said.wide * w for a, w in zip(said.at, said.way, strict=True))]
    return all(0.0 <= x <= size[0] and 0.0 <= y <= size[1] for x, y in ends)


@pytest.mark.parametrize(("unit", "size"), [("in", (792.0, 612.0)), ("mm", (841.89, 595.276))])
def test_a_page_is_of_its_paper(unit: Unit, size: tuple[float, float]) -> None:
    """Pages are letter size in inches and A4 in millimetres.

    Letter is 11 by 8 1/2 in of 72 points; A4 is 297 by 210 mm, 72 / 25.4 points each.
    """
    data = write_pdf(heading(unit=unit), [page(unit=unit), page(unit=unit), table(3)])
    pages = reader(data).pages
    assert len(pages) == 3
    for each in pages:
        assert (float(each.mediabox.width), float(each.mediabox.height)) == pytest.approx(
            size, abs=0.001
        )


def test_where_a_shape_lies() -> None:
    """A shape lies on paper where the scale and its view's corner put it.

    At 1:24 an inch is 25.4 / 24 mm: (12, 24) of a view whose corner is at (18, 60) lies at (18 +
    12.7, 60 + 25.4), and (36, 48) at (18 + 38.1, 60 + 50.8).
    """
    (sheet,) = written(page(box("post", (12.0, 24.0), (36.0, 48.0), filled=True)))
    (shape,) = sheet.shapes
    corners = [(30.7, 85.4), (56.1, 85.4), (56.1, 110.8), (30.7, 110.8)]
    for have, want in zip(shape.points, corners, strict=True):
        assert have == pytest.approx(want, abs=0.001)
    assert shape.painted == "B"
    assert shape.width == pytest.approx(0.25, abs=0.001)
    assert shape.fill == pytest.approx((0x39 / 255, 0x44 / 255, 0x4D / 255), abs=1e-4)


def test_where_a_disc_lies() -> None:
    """A disc at (24, 12) with a radius of 6 lies about (18 + 25.4, 60 + 12.7), 6.35 mm each way."""
    (sheet,) = written(page(Disc("block", (24.0, 12.0), 6.0)))
    (shape,) = sheet.shapes
    xs, ys = zip(*shape.points, strict=True)
    assert (min(xs), max(xs)) == pytest.approx((37.05, 49.75), abs=0.001)
    assert (min(ys), max(ys)) == pytest.approx((66.35, 79.05), abs=0.001)
    assert shape.painted.startswith("f"), "no line around it"


def test_a_shape_that_is_not_filled_is_a_line() -> None:
    """A shape on a layer without a fill, as of joists, is a line even if it is marked as filled."""
    joist = Stroke("joist", ((0.0, 0.0), (24.0, 0.0), (24.0, 24.0)), closed=True, filled=True)
    (sheet,) = written(page(joist, line("deck", (0.0, 0.0), (24.0, 0.0))))
    assert [shape.painted for shape in sheet.shapes] == ["S", "S"]


def test_patterns_are_in_millimetres_on_paper() -> None:
    """Dashes are 2 on and 1 off, and chains 5 on, 1 off, 1 on, 1 off, in mm on paper.

    A full line after them is full.
    """
    ends = (0.0, 0.0), (24.0, 0.0)
    patterns = [line("gate", *ends, "dashed"), line("gate", *ends, "chain"), line("gate", *ends)]
    (sheet,) = written(page(*patterns))
    assert [[round(length, 3) for length in shape.dash] for shape in sheet.shapes] == [
        [2.0, 1.0],
        [5.0, 1.0, 1.0, 1.0],
        [],
    ]


def test_a_veil_lets_lines_through() -> None:
    """A veil is three quarters opaque, and all that is drawn after it is as dense as before."""
    veil = box("veil", (0.0, 0.0), (9.0, 9.0), filled=True)
    file = write_pdf(heading(), [page(veil)])
    assert re.findall(rb"/ca ([.\d]+)", file) == [b".75", b"1"]
    assert ".veil.filled{fill-opacity:0.75}" in page_style()


@pytest.mark.parametrize("layer", [layer for layer in LOOKS if layer != "veil"])
def test_a_layer_looks_as_the_table_of_looks_has_it(layer: Layer) -> None:
    """Lines, discs and words of a layer have the colours of the table of looks.

    Its lines have the width there.
    """
    marks = line(layer, (0.0, 0.0), (9.0, 0.0)), Disc(layer, (5.0, 5.0), 2.0)
    (sheet,) = written(page(*marks, Words(layer, (9.0, 9.0), "P1")))
    look = LOOKS[layer]
    for have, told in (
        (sheet.shapes[0].stroke, look.stroke),
        (sheet.shapes[1].fill, look.disc),
        (sheet.said("P1").colour, look.words),
    ):
        assert have == pytest.approx([part / 255 for part in bytes.fromhex(told[1:])], abs=1e-4)
    assert sheet.shapes[0].width == pytest.approx(look.width, abs=0.001)


def test_text_stands_by_its_anchor() -> None:
    """Text begins, is centred or ends at the place of its anchor; (24, 24) lies at (43.4, 85.4).

    "HHHH" would be wider than the 0.8 of a capital's height that drawings count for a letter, so at
    2.5 mm it is narrowed to 4 · 2.5 · 0.8 = 8 mm.
    """
    at = (24.0, 24.0)
    begun: dict[Anchor, float] = {"start": 43.4, "middle": 39.4, "end": 35.4}
    for anchor, begins in begun.items():
        (sheet,) = written(page(Words("words", at, "HHHH", 2.5, anchor)))
        said = sheet.said("HHHH")
        assert said.at == pytest.approx((begins, 85.4), abs=0.001)
        assert said.wide == pytest.approx(8.0, abs=0.001)
        assert said.size == pytest.approx(2.5 / 0.72, abs=0.001)


def test_narrow_text_is_not_drawn_out() -> None:
    """Text such as "ill", narrower than drawings count it, is not stretched.

    Its middle is at its anchor all the same.
    """
    (sheet,) = written(page(Words("words", (24.0, 24.0), "ill")))
    said = sheet.said("ill")
    assert 1.0 < said.wide < 3 * 2.5 * 0.8
    assert said.at[0] + said.wide / 2 == pytest.approx(43.4, abs=0.001)


def test_text_turns_counter_clockwise() -> None:
    """Turned by 90 degrees "HHHH" runs up: with its middle at (43.4, 85.4) it begins 4 mm below."""
    (sheet,) = written(page(Words("dimension", (24.0, 24.0), "HHHH", turn=90.0)))
    said = sheet.said("HHHH")
    assert said.way == pytest.approx((0.0, 1.0), abs=1e-6)
    assert said.at == pytest.approx((43.4, 81.4), abs=0.001)


def test_tape_readings_are_said_as_they_are() -> None:
    """Feet, inches, fractions, millimetres, degrees and signs such as ½ are read back as sent."""
    texts = ["4' 7 5/8\"", "1406 mm", "37.5° × ½ – ≤ 12"]
    (sheet,) = written(page(*(Words("dimension", (48.0, 9.0 * i), t) for i, t in enumerate(texts))))
    assert [said.text for said in sheet.texts] == texts
    data = write_pdf(heading(), [page(Words("dimension", (48.0, 24.0), texts[0]))])
    assert texts[0] in reader(data).pages[0].extract_text()


def test_fonts_are_embedded_in_part() -> None:
    """The plain and the bold font are embedded, each in part, which its name says too."""
    data = write_pdf(heading(), [table(1)])
    fonts = fonts_of(reader(data).pages[0]).values()
    assert {re.sub("^/[A-Z]{6}[+]", "", font["/BaseFont"]) for font in fonts} == {
        "OpenSans-Regular",
        "OpenSans-Bold",
    }
    for font in fonts:
        file = font["/FontDescriptor"]["/FontFile2"].get_data()
        assert 2000 < len(file) < 20_000, "a tenth of the whole font or less"


def test_a_file_says_its_title_and_no_date() -> None:
    """A file has its title, in all its letters but controls, and its language.

    It says nothing of when or by what it was made.
    """
    read = reader(write_pdf(heading(STRANGE), [page()]))
    said = {key: str(value) for key, value in (read.metadata or {}).items()}
    assert said == {"/Title": "Deck 甲板 😀 café [U+202E]של[U+0007] 0 EOF: Plan"}
    assert str(read.root_object["/Lang"]) == "en"


def test_letters_that_the_font_lacks_are_told() -> None:
    """Letters that the font lacks are printed as their code points, in the order they stand in.

    é is one letter, whether or not its accent came by itself. A control that turns text is printed
    too, and does not turn it; a line's end is a space.
    """
    cells = ((STRANGE, "1"),)
    columns = (Column("id", "Id"), Column("n", "N"))
    (sheet,) = read_pages(write_pdf(heading(), [Table("Strange", columns, cells)]))
    assert sheet.said("Deck [U+7532][U+677F] [U+1F600] café [U+202E][U+05E9][U+05DC][U+0007] 0 EOF")


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("\u00ad", "[U+00AD]"),
        ("a\u0323", "ạ"),
        ("x\u0323", "x[U+0323]"),
        ("\uffff", "[U+FFFF]"),
        ("\ud800", "[U+D800]"),
        ("\x00\x1b\x7f", "[U+0000][U+001B][U+007F]"),
        ("a\u2028b\tc\u00a0d", "a b c d"),
        ("4⅝", "4⅝"),
        ("✓", "[U+2713]"),
        ("⅓ ₂", "[U+2153] [U+2082]"),
        ("דק", "[U+05D3][U+05E7]"),
    ],
)
def test_no_letter_is_lost(text: str, shown: str) -> None:
    """Invisible letters, accents with no letter of their own and halves of pairs are printed too.

    So is what the font lacks, by its number. 4⅝ does not become 45/8.
    """
    (sheet,) = written(page(Words("words", (48.0, 24.0), text)))
    assert [said.text for said in sheet.texts] == [shown]


def covered(said: Said) -> shapely.Polygon:
    """The rectangle that a line of text fills, from its baseline up to its capitals' height."""
    (x, y), (ux, uy), high = said.at, said.way, said.size * CAPITAL
    far_x, far_y = x + ux * said.wide, y + uy * said.wide
    above = [(far_x - uy * high, far_y + ux * high), (x - uy * high, y + ux * high)]
    return shapely.Polygon([(x, y), (far_x, far_y), *above])


@pytest.mark.parametrize("name", ["廊柱", "屋顶柱子", "عمود"])
@pytest.mark.parametrize("at", [(100, 0), (50, 0), (180, 20), (100, 60)])
def test_a_columns_name_that_is_printed_by_numbers_lies_over_no_other_text(
    name: str, at: tuple[int, int]
) -> None:
    """Each letter that the font lacks is printed as eight, such as [U+67F1], and the plan has room
    for all of them."""
    x, y = at
    column = {"name": name, "points": [[x, y], [x + 6, y], [x + 6, y + 6], [x, y + 6]]}
    subject = subject_of({**README, "levels": [{**LEVEL_ONE, "obstructions": [column]}]})
    heads = head(subject, "Plan")
    (sheet,) = read_pages(write_pdf(heads, draw_plan(subject, heads)))
    said = sheet.said("".join(f"[U+{ord(letter):04X}]" for letter in name))
    others = [each for each in sheet.texts if each is not said]
    assert len(others) > 40
    assert [each.text for each in others if covered(each).intersects(covered(said))] == []


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Ｄｅｃｋ（２）", "Deck(2)"),
        ("1500 ㎜, 12 ㎡, 5 ℃", "1500 mm, 12 m², 5 °C"),
        ("Lot Ⅳ", "Lot IV"),
        ("10\u201112 B\u2010C", "10-12 B-C"),
        ("⌀ 40", "Ø 40"),
        ("㈱", "[U+3231]"),
    ],
)
def test_signs_that_the_font_lacks_are_written_in_its_letters(text: str, shown: str) -> None:
    """A sign that the font lacks is written in the font's letters where these say the same.

    Such are letters as wide as Chinese ones, several letters in one square, and another hyphen. If
    the font lacks one of these letters too, the sign is printed by its own number.
    """
    (sheet,) = written(page(Words("words", (48.0, 24.0), text)))
    assert [said.text for said in sheet.texts] == [shown]


@pytest.mark.parametrize(
    "text",
    [
        "Zażółć gęślą jaźń",
        "Příliš žluťoučký kůň",
        "Ștefan, Çağrı, Győző, Ķēniņš",
        "Nguyễn Thị Hường",
        "Объект № 7, ґанок, їжак",
        "Ελληνική βεράντα",
        "≤ 4 ⅞ − 0,5 m² ≥ 1",
    ],
)
def test_names_are_written_as_people_write_them(text: str) -> None:
    """Latin, Greek and Cyrillic names are read back as they were sent, in plain and in bold."""
    marks = [
        Words("words", (48.0, 24.0 * i), text, strong=strong)
        for i, strong in enumerate((False, True))
    ]
    (sheet,) = written(page(*marks))
    assert [said.text for said in sheet.texts] == [text, text]
    assert len({said.font for said in sheet.texts}) == 2


def test_a_strange_title_stays_in_its_place() -> None:
    """A title in letters that the font lacks is cut short before the next line of the strip.

    Forty letters of 1.5 x 1.8 = 2.7 mm are two rows in 104 mm, of 38 and of 2. On a drawing the
    first row is longer in code points than was counted for it. On a page of tables the title is
    taken in code points from the first, which are more than four rows. Both are cut short, with a
    mark of it, before 10 + 108 mm.
    """
    title = heading("甲" * 40)
    made = Page(SIZES["in"], "", (), strip_of(title, 1, 1))
    sheets = [sheet for part in (made, table(1)) for sheet in read_pages(write_pdf(title, [part]))]
    drawn, tabled = ([each for each in sheet.texts if "7532" in each.text] for sheet in sheets)
    assert [said.text.endswith("…") for said in drawn] == [True, False]
    assert [said.text.endswith("…") for said in tabled] == [False, False, False, True]
    assert all(said.at[0] + said.wide < 118.0 for said in (*drawn, *tabled))


def test_words_never_leave_the_page() -> None:
    """A word of 300 letters stays on its page.

    It stands in a drawing, from every anchor and turned, and in a table's cell, title, note and
    head.
    """
    word = "x" * 300
    anchors = [Words("words", (48.0, 24.0), word, anchor=a) for a in ("start", "middle", "end")]
    turns = [Words("words", (48.0, 24.0), word, turn=turn) for turn in (30.0, 90.0, -135.0)]
    drawn, *tabled = written(
        page(*anchors, *turns),
        Table(word, (Column("a", word), Column("b", word, "right")), ((word, word),), word),
    )
    assert len(drawn.texts) == 7, "six words and the number of the page"
    for sheet in (drawn, *tabled):
        for said in sheet.texts:
            assert inside(said, SIZES["in"]), said


def test_no_letter_of_a_long_word_in_a_cell_is_lost() -> None:
    """Words of 300 and 3000 letters are printed whole, on as many lines and pages as they need."""
    rows = (("#" * 300, "@" * 3000),)
    sheets = written(Table("T", (Column("a", "A"), Column("b", "B")), rows))
    letters = "".join(sheet.words for sheet in sheets)
    assert (letters.count("#"), letters.count("@")) == (300, 3000)
    assert len(sheets) > 1


def test_no_line_of_a_cell_ends_within_a_piece() -> None:
    """Lines of a cell, or of a note over it, end between pieces alone.

    There are forty pieces: each line begins with a count and ends with a length. Their spaces are
    read back as ordinary ones, which a search looks for.
    """
    held = ", ".join(40 * ["1\xa0×\xa02'\xa09\xa01/4\""])
    (sheet,) = written(Table("T", (Column("id", "Id"),), ((held,),), held))
    told = [said.text for said in sheet.texts if "×" in said.text]
    assert len(told) > 4
    assert all(re.fullmatch(r"(1 × 2' 9 1/4\"(, |,$|$))+", text) for text in told), told


def test_a_long_table_flows_over_pages() -> None:
    """A table of 500 rows takes 18 pages, each with its heads and the heading.

    Of 215.9 mm, 10 + 4 and 10 + 45 + 4 are margin, strip and gap: 142.9 are left. A title takes 3.5
    + 2.2, "continued" 2 + 2.2, head and rows 3.5 + 1.2 each. First page: 142.9 - 5.7 - 4.7 = 132.5
    is 28 rows; the others: 142.9 - 4.2 - 4.7 = 134 is 28, too. 500 rows: 17 · 28 = 476, so 18
    pages, the last of 24.
    """
    sheets = written(table(500))
    assert len(sheets) == 18
    seen = [re.findall(r"^R\d+$", sheet.words, re.M) for sheet in sheets]
    assert [len(rows) for rows in seen] == 17 * [28] + [24]
    assert [row for rows in seen for row in rows] == [f"R{i + 1}" for i in range(500)]
    for i, sheet in enumerate(sheets):
        assert sheet.said("Id").font.endswith("Bold")
        assert sheet.said("To cut")
        assert sheet.said("Rails" if i == 0 else "Rails, continued")
        assert sheet.said(f"Plan, page {i + 1} of 18")
        assert sheet.said("Back deck")
        assert sheet.said("Kit: square post")
        assert sheet.said("Check every measure on site.")


def test_tables_stay_clear_of_the_strip() -> None:
    """All text of a table stands above the strip, which ends 55 mm up, and within the frame."""
    for sheet in written(table(100)):
        for said in sheet.texts:
            if re.fullmatch(r"R\d+|4' 7 5/8\"", said.text):
                assert 55.0 < said.at[1] < 205.9 - 2.0
                assert said.at[0] > 10.0


def test_long_words_over_a_table_flow_like_its_rows() -> None:
    """A title of 300 words and a note of 1000 are printed whole, on more pages above the strip."""
    columns = (Column("a", "A"),)
    listed = Table("title " * 300, columns, tuple(("row",) for _ in range(60)), "note " * 1000)
    sheets = written(listed)
    over = [said for sheet in sheets for said in sheet.texts if said.at[1] > 52.0]
    words = " ".join(said.text for said in over).split()
    assert words.count("note") == 1000
    assert words.count("row") == 60
    assert words.count("title") >= 300
    below = " ".join(said.text for s in sheets for said in s.texts if said.at[1] < 52.0)
    assert not {"title", "note", "row"} & set(below.split())


def test_right_hand_columns_end_in_one_line() -> None:
    """Lengths of different widths end at the same place in a right-hand column."""
    rows = (("A", '1"'), ("B", "10' 11 15/16\""))
    (sheet,) = written(Table("T", (Column("a", "A name"), Column("b", "Cut", "right")), rows))
    ends = [sheet.said(text).at[0] + sheet.said(text).wide for _, text in rows]
    assert ends[0] == pytest.approx(ends[1], abs=0.001)


def test_a_table_with_no_rows() -> None:
    """A table with no rows has its note in place of rows and heads.

    With no note it has its heads alone.
    """
    (noted,) = written(table(0, "No glass in this job."))
    assert noted.said("Rails").at[1] > noted.said("No glass in this job.").at[1]
    assert "To cut" not in noted.words
    (bare,) = written(table(0))
    assert "To cut" in bare.words


def test_short_tables_share_a_page() -> None:
    """Three short tables stand on one page, in their order, one below the other."""
    (sheet,) = written(table(3, title="One"), table(0, "None.", "Two"), table(3, title="Three"))
    heights = [sheet.said(title).at[1] for title in ("One", "Two", "Three")]
    assert heights == sorted(heights, reverse=True)


def test_a_column_gives_what_it_can_spare() -> None:
    """A column gives up width where its own row gets no deeper and another's gets less deep.

    300 letters of 1.6 mm are 480, and 40 are 64: of 100 mm a fair share is 50 each, 47.6 within the
    edges of a column, where the first are 11 lines and the second 2. By its longest word, of 8 mm
    and 2.4 for edges, the second would be 10.4 wide, and itself 8 lines deep. A quarter of the way
    to that, 50 - 0.25 (50 - 10.4) = 40.1, it is 2 lines and the first 480 / 57.5, which is 9; half
    way, 30.2, they are 3 and 8; at three quarters, 20.3, they are 4 and 480 / 77.3, which is 7.
    Where its own row is no deeper by the other column, a column keeps what it asks for.
    """
    columns = (Column("what", "What"), Column("by", "By"))
    long, short = "word " * 59 + "words", "cite " * 7 + "cites"
    assert (len(long), len(short)) == (300, 40)
    one = Table("", columns, ((long, short),))
    assert widths(one, 100.0) == pytest.approx((79.7, 20.3))
    two = Table("", columns, ((long, ""), ("word", short)))
    assert widths(two, 100.0) == pytest.approx((50.0, 50.0))


def test_no_column_is_narrower_than_a_length_in_it() -> None:
    """A column keeps the width of the longest length in it, as no line ends within a length.

    300 letters of 1.6 mm are 480, and the 12 of a length 19.2: that column has 21.6 mm of 100 with
    its edges, and the other 78.4, in which its letters are 7 lines deep. The longest word of the
    length is 11/16", of 9.6 mm, but a column of less than the length would part it within its
    fraction.
    """
    columns = (Column("what", "What"), Column("length", "Length", "right"))
    length = "12' 1 11/16\""
    long = Table("Pieces", columns, (("word " * 59 + "words", length),))
    assert widths(long, 100.0) == pytest.approx((78.4, 21.6))
    words = "word " * 99 + "words"
    (sheet,) = written(Table("Pieces", columns, ((words, length), (words, "199' 5\""))))
    assert {length, "199' 5\""} <= {said.text for said in sheet.texts}


def test_a_title_is_not_left_alone_at_the_foot_of_a_page() -> None:
    """A table begins on the next page where its title, head and first row have no room on this one.

    After 27 rows 8.6 mm are left: too little for gap, title, head and a row. The second table is
    not "continued" on the next page, as it begins there.
    """
    first, second = written(table(27, title="One"), table(1, title="Two"))
    assert "Two" not in first.words.splitlines()
    assert second.said("Two")
    assert "continued" not in second.words


def test_no_row_of_a_table_stands_alone_on_a_page() -> None:
    """At least two rows of a table stand together on a page.

    28 rows fill the first page: of 29 the last two are on the next. After 23 rows 132.5 - 108.1 =
    24.4 mm are left: room for gap, title, head and a row, 7 + 5.7 + 4.7 + 4.7 = 22.1, but not for a
    second row, so the next table begins on the next page.
    """
    first, second = written(table(29))
    assert re.findall(r"^R\d+$", second.words, re.M) == ["R28", "R29"]
    assert second.said("Rails, continued")
    one, two = written(table(23, title="One"), table(9, title="Two"))
    assert "Two" not in one.words.splitlines()
    assert two.said("Two")


def test_totals_are_the_last_rows_and_in_bold() -> None:
    """Totals stand in bold below the rows that they sum."""
    columns = (Column("a", "Part"), Column("b", "Price", "right"))
    (sheet,) = written(Table("T", columns, (("rail", "2.00"),), "", (("In all, net", "2.00"),)))
    total = sheet.said("In all, net")
    assert total.at[1] < sheet.said("rail").at[1]
    assert total.font.endswith("Bold")


def test_a_set_keeps_its_order_and_numbers_its_pages() -> None:
    """Parts of a set keep their order, and every page has its number in the set at its foot."""
    own = page(Words("words", (9.0, 9.0), "drawn"))
    sheets = written(table(1, title="First"), own, own, table(1, title="Last"))
    assert ["First" in s.words or "Last" in s.words for s in sheets] == [True, False, False, True]
    assert all(sheet.said(f"{i + 1} / 4") for i, sheet in enumerate(sheets))
    assert sheets[3].said("Plan, page 4 of 4")


def test_drawings_alone_have_no_second_number() -> None:
    """Pages of drawings alone have no number at their foot, as their strips have one."""
    assert not written(page())[0].texts


def test_a_sheet_of_nothing_is_a_page_with_its_heading() -> None:
    """A sheet without parts is a page with its heading, as no reader opens a file with no page."""
    (sheet,) = written()
    assert sheet.said("Back deck")


def test_widths_of_columns_fill_the_room_and_no_more() -> None:
    """Columns that ask for little have it, and the others share the rest alike.

    For two of them there are 100 - 2.4 - 2 · 1.6.
    """
    columns = tuple(Column(key, "") for key in "abc")
    given = widths(Table("", columns, (("xx", "y" * 200, "z" * 300),)), 100.0)
    assert given == pytest.approx((5.6, 47.2, 47.2))


def test_marks_of_text_that_a_page_reads_are_plain() -> None:
    """Letters that are markup elsewhere are printed as they are."""
    assert spelled("P1 & <b>", lambda _: True) == "P1 & <b>"
    (sheet,) = written(Table("A & <b>", (Column("a", "</para>"),), (("<i>&amp;",),)))
    assert {"A & <b>", "</para>", "<i>&amp;"} <= set(sheet.words.splitlines())


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_in_print(name: str) -> None:
    """In print each level of an example's plan has a page. There the id of every post and of every
    bay of that level stands once, and on no other page; the id of every run begins a text, by
    itself, with its length, or with a run that is marked alike; so do those of its openings and
    its flights."""
    asked = example(name)
    reply, levels = asked.reply, [level.id for level in asked.deck.levels]
    level_of = {each["id"]: each["level"] for each in (*reply["posts"], *reply["runs"])}
    pages = read_pages(make_sheet("plan", "application/pdf", asked))
    for level, sheet in zip(levels, pages, strict=True):
        texts = [said.text.replace("\xa0", " ") for said in sheet.texts]
        printed = Counter(text for text in texts if re.fullmatch(r"[PB]\d+", text))
        posts = [each["id"] for each in reply["posts"] if each["level"] == level]
        bays = [each["id"] for each in reply["bays"] if level_of[each["run"]] == level]
        assert printed == Counter([*posts, *bays])
        names = [re.fullmatch(r"(R\d+)(?: and (R\d+))?( .+)?", text) for text in texts]
        runs = {run for found in names if found for run in found.group(1, 2) if run}
        assert runs == {each["id"] for each in reply["runs"] if each["level"] == level}
        places = [each["opening"] for each in reply["openings"] if each["level"] == level]
        flights = [each["id"] for each in reply.get("flights", ()) if each["level"] == level]
        heads = [f"{place.partition('/')[2]} " for place in places] + [
            f"{each}:" for each in flights
        ]
        assert all(sum(text.startswith(head) for text in texts) == 1 for head in heads)


@settings(max_examples=40, deadline=None)
@given(ANYTHING, st.floats(-180.0, 180.0))
def test_any_text_is_written_on_its_page(text: str, turn: float) -> None:
    """Any text stays on its page: in a title, a note, a cell and a drawing, turned in any way."""
    title = heading(text or "-")
    drawn = page(Words("words", (48.0, 24.0), text, turn=turn))
    listed = Table(text, (Column("a", "A"), Column("b", "B", "right")), ((text, "1"),), text)
    for sheet in read_pages(write_pdf(title, [drawn, listed])):
        for said in sheet.texts:
            assert inside(said, SIZES["in"]), said


def test_a_few_sums_stand_with_a_row() -> None:
    """A few sums take the last row of their table with them to a new page; many do not.

    28 rows fill the first page: three sums take the last row to the next one, and six are parted
    from it.
    """
    few, many = (
        replace(table(28), foot=tuple((f"S{i + 1}", "") for i in range(count))) for count in (3, 6)
    )
    first, second = written(few)
    assert re.findall(r"^[RS]\d+$", second.words, re.M) == ["R28", "S1", "S2", "S3"]
    assert "R27" in first.words.splitlines()
    _, second = written(many)
    assert re.findall(r"^[RS]\d+$", second.words, re.M) == [f"S{i + 1}" for i in range(6)]
