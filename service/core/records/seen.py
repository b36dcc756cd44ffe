"""Core: what the method observed on the way to a layout, as frozen records for the rules to judge.

Nothing here is a verdict, and nothing of it is built. Lengths are in the document's unit.
"""

from __future__ import annotations

import math
from typing import Literal, TypeAlias

from service.core.frozen import record
from service.core.measure import Area, Degrees, Length, Point
from service.core.records.deck import Condition, Drops

GapKind: TypeAlias = Literal[
    "wall", "pair", "beyond", "open", "past", "round", "joint", "joint_wall", "joint_third", "along"
]
WayKind: TypeAlias = Literal["rail", "guard", "upright", "post", "way"]


def edge_place(level: str, number: int) -> str:
    """The name of an edge in findings. number: the caller's.

    >>> edge_place("main", 0)
    'main/edge 0'
    """
    return f"{level}/edge {number}"


def opening_place(level: str, opening: str) -> str:
    """The name of an opening for flights and findings, by the ids of its level and of itself.

    >>> opening_place("main", "steps")
    'main/steps'
    """
    return f"{level}/{opening}"


@record()
class HeadSeen:
    """A raked rail that meets a level one at a head post.

    level_height, raked_height: their tops at the post's centre.
    """

    flight: str
    post: str
    level_height: Length
    raked_height: Length


@record()
class MeasureSeen:
    """A bay as measured after the posts stand, beside its clear opening as drawn.

    All three lengths are along the rails.
    """

    bay: str
    run: str
    clear_top: Length
    clear_bottom: Length
    drawn: Length


@record()
class ArcSeen:
    """A chord on a bowed edge.

    middle: how far its middle lies from the deck's edge, over the deck (surface) or off it
    (fascia). least: how far it has to lie there for the rail.
    """

    run: str
    middle: Length
    least: Length


@record()
class EdgeSeen:
    """An edge of an outline, or a stretch of one that has drops of its own.

    edge: the caller's number.
    """

    level: str
    edge: int
    condition: Condition
    drops: Drops
    length: Length

    @property
    def place(self) -> str:
        """The name of its edge."""
        return edge_place(self.level, self.edge)


@record()
class ClosureSeen:
    """How far a tape walk fails to close.

    left_out: the side that was not measured, counted from 0, and the length that it comes to; None
    where all were measured.
    """

    level: str
    gap: Length
    perimeter: Length
    left_out: tuple[int, Length] | None = None


@record()
class TieSeen:
    """A corner fixed by two tapes, and the acute angle at which the tapes cross."""

    level: str
    corner: int
    angle: Degrees


@record()
class SizeSeen:
    """A level whose size can hardly be meant.

    area: in plan. bound: the least or the greatest usual area, whichever it passes.
    """

    level: str
    area: Area
    bound: Area


@record()
class WaySeen:
    """Something that should have its place to itself, and what stands in it.

    Kinds:

    rail: a rail of a level, and walls or obstructions of that level in it; a rail of a flight, and
        all that stands in it.
    guard: a rail of a level, and what of other levels, or of its own level's railing and deck,
        stands in it.
    upright: a post of a level, and decks or walls that it stands in.
    post: a post on a flight.
    way: the way down a flight.

    place: id of the run, bay, post or flight. met: names of what stands in it. doubtful: names of
    obstructions and walls of other levels that may stand in it, as nobody says how high they reach.
    """

    kind: WayKind
    place: str
    met: tuple[str, ...] = ()
    doubtful: tuple[str, ...] = ()


@record()
class OutlineSeen:
    """An outline measured by tape, as it is laid out.

    corners: in the caller's order.
    """

    level: str
    corners: tuple[Point, ...]

    def sides(self) -> list[Length]:
        """From each corner to the next, in the order of the edges; a bowed edge by its chord."""
        after = (*self.corners[1:], self.corners[0])
        return [math.dist(*ends) for ends in zip(self.corners, after, strict=True)]


@record()
class BaseSeen:
    """How far a post's base reaches past the surface that it stands on.

    overhang: that distance; 0 where the base is wholly on the surface.
    landing: id of the level that a flight's foot post stands on; None for any other post.
    off_rim: how far a flat base lies off the bowed rim that it hangs on: at its two sides where
        above 0, in its middle where below 0.
    """

    post: str
    overhang: Length
    landing: str | None = None
    off_rim: Length = 0.0


@record()
class ClashSeen:
    """Two bases that overlap. overlap: how far one reaches into the other."""

    posts: tuple[str, str]
    overlap: Length


@record()
class GapSeen:
    """A gap that no rail closes.

    Kinds:

    wall: between a post and the wall or obstruction that its line ends at.
    pair: between the two posts of a corner.
    beyond: between an obstruction that stands at a line's end or past it, and what stands next.
    open: between what stands last on a line and the end of its edge, where the next edge is open.
    past: between what stands last on such a line and the open edge itself.
    round: round what stands beside an opening, to the part of the deck outside the railing.
    joint: between what stands last on a line beside an open edge and the railing of another level
        that lies along that edge.
    joint_wall: the same between a railing and a wall of another level, whichever of the two ends.
    joint_third: the same to a level that lies past a third one, which lies along that edge.
    along: the narrowest of the way between the railings of two levels that stand along one edge,
        from where people come in to an end of it.

    where: the posts, edge or opening at the gap, as findings name them.
    width: what passes; of several gaps the widest.
    parted_by: names of obstructions off the line, of heights not given, that make several gaps of
        it; `whole` is then its width without them.
    goes_on: for a wall that ends short of the post, how far it has to go on in its line to leave no
        more than `width`; `whole` is then what is open where it does not.
    """

    kind: GapKind
    where: tuple[str, ...]
    width: Length
    drops: Drops
    whole: Length = 0.0
    parted_by: tuple[str, ...] = ()
    goes_on: Length = 0.0


