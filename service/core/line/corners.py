"""Core: where a side's railing line begins and ends, and what stands there (methods 1 and 2).

Each corner of the outline joins two sides (`join_corner`). Throughout, `reach` is how far a railing
line runs past the corner along its own side; a line of negative reach stops short of it.
"""

from __future__ import annotations

import math
from typing import Final

import shapely

from service.core.frozen import record
from service.core.line.approach import Approach
from service.core.line.posts import (
    PostDraft,
    base_reach,
    post_at_corner,
    post_on_side,
    square_angle,
)
from service.core.line.sides import Side
from service.core.line.strips import place_clear_of_edge
from service.core.measure import TOUCH, Degrees, Length, Point
from service.core.records.deck import Obstruction
from service.core.records.kit import End, Kit
from service.core.records.layout import Role

HALF_WAY_BELOW: Final[Degrees] = 60.0
"""Turn below which a corner post stands half-way between its bays; from it up, square to the longer
edge."""


@record(eq=False)
class Terminal:
    """One end of a stretch of railing line.

    t: place along the side of the post's centre or, with no post, of the wall's face.
    post: the post here; None at a bracket on a wall or an obstruction.
    skew: angle by which the bay is off square to the face that it meets.
    wall_t: place along the side of the face of the wall or obstruction behind this end; None where
    there is none.
    wall: the wall beside a post, or that a bracket is on and that may not be square to the line, as
    a path in plan; else empty.
    obstructions: those that a bracket is on or a post beside, which touch each other.
    normal_heading: heading of the face's normal, from which a bow works out the skew of the chord
    that meets the face; None where `skew` is already settled.
    room: at a bracket, distance from `t` to the nearest centre of a post whose base has room there.
    """

    t: Length
    post: PostDraft | None
    skew: Degrees = 0.0
    wall_t: Length | None = None
    wall: tuple[Point, ...] = ()
    obstructions: tuple[Obstruction, ...] = ()
    normal_heading: Degrees | None = None
    room: Length = 0.0

    def end(self, kit: Kit) -> End:
        """The kind of end that a rail has here."""
        if is_skew(kit, self.skew):
            return "swivel"
        return "wall" if self.post is None else "socket"

    def beside(self) -> list[shapely.Geometry]:
        """The wall and the obstructions behind this end, in plan."""
        walls = [shapely.LineString(self.wall)] if self.wall else []
        return [*walls, *(one.shape for one in self.obstructions)]

    def half(self, kit: Kit) -> Length:
        """Distance from `t` to the face that the bay meets; 0 where there is no post."""
        return 0.0 if self.post is None else half_at(kit, self.skew)


def is_skew(kit: Kit, skew: Degrees) -> bool:
    """Whether a rail that meets its face at this skew needs a swivel bracket."""
    return skew > kit.square_limit + TOUCH


def skew_between(heading: Degrees, normal: Degrees) -> Degrees:
    """Skew of a bay with this heading at a face with this normal, whichever way the normal points.

    >>> skew_between(10.0, 175.0)
    15.0
    """
    return abs((heading - normal + 90) % 180 - 90)


def half_at(kit: Kit, skew: Degrees) -> Length:
    """Distance from a post's centre to the face that a bay of this skew meets (method 2)."""
    half = kit.post.width / 2
    return half / math.cos(math.radians(skew)) if is_skew(kit, skew) else half


def post_terminal(
    kit: Kit,
    side: Side,
    t: Length,
    role: Role = "end",
    wall_t: Length | None = None,
    wall: tuple[Point, ...] = (),
    obstructions: tuple[Obstruction, ...] = (),
) -> Terminal:
    """A terminal with a post of the side's own at `t`, square to the line there.

    wall_t, wall, obstructions: as in Terminal.
    """
    post = post_on_side(kit, side, t, role)
    return Terminal(t, post, 0.0, wall_t, wall, obstructions, side.heading_at(t))


