"""What holds for all findings together: the table, the grouping, the order, the words."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import pytest

from service.core.records.code import Code, Figure
from service.core.records.deck import Deck, Drops, Edge
from service.core.records.figures import FIGURES, LEFT, Reads
from service.core.records.layout import Layout, Run
from service.core.records.orders import Piece, SticksSeen
from service.core.records.seen import (
    ArcSeen,
    BaseSeen,
    ClashSeen,
    ClosureSeen,
    GapSeen,
    HeadSeen,
    LandingSeen,
    LowHoldSeen,
    MeasureSeen,
    SeatSeen,
    SizeSeen,
    SmallStretchSeen,
    StandInSeen,
    TieSeen,
    WallEndSeen,
    WaySeen,
)
from service.rules.finding import Finding
from service.rules.job import Job
from service.rules.judge import CHECKS, judge
from service.rules.table import RULES
from service.rules.words import MOST_NAMED, places_text

from .small import (
    ADK,
    HIGH,
    IRC,
    amended,
    bay,
    code_with,
    deck,
    edge,
    flight,
    found,
    gate,
    glass,
    glass_bay,
    kit,
    layout,
    only,
    opening,
    pickets,
    post,
    raked_bay,
)
from .strong import strong_kit

ALONG = ((0.0, 0.0), (58.0, 0.0))
EVERYTHING = layout(
    posts=(post(1), post(2, 48.0, None)),
    bays=(
        bay(1, measured=True, clear=55.0, wider=1.0),
        bay(2, height=30.0, pickets=pickets(4.5, 4.5), weep_complete=False, centres=80.0),
        bay(3, ends=("swivel", "socket"), skews=(70.0, 0.0), start="P2", drops=Drops()),
        glass_bay(4, glass(60.0, 45.0, 5.0)),
        bay(6, drops=Drops(10.0), end=None, ends=("socket", "swivel"), skews=(0.0, 45.0)),
        raked_bay(5, pickets=pickets(4.5, 4.25)),
    ),
    runs=(Run("R1", "main", 0, "P6", None, 58.0, (0.0, 58.0), ALONG, oblique_walls=(False, True)),),
    flights=(
        flight(drop=None, to_level="lower", foot_off=30.0),
        flight(id="back", drop=None, handrails=(), triangle=7.0, to_level="lower", foot_off=0.0),
    ),
    gates=(gate(), gate(place="main/side", width=50.0, opens="out", hits=("P2",))),
    heads=(HeadSeen("front", "P1", 36.0, 38.0),),
    arcs=(ArcSeen("R1", 0.5, 1.25), ArcSeen("R2", 3.0, 1.25)),
    ways=(
        WaySeen("rail", "R1", ("column",)),
        WaySeen("post", "P2"),
        WaySeen("way", "front", ("R9", "P9"), ("tree",)),
        WaySeen("way", "back"),
    ),
    measures=(MeasureSeen("B1", "R1", 55.0, 56.0, 55.5),),
    openings=(opening("passage"),),
    edges=(edge(0), edge(1, "open"), edge(2, "open", Drops()), edge(3, "open", Drops(10.0))),
    closures=(ClosureSeen("main", 5.0, 768.0),),
    ties=(TieSeen("main", 0, 20.0), TieSeen("main", 1, 50.0)),
    level_guards=(edge(1, "guard", Drops(0.0)),),
    odd_sizes=(SizeSeen("main", 240.0, 864.0),),
    bases=(BaseSeen("P1", 0.0), BaseSeen("P2", 0.5)),
    clashes=(ClashSeen(("P1", "P2"), 0.25),),
    gaps=(GapSeen("wall", ("P1",), 5.0, HIGH),),
    small_stretches=(
        SmallStretchSeen("R1", 5.0, 5.0, HIGH),
        SmallStretchSeen("R2", 3.0, 3.0, HIGH),
    ),
    low_holds=(LowHoldSeen("main/edge 0", "planter", 36.0, 18.0),),
    stand_ins=(StandInSeen("main/edge 0", "planter", 48.0, HIGH, 48.0, 18.0),),
    seats=(SeatSeen("B1", "planter", 18.0),),
    landings=(LandingSeen("front", "main", "head", 144.0, 144.0),),
    wall_ends=(WallEndSeen("main", 1, False, ((120.0, 0.0), (120.0, -3.5))),),
)
STICKS = (
    SticksSeen("top_rail_picket", 191.5, 55.5, ()),
    SticksSeen("bottom_rail_picket", 95.5, 55.5, (Piece("x", 100.0, 2, (90.0, 90.0), ("B2",)),)),
)
"""A layout, and what its order shows, on which every rule has a finding, good or bad."""
THICK = 13.0
"""A rim for EVERYTHING that is thicker than any timber."""
ADDED: tuple[tuple[str, float | str, Reads], ...] = (
    ("pitch_max", 42.0, "at_most"),
    ("risers_and_going_max", 25.0, "at_most"),
    ("opening_sphere_upper", 4.375, "less_than"),
    ("opening_not_required_guard", 4.0, "less_than"),
    ("stair_gap_sphere", 5.0, "less_than"),
    ("climb_zone_from", 5.5, "less_than"),
    ("nosing_max", 1.25, "at_most"),
    ("flight_rise_max", 151.0, "at_most"),
    ("flight_risers_max", 18.0, "at_most"),
    ("landing_depth", 36.0, "at_least"),
    ("handrail_grip_max", 2.0, "at_most"),
    ("handrail_extension_top", 12.0, "at_least"),
    ("glass_make", "safety", "binds"),
    ("glass_top_rail", "required", "binds"),
    ("glass_thickness_min", 0.25, "at_least"),
)
FULL = code_with(
    IRC,
    **{
        name: Figure(value, reads, "IRC 2021 R31, as a town adds to it", "seen")
        for name, value, reads in ADDED
    },
)
"""The IRC with figures of other codes, which it does not state itself."""
CODES = [FULL, None, code_with(FULL, guard_height=amended(IRC.figures["guard_height"], 42.0))]


@pytest.fixture(params=CODES, ids=["irc", "no code", "amended"])
def everything(request: pytest.FixtureRequest) -> tuple[Finding, ...]:
    """Every finding on EVERYTHING."""
    code: Code | None = request.param
    return judge(EVERYTHING, _sent(), kit(), code, STICKS)


def _sent() -> Deck:
    """The deck of EVERYTHING: its rim is too thick, and a height is asked for along a wall."""
    sent = deck(rim_width=THICK)
    (level,) = sent.levels
    idle = Edge(2, "/levels/0/edges/0", condition="wall", height=42.0)
    return replace(sent, levels=(replace(level, edges=(idle,)),))


def test_every_figure_of_the_vocabulary_is_read_by_a_rule() -> None:
    """Every figure of the vocabulary is read by a rule, or `coverage` says why no document can be
    judged by it; and rules read no figure outside the vocabulary."""
    read = {figure for rule in RULES.values() for figure in rule.figures}
    assert read | set(LEFT) == set(FIGURES), (
        "name each figure in the row of the rule that reads it (service/rules/table), or put it "
        "into LEFT of core/records/figures.py with the reason"
    )
    assert read & set(LEFT) == set()


def test_every_rule_has_its_check() -> None:
    """The table that the documentation is made from has a row for each check, and no more."""
    assert sorted(CHECKS) == sorted(RULES), (
        "a rule has a row in service/rules/table and a check in CHECKS of service/rules/judge.py"
    )


def test_every_rule_is_told_in_one_sentence() -> None:
    """Each rule of the table is described in one sentence."""
    told = [rule.description for rule in RULES.values()]
    assert [text for text in told if not text.endswith(".") or ". " in text] == []


def test_every_rule_speaks_and_only_rules_of_the_table(everything: tuple[Finding, ...]) -> None:
    """On EVERYTHING each rule of the table gives a finding, with or without a code, and no other
    rule does."""
    assert {finding.rule for finding in everything} == set(RULES), (
        "give each rule something to say of EVERYTHING, of its deck() or of its kit()"
    )
    assert all(finding.source == RULES[finding.rule].source for finding in everything)


CASES = Path(__file__).parents[1] / "cases"


def test_every_rule_is_asked_for_by_name() -> None:
    """Each rule has a case or a test of its own, beside EVERYTHING, which only makes sure that it
    gives a finding."""
    expected = {
        finding.get("rule")
        for path in CASES.rglob("*.json")
        for finding in json.loads(path.read_text("utf-8")).get("findings", ())
    }
    tests = set(Path(__file__).parent.glob("test_*.py")) - {Path(__file__)}
    named = {name for path in tests for name in re.findall(r'"(\w+)"', path.read_text("utf-8"))}
    assert set(RULES) - expected - named == set(), (
        "give each rule a case in tests/cases whose findings name it, or a test of its own here"
    )


def test_a_check_speaks_for_its_own_rule() -> None:
    """No check gives a finding of another rule."""
    job = Job(EVERYTHING, _sent(), kit(), FULL, STICKS)
    for rule, check in CHECKS.items():
        assert {finding.rule for finding, _ in check(job)} == {rule}


def test_a_rule_reads_no_figure_that_its_row_does_not_name(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The published row of a rule names every figure that the rule reads. The checks of strength
    read every load at once, so that for these the figures named in their findings are held against
    the row."""
    code = code_with(
        FULL,
        **{
            name: Figure(value, "binds", name, "seen")
            for name, value in (
                *(("guard_line_load", 50.0), ("guard_vertical_load", 40.0)),
                *(("infill_pressure", 25.0), ("handrail_line_load", 50.0)),
                *(("loads_concur", "together"), ("guard_deflection", 1.0)),
                *(("infill_load_side", 12.0), ("guard_point_load", 200.0)),
            )
        },
    )
    named_all = {name: replace(figure, name=name) for name, figure in code.figures.items()}
    code = replace(code, figures=named_all)
    read: set[str] = set()
    plain = Code.figure

    def noted(self: Code, name: str) -> Figure | None:
        read.add(name)
        return plain(self, name)

    monkeypatch.setattr(Code, "figure", noted)
    for rule, check in CHECKS.items():
        read.clear()
        job = Job(EVERYTHING, deck(), strong_kit(), code, STICKS)
        named = {figure for finding, _ in check(job) for figure in finding.figures}
        seen = named if rule.startswith("strength_") else named | read
        assert seen - set(RULES[rule].figures) == set(), f"name them in the row of {rule}"


