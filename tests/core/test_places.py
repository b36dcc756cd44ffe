"""Places that callers name: openings, walls, no_post stretches and obstructions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from service.core.engine import lay_out
from service.core.line.outline import read_outline
from service.core.measure import Point
from service.core.problems import Refusal, Unbuildable
from service.core.records.kit import Kit
from service.core.records.layout import Layout, Post
from tests.bounded import bounded
from tests.core import builders
from tests.core.builders import FASCIA, SURFACE, laid, opening, rectangle, walls
from tests.core.shapes import Drawn, drawn_decks, length_of, rectangles, said_of_edges, sixteenths

S = SURFACE.post.setback


def body(kit: Kit, at: Point, degrees: float) -> shapely.Polygon:
    """A post without its base."""
    half = kit.post.width / 2
    corners = [(-half, -half), (half, -half), (half, half), (-half, half)]
    return shapely.Polygon(builders.turned(corners, degrees, at))


@st.composite
def blocked(draw: st.DrawFn) -> Drawn:
    """A turned rectangle with an obstruction near one edge and a no_post stretch on another."""
    outline = builders.turned(draw(rectangles()), draw(st.integers(0, 359)))
    edges = draw(said_of_edges(4))
    number = draw(st.integers(0, 3))
    (x0, y0), (x1, y1) = outline[number], outline[(number + 1) % 4]
    share = draw(st.integers(10, 90)) / 100
    size = draw(sixteenths(1, 14))
    solid = builders.block(x0 + (x1 - x0) * share, y0 + (y1 - y0) * share, size)
    other = (number + 1) % 4
    if any(said.number == other and said.condition != "guard" for said in edges):
        other = number
    room = length_of(outline, other)
    width = draw(sixteenths(1, min(30, room / 2)))
    kept = builders.no_post(other, draw(sixteenths(0, room - width)), width)
    kit = draw(st.sampled_from([SURFACE, FASCIA, builders.PAIR]))
    infill = draw(st.sampled_from(["picket", "glass"]))
    return Drawn(outline, kit, edges, (), infill, (kept,), (solid,))


def test_no_base_where_none_may_be() -> None:
    """No base overlaps the obstruction or reaches into the no_post stretch; no bay crosses the
    obstruction."""
    laid_out = 0

    @bounded(250)
    @given(blocked())
    def lay(drawn: Drawn) -> None:
        nonlocal laid_out
        try:
            layout = lay_out(drawn.deck(), drawn.kit, None)
        except Refusal:
            return
        laid_out += 1
        check_bases(drawn, layout)

    lay()
    assert laid_out > 125


def check_bases(drawn: Drawn, layout: Layout) -> None:
    """Assert that bases keep off the obstruction and the no_post stretch, and bays off the
    obstruction."""
    solid = shapely.Polygon(drawn.obstructions[0].points)
    kept = drawn.no_post[0]
    a, b = drawn.outline[kept.edge], drawn.outline[(kept.edge + 1) % 4]
    size = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / size, (b[1] - a[1]) / size
    ends = {post.id: post.at for post in layout.posts}
    on_edge = {n for bay in layout.bays if bay.edge == kept.edge for n in (bay.start, bay.end)}
    for post in layout.posts:
        assert shapely.Polygon(post.base).intersection(solid).area < 1e-5
        along = [(x - a[0]) * ux + (y - a[1]) * uy for x, y in post.base]
        if post.id in on_edge:
            past = max(min(along) - kept.start - kept.width, kept.start - max(along))
            assert past > -1e-5
    inner = solid.buffer(-1e-5)
    for bay in layout.bays:
        if bay.start and bay.end:
            line = shapely.LineString([ends[bay.start], ends[bay.end]])
            assert not line.intersects(inner)


@bounded(200)
@given(drawn_decks())
def test_clear_widths(drawn: Drawn) -> None:
    """No post stands in an opening, and its clear width runs from post face to post face.

    It is read along the line between their centres, from where the one body ends to where the other
    begins, as posts of corners and bends (role line) are turned to the edge.

    The clear width is the one asked for wherever both posts are the opening's own: of role stair or
    gate, with a run or another opening going on from them. Nothing goes on from the post of a
    line's end that serves the opening as well. (A passage's posts are end posts, as others are, so
    they cannot be told apart.)
    """
    try:
        layout = lay_out(drawn.deck(), drawn.kit, None)
    except Unbuildable:
        return
    posts = {post.id: post for post in layout.posts}
    ends = [end for run in layout.runs for end in (run.start, run.end)]
    ends += [end for built in layout.openings for end in {built.start, built.end}]
    for built in layout.openings:
        beside = [posts[name] for name in (built.start, built.end) if name]
        own = [p for p in beside if p.role in ("stair", "gate") and ends.count(p.id) > 1]
        if len(beside) == 2 and all(post.role not in ("corner", "line") for post in beside):
            apart = math.dist(beside[0].at, beside[1].at) - drawn.kit.post.width
            assert built.clear_width == pytest.approx(apart, abs=1e-6)
        if len(own) == 2:
            assert built.clear_width == pytest.approx(built.asked, abs=1e-6)
        if len(beside) == 2:
            assert built.clear_width == pytest.approx(clear(drawn.kit, *beside), abs=1e-6)


def clear(kit: Kit, one: Post, other: Post) -> float:
    """What is clear between two posts' bodies, along the line between their centres."""
    (x, y), (to_x, to_y) = one.at, other.at
    apart = math.hypot(to_x - x, to_y - y)
    first, second = (
        [
            ((px - x) * (to_x - x) + (py - y) * (to_y - y)) / apart
            for px, py in body(kit, post.at, post.turned).exterior.coords
        ]
        for post in (one, other)
    )
    gap: float = min(second) - max(first)
    return gap


