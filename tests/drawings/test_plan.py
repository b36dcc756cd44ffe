"""The plan: where things stand is worked by hand; what is printed is the reply's, each id once."""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import shapely

from service.drawings.boxes import box_of, ink_of
from service.drawings.marks import Layer, Mark, Stroke, Words, width_of
from service.drawings.marks import box as box_at
from service.drawings.parts import Subject, View
from service.drawings.plans.breaks import break_lines
from service.drawings.plans.flags import Concern, Flagged
from service.drawings.plans.paper import Paper
from service.drawings.plans.placed import Track
from service.drawings.plans.scene import Scene, scenes_of
from service.drawings.plans.side_notes import rows_of
from service.drawings.scales import Scale
from service.drawings.sheets import SVG, make_sheet
from tests.bench.decks import stepped
from tests.cases.test_cases import FILES, request_of
from tests.drawings.drawn import LEVEL_ONE, README
from tests.drawings.plans import numbers_of, plan_of, strokes, texts, views_of, whole, words
from tests.drawings.subjects import EXAMPLES, ROOT, case, request, subject_of

INCH_KIT = "picket-glass-surface-in"
WALL = {"edge": 0, "condition": "wall"}
FRAMED = ROOT / "tests" / "cases" / "framing"


def deck(**said: object) -> dict[str, Any]:
    """A deck of 240 by 144 in, guarded all round unless `said` has other members of its level."""
    points = [[0, 0], [240, 0], [240, 144], [0, 144]]
    level = {"id": "main", "outline": {"points": points}, "drop": 48, **said}
    return {"unit": "in", "kit": INCH_KIT, "guard": {"infill": "picket"}, "levels": [level]}


def box(points: tuple[tuple[float, float], ...]) -> tuple[float, float, float, float]:
    """The left, lower, right and upper side of an upright rectangle."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def test_posts_stand_where_the_tape_puts_them() -> None:
    """Posts are 2.25 wide and stand on the line 3.5 in from the edge.

    The corner's post lies from 2.375 to 4.625 both ways, the post at the steps from 96 less 2.25 to
    96.
    """
    squares = [box(each.points) for each in strokes(plan_of(request("against-a-house")), "post")]
    assert squares[0] == pytest.approx((2.375, 2.375, 4.625, 4.625))
    assert squares[2] == pytest.approx((93.75, 2.375, 96.0, 4.625))


def test_a_run_is_measured_by_running_marks_square_to_it() -> None:
    """A run of 7' 7 3/8" in two bays has marks at 0, 3' 9 11/16" and 7' 7 3/8".

    The text of each mark stands upright under its own post, outside the deck.
    """
    view = plan_of(request("against-a-house"))
    half = view.scale.of_paper(1.8 / 2)
    found = [
        mark
        for mark in view.marks
        if isinstance(mark, Words) and mark.at[1] < 0 and mark.turn == 90.0 and mark.at[0] < 100
    ]
    assert [mark.text for mark in sorted(found, key=lambda mark: mark.at[0])] == [
        '0"', "3' 9 11/16\"", "7' 7 3/8\"",
    ]  # fmt: skip
    assert sorted(mark.at[0] - half for mark in found) == pytest.approx([3.5, 49.1875, 94.875])


def test_a_wall_has_no_marks() -> None:
    """Above the wall at y = 144 nothing is written but the length of the wall's edge."""
    view = plan_of(request("against-a-house"))
    above = [
        mark.text
        for mark in view.marks
        if isinstance(mark, Words) and mark.layer == "dimension" and mark.at[1] > 145
    ]
    assert above == ["edge 2 wall: 20'"]


def test_a_wall_that_has_to_go_on_is_dashed() -> None:
    """Walls have to go on for 3.5 past both corners, as that is how far the rails reach.

    The rails' middle is 2.25 off a fascia's rim, and they are as wide as the posts, 2.5. The dashed
    boxes are 1.8 mm thick on paper and lie on the sides away from the deck.
    """
    outline = {"points": [[0, 0], [120, 0], [120, 48], [0, 48]]}
    walls = [{"edge": edge, "condition": "wall"} for edge in (1, 2, 3)]
    level = {"id": "b", "drop": 48, "outline": outline, "edges": walls}
    view = plan_of({**README, "kit": "picket-glass-fascia-in", "levels": [level]})
    thick = view.scale.of_paper(1.8)
    dashed = [each for each in strokes(view, "wall") if each.pattern == "dashed"]
    near, far = sorted(box(each.points) for each in dashed)
    assert near == pytest.approx((-thick, -3.5, 0.0, 0.0))
    assert far == pytest.approx((120.0, -3.5, 120.0 + thick, 0.0))
    assert "wall that has to go on" in texts(view)


def test_edges_taken_by_tape_have_the_length_that_they_are_laid_out_at() -> None:
    """An edge of a tape walk whose gap was spread shows the reply's own text of its length."""
    assert "edge 0: 20' 0 1/4\"" in texts(plan_of(request("tape-walk")))


def test_the_house_wall_of_tied_corners_is_a_wall() -> None:
    """The last edge of an outline by ties is a wall where `edges` says nothing of it.

    (Contract, section 3.)
    """
    assert any(
        each.startswith("edge 4 wall: ") for each in texts(plan_of(request("ties-to-a-wall")))
    )


def test_where_a_run_begins_is_told_where_no_corner_says_it() -> None:
    """A note says where runs begin that begin at no corner and at no wall.

    The posts of a pair stand half a base of 4 back from the corner, as the case works it. Past
    steps from 96 to 144 the next post's centre is half a post of 2.25 further on, at 145.125. The
    note has no runs that begin at a corner's post or at a wall; a deck that has only such runs has
    no note.
    """
    behind = "Dots lie along their edges, from the corner behind them:"
    pair, *_ = views_of(case("fascia/corner_pair"))
    assert f'{behind} R1 2"; R2 2".' in " ".join(texts(pair))
    steps = " ".join(texts(plan_of(request("against-a-house"))))
    assert f"{behind} R2 12' 1 1/8\"." in steps
    assert behind not in " ".join(texts(plan_of(deck())))


