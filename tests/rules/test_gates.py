"""Gates: the width of a leaf, what it swings into, what it opens over."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from service.core.records.code import Code, Figure
from service.core.records.deck import Drops
from service.core.records.seen import FootSeen

from .small import HIGH, IRC, amended, code_with, code_without, found, gate, glass, kit, only


@pytest.mark.parametrize(
    ("width", "result"),
    [(40.0, "pass"), (48.0, "pass"), (48.0625, "fail")],
    ids=["less", "the limit", "a sixteenth over"],
)
def test_gate_width(width: float, result: str) -> None:
    """A leaf is at most 48 in wide in this kit."""
    finding = only("gate_width", gates=(gate(width=width),))
    assert (finding.result, finding.limit, finding.actual) == (result, 48.0, width)
    assert (finding.where, finding.source, finding.cite) == (("main/gate",), "kit", "square")


def test_a_kit_without_gates_has_no_width() -> None:
    """A kit without gates has no limit of width, and gives no finding."""
    assert found("gate_width", with_kit=kit(gate=None), gates=(gate(),)) == []


def test_a_gate_at_a_flight_that_opens_in() -> None:
    """A gate at a flight that opens in, away from the steps, and hits nothing passes."""
    finding = only("gate_swing", gates=(gate(),))
    assert (finding.result, finding.severity) == ("pass", "note")
    assert finding.message == (
        "main/gate: the gate swings clear of posts, rails, walls, flights and obstructions."
    )


def test_a_gate_that_opens_over_its_flight() -> None:
    """A gate that opens over its own steps gives one finding, although the leaf sweeps them too."""
    finding = only("gate_swing", gates=(gate(opens="out", hits=("front",)),))
    assert (finding.result, finding.severity) == ("fail", "violation")
    assert "opens out over flight front" in finding.message


def test_a_gate_that_hits() -> None:
    """The message names everything that the leaf would hit."""
    finding = only("gate_swing", gates=(gate(hits=("P4", "roof column", "back")),))
    assert (finding.result, finding.severity) == ("fail", "violation")
    assert finding.message == "main/gate: the gate swings into P4, roof column and back."


def test_a_gate_that_does_both() -> None:
    """A gate that opens over its flight and into a post gives two findings, and no pass beside
    them."""
    findings = found("gate_swing", gates=(gate(opens="out", hits=("P4", "front")),))
    assert [f.result for f in findings] == ["fail", "fail"]
    assert findings[1].message == "main/gate: the gate swings into P4."


def _alone(drops: Drops, code: Code | None = IRC, **changes: Any) -> list[str]:
    gates = (gate(flight=None, drops=drops, **changes),)
    return [f.result for f in found("gate_swing", code, gates=gates)]


@pytest.mark.parametrize(
    ("drop", "results"),
    [(0.0, ["pass"]), (30.0, ["pass", "pass"]), (30.0625, ["fail"])],
    ids=["level ground", "the limit", "a sixteenth over"],
)
@pytest.mark.parametrize("opens", ["in", "out"])
def test_a_gate_with_no_flight(drop: float, results: list[str], opens: str) -> None:
    """A gate without a flight fails over a drop at which a guard is required (IRC, over 30 in), as
    one would step off."""
    assert _alone(Drops(drop), opens=opens) == results


def test_a_gate_over_a_drop_names_the_clause() -> None:
    """The drop that decides is the code's, and an amended one marks the finding."""
    code = code_with(IRC, guard_required_drop=amended(IRC.figures["guard_required_drop"], 24.0))
    finding = only("gate_swing", code, gates=(gate(flight=None, drops=HIGH),))
    assert (finding.result, finding.limit, finding.actual) == ("fail", 24.0, 48.0)
    assert (finding.amended, finding.published) == (True, 30.0)
    assert "opens over a drop of 4' with no stair or landing; a guard is required at any drop" in (
        finding.message
    )


def test_a_gate_over_a_low_drop_at_the_foot_of_a_flight() -> None:
    """Over 20 in, within the 30 in of R312.1.1, a gate may open; that a flight comes down there
    from a higher level is said, though it leaves 12 in open beside it."""
    feet = (FootSeen("main/gate", ("down",), 12.0),)
    low = gate(flight=None, drops=Drops(20.0))
    over = [f for f in found("gate_swing", gates=(low,), feet=feet) if "over a drop" in f.message]
    assert [f.result for f in over] == ["pass"]
    assert "opens over a drop of 1' 8\", at the foot of flight down; a guard" in over[0].message


@pytest.mark.parametrize("code", [None, code_without(IRC, "guard_required_drop")])
@pytest.mark.parametrize(
    ("drop", "results"), [(0.0, ["pass"]), (1.0, ["fail"])], ids=["none", "an inch"]
)
def test_a_gate_with_no_flight_and_no_figure(
    code: Code | None, drop: float, results: list[str]
) -> None:
    """Where no figure says which drop is small enough, a gate without a flight fails over any
    drop."""
    assert _alone(Drops(drop), code) == results


