"""The railing lines of real decks against shapely's mitred offset, and bases against the deck.

shapely's buffer with mitred joins is another way to the same line: each edge is moved by the
setback, and neighbours meet where they cross.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

import pytest
import shapely

from service.core.levels.railing import PostUse
from service.core.measure import Point
from service.core.problems import Unbuildable
from service.core.records.deck import Drops
from service.core.records.kit import Kit, Pane
from service.core.records.layout import Layout, Role
from tests.core import builders
from tests.core.sloping import MILLIMETRE

KITS = [builders.SURFACE, builders.FASCIA]


def no_straight_corner(points: tuple[Point, ...]) -> bool:
    """Whether every corner turns by 0.05 degrees or more, so that each edge has a run of its
    own."""
    for i, (x, y) in enumerate(points):
        (ax, ay), (bx, by) = points[i - 1], points[(i + 1) % len(points)]
        turn = math.atan2(by - y, bx - x) - math.atan2(y - ay, x - ax)
        if abs((math.degrees(turn) + 180) % 360 - 180) < 0.05:
            return False
    return True


def offset_decks(kit: Kit) -> Iterator[tuple[tuple[Point, ...], Layout, shapely.Polygon]]:
    """Real decks railed all round whose mitred offset keeps their corners, each with layout and
    offset."""
    for _, points in builders.real_outlines():
        if not no_straight_corner(points):
            continue
        offset = shapely.Polygon(points).buffer(
            -kit.post.setback, join_style="mitre", mitre_limit=1e4
        )
        if offset.geom_type != "Polygon" or len(offset.exterior.coords) - 1 != len(points):
            continue
        try:
            yield points, builders.laid(points, kit), offset
        except Unbuildable:
            continue


@pytest.mark.parametrize(
    ("kit", "least"), [(KITS[0], 50), (KITS[1], 50)], ids=["surface", "fascia"]
)
def test_the_line_is_the_mitred_offset(kit: Kit, least: int) -> None:
    """Corner posts stand on the offset's corners; each run is as long as its two are apart, and the
    runs together have the offset's perimeter and enclose its area.

    shapely lets a point be off by 1e-6 across the line; at a corner of 0.1 degrees that is 2e-3
    along it.
    """
    compared = 0
    for points, layout, offset in offset_decks(kit):
        corners = offset.exterior.coords[:-1]
        ends = {name for run in layout.runs for name in (run.start, run.end)}
        fixed = [post.at for post in layout.posts if post.id in ends]
        assert len(layout.runs) == len(points) == len(fixed)
        assert all(nearest(corner, fixed) < 2e-3 for corner in corners)
        total = math.fsum(run.length for run in layout.runs)
        assert total == pytest.approx(offset.length, abs=1e-5)
        places = {post.id: post.at for post in layout.posts}
        for run in layout.runs:
            assert run.start is not None
            assert run.end is not None
            apart = math.dist(places[run.start], places[run.end])
            assert run.length == pytest.approx(apart, abs=1e-6)
        ring = tuple(places[run.start] for run in layout.runs if run.start)
        assert builders.shoelace(ring) == pytest.approx(offset.area, abs=1e-2)
        compared += 1
    assert compared >= least


@pytest.mark.parametrize("kit", KITS, ids=["surface", "fascia"])
def test_every_post_stands_on_the_line(kit: Kit) -> None:
    """Every post, those between corners included, is on the offset line."""
    for _, layout, offset in offset_decks(kit):
        for post in layout.posts:
            assert offset.exterior.distance(shapely.Point(post.at)) < 1e-5


def nearest(point: Point, others: list[Point]) -> float:
    """Distance to the nearest of some points."""
    return min(math.dist(point, other) for other in others)


def square(centre: Point, width: float, degrees: float) -> list[Point]:
    """Corners of a turned square."""
    half = width / 2
    corners = [(-half, -half), (half, -half), (half, half), (-half, half)]
    return list(builders.turned(corners, degrees, centre))


def inside(point: Point, ring: tuple[Point, ...]) -> bool:
    """Whether a point lies in a ring, by the even-odd rule."""
    x, y = point
    held = False
    for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            held = not held
    return held


def to_segment(point: Point, a: Point, b: Point) -> float:
    """Distance from a point to a segment."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    share = ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / (dx * dx + dy * dy)
    share = max(0.0, min(1.0, share))
    return math.hypot(point[0] - a[0] - share * dx, point[1] - a[1] - share * dy)


