"""Where a guard must stand. Check cases: section 9 of the code facts, IRC 1 and 2."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from service.core.records.code import Code, Figure, When
from service.core.records.deck import Drops
from service.core.records.seen import FootSeen, StandInSeen

from .small import (
    ADK,
    HIGH,
    IRC,
    amended,
    code_with,
    code_without,
    edge,
    flight,
    found,
    only,
    opening,
)


@pytest.mark.parametrize(
    ("drop", "result"),
    [(29.9, "pass"), (30.0, "pass"), (30.0625, "fail"), (33.0, "fail")],
    ids=["case 1", "case 2, the limit", "a sixteenth over", "case 3, the worst drop given"],
)
def test_irc_open_edge(drop: float, result: str) -> None:
    """IRC 2021 R312.1.1: a guard is required at a drop of more than 30 in, not at 30 in itself."""
    finding = only("guard_required", edges=(edge(2, "open", Drops(drop)),))
    assert (finding.result, finding.limit, finding.actual) == (result, 30.0, drop)
    assert finding.severity == ("violation" if result == "fail" else "note")
    assert (finding.where, finding.cite) == (("main/edge 2",), "IRC 2021 R312.1.1")


@pytest.mark.parametrize(
    ("left", "result", "told"),
    [
        (0.0, "pass", "flights a and b, which leave nothing of it open; see that"),
        (3.9375, "pass", 'flights a and b, which leave up to 3 15/16" of it open; a 4"'),
        (4.0, "fail", 'flights a and b, which leave up to 4" of it open; a 4" sphere must not'),
    ],
    ids=["all of it", "a sixteenth under the sphere", "the sphere"],
)
def test_an_edge_that_flights_come_down_to(left: float, result: str, told: str) -> None:
    """Of an edge that flights come down to, only what they leave open counts, against the code's
    sphere."""
    feet = (FootSeen("main/edge 2", ("a", "b"), left),)
    finding = only("guard_required", edges=(edge(2, "open"),), feet=feet)
    assert finding.result == result
    assert told in finding.message


def test_a_foot_where_the_code_has_no_sphere() -> None:
    """Where the code has no sphere nothing says how much may stay open beside a flight, so that the
    edge passes only if the flights take up all of it."""
    code = code_without(IRC, "opening_sphere")
    for left, result in ((0.0, "pass"), (0.5, "fail")):
        feet = (FootSeen("main/edge 2", ("a",), left),)
        finding = only("guard_required", code, edges=(edge(2, "open"),), feet=feet)
        assert finding.result == result
    assert 'which leaves up to 1/2" of it open; to close that, put a railing' in finding.message


def test_a_sphere_that_hangs_on_what_is_not_given_beside_a_foot() -> None:
    """Of a code whose sphere is 8 in, and 4 for more than 50 people, nobody knows which
    holds beside a foot that leaves 5 in: the sphere is no figure that decided."""
    many = When("occupants", 50.0, 4.0, "3")
    sphere = Figure(8.0, "less_than", "2", "seen", (many,))
    code = code_with(IRC, opening_sphere=sphere)
    feet = (FootSeen("main/edge 2", ("a",), 5.0),)
    finding = only("guard_required", code, edges=(edge(2, "open"),), feet=feet)
    assert (finding.result, "opening_sphere" in finding.figures) == ("fail", False)
    assert 'leaves up to 5" of it open; to close that' in finding.message


def test_an_amended_sphere_beside_a_foot() -> None:
    """The figure that says how much a flight may leave open decides as well, so that the finding
    says where it is amended: 3 1/2 in passes at 4 in, and fails at 3 in."""
    code = code_with(IRC, opening_sphere=amended(IRC.figures["opening_sphere"], 3.0))
    feet = (FootSeen("main/passage", ("a", "b"), 3.5),)
    finding = only("guard_required", code, openings=(opening("passage"),), feet=feet)
    assert (finding.result, finding.amended, finding.limit) == ("fail", True, 30.0)
    assert (
        "to close that, bring the flights nearer to each other and to the ends of the passage, or "
        "give each flight a passage of its own; a guard is required" in finding.message
    )


@pytest.mark.parametrize(("drop", "result"), [(600.0, "pass"), (601.0, "fail")])
def test_england_open_edge(drop: float, result: str) -> None:
    """Approved Document K, 1.41: a guard is required at a drop of more than 600 mm."""
    finding = only("guard_required", ADK, unit="mm", edges=(edge(0, "open", Drops(drop)),))
    assert (finding.result, finding.limit) == (result, 600.0)


@pytest.mark.parametrize(("drop", "result"), [(999.0, "pass"), (1000.0, "fail")])
def test_a_code_that_asks_at_the_figure(drop: float, result: str) -> None:
    """Check cases 41 and 42 (Australia): "1 m or more", so that 1 000 mm itself requires a
    guard."""
    figure = Figure(1000.0, "at_least", "NCC 2022 H5P1", "seen")
    code = code_with(ADK, guard_required_drop=figure)
    finding = only("guard_required", code, unit="mm", edges=(edge(0, "open", Drops(drop)),))
    assert finding.result == result
    assert "at a drop of 1000 mm or more" in finding.message


@pytest.mark.parametrize(
    ("length", "drop", "told"),
    [
        (48.0, Drops(48.0), 1),
        (48.0, Drops(), 1),  # it may be over 30
        (48.0, Drops(30.0), 0),
        (3.9375, Drops(48.0), 0),  # R312.1.3: a 4 in sphere would not pass
        (4.0, Drops(48.0), 1),
    ],
)
def test_what_stands_in_the_railings_place_is_to_be_seen_to(
    length: float, drop: Drops, told: int
) -> None:
    """An obstruction in the railing's place, of a height that is not given, is not checked: a guard
    may be required there, and the code's sphere would pass along its length."""
    seen = StandInSeen("main/edge 0", "planter", length, drop, length)
    findings = found("guard_required", edges=(edge(0, "guard", drop),), stand_ins=(seen,))
    assert len([f for f in findings if f.result == "not_checked"]) == told
    assert [f.result for f in findings if "guarded" in f.message] == ["pass"]


