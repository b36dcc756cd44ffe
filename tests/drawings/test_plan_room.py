"""The plan: what takes up room on a page, and what words and lines keep clear of."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely

from service.drawings.marks import Stroke, Words
from service.drawings.parts import View
from service.drawings.plans.placed import Course
from service.drawings.plans.run_lines import TICK
from service.drawings.plans.scene import scenes_of
from tests.drawings.plans import strokes, texts, views_of, words
from tests.drawings.subjects import Json, request, subject_of
from tests.drawings.test_plan_names import room_of

STAIR = {"nosing": 0.75, "guards": ["left", "right"], "handrail": ["right"]}
INCH = {"unit": "in", "kit": "picket-glass-surface-in", "guard": {"infill": "picket"}}


def in_the_notch() -> Json:
    """An L-shaped deck with its stair in the inner corner, off edge 0 and beside edge 1."""
    level = {"id": "main", "drop": 49, "edges": [{"edge": 4, "condition": "wall"}]}
    corners = [[0, 0], [144, 0], [144, -84], [264, -84], [264, 120], [0, 120]]
    level["outline"] = {"points": corners}
    level["openings"] = [
        {"id": "garden", "edge": 0, "from": 105.75, "width": 38.25, "use": "stair"}
    ]
    stair = {**STAIR, "id": "garden", "opening": "main/garden", "rise": 49, "risers": 7}
    stair |= {"going": 10.5, "guards": ["left"], "handrail": ["left"]}
    return {**INCH, "levels": [level], "stairs": [stair]}


def with_a_gate() -> Json:
    """A deck of 19 ft by 16 ft with a gate at the head of a flight of five risers, 11 in going."""
    level = {"id": "lower", "drop": 38}
    level["outline"] = {"points": [[0, -192], [228, -192], [228, 0], [0, 0]]}
    gate = {"id": "yard", "edge": 0, "from": 120, "width": 48, "use": "gate", "hinge": "far"}
    level["openings"] = [gate]
    stair = {**STAIR, "id": "yard", "opening": "lower/yard", "rise": 38, "risers": 5, "going": 11}
    return {**INCH, "code": "us-irc-2021", "levels": [level], "stairs": [stair]}


def beside_a_lawn() -> Json:
    """An L-shaped deck of 5400 by 4500 mm, with seven risers of 250 mm going off its right side."""
    level = {"id": "deck", "drop": 1260, "edges": [{"edge": 4, "condition": "wall"}]}
    corners = [[0, 0], [5400, 0], [5400, 3300], [3900, 3300], [3900, 4500], [0, 4500]]
    level["outline"] = {"points": corners}
    level["openings"] = [{"id": "lawn", "edge": 1, "from": 600, "width": 1000, "use": "stair"}]
    stair = {"id": "lawn", "opening": "deck/lawn", "rise": 1260, "risers": 7, "going": 250}
    stair |= {"guards": ["left", "right"], "height": 900, "handrail": ["left"]}
    guard = {"infill": "picket", "height": 1100}
    kit = {"unit": "mm", "kit": "glass-picket-surface-mm", "guard": guard}
    return {**kit, "levels": [level], "stairs": [stair]}


DECKS = [in_the_notch(), with_a_gate(), beside_a_lawn()]


def made(document: Json) -> tuple[View, list[Course]]:
    """The plan of a document's only level, and the flights on it."""
    subject = subject_of(document)
    (view,), (scene,) = views_of(subject), scenes_of(subject)
    return view, list(scene.courses)


def drawn(view: View) -> list[Words]:
    """The words of a plan, without those beside it."""
    assert view.drawing_box is not None
    (x0, y0), (x1, y1) = view.drawing_box
    found = [mark for mark in view.marks if isinstance(mark, Words)]
    return [mark for mark in found if x0 <= mark.at[0] <= x1 and y0 <= mark.at[1] <= y1]


def struck(view: View, mark: Words, layer: str) -> list[Stroke]:
    """The lines of a layer that run through words, by more than a touch of their edge."""
    inner = room_of(mark, view.scale.per_unit).buffer(-0.3 / view.scale.per_unit)
    lines = [each for each in strokes(view, layer) if not each.closed]
    return [each for each in lines if shapely.LineString(each.points).intersects(inner)]


