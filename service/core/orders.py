"""Core: equal pieces and equal panels, each listed once (method 12, the lists)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from service.core.layout import Bay, Glass, Panel, Piece
from service.core.measure import Degrees, Length

SQUARE: Final[tuple[Degrees, Degrees]] = (90.0, 90.0)
PART_ORDER: Final = (
    "top_rail_picket",
    "bottom_rail_picket",
    "top_rail_glass",
    "bottom_rail_glass",
    "picket",
    "spacer",
)


def list_cuts(bays: Sequence[Bay]) -> tuple[Piece, ...]:
    """The cut list: by part, longest first."""
    rows: dict[tuple[str, Length], tuple[int, list[str]]] = {}
    for bay in bays:
        for part, length, count in _pieces(bay):
            number, where = rows.get((part, length), (0, []))
            if not where or where[-1] != bay.id:
                where.append(bay.id)
            rows[part, length] = (number + count, where)
    order = sorted(rows, key=lambda row: (PART_ORDER.index(row[0]), -row[1]))
    return tuple(
        Piece(part, length, rows[part, length][0], SQUARE, tuple(rows[part, length][1]))
        for part, length in order
    )


def _pieces(bay: Bay) -> Iterator[tuple[str, Length, int]]:
    yield f"top_rail_{bay.infill}", bay.top_cut, 1
    yield f"bottom_rail_{bay.infill}", bay.bottom_cut, 1
    if bay.pickets is not None and bay.pickets.count:
        yield "picket", bay.pickets.length, bay.pickets.count
        for spacer in bay.pickets.spacers:
            yield "spacer", spacer.length, spacer.count


def order_glass(bays: Iterable[Bay]) -> tuple[Panel, ...]:
    """Equal panels in one row, marked G1, G2, … in the order of their first bays."""
    rows: dict[tuple[Length, Length, int], tuple[Glass, list[str]]] = {}
    for bay in bays:
        if bay.glass is not None:
            key = (bay.glass.width, bay.glass.height, bay.glass.pane)
            rows.setdefault(key, (bay.glass, []))[1].append(bay.id)
    return tuple(
        Panel(f"G{i}", g.width, g.height, g.pane, g.corners, g.area, g.mass, tuple(where))
        for i, (g, where) in enumerate(rows.values(), start=1)
    )
