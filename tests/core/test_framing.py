"""Posts over joists, worked by hand (method 11): moves that spare blocking, fixings off the deck,
and posts on a rim with nothing behind it.

The deck is 240 by 144 unless a test says otherwise. Its line lies 3.5 in from the edge, with posts
at 3.5, 61.75, 120, 178.25 and 236.5 along edge 0. Joists run along y, square to that edge; the rim
is 1.5.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely

from service.core.measure import FromTo, Length, Point, Unit
from service.core.records.blocking import PostFraming
from service.core.records.deck import Framing
from service.core.records.kit import Kit
from service.core.records.layout import Layout, Post
from service.core.timber.frame import Frame
from tests.core.builders import (
    FASCIA,
    PAIR,
    SURFACE,
    edge,
    in_millimetres,
    kit_document,
    kit_of,
    laid,
    rectangle,
    walls,
    with_post,
)

CLOSE = with_post(
    SURFACE,
    base=replace(SURFACE.post.base, width=4.0, fixing_inset=1.25, fixing_edge_distance=0.5),
)
"""A kit whose fixings lie 0.75 off the post's centre, both ways. A joist of 3 holds them where its
middle is within 1.5 - 0.5 - 0.75 = 0.25 of the post's."""


def framed(kit: Kit, first: Length, spacing: Length = 16.0, width: Length = 3.0) -> list[Post]:
    """The posts along edge 0, from its start, of a deck whose first joist has its centre at
    `first`."""
    framing = Framing(90.0, spacing, first, width, 1.5, "/levels/0/framing")
    layout: Layout = laid(rectangle(240, 144), kit, edges=walls(2), framing=framing)
    setback = kit.post.setback
    return sorted((p for p in layout.posts if abs(p.at[1] - setback) < 1e-6), key=lambda p: p.at)


def spares(first: Length) -> dict[Length, Length | None]:
    """The moves that spare blocking, by the places of the posts along edge 0; None without one."""
    return {
        round(post.at[0], 6): post.framing.spare
        for post in framed(CLOSE, first)
        if post.framing is not None
    }


def test_the_least_move_onto_a_joist() -> None:
    """Joists are at 14.75 and every 16 from there. From 61.75 to the one at 62.75 is 1, so a move
    of 0.75 is enough; from 178.25 back to 174.75 is 3.5, which takes 3.25. From 120 the nearest are
    at 110.75 and 126.75, more than a base's width of 4 away. A corner's post is not moved."""
    found = spares(14.75)
    assert found == {3.5: None, 61.75: 0.75, 120.0: None, 178.25: -3.25, 236.5: None}


def test_a_post_over_a_joist_has_no_move_to_make() -> None:
    """Joists are at 8 and every 16 from there, so a post has one under it at 120. From the posts at
    61.75 and 178.25 the nearest are 5.75 away, too far for a move."""
    assert set(spares(8.0).values()) == {None}


OVER = {
    "the joist at 32.75 and the one at 16.75": (30.0, 17.0, [(-13.5, -13.0), (2.5, 3.0)]),
    "the first joist, with none before it": (3.0, 17.0, [(-2.5, -2.0), (13.5, 14.0)]),
    "the last joist, at 176.75, with none past it": (178.0, 16.0, [(-1.5, -1.0)]),
    "none within reach": (24.75, 7.0, []),
}


