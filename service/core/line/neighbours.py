"""Core: what lies beyond each edge of a level: the ground, or the surface of another level.

`drops_along` gives the drops along an edge (contract, section 3: drops; change of level). Where the
caller leaves an edge's drops out and another level's surface lies just beyond it, or as far out as
the code looks for the drop, the drop is the difference of the two levels' drops. The ground stays
as far down as it is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations, pairwise
from typing import Any, Final, TypeAlias

import shapely

from service.core.frozen import record
from service.core.line.arcs import ArcSide
from service.core.line.sides import EdgeSpec
from service.core.measure import TOUCH, FromTo, Length, Point, Unit, area_text, toward
from service.core.problems import Problem
from service.core.records.deck import Beneath, Drops, Level

Box: TypeAlias = tuple[Length, Length, Length, Length]
"""Least x and y, then greatest x and y."""
Depth: TypeAlias = tuple[Length, Length, Length | None]
"""A stretch along an edge and how far down the surface beyond it lies; None where no surface covers
the ground there, so that only what is known of the edge itself counts."""

BEYOND: Final = 1 / 8
"""How far beyond an edge, in inches, the next surface is looked for: less than any gap that people
step across, more than a survey's rounding."""
OVERHEAD: Final = 80
"""How far, in inches, a surface may lie above another and still close the way down beside it. A
surface that lies higher, by a headroom, is overhead: people walk, and fall, under it."""
CLIP_MARGIN: Final = 3
"""How far the kept part of an outline goes beyond a box each way, in sizes of the box."""
DENSE_CORNERS: Final = 1000
"""Number of an outline's corners above which only a part of it is looked at and kept."""
NARROW_FACTOR: Final = 4
"""Length along an edge, in multiples of BEYOND, below which bare ground still counts as the surface
beside it: the sliver that is left where a surface ends askew to the edge, at its corner. Where the
code looks for the drop further out, this goes for surfaces as high or higher alone, which close the
way down beside them."""
THIN_STRIP: Final = 1e-3
"""Breadth of the strip that is looked at where the code does not look for the drop further out."""


@dataclass(eq=False)
class Surface:
    """A level's walking surface in plan."""

    level: Level
    outline: shapely.Polygon
    _part: tuple[Box, shapely.Geometry] | None = field(default=None, init=False, repr=False)
    """The part of the outline that was last asked about, with the box that it fills."""

    @property
    def drop(self) -> Length | None:
        """Drop from this surface to what lies below its level; None where it is not given."""
        return self.level.drops.drop

    def rise_over(self, other: Surface) -> Length:
        """How far this surface lies above another; 0 where the drop of either is not given."""
        return other.level.rise_to(self.level) or 0.0

    @cached_property
    def box(self) -> Box:
        """The box around the surface.

        Asking for it prepares the outline for many questions.
        """
        shapely.prepare(self.outline)
        low_x, low_y, high_x, high_y = self.outline.bounds
        return low_x, low_y, high_x, high_y

    def about(self, strip: shapely.Polygon, near: Length) -> shapely.Geometry:
        """The part of the surface that lies about a strip, with all that is within `near` of it.

        Where the surface covers all of the strip, this is the strip itself, as the same object.
        """
        if self.outline.contains_properly(strip):
            return strip
        low_x, low_y, high_x, high_y = strip.bounds
        # Wider by more, so that no side of the clipped part falls on one of the strip's.
        far = near + 1
        box = low_x - far, low_y - far, high_x + far, high_y + far
        return self._around(box).intersection(shapely.box(*box))

    def _around(self, box: Box) -> shapely.Geometry:
        """The outline; where it has over DENSE_CORNERS corners, a part that goes far beyond a box.

        The part is kept, since the edges that are asked about next lie in it, too.
        """
        if shapely.get_num_coordinates(self.outline) <= DENSE_CORNERS:
            return self.outline
        if self._part is None or not _holds(self._part[0], box):
            far = CLIP_MARGIN * max(box[2] - box[0], box[3] - box[1])
            wide = box[0] - far, box[1] - far, box[2] + far, box[3] + far
            part = shapely.clip_by_rect(self.outline, *wide)
            # Clipping is many times quicker than intersecting, but may leave an invalid shape.
            is_shape = part.is_valid and part.area > 0
            self._part = wide, part if is_shape else self.outline.intersection(shapely.box(*wide))
        return self._part[1]


@record()
class Reach:
    """A stretch of an edge and the drops there.

    start, end: from the edge's first corner, counter-clockwise.
    """

    start: Length
    end: Length
    drops: Drops