def test_a_deck_without_posts_says_where_its_rails_run() -> None:
    """A deck with walls at both ends of its run has no posts: the note gives the rails' middles.

    They run 3.5 in from the edge, where the kit's posts would stand.
    """
    walls = [{"edge": i, "condition": "wall"} for i in (1, 2, 3)]
    small = {"points": [[0, 0], [60, 0], [60, 40], [0, 40]]}
    said = " ".join(texts(plan_of(deck(outline=small, edges=walls))))
    assert 'x, y from corner of edges 3 and 0. Middles of rails 3 1/2" inside the edge.' in said
    assert "Marks are to wall faces, from the dot of each run. Drop: 4'." in said


def test_nosings_lie_a_going_apart() -> None:
    """Nine risers of 280 mm going: the nosings are lines from y = 0 to -2240 by 280.

    Each spans the clear width of 1000, between faces at 2100 and 3100, with a gap where words stand
    on it.
    """
    view = plan_of(request("glass-flight"))
    level = [each for each in strokes(view, "stair") if each.points[0][1] == each.points[1][1]]
    found: dict[float, list[float]] = {}
    for left, y, right, _ in (box(each.points) for each in level if not each.closed):
        found.setdefault(round(y, 6), []).extend((left, right))
    assert list(found) == [-280.0 * j for j in range(9)]
    for ends in found.values():
        assert (min(ends), max(ends)) == pytest.approx((2100.0, 3100.0))


def test_the_arrow_of_a_flight_points_down() -> None:
    """The arrow's tip lies on the lowest nosing, and its wings lie above the tip."""
    view = plan_of(request("glass-flight"))
    (head,) = [each for each in strokes(view, "stair") if each.closed]
    assert head.points[0] == pytest.approx((2600.0, -2240.0))
    assert all(y > -2240.0 for _, y in head.points[1:])
    assert "garden: down, 9 risers" in texts(view)
    assert "rise 1575 mm, going 280 mm" in texts(view)


def test_a_leaf_swings_about_its_hinge() -> None:
    """A leaf is drawn by the arc that its latch side describes about the hinge.

    The opening is 42 in clear from 72; the hinge is 3/4 in off the face, at (72.75, 3.5). The leaf
    is 42 - 3/4 - 1/2 = 40.75 long, and its arc goes from the latch side up into the deck.
    """
    view = plan_of(request("two-levels"))
    (arc,) = [each for each in strokes(view, "gate") if len(each.points) > 2]
    reach = [math.dist(point, (72.75, 3.5)) for point in arc.points]
    assert reach == pytest.approx([40.75] * len(arc.points))
    assert arc.points[0] == pytest.approx((113.5, 3.5))
    assert arc.points[-1] == pytest.approx((72.75, 44.25))


def test_a_leaf_that_opens_out_swings_off_the_deck() -> None:
    """A leaf that opens out describes its arc outside the deck.

    Hinged at the far side of 42 in from 72, it turns about (113.25, 3.5), down to 3.5 - 40.75.
    """
    gate = {"id": "g", "edge": 0, "from": 72, "width": 42, "use": "gate"}
    view = plan_of(deck(openings=[{**gate, "hinge": "far", "opens": "out"}]))
    (arc,) = [each for each in strokes(view, "gate") if len(each.points) > 2]
    assert arc.points[0] == pytest.approx((72.5, 3.5))
    assert arc.points[-1] == pytest.approx((113.25, -37.25))


def test_a_gate_between_two_walls_is_drawn_where_they_stand() -> None:
    """A gate of 44 asked for from 2, whose jambs are walls at 0 and 48, is drawn as wide as it is.

    It is 48 clear and hinged at the far wall: the leaf of 48 - 3/4 - 1/2 = 46.75 turns about
    (47.25, 3.5). The clear width is written half-way, at 24.
    """
    gate = {"id": "g", "edge": 0, "from": 2, "width": 44, "use": "gate", "hinge": "far"}
    walls = [{"edge": edge, "condition": "wall"} for edge in (1, 2, 3)]
    outline = {"points": [[0, 0], [48, 0], [48, 96], [0, 96]]}
    subject = subject_of(deck(outline=outline, edges=walls, openings=[gate]))
    (opening,) = subject.reply["openings"]
    assert opening["clear_width"] == 48
    view = views_of(subject)[0]
    (arc,) = [each for each in strokes(view, "gate") if len(each.points) > 2]
    assert arc.points[0] == pytest.approx((0.5, 3.5))
    assert arc.points[-1] == pytest.approx((47.25, 50.25))
    assert words(view, f"g {opening['clear_width_text']}").at[0] == pytest.approx(24)


def test_a_bowed_edge_lies_on_its_circle() -> None:
    """Chord 192, rise 24: radius (96^2 + 24^2)/48 = 204, with its centre at (96, 204 - 24)."""
    view = plan_of(request("bowed-edge"))
    (outline,) = strokes(view, "deck")
    bow = outline.points[: outline.points.index((192.0, 0.0)) + 1]
    assert len(bow) > 9
    assert [math.dist(point, (96.0, 180.0)) for point in bow] == pytest.approx([204.0] * len(bow))
    assert bow[0] == (0.0, 0.0)


def test_the_outline_of_a_level_is_one_closed_line() -> None:
    """The outline has the walls in it too, so that a CAD program knows its area: 240 by 144."""
    (outline,) = strokes(plan_of(deck(edges=[{"edge": 2, "condition": "wall"}])), "deck")
    assert outline.closed
    assert shapely.Polygon(outline.points).area == 240 * 144


