"""Openings in guards. Check cases: section 9 of the code facts, IRC 6 to 8, 10, 11, 63 and England
28."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any, Literal

import pytest

from service.core.records.code import Figure, When
from service.core.records.deck import Drops
from service.core.records.infill import Pickets
from service.core.records.seen import (
    ArcSeen,
    GapSeen,
    SmallStretchSeen,
    SpaceSeen,
    StandInSeen,
)
from service.core.records.strength import Member

from .small import (
    ADK,
    HIGH,
    IRC,
    amended,
    bay,
    code_with,
    found,
    gate,
    glass,
    glass_bay,
    kit,
    only,
    pickets,
)
from .strong import strong_kit


def _between(gap: float) -> dict[str, Any]:
    """A bay with this gap both between its pickets and at its ends."""
    return {"bays": (bay(pickets=pickets(gap, gap)),)}


@pytest.mark.parametrize(
    ("gap", "result"),
    [
        (4.0, "fail"),
        (3.9375, "pass"),
        (4.25, "fail"),
        ((60 - 11 * 0.75) / 12, "fail"),
        ((60 - 12 * 0.75) / 13, "pass"),
    ],
    ids=["case 6, the limit", "case 7", "case 8", "case 10", "case 11"],
)
def test_irc_pickets(gap: float, result: str) -> None:
    """IRC 2021 R312.1.3: a 4 in sphere must not pass, and one just passes a gap of 4 in."""
    findings = found("opening_size", **_between(gap))
    assert [finding.result for finding in findings] == [result, result]
    assert {finding.limit for finding in findings} == {4.0}
    assert {finding.cite for finding in findings} == {"IRC 2021 R312.1.3"}


@pytest.mark.parametrize(("gap", "result"), [(100.0, "fail"), (99.0, "pass")])
def test_england_pickets(gap: float, result: str) -> None:
    """Check case 28: balusters 100 mm apart fail in strict reading; 99 mm passes (AD K 3.3a)."""
    findings = found("opening_size", ADK, unit="mm", **_between(gap))
    assert {finding.result for finding in findings} == {result}


def test_the_gap_between_pickets_and_the_one_at_the_ends_are_told_apart() -> None:
    """The gap between pickets, 3 3/4 in, passes and the one at the ends, 4 1/8 in, fails; each has
    its own finding and its own words."""
    fail, passed = found("opening_size", bays=(bay(pickets=pickets(3.75, 4.125)),))
    assert passed.message == (
        'B1: the gap between pickets is 3 3/4"; a 4" sphere must not pass (IRC 2021 R312.1.3).'
    )
    assert fail.message == (
        'B1: the gap at the ends of the bay, outside its last picket, is 4 1/8"; '
        'a 4" sphere must not pass, and one would (IRC 2021 R312.1.3).'
    )


def test_exactly_on_the_limit_reads_sensibly() -> None:
    """At a gap of 4 in the message says that a sphere of 4 in just passes."""
    message = found("opening_size", **_between(4.0))[0].message
    assert 'is 4"; a 4" sphere must not pass, and one just would' in message


def test_a_hair_over_the_limit_is_not_written_as_the_limit() -> None:
    """A gap of 4.00002 in is not rounded to 4 in in the message."""
    assert 'is 4.00002"' in found("opening_size", **_between(4.00002))[0].message


def test_a_hair_over_the_limit_in_millimetres() -> None:
    """A gap in millimetres that is off the marks is written to the thousandth: 0.015625, a
    sixty-fourth, is no mark of a tape."""
    told = found("opening_size", ADK, unit="mm", **_between(100.015625))
    assert {f.result for f in told} == {"fail"}
    assert all("100.016 mm" in f.message for f in told)


def test_a_hair_under_a_sphere_that_it_would_read_like() -> None:
    """A gap just under the sphere is not written as the sphere: 3.937 in is less than 100 mm, which
    is 3.937008 in."""
    sphere = Figure(100 / 25.4, "less_than", "Town bylaw 5", "seen")
    code = code_with(IRC, opening_sphere=sphere)
    finding = found("opening_size", code, **_between(3.937))[0]
    assert (finding.result, finding.message) == (
        "pass",
        'B1: the gap between pickets is 3.937"; a 3.937008" (100 mm) sphere must not pass '
        "(Town bylaw 5).",
    )


def test_off_the_marks_reads_in_decimals() -> None:
    """A gap that lies on no sixteenth is written in decimals: 51/13 = 3.923077 in."""
    assert 'is 3.9231";' in found("opening_size", **_between(51 / 13))[0].message


def test_one_picket_has_no_gap_between_pickets() -> None:
    """A bay with one picket has its two end gaps alone."""
    finding = only("opening_size", bays=(bay(pickets=pickets(3.75, 3.5, count=1)),))
    assert finding.actual == 3.5


def test_two_pickets_have_a_gap_between_them() -> None:
    """Two pickets have one gap between them: 4 1/4 in lets a 4 in sphere through, 3 1/2 at the ends
    does not."""
    told = found("opening_size", bays=(bay(pickets=pickets(4.25, 3.5, count=2)),))
    assert {finding.actual: finding.result for finding in told} == {4.25: "fail", 3.5: "pass"}


@pytest.mark.parametrize("none", [None, pickets(3.75, 0.0, count=0)])
def test_a_bay_too_narrow_for_a_picket(none: object) -> None:
    """Where a bay has no picket its whole clear opening is the gap."""
    finding = only("opening_size", bays=(bay(clear=3.5, pickets=none),))
    assert (finding.result, finding.actual) == ("pass", 3.5)


@pytest.mark.parametrize(("gap", "result"), [(1.125, "pass"), (4.0, "fail")])
def test_beside_glass(gap: float, result: str) -> None:
    """The gap from a post's face to the panel's edge is an opening too."""
    finding = only("opening_size", bays=(glass_bay(1, glass(50.0, 30.0, gap)),))
    assert (finding.result, finding.actual) == (result, gap)
    assert "beside the glass" in finding.message


@pytest.mark.parametrize(
    ("kind", "words"), [("wall", "the post and the wall"), ("pair", "the two corner posts")]
)
@pytest.mark.parametrize(("width", "result"), [(3.9375, "pass"), (4.5, "fail")])
def test_gaps_that_no_rail_closes(
    kind: Literal["wall", "pair"], words: str, width: float, result: str
) -> None:
    """The gap between a post and a wall, and the one between a pair of corner posts, are openings
    too."""
    gap = GapSeen(kind, ("P1", "P2"), width, HIGH)
    finding = only("opening_size", gaps=(gap,))
    assert (finding.result, finding.where) == (result, ("P1", "P2"))
    assert words in finding.message
    assert finding.message.startswith("P1 and P2: ")


@pytest.mark.parametrize(
    ("width", "whole", "result", "actual"),
    [(0.75, 6.875, "not_checked", 6.875), (0.75, 3.9375, "pass", 3.9375), (4.5, 5, "fail", 5)],
    ids=["by its going on alone", "without it", "not even so"],
)
def test_a_post_beside_a_wall_that_has_to_go_on(
    width: float, whole: float, result: str, actual: float
) -> None:
    """Where a gap passes only if the wall goes on past the corner at which the document ends it,
    the gap is not checked and left to the site. The 7.01 by which the wall must go on is 7 1/16 on
    the tape, rounded up to the next mark."""
    gap = GapSeen("wall", ("P1",), width, HIGH, whole=whole, goes_on=7.01)
    finding = only("opening_size", gaps=(gap,))
    assert (finding.result, finding.actual, finding.cite) == (result, actual, "IRC 2021 R312.1.3")
    if result == "not_checked":
        assert 'it goes on in its line, for at least 7 1/16", with which it is 3/4"' in (
            finding.message
        )


def test_openings_do_not_bind_where_no_guard_is_required() -> None:
    """Check case 62: gaps of 6 in at a drop of 28 in give no finding under the IRC."""
    wide = bay(pickets=pickets(6.0, 6.0), drops=Drops(28.0))
    gap = GapSeen("wall", ("P1",), 6.0, Drops(28.0))
    assert found("opening_size", bays=(wide,), gaps=(gap,)) == []


@pytest.mark.parametrize(
    ("gap", "result"),
    [(2.75, "pass"), (3.9375, "pass"), (4.0, "fail"), (4.5, "fail")],
    ids=["low", "under", "the limit", "case 63"],
)
def test_under_the_rail(gap: float, result: str) -> None:
    """The IRC has no figure of its own for the gap under the bottom rail: its sphere is applied
    from the walking surface."""
    finding = only("gap_under_rail", with_kit=kit(bottom_gap=gap), bays=(bay(1), bay(2)))
    assert (finding.result, finding.actual, finding.limit) == (result, gap, 4.0)
    assert finding.where == ("B1", "B2")


@pytest.mark.parametrize("rule", ["opening_size", "gap_under_rail"])
def test_without_a_code(rule: str) -> None:
    """Without a code each rule gives one not_checked, which names every bay once and asks for a
    code."""
    finding = only(rule, None, bays=(bay(1), bay(2), glass_bay(3, glass(50.0, 30.0))))
    assert (finding.result, finding.severity) == ("not_checked", "note")
    assert finding.where == ("B1", "B2", "B3")
    assert finding.message.startswith("B1 to B3: ")
    assert finding.message.endswith("; name a code to have it checked.")
    assert finding.limit is None


def test_an_opening_read_as_at_most() -> None:
    """Under a code that lets through up to its figure, a gap of exactly the figure passes, and the
    message words the limit so."""
    figure = Figure(4.0, "at_most", "Town bylaw 5", "seen")
    findings = found("opening_size", code_with(IRC, opening_sphere=figure), **_between(4.0))
    assert {finding.result for finding in findings} == {"pass"}
    assert 'no more than 4" may be left open' in findings[0].message


def _stretch(clear: float, drops: Drops = HIGH) -> dict[str, Any]:
    return {"small_stretches": (SmallStretchSeen("R3", clear, clear, drops),)}


@pytest.mark.parametrize(
    ("clear", "result"), [(3.5, "pass"), (4.0, "fail"), (5.0, "fail")], ids=["small", "at", "over"]
)
def test_a_small_stretch(clear: float, result: str) -> None:
    """A stretch shorter than the kit's least bay may stay open if the code's opening limit allows
    it."""
    finding = only("bay_size", **_stretch(clear))
    assert (finding.result, finding.source, finding.cite) == (result, "kit", "square")
    assert (finding.limit, finding.actual, finding.where) == (6.0, clear, ("R3",))
    assert "is less than the kit's least bay of 6\" and stays unrailed" in finding.message
    assert "between what stands" not in finding.message
    assert ("too small to rail, too wide to leave" in finding.message) == (result == "fail")
    assert "(IRC 2021 R312.1.3)" in finding.message


@pytest.mark.parametrize("clear", [6.0, 6.25])
def test_a_stretch_of_the_least_bay_says_what_else_it_lacks(clear: float) -> None:
    """A stretch of 6 in or more is not under the least bay of 6; it stays open as rails or infill
    have no size there, and the message says so."""
    message = only("bay_size", **_stretch(clear)).message
    assert "leaves rails and infill no size" in message
    assert "least bay" not in message


def test_a_small_stretch_without_a_code() -> None:
    """Without a code nothing lets the stretch stay open, so that it fails, and the message asks for
    a code with an opening limit."""
    finding = only("bay_size", None, **_stretch(3.5))
    assert (finding.result, finding.severity) == ("fail", "violation")
    assert "name a code with an opening limit" in finding.message


def test_a_small_stretch_where_no_guard_is_required() -> None:
    """At a drop of 20 in the IRC's opening limits do not bind, so that 5 in may stay open."""
    finding = only("bay_size", **_stretch(5.0, Drops(20.0)))
    assert finding.result == "pass"
    assert "no guard is required" in finding.message


