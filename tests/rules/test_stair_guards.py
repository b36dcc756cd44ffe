"""Guards and handrails of flights. Check cases: section 9 of the code facts, IRC 9, 12, 14 to 16,
18 and 19, England 24."""

from __future__ import annotations

import math
from typing import Any

import pytest

from service.core.records.code import Figure
from service.core.records.deck import Drops, Hand
from service.core.records.figures import Reads
from service.core.records.layout import Run
from service.core.records.seen import SmallStretchSeen

from .small import (
    ADK,
    HIGH,
    IRC,
    amended,
    bay,
    code_with,
    code_without,
    flight,
    found,
    glass,
    handrail,
    only,
    pickets,
    raked_bay,
)


def _triangle(riser: float, going: float, lift: float) -> float:
    """Diameter of the largest sphere under a rail `lift` plumb above the nosings (facts 8, 15).

    It is r + g - hypot at no lift, scaled by (h + v cos p)/h with h = r g / hypot.
    """
    slope = math.hypot(riser, going)
    deep = riser * going / slope
    return (riser + going - slope) * (deep + lift * going / slope) / deep


@pytest.mark.parametrize(
    ("height", "result"),
    [(33.9375, "fail"), (34.0, "pass"), (36.0, "pass")],
    ids=["a sixteenth under", "case 12, the limit", "higher"],
)
def test_irc_height(height: float, result: str) -> None:
    """IRC 2021 R312.1.2 exception 1: a stair guard is at least 34 in high above the nosings."""
    finding = only("stair_guard_height", flights=(flight(height=height),))
    assert (finding.result, finding.limit, finding.where) == (result, 34.0, ("front",))
    assert finding.cite == "IRC 2021 R312.1.2, exc. 1"


@pytest.mark.parametrize(("height", "result"), [(899.0, "fail"), (900.0, "pass")])
def test_england_height(height: float, result: str) -> None:
    """Diagram 3.1: the guard of a flight in a dwelling is 900 mm high, where that of the deck is 1
    100."""
    finding = only("stair_guard_height", ADK, unit="mm", flights=(flight(height=height),))
    assert (finding.result, finding.limit) == (result, 900.0)


def test_a_flight_without_a_guard_has_no_height() -> None:
    """A flight without guards gives no finding of their height."""
    assert found("stair_guard_height", flights=(flight(guards=()),)) == []


def test_raked_bays_are_left_to_the_rules_of_stairs() -> None:
    """The rules of level guards pass over a flight's bay, here 34 in high with gaps of 4 1/4 in."""
    bays = (raked_bay(height=34.0, pickets=pickets(4.25, 4.25)),)
    for rule in ("guard_height", "opening_size", "gap_under_rail"):
        assert found(rule, bays=bays, flights=(flight(),)) == []
        assert found(rule, None, bays=bays, flights=(flight(),)) == []


@pytest.mark.parametrize(
    ("gap", "result"),
    [(3.9375, "pass"), (4.25, "pass"), (4.3125, "pass"), (4.375, "fail"), (4.5, "fail")],
    ids=["small", "case 9", "a sixteenth under", "the limit", "over"],
)
def test_irc_openings(gap: float, result: str) -> None:
    """IRC 2021 R312.1.3 exception 2: a 4 3/8 in sphere must not pass on the side of a stair."""
    bays = (raked_bay(pickets=pickets(gap, gap)),)
    findings = found("stair_opening_size", bays=bays, flights=(flight(),))
    assert [(f.result, f.limit, f.where) for f in findings] == [(result, 4.375, ("B1",))] * 2
    assert {f.cite for f in findings} == {"IRC 2021 R312.1.3, exc. 2"}


