"""Rules: how much work it is to lay a deck out and to judge it, in bays, and how much of it is left
for trying changes."""

from __future__ import annotations

from collections import Counter
from itertools import combinations
from typing import Final

import shapely

from service.core.records.deck import Corners, Deck, Outline
from service.core.records.layout import Layout

WORK: Final = 10_000
"""The work that a document and all changes tried for it may take together, in bays laid out."""
BAYS_OF_FLIGHT: Final = 12
"""A flight is as much work as this many bays."""
BAYS_OF_BOW: Final = 6
"""A bowed edge is as much work as this many bays, besides the bays on it."""
CORNERS_OF_BAY: Final = 16
"""This many corners of obstructions and outlines are as much work as a bay."""
EDGES_OF_BAY: Final = 6
"""This many edges, beside which another level is looked for, are as much work as a bay."""


def work_of(deck: Deck, layout: Layout) -> int:
    """The work of laying a deck out and judging it, in bays."""
    corners = len(layout.edges)
    corners += sum(len(one.points) for level in deck.levels for one in level.obstructions)
    flights = BAYS_OF_FLIGHT * len(deck.stairs)
    bows = BAYS_OF_BOW * sum(bool(edge.arc_rise) for level in deck.levels for edge in level.edges)
    edges = _edges_beside_levels(deck, layout) // EDGES_OF_BAY
    return len(layout.bays) + flights + bows + corners // CORNERS_OF_BAY + edges


def _edges_beside_levels(deck: Deck, layout: Layout) -> int:
    """The number of edges beside which another level is looked for, once for each such level.

    Levels are looked for where the boxes around two outlines meet. An outline by a walk or by ties,
    which begins at the origin as others do, is taken to meet every other.
    """
    edges = Counter(seen.level for seen in layout.edges)
    boxes = [_box(level.outline) for level in deck.levels]
    return sum(
        edges[one.id] + edges[two.id]
        for (one, around), (two, other) in combinations(zip(deck.levels, boxes, strict=True), 2)
        if around is None or other is None or around.intersects(other)
    )


def _box(outline: Outline) -> shapely.Polygon | None:
    """The box around an outline that is given by its corners; None for any other outline."""
    if not isinstance(outline, Corners):
        return None
    return shapely.box(*shapely.MultiPoint(outline.points).bounds)


def work_left(deck: Deck, layout: Layout) -> int:
    """The work that a document leaves for trying changes; 0 where it takes all of it itself."""
    return max(0, WORK - work_of(deck, layout))