@pytest.mark.parametrize("condition", ["guard", "wall", "open"])
def test_a_program_has_the_outline_whole(condition: str) -> None:
    """The outline is on a layer of its own, closed whatever its edges are.

    A printed plan has none of it.
    """
    document = deck(edges=[{"edge": 1, "condition": condition}])
    (outline,) = strokes(plan_of(document), "outline")
    assert (outline.closed, outline.pattern) == (True, "full")
    assert outline.points == ((0.0, 0.0), (240.0, 0.0), (240.0, 144.0), (0.0, 144.0))
    assert b"outline" not in make_sheet("plan", SVG, subject_of(document))


def test_a_plan_says_where_x_and_y_are_counted_from() -> None:
    """The note names the edges that meet at the origin.

    Corner 0 of the example is at (0, 0). With ties the origin is the left end of the wall, where
    edge 0 begins and edge 4, the wall, ends.
    """
    assert "x, y from corner of edges 3 and 0." in texts(plan_of(request("against-a-house")))
    assert "x, y from corner of edges 4 and 0." in texts(plan_of(request("ties-to-a-wall")))


def test_a_bow_is_told_straight_and_along_it() -> None:
    """A bowed edge is named with two lengths: corner to corner, as a tape goes, and along the bow.

    The first is 192. For that chord and a rise of 24 the radius is 204, and the length along the
    bow is 2 * 204 * asin(96/204) = 199.90, to the sixteenth 16' 7 7/8".
    """
    walk = {"sides": [{"length": length} for length in (192, 144, 192, 144)]}
    bowed = [{"edge": 0, "arc_rise": 24}]
    taped, drawn = deck(edges=bowed), deck(edges=bowed)
    taped["levels"][0]["outline"] = walk
    drawn["levels"][0]["outline"] = {"points": [[0, 0], [192, 0], [192, 144], [0, 144]]}
    for document in (taped, drawn):
        told = "edge 0: 16' straight, bowed out 2', 16' 7 7/8\" along"
        assert told in texts(plan_of(document))


def test_conditions_are_told_apart() -> None:
    """An open edge is dashed, a wall a filled band outside its edge, and a guarded edge neither."""
    edges = [{"edge": 1, "condition": "open"}, {"edge": 2, "condition": "wall"}]
    view = plan_of(deck(edges=edges))
    drawn = [(each.pattern, each.points) for each in strokes(view, "deck")]
    corners = [(0.0, 0.0), (240.0, 0.0), (240.0, 144.0), (0.0, 144.0)]
    assert drawn == [
        ("dashed", tuple(corners[1:3])),
        ("full", (*corners[2:], *corners[:2])),
    ]
    (wall,) = strokes(view, "wall")
    band = box(wall.points)
    assert band[:3] == pytest.approx((0.0, 144.0, 240.0))
    assert band[3] > 144.0


def test_joists_stand_at_their_spacing_between_rims() -> None:
    """Joists of a deck of 168 by 120 stand 16 apart between the inner faces of a rim of 3.

    They run along y, from 3 to 117, and stand at 16, 32 … 160; none stands past the rim's inner
    face.
    """
    joists = joists_by_place(plan_of(request("framing-and-blocking")))
    assert sorted(joists) == pytest.approx([16.0 * k for k in range(1, 11)])
    assert {(round(ys[0], 9), round(ys[-1], 9)) for ys in joists.values()} == {(3.0, 117.0)}


def joists_by_place(view: View) -> dict[float, list[float]]:
    """The ends of the pieces of each joist in ascending order, by the x of the joist's middle."""
    found: dict[float, list[float]] = {}
    for each in [each for each in strokes(view, "joist") if not each.closed]:
        (x, start), (_, end) = each.points
        found[round(x, 6)] = sorted([*found.get(round(x, 6), []), start, end])
    return found


def test_joists_leave_gaps_where_words_stand_on_them() -> None:
    """A gap is 2.7 mm long for the id of a bay and 2.0 for a post's; there are no other gaps.

    The capitals of an id are 2.5 or 1.8 high, none reaches below its line, and 0.1 stays free on
    either side.
    """
    view = plan_of(request("framing-and-blocking"))
    names = [each for each in view.marks if isinstance(each, Words) and each.text[0] in "BP"]
    told = {}
    for x, ys in joists_by_place(view).items():
        for low, high in zip(ys[1:-1:2], ys[2::2], strict=True):
            (over,) = [
                each for each in names if low < each.at[1] < high and abs(each.at[0] - x) < 8.0
            ]
            told[over.text] = (high - low) * view.scale.per_unit
    sizes = {"B1": 2.7, "B4": 2.7, "B5": 2.7, "P2": 2.0}
    assert told == pytest.approx(sizes)


def test_treads_leave_gaps_where_words_stand_on_them() -> None:
    """No line of a tread runs through the id of a bay, or through any other words on the treads.

    At least one of the lines comes in two pieces, both on its nosing; nosings lie a going of 11
    apart.
    """
    (view, *_) = views_of(case("neighbours/balcony_over_a_flight"))
    treads = [each for each in strokes(view, "stair") if not each.closed]
    lines = [shapely.LineString(each.points) for each in treads]
    named = [each for each in view.marks if isinstance(each, Words)]
    boxes = [shapely.Polygon(box_of(each, view.scale, -0.05)) for each in named]
    assert not [each.text for each, place in zip(named, boxes, strict=True) if place.intersects(
        shapely.MultiLineString(lines))]  # fmt: skip
    level = [y for (_, y), (_, end) in (each.points for each in treads) if y == end]
    assert len(level) > len(set(level)) == 9
    assert sorted(set(level)) == pytest.approx([-11.0 * i for i in range(8, -1, -1)])


