"""An inch deck and the same deck in millimetres, on the same marks, are the same deck."""

from __future__ import annotations

import pytest
from hypothesis import given

from service.core.problems import Refusal
from service.core.records.layout import Layout
from tests.bounded import bounded
from tests.core import builders
from tests.core.shapes import Drawn, drawn_decks
from tests.properties import twins

INCH, MILLIMETRE = 0.0625, 0.0625 * 25.4


@bounded(200)
@given(drawn_decks())
def test_unit_twins(drawn: Drawn) -> None:
    """Both decks have the same posts, bays, pickets, panels and holes, and cuts of as many steps.

    Areas and masses are those of the other unit.
    """
    twin = twins.in_millimetres(drawn)
    deck = twin.deck(unit="mm", step=MILLIMETRE, height=36 * 25.4)
    layout = builders.laid_or_refused(drawn.deck(), drawn.kit)
    image = builders.laid_or_refused(deck, twin.kit)
    if isinstance(layout, Refusal) or isinstance(image, Refusal):
        assert told(layout) == told(image)
        return
    assert [p.role for p in layout.posts] == [p.role for p in image.posts]
    assert len(layout.bays) == len(image.bays)
    for bay, other_bay in zip(layout.bays, image.bays, strict=True):
        assert steps(bay.fill.top_cut, INCH) == steps(other_bay.fill.top_cut, MILLIMETRE)
        assert steps(bay.fill.bottom_cut, INCH) == steps(other_bay.fill.bottom_cut, MILLIMETRE)
        assert bay.ends == other_bay.ends
        assert len(bay.fill.weep_holes) == len(other_bay.fill.weep_holes)
        assert len(bay.fill.rail_supports) == len(other_bay.fill.rail_supports)
        if bay.fill.pickets and other_bay.fill.pickets:
            assert bay.fill.pickets.count == other_bay.fill.pickets.count
            assert steps(bay.fill.pickets.length, INCH) == steps(
                other_bay.fill.pickets.length, MILLIMETRE
            )
        if bay.fill.glass:
            assert other_bay.fill.glass is not None
            assert steps(bay.fill.glass.width, INCH) == steps(
                other_bay.fill.glass.width, MILLIMETRE
            )
            # 1 sq ft is 0.09290304 m2, 1 lb is 0.45359237 kg.
            assert other_bay.fill.glass.area == pytest.approx(bay.fill.glass.area * 0.09290304)
            assert other_bay.fill.glass.mass == pytest.approx(bay.fill.glass.mass * 0.45359237)


def told(answer: Layout | Refusal) -> list[tuple[str, str]] | None:
    """The codes of a refusal's problems, with their places; None of a layout."""
    if isinstance(answer, Layout):
        return None
    return [(problem.code, problem.pointer) for problem in answer.problems]


def steps(length: float, step: float) -> int:
    """How many whole steps a length is."""
    count = round(length / step)
    assert length == pytest.approx(count * step)
    return count
