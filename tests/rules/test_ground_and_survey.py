"""Bases, bowed edges, heads of flights, tape walks and ties, and measuring again."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from dataclasses import replace

import pytest

from service.answer import answer
from service.core.measure import Unit
from service.core.records.layout import Run
from service.core.records.seen import (
    ArcSeen,
    BaseSeen,
    ClashSeen,
    ClosureSeen,
    HeadSeen,
    MeasureSeen,
    SizeSeen,
    TieSeen,
    WallEndSeen,
)
from service.rules.judge import judge
from tests.shipped import catalogue

from .small import bay, deck, flight, found, glass, glass_bay, kit, layout, only, post, raked_bay

NOWHERE = ((0.0, 0.0), (0.0, 0.0))
"""The ends of a run, whose place these rules do not read."""


@pytest.mark.parametrize(
    ("overhang", "result"),
    [(0.0, "pass"), (5e-7, "pass"), (0.001, "pass"), (0.0011, "fail"), (0.5, "fail")],
)
def test_base_on_deck(overhang: float, result: str) -> None:
    """A base stands wholly on the deck, within a thousandth of an inch. Outlines are given to that
    precision, so that a base meant to end at the edge must not fail for their last decimal."""
    finding = only("base_on_deck", bases=(BaseSeen("P4", overhang),))
    assert (finding.result, finding.where, finding.limit) == (result, ("P4",), 0.0)


@pytest.mark.parametrize(("beyond", "told"), [(3.5, '3 1/2"'), (3.51, '3 9/16"')])
def test_a_wall_has_to_go_on_to_the_next_mark(beyond: float, told: str) -> None:
    """The length by which a wall must go on is rounded up to the next mark, as a mark less would
    leave part of the rail past the wall."""
    finding = only(
        "wall_goes_on", wall_ends=(WallEndSeen("main", 1, False, ((0.0, 0.0), (0.0, -beyond))),)
    )
    assert (finding.result, finding.where) == ("not_checked", ("main/edge 1",))
    assert f"it goes on at least {told} there" in finding.message


@pytest.mark.parametrize(
    ("is_jamb", "told"),
    [
        (False, "measure its last bay before rails are cut"),
        (True, "that its clear width is enough"),
    ],
)
def test_a_wall_at_an_inner_corner_is_as_thick_as_it_is(is_jamb: bool, told: str) -> None:
    """A wall at an inner corner need not go on past it, but it is in the way by its own thickness,
    which is not given."""
    corner = (0.0, 0.0)
    seen = WallEndSeen("main", 1, is_jamb, (corner, corner), is_inner=True)
    finding = only("wall_goes_on", wall_ends=(seen,))
    assert (finding.result, finding.where) == ("not_checked", ("main/edge 1",))
    assert "its thickness is not given" in finding.message
    assert told in finding.message


def test_the_amount_is_named() -> None:
    """The message says how far a base reaches, and past what: the deck, or in a fascia kit the
    rim."""
    past_deck = only("base_on_deck", bases=(BaseSeen("P4", 0.5),))
    assert past_deck.message == ('P4: the base reaches 1/2" past the deck that must carry it.')
    assert (past_deck.severity, past_deck.actual) == ("violation", 0.5)
    past_rim = only("base_on_deck", with_kit=kit(mounting="fascia"), bases=(BaseSeen("P4", 0.5),))
    assert "past its rim" in past_rim.message


def test_little_past_the_deck_is_not_written_as_nothing() -> None:
    """An overhang of 0.03 mm, over the thousandth of an inch that is allowed, is not rounded to
    nothing."""
    finding = only("base_on_deck", unit="mm", bases=(BaseSeen("P1", 0.03),))
    assert "reaches 0.03 mm past" in finding.message


@pytest.mark.parametrize(
    ("off", "result", "told"),
    [
        (0.125, "pass", "stands wholly on its rim"),
        (0.126, "fail", 'on both sides it lies 0.126" off the rim; pack it out there'),
        (-0.125, "pass", "stands wholly on its rim"),
        (-0.3, "fail", 'in the middle it lies 0.3" off the rim, and stands as much further out'),
    ],
)
def test_a_flat_base_on_a_bowed_rim(off: float, result: str, told: str) -> None:
    """A flat base may lie up to 1/8 in off a bowed rim, as its fixings draw it up by that much
    (common practice). A base that also reaches past its rim gets the finding for that, which is
    worse."""
    hung = kit(mounting="fascia")
    finding = only("base_on_deck", with_kit=hung, bases=(BaseSeen("P4", 0.0, off_rim=off),))
    assert (finding.result, finding.actual) == (result, 0.0 if result == "pass" else abs(off))
    assert told in finding.message
    past = only("base_on_deck", with_kit=hung, bases=(BaseSeen("P4", 0.5, off_rim=off),))
    assert (past.severity, past.actual) == ("violation", 0.5)


def test_bases_that_meet() -> None:
    """Pairs of bases that overlap by the same amount are one finding, which names them pair by
    pair."""
    clashes = (ClashSeen(("P1", "P2"), 0.5), ClashSeen(("P5", "P6"), 0.5))
    finding = only("bases_apart", clashes=clashes)
    assert (finding.result, finding.severity) == ("fail", "violation")
    assert finding.where == ("P1", "P2", "P5", "P6")
    assert finding.message.startswith('P1 and P2, P5 and P6: their bases run 1/2"')


def test_bases_clear_of_each_other() -> None:
    """Where no bases overlap, one pass names them all; a single base has no other to meet, and
    gives none."""
    bases = tuple(BaseSeen(f"P{number}", 0.0) for number in (1, 2))
    finding = only("bases_apart", bases=bases)
    assert (finding.result, finding.where) == ("pass", ("P1", "P2"))
    assert found("bases_apart", bases=bases[:1]) == []


@pytest.mark.parametrize(
    ("level", "place"), [("main", "main"), ("B12", "level B12"), ("B", "B"), ("P1a", "P1a")]
)
def test_a_level_is_not_named_as_something_else_is(level: str, place: str) -> None:
    """A level whose id is one that a post, a run or a bay has is named as a level."""
    finding = only("walk_closure", closures=(ClosureSeen(level, 0.0, 768.0),))
    assert finding.where == (place,)


@pytest.mark.parametrize(
    ("gap", "result", "ratio"),
    [(0.5, "pass", "1:1536"), (1.536, "pass", "1:500"), (1.6, "fail", "1:480")],
    ids=["close", "the limit", "over"],
)
def test_walk_closure(gap: float, result: str, ratio: str) -> None:
    """A tape walk may miss its start by 1:500 of its length (common practice, no source).

    A walk of 64 ft, 768 in: 768/500 = 1.536, 768/0.5 = 1536, 768/1.6 = 480.
    """
    finding = only("walk_closure", closures=(ClosureSeen("main", gap, 768.0),))
    assert (finding.result, finding.where) == (result, ("main",))
    assert (finding.limit, finding.actual) == (1.536, gap)
    assert finding.ratio == pytest.approx(1 / float(ratio[2:]))
    assert f"{ratio};" in finding.message
    assert "spread over the sides by their lengths" in finding.message
    assert finding.severity == ("warning" if result == "fail" else "note")


def test_the_ratio_of_a_failing_walk_is_never_the_bound() -> None:
    """500.5/1.0011 is 1:499.95, which breaks 1:500 and must not be rounded to it."""
    finding = only("walk_closure", closures=(ClosureSeen("main", 1.0011, 500.5),))
    assert finding.result == "fail"
    assert "1:499;" in finding.message


def test_a_published_traverse() -> None:
    """A published traverse closes with its published ratio: compass-rule example B of the
    engineering facts (m), 0.4210 in 267.5, 1/635."""
    finding = only("walk_closure", unit="mm", closures=(ClosureSeen("main", 421.0, 267500.0),))
    assert finding.result == "pass"
    assert "1:635;" in finding.message


def test_a_walk_that_closes() -> None:
    """A walk without a gap has no ratio in its message, and none of it is said to be spread."""
    message = only("walk_closure", closures=(ClosureSeen("main", 0.0, 768.0),)).message
    assert message == "main: the tape walk of 64' closes on its start."


def test_a_side_that_was_left_out_is_told() -> None:
    """The side that was left out takes the length that closes the walk, whatever error is in the
    others; so the message asks for it to be measured too."""
    seen = ClosureSeen("main", 0.0, 768.0, (3, 144.0))
    message = only("walk_closure", closures=(seen,)).message
    assert "side 3, left out, comes to 12': lay a tape on it" in message


@pytest.mark.parametrize(("angle", "result"), [(29.999, "fail"), (30.0, "pass"), (90.0, "pass")])
def test_weak_tie(angle: float, result: str) -> None:
    """Two tapes that cross at under 30° are a warning (contract, section 3)."""
    finding = only("weak_tie", ties=(TieSeen("main", 2, angle),))
    assert (finding.result, finding.where) == (result, ("main/corner 2",))
    assert (finding.limit, finding.actual) == (30.0, angle)
    assert finding.severity == ("warning" if result == "fail" else "note")


def test_firm_ties_are_one_finding_with_the_least_angle() -> None:
    """Ties that pass are one finding with the least angle: of 45°, 38° and 60° it is 38°."""
    ties = tuple(TieSeen("main", number, angle) for number, angle in enumerate((45.0, 38.0, 60.0)))
    finding = only("weak_tie", ties=ties)
    assert finding.actual == 38.0
    assert finding.message.startswith("main/corner 0 to 2: the two tapes cross at 38° at the least")


def test_survey_rules_say_where_their_bounds_come_from() -> None:
    """No clause states the bounds of the survey rules, and their cite says so."""
    finding = only("weak_tie", ties=(TieSeen("main", 0, 45.0),))
    assert (finding.source, finding.cite) == ("survey", "common practice, no source")


def test_a_base_wider_than_its_going() -> None:
    """A base of 4 3/4 in in the middle of a going of 4 in reaches (4.75 - 4)/2 = 3/8 in past each
    end."""
    on_tread = replace(post(7), flight="front")
    finding = only("base_on_deck", posts=(on_tread,), bases=(BaseSeen("P7", 0.375),))
    assert (finding.result, finding.severity, finding.actual) == ("fail", "violation", 0.375)
    assert finding.message == (
        'P7: the base is 4 3/4" wide and the going 4": it reaches 3/8" past its tread at the front '
        "and at the back."
    )


def test_a_base_on_its_tread() -> None:
    """A base on a tread passes in a finding of its own, apart from the bases on the deck."""
    posts = (post(1), replace(post(7), flight="front"))
    findings = found("base_on_deck", posts=posts, bases=(BaseSeen("P1", 0.0), BaseSeen("P7", 0.0)))
    assert [(f.result, f.where) for f in findings] == [("pass", ("P1",)), ("pass", ("P7",))]
    assert "its tread or on the ground" in findings[1].message


@pytest.mark.parametrize(
    ("middle", "result"),
    [(1.25, "pass"), (1.25 - 5e-7, "pass"), (1.1875, "fail"), (-0.5, "fail")],
    ids=["the limit", "at the limit within 1e-6", "a sixteenth under", "past the edge"],
)
def test_arc_over_edge(middle: float, result: str) -> None:
    """A rail of 2 1/2 in stands wholly over the deck where its middle is at least 1 1/4 in inside
    the edge."""
    finding = only("arc_over_edge", arcs=(ArcSeen("R3", middle, 1.25),))
    assert (finding.result, finding.limit, finding.where) == (result, 1.25, ("R3",))
    assert finding.severity == ("violation" if result == "fail" else "note")


@pytest.mark.parametrize(
    ("mounting", "middle", "words"),
    [
        ("surface", 1.0, 'lies only 1" inside the deck\'s edge; it needs 1 1/4", which is 1/4"'),
        ("surface", -0.5, 'lies 1/2" past the deck\'s edge; it needs 1 1/4", which is 1 3/4"'),
        ("fascia", 0.5, 'lies only 1/2" off the deck\'s edge; it needs 1 1/4", which is 3/4"'),
        ("fascia", -0.5, 'lies 1/2" inside the deck\'s edge; it needs 1 1/4", which is 1 3/4"'),
    ],
)
def test_the_amount_that_an_arc_misses_by(mounting: str, middle: float, words: str) -> None:
    """The message says on which side of the edge the rail's middle lies, and how much is
    wanting."""
    arcs = (ArcSeen("R3", middle, 1.25),)
    assert words in only("arc_over_edge", with_kit=kit(mounting=mounting), arcs=arcs).message


def test_arcs_that_keep_their_edge_are_one_finding_with_the_least() -> None:
    """Arcs that pass are one finding with the least distance: of 3, 2 and 2.5 in it is 2 in."""
    arcs = tuple(ArcSeen(f"R{n}", m, 1.25) for n, m in ((1, 3.0), (2, 2.0), (3, 2.5)))
    finding = only("arc_over_edge", arcs=arcs)
    assert (finding.actual, finding.where) == (2.0, ("R1", "R2", "R3"))
    assert 'at least 2" inside' in finding.message


@pytest.mark.parametrize(
    ("raked", "result", "miss"),
    [(36.0, "pass", 0.0), (36.0625, "pass", 0.0625), (38.125, "fail", 2.125), (34.0, "fail", 2.0)],
    ids=["alike", "within a mark", "above", "below"],
)
def test_head_heights(raked: float, result: str, miss: float) -> None:
    """At the head post the raked rail's top meets the level rail's, within a mark of 1/16 in."""
    finding = only(
        "head_heights", heads=(HeadSeen("front", "P4", 36.0, raked),), flights=(flight(),)
    )
    assert (finding.result, finding.actual, finding.where) == (result, miss, ("P4",))
    assert finding.severity == ("warning" if result == "fail" else "note")


def test_the_message_says_by_how_much_the_heads_miss() -> None:
    """The message gives both heights, how far the one is above the other, and the guard height of
    the flight, now 38, at which they would meet: 38 - 2.125 = 35.875, over the 34 of the code."""
    heads = (HeadSeen("front", "P4", 36.0, 38.125),)
    assert only("head_heights", heads=heads, flights=(flight(height=38.0),)).message == (
        "P4: the level rail's top is at 3' and the raked rail's at 3' 2 1/8\" above the deck, "
        "2 1/8\" above it; they would meet with the flight's guard 2' 11 7/8\" high; else see how "
        "the head post is to take both rails."
    )


@pytest.mark.parametrize(("height", "told"), [(36.125, True), (36.0625, False)])
def test_no_guard_is_told_that_the_code_forbids(height: float, told: bool) -> None:
    """A guard height that the code forbids is not suggested. IRC 2021 R312.1.2 asks for 34 in on a
    stair: 36.125 less 2.125 is exactly that, and from a guard 1/16 in lower it would be less."""
    heads = (HeadSeen("front", "P4", 36.0, 38.125),)
    message = only("head_heights", heads=heads, flights=(flight(height=height),)).message
    assert ("they would meet" in message) == told
    assert message.endswith("see how the head post is to take both rails.")


def test_without_a_code_the_guard_is_told_as_far_as_one_lets_it_be() -> None:
    """Without a code the guard height is suggested under the condition that a code allows it: 34
    less 2.125 is 31.875, 2' 7 7/8"."""
    laid = layout(heads=(HeadSeen("front", "P4", 36.0, 38.125),), flights=(flight(),))
    told = [f.message for f in judge(laid, deck("in"), kit(), None) if f.rule == "head_heights"]
    assert len(told) == 1
    assert "the flight's guard 2' 7 7/8\" high, where the code lets it be; else" in told[0]


