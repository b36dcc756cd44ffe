"""The look for a mix of sticks: what it tries is counted, and nothing that cannot be of use is."""

from __future__ import annotations

import pytest

from service.core.stock import mixes
from service.core.stock.fills import Spent, Work
from service.core.stock.mixes import Mixing, Requirement, least_cost

ON_HAND_AND_BOUGHT = ((0, 100), (1000, 1000), [Requirement(1000, (1, 50))])
"""Costs, limits and the one requirement: a thousand free sticks of 1 each, or bought ones of 50."""


def test_too_few_of_a_free_stick_are_not_tried() -> None:
    """With a plan of cost 100 known, 950 free sticks are the fewest: one bought makes up 50. So
    1000 down to 950, 51 numbers, are tried, and with each at most two numbers of the bought."""
    tries = Work(10_000)
    found = Mixing(*ON_HAND_AND_BOUGHT, Work(10_000), tries).cheapest((100, 10_000))
    assert found == (1000, 0)
    assert 51 <= 10_000 - tries.left <= 3 * 51


def test_what_is_tried_is_counted() -> None:
    """The same with nothing known before: it ends when what may be tried is used up."""
    with pytest.raises(Spent):
        Mixing(*ON_HAND_AND_BOUGHT, Work(10_000), Work(1)).cheapest()


def test_a_mix_that_costs_as_much_as_the_known_plan_is_found_by_its_fewer_sticks() -> None:
    """500 free sticks hold 500 of 1000: ten bought ones, at 1000, make up the rest, 510 in all; a
    known plan of that cost with 511 is beaten, one with 510 is not."""
    costs, _, needs = ON_HAND_AND_BOUGHT
    for known, found in (((1000, 511), (500, 10)), ((1000, 510), None)):
        spare = Work(10_000), Work(10_000)
        assert Mixing(costs, (500, 99), needs, *spare).cheapest(known) == found


def test_what_is_bought_makes_up_for_what_is_on_hand() -> None:
    """Sticks on hand of 7, 5 and 3, twice each, hold 30 of 100; those to buy hold 20 at 33 and 15
    at 25. Five of 15, or three of 20 and one of 15, make up 70 for 125 or 124; two of 20 and two of
    15 for 116, and three of 20 alone hold 60."""
    needs = [Requirement(100, (20, 15, 7, 5, 3))]
    assert least_cost((33, 25, 0, 0, 0), (9, 9, 2, 2, 2), needs) == 116


def test_the_dearest_of_all_needs_counts() -> None:
    """Ten sticks on hand hold all that is needed of material, but none of the four long pieces, of
    which one to buy, at 7, holds two."""
    needs = [Requirement(4, (2, 0)), Requirement(50, (10, 6))]
    assert least_cost((7, 0), (9, 10), needs) == 14


def test_nothing_is_bought_where_enough_is_on_hand() -> None:
    """Ten of 6 hold 50."""
    assert least_cost((7, 0), (9, 10), [Requirement(50, (10, 6))]) == 0


def test_a_bound_with_parts_of_sticks(monkeypatch: pytest.MonkeyPatch) -> None:
    """As above with 101: 71 is left, for which three of 20 and one of 15 are the least, 124. Where
    there is no work to see that, 71/20 of a stick at 33 are 117.15, so 118."""
    needs = [Requirement(101, (20, 15, 7, 5, 3))]
    sticks = (33, 25, 0, 0, 0), (9, 9, 2, 2, 2)
    assert least_cost(*sticks, needs) == 124
    monkeypatch.setattr(mixes, "BOUNDING", 1)
    assert least_cost(*sticks, needs) == 118


def test_too_few_sticks_are_no_mix() -> None:
    """Three of 3 hold 9."""
    assert Mixing((5,), (3,), [Requirement(10, (3,))], Work(99), Work(99)).cheapest() is None