@pytest.mark.parametrize(("x", "far", "spans"), OVER.values(), ids=OVER.keys())
@pytest.mark.parametrize("way", [1.0, -1.0])
def test_moves_that_bring_a_place_over_a_joist(
    x: Length, far: Length, spans: list[FromTo], way: float
) -> None:
    """Joists of 1.5 are at 0.75 and every 16 of a deck 192 wide, as far as 176.75. A fixing keeps
    0.5 from a joist's edges, so the moves are those that bring it within 0.25 of a joist's middle.
    """
    framing = Framing(90.0, 16.0, 0.75, 1.5, 1.5, "")
    frame = Frame(framing, shapely.Polygon(rectangle(192.0, 144.0)), "in")
    base = replace(SURFACE.post.base, fixing_edge_distance=0.5)
    found = frame.over_joists((x, 50.0), (way, 0.0), base, far)
    turned = spans if way > 0 else [(-high, -low) for low, high in spans]
    assert sorted(found) == [pytest.approx(span) for span in sorted(turned)]


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_moves_along_the_joists(way: float) -> None:
    """The same joists: a place 0.25 off the middle of the one at 32.75 stays over it, one 0.3125
    off stays off it, however far it is moved."""
    framing = Framing(90.0, 16.0, 0.75, 1.5, 1.5, "")
    frame = Frame(framing, shapely.Polygon(rectangle(192.0, 144.0)), "in")
    base = replace(SURFACE.post.base, fixing_edge_distance=0.5)
    assert frame.over_joists((33.0, 50.0), (0.0, way), base, 7.0) == [(-7.0, 7.0)]
    assert frame.over_joists((33.0625, 50.0), (0.0, way), base, 7.0) == []


def test_moves_that_keep_a_place_off_the_rims() -> None:
    """A deck 192 wide with rims of 1.5 and, from x = 100 to 110, a notch that comes down to y = 8:
    rims stand from x = 98.5 to 111.5 and above y = 6.5, and beyond x = 190.5."""
    notched = [(0, 0), (192, 0), (192, 144), (110, 144), (110, 8), (100, 8), (100, 144), (0, 144)]
    frame = Frame(Framing(90.0, 16.0, 0.75, 1.5, 1.5, ""), shapely.Polygon(notched), "in")
    assert frame.off_rims((105.0, 7.0), (1.0, 0.0), 10.0) == [
        pytest.approx(span, abs=1e-5) for span in ((-10.0, -6.5), (6.5, 10.0))
    ]
    assert frame.off_rims((105.0, 7.0), (-1.0, 0.0), 6.0) == []
    assert frame.off_rims((105.0, 6.5), (-1.0, 0.0), 6.0) == [pytest.approx((-6.0, 6.0))]
    assert frame.off_rims((188.0, 6.0), (1.0, 0.0), 5.0) == [pytest.approx((-5.0, 2.5), abs=1e-5)]
    assert frame.off_rims((96.0, 1.0), (1.0, 0.0), 5.0) == []


def test_moves_that_bring_a_place_into_a_rim() -> None:
    """The same deck. A fixing keeps 0.5 from a rim's faces. Along y = 7.25, 0.75 below the notch,
    the rims of the notch's sides go on until they meet that of its end, and hold it from 98.5 + 0.5
    to 111.5 - 0.5. Along y = 20 they hold it from 99 to 99.5 and from 110.5 to 111. Along y = 1, at
    its edge distance from the inner face, edge 0's does everywhere, and along y = 4 none does. A
    rim of 0.75 is too thin for it."""
    notched = [(0, 0), (192, 0), (192, 144), (110, 144), (110, 8), (100, 8), (100, 144), (0, 144)]
    base = replace(SURFACE.post.base, fixing_edge_distance=0.5)

    def held(y: Length, rim: Length = 1.5) -> list[FromTo]:
        frame = Frame(Framing(90.0, 16.0, 0.75, 1.5, rim, ""), shapely.Polygon(notched), "in")
        return sorted(frame.in_rims((105.0, y), (1.0, 0.0), base, 10.0))

    assert held(7.25) == [pytest.approx((-6.0, 6.0))]
    assert held(20.0) == [pytest.approx(span) for span in ((-6.0, -5.5), (5.5, 6.0))]
    assert held(1.0) == [pytest.approx((-10.0, 10.0))]
    assert held(4.0) == []
    assert held(1.0, 0.75) == []


