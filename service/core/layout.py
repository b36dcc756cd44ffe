"""Core: what the method yields, frozen. Lengths are in the document's unit, unrounded
unless they are marks or cuts.

A Layout holds what is built (posts, runs, bays, openings) and what was observed on the way
(the `...Seen` records), which the rules judge. Nothing here is a verdict.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from service.core.deck import Condition, Drops, Infill, Use
from service.core.kit import End
from service.core.measure import Area, Degrees, Length, Mass, Point

Role: TypeAlias = Literal["end", "corner", "line", "stair", "gate"]


@dataclass(frozen=True, slots=True)
class Post:
    """A post. at: its centre in plan. turned: degrees from +x, 0 to 90 (90 left out).

    height: the greatest guard height that meets it; stock_height: the least of the kit's
    heights that reaches it, None where none does. base: its footprint in plan.
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


@dataclass(frozen=True, slots=True)
class Run:
    """A straight stretch between two terminals. start, end: post ids, None at a wall face.

    length: terminal to terminal. marks: post centres (or wall faces) from the run's start.
    """

    id: str
    level: str
    edge: int
    start: str | None
    end: str | None
    length: Length
    marks: tuple[Length, ...]


@dataclass(frozen=True, slots=True)
class Spacer:
    """Pieces of spacer for one rail of one bay."""

    rail: Literal["top", "bottom"]
    length: Length
    count: int


@dataclass(frozen=True, slots=True)
class Pickets:
    """Pickets of a bay. gap: clear between two; end_gap: post face to picket.

    centres: from the bay's first clear face, on the grid.
    """

    count: int
    length: Length
    gap: Length
    end_gap: Length
    centres: tuple[Length, ...]
    spacers: tuple[Spacer, ...]


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
class Bay:
    """One opening between two posts (or a wall face and a post) with its rails and infill.

    centres: spacing; clear: face to face; ends and skews: at its first and second end.
    weep_complete: False where no row of holes keeps the kit's interval.
    """

    id: str
    run: str
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
    top_cut: Length
    bottom_cut: Length
    rail_supports: tuple[Length, ...]
    weep_holes: tuple[Length, ...]
    weep_complete: bool
    pickets: Pickets | None
    glass: Glass | None


@dataclass(frozen=True, slots=True)
class OpeningBuilt:
    """An opening as built. place: "level/opening". clear_width: face to face.

    start, end: the posts on its two sides counter-clockwise, None where a wall is the jamb.
    """

    place: str
    level: str
    edge: int
    use: Use
    asked: Length
    clear_width: Length
    start: str | None
    end: str | None
    drops: Drops
    hinge_post: str | None = None
    latch_post: str | None = None
    opens: str | None = None


@dataclass(frozen=True, slots=True)
class EdgeSeen:
    """An edge of an outline. place: "level/edge N", N the caller's number."""

    place: str
    level: str
    edge: int
    condition: Condition
    drops: Drops
    length: Length


@dataclass(frozen=True, slots=True)
class ClosureSeen:
    """A tape walk's misclosure. pointer: of the outline."""

    level: str
    gap: Length
    perimeter: Length


@dataclass(frozen=True, slots=True)
class TieSeen:
    """A corner fixed by two tapes, and the acute angle at which they cross."""

    level: str
    corner: int
    angle: Degrees


@dataclass(frozen=True, slots=True)
class BaseSeen:
    """How far a post's base reaches past the surface it stands on (0: not at all)."""

    post: str
    overhang: Length


@dataclass(frozen=True, slots=True)
class ClashSeen:
    """Two bases that meet; overlap: how far one reaches into the other."""

    posts: tuple[str, str]
    overlap: Length


@dataclass(frozen=True, slots=True)
class GapSeen:
    """A gap that no rail closes: between a post and a wall, or between a pair of corner posts."""

    kind: Literal["wall", "pair"]
    where: tuple[str, ...]
    width: Length
    drops: Drops


@dataclass(frozen=True, slots=True)
class SmallStretchSeen:
    """A stretch less than the kit's least bay, left unrailed. where: its run."""

    where: str
    clear: Length
    drops: Drops


@dataclass(frozen=True, slots=True)
class Piece:
    """A row of the cut list: equal pieces of a part. end_cuts: degrees to the length."""

    part: str
    length: Length
    count: int
    end_cuts: tuple[Degrees, Degrees]
    bays: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Panel:
    """A row of the glass order: equal panels."""

    mark: str
    width: Length
    height: Length
    pane: int
    corners: tuple[Point, ...]
    area: Area
    mass: Mass
    bays: tuple[str, ...]


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