def test_a_small_stretch_by_an_amended_figure() -> None:
    """A local sphere of 3 in forbids a stretch of 3 1/2 in, and the finding is marked as
    amended."""
    code = code_with(IRC, opening_sphere=amended(IRC.figures["opening_sphere"], 3.0))
    finding = only("bay_size", code, **_stretch(3.5))
    assert (finding.result, finding.amended) == ("fail", True)
    assert "the local authority's figure; the code prints 4\"" in finding.message


def test_a_small_stretch_that_an_amended_drop_frees() -> None:
    """A local authority requires no guard up to 60 in, and the message names its figure where that
    decides."""
    drop = amended(IRC.figures["guard_required_drop"], 60.0)
    finding = only("bay_size", code_with(IRC, guard_required_drop=drop), **_stretch(5.0))
    assert (finding.result, finding.amended) == ("pass", True)
    assert "at its drop (the local authority's figure; the code prints 2' 6\"" in finding.message


def test_a_small_stretch_where_a_code_has_no_sphere() -> None:
    """A code whose sphere holds only at drops over 96 in lets a stretch of 5 in stay open at 48."""
    case = When("drop", 96.0, 4.0, "Town bylaw 7")
    sphere = Figure(None, "less_than", "Town bylaw 6", "seen", (case,))
    code = code_with(IRC, opening_sphere=sphere)
    finding = only("bay_size", code, **_stretch(5.0))
    assert finding.result == "pass"
    assert "no opening figure holds here" in finding.message
    assert only("bay_size", code, **_stretch(5.0, Drops(97.0))).result == "fail"


