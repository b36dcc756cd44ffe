"""What is open at a corner where two levels meet a third, worked by hand.

Left lies below y = 50 and right beyond x = 160, so that they meet at (160, 50) alone; low lies
above left and before right, in the corner between them. Posts are 2.25 wide on lines 3.5 in.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest

from service.core.engine import lay_out
from service.core.measure import Length, Point
from service.core.records.deck import Corners, Drops, Edge, Level
from tests.core import builders
from tests.core.builders import edge
from tests.core.sloping import SURFACE

LEFT, LOW, BEYOND = (
    ((left, bottom), (right, bottom), (right, top), (left, top))
    for left, bottom, right, top in (
        (60.0, 0.0, 160.0, 50.0),
        (60.0, 50.0, 160.0, 120.0),
        (160.0, 50.0, 240.0, 120.0),
    )
)
OPEN, SECOND = edge(0, "open"), edge(1, "open")
RIGHT = Level(
    "right",
    Corners(BEYOND, "/levels/2"),
    "/levels/2",
    Drops(68.0),
    edges=(edge(0, open_end="edge"), edge(2, open_end="edge"), edge(3, "open")),
)


def round_the_corner(
    low: Sequence[Point] = LOW,
    first: Edge = OPEN,
    second: Edge = SECOND,
    drop: Length = 52.0,
    right: Level = RIGHT,
) -> list[Length]:
    """The widths of the gaps past a third level. first, second: low's edges along left and right.
    drop: of low. right: the level past it."""
    deck = builders.deck(LEFT, edges=(edge(1, open_end="edge"), edge(2, "open"), edge(3, "wall")))
    left = replace(deck.levels[0], drops=Drops(60.0))
    ends = second, edge(2, open_end="edge"), edge(3, "wall")
    others = (
        Level(
            "low", Corners(tuple(low), "/levels/1"), "/levels/1", Drops(drop), edges=(first, *ends)
        ),
        right,
    )
    layout = lay_out(replace(deck, levels=(left, *others)), SURFACE, None)
    return [gap.width for gap in layout.gaps if gap.kind == "joint_third"]


def test_past_a_third_level_that_is_open_to_both() -> None:
    """Left's end post is at (156.5, 47.75) and right's at (162.25, 53.5): 5.75 - 2.25 = 3.5 apart
    both ways."""
    assert round_the_corner() == [pytest.approx(3.5 * math.sqrt(2))]


def test_a_wall_of_the_third_level_closes_the_corner() -> None:
    """Along left low, which is 4 higher, has a wall that ends at the corner: nobody gets past it to
    left's post."""
    assert round_the_corner(first=edge(0, "wall"), drop=64.0) == []


@pytest.mark.parametrize(
    ("first", "second"),
    [(edge(0, "wall"), SECOND), (OPEN, edge(1, "wall")), (edge(0, "wall"), edge(1, "wall"))],
)
def test_a_wall_of_a_lower_third_level_may_be_the_face_below_a_deck(
    first: Edge, second: Edge
) -> None:
    """Low is 8 lower than left and 16 lower than right. Its walls along these may be no more than
    the faces below the two decks, from which people walk out over them to the corner: between the
    posts there it is 3.5 both ways, as without a wall."""
    assert round_the_corner(first=first, second=second) == [pytest.approx(3.5 * math.sqrt(2))]


def test_a_wall_of_a_third_level_between_two_heights() -> None:
    """Low is 4 higher than left and 4 lower than right: its wall along right may be the face below
    right's deck, and right's edge is open over it."""
    found = round_the_corner(second=edge(1, "wall"), drop=64.0)
    assert found == [pytest.approx(3.5 * math.sqrt(2))]


def test_what_does_not_lie_at_the_corner_opens_no_way_past_it() -> None:
    """Low lies 100 further up, and left's and right's open edges lead to the ground."""
    assert round_the_corner(low=[(x, y + 100.0) for x, y in LOW]) == []


@pytest.mark.parametrize(("drop", "found"), [(103.0, 1), (104.0, 0), (105.0, 0)])
def test_a_third_level_as_high_as_the_guards_opens_no_way(drop: Length, found: int) -> None:
    """Guards are 36 high: left's top is at 60 + 36 = 96 and right's at 68 + 36 = 104. Low's face,
    when it is as high as both, closes what is open past their posts; from 96 on, it does for who
    comes from left, and from right one still gets over it."""
    assert len(round_the_corner(drop=drop)) == found


def test_along_a_common_edge_the_way_is_another() -> None:
    """Right lies beside left's edge 1, too, and the way to right's post is that between the two
    railings there, on lines 7 apart."""
    corners = ((160.0, 0.0), (240.0, 0.0), (240.0, 120.0), (160.0, 120.0), (160.0, 50.0))
    sides = edge(2, open_end="edge"), edge(3, "open"), edge(4, open_end="edge")
    right = replace(RIGHT, outline=Corners(corners, "/levels/2"), edges=sides)
    assert round_the_corner(right=right) == []
