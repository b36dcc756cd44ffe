"""Steps of a flight. Check cases: section 9 of the code facts, IRC 17 and 18, England 25 to 27."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from service.core.records.code import Code, Figure
from service.core.records.deck import Drops, Hand
from service.core.records.figures import FIGURES
from service.rules.judge import judge

from .small import (
    ADK,
    HIGH,
    IRC,
    amended,
    code_with,
    code_without,
    deck,
    flight,
    found,
    handrail,
    kit,
    layout,
    only,
)

SIDES: tuple[Hand, Hand] = ("left", "right")


@pytest.mark.parametrize(
    ("rise", "risers", "result"),
    [(48.0, 6, "fail"), (48.0, 7, "pass"), (54.25, 7, "pass"), (54.6875, 7, "fail")],
    ids=["case 17", "case 18", "the limit", "a sixteenth over"],
)
def test_irc_risers(rise: float, risers: int, result: str) -> None:
    """IRC 2021 R311.7.5.1: a riser is at most 7 3/4 in. 48/6 = 8; 48/7 = 6.857; 54.25/7 = 7.75."""
    flights = (flight(rise=rise, risers=risers, riser=rise / risers, drop=rise),)
    finding = only("riser_height", flights=flights)
    assert (finding.result, finding.limit, finding.where) == (result, 7.75, ("front",))
    assert finding.actual == pytest.approx(rise / risers, abs=1e-6)
    assert finding.cite == "IRC 2021 R311.7.5.1"


@pytest.mark.parametrize(("riser", "result"), [(7.6875, "pass"), (7.75, "fail")])
def test_a_riser_that_must_stay_below_its_figure(riser: float, result: str) -> None:
    """A code may ask for less than its figure; 7 3/4 in is not less than 7 3/4."""
    code = code_with(IRC, riser_max=Figure(7.75, "less_than", "Town bylaw 4", "seen"))
    finding = only("riser_height", code, flights=(flight(rise=7 * riser, riser=riser),))
    assert finding.result == result
    assert 'less than 7 3/4" is required' in finding.message


def test_risers_too_high_read_as_said_to_a_customer() -> None:
    """The message has the flight, its riser, what is allowed and the clause."""
    finding = only("riser_height", flights=(flight(rise=48.0, risers=6, riser=8.0),))
    assert finding.severity == "violation"
    assert finding.message == (
        'front: each riser is 8" high; at most 7 3/4" is allowed (IRC 2021 R311.7.5.1).'
    )


@pytest.mark.parametrize(
    ("riser", "results"),
    [
        (149.0, {"at least": "fail", "at most": "pass"}),
        (150.0, {"exactly the 150": "pass", "at most": "pass"}),
        (190.0, {"at least": "pass", "at most": "pass"}),
        (220.0, {"at least": "pass", "exactly the 220": "pass"}),
        (221.0, {"at least": "pass", "at most": "fail"}),
    ],
)
def test_england_risers(riser: float, results: dict[str, str]) -> None:
    """Approved Document K, Table 1.1: a riser is 150 to 220 mm, both included."""
    findings = found("riser_height", ADK, unit="mm", flights=(flight(riser=riser),))
    said = {
        words: f.result for f in findings for words in results if words in f.message.split(";")[1]
    }
    assert len(findings) == 2
    assert said == results


@pytest.mark.parametrize(
    ("going", "result"),
    [(9.9375, "fail"), (10.0, "pass"), (10.5, "pass")],
    ids=["a sixteenth under", "the limit", "more"],
)
def test_irc_going(going: float, result: str) -> None:
    """IRC 2021 R311.7.5.2: a going is at least 10 in, nosing to nosing."""
    finding = only("tread_going", flights=(flight(going=going),))
    assert (finding.result, finding.limit, finding.actual) == (result, 10.0, going)


@pytest.mark.parametrize(
    ("going", "fails"),
    [(250.0, [280.0]), (279.0, [280.0]), (280.0, []), (300.0, []), (301.0, [300.0])],
    ids=["case 27", "a millimetre under", "the least", "the greatest", "a millimetre over"],
)
def test_england_going(going: float, fails: list[float]) -> None:
    """Table 1.1 note 2 asks for a going of 280 mm outside; the range for private stairs ends at 300
    mm."""
    findings = found("tread_going", ADK, unit="mm", flights=(flight(riser=170.0, going=going),))
    assert [f.limit for f in findings if f.result == "fail"] == fails
    assert {f.limit: f.cite for f in findings} == {
        280.0: "AD K 2013, Table 1.1 note 2",
        300.0: "AD K 2013, Table 1.1",
    }


def test_case_27_has_its_going_alone_amiss() -> None:
    """R 170, G 250: 2R + G = 590 and a pitch of 34.2 degrees pass, so that the going alone
    fails."""
    flights = (flight(riser=170.0, going=250.0),)
    rules = ("riser_height", "risers_and_going", "stair_pitch")
    findings = [f for rule in rules for f in found(rule, ADK, unit="mm", flights=flights)]
    assert {f.result for f in findings} == {"pass"}
    assert 590.0 in [f.actual for f in findings]
    # atan(170/250) = 34.2157 degrees
    assert [f.actual for f in findings if f.rule == "stair_pitch"] == [
        pytest.approx(34.2157, abs=5e-5)
    ]


def test_a_pitch_that_its_riser_and_going_allow_is_over_42() -> None:
    """R 220, G 220 and 2R + G = 660 are in their ranges, but the pitch of 45 is over 42 degrees.

    This is check case 25 but for its going, which is that of a stair inside: the going of one
    outside is judged by note 2.
    """
    flights = (flight(riser=220.0, going=220.0),)
    sums = found("risers_and_going", ADK, unit="mm", flights=flights)
    assert [(f.result, f.actual) for f in sums] == [("pass", 660.0), ("pass", 660.0)]
    assert {f.result for f in found("riser_height", ADK, unit="mm", flights=flights)} == {"pass"}
    pitch = only("stair_pitch", ADK, unit="mm", flights=flights)
    assert (pitch.result, pitch.actual, pitch.limit) == ("fail", 45.0, 42.0)
    assert pitch.message == (
        "front: the flight goes down at 45°; at most 42° is allowed (AD K 2013, Table 1.1 note 1)."
    )


def test_case_26() -> None:
    """R 190, G 240: 2R + G = 620 passes, and so does the pitch of atan(190/240) = 38.4 degrees."""
    flights = (flight(riser=190.0, going=240.0),)
    findings = found("risers_and_going", ADK, unit="mm", flights=flights)
    assert [(f.result, f.actual) for f in findings] == [("pass", 620.0), ("pass", 620.0)]
    pitch = only("stair_pitch", ADK, unit="mm", flights=flights)
    assert pitch.result == "pass"
    assert pitch.actual == pytest.approx(38.4, abs=0.05)


@pytest.mark.parametrize(
    ("riser", "going", "fails"),
    [
        (150.0, 249.0, [550.0]),
        (150.0, 250.0, []),
        (200.0, 300.0, []),
        (200.5, 300.0, [700.0]),
    ],
    ids=["549", "550, the limit", "700, the limit", "701"],
)
def test_two_risers_and_a_going(riser: float, going: float, fails: list[float]) -> None:
    """Table 1.1 note *: 550 to 700 mm, both included. 2 x 150 + 249 = 549; 401 + 300 = 701."""
    flights = (flight(riser=riser, going=going),)
    findings = found("risers_and_going", ADK, unit="mm", flights=flights)
    assert [f.limit for f in findings if f.result == "fail"] == fails
    assert len(findings) == 2


@pytest.mark.parametrize(
    ("limit", "result"), [(45.0, "pass"), (44.99, "fail"), (45.00002, "pass"), (44.99998, "fail")]
)
def test_pitch_at_its_limit(limit: float, result: str) -> None:
    """A riser as long as its going lies at 45 degrees, which a limit of 45 (made up) just
    allows."""
    code = code_with(IRC, pitch_max=Figure(limit, "at_most", "Town bylaw 8", "seen"))
    finding = only("stair_pitch", code, flights=(flight(riser=10.0, going=10.0),))
    assert finding.result == result


def test_an_amended_pitch_is_told_in_degrees() -> None:
    """A pitch is never written as a length, nor is the code's own figure beside an amended one."""
    code = code_with(ADK, pitch_max=amended(ADK.figures["pitch_max"], 38.0))
    finding = only("stair_pitch", code, unit="mm", flights=(flight(riser=220.0, going=220.0),))
    assert (finding.amended, finding.published, finding.limit) == (True, 42.0, 38.0)
    assert "at most 38° is allowed (the local authority's figure; the code prints 42°, AD K" in (
        finding.message
    )


