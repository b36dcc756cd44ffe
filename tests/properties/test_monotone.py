"""A kit with a greater limit never makes a deck need more bays or pickets."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from hypothesis import assume, given
from hypothesis import strategies as st

from service.core.records.kit import Kit
from service.core.records.layout import Layout
from tests.bounded import bounded
from tests.core import builders
from tests.core.shapes import Drawn, drawn_decks
from tests.properties import twins


def fewer(drawn: Drawn, kits: tuple[Kit, Kit], count: Callable[[Layout], list[int]]) -> bool:
    """Whether the second kit needs fewer of something anywhere; checks that it nowhere needs more.

    count: how many a layout needs, run by run, bay by bay or in all.
    """
    tight, loose = (twins.layout_of(replace(drawn, kit=kit)) for kit in kits)
    assume(tight is not None and loose is not None)
    assert tight is not None
    assert loose is not None
    counts = count(tight), count(loose)
    assert all(a >= b for a, b in zip(*counts, strict=True))
    return counts[0] != counts[1]


def test_a_greater_spacing_never_asks_for_more_bays() -> None:
    """A greater spacing of posts never needs more bays in any run, and in some decks fewer.

    Both spacings lie a third or two thirds of a sixteenth of an inch past a mark.
    """
    saved, past = [], st.sampled_from((1, 2))

    @bounded(150)
    @given(drawn_decks(), st.integers(20 * 16, 80 * 16), st.integers(1, 20 * 16), past, past)
    def each(drawn: Drawn, least: int, more: int, first: int, second: int) -> None:
        kits = [
            replace(drawn.kit, max_centres={"picket": most, "glass": most})
            for most in ((3 * least + first) / 48, (3 * (least + more) + second) / 48)
        ]

        def bays(layout: Layout) -> list[int]:
            return [len(run.marks) - 1 for run in layout.runs]

        saved.append(fewer(drawn, (kits[0], kits[1]), bays))

    each()
    assert any(saved)


def test_a_wider_gap_never_asks_for_more_pickets() -> None:
    """A wider gap never needs more pickets in any bay, and in some decks fewer."""
    saved = []

    @bounded(150)
    @given(drawn_decks(), st.integers(20, 80), st.integers(1, 40))
    def each(drawn: Drawn, least: int, more: int) -> None:
        kits = [
            builders.with_picket(drawn.kit, gap=gap) for gap in (least / 16, (least + more) / 16)
        ]

        def pickets(layout: Layout) -> list[int]:
            return [bay.fill.pickets.count if bay.fill.pickets else 0 for bay in layout.bays]

        saved.append(fewer(drawn, (kits[0], kits[1]), pickets))

    each()
    assert any(saved)


def test_a_wider_panel_never_asks_for_more_bays() -> None:
    """A kit with wider panels never needs more bays, and in some decks fewer."""
    saved = []

    @bounded(100)
    @given(drawn_decks(), st.integers(20, 50), st.integers(1, 160))
    def each(drawn: Drawn, least: int, more: int) -> None:
        kits = [
            builders.with_glass(drawn.kit, max_width=width) for width in (least, least + more / 16)
        ]

        def bays(layout: Layout) -> list[int]:
            return [len(layout.bays) + len(layout.small_stretches)]

        saved.append(fewer(replace(drawn, infill="glass"), (kits[0], kits[1]), bays))

    each()
    assert any(saved)