def test_a_small_stretch_whose_drop_would_decide() -> None:
    """A code has a sphere of 3 in at drops over 96 in (made up), and one of 4 in below; whether 3
    1/2 in may stay open is not checked without a drop."""
    case = When("drop", 96.0, 3.0, "Town bylaw 7")
    figure = Figure(4.0, "less_than", "Town bylaw 6", "seen", (case,))
    code = code_with(IRC, opening_sphere=figure)
    finding = only("bay_size", code, **_stretch(3.5, Drops()))
    assert (finding.result, finding.severity) == ("not_checked", "note")
    assert "give the drop of its edge or level" in finding.message
    assert only("bay_size", code, **_stretch(3.5, Drops(48.0))).result == "pass"
    assert only("bay_size", code, **_stretch(3.5, Drops(97.0))).result == "fail"


@pytest.mark.parametrize(
    ("clear", "beside", "result"),
    [(41.25, 0.75, "pass"), (44.6875, 3.9375, "pass"), (44.75, 4.0, "fail")],
    ids=["as the kit has it", "case 7", "case 6, the limit"],
)
def test_beside_a_leaf_that_was_floored(clear: float, beside: float, result: str) -> None:
    """A leaf of 40, hung 3/4 off its post, leaves the rest of the opening at its latch."""
    told = found("opening_size", gates=(gate(clear_width=clear),))
    assert [(f.result, f.actual) for f in told if "beside the shut leaf" in f.message] == [
        (result, beside)
    ]


