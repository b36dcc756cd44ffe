"""The look for a mix of sticks: what it tries is counted, and nothing that cannot be of use is."""

from __future__ import annotations

import pytest

from service.core.stock.fills import Spent, Work
from service.core.stock.mixes import Requirement, cheapest_mix

ON_HAND_AND_BOUGHT = ((0, 100), (1000, 1000), [Requirement(1000, (1, 50))])
"""Costs, limits and the one requirement: a thousand free sticks of 1 each, or bought ones of 50."""


def test_too_few_of_a_free_stick_are_not_tried() -> None:
    """With a plan of cost 100 known, 950 free sticks are the fewest: one bought makes up 50. So
    1000 down to 950, 51 numbers, are tried, and with each at most two numbers of the bought."""
    tries = Work(10_000)
    found = cheapest_mix(*ON_HAND_AND_BOUGHT, (), (100, 10_000), Work(10_000), tries)
    assert found == (1000, 0)
    assert 51 <= 10_000 - tries.left <= 3 * 51


def test_what_is_tried_is_counted() -> None:
    """The same with nothing known before: it ends when what may be tried is used up."""
    with pytest.raises(Spent):
        cheapest_mix(*ON_HAND_AND_BOUGHT, (), None, Work(10_000), Work(1))


def test_a_mix_that_costs_as_much_as_the_known_plan_is_found_by_its_fewer_sticks() -> None:
    """500 free sticks hold 500 of 1000: ten bought ones, at 1000, make up the rest, 510 in all; a
    known plan of that cost with 511 is beaten, one with 510 is not."""
    costs, _, needs = ON_HAND_AND_BOUGHT
    for known, found in (((1000, 511), (500, 10)), ((1000, 510), None)):
        spare = Work(10_000), Work(10_000)
        assert cheapest_mix(costs, (500, 99), needs, (), known, *spare) == found
