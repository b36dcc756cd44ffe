"""Paper: words are put where nothing else lies, and rows flow into columns."""

from __future__ import annotations

import pytest
import shapely

from service.core.measure import Point, Unit
from service.drawings.boxes import box_of, extent_of
from service.drawings.marks import Stroke, Words, box, line
from service.drawings.plans.paper import SOLID, Paper
from service.drawings.plans.placing import Aside, Label, around, beside, tag
from service.drawings.plans.side_notes import NoteRow, bar_of, flow, least_height
from service.drawings.scales import Scale, coarser

FULL = Scale(1, "mm")


def row(height: float) -> NoteRow:
    """A row with nothing in it."""
    return NoteRow(height, lambda scale, at: iter(()))


def test_words_take_the_first_place_where_nothing_lies() -> None:
    """Words stand to the right of a point first, and once that is taken to its upper right."""
    paper = Paper(FULL, (0.0, 0.0))
    right = Aside((0.0, 0.0), (1.0, 0.0), 1.0)
    first = paper.write(around(FULL, right, Label("P1", 2.5)))
    second = paper.write(around(FULL, right, Label("P2", 2.5)))
    assert first is not None
    assert second is not None
    # Words begin 1 off the point, however wide a font's letters are.
    assert first.anchor == "start"
    assert first.at[0] == pytest.approx(1.0)
    assert second.at[1] > first.at[1] + 2.5


@pytest.mark.parametrize(
    ("way", "anchor", "at"),
    [
        ((1.0, 0.0), "start", 1.0),
        ((-1.0, 0.0), "end", -1.0),
        ((0.0, 1.0), "middle", 0.0),
        ((0.0, -1.0), "middle", 0.0),
    ],
)
def test_words_beside_a_point_are_held_by_the_end_that_is_near_it(
    way: Point, anchor: str, at: float
) -> None:
    """Words are anchored at the end near the point, 1 mm off it, however wide a font's letters are.

    Where drawings count that they lie does not depend on the anchor: two letters of 2 mm go from 1
    to 5, or from -5 to -1; over and under the point from -2 to 2.
    """
    words = beside(FULL, Aside((0.0, 0.0), way, 1.0), Label("P1", 2.5))
    assert words.anchor == anchor
    assert words.at[0] == pytest.approx(at)
    low = {"start": 1.0, "end": -5.0, "middle": -2.0}[anchor]
    (left, _), (right, _) = extent_of([words], FULL)
    assert [left, right] == pytest.approx([low, low + 4.0])


def test_words_that_would_cover_others_everywhere_are_left_out_and_counted() -> None:
    """Words that could only stand on what is solid are left out and counted."""
    paper = Paper(FULL, (0.0, 0.0))
    paper.draw(box("wall", (-50.0, -50.0), (50.0, 50.0), filled=True), SOLID)
    right = Aside((0.0, 0.0), (1.0, 0.0), 1.0)
    assert paper.write(around(FULL, right, Label("P1"))) is None
    assert paper.left_out == 1
    assert len(paper.marks) == 1


def test_a_line_to_words_does_not_run_through_others() -> None:
    """Words are put where the line that leads to them runs through no other words.

    P1 stands in the middle of what is solid to 6 mm around, and is wanted to the right, where a "3"
    stands from 2.4 to 4.0. The first free place is there, but a line to it would run through the
    "3".
    """
    paper = Paper(FULL, (0.0, 0.0))
    paper.draw(box("base", (-6.0, -6.0), (6.0, 6.0), filled=True), SOLID)
    paper.draw(Words("words", (3.2, -0.7), "3", 2.0))
    tag(paper, Aside((0.0, 0.0), (1.0, 0.0), 1.0), Label("P1", 2.0))
    name, leader = paper.marks[-2:]
    assert isinstance(name, Words)
    assert isinstance(leader, Stroke)
    assert (name.text, paper.led, paper.left_out) == ("P1", 1, 0)
    assert shapely.LineString(leader.points).disjoint(shapely.box(2.4, -1.3, 4.0, 1.3))


def test_words_are_not_left_out_for_what_a_line_to_them_crosses() -> None:
    """Words with a single free place are put there, however costly the line to them is."""
    paper = Paper(FULL, (0.0, 0.0))
    assert paper.write([Words("words", (0.0, 0.0), "P1")], lambda words: 10 * SOLID) is not None
    assert paper.left_out == 0


