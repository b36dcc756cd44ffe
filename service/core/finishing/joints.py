"""Core: gaps beside an open edge, from one level's railing to another's or its wall (`see_joints`).

How two levels meet there is worked out in `meeting`. In: levels as drawn and numbered. Nothing here
changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining, Body, GuardLine
from service.core.finishing.infill import infill_of
from service.core.finishing.meeting import (
    Met,
    an_inch_along,
    in_heights,
    lies_at,
    meeting_distance,
    meetings,
    near_by,
    over_the_edge,
    past_columns,
)
from service.core.line.neighbours import BEYOND
from service.core.line.posts import body
from service.core.measure import TOUCH, Length, all_least, convert
from service.core.records.deck import Drops, deepest
from service.core.records.seen import GapSeen


class _Body(NamedTuple):
    """Something of another level that may close a gap beside an open edge.

    drops: for a railing, what lies below it there; None for a wall.
    """

    name: str
    shape: shapely.Geometry
    drops: Drops | None = None


def see_joints(levels: Sequence[Adjoining]) -> Iterator[GapSeen]:
    """The gaps between two levels' railings, or a railing and a wall, beside an open edge.

    Each is measured from what stands last on a line, before the open edge, to the nearest part of
    the railing or the walls of another level that lies along that edge, or round the corner of a
    third one that does. Only levels between which people are meant to go over count (`_go_over`). A
    wall that ends beside an open edge is looked at likewise. A gap that is seen from both its ends
    is yielded once.
    """
    told: set[frozenset[str]] = set()
    for gap in (*_past_lines(levels), *_past_walls(levels)):
        if gap.width > TOUCH and frozenset(gap.where) not in told:
            told.add(frozenset(gap.where))
            yield gap


def _past_lines(levels: Sequence[Adjoining]) -> Iterator[GapSeen]:
    """The gaps past the ends of lines that end beside an open edge."""
    open_levels = (about for about in levels if about.is_open)
    ends = (end for about in open_levels for line in about.lines for end in line.ends)
    for met in meetings(levels, [end for end in ends if end.next_edge.condition == "open"]):
        across = lies_at(met.across, over_the_edge(met.end))
        if not (across or _round_a_third(met, levels)):
            continue
        lines = [
            line
            for line in met.lines
            if _go_over(met, line.side.spec.height, ends=_line_ends(met, line))
        ]
        walls = [
            number
            for number in met.walls
            if _go_over(met, met.end.edge.height, ends=_wall_ends(met, number))
        ]
        gap = nearest(met._replace(lines=lines, walls=walls), _closing(met))
        if gap is not None:
            yield gap if across else replace(gap, kind="joint_third")


def _past_walls(levels: Sequence[Adjoining]) -> Iterator[GapSeen]:
    """The gaps past walls that end beside an open edge, to a railing along that edge that goes on.

    The railing is another level's, set in from the open edge: whoever goes over that edge stands
    outside it. With a fascia kit there is no deck to stand on there.
    """
    walled = (each for each in levels if each.is_open and each.kit.mounting == "surface")
    for about, sense in product(walled, (-1, 1)):
        for number in about.walls:
            spec = about.next_edge(number, sense)
            if spec.condition == "open":
                line = about.edge_line(spec)
                edge = line if sense > 0 else line.reverse()
                place = an_inch_along(edge, about.kit)
                others = (each for each in levels if each is not about and lies_at(each, place))
                yield from (gap for each in others for gap in _past_wall(about, number, edge, each))


def _past_wall(
    about: Adjoining, number: int, edge: shapely.LineString, across: Adjoining
) -> Iterator[GapSeen]:
    """The gap past the end of a level's wall to the railing of a level along the open edge there.

    number: of the wall's edge. edge: the open edge, from the wall's end on. Nothing where the
    guards are not known to overlap in height.
    """
    tip, rise = shapely.Point(edge.coords[0]), across.draft.rise_to(about.draft)
    lines = [
        line
        for line in across.lines
        if rise is not None
        and abs(rise) < line.side.spec.height - TOUCH
        and line.path.dwithin(tip, near_by(about.kit))
    ]
    ways = [way for line in lines for way in _ways_past(line, tip, edge)]
    places = [(line, line.side.locate((tip.x, tip.y))[0]) for line in lines]
    bodies = [_Body(*each) for line, t in places for each in _railing(line, t)]
    if rise is not None and ways and bodies:
        # A lower level's wall may be no more than the face below the other's deck.
        stands = about.walls[number] if rise > -TOUCH else tip
        name, shape, _ = _closest(bodies, stands, tip)[0]
        passed = past_columns(across, about, shape, stands)
        room, drops = max(room for room, _ in ways), deepest([drops for _, drops in ways])
        width, whole = min(passed.width, room), min(passed.whole, room)
        where = name, about.edge_place(number)
        yield GapSeen("joint_wall", where, width, drops, whole, passed.parted_by)


def _ways_past(
    line: GuardLine, tip: shapely.Point, edge: shapely.LineString
) -> Iterator[tuple[Length, Drops]]:
    """What lies below the edges that a line beside another level's wall leads to, past its end.

    With each, how much room there is to get off: what is left of the line's own edge; of the next
    edges, endless. tip: the wall's end. edge: the open edge there, over which people come in; the
    line's deck may go on beneath it. Nothing for a line that ends there beside an open edge or a
    wall.
    """
    side, least = line.side, meeting_distance(line.about.kit)
    t = side.locate((tip.x, tip.y))[0]
    off = min(2 * near_by(line.about.kit), edge.length / 2, side.length / 2)
    for end in line.ends:
        if 0 < t - end.sense * off < side.length:
            left = end.sense * (end.corner - t)
            if left > least:
                yield left, line.drops_along(t, end.corner)
            yield from ((math.inf, drops) for drops in end.drops_beyond())


def upright(met: Met) -> shapely.Geometry:
    """The post and the obstructions at a line's end, as far as they close a gap there.

    Beside a post, obstructions known to be lower than the guard do not, as a sphere gets out over
    them. Where no post stands they are taken whole: other rules tell of what is too low there.
    """
    end, last = met.end, met.last
    if last.post is None:
        return last.columns
    columns = end.about.between.not_below(end.edge.height, [last.columns])
    return shapely.union_all([*columns, body(end.about.kit, last.post)])


def _closing(met: Met) -> shapely.Geometry:
    """What stands last on a line, as far as it closes a gap there, with the rails that come to it.

    Where these come to an obstruction, what is next to it of their infill counts in their place, as
    a sphere gets out between the rails.
    """
    end, last = met.end, met.last
    if last.post is not None:
        return shapely.union_all(end.about.between.not_below(end.edge.height, [last.shape]))
    corner, infill = shapely.Point(end.corner_at), []
    for run in end.line.runs:
        terminal = run.stretch.end if end.sense > 0 else run.stretch.start
        if run.bays and abs(terminal.t - last.t) <= TOUCH:
            infill = shapely.get_parts(shapely.get_parts(infill_of(end.about.kit, run))).tolist()
    return shapely.union_all([last.columns, *sorted(infill, key=corner.distance)[:1]])


def _bodies(met: Met) -> Iterator[_Body]:
    """What may close the gap past an end: another level's railings and walls beside it.

    A line with an opening beside the end is left out.
    """
    for line in met.lines:
        t = met.place_on(line)
        drops = line.drops_along(t)
        yield from (_Body(name, shape, drops) for name, shape in _railing(line, t))
    for number in met.walls:
        if _stands_above(met.across, number, met.end.about):
            yield _Body(met.across.edge_place(number), met.across.walls[number])


def _railing(line: GuardLine, t: Length) -> Sequence[Body]:
    """The parts of a line's railing, for a place along it; none where that is in an opening."""
    openings = (drawn.faces for drawn in line.openings)
    return [] if any(a + TOUCH < t < b - TOUCH for a, b in openings) else line.railing