def test_a_plan_fills_its_page() -> None:
    """A plan is drawn at the largest scale at which its page has room.

    4500 mm of deck and 6900 with its flight are 90 by 138 mm at 1:50. A4 has 137 by 269 inside its
    frame, 58 of which are for what stands beside the plan. 16 ft and a flight of 44 in are 236 in:
    94 mm at 3/16 in to the foot, of 143.
    """
    assert made(beside_a_lawn())[0].scale.ratio == 50
    assert made(with_a_gate())[0].scale.ratio == 64


def test_runs_keep_their_lengths_where_there_is_room() -> None:
    """The run along the front beside the gate has its length with its name.

    The front of 19 ft is 228 long. The run goes from 3.5 in to the post's centre at 120 less half
    of 2.25, which is 115.375 or 9' 7 3/8".
    """
    assert "R1 9' 7 3/8\"" in texts(made(with_a_gate())[0])


def test_a_line_past_the_foot_of_a_flight_is_whole() -> None:
    """The line of edge 0 lies below the flight, in one piece from x = 0 to 228."""
    view, (course,) = made(with_a_gate())
    y = words(view, "edge 0: 19'").at[1]
    assert y < course.foot(0.5)[1]
    lines = [sorted(each.points) for each in strokes(view, "dimension") if len(each.points) == 2]
    level = [each for each in lines if each[0][1] == each[1][1] and abs(each[0][1] - y) < 12]
    assert [(a[0], b[0]) for a, b in level if b[0] - a[0] > 100] == [(0.0, 228.0)]


@pytest.mark.parametrize("document", DECKS)
def test_no_edge_is_measured_through_a_flight(document: Json) -> None:
    """No dimension line runs through a flight's treads for more than the width of one."""
    view, courses = made(document)
    for course in courses:
        foot = [course.foot(side) for side in (1.0, 0.0)]
        inside = shapely.Polygon([*course.head, *foot]).buffer(-course.flight.going / 2)
        for each in strokes(view, "dimension"):
            part = shapely.LineString(each.points).intersection(inside)
            assert part.length <= course.flight.going


def test_ids_of_a_flights_bays_stand_off_its_treads() -> None:
    """The ids of a flight's bays stand beside its treads where nothing else is beside them.

    The flight has eight risers.
    """
    level = {"id": "main", "drop": 56}
    level["outline"] = {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}
    level["openings"] = [{"id": "steps", "edge": 0, "from": 100, "width": 40, "use": "stair"}]
    stair = {**STAIR, "id": "steps", "opening": "main/steps", "rise": 56, "risers": 8, "going": 11}
    document = {**INCH, "levels": [level], "stairs": [stair]}
    view, (course,) = made(document)
    foot = [course.foot(side) for side in (1.0, 0.0)]
    treads = shapely.Polygon([*course.head, *foot])
    ids = [bay.id for bay in subject_of(document).layout.bays if bay.flight]
    assert len(ids) == 4
    for name in ids:
        assert room_of(words(view, name), view.scale.per_unit).disjoint(treads)


@pytest.mark.parametrize("document", DECKS)
def test_neither_leaves_nor_leaders_run_through_words(document: Json) -> None:
    """Neither a gate's swing nor the line from a place to its flag runs through words."""
    view, _ = made(document)
    for mark in drawn(view):
        assert struck(view, mark, "gate") == []
        if not mark.text[0].isdigit():
            leaders = [each for each in struck(view, mark, "words") if each.pattern == "full"]
            assert leaders == [], mark.text


@pytest.mark.parametrize("document", [request("glass-flight"), request("inner-corner")])
def test_a_line_to_the_name_of_a_run_does_not_run_through_words(document: Json) -> None:
    """The line that leads to a run's name runs through no other words.

    R5 and R6 are by a flight, where their marks stand between their line and the free room; R3 is
    in the inner corner. The slash at a mark may touch the mark's own number.
    """
    view, _ = made(document)
    tick = 2.0 * TICK * math.sqrt(2) / view.scale.per_unit
    for mark in drawn(view):
        lines = [shapely.LineString(each.points) for each in struck(view, mark, "dimension")]
        assert [each for each in lines if each.length > tick] == [], mark.text


