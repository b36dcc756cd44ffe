"""HTML: one well-formed page that loads nothing, runs nothing and leaves nothing out."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

from service.drawings.lists.cutting import cut_list
from service.drawings.parts import Column, Heading, Page, Table
from service.drawings.plans.sheet import draw_plan
from service.drawings.sheets import CSV, HTML, MEDIAS, head, make_sheet
from service.drawings.writers.html import write_html
from tests.drawings.subjects import EXAMPLES, case, example, own, subject_of

LISTS = [name for name, medias in MEDIAS.items() if CSV in medias]
HEADING = Heading("List", ("Deck", "Kit: own", "sha256:0"), ("Mind the gap.",), "in")
VOID = {"meta", "wbr"}
INSIDE = {
    "head": {"html"},
    "body": {"html"},
    "title": {"head", "svg"},
    "style": {"head"},
    "meta": {"head"},
    "header": {"body"},
    "main": {"body"},
    "aside": {"body"},
    "section": {"main"},
    "table": {"section"},
    "caption": {"table"},
    "thead": {"table"},
    "tbody": {"table"},
    "tfoot": {"table"},
    "tr": {"thead", "tbody", "tfoot"},
    "th": {"tr"},
    "td": {"tr"},
    "li": {"ul"},
}
"""The elements that an element may stand in."""


class Reader(HTMLParser):
    """Reads a page and checks that its tags are closed in turn, each where it may be."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[tuple[str, str]] = []
        self.tables: list[list[list[str]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Read the beginning of an element."""
        assert tag not in INSIDE or self.open[-1] in INSIDE[tag], (self.open, tag)
        self.seen.append((tag, dict(attrs)))
        if tag == "table":
            self.tables.append([])
        if tag == "tr":
            self.tables[-1].append([])
        if tag in ("td", "th"):
            self.tables[-1][-1].append("")
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Read an element of SVG without content."""
        assert "svg" in self.open
        self.seen.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        """Read the end of an element, which has to be the one that began last."""
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Read text."""
        if self.open:
            self.words.append((self.open[-1], data))
            if self.open[-1] in ("td", "th"):
                self.tables[-1][-1][-1] += data

    @property
    def rows(self) -> list[list[str]]:
        """The rows of all tables, as lists of cells."""
        return [row for rows in self.tables for row in rows]

    @property
    def tags(self) -> list[str]:
        """Every element's name, in order."""
        return [tag for tag, _ in self.seen]


def read(data: bytes) -> Reader:
    """A page, read to its end."""
    reader = Reader()
    text = data.decode()
    assert text.startswith("<!DOCTYPE html>\n")
    reader.feed(text)
    reader.close()
    assert reader.open == []
    return reader


def one_cell(text: str) -> Reader:
    """A page with a table of one cell."""
    table = Table(text, (Column("a", text),), ((text,),), text, ((text,),))
    return read(write_html(Heading(text, (text, text, text), (text,), "mm"), [table]))


@pytest.mark.parametrize("sheet", LISTS)
@pytest.mark.parametrize("name", EXAMPLES)
def test_every_sheet_is_well_formed(sheet: str, name: str) -> None:
    """Every tag is in its place and closed, and every row is as long as its head."""
    page = read(make_sheet(sheet, HTML, example(name)))
    assert [len({len(row) for row in rows}) for rows in page.tables] == [1] * len(page.tables)


@pytest.mark.parametrize("sheet", LISTS)
def test_a_page_asks_for_nothing_and_runs_nothing(sheet: str) -> None:
    """A page has no script, no address and no handler, and a policy that forbids them."""
    page = read(make_sheet(sheet, HTML, example("glass-flight")))
    assert not {"script", "link", "img", "iframe", "object", "base", "form", "a"} & set(page.tags)
    for _, attrs in page.seen:
        assert not {"src", "href", "style", "action"} & set(attrs)
        assert not any(name.startswith("on") for name in attrs)
    policies = [a["content"] for _, a in page.seen if "http-equiv" in a]
    assert policies == ["default-src 'none'; style-src 'unsafe-inline'"]
    style = "".join(data for tag, data in page.words if tag == "style")
    assert page.tags.count("style") == 1
    assert "url(" not in style
    assert "@import" not in style


def test_a_page_can_be_read_aloud() -> None:
    """A page has a language, a title, headings one step at a time, and captions and scopes."""
    page = read(make_sheet("cut-list", HTML, example("framing-and-blocking")))
    assert page.seen[0] == ("html", {"lang": "en"})
    title = "".join(data for tag, data in page.words if tag == "title")
    assert title == "Joists at 16 in: which posts need blocking: Cut list"
    headings = [tag for tag in page.tags if tag in ("h1", "h2", "h3")]
    assert headings[0] == "h1"
    assert set(headings[1:]) == {"h2"}
    assert page.tags.count("caption") == page.tags.count("table") == 3
    assert all(attrs.get("scope") in ("row", "col") for tag, attrs in page.seen if tag == "th")


@pytest.mark.parametrize("sheet", LISTS)
def test_cautions_stand_in_full_on_every_list(sheet: str) -> None:
    """Every list has the reply's cautions word for word."""
    page = read(make_sheet(sheet, HTML, example("glass-flight")))
    items = [data for tag, data in page.words if tag == "li"]
    assert items == example("glass-flight").reply["cautions"]


def test_a_page_names_its_job() -> None:
    """A page has title, kit, code and digest, so that two printed sheets can be compared."""
    reply = example("glass-flight").reply
    page = read(make_sheet("parts", HTML, example("glass-flight")))
    shown = "".join(data for tag, data in page.words if tag in ("h1", "p"))
    for said in (reply["title"], reply["kit"]["title"], reply["code"]["title"], reply["digest"]):
        assert said in shown.replace("\u200b", "")


def test_a_page_has_the_pieces_of_a_rectangle() -> None:
    """A page has the worked pieces and their total in the foot.

    Worked in rectangles/against_a_house: four front top rails of 55.625.
    """
    page = read(make_sheet("cut-list", HTML, case("rectangles/against_a_house")))
    assert ["Top rail, picket", "4", "4' 7 5/8\"", "square", "B1-B4"] in page.rows
    assert ["Pieces", "364", "", "", ""] in page.rows


HOSTILE = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</td></table></style><b>",
    "'; & &amp; &#60;b&#62; --> ]]>",
    "</title><svg onload=alert(1)>",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_what_a_stranger_wrote_is_text(text: str) -> None:
    """A caller's markup is plain text wherever it stands.

    That is in a title, a name, a caution, a heading, a note, a cell and a total.
    """
    page = one_cell(text)
    assert not {"script", "img", "b", "svg"} & set(page.tags)
    assert [cell.replace("\u200b", "") for row in page.rows for cell in row] == [text] * 3


def test_a_strangers_document_is_text() -> None:
    """A caller's title and kit words are plain text after the whole way through the service."""
    words = {"number": HOSTILE[0], "description": HOSTILE[1]}
    document = own({"picket": words, "top_rail_picket": words}, title=HOSTILE[4])
    for sheet in LISTS:
        page = read(make_sheet(sheet, HTML, subject_of(document)))
        assert not {"script", "img", "svg"} & set(page.tags)
        assert "".join(data for tag, data in page.words if tag == "h1") == HOSTILE[4]


@pytest.mark.parametrize("bad", ["\x00", "\x08", "\x85", "\u202e", "\u2066", "\ufffe", "\u2028"])
def test_no_control_character_reaches_the_page(bad: str) -> None:
    """Control characters are left out of a page.

    HTML refuses them, and a line that is turned would show a count backwards.
    """
    data = write_html(HEADING, [Table(f"a{bad}b", (Column("a", "A"),), ((f"12{bad}34",),))])
    assert bad not in data.decode()


def test_a_strangers_text_finds_its_own_direction() -> None:
    """A caller's text, as one from right to left, finds its own direction in its cell.

    What stands beside it does not matter.
    """
    page = read(write_html(HEADING, [Table("T", (Column("a", "A"),), (("חצר 3",),))]))
    cells = [attrs for tag, attrs in page.seen if attrs.get("scope") == "row"]
    assert [attrs["dir"] for attrs in cells] == ["auto"]
    assert dict(page.seen)["h1"]["dir"] == "auto"


def test_a_long_word_may_be_broken() -> None:
    """A word of 200 letters may be broken before any 25 of them, but never within an entity."""
    text = write_html(HEADING, [Table("T", (Column("a", "A"),), (("&" * 200,),))]).decode()
    assert text.count("&amp;" * 24 + "<wbr>") == 8
    assert "&amp;" * 25 not in text


def test_no_line_ends_within_a_length() -> None:
    """No line ends within a length, in wrapped cells and in a note; between two lengths it may.

    A cell that is aligned to the right is not wrapped, so it stays as it is, to be copied.
    """
    said = "119' 7 13/16\"; 47 15/16 × 31 1/4; 1200 mm"
    kept = "119'\xa07\xa013/16\"; 47\xa015/16 × 31\xa01/4; 1200\xa0mm"
    columns = (Column("a", "A"), Column("b", "B"), Column("c", "C", "right"))
    table = Table("T", columns, (("R1", said, said),), said, (("All", said, said),))
    page = read(write_html(HEADING, [table]))
    assert page.rows[1:] == [["R1", kept, said], ["All", kept, said]]
    assert ("p", kept) in page.words


def test_a_list_without_rows_is_a_sentence() -> None:
    """A list without rows is a sentence and no table."""
    page = read(make_sheet("glass-order", HTML, example("against-a-house")))
    assert "table" not in page.tags
    assert ("p", "No glass is to be ordered.") in page.words


def test_columns_of_data_are_not_printed() -> None:
    """Columns that are for programs alone are not printed."""
    columns = (Column("a", "Seen"), Column("b", "Unseen", only="data"))
    page = read(write_html(HEADING, [Table("T", columns, (("1", "2"),), foot=(("3", "4"),))]))
    assert page.rows == [["Seen"], ["1"], ["3"]]


def test_drawings_stand_between_lists() -> None:
    """Drawings stand in a page as SVG, before the lists.

    Each is on paper of its own size, and the lists are on upright paper.
    """
    subject = example("two-levels")
    heading = head(subject, "Job")
    drawn = draw_plan(subject, heading)
    data = write_html(heading, [*drawn, *cut_list(subject, heading)])
    page = read(data)
    pages = [attrs for tag, attrs in page.seen if tag == "svg"]
    assert len(pages) == len(drawn) == 2
    assert all(isinstance(each, Page) for each in drawn)
    style = "".join(text for tag, text in page.words if tag == "style")
    assert "@page{size:215.9mm 279.4mm;" in style
    assert "@page drawing{size:279.4mm 215.9mm;margin:0}" in style
    assert page.tags.index("svg") < page.tags.index("table")


def test_a_list_alone_has_no_style_of_drawings() -> None:
    """A list alone has neither the style of drawings nor their paper."""
    text = make_sheet("parts", HTML, example("two-levels")).decode()
    assert "polyline" not in text
    assert "@page drawing" not in text


def test_totals_are_printed_once() -> None:
    """Totals are printed once, while heads are printed on every page that a table runs over."""
    text = make_sheet("parts", HTML, example("two-levels")).decode()
    assert "tfoot{display:table-row-group}" in text
    assert "thead{display:table-header-group}" in text
