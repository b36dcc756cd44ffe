"""Loads that depend on the place: those of a flight differ from those of a deck.

The figures are those of the facts on codes, 4.2 (England: stairs of a dwelling 0.36 kN/m, 0.25 kN
and 0.5 kN/m2; external balconies and other residential 0.74, 0.5 and 1.0), 5.2 (Australia: inside,
or serving one dwelling, 0.35 kN/m, 0.25 kN and 0.5 kPa; external balconies 0.75, 0.5 and 1.0), 6.2
(New Zealand: stairs of a household 0.35 kN/m, decks 0.75), 2.2 (IBC: 50 lb/ft, but in one- and
two-family dwellings the 200 lb alone), and 3.2 (NBC: 0.5 kN/m for dwellings and exterior guards of
not more than two units, 0.75 for all others).
"""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import pytest

from service.answer import answer_document
from service.core.records.code import Code, Figure, When
from service.core.records.deck import Drops
from service.core.records.strength import GlassMake, Member
from tests.shipped import catalogue

from .small import bay, code_with, flight, gate, glass, glass_bay, pickets, post, raked_bay
from .strong import STRONG, loads, said, spans, strong_kit, worst

Json = dict[str, Any]
ADK, NZ, NCC, NBC = "gb-eng-adk-2013", "nz-f4-as1", "au-ncc-2022", "ca-nbc-2020"
STAIRS: Json = {"id": "front", "opening": "main/steps", "rise": 1200, "risers": 7, "going": 280}
DECK: Json = {
    "unit": "mm",
    "kit": "glass-picket-surface-mm",
    "guard": {"infill": "picket"},
    "levels": [
        {
            "id": "main",
            "drop": 1200,
            "outline": {"points": [[0, 0], [6000, 0], [6000, 3600], [0, 3600]]},
            "edges": [{"edge": 2, "condition": "wall"}],
            "openings": [{"id": "steps", "edge": 0, "from": 1500, "width": 1200, "use": "stair"}],
        }
    ],
    "stairs": [{**STAIRS, "guards": ["left", "right"], "handrail": ["right"]}],
}


def governing(code: str, rule: str, infill: str = "picket", **more: Any) -> tuple[Json, Json]:
    """The reply, and by place the words of the load that governs its strength."""
    deck = copy.deepcopy(DECK) | {"code": code, **more}
    deck["guard"]["infill"] = infill
    reply = answer_document(deck, catalogue())
    cases = {
        place: finding["case"]
        for finding in reply["findings"]
        if finding["rule"] == rule and finding.get("unit") in ("MPa", "N")
        for place in finding["where"]
    }
    return reply, cases


@pytest.mark.parametrize(
    ("code", "rule", "infill", "level", "on_stairs"),
    [
        (ADK, "strength_rail", "picket", "500 N", "250 N"),
        (ADK, "strength_infill", "picket", "500 N", "250 N"),
        (ADK, "strength_glass", "glass", " 1 kPa", " 0.5 kPa"),
        (NCC, "strength_infill", "picket", "500 N", "250 N"),
        (NCC, "strength_glass", "glass", " 1 kPa", " 0.5 kPa"),
    ],
)
def test_bays(code: str, rule: str, infill: str, level: str, on_stairs: str) -> None:
    """Bays of a flight are held to the loads of stairs, those of a level to an external
    balcony's."""
    reply, found = governing(code, rule, infill)
    raked = set(reply["flights"][0]["bays"])
    assert raked < found.keys()
    for place, case in found.items():
        assert (on_stairs if place in raked else level) in case, (place, case)


@pytest.mark.parametrize(
    ("code", "level", "on_stairs"),
    [
        (ADK, "0.74 kN/m", "0.36 kN/m"),
        (NZ, "0.75 kN/m", "point load of 600 N"),
        (NCC, "0.75 kN/m", "point load of 600 N"),
    ],
)
@pytest.mark.parametrize("rule", ["strength_post", "strength_base"])
def test_posts(code: str, level: str, on_stairs: str, rule: str) -> None:
    """Posts on treads are held to the loads of stairs: in New Zealand and Australia 0.35 x 0.956 m
    is less than 600 N. Posts at the head meet a rail of the level too, and take its load."""
    reply, found = governing(code, rule)
    on_treads = {
        each["id"] for each in reply["posts"] if each["id"] in reply["flights"][0]["posts"]
    } - {
        place for run in reply["runs"] if "flight" not in run for place in (run["from"], run["to"])
    }
    assert len(on_treads) == 4
    for place, case in found.items():
        assert (on_stairs if place in on_treads else level) in case, (place, case)


