"""Every piece of a drawn flight is placed in space and measured there (method 9).

A flight is pictured in the plane of u (down the flight, in plan) and z (up). The line of nosings
falls from (0, 0) by one riser in each going; rails run parallel to it, the guard's top plumb above
it. Nothing here is computed the way the engine computes it: rails are strips cut by plumb lines
with shapely, and lengths are read off the shapes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import combinations, pairwise
from typing import Literal

import numpy as np
import pytest
import shapely
from shapely import affinity

from service.core.records.infill import Glass, Pickets, Rake
from service.core.records.kit import Rail
from service.core.records.layout import Bay, Layout, Post
from tests.core import sloping
from tests.core.sloping import DrawnFlight

FLIGHTS = 300
FAR = 1e5


@dataclass(frozen=True)
class Placed:
    """A raked bay in its plane: its posts, and its faces along u."""

    drawn: DrawnFlight
    layout: Layout
    bay: Bay
    upper: Post
    lower: Post

    @property
    def faces(self) -> tuple[float, float]:
        """u of the two faces that the bay lies between: the upper post's, looking down, and the
        lower post's, looking up."""
        half = self.drawn.kit.post.width / 2
        return self.drawn.own(self.upper.at)[0] + half, self.drawn.own(self.lower.at)[0] - half

    @property
    def rake(self) -> Rake:
        """The bay's rake."""
        assert self.bay.fill.rake is not None
        return self.bay.fill.rake

    def strip(self, bottom: float, depth: float) -> shapely.Polygon:
        """A rail as a strip without ends, `depth` square to its length.

        bottom: height of its underside, plumb above the line of nosings. The strip is drawn level,
        turned about (0, 0) and raised.
        """
        flat = shapely.box(-FAR, 0.0, FAR, depth)
        angle = -math.degrees(math.atan(self.drawn.tangent))
        return affinity.translate(affinity.rotate(flat, angle, origin=(0, 0)), 0.0, bottom)

    @property
    def top_rail(self) -> shapely.Polygon:
        """The top rail's strip, whose top is the guard's height plumb above the nosings."""
        rail = self.drawn.kit.rails[self.bay.infill].top
        return self.strip(self.bay.height - rail.depth / self.drawn.cosine, rail.depth)

    @property
    def bottom_rail(self) -> shapely.Polygon:
        """The bottom rail's strip."""
        gap = self.drawn.kit.stair_bottom_gap
        assert gap is not None
        return self.strip(gap, self.drawn.kit.rails[self.bay.infill].bottom.depth)

    def opening(self, u: float) -> tuple[float, float]:
        """z of the bottom rail's top and of the top rail's underside on the plumb at u."""
        plumb = shapely.LineString([(u, -FAR), (u, FAR)])
        low = self.bottom_rail.intersection(plumb).bounds
        high = self.top_rail.intersection(plumb).bounds
        return low[3], high[1]


@cache
def flights() -> tuple[tuple[DrawnFlight, Layout], ...]:
    """The drawn flights, the same at every run."""
    return tuple(sloping.drawn_flights(FLIGHTS))


def bays() -> Iterator[Placed]:
    """Every raked bay of every drawn flight."""
    for drawn, layout in flights():
        yield from bays_of(drawn, layout)


def bays_of(drawn: DrawnFlight, layout: Layout) -> Iterator[Placed]:
    """Every raked bay of a drawn flight."""
    by_id = {post.id: post for post in layout.posts}
    for bay in layout.bays:
        if bay.flight is not None:
            assert bay.start is not None
            assert bay.end is not None
            yield Placed(drawn, layout, bay, by_id[bay.start], by_id[bay.end])


def picket_bays() -> Iterator[tuple[Placed, Pickets]]:
    """Every raked bay with pickets, and these."""
    for placed in bays():
        if placed.bay.fill.pickets is not None:
            yield placed, placed.bay.fill.pickets


