"""The plan: a level that is too large for a page is also drawn in parts, at a larger scale."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache
from math import cos, pi, sin

import pytest
import shapely
from ezdxf.filemanagement import read

from service.core import limits
from service.core.measure import Point
from service.drawings.boxes import box_of
from service.drawings.marks import Disc, Layer, Mark, Stroke, Words, box, line, width_of
from service.drawings.parts import Subject, View
from service.drawings.plans.lines import Lines
from service.drawings.plans.side_notes import MORE
from service.drawings.plans.windows import boxed, clip_to_window, windows_over
from service.drawings.points import Rect
from service.drawings.scales import Scale
from service.drawings.sheets import DXF, SVG, make_sheet
from tests.bench.decks import flights, large, largest, stepped, typical
from tests.drawings.drawn import ten_fronts
from tests.drawings.plans import all_views_of, texts
from tests.drawings.subjects import ROOT, Json, subject_of

HOW = "Drawn closer in parts, on the pages"


@cache
def made() -> Subject:
    """The subject of a deck of 40 corners, 152 bays of 60 in: 380 ft each way."""
    return subject_of(large())


@cache
def views() -> tuple[View, ...]:
    """The views of that deck: its plan, and those of its parts."""
    return tuple(all_views_of(made()))


def drawing_boxes(parts: Iterable[View]) -> Iterator[Rect]:
    """The window of each part."""
    for part in parts:
        assert part.drawing_box is not None
        yield part.drawing_box


def ring(mark: Stroke) -> tuple[Point, ...]:
    """The points of a line, back to the first where the line is closed."""
    return (*mark.points, mark.points[0]) if mark.closed else mark.points


def within(view: View) -> list[str]:
    """What is written within a part's window, not beside it."""
    assert view.drawing_box is not None
    window = view.drawing_box
    return [
        mark.text
        for mark in view.marks
        if isinstance(mark, Words) and mark.layer != "paper" and window.has(mark.at)
    ]


def test_the_plan_of_the_whole_says_that_parts_follow() -> None:
    """The plan of the whole has a note of its parts, and a box with a number for each of them."""
    whole, *parts = views()
    assert any(each.startswith(HOW) for each in texts(whole))
    drawn = shapely.MultiLineString([
        ring(mark) for mark in whole.marks if isinstance(mark, Stroke) and mark.layer == "words"
        and mark.pattern == "chain"
    ])  # fmt: skip
    words = [mark for mark in whole.marks if isinstance(mark, Words)]
    seen = [
        drawn.buffer(0.01),
        *(shapely.Polygon(box_of(each, whole.scale, 0.2)) for each in words),
    ]
    boxes = [shapely.box(*low, *high).exterior for low, high in drawing_boxes(parts)]
    assert not [each for each in boxes if not shapely.union_all(seen).covers(each)]
    assert shapely.union_all(boxes).buffer(0.01).covers(drawn)
    numbers = [mark for mark in whole.marks if isinstance(mark, Words) and mark.size == 2.5]
    for i, part in enumerate(parts):
        (number,) = [mark for mark in numbers if mark.text == str(i + 1)]
        assert part.drawing_box is not None
        assert part.drawing_box.has(number.at)


def test_the_plan_of_the_whole_leaves_words_to_its_parts() -> None:
    """No posts, bays or runs are named on the plan of the whole where it is drawn in parts.

    There would be room for their names here, but too many of them.
    """
    whole, *parts = all_views_of(subject_of(flights(7, 7)))
    assert len(parts) > 1
    assert not [each for each in within(whole) if re.match(r"[PBR]\d+", each)]
    sizes = [mark for mark in whole.marks if isinstance(mark, Words) and mark.size == 2.5]
    assert [mark.text for mark in sizes] == [str(i + 1) for i in range(len(parts))]


def test_parts_say_which_they_are() -> None:
    """Each part has its number in its title and beside its plan."""
    _, *parts = views()
    count = len(parts)
    assert [each.title for each in parts] == [
        f"Plan of l0, part {i + 1} of {count}" for i in range(count)
    ]
    assert all(f"Part {i + 1} of {count}" in texts(each) for i, each in enumerate(parts))


def test_bays_have_room_in_parts() -> None:
    """Parts are at 1:96, where bays of 60 in come to 14 mm or more (15.875).

    At 1:128, the next smaller scale, they would come to 11.906.
    """
    _, *parts = views()
    assert {each.scale.ratio for each in parts} == {96}


