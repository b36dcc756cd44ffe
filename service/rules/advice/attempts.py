"""Rules: a change to try, as a value (`Attempt`): its steps as a JSON Patch of the document, its
words, and the deck and the kit that result."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.rules.words import count_text

TOLD_PARTS: Final = 3
"""How many parts of a change its words tell at the most; its steps have them all."""


class Step(NamedTuple):
    """One step of a change, as an operation of a JSON Patch (RFC 6902).

    path: where in the document. value: what stands there then. source: where the value is copied
    from, if it is in the document already. removes: whether what stands at `path` is taken out.
    """

    path: str
    value: object = None
    source: str | None = None
    removes: bool = False


class Part(NamedTuple):
    """One thing that a change does. words: what it is, to follow "with"."""

    words: str
    steps: tuple[Step, ...]


class Move(NamedTuple):
    """Something that a change moves, perhaps further than is needed.

    marks: how far it is moved, in marks, negative the other way. fails: a distance in marks that is
    too short either way. at: a change with this moved by another number of marks; None where there
    is no such place.
    """

    marks: int
    fails: int
    at: Callable[[Attempt, int], Attempt | None]


class Attempt(NamedTuple):
    """A change to try, and the deck and the kit that result from it.

    parts: what it does, in order; none for the document as it stands. moves: what in it may be
    moved less far.
    """

    parts: tuple[Part, ...]
    deck: Deck
    kit: Kit
    moves: tuple[Move, ...] = ()

    @property
    def words(self) -> str:
        """What the change does, to follow "with"; of many parts the first few."""
        told = [part.words for part in self.parts[:TOLD_PARTS]]
        if len(self.parts) > TOLD_PARTS:
            more = count_text(len(self.parts) - TOLD_PARTS, "more change")
            told.append(f"{more} like these")
        return ", and ".join(told)

    @property
    def steps(self) -> tuple[Step, ...]:
        """The change as a JSON Patch."""
        return tuple(step for part in self.parts for step in part.steps)

    def also(
        self, words: str, steps: Sequence[Step], *, deck: Deck | None = None, kit: Kit | None = None
    ) -> Attempt:
        """The change with a further part. deck, kit: with that part; None where it changes neither.

        An earlier part is dropped where the new part sets all of its members again. None is dropped
        once something has been taken out, as paths may then lead to other things than before.
        """
        kept = self.parts
        if not any(step.removes for step in (*self.steps, *steps)):
            paths = {step.path for step in steps if not step.path.endswith("/-")}
            kept = tuple(p for p in kept if not {step.path for step in p.steps} <= paths)
        part = Part(words, tuple(steps))
        return Attempt((*kept, part), deck or self.deck, kit or self.kit, self.moves)

    def moving(self, move: Move) -> Attempt:
        """The change, with one more thing that may be moved less far."""
        return self._replace(moves=(*self.moves, move))

    def called(self, words: str) -> Attempt:
        """The change as a single part with these words."""
        return self._replace(parts=(Part(words, self.steps),))