@record()
class HungCornerSeen:
    """A corner of the deck off which the rails of both its sides hang.

    post: the post there. room: how wide, in plan, the way down between the deck's edges, the rails
    and the post is for the largest sphere that passes there; the sphere's diameter is the
    hypotenuse over this width and the gap under the rails.
    """

    post: str
    room: Length
    drops: Drops


@record()
class StandInSeen:
    """An obstruction, or several, in the place of a railing.

    place: the edge, or the flight beside which it goes down.
    name: of the obstruction, or of all of them.
    length: how long a stretch it takes up along the edge or the flight, in plan.
    without: what would be open there if it did not stand there, along the line of an edge, and as
    the diameter of what gets off a flight; infinity where a side of a flight would not be closed.
    height: above the walking surface, the least of several; None where not given.
    beside: what is open beside it on a flight, likewise, where it stands.
    low: whether it is known to be lower than the guard in whose place it stands.
    count: how many obstructions these are.
    over: the diameter of what gets over it, where the ends of the rails beside it let no more
    through; of one of no given height, what gets through between these ends.
    """

    place: str
    name: str
    length: Length
    drops: Drops
    without: Length
    height: Length | None = None
    beside: Length = 0.0
    low: bool = False
    count: int = 1
    over: Length = math.inf


@record()
class LowHoldSeen:
    """What is lower than the rail that is bracketed to it, or than the gate at it.

    It is an obstruction, or a wall that may be no more than the face below another level's deck.
    place: the edge, or the gate's opening. name: of the obstruction, or of the wall's edge. height:
    of the rail or the gate. stands: height of the obstruction, or of the deck along the wall. deck:
    the id of that deck's level; empty for an obstruction.
    """

    place: str
    name: str
    height: Length
    stands: Length
    deck: str = ""


@record()
class LandingSeen:
    """A landing of a flight that is a level of the deck.

    at: whether it is at the head or at the foot of the flight.
    deep: along the way that the flight leads, from its nosing there to where the surface ends, or
    to a wall, an obstruction or a guarded edge before that. clear: to a railing, where one is
    nearer. most: as `deep`, if levels are at its height for which that is not known, as the drop of
    either is not given.
    """

    flight: str
    level: str
    at: Literal["head", "foot"]
    deep: Length
    clear: Length
    most: Length = 0.0


@record()
class SeatSeen:
    """An obstruction that a person can stand on beside a guard, as it is lower than the guard.

    place: the bay, or the gate's opening. height: of the obstruction, above the walking surface.
    """

    place: str
    name: str
    height: Length


@record()
class FootSeen:
    """A passage, a gate or an open edge that flights come down to from a higher level.

    flights: their ids. left: the widest way left open there beside the flights, each of which takes
    up the width between its guards, their posts included, or its clear width where it has none.
    corners: places that flights come down to as well and that share a corner with this one, each
    with the gap round the corner between what stands at the two.
    behind: how much of what is open past foot posts that stand on treads lies in the direction of
    the flight, so that it stays open however near the place's ends are; 0 without such posts.
    """

    place: str
    flights: tuple[str, ...]
    left: Length
    corners: tuple[tuple[str, Length], ...] = ()
    behind: Length = 0.0


@record()
class WallEndSeen:
    """A wall that a fascia railing ends on without a post, where the railing hangs off the deck.

    At an outside corner the railing meets the wall's line past the wall's own end; at an inner
    corner it meets the wall's outer side.

    edge: the wall's edge.
    is_jamb: whether the wall is the jamb of an opening there; else rails end on it.
    goes_on: in plan, from the wall's end to where it has to reach: the far side of rails, or the
        line that an opening is in.
    is_inner: whether the corner is an inner one, where the wall need not go on.
    """

    level: str
    edge: int
    is_jamb: bool
    goes_on: tuple[Point, Point]
    is_inner: bool = False

    @property
    def place(self) -> str:
        """The name of the wall's edge."""
        return edge_place(self.level, self.edge)

    @property
    def beyond(self) -> Length:
        """How far past its own end the wall has to go on."""
        return math.dist(*self.goes_on)


@record()
class SmallStretchSeen:
    """A stretch of less than the kit's least bay, left unrailed.

    where: its run. clear: along the run. space: between what stands at its two ends, where these
    are nearest.
    """

    where: str
    clear: Length
    space: Length
    drops: Drops


@record()
class SpaceSeen:
    """The clear space beside an infill, where it differs from the gap along the line.

    place: the bay, or the gate for its shut leaf.
    space: at the end where it is wider; of a bay that takes no infill, its whole opening.
    off: for a gate, how far what stands at its hinges, and what stands at its latch, lies off the
        line of the gate, which passes it by.
    """

    place: str
    space: Length
    off: tuple[Length, Length] = (0.0, 0.0)
