"""Drawings: the first table of a sheet as CSV (RFC 4180), for a spreadsheet or a script.

One file is one table: a header of the columns' keys, then a line a row, every line as long as the
header; notes, totals and further tables are in the other formats. A length has two columns, its
number in the document's unit and its tape reading.

UTF-8 with a byte order mark: without it spreadsheets on Windows read the file in the machine's own
code page and a title in another alphabet is lost, with nothing to see it by. A script reads past
it with `utf-8-sig`, or takes the reply's JSON.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from typing import Final

from service.drawings.parts import Heading, Part, Table
from service.drawings.writers.plain import one_line

MARK: Final = "\ufeff"
_NUMBER: Final = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_FORMULA: Final = re.compile(r"\s*[=+\-@\uff1d\uff0b\uff0d\uff20]")
"""How a cell begins that a spreadsheet may work out instead of show; the wide forms too."""


def write_csv(heading: Heading, parts: Sequence[Part]) -> bytes:
    """The first table of a sheet. Its lines end in CR LF."""
    table = next(part for part in parts if isinstance(part, Table)).shown("data")
    out = io.StringIO()
    lines = csv.writer(out, lineterminator="\r\n")
    lines.writerow(column.key for column in table.columns)
    lines.writerows([cell(text) for text in row] for row in table.rows)
    return (MARK + out.getvalue()).encode()


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