def panels() -> Iterator[tuple[Placed, Glass]]:
    """Every raked bay with glass, and its panel."""
    for placed in bays():
        if placed.bay.fill.glass is not None:
            yield placed, placed.bay.fill.glass


def is_floored(cut: float, exact: float, step: float) -> bool:
    """Whether a cut is the greatest mark that `exact` reaches, 1/1000 of a step forgiven."""
    on_grid = abs(cut / step - round(cut / step)) < 1e-6
    return on_grid and -0.001 * step - 1e-6 <= exact - cut < step + 1e-6


def test_there_are_enough_of_each() -> None:
    """The drawn flights have pickets and glass, both foot posts, both mountings and both units, on
    decks given in either direction."""
    count = len(list(bays()))
    assert count > 700
    assert len(list(panels())) > 300
    assert len(list(picket_bays())) > 250
    told = {
        (drawn.unit, drawn.kit.mounting, drawn.stair.foot_post, drawn.backwards)
        for drawn, _ in flights()
    }
    assert len(told) == 12


def test_posts_stand_on_the_guard_line() -> None:
    """The posts of a side stand on the line through the opening's post, square to the edge. Those
    on treads stand in the middle of a going; a post on the ground has its base just past the lowest
    nosing."""
    for drawn, layout in flights():
        half = drawn.kit.post.width / 2
        lines = {"left": drawn.start - half, "right": drawn.start + drawn.width + half}
        guards = [lines[hand] for hand in ("left", "right") if hand in drawn.stair.guards]
        built = layout.flights[0]
        by_id = {post.id: post for post in layout.posts}
        places = [drawn.own(by_id[name].at) for name in built.posts]
        heads = [n for n, (u, _) in enumerate(places) if abs(u + drawn.kit.post.setback) < 1e-6]
        assert len(heads) == len(guards)
        on_ground = drawn.stair.foot_post == "ground" or drawn.stair.risers == 1
        for line, first, after in zip(guards, heads, [*heads[1:], len(places)], strict=True):
            side = places[first:after]
            roles = [by_id[name].role for name in built.posts[first:after]]
            assert roles[1:] == [*["line"] * (len(side) - 2), "stair"]
            assert [v for _, v in side] == pytest.approx([line] * len(side), abs=1e-6)
            inner = side[1:-1] if on_ground else side[1:]
            for u, _ in inner:
                assert u / drawn.stair.going % 1 == pytest.approx(0.5, abs=1e-6)
            lowest = (drawn.stair.risers - 1) * drawn.stair.going
            if on_ground:
                assert side[-1][0] - drawn.kit.post.base.width / 2 == pytest.approx(lowest)
            else:
                assert side[-1][0] == pytest.approx(lowest - drawn.stair.going / 2)


def test_bases_beside_the_clear_width() -> None:
    """`outside_width` and `into_width` are how far the bases on the flight reach beyond the clear
    width and into it, measured at their corners."""
    for drawn, layout in flights():
        built = layout.flights[0]
        low, high = drawn.start, drawn.start + drawn.width
        assert built.clear_width == pytest.approx(high - low)
        for post in layout.posts:
            if post.flight is None:
                continue
            across = [drawn.own(corner)[1] for corner in post.base]
            beyond = max(low - min(across), max(across) - high)
            into = min(max(across) - low, high - min(across))
            assert built.outside_width == pytest.approx(beyond)
            assert built.into_width == pytest.approx(into)


