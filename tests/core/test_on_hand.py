"""Plans with odd sticks on hand, which cost nothing: the bound and what is bought, compared with a
general solver and worked by hand."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

import pytest

from service.core.order import plan as planned
from service.core.order.plan import plan_stock
from service.core.order.prices import OnHand, OrderRequest
from service.core.records.kit import Stock
from service.core.records.orders import Piece
from service.core.stock import NoPlan, Plan, Stick, plan_sticks
from tests.core.builders import SURFACE
from tests.core.by_patterns import Job, least_cost

KIT: Final = replace(SURFACE, stocks={"picket": Stock((30.0,), kerf=1.0)})
"""The kit with pickets cut from sticks of 30."""
HAND: Final = OrderRequest(on_hand=(OnHand("picket", 101.0, 1), OnHand("picket", 61.0, 1)))


def pickets(counts: Mapping[float, int]) -> list[Piece]:
    """Rows of a cut list. counts: how many of each length."""
    square = (90.0, 90.0)
    return [Piece("picket", length, count, square, ("B1",)) for length, count in counts.items()]


def random_job(seed: int, most: int, on_hand: int) -> tuple[dict[float, int], list[Stick]]:
    """Pieces of one to seven lengths, up to `most` of them, and sticks to buy with up to `on_hand`
    odd ones on hand, all in whole units."""
    chance = random.Random(seed)
    lengths = chance.sample(range(18, 71), chance.randrange(1, 8))
    pieces: dict[float, int] = dict.fromkeys(lengths, 1)
    for _ in range(chance.randrange(most // 4, most)):
        pieces[chance.choice(lengths)] += 1
    stock = chance.choice([(144, 192), (150, 198), (240,)])
    held = chance.sample(range(20, 131), chance.randrange(on_hand // 4, on_hand + 1))
    sticks = [Stick(length, length) for length in stock if length not in held]
    sticks += [Stick(length, 0, chance.choice((1, 1, 1, 2, 3, 8))) for length in held]
    return pieces, sticks


def as_job(pieces: dict[float, int], sticks: list[Stick], kerf: int) -> Job:
    """The same job for the solver."""
    total = sum(pieces.values())
    return Job(
        [int(length) + kerf for length in pieces],
        list(pieces.values()),
        [int(stick.length) + kerf for stick in sticks],
        [int(stick.cost or 0) for stick in sticks],
        [total if stick.limit is None else min(stick.limit, total) for stick in sticks],
    )


@pytest.mark.parametrize(("most", "on_hand"), [(30, 8), (100, 40)])
def test_the_bound_beside_a_general_solver(most: int, on_hand: int) -> None:
    """The bound is never above the least that has to be bought, and nearly always equals it.

    What is bought is never below that least, and equals it wherever the plan says that it is
    optimal.
    """
    below = 0
    for seed in range(40):
        pieces, sticks = random_job(seed, most, on_hand)
        plan = plan_sticks(pieces, sticks, 1.0, effort="ordinary")
        least = least_cost(as_job(pieces, sticks, 1))
        assert plan.lower_bound <= least <= plan.bought
        assert not plan.optimal or plan.bought == least
        below += plan.lower_bound < least
    assert below <= 1


def test_the_bound_of_many_odd_sticks() -> None:
    """The bound counts how many pieces each odd stick holds.

    Thirty sticks on hand, 21, 22 and so on to 50, hold one of the 60 pieces of 21 each, and those
    from 42 on two: 30 + 9 = 39. The 21 left over take three sticks of 150, at seven a stick.
    """
    on_hand = [Stick(length, 0, 1) for length in range(21, 51)]
    plan = plan_sticks({21: 60}, [Stick(150, 150), *on_hand], 0.0, effort="ordinary")
    assert (plan.bought, plan.lower_bound, plan.optimal) == (450, 450, True)


def test_little_work_still_gives_a_bound() -> None:
    """With hardly any work the bound still counts what the sticks on hand can hold at most.

    Forty sticks on hand of 20.5, 21 and so on to 40 hold 1210 at most of 2 times 60 pieces of 11
    and 13, which come to 1440; 230 are left, and a stick to buy of 100 holds 100, so three are
    needed. So little work proves nothing else.
    """
    on_hand = [Stick(20.5 + 0.5 * k, 0, 1) for k in range(40)]
    plan = plan_sticks({11: 60, 13: 60}, [Stick(100, 100), *on_hand], 0.0, work=600)
    assert plan.bought >= plan.lower_bound >= 300


def test_pieces_longer_than_the_kit_s_sticks_are_left_out_only_where_nothing_holds_them() -> None:
    """Pieces longer than the kit's sticks are cut from sticks on hand, as many as these hold.

    The kit's sticks are of 30, on hand are one of 101 and one of 61, kerf 1. A 60 takes the 61
    whole, as that is the shorter; of three 50, each of which takes 51 of the 101 and the kerf after
    it, two go into it: 50 + 1 + 50. Only the third 50 is left out: a 29 comes out of one of the
    kit's sticks.
    """
    (plan,) = plan_stock(pickets({60.0: 1, 50.0: 3, 29.0: 1}), KIT, HAND)
    cut = [(row.stock, row.count, row.pieces, row.on_hand) for row in plan.sticks]
    assert cut == [
        (101.0, 1, (50.0, 50.0), True),
        (61.0, 1, (60.0,), True),
        (30.0, 1, (29.0,), False),
    ]
    assert [(piece.length, piece.count) for piece in plan.left_out] == [(50.0, 1)]
    assert (plan.bought, plan.used) == (30.0, 189.0)


def test_each_long_piece_has_its_stick_where_no_plan_is_found(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where the search finds no plan, each stick on hand holds one long piece.

    The search is made to fail where two of 50 are asked together: the 60 takes the 61, a 50 the
    101, and two of 50 are left out.
    """

    def find(pieces: Mapping[float, int], *rest: Any) -> Plan:
        if pieces.get(50.0) == 2:
            raise NoPlan
        return plan_sticks(pieces, *rest)

    monkeypatch.setattr(planned, "plan_sticks", find)
    (plan,) = plan_stock(pickets({60.0: 1, 50.0: 3}), KIT, HAND)
    cut = [(row.stock, row.count, row.pieces) for row in plan.sticks]
    assert cut == [(101.0, 1, (50.0,)), (61.0, 1, (60.0,))]
    assert [(piece.length, piece.count) for piece in plan.left_out] == [(50.0, 2)]
