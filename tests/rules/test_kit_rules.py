"""The kit's own limits. The kit of these tests is invented; its figures stand in small.py."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.core.measure import Unit
from service.core.records.code import Figure
from service.core.records.kit import RailSupport
from service.core.records.layout import Run
from service.core.records.orders import SticksSeen
from service.core.records.seen import MeasureSeen, TieSeen
from service.core.records.strength import Member

from .small import IRC, bay, code_with, flight, found, glass, glass_bay, kit, only, post, raked_bay
from .strong import strong_kit

STEEP = code_with(IRC, pitch_max=Figure(42.0, "at_most", "as a town adds to it", "seen"))


@pytest.mark.parametrize(
    ("centres", "result"), [(69.9375, "pass"), (70.0, "pass"), (70.0625, "fail")]
)
def test_post_spacing(centres: float, result: str) -> None:
    """Posts with picket infill stand at most 70 in apart in this kit, and 70 in itself passes."""
    finding = only("post_spacing", bays=(bay(centres=centres),))
    assert (finding.result, finding.limit, finding.actual) == (result, 70.0, centres)
    assert (finding.source, finding.cite) == ("kit", "square")


@pytest.mark.parametrize(("clear", "result"), [(6.0625, "pass"), (6.0, "pass"), (5.9375, "fail")])
def test_a_measured_bay_is_at_least_the_kit_s_least(clear: float, result: str) -> None:
    """A measured bay is at least the kit's least bay of 6 in, which 6 in itself keeps; its drawn
    size has no part in this."""
    seen = MeasureSeen("B1", "R1", clear, clear + 0.25, 6.0)
    measured = bay(1, measured=True, clear=clear, wider=0.25)
    finding = only("measured_bay_size", bays=(measured, bay(2)), measures=(seen,))
    assert (finding.result, finding.limit, finding.actual) == (result, 6.0, clear)
    assert (finding.source, finding.cite, finding.where) == ("kit", "square", ("B1",))


def test_each_measured_bay_under_the_least_is_told_of_by_itself() -> None:
    """Each measured bay under the least has a finding of its own: 5 and 5.5 are under 6 in. Of the
    bays of 8 and 7, which pass, the finding states the narrowest. Down a flight the clear opening
    is taken in plan."""
    clears = {1: 5.0, 2: 8.0, 3: 7.0}
    bays = [bay(number, measured=True, clear=clear) for number, clear in clears.items()]
    down = raked_bay(4, measured=True, clear=5.5)
    seen = tuple(MeasureSeen(f"B{n}", "R1", c, c, c) for n, c in {**clears, 4: 6.61}.items())
    told = found("measured_bay_size", bays=(*bays, down), measures=seen, flights=(flight(),))
    first, raked, kept = told
    assert (first.result, first.actual, first.where) == ("fail", 5.0, ("B1",))
    assert "measure it again; if it is as narrow" in first.message
    assert (raked.result, raked.actual, raked.where) == ("fail", 5.5, ("B4",))
    assert "clear in plan" in raked.message
    assert (kept.result, kept.actual, kept.where) == ("pass", 7.0, ("B2", "B3"))


def test_spacing_is_judged_for_each_infill() -> None:
    """A spacing of 64 in keeps the 70 in of pickets and breaks the 62 in of glass."""
    panel = replace(glass_bay(2, glass(50.0, 30.0)), centres=64.0)
    fail, passed = found("post_spacing", bays=(bay(1, centres=64.0), panel))
    assert (fail.where, fail.limit, fail.result) == (("B2",), 62.0, "fail")
    assert (passed.where, passed.limit, passed.result) == (("B1",), 70.0, "pass")


def test_spacings_that_pass_are_one_finding_with_the_worst() -> None:
    """Spacings that pass are one finding with the widest: of 50, 65 and 60 in it states 65 in, and
    names all three bays."""
    bays = (bay(1, centres=50.0), bay(2, centres=65.0), bay(3, centres=60.0))
    finding = only("post_spacing", bays=bays)
    assert (finding.actual, finding.where) == (65.0, ("B1", "B2", "B3"))
    assert finding.message == (
        "B1 to B3: posts with picket infill stand at most 5' 5\" apart, centre to centre; "
        "the kit allows at most 5' 10\"."
    )


@pytest.mark.parametrize(
    ("width", "height", "fails"),
    [
        (50.0, 30.0, set()),
        (56.0, 30.0, set()),
        (56.0625, 30.0, {"wide;"}),
        (50.0, 44.0, set()),
        (50.0, 44.0625, {"high;"}),
        (50.0, 46.0, {"high;"}),
        (57.5, 40.0, {"wide;"}),
        (56.0, 41.125, {"area of"}),
    ],
)
def test_glass_size(width: float, height: float, fails: set[str]) -> None:
    """Glass is at most 56 in wide, 44 in high and 2300 sq in.

    57.5 x 40 and 50 x 46 are 2300, so that each breaks one length alone; 56 x 41.125 is 2303.
    """
    findings = found("glass_size", bays=(glass_bay(1, glass(width, height)),))
    assert len(findings) == 3
    broken = [finding.message for finding in findings if finding.result == "fail"]
    assert len(broken) == len(fails)
    assert all(any(f" {kind}" in message for message in broken) for kind in fails)


def test_glass_area_is_in_the_square_of_the_documents_unit() -> None:
    """An area of glass is in the square of the document's unit: 56 x 41.125 in is 2303 sq in, not
    square feet."""
    findings = found("glass_size", bays=(glass_bay(1, glass(56.0, 41.125)),))
    assert (findings[0].actual, findings[0].limit) == (2303.0, 2300.0)
    assert (
        "the area of the glass is 2303 sq in; the kit takes at most 2300 sq in"
        in findings[0].message
    )


@pytest.mark.parametrize(("depth", "result"), [(1.25, "pass"), (1.125, "pass"), (1.0625, "fail")])
def test_glass_fitting(depth: float, result: str) -> None:
    """The engagement of 5/8 + 1/2 = 1 1/8 in must fit into the top channel (method 7)."""
    own = kit()
    assert own.glass is not None
    shallow = replace(own, glass=replace(own.glass, top_channel_depth=depth))
    bays = (glass_bay(1, glass(50.0, 30.0)), glass_bay(2, glass(48.0, 30.0)))
    finding = only("glass_fitting", with_kit=shallow, bays=bays)
    assert (finding.result, finding.limit, finding.actual) == (result, 1.125, depth)
    assert finding.where == ("B1", "B2")


def test_glass_rules_look_at_glass_alone() -> None:
    """A deck of pickets gives no finding of glass, though its kit has glass."""
    assert found("glass_fitting", bays=(bay(),)) == []
    assert found("glass_size", bays=(bay(),)) == []


@pytest.mark.parametrize(
    ("skew", "result"), [(22.5, "pass"), (60.0, "pass"), (60.0001, "fail"), (75.0, "fail")]
)
def test_corner_angle(skew: float, result: str) -> None:
    """A swivel bracket of this kit reaches 60° off square; beyond, two posts are needed."""
    turned = bay(ends=("socket", "swivel"), skews=(0.0, skew))
    finding = only("corner_angle", bays=(turned,), posts=(post(1), post(2)))
    assert (finding.result, finding.where) == (result, ("P2",))
    assert (finding.limit, finding.actual) == (60.0, skew)
    assert ("two posts are needed" in finding.message) == (result == "fail")


def test_each_says_what_its_numbers_are() -> None:
    """A finding says whether its numbers are degrees, an area or lengths, so that each is rounded
    accordingly where it is written."""
    turned = bay(skews=(0.0, 58.0), ends=("socket", "swivel"))
    angle = only("corner_angle", bays=(turned,), posts=(post(1), post(2)))
    sizes = found("glass_size", bays=(glass_bay(1, glass(48.0, 40.0)),))
    pitch = only("stair_pitch", STEEP, flights=(flight(),))
    tie = only("weak_tie", ties=(TieSeen("main", 2, 45.0),))
    assert (angle.amount, pitch.amount, tie.amount) == ("degrees",) * 3
    assert [f.amount for f in sizes] == ["length", "length", "area"]


def test_corner_angle_names_the_angle() -> None:
    """The message names the place, the angle and the reach."""
    turned = bay(ends=("socket", "swivel"), skews=(0.0, 75.0))
    message = only("corner_angle", bays=(turned,), posts=(post(1), post(2))).message
    assert message == (
        "P2: a rail comes in 75° off square; the kit's swivel bracket reaches 60°: "
        "two posts are needed."
    )


def test_a_post_is_named_once_for_both_its_bays() -> None:
    """Two bays that meet a corner post at the same angle give one finding, which names the post
    once."""
    bays = (
        bay(1, ends=("socket", "swivel"), skews=(0.0, 22.5)),
        bay(2, ends=("swivel", "socket"), skews=(22.5, 0.0)),
    )
    finding = only("corner_angle", bays=bays, posts=(post(1), post(2), post(3)))
    assert finding.where == ("P2",)


def test_a_post_is_judged_by_the_worse_of_its_two_bays() -> None:
    """A post is judged by the greater of its two angles: of 65° on one side and 25° on the other,
    in either order, 65° is out of reach."""
    for arrives, leaves in ((65.0, 25.0), (25.0, 65.0)):
        bays = (
            bay(1, ends=("socket", "swivel"), skews=(0.0, arrives)),
            bay(2, ends=("swivel", "socket"), skews=(leaves, 0.0)),
        )
        finding = only("corner_angle", bays=bays, posts=(post(1), post(2), post(3)))
        assert (finding.result, finding.actual) == ("fail", 65.0)


def test_an_angle_out_of_reach_is_found_whatever_the_end_is_called() -> None:
    """An angle out of reach is found at a `wall` end as well as at a `swivel`: no bracket reaches
    75°."""
    oblique = bay(start=None, ends=("wall", "socket"), skews=(75.0, 0.0))
    assert only("corner_angle", bays=(oblique,), posts=(post(2),)).result == "fail"


def test_an_oblique_wall_out_of_reach() -> None:
    """At a wall there is no post, so that the finding names the bay and asks for a post at the
    wall."""
    oblique = bay(start=None, ends=("swivel", "socket"), skews=(65.0, 0.0))
    ends, oblique_walls = ((0.0, 0.0), (58.0, 0.0)), (True, False)
    run = Run("R1", "main", 0, None, "P2", 58.0, (0.0, 58.0), ends, oblique_walls=oblique_walls)
    finding = only("corner_angle", bays=(oblique,), posts=(post(2),), runs=(run,))
    assert (finding.result, finding.where) == ("fail", ("B1",))
    assert "a post is needed at the wall" in finding.message


def test_square_ends_are_not_looked_at() -> None:
    """Socket ends are square and give no finding."""
    assert found("corner_angle", bays=(bay(),), posts=(post(1), post(2))) == []


@pytest.mark.parametrize(
    ("skew", "warned"),
    [(2.0, False), (2.1, True), (60.0, True), (60.1, False)],
    ids=["a socket takes it", "just over", "as far as a swivel reaches", "beyond"],
)
@pytest.mark.parametrize("at_end", [False, True])
def test_a_raked_rail_that_comes_in_askew(skew: float, warned: bool, at_end: bool) -> None:
    """A raked rail that is askew in plan is a warning, as its bracket has to turn both ways.

    A socket of this kit takes 2 degrees off square and a swivel reaches 60; the warning is for
    angles between the two, as beyond 60 no bracket reaches at all.
    """
    askew = raked_bay(skews=(0.0, skew) if at_end else (skew, 0.0))
    told = found("corner_angle", bays=(askew,), flights=(flight(),), posts=(post(1), post(2)))
    turns = [f for f in told if "a raked rail comes in" in f.message]
    assert [(f.where, f.severity, f.limit, f.actual) for f in turns] == (
        [(("B1",), "warning", 2.0, skew)] if warned else []
    )


def test_post_height() -> None:
    """The kit stocks posts of 36 and 42 in; one of 48 in is out of its reach."""
    fail, passed = found("post_height", posts=(post(1), post(2, 48.0, None), post(3)))
    assert (fail.result, fail.severity, fail.where) == ("fail", "violation", ("P2",))
    assert (fail.limit, fail.actual) == (42.0, 48.0)
    assert (passed.result, passed.where, passed.limit) == ("pass", ("P1", "P3"), 36.0)


def test_post_height_is_told_as_a_tape_reads_it() -> None:
    """A height off the marks is written as a tape reads it: 38.2273 is nearest to 38 1/4 (38.25; 38
    3/16 is 38.1875). The kit's tallest post is 42: 42.02 would read like it, and so keeps its
    decimals."""
    posts = (post(1, 38.2273, 42.0), post(2, 42.02, None))
    fail, passed = found("post_height", posts=posts)
    assert passed.message == "P1: the guard needs a post of 3' 2 1/4\"; the kit stocks 3' 6\"."
    assert passed.actual == 38.2273
    assert fail.message == (
        'P2: the guard needs a post of 42.02"; the tallest that the kit stocks is 3\' 6".'
    )


def test_weep_holes() -> None:
    """A row of weep holes that cannot keep the interval is a warning; the others pass."""
    warned, passed = found("weep_holes", bays=(bay(1), bay(2, weep_complete=False)))
    assert (warned.result, warned.severity, warned.where) == ("fail", "warning", ("B2",))
    assert (passed.result, passed.where, passed.limit) == ("pass", ("B1",), 30.0)


def test_a_raked_rail_drains_at_its_foot() -> None:
    """A raked rail has one weep hole, at its low end, whatever the interval: method 8 is for level
    rails, method 9 for raked ones."""
    level, raked = found("weep_holes", bays=(bay(1), raked_bay(2)), flights=(flight(),))
    assert (level.where, level.limit) == (("B1",), 30.0)
    assert (raked.result, raked.where, raked.limit) == ("pass", ("B2",), None)
    assert "by one hole at its low end" in raked.message


def test_a_raked_rail_without_room_for_its_hole_is_no_matter_of_intervals() -> None:
    """A raked rail gets one hole (method 9): where it has no room, no interval of the kit's, which
    is of the rows of level rails (method 8), is broken."""
    level, raked = found(
        "weep_holes",
        bays=(bay(1, weep_complete=False), raked_bay(2, weep_complete=False)),
        flights=(flight(),),
    )
    assert (level.where, level.limit) == (("B1",), 30.0)
    assert (raked.result, raked.severity, raked.where) == ("fail", "warning", ("B2",))
    assert (raked.limit, raked.actual) == (None, None)
    assert raked.message == (
        "B2: no place at the low end of the raked bottom rail is clear of supports, blocks and "
        "pickets for its weep hole; settle on site where it drains."
    )


def test_too_few_weep_holes_break_no_interval() -> None:
    """A glass rail should have two holes. One at 30 of a rail from 3/16 to 55 11/16 leaves 29 13/16
    and 25 11/16, within the kit's 30: what is missing is a hole, not an interval."""
    (few,) = found("weep_holes", bays=(bay(1, weep_holes=(30.0,), weep_complete=False),))
    assert (few.result, few.severity, few.where) == ("fail", "warning", ("B1",))
    assert (few.limit, few.actual) == (None, None)
    assert "fewer weep holes than the bottom rail should have" in few.message


