"""Core: a flight laid out, before its posts and bays have numbers (method 9).

Places along a flight are called u and are in plan: u = 0 is the deck edge, which is the top nosing,
and u grows going down. Tread j lies from (j-1) goings to j goings, j risers below the deck.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import shapely

from service.core.flights.rakes import Slope
from service.core.frozen import record
from service.core.levels.level import LevelDraft
from service.core.line.openings import OpeningDraft
from service.core.line.posts import PostDraft
from service.core.line.sides import Side
from service.core.measure import TOUCH, Degrees, FromTo, Length
from service.core.records.deck import HANDS, Drops, Hand, Infill, Obstruction, Stair
from service.core.records.infill import BayFill
from service.core.records.kit import End, Kit
from service.core.records.layout import Handrail
from service.core.runs.drafts import Measured, RunKey, SmallBay


@record()
class RakedBay:
    """A bay of a flight before it has a number; lengths are in plan.

    index: its place in its run, from the head. skews: at its upper and at its lower post.
    """

    index: int
    centres: Length
    clear: Length
    skews: tuple[Degrees, Degrees]
    fill: BayFill
    measured: Measured | None = None

    @property
    def ends(self) -> tuple[End, End]:
        """How its rails end."""
        return "rake", "rake"


@record()
class SideDraft:
    """One guarded side of a flight.

    key: of its run.
    posts: from head to foot; they stand at `places` along u.
    heights: of the posts but the head, each above what it stands on.
    small: bays too small to rail, in plan.
    raked_head, level_heads: tops of the raked rail and of the level rails that meet the head post,
    at its centre; at a corner there may be two level ones.
    """

    key: RunKey
    hand: Hand
    posts: tuple[PostDraft, ...]
    places: tuple[Length, ...]
    heights: tuple[Length, ...]
    bays: tuple[RakedBay, ...]
    small: tuple[SmallBay, ...]
    raked_head: Length
    level_heads: tuple[Length, ...]

    @property
    def meets_head(self) -> bool:
        """Whether a raked rail meets the head post.

        None does where the first bay is too small to rail.
        """
        return bool(self.bays) and self.bays[0].index == 0

    def is_beside(self, u: Length, half: Length) -> bool:
        """Whether a post or a railed bay of the guard stands at place `u`.

        half: half a post's width.
        """
        stretches = [(at, at) for at in self.places]
        stretches += [(self.places[bay.index], self.places[bay.index + 1]) for bay in self.bays]
        reach = half + TOUCH
        return any(start - reach <= u <= end + reach for start, end in stretches)


@record()
class Course:
    """Where a flight lies in plan.

    level: the one that it goes down from. side: the one whose edge it goes down from. opening: the
    one in the guard of that side.
    """

    stair: Stair
    level: LevelDraft
    side: Side
    opening: OpeningDraft

    @property
    def total_going(self) -> Length:
        """Length in plan from the deck edge to the lowest nosing."""
        return (self.stair.risers - 1) * self.stair.going

    def foot(self) -> shapely.Point:
        """The middle of the clear width at the foot of the lowest riser."""
        low, high = self.opening.faces
        return shapely.Point(*self.side.place((low + high) / 2, -self.total_going))

    def off(self, outline: shapely.Polygon) -> Length:
        """How far the foot of the lowest riser, over the clear width, reaches past a surface.

        outline: of the surface. 0 where the foot is wholly on it.
        """
        total = self.total_going
        foot = shapely.LineString([self.side.place(face, -total) for face in self.opening.faces])
        past = shapely.points(shapely.get_coordinates(foot.difference(outline)))
        return float(max(shapely.distance(outline, past), default=0.0))

    def treads_past(self, start: Length) -> shapely.Polygon | None:
        """The clear width from `start` out from the deck edge to the lowest nosing.

        None where the lowest nosing comes before `start`.
        """
        return self.beside(start, 0.0)

    def way_in_plan(self) -> shapely.Polygon:
        """The clear width from the deck edge to one going past the lowest nosing."""
        return self._clear_to(self.total_going + self.stair.going)

    def way_asked(self) -> shapely.Polygon:
        """As `way_in_plan`, but over the width that was asked for.

        A corner post may make the clear width wider than that, over the deck beside the flight.
        """
        (low, high), opening = self.opening.faces, self.opening
        asked = max(low, opening.near), min(high, opening.far)
        return self._clear_to(self.total_going + self.stair.going, across=asked)

    def beside(self, start: Length, reach: Length) -> shapely.Polygon | None:
        """The clear width and `reach` past both its sides, out to the lowest nosing.

        start: how far out from the deck edge it begins. None where the lowest nosing comes before
        that.
        """
        (low, high), total = self.opening.faces, self.total_going
        if total <= start + TOUCH:
            return None
        return self._clear_to(total, start, (low - reach, high + reach))

    def beside_face(self, hand: Hand, breadth: Length, u: Length) -> shapely.Polygon:
        """The part of the clear width that lies within `breadth` of the face at one of its sides.

        hand: which side. u: how far out from the deck edge the part goes.
        """
        low, high = self.opening.faces
        across = (low, low + breadth) if hand == HANDS[0] else (high - breadth, high)
        return self._clear_to(u, across=across)

    def past_the_edge(self) -> shapely.Polygon:
        """All the ground past the deck's edge, to further than any part of the flight reaches."""
        (low, high), far = self.opening.faces, 2 * (self.total_going + self.stair.going)
        return self._clear_to(far, across=(low - far, high + far))

    def columns(self, height: Length) -> list[Obstruction]:
        """The obstructions of the flight's level that may guard its sides.

        They are as high above the deck as a guard of this height is above the nosings, or of a
        height that is not given.
        """
        return [
            one
            for one in self.level.level.obstructions
            if one.height is None or one.reaches(height)
        ]

    def walled_sides(self, kit: Kit, height: Length) -> Iterator[Hand]:
        """The sides that a wall or an obstruction of the flight's level goes down along.

        It goes down as far as the lowest nosing, within a post's width of the side, as a wall does
        that is a jamb. height: of the flight's guards.
        """
        total, within = self.total_going, kit.post.width + TOUCH
        solids: list[shapely.Geometry] = [wall for _, wall in self.level.walls()]
        solids += [one.shape for one in self.columns(height)]
        for hand, jamb in zip(HANDS, self.opening.jambs, strict=True):
            # With one riser there is no side to go down along: only what stands at the head counts.
            walled = jamb.post is None
            if total:
                left = shapely.LineString([self.side.place(jamb.face, u) for u in (0.0, -total)])
                for solid in solids:
                    if left.dwithin(solid, within):
                        left = left.difference(solid.buffer(within))
                walled = left.length <= TOUCH
            if walled:
                yield hand

    def _clear_to(
        self, u: Length, start: Length = 0.0, across: Sequence[Length] = ()
    ) -> shapely.Polygon:
        low, high = across or self.opening.faces
        corners = [(low, -start), (high, -start), (high, -u), (low, -u)]
        return shapely.Polygon([self.side.place(t, inward) for t, inward in corners])


