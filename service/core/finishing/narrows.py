"""Core: how narrow the way between two levels' railings is (`narrowest`), and who gets into it.

In: lines of two levels that stand along one edge, as `alongside` finds them. Nothing here changes a
draft.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining, Body, GuardLine, LineEnd
from service.core.finishing.meeting import lies_at, near_by, past_columns
from service.core.line.openings import OpeningDraft
from service.core.measure import TOUCH, Length, Point, all_least, convert
from service.core.records.seen import GapSeen


class WayIn(NamedTuple):
    """A place along a line where people get in between two levels' railings.

    faces: from where to where along the line. width: of the largest sphere that gets in; infinite
    by an opening and past an end. where: for a stretch too small to rail, what stands at its ends,
    as findings name it.
    """

    faces: tuple[Length, Length]
    width: Length = math.inf
    where: tuple[str, ...] = ()

    def lesser(self, gap: GapSeen) -> GapSeen:
        """The lesser of a gap and of this place."""
        if self.width > gap.width - TOUCH:
            return replace(gap, whole=min(gap.whole, self.width))
        return replace(gap, where=self.where, width=self.width, whole=self.width, parted_by=())


class Course(NamedTuple):
    """One level's railing along a way, line after line, from an end of the way on.

    end: the end of the first of these lines that is nearest to the end of the way. across: the
    other level. lines: those of both levels that the way runs between. past_end: whether people
    count who come in past `end` itself.
    """

    end: LineEnd
    across: Adjoining
    lines: Collection[GuardLine]
    past_end: bool

    def ends(self) -> Iterator[LineEnd]:
        """The ends of its lines that are nearer to the end of the way."""
        end, left = self.end, set(self.lines)
        while True:
            yield end
            left.discard(end.line)
            line = end.other.next_line
            if line is None or line not in left:
                return
            end = line.end(end.sense)

    def whole(self) -> list[Body]:
        """All that stands on its lines."""
        return [body for end in self.ends() for body in end.line.railing]

    def entrances(self, raked: Sequence[Point]) -> Iterator[tuple[WayIn, list[Body]]]:
        """The last places where people come in, each with what stands past it on its lines.

        From the end of the way on, as far as the first place where anything gets in. raked: as in
        `ways_in`.
        """
        found: list[Body] = []
        for end in self.ends():
            sense, ways = end.sense, ways_in(end.line, self.across, raked)
            left_out = None if self.past_end or end is not self.end else (end.corner, end.corner)
            counted = [way for way in ways if way.faces != left_out]
            for way in sorted(counted, key=lambda way: -sense * way.faces[sense > 0]):
                yield way, [*found, *end.line.railing_from(sense, way.faces[sense > 0])]
                if math.isinf(way.width):
                    return
            found += end.line.railing


def narrowest(gap: GapSeen, own: Course, other: Course) -> GapSeen | None:
    """The narrowest gap that people have to pass on a way between two levels, to one of its ends.

    From where they come in on one side it lies between what stands past that place on this side and
    anything on the other side. They may come in on either side, and by a stretch too small to rail:
    of all these places that counts by which the largest sphere gets out. Where they come in on
    neither side but by such stretches, those who come from other lines of the way have to pass the
    end alone.
    None where those who come in past the end itself do not count, and nobody else comes in.
    gap: that at the end itself. own, other: the two sides, `own` that of the line that ends there.
    """
    ends = [end for course in (own, other) for end in course.ends()]
    raked = [place for end in ends for place in raked_openings(end.line)]
    ways = [
        *((way, _nearest(gap, own, past, other.whole())) for way, past in own.entrances(raked)),
        *((way, _nearest(gap, own, own.whole(), far)) for way, far in other.entrances(raked)),
    ]
    if not ways:
        return gap if own.past_end else None
    found = [way.lesser(narrow) for way, narrow in ways]
    rest = set(own.lines) - {end.line for end in ends}
    if all(way.where for way, _ in ways):
        others = sorted(_others_in(rest, own.lines), key=lambda way: way.where)
        found += [way.lesser(gap) for way in others]
    widest = all_least(found, lambda each: -each.width)[0]
    whole = min(gap.whole, max(each.whole for each in found))
    if widest.width < gap.width - TOUCH:
        return replace(widest, whole=whole)
    return replace(gap, whole=whole)


def _others_in(rest: Collection[GuardLine], lines: Collection[GuardLine]) -> Iterator[WayIn]:
    """Where people come in along some lines of a way.

    rest: those lines. lines: all between which the way runs.
    """
    raked = [place for line in lines for place in raked_openings(line)]
    levels = {line.about for line in lines}
    for line in rest:
        for about in levels - {line.about}:
            yield from ways_in(line, about, raked)


def _nearest(gap: GapSeen, own: Course, ours: list[Body], theirs: list[Body]) -> GapSeen:
    """The narrowest gap between bodies of two levels; `gap` itself where one has none.

    Of pairs that are equally near, the one nearest to the end of the way is named; of those that
    are equally near to it, too, the first.
    """
    if not ours or not theirs:
        return gap
    one, across = own.end.about, own.across
    shapes, others = [shape for _, shape in ours], [shape for _, shape in theirs]
    tree, corner = shapely.STRtree(others), shapely.Point(own.end.corner_at)
    least = float(tree.query_nearest(shapes, return_distance=True, all_matches=False)[1].min())
    equal = tree.query(shapes, predicate="dwithin", distance=least + TOUCH).T.tolist()
    i, j = all_least(sorted(equal), lambda pair: corner.distance(shapes[pair[0]]))[0]
    straight = replace(
        gap, where=(ours[i][0], theirs[j][0]), width=least, whole=least, parted_by=()
    )
    if not (one.draft.level.obstructions or across.draft.level.obstructions):
        return straight
    parted = past_columns(
        one, across, shapely.GeometryCollection(shapes), shapely.GeometryCollection(others)
    )
    if parted.width > least - TOUCH:
        return straight
    return replace(gap, width=parted.width, whole=parted.whole, parted_by=parted.parted_by)


def ways_in(line: GuardLine, other: Adjoining, raked: Sequence[Point]) -> Iterator[WayIn]:
    """Where along a line people get in between it and a line of another level.

    They do by an opening, unless the guards of a flight pass through, past its end at an open edge,
    and by a stretch that is too small to rail. raked: the middles of openings that guards of
    flights pass through, on either line.
    """
    side, kit = line.side, line.about.kit
    places = [(place, side.locate(place)[0]) for place in raked]
    closed = [t for place, t in places if math.dist(side.place(t, 0.0), place) <= near_by(kit)]
    for drawn in line.openings:
        is_raked = any(drawn.faces[0] < t < drawn.faces[1] for t in closed)
        if not is_raked and lies_at(other, shapely.Point(side.place(_middle(drawn), 0.0))):
            yield WayIn(drawn.faces)
    for end in line.ends:
        place = side.place(end.corner - end.sense * inch(line.about), 0.0)
        if end.next_edge.condition == "open" and lies_at(other, shapely.Point(place)):
            yield WayIn((end.corner, end.corner))
    for run in line.runs:
        for bay in run.small:
            faces = tuple(run.stretch.start.t + mark for mark in run.marks[bay.index :][:2])
            if lies_at(other, shapely.Point(side.place(sum(faces) / 2, 0.0))):
                ends = run.posts[bay.index :][:2]
                edge = line.about.edge_place(side.edge_over(faces[0]).number)
                names = [line.about.ids.posts[post] if post else edge for post in ends]
                yield WayIn((faces[0], faces[1]), bay.clear, tuple(names))


def raked_openings(line: GuardLine) -> Iterator[Point]:
    """The middles of a line's openings that the guards of a flight pass through.

    Those are the openings at which raked rails meet every post.
    """
    for drawn in line.openings:
        if drawn.posts and all(line.about.ids.on[post].is_raked for post in drawn.posts):
            yield line.side.place(_middle(drawn), 0.0)


def inch(about: Adjoining) -> Length:
    """An inch in the document's unit."""
    return convert(1.0, "in", about.kit.unit)


def _middle(drawn: OpeningDraft) -> Length:
    return (drawn.faces[0] + drawn.faces[1]) / 2