@pytest.mark.parametrize("degrees", range(40, 141, 5))
def test_the_line_runs_to_the_wall_s_own_line(degrees: int) -> None:
    """Next to a wall the run ends where the railing line meets the wall's line, in both mountings.

    Edge 0 runs from (0,0) to (200,0), and the wall after it turns by t: the line at height s meets
    the wall at 200 + s/tan(t). The run's other end is a square corner's post at s.

    The wall's face is |90 - t| off square: a wall bracket takes up to 2.5 (2 in the fascia kit), a
    swivel bracket up to 55 (50 in the fascia kit).
    """
    t = math.radians(degrees)
    outline = ((0.0, 0.0), (200.0, 0.0), (200 + 100 / math.tan(t), 100.0), (0.0, 100.0))
    for kit in (SURFACE, FASCIA):
        s = kit.post.setback
        run = laid(outline, kit, edges=walls(1)).runs[0]
        assert run.end is None
        assert run.length == pytest.approx(200 + s / math.tan(t) - s)
        bay = [bay for bay in laid(outline, kit, edges=walls(1)).bays if bay.run == "R1"][-1]
        assert bay.skews[1] == pytest.approx(abs(90 - degrees), abs=1e-9)
        assert bay.ends[1] == ("wall" if abs(90 - degrees) <= 2.5 else "swivel")