@pytest.mark.parametrize("member", ["posts", "bays", "runs"])
def test_everything_is_named_in_a_part(member: str) -> None:
    """Every post, bay and run has its id in a part.

    The plan of the whole has no room for them.
    """
    _, *parts = views()
    said = {text.split()[0] for each in parts for text in within(each)}
    assert {each["id"] for each in made().reply[member]} <= said


def test_every_word_of_a_part_lies_wholly_in_it() -> None:
    """Level, centred words of a part lie within its window by their whole width, or beside it."""
    _, *parts = views()
    for view in parts:
        assert view.drawing_box is not None
        (left, _), (right, _) = view.drawing_box
        for mark in view.marks:
            if isinstance(mark, Words) and mark.anchor == "middle" and not mark.turn:
                half = width_of(mark.text, mark.size) / 2 / view.scale.per_unit
                is_in = left <= mark.at[0] - half and mark.at[0] + half <= right
                assert is_in or mark.at[0] - half > right, mark.text


@pytest.mark.parametrize("document", [large(), flights(7, 7)])
def test_the_line_around_a_part_keeps_off_its_words(document: Json) -> None:
    """Words of a part keep 0.5 mm off the line around it.

    That is half of the line, and what letters such as d rise over a capital.
    """
    _, *parts = all_views_of(subject_of(document))
    for view, window in zip(parts, drawing_boxes(parts), strict=True):
        inner = shapely.box(*window.grown(-view.scale.of_paper(0.5)).sides)
        words = [mark for mark in view.marks if isinstance(mark, Words) and window.has(mark.at)]
        assert words
        for mark in words:
            assert inner.covers(shapely.Polygon(box_of(mark, view.scale))), mark.text


def test_a_part_says_where_the_findings_are_that_it_has_no_room_for() -> None:
    """A part with no room for the whole list of findings ends it by saying where the rest is.

    Six findings fail on a deck with seven flights: each part begins the list and ends its column
    with that row. A deck whose parts have room for their findings has no such row.
    """
    whole, *parts = all_views_of(subject_of({**flights(7, 7), "code": "us-ibc-2024"}))
    every = [text for text in texts(whole) if text.startswith("Flag ")]
    for view in parts:
        *_, last = (mark for mark in view.marks if isinstance(mark, Words))
        assert last.text == MORE
        assert last.at[1] > view.box.low[1]
        own = [text for text in texts(view) if text.startswith("Flag ")]
        assert own == every[: len(own)]
        assert 0 < len(own) < len(every)
    assert all(MORE not in texts(view) for view in (whole, *views()))


def test_flights_in_a_row_are_named_in_parts() -> None:
    """Each of seven flights has its words in one of the parts.

    One page would leave out more than 20 texts.
    """
    _, *parts = all_views_of(subject_of(flights(7, 7)))
    said = [text for each in parts for text in within(each)]
    for i in range(7):
        assert f"to-main-o{i}: down, 7 risers" in said


def test_a_level_with_room_has_no_parts() -> None:
    """A deck of four runs has room on one page and is not drawn in parts."""
    (whole,) = all_views_of(subject_of(typical()))
    assert whole.in_model is None
    assert not any(each.startswith(HOW) for each in texts(whole))


def gallery() -> dict[str, object]:
    """A level 48 m long along a wall, 1.2 m deep: 28 equal bays along it, and one at its end."""
    level = {"id": "gallery", "drop": 2800}
    level["outline"] = {"points": [[0, 0], [48000, 0], [48000, 1200], [0, 1200]]}
    level["edges"] = [{"edge": 1, "condition": "wall"}, {"edge": 2, "condition": "wall"}]
    kit = {"unit": "mm", "kit": "glass-picket-surface-mm"}
    return {**kit, "guard": {"infill": "picket", "height": 1000}, "levels": [level]}


def test_bays_too_narrow_for_their_ids_are_drawn_closer() -> None:
    """A level has parts where its bays would be narrower than 10 mm, though nothing is left out.

    A page is 269 mm wide, so 48 m are at 1:200 at most, where a bay of up to 1800 mm comes to 9.
    Parts are at 1:100, where 1650 come to 16.5.
    """
    whole, *parts = all_views_of(subject_of(gallery()))
    assert whole.scale.ratio == 200
    assert {each.scale.ratio for each in parts} == {100}
    reply = subject_of(gallery()).reply
    said = {text for each in parts for text in within(each)}
    assert {each["id"] for name in ("posts", "bays") for each in reply[name]} <= said


