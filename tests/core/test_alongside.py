"""The way between the railings of two levels along one edge, worked by hand.

The kit's posts are 2.25 wide and its line lies 3.5 in from the edge. Two posts that face each other
across the edge are 2 * 3.5 - 2.25 = 4.75 apart; a post is 5.875 from the glass across the edge, or
from a picket that it faces.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from service.core.engine import lay_out
from service.core.finishing.narrows import WayIn
from service.core.measure import Length, Point
from service.core.records.deck import Corners, Drops, Level
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.core.records.seen import GapSeen
from tests.core import builders
from tests.core.builders import FASCIA, edge, opening, rectangle, turned, walls
from tests.core.sloping import MILLIMETRE, SURFACE, stair

DEEP = 120.0
POSTS, INFILL = 4.75, 5.875
GATE = opening(1, 40, 36, "gate")


def beside(
    *,
    low: Sequence[Point] = turned(rectangle(100, DEEP), 0.0, (200.0, 0.0)),
    drop: Length = 48.0,
    low_parts: dict[str, Any] | None = None,
    kit: Kit = SURFACE,
    stairs: Sequence[Any] = (),
    clockwise: bool = False,
    **parts: Any,
) -> Layout:
    """The layout of a deck of 200 by 120, 48 up, with another level, `low`, beyond its edge 1 at
    x = 200."""
    points = rectangle(200, DEEP)
    deck = builders.deck(points[::-1] if clockwise else points, **parts)
    other = Level("low", Corners(tuple(low), "/levels/1/outline"), "/levels/1", Drops(drop))
    other = replace(other, **(low_parts or {}))
    return lay_out(replace(deck, levels=(*deck.levels, other), stairs=tuple(stairs)), kit, None)


def told(layout: Layout) -> list[tuple[float, float | None]]:
    """Width and drop of each gap at an end of a way between two levels, by width."""
    found = [gap for gap in layout.gaps if gap.kind == "along"]
    return sorted((round(gap.width, 5), gap.drops.drop) for gap in found)


@pytest.mark.parametrize("clockwise", [False, True])
def test_a_gate_lets_somebody_in_between(clockwise: bool) -> None:
    """Whichever level has a gate or a passage, people get into the way by it, and out at both ends,
    between the two corner posts. Without one the way leads from nowhere."""
    both = [(POSTS, 48.0)] * 2
    assert told(beside(openings=(GATE,), clockwise=clockwise)) == both
    assert told(beside(low_parts={"openings": (opening(3, 40, 36, "passage"),)})) == both
    assert told(beside(clockwise=clockwise)) == []


def test_in_millimetres() -> None:
    """Posts of 60 that stand 90 in from the edge are 2 * 90 - 60 = 120 apart."""
    points = rectangle(5000, 3000)
    deck = builders.deck(points, unit="mm", openings=(opening(1, 1000, 900, "gate"),))
    beyond = Corners(turned(rectangle(2500, 3000), 0.0, (5000.0, 0.0)), "/levels/1/outline")
    low = Level("low", beyond, "/levels/1", Drops(48.0))
    layout = lay_out(replace(deck, levels=(*deck.levels, low)), MILLIMETRE, None)
    assert told(layout) == [(120.0, 48.0)] * 2


def test_the_railing_of_a_shorter_level_ends_before_the_infill_of_the_longer() -> None:
    """Low goes from y = 20 to 100, 40 up. The gate's posts in main's longer edge stand at 38.875
    and 77.125, far from low's end posts at 23.5 and 96.5, which face main's glass. Past these the
    drop is the 48 of main."""
    low = turned(rectangle(100, 80), 0.0, (200.0, 20.0))
    layout = beside(low=low, drop=40.0, openings=(GATE,), infill="glass")
    assert told(layout) == [(INFILL, 48.0)] * 2


def test_an_end_is_told_by_the_post_that_stands_there() -> None:
    """The gap at an end names low's corner post there, at 23.5 or 96.5, and main's run. The rails
    that come to these posts also run past the gate's, at 38.875 and 77.125, as near to those as the
    corner posts are to main's glass, 5.875."""
    low = turned(rectangle(100, 80), 0.0, (200.0, 20.0))
    layout = beside(low=low, drop=40.0, openings=(GATE,), infill="glass")
    places = {post.id: post.at for post in layout.posts}
    found = [gap.where for gap in layout.gaps if gap.kind == "along"]
    assert sorted(places[own] for own, _ in found) == [(203.5, 23.5), (203.5, 96.5)]
    runs = {run.id for run in layout.runs if (run.level, run.edge) == ("main", 1)}
    assert all(other in runs for _, other in found)