def test_a_hair_over_the_pitch_is_not_written_as_the_limit() -> None:
    """A pitch of 45.00002 degrees is not written as 45."""
    code = code_with(IRC, pitch_max=Figure(45.0, "at_most", "Town bylaw 8", "seen"))
    steep = flight(riser=10.0 * math.tan(math.radians(45.00002)), going=10.0)
    finding = only("stair_pitch", code, flights=(steep,))
    assert finding.result == "fail"
    assert "goes down at 45.00002°; at most 45° is allowed" in finding.message


@pytest.mark.parametrize("rule", ["stair_pitch", "risers_and_going"])
def test_a_code_without_such_a_limit(rule: str) -> None:
    """The IRC limits neither pitch nor 2R + G, so that there is no finding; without a code both
    rules are not checked."""
    assert found(rule, IRC, flights=(flight(),)) == []
    finding = only(rule, None, flights=(flight(),))
    assert (finding.result, finding.where) == ("not_checked", ("front",))
    assert finding.message.endswith("was not checked; name a code to have it checked.")


@pytest.mark.parametrize("rule", ["tread_going", "risers_and_going", "stair_pitch"])
def test_a_single_riser_has_no_tread(rule: str) -> None:
    """A flight of one riser has no tread and no slope, so that only its riser is judged."""
    one = flight(rise=170.0, risers=1, riser=170.0, going=100.0)
    assert found(rule, ADK, unit="mm", flights=(one,)) == []
    assert found("riser_height", ADK, unit="mm", flights=(one,)) != []


