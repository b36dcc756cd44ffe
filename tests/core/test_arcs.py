"""Bowed edges compared with quadrature, circles through three points and dense arcs (method 10)."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest
import shapely

from service.core.line.arcs import ArcSide, arc_radius, arc_sweep
from service.core.line.rounds import ways_round
from service.core.line.strips import Strip
from service.core.measure import Point
from service.core.problems import Refusal, Unbuildable
from service.core.records.deck import NoPost
from service.core.records.kit import Kit
from service.core.records.layout import Layout, Post, Run
from tests.core import builders
from tests.core.builders import FASCIA, MILLIMETRE, SURFACE

RISES = (12.0, 24.0, 47.5, 3.0, -6.0, -20.0, -30.0)
"""Rises over a chord of 96, from shallow to nearly a half circle, outward and inward."""


def length_of(chord: float, rise: float) -> float:
    """Length of the arc over a chord."""
    return arc_radius(chord, rise) * arc_sweep(chord, rise)


@pytest.mark.parametrize(
    ("chord", "rise", "radius", "length"),
    [
        (10.0, 3.0, 5.6667, 12.2495),  # facts, engineering 10.3 and check values 104
        (96.0, 12.0, 102.0, 99.9513),  # check value 105
        (10.0, 8.0, 5.5625, 22.5214),  # check value 106; (25 + 64) / 16 = 5.5625
        (3000.0, 400.0, 3012.5, 3140.259),  # check value 107
        (100.0, 50.0, 50.0, 157.0796),  # half a circle: 50 pi
    ],
)
def test_published_arcs(chord: float, rise: float, radius: float, length: float) -> None:
    """An arc's radius is (c^2/4 + h^2) / 2h, its length by 4 atan(2h/c), from the engineering
    facts."""
    assert arc_radius(chord, rise) == pytest.approx(radius, abs=1e-4)
    assert length_of(chord, rise) == pytest.approx(length, abs=0.005 if chord > 999 else 5e-4)


def test_length_by_quadrature() -> None:
    """An arc's length is the integral of sqrt(1 + y'^2) over the chord, here by Gauss and Legendre,
    for flat arcs."""
    nodes, weights = np.polynomial.legendre.leggauss(200)
    rng = random.Random(5)
    for _ in range(200):
        chord = rng.uniform(20.0, 4000.0)
        rise = chord * rng.uniform(0.001, 0.3)
        x = nodes * chord / 2
        # The circle through both ends and the middle has its centre rise - radius above the chord.
        radius = (chord**2 / 4 + rise**2) / (2 * rise)
        slope = -x / np.sqrt(radius**2 - x**2)
        length = chord / 2 * float(weights @ np.sqrt(1 + slope**2))
        assert length_of(chord, rise) == pytest.approx(length, rel=1e-9)


def test_length_by_doubling() -> None:
    """An arc's length is what the chords of its halves, of their halves and so on come to, the way
    Archimedes went, up to a rise of 0.4999 c."""
    for share in (0.01, 0.2, 0.45, 0.499, 0.4999):
        chord, rise = 100.0, 100.0 * share
        radius, many = (chord**2 / 4 + rise**2) / (2 * rise), 1.0
        for _ in range(14):
            half = math.hypot(chord / 2, rise)
            chord, many = half, many * 2
            # Rise of an arc of radius r over chord c, written so that no digits are lost.
            rise = chord**2 / 4 / (radius + math.sqrt(radius**2 - chord**2 / 4))
        assert length_of(100.0, 100.0 * share) == pytest.approx(chord * many, rel=1e-7)


def circle(one: Point, two: Point, three: Point) -> tuple[Point, float]:
    """Centre and radius of the circle through three points, from two bisectors."""
    rows = [[2 * (b - a) for a, b in zip(one, other, strict=True)] for other in (two, three)]
    sums = [sum(b * b - a * a for a, b in zip(one, other, strict=True)) for other in (two, three)]
    x, y = np.linalg.solve(np.array(rows), np.array(sums)).tolist()
    return (x, y), math.dist((x, y), one)


def side(start: Point, end: Point, rise: float, setback: float) -> ArcSide:
    """A bowed side."""
    spec = builders.guard_spec(arc_rise=rise)
    chord = math.dist(start, end)
    return ArcSide(spec, start, end, (spec,), (0.0,), (chord,), rise=rise, setback=setback)


def test_place_and_locate() -> None:
    """`place` and `locate` are each other's inverse; the arc goes through both corners and the
    middle of the bow."""
    rng = random.Random(8)
    for _ in range(300):
        start = rng.uniform(-200, 200), rng.uniform(-200, 200)
        angle, chord = rng.uniform(0, 2 * math.pi), rng.uniform(60, 300)
        ux, uy = math.cos(angle), math.sin(angle)
        end = start[0] + chord * ux, start[1] + chord * uy
        rise = chord * rng.uniform(0.02, 0.49) * rng.choice([-1, 1])
        arc = side(start, end, rise, rng.choice([3.5, -2.25, 0.0]))
        assert arc.place(0.0, 0.0) == pytest.approx(start)
        assert arc.place(arc.length, 0.0) == pytest.approx(end)
        # Counter-clockwise, outward is to the right of the edge.
        bulge = (start[0] + end[0]) / 2 + uy * rise, (start[1] + end[1]) / 2 - ux * rise
        assert arc.place(arc.length / 2, 0.0) == pytest.approx(bulge)
        t, inward = rng.uniform(-0.1, 1.1) * arc.length, rng.uniform(-5, 5)
        assert arc.locate(arc.place(t, inward)) == pytest.approx((t, inward), abs=1e-6)
        near = [np.array(arc.place(t + d, 0.0)) for d in (-1e-4, 1e-4)]
        heading = math.radians(arc.heading_at(t))
        tangent = (near[1] - near[0]) / np.linalg.norm(near[1] - near[0])
        assert tangent @ (math.cos(heading), math.sin(heading)) == pytest.approx(1.0, abs=1e-6)


def bowed(kit: Kit, rise: float, turn: float = 0.0, scale: float = 1.0) -> Layout:
    """The layout of a deck of 96 by 120 whose first edge is bowed, with a wall along the opposite
    edge."""
    points = builders.turned(builders.rectangle(96 * scale, 120 * scale), turn)
    edges = (builders.edge(0, arc_rise=rise * scale), builders.edge(2, "wall"))
    unit = "in" if scale == 1 else "mm"
    return builders.laid(points, kit, edges=edges, unit=unit)


def along_arc(layout: Layout) -> tuple[list[Run], list[Post]]:
    """The runs of the bowed edge and the posts along it."""
    runs = [run for run in layout.runs if run.edge == 0]
    by_id = {post.id: post for post in layout.posts}
    names = [run.start for run in runs] + [runs[-1].end]
    return runs, [by_id[name] for name in names if name is not None]


CASES = [(kit, rise, turn) for kit in (SURFACE, FASCIA) for rise in RISES for turn in (0.0, 143.0)]


@pytest.mark.parametrize(("kit", "rise", "turn"), CASES)
def test_posts_on_the_concentric_circle(kit: Kit, rise: float, turn: float) -> None:
    """Posts stand equal chords apart on the edge's circle set in by the setback, and each chord is
    a run of one bay."""
    layout = bowed(kit, rise, turn)
    runs, posts = along_arc(layout)
    ends = builders.turned([(0, 0), (96, 0), (48, -rise)], turn)
    centre, radius = circle(*ends)
    radius -= kit.post.setback * math.copysign(1.0, rise)
    assert len(posts) == len(runs) + 1
    assert [math.dist(p.at, centre) for p in posts] == pytest.approx([radius] * len(posts))
    chords = [math.dist(a.at, b.at) for a, b in pairwise(posts)]
    assert chords == pytest.approx([chords[0]] * len(chords), abs=1e-6)
    for run, chord in zip(runs, chords, strict=True):
        assert run.marks == pytest.approx((0.0, chord), abs=1e-6)
        assert run.length == pytest.approx(chord, abs=1e-6)
    assert {post.role for post in posts[1:-1]} <= {"line"}


@pytest.mark.parametrize(("kit", "rise", "turn"), CASES)
def test_end_posts_on_both_lines(kit: Kit, rise: float, turn: float) -> None:
    """The bow's end posts lie on the circle (above) and on the straight neighbour set in by the
    setback, at the crossing nearest the corner."""
    _, posts = along_arc(bowed(kit, rise, turn))
    for post, x, corner in ((posts[0], 0.0, (0.0, 0.0)), (posts[-1], 96.0, (96.0, 0.0))):
        here = builders.turned([post.at], -turn)[0]
        inward = here[0] - x if x == 0 else x - here[0]
        assert inward == pytest.approx(kit.post.setback, abs=1e-6)
        # The straight line crosses the circle twice; the other one is farther from the corner.
        centre, _ = circle((0, 0), (96, 0), (48, -rise))
        other = here[0], 2 * centre[1] - here[1]
        assert math.dist(here, corner) <= math.dist(other, corner) + 1e-9


def off_normals(bay: Point, turned: float) -> list[float]:
    """Angles between a bay and each of the four face normals of a post."""
    heading = math.degrees(math.atan2(bay[1], bay[0]))
    return [abs((heading - turned - 90 * k + 180) % 360 - 180) for k in range(4)]


@pytest.mark.parametrize(("kit", "rise", "turn"), CASES)
def test_skews_as_vectors(kit: Kit, rise: float, turn: float) -> None:
    """A skew is the angle between chord and face normal, worked from where posts stand and how they
    are turned; inner posts are turned to the circle."""
    layout = bowed(kit, rise, turn)
    runs, posts = along_arc(layout)
    by_run = {bay.run: bay for bay in layout.bays}
    centre, _ = circle(*builders.turned([(0, 0), (96, 0), (48, -rise)], turn))
    for post in posts[1:-1]:
        spoke = math.degrees(math.atan2(post.at[1] - centre[1], post.at[0] - centre[0]))
        assert (post.turned - spoke + 45) % 90 == pytest.approx(45, abs=1e-4)
    for n, (run, (one, two)) in enumerate(zip(runs, pairwise(posts), strict=True)):
        bay = by_run.get(run.id)
        if bay is None:
            continue
        chord = two.at[0] - one.at[0], two.at[1] - one.at[1]
        back = -chord[0], -chord[1]
        for post, toward, skew, inner in (
            (one, chord, bay.skews[0], n > 0),
            (two, back, bay.skews[1], n + 1 < len(runs)),
        ):
            found = off_normals(toward, post.turned)
            assert min(abs(off - skew) for off in found) < 1e-4
            if inner:
                assert skew == pytest.approx(min(found), abs=1e-4)
                assert skew <= kit.swivel_greatest + 1e-6


@pytest.mark.parametrize(("kit", "rise"), [(k, r) for k in (SURFACE, FASCIA) for r in RISES])
def test_fewest_chords(kit: Kit, rise: float) -> None:
    """With one chord fewer the chords would be too long, or meet their posts at too great a
    skew."""
    runs, posts = along_arc(bowed(kit, rise))
    centre, _ = circle((0, 0), (96, 0), (48, -rise))
    radius = math.dist(posts[0].at, centre)
    angles = [math.atan2(p.at[1] - centre[1], p.at[0] - centre[0]) for p in posts]
    sweep = math.fsum(abs((b - a + math.pi) % (2 * math.pi) - math.pi) for a, b in pairwise(angles))

    def keeps(count: int) -> bool:
        chord = 2 * radius * math.sin(sweep / count / 2)
        skew = math.degrees(sweep / count / 2)
        return chord <= kit.max_centres["picket"] + 1e-6 and skew <= kit.swivel_greatest + 1e-6

    assert keeps(len(runs))
    assert not any(keeps(count) for count in range(1, len(runs)))


def dense(ends: Sequence[Point]) -> shapely.LineString:
    """The arc from the first point through the third to the second, in 20,000 chords."""
    start, end, middle = ends
    (cx, cy), radius = circle(start, end, middle)
    angles = [math.atan2(y - cy, x - cx) for x, y in (start, middle, end)]
    halves = [(b - a + math.pi) % (2 * math.pi) - math.pi for a, b in pairwise(angles)]
    steps = np.linspace(angles[0], angles[0] + sum(halves), 20_001)
    return shapely.LineString(
        np.column_stack([cx + radius * np.cos(steps), cy + radius * np.sin(steps)])
    )


@pytest.mark.parametrize(("kit", "rise", "turn"), CASES)
def test_middle_of_a_chord_over_the_edge(kit: Kit, rise: float, turn: float) -> None:
    """`middle` is the distance from the middle of each rail to the deck's edge, here drawn densely.
    For posts on the deck it is negative where the rail is off the deck, and for posts that hang
    outside where it is over the deck."""
    layout = bowed(kit, rise, turn)
    arc = dense(builders.turned([(0, 0), (96, 0), (48, -rise)], turn))
    rest = builders.turned([(96, 120), (0, 120)], turn)
    surface = shapely.Polygon([*arc.coords, *rest])
    runs, posts = along_arc(layout)
    seen = {one.run: one for one in layout.arcs}
    assert set(seen) == {run.id for run in runs}
    for run, (one, two) in zip(runs, pairwise(posts), strict=True):
        middle = shapely.Point((one.at[0] + two.at[0]) / 2, (one.at[1] + two.at[1]) / 2)
        over = surface.covers(middle) == (kit.mounting == "surface")
        distance = middle.distance(arc) * (1 if over else -1)
        assert seen[run.id].middle == pytest.approx(distance, abs=1e-3)
        assert seen[run.id].least == kit.post.width / 2


def test_tangent_arc() -> None:
    """A straight edge runs into an arc of its own tangent (200 long, then 60 degrees of a circle of
    radius 120). The post where they meet is on both lines, a setback from there square to the
    tangent."""
    radius, angle = 120.0, math.radians(60)
    chord, rise = 2 * radius * math.sin(angle / 2), radius * (1 - math.cos(angle / 2))
    end = 200 + chord * math.cos(angle / 2), chord * math.sin(angle / 2)
    far = end[0] + 100 * math.cos(angle), end[1] + 100 * math.sin(angle)
    points = ((0.0, 0.0), (200.0, 0.0), end, far, (0.0, far[1]))
    edges = (builders.edge(1, arc_rise=rise), *builders.walls(3, 4))
    for kit in (SURFACE, FASCIA):
        layout = builders.laid(points, kit, edges=edges)
        by_id = {post.id: post for post in layout.posts}
        runs = [run for run in layout.runs if run.edge == 1]
        first, last = by_id[str(runs[0].start)], by_id[str(runs[-1].end)]
        setback = kit.post.setback
        assert first.at == pytest.approx((200.0, setback), abs=1e-4)
        normal = -math.sin(angle), math.cos(angle)
        at = end[0] + setback * normal[0], end[1] + setback * normal[1]
        assert last.at == pytest.approx(at, abs=1e-4)
        straight = [run for run in layout.runs if run.edge == 0]
        assert straight[-1].end == first.id


def test_millimetre_arc() -> None:
    """With a metric kit on a bowed edge of 2400 rising 300, posts stand on the circle of radius
    2550 - s, the setback being s.

    (1200^2 + 300^2) / 600 = 2550.
    """
    layout = bowed(MILLIMETRE, 12.0, scale=25.0)
    _, posts = along_arc(layout)
    for post in posts:
        apart = math.dist(post.at, (1200.0, 2550.0 - 300.0))
        assert apart == pytest.approx(2550.0 - MILLIMETRE.post.setback)


WIDE = [
    (width, rise, height)
    for width in (66.0, 100.0, 140.0, 168.0)
    for rise in (0.1 * width, 0.2 * width, 0.35 * width)
    for height in (36.0, 44.0, 48.0)
]
"""Bowed fronts with glass, several of which need more chords for their panels than for their
spacing: at a height of 48 the kit's greatest area governs."""


