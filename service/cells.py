"""Cells: text that stands in one cell or on one line, whatever a caller put into it.

For sheets and the bulk command's summary. CSV is UTF-8 with a byte order mark, without which
spreadsheets on Windows lose titles in other alphabets; a script reads past it with `utf-8-sig`.
"""

from __future__ import annotations

import re
from typing import Final

MARK: Final = "\ufeff"
"""How a file of CSV begins."""
_NUMBER: Final = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_FORMULA: Final = re.compile(r"\s*[=+\-@\uff1d\uff0b\uff0d\uff20]")
"""How a cell begins that a spreadsheet may work out instead of show; the wide forms too."""
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


def cell(text: str) -> str:
    """A cell as a spreadsheet shows it: text that it would take for a formula is led by an
    apostrophe (OWASP, CSV injection); numbers are as they were.

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
