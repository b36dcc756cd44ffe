"""Core: a railing system as data, frozen, in the document's unit (contract, section 4)."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from service.core.measure import Area, Degrees, Length, Unit, convert, plain_length
from service.core.records.deck import Infill
from service.core.records.strength import Strength

Mounting: TypeAlias = Literal["surface", "fascia"]
End: TypeAlias = Literal["socket", "swivel", "wall", "rake"]
Spacing: TypeAlias = Literal["spacer", "punched", "equal"]


@dataclass(frozen=True, slots=True)
class Base:
    """A square base plate. fixing_inset: plate edge to fixing centre."""

    width: Length
    fixings: int
    fixing_inset: Length
    fixing_edge_distance: Length


@dataclass(frozen=True, slots=True)
class PostKit:
    """The post. setback: deck edge to post centre, inward positive; corner: of a fascia kit."""

    width: Length
    setback: Length
    heights: tuple[Length, ...]
    base: Base
    corner: Literal["bracket", "pair"]


@dataclass(frozen=True, slots=True)
class Stock:
    """Sticks that a part is cut from. trim: cut off a stick before its first piece."""

    lengths: tuple[Length, ...]
    kerf: Length
    trim: Length = 0.0

    @property
    def longest(self) -> Length:
        """The longest piece that one holds, 0 where the trim leaves nothing of it."""
        return max(0.0, max(self.lengths) - self.trim)


@dataclass(frozen=True, slots=True)
class Rail:
    """One rail. end_allowance: face to rail end, by the kind of end that meets the face."""

    depth: Length
    stock: Stock
    end_allowance: dict[End, Length]

    def allowances(self, ends: tuple[End, End]) -> tuple[Length, Length]:
        """What it allows at its first and at its second end."""
        return self.end_allowance[ends[0]], self.end_allowance[ends[1]]


@dataclass(frozen=True, slots=True)
class Rails:
    """The two rails of an infill."""

    top: Rail
    bottom: Rail


@dataclass(frozen=True, slots=True)
class Engagement:
    """How far an infill runs into the top and the bottom rail."""

    top: Length
    bottom: Length


@dataclass(frozen=True, slots=True)
class PicketKit:
    """Pickets. gap: the greatest clear distance between two, which full spacers give.

    stock: None where they are sold by the piece.
    """

    width: Length
    spacing: Spacing
    gap: Length
    engagement: Engagement
    stock: Stock | None = None


@dataclass(frozen=True, slots=True)
class Pane:
    """One glass that the kit takes. nominal_mm is for mass, minimum for strength."""

    nominal: Length
    nominal_mm: float
    minimum: Length
    type: str


@dataclass(frozen=True, slots=True)
class Block:
    """A setting block. inset: panel end to block centre."""

    inset: Length
    length: Length


@dataclass(frozen=True, slots=True)
class GlassKit:
    """Glass. side_gap: post face to panel edge. max_area: the square of the document's unit.

    gasket_strips: along each of a panel's two channels; tolerance, edges: words of the order.
    """

    panes: tuple[Pane, ...]
    side_gap: Length
    engagement: Engagement
    top_channel_depth: Length
    max_width: Length
    max_height: Length
    max_area: Area
    block: Block
    gasket_strips: int | None = None
    tolerance: str = ""
    edges: str = ""


@dataclass(frozen=True, slots=True)
class RailSupport:
    """Feet under the bottom rail."""

    max_interval: Length
    width: Length


@dataclass(frozen=True, slots=True)
class Weep:
    """Weep holes, which drain the bottom rail."""

    diameter: Length
    max_interval: Length


@dataclass(frozen=True, slots=True)
class HandrailKit:
    """A round handrail. height: above the line of nosings."""

    diameter: Length
    height: Length
    stock: Stock
    max_bracket_interval: Length


@dataclass(frozen=True, slots=True)
class GateKit:
    """A gate's gaps at its posts, and its widest leaf."""

    hinge_gap: Length
    latch_gap: Length
    max_leaf: Length


@dataclass(frozen=True, slots=True)
class Part:
    """The yard's own words for a role. pack: pieces in a pack, or of what is sold by length the
    length of a roll, 0 where none is given. sizes: numbers by post height or stick length."""

    number: str
    description: str
    pack: float
    sizes: tuple[tuple[Length, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Extra:
    """`count` of a role go with every `every` begun of what it is `of`: a role, `post` or `job`.

    In a kit each stands after those that give what it is of.
    """

    role: str
    of: str
    count: int
    every: int


@dataclass(frozen=True, slots=True)
class Kit:
    """A railing system. Members that a kit may leave out are None.

    unit: of its lengths here, own_unit: of its document. included: roles that come with another
    part. stocks: the sticks of each role that is sold by the stick.
    """

    id: str
    title: str
    unit: Unit
    own_unit: Unit
    mounting: Mounting
    post: PostKit
    max_centres: dict[Infill, Length]
    straight_limit: Degrees
    square_limit: Degrees
    swivel_greatest: Degrees
    bottom_gap: Length
    least_bay: Length
    rails: dict[Infill, Rails]
    posts_before_glass: bool
    picket: PicketKit | None
    glass: GlassKit | None
    rail_support: RailSupport | None
    weep: Weep | None
    parts: dict[str, Part]
    stair_bottom_gap: Length | None = None
    out_of_plumb: Length | None = None
    handrail: HandrailKit | None = None
    gate: GateKit | None = None
    pointer: str = "/kit"
    strength: Strength | None = None
    included: frozenset[str] = frozenset()
    extras: tuple[Extra, ...] = ()
    stocks: dict[str, Stock] = field(default_factory=dict)

    def figures(self, infill: Infill) -> PicketKit | GlassKit | None:
        """What it says of an infill; None of one that it does not have."""
        return self.picket if infill == "picket" else self.glass

    def engagement(self, infill: Infill) -> Engagement:
        """How far an infill that the kit has runs into its rails."""
        figures = self.figures(infill)
        assert figures is not None
        return figures.engagement

    def side_gaps(self, infill: Infill) -> Length:
        """What both gaps beside an infill take of its bay; of pickets they may be nothing."""
        return 0.0 if infill == "picket" or self.glass is None else 2 * self.glass.side_gap

    def text(self, length: Length, beside: Length = 0.0) -> str:
        """A length as the kit's own document writes it. beside: what it is compared with."""
        own, here = self.own_unit, self.unit
        return plain_length(convert(length, here, own), own, convert(beside, here, own))

    def half_bottom_rail(self, infill: Infill) -> Length:
        """Half of the bottom rail's width; 0 where the kit does not say it."""
        rails = {} if self.strength is None else self.strength.rails
        rail = rails.get(f"bottom_rail_{infill}")
        return 0.0 if rail is None or rail.width is None else rail.width / 2