@pytest.mark.parametrize(
    ("setback", "gap", "result"),
    [(-3.0, 2.625, "pass"), (-3.2, 2.4, "fail"), (0.0, 3.75, None), (3.25, 3.75, None)],
    ids=["3.99", "4 just so", "over the edge itself", "on the deck"],
)
def test_a_rail_that_hangs_off_its_edge(setback: float, gap: float, result: str | None) -> None:
    """The gap below a rail that hangs outside the deck's edge runs slantwise from the edge to the
    rail: sqrt(3^2 + 2.625^2) = 3.986, under the 4 in of IRC 2021 R312.1.3; sqrt(3.2^2 + 2.4^2) = 4,
    which a sphere just passes. A guard on the deck has no such gap."""
    own = kit(post=replace(kit().post, setback=setback), bottom_gap=gap)
    told = found("gap_under_rail", IRC, own, bays=(bay(),))
    words = "to the middle of the bottom rail, which hangs off it and whose width the kit does not"
    off = [f for f in told if f"from the edge of the deck {words}" in f.message]
    assert [f.result for f in off] == ([] if result is None else [result])
    assert len(told) == 1 + len(off)


def test_half_of_the_bottom_rails_width_is_no_gap() -> None:
    """Half of the bottom rail's width is taken off the gap: a rail 1 1/2 wide, under a top rail 2
    wide, hung 3.75 off is 3 from the edge, and sqrt(3^2 + 2.625^2) = 3.9863."""
    plain = Member("6063", "T6")
    rails = {
        "top_rail_picket": replace(plain, width=2.0),
        "bottom_rail_picket": replace(plain, width=1.5),
    }
    own = replace(
        strong_kit(rails=rails), post=replace(kit().post, setback=-3.75), bottom_gap=2.625
    )
    told = found("gap_under_rail", IRC, own, bays=(bay(),))
    (off,) = [f for f in told if "from the edge of the deck to the bottom rail, which" in f.message]
    assert off.result == "pass"
    assert off.actual == pytest.approx(3.9863, abs=1e-4)