@pytest.mark.parametrize(
    ("between", "named"),
    [
        ((), 'taken by corner column along 6", over'),
        (("column",), 'taken by corner column and column along 6" each, over'),
        (
            ("column", "column 2"),
            'taken by corner column, column and column 2 along 6" each, over',
        ),
    ],
)
def test_columns_in_the_railings_place_are_one_thing_to_see_to(
    between: tuple[str, ...], named: str
) -> None:
    """Columns over one drop share a finding, in which a column at a corner, seen from two edges, is
    named once."""
    columns = [(0, name) for name in ("corner column", *between)] + [(3, "corner column")]
    finding = only(
        "guard_required",
        stand_ins=tuple(
            StandInSeen(f"main/edge {edge_number}", name, 6.0, Drops(48.0), 6.0)
            for edge_number, name in columns
        ),
    )
    assert finding.where == ("main/edge 0", "main/edge 3")
    assert named in finding.message


def test_columns_of_several_widths_are_told_from_the_least_to_the_greatest() -> None:
    """Columns that take up 8, 6 and 9 in of the railing's place are given as 6 to 9 in."""
    columns = [("one", 8.0), ("two", 6.0), ("three", 9.0)]
    seen = tuple(StandInSeen("main/edge 0", name, wide, HIGH, wide) for name, wide in columns)
    finding = only("guard_required", stand_ins=seen)
    assert 'taken by one, two and three along 6" to 9" each, over' in finding.message


def test_what_may_stand_at_a_landing_is_told_with_the_risers_that_ask_for_its_guard() -> None:
    """Approved Document K 1.40: a drop of 500 mm is not over 600, but at a landing two risers
    require a guard, and the message says so."""
    risers = Figure(2.0, "at_least", "ADK 1.40", "seen")
    seen = StandInSeen("main/edge 0", "column", 150.0, Drops(500.0), 150.0)
    code = code_with(ADK, guard_required_risers=risers)
    finding = only("guard_required", code, unit="mm", stand_ins=(seen,))
    assert finding.message.endswith(
        ", and flights and landings from 2 risers need guards (ADK 1.40)."
    )
    assert found("guard_required", ADK, unit="mm", stand_ins=(seen,)) == []


