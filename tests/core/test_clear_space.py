"""The clear space between bodies in plan, worked by hand.

The kit's railing line lies 3.5 in from the edge, posts are 2.25 wide, pickets 0.75 at gaps of 3.75.
A post that stands half-way at a turn of 45 degrees is turned 22.5 to both of its bays. Along either
bay its face is 1.125/cos 22.5 = 1.217691 from its centre, and its corner reaches 1.125 sqrt 2 cos
22.5 = 1.469883.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from service.core.engine import lay_out
from service.core.measure import Length
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from tests.core import builders
from tests.core.builders import FASCIA, laid, walls
from tests.core.sloping import SURFACE, stair

Points = tuple[tuple[float, float], ...]


def bay_window(front: Length) -> Points:
    """A deck whose front edge lies between two corners that turn by 45 degrees."""
    return ((0, 0), (front, 0), (front + 80, 80), (front + 80, 200), (-80, 200), (-80, 80))


def of_front(layout: Layout) -> tuple[Length, Length | None]:
    """The end gap of the first bay along edge 0, along the line, and the clear space beside its
    infill; None where none is seen."""
    bay = next(bay for bay in layout.bays if bay.edge == 0)
    assert bay.fill.pickets is not None
    spaces = [seen.space for seen in layout.spaces if seen.place == bay.id]
    return bay.fill.pickets.end_gap, spaces[0] if spaces else None


def test_a_stretch_between_two_posts_that_are_turned() -> None:
    """The posts' centres are 9.6 - 2 x 3.5 tan 22.5 = 6.700505 apart. Along the line their faces
    are 6.700505 - 2 x 1.217691 = 4.265123 apart, but their corners on the inner side, which both
    reach into the stretch, 6.700505 - 2 x 1.469883 = 3.760739, so that a 4 in sphere does not pass.
    """
    layout = laid(bay_window(9.6), SURFACE)
    (small,) = layout.small_stretches
    assert small.clear == pytest.approx(4.265123, abs=2e-6)
    assert small.space == pytest.approx(3.760739, abs=2e-6)


@pytest.mark.parametrize("turned_over", [False, True], ids=["at the start", "at the end"])
def test_a_stretch_that_begins_on_a_wall_past_the_middle_of_its_edge(turned_over: bool) -> None:
    """A fascia's line, 2.25 off an edge of 4, meets the line of the wall beside it, which turns by
    45 degrees, 2.25 along the edge. The corner's post stands 2.25 past the other end, at 6.25, and
    its face is at 5, so that 2.75 is left. The same holds from the other side, as in a mirror."""
    outline = [(0, 0), (4, 0), (4, 100), (-60, 100), (-60, 60)]
    walled = (2, 3, 4)
    if turned_over:
        outline, walled = [(-x, y) for x, y in outline[1::-1] + outline[:1:-1]], (1, 2, 3)
    (small,) = laid(outline, FASCIA, edges=walls(*walled)).small_stretches
    assert (small.clear, small.space) == pytest.approx((2.75, 2.75))


def test_a_stretch_between_square_posts_is_as_wide_as_along_the_line() -> None:
    """Between corners of 90 degrees an edge of 13.5 leaves 13.5 - 2 x 3.5 - 2.25 = 4.25, along the
    line and as clear space."""
    (one, other) = laid(((0, 0), (13.5, 0), (13.5, 100), (0, 100)), SURFACE).small_stretches
    assert (one.clear, one.space) == (other.clear, other.space) == pytest.approx((4.25, 4.25))


def test_beside_pickets_between_two_posts_that_are_turned() -> None:
    """A front of 61.21 leaves 61.21 - 2.899495 - 2.435382 = 55.875123 clear: 12 pickets and end
    gaps of (55.875123 - 9 - 41.25)/2 = 2.81256. Square to the post's face that is 2.81256 cos
    22.5 = 2.598468, but the picket lies 1.125 tan 22.5 + 2.81256 sin 22.5 - 1.125 = 0.417311 past
    the edge of the face, so the clear space is sqrt(2.598468^2 + 0.417311^2) = 2.631764."""
    gap, space = of_front(laid(bay_window(61.21), SURFACE))
    assert gap == pytest.approx(2.81256, abs=1e-5)
    assert space == pytest.approx(2.631764, abs=1e-5)


def test_beside_pickets_between_two_oblique_walls() -> None:
    """Between walls that splay out by 60 degrees the line runs 3.5/tan 60 = 2.020726 past both
    corners and is 54.041452 long. The end gaps are (54.041452 - 50.25)/2 = 1.895726, which is
    1.895726 cos 30 = 1.641747 square to the walls."""
    splayed = ((0, 0), (50, 0), (100, 86.60254), (-50, 86.60254))
    gap, space = of_front(laid(splayed, SURFACE, edges=walls(1, 3)))
    assert gap == pytest.approx(1.895726, abs=1e-5)
    assert space == pytest.approx(1.641747, abs=1e-5)


def test_beside_pickets_that_end_at_the_corner_of_a_column() -> None:
    """A column's corner at (60, 4) points at the edge, and the posts' strip, up to 4.625, meets the
    column's sides from 59.375 on. The bay from the post at 3.5 is 59.375 - 3.5 - 1.125 = 54.75
    clear, with end gaps of 2.25. The last picket's face is at (57.125, 3.5), which lies (2.875 +
    0.5)/sqrt 2 = 2.386485 off the column's side: more than along the line."""
    diamond = ((60, 4), (70, 14), (60, 24), (50, 14))
    column = builders.obstruction(diamond)
    layout = laid(builders.rectangle(200, 100), SURFACE, obstructions=(column,))
    gap, space = of_front(layout)
    assert gap == pytest.approx(2.25)
    assert space == pytest.approx(3.375 / math.sqrt(2), abs=1e-6)


