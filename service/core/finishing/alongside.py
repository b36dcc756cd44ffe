"""Core: the way between the railings of two levels that stand along one edge (`see_ways_between`).

Both railings are set in from the edge, which leaves a way between them that people may get into.
Observed here is how wide it is at its narrowest, from where they get in to each of its ends. In:
levels as drawn and numbered. Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

import shapely

from service.core.finishing.adjoining import Adjoining, GuardLine, LineEnd
from service.core.finishing.joints import nearest, upright
from service.core.finishing.meeting import (
    Met,
    in_heights,
    lies_at,
    meetings,
    near_by,
    over_the_edge,
)
from service.core.finishing.narrows import Course, narrowest, raked_openings, ways_in
from service.core.measure import TOUCH, Point
from service.core.records.deck import Drops, deepest
from service.core.records.seen import GapSeen


class _Outlet(NamedTuple):
    """An end of the way between two levels, where a line of one ends alongside lines of the other.

    met: the end of that line, with everything beside it. others: the lines of the other level.
    thirds: where one of the two levels is open to a third one here, the end of the other level's
    line with what stands beside it of that third one.
    """

    met: Met
    others: Sequence[GuardLine]
    thirds: Sequence[Met] = ()

    def levels(self) -> set[str]:
        """The ids of the two levels."""
        return {self.met.end.about.draft.level.id, self.met.across.draft.level.id}

    def lines(self) -> set[GuardLine]:
        """The lines of both levels that the way runs between here.

        Where the way goes round the corner, the line of the next edge is one of them.
        """
        end = self.met.end
        next_line = end.next_line if self.goes_round() else None
        return {end.line, *self.others, *([] if next_line is None else [next_line])}

    def goes_round(self) -> bool:
        """Whether the way goes round the corner: the other level lies along the next edge too.

        It does not where the other deck only lies a little over this one, across the corner.
        """
        end = self.met.end
        edge = end.next_edge_line()
        along = edge.interpolate(min(2 * near_by(end.about.kit), edge.length / 2))
        return all(lies_at(self.met.across, place) for place in (over_the_edge(end), along))

    def pasts(self) -> Iterator[tuple[LineEnd, bool]]:
        """The ends of the other level's lines that leaving the way here leads to.

        Each with whether its line goes on from here to that end.
        """
        for line in self.others:
            past = self._past(line)
            left = abs(past.corner - self.met.place_on(line))
            yield past, left > near_by(line.about.kit)

    def _past(self, line: GuardLine) -> LineEnd:
        """The end of a line of the other level that leaving the way here leads to."""
        back, _ = line.side.locate(_back(self.met.end))
        return line.end(1 if self.met.place_on(line) > back else -1)

    def drops(self) -> list[Drops]:
        """What lies below the edges that can be reached by leaving the way here.

        A line that ends here leads to its next edges; a line that goes on, to the rest of its own
        edge and to the next ones. If a line that ends here ends at an open edge, people come in
        here and do not leave: then only lines that go on count, or else what lies between the
        other line's next edges and a third level's railing.
        """
        stops, found = [self.met.end], []
        for past, goes_on in self.pasts():
            if goes_on:
                t = self.met.place_on(past.line)
                found += [past.line.drops_along(t, past.corner), *past.drops_beyond()]
            else:
                stops.append(past)
        if all(each.next_edge.condition != "open" for each in stops):
            found += [drops for each in stops for drops in each.drops_beyond()]
        for third in self.thirds:
            found += third.end.drops_beyond()
            found += [line.drops_along(third.place_on(line)) for line in third.lines]
        return found

    def with_thirds(self, met: Sequence[Met]) -> _Outlet:
        """The same outlet with its `thirds`. met: the meetings of all ends of lines."""
        pasts = list(self.pasts())
        stops = [self.met.end, *(past for past, _ in pasts)]
        ways = [each for each in stops if each.next_edge.condition == "open"]
        if not ways or any(goes_on for _, goes_on in pasts):
            return self
        thirds = tuple(
            each._replace(lines=_in_heights(each))
            for each in met
            if each.end in stops
            and each.end not in ways
            and each.across.draft.level.id not in self.levels()
            and any(lies_at(each.across, over_the_edge(way)) for way in ways)
            and not lies_at(each.across, over_the_edge(each.end))
        )
        return self._replace(thirds=thirds)

    def gap(self) -> GapSeen | None:
        """The gap between the two levels at this end; None if there is nothing to close it."""
        # Rails that meet the post are left out: something a whole bay away may be as near to them.
        return nearest(self.met, _standing(self.met))

    def beside_thirds(self, gap: GapSeen) -> GapSeen:
        """The lesser of a gap on the way and of those past its end, to third levels."""
        for third in self.thirds:
            past = nearest(third, _standing(third))
            if past is not None:
                whole = min(gap.whole, past.whole)
                gap = replace(past if past.width < gap.width - TOUCH else gap, whole=whole)
        return gap

    def courses(self, lines: Collection[GuardLine]) -> tuple[Course, Course]:
        """Both sides of the way from here on, first that of the line that ends here.

        lines: those that the way runs between.
        """
        end, past, past_end = self.met.end, self._past(self.others[0]), not self.thirds
        return (
            Course(end, past.about, lines, past_end),
            Course(past, end.about, lines, past_end),
        )

    def is_entered(self) -> bool:
        """Whether people can get in between the lines that the way runs between here.

        They can by an opening, past the end of a line at an open edge, or by a stretch too small to
        rail.
        """
        end = self.met.end
        for line in self.others:
            raked = [*raked_openings(end.line), *raked_openings(line)]
            if any(ways_in(end.line, line.about, raked)) or any(ways_in(line, end.about, raked)):
                return True
        return False


def see_ways_between(levels: Sequence[Adjoining]) -> Iterator[GapSeen]:
    """The gaps at the ends of ways between two levels' railings that people can get into.

    They get in by an opening or past the end of a railing. Levels whose guards are known not to
    overlap in height are left out. With a fascia kit, whose railings hang outside the decks, there
    is no such way.
    """
    if levels[0].kit.mounting == "fascia" or not any(map(_may_let_in, levels)):
        return
    ends = [end for about in levels for line in about.lines for end in line.ends]
    met = list(meetings(levels, ends))
    beside = ((each, _alongside(each)) for each in met)
    outlets = [_Outlet(each, others).with_thirds(met) for each, others in beside if others]
    told: list[tuple[_Outlet, GapSeen]] = []
    for outlet, lines in _entered(outlets):
        drops = outlet.drops()
        gap = outlet.gap() if drops else None
        if gap is None:
            continue
        way = narrowest(gap, *outlet.courses(lines))
        gap = None if way is None else outlet.beside_thirds(way)
        if gap is None or gap.width <= TOUCH:
            continue
        seen = outlet, replace(gap, kind="along", drops=deepest(drops))
        # Where lines of both levels end at one corner, the lesser of the two gaps is open there.
        same = [i for i, (other, _) in enumerate(told) if _is_one(outlet, other)]
        if not same:
            told.append(seen)
        elif gap.width < told[same[0]][1].width - TOUCH:
            told[same[0]] = seen
    # Two ends of a way may be told by one pair of things, which each end names from its own side.
    named: dict[frozenset[str], tuple[str, ...]] = {}
    for _, gap in told:
        yield replace(gap, where=named.setdefault(frozenset(gap.where), gap.where))


def _entered(outlets: Sequence[_Outlet]) -> Iterator[tuple[_Outlet, set[GuardLine]]]:
    """The ends of the ways that people can get into, except where a way goes on round a corner.

    Each with the lines that its way runs between.
    """
    for lines, way in _ways(outlets):
        if any(outlet.is_entered() for outlet in way):
            yield from ((outlet, lines) for outlet in way if not outlet.goes_round())


def _may_let_in(about: Adjoining) -> bool:
    """Whether a level has an open edge, an opening or a stretch too small to rail."""
    return about.is_open or any(
        line.openings or any(run.small for run in line.runs) for line in about.lines
    )


def _is_one(one: _Outlet, two: _Outlet) -> bool:
    near = near_by(one.met.end.about.kit)
    return (
        one.levels() == two.levels()
        and math.dist(one.met.end.corner_at, two.met.end.corner_at) <= near
    )


def _ways(outlets: Sequence[_Outlet]) -> list[tuple[set[GuardLine], list[_Outlet]]]:
    """The outlets, grouped by the way that they belong to, each with the lines of that way."""
    ways: list[tuple[set[GuardLine], list[_Outlet]]] = []
    for outlet in outlets:
        lines, along = outlet.lines(), [outlet]
        for way in [way for way in ways if way[0] & lines]:
            ways.remove(way)
            lines, along = lines | way[0], way[1] + along
        ways.append((lines, along))
    return ways


def _alongside(met: Met) -> list[GuardLine]:
    """The lines of another level that stand along the same edge as the line that ends here.

    A line may lie as far off as `near_by`: people who come in where the levels meet go on between
    the railings. Lines whose guards are known not to overlap with its own in height are left out.
    """
    place, near = shapely.Point(_back(met.end)), near_by(met.end.about.kit)
    return [line for line in _in_heights(met) if place.distance(line.path) <= near]


def _in_heights(met: Met) -> list[GuardLine]:
    """The lines of another level beside a corner.

    Lines whose guards are known not to overlap in height with that which ends there are left out.
    """
    return [line for line in met.lines if in_heights(met, line.side.spec.height) is not False]


def _standing(met: Met) -> shapely.Geometry:
    """What stands last on a line, and the wall of the next edge, in plan."""
    wall = met.end.about.walls.get(met.end.next_edge.number)
    own = upright(met)
    return own if wall is None else shapely.union_all([own, wall])


def _back(end: LineEnd) -> Point:
    """A place on the edge a little before its end, where the way still runs."""
    back = end.corner - end.sense * min(2 * near_by(end.about.kit), end.side.length / 2)
    return end.side.place(back, 0.0)