def test_a_gap_that_is_told_from_both_its_sides_names_them_in_one_order() -> None:
    """Low follows main's edge 2 for 4 from the corner at (200, 120), so that lines of both end by
    the way out there. Between main's corner post at (196.5, 116.5) and low's at (199.5, 123.5) are
    3 - 2.25 = 0.75 across and 7 - 2.25 = 4.75 along."""
    low = [(200, -40), (300, -40), (300, 160), (196, 160), (196, 120), (200, 120)]
    layout = beside(low=[(float(x), float(y)) for x, y in low], openings=(GATE,))
    places = {post.id: post.at for post in layout.posts}
    width = math.hypot(0.75, 4.75)
    gaps = [gap for gap in layout.gaps if gap.kind == "along" and math.isclose(gap.width, width)]
    assert len(gaps) == 2
    assert {tuple(places[name] for name in gap.where) for gap in gaps} in (
        {((196.5, 116.5), (199.5, 123.5))},
        {((199.5, 123.5), (196.5, 116.5))},
    )


def test_where_one_level_ends_a_little_before_the_other_the_lesser_gap_is_told() -> None:
    """The lines lie 10 in, and low begins at y = 9.5. Its post at 19.5 is 20 - 1.125 = 18.875 off
    main's glass; main's post, at 10, is 17.75 by 9.5 - 2.25 off low's post, which is more. At
    y = 120 both levels end."""
    low = turned(rectangle(100, DEEP - 9.5), 0.0, (200.0, 9.5))
    kit = builders.with_post(SURFACE, setback=10.0)
    layout = beside(low=low, openings=(GATE,), kit=kit, infill="glass")
    assert told(layout) == [(17.75, 48.0), (18.875, 48.0)]


def test_a_column_that_both_railings_end_at_closes_an_end() -> None:
    column = builders.block(200, 116.5, 12, 6)
    both = beside(openings=(GATE,), obstructions=(column,), low_parts={"obstructions": (column,)})
    assert told(both) == [(POSTS, 48.0)]


def test_a_wall_that_ends_a_railing_is_what_one_passes() -> None:
    """Main's wall begins at (200, 120). Low's glass at x = 203.5 is 3.5 off it, as low's posts are
    thirds of 143 apart, the nearest at 98.8 and 146.5. Past the wall one comes to low's other
    edges, 48 up, whatever lies below the rest of low's edge 3."""
    low = turned(rectangle(100, 150), 0.0, (200.0, 0.0))
    shallow: dict[str, Any] = {"edges": (edge(3, drops=Drops(20.0)),)}
    for parts in ({}, shallow):
        layout = beside(
            low=low, openings=(GATE,), edges=walls(2), low_parts=parts, infill="glass"
        )  # fmt: skip
        assert told(layout) == [(3.5, 48.0), (POSTS, 48.0)]


