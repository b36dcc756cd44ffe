"""Drawings: posts, their bases, and the walls that runs end at, as seen from outside."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.measure import Length
from service.core.records.kit import Kit
from service.drawings.elevations.standing import Upright
from service.drawings.marks import Mark, box
from service.drawings.scales import Scale

PLATE: Final = 0.6
"""In mm on paper, the thickness that a base plate is drawn with; kits do not give it."""
WALL: Final = 3.0
"""In mm on paper, the thickness that a piece of wall is drawn with."""


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
