"""DXF: what a model holds, read back with ezdxf and checked for errors by its auditor."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
import shapely
from ezdxf import bbox, recover
from ezdxf.colors import aci2rgb
from ezdxf.document import Drawing
from ezdxf.entities.polyline import Polyline
from ezdxf.entities.text import Text
from ezdxf.filemanagement import readfile
from hypothesis import given, settings

from service.core.measure import Unit
from service.drawings.looks import INK, LOOKS
from service.drawings.marks import Disc, Layer, Mark, Stroke, Words, box, line
from service.drawings.parts import Heading, Page, Placed, View
from service.drawings.points import Rect
from service.drawings.scales import Scale
from service.drawings.sheets import make_sheet
from service.drawings.writers.dxf import MOST, write_dxf
from service.drawings.writers.tags import COLOURS
from tests.drawings.pieces import ANYTHING, STRANGE, heading, page, table
from tests.drawings.subjects import example

SQUARE = box("post", (12.0, 24.0), (36.0, 48.0), filled=True)


def model(written: bytes) -> Drawing:
    """A file as ezdxf reads it; its auditor may find nothing to mend."""
    drawing, auditor = recover.read(io.BytesIO(written))
    assert (auditor.errors, auditor.fixes) == ([], [])
    return drawing


def drawn(*marks: Mark) -> Drawing:
    """The model of one view."""
    return model(write_dxf(heading(), [page(*marks)]))


def texts(drawing: Drawing) -> list[str]:
    """Every line of text as a reader sees it, in the order of the file."""
    found = []
    for text in drawing.modelspace().query("TEXT"):
        assert isinstance(text, Text)
        found.append(text.plain_text())
    return found


def test_a_file_is_r12_and_needs_no_mending(tmp_path: Path) -> None:
    """A file is R12, and neither ezdxf's reader nor the one that looks for faults finds any."""
    path = tmp_path / "plan.dxf"
    path.write_bytes(make_sheet("plan", "image/vnd.dxf", example("two-levels")))
    plain = readfile(path)
    assert plain.dxfversion == "AC1009"
    assert (plain.audit().errors, plain.audit().fixes) == ([], [])
    mended, auditor = recover.readfile(path)
    assert (auditor.errors, auditor.fixes) == ([], [])
    assert len(mended.modelspace()) == len(plain.modelspace())


@pytest.mark.parametrize(
    ("unit", "named", "shown", "inserted"), [("in", "inch", 4, 1), ("mm", "millimetre", 2, 4)]
)
def test_a_file_says_its_unit(unit: Unit, named: str, shown: int, inserted: int) -> None:
    """A file says its unit in four places.

    They are a comment at its head; how lengths are shown (4: feet and inches, 2: decimals); the
    number by which programs since R2000 know units (1: inches, 4: millimetres); and a line of text.
    """
    written = write_dxf(heading(unit=unit), [page(SQUARE, unit=unit)])
    assert written.startswith(f"0\nSECTION\n2\nHEADER\n999\none unit is one {named}\n".encode())
    drawing = model(written)
    assert drawing.header["$LUNITS"] == shown
    assert drawing.header["$INSUNITS"] == inserted
    assert f"Drawn at full size: one unit is one {named}." in texts(drawing)


def test_marks_lie_where_the_deck_has_them() -> None:
    """Marks are drawn at full size in the deck's own unit, whatever the scale of the page."""
    drawing = drawn(SQUARE, line("joist", (0.0, 1.0), (96.0, 1.5)), Disc("block", (3.0, 4.0), 0.25))
    space = drawing.modelspace()
    (post,) = space.query("POLYLINE[layer=='POST']")
    assert isinstance(post, Polyline)
    assert [tuple(p)[:2] for p in post.points()] == [(12, 24), (36, 24), (36, 48), (12, 48)]
    assert post.is_closed
    (joist,) = space.query("LINE[layer=='JOIST']")
    assert (tuple(joist.dxf.start)[:2], tuple(joist.dxf.end)[:2]) == ((0, 1), (96, 1.5))
    (block,) = space.query("CIRCLE[layer=='BLOCK']")
    assert (tuple(block.dxf.center)[:2], block.dxf.radius) == ((3, 4), 0.25)


def test_an_open_line_of_many_points_stays_open() -> None:
    """An open line of three points stays open, and a closed one of two is a closed polyline."""
    open_, shut = (
        Stroke("wall", ((0.0, 0.0), (5.0, 0.0), (5.0, 5.0))),
        Stroke("stair", ((0.0, 0.0), (5.0, 0.0)), closed=True),
    )
    space = drawn(open_, shut).modelspace()
    assert not space.query("POLYLINE[layer=='WALL']")[0].is_closed
    assert space.query("POLYLINE[layer=='STAIR']")[0].is_closed