def past(point: Point, ring: tuple[Point, ...]) -> float:
    """Distance of a point from a ring, 0 inside it."""
    if inside(point, ring):
        return 0.0
    after = (*ring[1:], ring[0])
    return min(to_segment(point, a, b) for a, b in zip(ring, after, strict=True))


def rim(corners: list[Point], parts: int) -> Iterator[Point]:
    """Points along the sides of a figure."""
    for (ax, ay), (bx, by) in zip(corners, corners[1:] + corners[:1], strict=True):
        for i in range(parts):
            yield ax + (bx - ax) * i / parts, ay + (by - ay) * i / parts


def test_surface_bases_stand_on_the_deck() -> None:
    """Every base of every real deck, sampled along its sides, overhangs as far as `BaseSeen` says.

    A base of 4.5 in has samples 4.5/24 apart, so the greatest one may fall short by that much. At a
    setback of 2.5 a square of half width 2.25 overhangs where it is turned to a corner. Over an
    inner bend the furthest point can lie between two corners of the overhanging part: 0.01 is
    allowed.
    """
    kit, parts, overhanging = builders.with_post(builders.SURFACE, setback=2.5), 24, 0
    width = kit.post.base.width
    for _, points in builders.real_outlines():
        try:
            layout = builders.laid(points, kit)
        except Unbuildable:
            continue
        seen = {base.post: base.overhang for base in layout.bases}
        assert set(seen) == {post.id for post in layout.posts}
        for post in layout.posts:
            corners = square(post.at, width, post.turned)
            assert all(nearest(corner, list(post.base)) < 1e-9 for corner in corners)
            sampled = max(past(point, points) for point in rim(corners, parts))
            sampled = 0.0 if sampled < 1e-5 else sampled
            overhanging += seen[post.id] > 0
            assert seen[post.id] >= sampled - 0.01
            assert seen[post.id] <= sampled + width / parts
    assert overhanging > 0


def test_fascia_bases_hang_on_their_own_rim() -> None:
    """Each base's inner side lies along one edge; its overhang is how far it passes that edge's
    ends.

    Posts that two rims share (at a bend or a bracketed corner) have no rim of their own.
    """
    kit, checked, overhanging = builders.PAIR, 0, 0
    for _, points in builders.real_outlines():
        try:
            layout = builders.laid(points, kit)
        except Unbuildable:
            continue
        posts = {post.id: post for post in layout.posts}
        bends = {post.id for post in layout.posts if post.role == "line"} & {
            name for run in layout.runs for name in (run.start, run.end)
        }
        for seen in layout.bases:
            if seen.post in bends:
                assert seen.overhang == 0
                continue
            past_ends = min(beyond_rim(posts[seen.post].base, points), default=math.inf)
            assert seen.overhang == pytest.approx(past_ends, abs=1e-5)
            checked += 1
            overhanging += seen.overhang > 0
    assert checked > 500
    assert overhanging > 0


def beyond_rim(base: tuple[Point, ...], points: tuple[Point, ...]) -> Iterator[float]:
    """For each edge (or straight row of edges) that a base lies along: how far the base passes its
    ends."""
    for a, b in straight_rows(points):
        length = math.dist(a, b)
        ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
        off = [(y - a[1]) * ux - (x - a[0]) * uy for x, y in base]
        along = [(x - a[0]) * ux + (y - a[1]) * uy for x, y in base]
        if sum(abs(distance) < 1e-5 for distance in off) == 2 and max(off) < 1e-5:
            yield max(0.0, -min(along), max(along) - length)


def straight_rows(points: tuple[Point, ...]) -> Iterator[tuple[Point, Point]]:
    """Edges, and rows of edges in which each is within 0.05 degrees of the one before."""
    count = len(points)
    for i in range(count):
        row = [points[i], points[(i + 1) % count]]
        yield row[0], row[1]
        for k in range(2, count):
            row.append(points[(i + k) % count])
            (ax, ay), (bx, by), (cx, cy) = row[-3:]
            turn = math.atan2(cy - by, cx - bx) - math.atan2(by - ay, bx - ax)
            if abs((math.degrees(turn) + 180) % 360 - 180) >= 0.05:
                break
            yield row[0], row[-1]