@pytest.mark.parametrize(("gap", "result"), [(99.0, "pass"), (100.0, "fail")])
def test_a_code_with_one_sphere(gap: float, result: str) -> None:
    """England has no sphere of its own for stairs, so that its 100 mm holds there too (3.3a)."""
    bays = (raked_bay(pickets=pickets(gap, gap)),)
    findings = found("stair_opening_size", ADK, unit="mm", bays=bays, flights=(flight(),))
    assert {(f.result, f.limit, f.cite) for f in findings} == {(result, 100.0, "AD K 2013, 3.3a")}


def test_glass_in_a_flight() -> None:
    """The gap beside a raked panel is measured horizontally: 4 1/2 in lets a 4 3/8 in sphere
    through."""
    panel = raked_bay(infill="glass", pickets=None, glass=glass(30.0, 28.0, 4.5))
    finding = only("stair_opening_size", bays=(panel,), flights=(flight(),))
    assert (finding.result, finding.actual) == ("fail", 4.5)
    assert "beside the glass" in finding.message


def test_the_level_bay_beside_keeps_its_own_sphere() -> None:
    """The same pickets at 4 1/4 in pass on the stair (case 9) and fail on the deck (case 8)."""
    wide = pickets(4.25, 4.25)
    parts = (bay(1, pickets=wide), raked_bay(2, pickets=wide))
    on_deck = found("opening_size", bays=parts, flights=(flight(),))
    assert {f.result for f in on_deck} == {"fail"}
    assert {f.where for f in on_deck} == {("B1",)}
    on_stair = found("stair_opening_size", bays=parts, flights=(flight(),))
    assert {f.result for f in on_stair} == {"pass"}


@pytest.mark.parametrize(
    ("lift", "diameter", "result"),
    [(0.0, 5.0, "pass"), (1.0, 5.6667, "pass"), (1.5, 6.0, "fail")],
    ids=["case 14", "case 15", "case 16, the limit"],
)
def test_irc_triangle(lift: float, diameter: float, result: str) -> None:
    """R 7.5, G 10: at no lift 5, then 5 x 6.8/6, then 5 x 7.2/6 = 6, which a 6 in sphere just
    passes."""
    circle = _triangle(7.5, 10.0, lift)
    assert circle == pytest.approx(diameter, abs=5e-5)
    finding = only("stair_triangle", flights=(flight(riser=7.5, going=10.0, triangle=circle),))
    assert (finding.result, finding.limit, finding.where) == (result, 6.0, ("front",))
    assert ("cures it" in finding.message) == (result == "fail")


def test_a_triangle_at_its_limit_reads_sensibly() -> None:
    """At exactly 6 in the message says that the sphere just passes, and what cures it."""
    message = only("stair_triangle", flights=(flight(triangle=6.0),)).message
    assert message == (
        'front: a sphere of up to 6" passes between riser, tread and bottom rail; a 6" sphere must '
        "not pass, and one just would; a lower rail, a filler or a closed string cures it "
        "(IRC 2021 R312.1.3, exc. 1)."
    )


@pytest.mark.parametrize(("diameter", "result"), [(99.999, "pass"), (100.0, "fail")])
def test_england_triangle_at_its_limit(diameter: float, result: str) -> None:
    """England allows no more in the triangle: a 100 mm sphere must not pass there either (1.39,
    3.3a)."""
    finding = only("stair_triangle", ADK, unit="mm", flights=(flight(triangle=diameter),))
    assert (finding.result, finding.limit) == (result, 100.0)


def test_case_24() -> None:
    """With R 200, G 280 and the rail on the nosing line the triangle fails: 200 + 280 - 344.093 =
    135.907 >= 100."""
    circle = _triangle(200.0, 280.0, 0.0)
    assert circle == pytest.approx(135.907, abs=5e-4)
    finding = only("stair_triangle", ADK, unit="mm", flights=(flight(triangle=circle),))
    assert (finding.result, finding.severity) == ("fail", "violation")


