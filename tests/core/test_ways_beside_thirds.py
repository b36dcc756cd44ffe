"""Ways between two levels' railings that third levels lie beside, worked by hand.

Posts are 2.25 wide on lines 3.5 in: across the edge 4.75 are between two posts, and 5.875 from a
post to the glass.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from service.core.engine import lay_out
from service.core.measure import Length
from service.core.records.deck import Corners, Drops, Level
from service.core.records.layout import Layout
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
