"""Core: how two levels meet beside the end of a line (`meetings`), for `joints` and `alongside`.

What of another level lies beside a corner, how far off it still counts, whether the guards of both
overlap in height, and what passes between two things on different levels. In: levels as drawn and
numbered. Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining, GuardLine, Last, LineEnd
from service.core.finishing.between import Between, Parted
from service.core.line.neighbours import BEYOND
from service.core.measure import TOUCH, Length, Point, convert
from service.core.records.kit import Kit


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


def near_by(kit: Kit) -> Length:
    """How far from a corner a line of another level may lie and be beside it.

    It may lie as far off as railings stand from their edge, since one deck may lie a little under
    the other.
    """
    return max(meeting_distance(kit), abs(kit.post.setback) + TOUCH)


def meeting_distance(kit: Kit) -> Length:
    """How far apart two levels may lie and still meet.

    The next surface is looked for at BEYOND from an edge. What is left between the levels past that
    place is then no wider than what lies before it.
    """
    return 2 * convert(BEYOND, "in", kit.unit) + TOUCH


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
        *(line.path for line in lines),
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


def over_the_edge(end: LineEnd) -> shapely.Point:
    """The place on the edge past a line's end that is an inch from its corner."""
    return an_inch_along(end.next_edge_line(), end.about.kit)


def an_inch_along(edge: shapely.LineString, kit: Kit) -> shapely.Point:
    """The place an inch along an edge, or midway along a shorter one."""
    return edge.interpolate(min(convert(1.0, "in", kit.unit), edge.length / 2))


def lies_at(about: Adjoining, place: shapely.Point) -> bool:
    """Whether a level lies beside a place on another level's edge.

    It may lie only as far off as `guard_required` takes the step from one level to the other as no
    drop.
    """
    return bool(about.draft.outline.distance(place) <= meeting_distance(about.kit))


def in_heights(met: Met, height: Length) -> bool | None:
    """Whether the guards of two levels overlap in height; None where a drop is not given.

    height: of the other level's guard.
    """
    rise = met.end.about.draft.rise_to(met.across.draft)
    return None if rise is None else TOUCH - height < rise < met.end.edge.height - TOUCH


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
