"""Drawings, plans: the lines that runs and edges are measured on, and whose name stands by which.

A name is read as that of the line it is nearest to: it stands nearer to its own than to all others,
or is led to it by a line of its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final, TypeAlias

import shapely

from service.core.measure import Point
from service.drawings.boxes import box_of
from service.drawings.marks import Stroke, Words, line
from service.drawings.plans.placing import FAR
from service.drawings.scales import Scale

NEARER: Final = 0.6
"""In mm, how much nearer a name is to its own line than to another one at the least."""
FREE: Final = 0.4
"""In mm, from a line to words that do not lie over it."""

Piece: TypeAlias = tuple[Point, Point]


@dataclass(eq=False, slots=True)
class Lines:
    """Lines that are drawn so far, and names with the line that each belongs to."""

    scale: Scale
    _drawn: list[shapely.LineString] = field(default_factory=list)
    _names: list[shapely.Polygon] = field(default_factory=list)
    _own: list[shapely.LineString] = field(default_factory=list)
    _off: list[float] = field(default_factory=list)

    def draw(self, pieces: Iterable[Piece]) -> None:
        """Lines that other names are to keep off."""
        self._drawn += map(shapely.LineString, pieces)

    def name(self, words: Words, own: Piece) -> None:
        """A name, and the line that it belongs to, which need not be drawn yet."""
        place, its_line = shapely.Polygon(box_of(words, self.scale)), shapely.LineString(own)
        self._names.append(place)
        self._own.append(its_line)
        self._off.append(place.distance(its_line))

    def is_own(self, words: Words, own: Piece) -> bool:
        """Whether words would be near to a line, and nearer than to all those drawn."""
        place = shapely.Polygon(box_of(words, self.scale))
        off = place.distance(shapely.LineString(own))
        return off <= self._mm(FAR) and self._are_off(place, off, self._drawn)

    def is_free(self, words: Words, own: Piece) -> bool:
        """Whether words would lie over no line, those drawn and one that is to be."""
        place = shapely.Polygon(box_of(words, self.scale))
        gaps = shapely.distance([*self._drawn, shapely.LineString(own)], place)
        return bool(gaps.min() >= self._mm(FREE))

    def keeps_off(self, pieces: Sequence[Piece]) -> bool:
        """Whether lines would leave every name nearest to its own."""
        if not self._names:
            return True
        drawn = shapely.MultiLineString(list(pieces))
        gaps = shapely.distance(self._names, drawn).tolist()
        return all(
            gap >= off + self._mm(NEARER) or off > self._mm(FAR)
            for gap, off in zip(gaps, self._off, strict=True)
        )

    def leaders(self) -> Iterator[Stroke]:
        """A line from each name to what it belongs to, where it is far off or another is nearer."""
        for place, own, off in zip(self._names, self._own, self._off, strict=True):
            others = [each for each in self._drawn if not each.equals(own)]
            if off > self._mm(FAR) or not self._are_off(place, off, others):
                ends = shapely.get_coordinates(shapely.shortest_line(own, place)).tolist()
                (x0, y0), (x1, y1) = ends
                yield line("dimension", (x0, y0), (x1, y1))

    def _are_off(
        self, place: shapely.Polygon, off: float, lines: Sequence[shapely.LineString]
    ) -> bool:
        if not lines:
            return True
        return bool(shapely.distance(lines, place).min() >= off + self._mm(NEARER))

    def _mm(self, millimetres: float) -> float:
        return self.scale.of_paper(millimetres)
