"""Core: what fits between a deck's corner and the rails that hang off it (`see_hung_corners`).

Along a fascia's edge what fits is as wide as the rails hang off. Past an outside corner more fits,
as a disc that leans on the corner has both rails in front of it; at an inner corner a disc may lean
on both edges. The post takes up some of this room, and the more, the higher the gap under the rails
is: a sphere is thickest at the height of its middle, where only the post is beside it.

A sphere that comes down has its middle at every height of the gap in turn. What fits at one height
is a question in plan, in which the sphere is one disc at the level of the deck, another at the
level of the rails, and a disc of its full width at the post. The tightest of a few heights decides,
so that no larger sphere passes than the one that is found.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import Final, NamedTuple

from service.core.finishing.adjoining import Adjoining, GuardLine
from service.core.line.posts import PostDraft
from service.core.line.sides import signed
from service.core.measure import DRAWN, TOUCH, Degrees, Length, Point
from service.core.records.deck import Drops, deepest
from service.core.records.kit import Kit
from service.core.records.seen import HungCornerSeen

HALVINGS: Final = 24
"""How often a search for the place where a disc just fits halves its interval."""
HEIGHTS: Final = (0.5, 0.6, 0.7, 0.8, 0.9)
"""Heights of the sphere's middle that are looked at, as parts of the gap under the rails.

They count up from the deck at an outside corner, where the rails surround the sphere, and down from
the rails at an inner corner, where the edges do.
"""


class _Arm(NamedTuple):
    """A run that comes to the post of a corner.

    arrives: whether the run ends at the corner, counter-clockwise; else it starts there.
    corner: the corner of the deck.
    edge: heading of the deck's edge at the corner.
    start, away: the end at the corner of the middle line of its rails, and the heading from there.
    half: half the width of the bottom rail.
    off: distance from the corner to the line of the bottom rail's near face.
    hangs: distance from the deck's edge to that face; on a bow, at its posts.
    drops: what lies below the edge beside the corner.
    """

    arrives: bool
    corner: Point
    edge: Degrees
    start: Point
    away: Degrees
    half: Length
    off: Length
    hangs: Length
    drops: Drops

    def reach(self, heading: Degrees, over: Length) -> Length:
        """Distance in plan from the corner to the middle of the sphere touching it and the rail.

        The distance r solves r^2 + z^2 = (off - r cos a)^2 + (gap - z)^2, where a is the angle
        between the heading and the normal of the rail, and z the height of the sphere's middle over
        the deck. heading: from the corner to the middle. over: gap^2 - 2 gap z, which is 0 half-way
        up.
        """
        off, aside = self.off, self.away + (90 if self.arrives else -90)
        ahead = off * math.cos(math.radians(heading - aside))
        square = off * off + over
        return square / (ahead + math.sqrt(ahead * ahead + square * (1 - (ahead / off) ** 2)))

    def off_rail(self, at: Point) -> Length:
        """The distance in plan from a place to the rail."""
        along, aside = _seen_from(self.start, self.away, at)
        return math.hypot(max(-along, 0.0), max(abs(aside) - self.half, 0.0))


def see_hung_corners(about: Adjoining) -> Iterator[HungCornerSeen]:
    """The corners of a level past which more fits than along their edges.

    Nothing with a surface kit, whose rails stand on the deck.
    """
    kit = about.kit
    if kit.mounting == "surface":
        return
    meeting: dict[PostDraft, list[_Arm]] = defaultdict(list)
    for line in about.lines:
        for post, arm in _arms(line):
            meeting[post].append(arm)
    for post, arms in meeting.items():
        if len(arms) == 2:
            room = _Corner(kit, post, arms).room()
            if room > max(arm.hangs for arm in arms) + TOUCH:
                drops = deepest([arm.drops for arm in arms])
                yield HungCornerSeen(about.ids.posts[post], round(room, 6), drops)


def _arms(line: GuardLine) -> Iterator[tuple[PostDraft, _Arm]]:
    """The posts at a line's two ends that a bay comes to, each with the run that comes to it."""
    side, kit = line.side, line.about.kit
    if not line.runs:
        return
    for sense, run in ((1, line.runs[0]), (-1, line.runs[-1])):
        stretch, starts = run.stretch, sense > 0
        post = stretch.start.post if starts else stretch.end.post
        if post is None or run.outer_bay(at_end=not starts) is None:
            continue
        at = 0.0 if starts else side.length
        start, end = stretch.axis(kit).coords[::sense]
        corner = side.place(at, 0.0)
        reach = math.dist(corner, post.at)
        edge = side.heading_at(at)
        # A bowed edge is taken as its tangent or its chord, whichever leaves more room outside.
        chord = _heading(*(corner, side.place(at + sense * reach, 0.0))[::sense])
        edge += sense * max(0.0, sense * signed(chord - edge))
        drops = line.drops_along(at, at - sense * kit.post.setback)
        half = kit.half_rail("bottom", side.spec.infill)
        away = _heading(start, end)
        off = abs(_seen_from(start, away, corner)[1]) - half
        hangs = -kit.post.setback - half
        yield post, _Arm(sense < 0, corner, edge, start, away, half, off, hangs, drops)