def test_a_joist_that_is_all_behind_words_is_not_drawn() -> None:
    """A joist that lies wholly behind words is left out, and so is the part of a rim behind them.

    Two letters of 2 mm are 4 wide, and 2.7 high with 0.1 around them. The rim of 7 by 10 is 34
    long.
    """
    paper = Paper(Scale(1, "mm"), (0.0, 0.0))
    paper.draw(Stroke("joist", ((1.0, 0.0), (3.0, 0.0))))
    paper.draw(Stroke("joist", ((2.0, -5.0), (2.0, 5.0), (9.0, 5.0), (9.0, -5.0)), closed=True))
    paper.draw(Words("words", (0.0, 0.0), "B1", 2.5, "start"))
    break_lines(paper)
    *left, words = paper.marks
    assert isinstance(words, Words)
    lines = [each for each in left if isinstance(each, Stroke)]
    assert not any(each.closed for each in lines)
    length = sum(shapely.LineString(each.points).length for each in lines)
    assert length == pytest.approx(34.0 - 2.7)


def test_the_window_of_a_part_leaves_a_gap_for_words() -> None:
    """The outline of a part's window has a gap where words stand on it.

    It is a box 20 by 10, and two letters of 2 mm, with 0.1 on either side, leave a gap of 4.2.
    """
    paper = Paper(Scale(1, "mm"), (0.0, 0.0))
    paper.draw(replace(box_at("words", (0.0, 0.0), (20.0, 10.0)), pattern="chain"))
    paper.draw(Words("dimension", (10.0, -1.0), "17", 2.5))
    break_lines(paper)
    lines = [each for each in paper.marks if isinstance(each, Stroke)]
    length = sum(shapely.LineString(each.points).length for each in lines)
    assert length == pytest.approx(60.0 - 4.2)
    assert {each.pattern for each in lines} == {"chain"}


def test_a_line_of_dimensions_leaves_a_gap_for_words() -> None:
    """A dimension line of 20 has a gap in its middle where words stand on it.

    Two letters of 2 mm, with 0.1 on either side, leave a gap of 4.2.
    """
    paper = Paper(Scale(1, "mm"), (0.0, 0.0))
    paper.draw(Words("words", (10.0, -1.0), "P1", 2.5))
    paper.draw(Stroke("dimension", ((0.0, 0.0), (20.0, 0.0))))
    break_lines(paper)
    lines = [each.points for each in paper.marks if isinstance(each, Stroke)]
    assert lines == [((0.0, 0.0), (7.9, 0.0)), ((12.1, 0.0), (20.0, 0.0))]


@pytest.mark.parametrize("layer", ["deck", "rail"])
def test_an_outline_or_a_rail_is_seen_through_a_veil_under_words(layer: Layer) -> None:
    """The line under words stays whole, as a gap in it would look like an opening.

    A veil lies between line and words; words that no line runs through have none.
    """
    paper = Paper(Scale(1, "mm"), (0.0, 0.0))
    line = Stroke(layer, ((0.0, 0.0), (20.0, 0.0), (20.0, 20.0)), closed=True)
    struck, free = Words("words", (10.0, -1.0), "P1", 2.5), Words("words", (10.0, -9.0), "P2", 2.5)
    for mark in (line, struck, free):
        paper.draw(mark)
    break_lines(paper)
    first, veil, *rest = paper.marks
    assert [first, *rest] == [line, struck, free]
    assert isinstance(veil, Stroke)
    assert (veil.layer, veil.closed, veil.filled, veil.under) == ("veil", True, True, struck)
    assert box(veil.points) == pytest.approx((7.9, -1.1, 12.1, 1.6))


def test_no_line_of_dimensions_runs_through_words() -> None:
    """No dimension line and no leader runs through words on a real deck of 22 sides.

    All of its parts are crowded.
    """
    outlines = json.loads((ROOT / "tests/data/outlines_in.json").read_text("utf-8"))["outlines"]
    points = outlines[99]["points"]
    level = {"id": "main", "outline": {"points": points}, "edges": [WALL]}
    document = {"unit": "in", "kit": INCH_KIT, "guard": {"infill": "glass"}, "levels": [level]}
    (view,) = map(whole, views_of(subject_of(document)))
    lines = [each.points for each in strokes(view, "dimension") if len(each.points) > 1]
    drawn = shapely.MultiLineString([points for points in lines if len(set(points)) > 1])
    cut = [each for each in view.marks if isinstance(each, Words)]
    boxes = {each.text: shapely.Polygon(ink_of(each, view.scale, 0.0)) for each in cut}
    assert [text for text, place in boxes.items() if drawn.intersects(place)] == []


def test_joists_that_blocks_stand_against_are_numbered() -> None:
    """Joists have numbers where a block stands against them, each within 2.5 mm of its joist.

    The first joist, 0, stands at 16. P2, at 57.19, has a block between joist 2 at 48 and joist 3 at
    64; P3, at 110.81, has blocks between 5 at 96, 6 at 112 and 7 at 128. Joist 9 stands at 160, 4.5
    in off the rail, which at 1:48 leaves no room for its number.
    """
    view = plan_of(request("framing-and-blocking"))
    named = [each for each in view.marks if isinstance(each, Words) and "joist " in each.text]
    numbers = {each.text: each.at[0] for each in named if each.text[-1].isdigit()}
    places = {f"joist {k}": 16.0 * (k + 1) for k in (0, 2, 3, 5, 6, 7)}
    assert numbers == pytest.approx(places, abs=2.5 * 48 / 25.4)
    assert {each.turn for each in named if each.text in places} == {90.0}


def test_the_key_has_blocking_where_there_is_some() -> None:
    """The key explains blocking only on a deck that has some.

    Every fixing of the second deck lands in its rim.
    """
    assert "blocking" in texts(plan_of(request("framing-and-blocking")))
    view = plan_of(request_of(json.loads((FRAMED / "all_in_the_rim.json").read_text("utf-8"))))
    assert "joist (its middle), rim" in texts(view)
    assert "blocking" not in texts(view)