def test_each_head_goes_by_its_own_flight() -> None:
    """Each head's suggestion is for its own flight. Guards of 36 and of 38 both have to come down
    by 2 to the level rail: to 34 (2' 10") and 36 (3')."""
    heads = (HeadSeen("front", "P4", 36.0, 38.0), HeadSeen("back", "P5", 36.0, 38.0))
    flights = (flight(height=36.0), flight(id="back", height=38.0))
    told = {f.where: f.message for f in found("head_heights", heads=heads, flights=flights)}
    assert "the flight's guard 2' 10\" high" in told["P4",]
    assert "the flight's guard 3' high" in told["P5",]


def test_heads_off_the_marks_are_told_as_a_tape_reads_them() -> None:
    """Heights off the marks are written as a tape reads them: 36.3902 is nearest to 36 3/8 (36.375;
    36 7/16 is 36.4375), and a tape shows 3/8 between the two, while `actual` stays 0.3902. 36 less
    that is 35.6098, nearest to 35 5/8."""
    heads = (HeadSeen("front", "P4", 36.0, 36.3902),)
    finding = only("head_heights", heads=heads, flights=(flight(height=36.0),))
    assert finding.message == (
        "P4: the level rail's top is at 3' and the raked rail's at 3' 0 3/8\" above the deck, "
        "3/8\" above it; they would meet with the flight's guard 2' 11 5/8\" high; else see how "
        "the head post is to take both rails."
    )
    assert finding.actual == pytest.approx(0.3902)


