"""The stance of a corner post, by vectors: which face each bay meets, and how far off its normal.

The post is taken as drawn (its centre, how it is turned, its width), and a ray is sent from its
centre along each bay.
"""

from __future__ import annotations

import math

import pytest

from service.core.line.approach import approaches
from service.core.line.corners import Terminal, join_corner
from service.core.line.sides import Side
from service.core.measure import Point
from service.core.records.kit import Kit
from tests.core import builders
from tests.core.builders import FASCIA, PAIR, SURFACE, dot, guard_spec

TURNS = [t for t in range(-170, 171, 5) if t != 0] + [
    sign * (at + off)
    for at in (2.5, 60.0, 90.0, 120.0, 135.0)
    for off in (-1e-3, 0.0, 1e-3)
    for sign in (-1, 1)
]
SQUARE_STEP = 0.0625


def side(start: Point, end: Point) -> Side:
    """A guarded side of one edge."""
    return Side(guard_spec(), start, end, (guard_spec(),), (0.0,), (math.dist(start, end),))


def sides(turn: float, arriving: float, leaving: float, heading: float = 17.0) -> tuple[Side, Side]:
    """Two sides of given lengths that meet at the origin, the second turned from the first."""
    (back,) = builders.turned([(-arriving, 0.0)], heading)
    (on,) = builders.turned([(leaving, 0.0)], heading + turn)
    return side(back, (0.0, 0.0)), side((0.0, 0.0), on)


def meeting(kit: Kit, turn: float, arriving: float, leaving: float) -> tuple[Terminal, Terminal]:
    """The two terminals at the corner."""
    corner = approaches(kit, sides(turn, arriving, leaving), 1)
    join = join_corner(*corner, SQUARE_STEP)
    assert join.end is not None
    assert join.start is not None
    return join.end, join.start


def normals(turned: float) -> list[Point]:
    """Outward normals of a square's four faces."""
    return [
        (math.cos(math.radians(turned + 90 * k)), math.sin(math.radians(turned + 90 * k)))
        for k in range(4)
    ]


def faces_met(terminal: Terminal, way: Point) -> set[int]:
    """Faces whose normal is off the bay's direction from the post by just the terminal's skew."""
    assert terminal.post is not None
    return {
        k
        for k, normal in enumerate(normals(terminal.post.turned))
        if math.degrees(math.acos(max(-1.0, min(1.0, dot(way, normal)))))
        == pytest.approx(terminal.skew, abs=1e-5)
    }


def bay_ways(turn: float) -> tuple[Point, Point]:
    """Directions of the two bays from the post: back along the arriving side, on along the leaving
    one."""
    back, on = builders.turned([(-1.0, 0.0)], 17.0), builders.turned([(1.0, 0.0)], 17.0 + turn)
    return back[0], on[0]


def through_square(width: float, turned: float, way: Point) -> float:
    """How far a ray from a square's centre runs before it leaves the square."""
    x, y = builders.turned([way], -turned)[0]
    return width / 2 / max(abs(x), abs(y))


@pytest.mark.parametrize("lengths", [(100.0, 60.0), (60.0, 100.0), (80.0, 80.0)])
@pytest.mark.parametrize("turn", TURNS)
def test_no_two_bays_meet_one_face(turn: float, lengths: tuple[float, float]) -> None:
    """Each bay is off some face's normal by its skew, and the two bays can take different faces."""
    end, start = meeting(SURFACE, turn, *lengths)
    back, on = bay_ways(turn)
    first, second = faces_met(end, back), faces_met(start, on)
    assert first
    assert second
    assert any(a != b for a in first for b in second)


@pytest.mark.parametrize("lengths", [(100.0, 60.0), (60.0, 100.0)])
@pytest.mark.parametrize("turn", TURNS)
def test_the_stance(turn: float, lengths: tuple[float, float]) -> None:
    """Below a turn of 60 degrees the post stands half-way; from 60 on it is square to the longer
    side, and the other bay is |turn| - 90 off, either way.

    The contract's min(|t|, |90 - |t||) below 135 and |t| - 90 above are one figure from 60 up: how
    far the other bay is off the face at a right angle to the first.
    """
    end, start = meeting(SURFACE, turn, *lengths)
    size = abs(turn)
    skews = end.skew, start.skew
    if size < 60 - 1e-6:
        assert skews == pytest.approx((size / 2, size / 2))
    else:
        square, other = skews if lengths[0] > lengths[1] else skews[::-1]
        assert square == 0
        assert other == pytest.approx(abs(size - 90))