@pytest.mark.parametrize(
    ("setback", "height", "result"), [(-3.0, 33.375, "pass"), (-3.2, 33.6, "fail")]
)
def test_a_leaf_that_hangs_off_its_edge(setback: float, height: float, result: str) -> None:
    """A leaf outside the deck's edge is judged as a rail there is: with its top at 36 it leaves
    2.625 and 2.4 below it."""
    own = kit(post=replace(kit().post, setback=setback))
    told = found("gap_under_rail", IRC, own, gates=(gate(height=height),))
    off = [f for f in told if "from the edge of the deck" in f.message]
    assert [f.result for f in off] == [result]


def test_bays_that_are_alike_but_on_a_bow_hang_further_off() -> None:
    """Two bays that are otherwise alike are judged apart where one is a chord: it lies 3 off the
    edge at its posts and 3.2 in its middle. sqrt(3^2 + 2.4^2) = 3.842 keeps the limit, sqrt(3.2^2 +
    2.4^2) = 4 does not."""
    own = kit(post=replace(kit().post, setback=-3.0), bottom_gap=2.4)
    straight = bay(1)
    bowed = replace(straight, id="B2", run="R2")
    arcs = (ArcSeen("R2", 3.2, 1.25),)
    for bays in ((straight, bowed), (bowed, straight)):
        told = found("gap_under_rail", IRC, own, bays=bays, arcs=arcs)
        off = {f.result: f.where for f in told if "from the edge of the deck" in f.message}
        assert off == {"pass": ("B1",), "fail": ("B2",)}


def test_a_chord_of_an_outward_bow_hangs_furthest_off_at_its_posts() -> None:
    """A chord of an outward bow lies furthest off the edge at its posts: 3.2 there and 2 in its
    middle; sqrt(3.2^2 + 2.4^2) = 4, which a sphere just passes."""
    own = kit(post=replace(kit().post, setback=-3.2), bottom_gap=2.4)
    told = found("gap_under_rail", IRC, own, bays=(bay(),), arcs=(ArcSeen("R1", 2.0, 1.25),))
    assert [f.result for f in told if "from the edge of the deck" in f.message] == ["fail"]


def test_a_rail_on_the_deck_has_no_gap_at_its_edge_on_a_bow_either() -> None:
    """In a kit that stands on the deck, the middle of a chord lies 3.2 inside the edge, so that
    there is no gap at the edge."""
    told = found("gap_under_rail", bays=(bay(),), arcs=(ArcSeen("R1", 3.2, 1.25),))
    assert [f for f in told if "from the edge of the deck" in f.message] == []