@record()
class Join:
    """The end of the arriving side's line at a corner and the start of the leaving side's.

    Each is None where its side is not guarded. pair: whether they are the two posts of a fascia
    corner without a bracket.
    """

    end: Terminal | None = None
    start: Terminal | None = None
    pair: bool = False


def join_corner(before: Approach, after: Approach, step: Length) -> Join:
    """What stands at the corner between two straight sides.

    before, after: the arriving and the leaving side. step: the smallest mark; two edges count as
    equally long within it.
    """
    arriving, leaving = before.side, after.side
    conditions = (arriving.spec.condition, leaving.spec.condition)
    if conditions == ("guard", "guard"):
        reach = _reach_to_line(before)
        at, headings = (before.at(reach), after.at(reach)), (arriving.heading, leaving.heading)
        return guarded_corner(before, after, at, headings, before.turn, step)
    if conditions[0] == "guard":
        return Join(end=_lone_end(before))
    if conditions[1] == "guard":
        return Join(start=_lone_end(after))
    return Join()


def _reach_to_line(approach: Approach) -> Length:
    """Reach of a side's railing line to where it meets the other side's."""
    return -approach.kit.post.setback * math.tan(math.radians(approach.turn / 2))


def guarded_corner(
    before: Approach,
    after: Approach,
    at: tuple[Length, Length],
    headings: tuple[Degrees, Degrees],
    turn: Degrees,
    step: Length,
) -> Join:
    """The post at a corner between two guarded sides, or the pair that a fascia may have there.

    at: where the two lines meet, as a place along the arriving and along the leaving side.
    headings: of the bays there. turn: between these headings. The others are as for `join_corner`.
    """
    kit, arriving, leaving = before.kit, before.side, after.side
    bend = abs(turn) <= kit.straight_limit + TOUCH
    outside_rim = kit.mounting == "fascia" and turn > 0 and not bend
    if outside_rim and kit.post.corner == "pair":
        half = kit.post.base.width / 2
        back = arriving.length - half, half
        return Join(
            post_terminal(kit, arriving, back[0]),
            post_terminal(kit, leaving, back[1]),
            pair=True,
        )
    # The length of a bow is that of its edge, not of the railing's arc, which is set in.
    square_to_arriving = sum(arriving.lengths) >= sum(leaving.lengths) - step - TOUCH
    skews, turned = _stance(headings, turn, square_to_arriving=square_to_arriving)
    held_by = (arriving, at[0]) if square_to_arriving else (leaving, at[1])
    role: Role = "line" if bend else "corner"
    post = post_at_corner(kit, *held_by, turned, role, bracketed=outside_rim)
    return Join(Terminal(at[0], post, skews[0]), Terminal(at[1], post, skews[1]))


def _stance(
    headings: tuple[Degrees, Degrees], turn: Degrees, *, square_to_arriving: bool
) -> tuple[tuple[Degrees, Degrees], Degrees]:
    """The skews of the arriving and the leaving bay, and how the corner post is turned (method 2).

    Where the post is square to one bay, the other bay meets the neighbouring face, as far off
    square as the turn is off 90 degrees. This covers all that the method says of turns from
    HALF_WAY_BELOW up.
    """
    size = abs(turn)
    if size < HALF_WAY_BELOW - TOUCH:
        return (size / 2, size / 2), square_angle(headings[0] + turn / 2)
    off = abs(90 - size)
    if square_to_arriving:
        return (0.0, off), square_angle(headings[0])
    return (off, 0.0), square_angle(headings[1])