def test_walls_close_an_end_or_make_it_less() -> None:
    """Where both levels end at the house nobody comes out. Where one alone does, the other's corner
    post, whose corner is 2.375 off both its edges, is 2.375 sqrt 2 off the end of the wall."""
    house: dict[str, Any] = {"edges": walls(2)}
    assert told(beside(openings=(GATE,), low_parts=house, **house)) == [(POSTS, 48.0)]
    less = round(2.375 * math.sqrt(2), 5)
    assert told(beside(openings=(GATE,), **house)) == [(less, 48.0), (POSTS, 48.0)]
    assert told(beside(openings=(GATE,), low_parts=house)) == [(less, 48.0), (POSTS, 48.0)]


def test_past_an_open_end_one_comes_in_and_out_at_the_other() -> None:
    assert told(beside(edges=(edge(2, "open"),))) == [(POSTS, 48.0)]
    assert told(beside(low_parts={"edges": (edge(2, "open"),)})) == [(POSTS, 48.0)]


def test_past_an_open_end_one_falls_where_the_other_level_goes_on() -> None:
    """Low goes as far as y = 150. Its posts, a third of its 143 from 3.5 to 146.5 apart, stand
    nowhere near main's end post at 116.5, which faces low's glass. Past main's open end the way
    goes on beside low alone, over low's drop."""
    low = turned(rectangle(100, 150), 0.0, (200.0, 0.0))
    layout = beside(low=low, edges=(edge(2, "open"),), infill="glass")
    assert told(layout) == [(POSTS, 48.0), (INFILL, 48.0)]


def test_the_way_goes_on_round_a_corner() -> None:
    """Low lies round main's corner at (200, 120), as far as x = 100. Its post at the end there, at
    103.5, faces a picket: main's nearest is at 132.1875, two thirds of the 193 from 3.5 to 196.5.
    Along the first edge low's post at y = 3.5, two thirds of the 180 from its inner corner's at
    123.5 to -56.5, faces main's at (196.5, 3.5)."""
    low = [(200, -60), (300, -60), (300, 180), (100, 180), (100, 120), (200, 120)]
    layout = beside(low=low, openings=(GATE,))
    assert told(layout) == [(POSTS, 48.0), (INFILL, 48.0)]


def test_the_way_goes_on_round_two_corners() -> None:
    """Low lies along three edges of main, to (0, 40) on the last, and the gaps are the same
    wherever its corners are counted from. Its end post at (-3.5, 43.5) is past main's post at 60,
    half-way from 116.5 to 3.5, and so faces glass; but to come there one passes between two posts
    at x = 100, half-way along the second edge: from 3.5 to 196.5, and from -3.5 to 203.5."""
    low = [(0, 120), (200, 120), (200, 0), (300, 0), (300, 220), (-100, 220), (-100, 40), (0, 40)]
    for first in range(len(low)):
        layout = beside(low=[*low[first:], *low[:first]], openings=(GATE,), infill="glass")
        assert told(layout) == [(POSTS, 48.0)] * 2


@pytest.mark.parametrize(
    ("guards", "found"), [(("left", "right"), 0), (("left",), 2), (("right",), 2), ((), 2)]
)
def test_nobody_comes_in_beside_a_flight_that_is_guarded(
    guards: tuple[Any, ...], found: int
) -> None:
    """A flight goes from main 21 down to low, through a passage in low's guard that is as wide.
    Only where both its sides are guarded does nobody get in beside it."""
    flight = stair(21.0, 3, 10.5, guards=guards, to_level="low")
    passage = opening(3, DEEP - 76, 36, "passage", "p")
    layout = beside(
        drop=27.0, openings=(opening(1, 40, 36),), low_parts={"openings": (passage,)},
        stairs=(flight,),
    )  # fmt: skip
    assert len(told(layout)) == found


SIDE = ((200.0, DEEP), (300.0, DEEP), (300.0, 200.0), (200.0, 200.0))


