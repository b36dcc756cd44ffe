"""Core: what stands at a corner where at least one of the two sides is bowed (method 10).

Where both sides are straight, `corners` decides. Two set-in lines meet where they cross nearest the
corner (`line_end`). A bay of a bowed side heads along its chord, so how a post stands at the corner
(`join_bent`) depends on how many chords the side has; `levels/joins` settles the two together.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from service.core.line.approach import Approach
from service.core.line.arcs import ArcSide, line_circle
from service.core.line.corners import (
    Join,
    Terminal,
    ends_near,
    guarded_corner,
    post_terminal,
    skew_between,
)
from service.core.line.posts import base_reach, set_in_text
from service.core.line.sides import Side, signed
from service.core.line.strips import place_clear_of_edge
from service.core.measure import TOUCH, Degrees, FromTo, Length, Point, toward
from service.core.problems import unbuildable
from service.core.records.kit import Kit

SMOOTH: Final[Degrees] = 1e-4
"""Greatest turn between two arcs whose lines count as touching at their corner. Even 1000 inward,
such lines cross within 0.001 of the point square to the corner, but where exactly is lost to
rounding in their centres."""


def set_in_crossing(
    one: Side, inward_one: Length, two: Side, inward_two: Length, corner: Point
) -> Point | None:
    """Where the lines of two sides cross nearest the corner, each set inward of its edge.

    At least one of the sides is an arc. inward_one, inward_two: from each side's edge to its line.
    Where two arcs go on into each other without a turn and are set in alike, their lines touch, or
    are one, at the point square to the corner. None where the lines do not cross.
    """
    if not isinstance(one, ArcSide):
        one, inward_one, two, inward_two = two, inward_two, one, inward_one
    assert isinstance(one, ArcSide)
    radius = one.radius_at(inward_one)
    if not isinstance(two, ArcSide):
        found = line_circle(two.place(0.0, inward_two), two.along, one.centre, radius)
    elif inward_one == inward_two and _goes_on(one, two, corner):
        return one.place(one.locate(corner)[0], inward_one)
    else:
        found = _circles(one.centre, radius, two.centre, two.radius_at(inward_two))
    return min(found, key=lambda p: math.dist(p, corner), default=None)


def _goes_on(one: ArcSide, two: ArcSide, corner: Point) -> bool:
    """Whether two arcs have the same tangent at their corner, to within SMOOTH."""
    heading, onward = (side.heading_at(side.locate(corner)[0]) for side in (one, two))
    return abs(signed(onward - heading)) <= SMOOTH


def _circles(one: Point, r_one: Length, two: Point, r_two: Length) -> list[Point]:
    """Both crossings of two circles; none where they miss by more than 1e-6 or share a centre.

    Circles that miss by less touch: both crossings are then the same point.
    """
    apart = math.dist(one, two)
    if apart <= TOUCH or apart > r_one + r_two + TOUCH or apart < abs(r_one - r_two) - TOUCH:
        return []
    along = (r_one * r_one - r_two * r_two + apart * apart) / (2 * apart)
    half = math.sqrt(max(0.0, r_one * r_one - along * along))
    ux, uy = toward(one, two)
    x, y = one[0] + ux * along, one[1] + uy * along
    return [(x - uy * half, y + ux * half), (x + uy * half, y - ux * half)]


@dataclass(frozen=True, slots=True)
class EndPlace:
    """Where the line of a guarded side ends at a corner, as a place `t` along the side.

    face: where the wall at that corner begins along the side, which may be the corner itself where
    no bracket reaches the wall; None where there is no wall. A bracket is on the face itself: there
    `t` is `face`.
    """

    t: Length
    face: Length | None = None


class BayEnd(NamedTuple):
    """Where the line of a guarded side ends at a corner, and the heading of its bay there."""

    place: EndPlace
    heading: Degrees


def line_end(approach: Approach) -> EndPlace:
    """Where the line of a guarded side ends at its corner with another side.

    Refuses a side whose set-in line does not cross that of the guarded or open side beside it.
    """
    kit, side, other = approach.kit, approach.side, approach.other
    if other.spec.condition == "wall":
        return _end_at_wall(approach)
    if other.spec.condition == "open" and kit.mounting == "fascia":
        return EndPlace(approach.at(-kit.post.base.width / 2))
    if other.spec.condition == "open" and ends_near(approach):
        return EndPlace(place_clear_of_edge(approach, _corner_at(approach)))
    found = set_in_crossing(side, kit.post.setback, other, kit.post.setback, approach.corner)
    if found is None:
        raise unbuildable(
            side.spec.pointer,
            "lines_do_not_meet",
            f"{set_in_text(kit).capitalize()} their edges, the railing lines of edges"
            f" {approach.edge.number} and {other.edge_at(not approach.at_end).number} of level"
            f" {side.level} do not cross; a smaller rise or a longer edge would meet.",
        )
    return EndPlace(side.locate(found)[0])


def _end_at_wall(approach: Approach) -> EndPlace:
    """Where a line ends at a wall: at its face for a bracket, else where a post stands clear of it.

    Whether the bracket reaches depends on the heading of the bay there, so `_lone_end` settles
    that.
    """
    kit, side, face = approach.kit, approach.side, _face_on(approach)
    if face is None:
        half_base_back = approach.at(-kit.post.base.width / 2)
        return EndPlace(place_clear_of_edge(approach, half_base_back), _corner_at(approach))
    if approach.edge.wall_end == "bracket":
        return EndPlace(face, face)
    if _skew_at(approach, face, side.heading_at(face)) > kit.swivel_greatest + TOUCH:
        face = _before_corner(approach, face)
    return EndPlace(_post_beside(approach, face), face)


def _post_beside(approach: Approach, face: Length) -> Length:
    """Place of a post whose base ends before a wall's face and stands clear of the wall.

    A fascia's base lies wholly on its own rim, which ends at the corner, and clear of the wall as
    far out as the base reaches.
    """
    kit, room = approach.kit, face
    if kit.mounting == "fascia":
        room = approach.sooner(face, _corner_at(approach))
        outer = base_reach(kit)[0]
        met = set_in_crossing(approach.side, outer, approach.other, 0.0, approach.corner)
        if met is not None:
            room = approach.sooner(room, approach.side.locate(met)[0])
    return place_clear_of_edge(approach, approach.back(room, kit.post.base.width / 2))


def _corner_at(approach: Approach) -> Length:
    """Where the corner lies along the side, worked out from its place in plan."""
    return approach.side.locate(approach.corner)[0]


def _skew_at(approach: Approach, t: Length, heading: Degrees) -> Degrees:
    """Skew of a bay with this heading at the wall that the side's line meets at `t`."""
    wall, setback = approach.other, approach.kit.post.setback
    there = wall.heading_at(wall.locate(approach.side.place(t, setback))[0])
    return skew_between(heading, there + 90)