@pytest.mark.parametrize(
    ("without", "beside", "told"),
    [
        (math.inf, 0.0, True),
        (math.inf, 5.0, True),
        (5.0, 1.0, True),
        (4.25, 1.0, False),
        (4.375, 4.25, True),
        (6.0, 5.0, False),
    ],
    ids=["not closed", "not closed by it", "small by it", "small anyway", "at 4 3/8", "too large"],
)
def test_what_closes_a_flights_side_matters_where_the_result_depends_on_it(
    without: float, beside: float, *, told: bool
) -> None:
    """An obstruction of unknown height beside a flight is not checked where a low one would leave
    the side without a guard, or where only a high one keeps a 4 3/8 in sphere from passing (IRC
    2021 R312.1.3, exception 2). It is not told where 4 1/4 is left without it, or 5 with it."""
    seen = StandInSeen("front", "kerb", 60.0, HIGH, without, beside=beside)
    findings = found("guard_required", flights=(flight(),), stand_ins=(seen,))
    assert [finding.result for finding in findings if "kerb" in finding.message] == (
        ["not_checked"] if told else []
    )


def test_what_narrows_a_gap_beside_a_flight_under_a_code_without_a_sphere() -> None:
    """Where the code has no sphere, no gap beside a flight is too large for it, so that the height
    of what narrows one decides nothing; of what closes the side it does."""
    spheres = ("opening_sphere", "opening_sphere_stair")
    figures = {name: each for name, each in IRC.figures.items() if name not in spheres}
    for without, told in ((5.0, []), (math.inf, ["not_checked"])):
        seen = StandInSeen("front", "kerb", 60.0, HIGH, without, beside=1.0)
        code = replace(IRC, figures=figures)
        findings = found("guard_required", code, flights=(flight(),), stand_ins=(seen,))
        assert [each.result for each in findings if "kerb" in each.message] == told


@pytest.mark.parametrize(("drop", "told"), [(28.0, True), (30.0, True), (31.0, False)])
def test_a_guard_that_is_not_required_says_how_the_drop_must_have_been_taken(
    drop: float, told: bool
) -> None:
    """Where a guard is not required, the message says how the drop must have been taken: R312.1.1,
    at any point within 36 in. If the bank falls away there, the guard is a required one after all,
    and its height and openings were not held against the code."""
    (finding,) = found("guard_required", edges=(edge(0, "guard", Drops(drop)),))
    assert ("the drop must be the worst within 3' of the edge" in finding.message) == told


def test_a_reach_of_millimetres_is_told_in_them_too() -> None:
    """A reach that the code prints in millimetres is given in them too: 1 200 mm is 47.2441 in, to
    which nobody lays a tape."""
    reach = Figure(1200.0 / 25.4, "binds", "guidance", "seen")
    finding = only(
        "guard_required", code_with(IRC, guard_drop_reach=reach), edges=(edge(2, "open"),)
    )
    assert 'within 47.2441" (1200 mm) of the edge' in finding.message


def test_violation_reads_as_said_to_a_customer() -> None:
    """The message has the place, its drop, what is required, the clause and how the drop is
    taken."""
    finding = only("guard_required", edges=(edge(2, "open"),))
    assert finding.message == (
        "main/edge 2: no railing, over a drop of 4'; a guard is required at any drop over "
        "2' 6\" (IRC 2021 R312.1.1); the drop must be the worst within 3' of the edge."
    )


def test_a_note_says_that_none_is_required() -> None:
    """At a drop below the figure the finding is a pass that says so, with the reach (R312.1.1, 36
    in)."""
    finding = only("guard_required", edges=(edge(1, "open", Drops(20.0)),))
    assert finding.message.startswith("main/edge 1: no guard required over a drop of 1' 8\"; ")
    assert finding.message.endswith("the drop must be the worst within 3' of the edge.")


