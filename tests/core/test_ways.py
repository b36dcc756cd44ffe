"""What stands in the way of rails and flights, worked by hand.

The kit's posts are 2.25 wide on a line 3.5 in from the edge: a strip as wide as a post reaches to
4.625, a rail 5 wide to 6. A guard of 36 has a top rail 1.75 deep, so from 34.25 up, and a bottom
rail from 2.5 up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from service.core.engine import lay_out
from service.core.measure import Length, Point
from service.core.records.deck import Corners, Drops, Level, Obstruction
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.core.records.seen import WayKind
from service.core.records.strength import Member, Strength
from tests.core import builders
from tests.core.builders import edge, laid, opening, rectangle, walls
from tests.core.sloping import FASCIA, SURFACE, stair


def broad_kit(top: Length | None = 5.0, bottom: Length | None = None) -> Kit:
    """The kit with top and bottom rails of these widths."""
    widths = {"top_rail_picket": top, "bottom_rail_picket": bottom}
    rails = {name: Member("6063", "T6", width=width) for name, width in widths.items()}
    return replace(SURFACE, strength=Strength(None, rails, None, None, (), None, None))


def box(x0: float, y0: float, x1: float, y1: float, height: Length | None = None) -> Obstruction:
    """A column between two opposite corners."""
    column = builders.obstruction([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
    return replace(column, height=height)


def in_rails(layout: Layout) -> list[str]:
    """The runs that something stands in, a run once for each time that it is reported."""
    return [seen.place for seen in layout.ways if seen.kind == "rail" and seen.met]


def from_edge(start: Length, height: Length | None, kit: Kit) -> bool:
    """Whether a column that begins `start` inward of the first edge stands in that edge's rail."""
    column = box(100, start, 104, 20, height)
    found = in_rails(laid(rectangle(240, 144), kit, edges=walls(2), obstructions=(column,)))
    assert len(found) <= 1
    return bool(found)


@pytest.mark.parametrize(
    ("widths", "start", "height", "stands"),
    [
        ((5.0, None), 5.9, None, True),
        ((5.0, None), 6.0, None, False),
        # Over the top rail's foot at 34.25, or under it.
        ((5.0, None), 5.9, 34.3125, True),
        ((5.0, None), 5.9, 34.25, False),
        # Under it in the bottom rail, which is 3 wide: to 3.5 + 1.5 = 5.
        ((5.0, 3.0), 4.9, 30.0, True),
        ((5.0, 3.0), 5.1, 30.0, False),
        # The bottom rail is the broader: what is higher than both stands in it as well.
        ((None, 5.0), 5.9, 30.0, True),
        ((None, 5.0), 5.9, None, True),
        ((3.0, 5.0), 5.9, 40.0, True),
        # Under the bottom rail, which begins 2.5 up.
        ((None, 5.0), 5.9, 2.5, False),
        ((None, 5.0), 5.9, 2.5625, True),
        # No broader than a post.
        ((2.25, None), 4.7, None, False),
    ],
)
def test_beside_the_strip(
    widths: tuple[Length | None, Length | None], start: Length, height: Length | None, stands: bool
) -> None:
    """A column beside the strip stands in a rail broader than a post, if it reaches into that
    rail's depth or over it."""
    assert from_edge(start, height, broad_kit(*widths)) is stands


def test_of_another_level_nothing_is_beside_the_strip() -> None:
    """Obstructions of a level below are not looked at beside a rail, as nothing says that they
    reach up to it."""
    column = box(100, 5.9, 104, 20)
    other = Level(
        "low", Corners(rectangle(240, 144), "/levels/1/outline"), "/levels/1", Drops(8.0),
        edges=tuple(replace(each, condition="open") for each in walls(0, 1, 2, 3)),
        obstructions=(column,),
    )  # fmt: skip
    deck = builders.deck(rectangle(240, 144), edges=walls(2), obstructions=(box(50, 60, 54, 64),))
    layout = lay_out(replace(deck, levels=(*deck.levels, other)), broad_kit(), None)
    assert in_rails(layout) == []