def test_a_run_down_an_upright_flight_is_named_on_the_level() -> None:
    """The name of a flight's two sides is written level, as their line is too short for it upright.

    15 letters of 1.44 mm are 21.6, and 42 in at 1:64 are 16.7.
    """
    view, _ = made(with_a_gate())
    (name,) = [each for each in drawn(view) if each.text.startswith("R6 and R7 ")]
    assert name.turn == 0.0
    assert len(name.text) == 15


def test_the_name_of_two_sides_of_a_flight_is_nearest_to_their_line() -> None:
    """The name of a flight's two sides ends 1.2 mm from their own line.

    In the plan of two levels it stands left of the upright line, and below that of R1.
    """
    view = views_of(subject_of(request("two-levels")))[0]
    name = next(each for each in drawn(view) if each.text.startswith("R8 and R9 "))
    assert name.anchor == "end"
    upright = [
        each.points[0][0]
        for each in strokes(view, "dimension")
        if len(each.points) == 2 and each.points[0][0] == each.points[1][0] > name.at[0]
    ]
    assert (min(upright) - name.at[0]) * view.scale.per_unit == pytest.approx(1.2)


def test_edges_over_the_deck_have_their_words_by_their_lines() -> None:
    """The length of edge 1 stands on the deck's side of the edge, as the stair is on the outer one.

    Its line goes from corner to corner: 84 in.
    """
    view, _ = made(in_the_notch())
    x, y = words(view, "edge 1: 7'").at
    assert x > 144.0
    assert -84.0 < y < 0.0
    sizes = [
        abs(a[1] - b[1])
        for each in strokes(view, "dimension")
        for a, b in pairwise(each.points)
        if a[0] == b[0] > 144.0
    ]
    assert 84.0 in [round(size, 6) for size in sizes]


def test_the_line_of_an_edge_is_nearest_to_that_edge() -> None:
    """The lengths of edges round a notch stand where it is plain which edge each one measures.

    The notch is 10 ft wide between two arms of 10. The length of edge 3 stands by the right arm,
    right of 180, that of edge 5 by the left arm, left of 180, and that of the notch's own edge 4
    within the notch.
    """
    corners = [[0, 0], [360, 0], [360, 216], [240, 216], [240, 96], [120, 96], [120, 216], [0, 216]]
    level = {"id": "u", "drop": 40, "outline": {"points": corners}}
    gate = {"id": "gate", "edge": 4, "from": 30, "width": 42, "use": "gate"}
    view, _ = made({**INCH, "levels": [{**level, "openings": [gate]}]})
    assert words(view, "edge 3: 10'").at[0] > 210.0
    assert words(view, "edge 5: 10'").at[0] < 150.0
    assert 120.0 < words(view, "edge 4: 10'").at[0] < 240.0


@pytest.mark.parametrize("long", [120, 168, 240])
def test_an_edge_as_wide_as_its_flight_is_measured_past_it(long: int) -> None:
    """Where a flight's guards leave no room beside it, the width of its edge is written elsewhere.

    A walkway of 56 in has steps from corner post to corner post at its end: 3.5 in off each corner
    and half of 2.25 leave 56 - 2 (3.5 + 1.125) = 46.75 clear. Guards with their bases and a mm on
    paper beyond them are 46.75 + (2.25 + 4.5) + 2 x 48/25.4 = 57.3 at 1:48, so they leave nothing
    of a line beside the flight.
    """
    level = {"id": "walk", "drop": 49, "edges": [{"edge": 2, "condition": "wall"}]}
    level["outline"] = {"points": [[0, 0], [56, 0], [56, long], [0, long]]}
    level["openings"] = [{"id": "end", "edge": 0, "from": 4.625, "width": 46.75, "use": "stair"}]
    stair = {**STAIR, "id": "end", "opening": "walk/end", "rise": 49, "risers": 7, "going": 10.5}
    view, _ = made({**INCH, "levels": [level], "stairs": [stair]})
    assert "edge 0: 4' 8\"" in " ".join(texts(view))
