"""Drawings: letters that a file cannot show, told by their numbers."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable


def spelled(text: str, has: Callable[[int], bool]) -> str:
    """One line of text in which every letter that cannot be shown is its code point in brackets.

    has: whether there is a letter for a code point beyond ASCII. What breaks a line or sets a space
    is a space; an accent that stands by itself joins its letter where there is one letter for both.
    A control or what is invisible (a mark that turns the direction of text, say) is told by its
    number too.

    >>> spelled("Deck 甲\\n\\u202e", lambda point: point < 0x3000)
    'Deck [U+7532] [U+202E]'
    >>> spelled("Cafe\\u0301 x\\u0301", lambda point: point < 0x0300)
    'Café x[U+0301]'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_shown(letter, has) for letter in unicodedata.normalize("NFC", text))


def _shown(letter: str, has: Callable[[int], bool]) -> str:
    if letter.isspace():
        return " "
    if letter.isprintable() and (letter.isascii() or has(ord(letter))):
        return letter
    return f"[U+{ord(letter):04X}]"