@pytest.mark.parametrize("use", ["shared", "shared_by_two"])
@pytest.mark.parametrize(
    ("code", "load"), [(ADK, "0.74 kN/m"), (NZ, "0.75 kN/m"), (NCC, "0.75 kN/m")]
)
def test_a_shared_flight(code: str, load: str, use: str) -> None:
    """A shared flight has the loads of other residential in England; in New Zealand and Australia
    it has those of a deck, as the tables have nothing less for it."""
    cases = set(governing(code, "strength_post", occupancy=use)[1].values())
    assert len(cases) == 1
    assert load in cases.pop()


@pytest.mark.parametrize("use", ["shared", "shared_by_two"])
@pytest.mark.parametrize("code", [ADK, NZ, NCC])
def test_the_infill_of_a_shared_deck(code: str, use: str) -> None:
    """The infill of a shared deck takes 1 kPa and 500 N: as other residential in England; as class
    C3 in Australia; and in New Zealand too, where 0.5 kPa and 0.25 kN are stated for domestic decks
    alone (facts on codes, 6.2: check)."""
    for rule, infill, load in (
        ("strength_glass", "glass", "1.5 times 1 kPa all over"),
        ("strength_infill", "picket", "1.5 times the infill's load of 500 N on one picket"),
    ):
        assert load in governing(code, rule, infill, occupancy=use)[1].values()
        assert "250 N" not in str(governing(code, rule, infill, occupancy=use)[1])


@pytest.mark.parametrize(
    ("use", "row"),
    [
        ("house", "dwellings"),
        ("shared", "all others"),
        ("shared_by_two", "exterior guards of not more than two units"),
    ],
)
@pytest.mark.parametrize(
    ("rule", "infill"), [("strength_infill", "picket"), ("strength_glass", "glass")]
)
def test_the_row_of_canadas_table(rule: str, infill: str, use: str, row: str) -> None:
    """NBC Table 9.8.8.2 has 0.5 kN for the infill in every row; a finding cites the row of its
    deck."""
    reply = governing(NBC, rule, infill, occupancy=use)[0]
    cites = {each["cite"] for each in reply["findings"] if each["rule"] == rule and "case" in each}
    assert cites == {f"NBC 2020 Table 9.8.8.2, {row}"}


@pytest.mark.parametrize("code", ["us-ibc-2021", "us-ibc-2024"])
@pytest.mark.parametrize(
    ("occupancy", "load"),
    [(None, "line load"), ("shared", "line load"), ("dwelling", "line load"), ("house", "200 lbf")],
)
def test_houses_by_the_ibc(code: str, occupancy: str | None, load: str) -> None:
    """By the IBC a house has the point load alone, and any other use the line load too: a middle
    post carries 58 in of rail, 50 lb/ft x 4.85 ft, which is 242 lbf. A dwelling may be one of many,
    and keeps the line load."""
    use = {} if occupancy is None else {"occupancy": occupancy}
    deck = {
        **{"unit": "in", "kit": "picket-glass-surface-in", "code": code, **use},
        **{"guard": {"infill": "picket", "height": 42}},
        "levels": [
            {
                **{"id": "main", "drop": 48, "edges": [{"edge": 2, "condition": "wall"}]},
                "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]},
            }
        ],
    }
    findings = answer_document(deck, catalogue())["findings"]
    (bent,) = (f for f in findings if f["rule"] == "strength_post" and f.get("unit") == "psi")
    assert load in bent["case"]
    named = [f for f in findings if f["rule"] == "guard_height"]
    assert [f["limit"] for f in named] == [36 if occupancy in ("dwelling", "house") else 42]