def _before_corner(approach: Approach, face: Length) -> Length:
    """The place that a post is set back from at a wall that no bracket reaches.

    This is the corner; where the wall leans in over the side, it is the wall's face if that comes
    first.
    """
    corner = _corner_at(approach)
    return approach.sooner(face, corner) if approach.turn > 90 else corner


def _face_on(approach: Approach) -> Length | None:
    """Where the railing line meets the wall's face; None where it passes the wall by.

    At an outside corner, a fascia's line takes the wall as going on past its end.
    """
    kit, side, wall = approach.kit, approach.side, approach.other
    found = set_in_crossing(side, kit.post.setback, wall, 0.0, approach.corner)
    if found is None:
        return None
    t = wall.locate(found)[0]
    on_wall = -TOUCH <= t <= wall.length + TOUCH
    goes_on = kit.mounting == "fascia" and approach.turn > 0
    return side.locate(found)[0] if on_wall or goes_on else None


def first_headings(
    kit: Kit, side: Side, ends: FromTo, openings: Sequence[FromTo]
) -> tuple[Degrees, Degrees]:
    """Headings of a side's first and last bay, if spacing and skew alone decided on its chords.

    ends: where the side's line starts and ends. openings: the two sides of each opening. All are
    places along the railing line.
    """
    if not isinstance(side, ArcSide):
        return side.heading, side.heading
    half = kit.post.width / 2
    # Where the side's first stretch ends, and where its last one begins.
    first = min([near - half for near, _ in openings] + [ends[1]])
    last = max([far + half for _, far in openings] + [ends[0]])
    spans = first - ends[0], ends[1] - last
    return side.chord_headings(
        *ends, (_half_angle(kit, side, spans[0]), _half_angle(kit, side, spans[1]))
    )


def _half_angle(kit: Kit, side: ArcSide, span: Length) -> Degrees:
    """Half the central angle of each chord of a stretch, if spacing and skew alone decided on them.

    span: length of the stretch along the railing line.
    """
    if span <= TOUCH:
        return 0.0
    count = side.chords(span, kit, kit.max_centres[side.spec.infill])
    return side.half_angle(span / count)


def join_bent(
    before: Approach,
    after: Approach,
    ending: BayEnd | None,
    starting: BayEnd | None,
    step: Length,
) -> Join:
    """What stands at a corner with an arc on at least one of its sides.

    before, after: the arriving and the leaving side. ending, starting: how the last bay of the
    arriving and the first bay of the leaving side come to the corner; None where the side is not
    guarded. step: the smallest mark; two edges count as equally long within it.
    """
    if ending is not None and starting is not None:
        at = ending.place.t, starting.place.t
        headings = ending.heading, starting.heading
        turn = signed(starting.heading - ending.heading)
        return guarded_corner(before, after, at, headings, turn, step)
    if ending is not None:
        return Join(end=_lone_end(before, *ending))
    if starting is not None:
        return Join(start=_lone_end(after, *starting))
    return Join()


def _lone_end(approach: Approach, end: EndPlace, heading: Degrees) -> Terminal:
    """The end of a guarded side's line at an open edge or a wall, by the rules of `corners`.

    This is a bracket on the wall where one reaches the bay there, else a post. heading: of the bay.
    """
    kit, t, face = approach.kit, end.t, end.face
    if face is not None and t == face:
        skew = _skew_at(approach, t, heading)
        if skew <= kit.swivel_greatest + TOUCH:
            room = abs(_post_beside(approach, face) - t)
            return Terminal(t, None, skew, t, approach.other.path(), room=room)
        face = _before_corner(approach, face)
        t = _post_beside(approach, face)
    wall = () if face is None else approach.other.path()
    return post_terminal(kit, approach.side, t, "end", face, wall)