def test_a_rail_between_its_brackets() -> None:
    """A column before a rail's end at a wall counts where it begins more than a post's width before
    the wall.

    The wall is at y = 144; what begins within 2.25 of it belongs to the wall. The rail along x =
    236.5 reaches to 234, and so into the column, which ends at 235.
    """
    for start, told in ((141.0, 1), (141.75, 0)):
        column = box(228, start, 235, 144)
        layout = laid(rectangle(240, 144), broad_kit(), edges=walls(2), obstructions=(column,))
        assert len(in_rails(layout)) == told


def test_a_broad_rail_that_ends_on_a_turned_column() -> None:
    """A rail does not stand in the column that it ends on, however early its breadth meets it.

    The column's faces are 45 degrees off square, x = 110 + y: a strip of 2.25 meets the first of
    them at y = 2.375, a rail 10 broad already at y = -1.5, 3.875 sooner, which is more than a
    post's width. `rail_ends` reports that.
    """
    column = builders.obstruction([(100, -10), (110, -10), (134, 14), (124, 14)])
    kit = broad_kit(10.0)
    layout = laid(rectangle(240, 144), kit, edges=walls(2), obstructions=(column,))
    assert sum("swivel" in bay.ends for bay in layout.bays) == 2
    assert in_rails(layout) == []


@pytest.mark.parametrize(("start", "told"), [(99.8125, 1), (99.9375, 0)])
def test_a_second_column_by_the_one_that_a_broad_rail_ends_on(start: Length, told: int) -> None:
    """The rail along y = 3.5 ends on a column at 100, less an allowance of 1/8, at 99.875. A second
    column beside the strip, from y = 5, is in the breadth of a rail that reaches to y = 6: it
    stands in the rail if it begins before 99.875. The rail does not stand in the first column.
    """
    columns = (box(100, 2, 110, 5), box(start, 5, 108, 20))
    layout = laid(rectangle(240, 144), broad_kit(), edges=walls(2), obstructions=columns)
    assert len(in_rails(layout)) == told


def test_beside_the_last_post() -> None:
    """A rail reaches as far as the middle of its last post, so a column beside that post may stand
    in it.

    The post is at 137.125 along, beside an opening from 96 to 136; the column begins at 137.5.
    """
    column, gate = box(137.5, 5.9, 139.25, 20), opening(0, 96, 40, "passage")
    openings: dict[str, Any] = {"openings": (gate,), "obstructions": (column,)}
    layout = laid(rectangle(240, 144), broad_kit(), edges=walls(2), **openings)
    assert len(in_rails(layout)) == 1


@pytest.mark.parametrize(("width", "told"), [(5.0, 1), (None, 0)])
def test_in_the_breadth_of_a_chord(width: Length | None, told: int) -> None:
    """What stands in the breadth of a bow's chord alone is reported once.

    Edge 0 is bowed by 30 over 180, so of radius (90^2 + 30^2) / 60 = 150 about (90, 120); the line
    has 146.5. Where it meets the lines of edges 1 and 3 it is 86.5 from its middle, asin(86.5 /
    146.5) = 36.19 degrees either way; the middle one of three chords lies 146.5 cos(12.06) = 143.27
    from the centre, at y = -23.27. Half a post beside it is -22.14, half a rail 5 wide -20.77: a
    column from -21.9 stands in the rail alone.
    """
    column = box(88, -21.9, 92, -15)
    bowed = (edge(0, arc_rise=30.0), edge(2, "wall"))
    layout = laid(rectangle(180, 144), broad_kit(width), edges=bowed, obstructions=(column,))
    assert len(in_rails(layout)) == told