def test_no_finding_takes_the_authoritys_part(everything: tuple[Finding, ...]) -> None:
    """No finding says that a deck complies, is approved or certified."""
    text = " ".join(finding.message for finding in everything).lower()
    assert [word for word in ("compl", "approv", "certif", "guarantee") if word in text] == []


def test_order_and_severity(everything: tuple[Finding, ...]) -> None:
    """Findings come as violations, warnings, not checked, passes; within each in the order of the
    rules."""
    ranks = [("fail", "violation"), ("fail", "warning"), ("not_checked", "note"), ("pass", "note")]
    names = list(CHECKS)
    keys = [
        (ranks.index((finding.result, finding.severity)), names.index(finding.rule))
        for finding in everything
    ]
    assert keys == sorted(keys)


def test_every_finding_has_a_place_and_a_sentence(everything: tuple[Finding, ...]) -> None:
    """`where` is never empty and has no place twice; the message ends with one full stop."""
    for finding in everything:
        assert finding.where
        assert len(set(finding.where)) == len(finding.where)
        assert finding.message.endswith(".")
        assert not finding.message.endswith("..")


def test_these_rules_alone_name_whole_levels(everything: tuple[Finding, ...]) -> None:
    """A level and a flight may have one id; these rules then name the level as one."""
    levels = {level.id for level in deck().levels}
    assert {finding.rule for finding in everything if levels & set(finding.where)} == {
        "walk_closure",
        "deck_size",
        "framing_size",
        "fixing_into_framing",
    }