def test_no_reach_where_the_code_gives_none() -> None:
    """England gives no horizontal reach (facts 4.1), so that the message names none."""
    finding = only("guard_required", ADK, unit="mm", edges=(edge(0, "open", Drops(900.0)),))
    assert "worst" not in finding.message


def test_an_unknown_drop_is_not_checked() -> None:
    """An open edge without a drop is not checked, and the message asks for the drop."""
    finding = only("guard_required", edges=(edge(0, "open", Drops()),))
    assert (finding.result, finding.severity, finding.actual) == ("not_checked", "note", None)
    assert "give the drop of the edge or its level to have it checked" in finding.message


@pytest.mark.parametrize(
    ("rise", "result", "words"),
    [
        (30.0625, "fail", "no guard on either side, down a rise of 2' 6 1/16\"; "),
        (30.0, "not_checked", "give the drop of the edge or its level"),
    ],
)
def test_the_rise_of_a_flight_over_an_unknown_drop(rise: float, result: str, words: str) -> None:
    """Where its drop is not given, a flight's sides fall at least as far as it rises: over 30 in
    that requires guards (R312.1.1); a lesser rise may still lie over a greater drop."""
    bare = flight(guards=(), rise=rise, drop=None, drops=Drops())
    finding = only("guard_required", flights=(bare,))
    assert finding.result == result
    assert finding.severity == ("warning" if result == "fail" else "note")
    assert words in finding.message


@pytest.mark.parametrize("drops", [HIGH, Drops(20.0), Drops()], ids=["high", "low", "not given"])
def test_a_guarded_edge_passes(drops: Drops) -> None:
    """An edge with a guard passes, whatever its drop."""
    assert only("guard_required", edges=(edge(0, "guard", drops),)).result == "pass"


def test_walls_gates_and_the_heads_of_flights_are_not_looked_at() -> None:
    """Walls, gates and the openings of flights give no finding: a wall is solid, and the way out by
    a flight or a gate is no missing guard."""
    parts: dict[str, Any] = {
        "edges": (edge(0, "wall"),),
        "openings": (opening("stair"), opening("gate")),
        "flights": (flight(guards=("left", "right")),),
    }
    for code in (IRC, None):
        places = [place for f in found("guard_required", code, **parts) for place in f.where]
        assert places == ["front"]


@pytest.mark.parametrize(
    ("drops", "result"),
    [(HIGH, "not_checked"), (Drops(30.0), "pass"), (Drops(), "not_checked")],
    ids=["high", "low", "not given"],
)
def test_an_opening_for_a_flight_that_is_not_given(drops: Drops, result: str) -> None:
    """A stair opening over more than 30 in is a hole in the guard unless a flight goes down there;
    where none is given it is not checked."""
    finding = only("guard_required", openings=(opening("stair", drops),))
    assert (finding.result, finding.where) == (result, ("main/stair",))
    if result == "not_checked":
        assert "with no flight given" in finding.message


@pytest.mark.parametrize(("drop", "result"), [(30.0, "pass"), (31.0, "fail")])
def test_a_passage_is_an_open_side(drop: float, result: str) -> None:
    """A passage is judged by its drop, as an open edge is."""
    finding = only("guard_required", openings=(opening("passage", Drops(drop)),))
    assert (finding.result, finding.where) == (result, ("main/passage",))


def test_an_amended_drop() -> None:
    """By the local figure of 24 in, a drop of 28 in requires a guard, and the finding says whose
    figure it is."""
    code = code_with(IRC, guard_required_drop=amended(IRC.figures["guard_required_drop"], 24.0))
    finding = only("guard_required", code, edges=(edge(0, "open", Drops(28.0)),))
    assert (finding.result, finding.limit) == ("fail", 24.0)
    assert (finding.amended, finding.published) == (True, 30.0)
    assert "the local authority's figure; the code prints 2' 6\"" in finding.message


def test_an_amended_reach_marks_the_finding() -> None:
    """The reach is used too, so that an amended reach alone marks the finding as amended."""
    code = code_with(IRC, guard_drop_reach=amended(IRC.figures["guard_drop_reach"], 60.0))
    finding = only("guard_required", code, edges=(edge(0, "open"),))
    assert finding.amended is True
    assert "within 5' of the edge (the local authority's figure" in finding.message