def down(
    column: Obstruction, drop: Length | None, *, kit: Kit = SURFACE, **said: Any
) -> tuple[list[WayKind], list[WayKind]]:
    """The parts of a flight that a column of another level stands in, surely and possibly.

    The deck is 96 up. The flight has thirteen risers of 96 / 13 = 7.3846 and treads of 10, down
    from the opening, 96 to 136.
    """
    deck = builders.deck(rectangle(240, 144), edges=walls(2), openings=(opening(0, 96, 40),))
    main = replace(deck.levels[0], drops=Drops(96.0))
    low: Sequence[Point] = ((0, -200), (240, -200), (240, -1), (0, -1))
    other = Level(
        "low", Corners(tuple(low), "/levels/1/outline"), "/levels/1", Drops(drop),
        edges=tuple(replace(each, condition="open") for each in walls(0, 1, 2, 3)),
        obstructions=(column,),
    )  # fmt: skip
    flight = stair(96.0, 13, 10.0, **said)
    layout = lay_out(replace(deck, levels=(main, other), stairs=(flight,)), kit, None)
    met = [seen.kind for seen in layout.ways if column.name in seen.met]
    return met, [seen.kind for seen in layout.ways if column.name in seen.doubtful]


@pytest.mark.parametrize(
    ("drop", "met", "doubtful"),
    [
        (0.0, ["way"], []),
        (96.0, ["way"], []),
        (96.0625, [], ["way"]),
        (None, [], ["way"]),
    ],
    ids=["low", "level", "higher", "no drop"],
)
def test_a_thing_of_another_level_in_the_way_down(
    drop: Length | None, met: list[str], doubtful: list[str]
) -> None:
    """A column of another level is in the way down where its level is no higher than the deck.

    It stands 10 to 30 out, over the second and the third tread, which is 22.154 below the deck: 74
    high, it ends 22 below the deck where its level is 96 lower. Where its level is higher than the
    deck, the column may begin over a person's head, and where no drop is given nobody knows: both
    are doubtful.
    """
    assert down(box(100, -30, 130, -10, 74.0), drop) == (met, doubtful)


@pytest.mark.parametrize(
    ("foot_post", "height", "met"),
    [
        ("ground", 3.0, ["post"]),
        ("tread", 7.375, []),
        ("tread", 7.4375, ["post"]),
    ],
)
def test_a_kerb_in_the_base_of_a_foot_post(foot_post: Any, height: Length, met: list[str]) -> None:
    """A kerb stands in a foot post's base where it reaches above what the base stands on.

    It lies beside the way and the rails, in the bases alone. On the ground the base ends 124.5 out,
    where the line of nosings is 91.94 down: a kerb 3 high ends 93 down, under that line, but not
    under the ground. On the last tread a base stands 12 risers = 88.615 down, under the nosings; 96
    - 7.375 is 88.625.
    """
    column = box(90, -200, 93.5, -1, height)
    assert down(column, 0.0, foot_post=foot_post) == (met, [])


def test_the_turned_post_beside_a_flight_bounds_its_way_and_is_not_in_it() -> None:
    """A fascia's post at a corner of 45 degrees is a jamb of the opening that ends at the corner.

    The lines meet 2.25 tan(22.5) = 0.93198 past the corner, at 160.93198 along the edge. There the
    post, 2.5 wide and turned by 22.5 degrees, reaches 1.25 (cos 22.5 + sin 22.5) = 1.6332 back with
    its edge, to 159.29878, and 1.25 / cos 22.5 = 1.35299 where the line meets its face, to
    159.57899. So its edge reaches over the way down as measured from faces: it makes the clear
    width 39.29878, and is not told as something that stands in the way.
    """
    outline = ((0.0, 0.0), (160.0, 0.0), (240.0, 80.0), (240.0, 200.0), (0.0, 200.0))
    deck = builders.deck(outline, openings=(opening(0, 120.0, 40.0),))
    layout = lay_out(replace(deck, stairs=(stair(49.0, 7, 10.0),)), FASCIA, None)
    assert layout.flights[0].clear_width == pytest.approx(39.29878, abs=1e-5)
    assert [seen.met for seen in layout.ways if seen.kind == "way"] == [()]
