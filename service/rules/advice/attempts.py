"""Rules: a change to try, as a value: its steps by the members of the document, its words, and the
deck and the kit with it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from service.core.records.deck import Deck
from service.core.records.kit import Kit

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


class Attempt(NamedTuple):
    """A change to try, and the deck and the kit with it. parts: what it does, one after the other;
    none of the document as it stands."""

    parts: tuple[Part, ...]
    deck: Deck
    kit: Kit

    @property
    def words(self) -> str:
        """What the change is; of many parts the first."""
        told = [part.words for part in self.parts[:TOLD_PARTS]]
        if len(self.parts) > TOLD_PARTS:
            told.append(f"{len(self.parts) - TOLD_PARTS} more changes like these")
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
        return Attempt((*kept, Part(words, tuple(steps))), deck or self.deck, kit or self.kit)

    def called(self, words: str) -> Attempt:
        """The same as one part of those words."""
        return self._replace(parts=(Part(words, self.steps),))