def test_clears_and_spacings() -> None:
    """`clear` and `centres` are distances in plan, `clear_slope` and `centres_slope` the same
    distances in space, along the slope."""
    for placed in bays():
        u_low, u_high = placed.faces
        bay, slope = placed.bay, placed.rake
        upper = placed.drawn.own(placed.upper.at)[0]
        lower = placed.drawn.own(placed.lower.at)[0]
        assert bay.clear == pytest.approx(u_high - u_low, abs=1e-6)
        assert bay.centres == pytest.approx(lower - upper, abs=1e-6)
        for value, apart in (
            (slope.clear_slope, u_high - u_low),
            (slope.centres_slope, lower - upper),
        ):
            assert value == pytest.approx(math.dist((0, 0), (apart, apart * placed.drawn.tangent)))
        assert slope.centres_slope <= placed.drawn.kit.max_centres[bay.infill] + 1e-6


def rails_of(placed: Placed) -> Iterator[tuple[shapely.Polygon, Rail, float, float]]:
    """Strip, kit's rail, cut and blank, of the top rail and then of the bottom rail."""
    rails, rake = placed.drawn.kit.rails[placed.bay.infill], placed.rake
    yield placed.top_rail, rails.top, placed.bay.fill.top_cut, rake.top_blank
    yield placed.bottom_rail, rails.bottom, placed.bay.fill.bottom_cut, rake.bottom_blank


def test_rail_cuts() -> None:
    """A rail's cut and its two allowances fill either long edge of its strip from plumb face to
    plumb face."""
    for placed in bays():
        u_low, u_high = placed.faces
        between = shapely.box(u_low, -FAR, u_high, FAR)
        for strip, rail, cut, _ in rails_of(placed):
            corners = shapely.get_coordinates(strip.intersection(between))[:-1]
            left = corners[np.abs(corners[:, 0] - u_low) < 1e-6]
            right = corners[np.abs(corners[:, 0] - u_high) < 1e-6]
            for edge in (np.argmin, np.argmax):
                a, b = left[edge(left[:, 1])], right[edge(right[:, 1])]
                exact = float(np.linalg.norm(a - b)) - 2 * rail.end_allowance["rake"]
                assert is_floored(cut, exact, placed.drawn.step)


def test_blanks() -> None:
    """A blank is the shortest straight piece that holds the rail, whose ends are plumb in place."""
    for placed in bays():
        angle = math.atan(placed.drawn.tangent)
        along = np.array([math.cos(angle), -math.sin(angle)])
        square = np.array([math.sin(angle), math.cos(angle)])
        for _, rail, cut, blank in rails_of(placed):
            a = cut * along
            plumb = np.array([0.0, rail.depth / math.cos(angle)])
            piece = np.array([np.zeros(2), a, a + plumb, plumb])
            assert np.ptp(piece @ along) == pytest.approx(blank)
            assert np.ptp(piece @ square) == pytest.approx(rail.depth)
            cosine = float(along @ (0.0, -1.0))
            assert placed.rake.end_cut == pytest.approx(math.degrees(math.acos(cosine)))
        assert placed.rake.pitch == pytest.approx(math.degrees(angle))


def placed_pickets(placed: Placed, pickets: Pickets) -> list[shapely.Polygon]:
    """Each picket as a shape: plumb sides, ends cut to the pitch, standing on its marks."""
    kit = placed.drawn.kit.picket
    assert kit is not None
    half = kit.width / 2
    shapes = []
    for centre in pickets.centres:
        u = placed.faces[0] + centre
        low, _ = placed.opening(u)
        fall = half * placed.drawn.tangent
        top = low + pickets.length
        shapes.append(
            shapely.Polygon(
                [(u - half, low + fall), (u + half, low - fall), (u + half, top - fall),
                 (u - half, top + fall)]
            )
        )  # fmt: skip
    return shapes


