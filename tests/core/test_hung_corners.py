"""What fits past a corner of a deck that the rails hang off, worked by hand: the diameter of the
greatest disc that leans on the corner between the two rails.

The kit's posts are 2.5 wide; it gives no width of its rails. These hang s off the edges; the corner
measures 2a. Where the post leaves room, the disc's middle is r from the corner and (s/sin a - r)
sin a from either rail: r = s/(1 + sin a).

Rails with no gap under them leave in space what they leave in plan. Where there is a gap, a sphere
of radius R comes down through it. With its middle z over the deck, it is a disc of radius sqrt(R^2
- z^2) at the deck, one of sqrt(R^2 - (gap - z)^2) at the rails, and one of R beside the post, which
stands from below the deck to over the rails. The room reported is that of the tightest of five
heights, as the diameter in plan of its sphere when the sphere's middle is half-way up the gap.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import pytest
import shapely

from service.core.finishing.hung_corners import HEIGHTS
from service.core.measure import Length, Point
from service.core.records.deck import Drops
from service.core.records.layout import Layout
from service.core.records.strength import Member, Strength
from tests.core import builders
from tests.core.builders import FASCIA, PAIR, edge, laid, walls, with_post

HUNG = replace(with_post(FASCIA, setback=-3.4), bottom_gap=0.0)
NEARLY: Length = 1e-6


def sharp(degrees: float) -> Sequence[Point]:
    """A deck with a corner of so many degrees at (0, 0) and edges of 100 along both sides of it."""
    angle, half = math.radians(degrees), math.radians(degrees / 2)
    far = 140 * math.cos(half), 140 * math.sin(half)
    return (0, 0), (100, 0), far, (100 * math.cos(angle), 100 * math.sin(angle))


def rooms(layout: Layout) -> list[Length]:
    """The room past each corner."""
    return [seen.room for seen in layout.hung_corners]


def test_past_a_corner_of_sixty_degrees() -> None:
    """Past a corner of 60 degrees the disc is 4/3 as wide as the way along the edges.

    sin 30 = 1/2: the disc is 4/3 of the 3.4 that are open along the edges, 4.533333. The post
    stands at 6.8 from the corner; its nearest corner is at most 1.25 sqrt 2 = 1.77 nearer, so the
    disc does not meet it.
    """
    assert rooms(laid(sharp(60), HUNG, edges=walls(1, 2))) == pytest.approx([4.533333], abs=NEARLY)


def test_rails_that_the_kit_says_the_width_of_leave_less() -> None:
    """A bottom rail 1.6 wide leaves 2.6 along the edges, so 2.6 x 4/3 at the corner."""
    rails = {"bottom_rail_picket": Member("6063", "T6", width=1.6)}
    strength = Strength(None, rails, None, None, (), None, None)
    layout = laid(sharp(60), replace(HUNG, strength=strength), edges=walls(1, 2))
    assert rooms(layout) == pytest.approx([2.6 * 4 / 3], abs=NEARLY)


@pytest.mark.parametrize("width", [6.798, 6.8, 7.0])
@pytest.mark.parametrize("gap", [0.0, 2.0])
def test_rails_that_reach_to_the_edge_leave_nothing_beside_it(width: Length, gap: Length) -> None:
    """Rails that hang 3.4 off leave no room where half of their width is as much, a hair less, or
    more."""
    rails = {"bottom_rail_picket": Member("6063", "T6", width=width)}
    strength = Strength(None, rails, None, None, (), None, None)
    kit = replace(HUNG, strength=strength, bottom_gap=gap)
    assert rooms(laid(sharp(60), kit, edges=walls(1, 2))) == []


def test_the_post_takes_up_some_of_a_square_corner() -> None:
    """At a square corner the disc is bounded by the deck's corner, the post and a rail.

    With a setback of 3.4 the post begins 2.15 from both edges. The disc leans on the deck's corner,
    the post's at (2.15, 2.15) and a rail: x + y = 2.15, y = 3.4 - r, (r - 1.25)^2 + (3.4 - r)^2 =
    r^2, r = (9.3 - sqrt 34)/2 = 1.734524.
    """
    assert rooms(laid(sharp(90), HUNG, edges=walls(1, 2))) == pytest.approx([3.469048], abs=NEARLY)


def test_the_post_is_as_near_as_a_sphere_in_the_gap_under_the_rails_is_thick() -> None:
    """Beside the post a sphere is thicker than at the deck and the rails, so less of it fits.

    With a gap of 2 under the rails and the middle half-way up, the post's corner is sqrt(r^2 + 1)
    off, so that x + y = (2 x 2.15^2 - 1)/4.3 = 1.917442; y = 3.4 - r, x = r - 1.482558; r^2 -
    9.765116 r + 13.757978 = 0, so that r = 4.882558 - sqrt(10.081396) = 1.707437. With no gap it
    was 1.734524.
    """
    layout = laid(sharp(90), replace(HUNG, bottom_gap=2.0), edges=walls(1, 2))
    assert rooms(layout) == pytest.approx([2 * 1.707437], abs=2e-6)


def test_the_tightest_height_at_a_sharp_corner_is_not_half_way_up() -> None:
    """At a corner of 60 degrees with a gap of 2 the tightest height is 1.2 over the deck.

    The middle is r from the corner toward the post, z = 1.2 over the deck: the rails are 3.4 - r/2
    off, so r^2 + 1.44 = (3.4 - r/2)^2 + 0.64, 0.75 r^2 + 3.4 r - 10.76 = 0, r = (-3.4 + sqrt(11.56
    + 32.28))/1.5 = 2.147452, R^2 = 4.611550 + 1.44 = 6.051550. At z = 1 R^2 is 6.137778, at z = 1.4
    r^2 = 4.100321 and R^2 = 6.060321, and further up it is more again. The diameter in plan
    half-way up is 2 sqrt(6.051550 - 1) = 4.495131. The post begins 5.03 from the corner, and the
    sphere reaches R = 2.46 past r, which is not as far.
    """
    layout = laid(sharp(60), replace(HUNG, bottom_gap=2.0), edges=walls(1, 2))
    assert rooms(layout) == pytest.approx([4.495131], abs=2e-6)


def test_a_corner_that_the_kit_calls_a_bend_is_no_less_open() -> None:
    """The room is the same where turns of up to 90 degrees are bends and the post is a line
    post."""
    bending = replace(HUNG, straight_limit=90.0)
    layout = laid(sharp(90), bending, edges=walls(1, 2))
    assert {post.role for post in layout.posts} == {"line"}
    assert rooms(layout) == pytest.approx([3.469048], abs=NEARLY)


def test_nothing_more_fits_where_the_post_fills_the_corner() -> None:
    """With a setback of 2.25 a post at a square corner begins 1 from both rims and fills the
    corner."""
    assert rooms(laid(builders.rectangle(200, 100), FASCIA)) == []


@pytest.mark.parametrize("rise", [3.0, 6.0])
@pytest.mark.parametrize("gap", [0.0, 2.0])
def test_nothing_more_fits_at_an_inner_corner_beside_an_edge_that_bows_out(
    rise: Length, gap: Length
) -> None:
    """At an inner corner beside an edge that bows out, the post keeps any more from passing.

    The rails hang 2.25 off the straight edge, and off the bow at their posts; between these the
    chords come nearer to the bow. A disc of radius 1.125 that leans on both edges has its middle
    1.125 off the straight one and, as the corner is of less than 90 degrees, no less than that
    along it: it reaches to 2.25 along. The post begins 2.16 along and reaches down to 1, so the
    disc meets it. The line of the bow's first chord, continued past its post, is up to 3.5 off the
    corner, but no rail is there.
    """
    outline = ((0, 0), (270, 0), (270, 97), (66, 97), (66, 152), (0, 152))
    bowed = (edge(3, arc_rise=rise),)
    assert rooms(laid(outline, replace(FASCIA, bottom_gap=gap), edges=bowed)) == []


def test_an_inner_corner_has_room_on_both_its_edges() -> None:
    """At an inner corner the disc leans on both edges and on the post.

    An inner corner of 60 degrees, with the deck all round it. The disc's middle is r off each edge
    and 2 r from the corner. The post, at 2 s = 8, is square to an edge: seen from the corner, 30
    degrees off, its nearest corner lies 0.5 (cos 30 + sin 30) = 0.683013 nearer and 0.5 (cos 30 -
    sin 30) = 0.183013 aside. (7.316987 - 2 r)^2 + 0.183013^2 = r^2, so that r = (29.267948 -
    sqrt(856.61278 - 642.86151))/6 = 2.441286: its diameter is more than the 4 along the edges.
    """
    thin = replace(with_post(FASCIA, setback=-4.0, width=1.0), bottom_gap=0.0)
    angle = math.radians(300)
    ring = [(140 * math.cos(angle * i / 5), 140 * math.sin(angle * i / 5)) for i in range(1, 5)]
    outline = [(0, 0), (100, 0), *ring, (100 * math.cos(angle), 100 * math.sin(angle))]
    layout = laid(outline, thin, edges=walls(1, 2, 3, 4, 5))
    assert rooms(layout) == pytest.approx([2 * 2.441286], abs=NEARLY)


def test_no_corner_of_a_pair_and_none_beside_an_opening() -> None:
    """A corner with a pair of posts or beside an opening is left out, as no rail goes round it."""
    assert rooms(laid(sharp(60), with_post(PAIR, setback=-3.4), edges=walls(1, 2))) == []
    passage = builders.opening(0, 1, 30, use="passage")
    assert rooms(laid(sharp(60), FASCIA, edges=walls(1, 2), openings=(passage,))) == []


def test_over_the_deeper_of_what_lies_below_its_edges() -> None:
    """The corner has the deeper drop of its two edges: 48 below one of them, 10 below the other."""
    edges = (edge(0, drops=Drops(10.0)), *walls(1, 2), edge(3, drops=Drops(48.0)))
    layout = laid(sharp(60), FASCIA, edges=edges)
    assert [seen.drops.drop for seen in layout.hung_corners] == [48.0]


@pytest.mark.parametrize("degrees", [25.0, 47.5, 75.0, 90.0, 118.0, 140.0])
@pytest.mark.parametrize("width", [0.75, 1.6, 2.5])
@pytest.mark.parametrize("half", [0.0, 0.4, 1.1])
def test_outside_corners_beside_the_greatest_circle_that_shapely_finds(
    degrees: float, width: Length, half: Length
) -> None:
    """With no gap under the rails, the room is the greatest circle that shapely finds between deck
    and rails, less the post."""
    _, _, body, room, along = _left(degrees, width, half, 0.0)
    greatest = 2 * shapely.maximum_inscribed_circle(room.difference(body), 1e-4).length
    assert along == pytest.approx(greatest, abs=1e-3)


@pytest.mark.parametrize("degrees", [47.5, 75.0, 90.0, 118.0])
@pytest.mark.parametrize("width", [0.75, 1.6, 2.5])
@pytest.mark.parametrize("half", [0.0, 1.1])
@pytest.mark.parametrize("gap", [1.0, 3.0])
def test_outside_corners_beside_the_greatest_sphere_at_the_tightest_height(
    degrees: float, width: Length, half: Length, gap: Length
) -> None:
    """With a gap under the rails, the room is that of the greatest sphere that has a place at each
    height.

    At each height the sphere's middle must be as far off the edges, the rails and the post as the
    sphere is thick beside them; the greatest sphere is sought by halving.
    """
    deck, rails, body, room, along = _left(degrees, width, half, gap)

    def has_place(radius: Length, up: Length) -> bool:
        off_deck, off_rails = (
            math.sqrt(max(0.0, radius * radius - level * level)) for level in (up, gap - up)
        )
        near = [
            shape.buffer(off, quad_segs=200)
            for shape, off in ((deck, off_deck), (rails, off_rails), (body, radius))
        ]
        return not room.difference(shapely.union_all(near)).is_empty

    low, high = gap / 2, 5.0
    while high - low > 1e-4:
        middle = (low + high) / 2
        fits = all(has_place(middle, gap * part) for part in HEIGHTS)
        low, high = (middle, high) if fits else (low, middle)
    assert math.hypot(along, gap) == pytest.approx(2 * low, abs=1e-3)


def _left(
    degrees: float, width: Length, half: Length, gap: Length
) -> tuple[shapely.Geometry, shapely.Geometry, shapely.Geometry, shapely.Geometry, Length]:
    """Deck, rails and post about a corner; the room between deck and rails; and the width that fits
    by the layout, at the corner or along the edges."""
    kit = replace(with_post(FASCIA, setback=-3.4, width=width), bottom_gap=gap)
    rails = {"bottom_rail_picket": Member("6063", "T6", width=2 * half)}
    kit = replace(kit, strength=Strength(None, rails, None, None, (), None, None))
    layout = laid(sharp(degrees), kit, edges=walls(1, 2))
    post = next(post for post in layout.posts if post.role == "corner")
    deck = shapely.Polygon(sharp(degrees))
    line = shapely.LineString([(90.0, -3.4), post.at, _along(degrees, 90.0, 3.4)])
    about = shapely.Point(0, 0).buffer(math.dist((0, 0), post.at) + 4)
    room = line.buffer(-3.4 - half, single_sided=True, join_style="mitre", mitre_limit=20)
    body = shapely.affinity.rotate(
        shapely.box(*(at + way * width / 2 for way in (-1, 1) for at in post.at)), post.turned
    )
    solid = line.buffer(half) if half else line
    left = room.intersection(about).difference(deck).difference(line.buffer(half))
    return deck, solid, body, left, max([3.4 - half, *rooms(layout)])


def _along(degrees: float, far: Length, off: Length) -> Point:
    """The point so far along the other edge of the corner, and so far outside that edge."""
    angle = math.radians(degrees)
    return (
        far * math.cos(angle) - off * math.sin(angle),
        far * math.sin(angle) + off * math.cos(angle),
    )
