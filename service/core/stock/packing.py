"""Core: putting pieces into sticks that are already chosen (method 12), without a search.

A packing is a list of filled sticks; `sticks_by_room` gives the number of sticks of each room.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, TypeAlias

from service.core.stock.fills import FILL_STEPS, Fill, Work, best_fill, greedy_fill, rank

FilledSticks: TypeAlias = tuple[int, Fill, int]
"""A room, the fill of a stick of that room, and how many sticks are filled so."""
ENOUGH_STEPS: Final = 50
"""Steps after which a fill is full enough, where not all pieces have to go in."""


def pack_greedily(
    weights: Sequence[int], left: Sequence[int], sticks_by_room: Mapping[int, int]
) -> list[FilledSticks] | None:
    """A packing by longest piece first, stick after stick; None where pieces are left over.

    The roomiest sticks are filled first; where that leaves pieces over, the least roomy first.

    >>> pack_greedily((5, 3), (2, 2), {8: 2})
    [(8, ((0, 1), (1, 1)), 2)]
    """
    rooms = sorted(sticks_by_room, reverse=True)
    filled = _fill_in_turn(weights, list(left), sticks_by_room, rooms)
    if filled is None and len(rooms) > 1:
        filled = _fill_in_turn(weights, list(left), sticks_by_room, rooms[::-1])
    return filled


def _fill_in_turn(
    weights: Sequence[int], left: list[int], sticks_by_room: Mapping[int, int], rooms: Sequence[int]
) -> list[FilledSticks] | None:
    filled: list[FilledSticks] = []
    for room in rooms:
        number = sticks_by_room[room]
        while number:
            fill = greedy_fill(weights, left, room)
            if not fill:
                break
            count = take_off(left, fill, number)
            number -= count
            filled.append((room, fill, count))
    return None if any(left) else filled


def take_off(left: list[int], fill: Fill, most: int) -> int:
    """Take a fill off the pieces left as often as possible, up to `most` times. Returns how often.

    >>> left = [5, 3]
    >>> take_off(left, ((0, 2), (1, 1)), 9), left
    (2, [1, 1])
    """
    count = min(most, *[left[i] // k for i, k in fill])
    for i, k in fill:
        left[i] -= k * count
    return count


def pack_fullest(
    weights: Sequence[int], left: Sequence[int], sticks_by_room: Mapping[int, int], work: Work
) -> list[FilledSticks] | None:
    """A packing that leaves little over in each stick; None where pieces are left over.

    Each time, the longest piece left goes into the stick, with the other pieces, that leave the
    least over.
    """
    rest, filled = list(left), []
    for stick in _filled_fullest(weights, rest, dict(sticks_by_room), work, FILL_STEPS):
        if stick is None:
            return None
        filled.append(stick)
    return None if any(rest) else filled


def fill_fullest(
    weights: Sequence[int], left: list[int], sticks_by_room: Mapping[int, int], work: Work
) -> list[FilledSticks]:
    """As `pack_fullest`, but with whatever pieces go in, which are taken off `left`.

    >>> left = [1, 2, 1]
    >>> fill_fullest((6, 5, 3), left, {12: 1}, Work(99)), left
    ([(12, ((0, 1), (1, 1)), 1)], [0, 1, 1])
    """
    filled = _filled_fullest(weights, left, dict(sticks_by_room), work, ENOUGH_STEPS)
    return [stick for stick in filled if stick is not None]


def _filled_fullest(
    weights: Sequence[int], rest: list[int], numbers: dict[int, int], work: Work, patience: int
) -> Iterator[FilledSticks | None]:
    """Yield filled sticks one after another, and None where no stick takes the longest piece left.

    patience: as for `best_fill`.
    """
    for first in range(len(rest)):
        while rest[first] and any(numbers.values()):
            found = _fullest(weights, rest, first, numbers, work, patience)
            if found is None:
                yield None
                break
            room, fill = found
            count = take_off(rest, fill, numbers[room])
            numbers[room] -= count
            yield room, fill, count


def _fullest(
    weights: Sequence[int],
    rest: list[int],
    first: int,
    sticks_by_room: Mapping[int, int],
    work: Work,
    patience: int,
) -> tuple[int, Fill] | None:
    """The room, and the fill with a piece `first` in it, that leave the least over; None where none
    holds it."""
    rest[first] -= 1
    ranked = rank(weights, weights, rest)
    best: tuple[int, int, Fill] | None = None
    for room, number in sorted(sticks_by_room.items()):
        space = room - weights[first]
        if number and space >= 0:
            worth = best_fill(ranked, space, -1, work, patience)
            if best is None or space - worth.value < best[0]:
                best = space - worth.value, room, worth.fill
    rest[first] += 1
    if best is None:
        return None
    counts = dict(best[2])
    counts[first] = counts.get(first, 0) + 1
    return best[1], tuple(sorted(counts.items()))


def pack_rounded(
    weights: Sequence[int],
    left: Sequence[int],
    sticks_by_room: Mapping[int, int],
    parts: Mapping[tuple[int, Fill], float],
    work: Work,
) -> list[FilledSticks] | None:
    """A packing rounded from a relaxation; None where pieces are left over.

    The relaxation's filled sticks are taken as often as it has them whole, then once more each
    where possible, the most nearly whole first. The rest is packed greedily or, where that fails,
    by `pack_fullest`. parts: how much the relaxation has of each filled stick.
    """
    rest, numbers = list(left), dict(sticks_by_room)
    whole = {stick: int(amount + 1e-6) for stick, amount in parts.items()}
    filled = []
    nearly = sorted(parts, key=lambda stick: whole[stick] - parts[stick])
    for most, order in ((whole, list(parts)), (dict.fromkeys(parts, 1), nearly)):
        for room, fill in order:
            count = take_off(rest, fill, min(most[room, fill], numbers[room]))
            if count:
                numbers[room] -= count
                filled.append((room, fill, count))
    more = pack_greedily(weights, rest, numbers)
    if more is None:
        more = pack_fullest(weights, rest, numbers, work)
    return None if more is None else filled + more