def test_weep_holes_tell_the_widest_interval_of_those_that_keep_it() -> None:
    """The finding states the widest interval of the rails that keep the limit.

    In a rail of 55.5 from 0.1875 to 55.6875, holes at 20 and 40 leave 19.8125, 20 and 15.6875; a
    hole at 30 leaves 29.8125 and 25.6875; a lone one at 20 leaves 35.6875.
    """
    two, one = bay(1, weep_holes=(20.0, 40.0)), bay(2, weep_holes=(30.0,))
    late = bay(3, weep_holes=(20.0,), weep_complete=False)
    broken, kept = found("weep_holes", bays=(two, one, late))
    assert (kept.where, kept.actual, kept.limit) == (("B1", "B2"), 29.8125, 30.0)
    assert (broken.where, broken.actual, broken.limit) == (("B3",), 35.6875, 30.0)


@pytest.mark.parametrize(
    ("longest", "cut", "limit", "words"),
    [
        (191.5, 55.5, 191.5, "4' 7 1/2\" of the 15' 11 1/2\" that can be used"),
        (143.5, 150.0, None, "12' 6\", of a stick on hand that is longer than the kit's"),
        (0.0, 55.5, None, "of a stick on hand; the trim leaves nothing"),
    ],
    ids=["of the kit's", "of a longer one on hand", "of one on hand alone"],
)
def test_stick_length_tells_the_longest_piece(
    longest: float, cut: float, limit: float | None, words: str
) -> None:
    """The message names the longest piece and the stick that it is cut from; the finding has a
    limit where the kit's own sticks hold the piece."""
    passed = only("stick_length", sticks=(SticksSeen("top_rail_picket", longest, cut, ()),))
    assert (passed.result, passed.actual, passed.limit) == ("pass", cut, limit)
    assert words in passed.message