def test_beside_a_post_that_is_turned_the_clear_space_counts() -> None:
    """The clear space to a turned post counts where it is wider than the gap along the line.

    Two bays have 3 1/2 along the line at their ends; one of them has 4.1 to the body that stands
    there, which a 4 in sphere passes, and gets a finding of its own.
    """
    told = found("opening_size", bays=(bay(), bay(2)), spaces=(SpaceSeen("B2", 4.1),))
    wide = [finding for finding in told if finding.result == "fail"]
    assert [(finding.where, finding.actual) for finding in wide] == [(("B2",), 4.1)]
    assert "the clear space beside the infill" in wide[0].message


def test_an_opening_that_is_narrower_than_along_the_line() -> None:
    """The clear space counts where it is narrower than the opening along the line, too: of 4.2
    along the line, which takes no picket, there are 3.95 between the bodies, and no 4 in sphere
    passes."""
    empty = Pickets(0, 30.0, 4.2, 4.2, (), ())
    narrow = bay(clear=4.2, pickets=empty)
    assert only("opening_size", bays=(narrow,)).result == "fail"
    finding = only("opening_size", bays=(narrow,), spaces=(SpaceSeen("B1", 3.95),))
    assert (finding.result, finding.actual) == ("pass", 3.95)
    assert "the clear space of the opening, which takes no picket" in finding.message


def test_a_small_stretch_between_posts_that_are_turned() -> None:
    """A small stretch is held against the kit's least bay along the line, here 4.2, and against the
    4 in sphere by the clear space between the bodies, here 3.95. Past an obstruction's corner the
    clear space is the wider of the two."""
    narrow = only("bay_size", small_stretches=(SmallStretchSeen("R3", 4.2, 3.95, HIGH),))
    assert (narrow.result, narrow.actual, narrow.limit) == ("pass", 4.2, 6.0)
    assert '3.95" between what stands at its ends' in narrow.message
    wide = only("bay_size", small_stretches=(SmallStretchSeen("R3", 3.9, 4.05, HIGH),))
    assert wide.result == "fail"


def test_a_code_may_let_nothing_wide_through_a_guard_that_it_does_not_require() -> None:
    """A code may limit the openings of a guard that it does not require, without letting a greater
    opening through: over 20 in, at a limit of 4 in, pickets 4 1/2 apart fail and 3 5/8 apart
    pass."""
    small = Figure(4.0, "less_than", "the town, 7", "seen")
    code = code_with(IRC, opening_not_required_guard=small)
    told = []
    for gap in (4.5, 3.625):
        bays = (bay(drops=Drops(20.0), pickets=pickets(gap=gap, end_gap=3.0)),)
        findings = found("opening_not_required", code, bays=bays)
        told += [f.result for f in findings if f.actual == gap]
        assert all("passes too" not in f.message for f in findings)
    assert told == ["fail", "pass"]


