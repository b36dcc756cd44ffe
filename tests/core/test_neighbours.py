"""Levels that share a stretch of edge: what lies below it there (contract, section 3)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.core.deck import Corners, Drops
from service.core.engine import lay_out
from tests.core import builders


@pytest.mark.parametrize("backwards", [False, True])
def test_drops_by_stretch(backwards: bool) -> None:
    """A deck 48 up whose first edge, 240 long, has a lower level 20 up beyond its first 150:
    28 down to it there, 48 along the other 90; 48 along every other edge."""
    points = builders.rectangle(240.0, 144.0)
    low_points = builders.turned(builders.rectangle(150.0, 60.0), 0.0, (0.0, -60.0))
    deck = builders.deck(points[::-1] if backwards else points)
    low = replace(
        builders.level(Corners(low_points, "/levels/1/outline")),
        id="low",
        pointer="/levels/1",
        drops=Drops(20.0),
    )
    layout = lay_out(replace(deck, levels=(*deck.levels, low)), builders.SURFACE, None)
    main = [seen for seen in layout.edges if seen.level == "main"]
    number = 2 if backwards else 0
    shared = [(seen.length, seen.drops.drop) for seen in main if seen.edge == number]
    assert shared == [pytest.approx((150.0, 28.0)), pytest.approx((90.0, 48.0))]
    assert {seen.drops.drop for seen in main if seen.edge != number} == {48.0}
    # Nobody falls up: where the lower deck meets the higher one there is no drop.
    low_drops = {s.edge: s.drops.drop for s in layout.edges if s.level == "low"}
    assert low_drops == {0: 20.0, 1: 20.0, 2: 0.0, 3: 20.0}
