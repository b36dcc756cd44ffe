"""Core: which blocks the posts' fixings need (method 11).

That is, how many plies each has, and which fixings share one: `gathered` groups the needs before
blocks are fitted, `merge_overlapping` joins blocks that overlap afterwards.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

import shapely

from service.core.measure import TOUCH, FromTo, Length, convert
from service.core.records.blocking import BlockingPiece
from service.core.timber.blocks import Wanted, blocks_at, gap_below, half_of
from service.core.timber.fitting import Need, count_held
from service.core.timber.frame import Frame
from service.core.timber.plies import Laid, lay_plies, least_plies, midway

SHORTEST_BLOCK: Final = 3.0
"""Inches: the least length of a block. A 3/8 in lag keeps 4 D, 1 1/2 in, from the end of its timber
(engineering facts, 5.4), so a shorter piece holds it nowhere, and splits as it is fastened."""


class SharedBlock(NamedTuple):
    """A block and the needs that it is for."""

    needs: tuple[Need, ...]
    block: BlockingPiece


def block_for(frame: Frame, needs: Sequence[Need]) -> Wanted:
    """The block that these needs want together; all of them have the same `keeps`.

    It has the fewest plies that keep the needs' places off its edges and joints. Where no plies do,
    it keeps them off its edges alone and lies midway between them.
    """
    across, along = zip(*(need.place for need in needs), strict=True)
    laid, over = _laid(frame, needs), (min(along), max(along))
    need = Need(
        place=(sum(across) / len(across), laid.at),
        fixings=tuple(place for need in needs for place in need.fixings),
        keeps=needs[0].keeps,
        over=over,
        joint=laid.joint,
        behind=needs[0].behind,
    )
    least = convert(SHORTEST_BLOCK, "in", frame.unit)
    return Wanted(need, laid.plies, least_plies(frame.framing.joist_width, frame.unit), least)


def _laid(frame: Frame, needs: Sequence[Need]) -> Laid:
    """The plies for these needs.

    Behind a rim a fixing goes through all plies, so their joints may be anywhere.
    """
    ply, along = frame.framing.joist_width, [need.place[1] for need in needs]
    fewest = least_plies(ply, frame.unit)
    if needs[0].behind:
        return midway(along, 0.0, ply, fewest)
    post = sum(need.post for need in needs) / len(needs)
    return lay_plies(along, post, needs[0].keeps, ply, fewest)


def together(frame: Frame, needs: Sequence[Need]) -> list[tuple[Need, ...]]:
    """Needs in rows, each for one block, in the order of each row's first need.

    A row lies in one gap between joists and in one line across it, with no rim between.
    """
    lines = [(gap_below(frame, x), round(y, 6), x) for (x, y), *_ in needs]
    order = sorted(range(len(needs)), key=lambda i: lines[i])
    pairs = [(i, j) for i, j in pairwise(order) if lines[i][:2] == lines[j][:2]]
    groups = {i: [i] for i in order}
    if pairs:
        between = shapely.linestrings([(needs[i].place, needs[j].place) for i, j in pairs])
        for (i, j), is_clear in zip(pairs, shapely.covers(frame.room, between), strict=True):
            if is_clear:
                groups[i].append(j)
                groups[j] = groups[i]
    rows = {min(group): sorted(group) for group in groups.values()}
    return [tuple(needs[i] for i in rows[first]) for first in sorted(rows)]


def gathered(frame: Frame, rows: Sequence[tuple[Need, ...]]) -> list[list[tuple[Need, ...]]]:
    """Rows of needs in groups, each for one block.

    Rows of one gap are joined where their own blocks would overlap, or where a single block of
    fewer plies may do as well. The nearest are joined first, so that the groups do not depend on
    how the deck is turned.
    """
    groups = [_group(frame, [row]) for row in rows]
    while pairs := _disjoint(_neighbours(frame, groups)):
        for i, j in pairs:
            groups[i] = _group(frame, groups[i].rows + groups[j].rows)
        taken = {j for _, j in pairs}
        groups = [each for i, each in enumerate(groups) if i not in taken]
    return [group.rows for group in groups]


class _Group(NamedTuple):
    """Rows of needs for one block.

    gap: number of the joist at which their gap begins. middle: place along midway between the
    outermost of them. laid: the plies of their block.
    """

    rows: list[tuple[Need, ...]]
    gap: int
    middle: Length
    laid: Laid


def _group(frame: Frame, rows: list[tuple[Need, ...]]) -> _Group:
    needs = [need for row in rows for need in row]
    along = [need.place[1] for need in needs]
    gap = gap_below(frame, needs[0].place[0])
    return _Group(rows, gap, (min(along) + max(along)) / 2, _laid(frame, needs))


def _neighbours(
    frame: Frame, groups: Sequence[_Group]
) -> Iterator[tuple[tuple[float, ...], int, int]]:
    """Pairs of groups that one block may serve, as (rank, index, index).

    The least rank is joined first: pairs whose blocks overlap, then the nearest.
    """
    order = sorted(range(len(groups)), key=lambda i: (groups[i].gap, groups[i].middle))
    for i, j in pairwise(order):
        one, two = groups[i], groups[j]
        if one.gap == two.gap:
            apart, halves = two.middle - one.middle, half_of(frame, one.laid.plies + two.laid.plies)
            overlap = abs(two.laid.at - one.laid.at) < halves - TOUCH
            if overlap or (
                apart < 2 * halves and _is_less(_group(frame, one.rows + two.rows), one, two)
            ):
                yield (not overlap, round(apart, 6)), min(i, j), max(i, j)


def _is_less(both: _Group, one: _Group, two: _Group) -> bool:
    """Whether one block for both groups has fewer plies than their two.

    False also where it would bring a joint to a fixing and neither of the two does.
    """
    if both.laid.joint is None and None not in (one.laid.joint, two.laid.joint):
        return False
    return both.laid.plies < one.laid.plies + two.laid.plies


def _disjoint(ranked: Iterable[tuple[tuple[float, ...], int, int]]) -> list[tuple[int, int]]:
    """Pairs in order of rank, without those that share a member with a pair already taken."""
    pairs: list[tuple[int, int]] = []
    taken: set[int] = set()
    for _, *pair in sorted(ranked):
        if taken.isdisjoint(pair):
            pairs.append((pair[0], pair[1]))
            taken.update(pair)
    return pairs


def merge_overlapping(frame: Frame, blocks: Iterable[SharedBlock]) -> list[SharedBlock]:
    """The blocks of a level, with no two in the same place.

    Where two would overlap, one block takes the place of both. The pair nearest along the joists is
    joined first, and of pairs as near the longest.
    """
    left = list(blocks)
    while pairs := _disjoint(_clashes(left)):
        needs = [left[i].needs + left[j].needs for i, j in pairs]
        wanted = [block_for(frame, each) for each in needs]
        found = blocks_at(frame, wanted)
        for (i, j), each, one, block in zip(pairs, needs, wanted, found, strict=True):
            left[i] = _one_of(each, one.need, (block, left[i].block, left[j].block))
        taken = {j for _, j in pairs}
        left = [each for i, each in enumerate(left) if i not in taken]
    return left


def _one_of(
    needs: tuple[Need, ...], need: Need, blocks: Iterable[BlockingPiece | None]
) -> SharedBlock:
    """The best of some blocks for the same needs; of equal ones the first.

    It holds the most fixings; then the most of them within one ply; then it is under the most
    places; then it has the fewest plies. need: all of the needs as one.
    """

    def worth(block: BlockingPiece) -> tuple[int, ...]:
        far = block.half + TOUCH
        under = sum(abs(each.place[1] - block.at) <= far for each in needs)
        return *count_held(block, need), under, -block.plies

    return SharedBlock(needs, max((block for block in blocks if block is not None), key=worth))


def _clashes(blocks: Sequence[SharedBlock]) -> Iterator[tuple[tuple[float, ...], int, int]]:
    """Pairs of blocks that would be in each other's place, as (rank, index, index).

    The least rank is joined first: the pair nearest along the joists, then the longest.
    """
    for i, j in _near(blocks):
        block, other = blocks[i].block, blocks[j].block
        if _overlap(block, other):
            length = block.length + other.length
            yield (round(abs(block.at - other.at), 6), -round(length, 6)), i, j


def _near(blocks: Sequence[SharedBlock]) -> Iterator[tuple[int, int]]:
    """Pairs of blocks whose bounding boxes, across and along the joists, meet."""
    if len(blocks) < 2:
        return
    boxes = []
    for _, block in blocks:
        low, high = min(low for low, _ in block.edges), max(high for _, high in block.edges)
        boxes.append((low, block.at - block.half, high, block.at + block.half))
    tree = shapely.STRtree(shapely.box(*zip(*boxes, strict=True)))
    for i, j in zip(*tree.query(tree.geometries).tolist(), strict=True):
        if i < j:
            yield i, j


def _overlap(block: BlockingPiece, other: BlockingPiece) -> bool:
    """Whether two blocks would be in each other's place."""
    first = max(block.at - block.half, other.at - other.half)
    last = min(block.at + block.half, other.at + other.half)
    if first >= last - TOUCH:
        return False
    one, two = ([_edge_at(each, y) for y in (first, last)] for each in (block, other))
    return _overlap_anywhere(one, two)


def _edge_at(block: BlockingPiece, along: Length) -> FromTo:
    """Where a block begins and ends across the joists, at a place along them."""
    share = (along - block.at + block.half) / (2 * block.half)
    low, high = (a + (b - a) * share for a, b in zip(*block.edges, strict=True))
    return low, high


def _overlap_anywhere(one: Sequence[FromTo], two: Sequence[FromTo]) -> bool:
    """Whether two stretches overlap anywhere on the way from their first to their last.

    one, two: each a stretch as it is first and as it is last, changing evenly between.
    """
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
