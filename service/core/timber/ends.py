"""Core: where and how an end of a block is cut (method 11).

Places are across and along the joists. A block never reaches into timber: an end is cut along the
face that it meets, or straight between its edges where the room ends in a point or a bow, or square
where a corner of the rim reaches into its way.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Final, NamedTuple, TypeAlias

from service.core.measure import TOUCH, Length, Point

OPEN_SHARE: Final = 1 / 48
"""An end bears on the rim where no more than this share of the block's width is open between: the
curve of a bow is."""
STEEPEST: Final = math.tan(math.radians(60.0)) + TOUCH
"""How far off square an end is cut at most, as so much across for each unit along: hardly a saw
goes further, and a thinner wedge splits."""


class Face(NamedTuple):
    """A face of timber from corner to corner, each by its places across and along the joists.

    turns: at its start, and at its end, whether the face that follows there runs back along the
    joists, or only one of the two is within STEEPEST, so that an end can be cut along it.
    """

    start: Point
    end: Point
    turns: tuple[bool, bool] = (True, True)


Span: TypeAlias = tuple[Length, Length, Length, Length]
"""A face from its lesser to its greater place along, then its places across there."""


class Line(NamedTuple):
    """A straight cut: where it lies at the block's middle, and how far it goes across the joists
    for each unit along them."""

    middle: Length
    slope: float

    def at(self, along: Length) -> Length:
        """Where it lies so far along from the middle."""
        return self.middle + self.slope * along


class Bearing(NamedTuple):
    """How an end bears on timber. is_flush: with half its width or more; is_tied: so, or with both
    its corners."""

    is_flush: bool
    is_tied: bool


def cut_end(
    half: Length, joist: Length, clear: Length, middle: Length, faces: Sequence[Face]
) -> tuple[Line, Bearing]:
    """The cut of the end toward greater places across, and how it bears.

    joist: the face of the joist there; clear: where the stretch ends in which nothing is in the way
    of the block; middle: of that stretch, which no cut reaches back to.
    """
    if joist - clear <= TOUCH:
        return Line(joist, 0.0), Bearing(True, True)
    # Where a cut can be: from where the stretch ends as far as the steepest goes.
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
    cuts = [Line(clear, 0.0), *_sloped(half, reaches, beyond)]
    cuts.sort(key=lambda cut: (round(cut.middle, 6), -round(abs(cut.slope), 9)), reverse=True)
    best = next(cut for cut in cuts if _is_made(cut, reaches, half, middle))
    is_flush = _bears(best, alongs, spans, joist, half)
    meets = all(reach - best.at(y) <= TOUCH for y, reach in (reaches[0], reaches[-1]))
    return best, Bearing(is_flush, is_flush or meets)


def _across(faces: Iterable[Face]) -> Iterator[Span]:
    """Faces that a block may come to, in its way: one that goes straight across has its ends on
    those that it lies between."""
    for (x0, y0), (x1, y1), _ in faces:
        if y1 - y0 > TOUCH:
            yield y0, y1, x0, x1
        elif y0 - y1 > TOUCH:
            yield y1, y0, x1, x0


def _reach(spans: Iterable[Span], along: Length) -> Length:
    """How far across the nearest of the faces lies, at a place along."""
    reach = math.inf
    for y0, y1, x0, x1 in spans:
        if y0 - TOUCH <= along <= y1 + TOUCH:
            share = (along - y0) / (y1 - y0)
            share = 0.0 if share < 0.0 else 1.0 if share > 1.0 else share
            x = x0 + (x1 - x0) * share
            if x < reach:
                reach = x
    return reach


def _sloped(half: Length, reaches: Sequence[Point], faces: Sequence[Face]) -> Iterator[Line]:
    """Cuts along each face, and that from edge to edge."""
    for (x0, y0), (x1, y1), _ in faces:
        if abs(y1 - y0) > TOUCH:
            slope = (x1 - x0) / (y1 - y0)
            yield Line(x0 - slope * y0, slope)
    (_, first), (_, last) = reaches[0], reaches[-1]
    yield Line((first + last) / 2, (last - first) / (2 * half))


def _is_made(cut: Line, reaches: Sequence[Point], half: Length, middle: Length) -> bool:
    """Whether a cut can be sawn, and leaves the block clear of all timber."""
    if abs(cut.slope) > STEEPEST or min(cut.at(-half), cut.at(half)) < middle:
        return False
    at, slope = cut
    return all(at + slope * y <= reach + TOUCH for y, reach in reaches)


def _bears(
    cut: Line, alongs: Sequence[Length], spans: Sequence[Span], joist: Length, half: Length
) -> bool:
    """Whether an end bears on timber with half its width: on a joist close, on a rim as close as a
    bow lies to it."""
    bearing = 0.0
    for first, last in pairwise(alongs):
        along = (first + last) / 2
        reach = _reach(spans, along)
        most = TOUCH if reach > joist - TOUCH else OPEN_SHARE * 2 * half
        bearing += last - first if reach - cut.at(along) <= most else 0.0
    return bearing > half - TOUCH
