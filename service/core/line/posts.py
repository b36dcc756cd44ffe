"""Core: posts before they have numbers: where they stand, how they are turned, their bases.

A PostDraft is shared by the sides that meet at it. Two drafts are equal only if they are the same
object, and so the same post.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Final

import shapely

from service.core.frozen import record
from service.core.line.sides import Side
from service.core.measure import TOUCH, Degrees, FromTo, Length, Point, plain_length
from service.core.records.kit import Kit
from service.core.records.layout import Role

ROLE_RANK: Final[dict[Role, int]] = {"line": 0, "end": 1, "gate": 2, "stair": 3, "corner": 4}


@record(eq=False)
class PostDraft:
    """A post as it is set: where it stands and how. Its height depends on what meets it.

    role: its own, before that of any opening that it is a jamb of.
    at: its centre in plan.
    turned: degrees from +x, 0 to 90 (90 left out).
    base: corners of its base in plan.
    beside: the side by which it is set and the place on it; None on a flight.
    shared: whether two rims hold it (a bend, a bracketed corner).
    bracketed: whether a corner bracket holds it.
    """

    role: Role
    at: Point
    turned: Degrees
    base: tuple[Point, ...]
    beside: tuple[Side, Length] | None
    shared: bool = False
    bracketed: bool = False

    @property
    def rim(self) -> tuple[Side, Length] | None:
        """The side whose rim alone holds the post, and the place on it.

        None where two rims hold it, and on a flight.
        """
        return None if self.shared else self.beside


def weightiest(*roles: Role) -> Role:
    """The role that a post with several roles goes by.

    >>> weightiest("end", "stair", "gate")
    'stair'
    """
    return max(roles, key=ROLE_RANK.__getitem__)


def square_angle(angle: Degrees) -> Degrees:
    """A square's angle from +x, as 0 to 90 degrees (90 left out).

    >>> square_angle(-45.0), square_angle(90.0), square_angle(180.0 - 1e-9)
    (45.0, 0.0, 0.0)
    """
    turned = angle % 90.0
    return 0.0 if 90.0 - turned < 1e-6 or turned < 1e-6 else turned


def square_at(centre: Point, width: Length, turned: Degrees) -> tuple[Point, ...]:
    """Corners of a square, counter-clockwise. turned: degrees from +x."""
    (x, y), angle = centre, math.radians(turned)
    c, s = math.cos(angle), math.sin(angle)
    near, far = width / 2 * (c - s), width / 2 * (c + s)
    return (x - near, y - far), (x + far, y - near), (x + near, y + far), (x - far, y + near)


def post_on_side(kit: Kit, side: Side, t: Length, role: Role) -> PostDraft:
    """A post on the railing line at `t` along a side, square to the side there."""
    at = side.place(t, kit.post.setback)
    turned = square_angle(side.heading_at(t))
    return PostDraft(role, at, turned, _base(kit, side, t, at, turned), (side, t))


def post_at_corner(
    kit: Kit, side: Side, t: Length, turned: Degrees, role: Role, *, bracketed: bool
) -> PostDraft:
    """A corner post on the railing line at `t` along the side whose rim holds it.

    turned: degrees from +x. bracketed: whether a corner bracket holds it on both rims.
    """
    at = side.place(t, kit.post.setback)
    width = kit.post.base.width
    base = square_at(at, width, turned) if bracketed else _base(kit, side, t, at, turned)
    return PostDraft(role, at, turned, base, (side, t), bracketed or role == "line", bracketed)


def set_in_text(kit: Kit) -> str:
    """How far in or out the railing line lies, in words; what it is measured from has to follow.

    >>> from unittest.mock import Mock
    >>> set_in_text(Mock(unit="in", post=Mock(setback=-2.25)))
    '2.25 in out from'
    """
    setback = kit.post.setback
    return f"{plain_length(abs(setback), kit.unit)} {'in' if setback > 0 else 'out'} from"


def base_reach(kit: Kit) -> FromTo:
    """From where to where, inward of the deck's edge, a base reaches that is square to the edge.

    A fascia's base reaches from the post's outer face to the rim.
    """
    setback, half = kit.post.setback, kit.post.base.width / 2
    if kit.mounting == "surface":
        return setback - half, setback + half
    return setback - kit.post.width / 2, 0.0


def half_base(kit: Kit, side: Side) -> Length:
    """How far along a side a post's base reaches from the post's centre.

    The base of a fascia follows its rim.
    """
    half = kit.post.base.width / 2
    return half if kit.mounting == "fascia" else side.half_extent(half)


def _base(kit: Kit, side: Side, t: Length, at: Point, turned: Degrees) -> tuple[Point, ...]:
    width = kit.post.base.width
    if kit.mounting == "surface":
        return square_at(at, width, turned)
    outer, inner = base_reach(kit)
    return (
        side.place(t - width / 2, outer),
        side.place(t + width / 2, outer),
        side.place(t + width / 2, inner),
        side.place(t - width / 2, inner),
    )


def base_span(post: PostDraft, side: Side) -> FromTo:
    """From where to where a post's base reaches along a side."""
    places = [side.locate(corner)[0] for corner in post.base]
    return min(places), max(places)


