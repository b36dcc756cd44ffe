"""Core: the leaf of a gate, and what it would swing into."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import shapely

from service.core.bays import BayMaker
from service.core.corners import Terminal
from service.core.deck import Obstruction
from service.core.kit import Kit
from service.core.layout import Glass, Pickets
from service.core.measure import TOUCH, Length, Point, ceil_to_mark, floor_to_mark, plain_length
from service.core.outline import Side
from service.core.posts import PostDraft, body
from service.core.problems import unbuildable
from service.core.stretches import OpeningNode

SWEEP_CHORDS: Final = 32
"""Chords that stand for the quarter circle of a leaf's free edge."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """A gate's leaf. Its rails are as wide as it; its infill is that of its edge."""

    width: Length
    height: Length
    rail_cut: Length
    pickets: Pickets | None
    glass: Glass | None


def make_leaf(maker: BayMaker, kit: Kit, side: Side, node: OpeningNode) -> Leaf:
    """The leaf between an opening's faces: clear width less the hinge gap and the latch gap.

    Height: from the kit's bottom gap to the guard's height. Refuses an opening that the two
    gaps fill.
    """
    gate = kit.gate
    assert gate is not None
    clear, spec = node.clear_width(kit, side), side.spec
    width = floor_to_mark(clear - gate.hinge_gap - gate.latch_gap, maker.step)
    if width < maker.least_leaf(spec):
        least = ceil_to_mark(maker.least_leaf(spec), maker.step) + gate.hinge_gap + gate.latch_gap
        raise unbuildable(
            f"{node.opening.pointer}/width",
            "gate_too_narrow",
            f"Gate {node.opening.id} has {plain_length(clear, kit.unit, least)} clear; less"
            f" {plain_length(gate.hinge_gap, kit.unit)} at the hinge and"
            f" {plain_length(gate.latch_gap, kit.unit)} at the latch no leaf is left to build. It"
            f" needs {plain_length(least, kit.unit, clear)} clear.",
        )
    height = floor_to_mark(spec.height - kit.bottom_gap, maker.step)
    pickets, glass = maker.fill_leaf(spec, width)
    return Leaf(width, height, width, pickets, glass)


def swept(
    kit: Kit, side: Side, node: OpeningNode, turned_round: bool, leaf: Length
) -> shapely.Polygon:
    """The quarter circle that a leaf sweeps in plan, from its hinge. turned_round: that the
    outline was given clockwise, so that the caller's near side is the far one."""
    assert kit.gate is not None
    hinge_at_start = (node.opening.hinge == "near") != turned_round
    faces = [side.place(face, kit.post.setback) for face in node.faces]
    start, end = faces if hinge_at_start else faces[::-1]
    apart = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / apart, (end[1] - start[1]) / apart
    # Inward of the line lies to the left of the side's way along it.
    left = 1.0 if hinge_at_start == (node.opening.opens == "in") else -1.0
    gap = kit.gate.hinge_gap
    x, y = start[0] + gap * ux, start[1] + gap * uy
    points: list[Point] = [(x, y)]
    for i in range(SWEEP_CHORDS + 1):
        angle = math.pi / 2 * i / SWEEP_CHORDS
        t, off = leaf * math.cos(angle), left * leaf * math.sin(angle)
        points.append((x + t * ux - off * uy, y + t * uy + off * ux))
    return shapely.polygons(points)


def stands_in_way(kit: Kit, leaf: Length, rise: Length, top: Length) -> bool:
    """Whether what is `top` high, on a surface that lies `rise` above a gate's own, stands in the
    height of its leaf, which goes from the kit's bottom gap up to `leaf`."""
    return rise < leaf - TOUCH and rise + top > kit.bottom_gap + TOUCH


def hits(
    kit: Kit,
    sweep: shapely.Polygon,
    beside: Sequence[Terminal | None],
    posts: Iterable[tuple[str, PostDraft]],
    lines: Iterable[tuple[str, shapely.LineString]],
    obstructions: Sequence[Obstruction],
    flights: Iterable[tuple[str, shapely.Polygon]],
) -> tuple[str, ...]:
    """Names of what a leaf would swing into: posts but those beside it, rails and walls (lines),
    obstructions, flights."""
    own = {terminal.post for terminal in beside if terminal is not None}
    met = [
        name
        for name, post in posts
        if post not in own
        and _is_near(kit, sweep, post)
        and sweep.intersection(body(kit, post)).area > TOUCH
    ]
    met += [name for name, line in lines if sweep.intersection(line).length > TOUCH]
    met += [
        one.name
        for one in obstructions
        if sweep.intersection(shapely.Polygon(one.points)).area > TOUCH
    ]
    met += [name for name, treads in flights if sweep.intersection(treads).area > TOUCH]
    return tuple(met)


def _is_near(kit: Kit, sweep: shapely.Polygon, post: PostDraft) -> bool:
    """Whether a post may stand in a leaf's way: it does in none whose box is a width off."""
    (x, y), spare = post.at, kit.post.width
    x0, y0, x1, y1 = sweep.bounds
    return bool(x0 - spare <= x <= x1 + spare and y0 - spare <= y <= y1 + spare)
