"""Whether pieces go into a few sticks, by hand and compared with every way to put them there."""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import cache
from itertools import product

import pytest

from service.core.stock.completing import PlainSearch
from service.core.stock.fills import Work, WorkUsedUp, weigh


def goes_in(weights: Sequence[int], left: tuple[int, ...], rooms: Sequence[int]) -> bool:
    """Whether all pieces go into the rooms, by trying every way to put them there one after
    another."""
    pieces = [weight for weight, count in zip(weights, left, strict=True) for _ in range(count)]

    @cache
    def put(at: int, space: tuple[int, ...]) -> bool:
        if at == len(pieces):
            return True
        return any(
            put(at + 1, tuple(sorted((*space[:i], free - pieces[at], *space[i + 1 :]))))
            for i, free in enumerate(space)
            if free >= pieces[at]
        )

    return put(0, tuple(sorted(rooms)))


def fullest(weights: Sequence[int], counts: Sequence[int], room: int) -> int:
    """The greatest weight of any fill of a room."""
    fills = product(*(range(count + 1) for count in counts))
    weighed = (sum(n * w for n, w in zip(fill, weights, strict=True)) for fill in fills)
    return max(weight for weight in weighed if weight <= room)


def test_beside_every_way_to_put_them() -> None:
    """In 400 searches of 80 jobs, all of a job's with one PlainSearch, the answer is that of trying
    all ways, and the fills that are found hold just the pieces asked for and are no fuller than
    their rooms."""
    said = {True: 0, False: 0}
    for seed in range(80):
        chance = random.Random(seed)
        weights = sorted(chance.sample(range(3, 30), chance.randrange(2, 6)), reverse=True)
        counts = tuple(chance.randrange(1, 4) for _ in weights)
        rooms = [chance.randrange(weights[0], 60) for _ in range(chance.randrange(1, 4))]
        most = {room: fullest(weights, counts, room) for room in rooms}
        search = PlainSearch(weights, counts, most)
        for _ in range(5):
            left = tuple(chance.randrange(count + 1) for count in counts)
            found = search.fill(left, rooms, Work(10_000))
            assert (found is not None) == goes_in(weights, left, rooms)
            said[found is not None] += 1
            if found is not None:
                for fill, room in zip(found, rooms, strict=True):
                    assert weigh(fill, weights) <= room
                held = [sum(dict(fill).get(i, 0) for fill in found) for i in range(len(weights))]
                assert tuple(held) == left
    assert min(said.values()) > 100


def test_what_was_listed_serves_a_search_that_may_waste_more() -> None:
    """There are two pieces each of 7 and 4, and rooms of 11 and 15, 26 in all. The first search is
    for 22 of the pieces, the next for 18 and the last for 11, so that 4 may be left over, then 8,
    then 15."""
    search = PlainSearch((7, 4), (2, 2), {11: 11, 15: 15})
    for left in ((2, 2), (2, 1), (1, 1)):
        found = search.fill(left, (11, 15), Work(100))
        assert found is not None
        assert sum(weigh(fill, (7, 4)) for fill in found) == 7 * left[0] + 4 * left[1]


def test_it_ends_where_the_work_does() -> None:
    """Eighteen unlike pieces for six rooms that would be full to the last: the search is spent
    after three steps, without an answer."""
    weights = tuple(range(60, 24, -2))
    rooms = (sum(weights) // 6,) * 6
    search = PlainSearch(weights, (1,) * 18, {rooms[0]: rooms[0]})
    with pytest.raises(WorkUsedUp):
        search.fill((1,) * 18, rooms, Work(3))