@pytest.mark.parametrize(
    ("use", "line", "height"),
    [
        (None, 0.5, 900),
        ("dwelling", 0.5, 900),
        ("shared_by_two", 0.5, 1070),
        ("shared", 0.75, 1070),
    ],
)
def test_two_dwellings_by_the_nbc(use: str | None, line: float, height: float) -> None:
    """A deck of two dwellings has the height of a shared deck and the loads of a dwelling's.

    Its guard serves more than one unit (9.8.8.3), but its loads are those of guards of not more
    than two (Table 9.8.8.2): posts 1.5 m apart carry 0.5 x 1.5, less than the 1.0 kN at a point,
    and by the row for all others 0.75 x 1.5 = 1.125 kN, which is more.
    """
    more = {} if use is None else {"occupancy": use}
    kit = copy.deepcopy(catalogue().kits["glass-picket-surface-mm"].document)
    kit["max_centres"]["picket"] = 1510
    deck: Json = {
        **{"unit": "mm", "kit": kit, "code": NBC, "guard": {"infill": "picket", "height": 1070}},
        **more,
        "levels": [{**DECK["levels"][0], "openings": []}],
    }
    findings = answer_document(deck, catalogue())["findings"]
    bent = [f for f in findings if f["rule"] == "strength_post" and f.get("unit") == "MPa"]
    assert {"line load" if "line load" in f["case"] else "1000 N" for f in bent} == {
        "line load" if line > 0.7 else "1000 N"
    }
    assert [f["limit"] for f in findings if f["rule"] == "guard_height"] == [height]


def cased(name: str, own: float, at: float, measure: Any = "risers") -> Code:
    """A code with a load that differs on a flight, or from a drop of 48 on."""
    starts = 1.0 if measure == "risers" else 48.0
    case = When(measure, None, at, "the case", starts=starts)
    figure = Figure(own, "binds", name, "seen", (case,), name=name)
    return code_with(loads(guard_point_load=50.0), **{name: figure})


@pytest.mark.parametrize(
    ("own", "from_48", "at_36", "at_48"),
    [("separate cases", "together", 300.0, 500.0), ("together", "separate cases", 500.0, 300.0)],
)
def test_where_it_is_open_whether_loads_come_together_they_do(
    own: str, from_48: str, at_36: float, at_48: float
) -> None:
    """Where the drop that decides is not given, loads are taken together.

    200 lbf and 50 lbf/ft act apart or together by the drop: the middle post of three takes 50 x 6 =
    300 lbf, or 500, at 42 in on S 0.8955729 in3. Without a drop it takes 500.
    """
    case = When("drop", None, from_48, "the case", starts=48.0)
    figure = Figure(own, "binds", "loads_concur", "seen", (case,), name="loads_concur")
    code = code_with(loads(guard_point_load=200.0, guard_line_load=50.0), loads_concur=figure)
    three = spans(72.0)
    for drop, pounds in ((None, 500.0), (36.0, at_36), (48.0, at_48)):
        bays = tuple(replace(each, drops=Drops(drop)) for each in three["bays"])
        found = said("strength_post", code, posts=three["posts"], bays=bays)
        assert worst(found) == pytest.approx(pounds * 42 / 0.8955729, abs=1)


FLIGHT: Json = {
    "posts": (post(1, 42.0, 42.0), post(2, 42.0, 42.0), post(3, 42.0, 42.0)),
    "flights": (flight(),),
    "bays": (
        bay(1, height=42.0, centres=72.0, clear=69.5),
        raked_bay(2, height=42.0, centres=72.0, clear=69.5),
    ),
}
"""P2 stands between a level bay and a raked one."""


def test_a_gate_brings_its_load_to_the_head_of_a_flight() -> None:
    """A gate on the level brings the level's load to a post of a flight, here 200 lbf where the
    flight has 100. P2 meets a raked bay and a leaf on the level: 42 in x 200 lbf over 0.89557 in3
    is 9379.5 psi; P3, at the foot, has half."""
    code = cased("guard_point_load", 200.0, 100.0)
    parts = {**FLIGHT, "bays": FLIGHT["bays"][1:]}
    for hinge, latch in (("P1", "P2"), ("P2", "P1")):
        leaf = gate(hinge_post=hinge, latch_post=latch)
        found = said("strength_post", code, gates=(leaf,), **parts)
        stress = {place: f.actual for f in found if f.unit == "psi" for place in f.where}
        assert stress["P2"] == pytest.approx(9379.5, abs=1)
        assert stress["P3"] == pytest.approx(4689.7, abs=1)


