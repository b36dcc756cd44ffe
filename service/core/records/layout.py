"""Core: what the method yields, frozen. Lengths are in the document's unit, unrounded
unless they are marks or cuts.

A Layout holds what is built (posts, runs, bays, openings) and what was observed on the way
(`seen.py`), which the rules judge. Nothing here is a verdict.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from service.core.measure import Area, Degrees, Length, Mass, Point
from service.core.records.blocking import BlockingPiece, PostFraming
from service.core.records.deck import HANDS, Drops, Hand, Infill, OpeningUse
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
    LowHoldSeen,
    MeasureSeen,
    OutlineSeen,
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


@dataclass(frozen=True, slots=True)
class Post:
    """A post. at: its centre in plan. turned: degrees from +x, 0 to 90 (90 left out).

    height: above what it stands on, the greatest guard height that meets it, and on a flight the
    top of its rail there; stock_height: the least of the kit's heights that reaches it, None
    where none does. base: its footprint in plan.
    parts: part roles that this post alone needs, such as `corner_bracket`.
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


@dataclass(frozen=True, slots=True)
class Run:
    """A straight stretch between two terminals. start, end: post ids, None at a wall face.

    length: terminal to terminal. marks: post centres (or wall faces) from the run's start. ends:
    where its first and its last mark lie in plan. bow: of a chord, which stretch of its bowed edge
    it is of, from 0; None of any other run. leans: whether its rails are on brackets at its start
    and at its end, on walls that are not square to it.
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
    leans: tuple[bool, bool] = (False, False)


@dataclass(frozen=True, slots=True)
class Spacer:
    """Pieces of spacer for one rail of one bay."""

    rail: Literal["top", "bottom"]
    length: Length
    count: int


@dataclass(frozen=True, slots=True)
class Pickets:
    """Pickets of a bay. gap: clear between two; end_gap: post face to picket.

    centres: from the bay's first clear face, on the grid. loose: how much wider than drawn one gap
    may become, in plan: by what the spacers of a rail leave empty, each cut down to a mark; of
    equal gaps, by moving each centre to its mark.
    """

    count: int
    length: Length
    gap: Length
    end_gap: Length
    centres: tuple[Length, ...]
    spacers: tuple[Spacer, ...]
    loose: Length = 0.0


@dataclass(frozen=True, slots=True)
class Glass:
    """The panel of a bay. side_gap: post face to panel edge in this bay.

    pane: index in the kit's list. blocks: setting block centres from the panel's first end.
    area: in square feet or square metres; mass: in lb or kg.
    """

    width: Length
    height: Length
    pane: int
    side_gap: Length
    corners: tuple[Point, ...]
    area: Area
    mass: Mass
    blocks: tuple[Length, ...]


@dataclass(frozen=True, slots=True)
class Rake:
    """What a bay of a flight has beside a level one. Clears and centres of the bay are plan.

    pitch: of the flight. centres_slope, clear_slope: along the slope. top_blank, bottom_blank:
    rail length before its ends are cut to the pitch; picket_blank likewise. end_cut: between
    the plumb end and the rail's length. falls: as seen from outside the flight.
    end_block: how far along the panel's lower edge, from its first end, it is kept from sliding: to
    the mark at the end of that edge.
    """

    pitch: Degrees
    centres_slope: Length
    clear_slope: Length
    top_blank: Length
    bottom_blank: Length
    picket_blank: Length | None
    end_cut: Degrees
    falls: Hand
    end_block: Length | None = None


@dataclass(frozen=True, slots=True)
class BayFill:
    """What goes into a bay: rails, infill, supports and weep holes. It depends on sizes alone, so
    equal bays share one.

    weep_complete: False where no row of holes keeps the kit's interval.
    """

    top_cut: Length
    bottom_cut: Length
    rail_supports: tuple[Length, ...]
    weep_holes: tuple[Length, ...]
    weep_complete: bool
    pickets: Pickets | None
    glass: Glass | None
    rake: Rake | None = None


@dataclass(frozen=True, slots=True)
class Bay:
    """One opening between two posts (or a wall face and a post) with its rails and infill.

    index: the place in its run, from 0, of the stretch between two marks that it fills; one too
    small to rail has no bay. centres: spacing; clear: face to face; ends and skews: at its first
    and second end. wider: by how much its opening is wider than that at the other rail, where it
    was measured.
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


@dataclass(frozen=True, slots=True)
class OpeningBuilt:
    """An opening as built. place: "level/opening". clear_width: face to face.

    start, end: the posts on its two sides counter-clockwise, None where a wall is the jamb. ends:
    where its clear width begins and ends in plan, on the straight line from one to the other.
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


@dataclass(frozen=True, slots=True)
class GateBuilt:
    """A gate in its opening.

    width, height: of its leaf, whose rails are as wide as it; top: of the leaf, above the deck.
    swing: how it turns; hits: names of what it would swing into. flight: the one that goes down
    from it. bow: how far its middle lies outside the railing line, across an inward bow.
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
        """level/opening."""
        return self.opening.place


@dataclass(frozen=True, slots=True)
class Handrail:
    """A handrail beside a flight. length: along the slope, top nosing to lowest nosing.

    brackets: places from its upper end, along the slope; bare: those of them on a guarded side that
    have neither a rail nor a post of the guard beside them. height: above the line of nosings.
    """

    hand: Hand
    length: Length
    height: Length
    brackets: tuple[Length, ...]
    bare: tuple[Length, ...] = ()


@dataclass(frozen=True, slots=True)
class FlightBuilt:
    """A flight as built.

    walled: the sides that a wall or an obstruction of its level goes down along.
    outside_width: what a guard needs beside the clear width, to its bases' outer edge.
    into_width: how far its bases reach into the clear width.
    triangle: diameter of the largest circle between riser, tread and bottom rail, None without a
    raked rail; over_deck: of that between head post, deck and bottom rail, None where none comes
    down over the deck.
    drop: what its rise must come to, None where not given; drops: what lies below its sides.
    foot_off: how far its foot lies off `to_level`, None where that is not given.
    past_foot: what is left of the lowest tread past a foot post on it, None without one.
    beside: diameter of the widest sphere that gets off its bare sides past what goes down along
    them, None where none does.
    unrailed: the guarded sides of which two posts stand too near each other for a rail.
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
        """From the deck's edge to the lowest nosing."""
        return (self.risers - 1) * self.going

    @property
    def bare(self) -> list[Hand]:
        """The sides without a guard, wall or obstruction."""
        return [hand for hand in HANDS if hand not in (*self.guards, *self.walled)]


@dataclass(frozen=True, slots=True)
class Layout:
    """Everything the method yields for a deck."""

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

    def blocks(self) -> list[tuple[BlockingPiece, list[str]]]:
        """Each block once, with the posts that it stands under."""
        found: dict[tuple[str, BlockingPiece], list[str]] = {}
        for post in self.posts:
            for block in post.framing.blocking if post.framing is not None else ():
                found.setdefault((post.level, block), []).append(post.id)
        return [(block, posts) for (_, block), posts in found.items()]