def to_a_third(
    *,
    passage: bool = True,
    side: Sequence[Point] = SIDE,
    side_edges: Sequence[Any] = (edge(0, open_end="edge"), edge(3, "open")),
    drop: Length = 42.0,
    angle: float = 0.0,
) -> Layout:
    """The layout of a deck of 200 by 120, 48 up, with low, 36 up, beyond its edge 2 at y = 120. Low
    is open along x = 200 to a third level, `side`.

    Main and low have walls at x = 0. passage: whether main has one into the way between the two.
    """
    place = (3.0 * angle, -1.7 * angle)
    openings = (opening(2, 60, 36, "passage"),) if passage else ()
    outline = turned(rectangle(200, DEEP), angle, place)
    made = builders.deck(outline, edges=walls(3), openings=openings)
    levels = [replace(made.levels[0], drops=Drops(48.0))]
    over = turned(turned(rectangle(200, 80), 0.0, (0.0, DEEP)), angle, place)
    edges = (edge(0, open_end="edge"), edge(1, "open"), *walls(3))
    low = Level("low", Corners(over, "/levels/1/outline"), "/levels/1", Drops(36.0), edges=edges)
    third = Corners(turned(side, angle, place), "/levels/2/outline")
    last = Level("side", third, "/levels/2", Drops(drop), edges=tuple(side_edges))
    return lay_out(replace(made, levels=(*levels, low, last)), SURFACE, None)


@pytest.mark.parametrize("angle", [0, 30, 77, 135, 210, 301])
def test_the_way_ends_where_one_level_is_open_to_a_third(angle: float) -> None:
    """Main's corner post at (196.5, 116.5) and low's end post at (197.75, 123.5) overlap along the
    way, 4.75 apart across it. Past them main's corner post is 4.75 by 202.25 - 196.5 - 2.25 = 3.5
    off the end post of side, which is more. Over main's edge there are 48, over side's 42 or, where
    that is higher, 60. At the house nobody gets out. Without the passage nobody comes in: the end
    posts of low and side are 2.25 apart."""
    assert told(to_a_third(angle=angle)) == [(POSTS, 48.0)]
    assert told(to_a_third(angle=angle, drop=60.0)) == [(POSTS, 60.0)]
    assert told(to_a_third(angle=angle, passage=False)) == []


def test_a_wall_of_the_third_level_makes_the_end_less() -> None:
    """It begins at (200, 120), and the corner of main's post is 3.5 - 1.125 = 2.375 off it both
    ways, less than the 4.75 to low's post. No obstruction parts the way: without any it is the same
    lesser gap."""
    layout = to_a_third(side_edges=(edge(0, "wall"), edge(3, "open")))
    assert told(layout) == [(round(2.375 * math.sqrt(2), 5), 48.0)]
    (along,) = [gap for gap in layout.gaps if gap.kind == "along"]
    assert along.whole == pytest.approx(along.width)


def test_a_third_level_whose_guards_are_out_of_reach_closes_nothing() -> None:
    """Side stands 37 over main, whose guards are 36 high. The way ends at the corner all the same,
    over the 48 of main's edge and not the 85 of side's."""
    assert told(to_a_third(drop=85.0)) == [(POSTS, 48.0)]


def test_a_level_that_only_touches_the_corner_is_no_third_one() -> None:
    """A square stands on its corner at (200, 120), its sides at 45 degrees. An inch along low's
    open edge or main's edge 1 it is 0.707 off, more than the quarter of an inch that levels may lie
    apart, so low is open to the ground there. People come into the way past low's end; nobody
    leaves it there, and no railing of the square makes that end less."""
    square = turned(rectangle(100, 100), -45.0, (200.0, DEEP))
    assert told(to_a_third(side=square, side_edges=())) == []


def test_round_the_corner_the_way_goes_on_beside_the_third_level() -> None:
    """Side lies along main's edge 1, too, and its railing there begins at low's open edge. People
    who come from there, or by the passage, get out at (200, 0), between the corner posts."""
    side = ((200, 0), (300, 0), (300, 200), (200, 200), (200, 120))
    layout = to_a_third(side=side, side_edges=(edge(3, "open"), edge(4, open_end="edge")))
    assert told(layout) == [(POSTS, 48.0)]


