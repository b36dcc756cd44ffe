"""The sweep for rails that meet, and the search for bases that meet, compared with shapely."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import pytest
import shapely
from hypothesis import example, given
from hypothesis import strategies as st

from service.core.line.crossing import first_meeting
from service.core.measure import Point
from service.core.records.layout import Layout
from tests.bounded import bounded
from tests.core import builders
from tests.core.shapes import Drawn, drawn_decks

points = st.tuples(st.integers(-12, 12), st.integers(-12, 12))
segments = st.tuples(points, points).filter(lambda ends: ends[0] != ends[1])


@bounded(300)
@example([((0, 0), (0, 2)), ((0, 3), (0, 5))])
@example([((0, 0), (2, 2)), ((3, 3), (5, 5))])
@given(st.lists(segments, min_size=2, max_size=5))
def test_segments_that_meet(drawn: Sequence[tuple[Point, Point]]) -> None:
    """Segments that cross, touch or lie along each other meet. Their ends are whole numbers, so
    that touching is exact."""
    lines = [shapely.LineString(ends) for ends in drawn]
    meet = any(a.intersects(b) for a, b in itertools.combinations(lines, 2))
    assert (first_meeting(drawn) is not None) == meet


@bounded(150)
@given(drawn_decks())
def test_bases_that_meet_are_seen(drawn: Drawn) -> None:
    """Every two bases of a level that overlap, tried two by two, are in the clashes, and only such
    as meet.

    The overlap is the least move that parts them, here tried every half degree: a base turned to an
    angle between two of those loses up to a quarter of a degree, under 2 in 100 of its own width.
    """
    layout = builders.laid_or_refused(drawn.deck(), drawn.kit)
    if not isinstance(layout, Layout):
        return
    bases = {post.id: shapely.Polygon(post.base) for post in layout.posts}
    overlapping = {
        (a, b)
        for a, b in itertools.combinations(bases, 2)
        if bases[a].intersection(bases[b]).area > 1e-4
    }
    seen = {clash.posts: clash.overlap for clash in layout.clashes}
    assert overlapping <= seen.keys()
    for pair, overlap in seen.items():
        first, second = (bases[name] for name in pair)
        assert first.intersects(second)
        assert parted_by(first, second) == pytest.approx(overlap, abs=0.05)


def parted_by(first: shapely.Polygon, second: shapely.Polygon) -> float:
    """The least move that parts two convex figures, tried every half degree."""
    least = float("inf")
    for half_degrees in range(720):
        a = [x for x, _ in builders.turned(list(first.exterior.coords), half_degrees / 2)]
        b = [x for x, _ in builders.turned(list(second.exterior.coords), half_degrees / 2)]
        least = min(least, max(a) - min(b))
    return least
