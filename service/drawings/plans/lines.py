"""Drawings, plans: the lines that runs and edges are measured on, and the names that belong to
them.

A reader takes a name as that of the line nearest to it. So each name stands nearer to its own line
than to all others, or a line of its own leads to it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final, NamedTuple, TypeAlias

import shapely

from service.core.measure import Point
from service.drawings.boxes import box_of
from service.drawings.marks import Stroke, Words
from service.drawings.points import points_of
from service.drawings.scales import Scale

FAR: Final = 2.0
"""In mm, how much further off than wanted a name may be before it needs a line to what it names."""
NEARER: Final = 0.6
"""In mm, how much nearer a name is to its own line than to any other, at the least."""
FREE: Final = 0.4
"""In mm, the least distance from a line to words that do not lie over it."""
ALONG: Final = 0.01
"""In mm, how near to a line anything lies that counts as lying along it."""

Piece: TypeAlias = tuple[Point, Point]


class LineWords(NamedTuple):
    """The words that are written along a line, or led to it.

    own: the line. name: of what is measured on it, without its length.
    """

    words: Words
    own: Piece
    name: str


class _Named(NamedTuple):
    """A name as it is written, and the line that it belongs to.

    place: what its words take up. off: the distance between them, in the deck. is_led: whether a
    line of its own leads to it.
    """

    words: Words
    place: shapely.Polygon
    own: shapely.LineString
    off: float
    is_led: bool

    def leader(self) -> Stroke:
        """The line that leads from the one to the other."""
        start, end = points_of(shapely.shortest_line(self.own, self.place))
        return Stroke("dimension", (start, end), leads_to=self.words)


@dataclass(eq=False, slots=True)
class Lines:
    """The lines drawn so far, and the names with the line that each belongs to.

    line_words: the words of lines that something is measured on.
    """

    scale: Scale
    line_words: list[LineWords] = field(default_factory=list)
    _drawn: list[shapely.LineString] = field(default_factory=list)
    _names: list[_Named] = field(default_factory=list)
    _as_one: shapely.MultiLineString | None = None

    def draw(self, pieces: Iterable[Piece]) -> None:
        """Record lines that other names are to keep off."""
        self._drawn += map(shapely.LineString, pieces)
        self._as_one = None

    def add_name(self, words: Words, own: Piece) -> Stroke | None:
        """Record a name and the line that it belongs to, which need not be drawn yet.

        Returns the line that leads from one to the other; None where they are near to each other.
        """
        place, its_line = shapely.Polygon(box_of(words, self.scale)), shapely.LineString(own)
        off = place.distance(its_line)
        named = _Named(words, place, its_line, off, off > self._mm(FAR))
        self._names.append(named)
        return named.leader() if named.is_led else None

    def others(self, own: Piece) -> Lines:
        """The lines drawn so far, without those that lie along a given one."""
        along = shapely.covered_by(self._drawn, shapely.LineString(own).buffer(self._mm(ALONG)))
        left = [each for each, is_own in zip(self._drawn, along, strict=True) if not is_own]
        return Lines(self.scale, _drawn=left)

    def owned_by(self, own: Piece) -> Callable[[Words], bool]:
        """A test whether words would be near to a line, and nearer than to any drawn so far."""
        its_line, others = shapely.LineString(own), self._together()

        def is_own(words: Words) -> bool:
            place = shapely.polygons(box_of(words, self.scale))
            off = shapely.distance(its_line, place)
            if off > self._mm(FAR):
                return False
            return not shapely.dwithin(others, place, off + self._mm(NEARER))

        return is_own

    def free_of(self, own: Piece) -> Callable[[Words], bool]:
        """A test whether words would lie over no line: none drawn so far, nor the given one."""
        its_line, drawn = shapely.LineString(own), self._together()
        near = self._mm(FREE)

        def is_free(words: Words) -> bool:
            place = shapely.polygons(box_of(words, self.scale))
            return not (
                shapely.dwithin(its_line, place, near) or shapely.dwithin(drawn, place, near)
            )

        return is_free

    def keeps_off(self, pieces: Sequence[Piece]) -> bool:
        """Whether every name would still be nearest to its own line if these pieces were drawn."""
        if not self._names:
            return True
        drawn = shapely.multilinestrings(shapely.linestrings(pieces))
        asked = [named.off + self._mm(NEARER) for named in self._names]
        places = [named.place for named in self._names]
        near = shapely.dwithin(places, drawn, asked).nonzero()[0].tolist()
        return all(self._names[i].is_led or places[i].distance(drawn) >= asked[i] for i in near)

    def leaders(self) -> Iterator[Stroke]:
        """A line from each name to its own line where another is nearer and none leads to it."""
        for named in self._names:
            others = [each for each in self._drawn if not each.equals(named.own)]
            if named.is_led or not others:
                continue
            if shapely.distance(others, named.place).min() < named.off + self._mm(NEARER):
                yield named.leader()

    def _together(self) -> shapely.MultiLineString:
        """The lines drawn so far as one shape, prepared for many queries."""
        if self._as_one is None:
            self._as_one = shapely.MultiLineString(self._drawn)
            shapely.prepare(self._as_one)
        return self._as_one

    def _mm(self, millimetres: float) -> float:
        return self.scale.of_paper(millimetres)