def check_stances(layout: Layout, kit: Kit) -> int:
    """Check skews against the posts' places alone, and return how many corners between two bays
    were seen.

    Each end's skew is the angle between the bay and a face normal of its post; at a corner the
    skews are what the turn between its two bays says (contract, section 6.2).
    """
    posts = {post.id: post for post in layout.posts}
    ways: dict[str, list[tuple[float, float]]] = {}
    for bay in layout.bays:
        if bay.start is None or bay.end is None:
            continue
        a, b = posts[bay.start], posts[bay.end]
        along = b.at[0] - a.at[0], b.at[1] - a.at[1]
        for post, toward, skew, end in (
            (a, along, bay.skews[0], bay.ends[0]),
            (b, (-along[0], -along[1]), bay.skews[1], bay.ends[1]),
        ):
            assert min(abs(off - skew) for off in off_normals(toward, post.turned)) < 1e-4
            assert end == ("swivel" if skew > kit.square_limit + 1e-6 else "socket")
            ways.setdefault(post.id, []).append(
                (math.degrees(math.atan2(along[1], along[0])), skew)
            )
    corners = [ways[p.id] for p in layout.posts if p.role == "corner" and p.id in ways]
    corners = [both for both in corners if len(both) == 2]
    for (one, skew), (two, other) in corners:
        turn = abs((two - one + 180) % 360 - 180)
        if turn < 60:
            assert (skew, other) == pytest.approx((turn / 2, turn / 2), abs=1e-4)
        else:
            assert min(skew, other) == pytest.approx(0, abs=1e-4)
            assert max(skew, other) == pytest.approx(min(turn, abs(90 - turn)), abs=1e-4)
    return len(corners)


