"""Core: where obstructions cut a railing line, and where the base of a post meets them (method 1).

`interruptions_of` gives the cuts of a side; `Obstructions` finds the obstructions of any level by
place.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import shapely

from service.core.line.sides import Side
from service.core.line.strips import Strip, base_strip
from service.core.measure import DRAWN, TOUCH, Degrees, FromTo, Length, Point
from service.core.records.deck import Level, Obstruction
from service.core.records.kit import Kit


class Obstructions:
    """The obstructions of any number of levels, found by place."""

    def __init__(self, levels: Iterable[Level]) -> None:
        self._held = [(level, one) for level in levels for one in level.obstructions]

    @cached_property
    def _tree(self) -> shapely.STRtree:
        return shapely.STRtree([one.shape for _, one in self._held])

    def __bool__(self) -> bool:
        return bool(self._held)

    def met(self, shape: shapely.Polygon) -> Iterator[tuple[Level, Obstruction]]:
        """The obstructions that overlap a shape, each with its level, in order.

        One that only touches the shape is left out.
        """
        for i in sorted(self._tree.query(shape, predicate="intersects").tolist()):
            if shape.intersection(self._tree.geometries[i]).area > TOUCH:
                yield self._held[i]


@dataclass(frozen=True, slots=True)
class Interruption:
    """A cut of a side's line by an obstruction, or by several that touch each other along the line.

    first, last: where a strip one post wide along the line first and last touches them.
    normals: of the faces that are met first and last, each as its turn to the left from the side's
    heading.
    parts: each obstruction, with where it begins and ends along the side.
    """

    first: Length
    last: Length
    normals: tuple[Degrees, Degrees]
    parts: tuple[tuple[FromTo, Obstruction], ...]

    @property
    def name(self) -> str:
        """The names of all its obstructions."""
        return " and ".join(one.name for _, one in self.parts)

    @property
    def obstructions(self) -> tuple[Obstruction, ...]:
        """All its obstructions."""
        return tuple(one for _, one in self.parts)


def interruptions_of(
    kit: Kit, side: Side, obstructions: Sequence[Obstruction]
) -> list[Interruption]:
    """Every cut of a side's line by obstructions, in order along it."""
    if not obstructions:
        return []
    found = []
    half, setback = kit.post.width / 2, kit.post.setback
    strip = Strip(side, setback - half, setback + half)
    for obstruction, reach in zip(obstructions, strip.reaches(obstructions), strict=True):
        if reach is None:
            continue
        first, last = (
            _face_normal(
                [(t, y - setback) for t, y in side.flat(at, obstruction.points)], half, sense
            )
            for at, sense in zip(reach, (-1, 1), strict=True)
        )
        found.append(Interruption(*reach, (first, last), ((reach, obstruction),)))
    return _merge(sorted(found, key=lambda cut: (cut.first, cut.last)))


def _merge(cuts: list[Interruption]) -> list[Interruption]:
    merged: list[Interruption] = []
    for cut in cuts:
        if merged and cut.first <= merged[-1].last + DRAWN:
            held = merged.pop()
            later = cut if cut.last > held.last else held
            normals = held.normals[0], later.normals[1]
            cut = Interruption(held.first, later.last, normals, held.parts + cut.parts)
        merged.append(cut)
    return merged


def _face_normal(local: list[Point], half: Length, sense: int) -> Degrees:
    """Normal of the face that the line meets, as its turn to the left from the side's heading.

    local: the obstruction's corners as (along, inward of the line). half: half the breadth of the
    strip. sense: -1 where the line comes from before the obstruction, 1 where it comes from after
    it. The face is the one that the centre line meets. If that meets none, it is the one that
    reaches furthest toward where the line comes from, among the faces within the strip that look
    that way.
    """
    turning = sense if shapely.LinearRing(local).is_ccw else -sense
    best: tuple[int, float, Degrees, Degrees] | None = None
    for start, end in zip(local, local[1:] + local[:1], strict=True):
        (t0, y0), (t1, y1) = sorted((start, end), key=lambda point: point[1])
        looks_away = (end[1] - start[1]) * turning < 0
        if looks_away or y1 - y0 <= TOUCH or y0 >= half or y1 <= -half:
            continue
        at = min(max(0.0, y0), y1)
        t = t0 + (t1 - t0) * (at - y0) / (y1 - y0)
        normal = math.degrees(math.atan2(t0 - t1, y1 - y0))
        # Two faces that meet in the corner that reaches furthest reach equally far.
        key = (0 if at == 0.0 else 1, round(-sense * t, 6), abs(normal), normal)
        best = key if best is None or key < best else best
    return best[3] if best is not None else 0.0


def post_reaches(kit: Kit, side: Side, obstructions: Sequence[Obstruction]) -> list[FromTo]:
    """From where to where along a side each obstruction would meet a post or its base.

    Obstructions that would meet neither are left out.
    """
    strip = base_strip(kit, side)
    return [reach for reach in strip.reaches(obstructions) if reach is not None]
