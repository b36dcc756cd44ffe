"""What every layout must show, on drawn decks and on the hundred real ones."""

from __future__ import annotations

import pytest
from hypothesis import given

from service.core.engine import lay_out
from service.core.kit import Kit
from service.core.problems import Unbuildable
from tests.core import builders, facts
from tests.core.bounded import bounded
from tests.core.shapes import Drawn, drawn_decks, length_of


@bounded(250)
@given(drawn_decks())
def test_drawn_decks(drawn: Drawn) -> None:
    """Sums, spacings, ends, cuts, infills, lists and numbers of decks with walls and openings."""
    try:
        layout = lay_out(drawn.deck(), drawn.kit, None)
    except Unbuildable:
        return
    facts.check_all(drawn, layout)


@pytest.mark.parametrize("infill", ["picket", "glass"])
@pytest.mark.parametrize(
    "kit", [builders.SURFACE, builders.FASCIA, builders.PAIR], ids=["surface", "fascia", "pair"]
)
def test_real_decks(kit: Kit, infill: str) -> None:
    """The same of the real ones, railed all round and with a house along their longest edge."""
    laid = 0
    for _, points in builders.real_outlines():
        lengths = [length_of(points, number) for number in range(len(points))]
        for wall in (None, lengths.index(max(lengths))):
            drawn = facts.drawn_real(points, kit, infill, wall)
            try:
                layout = lay_out(drawn.deck(), kit, None)
            except Unbuildable:
                continue
            facts.check_all(drawn, layout)
            laid += 1
    assert laid >= 120