def test_edges_of_one_length_are_told_together() -> None:
    """Edges of the same length that have no room for it are listed in one entry beside the plan.

    The star has 40 corners, 210 and 180 in turn from its middle. The third side of a triangle of
    210 and 180 with 9 degrees between them is 42.787.
    """
    turns = [pi * i / 20 for i in range(40)]
    corners = [[(180 + 30 * (i % 2)) * f(a) for f in (cos, sin)] for i, a in enumerate(turns)]
    level = {"id": "star", "drop": 40, "outline": {"points": corners}}
    deck = {"unit": "in", "kit": "picket-glass-surface-in", "guard": {"infill": "picket"}}
    star, *_ = all_views_of(subject_of({**deck, "levels": [level]}))
    assert "Told here for want of room: edges 0-39: 3' 6 13/16\"." in " ".join(texts(star))


def test_a_level_whose_names_are_led_to_from_afar_has_parts() -> None:
    """A level with many lines that lead to names is drawn in parts.

    It has five flights side by side: on one page lines would lead to some forty names.
    """
    _, *parts = all_views_of(subject_of(flights(5, 7)))
    assert len(parts) > 1


def test_a_level_too_large_for_parts_has_none() -> None:
    """A level that would need too many cells of paper is not drawn in parts.

    60 steps of 240 in, at 1:96, are 3810 mm each way and 120 around: 4367 cells of 0.9 each way,
    which make over 4 million of them.
    """
    (whole,) = all_views_of(subject_of(stepped(60, 1)))
    assert not any(each.startswith(HOW) for each in texts(whole))


def test_the_largest_deck_has_no_more_pages_than_are_allowed() -> None:
    """The largest deck, 16 levels of 152 bays, keeps to the limit of 250 pages a sheet.

    Some of its levels are drawn in parts.
    """
    subject = subject_of(largest())
    found = all_views_of(subject)
    assert 16 < len(found) <= limits.PAGES
    assert len([each for each in found if each.in_model != ()]) == 16


def test_a_model_has_each_thing_once() -> None:
    """A DXF model has the level as it is drawn closer, with every post named once, at one scale."""
    written = make_sheet("plan", DXF, made())
    drawing = read(io.StringIO(written.decode("ascii")))
    said = [each.dxf.text for each in drawing.modelspace().query("TEXT")]
    named = [each for each in said if re.fullmatch(r"P\d+", each)]
    assert sorted(named) == sorted(post["id"] for post in made().reply["posts"])


def test_each_page_is_a_view_of_the_picture() -> None:
    """An SVG picture has as many views as there are pages."""
    written = make_sheet("plan", SVG, made()).decode()
    found = re.findall(r'<view id="drawing-(\d+)"', written)
    assert found == [str(i + 1) for i in range(len(views()))]


def test_windows_show_every_item() -> None:
    """Each of a row of points from 0 to 1000 lies in one of the windows that are kept.

    Where windows of 100 by 100 overlap by 20, it takes (1000 - 100) / 80 of them and one more: 13
    at the most.
    """
    items = [Rect((10.0 * i, 0.0), (10.0 * i, 0.0)) for i in range(101)]
    whole = Rect((0.0, 0.0), (1000.0, 500.0))
    kept = windows_over(whole, (100.0, 100.0), 20.0, items)
    assert all(any(window.holds(item) for window in kept) for item in items)
    assert len(kept) <= 13
    assert {window.low[1] for window in kept} == {0.0}


def test_windows_of_a_vast_drawing() -> None:
    """Of the windows over a vast drawing only those that show something are looked at.

    Two items lie in opposite corners of a square of 2,000,000, over which 400 million windows of
    100 would lie. The upper window comes first.
    """
    near, far = Rect((1.0, 1.0), (2.0, 2.0)), Rect((1999998.0, 1999998.0), (1999999.0,) * 2)
    whole = Rect((0.0, 0.0), (2e6, 2e6))
    kept = windows_over(whole, (100.0, 100.0), 0.0, [near, far])
    assert [window.low for window in kept] == [(1999900.0, 1999900.0), (0.0, 0.0)]