class _Corner:
    """A corner of a deck, with its post and the two runs that come to it.

    In its methods, up is the height of the sphere's middle over the deck, and over as in
    `_Arm.reach`.
    """

    def __init__(self, kit: Kit, post: PostDraft, arms: Sequence[_Arm]) -> None:
        self._arms = arriving, leaving = sorted(arms, key=lambda arm: not arm.arrives)
        self._post, self._half, self._gap = post, kit.post.width / 2, kit.bottom_gap
        self._at, self._out = arriving.corner, arriving.edge - 90
        self._turn = signed(leaving.edge - arriving.edge)

    def room(self) -> Length:
        """Room in plan for the largest sphere that comes down here.

        The sphere's diameter is the hypotenuse over this room and the gap under the rails. It is
        the smallest of the spheres that fit at each of HEIGHTS; the search ends early once no
        larger one fits than along the edges.
        """
        gap, is_outside = self._gap, self._turn > 0
        greatest = self._greatest_outside if is_outside else self._greatest_inside
        tight = min(min(arm.off, arm.hangs) for arm in self._arms)
        if tight <= DRAWN:
            return tight
        along = max(arm.hangs for arm in self._arms)
        room = math.inf
        for part in HEIGHTS if gap else HEIGHTS[:1]:
            if room <= along + TOUCH:
                break
            up = gap * (part if is_outside else 1 - part)
            over = gap * (gap - 2 * up)
            radius = max(greatest(up, over), self._along(up, over))
            # Along an edge alone this root is of hangs^2 + (gap - 2 up)^2 (1 + (gap / hangs)^2).
            room = min(room, math.sqrt(4 * radius * radius - gap * gap))
        return room

    def _along(self, up: Length, over: Length) -> Length:
        """The radius of the largest sphere along one of the edges, away from the corner."""
        reaches = ((arm.hangs * arm.hangs + over) / (2 * arm.hangs) for arm in self._arms)
        return max(math.hypot(reach, up) for reach in reaches)

    def _is_clear(self, at: Point, radius: Length) -> bool:
        """Whether a sphere is clear of the post, which stands beside the sphere's whole height."""
        x, y = _seen_from(self._post.at, self._post.turned, at)
        return math.hypot(max(abs(x) - self._half, 0.0), max(abs(y) - self._half, 0.0)) >= radius

    def _greatest_inside(self, up: Length, over: Length) -> Length:
        """The radius of the largest sphere that leans on both edges of an inner corner."""
        middle, lean = self._out + self._turn / 2, math.cos(math.radians(self._turn / 2))

        def fits(far: Length) -> bool:
            at, aside = _placed(self._at, middle, far), lean * far
            rails = min(arm.off_rail(at) for arm in self._arms)
            is_under = rails * rails + over >= aside * aside
            return is_under and self._is_clear(at, math.hypot(aside, up))

        far = _last(0.0, math.dist(self._at, self._post.at), fits)
        return math.hypot(lean * far, up)

    def _greatest_outside(self, up: Length, over: Length) -> Length:
        """The radius of the largest sphere that leans on an outside corner; 0 where none can.

        Infinity where a rail is so near, compared with the gap, that it sets no bound.
        """
        (arriving, leaving), out, turn = self._arms, self._out, self._turn
        if min(arm.off * arm.off for arm in self._arms) + over <= TOUCH:
            return math.inf

        def fits(arm: _Arm, heading: Degrees) -> bool:
            reach = arm.reach(heading, over)
            return self._is_clear(_placed(self._at, heading, reach), math.hypot(reach, up))

        # The nearer to where both rails leave equal room, the more they leave, the less the post.
        middle = out + turn / 2
        if abs(arriving.reach(middle, over) - leaving.reach(middle, over)) > TOUCH:
            middle = _last(
                out, out + turn, lambda at: arriving.reach(at, over) <= leaving.reach(at, over)
            )
        found = [
            math.hypot(arm.reach(_last(square, middle, partial(fits, arm)), over), up)
            for arm, square in ((arriving, out), (leaving, out + turn))
            if fits(arm, square)
        ]
        return max(found, default=0.0)


def _last(low: float, high: float, fits: Callable[[float], bool]) -> float:
    """The last place that fits, on the way from `low`, which does, to `high`, which may not."""
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
    """How far along a heading from `start` a place lies, and how far to the left of it."""
    x, y, angle = at[0] - start[0], at[1] - start[1], math.radians(heading)
    cos, sin = math.cos(angle), math.sin(angle)
    return x * cos + y * sin, y * cos - x * sin
