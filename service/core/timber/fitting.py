"""Core: how a block fits into the room between joists and rims (method 11).

`fit` finds where along the joists the block stands so that its ends are tied and it holds its
fixings; how the ends are cut is in `ends`. Places are across and along the joists.

A block stands where it is wanted if it does all that it is needed for there. Else it is moved along
the joists, as far as it still holds its fixings, until one of its edges is clear of a place where
the rim turns. For example, a block 3 wide is wanted at 10 along, from 8.5 to 11.5, and a corner of
the rim reaches into its end at 9. Moved to 10.5, its edge is hard against that corner, its whole
end bears on the joist, and fixings at 9.5 and 10.5 are still on it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, NamedTuple

from service.core.measure import TOUCH, FromTo, Length, Point
from service.core.records.blocking import BlockingPiece
from service.core.timber.ends import STEEPEST, Cut, Face, cut_end
from service.core.timber.frame import HAIR
from service.core.timber.plies import is_off_joints

MOVES: Final = 16
"""How many of the places that a block may be moved to are tried, the nearest first."""
SHARES: Final = (0.5, 1.0)
"""Shares of the furthest moves, at which a block is tried when no other move does."""


class Need(NamedTuple):
    """What a block is wanted for.

    place: the point that its middle line is to pass.
    fixings: places of the fixings that it can hold.
    keeps: how far each fixing has to lie from the block's edges and ends.
    over: least and greatest place along of what it has to be under; None if all of it is at
        `place`.
    joint: place along where a joint of its plies is to be; None if no joint keeps off all fixings.
    post: place along that an idle ply lies away from: the middle of its post or, for a fixing that
        is level with it, the mean place of all the post's fixings that need a block.
    behind: whether it stands behind a rim that its post hangs on, up to its own width off `place`;
        it then need not be under anything.
    """

    place: Point
    fixings: tuple[Point, ...] = ()
    keeps: Length = 0.0
    over: FromTo | None = None
    joint: Length | None = None
    post: Length = 0.0
    behind: bool = False

    def moves(self, half: Length) -> FromTo:
        """How far a block may stand from its place along the joists, back (negative) and forth.

        It may move as long as it is under all its places, or as it holds all the fixings that it
        can. half: half its width.
        """
        y = self.place[1]
        if self.behind:
            return -2 * half, 2 * half
        low, high = self.over or (y, y)
        first, last = min(high - half, (low + high) / 2), max(low + half, (low + high) / 2)
        along = [at for _, at in self.fixings]
        if along:
            spare = half - self.keeps
            first, last = min(first, max(along) - spare), max(last, min(along) + spare)
        return first - y, last - y


@dataclass(frozen=True)
class Fit:
    """A block in its room.

    at: place along of its middle.
    half: half its width.
    ply: width of each of its plies.
    low, high: the cuts of its ends at lesser and at greater places across.
    flush: how many ends bear on timber with at least half their width.
    tied: how many ends do so, or bear with both corners.
    """

    at: Length
    half: Length
    ply: Length
    low: Cut
    high: Cut
    flush: int
    tied: int

    @cached_property
    def edges(self) -> tuple[FromTo, FromTo]:
        """Where its two edges begin and end across; first the edge at the lesser place along."""
        half, low, high = self.half, self.low, self.high
        return (low.at(-half), high.at(-half)), (low.at(half), high.at(half))

    @property
    def length(self) -> Length:
        """Length of its middle line."""
        return self.high.middle - self.low.middle

    def off(self, across: Length) -> Length:
        """How far a place across lies past the block's ends; 0 where it is between them."""
        (low, high), (other_low, other_high) = self.edges
        return max(0.0, min(low, other_low) - across, across - max(high, other_high))

    def meets_need(self, need: Need) -> bool:
        """Whether the block does all that it is needed for.

        Both its ends are tied, it is under all its places, and it holds all the fixings that it
        can, each within one ply where plies can be laid so.
        """
        low, high = need.over or (self.at, self.at)
        far = max(self.at - low, high - self.at)
        is_under = need.behind or far <= self.half + TOUCH
        return is_under and self.tied == 2 and is_all(need, *count_held(self, need))


def is_all(need: Need, held: int, in_plies: int) -> bool:
    """Whether a block holds all the fixings that it can.

    held: how many it holds. in_plies: how many of these lie within one ply, which is what counts
    where plies can be laid so.
    """
    return (held if need.joint is None else in_plies) == len(need.fixings)