@pytest.mark.parametrize(
    ("off", "result"),
    [(0.0, "pass"), (0.125, "pass"), (0.1875, "fail"), (30.0, "fail")],
    ids=["on it", "a gap that one steps across", "a mark more", "far"],
)
def test_flight_foot(off: float, result: str) -> None:
    """A flight whose foot is over 1/8 in off the level that it names is a warning."""
    finding = only("flight_foot", flights=(flight(to_level="lower", foot_off=off),))
    assert (finding.result, finding.actual, finding.where) == (result, off, ("front",))
    assert finding.severity == ("warning" if result == "fail" else "note")
    assert "lower" in finding.message


def test_a_flight_to_the_ground_has_no_level_to_miss() -> None:
    """A flight without to_level gives no finding."""
    assert not found("flight_foot", flights=(flight(),))


@pytest.mark.parametrize(
    ("bottom", "result"),
    [(55.875, "pass"), (56.125, "pass"), (55.625, "pass"), (56.1875, "fail"), (55.5625, "fail")],
    ids=["plumb", "the limit, more", "the limit, less", "over, more", "over, less"],
)
def test_out_of_plumb(bottom: float, result: str) -> None:
    """The kit allows 1/4 in between the clear opening at the top (55 7/8 in) and at the bottom."""
    finding = only("out_of_plumb", measures=(MeasureSeen("B3", "R1", 55.875, bottom, 55.875),))
    assert (finding.result, finding.limit, finding.where) == (result, 0.25, ("B3",))
    assert finding.actual == abs(bottom - 55.875)
    assert finding.severity == ("warning" if result == "fail" else "note")
    assert finding.source == "survey"