def test_findings_by_a_code_cite_a_clause() -> None:
    """A finding by a code names the clause of the figure, in its cite and in its message."""
    for finding in judge(EVERYTHING, deck(), kit(), FULL, STICKS):
        if finding.source == "code":
            assert finding.cite.startswith("IRC 2021 R31")
            assert finding.cite in finding.message


def test_without_a_code_each_code_rule_says_so_once() -> None:
    """Without a code each rule by a code gives one not_checked, and no verdict."""
    findings = [f for f in judge(EVERYTHING, deck(), kit(), None, STICKS) if f.source == "code"]
    assert sorted(finding.rule for finding in findings) == sorted(
        rule for rule, row in RULES.items() if row.source == "code"
    )
    assert {(finding.result, finding.severity) for finding in findings} == {("not_checked", "note")}


def test_an_empty_layout_has_no_findings() -> None:
    """A rule with nothing to look at gives no finding."""
    assert judge(layout(), deck(), kit(), IRC) == ()
    assert judge(layout(), deck(), kit(), None) == ()


def test_alike_findings_are_one_with_all_places_in_layout_order() -> None:
    """Bays with the same gap over different drops share a finding; a bay with another gap has its
    own."""
    bays = tuple(
        bay(number, drops=Drops(48.0 + number % 2), pickets=pickets(4.25, 3.5))
        for number in range(1, 5)
    ) + (bay(5, pickets=pickets(4.5, 3.5)), bay(6, pickets=pickets(4.25, 3.5)))
    fails = [f for f in found("opening_size", bays=bays) if f.result == "fail"]
    assert [finding.where for finding in fails] == [("B1", "B2", "B3", "B4", "B6"), ("B5",)]
    assert fails[0].message.startswith('B1 to B4, B6: the gap between pickets is 4 1/4"')


