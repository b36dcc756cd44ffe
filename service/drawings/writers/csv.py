"""Drawings: the first table of a sheet as CSV (RFC 4180), for a spreadsheet or a script.

A header of the columns' keys, then a line for each row; notes, totals and further tables are in the
other formats alone. A length has two columns, its number in the document's unit and its tape
reading. `cells` makes each cell safe for spreadsheets and gives the byte order mark; a program that
wants neither takes the reply's JSON.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from service.cells import MARK, cell
from service.drawings.parts import Heading, Part, Table


def write_csv(heading: Heading, parts: Sequence[Part]) -> bytes:
    """The first table of a sheet as CSV, its lines ending in CR LF."""
    table = next(part for part in parts if isinstance(part, Table)).shown("data")
    out = io.StringIO()
    lines = csv.writer(out, lineterminator="\r\n")
    lines.writerow(column.key for column in table.columns)
    lines.writerows([cell(text) for text in row] for row in table.rows)
    return (MARK + out.getvalue()).encode()