def test_lines_are_cut_at_a_window() -> None:
    """Lines are cut at the sides of a window, and those outside it are left out.

    A line from -5 to 15 is cut at 0 and 10. A filled square that lies half within keeps that half,
    filled.
    """
    window = Rect((0.0, 0.0), (10.0, 10.0))
    marks = [
        line("deck", (-5.0, 5.0), (15.0, 5.0)),
        box("post", (8.0, 2.0), (12.0, 4.0), filled=True),
        line("deck", (-5.0, -5.0), (15.0, -5.0)),
    ]
    cut = list(clip_to_window(boxed(marks, Scale(1, "mm")), window))
    assert [mark.points for mark in cut if isinstance(mark, Stroke)][0] == (
        (0.0, 5.0),
        (10.0, 5.0),
    )
    (square,) = [mark for mark in cut if isinstance(mark, Stroke) and mark.closed]
    assert sorted(square.points) == [(8.0, 2.0), (8.0, 4.0), (10.0, 2.0), (10.0, 4.0)]
    assert square.filled
    assert len(cut) == 2


def test_words_and_discs_are_seen_whole_or_not_at_all() -> None:
    """Words and discs that reach past a window's side are left out whole.

    A disc of radius 2 about 9 reaches to 11, past 10; two letters of 2 mm are 3.2 wide, so about 9
    they do too.
    """
    window = Rect((0.0, 0.0), (10.0, 10.0))
    inside: list[Mark] = [Disc("dimension", (5.0, 5.0), 2.0), Words("words", (5.0, 5.0), "P1", 2.0)]
    past: list[Mark] = [Disc("dimension", (9.0, 5.0), 2.0), Words("words", (9.0, 5.0), "P1", 2.0)]
    marks = boxed([*inside, *past], Scale(1, "mm"))
    assert list(clip_to_window(marks, window)) == inside


def test_what_lies_under_words_is_seen_with_them_or_not_at_all() -> None:
    """A flag's box, or a veil, is left out of a window together with the words that it lies under.

    Words of 2.4 mm about 8.5 end 0.3 mm off the window's side at 10: they are left out, and the box
    or the veil from 7 to 10 with them. The same about 5 are there.
    """
    window, scale = Rect((0.0, 0.0), (10.0, 10.0)), Scale(1, "mm")
    inside: list[Mark] = []
    past: list[Mark] = []
    layers: tuple[Layer, ...] = ("words", "veil")
    for layer in layers:
        for at, kept in ((5.0, inside), (8.5, past)):
            words = Words("words", (at, 5.0), "12", 1.5)
            shape = box(layer, (at - 1.5, 4.0), (at + 1.5, 7.0), filled=True)
            kept += [replace(shape, under=words), words]
    assert list(clip_to_window(boxed([*inside, *past], scale), window)) == inside


def test_a_line_to_words_is_seen_with_them_or_not_at_all() -> None:
    """A line that leads to words is cut at a window that shows them, and left out of one that does
    not.

    Words of 2.4 mm about 5 lie in a window from 0 to 10; those about 12 do not, and the line from 5
    to them would end on nothing at 10.
    """
    window = Rect((0.0, 0.0), (10.0, 10.0))
    seen, unseen = (Words("words", (x, 5.0), "12", 1.5) for x in (5.0, 12.0))
    marks: list[Mark] = [
        Stroke("dimension", ((5.0, 5.0), (-5.0, 5.0)), leads_to=seen),
        Stroke("dimension", ((5.0, 8.0), (11.0, 5.0)), leads_to=unseen),
        seen,
        unseen,
    ]
    (led, words) = clip_to_window(boxed(marks, Scale(1, "mm")), window)
    assert words is seen
    assert isinstance(led, Stroke)
    assert led.points == ((5.0, 5.0), (0.0, 5.0))


@pytest.mark.parametrize(
    ("deck", "told"),
    [
        pytest.param(ten_fronts(), r"dimension edge \d+", id="edges"),
        pytest.param(flights(11, 8), r"dimension to-main-o\d.*", id="flights"),
        pytest.param(flights(7, 7), r"words \d", id="flags"),
        pytest.param(large(), r"dimension B\d+", id="bays"),
    ],
)
def test_no_line_to_words_ends_on_nothing_in_a_part(deck: Json, told: str) -> None:
    """Each line that leads to words is in those parts alone that have these words too."""
    _, *parts = all_views_of(subject_of(deck))
    led = [
        (mark.layer, mark.leads_to, part)
        for part in parts
        for mark in part.marks
        if isinstance(mark, Stroke) and mark.leads_to is not None
    ]
    assert [words for layer, words, _ in led if re.fullmatch(told, f"{layer} {words.text}")]
    assert all(words in part.marks for _, words, part in led)


