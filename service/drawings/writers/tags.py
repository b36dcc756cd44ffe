"""Drawings: what every DXF R12 file begins with, and the group codes that it is written in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, TypeAlias

from service.core.measure import Point, Unit
from service.drawings.looks import DASHES
from service.drawings.marks import Layer, Pattern
from service.drawings.points import Rect, between
from service.drawings.scales import Scale

Tags: TypeAlias = Iterator[str]
COLOURS: Final[dict[Layer, int]] = {
    "deck": 7, "wall": 7, "joist": 43, "base": 252, "post": 7, "rail": 7, "picket": 7, "glass": 145,
    "block": 25, "stair": 7, "handrail": 195, "gate": 235, "dimension": 252, "words": 7, "paper": 7,
    "outline": 3,
}  # fmt: skip
"""The colour index nearest to each layer's lines; 7 is ink: black on white, white on black."""
UNITS: Final[dict[Unit, tuple[str, int, int, int]]] = {
    "in": ("inch", 4, 4, 1), "mm": ("millimetre", 2, 1, 4),
}  # fmt: skip
"""By unit: its name, the form of lengths in it ($LUNITS) and their precision ($LUPREC), and its
number in $INSUNITS."""
LINES: Final[dict[Pattern, str]] = {"full": "CONTINUOUS", "dashed": "DASHED", "chain": "CENTER"}


def header(whole: Rect, scale: Scale) -> Tags:
    """The header: release, encoding, unit, extents, and the scale of dashes.

    R12 has no variable for a drawing's unit. It is given in a comment, by how lengths are shown (in
    feet, inches and sixteenths, or in millimetres), and by $INSUNITS, a later variable that present
    programs go by and others ignore.
    """
    kind, shown, places, inserted = UNITS[scale.unit]
    yield from section("HEADER")
    yield from pair(999, f"one unit is one {kind}")
    for name, code, value in (("$ACADVER", 1, "AC1009"), ("$DWGCODEPAGE", 3, "ANSI_1252")):
        yield from pair(9, name)
        yield from pair(code, value)
    for name, number in (("$LUNITS", shown), ("$LUPREC", places), ("$INSUNITS", inserted)):
        yield from pair(9, name)
        yield from pair(70, number)
    low, high = whole
    for name, point in (
        ("$EXTMIN", low), ("$EXTMAX", high), ("$LIMMIN", low), ("$LIMMAX", high)
    ):  # fmt: skip
        yield from pair(9, name)
        yield from place(10, point)
        if name.startswith("$EXT"):
            yield from pair(30, 0.0)
    yield from pair(9, "$LTSCALE")
    yield from pair(40, scale.of_paper(1.0))
    yield from pair(0, "ENDSEC")


def tables(whole: Rect) -> Tags:
    """The tables: the view that a program opens at, line types, layers, and the one text style."""
    yield from section("TABLES")
    yield from _table("VPORT", [_window(whole)])
    yield from _table("LTYPE", [_line_type(pattern) for pattern in LINES])
    yield from _table(
        "LAYER", [_layer("0", 7), *(_layer(k.upper(), c) for k, c in COLOURS.items())]
    )
    yield from _table("STYLE", [_style()])
    yield from pair(0, "ENDSEC")


def _window(whole: Rect) -> Tags:
    """The view that a program opens at: the whole model."""
    wide, tall = (max(size, 1.0) for size in whole.size)
    yield from _named("VPORT", "*ACTIVE")
    for code, point in ((10, (0.0, 0.0)), (11, (1.0, 1.0)), (12, between(*whole))):
        yield from place(code, point)
    yield from pair(40, max(tall, wide / 1.5) * 1.05)
    yield from pair(41, 1.5)


def _line_type(pattern: Pattern) -> Tags:
    lengths = DASHES[pattern]
    yield from _named("LTYPE", LINES[pattern])
    yield from pair(3, pattern)
    yield from pair(72, 65)
    yield from pair(73, len(lengths))
    yield from pair(40, sum(lengths, 0.0))
    for i, length in enumerate(lengths):
        yield from pair(49, -length if i % 2 else length)


def _layer(name: str, colour: int) -> Tags:
    yield from _named("LAYER", name)
    yield from pair(62, colour)
    yield from pair(6, LINES["full"])


def _style() -> Tags:
    yield from _named("STYLE", "STANDARD")
    for code, value in ((40, 0.0), (41, 1.0), (50, 0.0), (71, 0), (42, 1.0), (3, "txt"), (4, "")):
        yield from pair(code, value)


def _table(name: str, rows: Sequence[Tags]) -> Tags:
    yield from pair(0, "TABLE")
    yield from pair(2, name)
    yield from pair(70, len(rows))
    for row in rows:
        yield from row
    yield from pair(0, "ENDTAB")


def _named(kind: str, name: str) -> Tags:
    yield from pair(0, kind)
    yield from pair(2, name)
    yield from pair(70, 0)


def section(name: str) -> Tags:
    """The beginning of a section, which "ENDSEC" ends."""
    yield from pair(0, "SECTION")
    yield from pair(2, name)


def place(code: int, point: Point) -> Tags:
    """A point in plan. code: the group code of its x; that of its y is 10 more."""
    yield from pair(code, point[0])
    yield from pair(code + 10, point[1])


def pair(code: int, value: str | float) -> Tags:
    """A group code and its value.

    The value is one line of ASCII, or a number: lengths go to a millionth, without an exponent or a
    minus zero.

    >>> list(pair(40, 0.5)), list(pair(10, -1e-9)), list(pair(70, 1))
    (['40\\n0.500000\\n'], ['10\\n0.000000\\n'], ['70\\n1\\n'])
    """
    text = f"{round(value, 6) + 0.0:.6f}" if isinstance(value, float) else str(value)
    yield f"{code}\n{text}\n"