def test_feet_of_a_flight() -> None:
    """The feet of a raked bay stand no further apart along the slope than the kit's interval.

    Along a slope of sqrt(7^2 + 10.5^2) / 10.5 = 1.20185 the 39.5 of a bay are 47.4731. A foot at 26
    leaves 31.2481 above it, within the 32 that the kit asks for; one at 27 leaves 32.45, and
    without a foot there is the whole length.
    """
    kept, late = raked_bay(1, rail_supports=(26.0,)), raked_bay(2, rail_supports=(27.0,))
    told = found("rail_supports", bays=(bay(4), kept, late, raked_bay(3)), flights=(flight(),))
    fails = [finding for finding in told if finding.result == "fail"]
    assert [finding.where for finding in fails] == [("B2",), ("B3",)]
    assert [finding.actual for finding in fails] == pytest.approx([32.45, 47.4731], abs=1e-4)
    assert {(finding.severity, finding.limit) for finding in fails} == {("warning", 32.0)}
    assert "feet stand on nosings, and 32.45" in fails[0].message
    assert "no nosing that a foot has room on lies in the bay" in fails[1].message
    (passed,) = [finding for finding in told if finding.result == "pass"]
    assert passed.where == ("B1",)
    assert passed.actual == pytest.approx(31.2481, abs=1e-4)
    as_asked = replace(kit(), rail_support=RailSupport(31.248111, 1.5))
    (passed,) = found("rail_supports", with_kit=as_asked, bays=(kept,), flights=(flight(),))
    assert passed.result == "pass"