def test_what_no_post_may_stand_in_is_marked_along_its_edge() -> None:
    """A stretch where no post may stand is marked outside its edge, with its reason.

    It goes from 237 to 245 along edge 0.
    """
    view = plan_of(request("column-and-downpipe"))
    (marked,) = [
        each
        for each in strokes(view, "block")
        if each.points[0][1] == each.points[-1][1] and each.points[0][1] < 0
    ]
    assert [x for x, _ in marked.points] == pytest.approx([237.0, 245.0])
    assert "no post: downpipe" in texts(view)
    assert "roof column" in texts(view)


def test_a_place_without_a_post_for_no_given_reason_says_only_that() -> None:
    """No colon stands before a reason that is not there."""
    view = plan_of(deck(no_post=[{"edge": 0, "from": 60, "width": 12}]))
    told = [each for each in texts(view) if each.startswith("no post")]
    assert sorted(told) == ["no post", "no post may stand there"], "the second is the key's"


def test_a_strangers_name_is_cut_short_and_what_is_far_off_left_out() -> None:
    """A caller's name of 200 letters is cut to 40 mm, and an obstruction a mile off is not drawn.

    The scale stays that of the deck without either.
    """
    near = {"name": "n" * 200, "points": [[100, 60], [110, 60], [110, 70]]}
    far = {"name": "far", "points": [[90000, 0], [90010, 0], [90010, 10]]}
    view = plan_of(deck(obstructions=[near, far]))
    (name,) = [each for each in texts(view) if each.startswith("nnn")]
    assert name.endswith("…")
    assert width_of(name, 1.8) <= 40.0
    assert "far" not in texts(view)
    assert view.scale == plan_of(deck()).scale


def test_each_piece_of_what_goes_on_far_off_is_drawn() -> None:
    """A deck of 100 by 100 is drawn to 20 past its sides, a fifth of its size. The house round it
    has an arm along its left side and one along its right, joined at y = 200 only: both arms are
    seen, up to y = 120, and one of them is named."""
    u = [[-15, 0], [-5, 0], [-5, 200], [105, 200], [105, 0], [115, 0], [115, 210], [-15, 210]]
    square = {"points": [[0, 0], [100, 0], [100, 100], [0, 100]]}
    house = {"name": "house", "points": u}
    view = plan_of(deck(outline=square, edges=[], obstructions=[house]))
    seen = [sorted({x for x, _ in each.points}) for each in strokes(view, "wall")]
    assert sorted(seen) == [[-15.0, -5.0], [105.0, 115.0]]
    assert {max(y for _, y in each.points) for each in strokes(view, "wall")} == {120.0}
    assert texts(view).count("house") == 1


def test_findings_are_flagged_where_they_are() -> None:
    """A guard that is too low in four bays has four flags of one number.

    Its rule and clause are printed once.
    """
    view = plan_of(request("own-kit-and-amendments"))
    assert texts(view).count("1") == 4
    said = " ".join(texts(view))
    assert "Flag 1, violation: guard height, IRC 2021 R312.1.2 (4 places)" in said


def test_a_weak_tie_is_flagged_at_its_corner() -> None:
    """The flag of a weak tie leads to the corner whose tapes cross too sharply.

    Corner 1 of the tapes is the third corner of the outline, which begins at A. It lies 120 along
    the wall of 240 and 500 off it, where both tapes are the root of 120^2 + 500^2 = 514.1984 long
    and cross at 2 x atan(120/500) = 26.99 degrees. The corners off the ends of the wall are 150
    from it.
    """
    far, near, aslant = 514.1984, 150.0, 283.0194
    tapes = [(near, aslant), (far, far), (aslant, near)]
    corners = [{"from_a": a, "from_b": b} for a, b in tapes]
    marks = plan_of(deck(outline={"ties": {"baseline": 240, "corners": corners}})).marks
    threes = zip(marks, marks[1:], marks[2:], strict=False)
    leaders = [
        leader
        for leader, outline, words in threes
        if isinstance(words, Words) and words.text == "1"
        if isinstance(outline, Stroke) and outline.filled
    ]
    assert len(leaders) == 1
    assert isinstance(leaders[0], Stroke)
    (x0, y0), (x1, y1) = leaders[0].points
    aside = ((x1 - x0) * (-500.0 - y0) - (y1 - y0) * (120.0 - x0)) / math.dist((x0, y0), (x1, y1))
    assert abs(aside) < 0.01
    assert math.dist((x0, y0), (120.0, -500.0)) < 4.0, "with a gap for the word that stands there"


def test_places_without_a_flag_are_told() -> None:
    """Of twelve places of a finding eight have a flag, and the key says which have none.

    Post centres at corners are 233 and 137 apart, and 70 at most within a run: 4 + 2 + 4 + 2 bays,
    all of them too low.
    """
    low = {"code": "us-irc-2021", "guard": {"infill": "picket", "height": 30}}
    view = plan_of({**deck(), **low})
    assert texts(view).count("1") == 8
    assert "(12 places; no flag at B9-B12)" in " ".join(texts(view))


def test_a_flag_has_the_numbers_of_all_that_fails_at_its_place() -> None:
    """A place with a flag for one finding shows on it the numbers of the others that fail there.

    Post centres 233 and 137 apart make 4 + 2 + 4 bays of 70 at most, and 3 of glass, of 60 at most.
    All are too low, and the first eight have a flag for that. The three of glass have a flag
    because it may not be tempered glass. Two bays are left without a flag.
    """
    low = {"code": "us-ibc-2021", "guard": {"infill": "picket", "height": 30}}
    said = texts(plan_of({**deck(edges=[{"edge": 3, "infill": "glass"}]), **low}))
    assert (said.count("1"), said.count("2"), said.count("1,2")) == (8, 0, 3)
    assert "(13 places; no flag at B9, B10)" in " ".join(said)