def test_words_keep_off_a_line_to_others() -> None:
    """Words stand on dimension lines rather than on a line that leads to other words.

    P12, 4.8 wide, has room only above rows of words, between which a gap of 4 leads there. A "3" of
    1.6 has room in that gap, over the line to P12, and elsewhere over two lines that measure
    something.
    """
    paper = Paper(FULL, (0.0, 0.0))
    paper.draw(box("base", (-40.0, -40.0), (40.0, 0.5), filled=True), SOLID)
    for y in (1.5, 4.0, 6.5):
        for side in (-1.0, 1.0):
            # 24 letters of 1.6 are 38.4 wide.
            paper.draw(Words("words", (side * (2.0 + 19.2), y), "o" * 24, 2.0))
    tag(paper, Aside((0.0, 0.0), (0.0, 1.0), 1.0), Label("P12", 2.0))
    leader = paper.marks[-1]
    assert isinstance(leader, Stroke)
    assert all(abs(x) < 1.0 for x, _ in leader.points)
    for y in (20.5, 21.5):
        paper.draw(line("dimension", (50.0, y), (60.0, y)))
    over, elsewhere = (Words("words", at, "3", 2.0) for at in ((0.0, 4.0), (55.0, 20.0)))
    assert paper.write([over, elsewhere]) is elsewhere


def test_words_may_cross_a_line_where_they_must() -> None:
    """Words with a single place stand there even if a line runs through it."""
    paper = Paper(FULL, (0.0, 0.0))
    paper.draw(line("joist", (-50.0, 1.0), (50.0, 1.0)))
    assert paper.write([Words("words", (0.0, 0.0), "P1")]) is not None
    assert paper.left_out == 0


def test_turned_words_take_up_their_turned_box() -> None:
    """Four letters at 2.5 are 8 wide, so a quarter turned 8 high; 0.75 reach below their line."""
    turned = Words("words", (0.0, 0.0), "edge", 2.5, "start", 90.0)
    low, high = extent_of([turned], FULL)
    assert low == pytest.approx((-2.5, 0.0))
    assert high == pytest.approx((0.75, 8.0))


def test_boxes_are_as_large_in_the_deck_as_the_scale_says() -> None:
    """A text of 8 mm is 400 wide in the deck at 1:50."""
    corners = box_of(Words("words", (0.0, 0.0), "edge", 2.5, "middle"), Scale(50, "mm"))
    assert corners[0][0] == pytest.approx(-200.0)
    assert corners[1][0] == pytest.approx(200.0)


def test_rows_fill_columns_in_their_order() -> None:
    """Rows of 3, 3, 3 and 5 fill columns of 7 in their order.

    The first column has two rows, the second has one, as 3 + 5 are over 7, and the third has one.
    """
    rows = [row(3.0), row(3.0), row(3.0), row(5.0)]
    assert [[each.height for each in column] for column in flow(rows, 7.0)] == [
        [3.0, 3.0],
        [3.0],
        [5.0],
    ]


def test_columns_are_as_low_as_they_may_be() -> None:
    """Six rows of 3.3 in three columns are two each, 6.6 high, found to within half a row."""
    assert 6.6 <= least_height([row(3.3)] * 6, 3) + 1e-9 < 6.6 + 3.3 / 2


@pytest.mark.parametrize(("ratio", "unit"), [(4, "in"), (1536, "in"), (5, "mm"), (2000, "mm")])
def test_a_bar_is_round_and_fits(ratio: int, unit: Unit) -> None:
    """At any scale the bar is at most 26 mm on paper, and at least a third of that."""
    scale = Scale(ratio, unit)
    length, parts = bar_of(scale)
    assert 26.0 / 3 <= length * scale.per_unit <= 26.0
    assert parts in (2, 3, 4, 5)


def test_coarser_scales_end_nowhere() -> None:
    """Each coarser scale is smaller than the one before, past the last of the list by doubling."""
    scale = Scale(4, "in")
    for _ in range(30):
        less = coarser(scale)
        assert less.ratio > scale.ratio
        scale = less
