"""Core: what fits between the corner of a deck and the rails that hang off it round it, in plan.

Along a fascia's edges that is how far the rails hang off. Past an outside corner it is more: a disc
that leans on the corner itself has both rails before it. At an inner one a disc may lean on both
edges. The post takes up some of that, the more the higher the gap under the rails is: a sphere that
turns in it is thickest half-way up, where only the post is beside it.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterator
from functools import partial
from typing import Final, NamedTuple

from service.core.finishing.adjoining import Adjoining
from service.core.levels.railing import LineDraft
from service.core.line.arc_corners import signed
from service.core.line.posts import PostDraft
from service.core.measure import TOUCH, Degrees, Length, Point
from service.core.records.deck import Drops, deepest
from service.core.records.kit import Kit
from service.core.records.seen import HungCornerSeen

HALVINGS: Final = 30
"""Times that the place is halved in which a disc just fits."""


class _Arm(NamedTuple):
    """A run that comes to the post of a corner. arrives: whether it ends there; edge: the heading
    of the deck's edge at the corner; start, away: where the middle line of its rails begins, and
    the heading in which it goes; half: of the bottom rail's width."""

    arrives: bool
    corner: Point
    edge: Degrees
    start: Point
    away: Degrees
    half: Length
    drops: Drops

    def radius(self, heading: Degrees) -> Length:
        """The radius of the disc that touches the corner and the rail, its centre in this direction
        from the corner: r = off - r cos a, with the rail `off` from the corner and a between the
        direction and square to the rail."""
        aside = self.away + (90 if self.arrives else -90)
        off = abs(_seen_from(self.start, self.away, self.corner)[1]) - self.half
        return off / (1 + math.cos(math.radians(heading - aside)))

    def off_rail(self, at: Point) -> Length:
        """How far a place is off the rail."""
        along, aside = _seen_from(self.start, self.away, at)
        return math.hypot(max(-along, 0.0), max(abs(aside) - self.half, 0.0))


def see_hung_corners(about: Adjoining) -> Iterator[HungCornerSeen]:
    """The corners of a level past which more fits than along their edges; of a surface kit, whose
    rails stand on the deck, none."""
    kit = about.kit
    if kit.mounting == "surface":
        return
    meeting: dict[PostDraft, list[_Arm]] = defaultdict(list)
    for line in about.draft.lines:
        for post, arm in _arms(about, line):
            meeting[post].append(arm)
    for post, arms in meeting.items():
        if len(arms) == 2:
            arriving, leaving = sorted(arms, key=lambda arm: not arm.arrives)
            room = 2 * _radius(kit, post, arriving, leaving)
            if room > max(-kit.post.setback - arm.half for arm in arms) + TOUCH:
                drops = deepest([arm.drops for arm in arms])
                yield HungCornerSeen(about.ids.posts[post], round(room, 6), drops)


def _arms(about: Adjoining, line: LineDraft) -> Iterator[tuple[PostDraft, _Arm]]:
    """The posts at the two ends of a line that a bay comes to."""
    side, kit = line.side, about.kit
    if not line.runs:
        return
    for sense, run in ((1, line.runs[0]), (-1, line.runs[-1])):
        stretch, last = run.stretch, len(run.marks) - 2
        terminal, index, at = (
            (stretch.start, 0, 0.0) if sense > 0 else (stretch.end, last, side.length)
        )
        post = terminal.post
        if post is None or all(bay.index != index for bay in run.bays):
            continue
        start, end = stretch.axis(kit).coords[::sense]
        corner = side.place(at, 0.0)
        reach = math.dist(corner, post.at)
        edge = side.heading_at(at)
        # A bowed edge as what of it leaves more room outside: its tangent or its chord.
        chord = _heading(*(corner, side.place(at + sense * reach, 0.0))[::sense])
        edge += sense * max(0.0, sense * signed(chord - edge))
        drops = about.drops_along(side, at, at - sense * kit.post.setback)
        half = kit.half_bottom_rail(side.spec.infill)
        yield post, _Arm(sense < 0, corner, edge, start, _heading(start, end), half, drops)


def _radius(kit: Kit, post: PostDraft, arriving: _Arm, leaving: _Arm) -> Length:
    """The radius in plan of the greatest disc that leans on an outside corner, or on both edges of
    an inner one; 0 where the post leaves it no room. A sphere whose middle is half-way up the gap
    under the rails is such a disc at the level of deck and rails, and reaches further to the post,
    which stands beside all of it."""
    turn, out = signed(leaving.edge - arriving.edge), arriving.edge - 90
    corner, half, up = arriving.corner, kit.post.width / 2, kit.bottom_gap / 2

    def is_clear(at: Point, radius: Length) -> bool:
        x, y = _seen_from(post.at, post.turned, at)
        off = math.hypot(max(abs(x) - half, 0.0), max(abs(y) - half, 0.0))
        return off >= math.hypot(radius, up)

    if turn < 0:
        middle, lean = out + turn / 2, math.cos(math.radians(turn / 2))

        def fits_between(far: Length) -> bool:
            at, radius = _placed(corner, middle, far), lean * far
            rails = min(arm.off_rail(at) for arm in (arriving, leaving))
            return rails >= radius and is_clear(at, radius)

        return lean * _last(0.0, math.dist(corner, post.at), fits_between)

    def fits(arm: _Arm, heading: Degrees) -> bool:
        radius = arm.radius(heading)
        return is_clear(_placed(corner, heading, radius), radius)

    # The nearer to where both rails leave as much room, the more they leave, and the less the post.
    middle = out + turn / 2
    if abs(arriving.radius(middle) - leaving.radius(middle)) > TOUCH:
        middle = _last(out, out + turn, lambda at: arriving.radius(at) <= leaving.radius(at))
    found = [
        arm.radius(_last(square, middle, partial(fits, arm)))
        for arm, square in ((arriving, out), (leaving, out + turn))
        if fits(arm, square)
    ]
    return max(found, default=0.0)


def _last(low: float, high: float, fits: Callable[[float], bool]) -> float:
    """The last place at which it fits, on the way from one where it does to one where it may
    not."""
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low


def _heading(start: Point, end: Point) -> Degrees:
    return math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))


def _placed(start: Point, heading: Degrees, far: Length) -> Point:
    angle = math.radians(heading)
    return start[0] + far * math.cos(angle), start[1] + far * math.sin(angle)


def _seen_from(start: Point, heading: Degrees, at: Point) -> Point:
    """How far along a heading a place lies, and how far to the left."""
    x, y, angle = at[0] - start[0], at[1] - start[1], math.radians(heading)
    cos, sin = math.cos(angle), math.sin(angle)
    return x * cos + y * sin, y * cos - x * sin