def test_a_reach_that_holds_in_its_cases_alone() -> None:
    """A reach that is stated for some cases alone is named where one of them holds; `beneath` is
    walked unless the document says otherwise."""
    case = When("occupancy", None, 60.0, "a case", word="shared")
    told = []
    for cases in ((case,), (replace(case, measure="beneath", word="walked"),)):
        reach = replace(IRC.figures["guard_drop_reach"], value=None, when=cases)
        code = code_with(IRC, guard_drop_reach=reach)
        told.append(only("guard_required", code, edges=(edge(0, "open"),)).message)
    assert "the worst within" not in told[0]
    assert "the worst within 5' of the edge" in told[1]


@pytest.mark.parametrize(
    ("code", "words"),
    [(None, "name a code"), (code_without(IRC, "guard_required_drop"), "states no")],
)
def test_without_the_figure(code: Code | None, words: str) -> None:
    """Without a code, or without its figure, one not_checked covers all that would be judged."""
    edges = (edge(0), edge(1, "wall"), edge(2, "open"))
    finding = only("guard_required", code, edges=edges, openings=(opening("passage"),))
    assert (finding.result, finding.severity) == ("not_checked", "note")
    assert finding.where == ("main/edge 0", "main/edge 2", "main/passage")
    assert words in finding.message


def test_stretches_of_one_edge_are_judged_each() -> None:
    """Stretches of an edge are judged apart: one 14 in over a lower level may stay open, one 48 in
    over the ground may not. Each finding names the edge once, with the length of its stretch."""
    low, high = (
        replace(edge(1, "open", Drops(drop)), length=length)
        for drop, length in ((14.0, 120.0), (48.0, 72.0))
    )
    fail, passed = found("guard_required", edges=(low, high))
    assert (fail.result, fail.actual, fail.where) == ("fail", 48.0, ("main/edge 1",))
    assert "no railing, over a drop of 4', along a stretch of 6'; a guard" in fail.message
    assert (passed.result, passed.actual, passed.where) == ("pass", 14.0, ("main/edge 1",))
    assert "along a stretch of 10'" in passed.message


@pytest.mark.parametrize(
    ("guards", "words"),
    [
        (("left",), "no guard on the right, as seen going up, over a drop of 4' 1\""),
        (("right",), "no guard on the left, as seen going up, over a drop of 4' 1\""),
        ((), "no guard on either side, over a drop of 4' 1\""),
    ],
)
def test_the_open_side_of_a_flight(guards: tuple[str, ...], words: str) -> None:
    """R312.1.1 names stairs too, so that an open side of a flight fails, as a warning since a wall
    may stand there."""
    finding = only("guard_required", flights=(flight(guards=guards),))
    assert (finding.result, finding.severity, finding.where) == ("fail", "warning", ("front",))
    assert words in finding.message
    assert "unless a wall stands there" in finding.message


@pytest.mark.parametrize(("drop", "result"), [(30.0, "pass"), (30.0625, "fail")])
def test_the_drop_of_a_flight_decides(drop: float, result: str) -> None:
    """The side of a flight may stay open at a drop of 30 in itself."""
    low = flight(guards=(), drop=drop, drops=Drops(drop))
    assert only("guard_required", flights=(low,)).result == result


def test_a_guarded_flight_passes() -> None:
    """A flight with a guard on both sides passes."""
    assert only("guard_required", flights=(flight(),)).result == "pass"


def test_a_wall_down_along_a_flight_is_its_side() -> None:
    """Where a wall goes down along a flight no guard is required on that side; a wall at the
    flight's head alone closes nothing below it."""
    walled = flight(guards=("right",), walled=("left",))
    assert only("guard_required", flights=(walled,)).result == "pass"
    assert found("guard_required", flights=(flight(guards=(), walled=("left", "right")),)) == []
    bare = only("guard_required", flights=(flight(guards=("right",)),))
    assert (bare.result, bare.severity) == ("fail", "warning")
    assert "no guard on the left" in bare.message
