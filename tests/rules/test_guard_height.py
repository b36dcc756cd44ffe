"""How high a guard must be. Check cases: section 9 of the code facts, IRC 5, England 29, NBC 30."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from service.core.records.code import Code, Figure, When
from service.core.records.deck import Drops
from service.core.records.figures import Measure

from .small import ADK, IRC, amended, bay, code_with, code_without, found, only

NBC_HEIGHT = Figure(
    900.0,
    "at_least",
    "NBC 2020 9.8.8.3.(3)",
    "near",
    (When("drop_to_ground", 1800.0, 1070.0, "NBC 2020 9.8.8.3.(1)"),),
)
"""900 mm up to 1 800 mm above finished ground, else 1 070 (facts 3.1)."""
NBC = code_with(
    ADK,
    guard_height=NBC_HEIGHT,
    geometry_applies_to=Figure("all guards", "binds", "NBC 2020 9.8.8", "near"),
)


@pytest.mark.parametrize(
    ("height", "result"),
    [(35.9375, "fail"), (36.0, "pass"), (36.0 - 5e-7, "pass"), (42.0, "pass")],
    ids=["a sixteenth under", "case 5, the limit", "at the limit within 1e-6", "higher"],
)
def test_irc_height(height: float, result: str) -> None:
    """IRC 2021 R312.1.2: a guard is not less than 36 in high."""
    finding = only("guard_height", bays=(bay(height=height),))
    assert (finding.result, finding.limit) == (result, 36.0)
    assert finding.cite == "IRC 2021 R312.1.2"


def test_england_height() -> None:
    """Check case 29: 900 mm at a raised deck fails, where Diagram 3.1 asks for 1 100 mm."""
    parts: dict[str, Any] = {"bays": (bay(height=900.0, drops=Drops(2000.0)),)}
    finding = only("guard_height", ADK, unit="mm", **parts)
    assert (finding.result, finding.severity) == ("fail", "violation")
    assert (finding.actual, finding.limit) == (900.0, 1100.0)
    assert finding.message == (
        "B1: the guard is 900 mm high; at least 1100 mm is required (AD K 2013, Diagram 3.1)."
    )


@pytest.mark.parametrize(
    ("measure", "words"),
    [
        ("drop", "the drop"),
        ("drop_to_ground", "the drop"),
        ("drop_to_next_level", "the drop"),
        ("occupants", "how many people the deck is for (occupants)"),
    ],
)
def test_what_would_decide_is_asked_for(measure: Measure, words: str) -> None:
    """Where a height passes one figure and breaks another, the message asks for what decides
    between them: 36 in, where the code asks for 42 in a case that may hold."""
    case = When(measure, 50.0, 42.0, "Town bylaw 7")
    height = Figure(36.0, "at_least", "Town bylaw 6", "seen", (case,))
    finding = only("guard_height", code_with(IRC, guard_height=height), bays=(bay(drops=Drops()),))
    assert (finding.result, finding.limit) == ("not_checked", None)
    assert f"by {words}, which is not given: give it" in finding.message


def test_a_figure_that_the_height_would_read_like() -> None:
    """A height that fails is not written like the figure that it breaks: 39.37 in is under 1000 mm,
    which is 39.370079 in; 34.0551 in is 2/100,000 in under 865 mm, which is 34.055118."""
    tell = {39.37: (1000, '39.3701"'), 34.0551: (865, '34.055118"')}
    for height, (millimetres, asked) in tell.items():
        figure = Figure(millimetres / 25.4, "at_least", "Town bylaw 5", "seen")
        code = code_with(IRC, guard_height=figure)
        finding = only("guard_height", code, bays=(bay(height=height),))
        assert finding.message == (
            f'B1: the guard is {height}" high; at least {asked} ({millimetres} mm) is required '
            "(Town bylaw 5)."
        )


@pytest.mark.parametrize(("height", "result"), [(36.0, "fail"), (36.0625, "pass")])
def test_a_height_that_must_be_exceeded(height: float, result: str) -> None:
    """A code may ask for more than its figure; 36 in is not more than 36."""
    code = code_with(IRC, guard_height=Figure(36.0, "more_than", "Town bylaw 4", "seen"))
    finding = only("guard_height", code, bays=(bay(height=height),))
    assert finding.result == result
    assert "more than 3' is required" in finding.message


def test_exactly_on_the_limit_reads_sensibly() -> None:
    """A guard of exactly the required height is not said to need more."""
    message = only("guard_height", bays=(bay(),)).message
    assert (
        message == "B1: the guard is 3' high; exactly the 3' that is required (IRC 2021 R312.1.2)."
    )


def test_a_guard_that_is_not_required_is_not_judged() -> None:
    """Check case 62: at a drop of 28 in the IRC's height and openings do not bind."""
    parts: dict[str, Any] = {"bays": (bay(height=30.0, drops=Drops(28.0)),)}
    assert found("guard_height", **parts) == []


@pytest.mark.parametrize(
    ("drop", "why"),
    [
        (None, "no drop is given"),
        (
            25.0,
            "whether a guard is required here depends on how many people the deck is for "
            "(occupants), which is not given",
        ),
    ],
)
def test_a_guard_that_may_be_required_is_taken_as_a_required_one(
    drop: float | None, why: str
) -> None:
    """A bylaw asks for a guard over 20 in where there are more than ten occupants, else over 30: at
    25 in without a number of occupants either may hold, although the drop is given."""
    more = When("occupants", 10.0, 20.0, "Town bylaw 9")
    required = replace(IRC.figures["guard_required_drop"], when=(more,))
    code = code_with(IRC, guard_required_drop=required)
    finding = only("guard_height", code, bays=(bay(height=30.0, drops=Drops(drop)),))
    assert (finding.result, finding.limit) == ("fail", 36.0)
    assert f"; {why}, so the guard is taken as a required one" in finding.message


