"""Drawings: letters that a file cannot show, replaced by plainer ones or by their code points."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from typing import Final

FORMS: Final = ("<wide>", "<narrow>", "<square>", "<font>", "<compat>")
"""Unicode's tags for a letter in another form.

The forms are full and half width, several letters in a square or in one sign, and the alphabets of
formulas.
"""
ALIKE: Final = {"\u2010": "-", "\u2011": "-", "\u2300": "Ø", "\u2205": "Ø"}
"""Hyphens and diameter signs that a font may lack, with the usual letter that replaces each."""


def spelled(text: str, has: Callable[[int], bool]) -> str:
    """One line of text with every letter that cannot be shown replaced by others that can.

    The replacement is a plainer form of the letter (mm for the square sign for millimetres), or
    else its code point in brackets. has: whether there is a glyph for a code point beyond ASCII.
    Line breaks and every kind of space become a space. An accent that stands by itself joins its
    letter where one letter stands for both. Controls and other invisible characters (a mark that
    turns the direction of text, say) are replaced by their code points too.

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
    """A plainer form of a letter; empty where there is none.

    There is none either where it would say less than the letter, as for a raised figure or a
    fraction.
    """
    form, *points = unicodedata.decomposition(letter).split() or ("",)
    if form in FORMS:
        return "".join(chr(int(point, 16)) for point in points)
    return ALIKE.get(letter, "")
