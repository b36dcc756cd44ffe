"""Core: which blocks the posts' fixings need (method 11): how many pieces each has, and which
fixings share one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

import shapely

from service.core.measure import TOUCH, FromTo, Length, Point, convert
from service.core.records.kit import Kit
from service.core.records.layout import BlockingPiece
from service.core.timber.blocks import Wanted, blocks_at, gap_below, half_of
from service.core.timber.fitting import Need, is_held
from service.core.timber.frame import Frame

SOLID: Final = 3.0
"""Inches: a piece thinner than this twists by itself, and a block has two of them at least (two or
more 2x plies or a 4x: engineering facts, 5.5, seen S25)."""


class Shared(NamedTuple):
    """A block and what it is needed for."""

    needs: tuple[Need, ...]
    block: BlockingPiece


def block_for(frame: Frame, kit: Kit, needs: Sequence[Need]) -> Wanted:
    """The block that meets these needs: midway between their outermost places along the joists, of
    the fewest plies that keep them off its edges."""
    across, along = zip(*(need.place for need in needs), strict=True)
    low, high = min(along), max(along)
    keeps = max(need.keeps for need in needs)
    fixings = tuple(place for need in needs for place in need.fixings)
    place = sum(across) / len(across), (low + high) / 2
    need = Need(place, fixings, keeps, high - low, needs[0].behind)
    fewest = least_plies(frame, kit)
    plies = math.ceil((high - low + 2 * keeps - TOUCH) / frame.framing.joist_width)
    return Wanted(need, max(fewest, plies), fewest)


def least_plies(frame: Frame, kit: Kit) -> int:
    """How many pieces a block has that does not twist."""
    return 1 if frame.framing.joist_width >= convert(SOLID, "in", kit.unit) - TOUCH else 2


def holds(frame: Frame, block: BlockingPiece, place: Point, keeps: Length) -> bool:
    """Whether a block holds a fixing at that place across and along, so far from its edges and
    ends."""
    return is_held(block.edges, block.at, half_of(frame, block.plies), place, keeps)


def together(frame: Frame, needs: Sequence[Need]) -> list[tuple[Need, ...]]:
    """Needs in groups: those of one gap between joists that lie in one line across them, with no
    rim between, are met by one block."""
    lines = [(gap_below(frame, x), round(y, 6), x) for (x, y), *_ in needs]
    order = sorted(range(len(needs)), key=lambda i: lines[i])
    pairs = [(i, j) for i, j in pairwise(order) if lines[i][:2] == lines[j][:2]]
    groups = {i: [i] for i in order}
    if pairs:
        ways = shapely.linestrings([(needs[i].place, needs[j].place) for i, j in pairs])
        for (i, j), is_clear in zip(pairs, shapely.covers(frame.room, ways), strict=True):
            if is_clear:
                groups[i].append(j)
                groups[j] = groups[i]
    rows = {min(group): sorted(group) for group in groups.values()}
    return [tuple(needs[i] for i in rows[first]) for first in sorted(rows)]


def share_blocks(frame: Frame, kit: Kit, alone: Iterable[Shared]) -> list[Shared]:
    """The blocks of a level: where two of them would overlap, or one of fewer plies does for both,
    one takes their place. alone: for each need the block beside it."""
    blocks = list(alone)
    while pairs := _met(frame, kit, blocks):
        needs = [blocks[i].needs + blocks[j].needs for i, j in pairs]
        found = blocks_at(frame, [block_for(frame, kit, each) for each in needs])
        for (i, j), each, block in zip(pairs, needs, found, strict=True):
            blocks[i] = _one_of(frame, each, (block, blocks[i].block, blocks[j].block))
        taken = {j for _, j in pairs}
        blocks = [each for i, each in enumerate(blocks) if i not in taken]
    return blocks


def _one_of(
    frame: Frame, needs: tuple[Need, ...], blocks: Iterable[BlockingPiece | None]
) -> Shared:
    """Of blocks for the same needs the one that holds the most fixings; of equal ones the first."""

    def held(block: BlockingPiece) -> int:
        return sum(holds(frame, block, at, need.keeps) for need in needs for at in need.fixings)

    return Shared(needs, max((block for block in blocks if block is not None), key=held))


def _met(frame: Frame, kit: Kit, blocks: Sequence[Shared]) -> list[tuple[int, int]]:
    """Pairs of blocks that would overlap, no block in two pairs: those that lie nearest along the
    joists first, however the deck is turned; of equally near ones the longest, then the first. If
    none would overlap, those with the same ends that one block of fewer plies holds."""
    near = list(_near(frame, blocks))
    met = [(i, j) for i, j in near if _overlap(frame, blocks[i].block, blocks[j].block)]
    if not met:
        met = [(i, j) for i, j in near if _is_one_of_fewer(frame, kit, blocks[i], blocks[j])]

    def nearness(pair: tuple[int, int]) -> tuple[Length, Length, int, int]:
        block, other = (blocks[k].block for k in pair)
        return round(abs(block.at - other.at), 6), -round(block.length + other.length, 6), *pair

    pairs: list[tuple[int, int]] = []
    taken: set[int] = set()
    for pair in sorted(met, key=nearness):
        if taken.isdisjoint(pair):
            pairs.append(pair)
            taken.update(pair)
    return pairs


def _near(frame: Frame, blocks: Sequence[Shared]) -> Iterator[tuple[int, int]]:
    """Pairs of blocks that are within a ply of each other, or not far from it."""
    if len(blocks) < 2:
        return
    boxes = []
    for _, block in blocks:
        low, high = min(low for low, _ in block.edges), max(high for _, high in block.edges)
        half = half_of(frame, block.plies + 1)
        boxes.append((low, block.at - half, high, block.at + half))
    tree = shapely.STRtree(shapely.box(*zip(*boxes, strict=True)))
    for i, j in zip(*tree.query(tree.geometries).tolist(), strict=True):
        if i < j:
            yield i, j


def _overlap(frame: Frame, block: BlockingPiece, other: BlockingPiece) -> bool:
    """Whether blocks would be in each other's place."""
    half, half_other = half_of(frame, block.plies), half_of(frame, other.plies)
    first = max(block.at - half, other.at - half_other)
    last = min(block.at + half, other.at + half_other)
    if first >= last - TOUCH:
        return False
    ends = [
        [_edge_at(each, each_half, y) for y in (first, last)]
        for each, each_half in ((block, half), (other, half_other))
    ]
    return _meet(*ends)


