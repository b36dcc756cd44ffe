"""Core: a run before it is divided, and the clear openings that given marks leave in it (method 4).

A run is described by its length, what stands at its ends, and where no post may stand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from service.core.frozen import record
from service.core.measure import TOUCH, FromTo, Length


@record()
class Bounds:
    """What the bays of a run have to keep.

    most: the greatest spacing; step: of the grid that posts stand on; panel_fits: whether the panel
    for a clear is within the kit's size and area.
    """

    most: Length
    step: Length
    panel_fits: Callable[[Length], bool]


def number_alike(clears: Sequence[Length], step: Length) -> tuple[int, ...]:
    """A number for each of some clear openings; those with the same number are alike.

    The widest and all within two steps of it are 0, then the widest of the others with those near
    it are 1, and so on. Two steps are as much as marks on the grid can make equal bays differ.

    >>> number_alike([62.5625, 62.4375, 62.375], 0.0625)
    (0, 0, 1)
    """
    numbers: dict[Length, int] = {}
    head, number = max(clears), 0
    for clear in sorted(set(clears), reverse=True):
        if head - clear > 2 * step + TOUCH:
            head, number = clear, number + 1
        numbers[clear] = number
    return tuple(numbers[clear] for clear in clears)


@record()
class Span:
    """A run to divide.

    length: terminal to terminal; halves: from each terminal to the face there, 0 at a wall; width,
    base: of a post and of its base; rooms: from a wall at each end to the nearest post's centre, 0
    at a post. forbidden: open intervals, from the run's start and in order, in which no post's
    centre may lie.
    """

    length: Length
    halves: tuple[Length, Length]
    width: Length
    base: Length
    forbidden: tuple[FromTo, ...] = ()
    rooms: tuple[Length, Length] = (0.0, 0.0)

    def apart(self) -> tuple[Length, Length, Length]:
        """The least spacings at which bases stand clear of one another and of walls.

        Of the first bay, of those between, and of the last.

        >>> Span(120.0, (0.0, 1.125), 2.25, 4.5, rooms=(2.25, 0.0)).apart()
        (2.25, 4.5, 4.5)
        """
        (first, last), rooms = self.halves, self.rooms
        return self.base if first else rooms[0], self.base, self.base if last else rooms[1]

    def is_forced(self) -> bool:
        """Whether any place where no post may stand reaches into the run."""
        return any(low < self.length and high > 0 for low, high in self.forbidden)

    def kinds(self, bays: int, most: Length, step: Length) -> tuple[int, ...]:
        """The kind of each bay, numbered from 0; only bays of one kind share their clear.

        Bays are of one kind where spacings within `most` can make their clears alike, as
        `number_alike` has it. A wall takes up nothing of a spacing and a post off square takes up
        more, so the bay at a wall is the wider one.

        >>> Span(138.0, (1.125, 0.0), 2.25, 4.5).kinds(2, 69.0, 0.0625)
        (1, 0)
        >>> Span(137.0, (1.125, 0.0), 2.25, 4.5).kinds(2, 69.0, 0.0625)
        (0, 0)
        """
        if self.halves == (self.width / 2, self.width / 2):
            return (0,) * bays  # Every bay takes up as much of its spacing.
        reach = [self.halves[0], *[self.width / 2] * (bays - 1), self.halves[1]]
        taken = [a + b for a, b in pairwise(reach)]
        # The most even clears that keep each bay within its own bound; the tightest bounds come
        # first.
        bounds = sorted(most - each for each in taken)
        left, widest = self.length - sum(taken), bounds[-1]
        for i, bound in enumerate(bounds):
            if bound * (bays - i) >= left:
                widest = left / (bays - i)
                break
            left -= bound
        return number_alike([min(widest, most - each) for each in taken], step)

    def even_clear(self, bays: int) -> Length:
        """The clear of each bay, where there are this many equal ones."""
        between = self.length - sum(self.halves) - (bays - 1) * self.width
        return between / bays

    def clears(self, inner: Sequence[Length]) -> list[Length]:
        """The clear openings between these inner marks, and between them and the run's ends."""
        marks = (0.0, *inner, self.length)
        clears = [b - a - self.width for a, b in pairwise(marks)]
        clears[0] += self.width / 2 - self.halves[0]
        clears[-1] += self.width / 2 - self.halves[1]
        return clears