def test_a_kit_without_a_tolerance_of_plumb() -> None:
    """Where the kit gives no tolerance, the measured bays are not checked and the message asks for
    it."""
    measures = (
        MeasureSeen("B3", "R1", 55.875, 57.0, 56.0),
        MeasureSeen("B4", "R1", 55.875, 55.875, 56.0),
    )
    finding = only("out_of_plumb", with_kit=kit(out_of_plumb=None), measures=measures)
    assert (finding.result, finding.where) == ("not_checked", ("B3", "B4"))
    assert "the kit gives no out_of_plumb" in finding.message


@pytest.mark.parametrize(
    ("top", "bottom", "result"),
    [
        (56.0, 56.0, "pass"),
        (56.5, 55.5, "pass"),
        (56.0, 56.5625, "fail"),
        (55.4375, 56.0, "fail"),
        (56.25, 56.5625, "fail"),
        (55.4375, 55.75, "fail"),
        (20.0, 20.0, "fail"),
    ],
    ids=["as drawn", "the limit, both ways", "over", "under", "one over", "one under", "misread"],
)
def test_measured_as_drawn(top: float, bottom: float, result: str) -> None:
    """A clear opening, drawn as 56, may be measured up to half an inch off (common practice, no
    source)."""
    finding = only(
        "measured_as_drawn",
        bays=(replace(bay(1), measured=True), bay(2)),
        measures=(MeasureSeen("B1", "R1", top, bottom, 56.0),),
    )
    assert (finding.result, finding.limit, finding.where) == (result, 0.5, ("B1",))
    assert finding.actual == max(abs(top - 56), abs(bottom - 56))
    assert finding.severity == ("warning" if result == "fail" else "note")
    assert finding.source == "survey"
    # The message names the rail where only one of the two is over the limit off.
    ats = [(top, "at the top rail, over"), (bottom, "at the bottom rail, over")]
    over = [said for clear, said in ats if abs(clear - 56.0) > 0.5]
    named = [said for _, said in ats if said in finding.message]
    assert named == (over if len(over) == 1 else [])