def test_a_raked_rail_is_as_long_as_its_slope() -> None:
    """A raked rail is loaded over its length along the slope, and so are its posts.

    Posts 42 in apart in plan on risers of 7 and goings of 10 1/2 are 42 x 12.6194/10.5 = 50.4777
    along the slope. 200 lbf straight down at the middle: 200 x 50.4777/4 over S = 0.37023 in3 (a
    tube of 1 1/2 in by 2 in, 1/8 in thick) is 6817.2 psi. The foot post, 42 in high, carries half
    of the rail: 1200/12 x 25.2388 x 42/0.8955729 = 118 363 psi; the post between the two bays
    carries 36 in more, of the level bay.
    """
    raked = {**FLIGHT, "bays": (FLIGHT["bays"][0], raked_bay(2, height=42.0, clear=39.5))}
    alone = {**raked, "bays": raked["bays"][1:]}
    found = said("strength_rail", loads(guard_point_load=200.0), **alone)
    assert worst(found) == pytest.approx(6817.2, abs=0.5)
    posts = said("strength_post", loads(guard_line_load=1200.0), **raked)
    stress = {f.where: float(f.actual or 0) for f in posts if f.unit == "psi"}
    assert stress["P3",] == pytest.approx(118363, abs=5)
    assert stress["P2",] == pytest.approx(118363 * 61.2388 / 25.2388, abs=10)


@pytest.mark.parametrize(("drop", "shared"), [(None, 2), (36.0, 3), (48.0, 2)])
def test_pickets_share_a_load_only_where_the_code_has_them_do(
    drop: float | None, shared: int
) -> None:
    """Three pickets share a load only where the code says so, here below a drop of 48. At a pitch
    of 4 1/2 in, with 8 1/4 in between the outer two, they take 50 lbf on 12 in together; else
    12/4.5, two, share it. Where no drop is given, two do."""
    case = When("drop", None, None, "the case", starts=48.0)
    three = Figure(3.0, "binds", "NBC", "near", (case,), name="infill_load_pickets")
    stated = loads(infill_point_load=50.0, infill_load_side=12.0)
    code = code_with(stated, infill_load_pickets=three)
    row = bay(1, drops=Drops(drop), pickets=pickets(3.75, 3.5))
    (finding,) = said("strength_infill", code, bays=(row,), posts=())
    assert finding.case == f"the infill's load of 50 lbf shared by {shared} pickets"


def test_a_post_between_takes_the_greater() -> None:
    """A post between the level and a flight takes the greater of their loads, 100 lbf and 200 lbf
    either way round: 42 in x 200 lbf over 0.89557 in3 is 9379.5 psi at P2 in both; P1 and P3 have
    their own."""
    for own, at, strong, weak in ((100.0, 200.0, "P3", "P1"), (200.0, 100.0, "P1", "P3")):
        findings = said("strength_post", cased("guard_point_load", own, at), **FLIGHT)
        stress = {
            place: float(f.actual or 0) for f in findings if f.unit == "psi" for place in f.where
        }
        assert worst(findings) == pytest.approx(9379.5, abs=1)
        assert set(stress) == {"P1", "P2", "P3"}
        assert stress["P2"] == stress[strong] == pytest.approx(9379.5, abs=1)
        assert stress[weak] == pytest.approx(4689.7, abs=1)


