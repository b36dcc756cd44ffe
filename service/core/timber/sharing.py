"""Core: which blocks a post's fixings need (method 11): how many pieces each has, and which fixings
share one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Final

from service.core.measure import TOUCH, convert
from service.core.records.kit import Kit
from service.core.records.layout import BlockingPiece
from service.core.timber.blocks import Wanted, blocks_at, half_of, off
from service.core.timber.fixings import Fixing
from service.core.timber.frame import Frame

SOLID: Final = 3.0
"""Inches: a piece thinner than this twists by itself, and a block has two of them at least (two or
more 2x plies or a 4x: engineering facts, 5.5, seen S25)."""


def block_for(frame: Frame, kit: Kit, served: Sequence[Fixing]) -> Wanted:
    """The block that holds these fixings, each as far from its edges as the kit asks: midway
    between its outermost ones along the joists, of the fewest plies, with the play that they leave
    it."""
    along = [frame.place_along(fixing.at) for fixing in served]
    low, high = min(along), max(along)
    point = off(frame, served[0].at, 0.0, (low + high) / 2 - along[0])
    width, needs = frame.framing.joist_width, high - low + 2 * kit.post.base.fixing_edge_distance
    plies = max(least_plies(frame, kit), math.ceil((needs - TOUCH) / width))
    return Wanted(point, plies, (plies * width - needs) / 2)


def least_plies(frame: Frame, kit: Kit) -> int:
    """How many pieces a block has that does not twist."""
    return 1 if frame.framing.joist_width >= convert(SOLID, "in", kit.unit) - TOUCH else 2


def share_blocks(
    frame: Frame, kit: Kit, rows: Iterable[Iterable[tuple[Fixing, BlockingPiece]]]
) -> list[list[BlockingPiece]]:
    """Each post's blocks: where those beside two of its fixings would overlap, or one of fewer
    plies holds both, one takes their place. rows: each post's fixings, each with the block beside
    it."""
    held = [[([fixing], block) for fixing, block in row] for row in rows]
    while met := [(groups, pair) for groups in held if (pair := _first_met(frame, kit, groups))]:
        served = [groups[i][0] + groups[j][0] for groups, (i, j) in met]
        shared = blocks_at(frame, [block_for(frame, kit, fixings) for fixings in served])
        for (groups, (i, j)), fixings, block in zip(met, served, shared, strict=True):
            groups[i] = fixings, block if block.length > TOUCH else groups[i][1]
            del groups[j]
    return [[block for _, block in groups] for groups in held]


def _first_met(
    frame: Frame, kit: Kit, groups: Sequence[tuple[list[Fixing], BlockingPiece]]
) -> tuple[int, int] | None:
    """The first two groups whose blocks would overlap; if none would, the first two with the same
    ends that one block of fewer plies holds."""
    pairs = [(i, j) for j in range(len(groups)) for i in range(j)]
    for i, j in pairs:
        if _overlap(frame, groups[i][1], groups[j][1]):
            return i, j
    for i, j in pairs:
        (some, block), (others, other) = groups[i], groups[j]
        fewer = block_for(frame, kit, some + others).plies < block.plies + other.plies
        if fewer and _same_ends(block, other):
            return i, j
    return None


def _overlap(frame: Frame, block: BlockingPiece, other: BlockingPiece) -> bool:
    """Whether blocks would be in each other's place."""
    low, high = max(block.across[0], other.across[0]), min(block.across[1], other.across[1])
    apart = half_of(frame, block.plies + other.plies)
    return low < high - TOUCH and abs(block.at - other.at) < apart - TOUCH


def _same_ends(block: BlockingPiece, other: BlockingPiece) -> bool:
    """Whether blocks go from the same timber to the same timber."""
    return all(abs(a - b) <= TOUCH for a, b in zip(block.across, other.across, strict=True))