def test_no_triangle_where_a_code_looks_at_the_gap_under_the_rail_alone() -> None:
    """Under the NCC the space below the nosing line is no opening of a barrier (facts, 5.1), so
    that the triangle gives no finding."""
    gap = Figure(125.0, "less_than", "ABCB Housing Provisions 2022, 11.3.4(4)", "near")
    code = code_with(code_without(ADK, "stair_triangle_sphere"), stair_gap_sphere=gap)
    assert found("stair_triangle", code, unit="mm", flights=(flight(triangle=200.0),)) == []


def test_no_triangle_without_a_guard() -> None:
    """A flight without a guard has no bottom rail, and so no triangle."""
    assert found("stair_triangle", flights=(flight(guards=(), triangle=None),)) == []


LOW = Drops(28.0)
POOR = flight(drop=28.0, drops=LOW, height=30.0, triangle=8.0)


def test_guards_of_flights_that_are_not_required() -> None:
    """Check case 62 on a stair: at a drop of 28 in neither the IRC's height nor its openings
    bind."""
    bays = (raked_bay(pickets=pickets(6.0, 6.0), drops=LOW),)
    for rule in ("stair_guard_height", "stair_opening_size", "stair_triangle"):
        assert found(rule, bays=bays, flights=(POOR,)) == []


@pytest.mark.parametrize(("drops", "assumed"), [(HIGH, False), (Drops(), True)])
def test_what_lies_below_its_sides_makes_a_guard_required(drops: Drops, assumed: bool) -> None:
    """The drop at its sides makes a flight's guard required, whatever the drop at its foot; where
    that drop is not given the guard is taken as required."""
    parts: dict[str, Any] = {
        "bays": (raked_bay(pickets=pickets(6.0, 6.0), drops=drops),),
        "flights": (flight(drop=28.0, drops=drops, height=30.0, triangle=8.0),),
    }
    for rule in ("stair_guard_height", "stair_opening_size", "stair_triangle"):
        findings = found(rule, **parts)
        assert {f.result for f in findings} == {"fail"}
        assert {"no drop is given" in f.message for f in findings} == {assumed}


@pytest.mark.parametrize("rule", ["stair_guard_height", "stair_opening_size", "stair_triangle"])
def test_without_a_code(rule: str) -> None:
    """Without a code each rule gives one not_checked, which asks for a code."""
    finding = only(rule, None, bays=(raked_bay(),), flights=(flight(),))
    assert (finding.result, finding.severity, finding.limit) == ("not_checked", "note", None)
    assert finding.message.endswith("name a code to have it checked.")


def test_an_amended_height_of_the_stair() -> None:
    """The local 36 in holds in place of the code's 34, and the finding is marked as amended."""
    code = code_with(IRC, guard_height_stair=amended(IRC.figures["guard_height_stair"], 36.0))
    finding = only("stair_guard_height", code, flights=(flight(),))
    assert (finding.result, finding.amended, finding.published) == ("fail", True, 34.0)


@pytest.mark.parametrize(
    ("drop", "below", "over"),
    [(49.0, 72.0, None), (49.0, 72.0625, "2' 6 1/16\""), (None, 90.0, "4'"), (100.0, 100.0, None)],
    ids=["30 left", "over 30 left", "no drop at its foot", "a rise that misses its drop"],
)
def test_past_a_foot_post_on_the_lowest_tread(
    drop: float | None, below: float, over: str | None
) -> None:
    """What a foot post on the lowest tread leaves of it is judged where a guard is required there.

    Six risers of 7 down, that tread lies 42 below the deck. A guard is required over more than 30
    (IRC 2021 R312.1.1), and a sphere of 4 3/8 just passes 4 3/8. Where the rise of 49 misses a drop
    of 100, the tread is taken to lie one riser, 7, over the ground, as the miss is for
    riser_evenness.
    """
    told = found(
        "stair_opening_size", flights=(flight(drop=drop, drops=Drops(below), past_foot=4.375),)
    )
    assert [f.result for f in told] == ([] if over is None else ["fail"])
    assert all(
        f"past the foot post of the lowest tread, {over} over what" in f.message for f in told
    )
    assert all("foot posts past the lowest riser cure it" in f.message for f in told)