def test_a_post_that_carries_nothing_goes_with_those_of_the_same_loads() -> None:
    """A post that carries no rail, as beside a passage, shares a finding with the others of its
    level, as their loads are the same.

    The greatest stress is that of the post which carries nothing, as it is 42 high and the others
    36. A tube of 2.5 with a wall of 1/8 has S = (2.5^4 - 2.25^4) / (6 x 2.5) = 0.8956 in3, and 200
    lb at its top give 200 x 42 / 0.8956 = 9379.5 psi. The others have 200 x 36 / 0.8956 = 8039.5,
    and the flight's 300 lb would give 14,069.
    """
    code = cased("guard_point_load", 200.0, 300.0)
    alone = post(3, 42.0, 42.0)
    parts: dict[str, Any] = {"posts": (post(1), post(2), alone), "bays": (bay(1),)}
    stresses = [f for f in said("strength_post", code, **parts) if f.unit == "psi"]
    assert [finding.where for finding in stresses] == [("P1", "P2", "P3")]
    assert worst(stresses) == pytest.approx(9379.5, abs=0.1)
    low = said("strength_post", code, **(parts | {"posts": (post(1), post(2), post(3))}))
    assert worst(low) == pytest.approx(8039.5, abs=0.1)


def test_a_drop_that_is_not_given() -> None:
    """Where the drop that decides is not given, the greater of both loads is taken, as either may
    hold."""
    code = cased("guard_point_load", 100.0, 200.0, "drop")
    for drop, psi in ((None, 9379.5), (47.0, 4689.7), (48.0, 9379.5)):
        one = bay(1, height=42.0, centres=72.0, clear=69.5, drops=Drops(drop))
        findings = said("strength_post", code, bays=(one,))
        assert worst(findings) == pytest.approx(psi, abs=1), drop


def test_a_load_that_holds_on_flights_alone() -> None:
    """Where a load holds on flights alone, the rest of the deck is not checked, and a finding says
    so."""
    code = cased("guard_point_load", 100.0, 200.0)
    alone = replace(code.figures["guard_point_load"], value=None)
    findings = said("strength_post", code_with(code, guard_point_load=alone), **FLIGHT)
    assert any(f.result == "not_checked" for f in findings)
    assert {place for f in findings if f.unit == "psi" for place in f.where} == {"P2", "P3"}


def test_the_lesser_square_where_either_may_hold() -> None:
    """Where the drop that decides is not given, the lesser square is taken: 4 in, where it is 12 in
    from a drop of 48 on."""
    code = cased("infill_load_side", 4.0, 12.0, "drop")
    code = code_with(code, infill_point_load=Figure(50.0, "binds", "load", "seen"))
    open_, given = (
        said("strength_infill", code, bays=(bay(1, drops=Drops(drop)),)) for drop in (None, 40.0)
    )
    assert open_[0].actual == given[0].actual
    assert "on one picket" in open_[0].message


def panes(**figures: float) -> list[float]:
    """Limits of glass movement by these figures alone; the pane is 30 in high, 1 1/8 in of it in
    both bites."""
    code = loads("in", infill_pressure=25.0, **figures)
    strong = strong_kit(panes=(GlassMake(0, "tempered"),))
    found = said("strength_glass", code, strong, bays=(glass_bay(1, glass(50.0, 30.0)),))
    return [float(f.limit) for f in found if f.unit == "in" and isinstance(f.limit, float)]


def test_how_far_glass_may_move_is_the_codes() -> None:
    """Glass may move by the span, 30 - 0.5625 = 29.4375, over the code's ratio or by the code's
    limit for any point, whichever is less (facts on codes, 4.2: L/65 or 25 mm); where the code
    states neither there is no limit."""
    assert panes() == []
    assert panes(guard_deflection=1.0) == [1.0]
    assert panes(glass_deflection_ratio=65.0) == [pytest.approx(29.4375 / 65)]
    assert panes(glass_deflection_ratio=20.0, guard_deflection=1.0) == [1.0]
    both = panes(glass_deflection_ratio=65.0, guard_deflection=1.0)
    assert both == [pytest.approx(29.4375 / 65)]


def test_the_ratio_can_be_amended() -> None:
    """An amended ratio holds, here 100 where BS 6180 has 65; the span lies between the middles of
    the bites."""
    deck = copy.deepcopy(DECK) | {"code": ADK, "amendments": {"glass_deflection_ratio": 100}}
    deck["guard"]["infill"] = "glass"
    del deck["stairs"], deck["levels"][0]["openings"]
    reply = answer_document(deck, catalogue())
    (moved,) = (
        f for f in reply["findings"] if f["rule"] == "strength_glass" and f.get("unit") == "mm"
    )
    bites = (16 + 12) / 2
    span = reply["bays"][0]["glass"]["height"] - bites
    assert moved["limit"] == pytest.approx(span / 100, abs=1e-3)
    assert moved["amended"]