@pytest.mark.parametrize(("width", "rise", "height"), WIDE)
def test_corner_posts_are_posed_for_the_chords_that_are_built(
    width: float, rise: float, height: float
) -> None:
    """Corner posts of a bow are posed for its chords as they are built, also where its panels need
    more chords than its spacing does."""
    layout = builders.laid(
        builders.rectangle(width, 96),
        infill="glass",
        height=height,
        edges=(builders.edge(0, arc_rise=rise), builders.edge(2, "wall")),
    )
    assert check_stances(layout, SURFACE)


SKEW_ENDS = [(0, 0), (160, -30), (130, -90), (220, -80), (200, 90), (90, 150), (-20, 120)]
"""An outline of which no two corners turn alike; its bow runs from an outer corner to an inner
one."""


@pytest.mark.parametrize("rise", [10.0, 24.0, -14.0])
@pytest.mark.parametrize("kit", [SURFACE, FASCIA, builders.PAIR], ids=["surface", "fascia", "pair"])
@pytest.mark.parametrize("walls", [(), (1,), (6,), (5,)])
def test_corner_posts_wherever_a_bow_ends(kit: Kit, walls: tuple[int, ...], rise: float) -> None:
    """A bow's skews are right where it ends at a pair's own post, at a wall that no swivel reaches,
    or at a column that cuts the line."""
    edges = (builders.edge(0, arc_rise=rise), *[builders.edge(n, "wall") for n in walls])
    for column in ((), (builders.block(70.0, -24.0, 6.0, 40.0),)):
        deck = builders.deck(SKEW_ENDS, edges=edges, obstructions=column)
        layout = builders.laid_or_refused(deck, kit)
        if isinstance(layout, Layout):
            # With a pair kit only the inner corner has one post for two bays, unless that is a
            # wall's.
            assert check_stances(layout, kit) or (kit is builders.PAIR and walls == (1,))


