"""Core: the deck as read, frozen. Lengths are in the document's unit.

Each record keeps the JSON pointer that it came from, so that the method can say where.
`None` means left out: the method applies the default (contract, section 3).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal, NamedTuple, TypeAlias

import shapely

from service.core.measure import TOUCH, Degrees, Length, Point, Unit, tape_text
from service.core.records.strength import LoadDuration, Timber

Infill: TypeAlias = Literal["picket", "glass"]
INFILLS: Final[tuple[Infill, Infill]] = ("picket", "glass")
Condition: TypeAlias = Literal["guard", "wall", "open"]
WallEnd: TypeAlias = Literal["bracket", "post"]
OpenEnd: TypeAlias = Literal["setback", "edge"]
Hand: TypeAlias = Literal["left", "right"]
HANDS: Final[tuple[Hand, Hand]] = ("left", "right")
OpeningUse: TypeAlias = Literal["stair", "gate", "passage"]
Beneath: TypeAlias = Literal["walked", "shielded"]


@dataclass(frozen=True, slots=True)
class Corners:
    """Outline by its corners, in either direction."""

    points: tuple[Point, ...]
    pointer: str


@dataclass(frozen=True, slots=True)
class WalkSide:
    """One side of a tape walk, and the turn to the left after it. length: None where unknown."""

    length: Length | None
    turn: Degrees


@dataclass(frozen=True, slots=True)
class Walk:
    """Outline by a tape walk from the origin, heading +x."""

    sides: tuple[WalkSide, ...]
    pointer: str


@dataclass(frozen=True, slots=True)
class Tie:
    """One corner, by its distances from the ends A and B of the baseline."""

    from_a: Length
    from_b: Length


@dataclass(frozen=True, slots=True)
class Ties:
    """Outline against a straight wall, by two tapes from its ends."""

    baseline: Length
    corners: tuple[Tie, ...]
    pointer: str


Outline: TypeAlias = Corners | Walk | Ties


class Drops(NamedTuple):
    """What lies below an edge: as the code measures it, to finished ground, to the next level.

    beneath: whether people can walk there; None is taken as `walked`.
    """

    drop: Length | None = None
    to_ground: Length | None = None
    to_next_level: Length | None = None
    beneath: Beneath | None = None

    @property
    def given(self) -> bool:
        """Whether any of the three drops is."""
        return (self.drop, self.to_ground, self.to_next_level) != (None, None, None)


def rise_between(lower: Drops, upper: Drops) -> Length | None:
    """How far a level of those drops lies above another; None where either's drop is not given.

    >>> rise_between(Drops(28.0), Drops(63.0))
    35.0
    """
    return None if lower.drop is None or upper.drop is None else upper.drop - lower.drop


def deepest(found: Iterable[Drops]) -> Drops:
    """The deepest of some drops, the first of those that are alike; not given is the least."""
    return max(found, key=lambda drops: -1.0 if drops.drop is None else drops.drop)


@dataclass(frozen=True, slots=True)
class Edge:
    """What the caller says of edge `number` (the caller's own number)."""

    number: int
    pointer: str
    condition: Condition | None = None
    infill: Infill | None = None
    glass: int | None = None
    height: Length | None = None
    drops: Drops = Drops()
    wall_end: WallEnd | None = None
    open_end: OpenEnd | None = None
    arc_rise: Length = 0.0


@dataclass(frozen=True, slots=True)
class Opening:
    """A clear width in a guarded edge. start: from the edge's first corner as the caller counts."""

    id: str
    edge: int
    start: Length
    width: Length
    use: OpeningUse
    pointer: str
    hinge: Literal["near", "far"] = "near"
    opens: Literal["in", "out"] = "in"


@dataclass(frozen=True)
class Obstruction:
    """Something solid in or near the railing line, as a polygon in plan. height: above the walking
    surface of its level, None where that is not given."""

    name: str
    points: tuple[Point, ...]
    pointer: str
    height: Length | None = None

    def reaches(self, height: Length) -> bool:
        """Whether it is known to be so high above the walking surface."""
        return self.height is not None and self.height >= height - TOUCH

    def reaches_past(self, height: Length) -> bool:
        """Whether it may be higher than that above the walking surface."""
        return self.height is None or self.height > height + TOUCH

    @cached_property
    def box(self) -> tuple[Point, ...]:
        """The corners of the least upright rectangle around it."""
        xs, ys = zip(*self.points, strict=True)
        x0, x1, y0, y1 = min(xs), max(xs), min(ys), max(ys)
        return (x0, y0), (x1, y0), (x1, y1), (x0, y1)

    @cached_property
    def shape(self) -> shapely.Polygon:
        """In plan, drawn once however often it is asked about."""
        return shapely.Polygon(self.points)


@dataclass(frozen=True, slots=True)
class NoPost:
    """A stretch of an edge in which no part of a base may lie."""

    edge: int
    start: Length
    width: Length
    why: str
    pointer: str


@dataclass(frozen=True, slots=True)
class Level:
    """One walking surface."""

    id: str
    outline: Outline
    pointer: str
    drops: Drops = Drops()
    edges: tuple[Edge, ...] = ()
    openings: tuple[Opening, ...] = ()
    obstructions: tuple[Obstruction, ...] = ()
    no_post: tuple[NoPost, ...] = ()
    framing: Framing | None = None


@dataclass(frozen=True, slots=True)
class Framing:
    """Joists and rim of a level. first_joist: the outline's least place across them to a centre."""

    joist_direction: Degrees
    joist_spacing: Length
    first_joist: Length
    joist_width: Length
    rim_width: Length
    pointer: str


@dataclass(frozen=True, slots=True)
class Stair:
    """A straight flight down from an opening. opening: "level/opening".

    guards, handrail: sides as seen going up. glass: which of the kit's panes; left out, that of
    its edge. top_as_handrail: the tops of its guards are the handrails of their sides.
    """

    id: str
    opening: str
    rise: Length
    risers: int
    going: Length
    pointer: str
    nosing: Length = 0.0
    guards: tuple[Hand, ...] = ()
    infill: Infill | None = None
    height: Length | None = None
    foot_post: Literal["tread", "ground"] = "tread"
    handrail: tuple[Hand, ...] = ()
    to_level: str | None = None
    top_as_handrail: bool = False
    glass: int | None = None


@dataclass(frozen=True, slots=True)
class SiteMeasure:
    """A clear opening as measured after the posts stand, at the top and at the bottom rail."""

    bay: str
    clear_top: Length
    clear_bottom: Length
    pointer: str


@dataclass(frozen=True, slots=True)
class Site:
    """Where the deck stands. temperature_range: from the coldest to the hottest that its metal
    gets, in F where the document is in inches, in K where in millimetres. timber: in the place
    of the kit's."""

    temperature_range: float | None = None
    wet_service: bool = True
    load_duration: LoadDuration = "live"
    timber: Timber | None = None


@dataclass(frozen=True, slots=True)
class Guard:
    """Defaults for every edge. height: None takes the code's, else the kit's least."""

    infill: Infill
    height: Length | None = None
    pointer: str = "/guard"


@dataclass(frozen=True, slots=True)
class Deck:
    """A deck document, read. step: the smallest mark, the document's `precision`."""

    unit: Unit
    step: Length
    guard: Guard
    levels: tuple[Level, ...]
    title: str = ""
    stairs: tuple[Stair, ...] = ()
    site_measures: tuple[SiteMeasure, ...] = ()
    advise: bool = False
    site: Site = Site()

    def tape(self, length: Length) -> str:
        """The tape reading of a length, to the nearest mark."""
        return tape_text(length, self.unit, self.step)