@pytest.mark.parametrize(
    ("gap", "count", "ratio"),
    [
        # 2 x 5 - 1 = 9 in between the outer two of three, under 12: a third each.
        (4.0, 12, 1 / 3),
        # 2 x 6.5 - 1 = 12: the square just reaches neither; 12/6.5 is one picket.
        (5.5, 12, 1.0),
        (5.4375, 12, 1 / 3),
        # Two pickets are all there are.
        (4.0, 2, 1 / 2),
    ],
)
def test_pickets_that_share_by_the_code(gap: float, count: int, ratio: float) -> None:
    """NBC Table 9.8.8.2 (facts on codes, 3.2): three balusters share the load where the square
    reaches three. One alone takes 50 lbf over 12 in: M = 50 (2 x 30 - 12)/8 = 300 lb in."""
    code = loads("in", infill_point_load=50.0, infill_load_side=12.0, infill_load_pickets=3.0)
    wide = strong_kit(picket=Member("6063", "T5", modulus=0.1, moment=0.1))
    assert wide.picket is not None
    wide = replace(wide, picket=replace(wide.picket, width=1.0))
    found = said("strength_infill", code, wide, bays=(bay(1, pickets=pickets(gap, 2.0, count)),))
    assert worst(found) == pytest.approx(300 * ratio / 0.1)


def test_three_share_in_a_house_by_the_nbc_and_none_elsewhere() -> None:
    """By the NBC 0.5 kN acts on 300 x 300 mm in dwellings and on decks of two, where three pickets
    share it, and on 100 x 100 mm in all others, where one picket takes it."""
    cases = {
        use: set(governing(NBC, "strength_infill", occupancy=use)[1].values())
        for use in ("dwelling", "shared_by_two", "shared")
    }
    assert cases["dwelling"] == {"1.5 times the infill's load of 500 N shared by 3 pickets"}
    assert cases["shared_by_two"] == cases["dwelling"]
    assert cases["shared"] == {"1.5 times the infill's load of 500 N on one picket"}


@pytest.mark.parametrize(
    ("length", "psi"),
    [
        # 50/12 x 48^2/8 = 1200 lb in; 150 x 48/4 = 1800, which is more.
        (48.0, 1800.0 / 0.55176),
        # 50/12 x 84^2/8 = 3675; 150 x 84/4 = 3150.
        (84.0, 3675.0 / 0.55176),
    ],
)
def test_the_infills_load_on_a_top_rail(length: float, psi: float) -> None:
    """The infill's point load acts on the top rail where the guard's own point load is less, or
    none: a picket that is pushed near its top brings all of it there. Tube 2 x 2 x 1/8: S = I =
    0.55176 (facts on engineering, 4.2)."""
    rail = Member("6063", "T6", "tube", 0.125, width=2.0)
    kit = strong_kit(rails=STRONG.rails | {"top_rail_picket": rail})
    picket = kit.rails["picket"]
    deep = replace(picket, top=replace(picket.top, depth=2.0))
    kit = replace(kit, rails={**kit.rails, "picket": deep})
    tall: Json = {"height": 42.0, "centres": length, "clear": length - 2.5}
    for point in ({}, {"guard_point_load": 100.0}):
        code = loads("in", guard_line_load=50.0, infill_point_load=150.0, **point)
        found = [
            f
            for f in said("strength_rail", code, kit, bays=(bay(**tall),))
            if "top rail" in f.message
        ]
        assert worst(found) == pytest.approx(psi, rel=1e-4)
    code = loads("in", guard_point_load=150.0, infill_point_load=150.0)
    found = said("strength_rail", code, kit, bays=(bay(**tall),))
    assert not any("infill" in (f.case or "") for f in found if "top rail" in f.message)