def acute(other: Length, **parts: object) -> Layout:
    """The layout of a deck with a corner of 42 degrees, a turn of 138, both edges ending at a wall
    square to them.

    The corner's post is square to the longer edge, edge 0, and 48 off edge 3, whose line meets that
    of the face beside it 1.125/cos 48 = 1.681286 from the post's centre. Each line begins 3.5/tan
    21 = 9.117812 from the corner. Edge 3 of 68.049098 leaves 57.25 clear: 12 pickets and end gaps
    of (57.25 - 50.25)/2 = 3.5. Edge 0 leaves 54.75 + 2 `other` clear: 13 pickets and end gaps of
    `other`.
    """
    one, two = 68.049098, 10.242812 + 54.75 + 2 * other
    cos, sin = math.cos(math.radians(42)), math.sin(math.radians(42))
    outline = ((0, 0), (two, 0), (two, (one - two * cos) / sin), (one * cos, one * sin))
    return laid(outline, SURFACE, edges=walls(1, 2), **parts)


def of_oblique(layout: Layout) -> Length:
    """The clear space beside the bay along edge 3 of a deck with an acute corner."""
    bay = next(bay for bay in layout.bays if bay.edge == 3)
    assert bay.fill.pickets is not None
    assert bay.fill.pickets.end_gap == pytest.approx(3.5, abs=1e-5)
    return next(seen.space for seen in layout.spaces if seen.place == bay.id)


def test_beside_pickets_at_an_acute_corner_the_face_lies_past_the_post() -> None:
    """From the post's centre, with edge 0 along x, the post's corner is at (1.125, 1.125), and the
    first picket of edge 3 is at 1.681286 + 3.5 = 5.181286 along 42 degrees, (3.850446, 3.466957).
    They are sqrt(2.725446^2 + 2.341957^2) = 3.593441 apart. The first picket of edge 0, at 1.125 +
    3.7, is sqrt(0.974554^2 + 3.466957^2) = 3.601326 from that picket, which is more."""
    assert of_oblique(acute(3.7)) == pytest.approx(3.593441, abs=1e-5)