def _stands_above(about: Adjoining, number: int, other: Adjoining) -> bool:
    """Whether a level's wall stands above another level too.

    A lower level's wall along the other's deck may be no more than the face below that deck.
    """
    rise = other.draft.rise_to(about.draft)
    if rise is None or rise > -TOUCH:
        return True
    least = convert(BEYOND, "in", about.kit.unit)
    along = about.walls[number].intersection(other.draft.outline.buffer(least))
    return bool(along.length < 2 * least - TOUCH)


def _go_over(met: Met, height: Length, *, ends: bool) -> bool:
    """Whether people are meant to go over to another level past a line's end.

    The guards of the two levels have to overlap in height. Where drops are not given, two open
    edges that meet are taken to be meant for going over. height: of the other level's guard. ends:
    whether that guard ends at an open edge beside the corner, too.
    """
    within = in_heights(met, height)
    return ends if within is None else within


def _round_a_third(met: Met, levels: Sequence[Adjoining]) -> bool:
    """Whether a third level lies along the open edge past a line's end and opens a way to `across`.

    It does if it has neither railing nor wall beside the corner, and is no higher than the guard
    that ends there. A wall that may be the face below one of the two decks is none. `across` then
    lies round the corner, not along the line's own edge, where the way between the two railings is
    another one (`alongside`).
    """
    end, near = met.end, near_by(met.across.kit)
    place, corner = over_the_edge(end), shapely.Point(end.corner_at)
    back = end.side.place(end.corner - end.sense * min(2 * near, end.side.length / 2), 0.0)
    if lies_at(met.across, shapely.Point(back)):
        return False
    for third in levels:
        rise = end.about.draft.rise_to(third.draft) or 0.0
        if third in (end.about, met.across) or not lies_at(third, place):
            continue
        sides = [line.path for line in third.lines]
        walls = [
            wall
            for number, wall in third.walls.items()
            if all(_stands_above(third, number, each) for each in (end.about, met.across))
        ]
        beside = min(map(corner.distance, [*sides, *walls]), default=math.inf)
        if rise < end.edge.height - TOUCH and beside > near:
            return True
    return False