def test_the_narrowest_of_the_way_to_an_end_is_told() -> None:
    """Low goes from y = 20 to 100, its glass in two bays with a post at 60, half-way from 23.5 to
    96.5. The jambs of main's gate, 24 wide from 61.125, stand at 60 and 86.25, so whoever goes down
    the way passes between two posts before low's end post at 23.5, which faces glass. Up the way
    the jamb at 86.25 and low's end post at 96.5 face glass; the two posts at 60 lie behind."""
    low = turned(rectangle(100, 80), 0.0, (200.0, 20.0))
    gate = opening(1, 61.125, 24, "gate")
    layout = beside(low=low, drop=40.0, openings=(gate,), infill="glass")
    assert told(layout) == [(POSTS, 48.0), (INFILL, 48.0)]
    places = {post.id: post.at for post in layout.posts}
    found = {gap.width: gap.where for gap in layout.gaps if gap.kind == "along"}
    assert [places[post] for post in found[POSTS]] == [(203.5, 60.0), (196.5, 60.0)]


def test_the_narrowest_counts_from_the_last_place_where_somebody_comes_in() -> None:
    """As above, with a second gate of main's, 12 wide from 32: its jambs at 30.875 and 45.125 face
    glass, and whoever comes in by it does not pass between the posts at 60 on the way down."""
    low = turned(rectangle(100, 80), 0.0, (200.0, 20.0))
    gates = opening(1, 61.125, 24, "gate"), opening(1, 32, 12, "gate", "q")
    layout = beside(low=low, drop=40.0, openings=gates, infill="glass")
    assert told(layout) == [(INFILL, 48.0)] * 2


def test_of_two_gates_that_by_which_more_gets_out_counts() -> None:
    """Both levels have a gate, main from y = 78.25 to 102.25 and low from 34 to 76, with jambs at
    77.125 and 103.375, and at 32.875 and 77.125. Main's other posts there lie at 3.5 and half-way,
    40.3125.

    Down the way, who comes by main's gate passes between the two jambs at 77.125, which are 4.75
    apart; who comes by low's, between its jamb or its end post at 23.5 and main's glass, 5.875. Up
    the way it is 4.75 for those who come by low's gate, and for the others the way from low's end
    post, whose face is at 97.625, to main's jamb at 102.25: hypot(4.75, 4.625) = 6.62971. No
    obstruction parts the way, so as much is open without any.
    """
    low = turned(rectangle(100, 80), 0.0, (200.0, 20.0))
    gates = opening(1, 78.25, 24, "gate"), opening(3, 24, 42, "gate")
    layout = beside(
        low=low, drop=40.0, low_parts={"openings": gates[1:]}, openings=gates[:1], infill="glass"
    )
    (along,) = [gap for gap in layout.gaps if gap.kind == "along"]
    assert (along.width, along.whole) == pytest.approx((INFILL, INFILL))


def test_an_obstruction_in_the_way_makes_it_narrower() -> None:
    """A pipe 3 wide stands on the edge at y = 45, far from the gate at 61.125 and from low's end at
    23.5. It is 3.5 - 1.5 = 2 off the glass of either level. Where its height is not given, the way
    is 2 wide with it and 4.75 without it, between the posts at 60."""
    low = turned(rectangle(100, 80), 0.0, (200.0, 20.0))
    gate, pipe = opening(1, 61.125, 24, "gate"), builders.block(200, 45, 3)
    for height, expected in ((None, (2.0, POSTS)), (96.0, (2.0, 2.0)), (10.0, (POSTS, POSTS))):
        pipes = (replace(pipe, height=height),)
        layout = beside(low=low, drop=40.0, openings=(gate,), obstructions=pipes, infill="glass")
        gaps = [(gap.width, gap.whole) for gap in layout.gaps if gap.kind == "along"]
        assert sorted(gaps) == [expected, (INFILL, INFILL)]


