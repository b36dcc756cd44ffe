"""The longest offcut of a stock plan, compared with every way to cut and worked by hand."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from itertools import combinations_with_replacement, product

import pytest

from service.core.stock import Stick, plan_sticks
from service.core.stock.fills import weigh
from service.core.stock.instance import Instance, NumberedSticks
from service.core.stock.offcuts import lengthen
from service.core.stock.planning import Solution, solve


def longest_offcut(pieces: dict[float, int], sticks: Sequence[float], kerf: float) -> float:
    """The longest offcut of any way to cut all pieces from exactly these sticks, by trying all."""
    best = -1.0

    def cut(left: tuple[tuple[float, int], ...], rest: Sequence[float], longest: float) -> None:
        nonlocal best
        if not rest:
            if not any(count for _, count in left):
                best = max(best, longest)
            return
        for held in product(*(range(count + 1) for _, count in left)):
            used = sum(n * length for n, (length, _) in zip(held, left, strict=True))
            if any(held) and used + kerf * (sum(held) - 1) <= rest[0] + 1e-9:
                offcut = max(0.0, rest[0] - used - kerf * sum(held))
                after = tuple((a, c - n) for n, (a, c) in zip(held, left, strict=True))
                cut(after, rest[1:], max(longest, offcut))

    cut(tuple(pieces.items()), sticks, 0.0)
    return best


def test_the_longest_offcut_is_made_by_moving_pieces_together() -> None:
    """60, 60, 40 and 20 come to 180 of two sticks of 100: 60 with 40 leaves nothing and 60 with 20
    leaves 20 (the two of 60 may change places), and no plan leaves more than 20 in one piece."""
    plan = plan_sticks({60: 2, 40: 1, 20: 1}, [Stick(100)], 0)
    offcuts = [length - sum(held) for length, held, count in plan.sticks for _ in range(count)]
    assert sorted(offcuts) == [0, 20]


def test_the_longest_offcut_beside_every_way_to_cut() -> None:
    """In small jobs whose lengths differ, as a deck's do, no way to cut leaves a longer offcut in
    any mix of as many sticks at the same cost."""
    mixed = tried = 0
    for seed in range(120):
        chance = random.Random(seed)
        lengths = {round(chance.uniform(30, 70) * 16) / 16 for _ in range(chance.randrange(2, 5))}
        pieces = {length: chance.randrange(1, 4) for length in sorted(lengths)}
        stock = chance.choice([[150.0, 198.0], [144.0, 192.0], [144.0, 168.0, 192.0]])
        plan = plan_sticks(pieces, [Stick(length) for length in stock], 0.125, effort="ordinary")
        count = sum(number for _, _, number in plan.sticks)
        if count > 4 or sum(pieces.values()) > 8:
            continue
        got = max(0.0, *(s - sum(h) - 0.125 * len(h) for s, h, _ in plan.sticks))
        mixes = combinations_with_replacement(stock, count)
        as_dear = [mix for mix in mixes if sum(mix) == pytest.approx(plan.bought)]
        best = max(longest_offcut(pieces, mix, 0.125) for mix in as_dear)
        assert got == pytest.approx(best)
        mixed, tried = mixed + (len(as_dear) > 1), tried + 1
    assert tried > 80
    assert mixed > 5


def left_by_the_others(
    pieces: dict[float, int], sticks: Sequence[float], kerf: float
) -> set[tuple[int, ...]]:
    """What every way to cut from these sticks leaves over, as counts of each length; no stick is
    empty."""
    rest = {tuple(pieces.values())}
    for stick in sticks:
        fills = [
            held
            for held in product(*(range(count + 1) for count in pieces.values()))
            if any(held)
            and sum(n * (length + kerf) for n, length in zip(held, pieces, strict=True))
            <= stick + kerf + 1e-9
        ]
        rest = {
            tuple(a - b for a, b in zip(left, held, strict=True))
            for left in rest
            for held in fills
            if all(a >= b for a, b in zip(left, held, strict=True))
        }
    return rest


def test_the_longest_offcut_of_up_to_two_dozen_pieces() -> None:
    """In jobs of 13 to 24 pieces of three or four lengths no plan leaves a longer offcut.

    All that the sticks but one may leave over, by every way to cut them, is put into that one
    stick.
    """
    tried = 0
    for seed in range(60):
        chance = random.Random(seed)
        chosen = chance.sample(range(20 * 16, 75 * 16), chance.randrange(3, 5))
        lengths = sorted((number / 16 for number in chosen), reverse=True)
        pieces = dict.fromkeys(lengths, 0)
        for _ in range(chance.randrange(13, 25)):
            pieces[chance.choice(lengths)] += 1
        stock = chance.choice([[150.0, 198.0], [144.0, 192.0], [240.0]])
        plan = plan_sticks(pieces, [Stick(length) for length in stock], 0.125, effort="ordinary")
        count = sum(number for _, _, number in plan.sticks)
        if count > 6:
            continue
        got = max(s - sum(h) - 0.125 * len(h) for s, h, _ in plan.sticks)
        best = 0.0
        for mix in combinations_with_replacement(stock, count):
            if sum(mix) != pytest.approx(plan.bought):
                continue
            for target in set(mix):
                others = list(mix)
                others.remove(target)
                for held in left_by_the_others(pieces, others, 0.125):
                    used = sum(n * (length + 0.125) for n, length in zip(held, pieces, strict=True))
                    if any(held) and used <= target + 0.125 + 1e-9:
                        best = max(best, target - used)
        assert got == pytest.approx(best)
        tried += 1
    assert tried > 40


def test_five_rails_of_a_rectangle() -> None:
    """Three of 1381 go with one of 1675 into the longer stick, and the other 1675 alone leaves the
    longest offcut.

    Kerf 3, trim 10, sticks of 5900 and 3900: one of each is the least that holds three of 1381 and
    two of 1675. Three of 1381 alone leave 5900 - 4143 - 9 = 1748; one of 1675 with them makes 5818
    and three kerfs, 5827 of the 5890 that may be used, and the other alone leaves 3900 - 1675 - 3 =
    2222.
    """
    stock = [Stick(5900), Stick(3900)]
    plan = plan_sticks({1381: 3, 1675: 2}, stock, 3.0, 10.0, effort="ordinary")
    assert plan.sticks == ((5900, (1675, 1381, 1381, 1381), 1), (3900, (1675,), 1))


def test_another_mix_that_costs_as_much() -> None:
    """A mix of other sticks at the same cost is taken where it leaves a longer offcut.

    35 and 30 in two sticks of 55 leave 25 at most. 70 and 40 cost as much: 35 goes into 40, and 30
    leaves 40 of 70; both in 70 would leave 40 empty, a stick too many.
    """
    instance = Instance((35, 30), (1, 1), (70, 55, 40), (70, 55, 40), (9, 9, 9))
    taken = lengthen(instance, ((1, ((0, 1),), 1), (1, ((1, 1),), 1)), 30_000)
    assert sorted(taken) == [(0, ((1, 1),), 1), (2, ((0, 1),), 1)]


def most_left(instance: Instance, sticks: int, cost: int) -> int:
    """The most that one stick has left in any plan of so many sticks at that cost, none of them
    empty, by putting every piece into every stick."""
    pieces = [
        w for w, count in zip(instance.weights, instance.counts, strict=True) for _ in range(count)
    ]
    best = -1
    for mix in combinations_with_replacement(range(len(instance.rooms)), sticks):
        if sum(instance.costs[number] for number in mix) != cost:
            continue
        for places in product(range(sticks), repeat=len(pieces)):
            held = [0] * sticks
            for place, weight in zip(places, pieces, strict=True):
                held[place] += weight
            left = [instance.rooms[number] - full for number, full in zip(mix, held, strict=True)]
            if all(held) and min(left) >= 0:
                best = max(best, *left)
    return best


def small_job(
    seed: int, lengths: range, kinds: int, most: int, rooms: tuple[int, int]
) -> tuple[Instance, Solution]:
    """A random job and a plan of it, with sticks that cost their length.

    kinds: how many lengths of pieces. most: the greatest count of each.
    """
    chance = random.Random(seed)
    weights = tuple(sorted(chance.sample(lengths, kinds), reverse=True))
    counts = tuple(chance.randrange(1, most + 1) for _ in weights)
    instance = Instance(weights, counts, rooms, rooms, (99, 99))
    found = solve(instance, 30_000)
    assert found is not None
    return instance, found


def test_whole_numbers_beside_every_way_to_cut() -> None:
    """With small whole numbers, whose pieces often fill a stick exactly, no way to cut leaves
    more."""
    exact = 0
    for seed in range(300):
        instance, found = small_job(seed, range(3, 9), 3, 2, (14, 11))
        sticks = sum(count for *_, count in found.sticks)
        if sticks > 3:
            continue
        taken = lengthen(instance, found.sticks, 30_000)
        assert _told(instance, taken) == _told(instance, found.sticks)
        assert _longest(instance, taken) == most_left(instance, sticks, found.cost)
        left = [instance.rooms[number] - weigh(fill, instance.weights) for number, fill, _ in taken]
        exact += min(left) == 0 < max(left)
    assert exact > 50


def test_no_stick_is_left_empty() -> None:
    """5 and 5 in two sticks of 20: both would go into one, but the plan keeps its two sticks, and
    either leaves 15."""
    instance = Instance((5,), (2,), (20,), (20,), (9,))
    taken = lengthen(instance, ((0, ((0, 1),), 2),), 30_000)
    assert taken == ((0, ((0, 1),), 2),)


@pytest.mark.parametrize("work", [0, 100, 30_000])
def test_it_is_a_plan_of_the_same_pieces(work: int) -> None:
    """`lengthen` keeps the pieces, the number of sticks and the cost, leaves no stick empty or too
    full, and makes no offcut shorter."""
    for seed in range(30):
        instance, found = small_job(seed, range(5, 15), 4, 3, (31, 24))
        taken = lengthen(instance, found.sticks, work)
        assert _told(instance, taken) == _told(instance, found.sticks)
        assert all(
            0 < weigh(fill, instance.weights) <= instance.rooms[number] for number, fill, _ in taken
        )
        assert _longest(instance, taken) >= _longest(instance, found.sticks)


def test_a_great_many_pieces_are_moved_alone() -> None:
    """Thousands of equal pieces are not looked through one by one.

    One of 2 and 5,000 of 1 come to 5,002: all but one of 1 go into one stick of 5,003, and that one
    leaves 5,002 of the other.
    """
    instance = Instance((2, 1), (1, 5000), (5003, 5003), (1, 1), (9, 9))
    taken = lengthen(instance, ((0, ((0, 1), (1, 2400)), 1), (1, ((1, 2600),), 1)), 20_000_000)
    assert _told(instance, taken) == (2, 2, (1, 5000))
    assert _longest(instance, taken) == 5002


def test_many_sticks_of_two_pieces_each() -> None:
    """50 of 10 lie in 25 sticks of 30, two in each: one stick gives one of its two to another and
    has 20 left, the most that a stick with any piece can have."""
    instance = Instance((10,), (50,), (30,), (30,), (99,))
    taken = lengthen(instance, ((0, ((0, 2),), 25),), 30_000)
    assert _told(instance, taken) == (25, 750, (50,))
    assert _longest(instance, taken) == 20


def _longest(instance: Instance, taken: NumberedSticks) -> int:
    return max(instance.rooms[number] - weigh(fill, instance.weights) for number, fill, _ in taken)


def _told(instance: Instance, taken: NumberedSticks) -> tuple[int, int, tuple[int, ...]]:
    """How many sticks there are, what they cost, and how many pieces of each number they hold."""
    held: Counter[int] = Counter()
    for _, fill, count in taken:
        held.update({i: k * count for i, k in fill})
    sticks = sum(count for _, _, count in taken)
    cost = sum(instance.costs[number] * count for number, _, count in taken)
    return sticks, cost, tuple(held[i] for i in range(len(instance.weights)))


def test_one_length_in_unlike_sticks() -> None:
    """Of one length, the pieces are shared out so that the longer stick has the longer offcut.

    Seven of 28 5/8 and a kerf of 1/8 in a 192 and a 96 less a trim of 1/2: of the 96 three take
    86.25. Six in the 192 and one in the 96 leave 96 - 28.75 = 67.25; four and three leave 192 - 4 *
    28.75 = 77.
    """
    plan = plan_sticks({28.625: 7}, [Stick(96.0), Stick(192.0)], 0.125, 0.5, "ordinary")
    assert plan.sticks == ((192.0, (28.625,) * 4, 1), (96.0, (28.625,) * 3, 1))