def count_held(block: Fit | BlockingPiece, need: Need) -> tuple[int, int]:
    """How many of the need's fixings a block holds, and how many of those keep off its joints."""
    held = [place for place in need.fixings if holds(block, place, need.keeps)]
    return len(held), sum(is_in_a_ply(block, place, need.keeps) for place in held)


def is_in_a_ply(block: Fit | BlockingPiece, place: Point, keeps: Length) -> bool:
    """Whether a fixing that a block holds is at least `keeps` from the joints of its plies."""
    return is_off_joints(place[1] - block.at + block.half, block.ply, keeps)


def holds(block: Fit | BlockingPiece, place: Point, keeps: Length) -> bool:
    """Whether a block holds a fixing at (across, along), `keeps` from its edges and ends."""
    half, x, y = block.half, place[0], place[1] - block.at
    if abs(y) > half - keeps + TOUCH:
        return False
    share = (y + half) / (2 * half)
    for first, last, sign in zip(*block.edges, (1, -1), strict=True):
        inside = sign * (x - first - (last - first) * share)
        if inside < keeps * math.hypot(1, (last - first) / (2 * half)) - TOUCH:
            return False
    return True


@dataclass(frozen=True, slots=True)
class Room:
    """What a block is fitted into.

    gap: places across of the faces of the joists on both sides, or of the ends of the deck.
    faces: faces of the rim in the room.
    half: half the block's width.
    ply: width of each of its plies.
    least: the least length of its middle line.
    is_clear: whether a place, across and along, is inside the rim.
    """

    gap: FromTo
    faces: tuple[Face, ...]
    half: Length
    ply: Length
    least: Length
    is_clear: Callable[[Point], bool]


def fit(room: Room, need: Need) -> Fit | None:
    """The best block for a need; None where no block has room.

    The best block has the most ends tied to timber; then it holds the most fixings; then the most
    of these keep off the joints of its plies; then it has the most flush ends; then it lies nearest
    to its place.
    """
    cuts = tuple(
        cut for face in room.faces if (cut := _part_between(face, 0, *room.gap)) is not None
    )
    room, moves = replace(room, faces=cuts), need.moves(room.half)
    best = _best_of(room, need, [0.0, *_shifts(room, need, moves)])
    if best is None or not best.does_all:
        others = _best_of(room, need, [share * move for move in moves for share in SHARES])
        best = min((each for each in (best, others) if each), key=_ranked, default=None)
    return None if best is None else best.block


class _Tried(NamedTuple):
    """A block that was tried.

    rank: what it is compared by; the least is the best. does_all: whether both its ends are tied
    and it holds all the fixings that it can.
    """

    rank: tuple[float, ...]
    does_all: bool
    block: Fit


def _best_of(room: Room, need: Need, shifts: Iterable[Length]) -> _Tried | None:
    """The best of a block's positions; None where it has room in none of them.

    shifts: how far along the joists each position is from the block's place. The search ends with
    the first position in which it does all and both ends are flush.
    """
    (x, y), tried = need.place, []
    # The place may lie past the block's end by half the block's width; behind a rim by less, and
    # not only by a hair, so that the block is hard against the rim.
    far = room.half + (-HAIR * room.ply if need.behind else TOUCH)
    for shift in shifts:
        block = _block_at(room, (x, y + shift))
        if block is not None and block.off(x) <= far and block.length >= room.least - TOUCH:
            off, length = round(abs(shift), 6), round(block.length, 6)
            held, in_plies = count_held(block, need)
            rank = (-block.tied, -held, -in_plies, -block.flush, off, -length, shift)
            does_all = block.tied == 2 and is_all(need, held, in_plies)
            tried.append(_Tried(rank, does_all, block))
            if does_all and block.flush == 2:
                break
    return min(tried, key=_ranked, default=None)


def _ranked(tried: _Tried) -> tuple[float, ...]:
    return tried.rank


