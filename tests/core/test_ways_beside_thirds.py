"""Ways between two levels' railings that third levels lie beside, worked by hand.

Posts are 2.25 wide on lines 3.5 in: across the edge 4.75 are between two posts, and 5.875 from a
post to the glass.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from service.core.engine import lay_out
from service.core.measure import Length, Point
from service.core.records.deck import Corners, Drops, Level
from service.core.records.layout import Layout
from service.core.records.seen import GapSeen
from tests.core import builders
from tests.core.builders import edge, opening, rectangle, turned, walls
from tests.core.sloping import SURFACE
from tests.core.test_alongside import DEEP, INFILL, POSTS, told


def with_others(
    opening_from: Length, edges: Sequence[Any], others: dict[str, Any], infill: Any = "picket"
) -> Layout:
    """The layout of main, 200 by 120 and 48 up, walled at x = 0, with other levels beside it.

    opening_from: where main's passage begins, 36 wide, along its edge 2. others: corners, drop and
    edges of each other level by its name.
    """
    way = opening(2, opening_from, 36, "passage")
    made = builders.deck(
        rectangle(200, DEEP), infill=infill, edges=(*edges, *walls(3)), openings=(way,)
    )
    levels = [
        Level(name, Corners(tuple(corners), f"/levels/{i}"), f"/levels/{i}", Drops(drop), edges=own)
        for i, (name, (corners, drop, own)) in enumerate(others.items(), 1)
    ]
    main = replace(made.levels[0], drops=Drops(48.0))
    return lay_out(replace(made, levels=(main, *levels)), SURFACE, None)


def test_where_both_levels_are_open_to_others_nobody_gets_out() -> None:
    """East lies beyond main's open edge, north beyond low's, each with its railing along y = 120.
    Who leaves the way between main and low at (200, 120) comes into the one between these two, and
    gets out of that at (300, 120) alone, between corner posts, over the 44 of east."""
    ends, open_3 = edge(0, open_end="edge"), edge(3, "open")
    low = turned(rectangle(200, 80), 0.0, (0.0, DEEP)), 36.0, (ends, edge(1, "open"), *walls(3))
    east = turned(rectangle(100, DEEP), 0.0, (200.0, 0.0)), 44.0, (edge(2, open_end="edge"), open_3)
    north = turned(rectangle(100, 80), 0.0, (200.0, DEEP)), 40.0, (ends, open_3)
    own = edge(1, "open"), edge(2, open_end="edge")
    layout = with_others(60, own, {"low": low, "east": east, "north": north})
    assert told(layout) == [(POSTS, 44.0)]


def test_where_the_way_goes_on_beside_a_third_level_each_end_is_told_by_itself() -> None:
    """Low goes as far as x = 240, past main, which is open along x = 200 to east. Main's end post
    at x = 197.75 faces low's glass, 5.875 off, and so does east's at 202.25. Low's posts, 59.4
    apart from its wall to its corner's at 236.5, are at 117.7 and 177.1, over 18 off these and off
    main's others at 97.1 and 147.4. Past main's end one falls the 36 of low at x = 240, past
    east's not at all, as main is higher and its wall ends the way. At x = 240 it is 4.75 from
    corner post to corner post, over the 42 of east."""
    low = turned(rectangle(240, 80), 0.0, (0.0, DEEP)), 36.0, walls(3)
    ends = edge(2, open_end="edge"), edge(3, "open")
    east = turned(rectangle(40, DEEP), 0.0, (200.0, 0.0)), 42.0, ends
    own = edge(1, "open"), edge(2, open_end="edge")
    layout = with_others(104, own, {"low": low, "east": east}, "glass")
    assert told(layout) == [(POSTS, 42.0), (INFILL, 0.0), (INFILL, 36.0)]


def beside_a_column(low: Sequence[Point], upper: bool = False, **parts: Any) -> list[GapSeen]:
    """The ends of the ways beside a deck of 200 by 120 with glass, whose edge 1 at x = 200 has
    posts at y = 3.5, 60 and 116.5. In the place of low's railing there, 3.5 in, stands a column
    from y = 30 to 32, as deep as a post. upper: whether a third level lies from y = 90 to 120, with
    a passage from there."""
    deck = builders.deck(rectangle(200, DEEP), infill="glass")
    column = replace(builders.block(203.5, 31.0, 2.25, 2.0), height=96.0)
    levels = [
        *deck.levels,
        Level("low", Corners(tuple(low), "/1"), "/1", Drops(40.0), obstructions=(column,), **parts),
    ]
    if upper:
        third = Corners(turned(rectangle(100, 30), 0.0, (200.0, 90.0)), "/2")
        ways = (opening(3, 7, 16, "passage"),)
        levels.append(Level("third", third, "/2", Drops(40.0), openings=ways))
    layout = lay_out(replace(deck, levels=tuple(levels)), SURFACE, None)
    return [gap for gap in layout.gaps if gap.kind == "along"]


def test_beside_a_gate_those_from_a_third_level_count_no_more() -> None:
    """Low goes from y = 20 to 90. Between its end post's face at 24.625 and the column 5.375 are
    open, less than the least bay of 6, and what gets in there gets out at y = 20, past 5.875 to the
    glass. By its gate from 61.125 on people come no further than the gate's post at 60, 4.75 off
    main's. So 5.375 is told. Who comes by the third level's passage has to pass that post, too."""
    gate = opening(3, 5, 23.875, "gate")
    low = turned(rectangle(100, 70), 0.0, (200.0, 20.0))
    widths = [
        gap.width
        for gap in beside_a_column(low, upper=True, openings=(gate,))
        if "low/edge 3" in gap.where or "P13" in gap.where
    ]
    assert widths == [5.375]


@pytest.mark.parametrize(("corner", "edge"), [(27.0, 3), (40.0, 4)])
def test_a_stretch_too_small_to_rail_is_named_by_the_edge_where_it_begins(
    corner: Length, edge: int
) -> None:
    """Low's edge along x = 200, from y = 80 to 20, is drawn as two. Counter-clockwise the stretch
    goes from the column's face at y = 30 to the end post's at 24.625: at the column it is on edge 3
    where that ends at y = 27, and on edge 4 where that begins at y = 40. The end post is the
    first of low's, after main's twelve. What gets in there gets out at both ends of the way, past
    5.875 to the glass."""
    low = ((200.0, 20.0), (300.0, 20.0), (300.0, 80.0), (200.0, 80.0), (200.0, corner))
    found = [gap.where for gap in beside_a_column(low) if gap.width == 5.375]
    assert found == [(f"low/edge {edge}", "P13")] * 2
