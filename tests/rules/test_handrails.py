"""Guard tops that are meant as handrails, and handrails that are asked for and have no length: what
the deck document says of a flight, beside what is built."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from service.core.records.code import Code, Figure
from service.core.records.deck import Hand, Stair
from service.core.records.layout import FlightBuilt
from service.rules.finding import Finding
from service.rules.judge import judge

from .small import IRC, code_with, code_without, deck, flight, handrail, kit, layout

OWN = code_with(
    IRC,
    guard_top_as_handrail_min=Figure(34.0, "at_least", "IRC 2021 R312.1.2, exc. 2", "near"),
    guard_top_as_handrail_max=Figure(37.0, "at_most", "Town bylaw 8", "seen"),
)
"""The IRC with bounds of its own for the top of a guard, beside those of a handrail."""


def told(rule: str, *flights: FlightBuilt, code: Code = IRC, **asked: Any) -> list[Finding]:
    """Findings of a rule on these flights. asked: members of the document's stair `front`."""
    front = Stair("front", "main/stair", 49.0, 7, 10.5, "/stairs/0", **asked)
    every = judge(layout(flights=flights), replace(deck(), stairs=(front,)), kit(), code)
    return [finding for finding in every if finding.rule == rule]


@pytest.mark.parametrize(
    ("guards", "rails", "words"),
    [
        (("left", "right"), (), "a handrail on both sides"),
        (("left",), (), "a handrail on the left"),
        (("left",), ("left",), "a handrail on the left"),
        (("left",), ("right",), "a handrail on both sides"),
        ((), (), "no handrail"),
    ],
)
def test_a_top_that_is_a_handrail_counts_as_one(
    guards: tuple[Hand, ...], rails: tuple[Hand, ...], words: str
) -> None:
    """A guard's top that is a handrail counts as one on its side, and once where a handrail is
    there too."""
    one = flight(guards=guards, handrails=tuple(handrail(hand) for hand in rails))
    (finding,) = told("handrail_required", one, top_as_handrail=True)
    assert f"front: {words}, at 7 risers" in finding.message
    assert finding.result == ("fail" if words == "no handrail" else "pass")


def test_a_top_that_is_not_meant_so_is_no_handrail() -> None:
    """A guard on each side is no handrail where its top is not meant as one."""
    (finding,) = told("handrail_required", flight(handrails=()))
    assert finding.result == "fail"


@pytest.mark.parametrize(
    ("height", "code", "broken"),
    [
        (34.0, IRC, []),
        (38.0, IRC, []),
        (38.0625, IRC, [38.0]),
        (33.9375, IRC, [34.0]),
        (37.0, OWN, []),
        (38.0, OWN, [37.0]),
        (33.9375, OWN, [34.0]),
        (38.0, code_without(OWN, "guard_top_as_handrail_min"), [37.0]),
        (33.0, code_without(OWN, "guard_top_as_handrail_min"), []),
    ],
)
def test_the_height_of_a_top_that_is_a_handrail(
    height: float, code: Code, broken: list[float]
) -> None:
    """The height of a top that is a handrail is judged by the code's figures for it, else by those
    for handrails (check case 13)."""
    front, back = flight(height=height, handrails=()), flight(id="back", height=50.0, handrails=())
    findings = told("handrail_height", front, back, code=code, top_as_handrail=True)
    assert [finding.limit for finding in findings if finding.result == "fail"] == broken
    assert {finding.where for finding in findings} == {("front",)}


def test_no_guard_has_no_top() -> None:
    """A flight without a guard gives no finding of its top's height."""
    bare = flight(guards=(), handrails=())
    assert told("handrail_height", bare, top_as_handrail=True) == []


@pytest.mark.parametrize(("rails", "said"), [((), True), ((handrail("right"),), False)])
def test_a_handrail_that_is_asked_for_and_not_listed_is_told(rails: Any, said: bool) -> None:
    """A handrail that is asked for and not listed is not checked: beside one riser there is no
    slope along the nosings to measure it by."""
    findings = told("handrail_brackets", flight(handrails=rails), handrail=("right",))
    words = "a handrail is asked for, and none is listed"
    assert [f.result for f in findings if words in f.message] == ["not_checked"] * said
    assert told("handrail_brackets", flight(handrails=())) == []


@pytest.mark.parametrize("rule", ["handrail_grip", "handrail_extent"])
def test_nothing_is_said_of_a_handrail_that_is_not_there(rule: str) -> None:
    """Of two flights the finding names only the one with a handrail, by a code that has a figure
    for it."""
    code = code_with(
        IRC,
        handrail_grip_max=Figure(2.0, "at_most", "Town bylaw 9", "seen"),
        handrail_extension_top=Figure(0.0, "at_least", "Town bylaw 9", "seen"),
    )
    held, bare = flight(id="held"), flight(id="bare", handrails=())
    assert {finding.where for finding in told(rule, held, bare, code=code)} == {("held",)}