def test_past_a_foot_post_where_no_guard_is_required_nothing_is_told() -> None:
    """Where the fall past the foot post requires no guard there is no finding, even if the code's
    figures bind all guards, as no guard stands there: 90 - 42 = 48 are over 30 and 72 - 42 = 30 are
    not."""
    every = Figure("all guards", "binds", "Town bylaw 9", "seen")
    code = code_with(IRC, geometry_applies_to=every)
    for below, results in ((90.0, ["fail"]), (72.0, [])):
        past = flight(drops=Drops(below), past_foot=4.375)
        assert [f.result for f in found("stair_opening_size", code, flights=(past,))] == results


def test_little_past_a_foot_post_needs_no_cure() -> None:
    """An opening of 4 1/4, which a sphere of 4 3/8 does not pass, needs no cure."""
    finding = only("stair_opening_size", flights=(flight(drops=Drops(90.0), past_foot=4.25),))
    assert (finding.result, finding.actual) == ("pass", 4.25)
    assert "cure" not in finding.message


@pytest.mark.parametrize(("clear", "result"), [(4.25, "pass"), (4.375, "fail")])
def test_a_small_stretch_of_a_flight(clear: float, result: str) -> None:
    """A stretch of a flight that stays unrailed is judged by the sphere of stairs, 4 3/8 in."""
    run = Run("R3", "main", 0, "P1", "P2", 10.0, (0.0, 10.0), ((0.0, 0.0), (0.0, -10.0)), "front")
    finding = only(
        "bay_size", runs=(run,), small_stretches=(SmallStretchSeen("R3", clear, clear, HIGH),)
    )
    assert (finding.result, finding.actual) == (result, clear)
    assert "(IRC 2021 R312.1.3, exc. 2)" in finding.message


def test_a_small_stretch_of_the_deck_beside_keeps_its_own_sphere() -> None:
    """The same stretch of 4 1/4 in on the deck fails, as a 4 in sphere passes it (R312.1.3)."""
    run = Run("R3", "main", 0, "P1", "P2", 10.0, (0.0, 10.0), ((0.0, 0.0), (0.0, -10.0)), None)
    small = SmallStretchSeen("R3", 4.25, 4.25, HIGH)
    assert only("bay_size", runs=(run,), small_stretches=(small,)).result == "fail"


@pytest.mark.parametrize(
    ("risers", "hands", "result"),
    [
        (3, (), "pass"),
        (4, (), "fail"),
        (4, ("left",), "pass"),
        (7, (), "fail"),
        (7, ("right",), "pass"),
        (7, ("left", "right"), "pass"),
    ],
    ids=["case 19", "the limit", "four with one", "case 18", "seven with one", "both"],
)
def test_irc_handrail(risers: int, hands: tuple[Hand, ...], result: str) -> None:
    """IRC 2021 R311.7.8: a flight of 4 risers or more has a handrail on at least one side."""
    rails = tuple(handrail(hand) for hand in hands)
    finding = only("handrail_required", flights=(flight(risers=risers, handrails=rails),))
    assert (finding.result, finding.limit, finding.actual) == (result, 4.0, risers)
    assert finding.cite == "IRC 2021 R311.7.8"


@pytest.mark.parametrize(
    ("hands", "words"),
    [(("right",), "a handrail on the right,"), (("left", "right"), "a handrail on both sides,")],
)
def test_handrails_are_told_by_their_sides(hands: tuple[Hand, ...], words: str) -> None:
    """The message names the side of a single handrail, or both sides."""
    rails = tuple(handrail(hand) for hand in hands)
    assert words in only("handrail_required", flights=(flight(handrails=rails),)).message