@pytest.mark.parametrize("degrees", range(40, 141, 10))
def test_a_wall_before_the_edge(degrees: int) -> None:
    """The mirror image: the wall arrives at the corner, and the run begins at its face with no
    post."""
    t = math.radians(degrees)
    outline = ((0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (-100 / math.tan(t), 100.0))
    layout = laid(outline, edges=walls(3))
    assert layout.runs[0].start is None
    assert layout.runs[0].length == pytest.approx(200 + S / math.tan(t) - S)


@pytest.mark.parametrize("ends", [0, 1])
def test_a_post_at_the_wall_stands_half_a_base_off_it(ends: int) -> None:
    """With wall_end `post` the base touches the wall, and the post's face is (4.5 - 2.25)/2 = 1.125
    off it."""
    wall = 1 if ends else 3
    said = builders.edge(0, "guard", wall_end="post")
    layout = laid(rectangle(200, 100), edges=(said, *walls(wall)))
    first = layout.runs[0]
    post = next(p for p in layout.posts if p.id == (first.end if ends else first.start))
    assert post.role == "end"
    assert post.at == pytest.approx((200 - 2.25 if ends else 2.25, S))
    assert [(g.kind, g.where) for g in layout.gaps] == [("wall", (post.id,))]
    assert layout.gaps[0].width == pytest.approx(1.125)


@pytest.mark.parametrize(
    ("degrees", "back"), [(30, 0.0), (160, (S + 2.25) / math.tan(math.radians(20)))]
)
def test_a_wall_too_oblique_for_the_swivel(degrees: int, back: float) -> None:
    """A wall 60 or 70 degrees off square is beyond the kit's swivel of 55, so the run ends in an
    end post.

    The post stands half a base (2.25) back from the corner, or from where its base would meet the
    wall if that comes first: a wall turned by 160 lies (s + 2.25)/tan(20) back at the base's inner
    edge.
    """
    t = math.radians(degrees)
    top = (200 + 100 / math.tan(t), 100.0) if degrees < 90 else (200 + 20 / math.tan(t), 20.0)
    outline = ((0.0, 0.0), (200.0, 0.0), top, (0.0, 100.0))
    layout = laid(outline, edges=walls(1))
    post = next(p for p in layout.posts if p.id == layout.runs[0].end)
    assert post.role == "end"
    assert post.at == pytest.approx((200 - back - 2.25, S))


@pytest.mark.parametrize("degrees", range(20, 161, 5))
@pytest.mark.parametrize("at_end", [True, False], ids=["after", "before"])
@pytest.mark.parametrize("rise", [0.0, 9.0, -9.0], ids=["straight", "bowed", "dented"])
def test_the_base_of_a_post_by_an_oblique_wall_is_clear_of_it(
    degrees: int, at_end: bool, rise: float
) -> None:
    """The base of a post by an oblique wall touches the wall without overlapping it.

    Where the wall leans further out than a bracket reaches, the corner holds the base off the wall.
    Beside a bow the base is kept clear by a curved band as wide as the base, so it is at most a
    tenth off the wall.
    """
    t = math.radians(degrees)
    corner = (260.0, 0.0)
    top = (corner[0] + 90 * math.cos(t), 90 * math.sin(t))
    outline: tuple[Point, ...] = ((0.0, 0.0), corner, top, (0.0, 200.0))
    wall = shapely.LineString([corner, top])
    if not at_end:
        outline = tuple((-x, y) for x, y in reversed(outline))
        wall = shapely.affinity.scale(wall, -1, 1, origin=(0, 0))
    guarded, walled = (0, 1) if at_end else (2, 1)
    said = builders.edge(guarded, wall_end="post", arc_rise=rise)
    layout = laid(outline, edges=(said, *walls(walled)))
    near = min(layout.posts, key=lambda post: shapely.Point(post.at).distance(wall))
    base = shapely.Polygon(near.base)
    assert base.area == pytest.approx(4.5**2)
    assert not base.buffer(-1e-6).intersects(wall)
    if degrees >= (40 if rise == 0.0 else 50):
        assert base.distance(wall) < (1e-6 if rise == 0.0 else 0.1)


def test_a_post_at_a_column_stands_half_a_base_off_it() -> None:
    """With wall_end `post` the posts' centres are 2.25 off the column's faces at 97 and 103."""
    said = (builders.edge(0, "guard", wall_end="post"),)
    column = builders.block(100, S, 6)
    layout = laid(rectangle(200, 100), edges=said, obstructions=(column,))
    ends = [post.at[0] for post in layout.posts if post.role == "end"]
    assert sorted(ends) == pytest.approx([94.75, 105.25])
    assert [gap.width for gap in layout.gaps] == pytest.approx([1.125, 1.125])


def test_next_to_an_open_edge() -> None:
    """Next to an open edge the line ends in an end post.

    Surface: it stands where the line meets the open edge's line moved in by s, which is the corner
    point of two guarded edges. Fascia: it stands half a base (2) in from the corner.
    """
    open_edge = (builders.edge(1, "open"),)
    surface = laid(rectangle(200, 100), edges=open_edge)
    assert surface.runs[0].length == pytest.approx(200 - 2 * S)
    fascia = laid(rectangle(200, 100), FASCIA, edges=open_edge)
    out = -FASCIA.post.setback
    assert fascia.runs[0].length == pytest.approx(200 - 2 + out)
    assert {p.role for p in fascia.posts if p.id == fascia.runs[0].end} == {"end"}


def _near_the_edge(corners: Sequence[Point], backwards: bool, **said: Any) -> Layout:
    """A deck whose edge 0 has `open_end` "edge" and is followed by open edges and, last, two
    walls."""
    last = len(corners) - 1
    numbers = [(last - 1 - i) % (last + 1) if backwards else i for i in range(last + 1)]
    edges = [builders.edge(numbers[0], open_end="edge", **said)]
    edges += [builders.edge(numbers[i], "open") for i in range(1, last - 1)]
    edges += [builders.edge(numbers[i], "wall") for i in (last - 1, last)]
    return laid(corners[::-1] if backwards else corners, edges=tuple(edges))


@pytest.mark.parametrize("backwards", [False, True])
@pytest.mark.parametrize(
    ("corners", "x"),
    [
        (((100, 0), (100, 2), (95, 7), (95, 100)), 94.0),
        (((100, 0), (100, 1), (101, 1), (101, 100)), 98.75),
        (((100, 0), (100, 1), (104, 1), (104, 100)), 100.0),
        (((100, 0), (100, 7), (95, 12), (95, 100)), 97.75),
        (((100, 0), (100, 2), (84, 2.8), (84, 100)), 97.75),
        (((100, 0), (100, 2), (95, 7), (95, 99), (40, 4), (38, 100)), 94.0),
    ],
    ids=["cut off", "a step out", "a step far out", "past the base", "no room", "a nook far off"],
)
def test_a_post_near_a_short_open_edge_stands_clear_of_the_next_ones(
    corners: tuple[Point, ...], x: float, backwards: bool
) -> None:
    """The post stands clear of the edges that follow a short open one, as far as they are near its
    base.

    The base, 4.5 wide, lies from y = 1.25 to 5.75, and the post stands no further out than x = 100.

    Cut off: the second open edge, x + y = 102, comes to x = 96.25 at y = 5.75. A step out at y = 1
    passes below the base, and the third edge stops the base at x = 101; at x = 104 it does not. An
    edge past the base counts for nothing. An edge that leaves the base no room within a base and
    the setback, 8, of the open edge is left out too: only the open edge beside the post counts, and
    `base_on_deck` reports the other. A nook that comes as near as y = 4 but whose edge comes from
    past the base counts for nothing.
    """
    layout = _near_the_edge(((0, 0), *corners, (0, 100)), backwards)
    (post,) = [post for post in layout.posts if post.role == "end"]
    assert post.at == pytest.approx((x, S))


@pytest.mark.parametrize("backwards", [False, True])
def test_the_post_of_a_bow_stands_as_near_an_open_edge_as_its_base_has_room(
    backwards: bool,
) -> None:
    """A bow's end post stands where the outer corner of its base touches the line of the open edge.

    Over a chord of 144 a rise of 18: radius (72^2 + 18^2)/36 = 153 about (72, 135), the railing
    line's 149.5. The base of a post at the angle a from the bow's middle is turned by a, and its
    outer corner toward the edge reaches furthest: 149.5 sin a + 2.25 cos a + 2.25 sin a = 72, where
    the edge is. 151.75 sin a + 2.25 cos a = 72: a = asin(72/hypot(151.75, 2.25)) -
    atan(2.25/151.75).
    """
    layout = _near_the_edge(((0, 0), (144, 0), (144, 100), (0, 100)), backwards, arc_rise=18)
    a = math.asin(72 / math.hypot(151.75, 2.25)) - math.atan(2.25 / 151.75)
    (post,) = [post for post in layout.posts if post.role == "end"]
    assert post.at == pytest.approx((72 + 149.5 * math.sin(a), 135 - 149.5 * math.cos(a)))
    assert max(x for x, _ in post.base) == pytest.approx(144, abs=1e-6)


@pytest.mark.parametrize("bow", range(6))
@pytest.mark.parametrize("at_start", [False, True])
def test_the_post_of_a_bow_near_a_short_open_edge_stands_clear_of_the_next_one(
    at_start: bool, bow: int
) -> None:
    """A bow's end post stands clear of the edge after a short open one, where that comes nearer.

    The same bow beside an open edge of 2 and one that cuts the deck off along x + y = 146. Of a
    base turned by a, less than 45, an upper corner reaches that line first: its x + y is 4.5 cos a
    more than that of the base's middle. 72 + 149.5 sin a + 135 - 149.5 cos a + 4.5 cos a = 146, or
    149.5 sin a - 145 cos a = -61: a = asin(-61/hypot(149.5, 145)) + atan(145/149.5) = 27.09, where
    the first edge alone would allow 27.47. The corner is at (141.1, 4.9), on the edge from (144, 2)
    to (137, 9). bow: the number of the bowed edge.
    """
    a = math.asin(-61 / math.hypot(149.5, 145)) + math.atan(145 / 149.5)
    corners = [(0, 0), (144, 0), (144, 2), (137, 9), (137, 100), (0, 100)]
    conditions = ["open", "open", "open", "wall", "wall"]
    x = 72 + 149.5 * math.sin(a)
    if at_start:
        corners = [(144 - x, y) for x, y in [*corners[1::-1], *corners[:1:-1]]]
        conditions, x = conditions[::-1], 144 - x
    bowed = builders.edge(bow, open_end="edge", arc_rise=18)
    others = [builders.edge((bow + i) % 6, each) for i, each in enumerate(conditions, start=1)]
    layout = laid([*corners[6 - bow :], *corners[: 6 - bow]], edges=(bowed, *others))
    (post,) = [post for post in layout.posts if post.role == "end"]
    assert post.at == pytest.approx((x, 135 - 149.5 * math.cos(a)))


def test_what_a_wider_deck_behind_a_bow_has_far_off_counts_for_nothing() -> None:
    """Edges of a wider deck that lie past the base do not move the end post of a bow.

    The same bow before a deck that goes on beyond 144.5, and also on its other side. The step from
    144 to 144.5 at y = 1 passes below the base, whose corner comes to x = 144.5 at y = 1.67, below
    4.5: 151.75 sin a + 2.25 cos a = 72.5.
    """
    bow = builders.edge(0, open_end="edge", arc_rise=18)
    near = [(0, 0), (144, 0), (144, 1), (144.5, 1), (144.5, 4.5)]
    far = [(400, 4.5), (400, 400), (-300, 400), (-300, 4), (0, 4)]
    edges = [bow, *(builders.edge(i, "wall" if i in (7, 8, 9) else "open") for i in range(1, 10))]
    a = math.asin(72.5 / math.hypot(151.75, 2.25)) - math.atan(2.25 / 151.75)
    layout = laid([*near, *far], edges=tuple(edges))
    ends = [post.at for post in layout.posts if post.role == "end"]
    assert max(ends) == pytest.approx((72 + 149.5 * math.sin(a), 135 - 149.5 * math.cos(a)))


@pytest.mark.parametrize("kit", [SURFACE, FASCIA], ids=["surface", "fascia"])
def test_a_wall_in_line_with_the_edge(kit: Kit) -> None:
    """Where a wall lies in one line with the edge, the run ends in an end post half a base back
    from the corner, as no point of the railing line is on the wall."""
    outline = ((0.0, 0.0), (100.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0))
    layout = laid(outline, kit, edges=walls(1))
    post = next(p for p in layout.posts if p.id == layout.runs[0].end)
    assert post.role == "end"
    assert post.at == pytest.approx((100 - kit.post.base.width / 2, kit.post.setback))


def test_a_wall_at_an_inner_corner() -> None:
    """In an L whose inner wall turns right from the edge, the line at height s never meets the
    wall, so the run ends in an end post half a base back from the corner."""
    ell = ((0.0, 0.0), (100.0, 0.0), (100.0, -60.0), (200.0, -60.0), (200.0, 100.0), (0.0, 100.0))
    layout = laid(ell, edges=walls(1))
    post = next(p for p in layout.posts if p.id == layout.runs[0].end)
    assert post.role == "end"
    assert post.at == pytest.approx((100 - 2.25, S))


def test_an_opening_s_posts_are_flush_with_it() -> None:
    """An opening asked from 60, 40 wide, has its post centres half a post (1.125) beyond: 58.875
    and 101.125."""
    layout = laid(rectangle(200, 100), openings=(opening(0, 60, 40),))
    stairs = [post for post in layout.posts if post.role == "stair"]
    assert sorted(post.at[0] for post in stairs) == pytest.approx([58.875, 101.125])
    assert layout.openings[0].clear_width == pytest.approx(40)


@pytest.mark.parametrize(("start", "jamb"), [(2.25, True), (2.3, False), (0.0, True)])
def test_a_wall_is_the_jamb_within_a_post_s_width(start: float, jamb: bool) -> None:
    """An opening that begins within a post's width, 2.25, of a wall has the wall as its jamb.

    Edge 3 is the wall. There is then no post on that side, and the clear width runs from the wall's
    face.
    """
    layout = laid(rectangle(200, 100), edges=walls(3), openings=(opening(0, start, 40),))
    built = layout.openings[0]
    assert (built.start is None) == jamb
    assert built.clear_width == pytest.approx(start + 40 if jamb else 40)


@pytest.mark.parametrize(("start", "serves"), [(7.99, True), (8.01, False)])
def test_the_corner_post_serves_an_opening_beside_it(start: float, serves: bool) -> None:
    """The corner post is also the opening's post where the opening's own would stand too near it.

    The corner post is at 3.5; the opening's would be at start - 1.125, which is within half a post
    and half a base (1.125 + 2.25) of it for a start up to 8. Then the clear width begins at 4.625.
    """
    layout = laid(rectangle(200, 100), openings=(opening(0, start, 40),))
    built = layout.openings[0]
    roles = {post.id: post.role for post in layout.posts}
    assert (roles[built.start or ""] == "corner") == serves
    assert built.clear_width == pytest.approx(start + 40 - 4.625 if serves else 40)


def test_two_openings_a_post_apart_share_it() -> None:
    """Two openings a post's width apart share one post; less than that apart they are refused.

    From 40 to 80 and from 82.25: the one post between, 2.25 wide, has the weightier of the two
    roles.
    """
    pair = (opening(0, 40, 40, "passage", "a"), opening(0, 82.25, 40, "stair", "b"))
    layout = laid(rectangle(200, 100), openings=pair)
    first, second = layout.openings
    assert first.end == second.start
    between = next(post for post in layout.posts if post.id == first.end)
    assert between.role == "stair"
    assert between.at[0] == pytest.approx(81.125)
    nearer = replace(pair[1], start=82.0)
    with pytest.raises(Unbuildable) as refused:
        laid(rectangle(200, 100), openings=(pair[0], nearer))
    assert [problem.code for problem in refused.value.problems] == ["openings_too_close"]


@pytest.mark.parametrize(
    ("use", "role"), [("stair", "stair"), ("gate", "gate"), ("passage", "end")]
)
def test_roles_beside_an_opening(use: str, role: str) -> None:
    """Posts beside a stair or a gate have the role stair or gate; those beside a passage are end
    posts."""
    layout = laid(rectangle(200, 100), openings=(opening(0, 60, 40, use),))
    assert [p.role for p in layout.posts if p.role not in ("corner", "line")] == [role, role]


@pytest.mark.parametrize("clockwise", [False, True])
def test_a_gate_s_hinge_is_on_the_caller_s_near_side(clockwise: bool) -> None:
    """Near is toward the edge's first corner as the caller numbers it, in either direction of the
    outline."""
    points = rectangle(200, 100)
    number, start = 0, 60.0
    if clockwise:
        points, number, start = points[::-1], 2, 60.0
    gate = opening(number, start, 30, "gate")
    for hinge in ("near", "far"):
        layout = laid(points, openings=(replace(gate, hinge=hinge),))
        places = {post.id: post.at for post in layout.posts}
        built = layout.openings[0]
        first = points[number]
        assert built.hinge_post is not None
        assert built.latch_post is not None
        nearer = math.dist(places[built.hinge_post], first) < math.dist(
            places[built.latch_post], first
        )
        assert nearer == (hinge == "near")


def test_a_column_cuts_the_line_as_a_wall_would() -> None:
    """A column 6 square across the line at 100 has faces at 97 and 103, with a wall bracket on
    each."""
    layout = laid(rectangle(200, 100), obstructions=(builders.block(100, S, 6),))
    first, second = (run for run in layout.runs if run.edge == 0)
    assert (first.end, second.start) == (None, None)
    assert first.length == pytest.approx(97 - S)
    assert second.length == pytest.approx(197 - 3 - S - 97)


def test_a_turned_column_is_met_on_the_line_with_its_face_s_skew() -> None:
    """The run ends where the strip first touches a turned column, at the skew of the column's
    faces.

    A square column is turned by 45 degrees, a corner toward the post: the strip one post wide first
    touches it at that corner, 100 - 4.2426, and its faces are 45 degrees off square.
    """
    half = 3 * math.sqrt(2)
    diamond = builders.obstruction(
        [(100 - half, S), (100, S - half), (100 + half, S), (100, S + half)]
    )
    layout = laid(rectangle(200, 100), obstructions=(diamond,))
    first = layout.runs[0]
    assert first.length == pytest.approx(100 - half - S)
    bay = [bay for bay in layout.bays if bay.run == "R1"][-1]
    assert bay.ends[1] == "swivel"
    assert bay.skews[1] == pytest.approx(45)


def test_each_face_of_a_column_has_its_own_skew() -> None:
    """Its left face is square to the line, so the skew is 0; its right one runs 20 along the line
    for 20 across it, so the skew is 45."""
    column = builders.obstruction(
        [(97.0, S - 10), (100.0, S - 10), (120.0, S + 10), (97.0, S + 10)]
    )
    layout = laid(rectangle(240, 100), obstructions=(column,))
    first, second = (run.id for run in layout.runs if run.edge == 0)
    left = [bay for bay in layout.bays if bay.run == first][-1]
    right = next(bay for bay in layout.bays if bay.run == second)
    assert (left.ends[1], left.skews[1]) == ("wall", 0)
    assert right.ends[0] == "swivel"
    assert right.skews[0] == pytest.approx(45)


@pytest.mark.parametrize(("x", "y"), [(100.0, 20.0), (100.0, -20.0), (-20.0, 50.0)])
def test_what_stands_clear_of_the_line_is_nothing(x: float, y: float) -> None:
    """An obstruction off the line changes no run."""
    bare = laid(rectangle(200, 100))
    assert laid(rectangle(200, 100), obstructions=(builders.block(x, y, 6),)).runs == bare.runs


def test_a_plan_keeps_the_caller_s_numbers() -> None:
    """A clockwise outline keeps its edge numbers: taken counter-clockwise from corner 3, the
    caller's edges come as 2, 1, 0, 3."""
    plan = read_outline(builders.level(rectangle(200, 100)[::-1]), "in")
    assert plan.points[0] == (0.0, 0.0)
    assert plan.numbers == (2, 1, 0, 3)
    lengths = [plan.edge_length(j) for j in range(4)]
    assert lengths == [200, 100, 200, 100]


def test_a_fascia_base_keeps_off_what_stands_at_the_rim() -> None:
    """An obstruction at the rim that the line passes keeps the bases of fascia posts off it.

    The column's outer face is 0.1 in outside the rim, along 90 to 110 of edge 0 (line 204.5). A
    post's face is 1 in off the rim, so the line is not cut; but its base, 4 wide, reaches back to
    the rim itself, so no post may stand from 88 to 112. The middle post of four even bays would
    stand at 100.
    """
    column = builders.obstruction([(90.0, -0.1), (110.0, -0.1), (110.0, 6.0), (90.0, 6.0)])
    layout = laid(rectangle(200, 100), FASCIA, obstructions=(column,))
    assert len([run for run in layout.runs if run.edge == 0]) == 1
    for post in layout.posts:
        assert shapely.Polygon(post.base).intersection(shapely.Polygon(column.points)).area < 1e-5


@pytest.mark.parametrize(("depth", "short"), [(9.26, False), (9.24, True)])
def test_an_edge_too_short_for_its_posts(depth: float, short: bool) -> None:
    """An edge is refused where its line is shorter than two half posts.

    The line of an edge is two setbacks, 7, shorter than the edge, and two half posts, 2.25, must
    fit on it.
    """
    if not short:
        assert laid(rectangle(200, depth)).small_stretches
        return
    with pytest.raises(Unbuildable) as refused:
        laid(rectangle(200, depth))
    assert {problem.code for problem in refused.value.problems} == {"too_short_for_posts"}
    assert len(refused.value.problems) == 2


def dumbbell(neck: float) -> tuple[Point, ...]:
    """Two squares of 100 joined by a neck 100 long."""
    low, high = 50 - neck / 2, 50 + neck / 2
    left = [(100.0, high), (100.0, 100.0), (0.0, 100.0), (0.0, 0.0), (100.0, 0.0), (100.0, low)]
    return (*left, *((300 - x, 100 - y) for x, y in left))


@pytest.mark.parametrize("neck", [6, 4])
def test_a_neck_too_narrow_for_two_railings(neck: float) -> None:
    """Set in by 3.5, the two lines of a neck under 7 wide change places: the railing line crosses
    itself."""
    with pytest.raises(Unbuildable) as refused:
        laid(dumbbell(neck))
    assert {problem.code for problem in refused.value.problems} == {"railing_crosses_itself"}


def test_a_neck_wide_enough() -> None:
    """A neck of 16 leaves 9 between the lines, which is room for two bases of 4.5."""
    assert not laid(dumbbell(16)).clashes


def test_a_clockwise_deck_is_numbered_edge_by_edge_as_the_caller_has_them() -> None:
    """Runs R1 to R4 are on the caller's edges 0 to 3, each numbered along from its
    counter-clockwise start."""
    layout = laid(rectangle(200, 100)[::-1])
    assert [(run.id, run.edge) for run in layout.runs] == [(f"R{n + 1}", n) for n in range(4)]
    places = {post.id: post.at for post in layout.posts}
    # Caller's edge 0 runs from (0, 100) to (200, 100); counter-clockwise it begins at x = 196.5.
    first = layout.runs[0]
    assert places["P1"] == pytest.approx((200 - S, 100 - S))
    assert (first.start, first.end) == ("P1", f"P{len(first.marks)}")
    assert [bay.run for bay in layout.bays] == sorted(bay.run for bay in layout.bays)


def test_a_surface_base_keeps_off_what_stands_beside_the_line() -> None:
    """An obstruction beside the line that only bases reach moves the posts, but does not cut the
    line.

    A column from 5 to 11 in from the edge, along 120 to 140; posts reach to 4.625 in from the edge,
    bases to 5.75. So the line is not cut, and no post may stand from 117.75 to 142.25. The middle
    post of four even bays would stand at 130.
    """
    column = builders.obstruction([(120.0, 5.0), (140.0, 5.0), (140.0, 11.0), (120.0, 11.0)])
    layout = laid(rectangle(260, 100), obstructions=(column,))
    bare = laid(rectangle(260, 100))
    assert [run.length for run in layout.runs] == [run.length for run in bare.runs]
    assert layout.runs[0].marks != bare.runs[0].marks
    for post in layout.posts:
        assert shapely.Polygon(post.base).intersection(shapely.Polygon(column.points)).area < 1e-5


def test_a_column_meets_the_wall_end_of_its_own_edge() -> None:
    """In a run over two edges, an obstruction is met as `wall_end` of the edge in front of it says.

    Edges 0 and 1 lie in one line and make one run; edge 1 has wall_end `post`. Only the column on
    edge 1, at 150, has end posts beside it.
    """
    outline = ((0.0, 0.0), (100.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0))
    said = (builders.edge(1, "guard", wall_end="post"),)
    ends = []
    for x in (50, 150):
        layout = laid(outline, edges=said, obstructions=(builders.block(x, S, 6),))
        ends.append(sorted(post.at[0] for post in layout.posts if post.role == "end"))
    assert ends == [[], pytest.approx([144.75, 155.25])]


def test_the_gap_between_a_pair_of_corner_posts() -> None:
    """The two posts of a pair, 2.5 wide, stand 2 back from the corner and 2.25 out: their faces are
    1.75 apart both ways."""
    layout = laid(rectangle(200, 100), builders.PAIR)
    assert [gap.kind for gap in layout.gaps] == ["pair"] * 4
    assert [gap.width for gap in layout.gaps] == pytest.approx([1.75 * math.sqrt(2)] * 4)
    for gap in layout.gaps:
        assert len(set(gap.where)) == 2


def test_a_fascia_base_in_plan() -> None:
    """A fascia base reaches from the rim to the post's outer face, 2.25 + 1.25 = 3.5, and is 4 long
    along the rim."""
    layout = laid(rectangle(200, 100), FASCIA, openings=(opening(0, 60, 40),))
    post = next(post for post in layout.posts if post.role == "stair")
    assert post.at == pytest.approx((58.75, -2.25))
    assert shapely.Polygon(post.base).bounds == pytest.approx((56.75, -3.5, 60.75, 0.0))
    assert shapely.Polygon(post.base).area == pytest.approx(4 * 3.5)


TANGLES = {
    "a bow tie on a corner post": [(0.0, 0.0), (20.0, 20.0), (20.0, 0.0), (0.0, 20.0)],
    "a bow tie over an edge": [(0.0, 0.0), (2000.0, 2000.0), (2000.0, 0.0), (0.0, 2000.0)],
    "a bow tie between posts": [(80.0, 3.0), (120.0, 43.0), (120.0, 3.0), (80.0, 43.0)],
    "a bow tie across the line": [(90.0, 0.0), (110.0, 20.0), (110.0, 0.0), (90.0, 20.0)],
    "no area": [(90.0, 3.0), (110.0, 3.0), (100.0, 3.0)],
    "a spike out and back": [(90.0, 0.0), (96.0, 0.0), (96.0, 6.0), (93.0, 6.0), (96.0, 6.0)],
}


@pytest.mark.parametrize("name", TANGLES)
def test_a_tangled_obstruction_is_refused(name: str) -> None:
    """An obstruction whose sides cross or that encloses nothing is refused, with a pointer to
    it."""
    solid = builders.obstruction(TANGLES[name])
    with pytest.raises(Unbuildable) as refused:
        laid(rectangle(200, 100), obstructions=(solid,))
    assert all(found.pointer.startswith(solid.pointer) for found in refused.value.problems)
