"""Openings: where their clear width lies in plan, and how a leaf turns in it, worked by hand.

The kit's railing line lies 3.5 in from the edge and its posts are 2.25 wide; a leaf hangs 0.75 off
the face of its post or wall.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from service.core.measure import Point
from service.core.problems import Unbuildable
from service.core.records.layout import Layout, OpeningBuilt
from tests.core import builders
from tests.core.builders import laid, opening, rectangle, walls
from tests.core.sloping import SURFACE


def _only(layout: Layout) -> OpeningBuilt:
    (built,) = layout.openings
    return built


def _at(*points: Point) -> tuple[object, ...]:
    return tuple(pytest.approx(point, abs=1e-4) for point in points)


def test_posts_stand_flush_with_what_was_asked() -> None:
    """An opening of 42 from 72 has its ends at 72 and 114, counter-clockwise, for an outline given
    in either direction."""
    outline = rectangle(240, 144)
    built = _only(laid(outline, SURFACE, openings=(opening(0, 72, 42),)))
    assert built.ends == _at((72, 3.5), (114, 3.5))
    # Clockwise the same edge is the third, from (240, 0): 240 - 114 = 126.
    built = _only(laid(outline[::-1], SURFACE, openings=(opening(2, 126, 42),)))
    assert built.ends == _at((72, 3.5), (114, 3.5))


def test_a_wall_within_a_posts_width_is_the_jamb() -> None:
    """An opening that begins or ends within a post's width, 2.25, of a wall is clear as far as the
    wall.

    44 from 2 between walls at 0 and 48 is clear from one wall to the other. With a wall at 0 alone
    the other end is flush with 2 + 44.
    """
    both = _only(laid(rectangle(48, 96), SURFACE, edges=walls(1, 3), openings=(opening(0, 2, 44),)))
    assert (both.start, both.end, both.clear_width) == (None, None, 48)
    assert both.ends == _at((0, 3.5), (48, 3.5))
    one = _only(laid(rectangle(120, 96), SURFACE, edges=walls(3), openings=(opening(0, 2, 44),)))
    assert (one.start, one.clear_width) == (None, 46)
    assert one.ends == _at((0, 3.5), (46, 3.5))


def test_the_edge_that_an_oblique_corners_post_turns_to_it_is_its_end() -> None:
    """Beside an oblique corner's post, an opening ends at that corner of the post which is nearest
    to it.

    The post stands at 200 - 3.5 tan 22.5 = 198.5503, turned 22.5 degrees: its own corner toward the
    opening lies 1.125 sqrt 2 cos 22.5 = 1.4699 before that, at 197.0804.
    """
    outline = ((0, 0), (200, 0), (242.426, 42.426), (242.426, 144), (0, 144))
    hole = opening(0, 161.2326, 36.2)
    built = _only(laid(outline, SURFACE, edges=walls(3), openings=(hole,)))
    assert built.ends == _at((161.2326, 3.5), (197.0804, 3.5))
    assert math.dist(*built.ends) == pytest.approx(built.clear_width)


def test_between_two_turned_posts_the_clear_width_is_square_to_the_way() -> None:
    """Between two turned posts the clear width is measured square to the way through.

    Edge 1, 42 long, comes from a turn of -45 degrees and goes into one of 45. Both posts are turned
    22.5 degrees and stand 3.5 tan 22.5 = 1.44975 before their corners: at -1.44975 and 40.55025.
    The corners that they turn to each other lie 1.125 sqrt 2 = 1.59099 off their centres: cos 22.5
    of it, 1.46988, along the line, and sin 22.5, 0.60885, before it and behind it. So 42 - 2 *
    1.46988 = 39.06023 stay clear square to the way, from 0.02014 to 39.08037; from corner to
    corner, askew, it would be 39.0792.
    """
    outline = ((-100, -100), (0, 0), (42, 0), (142, 100), (-100, 100))
    built = _only(laid(outline, SURFACE, edges=walls(3, 4), openings=(opening(1, 2, 37),)))
    assert built.clear_width == pytest.approx(39.06023, abs=1e-5)
    assert built.ends == _at((0.02014, 3.5), (39.08037, 3.5))


@pytest.mark.parametrize("width", [0.5, 1.5, 1.9])
def test_between_two_turned_posts_that_leave_no_way_it_is_told_what_they_take(width: float) -> None:
    """An opening that two turned posts leave no width is refused, and the message says how much
    they take up.

    The same deck with an edge 1 longer than the opening by 1, and the opening 0.5 from its start:
    the second post's corner is at width + 1 - 1.44975 - 1.46988, so that width + 1 - 2.91963 -
    0.02014 is left, 1.93977 less than asked. At 0.5 the faces, too, have passed each other.
    """
    outline = ((-100, -100), (0, 0), (width + 1, 0), (width + 101, 100), (-100, 100))
    with pytest.raises(Unbuildable) as refused:
        laid(outline, SURFACE, edges=walls(3, 4), openings=(opening(1, 0.5, width),))
    (problem,) = refused.value.problems
    assert problem.code == "opening_without_width"
    assert f"is {width} in wide, and the posts beside it take up 1.9398 in" in problem.message


def test_on_a_bow_the_ends_lie_between_the_posts() -> None:
    """On a bow the ends of an opening lie on the straight line between its posts.

    Chord 200 and rise 50: radius (100² + 50²) / 100 = 125 about (100, 75), the line's 121.5.

    From 20 before the middle of the edge's arc of 2 * 125 asin(100/125), the near face lies 20/125
    = 0.16 before the middle, and its post half its width, 1.125, further. The posts' corners toward
    the centre leave 40 clear: 2 (121.5 - 1.125) sin h - 2 * 1.125 cos h, where h is half the angle
    between the posts. The line from post to post lies 121.5 cos h off the centre; the ends lie 20
    to either side of its middle.
    """
    arc = 2 * 125 * math.asin(100 / 125)
    hole = opening(0, arc / 2 - 20, 40)
    bowed = builders.edge(0, arc_rise=50)
    layout = laid(rectangle(200, 144), SURFACE, edges=(bowed, *walls(2)), openings=(hole,))
    built = _only(layout)
    h = math.asin(20 / math.hypot(120.375, 1.125)) + math.atan(1.125 / 120.375)
    c, s = math.cos(h - 0.16 - 1.125 / 121.5), math.sin(h - 0.16 - 1.125 / 121.5)
    x, y = 100 + 121.5 * math.cos(h) * s, 75 - 121.5 * math.cos(h) * c
    assert built.ends == _at((x - 20 * c, y - 20 * s), (x + 20 * c, y + 20 * s))
    assert built.clear_width == pytest.approx(40)


@pytest.mark.parametrize(
    ("hinge", "opens", "pivot", "shut", "into"),
    [
        ("near", "in", (0.75, 3.5), (1, 0), (0, 1)),
        ("far", "in", (47.25, 3.5), (-1, 0), (0, 1)),
        ("near", "out", (0.75, 3.5), (1, 0), (0, -1)),
        ("far", "out", (47.25, 3.5), (-1, 0), (0, -1)),
    ],
)
def test_a_leaf_between_two_walls_turns_about_the_one_asked(
    hinge: Any, opens: Any, pivot: Point, shut: Point, into: Point
) -> None:
    """A leaf between two walls, clear from 0 to 48, turns about the side that `hinge` names, though
    no post holds the hinge."""
    hole = replace(opening(0, 2, 44, "gate"), hinge=hinge, opens=opens)
    (gate,) = laid(rectangle(48, 96), SURFACE, edges=walls(1, 3), openings=(hole,)).gates
    assert (gate.opening.hinge_post, gate.opening.latch_post) == (None, None)
    assert gate.opening.clear_width == 48
    swing = gate.swing
    assert swing.at_start == (hinge == "near")
    assert (swing.pivot, swing.shut, swing.open) == _at(pivot, shut, into)
    # Halfway it lies at 45 degrees.
    part = math.sqrt(0.5) * 10
    x, y = pivot[0] + part * shut[0], pivot[1] + part * into[1]
    assert swing.tip(10.0, 0.5) == pytest.approx((x, y))
