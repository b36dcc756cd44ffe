"""Core: whether lines in plan meet where they should not: rails of a level, or edges of an outline.

Each function returns two lines that do, as their places in the row.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from typing import TypeAlias

import shapely

from service.core.measure import TOUCH, Point

Segment: TypeAlias = tuple[Point, Point]


def first_meeting(
    segments: Sequence[Segment], joints: Sequence[frozenset[object]] | None = None
) -> tuple[int, int] | None:
    """Two of the segments that touch or cross, by their places in the row; None where no two do.

    joints: what each segment ends in; two that end in the same joint may touch there. The segments
    are swept along x.

    >>> first_meeting([((0, 0), (2, 2)), ((0, 2), (2, 0))])
    (0, 1)
    >>> first_meeting([((0, 0), (2, 2)), ((3, 0), (5, 0)), ((0, 1), (0, 2))])
    """
    ends = joints or [frozenset()] * len(segments)
    ordered = sorted(range(len(segments)), key=lambda i: _least_x(segments[i]))
    for place, i in enumerate(ordered):
        one, joint = segments[i], ends[i]
        end = max(one[0][0], one[1][0])
        for j in ordered[place + 1 :]:
            if _least_x(segments[j]) > end:
                break
            if not joint & ends[j] and _meet(one, segments[j]):
                return min(i, j), max(i, j)
    return None


def meeting_lines(lines: Sequence[shapely.LineString]) -> tuple[int, int] | None:
    """The first two lines of a closed row that meet other than as neighbours at their corner.

    None where no two do.

    >>> corners = [(0, 0), (2, 2), (2, 0), (0, 2)]
    >>> meeting_lines([shapely.LineString([corners[i - 1], corners[i]]) for i in range(4)])
    (1, 3)
    """
    found = shapely.STRtree(lines).query(lines, predicate="intersects")
    for i, j in sorted((i, j) for i, j in found.T.tolist() if i < j):
        neighbours = j - i in (1, len(lines) - 1)
        if not neighbours or lines[i].intersection(lines[j]).geom_type != "Point":
            return i, j
    return None


def touching_lines(lines: Sequence[shapely.LineString]) -> tuple[int, int] | None:
    """The first two lines of a closed row that come within TOUCH of each other.

    Neighbours count only where they do so other than at their corner. None where no two do.

    >>> def closed(*corners):
    ...     return [shapely.LineString([corners[i - 1], corners[i]]) for i in range(len(corners))]
    >>> touching_lines(closed((0, 0), (4, 0), (4, 4), (2, 1e-8), (0, 4)))
    (1, 3)
    >>> touching_lines(closed((0, 0), (4, 0), (4, 2), (8, 2), (6, 2 + 1e-8), (6, 4), (0, 4)))
    (3, 4)
    """
    for (i, one), (j, two) in combinations(enumerate(lines), 2):
        if j - i in (1, len(lines) - 1):
            # Neighbours touch where one is folded back onto the other.
            free = {*one.coords} ^ {*two.coords}
            touch = any(
                max(corner.distance(one), corner.distance(two)) <= TOUCH
                for corner in map(shapely.Point, free)
            )
        else:
            touch = one.distance(two) <= TOUCH
        if touch:
            return i, j
    return None


def _least_x(segment: Segment) -> float:
    return min(segment[0][0], segment[1][0])


def _meet(one: Segment, two: Segment) -> bool:
    """Whether two closed segments share a point: boxes overlap, and each straddles the other."""
    (a, b), (c, d) = one, two
    if max(a[1], b[1]) < min(c[1], d[1]) or max(c[1], d[1]) < min(a[1], b[1]):
        return False
    if max(a[0], b[0]) < min(c[0], d[0]) or max(c[0], d[0]) < min(a[0], b[0]):
        return False
    return _side(a, b, c) * _side(a, b, d) <= 0 and _side(c, d, a) * _side(c, d, b) <= 0


def _side(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
