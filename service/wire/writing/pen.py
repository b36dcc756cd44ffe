"""Wire: how the numbers of a reply are written: rounded, and beside those that a person works to
their tape readings (`Pen`).

Most numbers of a deck are alike, so numbers and tape readings are kept once made.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache, partial
from typing import Any, Final

from service.core.measure import (
    DECIMALS,
    TOUCH,
    Length,
    Point,
    ceil_to_mark,
    nearest_mark,
    tape_text,
    tidy,
)
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.rules.words import shop_text

Json = dict[str, Any]
ANGLE: Final = 4
"""Decimals of degrees."""
AMOUNT: Final = 3
"""Decimals of areas and masses."""


def tidy_keeping_marks(value: Length, step: Length, decimals: int) -> float | int:
    """A number rounded to `decimals`, but in full where it lies on a mark of `step`.

    For documents whose marks need more decimals than other numbers are written with.

    >>> tidy_keeping_marks(41.28125, 0.03125, 4), tidy_keeping_marks(41.2812507, 0.03125, 4)
    (41.28125, 41.28125)
    >>> tidy_keeping_marks(1.234567, 0.015625, 4)
    1.2346
    """
    mark = nearest_mark(value, step)
    return tidy(mark, 6) if abs(mark - value) <= TOUCH else tidy(value, decimals)


class Pen:
    """Writes the numbers of one layout."""

    def __init__(self, deck: Deck, kit: Kit) -> None:
        decimals = DECIMALS[deck.unit]
        self.deck, self.kit = deck, kit
        self.step = deck.step
        self.numbers = cache(partial(tidy, decimals=decimals))
        if tidy(deck.step, decimals) != deck.step:
            self.numbers = cache(partial(tidy_keeping_marks, step=deck.step, decimals=decimals))
        self.angles = cache(partial(tidy, decimals=ANGLE))
        self.texts = cache(partial(tape_text, unit=deck.unit, step=deck.step))
        self.panes = cache(self._pane)

    def named(self, name: str, value: Length) -> Json:
        """A length that a person works to, with its tape reading."""
        return {name: self.numbers(value), f"{name}_text": self.texts(value)}

    def rounded_up(self, name: str, value: Length) -> Json:
        """A length that a piece is cut from, with its tape reading, rounded up to a mark.

        The number is rounded as it is written first, so that one on a mark reads as that mark.
        """
        number = self.numbers(value)
        return {name: number, f"{name}_text": self.texts(ceil_to_mark(number, self.step))}

    def listed(self, name: str, values: Sequence[Length]) -> Json:
        """A list of lengths that a person works to, with their tape readings."""
        return {name: [*map(self.numbers, values)], f"{name}_text": [*map(self.texts, values)]}

    def points(self, points: Iterable[Point]) -> list[list[float]]:
        """Points in plan, or corners of a panel."""
        numbers = self.numbers
        return [[numbers(x), numbers(y)] for x, y in points]

    def _pane(self, pane: int) -> Json:
        """Thickness and type of a pane, by its number in the kit's list."""
        assert self.kit.glass is not None
        found = self.kit.glass.panes[pane]
        return {
            "thickness": self.numbers(found.nominal),
            "thickness_text": shop_text(found, self.kit.unit),
            "type": found.type,
        }
