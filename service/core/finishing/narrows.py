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
from service.core.finishing.joints import lies_at, near_by, past_columns
from service.core.line.openings import OpeningDraft
from service.core.line.posts import PostDraft
from service.core.measure import TOUCH, Length, Point, all_least, convert
from service.core.records.seen import GapSeen


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

    def past_entrance(self, raked: Sequence[Point]) -> list[Body] | None:
        """What stands past the last place where people come in, toward the end of the way.

        None where people do not come in here. raked: as in `ways_in`.
        """
        found: list[Body] = []
        for end in self.ends():
            sense, ways = end.sense, ways_in(end.line, self.across, raked)
            left_out = None if self.past_end or end is not self.end else (end.corner, end.corner)
            faces = [way[sense > 0] for way in ways if way != left_out]
            if faces:
                last = max(faces, key=lambda t: sense * t)
                return [*found, *end.line.railing_from(sense, last)]
            found += end.line.railing
        return None


def narrowest(
    gap: GapSeen, own: Course, other: Course, heads: Collection[PostDraft]
) -> GapSeen | None:
    """The narrowest gap that people have to pass on a way between two levels, to one of its ends.

    From where they come in on one side it lies between what stands past that place on this side and
    anything on the other side. They may come in on either side: the wider one of the two counts.
    None where those who come in past the end itself do not count, and nobody else comes in.
    gap: that at the end itself. own, other: the two sides, `own` that of the line that ends there.
    heads: the posts that raked rails meet.
    """
    ends = [end for course in (own, other) for end in course.ends()]
    raked = [place for end in ends for place in raked_openings(end.line, heads)]
    past, far = own.past_entrance(raked), other.past_entrance(raked)
    found = [
        *([] if past is None else [_nearest(gap, own, past, other.whole())]),
        *([] if far is None else [_nearest(gap, own, own.whole(), far)]),
    ]
    if not found:
        return gap if own.past_end else None
    widest = all_least(found, lambda each: -each.width)[0]
    whole = min(gap.whole, max(each.whole for each in found))
    if widest.width < gap.width - TOUCH:
        return replace(widest, whole=whole)
    return replace(gap, whole=whole)


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


def ways_in(
    line: GuardLine, other: Adjoining, raked: Sequence[Point]
) -> Iterator[tuple[Length, Length]]:
    """From where to where along a line people get in between it and a line of another level.

    They do by an opening, unless the guards of a flight pass through, and past its end at an open
    edge. raked: the middles of openings that guards of flights pass through, on either line.
    """
    side, kit = line.side, line.about.kit
    places = [(place, side.locate(place)[0]) for place in raked]
    closed = [t for place, t in places if math.dist(side.place(t, 0.0), place) <= near_by(kit)]
    for drawn in line.openings:
        is_raked = any(drawn.faces[0] < t < drawn.faces[1] for t in closed)
        if not is_raked and lies_at(other, shapely.Point(side.place(_middle(drawn), 0.0))):
            yield drawn.faces
    for end in line.ends:
        place = side.place(end.corner - end.sense * inch(line.about), 0.0)
        if end.next_edge.condition == "open" and lies_at(other, shapely.Point(place)):
            yield end.corner, end.corner


def raked_openings(line: GuardLine, heads: Collection[PostDraft]) -> Iterator[Point]:
    """The middles of a line's openings that the guards of a flight pass through.

    Those are the openings at which raked rails meet every post.
    """
    for drawn in line.openings:
        if drawn.posts and all(post in heads for post in drawn.posts):
            yield line.side.place(_middle(drawn), 0.0)


def inch(about: Adjoining) -> Length:
    """An inch in the document's unit."""
    return convert(1.0, "in", about.kit.unit)


def _middle(drawn: OpeningDraft) -> Length:
    return (drawn.faces[0] + drawn.faces[1]) / 2