def test_a_move_into_the_rim_of_a_notch() -> None:
    """Rims are 3.5 and hold a fixing from 0.5 to 3 deep. A notch comes down to y = 6.5 from x = 100
    to 117. The post at 120 has fixings at 119.25 and 120.75, y = 2.75, which edge 0 holds, and y =
    4.25: 2.25 below the notch, whose rim there goes on to 117 + 3.5, as far as its side's own, and
    holds to 120. The one at 120.75 is in no rim, and joists are at 112 and 128, out of reach. A
    move of 0.75 back lands it in the rim of the notch beside the other."""
    outline: list[Point] = [
        (0, 0), (240, 0), (240, 144), (117, 144), (117, 6.5), (100, 6.5), (100, 144), (0, 144),
    ]  # fmt: skip
    framing = Framing(90.0, 16.0, 16.0, 3.0, 3.5, "/levels/0/framing")
    layout = laid(outline, CLOSE, edges=walls(2, 3, 4, 5, 6), framing=framing)
    post = next(each for each in layout.posts if each.at == pytest.approx((120.0, 3.5)))
    assert post.framing is not None
    assert sorted(post.framing.lands_on) == ["none", "rim", "rim", "rim"]
    assert post.framing.spare == -0.75


def test_a_move_past_a_narrow_place() -> None:
    """A notch comes down to y = 5.5 from x = 100 to 117.9375, with rims of 1.5 as far as 119.4375
    and y = 4. The post at 120 stands over the middle of a joist, and may leave that by 0.25: its
    fixings are at 119.25 and 120.75, y = 2.75 and 4.25, all behind the rim of edge 0. That at
    (119.25, 4.25) is in the notch's rim, 0.1875 from its inner face, where no joist is. So much of
    a move lands it, and the others stay over the joist."""
    outline: list[Point] = [
        (0, 0), (240, 0), (240, 144), (117.9375, 144), (117.9375, 5.5), (100, 5.5), (100, 144),
        (0, 144),
    ]  # fmt: skip
    framing = Framing(90.0, 16.0, 8.0, 3.0, 1.5, "/levels/0/framing")
    layout = laid(outline, CLOSE, edges=walls(2, 3, 4, 5, 6), framing=framing)
    post = next(each for each in layout.posts if each.at == pytest.approx((120.0, 3.5)))
    assert post.framing is not None
    assert post.framing.lands_on == ("joist", "joist", "joist", "none")
    assert post.framing.spare == 0.1875


def test_fixings_off_the_deck() -> None:
    """With a setback of 0.5 one row of fixings lies at 0.5 - 0.75 = -0.25, off the deck, and the
    other at 1.25, in the rim but only 0.25 from its inner face, where there is no room for a block.
    """
    near = with_post(CLOSE, setback=0.5)
    post = framed(near, 14.75)[1]
    assert post.framing is not None
    assert post.framing.lands_on == ("none",) * 4
    assert (post.framing.off_deck, post.framing.cramped) == (2, 2)


def test_what_stands_behind_the_rim_that_a_post_hangs_on() -> None:
    """Joists of 1.5 every 4 leave 2.5 between them, too little for a block, which is at least 3
    long. A post within 0.75 of the middle of a joist has that joist behind it; any other post has
    nothing."""
    posts = framed(FASCIA, 0.75, spacing=4.0, width=1.5)[1:-1]
    bare = {round(post.at[0], 6): post.framing.bare for post in posts if post.framing is not None}
    off = {x: abs((x - 0.75 + 2.0) % 4.0 - 2.0) for x in bare}
    assert bare == {x: apart > 0.75 for x, apart in off.items()}
    assert set(bare.values()) == {True, False}


def test_a_post_with_a_block_behind_it_is_not_bare() -> None:
    """Joists every 16 leave 14.5 for blocks, so each post has one behind it."""
    for post in framed(FASCIA, 0.75, width=1.5):
        assert post.framing is not None
        assert post.framing.blocking
        assert not post.framing.bare


