"""Core: gaps beside an open edge, from one level's railing to another's or its wall (`see_joints`).

How two levels meet at the end of a line is worked out here for `alongside` too. In: levels as drawn
and numbered. Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple, TypeAlias

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.between import Between, Parted
from service.core.finishing.clear_space import infill_of
from service.core.finishing.line_ends import Last, LineEnd, ends_of, obstructions_at
from service.core.levels.railing import LineDraft
from service.core.line.neighbours import BEYOND
from service.core.line.posts import body
from service.core.measure import TOUCH, Length, convert
from service.core.records.deck import Drops, deepest
from service.core.records.kit import Kit
from service.core.records.seen import GapSeen, edge_place


class Beside(NamedTuple):
    """A line of another level beside the corner at which a line ends.

    t: where that corner lies along the other line. ends: whether the other line ends there too, at
    an open edge.
    """

    about: Adjoining
    line: LineDraft
    t: Length
    ends: bool


class _Wall(NamedTuple):
    """A wall of another level beside the corner at which a line ends.

    number: the caller's number of the wall's edge. ends: whether the wall ends there too, at an
    open edge.
    """

    about: Adjoining
    number: int
    ends: bool


class Met(NamedTuple):
    """The end of a line, what stands last there, and another level's lines and walls beside it."""

    end: LineEnd
    last: Last
    lines: Sequence[Beside]
    walls: Sequence[_Wall]


class _Body(NamedTuple):
    """Something of another level that may close a gap beside an open edge.

    drops: for a railing, what lies below it there; None for a wall.
    """

    name: str
    shape: shapely.Geometry
    about: Adjoining
    drops: Drops | None = None


RailingCache: TypeAlias = dict[tuple[str, int], list[tuple[str, shapely.Geometry]]]


def see_joints(levels: Sequence[Adjoining]) -> Iterator[GapSeen]:
    """The gaps between two levels' railings, or a railing and a wall, beside an open edge.

    Each is measured from what stands last on a line, before the open edge, to the nearest part of
    the railing or the walls of another level that lies along that edge, or round the corner of a
    third one that does. Only levels between which people are meant to go over count (`_go_over`). A
    gap that is seen from both its ends is yielded once.
    """
    railings: RailingCache = {}
    told: set[frozenset[str]] = set()
    for met in meetings(levels, [end for about in levels for end in _open_ends(about)]):
        one = met.end
        about = (met.lines or met.walls)[0].about
        across = lies_at(about, _over_the_edge(one))
        if not (across or _round_a_third(one, about, levels)):
            continue
        lines = [each for each in met.lines if _go_over(one, each, each.line.side.spec.height)]
        walls = [each for each in met.walls if _go_over(one, each, one.edge.height)]
        gap = nearest(met._replace(lines=lines, walls=walls), railings)
        if gap is not None and gap.width > TOUCH and frozenset(gap.where) not in told:
            told.add(frozenset(gap.where))
            yield gap if across else replace(gap, kind="joint_third")


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
    lines = [(about, line) for about in levels for line in about.draft.lines]
    walls = [(about, number) for about in levels for number in about.walls]
    edges = [
        *(shapely.LineString(line.side.path()) for _, line in lines),
        *(about.walls[number] for about, number in walls),
    ]
    corners = [shapely.Point(end.side.place(end.corner, 0.0)) for end in ends]
    pairs = shapely.STRtree(edges).query(corners, predicate="dwithin", distance=near).T.tolist()
    beside: dict[tuple[int, str], tuple[list[Beside], list[_Wall]]] = {}
    for i, j in sorted(pairs):
        about = (lines[j] if j < len(lines) else walls[j - len(lines)])[0]
        if about is not ends[i].about:
            of_lines, of_walls = beside.setdefault((i, about.draft.level.id), ([], []))
            if j < len(lines):
                of_lines.append(_beside(about, lines[j][1], corners[i], near))
            else:
                of_walls.append(_wall(about, walls[j - len(lines)][1], corners[i], near))
    for (i, _), others in beside.items():
        last = ends[i].last()
        if last is not None:
            yield Met(ends[i], last, *others)


def _open_ends(about: Adjoining) -> list[LineEnd]:
    """The ends of a level's lines whose next edge is open."""
    if all(spec.condition != "open" for spec in about.draft.specs):
        return []
    ends = (end for line in about.draft.lines for end in ends_of(about, line))
    return [end for end in ends if end.next_edge.condition == "open"]


def _beside(about: Adjoining, line: LineDraft, corner: shapely.Point, near: Length) -> Beside:
    t, _ = line.side.locate(corner.coords[0])
    ends = any(
        corner.distance(shapely.Point(line.side.place(end.corner, 0.0))) <= near
        and end.next_edge.condition == "open"
        for end in ends_of(about, line)
    )
    return Beside(about, line, t, ends)


def _wall(about: Adjoining, number: int, corner: shapely.Point, near: Length) -> _Wall:
    tips = about.walls[number].coords[:: len(about.walls[number].coords) - 1]
    ends = any(
        corner.distance(shapely.Point(tip)) <= near
        and about.next_edge(number, sense).condition == "open"
        for tip, sense in zip(tips, (-1, 1), strict=True)
    )
    return _Wall(about, number, ends)


