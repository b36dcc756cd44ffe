"""Rules: how a pane of glass is made, as its kit says in the words of the pane's type and in its
strength (`made_in`).

The words are the kit's own. What they do not say is not guessed, and words that deny something or
offer a choice say nothing.
"""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from service.core.records.kit import Kit
from service.core.records.strength import GlassMake

_MAKES: Final = {
    "laminated": re.compile(r"\blaminat", re.IGNORECASE),
    "tempered": re.compile(r"\b(fully[ -])?(temper|toughen)", re.IGNORECASE),
    "wired": re.compile(r"\bwired?\b", re.IGNORECASE),
    "heat-strengthened": re.compile(r"\bheat[ _-]?strengthen", re.IGNORECASE),
    "annealed": re.compile(r"\b(anneal|float\b|plain\b|ordinary\b)", re.IGNORECASE),
}
"""Makes of glass, by the words that a kit may use for a pane."""
_OPEN: Final = re.compile(
    r"\b(not|no|nor|non|none|never|neither|without|either|or|if|on request|optional(ly)?)\b"
    r"|\b(non|un)(lamin|temper|tough|wired|anneal)|/",
    re.IGNORECASE,
)
"""Words that deny a make, or leave open which it is."""
STRONG_PLIES: Final = ("tempered", "heat-strengthened")


class Made(NamedTuple):
    """How a pane is made. plies: the make of a laminated pane's plies, None where that is not
    said."""

    make: str
    plies: str | None = None

    @property
    def words(self) -> str:
        """The make in words."""
        return self.make if self.plies is None else f"{self.make} of {self.plies} plies"


def made_of(words: str) -> Made | None:
    """How a pane is made by the words of its type; None where they do not name one make.

    >>> made_of("Laminated, of tempered plies"), made_of("toughened")
    (Made(make='laminated', plies='tempered'), Made(make='tempered', plies=None))
    >>> [made_of(words) for words in ("tempered, not laminated", "tempered or float", "clear")]
    [None, None, None]
    """
    if _OPEN.search(words):
        return None
    told = [make for make, words_of in _MAKES.items() if words_of.search(words)]
    if told[:1] == ["laminated"] and len(told) < 3:
        return Made(*told)
    return Made(told[0]) if len(told) == 1 else None


def made_in(kit: Kit, index: int) -> Made | str:
    """How a pane of the kit is made, by its strength and its type together.

    index: the pane's in the kit's list. Where that is not known, words for why, to follow `the
    kit`.
    """
    assert kit.glass is not None
    words = kit.glass.panes[index].type
    said, given = made_of(words), given_for(kit, index)
    if given is None:
        return said or f'calls the glass "{words}", which does not say its make'
    make = given.make.replace("_", "-")
    told = Made("laminated", make) if given.plies > 1 else Made(make)
    if said is None:
        return told
    apart = said.make == "laminated" and given.plies == 1  # a count left out is 1 too
    if (said.plies or make) != make or (not apart and said.make != told.make):
        return f'calls the glass "{words}" and says in strength.panes that it is {told.words}'
    return Made("laminated", make) if apart else told


def given_for(kit: Kit, index: int) -> GlassMake | None:
    """What the kit's strength says of a pane; None where it says nothing."""
    makes = kit.strength.panes if kit.strength is not None else ()
    return next((made for made in makes if made.pane == index), None)
