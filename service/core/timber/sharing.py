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
    between its outermost ones along the joists, of the fewest plies. It may move as far as they
    keep that distance; as far as they are in it where timber is too near one of them already."""
    along = [frame.place_along(fixing.at) for fixing in served]
    low, high = min(along), max(along)
    point = off(frame, served[0].at, 0.0, (low + high) / 2 - along[0])
    width, edge = frame.framing.joist_width, kit.post.base.fixing_edge_distance
    needs = high - low + 2 * edge
    plies = max(least_plies(frame, kit), math.ceil((needs - TOUCH) / width))
    spare = 2 * edge if any(fixing.is_by_timber for fixing in served) else 0.0
    return Wanted(point, plies, (plies * width - needs + spare) / 2)


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
    """The first two groups in one gap whose blocks would overlap; if none would, the first two that
    one block of fewer plies holds."""
    pairs = [
        (i, j)
        for j, (_, block) in enumerate(groups)
        for i, (_, other) in enumerate(groups[:j])
        if _is_beside(block, other)
    ]
    overlapping = (pair for pair in pairs if _overlap(frame, *(groups[i][1] for i in pair)))
    found = next(overlapping, None)
    if found is not None:
        return found
    for i, j in pairs:
        (some, block), (others, other) = groups[i], groups[j]
        if block_for(frame, kit, some + others).plies < block.plies + other.plies:
            return i, j
    return None


def _is_beside(block: BlockingPiece, other: BlockingPiece) -> bool:
    """Whether both are in one gap."""
    low, high = max(block.across[0], other.across[0]), min(block.across[1], other.across[1])
    return low < high - TOUCH


def _overlap(frame: Frame, block: BlockingPiece, other: BlockingPiece) -> bool:
    """Whether blocks in one gap would be in each other's place."""
    return abs(block.at - other.at) < half_of(frame, block.plies + other.plies) - TOUCH
