"""Core: how a block fits into the room between joists and rims (method 11): where along the joists
it stands, so that its ends are tied and it holds its fixings. How its ends are cut is for `ends`.

Places are across and along the joists. A block stands where it is wanted if that does; else it is
moved along the joists, no further than it holds its fixings, until an edge of it is clear of a
place where the rim turns. Say a block 3 wide is wanted at 10 along, from 8.5 to 11.5, and a corner
of the rim reaches into its end at 9: moved to 10.5 its edge is hard against that corner, its whole
end bears on the joist, and fixings at 9.5 and 10.5 are still on it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

from service.core.measure import TOUCH, FromTo, Length, Point
from service.core.timber.ends import STEEPEST, Face, Line, cut_end
from service.core.timber.plies import is_off_joints

MOVES: Final = 16
"""Of places that a block may be moved to, so many of the nearest are tried."""
SHARES: Final = (0.5, 1.0)
"""Of how far a block may be moved: where it is tried when nothing else will do."""


class Need(NamedTuple):
    """What a block is wanted for. place: where its middle is to pass; over: from where to where
    along the joists the places lie that it is to be under, all at `place` where it is None;
    fixings: those that it can hold; keeps: how far each has to lie from its edges and ends; joint:
    where along the joists a joint of its plies is to be, None where none keeps off all fixings;
    post: how far along the joists the middle of its post is; behind: whether it stands behind that
    post, off its place by as much as its width, and is under nothing."""

    place: Point
    fixings: tuple[Point, ...] = ()
    keeps: Length = 0.0
    over: FromTo | None = None
    joint: Length | None = None
    post: Length = 0.0
    behind: bool = False

    def moves(self, half: Length) -> FromTo:
        """How far off its place a block of that half width may stand along the joists, both ways:
        as long as it is under all its places, or holds all the fixings that it can."""
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


@dataclass(frozen=True, slots=True)
class Fit:
    """A block in its room. at: its middle along the joists; half: of its width; ply: the width of
    each of its plies; low, high: its ends; flush: how many of them bear on timber with half their
    width or more; tied: how many do, or with both corners."""

    at: Length
    half: Length
    ply: Length
    low: Line
    high: Line
    flush: int
    tied: int

    @property
    def edges(self) -> tuple[FromTo, FromTo]:
        """From where to where its edges lie across; first the one at the lesser place along."""
        half, low, high = self.half, self.low, self.high
        return (low.at(-half), high.at(-half)), (low.at(half), high.at(half))

    @property
    def length(self) -> Length:
        """Of its middle line."""
        return self.high.middle - self.low.middle

    def off(self, across: Length) -> Length:
        """How far a place across lies past its ends."""
        (low, high), (other_low, other_high) = self.edges
        return max(0.0, min(low, other_low) - across, across - max(high, other_high))

    def held(self, need: Need) -> tuple[int, int]:
        """How many of the fixings that it can hold it does hold, and how many of these its joints
        keep off."""
        edges, at, half, keeps = self.edges, self.at, self.half, need.keeps
        held = [y for x, y in need.fixings if is_held(edges, at, half, (x, y), keeps)]
        return len(held), sum(is_off_joints(y - at + half, self.ply, keeps) for y in held)

    def does(self, need: Need) -> bool:
        """Whether both its ends are tied, it is under all its places, and it holds all the fixings
        that it can, each in one ply where plies can be set so."""
        low, high = need.over or (self.at, self.at)
        far = max(self.at - low, high - self.at)
        is_under = need.behind or far <= self.half + TOUCH
        return is_under and self.tied == 2 and is_all(need, *self.held(need))


def is_all(need: Need, held: int, in_plies: int) -> bool:
    """Whether `held` are all the fixings that a block can hold; where plies can be laid for it,
    whether `in_plies` of them, each in one ply, are."""
    return (held if need.joint is None else in_plies) == len(need.fixings)


def is_held(
    edges: tuple[FromTo, FromTo], at: Length, half: Length, place: Point, keeps: Length
) -> bool:
    """Whether a place lies on a block with these edges, as far as that from its edges and ends."""
    x, y = place[0], place[1] - at
    if abs(y) > half - keeps + TOUCH:
        return False
    share = (y + half) / (2 * half)
    for first, last, sign in zip(*edges, (1, -1), strict=True):
        inside = sign * (x - first - (last - first) * share)
        if inside < keeps * math.hypot(1, (last - first) / (2 * half)) - TOUCH:
            return False
    return True


@dataclass(frozen=True, slots=True)
class Room:
    """What a block is fitted into. gap: between which places across; faces: of the rim in it;
    half: of the block's width; ply: the width of each of its plies; least: how long it is at least;
    is_clear: whether a place is inside the rim."""

    gap: FromTo
    faces: tuple[Face, ...]
    half: Length
    ply: Length
    least: Length
    is_clear: Callable[[Point], bool]


def fit(room: Room, need: Need) -> Fit | None:
    """The block with the most ends tied to timber; then with the most fixings held, then with the
    most of these off the joints of its plies, then with the most ends flush, then the nearest to
    its place. None where no block has room."""
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
    """A block that was tried. rank: by what the better of two comes first; does_all: whether both
    its ends are tied, and it holds all fixings that it can."""

    rank: tuple[float, ...]
    does_all: bool
    block: Fit


def _best_of(room: Room, need: Need, shifts: Iterable[Length]) -> _Tried | None:
    """The best of the blocks moved so far along the joists, the first on which all is well."""
    (x, y), tried = need.place, []
    # Past a fixing by half its width at most; behind a rim by less, as it is to be hard against it.
    far = room.half + (-TOUCH if need.behind else TOUCH)
    for shift in shifts:
        block = _block_at(room, (x, y + shift))
        if block is not None and block.off(x) <= far and block.length >= room.least - TOUCH:
            off, length = round(abs(shift), 6), round(block.length, 6)
            held, in_plies = block.held(need)
            rank = (-block.tied, -held, -in_plies, -block.flush, off, -length, shift)
            does_all = block.tied == 2 and is_all(need, held, in_plies)
            tried.append(_Tried(rank, does_all, block))
            if does_all and block.flush == 2:
                break
    return min(tried, key=_ranked, default=None)


def _ranked(tried: _Tried) -> tuple[float, ...]:
    return tried.rank


def _shifts(room: Room, need: Need, within: FromTo) -> list[Length]:
    """How far along the joists a block is moved until one of its edges is hard against a place
    where a face turns, or a joint of its plies where it is to be: the nearest moves first, and of
    two as near the lesser."""
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
    """The block whose middle line passes the place, in the stretch clear of the rim that is nearest
    to it."""
    y, half = place[1], room.half
    beside = _faces_beside(room, y)
    stretch = _nearest_stretch(room, place, beside)
    if stretch is None:
        return None
    first, last = stretch
    middle = (first + last) / 2
    mirrored = [_mirrored(face) for face in beside]
    mirror, low = cut_end(half, -room.gap[0], -first, -middle, mirrored)
    end, high = cut_end(half, room.gap[1], last, middle, beside)
    start = Line(-mirror.middle, -mirror.slope)
    flush, tied = low.is_flush + high.is_flush, low.is_tied + high.is_tied
    return Fit(y, half, room.ply, start, end, flush, tied)


def _faces_beside(room: Room, y: Length) -> list[Face]:
    """The parts of faces between the edges of a block whose middle is at that place along, told
    from there."""
    low, high = y - room.half, y + room.half
    beside = []
    for face in room.faces:
        (_, y0), (_, y1), _ = face
        if (y0 > low + TOUCH or y1 > low + TOUCH) and (y0 < high - TOUCH or y1 < high - TOUCH):
            (x0, y0), (x1, y1), _ = _part_between(face, 1, low, high) or face
            beside.append(Face((x0, y0 - y), (x1, y1 - y)))
    return beside


def _mirrored(face: Face) -> Face:
    return Face((-face.start[0], face.start[1]), (-face.end[0], face.end[1]))


def _part_between(face: Face, axis: int, low: Length, high: Length) -> Face | None:
    """The part of a face between two places across (axis 0) or along (1)."""
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
    """Where a face comes to a place across (axis 0) or along (1)."""
    share = (place - start[axis]) / (end[axis] - start[axis])
    other = start[1 - axis] + (end[1 - axis] - start[1 - axis]) * share
    return (place, other) if axis == 0 else (other, place)


def _nearest_stretch(room: Room, place: Point, faces: Sequence[Face]) -> FromTo | None:
    """The stretch across the joists, inside the rim, in which no face lies in the block's way and
    that is nearest to a place; of two as near the one at the lesser place. Only those count from
    which a block may reach to the place."""
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
    """The stretches across the joists in which no face lies in the block's way."""
    start, end = gap
    for low, high in sorted([(min(a[0], b[0]), max(a[0], b[0])) for a, b, _ in faces]):
        if low > start + TOUCH:
            yield start, low
        start = max(start, high)
    if end > start + TOUCH:
        yield start, end
