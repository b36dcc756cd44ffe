"""Core: a railing system as frozen records, in the document's unit (contract, section 4)."""

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
    """A square base plate.

    fixing_inset: from the plate's edge to a fixing's centre. fixing_edge_distance: the least
    distance from a fixing's centre to an edge of the timber that it goes into.
    """

    width: Length
    fixings: int
    fixing_inset: Length
    fixing_edge_distance: Length


@dataclass(frozen=True, slots=True)
class PostKit:
    """The post, square in section.

    setback: from the deck's edge to the post's centre, inward positive. corner: what a fascia kit
    has at an outside corner.
    """

    width: Length
    setback: Length
    heights: tuple[Length, ...]
    base: Base
    corner: Literal["bracket", "pair"]


@dataclass(frozen=True, slots=True)
class Stock:
    """Sticks that a part is cut from. trim: length cut off a stick before its first piece."""

    lengths: tuple[Length, ...]
    kerf: Length
    trim: Length = 0.0

    @property
    def longest(self) -> Length:
        """The longest piece that a stick holds; 0 where the trim leaves nothing of it."""
        return max(0.0, max(self.lengths) - self.trim)


@dataclass(frozen=True, slots=True)
class Rail:
    """One rail. end_allowance: from the face that the rail meets to its end, by the kind of end."""

    depth: Length
    stock: Stock
    end_allowance: dict[End, Length]

    def allowances(self, ends: tuple[End, End]) -> tuple[Length, Length]:
        """The allowances at its first and at its second end."""
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
    """Pickets.

    gap: the greatest clear distance between two pickets, which full spacers give. stock: None where
    pickets are sold by the piece.
    """

    width: Length
    spacing: Spacing
    gap: Length
    engagement: Engagement
    stock: Stock | None = None


@dataclass(frozen=True, slots=True)
class Pane:
    """Glass that the kit takes. nominal_mm: thickness for mass; minimum: thickness for strength."""

    nominal: Length
    nominal_mm: float
    minimum: Length
    type: str


@dataclass(frozen=True, slots=True)
class Block:
    """A setting block. inset: from the panel's end to the block's centre."""

    inset: Length
    length: Length


@dataclass(frozen=True, slots=True)
class GlassKit:
    """Glass panels.

    side_gap: from the post's face to the panel's edge.
    max_area: in the square of the document's unit.
    gasket_strips: how many along each of a panel's two edges in a channel.
    tolerance, edges: what the glass order says of a panel's size and of its edges.
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
    """A round handrail. height: plumb above the line of nosings."""

    diameter: Length
    height: Length
    stock: Stock
    max_bracket_interval: Length


@dataclass(frozen=True, slots=True)
class GateKit:
    """A gate's gaps at its hinge post and its latch post, and its widest leaf."""

    hinge_gap: Length
    latch_gap: Length
    max_leaf: Length


@dataclass(frozen=True, slots=True)
class Part:
    """The yard's own words for a role.

    pack: pieces in a pack, or the length of a roll of what is sold by length; 0 where not given.
    sizes: stock numbers by post height or stick length.
    """

    number: str
    description: str
    pack: float
    sizes: tuple[tuple[Length, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Extra:
    """Parts that go with others: `count` of a role for every `every` of them, begun ones included.

    of: what they go with: a role, `post` or `job`. In a kit an extra comes after those that add
    what it goes with.
    """

    role: str
    of: str
    count: int
    every: int


@dataclass(frozen=True, slots=True)
class Kit:
    """A railing system. Members that a kit may leave out are None.

    unit: unit of its lengths here.
    own_unit: unit of its own document.
    included: roles that come with another part.
    stocks: the sticks of each role that is sold by the stick.
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

    @property
    def stair_gap(self) -> Length:
        """The `stair_bottom_gap`; 0 in a kit without it, which takes no guards of flights."""
        return self.stair_bottom_gap or 0.0

    def infill_kit(self, infill: Infill) -> PicketKit | GlassKit | None:
        """What the kit says of an infill; None for an infill that it does not have."""
        return self.picket if infill == "picket" else self.glass

    def glass_in(self, infill: Infill) -> GlassKit | None:
        """What the kit says of glass; None where the infill is another."""
        return self.glass if infill == "glass" else None

    def engagement(self, infill: Infill) -> Engagement:
        """How far an infill that the kit has runs into its rails."""
        infill_kit = self.infill_kit(infill)
        assert infill_kit is not None
        return infill_kit.engagement

    def side_gaps(self, infill: Infill) -> Length:
        """What the gaps on both sides of an infill take of its bay at the least: 0 for pickets."""
        glass = self.glass_in(infill)
        return 0.0 if glass is None else 2 * glass.side_gap

    def text(self, length: Length, beside: Length = 0.0) -> str:
        """A length as the kit's own document writes it. beside: what it is compared with."""
        own, here = self.own_unit, self.unit
        return plain_length(convert(length, here, own), own, convert(beside, here, own))

    def half_rail(self, place: Literal["top", "bottom"], infill: Infill) -> Length:
        """Half the width of an infill's top or bottom rail; 0 where the kit does not give it."""
        rails = {} if self.strength is None else self.strength.rails
        rail = rails.get(f"{place}_rail_{infill}")
        return 0.0 if rail is None or rail.width is None else rail.width / 2
