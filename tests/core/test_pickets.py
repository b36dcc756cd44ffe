"""Pickets: counts, places and spacers against exact fractions and the check-value table."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.records.infill import Pickets
from service.core.records.kit import Engagement, PicketKit
from service.core.runs.pickets import RailEnds, count_pickets, place_pickets
from tests.bounded import bounded

NO_ALLOWANCE = ((0.0, 0.0), (0.0, 0.0))


def kit(width: float, gap: float, spacing: Any = "equal") -> PicketKit:
    """Pickets of a width and a greatest gap."""
    return PicketKit(width, spacing, gap, Engagement(0.5, 0.5))


def placed(
    clear: float,
    pickets: PicketKit,
    *,
    counted: float | None = None,
    allowances: tuple[tuple[float, float], tuple[float, float]] = NO_ALLOWANCE,
    step: float = 0.0625,
    cosine: float = 1.0,
) -> Pickets:
    """Pickets of a bay, as many as its own clear needs unless `counted` gives another clear."""
    counted = clear if counted is None else counted
    return place_pickets(clear, counted, 30.0, pickets, RailEnds(*allowances, cosine), step)


@pytest.mark.parametrize(
    ("clear", "width", "most", "count", "gap"),
    [
        (70, 0.75, 3.9375, 15, 3.671875),
        (93, 0.75, 3.9375, 19, 3.9375),
        (1800, 19, 99, 15, 94.6875),
        (3.9375, 0.75, 3.9375, 0, 3.9375),
        (4.0, 0.75, 3.9375, 1, 1.625),
    ],
)
def test_equal_gaps(clear: float, width: float, most: float, count: int, gap: float) -> None:
    """Rows 86 and 87: n = ceil((X - G)/(b + G)), gap (X - n b)/(n + 1); a clear within G has no
    picket.

    (1800 - 99)/118 = 14.4: 15, gap (1800 - 285)/16 = 94.6875. One picket in 4: (4 - 0.75)/2.
    """
    found = placed(clear, kit(width, most))
    assert found.count == count
    assert found.gap == found.end_gap == gap


@bounded(200)
@given(st.integers(1, 2000), st.integers(4, 40), st.integers(8, 160))
def test_the_fewest_for_which_no_gap_exceeds(clear: int, width: int, gap: int) -> None:
    """In thirty-seconds: n pickets keep every gap within the greatest, and n - 1 would not."""
    n = count_pickets(clear / 32, kit(width / 32, gap / 32))
    assert clear <= (n + 1) * gap + n * width
    assert n == 0 or clear > n * gap + (n - 1) * width


@bounded(100)
@given(st.integers(200, 2000), st.integers(8, 40), st.integers(60, 160), st.booleans())
def test_a_row_of_full_spacers_stands_in_the_middle(
    clear: int, width: int, gap: int, punched: bool
) -> None:
    """With `spacer` and `punched` pickets are the kit's gap apart, and what is left is shared by
    the two ends.

    With one picket more the row would need more than the clear, so an end gap is within the gap.
    """
    pickets = kit(width / 32, gap / 32, "punched" if punched else "spacer")
    found = placed(clear / 32, pickets)
    n = found.count
    taken = n * width + (n - 1) * gap
    assert found.gap == gap / 32
    assert found.end_gap == pytest.approx((clear - taken) / 64)
    assert found.end_gap <= found.gap + 1e-9


@bounded(100)
@given(
    st.integers(200, 2000),
    st.integers(8, 40),
    st.integers(60, 160),
    st.sampled_from(["equal", "spacer", "punched"]),
)
def test_centres_are_the_nearest_marks(clear: int, width: int, gap: int, spacing: str) -> None:
    """Centres are the nearest marks to exact places: from the first face an end gap and half a
    picket, then a gap and a picket each."""
    found = placed(clear / 32, kit(width / 32, gap / 32, spacing))
    n = found.count
    between = Fraction(clear - n * width, n + 1) if spacing == "equal" else Fraction(gap)
    end = (Fraction(clear) - n * width - (n - 1) * between) / 2
    assert len(found.centres) == n
    for i, at in enumerate(found.centres):
        exact = (end + Fraction(width, 2) + i * (width + between)) / 32
        assert Fraction(at) % Fraction(1, 16) == 0
        assert abs(Fraction(at) - exact) <= Fraction(1, 32) + Fraction(1, 10**6)


def test_spacers() -> None:
    """The kit's full spacers and the cut end spacers of a bay, top and bottom apart.

    Clear 21.25 (a run of 21.125), pickets 0.75, gaps 3.5: (21.125 - 3.5)/4.25 = 4.1, so five. They
    take 5 x 0.75 + 4 x 3.5 = 17.75, which leaves 3.5: an end gap of 1.75 in the bay of 21.25. With
    top rail allowances of 0.1875 and 0.5 there are cut spacers of 1.5625 and 1.25, and four full
    ones. With bottom rail allowances of 0.1 at both ends: 1.65, floored to 1.625, two.
    """
    allowances = ((0.1875, 0.5), (0.1, 0.1))
    found = placed(21.25, kit(0.75, 3.5, "spacer"), counted=21.125, allowances=allowances)
    assert (found.count, found.end_gap) == (5, 1.75)
    assert [(s.rail, s.length, s.count) for s in found.spacers] == [
        ("top", 3.5, 4),
        ("top", 1.5625, 1),
        ("top", 1.25, 1),
        ("bottom", 3.5, 4),
        ("bottom", 1.625, 2),
    ]


@pytest.mark.parametrize("spacing", ["punched", "equal"])
def test_only_spacer_kits_have_spacers(spacing: str) -> None:
    """A punched rail and equal gaps need no spacers."""
    assert placed(40.0, kit(0.75, 3.5, spacing)).spacers == ()


def test_the_count_is_the_run_s_and_the_gaps_the_bay_s() -> None:
    """Pickets are counted from the run's shared clear, and their gaps come from the bay's own.

    A shared clear of 70 gives 15; a bay of 70.125 has 15 too, gap (70.125 - 11.25)/16 = 3.6796875.
    """
    found = placed(70.125, kit(0.75, 3.9375), counted=70.0)
    assert (found.count, found.gap) == (15, 3.6796875)


@pytest.mark.parametrize(
    ("step", "cosine", "allowance", "loose"),
    [(0.0625, 1.0, 0.1875, 0.0), (1.0, 1.0, 0.1875, 9.625), (0.25, 0.8, 0.34375, 1.65)],
    ids=["on the grid", "to the inch", "raked"],
)
def test_what_floored_spacers_leave_empty(
    step: float, cosine: float, allowance: float, loose: float
) -> None:
    """`loose` is how much of a bay floored spacers leave empty, in plan.

    Twelve in 56 in: 11 spacers of 3 3/4, ends (56 - 9 - 41.25)/2 = 2 7/8 less their allowance.

    To the inch each of the 11 loses 3/4 and each end, 2 11/16, loses 11/16: 8.25 + 1.375. On a
    slope of 3-4-5, to the quarter, 3.75/0.8 = 4.6875 loses 3/16 each, and the ends, 3.59375 -
    0.34375 = 3.25, lose nothing: 2.0625 along the slope, 1.65 in plan.
    """
    ends = (allowance, allowance)
    pickets = kit(0.75, 3.75, "spacer")
    found = placed(56.0, pickets, allowances=(ends, ends), step=step, cosine=cosine)
    assert found.count == 12
    assert found.loose == pytest.approx(loose, abs=1e-9)


def test_the_looser_rail_counts() -> None:
    """`loose` is that of the rail whose spacers leave more.

    With the top's allowances 3/16 and the bottom's 1/4, to the eighth, the top's 2 11/16 loses 1/16
    at each end and the bottom's 2 5/8 nothing.
    """
    allowances = ((0.1875, 0.1875), (0.25, 0.25))
    found = placed(56.0, kit(0.75, 3.75, "spacer"), allowances=allowances, step=0.125)
    assert found.loose == pytest.approx(0.125, abs=1e-9)


def test_a_rail_that_begins_past_the_gap_leaves_nothing_loose() -> None:
    """An end gap that the rail's end allowance takes up has no spacer, and nothing is loose.

    Two in 8 5/16: one spacer of 3 3/4, ends (8.3125 - 1.5 - 3.75)/2 = 1.53, within the allowance of
    1 3/4.
    """
    ends = (1.75, 1.75)
    found = placed(8.3125, kit(0.75, 3.75, "spacer"), allowances=(ends, ends))
    assert [spacer.length for spacer in found.spacers] == [3.75, 3.75]
    assert found.loose == 0


def test_equal_gaps_at_their_marks() -> None:
    """With equal gaps, gap and `loose` together are the widest gap between pickets on their marks.

    Six of 18 in 760: gaps of (760 - 108)/7 = 93.143, centres 102.14, 213.29, 324.43, 435.57, 546.71
    and 657.86, to the centimetre 100, 210, 320, 440, 550, 660: 440 - 320 - 18 = 102.
    """
    found = placed(760.0, kit(18.0, 94.0), step=10.0)
    assert found.centres == (100.0, 210.0, 320.0, 440.0, 550.0, 660.0)
    assert found.gap + found.loose == pytest.approx(102.0)


def test_marks_at_an_end_of_a_bay_count() -> None:
    """The widest gap may be the one between a marked picket and a post.

    One of 18 in 130, to the centimetre: its middle at 65 is a tie and goes to 60: 130 - 60 - 9 =
    61.
    """
    found = placed(130.0, kit(18.0, 94.0), step=10.0)
    assert found.gap + found.loose == pytest.approx(61.0)