def test_arithmetic_dust_does_not_split_a_group() -> None:
    """Gaps that differ only by the rounding of floating point, as 0.1 + 0.2 and 0.3 do, share a
    finding."""
    bays = (bay(1, pickets=pickets(3.1 + 0.2, 3.0)), bay(2, pickets=pickets(3.3, 3.0)))
    assert [f.where for f in found("opening_size", bays=bays)] == [("B1", "B2"), ("B1", "B2")]


def test_a_long_list_of_places_is_cut_in_the_message_alone() -> None:
    """Where every second bay of 200 fails, the message names the first of them and counts the rest,
    while `where` names all."""
    bays = tuple(bay(n, height=30.0 if n % 2 else 36.0) for n in range(1, 201))
    fail = next(f for f in found("guard_height", bays=bays) if f.result == "fail")
    assert len(fail.where) == 100
    assert f" and {100 - MOST_NAMED} more: " in fail.message


def test_places_of_different_levels_are_not_drawn_together() -> None:
    """Places are drawn together as a range only within one level."""
    places = [("low/edge 0",), ("low/edge 1",), ("high/edge 2",), ("high/edge 3",)]
    assert places_text(places) == "low/edge 0, low/edge 1, high/edge 2, high/edge 3"


def test_callers_names_are_not_taken_for_numbers() -> None:
    """Openings that a caller has numbered are listed by their names, not as a range."""
    places = [("main/steps1",), ("main/steps2",), ("main/steps3",)]
    assert places_text(places) == "main/steps1, main/steps2, main/steps3"


def test_the_shipped_codes_state_these_figures() -> None:
    """The figures that these tests write out are those of the shipped documents, with their reading
    and their basis; the tests have none that is not shipped."""
    for code in (IRC, ADK):
        path = Path(__file__).parents[2] / "service" / "data" / "codes" / f"{code.id}.json"
        shipped = json.loads(path.read_text("utf-8"))["figures"]
        for name, figure in code.figures.items():
            if figure.cite == "invented":
                continue
            told = tuple(shipped[name][member] for member in ("value", "reads", "basis"))
            assert told == (figure.value, figure.reads, figure.basis)


def test_nothing_amended_nothing_marked() -> None:
    """Without an amendment no finding is marked, and none has a published figure."""
    findings = judge(EVERYTHING, deck(), kit(), IRC, STICKS)
    assert not any(finding.amended for finding in findings)
    assert {finding.published for finding in findings} == {None}


def test_a_millimetre_document_reads_in_millimetres() -> None:
    """In a document in millimetres a kit's 69 in is 1752.6 mm, off the marks, and is written so."""
    metric = replace(kit(), max_centres={"picket": 69 * 25.4})
    finding = only("post_spacing", None, metric, "mm", bays=(bay(centres=1752.0),))
    assert finding.message == (
        "B1: posts with picket infill stand at most 1752 mm apart, centre to centre; "
        "the kit allows at most 1752.6 mm."
    )


def test_the_verdicts_do_not_depend_on_the_order_of_bays() -> None:
    """The same bays in reverse give the same findings, apart from the order of places."""
    backwards: Layout = replace(EVERYTHING, bays=EVERYTHING.bays[::-1])
    one, other = (judge(part, deck(), kit(), IRC, STICKS) for part in (EVERYTHING, backwards))
    bare = [
        {(f.rule, f.result, f.limit, f.actual, frozenset(f.where)) for f in findings}
        for findings in (one, other)
    ]
    assert bare[0] == bare[1]


def test_a_way_that_is_met_or_in_doubt_is_not_said_to_be_clear() -> None:
    """Of three flights only the one with a free way passes: in one a post stands, in another a tree
    of unknown height."""
    ways = (
        WaySeen("way", "front", ("P9",)),
        WaySeen("way", "side", (), ("tree",)),
        WaySeen("way", "back"),
    )
    told = {finding.where: finding.result for finding in found("flight_clear", ways=ways)}
    assert told == {("front",): "fail", ("side",): "fail", ("back",): "pass"}


def test_a_handrail_is_not_held_to_a_grip_that_the_code_does_not_state() -> None:
    """A code that states no grip, as the IRC 2021 in `small` by the code facts, gives no finding of
    it."""
    assert found("handrail_grip", with_kit=kit(), flights=(flight(),)) == []