def test_a_finding_takes_four_lines_at_most() -> None:
    """A finding that would take more than four lines of 39 letters is cut short in its fourth.

    Twelve bays and twelve posts, eight of each flagged. The finding about bases comes to 34 + 51 +
    41 = 126 letters with its clause and its places: four lines, with nothing cut off. The finding
    about guards, with a clause of 180 letters, is cut short in its fourth line, which words fill as
    far as they can.
    """
    code = json.loads((ROOT / "service/data/codes/au-ncc-2022.json").read_text("utf-8"))
    low = {"code": code, "guard": {"infill": "picket", "height": 30}}
    said = " ".join(texts(plan_of({**deck(), **low})))
    assert said.count("(12 places; no flag at ") == 3
    assert "…" not in said
    code["figures"]["guard_height"]["cite"] = "A long clause, " * 12
    told = texts(plan_of({**deck(), **low}))
    (first,) = (i for i, text in enumerate(told) if text.startswith("Flag 1, "))
    lines = told[first : first + 4]
    assert told[first + 4].startswith("Flag 2, ")
    assert [text.endswith("…") for text in lines] == [False, False, False, True]
    assert len(lines[3]) > 30


def test_a_flag_is_at_what_is_meant_where_a_level_and_a_flight_share_an_id() -> None:
    """The level `main` is of a size that can hardly be meant (10 by 10 in), which concerns all of
    it: no flag stands on the flight `main`. What is wrong with the flight (a riser of 24 in) has a
    flag on it, and does not concern the whole of the level of that id."""
    steps = {"id": "s", "edge": 1, "from": 12, "width": 36, "use": "stair"}
    other = {"id": "other", "outline": {"points": [[200, 0], [300, 0], [300, 60], [200, 60]]}}
    flight = {"id": "main", "opening": "other/s", "rise": 48, "risers": 2, "going": 10}
    unguarded = [{"edge": number, "condition": "open"} for number in range(4)]
    corners = [[0, 0], [10, 0], [10, 10], [0, 10]]
    document = deck(outline={"points": corners}, edges=unguarded)
    document["levels"].append({**other, "openings": [steps], "drop": 48})
    made = subject_of({**document, "stairs": [flight], "code": "us-irc-2021"})
    told = {each["rule"]: each["where"] for each in made.reply["findings"]}
    assert (told["deck_size"], told["riser_height"]) == (["level main"], ["main"])
    here, there = (texts(view) for view in views_of(made))
    assert [any("deck size" in text for text in said) for said in (here, there)] == [True, False]
    assert [any("riser height" in text for text in said) for said in (here, there)] == [False, True]


def test_no_column_breaks_a_finding() -> None:
    """The lines of a finding are one row of the column, so that no column breaks it.

    It has 34 + 51 + 31 letters in lines of 39, none of which ends within a word: "Flag 3,
    violation: strength base," (33), its clause to "C3" (32), then to "no flag" (38), and the
    places. So the row has four lines, 3.3 mm each.
    """
    made = subject_of(deck())
    posts = tuple(post["id"] for post in made.reply["posts"])
    clause = "AS/NZS 1170.1:2002 Table 3.3, C3 external balconies"
    told = Flagged(3, "strength_base", clause, "violation", posts)
    rows = rows_of(scenes_of(made)[0], (), [Concern(told, posts, posts[:8])])
    assert rows[-1].height == pytest.approx(4 * 3.3)


def test_a_flag_covers_what_lies_under_it() -> None:
    """The box of a flag is filled, and drawn after the flag's leader and before its number."""
    marks = plan_of(request("own-kit-and-amendments")).marks
    flags = [i for i, mark in enumerate(marks) if isinstance(mark, Words) and mark.text == "1"]
    assert len(flags) == 4
    for i in flags:
        leader, outline = marks[i - 2], marks[i - 1]
        assert isinstance(leader, Stroke)
        assert isinstance(outline, Stroke)
        assert (leader.closed, outline.closed, outline.filled) == (False, True, True)


def test_drops_and_heights_are_told_by_their_edges() -> None:
    """Drops and heights that differ from edge to edge are printed with the numbers of their edges.

    The drop is 48 below the level but 30 below edges 0 and 3; a wall's own drop does not matter.
    Guards are 36 high but for 42 on edge 1.
    """
    sides = [{"edge": 0, "drop": 30}, {"edge": 1, "height": 42}, {"edge": 3, "drop": 30}]
    wall = {"edge": 2, "condition": "wall", "drop": 20}
    document = deck(edges=[*sides, wall])
    told = " ".join(texts(plan_of({**document, "guard": {"infill": "picket", "height": 36}})))
    assert "Drop: 4'; 2' 6\" below edges 0, 3." in told
    assert "Height of guards: 3' on edges 0, 3; 3' 6\" on edge 1." in told
    same = " ".join(texts(plan_of(deck(edges=[wall]))))
    assert "Drop: 4'." in same
    assert "Height of guards: 3'." in same


def test_no_line_beside_a_plan_ends_within_a_length() -> None:
    """A length's feet stay on the line of its inches.

    In a column of 39 letters this line is broken after "0, 3;".
    """
    told = texts(plan_of(request("fascia-mixed")))
    assert "Height of guards: 3' on edges 0, 3;" in told
    assert "3' 6\" on edge 1." in told


def test_a_level_names_those_that_it_adjoins() -> None:
    """A level names the levels that it adjoins, with its own edges.

    Edge 0 of the upper level is edge 3 of the lower one.
    """
    upper, lower = (" ".join(texts(view)) for view in views_of(subject_of(request("two-levels"))))
    assert "Edge 0 along or over level lower." in upper
    assert "Edge 3 along or over level upper." in lower