def check_overlaps(surfaces: Sequence[Surface], unit: Unit) -> Iterator[Problem]:
    """A problem for each pair of levels at one height that overlap in plan."""
    for one, two in combinations(surfaces, 2):
        if one.drop is None or two.drop is None or abs(one.drop - two.drop) > TOUCH:
            continue
        shared = one.outline.intersection(two.outline).area
        if shared > TOUCH:
            yield Problem(
                two.level.outline.pointer,
                "levels_overlap",
                f"Levels {one.level.id} and {two.level.id} are at one height and overlap in"
                f" plan by {area_text(shared, unit)}; move one, or give them different drops.",
            )


@record()
class EdgeInPlan:
    """An edge, for looking at what lies beyond it.

    start, end: its corners, counter-clockwise; places along it are measured from `start`. bow: its
    own side where it is bowed, else None.
    """

    start: Point
    end: Point
    bow: ArcSide | None = None

    @property
    def length(self) -> Length:
        """Length of the edge, along its arc where it is bowed."""
        return math.dist(self.start, self.end) if self.bow is None else self.bow.lengths[0]

    def box(self, low: Length, high: Length) -> Box:
        """A box around all that the edge's strip from `low` to `high` covers."""
        corners = self._corners(low, high) if self.bow is None else [self.start, self.end]
        spare = TOUCH if self.bow is None else abs(self.bow.rise) + high
        xs, ys = zip(*corners, strict=True)
        return min(xs) - spare, min(ys) - spare, max(xs) + spare, max(ys) + spare

    def strip(self, low: Length, high: Length) -> shapely.Polygon:
        """The ground from `low` to `high` beyond the edge, square to it.

        At an inward bow it goes no further than the bow's centre, where all lines square to the
        edge meet.
        """
        if self.bow is not None:
            if self.bow.turning < 0:
                low, high = min(low, 0.5 * self.bow.radius), min(high, 0.99 * self.bow.radius)
            return self.bow.band(-low, -high, past=0.0)
        return shapely.Polygon(self._corners(low, high))

    def _corners(self, low: Length, high: Length) -> list[Point]:
        """Corners of the strip beyond a straight edge."""
        ux, uy = self._along
        ends = (self.start, low), (self.end, low), (self.end, high), (self.start, high)
        return [(x + uy * off, y - ux * off) for (x, y), off in ends]

    def spans(self, shared: shapely.Geometry) -> Iterator[FromTo]:
        """From where to where along the edge each part of a shape lies beyond it.

        Parts without breadth, and those no longer than TOUCH along the edge, are left out.
        """
        for part in _broad_parts(shared):
            low, high = self._ends(shapely.get_coordinates(part))
            if high - low > TOUCH:
                yield low, high

    @property
    def _along(self) -> Point:
        return toward(self.start, self.end)

    def _ends(self, points: Any) -> FromTo:
        """The least and the greatest place of some points along the edge.

        points: an array of rows of x and y.
        """
        off = (points - self.start) @ self._along if self.bow is None else self.bow.turns(points)
        least, greatest = points[off.argmin()].tolist(), points[off.argmax()].tolist()
        return self._place(*least), self._place(*greatest)

    def _place(self, x: Length, y: Length) -> Length:
        if self.bow is not None:
            return self.bow.on_edge(self.bow.locate((x, y))[0])
        ux, uy = self._along
        return (x - self.start[0]) * ux + (y - self.start[1]) * uy


def drops_along(
    spec: EdgeSpec,
    edge: EdgeInPlan,
    own: Surface,
    others: Sequence[Surface],
    beyond: FromTo,
    said: Drops,
) -> tuple[Reach, ...]:
    """The drops along an edge, stretch by stretch.

    At each place this is the deepest drop on the strip beyond the edge, square to it; it is 0 where
    a surface as high or higher is next to the edge.

    own: the surface that the edge bounds. others: every surface, `own` among them. beyond: from how
    far outside the edge to how far the strip goes. said: what the caller says lies below this edge
    itself; a drop that is given there holds all along it.
    """
    length = edge.length
    whole = (Reach(0.0, length, spec.drops),)
    if said.given or own.drop is None or len(others) < 2:
        return whole
    # Narrower by TOUCH, so that a surface that reaches from limit to limit covers the strip.
    beyond = beyond[0] + TOUCH, beyond[1] - TOUCH
    box = edge.box(*beyond)
    near = [other for other in others if other.drop is not None and _boxes_meet(box, other.box)]
    if all(other is own for other in near):
        return whole
    strip = edge.strip(*beyond)
    near = [other for other in near if other.outline.intersects(strip)]
    if all(other is own for other in near):
        return whole
    # Of an outline of thousands of chords, only the part about the edge is looked at.
    shapes = [(max(0.0, own.rise_over(other)), other.about(strip, beyond[0])) for other in near]
    flush: list[FromTo] = []
    if any(below <= TOUCH for below, _ in shapes):
        close = beyond[0], beyond[0] + THIN_STRIP
        next_to = edge.strip(*close)
        level_with = [
            (below, next_to if outline is strip else outline)
            for below, outline in shapes
            if below <= TOUCH
        ]
        closed = _depths(edge, next_to, level_with, close)
        flush = [(low, high) for low, high, below in closed if below is not None]
    depths = list(_depths(edge, strip, shapes, beyond))
    return _stretches(spec.drops, said.beneath, length, depths, flush)


