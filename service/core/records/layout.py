"""Core: what the method yields for a deck, as frozen records.

A `Layout` holds what is built (posts, runs, bays, openings) and what was observed on the way
(`seen`), which the rules judge. Nothing here is a verdict. Lengths are in the document's unit, and
not rounded unless they are marks or cuts.
"""

from __future__ import annotations

from typing import Literal, TypeAlias

from service.core.frozen import record
from service.core.measure import Degrees, Length, Point
from service.core.records.blocking import BlockingPiece, PostFraming
from service.core.records.deck import HANDS, Drops, Hand, Infill, OpeningUse
from service.core.records.infill import BayFill, Glass, Pickets
from service.core.records.kit import End
from service.core.records.orders import Panel, Piece
from service.core.records.seen import (
    ArcSeen,
    BaseSeen,
    ClashSeen,
    ClosureSeen,
    EdgeSeen,
    FootSeen,
    GapSeen,
    HeadSeen,
    HungCornerSeen,
    LandingSeen,
    LowHoldSeen,
    MeasureSeen,
    OutlineSeen,
    SeatSeen,
    SizeSeen,
    SmallStretchSeen,
    SpaceSeen,
    StandInSeen,
    TieSeen,
    WallEndSeen,
    WaySeen,
)
from service.core.records.swing import Swing

Role: TypeAlias = Literal["end", "corner", "line", "stair", "gate"]


@record()
class Post:
    """A post.

    at: its centre in plan.
    turned: degrees from +x, 0 to 90 (90 left out).
    height: above what it stands on; the greatest guard height that meets it, and on a flight the
        top of its rail there.
    stock_height: the least of the kit's heights that reaches `height`; None where none does.
    base: its footprint in plan.
    parts: part roles that this post alone needs, such as `corner_bracket`.
    flight: the flight that it is on; None for a post of a level.
    framing: what its fixings go into; None on a flight, and where the level gives no framing.
    """

    id: str
    role: Role
    level: str
    at: Point
    turned: Degrees
    height: Length
    stock_height: Length | None
    base: tuple[Point, ...]
    parts: tuple[str, ...] = ()
    flight: str | None = None
    framing: PostFraming | None = None


@record()
class Run:
    """A straight stretch between two terminals.

    start, end: ids of the posts there; None at a wall or an obstruction.
    length: terminal to terminal.
    marks: post centres, or wall faces, from the run's start.
    ends: where its first and its last mark lie in plan.
    bow: for a chord, the number, from 0, of the stretch of its bowed edge that it is part of; None
        for any other run.
    oblique_walls: whether its rails are on brackets, at its start and at its end, on walls that are
        not square to it.
    """

    id: str
    level: str
    edge: int
    start: str | None
    end: str | None
    length: Length
    marks: tuple[Length, ...]
    ends: tuple[Point, Point]
    flight: str | None = None
    bow: int | None = None
    oblique_walls: tuple[bool, bool] = (False, False)


@record()
class Bay:
    """The stretch between two posts (or a wall face and a post), with its rails and infill.

    index: which stretch between two marks of its run it fills, from 0; a stretch too small to rail
        has no bay.
    centres: spacing, post centre to post centre or wall face.
    clear: face to face.
    ends, skews: at its first and at its second end.
    wider: in a measured bay, how much wider the opening is at one rail than at the other.
    """

    id: str
    run: str
    index: int
    level: str
    edge: int
    start: str | None
    end: str | None
    infill: Infill
    height: Length
    drops: Drops
    centres: Length
    clear: Length
    ends: tuple[End, End]
    skews: tuple[Degrees, Degrees]
    fill: BayFill
    measured: bool = False
    wider: Length = 0.0
    flight: str | None = None


@record()
class OpeningBuilt:
    """An opening as built.

    place: "level/opening".
    asked: the clear width that was asked for.
    clear_width: the one that results, face to face.
    start, end: ids of the posts on its two sides, counter-clockwise; None where a wall or an
        obstruction is the jamb.
    ends: where the clear width begins and ends in plan, on a straight line.
    """

    place: str
    level: str
    edge: int
    use: OpeningUse
    asked: Length
    clear_width: Length
    start: str | None
    end: str | None
    ends: tuple[Point, Point]
    drops: Drops
    hinge_post: str | None = None
    latch_post: str | None = None
    opens: str | None = None


@record()
class GateBuilt:
    """A gate in its opening.

    width, height: of its leaf, whose rails are as long as `width`.
    top: top of the leaf above the deck.
    hits: names of what it would swing into.
    flight: the flight that goes down from it; None where none does.
    bow: how far the leaf's middle lies outside the railing line, where it spans an inward bow.
    """

    opening: OpeningBuilt
    width: Length
    height: Length
    top: Length
    infill: Infill
    pickets: Pickets | None
    glass: Glass | None
    swing: Swing
    hits: tuple[str, ...]
    flight: str | None
    bow: Length = 0.0

    @property
    def place(self) -> str:
        """Its opening, as "level/opening"."""
        return self.opening.place