def _line_ends(met: Met, line: GuardLine) -> bool:
    """Whether a line of the other level ends beside the corner too, at an open edge."""
    return any(
        end.next_edge.condition == "open" and met.is_at_corner(end.corner_at) for end in line.ends
    )


def _wall_ends(met: Met, number: int) -> bool:
    """Whether a wall of the other level ends beside the corner too, at an open edge."""
    path = met.across.walls[number].coords
    return any(
        met.across.next_edge(number, sense).condition == "open" and met.is_at_corner(tip)
        for tip, sense in ((path[0], -1), (path[-1], 1))
    )


def nearest(met: Met, shape: shapely.Geometry) -> GapSeen | None:
    """The gap from the end of a line to the nearest of another level's lines and walls beside it.

    None where there are none of these. Of several that are equally near, that which is nearest to
    the corner counts; of those that are equally near to that, too, the first. shape: what stands at
    the end.
    """
    close = _closest(list(_bodies(met)), shape, shapely.Point(met.end.corner_at))
    if not close:
        return None
    other = close[0]
    passed = past_columns(met.end.about, met.across, shape, other.shape)
    where = met.end.name_of(met.last.post), other.name
    drops = met.end.line.drops_along(met.last.t, met.end.corner)
    if other.drops is None:
        return GapSeen("joint_wall", where, passed.width, drops, *passed[1:])
    # A corner post stands along two edges, and two rails may be as near: these may lie over more.
    along = [each.drops for each in close if each.drops is not None]
    return GapSeen("joint", where, passed.width, deepest([drops, *along]), *passed[1:])


def _closest(
    bodies: Sequence[_Body], shape: shapely.Geometry, corner: shapely.Point
) -> Sequence[_Body]:
    """The bodies nearest to a shape; of several, as along a rail, those nearest to a corner."""
    near = all_least(bodies, lambda each: shape.distance(each.shape))
    return all_least(near, lambda each: corner.distance(each.shape))
