"""Facts that every layout must show, on drawn decks and on the hundred real ones."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given

from service.core.engine import lay_out
from service.core.problems import Unbuildable
from service.core.records.kit import Kit
from tests.bounded import bounded
from tests.core import builders, facts
from tests.core.builders import SURFACE
from tests.core.shapes import Drawn, drawn_decks, length_of


@bounded(250)
@given(drawn_decks())
def test_drawn_decks(drawn: Drawn) -> None:
    """Sums, spacings, ends, cuts, infills, lists and numbers hold on drawn decks with walls and
    openings."""
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
    """The same holds on the real decks, railed all round and with a house along their longest
    edge."""
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


def test_a_bay_whose_own_ends_leave_its_rails_no_length() -> None:
    """A socket takes 40 in of a rail, a wall end next to none. Of three bays between two walls the
    middle one has two sockets, and 60 less 80 leaves no rail: it stays open, and is seen as a small
    stretch."""
    rail = replace(
        SURFACE.rails["picket"].bottom,
        end_allowance={"socket": 40.0, "swivel": 40.0, "wall": 0.125, "rake": 0.375},
    )
    kit = replace(
        SURFACE, rails={**SURFACE.rails, "picket": replace(SURFACE.rails["picket"], bottom=rail)}
    )
    edges = tuple(builders.edge(n, "wall") for n in (1, 2, 3))
    layout = builders.laid(builders.rectangle(190, 96), kit, edges=edges)
    assert [len(run.marks) for run in layout.runs] == [4]
    assert [(bay.ends, bay.fill.bottom_cut > 0) for bay in layout.bays] == [
        (("wall", "socket"), True),
        (("socket", "wall"), True),
    ]
    assert len(layout.small_stretches) == 1
