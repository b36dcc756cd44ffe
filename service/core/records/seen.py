"""Core: what the method observed on the way to a layout, frozen, for the rules to judge.

Nothing here is a verdict, and nothing of it is built.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

from service.core.measure import Area, Degrees, Length, Point
from service.core.records.deck import Condition, Drops

WayKind: TypeAlias = Literal["rail", "guard", "upright", "post", "way"]


def edge_place(level: str, number: int) -> str:
    """How findings name an edge. number: the caller's.

    >>> edge_place("main", 0)
    'main/edge 0'
    """
    return f"{level}/edge {number}"


def opening_place(level: str, opening: str) -> str:
    """How flights and findings name an opening, by the ids of its level and of itself.

    >>> opening_place("main", "steps")
    'main/steps'
    """
    return f"{level}/{opening}"


@dataclass(frozen=True, slots=True)
class HeadSeen:
    """Where a raked rail meets the level one: tops of both at the head post's centre."""

    flight: str
    post: str
    level_height: Length
    raked_height: Length


@dataclass(frozen=True, slots=True)
class MeasureSeen:
    """A bay as measured after the posts stood, and its clear opening as drawn; along the rails."""

    bay: str
    run: str
    clear_top: Length
    clear_bottom: Length
    drawn: Length


@dataclass(frozen=True, slots=True)
class ArcSeen:
    """A chord on a bowed edge. middle: its middle from the deck's edge, over the deck (surface)
    or off it (fascia); least: what the rail needs there."""

    run: str
    middle: Length
    least: Length


@dataclass(frozen=True, slots=True)
class EdgeSeen:
    """An edge of an outline by the caller's number, or a stretch of one over drops of its own."""

    level: str
    edge: int
    condition: Condition
    drops: Drops
    length: Length

    @property
    def place(self) -> str:
        """The edge's."""
        return edge_place(self.level, self.edge)


@dataclass(frozen=True, slots=True)
class ClosureSeen:
    """A tape walk's misclosure. left_out: which side was not measured, counted from 0, and what it
    comes to; None where all were."""

    level: str
    gap: Length
    perimeter: Length
    left_out: tuple[int, Length] | None = None


@dataclass(frozen=True, slots=True)
class TieSeen:
    """A corner fixed by two tapes, and the acute angle at which they cross."""

    level: str
    corner: int
    angle: Degrees


@dataclass(frozen=True, slots=True)
class SizeSeen:
    """A level of a size that is hardly meant: its area in plan, and the bound that it passes."""

    level: str
    area: Area
    bound: Area


@dataclass(frozen=True, slots=True)
class WaySeen:
    """A chord of a bow, a raked rail, a post on a flight, or the way down one, and what stands in
    it; of kind `guard` a rail of a level, and what of other levels does, or of its own railing; of
    kind `upright` a post of one, and decks that do, or walls across a slot. doubtful: obstructions
    and walls of other levels there, as nobody says how high they reach.
    """

    kind: WayKind
    place: str
    met: tuple[str, ...] = ()
    doubtful: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OutlineSeen:
    """An outline that was measured by tape, as it is laid out. corners: in the caller's order."""

    level: str
    corners: tuple[Point, ...]

    def sides(self) -> list[Length]:
        """From each corner to the next, in the order of the edges; a bowed edge by its chord."""
        after = (*self.corners[1:], self.corners[0])
        return [math.dist(*ends) for ends in zip(self.corners, after, strict=True)]


@dataclass(frozen=True, slots=True)
class BaseSeen:
    """How far a post's base reaches past the surface it stands on (0: not at all). landing: the
    level that a flight goes down to, of its foot post that stands there. off_rim: how far a flat
    base lies off the bowed rim that it hangs on, at its two sides, or where below 0 in its middle.
    """

    post: str
    overhang: Length
    landing: str | None = None
    off_rim: Length = 0.0


@dataclass(frozen=True, slots=True)
class ClashSeen:
    """Two bases that meet; overlap: how far one reaches into the other."""

    posts: tuple[str, str]
    overlap: Length


