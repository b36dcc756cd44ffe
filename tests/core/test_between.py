"""The gap between two bodies that others stand between, compared with every row of these that there
is."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from itertools import pairwise, permutations

import pytest
import shapely

from service.core.finishing.between import Between
from service.core.measure import Length
from tests.core import builders

START, END = shapely.box(0, 0, 2, 2), shapely.LineString([(20, -10), (20, 10)])


def test_nothing_between() -> None:
    """With nothing between them, the 18 from one to the other is open."""
    assert Between([]).clearance(START, END).width == 18.0


@pytest.mark.parametrize(
    ("x", "gap"),
    [(6.0, 13.0), (11.0, 8.0), (16.0, 13.0), (60.0, 18.0)],
    ids=["near the start", "half-way", "near the end", "elsewhere"],
)
def test_one_between(x: float, gap: float) -> None:
    """A block from x - 1 to x + 1 parts the way from 2 to 20 into x - 3 and 19 - x, of which the
    wider counts; one that lies off leaves the way as it was."""
    block = builders.block(x, 1.0, 2.0)
    assert Between([block]).clearance(START, END).width == pytest.approx(gap)


def test_one_that_makes_no_difference() -> None:
    """A block that reaches past the start by no more than the last bits of arithmetic, here 1e-9,
    leaves the way of 18 as it was and is not what it depends on."""
    block = builders.block(1.0 + 1e-9, 1.0, 2.0)
    assert Between([block]).clearance(START, END) == (18.0, ())


def test_as_good_as_the_best_of_all_rows() -> None:
    """Among five random blocks the clearance is that of the best of all rows, each of which is
    tried."""
    rng = random.Random(5)
    parted = 0
    for _ in range(60):
        blocks = [
            builders.block(rng.uniform(0, 20), rng.uniform(-8, 8), rng.uniform(1, 4))
            for _ in range(5)
        ]
        shapes = [shapely.Polygon(block.points) for block in blocks]
        best = _best_of_all(shapes, START, END)
        assert Between(blocks).clearance(START, END).width == pytest.approx(best)
        parted += best < 8.0
    assert parted > 20


def test_a_row_by_way_of_something_farther_off_than_the_end() -> None:
    """From (0, 0) to (10, 0) by blocks of 0.02 at (0, 5) and (6.5, 8), of which the second is
    sqrt(6.49^2 + 7.99^2) = 10.294 from the start. The row leaves 5 - 0.01 = 4.99, then
    sqrt(6.48^2 + 2.98^2) = 7.133, then sqrt(3.49^2 + 7.99^2) = 8.719, from either end."""
    start, end = shapely.Point(0, 0), shapely.Point(10, 0)
    near, far = builders.block(0, 5, 0.02), builders.block(6.5, 8, 0.02)
    between = Between([near, far])
    there, back = between.clearance(start, end), between.clearance(end, start)
    assert there.width == pytest.approx(math.hypot(3.49, 7.99))
    assert back.width == there.width
    assert (there.by, back.by) == ((near, far), (far, near))


def test_from_either_end_as_good_as_the_best_of_all_rows() -> None:
    """Five small blocks at random about two points 10 apart, every row of them tried."""
    rng = random.Random(7)
    start, end = shapely.Point(0, 0), shapely.Point(10, 0)
    by_way = 0
    for _ in range(60):
        blocks = [builders.block(rng.uniform(-5, 15), rng.uniform(-9, 9), 1.0) for _ in range(5)]
        best = _best_of_all([each.shape for each in blocks], start, end)
        there, back = (Between(blocks).clearance(*way) for way in ((start, end), (end, start)))
        assert there.width == back.width == pytest.approx(best)
        by_way += any(one.shape.distance(start) > 10.0 for one in there.by)
    assert by_way > 2


def _best_of_all(
    shapes: Sequence[shapely.Geometry], start: shapely.Geometry, end: shapely.Geometry
) -> Length:
    """The least of the widest gaps of all rows that can be made of some shapes."""
    rows = (row for size in range(len(shapes) + 1) for row in permutations(shapes, size))
    best: Length = min(
        max(one.distance(two) for one, two in pairwise([start, *row, end])) for row in rows
    )
    return best


def test_what_stands_between_is_told_in_its_order() -> None:
    """Blocks from 6 to 8 and from 12 to 14 are named in that order. They leave 4, 4 and 6 open, of
    the 18 without them; a block aside makes no difference."""
    far, near, away = (builders.block(x, y, 2.0) for x, y in ((13.0, 1.0), (7.0, 1.0), (5.0, 90.0)))
    clearance = Between([far, away, near]).clearance(START, END)
    assert clearance.width == pytest.approx(6.0)
    assert clearance.by == (near, far)


def test_of_a_row_only_what_is_needed_is_told() -> None:
    """A block from 10 to 12 leaves 8 of the 18 to either side. Another from 5 to 7 leaves 3 to
    either of its sides, but the 8 beyond stay."""
    middle, near = (builders.block(x, 1.0, 2.0) for x in (11.0, 6.0))
    between = Between([near, middle])
    for way in ((START, END), (END, START)):
        clearance = between.clearance(*way)
        assert clearance.width == pytest.approx(8.0)
        assert clearance.by == (middle,)