def test_picket_gaps() -> None:
    """Horizontal gaps, measured between shapes in space, are those that the layout gives, and none
    is more than the kit's gap."""
    for placed, pickets in picket_bays():
        kit, step = placed.drawn.kit.picket, placed.drawn.step
        assert kit is not None
        if not pickets.count:
            assert placed.bay.clear <= kit.gap + 1e-6
            continue
        total = pickets.count * kit.width + (pickets.count - 1) * pickets.gap + 2 * pickets.end_gap
        assert total == pytest.approx(placed.bay.clear, abs=1e-6)
        assert max(pickets.gap, pickets.end_gap) <= kit.gap + 1e-6
        shapes = placed_pickets(placed, pickets)
        for one, two in zip(shapes, shapes[1:], strict=False):
            # Each picket stands on the nearest mark: the gap of two is off by a step at most.
            assert two.bounds[0] - one.bounds[2] == pytest.approx(pickets.gap, abs=step + 1e-6)
            assert one.distance(two) == pytest.approx(two.bounds[0] - one.bounds[2], abs=1e-6)
        u_low, u_high = placed.faces
        for end in (shapes[0].bounds[0] - u_low, u_high - shapes[-1].bounds[2]):
            assert end == pytest.approx(pickets.end_gap, abs=step / 2 + 1e-5)


def test_fewest_pickets() -> None:
    """With one picket fewer some gap is over the kit's, however the pickets are spread."""
    for placed, pickets in picket_bays():
        kit = placed.drawn.kit.picket
        assert kit is not None
        if pickets.count:
            fewer = pickets.count - 1
            assert (placed.bay.clear - fewer * kit.width) / (fewer + 1) > kit.gap + 1e-9


def test_picket_lengths() -> None:
    """Each picket runs into both rails by their engagements, square to them, less part of a
    step."""
    for placed, pickets in picket_bays():
        kit = placed.drawn.kit.picket
        assert kit is not None
        sunk = (kit.engagement.top + kit.engagement.bottom) / placed.drawn.cosine
        for share in (0.0, 0.4, 1.0):
            u = placed.faces[0] + share * placed.bay.clear
            low, high = placed.opening(u)
            assert is_floored(pickets.length, high - low + sunk, placed.drawn.step)
        if pickets.count:
            shape = placed_pickets(placed, pickets)[0]
            assert shape.bounds[3] - shape.bounds[1] == pytest.approx(placed.rake.picket_blank)
            # Cut to the pitch at both ends, the picket is a parallelogram, whose area is b * l.
            assert shape.area == pytest.approx(kit.width * pickets.length)


def test_spacers() -> None:
    """A spacer lies along its rail between plumb pickets, so that it is the gap over the cosine
    long, floored; one at an end is shorter by its rail's allowance."""
    seen = 0
    for placed, pickets in picket_bays():
        kit, drawn = placed.drawn.kit.picket, placed.drawn
        assert kit is not None
        if kit.spacing != "spacer" or not pickets.count:
            assert pickets.spacers == ()
            continue
        rails = drawn.kit.rails["picket"]
        for name, rail in (("top", rails.top), ("bottom", rails.bottom)):
            mine = [s for s in pickets.spacers if s.rail == name]
            slopes = [math.hypot(g, g * drawn.tangent) for g in (pickets.gap, pickets.end_gap)]
            exact = slopes[0], slopes[1] - rail.end_allowance["rake"]
            counts = pickets.count - 1, 2
            wanted = [(x, n) for x, n in zip(exact, counts, strict=True) if n and x >= drawn.step]
            assert len(mine) == len(wanted)
            for piece, (length, count) in zip(mine, wanted, strict=True):
                seen += 1
                assert piece.count == count
                assert is_floored(piece.length, length, drawn.step)
    assert seen > 100


