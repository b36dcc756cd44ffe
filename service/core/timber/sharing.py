"""Core: which blocks a post's fixings need (method 11): how many pieces each has, and which fixings
share one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Final

from service.core.measure import TOUCH, Length, convert
from service.core.records.kit import Kit
from service.core.records.layout import BlockingPiece
from service.core.timber.blocks import SQUARE, Wanted, blocks_at, half_of, off
from service.core.timber.fixings import Fixing
from service.core.timber.frame import Frame

SOLID: Final = 3.0
"""Inches: a piece thinner than this twists by itself, and a block has two of them at least (two or
more 2x plies or a 4x: engineering facts, 5.5, seen S25)."""

ASKEW: Final = 1e-6
"""Degrees by which an end that is cut is off square."""


def block_for(frame: Frame, kit: Kit, served: Sequence[Fixing]) -> Wanted:
    """The block that holds these fixings, each as far from its edges as the kit asks: midway
    between its outermost ones along the joists, of the fewest plies, with the play that they leave
    it."""
    along = [frame.place_along(fixing.at) for fixing in served]
    across = [frame.place_across(fixing.at) for fixing in served]
    low, high = min(along), max(along)
    middle = sum(across) / len(across)
    point = off(frame, served[0].at, middle - across[0], (low + high) / 2 - along[0])
    width, needs = frame.framing.joist_width, high - low + 2 * kit.post.base.fixing_edge_distance
    plies = max(least_plies(frame, kit), math.ceil((needs - TOUCH) / width))
    return Wanted(point, plies, (plies * width - needs) / 2)


def least_plies(frame: Frame, kit: Kit) -> int:
    """How many pieces a block has that does not twist."""
    return 1 if frame.framing.joist_width >= convert(SOLID, "in", kit.unit) - TOUCH else 2


def share_blocks(
    frame: Frame, kit: Kit, rows: Iterable[Iterable[tuple[Fixing, BlockingPiece]]]
) -> list[list[tuple[list[Fixing], BlockingPiece]]]:
    """Each post's blocks, with the fixings that each is for: where those beside two of its fixings
    would overlap, or one of fewer plies holds both, one takes their place. rows: each post's
    fixings, each with the block beside it."""
    held = [[([fixing], block) for fixing, block in row] for row in rows]
    while met := [(groups, pair) for groups in held if (pair := _nearest_met(frame, kit, groups))]:
        served = [groups[i][0] + groups[j][0] for groups, (i, j) in met]
        shared = blocks_at(frame, [block_for(frame, kit, fixings) for fixings in served])
        for (groups, (i, j)), fixings, block in zip(met, served, shared, strict=True):
            groups[i] = fixings, block if block.length > TOUCH else groups[i][1]
            del groups[j]
    return held


def is_past(frame: Frame, block: BlockingPiece, fixing: Fixing) -> bool:
    """Whether a block ends before it comes under a fixing that it is for. An end that is cut to fit
    a rim goes on along it, a square one does not."""
    across, (low, high) = frame.place_across(fixing.at), block.across
    first, last = (abs(cut - SQUARE) < ASKEW for cut in block.end_cuts)
    return (first and across < low - TOUCH) or (last and across > high + TOUCH)


def _nearest_met(
    frame: Frame, kit: Kit, groups: Sequence[tuple[list[Fixing], BlockingPiece]]
) -> tuple[int, int] | None:
    """Of the groups whose blocks would overlap, the two that lie nearest along the joists, however
    the deck is turned; of equally near ones the longest, then the first. If none would overlap, of
    those with the same ends that one block of fewer plies holds."""
    pairs = [(i, j) for j in range(len(groups)) for i in range(j)]
    met = [(i, j) for i, j in pairs if _overlap(frame, groups[i][1], groups[j][1])]
    if not met:
        met = [(i, j) for i, j in pairs if _is_one_of_fewer(frame, kit, groups[i], groups[j])]

    def nearness(pair: tuple[int, int]) -> tuple[Length, Length, int, int]:
        block, other = (groups[k][1] for k in pair)
        return round(abs(block.at - other.at), 6), -round(block.length + other.length, 6), *pair

    return min(met, key=nearness, default=None)


def _overlap(frame: Frame, block: BlockingPiece, other: BlockingPiece) -> bool:
    """Whether blocks would be in each other's place."""
    low, high = max(block.across[0], other.across[0]), min(block.across[1], other.across[1])
    apart = half_of(frame, block.plies + other.plies)
    return low < high - TOUCH and abs(block.at - other.at) < apart - TOUCH


def _is_one_of_fewer(
    frame: Frame,
    kit: Kit,
    one: tuple[list[Fixing], BlockingPiece],
    two: tuple[list[Fixing], BlockingPiece],
) -> bool:
    """Whether two groups' blocks go from the same timber to the same timber, and take more plies
    than one block for both."""
    (some, block), (others, other) = one, two
    apart = [abs(a - b) for a, b in zip(block.across, other.across, strict=True)]
    if max(apart) > TOUCH:
        return False
    return block_for(frame, kit, some + others).plies < block.plies + other.plies
