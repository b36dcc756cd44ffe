"""Rules: a change to try, as a value: its steps by the members of the document, its words, and the
deck and the kit with it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, NamedTuple

from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.rules.words import count_text

TOLD_PARTS: Final = 3
"""Parts of a change that are told in words; its steps have them all."""


class Step(NamedTuple):
    """One step of a change, as a JSON Patch (RFC 6902): where, and what stands there then.

    source: where that is copied from, where it is in the document already. removes: that what
    stands there goes.
    """

    path: str
    value: object = None
    source: str | None = None
    removes: bool = False


class Part(NamedTuple):
    """One of the things that a change does. words: what it is, to follow "with"."""

    words: str
    steps: tuple[Step, ...]


class Move(NamedTuple):
    """One of the things that a change moves, as far as a trial shows that it has to go. marks: how
    far, below 0 the other way; fails: how far it was tried in vain, either way; at: the same so
    many marks far, in the place of that in a change, or None where there is no such place."""

    marks: int
    fails: int
    at: Callable[[Attempt, int], Attempt | None]


class Attempt(NamedTuple):
    """A change to try, and the deck and the kit with it. parts: what it does, one after the other;
    none of the document as it stands. moves: what of that may be less."""

    parts: tuple[Part, ...]
    deck: Deck
    kit: Kit
    moves: tuple[Move, ...] = ()

    @property
    def words(self) -> str:
        """What the change is; of many parts the first."""
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
        """The same with a further part, and the deck or the kit with it. A part of which all is
        given other values by it falls away, as long as nothing was taken out, which would give
        places other numbers."""
        kept = self.parts
        if not any(step.removes for step in (*self.steps, *steps)):
            paths = {step.path for step in steps if not step.path.endswith("/-")}
            kept = tuple(p for p in kept if not {step.path for step in p.steps} <= paths)
        part = Part(words, tuple(steps))
        return Attempt((*kept, part), deck or self.deck, kit or self.kit, self.moves)

    def moving(self, move: Move) -> Attempt:
        """The same, of which that is a move."""
        return self._replace(moves=(*self.moves, move))

    def called(self, words: str) -> Attempt:
        """The same as one part of those words."""
        return self._replace(parts=(Part(words, self.steps),))
