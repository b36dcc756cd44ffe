"""Gaps as infill is set from what is listed: with all that floored spacers leave empty at one gap,
with centres on their marks, with panels slid against one post (common practice, no source; the
spheres are those of the code facts, section 9: IRC 6, 7 and 45, England 28)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.core.records.code import Figure
from service.core.records.deck import Drops
from service.core.records.kit import Engagement, PicketKit
from service.core.records.seen import SpaceSeen

from .small import (
    ADK,
    IRC,
    bay,
    code_with,
    flight,
    found,
    gate,
    glass,
    glass_bay,
    kit,
    only,
    pickets,
    raked_bay,
)


@pytest.mark.parametrize(
    ("loose", "wider", "result", "severity"),
    [
        (0.0, 0.0, "pass", "note"),
        (0.1875, 0.0, "pass", "note"),
        (0.25, 0.0, "fail", "warning"),
        (0.125, 0.125, "fail", "warning"),
    ],
    ids=["nothing", "3 15/16", "4, the limit", "and a measured rail that is wider"],
)
def test_all_that_is_loose_at_one_gap(
    loose: float, wider: float, result: str, severity: str
) -> None:
    """A gap of 3 3/4 with all that is loose in its bay added is held against the 4 in of IRC 2021
    R312.1.3."""
    row = replace(pickets(3.75, 3.5), loose=loose)
    finding = only("pickets_as_set", bays=(bay(pickets=row, wider=wider),))
    assert (finding.result, finding.severity) == (result, severity)
    assert (finding.limit, finding.actual) == (4.0, 3.75 + loose + wider)
    assert ("cut the end spacers to what is left" in finding.message) == (result == "fail")
    assert ("the spacers fill their rail" in finding.message) == (loose == wider == 0)


def test_spacers_that_leave_too_much_by_themselves() -> None:
    """Spacers of 4 in, which a sphere just passes, are to be shorter; cutting the end ones is no
    cure."""
    plain = kit()
    assert plain.picket is not None
    long = replace(plain, picket=replace(plain.picket, gap=4.0))
    finding = only("pickets_as_set", with_kit=long, bays=(bay(pickets=pickets(4.0, 3.5)),))
    assert finding.result == "fail"
    assert "and one just would; shorter spacers cure it" in finding.message
    assert "end spacers" not in finding.message


@pytest.mark.parametrize(
    ("count", "space", "widest"),
    [(12, 3.9375, 3.9375), (12, 3.6875, 3.75), (1, 3.6875, 3.6875), (1, 3.25, 3.25)],
)
def test_the_clear_space_counts_where_a_bay_ends_at_what_is_not_square_to_it(
    count: int, space: float, widest: float
) -> None:
    """Where a bay ends at something off square, the clear space there counts as its end gap; the
    finding states the wider of that and the 3 3/4 between pickets, where there are two pickets or
    more."""
    row = pickets(3.75, 3.5, count=count)
    finding = only("pickets_as_set", bays=(bay(pickets=row),), spaces=(SpaceSeen("B1", space),))
    assert finding.actual == widest


def test_one_picket_has_gaps_at_its_ends_alone() -> None:
    """A bay of one picket has its end gaps alone: 3 1/2 and 1/2 loose are 4 in, which a sphere just
    passes."""
    row = replace(pickets(3.75, 3.5, count=1), loose=0.5)
    assert only("pickets_as_set", bays=(bay(pickets=row),)).actual == 4.0


def test_in_millimetres_by_another_code() -> None:
    """95.25 and 4.8 loose are 100.05, over the 100 mm of AD K 3.3a."""
    row = replace(pickets(95.25, 68.0), loose=4.8)
    finding = only("pickets_as_set", ADK, unit="mm", bays=(bay(pickets=row),))
    assert (finding.result, finding.limit) == ("fail", 100.0)
    assert finding.actual == pytest.approx(100.05)


def test_a_flight_goes_by_its_own_sphere() -> None:
    """On stairs 3 3/4 and 1/2 loose, 4 1/4, keep the 4 3/8 in (IRC 2021 R312.1.3 exception 2)."""
    row = replace(pickets(3.75, 3.5), loose=0.5)
    finding = only("pickets_as_set", bays=(raked_bay(pickets=row),), flights=(flight(),))
    assert (finding.result, finding.limit) == ("pass", 4.375)


@pytest.mark.parametrize(("loose", "result"), [(0.0, "pass"), (0.0625, "fail")])
def test_equal_gaps_at_their_marks(loose: float, result: str) -> None:
    """An equal gap of 3 15/16 keeps the 4 in of IRC 2021 R312.1.3; a sixteenth more, as it is set
    by marks, is the limit, which a sphere passes."""
    equal = kit(picket=PicketKit(0.75, "equal", 3.9375, Engagement(0.5, 0.5)))
    row = replace(pickets(3.9375, 3.9375), loose=loose)
    finding = only("pickets_as_set", IRC, equal, bays=(bay(pickets=row),))
    assert (finding.result, finding.actual) == (result, 3.9375 + loose)
    assert ("set them by equal gaps" in finding.message) == (result == "fail")


@pytest.mark.parametrize(
    ("centres", "space", "widest"),
    [
        # Two pickets of 3/4 in 12 3/4, the second a mark early: 3 11/16 between them, and 1/16 more
        # than drawn at the far end.
        ((4.125, 8.5625), 3.9375, 4.0),
        ((4.125, 8.5625), 3.5, 3.6875),
        # On their places: what is open at the end is as drawn, for `opening_size` to judge.
        ((4.125, 8.625), 4.5, 3.75),
        # One picket in 8 1/4, a mark early.
        ((4.0625,), 3.9375, 4.0),
        ((4.125,), 3.9375, 3.9375),
    ],
)
def test_equal_gaps_and_the_clear_space_at_the_end_of_a_bay(
    centres: tuple[float, ...], space: float, widest: float
) -> None:
    """Where what stands at the end is not square to the bay, the gap there is that space, with what
    the outer pickets' marks add to it. Drawn, all gaps are 3 3/4."""
    equal = kit(picket=PicketKit(0.75, "equal", 3.9375, Engagement(0.5, 0.5)))
    row = replace(pickets(3.75, 3.75, count=len(centres)), centres=centres, loose=0.0625)
    clear = len(centres) * 4.5 + 3.75
    bays, spaces = (bay(pickets=row, clear=clear),), (SpaceSeen("B1", space),)
    finding = only("pickets_as_set", IRC, equal, bays=bays, spaces=spaces)
    assert finding.actual == widest
    assert finding.result == ("fail" if widest == 4.0 else "pass")


