"""Drawings: letters that a file cannot show, told by their numbers."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from typing import Final

FORMS: Final = ("<wide>", "<narrow>", "<square>", "<font>", "<compat>")
"""What Unicode calls a letter in another form: as wide as a Chinese one or half as wide, several in
a square or in one sign, in the letters of formulas."""
ALIKE: Final = {"\u2010": "-", "\u2011": "-", "\u2300": "Ø", "\u2205": "Ø"}
"""Hyphens, and signs of a diameter, as a font has them that has no others."""


def spelled(text: str, has: Callable[[int], bool]) -> str:
    """One line of text in which every letter that cannot be shown stands in a plainer form that can
    (a sign for millimetres is mm), or else is its code point in brackets.

    has: whether there is a letter for a code point beyond ASCII. What breaks a line or sets a space
    is a space; an accent that stands by itself joins its letter where there is one letter for both.
    A control or what is invisible (a mark that turns the direction of text, say) is told by its
    number too.

    >>> spelled("Deck 甲\\n\\u202e", lambda point: point < 0x3000)
    'Deck [U+7532] [U+202E]'
    >>> spelled("Cafe\\u0301 x\\u0301", lambda point: point < 0x0300)
    'Café x[U+0301]'
    >>> spelled("１２ ㎜ ⅓", lambda point: point < 0x0300)
    '12 mm [U+2153]'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_shown(letter, has) for letter in unicodedata.normalize("NFC", text))


def _shown(letter: str, has: Callable[[int], bool]) -> str:
    if letter.isspace():
        return " "
    plain = (letter, _plainer(letter))
    can = (each for each in plain if each and all(_can_be_shown(one, has) for one in each))
    return next(can, f"[U+{ord(letter):04X}]")


def _can_be_shown(letter: str, has: Callable[[int], bool]) -> bool:
    return letter.isprintable() and (letter.isascii() or has(ord(letter)))


def _plainer(letter: str) -> str:
    """The same in a plainer form; nothing where Unicode knows none that says no less, as a raised
    figure or a fraction would."""
    form, *points = unicodedata.decomposition(letter).split() or ("",)
    if form in FORMS:
        return "".join(chr(int(point, 16)) for point in points)
    return ALIKE.get(letter, "")
