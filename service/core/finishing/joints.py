"""Core: gaps beside an open edge, from one level's railing to another's or its wall (`see_joints`).

`see_wall_joints` is for a wall that ends at an open edge with another level's guard all along it.
How two levels meet at the end of a line is worked out here for `alongside` too. In: levels as drawn
and numbered. Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining, Body, GuardLine, Last, LineEnd
from service.core.finishing.between import Between, Parted
from service.core.finishing.infill import infill_of
from service.core.line.neighbours import BEYOND
from service.core.line.posts import body
from service.core.measure import TOUCH, Length, Point, all_least, convert
from service.core.records.deck import Drops, deepest
from service.core.records.kit import Kit
from service.core.records.seen import GapSeen


class Met(NamedTuple):
    """The end of a line, and what stands beside its corner of another level.

    last: what stands last there. across: the other level. lines, walls: the lines beside the
    corner, and the numbers of the edges that are walls.
    """

    end: LineEnd
    last: Last
    across: Adjoining
    lines: Sequence[GuardLine]
    walls: Sequence[int]

    def place_on(self, line: GuardLine) -> Length:
        """Where the corner lies along a line of the other level."""
        return line.side.locate(self.end.corner_at)[0]

    def is_at_corner(self, place: Point) -> bool:
        """Whether a corner of the other level is this one, as far as levels may lie apart."""
        return math.dist(place, self.end.corner_at) <= near_by(self.across.kit)


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
    gap that is seen from both its ends is yielded once.
    """
    told: set[frozenset[str]] = set()
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
        if gap is not None and gap.width > TOUCH and frozenset(gap.where) not in told:
            told.add(frozenset(gap.where))
            yield gap if across else replace(gap, kind="joint_third")


def see_wall_joints(levels: Sequence[Adjoining]) -> Iterator[GapSeen]:
    """The gaps past the ends of walls, from an open edge to another level's guard along that edge.

    People get over the open edge to the outside of that guard, and past the wall's end off the
    other level. Where its guard ends beside the wall at an open edge of its own, `see_joints` has
    the gap; where it ends at a wall, there is nowhere to fall.
    """
    # A fascia's railing stands over the open edge, and not in from it.
    if levels[0].kit.mounting == "fascia":
        return
    for about in (each for each in levels if each.is_open):
        for number, sense in product(about.walls, (-1, 1)):
            edge = about.next_edge(number, sense)
            if edge.condition == "open":
                line = about.edge_line(edge)
                path = line if sense > 0 else line.reverse()
                gaps = (_past_wall(about, number, path, other) for other in levels)
                yield from (gap for gap in gaps if gap is not None and gap.width > TOUCH)


def _past_wall(
    about: Adjoining, number: int, edge: shapely.LineString, other: Adjoining
) -> GapSeen | None:
    """The gap past a wall's end to another level's guard along the open edge that begins there.

    None where that level has no such guard, and where it leads to no drop. number: of the wall.
    edge: the open edge in plan, from the wall on.
    """
    near, inch = near_by(about.kit), convert(1.0, "in", about.kit.unit)
    ahead, tip = edge.interpolate(min(2 * near, edge.length / 2)), edge.coords[0]
    if other is about or not lies_at(other, edge.interpolate(min(inch, edge.length / 2))):
        return None
    rise, wall = about.draft.rise_to(other.draft), about.walls[number]
    drops: list[Drops] = []
    bodies: list[Body] = []
    for line in other.lines:
        path, height = shapely.LineString(line.side.path()), line.side.spec.height
        overlap = rise is None or TOUCH - height < rise < height - TOUCH
        if overlap and path.distance(shapely.Point(tip)) <= near and path.distance(ahead) <= near:
            (t, _), (back, _) = line.side.locate(tip), line.side.locate(ahead.coords[0])
            past = line.end(1 if t > back else -1)
            goes_on = abs(past.corner - t) > near
            drops += [line.drops_along(t, past.corner)] if goes_on else []
            drops += past.drops_beyond()
            bodies += line.railing
    if not drops or not bodies:
        return None
    closest = min(bodies, key=lambda each: wall.distance(each.shape))
    passed = past_columns(about, other, wall, closest.shape)
    where = closest.name, about.edge_place(number)
    return GapSeen("joint_wall", where, passed.width, deepest(drops), *passed[1:])


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


def near_by(kit: Kit) -> Length:
    """How far from a corner a line of another level may lie and be beside it.

    It may lie as far off as railings stand from their edge, since one deck may lie a little under
    the other.
    """
    return max(_meeting_distance(kit), abs(kit.post.setback) + TOUCH)


