"""Drawings: points, in the deck's unit or in mm: between two, moved from one, around many."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TypeAlias

import shapely

from service.core.measure import Length, Point

Corners: TypeAlias = tuple[Point, Point, Point, Point]
"""The corners of a rectangle, counter-clockwise from its lower left one."""


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


def extent(points: Iterable[Point]) -> tuple[Point, Point]:
    """The lower left and the upper right corner of the least upright rectangle around points.

    >>> extent([(3.0, 1.0), (0.0, 2.0)])
    ((0.0, 1.0), (3.0, 2.0))
    """
    xs, ys = zip(*points, strict=True)
    return (min(xs), min(ys)), (max(xs), max(ys))


def rectangle(low: Point, high: Point) -> Corners:
    """The corners of an upright rectangle from its lower left and its upper right one.

    >>> rectangle((0.0, 0.0), (2.0, 1.0))
    ((0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0))
    """
    (x0, y0), (x1, y1) = low, high
    return (x0, y0), (x1, y0), (x1, y1), (x0, y1)


def points_of(shape: shapely.Geometry) -> tuple[Point, ...]:
    """The points of a line or a ring."""
    return tuple((x, y) for x, y in shapely.get_coordinates(shape).tolist())