@pytest.mark.parametrize(
    ("width", "whole", "told", "result", "actual"),
    [
        (1.0, 3.5, ("post",), "pass", 1.0),
        (1.0, 4.75, ("post",), "not_checked", 4.75),
        (5.0, 7.0, ("post",), "fail", 5.0),
        (5.0, 8.5, ("post",), "not_checked", 8.5),
        (8.5, 18.0, ("post",), "pass", 8.5),
        (1.0, 8.5, ("post",), "pass", 1.0),
        (1.0, 8.5, ("post", "pipe"), "not_checked", 8.5),
        (1.0, 8.5, (), "not_checked", 8.5),
        (1.0, 4.75, (), "not_checked", 4.75),
        (1.0, 3.5, (), "pass", 3.5),
    ],
    ids=[
        "small both ways", "small with it", "neither both ways", "wide without it",
        "wide both ways", "small or wide", "with one of two maybe neither",
        "with part of a wall maybe neither", "by a wall's going on alone", "small without the wall",
    ],
)  # fmt: skip
def test_what_may_not_guard_beside_a_guard_that_is_not_required(
    width: float, whole: float, told: tuple[str, ...], result: str, actual: float
) -> None:
    """NBC 9.8.8.5.(4), in inches: no 4 in sphere passes, or one of 8 does. What is of no given
    height, or a wall that may end at the corner, is not to be relied on. One thing alone that makes
    a wide gap small leaves nothing between; two may, and a wall that goes on only in part."""
    code = code_with(
        IRC,
        opening_not_required_guard=Figure(4.0, "less_than", "the town, 7", "seen"),
        opening_not_required_guard_wide=Figure(8.0, "at_least", "the town, 8", "seen"),
    )
    goes_on = 0.0 if told else 7.01
    gap = GapSeen("joint" if told else "wall", ("P1",), width, Drops(20.0), whole, told, goes_on)
    finding = only("opening_not_required", code, gaps=(gap,))
    assert (finding.result, finding.actual, finding.where) == (result, actual, ("P1",))
    if result == "not_checked" and not told:
        assert 'for at least 7 1/16": see on site' in finding.message
    elif result == "not_checked":
        assert f"but for {' and '.join(told)}, with which it is" in finding.message


@pytest.mark.parametrize(
    ("without", "count", "unknown", "low"),
    [
        (3.5, 1, [], ["pass"]),
        (4.0, 1, ["not_checked"], ["fail"]),
        (7.875, 1, ["not_checked"], ["fail"]),
        (8.0, 1, [], ["pass"]),
        (8.0, 2, ["not_checked"], ["pass"]),
        (3.5, 2, [], ["pass"]),
        (math.inf, 1, [], []),
    ],
    ids=["small", "at 4", "under 8", "at 8", "8 of two", "small of two", "at the end"],
)
def test_what_stands_in_the_place_of_a_railing_that_is_not_required(
    without: float, count: int, unknown: list[str], low: list[str]
) -> None:
    """NBC 9.8.8.5.(4), in inches: no 4 in sphere passes, or one of 8 does. What is as high as the
    guard leaves no opening. Over what is lower, the opening is as wide as the railing leaves it.
    What is of no given height may leave it: it is told where that is from 4 to 8, or 8 and more
    over two things, of which one may be low. Past the end of a railing there is no opening."""
    code = code_with(
        IRC,
        opening_not_required_guard=Figure(4.0, "less_than", "the town, 7", "seen"),
        opening_not_required_guard_wide=Figure(8.0, "at_least", "the town, 8", "seen"),
    )
    place, rule = "main/edge 0", "opening_not_required"
    told = []
    for height, is_low in ((None, False), (20.0, True), (60.0, False)):
        seen = StandInSeen(
            place, "a {post}", 5.0, Drops(20.0), without, height, low=is_low, count=count
        )
        findings = found(rule, code, stand_ins=(seen,))
        assert all(f.where == (place,) and f.actual == without for f in findings)
        assert all(
            "the opening over a {post}, in the railing's place" in f.message for f in findings
        )
        told.append([f.result for f in findings])
    assert told == [unknown, low, []]


def test_of_a_guard_that_is_required_the_sphere_for_others_is_not_asked() -> None:
    """Over 48 in a guard is required, and what may not guard is told of by `opening_size`."""
    code = code_with(
        IRC, opening_not_required_guard=Figure(4.0, "less_than", "the town, 7", "seen")
    )
    gap = GapSeen("joint", ("P1",), 1.0, HIGH, 4.75, ("post",))
    post = StandInSeen("main/edge 0", "post", 5.0, HIGH, 5.0)
    assert found("opening_not_required", code, gaps=(gap,), stand_ins=(post,)) == []
    assert only("opening_size", code, gaps=(gap,)).result == "not_checked"
