"""Dimensions: where their lines and texts lie, whichever way they run."""

from __future__ import annotations

import math

import pytest

from service.core.measure import Point
from service.drawings.dimensions import OVER, PAST, TICK, dimension
from service.drawings.marks import SMALL, Mark, Stroke, Words
from service.drawings.scales import Scale

FULL = Scale(1, "mm")
"""A millimetre of the deck is one on paper, so that places are worked in one unit."""


def made(end: Point, text: str, off: float) -> tuple[list[Stroke], Words]:
    """The lines and the text of a dimension from the origin."""
    marks: list[Mark] = list(dimension((0.0, 0.0), end, text, off, FULL))
    (words,) = [mark for mark in marks if isinstance(mark, Words)]
    return [mark for mark in marks if isinstance(mark, Stroke)], words


def test_a_dimension_lies_to_the_right_of_its_way() -> None:
    """A dimension from (0, 0) to (100, 0), 6 off, has its line to the right of it, at y = -6.

    Extension lines go from 1.5 off what is measured to 1.5 past the line, slashes reach 1.2 each
    way, and the text stands 0.6 over the line's middle.
    """
    lines, words = made((100.0, 0.0), "3' 3 3/8\"", 6.0)
    drawn = {line.points for line in lines}
    assert ((0.0, -6.0), (100.0, -6.0)) in drawn
    for x in (0.0, 100.0):
        assert ((x, -PAST), (x, -6.0 - PAST)) in drawn
        assert ((x - TICK, -6.0 + TICK), (x + TICK, -6.0 - TICK)) in drawn
    assert len(lines) == 5
    assert words.at == pytest.approx((50.0, -6.0 + OVER))
    assert (words.anchor, words.turn) == ("middle", 0.0)


def test_an_offset_below_nought_lies_to_the_left() -> None:
    """With a negative offset the line lies on the left; the text still stands over it."""
    lines, words = made((100.0, 0.0), "3' 3 3/8\"", -6.0)
    assert ((0.0, 6.0), (100.0, 6.0)) in {line.points for line in lines}
    assert words.at == pytest.approx((50.0, 6.0 + OVER))


def test_text_that_does_not_fit_stands_square_beyond_the_line() -> None:
    """Text that is too wide for its line is turned by 90 degrees and begins 1.5 past the line.

    8 letters of 1.8 by 0.8 are 11.52 wide, and 5 have no room for them between two slashes. The
    text runs down from the line and is read from the right, so it ends there.
    """
    _, words = made((5.0, 0.0), "11 11/16", 6.0)
    assert (words.turn, words.anchor) == (90.0, "end")
    assert words.at == pytest.approx((2.5 + SMALL / 2, -6.0 - PAST))


@pytest.mark.parametrize("heading", range(0, 360, 15))
@pytest.mark.parametrize("off", [6.0, -6.0])
@pytest.mark.parametrize("size", [100.0, 5.0])
def test_text_is_upright_and_off_its_line_whichever_way_it_runs(
    heading: int, off: float, size: float
) -> None:
    """Text is read from below or from the right, and never lies across its line.

    Its letters stand on the line's outer or inner side. Away from what is measured is to the right
    where `off` is positive.
    """
    turn = math.radians(heading)
    end = size * math.cos(turn), size * math.sin(turn)
    _, words = made(end, "11 11/16", off)
    assert -90.0 < words.turn <= 90.0 + 1e-9
    away = math.copysign(1.0, off)
    outward = away * math.sin(turn), -away * math.cos(turn)
    up = -math.sin(math.radians(words.turn)), math.cos(math.radians(words.turn))
    base = words.at[0] * outward[0] + words.at[1] * outward[1]
    if size == 5.0:
        assert base == pytest.approx(abs(off) + PAST)
        return
    top = base + SMALL * (up[0] * outward[0] + up[1] * outward[1])
    assert min(base, top) >= abs(off) + OVER - 1e-9 or max(base, top) <= abs(off) - OVER + 1e-9


def test_no_distance_has_no_dimension() -> None:
    """Two marks at the same place have no dimension."""
    assert list(dimension((1.0, 1.0), (1.0, 1.0), "0", 6.0, FULL)) == []