@pytest.mark.parametrize("rise", [5e-324, 1e-300, 1e-13, -3e-13, 1e-9, 9e-7, -1e-6])
def test_a_rise_of_nothing_is_straight(rise: float) -> None:
    """Lengths within 1e-6 are one (contract, section 1), so a rise that is only a float's noise
    bends no edge."""
    edges = (builders.edge(0, arc_rise=rise), builders.edge(2, "wall"))
    straight = builders.laid(builders.rectangle(192, 96), edges=(builders.edge(2, "wall"),))
    assert builders.laid(builders.rectangle(192, 96), edges=edges) == straight


@pytest.mark.parametrize("rise", [2e-6, 4.6e-5])
def test_a_rise_too_flat_to_tell(rise: float) -> None:
    """Over 192 in, rises of 2e-6 and 4.6e-5 have radii of 192^2 / (8 x rise) = 2.3e9 and 1.002e8:
    such an edge is refused, not guessed."""
    refusal = over_192(rise)
    assert isinstance(refusal, Unbuildable)
    assert [(p.pointer, p.code) for p in refusal.problems] == [
        ("/levels/0/edges/0/arc_rise", "arc_too_flat")
    ]


def test_a_rise_that_can_just_be_told() -> None:
    """A rise of 4.7e-5 over 192 in, a radius of 9.8e7, is laid out as a straight edge is: 192 in
    less two setbacks."""
    laid = over_192(4.7e-5)
    assert isinstance(laid, Layout)
    bowed = [run.length for run in laid.runs if run.edge == 0]
    assert sum(bowed) == pytest.approx(192 - 2 * SURFACE.post.setback, abs=1e-3)


