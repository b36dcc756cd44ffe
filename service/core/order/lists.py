"""Core: the cut list and the glass order (method 12).

Equal pieces and equal panels are each listed once, with how many there are and where they go.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from typing import Final, NamedTuple

from service.core.measure import Degrees, Length
from service.core.order.roles import CUT
from service.core.records.infill import Glass, Pickets
from service.core.records.layout import Bay, GateBuilt
from service.core.records.orders import Panel, Piece

SQUARE: Final[tuple[Degrees, Degrees]] = (90.0, 90.0)
ALIKE: Final = 9
"""Decimals to which raked pieces are compared: enough that they are listed as in their bays."""


class PieceKind(NamedTuple):
    """What equal pieces have in common."""

    part: str
    length: Length
    end_cuts: tuple[Degrees, Degrees] = SQUARE
    blank: Length | None = None


def list_cuts(
    bays: Sequence[Bay], gates: Sequence[GateBuilt], handrails: Sequence[Length]
) -> tuple[Piece, ...]:
    """The cut list, by part, then longest first. handrails: their lengths along the slope."""
    by_fill: defaultdict[int, list[Bay]] = defaultdict(list)
    for bay in bays:  # Equal bays share one fill.
        by_fill[id(bay.fill)].append(bay)
    pieces = [
        ([bay.id for bay in alike], kind, count * len(alike))
        for alike in by_fill.values()
        for kind, count in _bay_pieces(alike[0])
    ]
    pieces += [([gate.place], kind, count) for gate in gates for kind, count in _gate_pieces(gate)]
    pieces += [([], PieceKind("handrail", length), 1) for length in handrails]
    counts: defaultdict[PieceKind, int] = defaultdict(int)
    places: defaultdict[PieceKind, set[str]] = defaultdict(set)
    for where, kind, count in pieces:
        counts[kind] += count
        places[kind].update(where)
    in_order = [bay.id for bay in bays] + [gate.place for gate in gates]
    rank = {place: i for i, place in enumerate(in_order)}
    kinds = sorted(counts, key=lambda kind: (CUT.index(kind.part), -kind.length, kind.end_cuts))
    return tuple(
        [
            Piece(
                part=kind.part,
                length=kind.length,
                count=counts[kind],
                end_cuts=kind.end_cuts,
                bays=tuple(sorted(places[kind], key=rank.__getitem__)),
                blank=kind.blank,
            )
            for kind in kinds
        ]
    )


def _bay_pieces(bay: Bay) -> Iterator[tuple[PieceKind, int]]:
    top, bottom = f"top_rail_{bay.infill}", f"bottom_rail_{bay.infill}"
    fill, rake = bay.fill, bay.fill.rake
    if rake is None:
        yield PieceKind(top, fill.top_cut), 1
        yield PieceKind(bottom, fill.bottom_cut), 1
        yield from _picket_pieces(fill.pickets, SQUARE, None)
        return
    # Flights of the same pitch with other risers may differ from it in the last bits.
    ends = (round(rake.end_cut, ALIKE),) * 2
    yield PieceKind(top, fill.top_cut, ends, round(rake.top_blank, ALIKE)), 1
    yield PieceKind(bottom, fill.bottom_cut, ends, round(rake.bottom_blank, ALIKE)), 1
    blank = None if rake.picket_blank is None else round(rake.picket_blank, ALIKE)
    yield from _picket_pieces(fill.pickets, ends, blank)


def _picket_pieces(
    pickets: Pickets | None, ends: tuple[Degrees, Degrees], blank: Length | None
) -> Iterator[tuple[PieceKind, int]]:
    if pickets is not None and pickets.count:
        yield PieceKind("picket", pickets.length, ends, blank), pickets.count
        for spacer in pickets.spacers:
            yield PieceKind("spacer", spacer.length, ends), spacer.count


def _gate_pieces(gate: GateBuilt) -> Iterator[tuple[PieceKind, int]]:
    yield PieceKind(f"top_rail_{gate.infill}", gate.width), 1
    yield PieceKind(f"bottom_rail_{gate.infill}", gate.width), 1
    yield from _picket_pieces(gate.pickets, SQUARE, None)


def order_glass(bays: Iterable[Bay], gates: Iterable[GateBuilt]) -> tuple[Panel, ...]:
    """The glass order: equal panels in one row, marked G1, G2, … in the order of their first bays.

    Panels made to site measures have rows apart from those made to the drawing.
    """
    panels = [(bay.id, bay.fill.glass, bay.measured) for bay in bays]
    panels += [(gate.place, gate.glass, False) for gate in gates]
    rows: dict[tuple[object, ...], tuple[Glass, bool, list[str]]] = {}
    for place, glass, measured in panels:
        if glass is not None:
            key = (glass.width, glass.height, glass.pane, glass.corners, measured)
            rows.setdefault(key, (glass, measured, []))[2].append(place)
    return tuple(
        Panel(f"G{i}", g.width, g.height, g.pane, g.corners, g.area, g.mass, tuple(where), measured)
        for i, (g, measured, where) in enumerate(rows.values(), start=1)
    )