@record()
class FlightDraft:
    """A flight laid out along its course.

    height: of its guards, plumb above the line of nosings.
    drop: what its rise must come to; None where that is not known.
    drops: what lies below its sides.
    landing: the level that it goes down to; None for the ground.
    foot_off: how far its foot lies off the level that it names; None where it names none.
    walled: the sides that something solid goes down along.
    """

    course: Course
    slope: Slope
    infill: Infill
    height: Length
    sides: tuple[SideDraft, ...]
    handrails: tuple[Handrail, ...]
    drop: Length | None
    drops: Drops
    landing: LevelDraft | None
    foot_off: Length | None
    walled: tuple[Hand, ...]

    @property
    def stair(self) -> Stair:
        """What the deck says of the flight."""
        return self.course.stair

    @property
    def level_id(self) -> str:
        """Id of the level that it goes down from."""
        return self.course.level.level.id

    @property
    def edge(self) -> int:
        """The caller's number of the edge that it goes down from."""
        return self.course.opening.opening.edge

    @property
    def goes_down_to(self) -> str | None:
        """Id of the level that it goes down to; None for the ground, and where it is not known.

        Where the flight names none, it is not known while the drop of a level at its foot is not.
        """
        known = self.stair.to_level is not None or self.drop is not None
        return self.landing.level.id if known and self.landing is not None else None

    @property
    def foot_on_tread(self) -> bool:
        """Whether the foot posts stand on the lowest tread."""
        return not on_ground(self.stair)

    def triangle(self, kit: Kit) -> Length:
        """Diameter of the largest circle between riser, tread and bottom rail.

        (1 + v/riser + nosing/going) * (riser + going - sqrt(riser^2 + going^2)), with v the kit's
        stair_bottom_gap.
        """
        riser, going = self.slope.riser, self.slope.going
        lifted = 1 + kit.stair_gap / riser + self.stair.nosing / going
        return lifted * (riser + going - math.hypot(riser, going))

    def over_deck(self, kit: Kit) -> Length | None:
        """Diameter of the largest circle between head post, deck and bottom rail, over the deck.

        None where no raked rail comes down over the deck. The circle is in a triangle with legs of
        b along the deck, as far as where the rail's underside would meet it, and of b * tan(pitch)
        up the post: b + b * tan(pitch) - b / cos(pitch).
        """
        over = kit.post.setback - kit.post.width / 2
        if over <= TOUCH or not any(side.meets_head for side in self.sides):
            return None
        along = over + kit.stair_gap / self.slope.tangent
        return along * (1 + self.slope.tangent - 1 / self.slope.cosine)

    def past_foot(self, kit: Kit) -> Length | None:
        """What is left of the lowest tread, along it, past a foot post that stands on it.

        None where there is no such post.
        """
        if not self.sides or not self.foot_on_tread:
            return None
        return max(0.0, (self.stair.going - kit.post.width) / 2)

    def guard_over(self, shape: shapely.Geometry) -> FromTo:
        """Lowest and highest place of the flight's guards over a shape in plan, above the deck.

        The lowest is the line of nosings at the shape's lower end, the highest the guards' top at
        its upper end.
        """
        places = shapely.get_coordinates(shape).tolist()
        out = [-self.course.side.locate(place)[1] for place in places]
        return -max(out) * self.slope.tangent, self.height - min(out) * self.slope.tangent

    def uprights(self, side: SideDraft) -> Iterator[tuple[PostDraft, Length, Length]]:
        """The posts of a guarded side but its head, each with the heights of its foot and its top.

        Both heights are above the level that the flight goes down from; below it they are negative.
        """
        below_head = zip(side.posts[1:], side.places[1:], side.heights, strict=True)
        for post, u, height in below_head:
            top = self.height - u * self.slope.tangent
            yield post, top - height, top


def on_ground(stair: Stair) -> bool:
    """Whether the foot posts stand on the ground, as they must where there is no tread."""
    return stair.foot_post == "ground" or stair.risers == 1