def _edge_at(block: BlockingPiece, half: Length, along: Length) -> FromTo:
    """From where to where a block lies across, so far along the joists."""
    share = (along - block.at + half) / (2 * half)
    low, high = (a + (b - a) * share for a, b in zip(*block.edges, strict=True))
    return low, high


def _meet(one: Sequence[FromTo], two: Sequence[FromTo]) -> bool:
    """Whether stretches that change evenly from the first to the last of each meet on the way."""
    shares = {0.0, 1.0}
    for side in (0, 1):
        off, then = (a[side] - b[side] for a, b in zip(one, two, strict=True))
        if off * then < 0:
            shares.add(off / (off - then))
    for share in shares:
        (low, high), (other_low, other_high) = (
            [a + (b - a) * share for a, b in zip(*each, strict=True)] for each in (one, two)
        )
        if max(low, other_low) < min(high, other_high) - TOUCH:
            return True
    return False


def _is_one_of_fewer(frame: Frame, kit: Kit, one: Shared, two: Shared) -> bool:
    """Whether two blocks go from the same timber to the same timber, and take more plies than one
    block for both."""
    block, other = one.block, two.block
    apart = [abs(a - b) for a, b in zip(block.across, other.across, strict=True)]
    if max(apart) > TOUCH:
        return False
    return block_for(frame, kit, one.needs + two.needs).plies < block.plies + other.plies