def test_panels() -> None:
    """A raked panel stands in both channels; its corners, area and mass are those of its shape."""
    for placed, glass in panels():
        kit, drawn = placed.drawn.kit.glass, placed.drawn
        assert kit is not None
        assert is_floored(glass.width, placed.bay.clear - 2 * kit.side_gap, drawn.step)
        assert glass.width + 2 * glass.side_gap == pytest.approx(placed.bay.clear)
        sunk = (kit.engagement.top + kit.engagement.bottom) / drawn.cosine
        for share in (0.0, 1.0):
            u = placed.faces[0] + glass.side_gap + share * glass.width
            low, high = placed.opening(u)
            assert is_floored(glass.height, high - low + sunk, drawn.step)
        shape = shapely.Polygon(glass.corners)
        assert shape.exterior.is_ccw
        assert shape.area == pytest.approx(glass.width * glass.height)
        square_mm = shape.area * (25.4**2 if drawn.unit == "in" else 1.0)
        # 2500 kg/m3 by nominal thickness; 1 lb is 0.45359237 kg, 1 sq ft 0.09290304 m2.
        kilograms = square_mm * kit.panes[0].nominal_mm * 2500e-9
        per = 0.45359237 if drawn.unit == "in" else 1.0
        assert glass.mass == pytest.approx(kilograms / per, rel=1e-6)
        area = square_mm / 1e6 / (0.09290304 if drawn.unit == "in" else 1.0)
        assert glass.area == pytest.approx(area, rel=1e-6)


def test_panels_fall_as_seen_from_outside() -> None:
    """A panel falls left or right as seen from outside the flight, where right is look x up, as
    vectors in space."""
    for placed, glass in panels():
        drawn = placed.drawn
        (u0, v0), (u1, _) = drawn.own(placed.upper.at), drawn.own(placed.lower.at)
        outward = math.copysign(1.0, v0 - (drawn.start + drawn.width / 2))
        # Axes in plan, counter-clockwise: x = v, y = -u (the deck lies at y > 0).
        look = np.array([-outward, 0.0, 0.0])
        right = np.cross(look, [0.0, 0.0, 1.0])
        down_the_flight = np.array([0.0, -(u1 - u0), 0.0])
        falls = "right" if right @ down_the_flight > 0 else "left"
        assert placed.rake.falls == falls
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = glass.corners
        assert (x0, y0, x3) == (0.0, 0.0, 0.0)
        assert x1 == x2 == glass.width
        rise = y1 if falls == "left" else -y1
        assert is_floored(rise, glass.width * drawn.tangent, drawn.step)
        assert (y3, y2 - y1) == pytest.approx((glass.height, glass.height))


def test_setting_blocks() -> None:
    """A panel has two blocks, as far from the ends of its sloping lower edge as the kit says, or at
    the quarters of that edge where the panel's width is less than four such insets (contract,
    method 7)."""
    for placed, glass in panels():
        kit = placed.drawn.kit.glass
        assert kit is not None
        edge = math.dist(glass.corners[0], glass.corners[1])
        is_narrow = glass.width < 4 * kit.block.inset - 1e-6
        inset = edge / 4 if is_narrow else kit.block.inset
        half = placed.drawn.step / 2 + 1e-6
        assert glass.blocks == pytest.approx((inset, edge - inset), abs=half)
        # The block that keeps a panel from sliding stands at its low end, on the last mark within
        # the glass.
        assert placed.rake.end_block is not None
        assert is_floored(placed.rake.end_block, edge, placed.drawn.step)


def test_post_heights() -> None:
    """A post's height is from what it stands on to the highest rail top at its centre, and its
    stock height the kit's least that is enough."""
    for drawn, layout in flights():
        height = layout.flights[0].height
        heads = {seen.post: seen for seen in layout.heads}
        for post in layout.posts:
            u = drawn.own(post.at)[0]
            raked = height - u * drawn.tangent - drawn.surface(post)
            if post.flight is not None:
                assert post.height == pytest.approx(raked, abs=1e-6)
            elif post.id in heads:
                assert post.height == pytest.approx(max(drawn.height, raked), abs=1e-6)
            else:
                assert post.height == pytest.approx(drawn.height)
            enough = [h for h in drawn.kit.post.heights if h > post.height - 1e-6]
            assert post.stock_height == (min(enough) if enough else None)