@pytest.mark.parametrize(
    ("second", "result", "actual"),
    [(54.0, "pass", 0.0), (54.5, "pass", 0.5), (53.375, "fail", 0.625), (55.0, "fail", 1.0)],
)
def test_a_run_measured_as_a_whole(second: float, result: str, actual: float) -> None:
    """A run whose bays are all measured is held to its sum. The post between two bays drawn as 56
    was set 2 further on, so the first measures 58, and the second has to measure 54 for the run to
    add up."""
    bays = tuple(replace(bay(i), measured=True) for i in (1, 2))
    measures = (
        MeasureSeen("B1", "R1", 58.0, 58.0, 56.0),
        MeasureSeen("B2", "R1", second, second, 56.0),
    )
    finding = only("measured_as_drawn", bays=bays, measures=measures)
    assert (finding.result, finding.where, finding.actual) == (result, ("B1", "B2"), actual)
    # Whether the run adds up or not, the message names the bay that is furthest off.
    furthest = 'B2 by itself is 2 5/8" less' if second == 53.375 else 'B1 by itself is 2" more'
    assert furthest in finding.message


def test_a_run_is_told_by_its_sum_where_its_bays_all_fall_a_little_short() -> None:
    """Two bays drawn as 56 measure 55.8 each: 0.2 less by itself, and 0.4 less together, which is
    within the 0.5 of setting out."""
    bays = tuple(replace(bay(i), measured=True) for i in (1, 2))
    measures = tuple(MeasureSeen(f"B{i}", "R1", 55.8, 55.8, 56.0) for i in (1, 2))
    finding = only("measured_as_drawn", bays=bays, measures=measures)
    assert (finding.result, finding.where) == ("pass", ("B1", "B2"))
    assert finding.actual == pytest.approx(0.4, abs=1e-6)


def test_the_bay_that_puts_a_run_off_is_named() -> None:
    """Of a run whose bays are all measured, the message names the bay that is off by itself, if
    any is.

    Three bays are drawn as 56. The second measures 44, a foot less, as if a foot of the tape was
    not counted. Three bays of 55.75 come to 3 x 0.25 = 0.75 less, and none of them is over 1/2 off.
    """
    bays = tuple(replace(bay(i), measured=True) for i in (1, 2, 3))

    def told(*clears: float) -> str:
        seen = (MeasureSeen(f"B{i}", "R1", c, c, 56.0) for i, c in enumerate(clears, start=1))
        return only("measured_as_drawn", bays=bays, measures=tuple(seen)).message

    short = told(56.0, 44.0, 56.0)
    assert "they come to 1' less than drawn, over 1/2\", and B2 by itself is 1' less" in short
    assert "measure that bay again first" in short
    even = told(55.75, 55.75, 55.75)
    assert 'they come to 3/4" less than drawn, over 1/2":' in even
    assert "by itself" not in even


