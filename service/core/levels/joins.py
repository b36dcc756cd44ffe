"""Core: what stands at each corner of a level: a post, a pair, a wall's face or nothing.

In: the sides of the outline. Out: the two ends of every guarded side's railing line
(`settle_joins`; methods 2 and 10). Straight corners are worked out once (`line/corners`). Where a
side is bowed (`line/arc_corners`), a corner post depends on how the bays beside it head, and their
heading on the post, so both are worked out again until they agree.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, TypeAlias

from service.core.line.along import asked_openings, forbidden_spans
from service.core.line.approach import Approach
from service.core.line.arc_corners import (
    EndPlace,
    MetSide,
    first_headings,
    is_bent,
    join_bent,
    line_end,
)
from service.core.line.arcs import ArcSide
from service.core.line.corners import Join, Terminal, join_corner
from service.core.line.sides import Side
from service.core.line.stretches import Stretch, cut_line
from service.core.measure import Degrees, Length
from service.core.problems import Unbuildable
from service.core.records.deck import Level
from service.core.records.kit import Kit
from service.core.runs.arc_runs import count_chords, swap_brackets
from service.core.runs.bays import BayMaker

ROUNDS: Final = 16
"""Greatest number of times that corner posts are posed for the bays beside them; two or three
do."""
STILL: Final[Degrees] = 1e-9
"""Change of a bay's heading up to which its posts need not be posed again."""

Ends: TypeAlias = tuple[EndPlace, EndPlace]
"""Where a side's line starts, and where it ends."""


@dataclass(frozen=True, slots=True)
class Facing:
    """How a guarded side meets its two corners.

    first, last: headings of its first and its last bay. chords: how many chords its first and its
    last stretch has, where it is bowed. posted: for each end, whether the line is known to end in a
    post, at a wall that no bracket reaches.
    """

    first: Degrees
    last: Degrees
    chords: tuple[int, int] = (1, 1)
    posted: tuple[bool, bool] = (False, False)

    def agrees_with(self, other: Facing) -> bool:
        """Whether posts that are posed for one facing are right for the other."""
        turned = max(abs(self.first - other.first), abs(self.last - other.last))
        return turned <= STILL and (self.chords, self.posted) == (other.chords, other.posted)


@dataclass(frozen=True, slots=True)
class Joined:
    """What stands at each corner of an outline.

    joins[i]: at the corner that side i leaves. chords: how many chords the first and the last
    stretch of each bowed side has, by the side's place in the outline.
    """

    joins: tuple[Join, ...]
    chords: dict[int, tuple[int, int]]

    def ends(self, i: int) -> tuple[Terminal, Terminal]:
        """Where the line of guarded side `i` starts, and where it ends."""
        start, end = self.joins[i].start, self.joins[(i + 1) % len(self.joins)].end
        assert start is not None
        assert end is not None
        return start, end


def settle_joins(level: Level, sides: tuple[Side, ...], maker: BayMaker) -> Joined:
    """Every corner's posts, each posed for the bays that are built beside it.

    How many chords a bow has, and where its line ends, may depend on the faces of the posts at its
    ends. So the posts are posed first for the chords that spacing and skew alone ask for, then
    again for the chords that come of that, until no bay turns.
    """
    if not is_bent(*sides):
        return Joined(_joins(maker.kit, sides, {}, {}, maker.step), {})
    lines, facing = _first_facing(level, maker.kit, sides)
    bowed = [
        (i, side)
        for i, side in enumerate(sides)
        if isinstance(side, ArcSide) and side.spec.condition == "guard"
    ]
    for _ in range(ROUNDS):
        joined = Joined(
            _joins(maker.kit, sides, lines, facing, maker.step),
            {i: facing[i].chords for i, _ in bowed},
        )
        built = {i: _facing(level, side, joined.ends(i), maker, facing[i]) for i, side in bowed}
        if all(facing[i].agrees_with(each) for i, each in built.items()):
            break
        facing |= built
    return joined