VERTICAL = ((0, 0), (240, 0), (240, 100), (240, 200), (0, 200))
"""Edges 1 and 2 are in one line."""
UNLIKE: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "their height": ({}, {"height": 42.0}),
    "their infill": ({}, {"infill": "glass"}),
    "the pane": ({"infill": "glass", "glass": 0}, {"infill": "glass", "glass": 1}),
    "the drop": ({}, {"drops": Drops(20.0)}),
}
ALIKE: dict[str, tuple[dict[str, Any], dict[str, Any]]] = {
    "nothing": ({}, {}),
    "the pane of pickets": ({}, {"glass": 1}),
}
TWO_PANES = builders.with_glass(builders.SURFACE, panes=2 * (Pane(0.25, 6.0, 0.219, "tempered"),))


@pytest.mark.parametrize(
    ("one", "other", "runs"),
    [*((*said, 2) for said in UNLIKE.values()), *((*said, 1) for said in ALIKE.values())],
    ids=[*UNLIKE, *ALIKE],
)
def test_edges_in_one_line_are_one_run_where_they_are_alike(
    one: dict[str, Any], other: dict[str, Any], runs: int
) -> None:
    """Two edges in one line are parted by a difference in height, infill, pane or drop.

    Where they are parted, a line post stands where they meet, at y = 100, as high as the higher of
    the two.
    """
    edges = (*builders.walls(0, 3, 4), builders.edge(1, **one), builders.edge(2, **other))
    layout = builders.laid(VERTICAL, TWO_PANES, edges=edges)
    assert len(layout.runs) == runs
    met = [post for post in layout.posts if abs(post.at[1] - 100.0) < 1e-6]
    if runs == 2:
        assert [post.role for post in met] == ["line"]
        assert met[0].height == other.get("height", 36.0)


def test_an_open_edge_is_no_part_of_the_run_before_it_in_one_line() -> None:
    """The run on edge 1 ends where open edge 2 begins, 100 from the line of the wall where it
    starts."""
    edges = (*builders.walls(0, 3, 4), builders.edge(2, "open"))
    (run,) = builders.laid(VERTICAL, edges=edges).runs
    assert run.length == pytest.approx(100.0)


def test_an_opening_in_the_second_of_two_edges_in_one_line() -> None:
    """An opening in the second edge of a run is placed from that edge's first corner, at any turn
    of the deck.

    It runs from 20 to 60 of edge 2, which begins 100 from the first corner of edge 1; its posts'
    centres stand 1.125 beyond, at 118.875 and 161.125.
    """
    passage = builders.opening(2, 20, 40, use="passage")
    points = builders.turned(VERTICAL, 30.0, (50.0, 70.0))
    layout = builders.laid(points, edges=builders.walls(0, 3, 4), openings=(passage,))
    (x, y), (ux, uy) = points[1], (-math.sin(math.pi / 6), math.cos(math.pi / 6))
    along = {post.id: (post.at[0] - x) * ux + (post.at[1] - y) * uy for post in layout.posts}
    (opened,) = layout.openings
    jambs = sorted(along[post] for post in (opened.start, opened.end) if post is not None)
    assert jambs == pytest.approx([118.875, 161.125])


def test_the_base_of_a_fascia_post() -> None:
    """A fascia base is 4 long along the rim, and reaches from the rim to 3.5 off it: the outer face
    of a post of 2.5 whose middle hangs 2.25 off."""
    layout = builders.laid(builders.rectangle(240, 144), builders.FASCIA, edges=builders.walls(2))
    bases = {post.at: post.base for post in layout.posts if post.role == "line"}
    assert bases[120.0, -2.25] == ((118, -3.5), (122, -3.5), (122, 0), (118, 0))