def test_the_only_bay_of_a_run_is_told_as_one_bay() -> None:
    """A run of one bay, drawn as 56 and measured 44, is not told as a run of several bays."""
    alone = (replace(bay(1), measured=True),)
    seen = MeasureSeen("B1", "R1", 44.0, 44.0, 56.0)
    finding = only("measured_as_drawn", bays=alone, measures=(seen,))
    assert finding.message.startswith(
        "B1: measured 1' less than drawn, over 1/2\": measure it again"
    )
    assert "the run's ends stand off the drawing" in finding.message


def test_down_a_flight_a_measure_is_read_along_the_rails() -> None:
    """The message about a bay of a flight says that its measure goes along the rails.

    Of a bay drawn as 47.5 along them, 39.5 was measured, which is its clear opening in plan.
    """
    down = Run("R1", "main", 0, "P1", "P2", 42.0, (0.0, 42.0), NOWHERE, flight="front")
    seen = MeasureSeen("B1", "R1", 39.5, 39.5, 47.5)
    for run, said in (
        (down, 'measured 8" less than drawn along the rails, over'),
        (replace(down, flight=None), 'measured 8" less than drawn, over'),
    ):
        bays = (raked_bay(1, measured=True), raked_bay(2))
        finding = only(
            "measured_as_drawn", runs=(run,), flights=(flight(),), bays=bays, measures=(seen,)
        )
        assert said in finding.message


def test_a_post_moved_beside_a_bay_not_measured() -> None:
    """A measured bay beside one that is not measured is held against its own drawn size, as the
    other bay cannot still be as drawn. A bay of another run is judged apart."""
    bays = (replace(bay(1), measured=True), bay(2), replace(bay(3, run="R2"), measured=True))
    measures = (
        MeasureSeen("B1", "R1", 58.0, 58.0, 56.0),
        MeasureSeen("B3", "R2", 56.25, 56.25, 56.0),
    )
    worse, kept = found("measured_as_drawn", bays=bays, measures=measures)
    assert (worse.result, worse.where, worse.actual) == ("fail", ("B1",), 2.0)
    assert "the bays beside it" in worse.message
    assert (kept.result, kept.where, kept.actual) == ("pass", ("B3",), 0.25)


def _chord(number: int, start: int, bow: int, edge: int = 0) -> Run:
    """A chord of a bowed edge, from post `start` to the next; chords alike in `bow` share a
    stretch."""
    posts = f"P{start}", f"P{start + 1}"
    return Run(f"R{number}", "main", edge, *posts, 58.0, (0.0, 58.0), NOWHERE, bow=bow)


def test_a_bay_longer_at_one_rail_and_shorter_at_the_other() -> None:
    """The message names the rail that its figure is of: of a bay drawn as 56, 57 at the top is
    1 more, and 54.75 at the bottom 1.25 less."""
    seen = MeasureSeen("B1", "R1", 57.0, 54.75, 56.0)
    bays = (replace(bay(1), measured=True),)
    finding = only("measured_as_drawn", bays=bays, measures=(seen,))
    assert finding.message.startswith(
        'B1: measured 1 1/4" less than drawn at the bottom rail, over 1/2": measure it again'
    )


class _Counted(tuple[Run, ...]):
    """Runs that count how often they are gone through."""

    times: int

    def __iter__(self) -> Iterator[Run]:
        self.times += 1
        return super().__iter__()


def _times_gone_through(count: int) -> int:
    """How often a layout's runs are gone through where so many are a foot off, of one bay each."""
    runs = _Counted(replace(_chord(i, i, 0), bow=None) for i in range(count))
    runs.times = 0
    bays = tuple(replace(bay(i, run=f"R{i}"), measured=True) for i in range(count))
    measures = tuple(MeasureSeen(f"B{i}", f"R{i}", 44.0, 44.0, 56.0) for i in range(count))
    assert only("measured_as_drawn", runs=runs, bays=bays, measures=measures).actual == 12.0
    return runs.times


def test_many_runs_that_are_off() -> None:
    """The runs are gone through as often for thirty bays that are off as for three."""
    assert _times_gone_through(30) == _times_gone_through(3)