def meetings(levels: Sequence[Adjoining], ends: Sequence[LineEnd]) -> Iterator[Met]:
    """Which of the given ends of lines have lines or walls of another level beside their corner.

    One Met for each such end and each other level there.
    """
    if not ends:
        return
    near = near_by(ends[0].about.kit)
    lines = [line for about in levels for line in about.lines]
    walls = [(about, number) for about in levels for number in about.walls]
    edges = [
        *(shapely.LineString(line.side.path()) for line in lines),
        *(about.walls[number] for about, number in walls),
    ]
    corners = [shapely.Point(end.corner_at) for end in ends]
    pairs = shapely.STRtree(edges).query(corners, predicate="dwithin", distance=near).T.tolist()
    beside: dict[tuple[int, Adjoining], tuple[list[GuardLine], list[int]]] = {}
    for i, j in sorted(pairs):
        about = lines[j].about if j < len(lines) else walls[j - len(lines)][0]
        if about is not ends[i].about:
            of_lines, of_walls = beside.setdefault((i, about), ([], []))
            if j < len(lines):
                of_lines.append(lines[j])
            else:
                of_walls.append(walls[j - len(lines)][1])
    for (i, about), (of_lines, of_walls) in beside.items():
        last = ends[i].last
        if last is not None:
            yield Met(ends[i], last, about, of_lines, of_walls)


def _bodies(met: Met) -> Iterator[_Body]:
    """What may close the gap past an end: another level's railings and walls beside it.

    A line with an opening beside the end is left out.
    """
    for line in met.lines:
        t = met.place_on(line)
        if not any(drawn.faces[0] + TOUCH < t < drawn.faces[1] - TOUCH for drawn in line.openings):
            drops = line.drops_along(t)
            yield from (_Body(name, shape, drops) for name, shape in line.railing)
    for number in met.walls:
        if _stands_above(met.across, number, met.end.about):
            yield _Body(met.across.edge_place(number), met.across.walls[number])


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


def over_the_edge(end: LineEnd) -> shapely.Point:
    """The place on the edge past a line's end that is an inch from its corner."""
    edge, inch = end.next_edge_line(), convert(1.0, "in", end.about.kit.unit)
    return edge.interpolate(min(inch, edge.length / 2))


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
        sides = [shapely.LineString(line.side.path()) for line in third.lines]
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


def in_heights(met: Met, height: Length) -> bool | None:
    """Whether the guards of two levels overlap in height; None where a drop is not given.

    height: of the other level's guard.
    """
    rise = met.end.about.draft.rise_to(met.across.draft)
    return None if rise is None else TOUCH - height < rise < met.end.edge.height - TOUCH


def lies_at(about: Adjoining, place: shapely.Point) -> bool:
    """Whether a level lies beside a place on another level's edge.

    It may lie only as far off as `guard_required` takes the step from one level to the other as no
    drop.
    """
    return bool(about.draft.outline.distance(place) <= _meeting_distance(about.kit))


def _meeting_distance(kit: Kit) -> Length:
    """How far apart two levels may lie and still meet.

    The next surface is looked for at BEYOND from an edge. What is left between the levels past that
    place is then no wider than what lies before it.
    """
    return 2 * convert(BEYOND, "in", kit.unit) + TOUCH


def nearest(met: Met, shape: shapely.Geometry) -> GapSeen | None:
    """The gap from the end of a line to the nearest of another level's lines and walls beside it.

    None where there are none of these. Of several that are equally near, that which is nearest to
    the corner counts; of those that are equally near to that, too, the first. shape: what stands at
    the end.
    """
    bodies = list(_bodies(met))
    if not bodies:
        return None
    # A rail along the other level's is as near to several of its posts.
    near = all_least(bodies, lambda each: shape.distance(each.shape))
    corner = shapely.Point(met.end.corner_at)
    close = all_least(near, lambda each: corner.distance(each.shape))
    other = close[0]
    passed = past_columns(met.end.about, met.across, shape, other.shape)
    where = met.end.name_of(met.last.post), other.name
    drops = met.end.line.drops_along(met.last.t, met.end.corner)
    if other.drops is None:
        return GapSeen("joint_wall", where, passed.width, drops, *passed[1:])
    # A corner post stands along two edges, and two rails may be as near: these may lie over more.
    along = [each.drops for each in close if each.drops is not None]
    return GapSeen("joint", where, passed.width, deepest([drops, *along]), *passed[1:])


def past_columns(
    one: Adjoining, other: Adjoining, start: shapely.Geometry, end: shapely.Geometry
) -> Parted:
    """What passes between the railings of two levels, past the obstructions of both.

    An obstruction counts if it reaches, from its own level, over the guards of both levels.
    """
    rise = one.draft.rise_to(other.draft) or 0.0
    own = _guards_height(one, 0.0)
    far = _guards_height(other, own)
    tops = (one, max(own, rise + far)), (other, max(far, own - rise))
    columns = [(each, top) for about, top in tops for each in about.draft.level.obstructions]
    high = [each for each, top in columns if each.reaches(top)]
    return Between([each for each, _ in columns]).parted(high, start, end)


def _guards_height(about: Adjoining, default: Length) -> Length:
    """The height of a level's highest guard. default: of a level without any."""
    return max((line.side.spec.height for line in about.lines), default=default)
