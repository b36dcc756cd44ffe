"""The benchmark still finds the stages that it times; no time is asserted."""

from __future__ import annotations

from service.data.catalogue import load_catalogue
from tests.bench import decks
from tests.bench.stages import STAGES, stage_times


def test_each_stage_is_found_in_an_answer() -> None:
    """Each stage takes some time in an answer.

    A stage that the answer no longer goes through, or calls in another way, would fail here.
    """
    spent = stage_times(decks.typical(), load_catalogue(), seconds=0.0)
    assert spent.keys() == {*STAGES, "to bytes", "all"}
    assert all(seconds > 0 for seconds in spent.values())