@pytest.mark.parametrize("clockwise", [False, True])
def test_people_come_in_by_a_stretch_too_small_to_rail(clockwise: bool) -> None:
    """Low is a gangway 14.25 wide, from y = 40. Its two posts along x = 200 stand 3.5 in from its
    sides, 14.25 - 7 = 7.25 apart, which leaves 7.25 - 2.25 = 5 between them, less than the least
    bay of 6. Main's posts are at y = 3.5, 60 and 116.5, so that both face its glass, 5.875 off. A
    sphere of 5 gets in, and out past either post. Where the gangway is 15.2 wide, 5.95 is open
    between the posts, and what is past them is the lesser. From 20 on there is a bay."""
    for wide, found in ((14.25, [5.0] * 2), (15.2, [INFILL] * 2), (20.0, [])):
        low = turned(rectangle(100, wide), 0.0, (200.0, 40.0))
        layout = beside(low=low, drop=40.0, infill="glass", clockwise=clockwise)
        assert told(layout) == [(width, 48.0) for width in found]


def test_the_lesser_of_a_gap_and_a_stretch_too_small_to_rail() -> None:
    """Without the column that parts it into ways of 3 a gap is 10 wide. By a stretch of 8 no more
    than 8 gets in to it; by one of 2 no more than 2, column or not."""
    gap = GapSeen("along", ("P1", "P2"), 3.0, Drops(48.0), 10.0, ("column",))
    wide, narrow = (WayIn((40.0, 40.0 + width), width, ("P3", "P4")) for width in (8.0, 2.0))
    assert wide.lesser(gap) == GapSeen("along", ("P1", "P2"), 3.0, Drops(48.0), 8.0, ("column",))
    assert narrow.lesser(gap) == GapSeen("along", ("P3", "P4"), 2.0, Drops(48.0), 2.0)


def test_by_a_gate_past_a_stretch_too_small_to_rail_more_gets_out() -> None:
    """Low goes from y = 20 to 100. From the face of its end post at 24.625 to a column, from 30 to
    32 and as deep as a post, there are 5.375, less than the least bay of 6. Who comes by that gets
    out at the lower end by no more. By low's gate, from 50 to 86, people come past column and post,
    which face main's glass, 5.875 off; its jambs at 48.875 and 87.125 stand clear of main's posts
    at 3.5, 60 and 116.5, and so does the upper end post."""
    low = turned(rectangle(100, 80), 0.0, (200.0, 20.0))
    column = replace(builders.block(203.5, 31.0, 2.25, 2.0), height=96.0)
    gate = opening(3, 14, 36, "gate")
    parts = {"obstructions": (column,)}
    without = beside(low=low, drop=40.0, infill="glass", low_parts=parts)
    assert (5.375, 48.0) in told(without)
    layout = beside(low=low, drop=40.0, infill="glass", low_parts={**parts, "openings": (gate,)})
    assert told(layout) == [(INFILL, 48.0)] * 2


def test_beside_a_stretch_too_small_to_rail_people_come_in_by_a_third_levels_passage() -> None:
    """The gangway as above, 14.25 wide, and beside it from y = 54.25 to 120 a third level with a
    passage into the way along main. By that people come to the gangway's post at y = 43.5, too, and
    past it, where 5.875 is open to main's glass, whatever the 5 between its posts lets in."""
    deck = builders.deck(rectangle(200, DEEP), infill="glass")
    low = Corners(turned(rectangle(100, 14.25), 0.0, (200.0, 40.0)), "/levels/1/outline")
    beyond = Corners(turned(rectangle(100, 65.75), 0.0, (200.0, 54.25)), "/levels/2/outline")
    third = Level(
        "third", beyond, "/levels/2", Drops(40.0), openings=(opening(3, 15, 36, "passage"),)
    )
    levels = (*deck.levels, Level("low", low, "/levels/1", Drops(40.0)), third)
    layout = lay_out(replace(deck, levels=levels), SURFACE, None)
    places = {post.id: post.at for post in layout.posts}
    along = [gap for gap in layout.gaps if gap.kind == "along"]
    ends = [gap.width for gap in along if places[gap.where[0]] == (203.5, 43.5)]
    assert ends == [INFILL]