def test_a_post_moved_on_a_bow() -> None:
    """The chords of a bow between two ends are held to their sum, as the bays of a straight run
    are, though each chord is a run of its own. In the second row, from P4 on, one chord is not
    measured."""
    runs = tuple(
        _chord(i, start, bow) for i, start, bow in ((1, 1, 0), (2, 2, 0), (3, 4, 1), (4, 5, 1))
    )
    bays = tuple(replace(bay(i, run=f"R{i}"), measured=i < 4) for i in (1, 2, 3, 4))
    measures = tuple(
        MeasureSeen(f"B{i}", f"R{i}", clear, clear, 56.0)
        for i, clear in ((1, 58.0), (2, 54.0), (3, 57.0))
    )
    off, moved = found("measured_as_drawn", runs=runs, bays=bays, measures=measures)
    assert (moved.result, moved.where, moved.actual) == ("pass", ("B1", "B2"), 0.0)
    assert 'B1 by itself is 2" more' in moved.message
    assert (off.result, off.where, off.actual) == ("fail", ("B3",), 1.0)
    assert "the bays beside it" in off.message


def test_a_post_moved_on_a_bow_of_two_chords() -> None:
    """A bow whose two chords are both measured is one row: what one gains the other loses, so that
    the sum is off by nothing."""
    runs = tuple(_chord(i, i, 0) for i in (1, 2))
    bays = tuple(replace(bay(i, run=f"R{i}"), measured=True) for i in (1, 2))
    measures = tuple(
        MeasureSeen(f"B{i}", f"R{i}", clear, clear, 56.0) for i, clear in ((1, 58.0), (2, 54.0))
    )
    (moved,) = found("measured_as_drawn", runs=runs, bays=bays, measures=measures)
    assert (moved.result, moved.where, moved.actual) == ("pass", ("B1", "B2"), 0.0)


@pytest.mark.parametrize(("level", "edge"), [("main", 1), ("upper", 0)])
def test_bows_that_share_a_corners_post_are_held_apart(level: str, edge: int) -> None:
    """Bows of two edges, or of two levels, that meet at a post are judged apart. A chord of edge 0
    measures 2 more than drawn; the next, of edge 1 or of another level's edge 0, measures 2 less,
    and does not make up for it."""
    runs = _chord(1, 1, 0), replace(_chord(2, 2, 0, edge=edge), level=level)
    bays = tuple(replace(bay(i, run=f"R{i}"), measured=True) for i in (1, 2))
    measures = tuple(
        MeasureSeen(f"B{i}", f"R{i}", clear, clear, 56.0) for i, clear in ((1, 58.0), (2, 54.0))
    )
    off = found("measured_as_drawn", runs=runs, bays=bays, measures=measures)
    assert [(each.result, each.where, each.actual) for each in off] == [
        ("fail", ("B1",), 2.0),
        ("fail", ("B2",), 2.0),
    ]


def test_glass_from_the_drawing_waits_for_the_posts() -> None:
    """Bays of glass that are not measured yet are told to wait; a measured bay of glass passes, and
    picket bays are left out."""
    panels = (
        glass_bay(1, glass(50.0, 30.0)),
        replace(glass_bay(2, glass(50.0, 30.0)), measured=True),
    )
    measured = MeasureSeen("B2", "R1", 55.875, 55.875, 55.875)
    findings = found("order_before_posts", bays=(*panels, bay(3)), measures=(measured,))
    assert [(f.result, f.severity, f.where) for f in findings] == [
        ("not_checked", "note", ("B1",)),
        ("pass", "note", ("B2",)),
    ]
    assert "order it after measuring" in findings[0].message


def test_a_kit_that_orders_glass_at_once() -> None:
    """A kit that does not set posts before glass gives no finding."""
    eager = kit(posts_before_glass=False)
    assert (
        found("order_before_posts", with_kit=eager, bays=(glass_bay(1, glass(50.0, 30.0)),)) == []
    )


@pytest.mark.parametrize(
    ("unit", "area", "bound", "told"),
    [
        ("in", 240.0, 864.0, "1.67 sq ft, less than 6 sq ft: see that its numbers are inches, "
         "as the unit of the document says, and not feet"),
        ("in", 2.16e7, 2.88e6, "150000 sq ft, more than 20000 sq ft: see that its numbers are "
         "inches, as the unit of the document says, and not millimetres"),
        ("mm", 240000.0, 560000.0, "0.24 m2, less than 0.56 m2: see that its numbers are "
         "millimetres, as the unit of the document says, and not metres, centimetres or inches"),
    ],
)  # fmt: skip
def test_a_deck_of_a_size_that_is_hardly_meant(
    unit: Unit, area: float, bound: float, told: str
) -> None:
    """A deck far too small or large for its unit is a warning that names the units that may be
    meant: 240 / 144 = 1.67 sq ft; 21,600,000 / 144 = 150,000; 240,000 / 1,000,000 = 0.24 m2."""
    finding = only("deck_size", unit=unit, odd_sizes=(SizeSeen("main", area, bound),))
    assert (finding.result, finding.severity, finding.where) == ("fail", "warning", ("main",))
    assert (finding.limit, finding.actual, finding.amount) == (bound, area, "area")
    assert finding.message == f"main: its outline encloses {told}."
    assert found("deck_size") == []


