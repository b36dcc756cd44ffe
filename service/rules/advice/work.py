"""Rules: how much work it is to lay a deck out and to judge it, in bays, and what is left of it for
tries."""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from typing import Final

import shapely

from service.core.records.deck import Corners, Deck, Outline
from service.core.records.layout import Layout

WORK: Final = 10_000
"""What a document and all tries for it may take together, in bays laid out."""
BAYS_OF_FLIGHT: Final = 12
"""As much work as a flight is."""
BAYS_OF_BOW: Final = 6
"""As much work as a bowed edge is, beside the bays on it."""
CORNERS_OF_BAY: Final = 16
"""Corners of obstructions and outlines that are as much work as a bay."""
EDGES_OF_BAY: Final = 6
"""Edges beside which another level is looked for that are as much work as a bay."""


def work_of(deck: Deck, layout: Layout) -> int:
    """What it takes to lay a deck out and to judge it, in bays."""
    corners = len(layout.edges)
    corners += sum(len(one.points) for level in deck.levels for one in level.obstructions)
    flights = BAYS_OF_FLIGHT * len(deck.stairs)
    bows = BAYS_OF_BOW * sum(bool(edge.arc_rise) for level in deck.levels for edge in level.edges)
    edges = _edges_beside_levels(deck, layout) // EDGES_OF_BAY
    return len(layout.bays) + flights + bows + corners // CORNERS_OF_BAY + edges


def _edges_beside_levels(deck: Deck, layout: Layout) -> int:
    """The edges of each level, once for every other level that may lie beneath or beside them: a
    walk and ties begin where others do."""
    edges = Counter(seen.level for seen in layout.edges)
    boxes = [_box(level.outline) for level in deck.levels]
    return sum(
        edges[one.id] + edges[two.id]
        for (one, around), (two, other) in combinations(zip(deck.levels, boxes, strict=True), 2)
        if around is None or other is None or around.intersects(other)
    )


def _box(outline: Outline) -> shapely.Polygon | None:
    """About an outline whose corners are given."""
    if not isinstance(outline, Corners):
        return None
    return shapely.box(*shapely.MultiPoint(outline.points).bounds)


def work_left(deck: Deck, layout: Layout) -> int:
    """What a document leaves of the work for its tries; none where it is as much itself."""
    return max(0, WORK - work_of(deck, layout))
