"""The gap between two bodies that others stand between, compared with every row of these that there
is."""

from __future__ import annotations

import random
from itertools import pairwise, permutations

import pytest
import shapely

from service.core.finishing.between import Between
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
        rows = (row for size in range(6) for row in permutations(shapes, size))
        best = min(
            max(one.distance(two) for one, two in pairwise([START, *row, END])) for row in rows
        )
        assert Between(blocks).clearance(START, END).width == pytest.approx(best)
        parted += best < 8.0
    assert parted > 20


def test_what_stands_between_is_told_in_its_order() -> None:
    """Blocks from 6 to 8 and from 12 to 14 are named in that order. They leave 4, 4 and 6 open, of
    the 18 without them; a block aside makes no difference."""
    far, near, away = (builders.block(x, y, 2.0) for x, y in ((13.0, 1.0), (7.0, 1.0), (5.0, 90.0)))
    clearance = Between([far, away, near]).clearance(START, END)
    assert clearance.width == pytest.approx(6.0)
    assert clearance.by == (near, far)
