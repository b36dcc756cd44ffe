"""Core: corners at which a bowed side meets another (method 10): as corners.py, by crossings.

Two set-in lines meet where they cross nearest the corner; a bay of a bowed side heads along
its chord, so how a post stands depends on how many chords the side has.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from service.core.line.arcs import ArcSide
from service.core.line.corners import Join, Terminal, guarded_corner
from service.core.line.outline import Side
from service.core.line.posts import post_on_side
from service.core.measure import TOUCH, Degrees, Length, Point, plain_length
from service.core.problems import unbuildable
from service.core.records.deck import Opening
from service.core.records.kit import Kit


def is_bent(*sides: Side) -> bool:
    """Whether any of the sides is an arc."""
    return any(isinstance(side, ArcSide) for side in sides)


def crossing(
    one: Side, inward_one: Length, two: Side, inward_two: Length, corner: Point
) -> Point | None:
    """Where two sides' lines, each so far inward of its edge, cross nearest the corner."""
    if isinstance(one, ArcSide):
        radius = one.radius - one.way * inward_one
        if isinstance(two, ArcSide):
            other = two.radius - two.way * inward_two
            found = _circles(one.centre, radius, two.centre, other)
        else:
            found = _line_circle(two.place(0.0, inward_two), two.along, one.centre, radius)
    elif isinstance(two, ArcSide):
        radius = two.radius - two.way * inward_two
        found = _line_circle(one.place(0.0, inward_one), one.along, two.centre, radius)
    else:
        found = _lines(one, inward_one, two, inward_two)
    return min(found, key=lambda p: math.dist(p, corner), default=None)


def _line_circle(point: Point, along: Point, centre: Point, radius: Length) -> list[Point]:
    """Crossings of a line and a circle; a line that touches within 1e-6 crosses once."""
    x, y = centre[0] - point[0], centre[1] - point[1]
    foot = x * along[0] + y * along[1]
    off = abs(x * along[1] - y * along[0])
    if off > radius + TOUCH:
        return []
    half = math.sqrt(max(0.0, radius * radius - off * off))
    return [(point[0] + along[0] * t, point[1] + along[1] * t) for t in (foot - half, foot + half)]


def _circles(one: Point, r_one: Length, two: Point, r_two: Length) -> list[Point]:
    apart = math.dist(one, two)
    if apart <= TOUCH or apart > r_one + r_two + TOUCH or apart < abs(r_one - r_two) - TOUCH:
        return []
    along = (r_one * r_one - r_two * r_two + apart * apart) / (2 * apart)
    half = math.sqrt(max(0.0, r_one * r_one - along * along))
    ux, uy = (two[0] - one[0]) / apart, (two[1] - one[1]) / apart
    x, y = one[0] + ux * along, one[1] + uy * along
    return [(x - uy * half, y + ux * half), (x + uy * half, y - ux * half)]


def _lines(one: Side, inward_one: Length, two: Side, inward_two: Length) -> list[Point]:
    (ax, ay), (bx, by) = one.along, two.along
    cross = ax * by - ay * bx
    if abs(cross) < 1e-9:
        return []
    p, q = one.place(0.0, inward_one), two.place(0.0, inward_two)
    t = ((q[0] - p[0]) * by - (q[1] - p[1]) * bx) / cross
    return [(p[0] + ax * t, p[1] + ay * t)]


def line_end(kit: Kit, side: Side, other: Side, at_end: bool) -> tuple[Length, bool]:
    """Where a guarded side's line ends at the corner with another, and whether at a wall's face.

    Refuses a guarded pair whose set-in lines do not cross.
    """
    corner = side.end if at_end else side.start
    condition = other.spec.condition
    inward = 0.0 if condition == "wall" else kit.post.setback
    half_base = kit.post.base.width / 2
    back = side.length - half_base if at_end else half_base
    if condition == "open" and kit.mounting == "fascia":
        return back, False
    found = crossing(side, kit.post.setback, other, inward, corner)
    if condition == "wall":
        reached = found is not None and _on_wall(other, found)
        if not reached or found is None:
            return back, False
        face = side.locate(found)[0]
        if side.edge_at(at_end).wall_end == "post":
            return face - half_base if at_end else face + half_base, False
        return face, True
    if found is None:
        raise unbuildable(
            side.spec.pointer,
            "lines_do_not_meet",
            f"Set in by {plain_length(kit.post.setback, kit.unit)}, the railing lines of edges"
            f" {side.edge_at(at_end).number} and {other.edge_at(not at_end).number} of level"
            f" {side.level} do not cross; a smaller rise or a longer edge would meet.",
        )
    return side.locate(found)[0], False