def test_where_no_such_way_is() -> None:
    """Guards of which one stands over 36 higher are out of reach of each other; a level that stands
    an inch off is not along the edge; a fascia's railings hang outside their decks."""
    assert told(beside(openings=(GATE,), drop=11.0)) == []
    assert told(beside(openings=(GATE,), low=turned(rectangle(100, DEEP), 0.0, (201.0, 0)))) == []
    assert told(beside(openings=(GATE,), kit=FASCIA)) == []


def test_the_way_leads_on_to_an_end_where_the_levels_part() -> None:
    """The other level's edge leaves x = 200 by 0.4 over its 120, so by 0.12 at a gate from 0 to 36,
    which people step through as on one floor, and by 0.39 where the way ends at the top.

    Beside the lower corner the faces of the posts are at 197.625 and, moved by 3.5 * 0.4 / 120 =
    0.012 and turned by 0.0033 * 1.125 = 0.004, at 202.375 + 0.012 - 0.004: 4.758 apart. At the top
    the latter is 0.4 - 0.012 - 0.012 further off: 0.377 more, 5.135. A sphere of 4 gets out at both
    ends, and the 0.4 between the decks does not hold it up.
    """
    low = ((200.0, 0.0), (300.0, 0.0), (300.0, DEEP), (200.4, DEEP))
    layout = beside(low=low, openings=(opening(1, 0.0, 36.0, "gate"),))
    assert [width for width, _ in told(layout)] == pytest.approx([4.758, 5.135], abs=2e-3)


@pytest.mark.parametrize("deep", [2, 3])
def test_of_two_rails_that_are_equally_near_the_first_is_named_however_the_deck_is_turned(
    deep: int,
) -> None:
    """A second level fills the inner corner at (120, 96), with an open edge along x = 120.

    The railing along its edge 0 ends there in a post, 3.5 in from both edges: at (123.5, 99.5). The
    first deck's glass lies along y = 92.5 (run R1) and along x = 116.5 (run R2), 7 - 1.125 = 5.875
    from the post in both; the post of its corner, 4.75 off both ways, is 6.72 away. The two rails
    are as near to the corner as well, so the last bits of turned coordinates would decide. The drop
    is the deeper one of what is said of the two edges, 48 and, of a floor as high, 0.
    """
    outline = ((0, 0), (240, 0), (240, 96), (120, 96), (120, 168), (0, 168))
    beyond = ((120, 96), (240, 96), (240, 168), (120, 168))
    bare = tuple(edge(number, "open") for number in (0, 1, 4, 5))
    said = edge(deep, drops=Drops(48.0)), edge(5 - deep, drops=Drops(0.0))
    names = set()
    for angle in range(0, 360, 5):
        place = (17.0 * angle, -3.3)
        made = builders.deck(turned(outline, angle, place), infill="glass", edges=bare + said)
        corners = Corners(turned(beyond, angle, place), "/levels/1/outline")
        open_edges = tuple(edge(number, "open") for number in (1, 2, 3))
        other = Level("other", corners, "/levels/1", Drops(48.0), edges=open_edges)
        main = replace(made.levels[0], drops=Drops(48.0))
        gaps = lay_out(replace(made, levels=(main, other)), SURFACE, None).gaps
        found = [gap for gap in gaps if gap.kind == "joint" and "R" in "".join(gap.where)]
        assert [(round(gap.width, 5), gap.drops.drop) for gap in found] == [(5.875, 48.0)]
        names |= {gap.where[1] for gap in found}
    assert names == {"R1"}
