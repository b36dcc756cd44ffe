"""Core: where each fixing of a post's base is, and which timber it lands in (method 11)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import shapely

from service.core.measure import TOUCH, Degrees, Length, Point
from service.core.records.deck import Framing
from service.core.records.kit import Base
from service.core.timber.frame import Frame

Landing: TypeAlias = Literal["rim", "joist", "none"]
_CORNERS: Final = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
_PLACES_BY_EDGE: Final = (
    (*_CORNERS, (0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0)),
    (*_CORNERS, (1.0, 0.0), (-1.0, 0.0), (0.0, -1.0), (0.0, 1.0)),
    (*_CORNERS, (0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0)),
    (*_CORNERS, (-1.0, 0.0), (1.0, 0.0), (0.0, 1.0), (0.0, -1.0)),
)
"""Places of fixings on a base, in four orders: one for each way that it may lie to the deck's edge.

Places are in multiples of the base's half width less its inset, along its own axes. In the first
order the deck's edge lies below the base, in the second to its right, in the third above it, in the
fourth to its left. Each order has the four corners, then the middles of the sides: that toward the
edge, the one across from it, and the other two. So six fixings are two rows along the edge, the way
they hold best.
"""
PLACED: Final = len(_PLACES_BY_EDGE[0])
"""How many fixings of a base have a known place; where any others stand is not known."""


@dataclass(frozen=True, slots=True)
class PlacedFixing:
    """One fixing of one post's base, over a level's joists and rim.

    What a kit says of its fixings is in `records/strength.Fixing`.

    place: of its centre, across and along the joists.
    depth: how far it lies in from the deck's edge; None where it is off the deck.
    off_joist: its distance, across the joists, from the centre line of the nearest joist.
    goes_on: whether the deck inside the rim goes on from it by `edge_distance` both ways along the
        joists, so that a joist under it ends no closer than that.
    edge_distance: the least distance that the kit asks from a fixing to an edge of its timber.
    """

    place: Point
    depth: Length | None
    off_joist: Length
    goes_on: bool
    edge_distance: Length
    framing: Framing

    @property
    def lands_on(self) -> Landing:
        """The timber that it goes into; `none` where it is in none, or too near an edge of it.

        Joists end at the rim's inner face, so a fixing within the rim's width lands in the rim or
        in nothing.
        """
        if self.depth is None:
            return "none"
        if self._is_in_rim:
            least = self.edge_distance - TOUCH
            most = self.framing.rim_width - self.edge_distance + TOUCH
            return "rim" if least <= self.depth <= most else "none"
        most = self.framing.joist_width / 2 - self.edge_distance + TOUCH
        return "joist" if self.off_joist <= most else "none"

    @property
    def needs_block(self) -> bool:
        """Whether it has to go into a block.

        It has to where it is on the deck, lands in nothing, and is not in the rim, where no block
        can be.
        """
        return self.depth is not None and not self._is_in_rim and self.lands_on == "none"

    @property
    def is_by_timber(self) -> bool:
        """Whether it needs a block but lies too close to other timber for a block to hold it.

        It is then closer than its edge distance to a face of the rim or of a joist: a block against
        that face has its own edge or end there.
        """
        if self.depth is None or not self.needs_block:
            return False
        keeps = self.edge_distance - TOUCH
        is_by_rim = self.depth < self.framing.rim_width + keeps
        return is_by_rim or self.off_joist < self.framing.joist_width / 2 + keeps

    @property
    def is_by_joist_end(self) -> bool:
        """Whether it lands in a joist, but closer than its edge distance to the joist's end."""
        return not self.goes_on and self.lands_on == "joist"

    @property
    def _is_in_rim(self) -> bool:
        """Whether it is in the rim's timber, however close to a face of it."""
        return self.depth is not None and self.depth < self.framing.rim_width - TOUCH


def fixing_places(
    base: Base, at: Point, turned: Degrees, heading: Degrees | None = None
) -> list[Point]:
    """Centres in plan of those of a base's fixings whose place is known (PLACED), corners first.

    at: the base's centre. heading: direction of the deck's edge that the base is set by; where it
    is None, the base's own direction, `turned`, is taken.
    """
    half = base.width / 2 - base.fixing_inset
    c, s = math.cos(math.radians(turned)), math.sin(math.radians(turned))
    quarters = 0 if heading is None else round((heading - turned) / 90) % 4
    return [
        (at[0] + half * (x * c - y * s), at[1] + half * (x * s + y * c))
        for x, y in _PLACES_BY_EDGE[quarters][: base.fixings]
    ]


def fixings_at(frame: Frame, base: Base, places: Sequence[Point]) -> list[PlacedFixing]:
    """A fixing at each place in plan, in the same order.

    One call for many places is far quicker than many calls.
    """
    points = shapely.points(places)
    on_deck = shapely.covers(frame.outline, points).tolist()
    depths = frame.depths(places)
    (ux, uy), reach = frame.along, max(0.0, base.fixing_edge_distance - TOUCH)
    lines = [[(x + off * ux, y + off * uy) for off in (-reach, reach)] for x, y in places]
    go_on = shapely.covers(frame.inner, shapely.linestrings(lines)).tolist()
    placed = map(frame.placed, places)
    return [
        PlacedFixing(
            place=place,
            depth=depth if is_on else None,
            off_joist=frame.off_joist(place[0]),
            goes_on=does,
            edge_distance=base.fixing_edge_distance,
            framing=frame.framing,
        )
        for place, is_on, depth, does in zip(placed, on_deck, depths, go_on, strict=True)
    ]