def _first_facing(
    level: Level, kit: Kit, sides: tuple[Side, ...]
) -> tuple[dict[int, Ends], dict[int, Facing]]:
    """Where lines end at a bow, and how bays head there, before any post is posed.

    Both are by the place in the outline of a guarded side that is a bow or meets one. The headings
    are those with as many chords as spacing and skew alone ask for.
    """
    lines: dict[int, Ends] = {}
    facing: dict[int, Facing] = {}
    for i, side in enumerate(sides):
        before, after = sides[i - 1], sides[(i + 1) % len(sides)]
        if side.spec.condition == "guard" and is_bent(before, side, after):
            start, end = EndPlace(0.0), EndPlace(side.length)
            around = sides[i + 1 :] + sides[:i]
            if is_bent(before, side):
                start = line_end(kit, Approach(side, before, at_end=False), around[-2::-1])
            if is_bent(side, after):
                end = line_end(kit, Approach(side, after, at_end=True), around[1:])
            lines[i] = start, end
            spans = [(asked.near, asked.far) for asked in asked_openings(kit, level, side)]
            both = lines[i][0].t, lines[i][1].t
            facing[i] = Facing(*first_headings(kit, side, both, spans))
    return lines, facing


def _joins(
    kit: Kit,
    sides: tuple[Side, ...],
    lines: dict[int, Ends],
    facing: dict[int, Facing],
    step: Length,
) -> tuple[Join, ...]:
    """What stands at each corner; the item at i is for the corner between side i - 1 and side i.

    lines, facing: as `_first_facing` gives them.
    """
    joins = []
    for i, side in enumerate(sides):
        j = (i - 1) % len(sides)
        before = sides[j]
        if not is_bent(before, side):
            joins.append(join_corner(kit, before, side, step, sides[i:] + sides[:i]))
            continue
        arriving = leaving = None
        if j in lines:
            arriving = MetSide(before, lines[j][1], facing[j].last, facing[j].posted[1])
        if i in lines:
            leaving = MetSide(side, lines[i][0], facing[i].first, facing[i].posted[0])
        joins.append(join_bent(kit, arriving or _bare(before), leaving or _bare(side), step))
    return tuple(joins)


def _bare(side: Side) -> MetSide:
    """A side as it is met at a corner where it has no railing line."""
    return MetSide(side, EndPlace(0.0), side.heading)


def _facing(
    level: Level,
    side: ArcSide,
    ends: tuple[Terminal, Terminal],
    maker: BayMaker,
    known: Facing,
) -> Facing:
    """How the bays at both ends of a bow head, with the posts that stand there now.

    known: how they headed when these posts were posed. The bow has no fewer chords than that,
    unless an end has got a post since. Where the line cannot be cut, or nothing of it is left to
    rail, this is `known`; drawing the line later tells what is wrong with it.
    """
    try:
        openings = asked_openings(maker.kit, level, side)
        line = cut_line(maker.kit, side, ends, openings, level.obstructions)
    except Unbuildable:
        return known
    if not line.stretches:
        return known
    forbidden = forbidden_spans(level, maker.kit, side)
    posted = known.posted[0] or _is_posted(ends[0]), known.posted[1] or _is_posted(ends[1])
    # A post in place of a bracket makes the line shorter, so that it may need fewer chords.
    least = known.chords if posted == known.posted else (1, 1)
    stretches = swap_brackets(maker, line, level.obstructions, forbidden, least).stretches

    def chords(stretch: Stretch, least: int) -> int:
        return count_chords(maker, side, stretch, forbidden, least) or least

    first, last = stretches[0], stretches[-1]
    if first is last:
        counts = (chords(first, max(least)),) * 2
    else:
        counts = chords(first, least[0]), chords(last, least[1])
    # No bay comes to a corner post beside an opening, so it is posed for the line's tangent.
    jambs = {jamb for opening in line.openings for jamb in opening.jambs}
    start, end = (
        side.heading_at(terminal.t) if terminal in jambs else heading
        for terminal, heading in zip(ends, _headings(side, first, last, counts), strict=True)
    )
    return Facing(start, end, counts, posted)


def _headings(
    side: ArcSide, first: Stretch, last: Stretch, counts: tuple[int, int]
) -> tuple[Degrees, Degrees]:
    """Headings of a bow's first and last chord.

    first, last: the bow's first and last stretch. counts: how many chords each of the two has.
    """
    skews = (
        side.half_angle((first.end.t - first.start.t) / counts[0]),
        side.half_angle((last.end.t - last.start.t) / counts[1]),
    )
    return side.chord_headings(first.start.t, last.end.t, skews)


def _is_posted(end: Terminal) -> bool:
    return end.post is not None and end.wall_t is not None