@pytest.mark.parametrize(
    ("unit", "ratio", "height"), [("in", 24, 2.362205), ("in", 48, 4.724409), ("mm", 50, 125.0)]
)
def test_text_is_as_high_as_on_paper(unit: Unit, ratio: int, height: float) -> None:
    """Text is as high in the model as it would be on paper at the view's scale.

    2.5 mm at 1:24 are 60 mm, 60 / 25.4 in; at 1:50 in millimetres 125.
    """
    words = Words("words", (9.0, 9.0), "P1", 2.5, "start", turn=90.0)
    drawing = model(write_dxf(heading(unit=unit), [page(words, ratio=ratio, unit=unit)]))
    (text,) = drawing.modelspace().query("TEXT[layer=='WORDS']")
    assert text.dxf.height == pytest.approx(height, abs=1e-6)
    assert text.dxf.rotation == 90.0
    assert tuple(text.dxf.insert)[:2] == (9.0, 9.0)


def test_text_stands_by_its_anchor() -> None:
    """Text is aligned to the left, centre or right at the place of its anchor."""
    anchors = [Words("words", (9.0, 9.0), a, anchor=a) for a in ("start", "middle", "end")]
    found = drawn(*anchors).modelspace().query("TEXT[layer=='WORDS']")
    assert [text.dxf.halign for text in found] == [0, 1, 2]
    assert {tuple(text.dxf.align_point)[:2] for text in found} == {(9.0, 9.0)}


def test_line_types_are_as_long_as_on_paper() -> None:
    """Dashes are as long in the model as on paper at the view's scale.

    They are 2 on, 1 off, and 5, 1, 1, 1, in mm on paper, times the scale: 24 / 25.4 in a
    millimetre.
    """
    ends = (0.0, 0.0), (9.0, 0.0)
    drawing = drawn(*(line("gate", *ends, pattern) for pattern in ("full", "dashed", "chain")))
    lines = drawing.modelspace().query("LINE")
    assert [each.dxf.linetype for each in lines] == ["BYLAYER", "DASHED", "CENTER"]
    assert drawing.header["$LTSCALE"] == pytest.approx(24 / 25.4, abs=1e-6)
    for name, lengths in (("DASHED", [2, -1]), ("CENTER", [5, -1, 1, -1])):
        tags = drawing.linetypes.get(name).pattern_tags.tags
        assert [tag.value for tag in tags if tag.code == 49] == lengths


def test_every_kind_of_mark_has_a_layer_in_its_colour() -> None:
    """Every kind of mark has a layer of its own with its colour.

    Ink is colour 7, which is shown black or white, as the ground is not; the others have the
    nearest colour of the index.
    """
    layers = drawn().layers
    assert {name.upper() for name in COLOURS} | {"0"} == {
        each.dxf.name for each in layers if each.dxf.name != "Defpoints"
    }, "but for one that the reader makes itself"
    assert set(COLOURS) - set(LOOKS) == {"outline"}
    assert set(LOOKS) - set(COLOURS) == {"veil"}
    for layer, colour in COLOURS.items():
        assert layers.get(layer.upper()).color == colour
    for layer in COLOURS.keys() & LOOKS.keys():
        look = LOOKS[layer]
        assert COLOURS[layer] == (7 if look.stroke == INK else nearest(look.stroke))


def nearest(colour: str) -> int:
    """The number of the colour in the index that is nearest to a given one."""
    want = bytes.fromhex(colour[1:])

    def far(index: int) -> int:
        return sum((a - b) ** 2 for a, b in zip(want, aci2rgb(index), strict=True))

    return min(range(1, 256), key=far)


def test_layers_hold_the_deck_alone() -> None:
    """The layers of the deck hold nothing of what stands beside the plan.

    The key's post on its base, and the bar, which is drawn as posts are, are on the layer of the
    heading in colours of their own. Seventeen posts are seventeen shapes; two of their bases are
    also shown, dashed, on the level that their flight comes down to.
    """
    made = example("two-levels")
    drawing = model(make_sheet("plan", "image/vnd.dxf", made))
    space = drawing.modelspace()
    assert len(space.query("POLYLINE[layer=='POST']")) == len(made.reply["posts"]) == 17
    bases = [each.dxf.linetype for each in space.query("POLYLINE[layer=='BASE']")]
    assert (bases.count("BYLAYER"), bases.count("DASHED")) == (17, 2)
    assert len(space.query("LINE[layer=='HANDRAIL']")) == 1
    sample = [each for each in space.query("LINE[layer=='PAPER']") if each.dxf.hasattr("color")]
    assert COLOURS["handrail"] in {each.dxf.color for each in sample}