def test_head_heights() -> None:
    """For a head post that a raked and a level rail come to, the tops of both are given on the
    plumb through its centre."""
    told = 0
    for drawn, layout in flights():
        raked = {bay.start for bay in layout.bays if bay.flight is not None}
        level = [(b.start, b.end) for b in layout.bays if b.flight is None]
        assert {seen.post for seen in layout.heads} == raked & {post for b in level for post in b}
        told += len(layout.heads)
        for seen in layout.heads:
            post = next(p for p in layout.posts if p.id == seen.post)
            u, v = drawn.own(post.at)
            assert post.role == "stair"
            top = layout.flights[0].height - u * drawn.tangent
            assert seen.raked_height == pytest.approx(top, abs=1e-6)
            assert seen.level_height == drawn.height
            assert u == pytest.approx(-drawn.kit.post.setback)
            assert abs(v - drawn.start - drawn.width / 2) == pytest.approx(
                (drawn.width + drawn.kit.post.width) / 2
            )
    assert told > 300


def test_triangle_by_inscribed_circle() -> None:
    """`triangle` is the diameter of the largest circle between riser, tread and the rail's
    underside, found here by search.

    The riser stands back under the tread above it by the nosing. A flight whose posts stand too
    near each other for a rail has no triangle.
    """
    railed = 0
    for drawn, layout in flights():
        found, gap = layout.flights[0].triangle, drawn.kit.stair_bottom_gap
        assert gap is not None
        assert (found is None) == (not any(bay.flight is not None for bay in layout.bays))
        if found is None:
            continue
        railed += 1
        going, nosing = drawn.stair.going, drawn.stair.nosing
        riser = going * drawn.tangent
        corner = (-nosing, -riser)
        # Underside: z = gap - u * tan; it crosses the riser's plane and the tread's plane.
        up = (-nosing, gap + nosing * drawn.tangent)
        out = ((gap + riser) / drawn.tangent, -riser)
        circle = shapely.maximum_inscribed_circle(
            shapely.Polygon([corner, out, up]), tolerance=going * 1e-6
        )
        assert found == pytest.approx(2 * circle.length, rel=1e-4)
    assert railed > 250


def test_over_the_deck_by_inscribed_circle() -> None:
    """`over_deck` is the diameter of shapely's largest circle between the face of the head post,
    the deck (z = 0, as if it went on) and the underside of the raked rail. There is none where the
    guard hangs off the edge."""
    seen = 0
    for drawn, layout in flights():
        found, gap = layout.flights[0].over_deck, drawn.kit.stair_bottom_gap
        over = drawn.kit.post.setback - drawn.kit.post.width / 2
        assert gap is not None
        if drawn.kit.mounting == "fascia":
            assert found is None
        elif found is not None:
            top, foot = gap + over * drawn.tangent, gap / drawn.tangent
            triangle = shapely.Polygon([(-over, 0.0), (foot, 0.0), (-over, top)])
            circle = shapely.maximum_inscribed_circle(triangle, tolerance=1e-4)
            assert found == pytest.approx(2 * circle.length, abs=1e-2)
            seen += 1
    assert seen > 100


def test_rail_supports_stand_on_nosings() -> None:
    """Each foot under a raked rail is plumb above a nosing, so that it is as short as the gap."""
    seen = more = 0
    for placed in bays():
        going, half = placed.drawn.stair.going, placed.drawn.step / 2 + 1e-6
        for place in placed.bay.fill.rail_supports:
            seen += 1
            u = placed.faces[0] + place
            nosing = round(u / going)
            assert 0 <= nosing < placed.drawn.stair.risers
            assert u == pytest.approx(nosing * going, abs=half)
        more += check_feet(placed) == "more"
    assert seen > 400
    assert more > 20


