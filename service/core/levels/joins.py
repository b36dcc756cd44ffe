"""Core: what stands at each corner of a level: a post, a pair, a wall's face or nothing.

In: the sides of the outline. Out: the two ends of every guarded side's railing line
(`settle_joins`; methods 2 and 10). Straight corners are worked out once (`line/corners`). Where a
side is bowed (`line/arc_corners`), a corner post depends on how the bays beside it head, and their
heading on the post, so both are worked out again until they agree.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, TypeAlias

from service.core.frozen import record
from service.core.levels.railing import cut_side
from service.core.line.along import asked_openings
from service.core.line.approach import Approach, approaches
from service.core.line.arc_corners import BayEnd, EndPlace, first_headings, join_bent, line_end
from service.core.line.arcs import ArcSide, is_bent
from service.core.line.corners import Join, Terminal, join_corner
from service.core.line.sides import Side
from service.core.measure import Degrees, Length
from service.core.problems import Unbuildable
from service.core.records.deck import Level
from service.core.records.kit import Kit
from service.core.runs.arc_runs import Chords, zip_chords
from service.core.runs.bays import BayMaker

ROUNDS: Final = 16
"""Greatest number of times that corner posts are posed for the bays beside them; two or three
do."""
STILL: Final[Degrees] = 1e-9
"""Change of a bay's heading up to which its posts need not be posed again."""

Corner: TypeAlias = tuple[Approach, Approach]
"""The arriving and the leaving side of a corner, as they come to it."""


@record()
class Facing:
    """How a guarded side that is a bow, or meets one, comes to its two corners.

    ends: where its line starts and ends. headings: of its first and its last bay. chords: how many
    chords its first and its last stretch has, where it is bowed.
    """

    ends: tuple[EndPlace, EndPlace]
    headings: tuple[Degrees, Degrees]
    chords: tuple[int, int] = (1, 1)

    def at(self, which: int) -> BayEnd:
        """How it comes to the corner at its start (0) or at its end (1)."""
        return BayEnd(self.ends[which], self.headings[which])

    def agrees_with(self, other: Facing) -> bool:
        """Whether posts that are posed for one facing are right for the other."""
        turned = max(abs(a - b) for a, b in zip(self.headings, other.headings, strict=True))
        return turned <= STILL and (self.chords, self.ends) == (other.chords, other.ends)


@record()
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
    corners = [approaches(maker.kit, sides, i) for i in range(len(sides))]
    if not is_bent(*sides):
        return Joined(_joins(corners, {}, maker.step), {})
    facing = _first_facing(level, maker.kit, corners)
    bowed = [(i, side) for i, side in enumerate(sides) if i in facing and isinstance(side, ArcSide)]
    for _ in range(ROUNDS):
        joins = _joins(corners, facing, maker.step)
        joined = Joined(joins, {i: facing[i].chords for i, _ in bowed})
        built = {i: _facing(level, side, joined.ends(i), maker, facing[i]) for i, side in bowed}
        if all(facing[i].agrees_with(each) for i, each in built.items()):
            break
        facing |= built
    return joined


def _first_facing(level: Level, kit: Kit, corners: Sequence[Corner]) -> dict[int, Facing]:
    """How guarded sides that are bows, or meet one, come to their corners before any post is posed.

    Each is by the side's place in the outline. Its bays head as with as many chords as spacing and
    skew alone ask for.
    """
    facing: dict[int, Facing] = {}
    for i, (_, after) in enumerate(corners):
        side, before = after.side, corners[(i + 1) % len(corners)][0]
        if side.spec.condition == "guard" and (after.bent or before.bent):
            start = line_end(after) if after.bent else EndPlace(0.0)
            end = line_end(before) if before.bent else EndPlace(side.length)
            spans = [(asked.near, asked.far) for asked in asked_openings(kit, level, side)]
            headings = first_headings(kit, side, (start.t, end.t), spans)
            facing[i] = Facing((start, end), headings)
    return facing


def _joins(corners: Sequence[Corner], facing: dict[int, Facing], step: Length) -> tuple[Join, ...]:
    """What stands at each corner; the item at i is for the corner between side i - 1 and side i.

    facing: as `_first_facing` gives it.
    """
    joins = []
    for i, (before, after) in enumerate(corners):
        j = (i - 1) % len(corners)
        if before.bent:
            ending = facing[j].at(1) if j in facing else None
            starting = facing[i].at(0) if i in facing else None
            joins.append(join_bent(before, after, ending, starting, step))
        else:
            joins.append(join_corner(before, after, step))
    return tuple(joins)


def _facing(
    level: Level,
    side: ArcSide,
    terminals: tuple[Terminal, Terminal],
    maker: BayMaker,
    known: Facing,
) -> Facing:
    """How a bow comes to its corners with the posts that stand there now.

    terminals: at its start and its end. known: how it came to its corners when these were posed.
    The bow has no fewer chords than that, unless an end has got a post since. Where the line cannot
    be cut, or nothing of it is left to rail, this is `known`; drawing the line later tells what is
    wrong with it.
    """
    ends = _kept(terminals[0], known.ends[0]), _kept(terminals[1], known.ends[1])
    # A post in place of a bracket makes the line shorter, so that it may need fewer chords.
    least = known.chords if ends == known.ends else (1, 1)
    try:
        line, forbidden = cut_side(maker, level, side, terminals, least)
    except Unbuildable:
        return known
    if not line.stretches:
        return known

    count = Chords(maker, side, forbidden).count
    stretches = list(zip_chords(line, least))
    (first, few), (last, few_at_last) = stretches[0], stretches[-1]
    chords = count(first, few) or few, count(last, few_at_last) or few_at_last
    skews = side.half_angle(first.length / chords[0]), side.half_angle(last.length / chords[1])
    headings = side.chord_headings(first.start.t, last.end.t, skews)
    # No bay comes to a corner post beside an opening, so it is posed for the line's tangent.
    jambs = {jamb.terminal for opening in line.openings for jamb in opening.jambs}
    start, end = (
        side.heading_at(terminal.t) if terminal in jambs else heading
        for terminal, heading in zip(terminals, headings, strict=True)
    )
    return Facing(ends, (start, end), chords)


def _kept(terminal: Terminal, end: EndPlace) -> EndPlace:
    """Where a line ends that came to `end`; a post beside a wall, once it stands, is kept."""
    if terminal.post is None or terminal.wall_t is None:
        return end
    return EndPlace(terminal.t, terminal.wall_t)