@dataclass(frozen=True, slots=True)
class GapSeen:
    """A gap that no rail closes, by its kind.

    wall: between a post and a wall.
    pair: between the two posts of a corner.
    beyond: between an obstruction that stands at a line's end or past it, and what stands beyond.
    open: between what stands last on a line and the end of its edge, where the next edge is open.
    past: between that and the open edge itself.
    round: round what stands beside an opening, to what of the deck lies outside the railing.
    joint: between what stands last on a line beside an open edge and the railing of another level
    that lies along that edge; joint_wall: or its wall.
    along: at the end of the way between the railings of two levels that stand along one edge.

    parted_by: names of obstructions off the line, of heights not known, that make several gaps of
    it. width: of the widest of these; whole: of the gap without those obstructions.
    goes_on: of a wall that ends short of the post, how far it has to go on in its line to leave no
    more than `width`; whole: what is open where it does not.
    """

    kind: Literal["wall", "pair", "beyond", "open", "past", "round", "joint", "joint_wall", "along"]
    where: tuple[str, ...]
    width: Length
    drops: Drops
    whole: Length = 0.0
    parted_by: tuple[str, ...] = ()
    goes_on: Length = 0.0


@dataclass(frozen=True, slots=True)
class HungCornerSeen:
    """A corner of the deck that the rails of both sides hang off. post: the one that stands there;
    room: the diameter in plan, half-way up the gap under these, of the greatest sphere that comes
    down between the deck's edges, the rails and the post, at most."""

    post: str
    room: Length
    drops: Drops


@dataclass(frozen=True, slots=True)
class StandInSeen:
    """An obstruction, or several, in the railing's place. place: the edge, or the flight beside
    which it goes down; length: along it, in plan; without: what would be open along it if that did
    not stand there; height: above the walking surface, the least of several, None where that is not
    known."""

    place: str
    name: str
    length: Length
    drops: Drops
    without: Length
    height: Length | None = None


@dataclass(frozen=True, slots=True)
class LowHoldSeen:
    """What a rail is bracketed to, or a gate hung on or shut against, that is lower than it. place:
    the edge, or the opening of the gate; height: of the rail or the gate; stands: of what holds
    it."""

    place: str
    name: str
    height: Length
    stands: Length


@dataclass(frozen=True, slots=True)
class FootSeen:
    """A passage, a gate or an open edge that flights come down to from a higher level. flights:
    their ids; left: the widest way that they leave open, between their guards, or their clear width
    where they have none, and what stands beside them."""

    place: str
    flights: tuple[str, ...]
    left: Length


@dataclass(frozen=True, slots=True)
class WallEndSeen:
    """A wall whose line a railing ends on past the wall's own end, at a corner that the railing
    hangs out over, or on its outer side at an inner corner. edge: the wall's; is_jamb: of an
    opening, else rails end on it; goes_on: from that corner to where the wall has to reach, at the
    rails' far side; is_inner: whether the corner is an inner one, where it need not go on."""

    level: str
    edge: int
    is_jamb: bool
    goes_on: tuple[Point, Point]
    is_inner: bool = False

    @property
    def place(self) -> str:
        """The wall's."""
        return edge_place(self.level, self.edge)

    @property
    def beyond(self) -> Length:
        """How far past its end the wall has to go on."""
        return math.dist(*self.goes_on)


@dataclass(frozen=True, slots=True)
class SmallStretchSeen:
    """A stretch less than the kit's least bay, left unrailed. where: its run; clear: along it;
    space: between what stands at its ends, where that is nearest."""

    where: str
    clear: Length
    space: Length
    drops: Drops


@dataclass(frozen=True, slots=True)
class SpaceSeen:
    """The clear space beside a bay's infill, at the end where it is wider, or the opening of a bay
    that takes none, where that is not the one along the line; or that beside the shut leaf of a
    gate. place: the bay, or the gate. off: of a gate, how far what stands at its hinges and what
    stands at its latch lie off its line, which passes them by."""

    place: str
    space: Length
    off: tuple[Length, Length] = (0.0, 0.0)