def test_rail_supports_where_no_nosings_keep_the_interval() -> None:
    """Where the kit's interval is less than a going along the slope, no nosings keep it in most
    bays. Such a bay has as many feet as leave the least widest interval that any row of its nosings
    leaves.
    """
    none = 0
    for drawn, _ in flights()[:60]:
        support = drawn.kit.rail_support
        assert support is not None
        for share in (0.6, 0.9):
            closer = replace(support, max_interval=share * drawn.stair.going / drawn.cosine)
            one = replace(drawn, kit=replace(drawn.kit, rail_support=closer))
            layout = one.layout()
            assert isinstance(layout, Layout)
            none += sum(check_feet(placed) == "none" for placed in bays_of(one, layout))
    assert none > 200


def check_feet(placed: Placed) -> Literal["usual", "more", "none", "bare", "either"]:
    """Check the feet of a raked rail, and return which row of feet it should have.

    "usual": the feet stand on the nosings nearest to the places that divide the rail evenly, or on
    all nosings where there are more places than nosings; these keep the kit's interval. "more":
    those do not keep it, but some row of nosings does, so there are more feet, which keep it.
    "none": every row of nosings was tried and none keeps it, so the feet leave the least widest
    interval of all, and those nearest to an even division leave a wider one where they are fewer.
    "bare": there is no nosing to stand on, so there are no feet. "either": a row is within a step
    of the interval; as feet are on marks, either answer is right.
    """
    going, clear, feet = placed.drawn.stair.going, placed.bay.clear, placed.bay.fill.rail_supports
    half = placed.drawn.step / 2 + 1e-6
    nosings = [n * going - placed.faces[0] for n in range(placed.drawn.stair.risers)]
    inside = [place for place in nosings if 1e-6 < place < clear - 1e-6]
    assert bool(feet) == bool(inside)
    if not inside:
        return "bare"
    assert placed.drawn.kit.rail_support is not None
    most = placed.drawn.kit.rail_support.max_interval * clear / placed.rake.clear_slope
    count = max(1, math.ceil(clear / most - 1e-6) - 1)

    def nearest(number: int) -> list[float]:
        """The nosings nearest to an even division; of two that are as near, the upper."""
        even = [clear * i / (number + 1) for i in range(1, number + 1)]
        return sorted({min(inside, key=lambda n: round(abs(n - at), 6)) for at in even})

    usual = nearest(count) if count <= len(inside) else inside
    rows = [row for number in range(len(inside)) for row in combinations(inside, number + 1)]
    least = min(widest(clear, row) for row in rows)
    if least > most + 2 * half:
        assert widest(clear, feet) <= least + 2 * half
        fewer = [nearest(number) for number in range(count, len(inside))]
        for row in fewer:
            assert len(row) >= len(feet) or widest(clear, row) > widest(clear, feet) - 2 * half
        return "none"
    if widest(clear, usual) < most - 2 * half:
        assert feet == pytest.approx(usual, abs=half)
        return "usual"
    if widest(clear, usual) > most + 2 * half and least < most - 2 * half:
        assert widest(clear, feet) <= most + 1e-6
        assert len(feet) > len(usual)
        return "more"
    return "either"


def widest(clear: float, feet: Sequence[float]) -> float:
    """The longest stretch between neighbouring feet, or from an end to the first foot."""
    return max(b - a for a, b in pairwise((0.0, *feet, clear)))


