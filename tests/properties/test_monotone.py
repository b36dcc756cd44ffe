"""What a kit lets through more of never asks for more."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from tests.core import builders
from tests.core.bounded import bounded
from tests.core.shapes import Drawn, drawn_decks
from tests.properties import twins


@bounded(150)
@given(drawn_decks(), st.integers(20, 80), st.integers(1, 320))
def test_a_greater_spacing_never_asks_for_more_bays(drawn: Drawn, least: int, more: int) -> None:
    """Run by run; a spacing on the sixteenth or not."""
    counts = []
    for most in (least, least + more / 16):
        kit = replace(drawn.kit, max_centres={"picket": most, "glass": most})
        layout = twins.layout_of(replace(drawn, kit=kit))
        if layout is None:
            return
        counts.append([len(run.marks) - 1 for run in layout.runs])
    assert all(a >= b for a, b in zip(*counts, strict=True))


@bounded(150)
@given(drawn_decks(), st.integers(20, 80), st.integers(1, 40))
def test_a_wider_gap_never_asks_for_more_pickets(drawn: Drawn, least: int, more: int) -> None:
    """Bay by bay."""
    counts = []
    for gap in (least / 16, (least + more) / 16):
        layout = twins.layout_of(replace(drawn, kit=builders.with_picket(drawn.kit, gap=gap)))
        if layout is None:
            return
        counts.append([bay.fill.pickets.count if bay.fill.pickets else 0 for bay in layout.bays])
    assert all(a >= b for a, b in zip(*counts, strict=True))


@bounded(100)
@given(drawn_decks(), st.integers(20, 50), st.integers(1, 160))
def test_a_wider_panel_never_asks_for_more_bays(drawn: Drawn, least: int, more: int) -> None:
    """A kit that takes wider panels needs no more bays for them."""
    counts = []
    for width in (least, least + more / 16):
        layout = twins.layout_of(
            replace(drawn, infill="glass", kit=builders.with_glass(drawn.kit, max_width=width))
        )
        if layout is None:
            return
        counts.append(len(layout.bays) + len(layout.small_stretches))
    assert counts[0] >= counts[1]
