"""Whatever is sent, the engine answers with a layout or with a refusal, never with a slip."""

from __future__ import annotations

import math

from hypothesis import given

from service.core.problems import Refusal
from tests.core import builders
from tests.core.bounded import bounded
from tests.core.shapes import Drawn, nasty_decks


@bounded(400)
@given(nasty_decks())
def test_a_nasty_deck_is_laid_out_or_refused(drawn: Drawn) -> None:
    """Spikes, slivers, notches, hair-thin figures, solids anywhere: a Refusal at worst."""
    answer = builders.laid_or_refused(drawn.deck(), drawn.kit)
    if isinstance(answer, Refusal):
        assert answer.problems
        assert all(problem.pointer.startswith("/") for problem in answer.problems)
        return
    assert all(bay.fill.top_cut > 0 and bay.fill.bottom_cut > 0 for bay in answer.bays)
    assert all(math.isfinite(place) for post in answer.posts for place in post.at)