def test_feet_of_level_bays_are_as_many_as_are_asked() -> None:
    """Level bays, and kits without feet, give no finding."""
    flights, raked = (flight(),), (raked_bay(1),)
    assert found("rail_supports", bays=(bay(1),), flights=flights) == []
    bare = kit(rail_support=None)
    assert found("rail_supports", with_kit=bare, bays=raked, flights=flights) == []


def test_feet_of_a_fascia_have_no_deck_under_them() -> None:
    """The feet of a fascia guard, whose posts hang 2.25 off the rim, have no deck under them where
    the rail's width is not known. A bay without feet gives no such finding, nor does a flight,
    whose feet stand on nosings."""
    plain = kit()
    hung = kit(mounting="fascia", post=replace(plain.post, setback=-2.25))
    bays = (bay(1, rail_supports=(28.0,)), bay(2), raked_bay(3, rail_supports=(26.0,)))
    told = found("rail_supports", with_kit=hung, bays=bays, flights=(flight(),))
    asked = [finding for finding in told if finding.result == "not_checked"]
    assert [finding.where for finding in asked] == [("B1",)]
    assert "hangs 2 1/4" in asked[0].message


@pytest.mark.parametrize(("setback", "asked"), [(-0.5, False), (-0.75, False), (-1.0, True)])
def test_feet_of_a_fascia_whose_rail_reaches_over_the_deck(setback: float, asked: bool) -> None:
    """Feet are not checked where the rail does not reach back over the deck. A rail 1 1/2 wide
    reaches 3/4 back from its line: at 1/2 off the rim it lies over the deck, at 3/4 it reaches the
    rim, and at 1 there is a gap of 1/4 between its feet and the deck."""
    rails = {"bottom_rail_picket": Member("6063", "T6", width=1.5)}
    posts = replace(kit().post, setback=setback)
    hung = replace(strong_kit(rails=rails), mounting="fascia", post=posts)
    told = found("rail_supports", with_kit=hung, bays=(bay(1, rail_supports=(28.0,)),))
    assert [finding.result for finding in told] == (["not_checked"] if asked else [])