def over_192(rise: float) -> Layout | Refusal:
    """The layout of a rectangle whose front of 192 bows by `rise`, or its refusal."""
    edges = (builders.edge(0, arc_rise=rise),)
    return builders.laid_or_refused(
        builders.deck(builders.rectangle(192, 96), edges=edges), SURFACE
    )


@pytest.mark.parametrize("rise", [12.0, 40.0, -20.0])
def test_where_an_obstruction_cuts_a_bowed_line(rise: float) -> None:
    """An obstruction cuts a bowed line as far as it reaches in the strip of the posts, drawn here
    by shapely's own buffer about a dense arc. One obstruction goes on far away, where its corners
    mean nothing along the arc."""
    setback = 3.25
    arc = side((0.0, 0.0), (96.0, 0.0), rise, setback)
    centre, radius = circle((0, 0), (96, 0), (48, -rise))
    line = radius - setback * math.copysign(1.0, rise)
    spokes = [
        math.atan2(p[1] - centre[1], p[0] - centre[0])
        for p in (arc.place(arc.length * i / 20_000, setback) for i in range(20_001))
    ]
    dense_line = shapely.LineString(
        [(centre[0] + line * math.cos(a), centre[1] + line * math.sin(a)) for a in spokes]
    )
    strip = dense_line.buffer(1.25, cap_style="flat", quad_segs=64)
    at = arc.place(arc.length * 0.4, setback)
    for solid in (
        [(at[0] + dx, at[1] + dy) for dx, dy in ((-3, -2), (3, -2), (2, 3), (-3, 2))],
        [(at[0] + dx, at[1] + dy) for dx, dy in ((-2, -3), (2, -3), (40_000, 200_000), (-2, 3))],
    ):
        shared = shapely.Polygon(solid).intersection(strip)
        places = [arc.locate((x, y))[0] for x, y in shapely.get_coordinates(shared)]
        found = Strip(arc, setback - 1.25, setback + 1.25).reach(solid, shapely.Polygon(solid))
        assert found == pytest.approx((min(places), max(places)), abs=2e-3)