def _shifts(room: Room, need: Need, within: FromTo) -> list[Length]:
    """Moves of a block along the joists that are worth a try, at most MOVES.

    Each brings an edge of the block hard against a place where a face turns, or a joint of its
    plies to where a joint is to be. The nearest come first, and of two as near the lesser. within:
    bounds of the moves.
    """
    y = need.place[1]
    ends = {
        round(end[1], 9)
        for start, last, turns in room.faces
        for end, does_turn in zip((start, last), turns, strict=True)
        if does_turn
    }
    moves = [end - y + sign * room.half for end in ends for sign in (-1, 1)]
    if need.joint is not None:
        least = math.ceil((within[0] + y - room.half - need.joint) / room.ply)
        most = math.floor((within[1] + y - room.half - need.joint) / room.ply)
        edges = (need.joint + number * room.ply for number in range(least, most + 1))
        moves += [edge + room.half - y for edge in edges]
    found = [m for m in moves if within[0] < m < within[1] and abs(m) > TOUCH]
    return sorted(found, key=lambda move: (abs(move), move))[:MOVES]


def _block_at(room: Room, place: Point) -> Fit | None:
    """The block at a place along, in the nearest stretch clear of the rim; None if there is none.

    place: across, what the stretch has to be near; along, where the block's middle is.
    """
    y, half = place[1], room.half
    beside = _faces_beside(room, y)
    stretch = _nearest_stretch(room, place, beside)
    if stretch is None:
        return None
    first, last = stretch
    middle = (first + last) / 2
    mirrored = [Face((-x0, y0), (-x1, y1)) for (x0, y0), (x1, y1), _ in beside]
    mirror, low = cut_end(half, -room.gap[0], -first, -middle, mirrored)
    end, high = cut_end(half, room.gap[1], last, middle, beside)
    start = Cut(-mirror.middle, -mirror.slope)
    flush, tied = low.is_flush + high.is_flush, low.is_tied + high.is_tied
    return Fit(y, half, room.ply, start, end, flush, tied)


def _faces_beside(room: Room, y: Length) -> list[Face]:
    """Parts of the faces between the edges of a block.

    y: place along of the block's middle, from which places along are counted in these parts.
    """
    low, high = y - room.half, y + room.half
    beside = []
    for face in room.faces:
        (_, y0), (_, y1), _ = face
        if (y0 > low + TOUCH or y1 > low + TOUCH) and (y0 < high - TOUCH or y1 < high - TOUCH):
            (x0, y0), (x1, y1), _ = _part_between(face, 1, low, high) or face
            beside.append(Face((x0, y0 - y), (x1, y1 - y)))
    return beside


def _part_between(face: Face, axis: int, low: Length, high: Length) -> Face | None:
    """The part of a face between two places across (axis 0) or along (axis 1), or None.

    An end where the face is cut off counts as a turn.
    """
    start, end, (turns, turns_last) = face
    if start[axis] > end[axis]:
        start, end, turns, turns_last = end, start, turns_last, turns
    first, last = start[axis], end[axis]
    if first > high or last < low:
        return None
    if first >= low and last <= high:
        return face
    if first < low:
        start, turns = _point_at(start, end, axis, low), True
    if last > high:
        end, turns_last = _point_at(start, end, axis, high), True
    return Face(start, end, (turns, turns_last))


def _point_at(start: Point, end: Point, axis: int, place: Length) -> Point:
    """The point of a face at a place across (axis 0) or along (1)."""
    share = (place - start[axis]) / (end[axis] - start[axis])
    other = start[1 - axis] + (end[1 - axis] - start[1 - axis]) * share
    return (place, other) if axis == 0 else (other, place)


def _nearest_stretch(room: Room, place: Point, faces: Sequence[Face]) -> FromTo | None:
    """The stretch across the joists that is nearest to a place, inside the rim and clear of faces.

    Of two as near, the one at lesser places. None where none is near enough for a block in it to
    reach the place.
    """
    x, y = place
    far = room.half * (1 + 2 * STEEPEST) + TOUCH
    off = sorted(
        (round(max(low - x, x - high, 0), 6), low, high)
        for low, high in _clear_stretches(room.gap, faces)
        if low - x <= far and x - high <= far
    )
    clear = ((low, high) for _, low, high in off if room.is_clear(((low + high) / 2, y)))
    return next(clear, None)


def _clear_stretches(gap: FromTo, faces: Sequence[Face]) -> Iterator[FromTo]:
    """Stretches across the joists in which no face lies in the block's way."""
    start, end = gap
    for low, high in sorted([(min(a[0], b[0]), max(a[0], b[0])) for a, b, _ in faces]):
        if low > start + TOUCH:
            yield start, low
        start = max(start, high)
    if end > start + TOUCH:
        yield start, end