@pytest.mark.parametrize(
    ("drop", "result", "actual"),
    [
        (49.0, "pass", 0.0),
        (49.375, "pass", 0.375),
        (48.625, "pass", 0.375),
        (49.4375, "fail", 0.4375),
        (48.5625, "fail", 0.4375),
    ],
    ids=["even", "the limit, more", "the limit, less", "a sixteenth more", "a sixteenth less"],
)
def test_irc_evenness(drop: float, result: str, actual: float) -> None:
    """IRC 2021 R311.7.5.1: risers differ by at most 3/8 in. Seven of 7 in come to 49 in, and the
    drop's difference from that falls to the last riser."""
    finding = only("riser_evenness", flights=(flight(drop=drop),))
    assert (finding.result, finding.actual, finding.limit) == (result, actual, 0.375)
    assert finding.severity == ("violation" if result == "fail" else "note")


@pytest.mark.parametrize(
    ("drop", "told"),
    [
        (54.25, [("pass", 7.75)]),
        (54.5625, [("fail", 8.0625), ("pass", 7.75)]),
        (53.9375, [("pass", 7.75)]),
        (None, [("pass", 7.75)]),
        (62.0, [("pass", 7.75)]),
    ],
    ids=["even", "higher", "lower", "not known", "by a whole riser"],
)
def test_the_height_of_a_last_riser(drop: float | None, told: list[tuple[str, float]]) -> None:
    """A last riser that is higher than the others is judged by its own height.

    Seven of 7 3/4 in come to 54 1/4. Over 54 9/16 the last is 8 1/16: uneven by 5/16, which is
    allowed, and over 7 3/4, which is not. Over 62, which is 7 3/4 more, a whole riser is missing
    instead.
    """
    high = flight(rise=54.25, riser=7.75, drop=drop)
    findings = found("riser_height", flights=(high,))
    assert [(each.result, each.actual) for each in findings] == told


