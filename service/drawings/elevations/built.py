"""Drawings: what is built, as seen from outside: posts, walls, and bays, level or raked.

u runs along a run in plan, on a flight down from its top nosing. v runs plumb above the deck, on a
flight above the line of nosings.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from service.core.measure import FromTo, Length, Point, toward
from service.core.records.deck import Infill
from service.core.records.infill import BayFill, Glass
from service.core.records.kit import Kit
from service.core.records.layout import GateBuilt
from service.drawings.elevations.standing import Spot, Upright, rail_cut
from service.drawings.marks import Disc, Layer, Mark, Stroke, box, line
from service.drawings.points import moved
from service.drawings.scales import Scale

DOT: Final = 0.3
"""In mm on paper, the least radius of a weep hole, so that it can be seen."""
PLATE: Final = 0.6
"""In mm on paper, the thickness that a base plate is drawn with; kits do not give it."""
WALL: Final = 3.0
"""In mm on paper, the thickness that a piece of wall is drawn with."""
STEEP: Final = 2.0
"""The rise over run above which a guard is steep in its view."""
PAST: Final = 8.5
"""In mm on paper, from a steep top rail, square to it, to ids past its dimensions."""


@dataclass(frozen=True, slots=True)
class Pitch:
    """The pitch of a guard, and to which side it falls in its view.

    tangent: of the pitch. sense: 1 where u runs to the right, -1 where it runs to the left.
    """

    tangent: float = 0.0
    sense: Literal[1, -1] = 1

    @property
    def cosine(self) -> float:
        """The cosine of the pitch."""
        return 1.0 / math.hypot(1.0, self.tangent)

    @property
    def steep(self) -> bool:
        """Whether ids stand beside the dimensions along a rail: over them they would be far off."""
        return self.tangent > STEEP

    def at(self, u: Length, v: Length) -> Point:
        """Where a place along and above the guard lies in the view.

        >>> Pitch(0.5, -1).at(10.0, 36.0)
        (-10.0, 31.0)
        """
        return self.sense * u, v - u * self.tangent

    def band(self, layer: Layer, along: FromTo, low: Length, high: Length) -> Stroke:
        """A shape with plumb ends that runs with the guard.

        along: where it begins and ends in u; low, high: its v.
        """
        (a, b), at = along, self.at
        corners = at(a, low), at(b, low), at(b, high), at(a, high)
        return Stroke(layer, corners, closed=True, filled=True)


LEVEL: Final = Pitch()


@dataclass(frozen=True, slots=True)
class RailHeights:
    """Heights of a guard's rails, plumb.

    The bottom rail reaches from `bottom` to `sill`, the top rail from `head` to `top`.
    """

    bottom: Length
    sill: Length
    head: Length
    top: Length


def rail_heights(
    kit: Kit, infill: Infill, bottom: Length, top: Length, cosine: float = 1.0
) -> RailHeights:
    """The heights of the rails of a guard, from its underside and its top.

    cosine: of its pitch, as the depths of rails are square to them.
    """
    rails = kit.rails[infill]
    return RailHeights(
        bottom, bottom + rails.bottom.depth / cosine, top - rails.top.depth / cosine, top
    )


def draw_post(
    kit: Kit, upright: Upright, foot: Length, top: Length, scale: Scale, *, on_tread: bool = False
) -> Iterator[Mark]:
    """A post with its base plate.

    foot, top: the heights that it stands from and reaches. On a fascia, but not on a tread, post
    and plate also hang down over the rim.
    """
    half = kit.post.base.width / 2
    low, high = foot, foot + scale.of_paper(PLATE)
    if kit.mounting == "fascia" and not on_tread:
        low, high = foot - depth_below(kit), foot
    yield box("base", (upright.at - half, low), (upright.at + half, high), filled=True)
    yield box("post", (upright.low, low), (upright.high, top), filled=True)


def draw_wall(at: Length, outward: float, top: Length, scale: Scale) -> Mark:
    """A piece of the wall that a rail ends at. outward: -1 where it lies left of the rail, or 1."""
    far = at + outward * scale.of_paper(WALL)
    low, high = min(at, far), max(at, far)
    return box("wall", (low, 0.0), (high, top + scale.of_paper(2.0)), filled=True)


def depth_below(kit: Kit) -> Length:
    """How far below the deck posts are drawn, 0 where they stand on it.

    Kits do not say how far posts on a fascia reach.
    """
    return kit.post.base.width if kit.mounting == "fascia" else 0.0


def draw_fill(
    spot: Spot, heights: RailHeights, pitch: Pitch, kit: Kit, scale: Scale
) -> Iterator[Mark]:
    """All that is built into a bay."""
    fill = spot.bay.fill
    yield from draw_infill(fill, spot.start, heights, pitch, kit)
    start, end, _ = rail_cut(spot, kit, "top", pitch.cosine)
    yield pitch.band("rail", (start, end), heights.head, heights.top)
    start, end, _ = rail_cut(spot, kit, "bottom", pitch.cosine)
    yield pitch.band("rail", (start, end), heights.bottom, heights.sill)
    if fill.glass is not None:
        corners = panel_corners(fill.glass, spot.start, heights, pitch, kit)
        yield from draw_setting(fill.glass, corners, heights, pitch, kit)
        if fill.rake is not None and fill.rake.end_block is not None:
            yield _end_block(corners, heights, pitch)
    yield from _underside(spot, heights, pitch, kit, scale)


def draw_infill(
    filled: BayFill | GateBuilt, start: Length, heights: RailHeights, pitch: Pitch, kit: Kit
) -> Iterator[Mark]:
    """What is seen of pickets or a panel between the rails of a bay or of a gate's leaf.

    start: where the bay's first face is, or the leaf's first edge.
    """
    if filled.pickets is not None:
        assert kit.picket is not None
        half = kit.picket.width / 2
        for centre in filled.pickets.centres:
            at = start + centre
            yield pitch.band("picket", (at - half, at + half), heights.sill, heights.head)
    if filled.glass is not None:
        first = start + filled.glass.side_gap
        across = first, first + filled.glass.width
        yield pitch.band("glass", across, heights.sill, heights.head)


def panel_corners(
    glass: Glass, start: Length, heights: RailHeights, pitch: Pitch, kit: Kit
) -> tuple[Point, ...]:
    """The corners of a panel where it stands in the bottom rail, in their own order."""
    assert kit.glass is not None
    foot = heights.sill - kit.glass.engagement.bottom / pitch.cosine
    x, y = pitch.at(start + glass.side_gap, foot)
    # On a flight the panel's first end is the upper one, but its corners are counted from the left.
    cx, cy = glass.corners[0 if pitch.sense > 0 else 1]
    return tuple((x + a - cx, y + b - cy) for a, b in glass.corners)


def draw_setting(
    glass: Glass, corners: Sequence[Point], heights: RailHeights, pitch: Pitch, kit: Kit
) -> Iterator[Mark]:
    """The edges of a panel, dashed, within the rails too, and the blocks that it stands on."""
    assert kit.glass is not None
    yield Stroke("glass", tuple(corners), closed=True, pattern="dashed")
    first, last = _lower_edge(corners, pitch)
    direction = toward(first, last)
    thick = (heights.sill - heights.bottom - kit.glass.engagement.bottom / pitch.cosine) / 2
    half = kit.glass.block.length / 2
    for block in glass.blocks:
        a, b = (moved(first, direction, d) for d in (block - half, block + half))
        lower = (b[0], b[1] - thick), (a[0], a[1] - thick)
        yield Stroke("block", (a, b, *lower), closed=True, filled=True)


def _lower_edge(corners: Sequence[Point], pitch: Pitch) -> tuple[Point, Point]:
    """A panel's lower edge from its first end, which is the upper one on a flight."""
    return (corners[0], corners[1]) if pitch.sense > 0 else (corners[1], corners[0])


def _end_block(corners: Sequence[Point], heights: RailHeights, pitch: Pitch) -> Stroke:
    """The block at the low end of a raked panel, which keeps it from sliding."""
    x, y = _lower_edge(corners, pitch)[1]
    reach = (heights.sill - heights.bottom) / 2
    return line("block", (x, y - reach), (x, y + reach))


def _underside(
    spot: Spot, heights: RailHeights, pitch: Pitch, kit: Kit, scale: Scale
) -> Iterator[Mark]:
    """Feet under the bottom rail, and weep holes in it."""
    fill = spot.bay.fill
    if kit.rail_support is not None:
        half = kit.rail_support.width / 2
        for place in fill.rail_supports:
            u = spot.start + place
            ends = pitch.at(u - half, heights.bottom), pitch.at(u + half, heights.bottom)
            ground = pitch.at(u, 0.0)[1]
            feet = (ends[1][0], ground), (ends[0][0], ground)
            yield Stroke("block", (*ends, *feet), closed=True, filled=True)
    if kit.weep is not None:
        radius = max(kit.weep.diameter / 2, scale.of_paper(DOT))
        for place in fill.weep_holes:
            x, y = pitch.at(spot.start + place, heights.bottom)
            yield Disc("block", (x, y + radius), radius)
