"""The tape walk and the two-tape fix against published traverses and by least squares.

Example A: J. Mahun, open-access survey notes, solution of traverse adjustment problem 2. Example B:
"Compass rule, adjustment of bearing and distance of a closed traverse" (scribd 493615208). Example
C: worked by hand from the rule. Latitudes are northings, departures eastings; azimuths are from
north, clockwise. Rows are those of the check-value table (facts on engineering).
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.line.outline import read_outline
from service.core.line.survey import tie_corners, walk_corners
from service.core.measure import Point
from service.core.problems import Unbuildable
from service.core.records.deck import Tie, Ties, Walk, WalkSide
from tests.bounded import bounded
from tests.core import builders
from tests.core.shapes import Outline, ordinary, simple

Course = tuple[float, float]
"""Azimuth in degrees, and length."""


def degrees(d: int, m: int, s: int) -> float:
    """Decimal degrees of degrees, minutes and seconds."""
    return d + m / 60 + s / 3600


A = (
    (degrees(226, 54, 23), 639.15),
    (degrees(0, 0, 0), 523.69),
    (degrees(235, 2, 29), 409.54),
    (degrees(79, 35, 2), 815.93),
)
B = ((76.0, 80.40), (144.0, 46.30), (241.0, 72.80), (322.0, 68.00))
C = ((90.0, 12.00), (180.0, 8.00), (270.0, 12.05), (0.0, 7.96))


def walk_of(courses: tuple[Course, ...]) -> Walk:
    """A traverse as a tape walk: from its azimuths, the turn to the left after each side."""
    after = (*courses[1:], courses[0])
    sides = tuple(
        WalkSide(length, (azimuth - onward + 180) % 360 - 180)
        for (azimuth, length), (onward, _) in zip(courses, after, strict=True)
    )
    return Walk(sides, "/levels/0/outline")


def vectors(points: tuple[Point, ...]) -> list[Point]:
    """Vectors from each corner to the next, the last one back to the first."""
    after = (*points[1:], points[0])
    return [(b[0] - a[0], b[1] - a[1]) for a, b in zip(points, after, strict=True)]


def adjusted(courses: tuple[Course, ...]) -> list[Point]:
    """(latitude, departure) of every adjusted side, turned back from +x to its azimuth."""
    points = walk_corners(walk_of(courses), "main", "in").points
    heading = 90 - courses[0][0]
    return [(north, east) for east, north in vectors(builders.turned(points, heading))]


@pytest.mark.parametrize(
    ("courses", "gap", "perimeter", "within"),
    [(A, 0.1577, 2388.31, 5e-4), (B, 0.4210, 267.5, 1e-4), (C, 0.0640, 40.01, 1e-4)],
)
def test_closure(courses: tuple[Course, ...], gap: float, perimeter: float, within: float) -> None:
    """Linear misclosure and perimeter of rows 96 and 100, and of example B."""
    seen = walk_corners(walk_of(courses), "main", "in").closure
    assert seen is not None
    assert seen.gap == pytest.approx(gap, abs=within)
    assert seen.perimeter == pytest.approx(perimeter, abs=1e-9)


def test_example_a_adjusted() -> None:
    """Rows 97 and 98: every adjusted latitude and departure is as printed, to 0.001 ft."""
    printed = [
        (-436.631, -466.761),
        (523.715, -0.023),
        (-234.640, -335.663),
        (147.556, 802.447),
    ]
    for found, expected in zip(adjusted(A), printed, strict=True):
        assert found == pytest.approx(expected, abs=1e-3)


def test_example_b_adjusted() -> None:
    """Row 99: the adjusted latitudes are as printed, to 0.002 m (the source adds up rounded
    ones)."""
    latitudes = [north for north, _ in adjusted(B)]
    assert latitudes == pytest.approx([19.365, -37.507, -35.371, 53.513], abs=2e-3)


def test_example_c_adjusted_and_its_area() -> None:
    """A deck of 12 x 8: each side is adjusted by -gap x L/40.01; its area is 95.959 by the
    shoelace."""
    printed = [(0.0120, 12.0150), (-7.9920, 0.0100), (0.0120, -12.0349), (7.9680, 0.0099)]
    for found, expected in zip(adjusted(C), printed, strict=True):
        assert found == pytest.approx(expected, abs=1e-4)
    points = walk_corners(walk_of(C), "main", "in").points
    assert abs(builders.shoelace(points)) == pytest.approx(95.959, abs=1e-3)


def walked(outline: Outline, strains: list[float]) -> Walk:
    """The walk round an outline, with each length mismeasured by its strain."""
    sides = vectors(outline)
    after = (*sides[1:], sides[0])
    return Walk(
        tuple(
            WalkSide(
                math.hypot(*side) * (1 + strain),
                math.degrees(math.atan2(side[0] * on[1] - side[1] * on[0], builders.dot(side, on))),
            )
            for side, on, strain in zip(sides, after, strains, strict=True)
        ),
        "/levels/0/outline",
    )


@bounded(60)
@given(ordinary.filter(simple), st.data())
def test_the_compass_rule(outline: Outline, data: st.DataObject) -> None:
    """Each side, the closing one included, is corrected by -gap x its length / the perimeter.

    Tapes are off by up to 1 in 400, so the gap is below 1 in 100.
    """
    strain = st.integers(-25, 25).map(lambda n: n / 10_000)
    strains = [data.draw(strain) for _ in outline]
    walk = walked(outline, strains)
    heading, raw = 0.0, []
    for side in walk.sides:
        assert side.length is not None
        raw.append((side.length * math.cos(heading), side.length * math.sin(heading)))
        heading += math.radians(side.turn)
    gap = math.fsum(x for x, _ in raw), math.fsum(y for _, y in raw)
    perimeter = math.fsum(side.length or 0.0 for side in walk.sides)
    found = vectors(walk_corners(walk, "main", "in").points)
    for (x, y), (to_x, to_y), side in zip(raw, found, walk.sides, strict=True):
        share = (side.length or 0.0) / perimeter
        assert to_x - x == pytest.approx(-gap[0] * share, abs=1e-7)
        assert to_y - y == pytest.approx(-gap[1] * share, abs=1e-7)


@bounded(60)
@given(ordinary.filter(simple), st.data())
def test_a_walk_that_closes_comes_back_as_it_was(outline: Outline, data: st.DataObject) -> None:
    """Exact lengths give the outline itself, turned so that its first edge lies along +x."""
    walk = walked(outline, [0.0] * len(outline))
    unknown = data.draw(st.one_of(st.none(), st.integers(0, len(outline) - 1)))
    if unknown is not None:
        sides = list(walk.sides)
        sides[unknown] = WalkSide(None, sides[unknown].turn)
        walk = Walk(tuple(sides), walk.pointer)
    (x0, y0), (dx, dy) = outline[0], vectors(outline)[0]
    moved = tuple((x - x0, y - y0) for x, y in outline)
    expected = builders.turned(moved, -math.degrees(math.atan2(dy, dx)))
    for found, point in zip(walk_corners(walk, "main", "in").points, expected, strict=True):
        assert found == pytest.approx(point, abs=1e-6)


@bounded(40)
@given(ordinary.filter(simple), st.data())
def test_the_unknown_length_closes_best(outline: Outline, data: st.DataObject) -> None:
    """No other length of the side left out gives a smaller gap (tried a little and a lot either
    way)."""
    strain = st.integers(-10, 10).map(lambda n: n / 10_000)
    walk = walked(outline, [data.draw(strain) for _ in outline])
    unknown = data.draw(st.integers(0, len(outline) - 1))

    def gap(length: float | None) -> tuple[float, float]:
        sides = list(walk.sides)
        sides[unknown] = WalkSide(length, sides[unknown].turn)
        seen = walk_corners(Walk(tuple(sides), walk.pointer), "main", "in").closure
        assert seen is not None
        return seen.gap, seen.perimeter

    least, perimeter = gap(None)
    others = math.fsum(s.length or 0.0 for i, s in enumerate(walk.sides) if i != unknown)
    found = perimeter - others
    for off in (-0.1, -0.001, 0.001, 0.1):
        assert least <= gap(found + off)[0] + 1e-9
    assert least < gap(found + 0.1)[0]


def test_the_side_that_was_left_out_is_told() -> None:
    """The closure names the side whose length was left out, and the length found for it.

    East 120.1, north 96, west 120, south left out: 96 closes the walk along that side. What is left
    of the gap, 0.1 across it, is spread by lengths and moves the two ends of that side along it by
    next to nothing, so its length stays 96. A walk with every length names no side.
    """
    sides = (WalkSide(120.1, 90), WalkSide(96, 90), WalkSide(120, 90), WalkSide(None, 90))
    closure = walk_corners(Walk(sides, "/levels/0/outline"), "main", "in").closure
    assert closure is not None
    assert closure.left_out is not None
    assert closure.left_out[0] == 3
    assert closure.left_out[1] == pytest.approx(96.0, abs=1e-3)
    whole = (*sides[:3], WalkSide(96.0, 90))
    told = walk_corners(Walk(whole, "/levels/0/outline"), "main", "in").closure
    assert told is not None
    assert told.left_out is None


def test_two_unknown_lengths_are_refused_at_the_second() -> None:
    """At most one length may be left out; the refusal points at the second."""
    sides = (WalkSide(100, 90), WalkSide(None, 90), WalkSide(100, 90), WalkSide(None, 90))
    with pytest.raises(Unbuildable) as refused:
        walk_corners(Walk(sides, "/o"), "main", "in")
    assert [p.pointer for p in refused.value.problems] == ["/o/sides/3"]


def test_an_unknown_length_below_nought_is_refused() -> None:
    """East 100, then an unknown side going on east: its length would have to be -100."""
    sides = (WalkSide(100, 0), WalkSide(None, 90))
    with pytest.raises(Unbuildable) as refused:
        walk_corners(Walk(sides, "/o"), "main", "in")
    assert [p.code for p in refused.value.problems] == ["length_missing"]


@pytest.mark.parametrize(("short", "refused"), [(400 / 101, False), (3.9605, True)])
def test_one_in_a_hundred(short: float, refused: bool) -> None:
    """A gap of 1:100 of the perimeter is spread; a larger one is refused.

    A 100 x 100 square with one side taped short by s has the gap s and the perimeter 400 - s. With
    s = 400/101 gap and perimeter are as 1:100, at the limit. With s = 3.9605 they are over it.
    """
    walk = Walk((WalkSide(100 - short, 90), *(WalkSide(100, 90),) * 3), "/o")
    if not refused:
        assert len(walk_corners(walk, "main", "in").points) == 4
        return
    with pytest.raises(Unbuildable) as error:
        walk_corners(walk, "main", "in")
    assert [p.code for p in error.value.problems] == ["walk_does_not_close"]


@pytest.mark.parametrize(
    ("baseline", "from_a", "from_b", "x", "y", "within"),
    [
        (10, 8, 6, 6.4, 4.8, 1e-9),
        (144, 120, 96, 90, 79.3725, 5e-4),
        (4000, 3000, 2500, 2343.75, 1872.65, 5e-3),
    ],
)
def test_two_tapes(
    baseline: float, from_a: float, from_b: float, x: float, y: float, within: float
) -> None:
    """Rows 101 and 102: x = (a^2 - b^2 + c^2)/2c and y = sqrt(a^2 - x^2), on the deck's side, y <
    0."""
    found = tie_corners(Ties(baseline, (Tie(from_a, from_b),), "/o"), "main", "in").points
    assert found[0] == (0, 0)
    assert found[1] == pytest.approx((x, -y), abs=within)
    assert found[2] == (baseline, 0)


@pytest.mark.parametrize(("from_a", "from_b"), [(3, 4), (15, 4), (4, 15), (5, 5)])
def test_tapes_that_do_not_meet(from_a: float, from_b: float) -> None:
    """Tapes that do not meet are refused: row 103 (3 + 4 < 10), differences over 10, and tapes that
    meet on the wall itself (5 + 5)."""
    with pytest.raises(Unbuildable) as refused:
        tie_corners(Ties(10, (Tie(8, 6), Tie(from_a, from_b)), "/o"), "main", "in")
    assert [p.pointer for p in refused.value.problems] == ["/o/corners/1"]


@bounded(60)
@given(st.integers(20, 400), st.integers(-300, 700), st.integers(1, 300))
def test_the_crossing_angle(baseline: int, x: int, depth: int) -> None:
    """A corner at (x, -depth) comes back, with the acute angle at which its two tapes cross."""
    tie = Tie(math.hypot(x, depth), math.hypot(x - baseline, depth))
    survey = tie_corners(Ties(baseline, (tie,), "/o"), "main", "in")
    # Where the tapes lie nearly in one line, y = sqrt(a^2 - x^2) loses digits.
    assert survey.points[1] == pytest.approx((x, -depth), abs=1e-6 * baseline)
    to_a, to_b = math.atan2(depth, -x), math.atan2(depth, baseline - x)
    between = math.degrees(abs(to_a - to_b))
    assert survey.ties[0].angle == pytest.approx(min(between, 180 - between), abs=1e-5)


def test_area_of_a_published_figure() -> None:
    """Row 108: five corners (N, E) enclose 140 493.1 sq ft, with the outline given in either
    direction."""
    corners = (
        (406.31, 1259.97),
        (235.12, 1489.47),
        (65.81, 1126.40),
        (317.89, 942.04),
        (675.32, 1282.54),
    )
    points = tuple((east, north) for north, east in corners)
    for given_way in (points, points[::-1]):
        plan = read_outline(builders.level(given_way), "in")
        assert builders.shoelace(plan.points) == pytest.approx(140_493.1, abs=2)


def test_area_of_an_ell() -> None:
    """Row 109: 240 x 192 less 96 x 96 is 36 864 sq in, 256 sq ft."""
    ell = ((0, 0), (240, 0), (240, 96), (144, 96), (144, 192), (0, 192))
    plan = read_outline(builders.level(ell), "in")
    assert builders.shoelace(plan.points) / 144 == 256.0