def test_a_last_riser_too_low() -> None:
    """A last riser that is lower than the others is held to the code's least, here 4 in as in IBC
    2021 1011.5.2. Seven of these are 28; over 27 3/4 the last is 3 3/4."""
    code = code_with(IRC, riser_min=Figure(4.0, "at_least", "1011.5.2", "near"))
    findings = found("riser_height", code, flights=(flight(rise=28.0, riser=4.0, drop=27.75),))
    assert [(each.result, each.actual, each.limit) for each in findings] == [
        ("fail", 3.75, 4.0),
        ("pass", 4.0, 7.75),
        ("pass", 4.0, 4.0),
    ]


@pytest.mark.parametrize(("drop", "way"), [(50.0, "higher"), (48.0, "lower")])
def test_what_is_left_over_falls_to_the_last_riser(drop: float, way: str) -> None:
    """A flight of 49 in over a drop of 50 or 48 in has a last riser that is 1 in off."""
    message = only("riser_evenness", flights=(flight(drop=drop),)).message
    assert f'so the last riser would be 1" {way} than the others; at most 3/8"' in message


@pytest.mark.parametrize(
    ("drop", "told"), [(56.0, 'so 7" are left, a riser'), (28.0, "so 1' 9\" are too many, a riser")]
)
def test_a_rise_that_is_risers_off_is_of_another_count(drop: float, told: str) -> None:
    """A rise that misses the drop by whole risers has the wrong number of them: seven of 7 in come
    to 49; over 56 in one more would fit, over 28 in three are too many."""
    found = only("riser_evenness", flights=(flight(drop=drop),))
    assert (found.result, found.actual) == ("fail", abs(drop - 49.0))
    assert told in found.message


def test_a_single_riser_has_no_others() -> None:
    """A single riser is not compared with others. One given as 7 in over a drop of 9 in comes to 9,
    2 more than given, and more than 7 3/4."""
    one = flight(rise=7.0, risers=1, riser=7.0, drop=9.0)
    uneven = only("riser_evenness", flights=(one,)).message
    assert 'the riser comes to 7" and the drop is 9", so it would be 2" higher; at most' in uneven
    told = [each.message for each in found("riser_height", flights=(one,))]
    assert "front: the riser, which takes up what the rise misses the drop by, is 9" in told[0]


def test_a_flight_down_where_there_is_no_drop() -> None:
    """Where the drop is nothing, the message names what was given: the drop of the edge, or those
    of two levels."""
    alone = only("riser_evenness", flights=(flight(drop=0.0),))
    assert alone.result == "fail"
    assert "the drop given where it goes down is none; give that of its edge" in alone.message
    lower = only("riser_evenness", flights=(flight(drop=0.0, to_level="lower"),))
    assert "lower does not lie below" in lower.message


def test_evenness_without_a_figure() -> None:
    """Without a figure, a rise that misses the drop is a warning, and one that meets it passes."""
    off = only("riser_evenness", None, flights=(flight(drop=50.0),))
    assert (off.result, off.severity, off.actual, off.cite) == ("fail", "warning", 1.0, "")
    assert "than the others; name a code to have that held against its figure" in off.message
    unstated = only("riser_evenness", ADK, flights=(flight(drop=50.0),)).message
    assert "; gb-eng-adk-2013 states no figure for that: settle it with" in unstated
    even = only("riser_evenness", ADK, unit="mm", flights=(flight(rise=1400.0, drop=1400.0),))
    assert (even.result, even.limit) == ("pass", None)
    assert "which is the drop" in even.message