@pytest.mark.parametrize("first", [0.75 + half / 2 for half in range(32)])
def test_a_block_square_to_joists_along_the_rim_is_hard_against_it(first: Length) -> None:
    """Joists run square to the front and rear rims and along those at the sides. Every block is
    hard against its rim, also where a post hangs before the end of a joist and the block stands
    beside that joist."""
    off = {post.framing.off_rim for post in framed(FASCIA, first, width=1.5) if post.framing}
    assert off == {0.0}


def test_a_block_square_to_joists_askew_to_the_rim_meets_it_at_a_corner() -> None:
    """Joists are 1 in 4 off square to the rim: cos 0.970143, sin 0.242536. A post hangs at x = 60;
    the rim's back there, (60, 1.5), lies 60 cos + 1.5 sin = 58.572353 across. The face of joist 3
    toward it is at 2.0612 + 48 + 0.75 = 50.8112, and meets the rim's back 7.761153/cos = 8.000014
    before the post. From that corner the block's edge leaves the rim at 1 in 4, and is 8.000014
    sin = 1.940288 from the rim's back at the post."""
    askew = 90 + math.degrees(math.atan(0.25))
    framing = Framing(askew, 16.0, 2.0612, 1.5, 1.5, "/levels/0/framing")
    layout: Layout = laid(rectangle(120, 100), FASCIA, edges=walls(1, 2, 3), framing=framing)
    (post,) = [post for post in layout.posts if post.role == "line"]
    assert post.at[0] == 60.0
    assert post.framing is not None
    (block,) = post.framing.blocking
    assert block.between == (3, 4)
    assert post.framing.off_rim == pytest.approx(1.940288, abs=1e-6)


@pytest.mark.parametrize(
    ("unit", "across", "is_bare"),
    [
        ("in", 146.25, False),
        ("in", 146.375, False),
        ("in", 146.4375, True),
        ("in", 148.0, True),
        ("mm", 3717.9, False),
        ("mm", 3718.0, True),
    ],
)
def test_a_joist_beside_the_rim_backs_it_where_it_is_drawn_up_to_it(
    unit: Unit, across: Length, is_bare: bool
) -> None:
    """The last joist, at 144, ends at 144.75, and a rim of 1.5 begins 1.5 from the deck's far edge.
    With that edge at 146.375 the rim begins at 144.875, 1/8 off the joist, a gap that the fixings
    close; with 146.4375 it begins at 144.9375, 3/16 off, where nothing holds it and a block of 3
    has no room. In mm, with all of it times 25.4, the joist ends at 3676.65 and the rim begins 38.1
    from the edge: at 3679.8, 3.15 off, which is less than 1/8 in, 3.175 mm, or at 3679.9, 3.25 off.
    """
    one = 1.0 if unit == "in" else 25.4
    kit = FASCIA if unit == "in" else kit_of(in_millimetres(kit_document(FASCIA.id)))
    framing = Framing(90.0, 16 * one, 16 * one, 1.5 * one, 1.5 * one, "/levels/0/framing")
    layout = laid(rectangle(across, 72 * one), kit, unit=unit, framing=framing)
    (post,) = [each for each in layout.posts if each.at[0] > across and each.role == "line"]
    assert post.framing == PostFraming(("rim",) * kit.post.base.fixings, (), bare=is_bare)


@pytest.mark.parametrize("rim", [1.5, 3.0, 4.5])
def test_behind_an_end_post_may_be_the_rim_of_the_next_edge(rim: Length) -> None:
    """Each post of a pair hangs half a base, 2, in from its corner. Where the rim of the other edge
    is thicker than 2 it lies behind the post, and nothing has to be packed out there. The block in
    the corner, of two plies hard against both rims, is behind both posts."""
    framing = Framing(90.0, 16.0, 0.75, 1.5, rim, "/levels/0/framing")
    layout = laid(rectangle(192, 144), PAIR, framing=framing)
    near = [post.framing for post in layout.posts if math.hypot(*post.at) < 5]
    assert len(near) == 2
    for each in near:
        assert each is not None
        assert (each.off_rim, each.bare) == (0.0, False)
        (block,) = each.blocking
        assert block.at == pytest.approx(rim + 1.5)
        assert block.edges[0] == block.edges[1] == pytest.approx((rim, 16.0))