def _lone_end(approach: Approach) -> Terminal:
    """The end of a guarded side's line at a wall, or in a post at an open edge.

    At an open edge the post stands where that edge's own set-in line would meet the line, or as
    near the edge as the document asks (`ends_near`); a fascia's post stands on its own rim.
    """
    kit = approach.kit
    if approach.other.spec.condition == "wall":
        return _end_at_wall(approach)
    if ends_near(approach):
        return post_terminal(kit, approach.side, place_clear_of_edge(approach, approach.at(0.0)))
    on_rim = -kit.post.base.width / 2
    reach = on_rim if kit.mounting == "fascia" else _reach_to_line(approach)
    return post_terminal(kit, approach.side, approach.at(reach))


def ends_near(approach: Approach) -> bool:
    """Whether a line ends as near an open edge as its base has room, though not past their corner.

    It does so at an outside corner, where the document asks for it (`open_end`), but never on a
    fascia, whose base has its place on its own rim.
    """
    is_surface = approach.kit.mounting == "surface"
    return approach.edge.open_end == "edge" and approach.turn > 0 and is_surface


def _end_at_wall(approach: Approach) -> Terminal:
    """The end of a line at a wall: a bracket on the wall's face, or a post.

    The line runs to the wall's own line, where that point is on the wall and a bracket can reach.
    Elsewhere (edges in one line, inner corners, a face too oblique for the kit) it ends in a post
    half a base back from the corner, or from the wall's line where that comes first. Any post
    beside a wall stands so far back that its base is clear of the wall.
    """
    kit, wall = approach.kit, approach.other
    skew = abs(90 - abs(approach.turn))
    reach = _reach_to_wall(approach)
    before = faced = 0.0
    if reach is not None:
        faced = reach
        before = reach if kit.mounting == "surface" else _rim_before(approach)
        if skew > kit.swivel_greatest + TOUCH:
            before = faced = min(0.0, before)
        elif approach.edge.wall_end == "bracket":
            face = approach.at(reach)
            oblique = wall.path() if skew > TOUCH else ()
            return Terminal(face, None, skew, face, oblique, room=_room(approach, reach))
    t = place_clear_of_edge(approach, approach.at(before - kit.post.base.width / 2))
    return post_terminal(kit, approach.side, t, "end", approach.at(faced), wall.path())


def room_beside(kit: Kit, skew: Degrees) -> Length:
    """Distance from where a line meets a straight face to the nearest centre of a post on the line.

    The post's base, square to the line, is then clear of the face. skew: of the line at the face.
    """
    half = kit.post.base.width / 2
    deep = half if kit.mounting == "surface" else max(-kit.post.setback, kit.post.width / 2)
    return half + deep * math.tan(math.radians(skew))


def _room(approach: Approach, reach: Length) -> Length:
    """Distance from where a line meets a wall to the nearest centre of a post on the line.

    As `room_beside`, but at a corner, where a fascia's base is on its own rim. reach: to the wall's
    line.
    """
    if approach.kit.mounting == "surface":
        return room_beside(approach.kit, abs(90 - abs(approach.turn)))
    return reach - _rim_before(approach) + approach.kit.post.base.width / 2


def _rim_before(approach: Approach) -> Length:
    """Reach before which the base of a fascia's post has to end.

    The base stays on its own rim, which ends at the corner, and clear of the wall's line out to the
    base's outer side; the wall is taken to go on past its end.
    """
    outer = base_reach(approach.kit)[0]
    return min(0.0, outer / math.tan(math.radians(approach.turn)))


def _reach_to_wall(approach: Approach) -> Length | None:
    """Reach to the wall's line; None where the line does not meet it on the wall itself.

    None also at a turn of no more than `straight_limit`. At an outside corner, a fascia's line
    takes the wall as going on past its end.
    """
    kit, turn = approach.kit, approach.turn
    if abs(turn) <= kit.straight_limit + TOUCH:
        return None
    setback = kit.post.setback
    along_wall = setback / math.sin(math.radians(turn))
    goes_on = kit.mounting == "fascia" and turn > 0
    if goes_on or -TOUCH <= along_wall <= approach.other.length + TOUCH:
        return setback / math.tan(math.radians(turn))
    return None
