"""Core: blocks in plan (method 11), each square to the joists; `blocks_at` is the main entry.

A block goes from joist or rim to joist or rim, and is as wide as its plies together. Where its way
from joist to joist is clear it stands at its place; else it is fitted into the room that the rim
leaves (`fitting`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import shapely

from service.core.measure import TOUCH, FromTo, Length, Point
from service.core.records.blocking import BlockingPiece
from service.core.timber.ends import Face
from service.core.timber.fitting import Need, Room, fit
from service.core.timber.frame import Frame
from service.core.timber.plies import MOST_PLIES


class Wanted(NamedTuple):
    """A block that is wanted.

    need: what it is for.
    plies: how many it should have.
    fewest: how many it needs at the least, so that it does not twist.
    least: the least length of its middle line, so that it does not split.
    """

    need: Need
    plies: int
    fewest: int
    least: Length = 0.0


class _Gap(NamedTuple):
    """The gap between joist `below` and the next one; -1 is the gap before the first joist.

    low, high: places across of these joists' faces, or the deck's least and greatest places across
    where there is no joist.
    """

    below: int
    low: Length
    high: Length


def half_of(frame: Frame, plies: int) -> Length:
    """Half the width of a block of so many plies."""
    return plies * frame.framing.joist_width / 2


def corners(frame: Frame, block: BlockingPiece) -> list[Point]:
    """Corners of a block in plan, in order round it."""
    half, ((low, high), (other_low, other_high)) = block.half, block.edges
    ends = ((low, -half), (high, -half), (other_high, half), (other_low, half))
    return [frame.point(across, block.at + off) for across, off in ends]


def blocks_at(
    frame: Frame, wanted: Sequence[Wanted], only_whole: bool = False
) -> list[BlockingPiece | None]:
    """Blocks as they are wanted, each from a joist or the rim to a joist or the rim.

    A block has fewer plies where the rim leaves no room for all of them. It is None where there is
    no room for its fewest plies, where the joists leave less than its least length between them,
    and where it would have more plies than anybody fastens (MOST_PLIES).

    only_whole: None also where a block would have fewer plies than wanted, is not tied at both
    ends, or does not hold all the fixings that it can.
    """
    if not wanted:
        return []
    gaps = [_gap(frame, each.need.place[0]) for each in wanted]
    blocks: list[BlockingPiece | None] = [
        _block(frame, gap, each.plies, each.need.place[1], (gap[1:], gap[1:]))
        if gap.high - gap.low >= each.least - TOUCH and each.plies <= MOST_PLIES
        else None
        for each, gap in zip(wanted, gaps, strict=True)
    ]
    rimmed = [i for i in _rimmed(frame, wanted, gaps) if blocks[i] is not None]
    for i, faces in zip(rimmed, _faces(frame, rimmed, wanted, gaps), strict=True):
        blocks[i] = _fitted(frame, wanted[i], gaps[i], faces, only_whole)
    return blocks


def gap_below(frame: Frame, across: Length) -> int:
    """Number of the joist at which the gap at a place across begins; -1 before the first joist.

    A place within a joist belongs to the gap on its side of that joist's centre. Before the first
    joist there is a single gap, however wide.
    """
    below = math.floor((across - frame.first) / frame.framing.joist_spacing + TOUCH)
    return min(max(-1, below), frame.last)


def _gap(frame: Frame, across: Length) -> _Gap:
    half, below = frame.framing.joist_width / 2, gap_below(frame, across)
    low, high = frame.ends
    if below >= 0:
        low = frame.joist_centre(below) + half
    if below < frame.last:
        high = frame.joist_centre(below + 1) - half
    return _Gap(below, low, high)


def _rimmed(frame: Frame, wanted: Sequence[Wanted], gaps: Sequence[_Gap]) -> list[int]:
    """Indices of the blocks whose way is crossed by the rim.

    A block's way is from joist to joist, or to the edge of the deck where there is no joist.
    """
    strips = [
        _strip(gap, each, half_of(frame, each.plies) - TOUCH)
        for gap, each in zip(gaps, wanted, strict=True)
    ]
    are_open = shapely.covers(frame.room, shapely.polygons(strips)).tolist()
    return [i for i, is_open in enumerate(are_open) if not is_open]


def _faces(
    frame: Frame, rimmed: Sequence[int], wanted: Sequence[Wanted], gaps: Sequence[_Gap]
) -> list[list[Face]]:
    """Faces of the rim within reach of each block, for the blocks with the indices `rimmed`."""
    near: list[list[Face]] = [[] for _ in rimmed]
    if rimmed:
        tree, faces = frame.rim_faces
        strips = []
        for i in rimmed:
            half = half_of(frame, wanted[i].plies)
            back, forth = wanted[i].need.moves(half)
            strips.append(_strip(gaps[i], wanted[i], half + max(-back, forth)))
        for i, face in zip(*tree.query(shapely.polygons(strips)).tolist(), strict=True):
            near[i].append(faces[face])
    return near


def _strip(gap: _Gap, wanted: Wanted, half: Length) -> list[Point]:
    """Corners, as places across and along, of a strip from joist to joist at a block's place.

    half: half the strip's width.
    """
    y, (_, low, high) = wanted.need.place[1], gap
    return [(low, y - half), (high, y - half), (high, y + half), (low, y + half)]


def _fitted(
    frame: Frame, wanted: Wanted, gap: _Gap, faces: Sequence[Face], only_whole: bool
) -> BlockingPiece | None:
    """The block in the room that the rim leaves, with the most plies that fit, or None."""
    need, ply = wanted.need, frame.framing.joist_width
    for plies in range(wanted.plies, wanted.fewest - 1, -1):
        half = half_of(frame, plies)
        found = fit(Room(gap[1:], tuple(faces), half, ply, wanted.least, frame.is_clear), need)
        if only_whole and not (found is not None and found.meets_need(need)):
            return None
        if found is not None:
            return _block(frame, gap, plies, found.at, found.edges)
    return None


def _block(
    frame: Frame, gap: _Gap, plies: int, at: Length, edges: tuple[FromTo, FromTo]
) -> BlockingPiece:
    lows, highs = zip(*edges, strict=True)
    at_joists = (
        gap.below >= 0 and max(lows) - gap.low <= TOUCH,
        gap.below < frame.last and gap.high - min(highs) <= TOUCH,
    )
    return BlockingPiece(
        between=(
            gap.below if at_joists[0] else None,
            gap.below + 1 if at_joists[1] else None,
        ),
        at=at,
        edges=edges,
        direction=frame.square,
        ply=frame.framing.joist_width,
        plies=plies,
    )