def test_at_an_acute_corner_the_way_past_the_post_leads_between_both_infills() -> None:
    """With an end gap of 3.5 along edge 0 too, its first picket is at (4.625, 0). No more than
    sqrt(0.774554^2 + 3.466957^2) = 3.552425 fits between the two first pickets, which a sphere has
    to pass before it comes to the post."""
    assert of_oblique(acute(3.5)) == pytest.approx(3.552425, abs=1e-5)


def test_at_an_acute_corner_the_other_infill_may_be_nearer_past_where_it_begins() -> None:
    """With an end gap of 2 along edge 0 its first picket reaches from 3.125 to 3.875, past the
    3.850446 where the first picket of edge 3 is square to it, 3.466957 off. That is less than the
    3.5 that is open at the other end of edge 3's bay, by a wall, so nothing but the end gap counts
    there. From where the picket of edge 0 begins it would be sqrt(0.725446^2 + 3.466957^2) =
    3.542044."""
    layout = acute(2.0)
    bay = next(bay for bay in layout.bays if bay.edge == 3)
    assert bay.fill.pickets is not None
    assert bay.fill.pickets.end_gap == pytest.approx(3.5, abs=1e-5)
    assert bay.id not in {seen.place for seen in layout.spaces}


def test_at_an_acute_corner_with_an_opening_beside_nothing_but_the_post_is_near() -> None:
    """Edge 0 begins with a passage whose jamb is the corner's post, so only the post itself
    counts."""
    passage = builders.opening(0, 10.3, 30, use="passage")
    assert of_oblique(acute(3.5, openings=(passage,))) == pytest.approx(3.593441, abs=1e-5)


def test_beside_glass_at_an_acute_corner() -> None:
    """Of 57.25 clear a panel of 54.75 leaves 1.25 at each end. It begins at 2.931286 along 42
    degrees, (2.178371, 1.961414), sqrt(1.053371^2 + 0.836414^2) = 1.345056 from the post's corner.
    The other panel begins at 2.375 or further along edge 0, sqrt(0.196629^2 + 1.961414^2) =
    1.971246 from it, which is more."""
    layout = acute(3.5, infill="glass")
    bay = next(bay for bay in layout.bays if bay.edge == 3)
    (space,) = [seen.space for seen in layout.spaces if seen.place == bay.id]
    assert space == pytest.approx(1.345056, abs=1e-5)


def test_beside_a_square_end_the_end_gap_counts() -> None:
    """A bay has a post at a turn of 45 degrees at one end and one at a turn of 90 at the other. The
    clear space at the square end is the wider, and is the end gap, so that none is seen besides."""
    outline = ((0, 0), (61.21, 0), (141.21, 80), (141.21, 200), (0, 200))
    assert of_front(laid(outline, SURFACE))[1] is None


def test_beside_glass_between_two_oblique_walls() -> None:
    """On the deck of the pickets above the line is 54.041452 long. A panel of 54.041452 - 2 x
    1.25 = 51.541452, 51.5 on the mark, leaves 1.270726 at each end, which is 1.270726 cos 30 =
    1.100481 square to the walls."""
    splayed = ((0, 0), (50, 0), (100, 86.60254), (-50, 86.60254))
    layout = laid(splayed, SURFACE, edges=walls(1, 3), infill="glass")
    (seen,) = layout.spaces
    assert seen.space == pytest.approx(1.100481, abs=1e-6)


def askew(kit: Kit) -> Layout:
    """The layout of a flight of two risers down from an edge at 120 degrees.

    One of its heads is the corner's post, square to the other edge and so 30 degrees off the
    flight. The foot posts stand 5 out, the heads 3.5 in: 8.5 apart. Along the flight the face of
    the corner's post is 1.125/cos 30 = 1.299038 from its centre. The post's own corner reaches
    1.125 (cos 30 + sin 30) = 1.536779 that way, 0.411779 to the side, and so is before the foot
    post's face: 8.5 - 1.125 - 1.536779 = 5.838221 is between the two posts. Along the line they are
    8.5 - 1.125 - 1.299038 = 6.075962 apart, and on the other side of the flight 8.5 - 2.25 = 6.25.
    """
    outline = ((0, 0), (200, 0), (150, 86.6025404), (0, 86.6025404))
    deck = builders.deck(outline, openings=(builders.opening(1, 8, 40),))
    return lay_out(replace(deck, stairs=(stair(14, 2, 10),)), kit, None)


