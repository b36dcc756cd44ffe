"""Core: the deck document as read, in frozen records. Lengths are in the document's unit.

Records keep the JSON pointer that they came from, so that the method can say where a fault is.
`None` means left out: the method then applies the default (contract, section 3).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Final, Literal, NamedTuple, TypeAlias

import shapely

from service.core.frozen import record
from service.core.measure import TOUCH, Degrees, Length, Point, Unit, tape_text
from service.core.records.strength import LoadDuration, Timber

Infill: TypeAlias = Literal["picket", "glass"]
INFILLS: Final[tuple[Infill, Infill]] = ("picket", "glass")
INFILL_WORDS: Final[dict[Infill, str]] = {"picket": "pickets", "glass": "glass"}
"""What stands in a bay of an infill, as a sentence calls it."""
Condition: TypeAlias = Literal["guard", "wall", "open"]
WallEnd: TypeAlias = Literal["bracket", "post"]
OpenEnd: TypeAlias = Literal["setback", "edge"]
Hand: TypeAlias = Literal["left", "right"]
HANDS: Final[tuple[Hand, Hand]] = ("left", "right")
OpeningUse: TypeAlias = Literal["stair", "gate", "passage"]
Beneath: TypeAlias = Literal["walked", "shielded"]


@record()
class Corners:
    """Outline by its corners, in either direction."""

    points: tuple[Point, ...]
    pointer: str


@record()
class WalkSide:
    """One side of a tape walk, and the turn to the left after it. length: None where unknown."""

    length: Length | None
    turn: Degrees


@record()
class Walk:
    """Outline by a tape walk from the origin, heading +x."""

    sides: tuple[WalkSide, ...]
    pointer: str


@record()
class Tie:
    """One corner, by its distances from the ends A and B of the baseline."""

    from_a: Length
    from_b: Length


@record()
class Ties:
    """Outline against a straight wall, by two tapes from the ends of that wall, the baseline."""

    baseline: Length
    corners: tuple[Tie, ...]
    pointer: str


Outline: TypeAlias = Corners | Walk | Ties


class Drops(NamedTuple):
    """Heights of a walking surface above what lies below an edge; each None where not given.

    drop: as the code measures it.
    to_ground: to finished ground.
    to_next_level: to the next level below.
    beneath: whether people can walk there; None is taken as `walked`.
    """

    drop: Length | None = None
    to_ground: Length | None = None
    to_next_level: Length | None = None
    beneath: Beneath | None = None

    @property
    def given(self) -> bool:
        """Whether any of the three drops is given."""
        return (self.drop, self.to_ground, self.to_next_level) != (None, None, None)


def deepest(found: Iterable[Drops]) -> Drops:
    """The deepest of some drops, the first of equally deep ones; one not given is the least."""
    return max(found, key=lambda drops: -1.0 if drops.drop is None else drops.drop)


@record()
class Edge:
    """What the caller says of an edge.

    number: the caller's own number of the edge. glass: index of the kit's pane. arc_rise: rise of a
    bowed edge at mid-chord, outward positive.
    """

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


@record()
class Opening:
    """A clear width in a guarded edge.

    start: from the edge's first corner, as the caller numbers it, to the near side of the width.
    """

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
    """Something solid in or near the railing line, as a polygon in plan.

    height: its top above the walking surface of its level; None where that is not given.
    """

    name: str
    points: tuple[Point, ...]
    pointer: str
    height: Length | None = None

    def reaches(self, height: Length) -> bool:
        """Whether it is known to reach up to a height above the walking surface."""
        return self.height is not None and self.height >= height - TOUCH

    def reaches_past(self, height: Length) -> bool:
        """Whether it may reach past a height above the walking surface.

        It may where its own height is not given.
        """
        return self.height is None or self.height > height + TOUCH

    @cached_property
    def box(self) -> tuple[Point, ...]:
        """Corners of the smallest rectangle around it with sides along x and y."""
        xs, ys = zip(*self.points, strict=True)
        x0, x1, y0, y1 = min(xs), max(xs), min(ys), max(ys)
        return (x0, y0), (x1, y0), (x1, y1), (x0, y1)

    @cached_property
    def shape(self) -> shapely.Polygon:
        """Its polygon in plan, made once however often it is asked for."""
        return shapely.Polygon(self.points)


@record()
class NoPost:
    """A stretch of an edge in which no part of a base may lie. start: as in `Opening`."""

    edge: int
    start: Length
    width: Length
    why: str
    pointer: str


@record()
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

    def rise_to(self, other: Level) -> Length | None:
        """How far another level lies above this one; None where the drop of either is not given."""
        if self is other:
            return 0.0
        lower, upper = self.drops.drop, other.drops.drop
        return None if lower is None or upper is None else upper - lower


@record()
class Framing:
    """Joists and rim of a level.

    joist_direction: degrees from +x. first_joist: from the outline's least place across the joists
    to the centre of the first joist.
    """

    joist_direction: Degrees
    joist_spacing: Length
    first_joist: Length
    joist_width: Length
    rim_width: Length
    pointer: str


@record()
class Stair:
    """A straight flight down from an opening.

    opening: as "level/opening".
    nosing: projection of a tread past the riser below.
    guards, handrail: sides as seen going up.
    top_as_handrail: whether the tops of its guards are the handrails of their sides.
    glass: index of the kit's pane; where it is left out, that of its edge.
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


@record()
class SiteMeasure:
    """A clear opening as measured after the posts stand, at the top and at the bottom rail."""

    bay: str
    clear_top: Length
    clear_bottom: Length
    pointer: str


@record()
class Site:
    """Where the deck stands, for the strength check.

    temperature_range: from the coldest to the hottest that the deck's metal gets, in degrees
    Fahrenheit in documents in inches, in kelvins in documents in millimetres. timber: takes the
    place of the kit's.
    """

    temperature_range: float | None = None
    wet_service: bool = True
    load_duration: LoadDuration = "live"
    timber: Timber | None = None


@record()
class Guard:
    """Defaults for every edge and flight. height: None means the code's, else the kit's least."""

    infill: Infill
    height: Length | None = None


@record()
class Deck:
    """A deck document, as read. step: the smallest mark, the document's `precision`."""

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