@pytest.mark.parametrize("pipe", [(101.0, 103.0), (108.0, 112.0), (97.0, 101.0)])
def test_a_line_goes_on_past_all_that_stands_in_one_another(pipe: tuple[float, float]) -> None:
    """Two obstructions that overlap cut the line once, from the first face to the last.

    A column stands in the line from 100 to 110, and a pipe inside it or across one of its ends: the
    rails end at the first face of the two and go on after the last.
    """
    held = [(100.0, 110.0), pipe]
    layout = builders.laid(
        builders.rectangle(240, 144),
        edges=builders.walls(1, 2, 3),
        obstructions=tuple(builders.block((a + b) / 2, 3.5, b - a, 4.0) for a, b in held),
    )
    before, after = (run.length for run in layout.runs if run.edge == 0)
    assert before == pytest.approx(min(100.0, pipe[0]))
    assert after == pytest.approx(240.0 - max(110.0, pipe[1]))


@pytest.mark.parametrize(
    ("own", "role"), [("end", "stair"), ("corner", "corner"), ("line", "line")]
)
def test_a_post_beside_an_opening(own: Role, role: Role) -> None:
    """An end post takes the role of the weightiest opening beside it; corner and line posts keep
    theirs."""
    assert PostUse(["gate", "stair"], [], [], []).role(own) == role


@pytest.mark.parametrize("apart", [0.0, 1e-5, 9e-4])
def test_what_is_drawn_as_touching_leaves_no_run_between(apart: float) -> None:
    """Obstructions a hair off a wall or off each other touch it, and no run lies between.

    Corners of a turned deck are given to 0.0001. Between the walls at 0 and 240 one column stands
    from 0 to 10, and two stand from 100 to 120: the runs go from 10 to 100 and from 120 to 240.
    """
    spans = [(apart, 10.0), (100.0, 110.0), (110.0 + apart, 120.0)]
    layout = builders.laid(
        builders.rectangle(240, 144),
        edges=builders.walls(1, 2, 3),
        obstructions=tuple(builders.block((a + b) / 2, 3.5, b - a, 4.0) for a, b in spans),
    )
    assert [run.marks[-1] for run in layout.runs] == [90.0, 120.0]


@pytest.mark.parametrize("turned", [10, 77, 90, 200])
def test_a_row_of_bends_is_parted_alike_however_the_deck_is_turned(turned: float) -> None:
    """A row of tiny bends is parted at the same bend, whichever way the deck is turned.

    Five edges of 60 in, each 0.049 degrees off the one before: the second and the third bend lie
    equally far off the row's one line, and the first of them counter-clockwise parts the row, 2
    edges from 3.
    """
    along = [math.radians(0.049 * i) for i in range(5)]
    points = [(0.0, 0.0)]
    for heading in along:
        x, y = points[-1]
        points.append((x + 60 * math.cos(heading), y + 60 * math.sin(heading)))
    points += [(points[-1][0] - 3, points[-1][1] + 144), (0.0, 144.0)]
    cos, sin = math.cos(math.radians(turned)), math.sin(math.radians(turned))
    moved = tuple((cos * x - sin * y, sin * x + cos * y) for x, y in points)
    straight, aslant = (
        [(run.edge, round(run.length, 4)) for run in builders.laid(each, builders.SURFACE).runs]
        for each in (tuple(points), moved)
    )
    assert straight == aslant
    assert [edge for edge, _ in straight] == [0, 2, 5, 6, 7]


SPIKES = [(0.125, True), (0.1249, True), (0.126, False), (1.0, False)]
"""How far apart the two edges of a spike 14 long are at its foot, and whether that is within 1/8:
two readings of a tape may each be 1/16 out."""


@pytest.mark.parametrize(("foot", "folded"), SPIKES)
@pytest.mark.parametrize("turned_round", [False, True])
@pytest.mark.parametrize("bowed", [False, True])
def test_edges_that_fold_back_on_each_other_are_refused(
    foot: float, folded: bool, turned_round: bool, bowed: bool
) -> None:
    """Guarded edges that fold back on each other within 1/8 are refused; wider spikes are built.

    The kit hangs its posts outside the deck, so a spike that is built has a post
    2.25/sin(atan(foot/14)/2) off its tip. An edge that bows away does not lie on the other: even
    with its chord on the other it may be a deck.
    """
    points = ((0, 0), (254, 0), (240, foot), (240, 144), (0, 144))
    arc = builders.edge(3 if turned_round else 0, arc_rise=20)
    wall = builders.edge(1 if turned_round else 2, "wall")
    edges = (wall, arc) if bowed else (wall,)
    codes = set()
    try:
        builders.laid(points[::-1] if turned_round else points, builders.FASCIA, edges=edges)
    except Unbuildable as refusal:
        codes = {problem.code for problem in refusal.problems}
    assert ("outline_crosses_itself" in codes) == (folded and not bowed)