def test_equal_gaps_of_a_measured_bay() -> None:
    """In a measured bay the wider rail's gap counts: 94 at the rail that was measured the less and
    10.9 more at the other are 104.9, over AD K's 100."""
    equal = kit(picket=PicketKit(18.0, "equal", 99.0, Engagement(12.0, 12.0)))
    row = pickets(94.0, 94.0)
    finding = only("pickets_as_set", ADK, equal, "mm", bays=(bay(pickets=row, wider=10.9),))
    assert (finding.result, finding.limit) == ("fail", 100.0)
    assert finding.actual == pytest.approx(104.9)


def test_only_pickets_that_are_set_have_any() -> None:
    """Glass, a bay without a picket, and rails that come punched give no finding."""
    empty = bay(pickets=pickets(3.5, 3.5, count=0))
    assert found("pickets_as_set", bays=(glass_bay(1, glass(50.0, 30.0)), empty)) == []
    punched = kit(picket=PicketKit(0.75, "punched", 3.75, Engagement(0.5, 0.5)))
    assert found("pickets_as_set", IRC, punched, bays=(bay(),)) == []


@pytest.mark.parametrize(
    ("side", "wider", "result", "severity"),
    [
        (1.25, 0.0, "pass", "note"),
        (1.9375, 0.0, "pass", "note"),
        (2.0, 0.0, "fail", "warning"),
        (1.9375, 0.125, "fail", "warning"),
    ],
    ids=["2 1/2", "3 7/8", "4, the limit", "and a measured rail that is wider"],
)
def test_a_panel_slid_against_one_post(
    side: float, wider: float, result: str, severity: str
) -> None:
    """A panel slid against one post has both of its side gaps at the other, held against the 4 in
    of IRC 2021 R312.1.3."""
    panel = replace(glass(50.0, 30.0), side_gap=side)
    finding = only("glass_as_set", bays=(replace(glass_bay(1, panel), wider=wider),))
    assert (finding.result, finding.severity) == (result, severity)
    assert (finding.limit, finding.actual) == (4.0, 2 * side + wider)
    assert ("set it in the middle" in finding.message) == (result == "fail")