def test_a_missing_handrail_reads_as_said_to_a_customer() -> None:
    """The message counts risers, and never writes a count as a length."""
    finding = only("handrail_required", flights=(flight(handrails=()),))
    assert finding.message == (
        "front: no handrail, at 7 risers; one is required from 4 risers (IRC 2021 R311.7.8)."
    )
    code = code_with(
        IRC, handrail_required_risers=amended(IRC.figures["handrail_required_risers"], 2.0)
    )
    local = only("handrail_required", code, flights=(flight(handrails=()),)).message
    assert "from 2 risers (the local authority's figure; the code prints 4, IRC" in local


@pytest.mark.parametrize(
    ("width", "hands", "result", "limit"),
    [
        (999.0, (), "fail", 1.0),
        (999.0, ("left",), "pass", 1.0),
        (1000.0, ("left",), "fail", 1000.0),
        (1000.0, ("left", "right"), "pass", 1000.0),
        (1200.0, (), "fail", 1000.0),
    ],
)
def test_england_handrails(
    width: float, hands: tuple[Hand, ...], result: str, limit: float
) -> None:
    """AD K 1.34 as digested: every flight has a handrail on one side, and on both from 1 000 mm of
    width."""
    rails = tuple(handrail(hand, 950.0) for hand in hands)
    flights = (flight(clear_width=width, handrails=rails),)
    finding = only("handrail_required", ADK, unit="mm", flights=flights)
    assert (finding.result, finding.limit) == (result, limit)
    words = "both sides need one from a width of 1000 mm"
    assert (words in finding.message) == (limit == 1000)


@pytest.mark.parametrize(("risers", "result"), [(3, "pass"), (4, "fail")])
def test_nbc_handrail(risers: int, result: str) -> None:
    """Check case 39, NBC 9.8.7.1: a flight of more than 3 risers needs a handrail."""
    more = Figure(3.0, "more_than", "NBC 2020 9.8.7.1", "near")
    code = code_with(ADK, handrail_required_risers=more)
    finding = only(
        "handrail_required", code, unit="mm", flights=(flight(risers=risers, handrails=()),)
    )
    assert finding.result == result
    assert "one is required over 3 risers" in finding.message


@pytest.mark.parametrize(
    ("reads", "rise", "result", "words"),
    [
        ("at_least", 999.0, "pass", "one is required from a rise of 1000 mm"),
        ("at_least", 1000.0, "fail", "one is required from 1 riser"),
        ("more_than", 1000.0, "pass", "one is required over a rise of 1000 mm"),
        ("more_than", 1001.0, "fail", "one is required from 1 riser"),
    ],
)
def test_a_low_rise_needs_no_handrail(reads: Reads, rise: float, result: str, words: str) -> None:
    """No handrail is required where the level changes by less than 1 m (facts, 5.3, from
    memory)."""
    low = Figure(1000.0, reads, "ABCB Housing Provisions 2022, 11.3.5", "memory")
    code = code_with(ADK, handrail_required_rise=low)
    finding = only("handrail_required", code, unit="mm", flights=(flight(rise=rise, handrails=()),))
    assert finding.result == result
    assert words in finding.message


@pytest.mark.parametrize(
    ("width", "result", "words"),
    [
        (1100.0, "pass", "one is required from 1 riser"),
        (1101.0, "fail", "both sides need one over a width of 1100 mm"),
    ],
)
def test_a_width_beyond_which_both_sides_need_a_handrail(
    width: float, result: str, words: str
) -> None:
    """A code may ask for handrails on both sides above its figure of width, as well as from that
    figure."""
    wide = Figure(1100.0, "more_than", "Town bylaw 5", "seen")
    code = code_with(ADK, handrail_both_sides_width=wide)
    finding = only("handrail_required", code, unit="mm", flights=(flight(clear_width=width),))
    assert finding.result == result
    assert words in finding.message