def _bodies(met: Met, railings: RailingCache) -> Iterator[_Body]:
    """What may close the gap past an end: another level's railings and walls beside it.

    A line with an opening beside the end is left out. railings: those already made, by level and
    edge, kept because many ends may lie beside one long line.
    """
    one = met.end
    for other in met.lines:
        about, line = other.about, other.line
        if not any(
            drawn.faces[0] + TOUCH < other.t < drawn.faces[1] - TOUCH for drawn in line.openings
        ):
            drops = about.drops_along(line.side, other.t)
            key = about.draft.level.id, line.side.spec.number
            if key not in railings:
                railings[key] = list(railing(about, line))
            for name, shape in railings[key]:
                yield _Body(name, shape, about, drops)
    for wall in met.walls:
        if _stands_above(one.about, wall):
            about, shape = wall.about, wall.about.walls[wall.number]
            yield _Body(edge_place(about.draft.level.id, wall.number), shape, about)


def _stands_above(about: Adjoining, wall: _Wall) -> bool:
    """Whether another level's wall stands above this level too.

    A lower level's wall along this level's deck may be no more than the face below that deck.
    """
    rise = about.draft.rise_to(wall.about.draft)
    if rise is None or rise > -TOUCH:
        return True
    least = convert(BEYOND, "in", about.kit.unit)
    along = wall.about.walls[wall.number].intersection(about.draft.outline.buffer(least))
    return bool(along.length < 2 * least - TOUCH)


def _go_over(one: LineEnd, other: Beside | _Wall, height: Length) -> bool:
    """Whether people are meant to go over to another level past a line's end.

    The guards of the two levels have to overlap in height. Where drops are not given, two open
    edges that meet are taken to be meant for going over. height: of the other level's guard.
    """
    within = in_heights(one, other.about, height)
    return other.ends if within is None else within


def _over_the_edge(one: LineEnd) -> shapely.Point:
    """The place on the open edge past a line's end that is an inch from its corner."""
    edge, inch = one.next_edge_line(), convert(1.0, "in", one.about.kit.unit)
    return edge.interpolate(min(inch, edge.length / 2))


def _round_a_third(one: LineEnd, about: Adjoining, levels: Sequence[Adjoining]) -> bool:
    """Whether a third level lies along the open edge past a line's end and opens a way to `about`.

    It does if it has neither railing nor wall beside the corner, and is no higher than the guard
    that ends there. `about` then lies round the corner, not along the line's own edge, where the
    way between the two railings is another one (`alongside`).
    """
    place, near = _over_the_edge(one), near_by(one.about.kit)
    corner = shapely.Point(one.side.place(one.corner, 0.0))
    back = one.side.place(one.corner - one.sense * min(2 * near, one.side.length / 2), 0.0)
    if lies_at(about, shapely.Point(back)):
        return False
    for third in levels:
        rise = one.about.draft.rise_to(third.draft) or 0.0
        if third is one.about or third is about or not lies_at(third, place):
            continue
        sides = [shapely.LineString(line.side.path()) for line in third.draft.lines]
        beside = min(map(corner.distance, [*sides, *third.walls.values()]), default=math.inf)
        if rise < one.edge.height - TOUCH and beside > near:
            return True
    return False


def in_heights(one: LineEnd, about: Adjoining, height: Length) -> bool | None:
    """Whether the guards of two levels overlap in height; None where a drop is not given.

    one: an end of a line on the first level. height: of the other level's guard.
    """
    rise = one.about.draft.rise_to(about.draft)
    return None if rise is None else TOUCH - height < rise < one.edge.height - TOUCH


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


def nearest(met: Met, railings: RailingCache) -> GapSeen | None:
    """The gap from what stands last on a line to the nearest of another level's lines and walls.

    None where there are none of these beside it. Of several that are equally near, that which is
    nearest to the corner at the line's end counts. railings: as in `_bodies`.
    """
    bodies = list(_bodies(met, railings))
    if not bodies:
        return None
    one, last = met.end, met.last
    apart = [last.shape.distance(each.shape) for each in bodies]
    least, corner = min(apart) + TOUCH, shapely.Point(one.side.place(one.corner, 0.0))
    # A rail along the other level's is as near to several of its posts.
    near = [each for each, away in zip(bodies, apart, strict=True) if away <= least]
    other = min(near, key=lambda each: corner.distance(each.shape))
    passed = past_columns(one.about, other.about, last.shape, other.shape)
    level = one.about.draft.level.id
    own = one.about.ids.posts[last.post] if last.post else edge_place(level, one.edge.number)
    where, drops = (own, other.name), one.about.drops_along(one.side, last.t, one.corner)
    if other.drops is None:
        return GapSeen("joint_wall", where, passed.width, drops, *passed[1:])
    # A corner post stands along two edges, which need not lie over the same.
    along = [each.drops for each in near if each.name == other.name and each.drops is not None]
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
    return max((line.side.spec.height for line in about.draft.lines), default=default)


def railing(
    about: Adjoining, line: LineDraft, sense: int = 1, start: Length = -math.inf
) -> Iterator[tuple[str, shapely.Geometry]]:
    """The parts of a line's railing in plan, each with the name that findings give it.

    They are posts, the infill of runs, as a sphere would have to pass between the rails, and
    obstructions at which the line ends. Only those from `start` on, in the direction of `sense`
    (1 along the side, -1 against it); runs that begin before it are left out whole.
    """
    kit, ids = about.kit, about.ids
    for terminal in line.terminals():
        if sense * (terminal.t - start) < -TOUCH:
            continue
        if terminal.post is not None:
            yield ids.posts[terminal.post], body(kit, terminal.post)
        edge = edge_place(about.draft.level.id, line.side.edge_over(terminal.t).number)
        for column in obstructions_at(terminal):
            yield edge, column
    for run in line.runs:
        if any(sense * (each.t - start) < -TOUCH for each in (run.stretch.start, run.stretch.end)):
            continue
        for post in run.inner:
            yield ids.posts[post], body(kit, post)
        infill = infill_of(kit, run)
        if not infill.is_empty:
            yield ids.runs[run.key], infill
