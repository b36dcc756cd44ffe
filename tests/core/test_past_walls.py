"""What is open past a wall that ends beside an open edge, to another level's railing, by hand.

High is 120 by 100, open along y = 0 and with walls elsewhere; low lies along that edge, guarded.
Posts are 2.25 wide, 6 in from the edges. From the corner of low, which is a wall's end, to the
nearest corner of the post there are 6 - 1.125 = 4.875 along both edges.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest

from service.core.engine import lay_out
from service.core.measure import Degrees, Length, Point
from service.core.records.deck import Corners, Drops, Edge, Level, Opening
from service.core.records.kit import Kit
from tests.core import builders
from tests.core.builders import edge, walls
from tests.core.sloping import FASCIA, SURFACE

SIX_IN = builders.with_post(SURFACE, setback=6.0)
HIGH = builders.rectangle(120, 100)
LOW = ((0.0, -100.0), (120.0, -100.0), (120.0, 0.0), (0.0, 0.0))
WIDER = ((-66.0, -100.0), (126.0, -100.0), (126.0, 0.0), (-66.0, 0.0))
ROUND = ((0.0, 0.0), (120.0, 0.0), (120.0, 100.0), (-50.0, 100.0), (-50.0, -40.0), (0.0, -40.0))
"""High comes down beside low: its edge 5, from (0, -40) to (0, 0), runs along low's."""
TO_THE_POST = round(4.875 * math.sqrt(2), 6)


def past_walls(
    low: Sequence[Point] = LOW,
    edges: Sequence[Edge] = (),
    *,
    high: Sequence[Point] = HIGH,
    drops: tuple[Length, Length] = (54.0, 48.0),
    openings: Sequence[Opening] = (),
    turn: Degrees = 0.0,
    kit: Kit = SIX_IN,
) -> list[tuple[Length, Length | None]]:
    """Width and drop of each gap between a railing and another level's wall.

    edges, openings: of low. drops: of high and of low. turn: of the whole deck.
    """
    around = edge(0, "open"), *walls(*range(1, len(high)))
    deck = builders.deck(builders.turned(high, turn), edges=around)
    corners = Corners(builders.turned(low, turn), "/levels/1/outline")
    below = Level("low", corners, "/levels/1", Drops(drops[1]), edges=tuple(edges))
    below = replace(below, openings=tuple(openings))
    above = replace(deck.levels[0], drops=Drops(drops[0]))
    layout = lay_out(replace(deck, levels=(above, below)), kit, None)
    gaps = [gap for gap in layout.gaps if gap.kind == "joint_wall"]
    return [(round(gap.width, 6), gap.drops.drop) for gap in gaps]


@pytest.mark.parametrize("turn", [0.0, 90.0, 37.0])
def test_past_the_walls_at_both_ends_of_an_open_edge(turn: Degrees) -> None:
    """Past both a sphere comes to the strip of low outside its guard, 48 over the ground."""
    assert past_walls(turn=turn) == [(TO_THE_POST, 48.0)] * 2


def test_a_wall_of_low_that_goes_on_closes_the_corner() -> None:
    """The next edges of low are walls, which begin where those of high end."""
    assert past_walls(edges=walls(1, 3)) == []


@pytest.mark.parametrize(("high", "found"), [(83.0, 2), (84.0, 0), (13.0, 2), (12.0, 0)])
def test_guards_that_do_not_overlap_in_height_leave_no_gap(high: Length, found: int) -> None:
    """The guards are 36 high: over steps of 35 up or down they overlap, over 36 they do not."""
    assert len(past_walls(drops=(high, 48.0))) == found


@pytest.mark.parametrize("turn", [0.0, 37.0])
def test_a_line_that_ends_there_is_looked_at_from_its_end_alone(turn: Degrees) -> None:
    """Along high low is open, too, and the posts that end its guards beside that edge stand where
    the corner posts would: each gap is seen once."""
    assert past_walls(edges=[edge(2, "open")], turn=turn) == [(TO_THE_POST, 48.0)] * 2


def test_a_wall_along_the_next_edge_of_low() -> None:
    """The wall of high comes down along low's next edge. The corner post stands 4.875 off it, by
    which a sphere gets along that wall and out past its end. Where high is the lower level, that
    wall may be no more than the face below low's deck, and only its end counts."""
    right = walls(1)
    assert past_walls(edges=right, high=ROUND) == [(4.875, 48.0)]
    assert past_walls(edges=right, high=ROUND, drops=(42.0, 48.0)) == [(TO_THE_POST, 48.0)]


def test_a_railing_that_goes_on_past_the_wall() -> None:
    """Low goes on by 66 and by 6, and its line along high from x = -60 to 120: 180 in three bays of
    60, with posts at 0 and 120, straight over the walls' ends and 4.875 off them. Where low has an
    opening from x = 20 to -20, what lies past the posts beside that is another gap."""
    assert past_walls(WIDER) == [(4.875, 48.0)] * 2
    opening = builders.opening(2, 106, 40, "passage")
    assert past_walls(WIDER, openings=[opening]) == [(4.875, 48.0)]


def test_what_is_left_past_the_wall_is_none_where_levels_still_meet() -> None:
    """Levels meet up to 1/4 in apart: low goes on by 0.2, to a wall."""
    low = ((-0.2, -100.0), *LOW[1:3], (-0.2, 0.0))
    assert past_walls(low, walls(1, 3)) == []


@pytest.mark.parametrize(
    ("under", "width"),
    [(1.0, math.hypot(4.875, 3.875)), (3.0, math.hypot(4.875, 1.875)), (5.0, 4.875), (50.0, 4.875)],
)
def test_a_level_that_goes_on_beneath_the_open_edge(under: Length, width: Length) -> None:
    """Low goes on by so much beneath high, and so much nearer to the walls' ends its corner posts
    stand: by 5 they are beside them, and by 50 the rails of its sides are. Whoever goes over high's
    edge beside a wall's end stands outside low's guard."""
    low = (*LOW[:2], (120.0, under), (0.0, under))
    assert past_walls(low) == [(round(width, 6), 48.0)] * 2
    assert past_walls(low, walls(1, 3)) == []


@pytest.mark.parametrize("left", [1.0, 3.0])
def test_no_more_passes_than_is_left_of_the_edge_past_the_wall(left: Length) -> None:
    """Low goes on by so much, to a wall that closes its railing in: as much is left to get off."""
    low = (*LOW[:2], (120.0, 0.0), (-left, 0.0))
    assert past_walls(((-left, -100.0), *low[1:]), walls(1, 3)) == [(left, 48.0)]


def test_a_line_that_begins_past_the_wall() -> None:
    """Along high low is open, and its guard in line with that, from x = 0 to -66, begins with an
    end post past the wall of high: the gap is seen from there alone."""
    low = (*WIDER[:2], (120.0, 0.0), (0.0, 0.0), WIDER[3])
    assert len(past_walls(low, [*walls(1), edge(2, "open")])) == 1


def test_a_level_that_does_not_reach_the_wall() -> None:
    """Low begins at x = 3: from there to the wall's end the open edge of high has its own drop."""
    low = ((3.0, -100.0), *LOW[1:3], (3.0, 0.0))
    assert past_walls(low, walls(1)) == []


def test_no_such_gap_with_a_fascia_kit() -> None:
    """A fascia's railings hang off the deck, and nobody stands outside them."""
    assert past_walls(kit=FASCIA) == []
