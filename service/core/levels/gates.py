"""Core: the leaf of one gate: how wide and high it is made, what fills it, and how it turns.

In: an opening as it was drawn, and the side that it is in. `finishing/hanging` looks for what the
leaf would swing into, once everything has a number.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import shapely

from service.core.line.openings import OpeningDraft
from service.core.line.sides import Side
from service.core.measure import (
    Length,
    ceil_to_mark,
    floor_to_mark,
    least_length,
    plain_length,
    toward,
)
from service.core.problems import unbuildable
from service.core.records.infill import Glass, Pickets
from service.core.records.kit import Kit
from service.core.records.swing import Swing
from service.core.runs.filling import Filler

SWEEP_CHORDS: Final = 32
"""Number of chords that the quarter circle of a leaf's free edge is drawn with."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """The leaf of a gate. Its rails are as wide as the leaf; its infill is that of its edge."""

    width: Length
    height: Length
    pickets: Pickets | None
    glass: Glass | None


def make_leaf(filler: Filler, side: Side, drawn: OpeningDraft) -> Leaf:
    """The leaf between an opening's faces.

    Its width is the clear width less the hinge gap and the latch gap; its height runs from the
    kit's bottom gap to the guard's height. Both are floored. Refuses an opening that leaves too
    little width for a leaf.
    """
    kit, gate = filler.kit, filler.kit.gate
    assert gate is not None
    clear, spec = drawn.clear_width(kit, side), side.spec
    width = floor_to_mark(clear - gate.hinge_gap - gate.latch_gap, filler.step)
    if width < filler.least_leaf(spec):
        least = ceil_to_mark(filler.least_leaf(spec), filler.step) + gate.hinge_gap + gate.latch_gap
        raise unbuildable(
            f"{drawn.opening.pointer}/width",
            "gate_too_narrow",
            f"Gate {drawn.opening.id} has {plain_length(clear, kit.unit, least)} clear; less"
            f" {plain_length(gate.hinge_gap, kit.unit)} at the hinge and"
            f" {plain_length(gate.latch_gap, kit.unit)} at the latch no leaf is left to build. It"
            f" needs {least_length(least, kit.unit, clear)} clear.",
        )
    height = floor_to_mark(spec.height - kit.bottom_gap, filler.step)
    pickets, glass = filler.fill_leaf(spec, width)
    return Leaf(width, height, pickets, glass)


def swing_of(kit: Kit, side: Side, drawn: OpeningDraft) -> Swing:
    """How a gate's leaf turns. It hangs on one face of its opening, the kit's hinge gap off it."""
    assert kit.gate is not None
    # In an outline that was given clockwise, the caller's near side is the far one.
    at_start = (drawn.opening.hinge == "near") != side.turned_round
    faces = [side.place(face, kit.post.setback) for face in drawn.faces]
    (x, y), latch = faces if at_start else faces[::-1]
    ux, uy = toward((x, y), latch)
    # The deck lies to the left of a side in the side's own direction.
    left = 1.0 if at_start == (drawn.opening.opens == "in") else -1.0
    gap = kit.gate.hinge_gap
    return Swing(at_start, (x + gap * ux, y + gap * uy), (ux, uy), (-left * uy, left * ux))


def swept(swing: Swing, leaf: Length) -> shapely.Polygon:
    """The quarter circle that a leaf sweeps in plan. leaf: its width."""
    tips = [swing.tip(leaf, i / SWEEP_CHORDS) for i in range(SWEEP_CHORDS + 1)]
    return shapely.polygons([swing.pivot, *tips])