@pytest.mark.parametrize(
    ("sides", "hands", "result", "limit"),
    [
        (2.0, (), "fail", 2.0),
        (2.0, ("left",), "fail", 2.0),
        (2.0, ("left", "right"), "pass", 4.0),
        (1.0, (), "fail", 4.0),
        (1.0, ("left",), "pass", 4.0),
    ],
)
def test_how_many_sides_need_a_handrail(
    sides: float, hands: tuple[Hand, ...], result: str, limit: float
) -> None:
    """IBC 2021 1011.11 asks for handrails on both sides, but for one in a dwelling; here from 4
    risers."""
    asked = Figure(sides, "at_least", "IBC 2021 1011.11", "near")
    rails = tuple(handrail(hand) for hand in hands)
    code = code_with(IRC, handrail_sides=asked)
    finding = only("handrail_required", code, flights=(flight(handrails=rails),))
    assert (finding.result, finding.limit) == (result, limit)
    assert ("and on both sides (IBC" in finding.message) == (limit == 2)


def test_a_handrail_beside_a_single_riser() -> None:
    """A flight of one riser has a slope of no length, so that no handrail is laid out; where one is
    required it is not checked and left to the site."""
    one = flight(rise=170.0, risers=1, riser=170.0, handrails=())
    finding = only("handrail_required", ADK, unit="mm", flights=(one,))
    assert finding.result == "not_checked"
    assert only("handrail_required", IRC, flights=(one,)).result == "pass"


@pytest.mark.parametrize(
    ("height", "results"),
    [
        (33.9375, ["fail", "pass"]),
        (34.0, ["pass", "pass"]),
        (36.0, ["pass", "pass"]),
        (38.0, ["pass", "pass"]),
        (39.0, ["fail", "pass"]),
    ],
    ids=["under", "the least", "between", "the greatest", "over"],
)
def test_irc_handrail_height(height: float, results: list[str]) -> None:
    """IRC 2021 R311.7.8.1: a handrail is 34 to 38 in above the nosings, both included."""
    rails = (handrail("left", height), handrail("right", height))
    findings = found("handrail_height", flights=(flight(handrails=rails),))
    assert [f.result for f in findings] == results
    assert {f.limit for f in findings} == {34.0, 38.0}
    assert {f.where for f in findings} == {("front",)}
    broken = [f.limit for f in findings if f.result == "fail"]
    assert broken == ([34.0] if height < 34 else [38.0] if height > 38 else [])


def test_no_handrail_no_height() -> None:
    """A flight without a handrail gives no finding of its height, with or without a code."""
    assert found("handrail_height", flights=(flight(handrails=()),)) == []
    assert found("handrail_height", None, flights=(flight(handrails=()),)) == []


@pytest.mark.parametrize(
    ("rule", "figure"),
    [
        ("handrail_required", "handrail_required_risers"),
        ("stair_guard_height", "guard_height_stair"),
        ("stair_triangle", "stair_triangle_sphere"),
    ],
)
def test_without_the_figure(rule: str, figure: str) -> None:
    """Where the code lacks the rule's figure, one not_checked names the figure, for all flights
    together."""
    flights = (flight(), flight(id="back"))
    finding = only(rule, code_without(IRC, figure), flights=flights)
    assert (finding.result, finding.where) == ("not_checked", ("front", "back"))
    assert f"us-irc-2021 states no {figure}" in finding.message


def test_a_foothold_over_the_nosings() -> None:
    """The top of a raked bottom rail is taken plumb above the nosings. On 7 in and 10.5 in a rail
    1.5 deep, square to its length, is 1.5 x sqrt(7^2 + 10.5^2)/10.5 = 1.802776 plumb, over a gap of
    0.75: 2.552776."""
    for limit, result in ((2.552, "fail"), (2.553, "pass")):
        zone = code_with(IRC, climb_zone_from=Figure(limit, "less_than", "invented", "seen"))
        finding = only("climbable", zone, bays=(raked_bay(),), flights=(flight(),))
        assert finding.result == result
        assert finding.actual == pytest.approx(2.552776, abs=1e-6)
        assert "above the nosings" in finding.message