def test_a_solid_thing_past_a_bowed_edge_is_laid_out() -> None:
    """Where a wedge that reaches a million away crosses a bow, the line ends at the wedge's
    faces."""
    wedge = builders.obstruction([(40.0, -30.0), (44.0, -30.0), (44.0, 1e6), (40.0, 1e6)])
    layout = builders.laid(
        builders.rectangle(96, 120),
        edges=(builders.edge(0, arc_rise=12.0), builders.edge(2, "wall")),
        obstructions=(wedge,),
    )
    on_bow = [bay for bay in layout.bays if bay.edge == 0]
    assert sum(end == "swivel" or end == "wall" for bay in on_bow for end in bay.ends) >= 2
    assert any(bay.start is None for bay in on_bow)
    assert any(bay.end is None for bay in on_bow)


@pytest.mark.parametrize("rise", [18.0, 40.0, -30.0, -45.0])
@pytest.mark.parametrize("kit", [SURFACE, FASCIA], ids=["surface", "fascia"])
def test_no_base_in_a_stretch_of_a_bow(kit: Kit, rise: float) -> None:
    """No base lies in a no_post stretch of a bow, by the spokes of the base's corners against those
    of the stretch's ends on the edge."""
    chord = 160.0
    centre, radius = circle((0, 0), (chord, 0), (chord / 2, -rise))
    tried = 0
    for start in range(20, 120, 3):
        stretch = NoPost(0, float(start), 14.0, "a downpipe", "/levels/0/no_post/0")
        deck = builders.deck(
            builders.rectangle(chord, 144),
            edges=(builders.edge(0, arc_rise=rise), builders.edge(2, "wall")),
            no_post=(stretch,),
        )
        layout = builders.laid_or_refused(deck, kit)
        if not isinstance(layout, Layout):
            continue
        first = math.atan2(-centre[1], -centre[0])
        way = math.copysign(1.0, rise)
        for post in along_arc(layout)[1]:
            spokes = [math.atan2(y - centre[1], x - centre[0]) - first for x, y in post.base]
            around = [way * ((s + math.pi) % (2 * math.pi) - math.pi) * radius for s in spokes]
            assert max(around) <= start + 1e-4 or min(around) >= start + 14.0 - 1e-4
            tried += 1
    assert tried > 50