def overhangs(kit: Kit, outline: shapely.Polygon, posts: Sequence[PostDraft]) -> list[Length]:
    """How far each base reaches past what it must stand on; 0 where it does not.

    A surface base must stand on the deck's outline, a fascia's on the post's own rim, from corner
    to corner.
    """
    if kit.mounting == "fascia":
        return [_past_rim(kit, post) for post in posts]
    if not posts:
        return []
    rim = outline.exterior
    shapely.prepare([outline, rim])
    # A base needs no closer look where the circle around it lies within; most do.
    reach = kit.post.base.width / math.sqrt(2)
    places = shapely.points([post.at for post in posts])
    within = shapely.contains(outline, places)
    deep = ~shapely.dwithin(rim, places, reach)
    return [
        0.0 if near else past_outline(outline, shapely.Polygon(post.base))
        for post, near in zip(posts, (within & deep).tolist(), strict=True)
    ]


def past_outline(outline: shapely.Polygon, base: shapely.Polygon) -> Length:
    """How far a base reaches past a surface; 0 where it does not."""
    if outline.covers(base):
        return 0.0
    outside = shapely.get_coordinates(base.difference(outline))
    past = float(max(shapely.distance(outline, shapely.points(outside)), default=0.0))
    # An inner corner may reach in between two corners of the base that stand on the deck.
    corners = shapely.points(outline.exterior.coords)
    under = corners[shapely.contains(base, corners)]
    past = max(past, float(max(shapely.distance(base.exterior, under), default=0.0)))
    return past if past > TOUCH else 0.0


def _past_rim(kit: Kit, post: PostDraft) -> Length:
    if post.rim is None:
        return 0.0
    side, t = post.rim
    half = kit.post.base.width / 2
    past = max(half - t, t + half - side.length)
    return past if past > TOUCH else 0.0


def clashes(
    kit: Kit, posts: Sequence[PostDraft], may_meet: Callable[[int, int], bool]
) -> list[tuple[int, int, Length]]:
    """Pairs of posts, by index, whose bases meet, each with the depth of the overlap.

    may_meet: whether two posts, by index, are to be compared at all.
    """
    if not posts:
        return []
    # No base reaches further from its post's centre than half of this.
    far = 2 * (kit.post.base.width + kit.post.width + abs(kit.post.setback))
    places = shapely.points([post.at for post in posts])
    near = shapely.STRtree(places).query(places, predicate="dwithin", distance=far)
    pairs = [(i, j) for i, j in near.T.tolist() if i < j and may_meet(i, j)]
    found = [(i, j, _depth(posts[i].base, posts[j].base)) for i, j in pairs]
    return sorted([each for each in found if each[2] > TOUCH])


def _depth(one: tuple[Point, ...], two: tuple[Point, ...]) -> Length:
    """Least distance by which two convex shapes must be moved to part (separating axes).

    No more than TOUCH where they do not meet.
    """
    least = math.inf
    for shape in (one, two):
        for k, corner in enumerate(shape):
            dx, dy = corner[0] - shape[k - 1][0], corner[1] - shape[k - 1][1]
            size = math.hypot(dx, dy)
            normal = (dy / size, -dx / size)
            a = [p[0] * normal[0] + p[1] * normal[1] for p in one]
            b = [p[0] * normal[0] + p[1] * normal[1] for p in two]
            least = min(least, max(a) - min(b), max(b) - min(a))
            if least <= TOUCH:
                return least
    return least


def body(kit: Kit, post: PostDraft) -> shapely.Polygon:
    """The post itself in plan, without its base."""
    return shapely.Polygon(square_at(post.at, kit.post.width, post.turned))
