"""The search for a mix of sticks: what it tries is counted, and nothing that cannot be of use is
tried."""

from __future__ import annotations

import pytest

from service.core.stock import mixes
from service.core.stock.fills import Work, WorkUsedUp
from service.core.stock.mixes import Mixing, Requirement, least_cost

ON_HAND_AND_BOUGHT = ((0, 100), (1000, 1000), [Requirement(1000, (1, 50))])
"""Costs, limits and the one requirement: a thousand free sticks of 1 each, or bought ones of 50."""


def test_too_few_of_a_free_stick_are_not_tried() -> None:
    """Numbers of a free stick that cannot beat the known plan are not tried.

    With a plan of cost 100 known, 950 free sticks are the fewest: one bought makes up 50. So 1000
    down to 950, 51 numbers, are tried, and with each at most two numbers of the bought ones.
    """
    tries = Work(10_000)
    found = Mixing(*ON_HAND_AND_BOUGHT, Work(10_000), tries).cheapest((100, 10_000))
    assert found == (1000, 0)
    assert 51 <= 10_000 - tries.left <= 3 * 51


def test_what_is_tried_is_counted() -> None:
    """With no plan known before, the search ends when what may be tried is used up."""
    with pytest.raises(WorkUsedUp):
        Mixing(*ON_HAND_AND_BOUGHT, Work(10_000), Work(1)).cheapest()


def test_a_mix_that_costs_as_much_as_the_known_plan_is_found_by_its_fewer_sticks() -> None:
    """A mix that costs as much as the known plan is found if it has fewer sticks.

    500 free sticks hold 500 of 1000: ten bought ones, at 1000, make up the rest, 510 in all; a
    known plan of that cost with 511 is beaten, one with 510 is not.
    """
    costs, _, needs = ON_HAND_AND_BOUGHT
    for known, found in (((1000, 511), (500, 10)), ((1000, 510), None)):
        spare = Work(10_000), Work(10_000)
        assert Mixing(costs, (500, 99), needs, *spare).cheapest(known) == found


def test_what_is_bought_makes_up_for_what_is_on_hand() -> None:
    """The least cost is that of what must be bought besides all that is on hand.

    Sticks on hand of 7, 5 and 3, twice each, hold 30 of 100; those to buy hold 20 at 33 and 15 at
    25. Five of 15, or three of 20 and one of 15, make up 70 for 125 or 124; two of 20 and two of 15
    make it up for 116; three of 20 alone hold 60.
    """
    needs = [Requirement(100, (20, 15, 7, 5, 3))]
    assert least_cost((33, 25, 0, 0, 0), (9, 9, 2, 2, 2), needs) == 116


def test_the_dearest_of_all_needs_counts() -> None:
    """The least cost is that of the requirement which costs the most.

    Ten sticks on hand hold all that is needed of material, but none of the four long pieces; a
    stick to buy, at 7, holds two of these.
    """
    needs = [Requirement(4, (2, 0)), Requirement(50, (10, 6))]
    assert least_cost((7, 0), (9, 10), needs) == 14


def test_nothing_is_bought_where_enough_is_on_hand() -> None:
    """The least cost is 0 where ten sticks of 6 on hand hold the 50 needed."""
    assert least_cost((7, 0), (9, 10), [Requirement(50, (10, 6))]) == 0


def test_a_bound_with_parts_of_sticks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there is no work for whole sticks, the least cost is a bound with parts of sticks.

    As in `test_what_is_bought_makes_up_for_what_is_on_hand`, with 101: 71 is left, for which three
    of 20 and one of 15 are the least, 124. Without the work to see that, 71/20 of a stick at 33 are
    117.15, so 118.
    """
    needs = [Requirement(101, (20, 15, 7, 5, 3))]
    sticks = (33, 25, 0, 0, 0), (9, 9, 2, 2, 2)
    assert least_cost(*sticks, needs) == 124
    monkeypatch.setattr(mixes, "BOUNDING", 1)
    assert least_cost(*sticks, needs) == 118


def test_too_few_sticks_are_no_mix() -> None:
    """Three sticks of 3 hold 9, which is no mix for 10."""
    assert Mixing((5,), (3,), [Requirement(10, (3,))], Work(99), Work(99)).cheapest() is None
