"""Core: where and how an end of a block is cut (method 11); `cut_end` is the main entry.

Places are across and along the joists; a block runs across them. A block never reaches into timber.
Its end is cut along the face that it meets, straight from edge to edge where the room ends in a
point or a bow, or square where a corner of the rim reaches into its way.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple, TypeAlias

from service.core.measure import TOUCH, Length, Point

OPEN_SHARE: Final = 1 / 48
"""An end bears on the rim where the gap between them is at most this share of the block's width, as
the curve of a bow leaves it."""
STEEPEST: Final = math.tan(math.radians(60.0)) + TOUCH
"""The furthest that an end is cut off square, as distance across for each unit along the joists:
hardly any saw goes further, and a thinner wedge splits."""


class Face(NamedTuple):
    """A face of timber from corner to corner, each given by its places across and along the joists.

    turns: whether the timber turns at its start, and whether at its end. It turns where the next
    face runs back along the joists, or where an end can be cut along only one of the two faces
    (STEEPEST).
    """

    start: Point
    end: Point
    turns: tuple[bool, bool] = (True, True)


Span: TypeAlias = tuple[Length, Length, Length, Length]
"""A face as its lesser and its greater place along, then its places across at these two."""


class Cut(NamedTuple):
    """A straight cut of an end.

    middle: its place across at the middle of the block's width. slope: how far it goes across the
    joists for each unit along them.
    """

    middle: Length
    slope: float

    def at(self, along: Length) -> Length:
        """Place across of the cut. along: from the block's middle, along the joists."""
        return self.middle + self.slope * along


class Bearing(NamedTuple):
    """How an end bears on timber.

    is_flush: with at least half its width. is_tied: with at least half its width or with both
    corners.
    """

    is_flush: bool
    is_tied: bool


def cut_end(
    half: Length, joist: Length, clear: Length, middle: Length, faces: Sequence[Face]
) -> tuple[Cut, Bearing]:
    """The cut of a block's end toward greater places across, and how that end bears.

    Places along are from the block's middle.

    half: half the block's width.
    joist: place across of the joist's face there, or of the end of the deck.
    clear: place across at which the stretch with nothing in the block's way ends.
    middle: middle of that stretch, which no cut reaches back to.
    faces: parts of the rim's faces between the block's edges.
    """
    if joist - clear <= TOUCH:
        return Cut(joist, 0.0), Bearing(True, True)
    # A cut lies between the end of the clear stretch and the furthest that the steepest one goes.
    near, far = clear - TOUCH, clear + 2 * half * STEEPEST + TOUCH
    beyond = [
        face
        for face in faces
        if (face[0][0] > near or face[1][0] > near) and (face[0][0] < far or face[1][0] < far)
    ]
    beyond.append(Face((joist, -half), (joist, half)))
    alongs = sorted({end[1] for face in beyond for end in face[:2]})
    spans = list(_across(beyond))
    reaches = [(y, _reach(spans, y)) for y in alongs]
    cuts = [Cut(clear, 0.0), *_sloped(half, reaches, beyond)]
    cuts.sort(key=lambda cut: (round(cut.middle, 6), -round(abs(cut.slope), 9)), reverse=True)
    best = next(cut for cut in cuts if _is_made(cut, reaches, half, middle))
    is_flush = _bears(best, alongs, spans, joist, half)
    meets = all(reach - best.at(y) <= TOUCH for y, reach in (reaches[0], reaches[-1]))
    return best, Bearing(is_flush, is_flush or meets)


def _across(faces: Iterable[Face]) -> Iterator[Span]:
    """Faces that may stop a block.

    A face that runs straight across the joists is left out, as its ends lie on the faces beside it.
    """
    for (x0, y0), (x1, y1), _ in faces:
        if y1 - y0 > TOUCH:
            yield y0, y1, x0, x1
        elif y0 - y1 > TOUCH:
            yield y1, y0, x1, x0


def _reach(spans: Iterable[Span], along: Length) -> Length:
    """Place across of the nearest face at a place along; infinity where there is no face."""
    reach = math.inf
    for y0, y1, x0, x1 in spans:
        if y0 - TOUCH <= along <= y1 + TOUCH:
            share = (along - y0) / (y1 - y0)
            share = 0.0 if share < 0.0 else 1.0 if share > 1.0 else share
            x = x0 + (x1 - x0) * share
            if x < reach:
                reach = x
    return reach


def _sloped(half: Length, reaches: Sequence[Point], faces: Sequence[Face]) -> Iterator[Cut]:
    """Cuts along each face, then the straight cut between the reaches at the block's two edges.

    reaches: places along, each with the place across of the nearest face there.
    """
    for (x0, y0), (x1, y1), _ in faces:
        if abs(y1 - y0) > TOUCH:
            slope = (x1 - x0) / (y1 - y0)
            yield Cut(x0 - slope * y0, slope)
    (_, first), (_, last) = reaches[0], reaches[-1]
    yield Cut((first + last) / 2, (last - first) / (2 * half))


def _is_made(cut: Cut, reaches: Sequence[Point], half: Length, middle: Length) -> bool:
    """Whether a cut can be sawn, leaves the block clear of all timber and lies past `middle`."""
    if abs(cut.slope) > STEEPEST or min(cut.at(-half), cut.at(half)) < middle:
        return False
    at, slope = cut
    return all(at + slope * y <= reach + TOUCH for y, reach in reaches)


def _bears(
    cut: Cut, alongs: Sequence[Length], spans: Sequence[Span], joist: Length, half: Length
) -> bool:
    """Whether an end bears on timber with at least half its width.

    It has to touch a joist; off a rim it may be as far as the curve of a bow leaves it
    (OPEN_SHARE). alongs: places along between which all faces are straight.
    """
    bearing = 0.0
    for first, last in pairwise(alongs):
        along = (first + last) / 2
        reach = _reach(spans, along)
        most = TOUCH if reach > joist - TOUCH else OPEN_SHARE * 2 * half
        bearing += last - first if reach - cut.at(along) <= most else 0.0
    return bearing > half - TOUCH