def test_views_lie_side_by_side() -> None:
    """Views stand 24 in apart in a row, whatever the corner of each, and keep their heights.

    The first is 96 in wide and stays where it is.
    """
    view = View(
        "Bay 1",
        Scale(24, "in"),
        Rect((-6.0, 10.0), (30.0, 40.0)),
        (line("rail", (0.0, 12.0), (9.0, 12.0)),),
    )
    pages = [page(SQUARE), Page((279.4, 215.9), "", (Placed(view, (18.0, 60.0)),) * 2, ())]
    drawing = model(write_dxf(heading(), pages))
    rails = drawing.modelspace().query("LINE[layer=='RAIL']")
    assert [tuple(rail.dxf.start)[:2] for rail in rails] == [(126, 12), (186, 12)]
    assert drawing.header["$EXTMAX"][:2] == (216, 48)


@pytest.mark.parametrize("sheet", ["plan", "elevations"])
def test_no_text_of_a_model_lies_over_another(sheet: str) -> None:
    """No text of a model lies over another, and a view's title is not there twice.

    Each text is taken from its line to its height, and half of its height wide for a letter, which
    is less than it really takes.
    """
    drawing = model(make_sheet(sheet, "image/vnd.dxf", example("glass-flight")))
    found = []
    for text in drawing.modelspace().query("TEXT"):
        (x, y, _), high = text.dxf.get("align_point", text.dxf.insert), text.dxf.height
        wide = len(text.dxf.text) * high / 2
        left = {0: 0.0, 1: -wide / 2, 2: -wide}[text.dxf.get("halign", 0)]
        box = shapely.box(x + left, y, x + left + wide, y + high)
        found.append(shapely.affinity.rotate(box, text.dxf.get("rotation", 0), origin=(x, y)))
    one, two = shapely.STRtree(found).query(found, predicate="intersects")
    over = [(i, j) for i, j in zip(one.tolist(), two.tolist(), strict=True) if i < j]
    assert [found[i].intersection(found[j]).area for i, j in over if i != j] == []
    titles = [text for text in texts(drawing) if text == "Plan of balcony"]
    assert len(titles) == (1 if sheet == "plan" else 0)


def test_the_extents_are_those_of_the_deck() -> None:
    """A level of 20 by 12 feet is 240 by 144 in, from the document's own origin."""
    drawing = model(make_sheet("plan", "image/vnd.dxf", example("against-a-house")))
    around = bbox.extents(drawing.modelspace().query("*[layer=='DECK']"))
    assert tuple(around.extmin)[:2] == (0, 0)
    assert tuple(around.extmax)[:2] == (240, 144)
    assert drawing.header["$EXTMIN"][0] < 0 < 144 < drawing.header["$EXTMAX"][1]


def test_every_post_is_in_the_model() -> None:
    """Each post of the reply has its id and a square of the kit's width about its place.

    There are no other squares.
    """
    asked = example("against-a-house")
    drawing = model(make_sheet("plan", "image/vnd.dxf", asked))
    boxes = [bbox.extents([line]) for line in drawing.modelspace().query("*[layer=='POST']")]
    square = [box.center for box in boxes if tuple(box.size)[:2] == pytest.approx((2.25, 2.25))]
    places = sorted((round(at.x, 4), round(at.y, 4)) for at in square)
    assert places == sorted(tuple(post["at"]) for post in asked.reply["posts"])
    assert {post["id"] for post in asked.reply["posts"]} <= set(texts(drawing))


def test_the_heading_stands_below_all() -> None:
    """Title, lines and cautions stand in full, one below the other, under the lowest view."""
    asked = example("against-a-house")
    drawing = model(make_sheet("plan", "image/vnd.dxf", asked))
    told = " ".join(texts(drawing))
    for words in (asked.reply["title"], asked.reply["digest"], *asked.reply["cautions"]):
        assert words in told
    (lowest, *_) = sorted(t.dxf.insert[1] for t in drawing.modelspace().query("TEXT"))
    assert drawing.header["$EXTMIN"][1] == pytest.approx(lowest, abs=1e-6)


