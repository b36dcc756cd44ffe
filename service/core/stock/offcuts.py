"""Core: the plan of given cost and number of sticks with the longest single offcut (method 12).

Pieces of the first plan are moved and exchanged first. Then fills that would leave more are tried,
in this mix of sticks and in every other at the same cost, as far as the counted work goes. Rooms
are not divided by a common factor here, as they are for `planning`: what no piece fits into is part
of an offcut too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from service.core.stock.emptying import empty_one
from service.core.stock.fills import Work, weigh
from service.core.stock.instance import Instance, NumberedSticks

MOST_TRIED: Final = 24
"""With up to this many sticks of a part, each is tried as the one with the longest offcut."""
STICK_SHARE: Final = 0.6
"""Share of an effort's work that the search for a stick to empty may take."""
MOST_WORK: Final = 30_000
"""The most work that this search may take."""
MOVES_WEIGHED: Final = 1_000_000
"""About how many moves and exchanges are weighed for one part."""
Contents: TypeAlias = dict[int, int]
"""What a stick holds: how many pieces, by the index of their length."""


@dataclass(slots=True)
class _Sticks:
    """Sticks by the index of their kind, and what each holds."""

    numbers: list[int]
    contents: list[Contents]

    def left(self, instance: Instance) -> list[int]:
        """The offcut of each stick."""
        return [
            instance.rooms[number] - weigh(tuple(content.items()), instance.weights)
            for number, content in zip(self.numbers, self.contents, strict=True)
        ]

    def numbered(self) -> NumberedSticks:
        """These sticks as a plan gives them, a row each."""
        return tuple(
            (number, tuple(sorted(content.items())), 1)
            for number, content in zip(self.numbers, self.contents, strict=True)
        )


def lengthen(instance: Instance, placed: NumberedSticks, work: int) -> NumberedSticks:
    """A plan of as many sticks, none empty, at the same cost, whose longest offcut is no shorter.

    placed: the plan to start from; work: that of the effort, of which a share is spent here.

    >>> instance = Instance((6, 5, 3), (1, 1, 2), (12,), (12,), (9,))
    >>> lengthen(instance, ((0, ((0, 1), (2, 1)), 1), (0, ((1, 1), (2, 1)), 1)), 1000)
    ((0, ((1, 1),), 1), (0, ((0, 1), (2, 2)), 1))
    """
    numbers = [number for number, _, count in placed for _ in range(count)]
    sticks = _Sticks(numbers, [dict(fill) for _, fill, count in placed for _ in range(count)])
    best, longest = _gathered(instance, sticks)
    share = Work(min(MOST_WORK, int(work * STICK_SHARE)))
    return empty_one(instance, numbers, longest, share) or (
        placed if best is None else best.numbered()
    )


def _gathered(instance: Instance, sticks: _Sticks) -> tuple[_Sticks | None, int]:
    """The same pieces in the same sticks, moved and exchanged for a longer offcut; and that offcut.

    None, and the longest offcut as it was, where that is not found. Of few sticks, each is tried as
    the one with that offcut; of many, only the emptiest.
    """
    room = sticks.left(instance)
    longest, alike = max(room), len(instance.weights) == 1
    if len(room) < 2 or (alike and not _can_grow(instance, sticks, room, longest)):
        return None, longest
    fills = (tuple(sorted(content.items())) for content in sticks.contents)
    kinds = zip(sticks.numbers, fills, strict=True)
    tried = list({kind: i for i, kind in enumerate(kinds)}.values())
    if len(room) > MOST_TRIED:
        tried = [max(range(len(room)), key=room.__getitem__)]
    best, moves = None, MOVES_WEIGHED
    lengths = sum(map(len, sticks.contents))
    for target in tried:
        contents, left = [dict(content) for content in sticks.contents], list(room)
        each = 1 + lengths * len(contents[target])
        while moves > each and _relieve(instance.weights, contents, left, target):
            moves -= each
        if left[target] > longest:
            longest, best = left[target], _Sticks(sticks.numbers, contents)
    return best, longest


def _can_grow(instance: Instance, sticks: _Sticks, room: Sequence[int], longest: int) -> bool:
    """Whether pieces that are all alike can be moved so that a stick has more left than `longest`.

    The other sticks take as many of its pieces as they have room for; one piece stays.
    """
    weight = instance.weights[0]
    spare = sum(left // weight for left in room)
    return any(
        left + weight * min(content[0] - 1, spare - left // weight) > longest
        for left, content in zip(room, sticks.contents, strict=True)
    )


def _relieve(
    weights: Sequence[int], contents: list[Contents], left: list[int], target: int
) -> bool:
    """Make the one move or exchange that adds most to a stick's offcut. Returns whether any does.

    The target gives a piece to another stick, or exchanges it for a shorter piece of that stick. No
    stick is emptied.
    """
    gain, _, to, piece, other = _best_move(weights, contents, left, target)
    if gain <= 0:
        return False
    _hand_over(contents[target], contents[-to], piece)
    if other >= 0:
        _hand_over(contents[-to], contents[target], other)
    left[target] += gain
    left[-to] -= gain
    return True


def _hand_over(giver: Contents, taker: Contents, piece: int) -> None:
    """Move one piece from a stick to another."""
    taker[piece] = taker.get(piece, 0) + 1
    giver[piece] -= 1
    if not giver[piece]:
        del giver[piece]


def _best_move(
    weights: Sequence[int], contents: list[Contents], left: list[int], target: int
) -> tuple[int, int, int, int, int]:
    """The move or exchange that adds most to the offcut of a stick.

    It is the gain, minus the other stick's offcut, minus its index, the piece that leaves, and the
    piece that comes for it (-1 for none); of several with one gain, the greatest as these are
    compared. The gain is 0 where none adds to it.
    """
    best = 0, 0, 0, 0, 0
    mine = [(piece, weights[piece]) for piece in contents[target]]
    nothing = [] if sum(contents[target].values()) == 1 else [(-1, 0)]
    for i, content in enumerate(contents):
        # No move gains more than the other stick has room for.
        if i == target or left[i] < best[0] or not left[i]:
            continue
        others = nothing + [(other, weights[other]) for other in content]
        for piece, weight in mine:
            for other, back in others:
                move = weight - back, -left[i], -i, piece, other
                if 0 < move[0] <= left[i] and move > best:
                    best = move
    return best