def _on_wall(wall: Side, point: Point) -> bool:
    t = wall.locate(point)[0]
    return -TOUCH <= t <= wall.length + TOUCH


def chord_turn(
    kit: Kit,
    side: Side,
    ends: tuple[Length, Length],
    openings: Sequence[tuple[Length, Length]],
) -> tuple[Degrees, Degrees]:
    """Headings of a side's first and last bay, if spacing and skew alone asked for chords.

    openings: their sides along the railing line.
    """
    if not isinstance(side, ArcSide):
        return side.heading, side.heading
    half = kit.post.width / 2
    first = min([near - half for near, _ in openings] + [ends[1]])
    last = max([far + half for _, far in openings] + [ends[0]])
    at_start = _half_angle(kit, side, first - ends[0])
    at_end = _half_angle(kit, side, ends[1] - last)
    return (
        side.heading_at(ends[0]) + side.way * at_start,
        side.heading_at(ends[1]) - side.way * at_end,
    )


def _half_angle(kit: Kit, side: ArcSide, span: Length) -> Degrees:
    if span <= TOUCH:
        return 0.0
    count = side.chords(span, kit, kit.max_centres[side.spec.infill])
    return side.half_angle(span / count)


def join_bent(
    kit: Kit,
    sides: tuple[Side, Side],
    ends: tuple[tuple[Length, bool], tuple[Length, bool]],
    headings: tuple[Degrees, Degrees],
    posted: tuple[bool, bool],
    step: Length,
) -> Join:
    """What stands at a corner with an arc on at least one of its sides.

    sides: arriving, leaving; ends: where each one's line ends and whether at a wall's face;
    headings: of the bays there; posted: whether each is known to need a post at a wall.
    """
    arriving, leaving = sides
    turn = (headings[1] - headings[0] + 180) % 360 - 180
    guarded = [side.spec.condition == "guard" for side in sides]
    if all(guarded):
        return guarded_corner(kit, sides, (ends[0][0], ends[1][0]), headings, turn, step)
    end = start = None
    if guarded[0]:
        end = _lone(kit, arriving, leaving, ends[0], headings[0], arriving.end, posted[0])
    if guarded[1]:
        start = _lone(kit, leaving, arriving, ends[1], headings[1], leaving.start, posted[1])
    return Join(end, start)


def _lone(
    kit: Kit,
    side: Side,
    other: Side,
    end: tuple[Length, bool],
    heading: Degrees,
    corner: Point,
    posted: bool,
) -> Terminal:
    t, at_wall = end
    wall = other.spec.condition == "wall"
    if at_wall:
        wall_heading = other.heading_at(other.locate(side.place(t, kit.post.setback))[0])
        off = abs((heading - wall_heading + 90) % 180 - 90)
        skew = 90 - off
        if not posted and skew <= kit.swivel_greatest + TOUCH:
            return Terminal(t, None, skew, t)
        half = kit.post.base.width / 2
        t = t - half if math.dist(corner, side.end) <= TOUCH else t + half
    against = (other.start, other.end) if wall else ()
    face = side.locate(corner)[0] if wall else None
    return Terminal(t, post_on_side(kit, side, t, "end"), 0.0, face, against)


def opening_spans(side: Side, openings: Sequence[Opening]) -> list[tuple[Length, Length]]:
    """Both sides of each of a side's openings, along its railing line."""
    spans = [side.span_of(each.edge, each.start, each.width) for each in openings]
    return [span for span in spans if span is not None]