def test_no_weep_holes_in_the_kit() -> None:
    """A kit without weep holes gives no finding of them."""
    assert found("weep_holes", with_kit=kit(weep=None), bays=(bay(),)) == []


@pytest.mark.parametrize(
    ("going", "result"), [(58.2, "pass"), (58.3, "fail")], ids=["within", "over"]
)
def test_spacing_of_a_flight_is_along_its_slope(going: float, result: str) -> None:
    """The spacing of a flight's posts is taken along the slope. 7 on 10.5 is hypot(7, 10.5)/10.5 =
    1.20185 long for each inch of plan; 70/1.20185 = 58.24."""
    rake = raked_bay().fill.rake
    assert rake is not None
    longer = replace(rake, centres_slope=going * 1.201850)
    bays = (raked_bay(centres=going, rake=longer),)
    finding = only("post_spacing", bays=bays, flights=(flight(),))
    assert (finding.result, finding.limit) == (result, 70.0)
    assert "centre to centre along the slope" in finding.message


def test_a_post_of_its_stock_height_is_told_as_that() -> None:
    """A post of exactly its stock height is written as the stock is: 36 in is 914.4 mm, off the
    marks, and not 915 beside a stock of 914.4."""
    own = kit(post=replace(kit().post, heights=(914.4,)))
    finding = only("post_height", None, own, unit="mm", posts=(post(1, 914.4, 914.4),))
    assert "needs a post of 914.4 mm; the kit stocks 914.4 mm" in finding.message