@pytest.mark.parametrize(
    ("unit", "rim", "told"),
    [
        ("in", 12.0, None),
        (
            "in",
            38.0,
            "its rim is 3' 2\" thick, over 1', as no timber of a deck is: see that the numbers of "
            "its framing are inches, as the unit of the document says, and not millimetres",
        ),
        ("mm", 300.0, None),
        (
            "mm",
            380.0,
            "its rim is 380 mm thick, over 300 mm, as no timber of a deck is: see that the numbers "
            "of its framing are millimetres, as the unit of the document says, and not a smaller "
            "unit",
        ),
    ],
)
def test_a_rim_that_no_timber_is(unit: Unit, rim: float, told: str | None) -> None:
    """A rim thicker than any timber is a warning: 38 mm sent as inches is 38 in, which is 3 ft 2
    in. At the bound itself there is no finding."""
    findings = found("framing_size", unit=unit, rim_width=rim)
    assert [each.message for each in findings] == ([] if told is None else [f"main: {told}."])
    assert [each.severity for each in findings] == ["warning"] * len(findings)


def test_the_thicker_of_joists_and_rim_is_told() -> None:
    """The finding names the thicker of joists and rim: joists of 40 in beside a rim of 38."""
    sent = deck("in", 38.0)
    (level,) = sent.levels
    assert level.framing is not None
    thick = replace(level, framing=replace(level.framing, joist_width=40.0))
    findings = judge(layout(), replace(sent, levels=(thick,)), kit(), None)
    (told,) = [each for each in findings if each.rule == "framing_size"]
    assert (told.limit, told.actual, told.where) == (12, 40, ("main",))
    assert told.message.startswith("main: its joists are 3' 4\" thick, over 1', ")


def test_a_deck_just_past_a_size_does_not_read_like_it() -> None:
    """An area just under the bound is written with more decimals: 700 mm x 799 mm are 0.5593 m2,
    which at two decimals, 0.56, would read like the bound."""
    finding = only("deck_size", unit="mm", odd_sizes=(SizeSeen("main", 559_300.0, 560_000.0),))
    assert finding.message.startswith("main: its outline encloses 0.5593 m2, less than 0.56 m2: ")


@pytest.mark.parametrize(("x", "y"), [(0.0, 0.0), (999_000.0, -999_000.0)])
@pytest.mark.parametrize("turn", [0.0, 37.0, 61.7])
def test_a_deck_of_just_the_least_size(x: float, y: float, turn: float) -> None:
    """700 mm x 800 mm are 560,000 mm2, the least that is not questioned, whichever way the deck is
    turned and wherever it lies; 700 mm x 799.9 mm are less."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    for depth, count in ((800.0, 0), (799.9, 1)):
        corners = [(0.0, 0.0), (700.0, 0.0), (700.0, depth), (0.0, depth)]
        turned = [[x + c * u - s * v, y + s * u + c * v] for u, v in corners]
        document = {
            **{"unit": "mm", "kit": "glass-picket-surface-mm", "guard": {"infill": "picket"}},
            "levels": [{"id": "main", "outline": {"points": turned}}],
        }
        reply = json.loads(answer(json.dumps(document).encode(), catalogue()).body)
        assert [each["rule"] for each in reply["findings"]].count("deck_size") == count


def test_millimetres_that_are_sent_as_inches() -> None:
    """Each level is judged by its own area: 6000 x 3600 = 21,600,000 sq in is over 20,000 x 144 =
    2,880,000, while the second level, 2400 x 1200, has exactly that much and gives no finding."""
    corners = {
        "main": [[0, 0], [6000, 0], [6000, 3600], [0, 3600]],
        "side": [[7000, 0], [9400, 0], [9400, 1200], [7000, 1200]],
    }
    deck_of_it = {
        "unit": "in",
        "kit": "picket-glass-surface-in",
        "guard": {"infill": "picket", "height": 36},
        "levels": [{"id": name, "outline": {"points": at}} for name, at in corners.items()],
    }
    reply = json.loads(answer(json.dumps(deck_of_it).encode(), catalogue()).body)
    told = [each for each in reply["findings"] if each["rule"] == "deck_size"]
    assert [(each["where"], each["limit"], each["actual"]) for each in told] == [
        (["main"], 2_880_000, 21_600_000)
    ]
