"""Core: whether any of a level's rails meet in plan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from service.core.measure import Point

Segment: TypeAlias = tuple[Point, Point]


def any_meet(
    segments: Sequence[Segment], joints: Sequence[frozenset[object]] | None = None
) -> bool:
    """Whether two of the segments touch or cross; a sweep along x.

    joints: what each ends in; two that end in the same joint may touch there.

    >>> any_meet([((0, 0), (2, 2)), ((0, 2), (2, 0))])
    True
    >>> any_meet([((0, 0), (2, 2)), ((3, 0), (5, 0)), ((0, 1), (0, 2))])
    False
    """
    ends = joints or [frozenset()] * len(segments)
    ordered = sorted(zip(segments, ends, strict=True), key=lambda one: _least_x(one[0]))
    for i, (one, joint) in enumerate(ordered):
        end = max(one[0][0], one[1][0])
        for two, other in ordered[i + 1 :]:
            if _least_x(two) > end:
                break
            if not joint & other and _meet(one, two):
                return True
    return False


def _least_x(segment: Segment) -> float:
    return min(segment[0][0], segment[1][0])


def _meet(one: Segment, two: Segment) -> bool:
    """Whether two closed segments share a point: their boxes do, and each straddles the other."""
    (a, b), (c, d) = one, two
    if max(a[1], b[1]) < min(c[1], d[1]) or max(c[1], d[1]) < min(a[1], b[1]):
        return False
    if max(a[0], b[0]) < min(c[0], d[0]) or max(c[0], d[0]) < min(a[0], b[0]):
        return False
    return _side(a, b, c) * _side(a, b, d) <= 0 and _side(c, d, a) * _side(c, d, b) <= 0


def _side(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
