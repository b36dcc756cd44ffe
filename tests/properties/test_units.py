"""An inch deck and the same deck in millimetres, on the same marks, are the same deck."""

from __future__ import annotations

import pytest
from hypothesis import given

from service.core.layout import Layout
from service.core.problems import Refusal
from tests.core import builders
from tests.core.bounded import bounded
from tests.core.shapes import Drawn, drawn_decks
from tests.properties import twins

INCH, MILLIMETRE = 0.0625, 0.0625 * 25.4


@bounded(200)
@given(drawn_decks())
def test_unit_twins(drawn: Drawn) -> None:
    """Every post, bay, picket, panel and hole; each cut the same number of steps; mass and area."""
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
        assert steps(bay.top_cut, INCH) == steps(other_bay.top_cut, MILLIMETRE)
        assert steps(bay.bottom_cut, INCH) == steps(other_bay.bottom_cut, MILLIMETRE)
        assert bay.ends == other_bay.ends
        assert len(bay.weep_holes) == len(other_bay.weep_holes)
        assert len(bay.rail_supports) == len(other_bay.rail_supports)
        if bay.pickets and other_bay.pickets:
            assert bay.pickets.count == other_bay.pickets.count
            assert steps(bay.pickets.length, INCH) == steps(other_bay.pickets.length, MILLIMETRE)
        if bay.glass:
            assert other_bay.glass is not None
            assert steps(bay.glass.width, INCH) == steps(other_bay.glass.width, MILLIMETRE)
            # 1 sq ft is 0.09290304 m2, 1 lb is 0.45359237 kg.
            assert other_bay.glass.area == pytest.approx(bay.glass.area * 0.09290304)
            assert other_bay.glass.mass == pytest.approx(bay.glass.mass * 0.45359237)


def told(answer: Layout | Refusal) -> list[tuple[str, str]] | None:
    """What a refusal says, and where."""
    if isinstance(answer, Layout):
        return None
    return [(problem.code, problem.pointer) for problem in answer.problems]


def steps(length: float, step: float) -> int:
    """A length in whole steps."""
    count = round(length / step)
    assert length == pytest.approx(count * step)
    return count