@pytest.mark.parametrize(
    ("arriving", "leaving", "square"),
    [(80.0, 80.0, 0), (80.0, 80.0625, 0), (80.0, 80.0635, 1), (80.0, 79.0, 0), (80.0, 90.0, 1)],
)
def test_a_tie_within_a_step_goes_to_the_side_that_arrives(
    arriving: float, leaving: float, square: int
) -> None:
    """At a turn of 100 the post is square to the side that arrives even if that is up to a
    sixteenth shorter."""
    end, start = meeting(SURFACE, 100.0, arriving, leaving)
    assert (end.skew, start.skew)[square] == 0
    assert (end.skew, start.skew)[1 - square] == pytest.approx(10)


@pytest.mark.parametrize("turn", TURNS)
def test_halves_are_rays_to_the_face(turn: float) -> None:
    """Up to a turn of 135 degrees a bay's half is the length of a ray until it leaves the square.

    Within the socket's play (2.5 degrees) it is half the width. Beyond 135 the bay meets the plane
    of a side face past the square, and its half is half the width over the cosine of the angle to
    that face's normal.
    """
    end, start = meeting(SURFACE, turn, 100.0, 60.0)
    width = SURFACE.post.width
    assert end.post is not None
    for terminal, way in zip((end, start), bay_ways(turn), strict=True):
        half = terminal.half(SURFACE)
        if terminal.skew <= 2.5 + 1e-6:
            assert terminal.end(SURFACE) == "socket"
            assert half == width / 2
            continue
        assert terminal.end(SURFACE) == "swivel"
        if abs(turn) <= 135:
            assert half == pytest.approx(through_square(width, end.post.turned, way))
        else:
            off = min(
                abs(width / 2 / dot(way, normal) - half) for normal in normals(end.post.turned)
            )
            assert off < 1e-6
            assert half > through_square(width, end.post.turned, way)


@pytest.mark.parametrize("kit", [SURFACE, FASCIA], ids=["surface", "fascia"])
@pytest.mark.parametrize("turn", [t for t in TURNS if abs(t) > 2.6])
def test_the_post_is_at_the_setback_from_both_sides(turn: float, kit: Kit) -> None:
    """The post's centre lies `setback` inside both edges' lines, and `t` is where its foot on each
    line is."""
    arriving, leaving = sides(turn, 100.0, 60.0)
    join = join_corner(*approaches(kit, (arriving, leaving), 1), SQUARE_STEP)
    for terminal, along in ((join.end, arriving), (join.start, leaving)):
        assert terminal is not None
        assert terminal.post is not None
        (ax, ay), (px, py) = along.start, terminal.post.at
        ux, uy = along.along
        assert (py - ay) * ux - (px - ax) * uy == pytest.approx(kit.post.setback, abs=1e-6)
        assert (px - ax) * ux + (py - ay) * uy == pytest.approx(terminal.t, abs=1e-6)


@pytest.mark.parametrize(("turn", "role"), [(2.5, "line"), (-2.5, "line"), (2.6, "corner")])
def test_a_bend_has_a_line_post(turn: float, role: str) -> None:
    """The kit's straight limit is 2.5 degrees: up to it the post is a line post, beyond it a corner
    post."""
    end, start = meeting(SURFACE, turn, 100.0, 60.0)
    assert end.post is start.post
    assert end.post is not None
    assert end.post.role == role


@pytest.mark.parametrize("turn", [30.0, 90.0, 120.0])
def test_a_fascia_pair(turn: float) -> None:
    """At an outside corner a pair kit has an end post on each rim, half a base (2 in) from the
    corner."""
    end, start = meeting(PAIR, turn, 100.0, 60.0)
    assert end.post is not start.post
    assert end.t == pytest.approx(100 - 2)
    assert start.t == pytest.approx(2)
    assert {end.post and end.post.role, start.post and start.post.role} == {"end"}


@pytest.mark.parametrize("turn", [-30.0, -90.0, -120.0, 2.0])
def test_no_pair_at_inner_corners_and_bends(turn: float) -> None:
    """At an inner corner or a bend a pair kit has one post, without a bracket."""
    end, start = meeting(PAIR, turn, 100.0, 60.0)
    assert end.post is start.post
    assert end.post is not None
    assert not end.post.bracketed


@pytest.mark.parametrize(("turn", "bracketed"), [(90.0, True), (45.0, True), (-90.0, False)])
def test_a_bracket_at_outside_corners_alone(turn: float, bracketed: bool) -> None:
    """A fascia kit's bracket holds the post on the corner point of an outside corner, and only
    there."""
    end, _ = meeting(FASCIA, turn, 100.0, 60.0)
    assert end.post is not None
    assert end.post.bracketed == bracketed