@pytest.mark.parametrize("named", [{"to_level": "lower"}, {}], ids=["named", "at its foot"])
def test_a_flight_is_seen_on_the_level_that_it_lands_on(named: dict[str, str]) -> None:
    """A flight and the posts of its foot are drawn dashed on the plan of the level it lands on.

    So they are where the flight names no level and that one lies at its foot.
    Four risers of 11 in going lead from y = 0 over the lower deck: nosings at 0, -11, -22 and -33,
    from x = 24 to 66. Rise and going are written on the upper plan alone.
    """
    upper = {
        "id": "tub",
        "drop": 66,
        "outline": {"points": [[0, 0], [132, 0], [132, 132], [0, 132]]},
    }
    upper["openings"] = [{"id": "down", "edge": 0, "from": 24, "width": 42, "use": "stair"}]
    lower = {"id": "lower", "drop": 38, "edges": [{"edge": 2, "condition": "open"}]}
    lower["outline"] = {"points": [[0, -192], [132, -192], [132, 0], [0, 0]]}
    stair = {
        "id": "mid",
        "opening": "tub/down",
        "rise": 28,
        "risers": 4,
        "going": 11,
        "nosing": 0.75,
    }
    stair |= {"guards": ["left", "right"], **named}
    subject = subject_of({**deck(), "levels": [upper, lower], "stairs": [stair]})
    above, below = views_of(subject)
    seen = [each for each in strokes(below, "stair") if each.pattern == "dashed"]
    nosings = [box(each.points) for each in seen[:4]]
    assert [each[1] for each in nosings] == pytest.approx([0.0, -11.0, -22.0, -33.0])
    assert all(each[::2] == pytest.approx((24.0, 66.0)) for each in nosings)
    assert not [each for each in strokes(above, "stair") if each.pattern == "dashed"]
    feet = [post for post in subject.layout.posts if post.flight == "mid"]
    bases = [each.points for each in strokes(below, "base") if each.pattern == "dashed"]
    assert bases == [post.base for post in feet]
    assert {"(mid, down from tub)", *(f"({post.id})" for post in feet)} <= set(texts(below))
    measured = 'rise 2\' 4", going 11"'
    assert measured in texts(above)
    assert measured not in texts(below)
    assert not [each for each in texts(above) if each.startswith("(")]


def test_a_run_from_a_wall_begins_at_the_wall() -> None:
    """A run from a wall begins on the wall's own line.

    The run on the deck's left side goes from y = 144 down to the corner post.
    """
    (scene,) = scenes_of(subject_of(request("against-a-house")))
    assert scene.tracks["R4"].points[0] == pytest.approx((3.5, 144.0))


def test_what_has_no_room_is_counted() -> None:
    """Words that find no room on the page are left out, and a note says how many.

    480 bays of 5 ft, too many for parts, come to less than 5 mm each on a page: they have no ids
    and no marks, and the edges have their numbers alone. There is a post between each bay and the
    next, 479 in all, as the first and the last bay end at a wall.
    """
    view = plan_of(stepped(60, 1))
    assert not [each for each in texts(view) if re.fullmatch(r"[PBR]\d+", each)]
    assert any(each.startswith("Left out for want of room") for each in texts(view))
    assert len(strokes(view, "post")) == 479


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_same_plan_is_the_same_bytes(name: str) -> None:
    """A plan drawn twice, from a document that is read twice, has the same bytes."""
    one, two = (make_sheet("plan", SVG, subject_of(request(name))) for _ in range(2))
    assert one == two


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples_are_drawn_whole(name: str) -> None:
    """In each example every level has a page, every id stands once, and all marks lie in views."""
    check_whole(subject_of(request(name)))


@pytest.mark.parametrize("topic", sorted({path.parent.name for path in FILES}))
def test_cases_are_drawn_whole(topic: str) -> None:
    """The same holds for every worked case that can be laid out."""
    for path in (each for each in FILES if each.parent.name == topic):
        case = json.loads(Path(path).read_text("utf-8"))
        if case["status"] == 200:
            check_whole(subject_of(request_of(case)))


def check_whole(subject: Subject) -> None:
    """Check that each level has a page with its ids and marks, within the view and apart."""
    views = views_of(subject)
    assert len(views) == len(subject.deck.levels)
    check_ids(subject, views)
    for view in views:
        check_within(view)
        check_apart(view)
    for scene in scenes_of(subject):
        tracks = scene.tracks
        assert set(tracks) == set(scene.runs)
        for track in tracks.values():
            check_marks(scene, track)


def check_marks(scene: Scene, track: Track) -> None:
    """Check that each post of a run, at its place in the reply, stands at a mark of the run."""
    held = [track.run.start, track.run.end]
    held += [post for bay in track.bays for post in (bay.start, bay.end)]
    for post in filter(None, held):
        at = scene.posts[post].at
        assert min(math.dist(at, point) for point in track.points) < 1e-3


def check_ids(subject: Subject, views: list[View]) -> None:
    """Check that every id that a plan must have is printed once.

    Ids of posts and bays stand by themselves, those of runs before their length, and those of
    openings before their width. Where a level is drawn in parts, a run's id may stand in several.
    """
    said = Counter(
        mark.text
        for view in views
        for mark in whole(view).marks
        if isinstance(mark, Words) and mark.layer in ("words", "dimension")
    )
    reply = subject.reply
    owed = Counter(each["id"] for member in ("posts", "bays") for each in reply[member])
    assert {name: said[name] for name in owed} == dict(owed)
    runs: Counter[str] = Counter()
    for view in views:
        measured = [
            mark.text
            for mark in whole(view).marks
            if isinstance(mark, Words) and mark.layer == "dimension"
        ]
        named = [re.match(r"(R\d+)(?: and (R\d+))?\b", text) for text in measured]
        found = Counter(name for match in named if match for name in match.groups() if name)
        runs += found if view.in_model is None else Counter(set(found))
    assert runs == Counter(run["id"] for run in reply["runs"])
    openings = Counter(
        f"{each['opening'].split('/', 1)[1]} {each['clear_width_text']}"
        for each in reply["openings"]
    )
    assert {text: said[text] for text in openings} == dict(openings)