@pytest.mark.parametrize(
    ("height", "own_unit", "hint"),
    [(1067.0, "in", True), (1067.5, "in", False), (1070.0, "in", False), (1067.0, "mm", False)],
)
def test_a_height_in_millimetres_may_be_one_of_inches_rounded(
    height: float, own_unit: Unit, hint: bool
) -> None:
    """Where a height in millimetres may be a rounded one of the kit's in inches, the message says
    so: 42 in is 1066.8 mm, and 1067 as the IBC prints it (2021, 1015.3: `facts`), 0.2 mm more than
    the kit's own 42 in."""
    own = kit(own_unit=own_unit, post=replace(kit().post, heights=(914.4, 1066.8)))
    finding = only("post_height", None, own, unit="mm", posts=(post(1, height, None),))
    assert finding.result == "fail"
    said = "; its 42 in are 1066.8 mm, which 1067 mm may be rounded from: where inches are meant, "
    assert (said in finding.message) == hint


@pytest.mark.parametrize(("nominal", "result"), [(5.0, "fail"), (6.0, "pass")])
def test_glass_that_is_sold_by_the_inch_counts_by_it_on_a_millimetre_deck(
    nominal: float, result: str
) -> None:
    """On a deck in millimetres, glass counts by the inch size that it is sold as: 6 mm as 1/4 in,
    6.35 mm; 5 mm as 3/16 in."""
    asks = code_with(IRC, glass_thickness_min=Figure(6.35, "at_least", "IBC 2021 2407.1", "near"))
    made = kit().glass
    assert made is not None
    panes = (replace(made.panes[0], nominal=nominal, nominal_mm=nominal),)
    finding = only(
        "glass_thickness",
        asks,
        kit(glass=replace(made, panes=panes)),
        unit="mm",
        bays=(glass_bay(1, glass(48.0, 36.0)),),
    )
    assert finding.result == result


@pytest.mark.parametrize(
    ("millimetres", "inches"),
    [
        *[(3, 1 / 8), (4, 5 / 32), (5, 3 / 16), (6, 1 / 4), (8, 5 / 16)],
        *[(10, 3 / 8), (12, 1 / 2), (16, 5 / 8), (19, 3 / 4)],
    ],
)
def test_glass_counts_by_the_name_of_its_thickness(millimetres: float, inches: float) -> None:
    """Glass counts by the nominal thickness of its millimetre name where a kit writes a lesser one
    in inches, as 0.31 for 5/16 (facts on engineering, 1.2)."""
    asks = code_with(IRC, glass_thickness_min=Figure(0.25, "at_least", "IBC 2021 2407.1", "near"))
    made = kit().glass
    assert made is not None
    panes = (replace(made.panes[0], nominal=0.1, nominal_mm=millimetres),)
    own = kit(glass=replace(made, panes=panes))
    told = only("glass_thickness", asks, own, bays=(glass_bay(1, glass(48.0, 36.0)),))
    assert told.actual == inches
