"""Levels that share a stretch of edge: which drop the edge has over the other (contract, section
3)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from service.core.engine import lay_out
from service.core.measure import Point
from service.core.records.code import Code, Figure
from service.core.records.deck import Corners, Drops, Level
from service.core.records.layout import Layout
from tests.core import builders


def beyond(points: Sequence[Point], drop: float, number: int = 1) -> Level:
    """Another level, by its corners and its drop."""
    pointer = f"/levels/{number}"
    plain = builders.level(Corners(tuple(points), f"{pointer}/outline"))
    name = "low" if number == 1 else f"low{number}"
    return replace(plain, id=name, pointer=pointer, drops=Drops(drop))


@pytest.mark.parametrize("backwards", [False, True])
def test_drops_by_stretch(backwards: bool) -> None:
    """An edge has the drop to a lower level along the stretch that they share, and its own drop
    elsewhere.

    A deck 48 up has a lower level, 20 up, beyond the first 150 of its first edge, 240 long: the
    drop is 28 there and 48 along the other 90, as along every other edge.
    """
    points = builders.rectangle(240.0, 144.0)
    low_points = builders.turned(builders.rectangle(150.0, 60.0), 0.0, (0.0, -60.0))
    deck = builders.deck(points[::-1] if backwards else points)
    low = beyond(low_points, 20.0)
    layout = lay_out(replace(deck, levels=(*deck.levels, low)), builders.SURFACE, None)
    main = [seen for seen in layout.edges if seen.level == "main"]
    number = 2 if backwards else 0
    shared = [(seen.length, seen.drops.drop) for seen in main if seen.edge == number]
    assert shared == [pytest.approx((150.0, 28.0)), pytest.approx((90.0, 48.0))]
    assert {seen.drops.drop for seen in main if seen.edge != number} == {48.0}
    # Nobody falls up: where the lower deck meets the higher one there is no drop.
    low_drops = {s.edge: s.drops.drop for s in layout.edges if s.level == "low"}
    assert low_drops == {0: 20.0, 1: 20.0, 2: 0.0, 3: 20.0}


def test_the_ground_stays_as_far_below_as_the_caller_says() -> None:
    """A level beyond the edge changes the drop and the drop to the next level, not the drop to the
    ground.

    48 to what lies below and 60 to finished ground; over the level 20 up beyond one edge the drop
    is 28, and the ground there is still 60 down.
    """
    deck = builders.deck(builders.rectangle(240.0, 144.0))
    main = replace(deck.levels[0], drops=Drops(48.0, 60.0, 48.0))
    low = beyond(builders.turned(builders.rectangle(240.0, 60.0), 0.0, (0.0, -60.0)), 20.0)
    layout = lay_out(replace(deck, levels=(main, low)), builders.SURFACE, None)
    (over,) = [seen.drops for seen in layout.edges if seen.level == "main" and seen.edge == 0]
    assert (over.drop, over.to_ground, over.to_next_level) == (28.0, 60.0, 28.0)


IRC = Code(
    "c",
    "C",
    "1",
    {
        "guard_required_drop": Figure(30.0, "more_than", "IRC 2021 R312.1.1", "seen"),
        "guard_drop_reach": Figure(36.0, "binds", "IRC 2021 R312.1.1", "seen"),
    },
)
"""The ground is measured at any point within 36 in horizontally of the open side."""


def test_a_reach_that_holds_in_its_cases_alone() -> None:
    """A code whose reach holds in some cases only leaves the other decks the drops that they have
    without a code."""
    reach = replace(IRC.figures["guard_drop_reach"], value=None)
    code = replace(IRC, figures={**IRC.figures, "guard_drop_reach": reach})
    drops = [
        {seen.drops.drop for seen in beside(24.0, 8.0, each, past=12.0).edges}
        for each in (code, None)
    ]
    assert drops[0] == drops[1]


def beside(depth: float, drop: float, code: Code | None, past: float = 0.0, **parts: Any) -> Layout:
    """A deck of 144 by 144, 48 up, with another level beyond its edge 1.

    depth: of that level, outward. drop: of that level. past: how far it reaches past both ends of
    the edge.
    """
    deck = builders.deck(builders.rectangle(144.0, 144.0), **parts)
    size = builders.rectangle(depth, 144.0 + 2 * past)
    points = builders.turned(size, 0.0, (144.0, -past))
    low = beyond(points, drop)
    return lay_out(replace(deck, levels=(*deck.levels, low)), builders.SURFACE, code)


def along(layout: Layout, edge: int) -> list[float | None]:
    """Drops along an edge of the main level, stretch by stretch."""
    return [s.drops.drop for s in layout.edges if (s.level, s.edge) == ("main", edge)]


@pytest.mark.parametrize(
    ("depth", "code", "drop"),
    [
        (35.8, IRC, 48.0),
        (36.0, IRC, 19.0),
        (60.0, IRC, 19.0),
        (16.0, IRC, 48.0),
        (16.0, None, 19.0),
    ],
)
def test_a_step_must_reach_as_far_as_the_code_looks(
    depth: float, code: Code | None, drop: float
) -> None:
    """A step counts only if it is at least as deep as the code looks beyond the edge.

    A step 29 up is 19 down from a deck 48 up; the ground past it, 48 down, lies within 36 of the
    edge unless the step is as deep as that.
    """
    assert along(beside(depth, 29.0, code), 1) == [drop]


def test_a_gap_that_one_steps_across_is_not_fallen_through() -> None:
    """Two steps, 20 and 30 deep and a sixteenth apart, together reach as far as the code looks."""
    deck = builders.deck(builders.rectangle(144.0, 144.0))
    steps = []
    for i, (start, depth) in enumerate(((144.0, 20.0), (164.0625, 30.0)), 1):
        points = builders.turned(builders.rectangle(depth, 144.0), 0.0, (start, 0.0))
        steps.append(beyond(points, 40.0 - 2 * i, i))
    layout = lay_out(replace(deck, levels=(*deck.levels, *steps)), builders.SURFACE, IRC)
    assert along(layout, 1) == [12.0]


@pytest.mark.parametrize("drop", [48.0, 60.0], ids=["as high", "higher"])
def test_nobody_falls_onto_what_is_no_lower(drop: float) -> None:
    """Beside a level that is as high or higher there is no drop, however near the ground lies
    behind it.

    The level is a landing 24 deep; its own far edge has its own drop.
    """
    layout = beside(24.0, drop, IRC)
    assert along(layout, 1) == [0.0]
    assert {s.drops.drop for s in layout.edges if s.level == "low" and s.edge == 1} == {drop}


def test_a_notch_in_the_level_beyond_an_edge() -> None:
    """Along a notch in the level beyond it, an edge has the drop to the ground where the code's
    reach meets the notch.

    The code looks 36 beyond the edge. The notch comes up at 45 degrees on both sides, to 16 from
    the edge at x = 20: 36 beyond the edge it is 40 wide, from x = 0, and over it the drop is 48;
    along the other 200 it is 28, to the level. The side of the notch goes on through (-1, -37).
    """
    deck = builders.deck(builders.rectangle(240.0, 144.0))
    around = ((-31.0, 30.0), (-31.0, -67.0), (20.0, -16.0), (71.0, -67.0), (271.0, -67.0))
    low = beyond((*around, (271.0, 30.0)), 20.0)
    layout = lay_out(replace(deck, levels=(*deck.levels, low)), builders.SURFACE, IRC)
    found = [(s.length, s.drops.drop) for s in layout.edges if (s.level, s.edge) == ("main", 0)]
    assert found == [pytest.approx((40.0, 48.0)), pytest.approx((200.0, 28.0))]


@pytest.mark.parametrize("turn", [0.0, 28.0, 84.0, 133.0])
def test_a_level_covered_whole_by_a_higher_one_is_not_fallen_to(turn: float) -> None:
    """A level that lies under another one all along gives no drop.

    Three levels lie beyond an edge, 10, 20 and 40 down, the last two all along it and one over the
    other. The first ends at a slant, y = 50 + (x - 100) 7/8: 36 beyond the edge the slant is at x =
    1.7143, and from there on the deepest drop in sight is 20.
    """
    deck = builders.deck(builders.turned(builders.rectangle(240.0, 144.0), turn))
    slanted = ((100.0, 50.0), (-60.0, 50.0), (-60.0, -90.0))
    wide = builders.turned(builders.rectangle(500.0, 300.0), 0.0, (-130.0, -150.0))
    lower = [
        beyond(builders.turned(points, turn), drop, number)
        for number, points, drop in ((1, slanted, 38.0), (2, wide, 28.0), (3, wide, 8.0))
    ]
    layout = lay_out(replace(deck, levels=(*deck.levels, *lower)), builders.SURFACE, IRC)
    found = [(s.length, s.drops.drop) for s in layout.edges if (s.level, s.edge) == ("main", 0)]
    assert found == [pytest.approx((1.7142857, 10.0)), pytest.approx((238.2857143, 20.0))]


@pytest.mark.parametrize("turn", [0.0, 12.7, 30.0, 45.0, 90.0, 211.0])
def test_a_level_that_reaches_just_as_far_as_the_code_looks(turn: float) -> None:
    """A level just as deep as the code looks keeps what lies beyond it from counting.

    It is 36 deep, 18 down, along 66 of an edge of 96; the level beyond it, 21 down, is not looked
    at. Along the other 30 is the ground, 48 down.
    """
    deck = builders.deck(builders.turned(builders.rectangle(96.0, 96.0), turn))
    near = builders.turned(builders.rectangle(86.0, 36.0), 0.0, (-20.0, -36.0))
    far = builders.turned(builders.rectangle(86.0, 40.0), 0.0, (-20.0, -76.0))
    lower = (
        beyond(builders.turned(near, turn), 30.0, 1),
        beyond(builders.turned(far, turn), 27.0, 2),
    )
    layout = lay_out(replace(deck, levels=(*deck.levels, *lower)), builders.SURFACE, IRC)
    found = [(s.length, s.drops.drop) for s in layout.edges if (s.level, s.edge) == ("main", 0)]
    assert found == [pytest.approx((66.0, 18.0)), pytest.approx((30.0, 48.0))]


@pytest.mark.parametrize("turn", [0.0, 12.7, 30.0, 45.0, 90.0, 211.0])
def test_a_level_as_high_just_as_far_off_as_one_steps(turn: float) -> None:
    """Two levels lie an eighth apart along 72.15: an edge of the lower one has no drop beside the
    higher."""
    deck = builders.deck(builders.turned(builders.rectangle(144.3, 96.0), turn))
    high = ((0.0, -12.0), (72.15, -12.0), (72.15, -0.0625), (0.0, -0.0625))
    low = ((0.0, -52.0625), (72.15, -52.0625), (72.15, -12.125), (0.0, -12.125))
    lower = (
        beyond(builders.turned(high, turn), 30.0, 1),
        beyond(builders.turned(low, turn), 27.0, 2),
    )
    layout = lay_out(replace(deck, levels=(*deck.levels, *lower)), builders.SURFACE, None)
    assert [s.drops.drop for s in layout.edges if (s.level, s.edge) == ("low2", 2)] == [0.0]


def test_round_levels_in_a_row() -> None:
    """Beyond a round deck's side the drop is to the deepest level within the code's reach.

    Five decks of sixteen sides, 200 across, each 30 further along and 10 higher than the last.
    Beyond the two westernmost sides of the highest, the deck before it reaches 30 cos 11.25 = 29.4,
    and the second before it, 20 down, 58.8: past the 36 that the code looks. West of the lowest is
    the ground, 48 down.
    """
    turns = [2 * math.pi * i / 16 for i in range(16)]
    ring = [(100.0 * math.cos(turn), 100.0 * math.sin(turn)) for turn in turns]
    deck = builders.deck(ring)
    higher = [beyond([(x + 30.0 * k, y) for x, y in ring], 48.0 + 10.0 * k, k) for k in range(1, 5)]
    layout = lay_out(replace(deck, levels=(*deck.levels, *higher)), builders.SURFACE, IRC)
    # Sides 7 and 8 meet at the westernmost corner, (20, 0) of the highest.
    for side in (7, 8):
        drops = {s.drops.drop for s in layout.edges if (s.level, s.edge) == ("low4", side)}
        assert drops == {20.0}
    assert {s.drops.drop for s in layout.edges if (s.level, s.edge) == ("main", 8)} == {48.0}


def test_a_bow_past_the_level_beyond_it() -> None:
    """A bow that reaches past the level beyond it has the drop to the ground along its middle.

    Bowed 40 out over a level 12 deep, the middle of the edge is 28 past the level: the drop is 48
    there and 7 at the ends, where the arc of radius (72^2 + 40^2)/80 = 84.8 lies over the level.
    """
    edges = (builders.edge(1, "open", arc_rise=40.0),)
    drops = along(beside(12.0, 41.0, None, 50.0, edges=edges), 1)
    assert drops == [7.0, 48.0, 7.0]
    whole = beside(60.0, 41.0, None, 50.0, edges=edges)
    assert along(whole, 1) == [7.0]


def test_openings_gaps_and_bays_have_the_drop_that_they_lie_over() -> None:
    """An opening and the bays of an edge have the drop of that edge: 7 over the level beyond the
    shared one, 48 elsewhere."""
    passage = builders.opening(1, 48.0, 42.0, "passage", "p")
    layout = beside(60.0, 41.0, IRC, openings=(passage,))
    assert [built.drops.drop for built in layout.openings] == [7.0]
    by_edge = {bay.edge: bay.drops.drop for bay in layout.bays if bay.level == "main"}
    assert by_edge == {0: 48.0, 1: 7.0, 2: 48.0, 3: 48.0}


def test_a_bay_has_the_drop_of_its_own_stretch() -> None:
    """A bay has the deepest drop along its own stretch of the edge.

    The level beyond reaches along half of an edge: the bays over it have a drop of 7, those past it
    48, and the bay that lies over both 48.
    """
    deck = builders.deck(builders.rectangle(240.0, 144.0))
    points = builders.turned(builders.rectangle(130.0, 60.0), 0.0, (0.0, -60.0))
    low = beyond(points, 41.0)
    layout = lay_out(replace(deck, levels=(*deck.levels, low)), builders.SURFACE, None)
    # From a corner post at 3.5, four bays of 58.25: posts at 61.75, 120, 178.25 and 236.5.
    drops = [bay.drops.drop for bay in layout.bays if (bay.level, bay.edge) == ("main", 0)]
    assert drops == [7.0, 7.0, 48.0, 48.0]


@pytest.mark.parametrize("depth", [12.0, 20.0, 60.0])
@pytest.mark.parametrize("rise", [-12.0, -15.0, -19.9])
def test_an_inward_bow_tighter_than_the_code_looks(rise: float, depth: float) -> None:
    """Beside an inward bow the code looks no further than the bow's centre.

    With a bow inward over a chord of 40, the lines square to the edge meet at the centre of the
    bow, 20 to 23 away, less than the 36 that the code looks: past the centre there is nothing to
    look for. A level that fills the bow and 12 beyond holds the centre of each, 10.7 beyond at the
    most: the drop is 18 all along.
    """
    deck = builders.deck(
        builders.rectangle(144.0, 40.0), edges=(builders.edge(1, "open", arc_rise=rise),)
    )
    points = builders.turned(builders.rectangle(depth - rise, 40.0), 0.0, (144.0 + rise, 0.0))
    low = beyond(points, 30.0)
    layout = lay_out(replace(deck, levels=(*deck.levels, low)), builders.SURFACE, IRC)
    assert along(layout, 1) == [18.0]