def check_within(view: View) -> None:
    """Check that every coordinate is a finite number within the view.

    For words, those are the corners of their box, worked out here from their own size.
    """
    for mark in view.marks:
        assert all(map(math.isfinite, numbers_of(mark)))
        for x, y in _corners(mark, view.scale.per_unit):
            assert view.box.low[0] - 1e-6 <= x <= view.box.high[0] + 1e-6, mark
            assert view.box.low[1] - 1e-6 <= y <= view.box.high[1] + 1e-6, mark


def check_apart(view: View) -> None:
    """Check that no words overlap other words, a post or a rail by more than 0.3 mm."""
    written = [mark for mark in view.marks if isinstance(mark, Words)]
    inset = -0.3 / view.scale.per_unit
    boxes = [_box(mark, view.scale.per_unit).buffer(inset) for mark in written]
    solid = [
        shapely.Polygon(mark.points)
        for layer in ("post", "rail")
        for mark in strokes(view, layer)
        if mark.closed
    ]
    tree = shapely.STRtree([*boxes, *solid])
    pairs = zip(*tree.query(boxes, predicate="intersects").tolist(), strict=True)
    assert [(written[i].text, j) for i, j in pairs if i < j] == []


def _box(mark: Words, per_unit: float) -> shapely.Polygon:
    return shapely.MultiPoint(_corners(mark, per_unit)).convex_hull


def _corners(mark: Mark, per_unit: float) -> list[tuple[float, float]]:
    if not isinstance(mark, Words):
        flat = numbers_of(mark)
        return list(zip(flat[::2], flat[1::2], strict=True))
    width = width_of(mark.text, mark.size) / per_unit
    start = {"start": 0.0, "middle": -width / 2, "end": -width}[mark.anchor]
    c, s = math.cos(math.radians(mark.turn)), math.sin(math.radians(mark.turn))
    (x, y), rise = mark.at, mark.size / per_unit
    ends = [(start, 0.0), (start + width, 0.0), (start, rise), (start + width, rise)]
    return [(x + a * c - b * s, y + a * s + b * c) for a, b in ends]


def test_a_text_stands_at_one_place() -> None:
    """The words of an opening lie on the deck's side of its line."""
    view = plan_of(request("against-a-house"))
    assert words(view, "steps 4'").at[1] > 0


def test_a_run_with_no_post_lies_where_it_is_built() -> None:
    """A run between a column and a wall has no post; it goes from face to face on its own line.

    On a straight edge it goes from a column's face at x = 4 to a wall at 60, on the line 3.5 in
    from y = 0. On a bow with a chord of 100 and a rise of 8 (radius (50 x 50 + 8 x 8) / 16 =
    160.25, centre (50, 152.25)) the ends of both runs lie on the line's arc, 156.75 about the
    centre, at the walls and the column's faces.
    """
    square = [[0, 0], [60, 0], [60, 72], [0, 72]]
    column = {"name": "column", "points": [[0, 0], [4, 0], [4, 4], [0, 4]]}
    edges = [{"edge": 1, "condition": "wall"}, {"edge": 2, "condition": "wall"}]
    edges.append({"edge": 3, "condition": "open"})
    (straight,) = scene_of(square, edges, column).tracks.values()
    assert straight.points[0] == pytest.approx((4.0, 3.5))
    assert straight.points[-1] == pytest.approx((60.0, 3.5))
    wide = [[0, 0], [100, 0], [100, 72], [0, 72]]
    column = {"name": "column", "points": [[40, -9], [56, -9], [56, 4], [40, 4]]}
    walls: list[dict[str, object]] = [{"edge": i, "condition": "wall"} for i in (1, 2, 3)]
    bowed = scene_of(wide, [{"edge": 0, "arc_rise": 8}, *walls], column)
    ends = [track.points[i] for track in bowed.tracks.values() for i in (0, -1)]
    assert [x for x, _ in ends] == pytest.approx([0.0, 40.0, 56.0, 100.0], abs=0.5)
    for end in ends:
        assert math.dist(end, (50.0, 152.25)) == pytest.approx(156.75)


def scene_of(points: list[list[int]], edges: list[dict[str, object]], column: object) -> Scene:
    """The scene of a deck of one level with a column in the line of its railing."""
    outline = {"points": points}
    document = deck(outline=outline, edges=edges, obstructions=[column])
    (scene,) = scenes_of(subject_of(document))
    return scene


def test_a_long_id_of_a_level_is_printed_in_full() -> None:
    """The title beside a plan has all of a long id, in smaller letters where that is needed.

    A column is 58 mm wide. Letters 3.5 mm high are 2.8 mm wide, so 20 have room in it; of those
    2.5 mm high, which are 2.0 mm wide, 29 have. "Plan of upper-terrace" has 21 letters. An id of 40
    letters takes two lines below "Plan of", of 29 letters and of 11.
    """
    short = plan_of({**README, "levels": [{**LEVEL_ONE, "id": "upper-terrace"}]})
    assert words(short, "Plan of upper-terrace").size == 2.5
    one, two = "the-terrace-behind-the-house-", "and-sheds-2"
    long = plan_of({**README, "levels": [{**LEVEL_ONE, "id": one + two}]})
    lines = [words(long, text) for text in ("Plan of", one, two)]
    assert [line.size for line in lines] == [2.5, 2.5, 2.5]
    assert [line.at[0] for line in lines] == [lines[0].at[0]] * 3
    assert words(long, "y").at[1] < lines[2].at[1], "the axes stand in the title"
    check_apart(long)
    check_within(long)