def test_a_bow_tighter_than_its_posts_are_wide() -> None:
    """Posts of 60 in, over a smaller base, on a bow of (30^2 + 15^2) / 30 = 37.5 in radius are
    refused, not drawn."""
    kit = builders.with_post(SURFACE, width=60.0)
    deck = builders.deck(
        builders.rectangle(60, 200),
        edges=(builders.edge(0, arc_rise=15.0),),
        obstructions=(builders.block(30.0, -10.0, 6.0),),
    )
    refusal = builders.laid_or_refused(deck, kit)
    assert isinstance(refusal, Unbuildable)
    assert "arc_too_tight" in {problem.code for problem in refusal.problems}


def test_chords_say_which_stretch_of_their_bow_they_are_of() -> None:
    """A chord's `bow` is the number of its stretch of the bow. A passage parts the bow in two
    stretches, each of more than one chord: its near post ends the first row, its far post starts
    the second. Runs of straight edges have no such number."""
    layout = builders.laid(
        builders.rectangle(240, 144),
        edges=(builders.edge(0, arc_rise=40.0), builders.edge(2, "wall")),
        openings=(builders.opening(0, 110.0, 40.0, "passage"),),
    )
    (passage,) = layout.openings
    first = [run for run in layout.runs if run.bow == 0]
    second = [run for run in layout.runs if run.bow == 1]
    assert len(first) > 1
    assert len(second) > 1
    assert [*first, *second] == [run for run in layout.runs if run.edge == 0]
    assert (first[-1].end, second[0].start) == (passage.start, passage.end)
    for row in (first, second):
        assert all(one.end == two.start for one, two in pairwise(row))
    assert {run.bow for run in layout.runs if run.edge != 0} == {None}


@pytest.mark.parametrize(("rise", "ways"), [(2.17, [True]), (2.15, [])])
def test_a_bow_clears_a_corner_that_its_own_arc_clears(rise: float, ways: list[bool]) -> None:
    """A bow over a chord of half length 3 passes over a notch whose corners are 1 from its middle,
    2 above the chord. With a rise of 2.17 the radius is (9 + 4.7089) / 4.34 = 3.1587, and there the
    arc is sqrt(3.1587^2 - 1) - 3.1587 + 2.17 = 2.0075 above the chord, clear of the corners; with
    one of 2.15 the two figures are 3.1680 and 1.9880, and the arc cuts them."""
    corners = [(0.0, 0.0), (2.0, 0.0), (2.0, 6.0), (4.0, 6.0)]
    corners += [(4.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)]
    assert ways_round(corners, {6: rise}) == ways