@pytest.mark.parametrize("turned_round", [False, True])
@pytest.mark.parametrize(("railed", "said"), [((), ""), ((3,), "3 and 4"), ((4,), "3 and 4")])
@pytest.mark.parametrize("condition", ["wall", "open"])
def test_a_slit_between_edges_without_a_guard_is_built(
    condition: str, railed: tuple[int, ...], said: str, turned_round: bool
) -> None:
    """A slit is refused only where one of its two edges is guarded; the message names both edges.

    It is cut 44 deep into edge 2, 0.11 wide: edges 3 and 4 turn by 180 - atan(0.1/44) -
    atan(0.01/44) = 179.857. With a guard on neither, no line is set in from them, and the railing
    on edges 1, 0 and 6 has three runs. With the outline reversed edge i is edge 5 - i, and edge 6
    itself.
    """
    points = [(0, 0), (240, 0), (240, 144), (120.1, 144), (120, 100), (119.99, 144), (0, 144)]
    bare = [number for number in (2, 3, 4, 5) if number not in railed]
    if turned_round:
        points, bare, said = points[::-1], [5 - i for i in bare], said and "1 and 2"
    edges = tuple(builders.edge(number, condition) for number in bare)
    drawn = builders.laid_or_refused(builders.deck(points, edges=edges), builders.SURFACE)
    if isinstance(drawn, Layout):
        assert (len(drawn.runs), railed) == (3, ())
    else:
        assert [f"Edges {said} of" in each.message for each in drawn.problems] == [bool(railed)]


@pytest.mark.parametrize(("foot", "folded"), [(3.175, True), (3.2, False)])
def test_edges_that_fold_back_in_millimetres(foot: float, folded: bool) -> None:
    """In millimetres the limit of 1/8 is 3.175; the spike is 355 long, like the others."""
    points = ((0, 0), (6455, 0), (6100, foot), (6100, 3600), (0, 3600))
    deck = builders.deck(points, unit="mm", edges=(builders.edge(2, "wall"),))
    refused = builders.laid_or_refused(deck, MILLIMETRE)
    codes = {problem.code for problem in getattr(refused, "problems", ())}
    assert ("outline_crosses_itself" in codes) == folded


BACK = (200 - math.cos(math.radians(20)) / 16, math.sin(math.radians(20)) / 16)
"""1/16 from (200, 0), back by 160 degrees."""


@pytest.mark.parametrize(
    ("points", "walls", "runs"),
    [
        (((0, 0), (200, 0), BACK, (199.94, 144), (0, 144)), (1, 2, 3), {0: 194.25, 4: 140.5}),
        (
            ((0, 0), (199.9375, 0), (200, 0.0625), (200, 144), (0, 144)),
            (1, 2, 3),
            {0: 194.1875, 4: 140.5},
        ),
        (
            ((0, 0), (100, 0), (100, 0.0625), (200, 0.0625), (200, 144), (0, 144)),
            (1, 3, 4),
            {0: 94.25, 2: 97.75, 5: 140.5},
        ),
    ],
    ids=["notch", "chamfer", "step"],
)
def test_a_nick_that_turns_by_less_is_no_fold(
    points: tuple[Point, ...], walls: tuple[int, ...], runs: dict[int, float]
) -> None:
    """A notch of 1/16 that comes back by 160 degrees is not refused as a fold, nor are a corner
    chamfered by 1/16 and a step of 1/16, which turn by no more than 90.

    Each lies within 1/8 of its edge all along. The first run begins at the corner post, 3.5 in, and
    ends half a base of 4.5 before the nick, where no wall is that its line could meet: 200 - 5.75 =
    194.25, 199.9375 - 5.75 and 100 - 5.75. The last one comes from the wall at y = 144 to that
    corner post: 140.5. Past the step a run begins half a base from it and ends at the wall at
    x = 200: 100 - 2.25 = 97.75.
    """
    layout = builders.laid(points, builders.SURFACE, edges=builders.walls(*walls))
    assert {run.edge: run.length for run in layout.runs} == pytest.approx(runs)