def test_all_guards_are_judged_where_the_code_says_so() -> None:
    """England's figures bind every guard that is put up, here at a drop of 300 mm."""
    parts: dict[str, Any] = {"bays": (bay(height=900.0, drops=Drops(300.0)),)}
    assert only("guard_height", ADK, unit="mm", **parts).result == "fail"


def test_an_unknown_drop_is_taken_as_a_required_guard() -> None:
    """Without a drop the guard is taken as required, and the message says why."""
    finding = only("guard_height", bays=(bay(height=30.0, drops=Drops()),))
    assert finding.result == "fail"
    assert "no drop is given, so the guard is taken as a required one" in finding.message


@pytest.mark.parametrize(
    ("above_ground", "result", "limit"),
    [(1800.0, "pass", 900.0), (1801.0, "fail", 1070.0)],
    ids=["case 30, the limit", "case 31"],
)
def test_a_height_that_depends_on_the_ground(
    above_ground: float, result: str, limit: float
) -> None:
    """Check cases 30 and 31: 900 mm is enough up to 1 800 mm above ground, and not beyond."""
    bays = (bay(height=900.0, drops=Drops(drop=700.0, to_ground=above_ground)),)
    finding = only("guard_height", NBC, unit="mm", bays=bays)
    assert (finding.result, finding.limit) == (result, limit)
    assert finding.cite == ("NBC 2020 9.8.8.3.(1)" if limit > 1000 else "NBC 2020 9.8.8.3.(3)")


def test_the_drop_stands_for_the_ground_where_that_is_left_out() -> None:
    """drop_to_ground defaults to drop (contract, section 5): at 1 000 mm 900 mm is enough."""
    bays = (bay(height=900.0, drops=Drops(drop=1000.0)),)
    finding = only("guard_height", NBC, unit="mm", bays=bays)
    assert (finding.result, finding.limit) == ("pass", 900.0)


@pytest.mark.parametrize(
    ("height", "result", "limit"),
    [(1070.0, "pass", 1070.0), (1069.0, "not_checked", None), (899.0, "fail", 900.0)],
)
def test_a_conditional_height_without_its_drop(
    height: float, result: str, limit: float | None
) -> None:
    """Without a drop, 1 070 passes both figures and 899 neither; a height between them is not
    checked."""
    finding = only("guard_height", NBC, unit="mm", bays=(bay(height=height, drops=Drops()),))
    assert (finding.result, finding.limit) == (result, limit)


def test_the_open_case_says_what_to_give() -> None:
    """The not_checked finding names both figures with their clauses, and asks for the drop."""
    message = only("guard_height", NBC, unit="mm", bays=(bay(height=950.0, drops=Drops()),)).message
    assert "1070 mm (NBC 2020 9.8.8.3.(1)) or 900 mm (NBC 2020 9.8.8.3.(3))" in message
    assert "the drop, which is not given: give it" in message


def test_an_amended_height() -> None:
    """The local authority's 42 in holds in place of the code's 36 in, and the finding is marked."""
    code = code_with(IRC, guard_height=amended(IRC.figures["guard_height"], 42.0))
    finding = only("guard_height", code, bays=(bay(),))
    assert (finding.result, finding.limit) == ("fail", 42.0)
    assert (finding.amended, finding.published) == (True, 36.0)
    whose = "(the local authority's figure; the code prints 3', IRC 2021 R312.1.2)"
    assert whose in finding.message


@pytest.mark.parametrize(("drop", "widened"), [(24.0, True), (48.0, False)])
def test_words_that_bind_all_guards_are_shown_where_they_alone_bind(
    drop: float, widened: bool
) -> None:
    """An amendment that binds all guards marks a finding only where it alone makes the figures
    bind: at a drop of 24 in it does; at 48 in the guard is required anyway, and the code's own
    figure binds."""
    words = replace(
        IRC.figures["geometry_applies_to"],
        value="all guards",
        amended=True,
        published="required guards",
    )
    code = code_with(IRC, geometry_applies_to=words)
    low = bay(height=30.0, drops=Drops(drop))
    finding = only("guard_height", code, bays=(low,))
    assert (finding.result, finding.limit, finding.amended) == ("fail", 36.0, widened)


def test_an_amended_drop_that_makes_the_guard_a_required_one() -> None:
    """At a drop of 28 in the figures bind only by the local 24 in, so that the finding is
    marked."""
    code = code_with(IRC, guard_required_drop=amended(IRC.figures["guard_required_drop"], 24.0))
    finding = only("guard_height", code, bays=(bay(height=30.0, drops=Drops(28.0)),))
    assert (finding.result, finding.limit, finding.amended) == ("fail", 36.0, True)
    assert "required here by the drop (the local authority's figure" in finding.message


def test_a_figure_from_memory_says_so() -> None:
    """The message says that a figure whose text was not seen is from memory."""
    figure = Figure(36.0, "at_least", "Town bylaw 4", "memory")
    finding = only("guard_height", code_with(IRC, guard_height=figure), bays=(bay(),))
    assert "(Town bylaw 4, from memory)" in finding.message


@pytest.mark.parametrize(
    ("code", "words"), [(None, "name a code"), (code_without(IRC, "guard_height"), "states no")]
)
def test_without_the_figure(code: Code | None, words: str) -> None:
    """Without a code, or without its figure, one not_checked covers all bays."""
    bays = (bay(1), bay(2, height=42.0), bay(3, drops=Drops()))
    finding = only("guard_height", code, bays=bays)
    assert (finding.result, finding.where) == ("not_checked", ("B1", "B2", "B3"))
    assert words in finding.message
