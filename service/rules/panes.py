"""Rules: what the words of a kit say that a pane of glass is.

They are the kit's own; what they do not say is not guessed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

_MAKES: Final = {
    "laminated": re.compile(r"\blaminat", re.IGNORECASE),
    "tempered": re.compile(r"\b(fully[ -])?(temper|toughen)", re.IGNORECASE),
    "wired": re.compile(r"\bwired?\b", re.IGNORECASE),
    "heat-strengthened": re.compile(r"\bheat[ _-]?strengthen", re.IGNORECASE),
    "annealed": re.compile(r"\b(anneal|float\b|plain\b|ordinary\b)", re.IGNORECASE),
}
"""Makes of glass by the words that a kit's pane may use, the safest first."""
_DENIED: Final = re.compile(r"\b(not|non|un|never)[ -]*[a-z]+", re.IGNORECASE)
"""A word that says what a pane is not."""
STRONG_PLIES: Final = ("tempered", "heat-strengthened")


def make_of(words: str) -> str | None:
    """What a pane is, by the kit's own words; None where they do not say.

    >>> make_of("Laminated, of tempered plies"), make_of("toughened"), make_of("float")
    ('laminated', 'tempered', 'annealed')
    >>> make_of("tempered, not laminated"), make_of("clear") is None
    ('tempered', True)
    """
    return next(_told(words), None)


def single_make_of(words: str) -> str | None:
    """What a pane of one sheet is, where the words name one make and no other.

    >>> single_make_of("fully tempered"), single_make_of("tempered or annealed")
    ('tempered', None)
    """
    told = list(_told(words))
    return told[0] if len(told) == 1 else None


def plies_of(words: str) -> str | None:
    """What the plies of a laminated pane are; None where the words do not say.

    >>> plies_of("laminated tempered"), plies_of("laminated"), plies_of("laminated float")
    ('tempered', None, 'annealed')
    """
    return next((make for make in _told(words) if make != "laminated"), None)


def _told(words: str) -> Iterator[str]:
    said = _DENIED.sub("", words)
    return (make for make, told in _MAKES.items() if told.search(said))
