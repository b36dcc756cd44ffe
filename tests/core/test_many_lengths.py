"""Stock plans of as many lengths and sticks as a document may have: shortcuts to the same
results."""

from __future__ import annotations

import random

from service.core.stock import Stick, plan_sticks
from service.core.stock.fills import greedy_fill, greedy_fill_of_many, weigh
from service.core.stock.instance import Instance
from service.core.stock.offcuts import lengthen
from service.core.stock.planning import EFFORTS, solve


def test_the_longest_piece_that_still_fits_again_and_again() -> None:
    """A greedy fill is the same whether each next piece is found by halving or one after
    another."""
    chance = random.Random(3)
    for _ in range(500):
        weights = sorted(chance.sample(range(2, 60), chance.randrange(1, 30)), reverse=True)
        left = [chance.randrange(3) for _ in weights]
        first = next((i for i, count in enumerate(left) if count), len(left))
        room = chance.randrange(200)
        assert greedy_fill_of_many(weights, left, first, room) == greedy_fill(weights, left, room)


def test_two_thousand_lengths_from_sticks_that_hold_half_of_them() -> None:
    """Two thousand lengths are planned from hundreds of kinds of sticks with bounded work.

    Pieces of 1001, 1002 and so on to 3000, in 32 kinds of stick to buy and 200 on hand, each of
    which holds 500 of them at least. The 4 001 000 of them go into the thousand on hand; what is
    weighed on the way is bounded, or it would take hours.
    """
    pieces: dict[float, int] = {float(length): 1 for length in range(1001, 3001)}
    sticks = [Stick(2_000_000 + 7 * k, 2_000_000 + 7 * k) for k in range(32)]
    sticks += [Stick(1_500_000 + 61 * k, 0, 5) for k in range(200)]
    plan = plan_sticks(pieces, sticks, 0.0, effort="ordinary")
    assert (plan.bought, plan.lower_bound, plan.optimal) == (0, 0, True)
    assert sum(len(held) * count for _, held, count in plan.sticks) == 2000


def test_a_length_is_counted_with_all_that_are_longer() -> None:
    """Counting pieces that fit no stick together proves a plan that their material does not.

    Of 151 lengths from 151 to 301 no two go into 301, so each takes a stick: 151 times 301 are 45
    451. Their material, 151 * 226 = 34 126, would go into 114 sticks; it is the number of pieces
    that proves the plan.
    """
    instance = Instance(tuple(range(301, 150, -1)), (1,) * 151, (301,), (301,), (200,))
    found = solve(instance, EFFORTS["ordinary"])
    assert found is not None
    assert found.cost == found.floor == 45_451


def test_pieces_are_moved_no_longer_than_is_bounded() -> None:
    """Moving pieces for a longer offcut ends within its bound.

    Two sticks with a thousand lengths each have a million exchanges between them; the pieces are
    all there afterwards, and the longest offcut is no shorter.
    """
    weights = tuple(range(3000, 1000, -1))
    instance = Instance(weights, (1,) * 2000, (3_000_000,), (1,), (9,))
    halves = [tuple((i, 1) for i in range(start, 2000, 2)) for start in (0, 1)]
    taken = lengthen(instance, tuple((0, half, 1) for half in halves), 30_000)
    assert sorted(i for _, fill, _ in taken for i, _ in fill) == list(range(2000))
    before = max(3_000_000 - weigh(half, weights) for half in halves)
    assert max(3_000_000 - weigh(fill, weights) for _, fill, _ in taken) >= before