def test_a_bay_without_pickets_at_a_head_that_is_turned() -> None:
    """With picket gaps of 7 neither bay takes a picket. Only for the bay whose head is turned is a
    clear space seen: that between its two posts where they are nearest."""
    kit = replace(builders.with_picket(SURFACE, gap=7.0), least_bay=5.0)
    layout = askew(kit)
    clear = {bay.id: bay.clear for bay in layout.bays if bay.flight}
    assert sorted(clear.values()) == pytest.approx([6.075962, 6.25], abs=1e-6)
    (space,) = [seen for seen in layout.spaces if seen.place in clear]
    assert clear[space.place] == pytest.approx(6.075962, abs=1e-6)
    assert space.space == pytest.approx(5.838221, abs=2e-6)


def test_a_stretch_too_small_at_a_head_that_is_turned() -> None:
    """Both stretches are below the least bay of 7 and so stay unrailed, over the drop below the
    flight."""
    seen = sorted(askew(SURFACE).small_stretches, key=lambda small: small.clear)
    assert [small.clear for small in seen] == pytest.approx([6.075962, 6.25], abs=1e-6)
    assert [small.space for small in seen] == pytest.approx([5.838221, 6.25], abs=2e-6)
    assert {small.drops.drop for small in seen} == {48.0}


def test_beside_pickets_at_a_head_that_is_turned_the_foot_counts() -> None:
    """Four risers leave 28.5 between centres, 26.075962 clear: five pickets and end gaps of
    (26.075962 - 3.75 - 15)/2 = 3.662981. At the foot that is the clear space, and at the head the
    picket is nearer to the post, so that none is seen besides."""
    outline = ((0, 0), (200, 0), (150, 86.6025404), (0, 86.6025404))
    deck = builders.deck(outline, openings=(builders.opening(1, 8, 40),))
    layout = lay_out(replace(deck, stairs=(stair(28, 4, 10),)), SURFACE, None)
    raked = {bay.id for bay in layout.bays if bay.flight}
    assert len(raked) == 2
    assert not [seen for seen in layout.spaces if seen.place in raked]


def test_beside_a_leaf_between_square_posts_nothing_else_is_told() -> None:
    """The leaf's gaps are 0.75 and 0.5 with what the mark leaves, in plan as along the line, so no
    clear space is seen besides."""
    gate = builders.opening(0, 60, 40.03, use="gate")
    layout = laid(builders.rectangle(200, 100), SURFACE, openings=(gate,))
    assert len(layout.gates) == 1
    assert layout.spaces == ()


def test_beside_a_leaf_that_hangs_on_a_post_that_is_turned() -> None:
    """At a corner of 45 degrees the post is 22.5 off the leaf. With 1.217691 to its face along the
    line and a hinge gap of 1.5 the leaf's edge is 2.717691 from the post's centre. It is 2.717691
    sin 22.5 = 1.040014 to the side of the face's middle and so still before the face, 2.717691 cos
    22.5 - 1.125 = 1.385819 off it. At the other end of the leaf less is open."""
    assert SURFACE.gate is not None
    wide = replace(SURFACE, gate=replace(SURFACE.gate, hinge_gap=1.5))
    layout = laid(bay_window(100.0), wide, openings=(builders.opening(0, 2.667, 40, use="gate"),))
    (leaf,) = layout.gates
    hinge = next(post for post in layout.posts if post.id == leaf.opening.hinge_post)
    assert hinge.role == "corner"
    (space,) = [seen.space for seen in layout.spaces if seen.place == leaf.place]
    assert space == pytest.approx(1.385819, abs=2e-6)
