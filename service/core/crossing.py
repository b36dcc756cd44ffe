"""Core: whether any of a level's rails meet in plan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

from service.core.measure import Point

Segment: TypeAlias = tuple[Point, Point]


def any_meet(segments: Sequence[Segment]) -> bool:
    """Whether two of the segments touch or cross; a sweep along x.

    >>> any_meet([((0, 0), (2, 2)), ((0, 2), (2, 0))])
    True
    >>> any_meet([((0, 0), (2, 2)), ((3, 0), (5, 0)), ((0, 1), (0, 2))])
    False
    """
    ordered = sorted(segments, key=lambda segment: min(segment[0][0], segment[1][0]))
    for i, one in enumerate(ordered):
        end = max(one[0][0], one[1][0])
        for two in ordered[i + 1 :]:
            if min(two[0][0], two[1][0]) > end:
                break
            if _meet(one, two):
                return True
    return False


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