def test_a_panel_in_a_flight_goes_by_the_sphere_of_flights() -> None:
    """In a flight twice 2 1/8, 4 1/4, keeps the 4 3/8 in of IRC 2021 R312.1.3 exception 2."""
    panel = replace(glass(50.0, 30.0), side_gap=2.125)
    raked = replace(raked_bay(), fill=replace(raked_bay().fill, pickets=None, glass=panel))
    finding = only("glass_as_set", bays=(raked,), flights=(flight(),))
    assert (finding.result, finding.limit, finding.actual) == ("pass", 4.375, 4.25)


def test_the_panel_of_a_leaf_slides_in_its_frame() -> None:
    """A leaf's panel slides in its frame: twice 2 is the 4 in that a sphere just passes."""
    panel = replace(glass(30.0, 30.0), side_gap=2.0)
    finding = only("glass_as_set", gates=(replace(gate(), pickets=None, glass=panel),))
    assert (finding.result, finding.actual) == ("fail", 4.0)


@pytest.mark.parametrize(
    ("gap", "loose", "result"),
    [(3.75, 0.1875, "pass"), (3.75, 0.25, "fail"), (4.5, 0.25, None)],
    ids=["3 15/16", "4, where a head is caught", "told already, as drawn"],
)
def test_guards_that_are_not_required(gap: float, loose: float, result: str | None) -> None:
    """A figure for guards that are not required holds for gaps as they are set, too.

    Over 20 in the IRC requires no guard. A town that limits such guards to less than 4 in (as NBC
    9.8.8.5.(4)) fails a gap that comes to 4 in as it is set; one that fails as drawn is left to
    that rule.
    """
    small = Figure(4.0, "less_than", "the town, 7", "seen")
    code, low = code_with(IRC, opening_not_required_guard=small), Drops(20.0)
    row = replace(pickets(gap, 3.0), loose=loose)
    told = found("pickets_as_set", code, bays=(bay(drops=low, pickets=row),))
    assert [f.result for f in told] == ([] if result is None else [result])
    for finding in told:
        assert (finding.limit, finding.actual, finding.cite) == (4.0, gap + loose, "the town, 7")
        assert "in a guard that is not required here" in finding.message
    assert found("pickets_as_set", bays=(bay(drops=low, pickets=row),)) == []


def test_glass_of_guards_that_are_not_required() -> None:
    """The figure for guards that are not required holds for panels slid against one post, too: 1
    1/8 at both sides is 2 1/4 at one; 2 at both is 4, which a sphere just passes. A guard that is
    required is held against its own sphere alone."""
    small = Figure(4.0, "less_than", "the town, 7", "seen")
    code = code_with(IRC, opening_not_required_guard=small)
    for side, result in ((1.125, "pass"), (2.0, "fail")):
        panel = glass(50.0, 30.0, side)
        low = replace(glass_bay(1, panel), drops=Drops(20.0))
        finding = only("glass_as_set", code, bays=(low,))
        assert (finding.result, finding.limit, finding.actual) == (result, 4.0, 2 * side)
        assert "in a guard that is not required here" in finding.message
        required = only("glass_as_set", code, bays=(glass_bay(1, panel),))
        assert (required.result, required.cite) == (result, "IRC 2021 R312.1.3")
