"""Core: the leaf of a gate, and what it would swing into."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

import shapely

from service.core.line.corners import Terminal
from service.core.line.outline import Side
from service.core.line.posts import PostDraft
from service.core.line.stretches import OpeningNode
from service.core.measure import TOUCH, Length, ceil_to_mark, floor_to_mark, plain_length
from service.core.problems import unbuildable
from service.core.records.kit import Kit
from service.core.records.layout import Glass, Pickets
from service.core.records.swing import Swing
from service.core.runs.filling import Filler

SWEEP_CHORDS: Final = 32
"""Chords that stand for the quarter circle of a leaf's free edge."""


class Rises(NamedTuple):
    """How far every level lies above the one that a gate is on. own: that one."""

    own: str
    above: Mapping[str, Length]


@dataclass(frozen=True, slots=True)
class Leaf:
    """A gate's leaf. Its rails are as wide as it; its infill is that of its edge."""

    width: Length
    height: Length
    pickets: Pickets | None
    glass: Glass | None


def make_leaf(filler: Filler, side: Side, node: OpeningNode) -> Leaf:
    """The leaf between an opening's faces: clear width less the hinge gap and the latch gap.

    Height: from the kit's bottom gap to the guard's height. Refuses an opening that the two
    gaps fill.
    """
    kit, gate = filler.kit, filler.kit.gate
    assert gate is not None
    clear, spec = node.clear_width(kit, side), side.spec
    width = floor_to_mark(clear - gate.hinge_gap - gate.latch_gap, filler.step)
    if width < filler.least_leaf(spec):
        least = ceil_to_mark(filler.least_leaf(spec), filler.step) + gate.hinge_gap + gate.latch_gap
        raise unbuildable(
            f"{node.opening.pointer}/width",
            "gate_too_narrow",
            f"Gate {node.opening.id} has {plain_length(clear, kit.unit, least)} clear; less"
            f" {plain_length(gate.hinge_gap, kit.unit)} at the hinge and"
            f" {plain_length(gate.latch_gap, kit.unit)} at the latch no leaf is left to build. It"
            f" needs {plain_length(least, kit.unit, clear)} clear.",
        )
    height = floor_to_mark(spec.height - kit.bottom_gap, filler.step)
    pickets, glass = filler.fill_leaf(spec, width)
    return Leaf(width, height, pickets, glass)


def swing_of(kit: Kit, side: Side, node: OpeningNode, turned_round: bool) -> Swing:
    """How a leaf turns, the kit's gap off the face that it hangs on. turned_round: that the
    outline was given clockwise, so that the caller's near side is the far one."""
    assert kit.gate is not None
    at_start = (node.opening.hinge == "near") != turned_round
    faces = [side.place(face, kit.post.setback) for face in node.faces]
    (x, y), latch = faces if at_start else faces[::-1]
    apart = math.dist((x, y), latch)
    ux, uy = (latch[0] - x) / apart, (latch[1] - y) / apart
    # Inward of the line lies to the left of the side's way along it.
    left = 1.0 if at_start == (node.opening.opens == "in") else -1.0
    gap = kit.gate.hinge_gap
    return Swing(at_start, (x + gap * ux, y + gap * uy), (ux, uy), (-left * uy, left * ux))


def swept(swing: Swing, leaf: Length) -> shapely.Polygon:
    """The quarter circle that a leaf this wide sweeps in plan."""
    tips = [swing.tip(leaf, i / SWEEP_CHORDS) for i in range(SWEEP_CHORDS + 1)]
    return shapely.polygons([swing.pivot, *tips])


class Solid(NamedTuple):
    """What a leaf may swing into: its name and its shape in plan.

    level: on which it stands. foot, top: from where to where it reaches, above that level; without
    a top it is in the way of its own level's gates alone. post: which post it is, if it is one.
    """

    name: str
    shape: shapely.Geometry
    level: str
    top: Length | None = None
    post: PostDraft | None = None
    foot: Length = 0.0


class Solids:
    """All that leaves may swing into, found by its place."""

    def __init__(self, solids: Iterable[Solid]) -> None:
        self._solids = tuple(solids)
        self._tree = shapely.STRtree([solid.shape for solid in self._solids])

    def hit(
        self,
        kit: Kit,
        sweep: shapely.Polygon,
        beside: Sequence[Terminal | None],
        leaf: Length,
        rises: Rises,
    ) -> tuple[str, ...]:
        """Names of what a leaf would swing into, in the order that they were given in; the posts
        beside its opening are not.

        leaf: its top above its level.
        """
        own = {terminal.post for terminal in beside if terminal is not None}
        near = (self._solids[i] for i in sorted(self._tree.query(sweep, predicate="intersects")))
        met = (
            solid.name
            for solid in near
            if (solid.post is None or solid.post not in own)
            and _stands_in_way(kit, solid, leaf, rises)
            and meets(sweep, solid.shape)
        )
        return tuple(dict.fromkeys(met))


def _stands_in_way(kit: Kit, solid: Solid, leaf: Length, rises: Rises) -> bool:
    """Whether a solid stands in the height of a leaf, which goes from the kit's bottom gap above
    its level up to `leaf`."""
    if solid.level == rises.own:
        return True
    if solid.top is None:
        return False
    rise = rises.above[solid.level]
    return rise + solid.foot < leaf - TOUCH and rise + solid.top > kit.bottom_gap + TOUCH


def meets(area: shapely.Polygon, shape: shapely.Geometry) -> bool:
    """Whether they share more than a touch: of a line a length, of all else an area."""
    shared = area.intersection(shape)
    return bool((shared.length if shape.geom_type == "LineString" else shared.area) > TOUCH)