@pytest.mark.parametrize(
    ("corner", "longest"), [((192.0, 0.0), 9.9666), ((0.0, 144.0), 13.8787)], ids=["last", "first"]
)
@pytest.mark.parametrize("askew", [-1e-9, 0.0, 1e-9])
def test_in_a_corner_that_points_across_the_joists_a_block_is_cut_along_one_rim(
    corner: Point, longest: Length, askew: float
) -> None:
    """Joists run at 45 degrees: the first, 0.75 from (0, 144), is at -101.8234 + 0.75 = -101.0734
    across, the last, joist 14, at 122.9266. The rims meet at (190.5, 1.5), 133.6432 across and
    135.7645 along, and at (1.5, 142.5), -99.7021 across and 101.8234 along. A block of two plies in
    the middle of such a corner would end square, half its width, 3/2, short of it. Moved by that
    much along the joists its edge is in the corner, and its end lies along one rim. From the face
    of joist 14 the longest edge is 133.6432 - 123.6766 = 9.9666 long, and to that of joist 1 it is
    99.7021 - 85.8234 = 13.8787; the other edge is 3 less."""
    framing = Framing(45.0 + askew, 16.0, 0.75, 1.5, 1.5, "/levels/0/framing")
    layout = laid(rectangle(192, 144), FASCIA, framing=framing)
    post = min(layout.posts, key=lambda each: math.dist(each.at, corner))
    assert post.framing is not None
    assert post.framing.off_rim == pytest.approx(0.0, abs=1e-6)
    (block,) = post.framing.blocking
    assert block.at == pytest.approx(sum(corner) / math.sqrt(2) - 1.5)
    assert block.lengths == pytest.approx((longest - 1.5, longest), abs=1e-4)


@pytest.mark.parametrize("askew", [-0.1, -0.0001, 0.0001, 0.1])
def test_a_corner_that_points_nearly_across_the_joists_is_as_one_that_does(askew: float) -> None:
    """As above, in the corner at (192, 0), but up to 0.1 degrees off, as a measured deck is. A
    square end would be short of the corner of the rims, (190.5, 1.5), by a hair less than half the
    block's width: that is no nearer. The longest edge is from the far face of joist 14 to that
    corner, measured across the joists from (0, 144)."""
    framing = Framing(45.0 + askew, 16.0, 0.75, 1.5, 1.5, "/levels/0/framing")
    layout = laid(rectangle(192, 144), FASCIA, framing=framing)
    post = min(layout.posts, key=lambda each: math.dist(each.at, (192.0, 0.0)))
    assert post.framing is not None
    assert post.framing.off_rim == pytest.approx(0.0, abs=1e-6)
    (block,) = post.framing.blocking
    way = math.radians(45.0 + askew)
    across = 190.5 * math.sin(way) - (1.5 - 144) * math.cos(way)
    assert max(block.lengths) == pytest.approx(across - (0.75 + 14 * 16.0 + 0.75), abs=1e-4)


def test_a_neck_that_is_all_rim_has_no_blocking() -> None:
    """A neck 10 wide from y = 96 to 150 has rims of 6 on either side. The room inside the rim ends
    at y = 90, 58 from the end posts, and its corner there is not behind them."""
    neck = [(0, 0), (192, 0), (192, 96), (101, 96), (101, 150), (91, 150), (91, 96), (0, 96)]
    framing = Framing(90.0, 16.0, 0.75, 1.5, 6.0, "/levels/0/framing")
    layout = laid(neck, FASCIA, framing=framing, edges=[edge(4, "open")])
    ends = [post for post in layout.posts if post.at[1] == pytest.approx(148.0)]
    assert [post.framing and post.framing.blocking for post in ends] == [(), ()]