def test_a_square_that_may_be_none() -> None:
    """Where the drop that decides is not given, and the square may be none (it is 12 in from a drop
    of 48 on), one picket takes the whole load at mid-height: P L/4 of 50 lbf over 30 in."""
    code = cased("infill_load_side", 12.0, 12.0, "drop")
    side = replace(code.figures["infill_load_side"], value=None)
    load = Figure(50.0, "binds", "load", "seen")
    code = code_with(code, infill_load_side=side, infill_point_load=load)
    (open_,), (low,) = (
        said("strength_infill", code, bays=(bay(1, drops=Drops(drop)),)) for drop in (None, 40.0)
    )
    (high,) = said("strength_infill", code, bays=(bay(1, drops=Drops(50.0)),))
    assert open_.actual == low.actual
    assert float(open_.actual or 0) > float(high.actual or 0)
    assert "on one picket" in open_.message


DOWN = Member("6063", "T6", modulus=9000.0, moment=3e5, modulus_down=4000.0, moment_down=3e5)


@pytest.mark.parametrize("code", [NZ, NCC])
def test_the_line_load_comes_down_too(code: str) -> None:
    """The line load acts straight down as well: AS/NZS 1170.1 Table 3.3 (from memory; Australia's
    in the facts on codes, 5.2) has it both ways. Over 1700 mm 1.5 x 0.75 x 1700^2/8 = 406 406 N mm,
    more than 1.5 x 600 x 1700/4 = 382 500: on 4000 mm3 101.60 MPa."""
    with_kit = strong_kit(rails={**STRONG.rails, "top_rail_picket": DOWN})
    held = catalogue().codes[code].records["mm"]
    found = said("strength_rail", held, with_kit, "mm", **spans(1700.0, 1100.0, "mm"))
    (bends,) = [f for f in found if f.unit == "MPa" and "top rail" in f.message]
    assert bends.case == "1.5 times the line load of 0.75 kN/m straight down"
    assert bends.actual == pytest.approx(101.6016, abs=1e-3)


@pytest.mark.parametrize("code", ["us-ibc-2021", "us-ibc-2024"])
def test_the_line_load_of_the_ibc_comes_from_any_side(code: str) -> None:
    """The IBC's line load acts in any direction: ASCE 7, 4.5.1.1 (from memory).

    50 lb/ft over 100 in bends a rail by 50/12 x 100^2/8 = 5208 lb in, 200 lbf by 5000: 17 361 psi
    on 0.3 in3. The rail sags by 5 x 50/12 x 100^4/(384 x 10.1e6 x 0.3) = 1.7905 in, of 100/96.
    """
    rail = Member("6063", "T6", modulus=0.6, moment=0.6, modulus_down=0.3, moment_down=0.3)
    with_kit = strong_kit(rails={**STRONG.rails, "top_rail_picket": rail})
    found = said("strength_rail", catalogue().codes[code].records["in"], with_kit, **spans(100.0))
    bends, moves = [f for f in found if "top rail" in f.message and f.result == "fail"]
    assert bends.case == moves.case == "the line load of 50 lbf/ft straight down"
    assert bends.actual == pytest.approx(17361.1, abs=0.1)
    assert moves.actual == pytest.approx(1.7905, abs=1e-4)
    assert moves.limit == pytest.approx(1.0417, abs=1e-4)


@pytest.mark.parametrize("rule", ["strength_post", "strength_rail", "strength_base"])
@pytest.mark.parametrize("top", [True, False])
def test_a_guards_top_that_is_the_handrail_takes_its_load(rule: str, top: bool) -> None:
    """A guard's top that is the handrail takes the handrail's load, where that is the greater.

    NBC has 900 N on a handrail and 1000 N on a guard (facts on codes, 3.2). An authority that asks
    for 2000 N on handrails has them on the flight's top rails and on all of its posts, those on
    treads and those at the head; where the top is no handrail, nowhere.
    """
    stairs = [{**STAIRS, "guards": ["left", "right"], "top_as_handrail": top}]
    own = {"handrail_point_load": 2000}
    reply, found = governing("ca-nbc-2020", rule, stairs=stairs, amendments=own)
    (flight,) = reply["flights"]
    under = {
        place
        for finding in reply["findings"]
        if finding["rule"] == rule and "load of 2000 N" in finding.get("case", "")
        for place in finding["where"]
    }
    assert under == (({*flight["bays"], *flight["posts"]} & found.keys()) if top else set())
    assert bool(under) == top