@record()
class Handrail:
    """A handrail beside a flight.

    length: along the slope, from the top nosing to the lowest.
    height: plumb above the line of nosings.
    brackets: their places along the slope, from the upper end.
    bare: those of `brackets` that have neither a rail nor a post of the guard beside them, on a
        side with a guard.
    """

    hand: Hand
    length: Length
    height: Length
    brackets: tuple[Length, ...]
    bare: tuple[Length, ...] = ()


@record()
class FlightBuilt:
    """A flight as built.

    walled: sides along which a wall or an obstruction of its level goes down.
    outside_width: what a guard needs of a tread beside the clear width, out to its bases' outer
        edge.
    into_width: how far its bases reach into the clear width.
    triangle: diameter of the largest circle between riser, tread and bottom rail; None without a
        raked rail.
    over_deck: the same between head post, deck and bottom rail; None where no rail comes down over
        the deck.
    drop: what its rise must come to; None where that is not given.
    drops: what lies below its sides.
    to_level: the level that it goes down to; None for the ground, and where that is not known.
    foot_off: how far its foot lies off the level that it names; None where it names none.
    past_foot: what is left of the lowest tread past a foot post on it; None without such a post.
    beside: diameter of the widest sphere that gets off its bare sides past what goes down along
        them; None where none does.
    unrailed: guarded sides with two posts too near each other for a rail.
    """

    id: str
    level: str
    opening: str
    rise: Length
    risers: int
    riser: Length
    going: Length
    nosing: Length
    pitch: Degrees
    clear_width: Length
    guards: tuple[Hand, ...]
    walled: tuple[Hand, ...]
    infill: Infill
    height: Length
    posts: tuple[str, ...]
    bays: tuple[str, ...]
    handrails: tuple[Handrail, ...]
    outside_width: Length
    into_width: Length
    triangle: Length | None
    drop: Length | None
    to_level: str | None
    drops: Drops
    foot_off: Length | None = None
    over_deck: Length | None = None
    past_foot: Length | None = None
    beside: Length | None = None
    unrailed: tuple[Hand, ...] = ()

    @property
    def total_going(self) -> Length:
        """Going of the whole flight, from the deck's edge to the lowest nosing."""
        return (self.risers - 1) * self.going

    @property
    def bare(self) -> list[Hand]:
        """The sides that have neither a guard nor a wall or an obstruction."""
        return [hand for hand in HANDS if hand not in (*self.guards, *self.walled)]


@record()
class Layout:
    """Everything that the method yields for a deck."""

    posts: tuple[Post, ...]
    runs: tuple[Run, ...]
    bays: tuple[Bay, ...]
    openings: tuple[OpeningBuilt, ...]
    cut_list: tuple[Piece, ...]
    glass_order: tuple[Panel, ...]
    edges: tuple[EdgeSeen, ...]
    closures: tuple[ClosureSeen, ...]
    ties: tuple[TieSeen, ...]
    bases: tuple[BaseSeen, ...]
    clashes: tuple[ClashSeen, ...]
    gaps: tuple[GapSeen, ...]
    small_stretches: tuple[SmallStretchSeen, ...]
    flights: tuple[FlightBuilt, ...] = ()
    heads: tuple[HeadSeen, ...] = ()
    measures: tuple[MeasureSeen, ...] = ()
    arcs: tuple[ArcSeen, ...] = ()
    gates: tuple[GateBuilt, ...] = ()
    surveyed: tuple[OutlineSeen, ...] = ()
    level_guards: tuple[EdgeSeen, ...] = ()
    odd_sizes: tuple[SizeSeen, ...] = ()
    ways: tuple[WaySeen, ...] = ()
    wall_ends: tuple[WallEndSeen, ...] = ()
    stand_ins: tuple[StandInSeen, ...] = ()
    low_holds: tuple[LowHoldSeen, ...] = ()
    spaces: tuple[SpaceSeen, ...] = ()
    hung_corners: tuple[HungCornerSeen, ...] = ()
    feet: tuple[FootSeen, ...] = ()
    seats: tuple[SeatSeen, ...] = ()
    landings: tuple[LandingSeen, ...] = ()

    def level_place(self, level: str) -> str:
        """The name of a level in findings: its id, with "level" before it where that is not enough.

        A flight may have the same id, and posts, runs and bays are called P1, R1 and B1.
        """
        is_numbered = level[0] in "PRB" and level[1:].isdigit()
        is_other = is_numbered or level in {flight.id for flight in self.flights}
        return f"level {level}" if is_other else level

    def blocks(self) -> list[tuple[BlockingPiece, list[str]]]:
        """Each block once, with the ids of the posts that it stands under."""
        found: dict[tuple[str, BlockingPiece], list[str]] = {}
        for post in self.posts:
            for block in post.framing.blocking if post.framing is not None else ():
                found.setdefault((post.level, block), []).append(post.id)
        return [(block, posts) for (_, block), posts in found.items()]
