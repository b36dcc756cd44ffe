"""Drawings: points and upright rectangles, in the deck's unit or in mm."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple, TypeAlias

import shapely

from service.core.measure import Length, Point

Corners: TypeAlias = tuple[Point, Point, Point, Point]
"""The corners of a rectangle, counter-clockwise from its lower left one."""


class Rect(NamedTuple):
    """An upright rectangle, by its lower left and its upper right corner."""

    low: Point
    high: Point

    @property
    def size(self) -> tuple[Length, Length]:
        """Width and height."""
        (x0, y0), (x1, y1) = self
        return x1 - x0, y1 - y0

    @property
    def sides(self) -> tuple[Length, Length, Length, Length]:
        """The left, lower, right and upper side."""
        return (*self.low, *self.high)

    @property
    def corners(self) -> Corners:
        """The corners, counter-clockwise from the lower left one.

        >>> Rect((0.0, 0.0), (2.0, 1.0)).corners
        ((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0))
        """
        (x0, y0), (x1, y1) = self
        return (x0, y0), (x1, y0), (x1, y1), (x0, y1)

    def grown(self, by: Length) -> Rect:
        """A rectangle that reaches so much further on every side."""
        (x0, y0), (x1, y1) = self
        return Rect((x0 - by, y0 - by), (x1 + by, y1 + by))

    def has(self, point: Point) -> bool:
        """Whether a point lies in the rectangle."""
        (x0, y0), (x1, y1), (x, y) = *self, point
        return x0 <= x <= x1 and y0 <= y <= y1

    def holds(self, other: Rect) -> bool:
        """Whether another rectangle lies wholly in this one."""
        return self.has(other.low) and self.has(other.high)


def between(start: Point, end: Point, part: float = 0.5) -> Point:
    """The point a share of the way from one point to another."""
    return start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part


def moved(point: Point, direction: Point, on: Length, right: Length = 0.0) -> Point:
    """A point moved along a direction, a unit vector, and to the right of it.

    >>> moved((5.0, 5.0), (0.0, 1.0), 2.0, 3.0)
    (8.0, 7.0)
    """
    (x, y), (ux, uy) = point, direction
    return x + ux * on + uy * right, y + uy * on - ux * right


def extent(points: Iterable[Point]) -> Rect:
    """The least upright rectangle around points.

    >>> extent([(3.0, 1.0), (0.0, 2.0)])
    Rect(low=(0.0, 1.0), high=(3.0, 2.0))
    """
    xs, ys = zip(*points, strict=True)
    return Rect((min(xs), min(ys)), (max(xs), max(ys)))


def points_of(shape: shapely.Geometry) -> tuple[Point, ...]:
    """The points of a line or a ring."""
    return tuple((x, y) for x, y in shapely.get_coordinates(shape).tolist())
