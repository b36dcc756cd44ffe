"""Cells: makes any text of a caller safe to print in one cell or on one line.

Sheets and the bulk command's summary use it. Their CSV is UTF-8 with a byte order mark, without
which spreadsheets on Windows garble titles in other alphabets; Python reads it with `utf-8-sig`.
"""

from __future__ import annotations

import re
from typing import Final

MARK: Final = "\ufeff"
"""The byte order mark that every CSV file begins with."""
_NUMBER: Final = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_FORMULA: Final = re.compile(r"\s*[=+\-@\uff1d\uff0b\uff0d\uff20]")
"""The start of a cell that a spreadsheet may take for a formula; full-width forms count too."""
_BREAKS: Final = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029]+")
"""Control characters, and the other characters that may end a line."""
_TURNS: Final = re.compile("[\u202a-\u202e\u2066-\u2069]")
"""Marks that change the reading direction of the text after them, up to the end of the line: a
number beside one would read backwards."""
_NOTHING: Final = re.compile("[\ufdd0-\ufdef\ufffe\uffff]")
"""Code points that are not characters; XML and HTML refuse them."""


def one_line(text: str) -> str:
    """Text on one line: each stretch of line breaks and control characters becomes a space.

    Marks that change the reading direction are removed, and code points that are not characters
    become U+FFFD.

    >>> one_line("Back\\r\\ndeck\\t\\x00"), one_line("\\u202e12"), one_line("חצר 3")
    ('Back deck ', '12', 'חצר 3')
    """
    return _NOTHING.sub("\ufffd", _TURNS.sub("", _BREAKS.sub(" ", text)))


def cell(text: str) -> str:
    """Text as a CSV cell that a spreadsheet shows as it is.

    An apostrophe goes before text that a spreadsheet would take for a formula (OWASP, CSV
    injection). Numbers are left as they are.

    >>> cell("=1+1"), cell(" @SUM(A1)"), cell("-12.5"), cell("-12.5+1"), cell("YD-1101")
    ("'=1+1", "' @SUM(A1)", '-12.5', "'-12.5+1", 'YD-1101')
    >>> cell("\\t=1"), cell("\\r2 in")
    ("' =1", "' 2 in")
    """
    line = one_line(text)
    if _NUMBER.fullmatch(line):
        return line
    led = line != text and text[:1] in ("\t", "\r", "\n")
    return f"'{line}" if led or _FORMULA.match(line) else line
