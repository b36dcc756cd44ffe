"""Bases, tape walks and ties."""

from __future__ import annotations

import pytest

from service.core.layout import BaseSeen, ClashSeen, ClosureSeen, TieSeen

from .small import found, kit, only


@pytest.mark.parametrize(("overhang", "result"), [(0.0, "pass"), (5e-7, "pass"), (0.5, "fail")])
def test_base_on_deck(overhang: float, result: str) -> None:
    """A base stands wholly on the deck, within 1e-6."""
    finding = only("base_on_deck", bases=(BaseSeen("P4", overhang),))
    assert (finding.result, finding.where, finding.limit) == (result, ("P4",), 0.0)


def test_the_amount_is_named() -> None:
    """The message says how far, and past what."""
    past_deck = only("base_on_deck", bases=(BaseSeen("P4", 0.5),))
    assert past_deck.message == ('P4: the base reaches 1/2" past the deck that must carry it.')
    assert (past_deck.severity, past_deck.actual) == ("violation", 0.5)
    past_rim = only("base_on_deck", with_kit=kit(mounting="fascia"), bases=(BaseSeen("P4", 0.5),))
    assert "past its rim" in past_rim.message


def test_a_hair_past_the_deck_is_not_written_as_nothing() -> None:
    """0.00002 in is over the touch of 1e-6 and is not said to be 0."""
    assert '0.00002"' in only("base_on_deck", bases=(BaseSeen("P1", 0.00002),)).message


def test_bases_that_meet() -> None:
    """Pairs that run into each other by the same amount are one finding, pair by pair."""
    clashes = (ClashSeen(("P1", "P2"), 0.5), ClashSeen(("P5", "P6"), 0.5))
    finding = only("bases_apart", clashes=clashes)
    assert (finding.result, finding.severity) == ("fail", "violation")
    assert finding.where == ("P1", "P2", "P5", "P6")
    assert finding.message.startswith('P1 and P2, P5 and P6: their bases run 1/2"')


def test_bases_clear_of_each_other() -> None:
    """Without a clash there is one pass for all; one base alone has nothing to meet."""
    bases = tuple(BaseSeen(f"P{number}", 0.0) for number in (1, 2, 3))
    finding = only("bases_apart", bases=bases)
    assert (finding.result, finding.where) == ("pass", ("P1", "P2", "P3"))
    assert found("bases_apart", bases=bases[:1]) == []


@pytest.mark.parametrize(
    ("gap", "result", "ratio"),
    [(0.5, "pass", "1:1536"), (1.536, "pass", "1:500"), (1.6, "fail", "1:480")],
    ids=["close", "the limit", "over"],
)
def test_walk_closure(gap: float, result: str, ratio: str) -> None:
    """A walk of 64 ft, 768 in: 768/500 = 1.536, 768/0.5 = 1536, 768/1.6 = 480.

    1:500 is common practice, no source.
    """
    finding = only("walk_closure", closures=(ClosureSeen("main", gap, 768.0),))
    assert (finding.result, finding.where) == (result, ("main",))
    assert (finding.limit, finding.actual) == (1.536, gap)
    assert f"{ratio};" in finding.message
    assert "spread over the sides by their lengths" in finding.message
    assert finding.severity == ("warning" if result == "fail" else "note")


def test_the_ratio_of_a_failing_walk_is_never_the_bound() -> None:
    """500.5/1.0011 is 1:499.95, which is under 1:500 and must not be rounded to it."""
    finding = only("walk_closure", closures=(ClosureSeen("main", 1.0011, 500.5),))
    assert finding.result == "fail"
    assert "1:499;" in finding.message


def test_a_published_traverse() -> None:
    """Compass-rule example B of the engineering facts (m): 0.4210 in 267.5, 1/635."""
    finding = only("walk_closure", unit="mm", closures=(ClosureSeen("main", 421.0, 267500.0),))
    assert finding.result == "pass"
    assert "1:635;" in finding.message


def test_a_walk_that_closes() -> None:
    """No gap, no ratio, and nothing was spread."""
    message = only("walk_closure", closures=(ClosureSeen("main", 0.0, 768.0),)).message
    assert message == "main: the tape walk of 64' closes on its start."


@pytest.mark.parametrize(("angle", "result"), [(29.999, "fail"), (30.0, "pass"), (90.0, "pass")])
def test_weak_tie(angle: float, result: str) -> None:
    """Two tapes that cross under 30° are a warning (contract, section 3)."""
    finding = only("weak_tie", ties=(TieSeen("main", 2, angle),))
    assert (finding.result, finding.where) == (result, ("main/corner 2",))
    assert (finding.limit, finding.actual) == (30.0, angle)
    assert finding.severity == ("warning" if result == "fail" else "note")


def test_firm_ties_are_one_finding_with_the_least_angle() -> None:
    """45°, 38° and 60° pass together, and 38° is named."""
    ties = tuple(TieSeen("main", number, angle) for number, angle in enumerate((45.0, 38.0, 60.0)))
    finding = only("weak_tie", ties=ties)
    assert finding.actual == 38.0
    assert finding.message.startswith("main/corner 0 to 2: the two tapes cross at 38° at the least")


def test_survey_rules_say_where_their_bounds_come_from() -> None:
    """No clause asks these figures, so the cite says that they are practice."""
    finding = only("weak_tie", ties=(TieSeen("main", 0, 45.0),))
    assert (finding.source, finding.cite) == ("survey", "common practice, no source")