@pytest.mark.parametrize(
    ("to_level", "words"),
    [
        (None, "give the drop of level main or of the edge, down to what its foot stands on to"),
        ("lower", "give the drops of levels main and lower, both from one ground, to"),
    ],
)
@pytest.mark.parametrize("code", [IRC, None], ids=["irc", "no code"])
def test_evenness_of_an_unknown_drop(to_level: str | None, words: str, code: Code | None) -> None:
    """Where the drop is not given the message asks for it: for one drop, or for those of both
    levels."""
    unknown = flight(drop=None, drops=Drops(), to_level=to_level)
    finding = only("riser_evenness", code, flights=(unknown,))
    assert (finding.result, finding.severity, finding.actual) == ("not_checked", "note", None)
    assert words in finding.message


@pytest.mark.parametrize(
    ("lower", "to_level", "words"),
    [
        (Drops(), "lower", "give the drop of level lower, from the same ground as the other's, to"),
        (Drops(), None, "give the drop of the level at its foot to"),
    ],
)
def test_evenness_asks_for_the_drop_that_is_missing(
    lower: Drops, to_level: str | None, words: str
) -> None:
    """Of two levels the message asks for the drop of the one that has none."""
    one = deck()
    main = replace(one.levels[0], drops=HIGH)
    both = replace(one, levels=(main, replace(main, id="lower", drops=lower)))
    unknown = layout(flights=(flight(drop=None, drops=Drops(), to_level=to_level),))
    findings = judge(unknown, both, kit(), IRC)
    told = [finding.message for finding in findings if finding.rule == "riser_evenness"]
    assert [words in message for message in told] == [True]


@pytest.mark.parametrize(
    ("width", "result"),
    [(35.9375, "fail"), (36.0, "pass"), (48.0, "pass")],
    ids=["a sixteenth under", "the limit", "more"],
)
def test_irc_width(width: float, result: str) -> None:
    """IRC 2021 R311.7.1: a flight is at least 36 in wide, clear above the handrail."""
    finding = only("stair_width", flights=(flight(clear_width=width),))
    assert (finding.result, finding.limit, finding.actual) == (result, 36.0, width)


@pytest.mark.parametrize(
    ("guards", "into", "words"),
    [
        ((), 0.0, "the clear width is 3'; "),
        (("left",), 0.0, "the clear width between the faces of posts is 3'; "),
        (("left",), 1.125, "is 3', into which bases reach 1 1/8\" at the treads; "),
        (("left", "right"), 1.125, 'bases reach 1 1/8" on each side at the treads; '),
    ],
)
def test_width_tells_how_far_bases_reach_in(
    guards: tuple[str, ...], into: float, words: str
) -> None:
    """The message says how far bases reach into the clear width: one of 4 3/4 in under a post of 2
    1/2 in reaches (4.75 - 2.5)/2 = 1.125 in past the post's face."""
    message = only("stair_width", flights=(flight(guards=guards, into_width=into),)).message
    assert words in message


def test_a_code_without_a_width() -> None:
    """Approved Document K gives no width for dwellings in the facts, so that there is no
    finding."""
    assert found("stair_width", ADK, unit="mm", flights=(flight(clear_width=600.0),)) == []


@pytest.mark.parametrize(
    ("rule", "figure"), [("riser_height", "riser_max"), ("tread_going", "going_min")]
)
def test_without_the_figure(rule: str, figure: str) -> None:
    """Where the code lacks the rule's figure, one not_checked names it for all flights; the other
    figure of the pair, which this code lacks too, is not asked for."""
    finding = only(rule, code_without(IRC, figure), flights=(flight(), flight(id="back")))
    assert (finding.result, finding.where) == ("not_checked", ("front", "back"))
    assert f"states no {figure}" in finding.message