def test_weep_holes_at_the_foot() -> None:
    """A raked rail has one hole, at its lower end, clear of feet, pickets and blocks by a step.

    Blocks lie along the slope: two setting blocks, and the end block, which is taken to reach half
    a setting block's length to either side of its mark and of the panel's low end. In a bay of more
    than eight blocks' length the hole is in the lower half. A bay without a place for the hole is
    marked as not complete, and only such a bay.
    """
    seen = blocks = 0
    for placed in bays():
        kit, bay = placed.drawn.kit, placed.bay
        assert kit.weep is not None
        assert kit.glass is not None
        assert kit.rail_support is not None
        assert len(bay.fill.weep_holes) == bay.fill.weep_complete
        seen += bay.fill.weep_complete
        for hole in bay.fill.weep_holes:
            radius = kit.weep.diameter / 2
            assert radius < hole < bay.clear - radius
            if bay.clear > 8 * kit.glass.block.length:
                assert hole > bay.clear / 2
            solid = [(at, kit.rail_support.width) for at in bay.fill.rail_supports]
            if bay.fill.pickets is not None and kit.picket is not None:
                solid += [(at, kit.picket.width) for at in bay.fill.pickets.centres]
            glass, cosine = bay.fill.glass, placed.drawn.cosine
            if glass is not None:
                assert placed.rake.end_block is not None
                ends = (placed.rake.end_block * cosine, glass.width)
                places = (*(at * cosine for at in glass.blocks), *ends)
                long = kit.glass.block.length * cosine
                solid += [(glass.side_gap + at, long) for at in places]
                blocks += len(places)
            for at, width in solid:
                assert abs(hole - at) >= radius + width / 2 + placed.drawn.step - 1e-6
    assert seen > 650
    assert blocks > 1300


def test_handrails() -> None:
    """A handrail runs from over the top nosing to over the lowest. It has two brackets or more,
    evenly spaced, no farther apart than the kit's interval, and a quarter of their space past the
    last at each end.

    Between the top nosing (0, 0) and the lowest are risers - 1 goings and as many risers.
    """
    for drawn, layout in flights():
        kit = drawn.kit.handrail
        assert kit is not None
        rails = layout.flights[0].handrails
        steps = drawn.stair.risers - 1
        assert len(rails) == (1 if steps else 0)
        for rail in rails:
            run = steps * drawn.stair.going
            assert rail.length == pytest.approx(math.dist((0, 0), (run, run * drawn.tangent)))
            assert rail.hand == "right"
            apart = [b - a for a, b in pairwise(rail.brackets)]
            assert max(apart) <= kit.max_bracket_interval + 1e-6
            assert apart == pytest.approx([apart[0]] * len(apart))
            assert rail.brackets[0] == pytest.approx(apart[0] / 4)
            assert rail.length - rail.brackets[-1] == pytest.approx(apart[0] / 4)
            # With one bracket fewer, the ends taking half a space together, the spaces would be
            # over the interval.
            fewer = len(rail.brackets) - 1
            assert fewer == 1 or rail.length / (fewer - 0.5) > kit.max_bracket_interval


def test_cut_list_counts_every_rail() -> None:
    """Top rails, bottom rails and pickets of the flight are all in the cut list, the rails' ends
    cut to the pitch; so is its handrail, cut square.

    Between the top nosing and the lowest are risers - 1 goings, and the handrail is as long as
    these along the slope, down to a mark.
    """
    for drawn, layout in flights():
        raked = [bay for bay in layout.bays if bay.flight is not None]
        for part, count in (("top", len(raked)), ("bottom", len(raked))):
            rows = [
                p for p in layout.cut_list
                if p.part.startswith(part) and p.blank is not None
            ]  # fmt: skip
            assert sum(p.count for p in rows) == count
            for row in rows:
                assert row.end_cuts == pytest.approx(
                    (90 - math.degrees(math.atan(drawn.tangent)),) * 2
                )
        pickets = sum(bay.fill.pickets.count for bay in raked if bay.fill.pickets is not None)
        rows = [p for p in layout.cut_list if p.part == "picket" and p.blank is not None]
        assert sum(p.count for p in rows) == pickets
        rows = [p for p in layout.cut_list if p.part == "handrail"]
        steps = drawn.stair.risers - 1
        assert [p.count for p in rows] == ([1] if steps else [])
        for row in rows:
            along = steps * drawn.stair.going / drawn.cosine
            assert is_floored(row.length, along, drawn.step)
            assert (row.end_cuts, row.blank, row.bays) == ((90.0, 90.0), None, ())