def test_a_title_in_other_letters() -> None:
    """Letters of 16 bits are read back as they were.

    Letters beyond them, and those that cannot be seen, are written by number.
    """
    drawing = model(write_dxf(heading(STRANGE), [page()]))
    shown = "Deck 甲板 [U+1F600] café [U+202E]של[U+0007] 0 EOF: Plan"
    assert shown in texts(drawing)


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("P1\n  0\nENDSEC\n  0\nEOF", "P1   0 ENDSEC   0 EOF"),
        ("P1\r\n0\r\nLINE\r\n8\r\nX", "P1  0  LINE  8  X"),
        ("a\x1a\x00b", "a[U+001A][U+0000]b"),
        ("%%d 100% %%%u", "[U+0025][U+0025]d 100% [U+0025][U+0025][U+0025]u"),
        ("a^Jb", "a[U+005E]Jb"),
        ("\\U+0041 \\P \\M+182A0", "[U+005C]U+0041 \\P [U+005C]M+182A0"),
        ("\ud83d", "[U+D83D]"),
        ("4' 7 5/8\" ½ 37.5° × 2", "4' 7 5/8\" ½ 37.5° × 2"),
    ],
)
def test_text_says_nothing_but_itself(text: str, read: str) -> None:
    """A caller's text can make neither a tag of the file nor a control sign within text."""
    written = write_dxf(heading(), [page(Words("words", (9.0, 9.0), text), SQUARE)])
    drawing = model(written)
    (found,) = drawing.modelspace().query("TEXT[layer=='WORDS']")
    assert isinstance(found, Text)
    assert found.dxf.text == found.plain_text() == read
    assert len(drawing.modelspace().query("POLYLINE")) == 1


def test_no_text_is_longer_than_r12_has_it() -> None:
    """No line of a file is longer than R12 allows.

    A title of 300 letters of 7 bytes each goes on in further lines; a mark's text is cut short, and
    ends in "...".
    """
    title = "甲" * 300
    written = write_dxf(heading(title), [page(Words("words", (9.0, 9.0), title))])
    assert max(map(len, written.splitlines())) <= MOST
    drawing = model(written)
    (mark,) = (text.dxf.text for text in drawing.modelspace().query("TEXT[layer=='WORDS']"))
    assert mark == "甲" * 32 + "..."
    told = "".join(text.dxf.text for text in drawing.modelspace().query("TEXT[layer=='PAPER']"))
    assert told.count("甲") == 300


def test_a_sheet_with_no_view_says_its_heading() -> None:
    """A file of tables alone, which are not drawn, is valid and has the heading."""
    assert texts(model(write_dxf(heading(), [table(3)]))) == [
        "Back deck: Plan",
        "Drawn at full size: one unit is one inch.",
        "Kit: square post",
        "Check every measure on site.",
    ]


def test_numbers_have_no_exponent_and_no_minus_nought() -> None:
    """Numbers have neither an exponent nor a minus before 0, however small or large they are."""
    written = write_dxf(heading(), [page(line("deck", (1e-7, -1e-9), (1e9, 0.1 + 0.2)))]).decode()
    begins = written.index("LINE\n8\nDECK\n")
    assert written[begins:].split("\n")[3:11] == (
        ["10", "0.000000", "20", "0.000000", "11", "1000000000.000000", "21", "0.300000"]
    )


def test_empty_words_are_no_text() -> None:
    """Text of spaces alone is left out, as nobody could find it in the model."""
    assert not drawn(Words("words", (9.0, 9.0), " ")).modelspace().query("TEXT[layer=='WORDS']")


def test_every_layer_is_drawn_on_its_own() -> None:
    """A mark of each kind is on the layer of its name.

    Veils, which lie between words and a line, are for ink alone.
    """
    kinds: list[Layer] = list(COLOURS)
    veil = box("veil", (0.0, 0.0), (9.0, 9.0), filled=True)
    assert not drawn(veil).modelspace().query("POLYLINE")
    space = drawn(*(line(kind, (0.0, 0.0), (9.0, 9.0)) for kind in kinds)).modelspace()
    assert [each.dxf.layer for each in space.query("LINE")] == [kind.upper() for kind in kinds]


def test_a_heading_of_nothing() -> None:
    """A job with a title of one letter and nothing drawn still has its heading."""
    only = Heading("Plan", ("A",), (), "mm")
    unit = "Drawn at full size: one unit is one millimetre."
    assert texts(model(write_dxf(only, []))) == ["A: Plan", unit]


@settings(max_examples=40, deadline=None)
@given(ANYTHING)
def test_any_text_is_one_text(text: str) -> None:
    """Whatever a caller writes, the model has as many marks as were drawn."""
    drawing = model(
        write_dxf(heading(text or "-"), [page(Words("words", (9.0, 9.0), text), SQUARE)])
    )
    space = drawing.modelspace()
    assert len(space.query("POLYLINE")) == 1
    assert len(space.query("TEXT[layer=='WORDS']")) == bool(text.strip())
    assert len(space) == 1 + len(space.query("TEXT"))