@pytest.mark.parametrize(
    ("rule", "figure", "other", "limit"),
    [
        ("riser_height", "riser_max", "riser_min", 4.0),
        ("tread_going", "going_min", "going_max", 14.0),
        ("handrail_height", "handrail_height_min", "handrail_height_max", 38.0),
    ],
)
def test_without_the_figure_the_other_of_the_pair_is_not_enough(
    rule: str, figure: str, other: str, limit: float
) -> None:
    """A rule is not checked where the code lacks its figure, though the other of the pair passes.

    A riser of 12 in is over 4, a going of 6 in under 14 and a handrail 20 in high under 38: a code
    with those figures alone would pass a flight that nobody can go down.
    """
    code = code_with(IRC, **{other: Figure(limit, FIGURES[other].reads[0], "XYZ 1", "seen")})
    low = {"rise": 84.0, "drop": 84.0, "drops": Drops(84.0), "handrails": (handrail("left", 20.0),)}
    steep = flight(riser=12.0, going=6.0, **low)
    keeps, lacks = sorted(
        found(rule, code_without(code, figure), flights=(steep,)),
        key=lambda finding: finding.result,
        reverse=True,
    )
    assert (lacks.result, lacks.where) == ("not_checked", ("front",))
    assert f"states no {figure}" in lacks.message
    assert (keeps.result, keeps.limit) == ("pass", limit)


def test_the_steps_bind_at_any_drop() -> None:
    """The limits of risers and goings hold for any stair, whether or not its guard is required:
    they bind at a drop of 16 in."""
    low = flight(rise=16.0, risers=2, riser=8.0, going=9.0, drop=16.0, drops=Drops(16.0))
    for rule in ("riser_height", "tread_going"):
        assert only(rule, flights=(low,)).result == "fail"


@pytest.mark.parametrize(
    ("guards", "height", "result", "said"),
    [
        (
            *(("left", "right"), 36.0, "pass"),
            "the handrail at the right is 3' above the nosings and the guard beside it 3'; see "
            "that its 2 brackets are fixed to posts",
        ),
        (("left", "right"), 34.0, "not_checked", "make the guard of the flight as high"),
        (("left",), 36.0, "not_checked", "no guard stands at the right"),
        ((), 36.0, "not_checked", "no guard stands at the right"),
    ],
)
def test_what_holds_a_handrail(
    guards: tuple[Hand, ...], height: float, result: str, said: str
) -> None:
    """A handrail 36 above the nosings, on the right, may be held by the guard beside it if that is
    as high."""
    rail = replace(handrail("right", 36.0), brackets=(16.0, 48.0))
    finding = only(
        "handrail_brackets", flights=(flight(guards=guards, height=height, handrails=(rail,)),)
    )
    assert (finding.result, finding.severity, finding.where) == (result, "note", ("front",))
    assert said in finding.message


def test_two_handrails_alike_are_told_of_once() -> None:
    """Two handrails that are alike share one finding: both are 36 above the nosings, on two
    brackets each, with no guard on either side or with guards of 36 on both. A guard on the left
    alone sets them apart."""
    rails = tuple(replace(handrail(hand, 36.0), brackets=(16.0, 48.0)) for hand in SIDES)
    finding = only("handrail_brackets", flights=(flight(guards=(), handrails=rails),))
    assert finding.message == (
        "front: no guard stands at either side of the flight beside its handrails; what the 2 "
        "brackets of each are fixed to was not checked: there must be a wall, or posts of their "
        "own."
    )
    guarded = only(
        "handrail_brackets", flights=(flight(guards=SIDES, height=36.0, handrails=rails),)
    )
    assert guarded.message == (
        "front: the handrails at both sides are 3' above the nosings and the guards beside them "
        "3'; see that the 2 brackets of each are fixed to posts, or to a rail that may hold them."
    )
    beside = flight(guards=("left",), height=36.0, handrails=rails)
    assert {one.result for one in found("handrail_brackets", flights=(beside,))} == {
        *("pass", "not_checked")
    }


def test_a_flight_without_handrails_has_no_brackets() -> None:
    """A flight without handrails gives no finding of brackets."""
    assert not found("handrail_brackets", flights=(flight(handrails=()),))