@pytest.mark.parametrize("code", [None, IRC])
def test_a_gate_over_an_unknown_drop(code: Code | None) -> None:
    """Over a drop that is not given the gate's swing passes, and the drop is asked for."""
    assert _alone(Drops(), code) == ["not_checked", "pass"]


def test_a_gate_that_hits_over_a_drop() -> None:
    """A gate that opens over a drop and hits a post gives both findings."""
    assert _alone(HIGH, hits=("P4",)) == ["fail", "fail"]


@pytest.mark.parametrize(
    ("top", "result"),
    [(36.0, "pass"), (35.9375, "fail")],
    ids=["the limit", "a sixteenth under"],
)
def test_a_leaf_is_as_high_as_a_guard(top: float, result: str) -> None:
    """IRC R312.1.2: the top of a leaf is at least 36 in high, as the guard beside it is."""
    finding = only("guard_height", gates=(gate(top=top),))
    assert (finding.result, finding.limit, finding.actual) == (result, 36.0, top)
    assert finding.where == ("main/gate",)
    assert finding.message.startswith("main/gate: the gate is ")


@pytest.mark.parametrize(
    ("height", "result"),
    [(32.0625, "pass"), (32.0, "fail")],
    ids=["3 15/16", "4, the limit"],
)
def test_the_gap_under_a_leaf(height: float, result: str) -> None:
    """A 4 in sphere must not pass under a leaf of this height, whose top is at 36 in (R312.1.3)."""
    finding = only("gap_under_rail", gates=(gate(height=height),))
    assert (finding.result, finding.actual) == (result, 36 - height)
    assert "under the leaf" in finding.message


def test_a_foothold_in_a_leaf() -> None:
    """A leaf's bottom rail may be a foothold: 1.25 in deep on a gap of 3.75 its top is at 5 in,
    under the 5.5 in (140 mm, NBC 9.8.8.6)."""
    zone = code_with(IRC, climb_zone_from=Figure(5.5, "less_than", "NBC 9.8.8.6", "near"))
    low = only("climbable", zone, gates=(gate(height=32.25),))
    depth = kit().rails["picket"].bottom.depth
    assert (low.result, low.actual) == ("pass", 3.75 + depth)
    assert "it must lie under that" in low.message
    high = only("climbable", zone, gates=(gate(height=36 - (5.5 - depth)),))
    assert (high.result, high.where) == ("fail", ("main/gate",))


@pytest.mark.parametrize(("top", "result"), [(35.0, "fail"), (36.0, "pass")])
def test_a_leaf_that_ends_in_the_zone_of_footholds(top: float, result: str) -> None:
    """The top of a leaf may be a foothold too: up to 35 7/16 in (900 mm, NBC 9.8.8.6) there is to
    be nothing to climb by."""
    zone = code_with(IRC, climb_zone_to=Figure(35.4375, "at_least", "NBC 9.8.8.6", "near"))
    finding = only("climbable", zone, gates=(gate(top=top),))
    assert (finding.result, finding.actual, finding.where) == (result, top, ("main/gate",))


def test_the_glass_of_a_leaf_stands_in_its_frame() -> None:
    """The top rail over a leaf's glass is held by the frame of the leaf, not by posts."""
    railed = code_with(IRC, glass_top_rail=Figure("required", "binds", "BS 6180", "memory"))
    finding = only("glass_top_rail", railed, gates=(gate(infill="glass", glass=glass(37.5, 30.0)),))
    assert finding.result == "pass"
    assert "the frame of the leaf holds" in finding.message


def test_the_glass_of_a_leaf_keeps_the_kits_limits() -> None:
    """A leaf's glass is held to the kit's limits where no bay has glass: a panel of 50 by 30 is
    wider than 48."""
    leaf = gate(infill="glass", glass=glass(50.0, 30.0))
    own = kit().glass
    assert own is not None
    narrow = kit(glass=replace(own, max_width=48.0))
    findings = found("glass_size", with_kit=narrow, gates=(leaf,))
    wide = [f for f in findings if f.result == "fail"]
    assert [(f.where, f.limit, f.actual) for f in wide] == [(("main/gate",), 48.0, 50.0)]
    assert only("glass_fitting", gates=(leaf,)).where == ("main/gate",)


def test_the_glass_of_a_leaf_waits_for_its_posts() -> None:
    """Where the kit sets posts before glass, a leaf's glass waits for them too; no site measure is
    of a gate."""
    leaf = gate(infill="glass", glass=glass(37.5, 30.0))
    finding = only("order_before_posts", with_kit=kit(posts_before_glass=True), gates=(leaf,))
    assert (finding.result, finding.where) == ("not_checked", ("main/gate",))
    assert "the glass of the leaf is sized from the drawing" in finding.message
    assert "as the opening's width" in finding.message
