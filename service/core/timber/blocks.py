"""Core: blocks in plan (method 11): each square to the joists, from joist or rim to joist or rim.

A block is as wide as its plies together. Where it has the way from joist to joist clear it stands
at its place; else it is fitted into what the rim leaves (`fitting`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import partial
from typing import NamedTuple

import shapely

from service.core.measure import TOUCH, FromTo, Length, Point
from service.core.records.blocking import BlockingPiece
from service.core.timber.ends import Face
from service.core.timber.fitting import Need, Room, fit
from service.core.timber.frame import Frame
from service.core.timber.plies import MOST_PLIES


class Wanted(NamedTuple):
    """A block that is wanted. plies: how many it should have; fewest: how many it has at least, so
    that it does not twist; least: how long its middle line is at least, so that it does not split.
    """

    need: Need
    plies: int
    fewest: int
    least: Length = 0.0


class _Gap(NamedTuple):
    """The gap between joist `below` and the next. low, high: the faces of those joists, or the
    deck's least and greatest places across where there is no joist."""

    below: int
    low: Length
    high: Length


def half_of(frame: Frame, plies: int) -> Length:
    """Half the width of a block of so many plies."""
    return plies * frame.framing.joist_width / 2


def corners(frame: Frame, block: BlockingPiece) -> list[Point]:
    """The corners of a block in plan, in order round it."""
    half, ((low, high), (other_low, other_high)) = half_of(frame, block.plies), block.edges
    ends = ((low, -half), (high, -half), (other_high, half), (other_low, half))
    return [frame.point(across, block.at + off) for across, off in ends]


def blocks_at(
    frame: Frame, wanted: Sequence[Wanted], only_whole: bool = False
) -> list[BlockingPiece | None]:
    """Each block, from a joist or the rim on one side to a joist or the rim on the other; of fewer
    plies where the rim leaves no room for all; None where it leaves none for the fewest, where the
    joists leave too little between them, or where it would be of more plies than anybody fastens.

    only_whole: None, too, where one has fewer plies, is not tied at both ends, or does not hold all
    fixings that it can.
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
    """The number of the joist that a gap begins at: the gap at a place across, or where that is in
    a joist the one beside it. Before the first joist, -1, there is one gap, however wide."""
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
    """The numbers of the blocks that have the rim in their way from joist to joist, or to the edge
    of the deck where no joist is."""
    strips = [
        _strip(gap, each, half_of(frame, each.plies) - TOUCH)
        for gap, each in zip(gaps, wanted, strict=True)
    ]
    are_open = shapely.covers(frame.room, shapely.polygons(strips)).tolist()
    return [i for i, is_open in enumerate(are_open) if not is_open]


def _faces(
    frame: Frame, rimmed: Sequence[int], wanted: Sequence[Wanted], gaps: Sequence[_Gap]
) -> list[list[Face]]:
    """For each of those blocks the faces of the rim within its reach."""
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
    """The corners of a strip from joist to joist, by their places across and along."""
    y, (_, low, high) = wanted.need.place[1], gap
    return [(low, y - half), (high, y - half), (high, y + half), (low, y + half)]


def _fitted(
    frame: Frame, wanted: Wanted, gap: _Gap, faces: Sequence[Face], only_whole: bool
) -> BlockingPiece | None:
    """The block in the room that the rim leaves."""
    need, ply, is_clear = wanted.need, frame.framing.joist_width, partial(_is_clear, frame)
    for plies in range(wanted.plies, wanted.fewest - 1, -1):
        half = half_of(frame, plies)
        found = fit(Room(gap[1:], tuple(faces), half, ply, wanted.least, is_clear), need)
        if only_whole and not (found is not None and found.does(need)):
            return None
        if found is not None:
            return _block(frame, gap, plies, found.at, found.edges)
    return None


def _is_clear(frame: Frame, place: Point) -> bool:
    """Whether a place, by its places across and along, is inside the rim."""
    return bool(shapely.contains_xy(frame.room, *place))


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
