"""Twins of a deck: the same deck described in another way, and what both must have in common."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace

from service.core.engine import lay_out
from service.core.measure import Point
from service.core.problems import Refusal
from service.core.records.deck import Edge, Opening
from service.core.records.kit import Kit
from service.core.records.layout import Bay, Layout
from tests.core import builders
from tests.core.shapes import Drawn, length_of

Told = tuple[Sequence[Edge], Sequence[Opening]]


def layout_of(drawn: Drawn) -> Layout | None:
    """The layout of a deck, or None where it is refused."""
    try:
        return lay_out(drawn.deck(), drawn.kit, None)
    except Refusal:
        return None


def renumbered(drawn: Drawn, outline: tuple[Point, ...], number: Callable[[int], int]) -> Drawn:
    """The deck with its corners in another order. number: an edge's new number, by its old one."""
    edges = tuple(replace(edge, number=number(edge.number)) for edge in drawn.edges)
    openings = tuple(replace(hole, edge=number(hole.edge)) for hole in drawn.openings)
    return replace(drawn, outline=outline, edges=edges, openings=openings)


def from_another_corner(drawn: Drawn, first: int) -> Drawn:
    """The deck described from another corner on."""
    outline, count = drawn.outline, len(drawn.outline)
    return renumbered(
        drawn, outline[first:] + outline[:first], lambda number: (number - first) % count
    )


def the_other_way(drawn: Drawn) -> Drawn:
    """The deck described in the other direction, openings from the other end of their edge."""
    count = len(drawn.outline)
    flipped = tuple(
        replace(hole, start=length_of(drawn.outline, hole.edge) - hole.start - hole.width)
        for hole in drawn.openings
    )
    twin = replace(drawn, openings=flipped)
    return renumbered(twin, drawn.outline[::-1], lambda number: (count - 2 - number) % count)


def turned(drawn: Drawn, degrees: float, by: Point) -> Drawn:
    """The deck turned about the origin and moved."""
    return replace(drawn, outline=builders.turned(drawn.outline, degrees, by))


def mirrored(drawn: Drawn) -> Drawn:
    """The deck's mirror image, with its corners in the same order."""
    return replace(drawn, outline=tuple((-x, y) for x, y in drawn.outline))


def sizes(bay: Bay) -> tuple[object, ...]:
    """The members of a bay that a saw or a glass shop works by."""
    pickets, glass = bay.fill.pickets, bay.fill.glass
    return (
        bay.infill,
        bay.height,
        tuple(sorted(bay.ends)),
        bay.fill.top_cut,
        bay.fill.bottom_cut,
        pickets and (pickets.count, pickets.length),
        glass and (glass.width, glass.height, glass.pane),
    )


def made(layout: Layout | None) -> dict[str, object] | None:
    """Everything in a layout that does not depend on how the deck was described."""
    if layout is None:
        return None
    return {
        "posts": Counter((post.role, post.height, post.parts) for post in layout.posts),
        "runs": sorted(round(run.length, 5) for run in layout.runs),
        "bays": Counter(sizes(bay) for bay in layout.bays),
        "cuts": {(p.part, p.length): p.count for p in layout.cut_list},
        "panels": Counter((p.width, p.height, p.pane, len(p.bays)) for p in layout.glass_order),
        "clear widths": sorted(round(hole.clear_width, 5) for hole in layout.openings),
        "overhangs": sorted(round(seen.overhang, 4) for seen in layout.bases),
        "clashes": sorted(round(seen.overlap, 4) for seen in layout.clashes),
        "gaps": sorted(round(seen.width, 4) for seen in layout.gaps),
        "small": sorted(round(seen.clear, 4) for seen in layout.small_stretches),
    }


def tied(drawn: Drawn, step: float = 0.0625) -> bool:
    """Whether a corner post is square to one of two edges of equal length, where that matters.

    From 60 degrees of turn on the post is square to the longer edge, and a tie within a step goes
    to the edge that arrives. In a mirror image that is the other edge: the swivel end then changes
    sides, and both runs change size. At 90 degrees both ends are sockets and nothing changes. Edges
    in one line are added up by the engine alone, so a deck that has them counts as tied.
    """
    points, count = drawn.outline, len(drawn.outline)
    for i in range(count):
        before, after = length_of(points, i - 1), length_of(points, i)
        (ax, ay), (bx, by), (cx, cy) = points[i - 1], points[i], points[(i + 1) % count]
        turn = math.atan2(cy - by, cx - bx) - math.atan2(by - ay, bx - ax)
        size = abs((math.degrees(turn) + 180) % 360 - 180)
        if size < 0.05:
            return True
        near = abs(before - after) <= step + 1e-4
        if near and size >= 60 - 1e-3 and abs(size - 90) > drawn.kit.square_limit - 1e-3:
            return True
    return False


def twin_kit(kit: Kit) -> Kit:
    """The shipped inch kit in millimetres, member by member from its document."""
    name = "picket-glass-surface-in" if kit.mounting == "surface" else "picket-glass-fascia-in"
    document = builders.in_millimetres(builders.kit_document(name))
    return builders.with_post(builders.kit_of(document), corner=kit.post.corner)


def in_millimetres(drawn: Drawn) -> Drawn:
    """The same deck, every length times 25.4."""
    return replace(
        drawn,
        outline=tuple((x * 25.4, y * 25.4) for x, y in drawn.outline),
        kit=twin_kit(drawn.kit),
        edges=tuple(
            replace(edge, height=edge.height and edge.height * 25.4) for edge in drawn.edges
        ),
        openings=tuple(
            replace(hole, start=hole.start * 25.4, width=hole.width * 25.4)
            for hole in drawn.openings
        ),
    )