def test_a_line_to_a_name_that_is_far_off_knows_its_words() -> None:
    """Words 30 mm above a line along y = 0 are led to from it."""
    words = Words("words", (0.0, 30.0), "edge 1", 1.8, "middle")
    led = Lines(Scale(1, "mm")).add_name(words, ((-50.0, 0.0), (50.0, 0.0)))
    assert led is not None
    assert led.points[0][1] == 0.0
    assert led.leads_to is words


def with_jogs() -> Subject:
    """A deck of 35 ft with 18 corners, some only 8 in apart."""
    outlines = json.loads((ROOT / "tests/data/outlines_in.json").read_text("utf-8"))["outlines"]
    (points,) = (each["points"] for each in outlines if each["id"] == "deck-2491")
    level = {"id": "main", "outline": {"points": points}}
    kit = {"unit": "in", "kit": "picket-glass-surface-in", "guard": {"infill": "picket"}}
    return subject_of({**kit, "levels": [level]})


def test_few_parts_do_where_few_bays_are_short() -> None:
    """A smaller scale is taken where it makes far fewer parts and still has room for all words.

    Nine of ten bays have 14 mm at 1:16, which is 17 pages of two posts each; at 1:48 all words have
    room on four.
    """
    _, *parts = all_views_of(with_jogs())
    assert 1 < len(parts) <= 6
    assert not [text for part in parts for text in texts(part) if text.startswith("Left out")]


def test_parts_that_lack_words_are_better_than_none() -> None:
    """A level has parts at a smaller scale even if not all words find room on them.

    At 1:12, where nine of ten bays have room, a deck of 149 ft with nine pairs of jogs would be far
    more than 40 parts. Those at 1:128 are taken.
    """
    points, x = [[0, 0]], 0
    for _ in range(9):
        points += [[x + 150, 0], [x + 150, -8], [x + 166, -8], [x + 166, 0], [x + 182, 0]]
        x += 182
    points += [[x + 150, 0], [x + 150, 500], [0, 500]]
    level = {"id": "main", "outline": {"points": points}}
    kit = {"unit": "in", "kit": "picket-glass-surface-in", "guard": {"infill": "picket"}}
    whole, *parts = all_views_of(subject_of({**kit, "levels": [level]}))
    assert 1 < len(parts) <= 6
    assert any(each.startswith(HOW) for each in texts(whole))


def test_the_plan_of_the_whole_is_as_large_as_its_page_has_room_for() -> None:
    """The plan of the whole fills over three quarters of its page's room, one way or the other.

    A letter page has 251.4 by 142.9 mm for it and what stands beside it.
    """
    whole, *_ = all_views_of(with_jogs())
    assert whole.drawing_box is not None
    (x0, y0), (x1, y1) = whole.drawing_box
    k = whole.scale.per_unit
    assert max((x1 - x0) * k / 251.4, (y1 - y0) * k / 142.9) > 0.75


def test_every_part_says_what_its_lines_measure() -> None:
    """Lines that go through several parts are named in each of them, once beside each line.

    A pier of 200 ft by 6 is four pages long. Runs R1 and R3 and edges 0 and 2 go through all of
    them; the names of those across stand at its ends alone.
    """
    level = {"id": "main", "outline": {"points": [[0, 0], [2400, 0], [2400, 72], [0, 72]]}}
    kit = {"unit": "in", "kit": "picket-glass-surface-in", "guard": {"infill": "picket"}}
    _, *parts = all_views_of(subject_of({**kit, "levels": [level]}))
    assert len(parts) > 2
    for i, part in enumerate(parts):
        named = {text.split(":")[0] for text in within(part) if re.match(r"R\d+|edge ", text)}
        ids = {name.split()[0] if name[0] == "R" else name for name in named}
        assert {"R1", "R3", "edge 0", "edge 2"} <= ids
        assert ids & {"R2", "edge 1"} == ({"R2", "edge 1"} if i == len(parts) - 1 else set())
