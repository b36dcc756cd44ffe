"""What lies at exactly a limit of the method is judged alike, whichever way the deck is turned.

Turned coordinates have other last bits, so what is at a limit (within 0.000001) comes a hair short
of it or over it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import pytest

from service.answer import answer_document
from tests.shipped import catalogue

Json = dict[str, Any]

SURFACE, FASCIA = "picket-glass-surface-in", "picket-glass-fascia-in"


def rectangle(x: float, y: float, width: float, depth: float) -> list[list[float]]:
    """The corners of a level, counter-clockwise from the least x and y."""
    return [[x, y], [x + width, y], [x + width, y + depth], [x, y + depth]]


def level(name: str, points: Sequence[Sequence[float]], drop: float, **members: Any) -> Json:
    """A level by its corners and its drop."""
    return {"id": name, "outline": {"points": points}, "drop": drop, **members}


def of_edge(number: int, condition: str) -> list[Json]:
    """The edges of a level of which one is no guard."""
    return [{"edge": number, "condition": condition}]


def turned_points(points: Sequence[Sequence[float]], turn: float) -> list[list[float]]:
    """Points turned by degrees about the origin and moved away; as they are for 0 degrees."""
    if not turn:
        return [[x, y] for x, y in points]
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return [[c * x - s * y + 1234.5, s * x + c * y - 777.25] for x, y in points]


def findings_of(levels: Sequence[Json], kit: str, turn: float, **members: Any) -> list[Any]:
    """Findings as (rule, result, where, actual), with the deck turned by degrees and moved away."""
    turned = [
        {
            **one,
            "outline": {"points": turned_points(one["outline"]["points"], turn)},
            "obstructions": [
                {**each, "points": turned_points(each["points"], turn)}
                for each in one.get("obstructions", [])
            ],
        }
        for one in levels
    ]
    document = {
        **{"unit": "in", "kit": kit, "code": "us-irc-2021", "levels": turned},
        **{"guard": {"infill": "picket", "height": 36}},
        **members,
    }
    findings = answer_document(document, catalogue())["findings"]
    return [(each["rule"], each["result"], each["where"], each.get("actual")) for each in findings]


TURNS = (0.0, 37.0, 61.7, 113.0)


@pytest.mark.parametrize("turn", TURNS)
def test_a_stretch_as_long_as_the_least_bay(turn: float) -> None:
    """Beyond 7 in of a guarded edge, from y = 0 to 7, a higher deck lies; the kit's least bay is 7.

    A stretch too short for a bay is left out, and this one is not too short.
    """
    levels = [level("low", rectangle(0, 0, 120, 96), 42)]
    levels += [level("high", rectangle(120, -60, 120, 67), 63)]
    findings = findings_of(levels, SURFACE, turn)
    assert ("guard_at_level", "fail", ["low/edge 1"], None) in findings


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize(("near", "result"), [(68.5, "pass"), (72.25, "fail")])
def test_a_railing_as_far_off_as_one_is_looked_for(turn: float, near: float, result: str) -> None:
    """An upper deck's open front is at y = 68.5 or 72.25; its end posts P7 and P10 are set in by
    3.5, and their faces by 1.125 less: at y = 70.875 or 74.625. The lower deck ends at y = 72, and
    the middle of its rail R3 is at 68.5.

    The gaps are 2 3/8 and 6 1/8 in, at both ends. The first deck lies 3.5 in over the lower one, as
    far as a railing stands from its edge; the second lies 1/4 in off it, which still is no step.
    """
    levels = [level("low", rectangle(0, 0, 120, 72), 28)]
    levels += [level("high", rectangle(30, near, 60, 72), 63, edges=of_edge(0, "open"))]
    findings = findings_of(levels, SURFACE, turn)
    gap = near + 3.5 - 1.125 - 68.5
    assert ("opening_size", result, ["P7", "R3", "P10"], gap) in findings


@pytest.mark.parametrize("turn", TURNS)
def test_a_lower_wall_a_quarter_inch_of_which_is_along_the_deck(turn: float) -> None:
    """The lower deck reaches 1/8 in under the upper one, whose open front is at y = 0, and its wall
    goes away from there. Within 1/8 in of the upper deck lies as much again of the wall, 1/4 in.

    So much may be no more than the face below the deck, and the wall does not close the gap. From
    the end post's face at y = 3.5 - 1.125 to the lower rail at y = 0.125 - 3.5 are 5 3/4 in.
    """
    levels = [level("high", rectangle(0, 0, 96, 144), 42, edges=of_edge(0, "open"))]
    levels += [level("low", rectangle(0, -71.875, 240, 72), 21, edges=of_edge(3, "wall"))]
    findings = findings_of(levels, SURFACE, turn)
    assert ("opening_size", "fail", ["P7", "R6"], 5.75) in findings


@pytest.mark.parametrize("turn", TURNS)
def test_a_foot_post_as_far_past_its_landing_as_a_flight_may_end_off_it(turn: float) -> None:
    """A flight of one riser goes down 7 in from a deck at x = 0 to a deck that begins at x = -1/8.

    Its foot posts' bases begin plumb below the lowest nosing, at x = 0, so each reaches 1/8 in past
    the lower deck: as far as a flight may end off it.
    """
    opening = {"id": "head", "edge": 3, "from": 48, "width": 36, "use": "stair"}
    flight = {"id": "step", "opening": "high/head", "rise": 7, "risers": 1, "going": 12}
    levels = [level("high", rectangle(0, 0, 192, 144), 56, openings=[opening])]
    levels += [level("low", rectangle(-144.125, 12, 144, 120), 49)]
    stairs = [{**flight, "guards": ["left", "right"], "to_level": "low"}]
    findings = findings_of(levels, SURFACE, turn, stairs=stairs)
    assert ("base_on_deck", "pass", ["P20", "P21"], 0) in findings


@pytest.mark.parametrize("turn", [*TURNS, 203.3114134948742])
def test_of_several_posts_that_are_equally_near_a_rail_the_one_by_its_end_is_named(
    turn: float,
) -> None:
    """The end post P16 of the upper deck stands at x = 266, and its rail goes on from there to x =
    458.25, at y = -29 + 2.25 = -26.75. The lower deck's rail is beside it, at y = -30 - 2.25, with
    posts P2 (x = 281), P3, P4 and P5.

    The rail is 5 1/2 - 1 1/4 = 4 1/4 in from the face of each of them; of these P2 is by the end.
    """
    levels = [level("low", [[240, -30], [432, -30], [432, 42]], 42)]
    high = [[456, -129], [456, -29], [264, -29]]
    levels += [level("high", high, 63, edges=of_edge(2, "open"))]
    findings = findings_of(levels, FASCIA, turn)
    assert ("opening_size", "fail", ["P16", "P2"], 4.25) in findings


@pytest.mark.parametrize("turn", TURNS)
def test_a_landing_just_as_wide_as_the_passage_to_it(turn: float) -> None:
    """A passage from x = 24 to 72 goes down 7 in to a landing from x = 24 to 72.

    The face of the passage's post is at x = 24, its other faces from y = 2.375 to 4.625; the end
    post of the landing stands at 27.5, -3.5, its faces at x = 26.375 and y = -2.375. Past the two
    posts are (2.375^2 + 4.75^2)^0.5 = 5.3107 in, on either side of the landing.
    """
    passage = {"id": "way", "edge": 0, "from": 24, "width": 48, "use": "passage"}
    levels = [level("high", rectangle(0, 0, 96, 120), 42, openings=[passage])]
    levels += [level("landing", rectangle(24, -60, 48, 60), 35, edges=of_edge(2, "open"))]
    findings = findings_of(levels, SURFACE, turn)
    gaps = [each for each in findings if each[0] == "opening_size" and each[1] == "fail"]
    assert [each[3] for each in gaps] == [5.3107]
    assert len(gaps[0][2]) == 4


@pytest.mark.parametrize(("infill", "matters"), [("glass", False), ("picket", True)])
@pytest.mark.parametrize("turn", [*TURNS, *range(10, 180, 20)])
def test_a_column_that_just_fills_a_corner(turn: float, infill: str, matters: bool) -> None:
    """A column of 4 in stands in a corner of the deck, flush with both edges. The rails along these
    end at its faces, at (4, -25.5) and at (3.5, -26).

    Glass begins 1.25 past the ends of its rails: without the column (1.75^2 + 1.75^2)^0.5 = 2.4749
    are open. So little may be, and it does not matter how high the column is, though something of
    the guard's height, which reaches out over the edge, stands in the same place. Pickets begin
    2.8125 and 2.0625 past them, so that (3.3125^2 + 2.5625^2)^0.5 = 4.1880 are open: it matters.
    From the corner post at 3.5 in to the column's face these runs are 52.5 and 64.5 long, less half
    a post 51.375 and 63.375: 11 and 14 pickets of 3/4 in with gaps of 3 3/4 between them take 45.75
    and 59.25, and half of what is left is at each end.
    """
    points = rectangle(0, -94, 60, 72)
    column = {"name": "column", "points": rectangle(0, -26, 4, 4)}
    planter = {"name": "planter", "points": rectangle(0, -23.75, 4, 4), "height": 36}
    levels = [level("main", points, 35, obstructions=[planter, column])]
    findings = findings_of(levels, SURFACE, turn, guard={"infill": infill, "height": 36})
    unchecked = any(each[:2] == ("guard_required", "not_checked") for each in findings)
    assert unchecked is matters


@pytest.mark.parametrize("turn", [*TURNS, *range(10, 180, 20)])
def test_a_higher_wall_that_begins_where_a_rail_meets_the_lower_one(turn: float) -> None:
    """A deck of a 3 ft guard ends at a wall along y = 60, and 21 in above it another deck goes on
    from there. That has a wall along y = 60, too, but only from x = 120 on, where the lower one's
    ends.

    The lower deck's railing hangs 2 1/4 in off it. On its right, at x = 122 1/4, it meets the
    higher wall. On its left, at x = -2 1/4, there may be nothing but the face below the deck. The
    wall is looked at an inch from its ends, at x = 119 and x = 1: an inch from the higher one, and
    119 in.
    """
    levels = [level("low", rectangle(0, 0, 120, 60), 42, edges=of_edge(2, "wall"))]
    high = [[0, 60], [120, 60], [200, 60], [200, 120], [0, 120]]
    levels += [level("high", high, 63, edges=of_edge(1, "wall"))]
    findings = findings_of(levels, FASCIA, turn)
    held = [each for each in findings if each[0] == "holds_high_enough"]
    assert held == [("holds_high_enough", "not_checked", ["low/edge 3"], 21)]


@pytest.mark.parametrize("turn", [*TURNS, *range(10, 180, 20)])
def test_a_box_that_begins_at_an_inner_corner_is_beside_the_guard_there(turn: float) -> None:
    """A guarded edge at y = 60 ends at an inner corner, at x = 60, where a wall goes on. Its line,
    at y = 56.5, is met by a low box only past the corner, from x = 60 to 54.

    The end post stands half a base back, at x = 62.25, so that its base begins at x = 60. The box
    is beside the bay B4, after B1 and B2 along y = 0 and B3 along x = 120. It is 10 in high, and
    the guard 26 in higher.
    """
    points = [[0, 0], [120, 0], [120, 60], [60, 60], [60, 120], [0, 120]]
    box = {"name": "box", "points": rectangle(54, 54, 6, 4), "height": 10}
    levels = [level("main", points, 42, edges=of_edge(3, "wall"), obstructions=[box])]
    findings = findings_of(levels, SURFACE, turn)
    assert ("guard_over_seat", "fail", ["B4"], 26) in findings


@pytest.mark.parametrize("turn", [*TURNS, *range(10, 180, 20)])
def test_a_bench_that_stands_against_the_deck(turn: float) -> None:
    """A bench of 10 in stands outside an open edge at y = 0, against it, and beside the end of the
    guard along x = 96, which is 26 in higher.

    That guard's only bay, B1, begins at x = 92.5, y = 3.5: (0.5^2 + 3.5^2)^0.5 = 3.54 in from the
    corner of the bench.
    """
    bench = {"name": "bench", "points": rectangle(80, -12, 12, 12), "height": 10}
    levels = [level("main", rectangle(0, 0, 96, 72), 42, edges=of_edge(0, "open"))]
    findings = findings_of([{**levels[0], "obstructions": [bench]}], SURFACE, turn)
    assert ("guard_over_seat", "fail", ["B1"], 26) in findings


@pytest.mark.parametrize("turn", [*TURNS, *range(10, 180, 20)])
@pytest.mark.parametrize("posted", [0, 1])
@pytest.mark.parametrize("begins", [54, 60])
def test_a_column_where_two_edges_in_one_line_meet(turn: float, posted: int, begins: int) -> None:
    """The edges 0 and 1 go on in one line from x = 0 to 60 and to 144. A column, 6 in wide and 20
    in high, begins or ends at x = 60. It parts the railing of edge 0 from that of edge 1.

    The document asks for a post beside it on one of the two edges. The rails of the other are
    bracketed to the column, which is lower than they are.
    """
    points = [[0, 0], [60, 0], [144, 0], [144, 96], [0, 96]]
    column = {"name": "column", "points": rectangle(begins, 0, 6, 12), "height": 20}
    asked = [{"edge": posted, "wall_end": "post"}]
    levels = [level("main", points, 42, edges=asked, obstructions=[column])]
    findings = findings_of(levels, SURFACE, turn)
    held = [each for each in findings if each[0] == "holds_high_enough"]
    assert held == [("holds_high_enough", "fail", [f"main/edge {1 - posted}"], 20)]