def _depths(
    edge: EdgeInPlan,
    strip: shapely.Polygon,
    shapes: Sequence[tuple[Length, shapely.Geometry]],
    beyond: FromTo,
) -> Iterator[Depth]:
    """How far down the surface beyond an edge lies, stretch by stretch, by what covers its strip.

    shapes: the surfaces about the strip, each with how far below the edge it lies (0 if above).
    """
    left: shapely.Geometry = strip
    # Where surfaces lie over each other, the highest is the one that people fall onto.
    for below, outline in sorted(shapes, key=lambda each: each[0]):
        if outline is strip:
            yield from ((*span, below) for span in edge.spans(left))
            return
        shared = left.intersection(outline)
        yield from ((*span, below) for span in edge.spans(shared))
        left = shapely.MultiPolygon(_broad_parts(left.difference(outline)))
        if left.is_empty:
            return
    if beyond[1] > 4 * beyond[0]:
        # A gap that is narrow enough to step across is not fallen through.
        # Corners a last bit apart have no direction between them, which a mitre needs.
        left = shapely.remove_repeated_points(left, TOUCH)
        left = left.buffer(-beyond[0] / 2, join_style="mitre")
        left = left.buffer(beyond[0] / 2, join_style="mitre")
        yield from ((*span, None) for span in edge.spans(left))
        return
    for part in _broad_parts(left):
        for low, high in edge.spans(part):
            narrow = high - low < NARROW_FACTOR * beyond[0]
            yield low, high, _beside(part, shapes, beyond[0]) if narrow else None


def _beside(
    part: shapely.Geometry, shapes: Sequence[tuple[Length, shapely.Geometry]], near: Length
) -> Length | None:
    """How far below the edge a surface lies that is within `near` of all of a bare part.

    part: ground that no surface covers, as where a surface ends askew to the edge. The lowest
    counts where several surfaces are so near; None where none is.
    """
    below = [each for each, outline in shapes if part.within(outline.buffer(near))]
    return max(below, default=None)


def _broad_parts(shape: shapely.Geometry) -> list[shapely.Geometry]:
    """The parts of a shape that have breadth.

    Rounding leaves parts without breadth between two shapes, and GEOS may make invalid shapes of
    them.
    """
    parts = getattr(shape, "geoms", [shape])
    return [part for part in parts if part.area > TOUCH * part.length / 2]


def _holds(wide: Box, box: Box) -> bool:
    """Whether a box lies inside a wider one and touches none of its sides."""
    return wide[0] < box[0] and wide[1] < box[1] and box[2] < wide[2] and box[3] < wide[3]


def _boxes_meet(one: Box, two: Box) -> bool:
    return one[0] <= two[2] and two[0] <= one[2] and one[1] <= two[3] and two[1] <= one[3]


def _stretches(
    known: Drops,
    beneath: Beneath | None,
    length: Length,
    depths: Sequence[Depth],
    flush: Sequence[FromTo],
) -> tuple[Reach, ...]:
    """Stretches of an edge, parted wherever the drops along it change.

    At each place the drops are those to the deepest surface beyond it, or `known`, the drops of the
    edge itself; these hold where bare ground lies beyond the place and where they are no deeper
    than that surface. beneath: what is said of the edge, which holds where another level lies
    below. length: of the edge. flush: the stretches with no way down, whose drop is 0.
    """

    def at(place: Length) -> Drops:
        if any(start < place < end for start, end in flush):
            below = 0.0
        else:
            here = [below for start, end, below in depths if start < place < end]
            if not here or None in here:
                return known
            below = max(each for each in here if each is not None)
        if known.drop is not None and known.drop <= below:
            return known
        ground = known.drop if known.to_ground is None else known.to_ground
        return Drops(below, ground, below, beneath)

    places = [place for low, high, _ in depths for place in (low, high)]
    places += [place for span in flush for place in span]
    marks = [0.0]
    for place in sorted({length, *[min(max(place, 0.0), length) for place in places]}):
        if place > marks[-1] + TOUCH:
            marks.append(place)
    drops = [at((low + high) / 2) for low, high in pairwise(marks)]
    starts = [i for i, each in enumerate(drops) if i == 0 or each != drops[i - 1]]
    ends = [*[marks[i] for i in starts[1:]], length]
    return tuple([Reach(marks[i], end, drops[i]) for i, end in zip(starts, ends, strict=True)])


def touched(reaches: Sequence[Reach], low: Length, high: Length) -> list[Drops]:
    """The drops of each stretch of an edge that [low, high] along it overlaps."""
    return [r.drops for r in reaches if r.end > low + TOUCH and r.start < high - TOUCH]
