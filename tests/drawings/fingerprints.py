"""Prints a digest of each file of the sheets, for a test that runs it in other processes."""

from __future__ import annotations

import hashlib

from service.drawings.marks import Words
from service.drawings.parts import Page, Table
from service.drawings.sheets import SHEETS, make_sheet
from service.drawings.writers.dxf import write_dxf
from service.drawings.writers.pdf import write_pdf
from tests.drawings.pieces import STRANGE, heading, page, table
from tests.drawings.subjects import example


def main() -> None:
    """Print a line a file: its name and its digest."""
    parts: list[Page | Table] = [page(Words("words", (1.0, 1.0), STRANGE)), table(60, STRANGE)]
    files = {"pdf": write_pdf(heading(STRANGE), parts), "dxf": write_dxf(heading(STRANGE), parts)}
    for name, sheet in SHEETS.items():
        for media in sheet.medias:
            files[f"{name} {media}"] = make_sheet(name, media, example("two-levels"))
    for name, written in files.items():
        print(name, hashlib.sha256(written).hexdigest())


if __name__ == "__main__":
    main()
