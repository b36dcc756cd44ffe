"""Drawings: text that stands in one cell or on one line, whatever a caller put into it."""

from __future__ import annotations

import re
from typing import Final

_BREAKS: Final = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029]+")
"""Control characters, and what else a line may end at."""
_TURNS: Final = re.compile("[\u202a-\u202e\u2066-\u2069]")
"""Marks that make the text after them read in another order, as far as the line goes: a number
beside them would read backwards."""
_NOTHING: Final = re.compile("[\ufdd0-\ufdef\ufffe\uffff]")
"""Code points that are no characters; XML and HTML refuse them."""


def one_line(text: str) -> str:
    """Text without line breaks and control characters, a space for each stretch of them, and
    without marks that turn the order of what is beside it.

    >>> one_line("Back\\r\\ndeck\\t\\x00"), one_line("\\u202e12"), one_line("חצר 3")
    ('Back deck ', '12', 'חצר 3')
    """
    return _NOTHING.sub("\ufffd", _TURNS.sub("", _BREAKS.sub(" ", text)))
