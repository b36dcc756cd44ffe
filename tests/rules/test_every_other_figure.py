"""The rest of the figures of every shipped code, at their limits and on either side of them.

Values and signs are as in the published tables, copied by hand. The last test holds that this file
and test_every_figure leave out no figure that can be judged.
"""

from __future__ import annotations

import copy
import math
from typing import Any

import pytest

from service.answer import answer_document
from service.core.records.figures import LEFT, LOADED
from tests.shipped import catalogue

from .test_every_figure import (
    AT_LEAST,
    AT_MOST,
    IBC,
    IN,
    LESS_THAN,
    cases,
    document,
    steps,
    unit_of,
    verdict,
)

US = (*IN, *IBC)
METRIC = ("ca-nbc-2020", "gb-eng-adk-2013", "au-ncc-2022", "nz-f4-as1")
NBC, ADK, NCC, NZ = METRIC


def results(code: str, rule: str, **of_deck: Any) -> set[str]:
    """Every result that a rule gives."""
    reply = answer_document(document(code, **of_deck), catalogue())
    return {f["result"] for f in reply["findings"] if f["rule"] == rule}


def usual(code: str, risers: int = 6, **more: Any) -> Any:
    """A flight whose risers and goings keep the code."""
    riser, going = (7.0, 11.0) if unit_of(code) == "in" else (170.0, 290.0)
    return steps(riser, going, risers, **more)


STAIR_SPHERES = [
    *((code, 4.375) for code in IN),  # R312.1.3, R321.1.3, exception 2
    *((code, 4.0) for code in IBC),  # 1015.4: no relief on a shared stair
    *((code, 100.0) for code in (NBC, ADK, NZ)),
    (NCC, 125.0),
]


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(STAIR_SPHERES, LESS_THAN))
def test_gaps_of_a_stair_guard(code: str, limit: float, value: float, wanted: str) -> None:
    """A stair guard is judged by the horizontal gap between plumb pickets."""
    kit = {"/picket/gap": value, "/picket/spacing": "spacer"}
    found = verdict(code, "stair_opening_size", limit, kit=kit, flight=usual(code))
    assert wanted in found
    assert wanted == "fail" or found == {"pass"}


@pytest.mark.parametrize(
    ("code", "limit", "lift"),
    [
        *((code, 6.0, 1.5) for code in US),  # 7.5 + 10 - 12.5 = 5; 5 (1 + 1.5/7.5) = 6
        *((code, 150.0, 105.0) for code in (NBC, NZ)),  # 120 + 160 - 200 = 80; x (1 + 105/120)
        (ADK, 100.0, 30.0),  # 80 (1 + 30/120) = 100
    ],
)
@pytest.mark.parametrize(("way", "wanted"), [(-1, "pass"), (0, "fail"), (1, "fail")])
def test_the_triangle(code: str, limit: float, lift: float, way: int, wanted: str) -> None:
    """The triangle between riser, tread and bottom rail has its own limit: exception 1 of R312.1.3
    and R321.1.3, 1015.4 exc. 2, 9.8.8.5.(2), 1.2(c). In England it has no relief."""
    inches = unit_of(code) == "in"
    riser, going = (7.5, 10.0) if inches else (120.0, 160.0)
    kit = {"/stair_bottom_gap": lift + way * (0.0625 if inches else 1.0)}
    found = verdict(code, "stair_triangle", limit, flight=steps(riser, going), kit=kit)
    assert found == {wanted}


@pytest.mark.parametrize(("way", "wanted"), [(-1, "pass"), (0, "fail"), (1, "fail")])
def test_the_gap_above_the_nosings_in_australia(way: int, wanted: str) -> None:
    """11.3.4(4): the gap is measured square to the slope. For R 150, G 200 the cosine is 0.8, so
    that a plumb gap of 156.25 is 125."""
    flight, kit = steps(150.0, 200.0), {"/stair_bottom_gap": 156.25 + way}
    assert verdict(NCC, "stair_gap_under_rail", 125.0, flight=flight, kit=kit) == {wanted}


@pytest.mark.parametrize(
    ("code", "limit"),
    [*((code, 0.375) for code in US), (NZ, 5.0), (NBC, 5.0), (NCC, 5.0)],
)
@pytest.mark.parametrize(("way", "wanted"), [(-1, "pass"), (0, "pass"), (1, "fail")])
def test_the_last_riser(code: str, limit: float, way: int, wanted: str) -> None:
    """The last riser differs from the others by no more than the code's figure: R311.7.5.1,
    R318.7.5.1, 1011.5.4, Table 6. In Canada and Australia the last riser and the one before it are
    neighbours, so that the limit of 5 decides before that of 10."""
    mark = 0.0625 if unit_of(code) == "in" else 1.0
    flight = usual(code)
    drop = flight["rise"] + limit + way * mark
    assert verdict(code, "riser_evenness", limit, flight=flight, drop=drop) == {wanted}


@pytest.mark.parametrize("code", [ADK, NCC])
@pytest.mark.parametrize(
    ("limit", "value", "wanted"),
    [
        *((550.0, v, w) for v, w in ((549, "fail"), (550, "pass"), (551, "pass"))),
        *((700.0, v, w) for v, w in ((699, "pass"), (700, "pass"), (701, "fail"))),
    ],
)
def test_two_risers_and_a_going(code: str, limit: float, value: float, wanted: str) -> None:
    """Two risers and a going come to 550 to 700, both included: Table 1.1 note *, Table 11.2.2a."""
    flight = steps(170.0, value - 340.0)
    assert verdict(code, "risers_and_going", limit, flight=flight) == {wanted}


@pytest.mark.parametrize(("code", "limit"), [(ADK, 42.0), (NZ, 37.0)])
@pytest.mark.parametrize(("way", "wanted"), [(-1, "fail"), (0, "pass"), (1, "pass")])
def test_the_pitch(code: str, limit: float, way: int, wanted: str) -> None:
    """A pitch at the limit passes, and a millimetre less of going is too steep: Table 1.1 note 1,
    Table 6."""
    going = 180.0 / math.tan(math.radians(limit)) + way
    assert verdict(code, "stair_pitch", limit, flight=steps(180.0, going)) == {wanted}


@pytest.mark.parametrize(
    ("code", "limit", "risers", "wanted"),
    [
        *((NCC, 2, n, w) for n, w in ((1, "fail"), (2, "pass"), (3, "pass"))),
        *((NCC, 18, n, w) for n, w in ((17, "pass"), (18, "pass"), (19, "fail"))),
        *((ADK, 36, n, w) for n, w in ((35, "pass"), (36, "pass"), (37, "fail"))),
    ],
)
def test_how_many_risers(code: str, limit: int, risers: int, wanted: str) -> None:
    """A flight has 2 to 18 risers by 11.2.2(1)(a), and by 1.18 not more than 36 without a turn."""
    assert verdict(code, "flight_risers", limit, flight=usual(code, risers)) == {wanted}


NOSINGS = [
    *((code, 0.75, AT_LEAST) for code in US),
    *((code, 1.25, AT_MOST) for code in US),
    (NBC, 25.0, AT_MOST),
]


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(NOSINGS))
def test_how_far_treads_project(code: str, limit: float, value: float, wanted: str) -> None:
    """The nosing has a least and a greatest projection where the going is under 11 in: R311.7.5.3,
    R318.7.5.3; 1011.5.2 for dwellings. NBC 9.8.4.2 has a greatest alone."""
    flight = steps(7.0, 10.0) if code in US else usual(code)
    use = {"occupancy": "dwelling"} if code in IBC else {}
    found = verdict(code, "nosing_projection", limit, flight={**flight, "nosing": value}, **use)
    assert found == {wanted}


@pytest.mark.parametrize("code", US)
def test_no_nosing_is_asked_of_wide_treads(code: str) -> None:
    """From a going of 11 in no nosing is required; at a lesser going, a nosing that is not given is
    not checked."""
    use = {"occupancy": "dwelling"} if code in IBC else {}
    assert results(code, "nosing_projection", flight=steps(7.0, 11.0), **use) <= {"pass"}
    narrow = results(code, "nosing_projection", flight=steps(7.0, 10.9375), **use)
    assert "not_checked" in narrow


GRIPS = [
    *((code, 1.25, AT_LEAST) for code in US),
    *((code, 2.0, AT_MOST) for code in US),
    (ADK, 32.0, AT_LEAST),
    (ADK, 50.0, AT_MOST),
]


@pytest.mark.parametrize(("code", "limit", "value", "wanted"), cases(GRIPS))
def test_the_grip_of_a_handrail(code: str, limit: float, value: float, wanted: str) -> None:
    """The diameter of a handrail has a least and a greatest: R311.7.8.5, R320.6, 1014.3; 1.36 for
    buildings other than dwellings."""
    use = {"occupancy": "shared"} if code == ADK else {}
    kit = {"/handrail/diameter": value}
    assert verdict(code, "handrail_grip", limit, flight=usual(code), kit=kit, **use) == {wanted}


@pytest.mark.parametrize(
    ("code", "limit", "use"), [(ADK, 1000.0, {}), (NBC, 1100.0, {"occupancy": "shared"})]
)
@pytest.mark.parametrize(("way", "wanted"), [(-1, "pass"), (0, "fail"), (1, "fail")])
def test_the_width_from_which_both_sides_need_a_handrail(
    code: str, limit: float, use: dict[str, str], way: int, wanted: str
) -> None:
    """With a handrail on one side, a wide flight fails: 1.34 asks for both sides at 1000 and more,
    Table 9.8.7.1 for one alone under 1100."""
    flight = usual(code, width=limit + way)
    assert results(code, "handrail_required", flight=flight, **use) == {wanted}


@pytest.mark.parametrize("code", IBC)
@pytest.mark.parametrize(("sides", "wanted"), [(["right"], "fail"), (["left", "right"], "pass")])
def test_a_shared_stair_needs_two_handrails(code: str, sides: list[str], wanted: str) -> None:
    """A stair that is not in a dwelling needs a handrail on both sides: 1011.11."""
    flight = {**usual(code), "handrail": sides}
    assert results(code, "handrail_required", flight=flight, occupants=10) == {wanted}


@pytest.mark.parametrize(("rise", "wanted"), [(999, "pass"), (1000, "fail"), (1001, "fail")])
def test_the_rise_from_which_australia_wants_a_handrail(rise: float, wanted: str) -> None:
    """11.3.5 requires a handrail, but not for a change of level under 1 m (from memory)."""
    flight = {**steps(rise / 6, 290.0), "handrail": []}
    assert results(NCC, "handrail_required", flight=flight, drop=rise) == {wanted}


@pytest.mark.parametrize("code", US)
@pytest.mark.parametrize(
    ("limit", "value", "wanted"),
    [
        *((34.0, v, w) for v, w in ((33.9375, "fail"), (34, "pass"), (34.0625, "pass"))),
        *((38.0, v, w) for v, w in ((37.9375, "pass"), (38, "pass"), (38.0625, "fail"))),
    ],
)
def test_a_guards_top_as_the_handrail(code: str, limit: float, value: float, wanted: str) -> None:
    """A guard whose top is the handrail is 34 to 38 high: exception 2 of R312.1.2 and R321.1.2;
    1015.3 exception 3 for dwellings."""
    flight = {**usual(code), "handrail": [], "height": value, "top_as_handrail": True}
    use: dict[str, Any] = {"occupancy": "dwelling"} if code in IBC else {}
    reply = answer_document(document(code, flight=flight, **use), catalogue())
    said = {
        f["result"]
        for f in reply["findings"]
        if f.get("limit") == limit and "front" in f["where"] and f["rule"] == "handrail_height"
    }
    assert said == {wanted}


ZONES = [(NBC, 140.0, 4300), (NCC, 150.0, 4300), (NZ, 150.0, 1500)]


@pytest.mark.parametrize(("code", "limit", "drop"), ZONES)
@pytest.mark.parametrize(("way", "wanted"), [(-1, "pass"), (0, "fail"), (1, "fail")])
def test_the_foothold_of_a_bottom_rail(
    code: str, limit: float, drop: float, way: int, wanted: str
) -> None:
    """A bottom rail whose top lies in the zone is a foothold; the rail is 32 deep: 9.8.8.6.(1),
    11.3.4(7) and (8), 1.2(a)."""
    kit = {"/bottom_gap": limit + way - 32}
    assert verdict(code, "climbable", limit, drop=drop, kit=kit) == {wanted}


@pytest.mark.parametrize(("code", "limit", "drop"), [(NBC, 900.0, 4300), (NCC, 760.0, 4300)])
@pytest.mark.parametrize(("way", "wanted"), [(-1, "fail"), (0, "pass"), (1, "pass")])
def test_the_end_of_the_zone(code: str, limit: float, drop: float, way: int, wanted: str) -> None:
    """A top rail that lies in the zone is a foothold."""
    assert verdict(code, "climbable", limit, drop=drop, height=limit + way) == {wanted}


@pytest.mark.parametrize(("code", "drop"), [(NBC, 4200), (NCC, 4000)])
def test_the_zone_begins_above_a_drop(code: str, drop: float) -> None:
    """The zone holds at drops of more than 4.2 m or more than 4 m, but not at the figure itself."""
    kit = {"/bottom_gap": 150}
    assert "fail" not in results(code, "climbable", drop=drop, kit=kit)
    assert "fail" in results(code, "climbable", drop=drop + 1, kit=kit)


@pytest.mark.parametrize(
    ("nominal", "wanted"), [(0.1875, "fail"), (0.25, "pass"), (0.3125, "pass")]
)
@pytest.mark.parametrize("code", IBC)
def test_the_least_thickness_of_glass(code: str, nominal: float, wanted: str) -> None:
    """Glass is at least a quarter of an inch thick, nominal: 2407.1."""
    pane = {"nominal": nominal, "nominal_mm": nominal * 25.4, "minimum": nominal * 0.9}
    kit = {"/glass/panes": [{**pane, "type": "laminated"}]}
    guard = {"guard": {"infill": "glass", "height": 42}}
    assert verdict(code, "glass_thickness", 0.25, kit=kit, **guard) == {wanted}


@pytest.mark.parametrize(("drop", "wanted"), [(4999, "pass"), (5000, "fail"), (5001, "fail")])
def test_the_drop_from_which_australia_wants_laminated_glass(drop: float, wanted: str) -> None:
    """AS 1288:2021: glass is laminated at a drop of 5 m or more; the kit's glass is tempered."""
    guard = {"guard": {"infill": "glass", "height": 1000}}
    assert results(NCC, "glass_type", drop=drop, **guard) == {wanted}


@pytest.mark.parametrize("code", [*US, *METRIC])
def test_a_code_without_the_make_of_glass(code: str) -> None:
    """Every shipped code states which glass a guard may have. Under a caller's own code that does
    not, the glass is not checked, and the message names the missing figure."""
    own = copy.deepcopy(catalogue().code_documents[code])
    del own["figures"]["glass_make"]
    deck = {**document(code), "code": own}
    deck["guard"]["infill"] = "glass"
    told = answer_document(deck, catalogue())["findings"]
    (finding,) = (each for each in told if each["rule"] == "glass_type")
    assert finding["result"] == "not_checked"
    assert f"{code} states no glass_make" in finding["message"]


DENIED = (
    *("annealed, not tempered nor laminated", "not tempered or laminated, plain float"),
    *("annealed, without lamination", "heat-strengthened, not fully tempered", "untempered float"),
    *("float, tempered on request", "tempered, not laminated", "non-laminated tempered", "clear"),
    *("annealed/tempered", "annealed, no tempering", "tempered and annealed"),
)
"""Types that deny a make or leave open which one it is; nothing is concluded from them."""


@pytest.mark.parametrize(
    ("code", "make", "wanted"),
    [
        *((code, "tempered", "pass") for code in (*IN, *METRIC)),
        *((code, "annealed", "fail") for code in (*IN, *METRIC)),
        *((code, "tempered", "fail") for code in IBC),
        *((code, "laminated tempered", "pass") for code in IBC),
        *((code, "laminated, heat-strengthened", "pass") for code in IBC),
        *((code, "laminated", "not_checked") for code in IBC),
        *((code, "laminated annealed", "fail") for code in IBC),
        *((code, "laminated, of tempered or annealed plies", "not_checked") for code in IBC),
        *((NBC, make, "not_checked") for make in DENIED),
        *((code, "laminated", "pass") for code in (*METRIC, NBC)),
        (NBC, "wired", "pass"),
        (ADK, "wired", "fail"),
    ],
)
def test_the_make_of_glass(code: str, make: str, wanted: str) -> None:
    """Glass is judged by the make that its type states, at a drop of 48 in or 1500 mm: R308.4.4,
    R324.4.4, 2407.1 (of tempered or heat-strengthened plies), 9.8.8.7, 3.2d."""
    pane = {"nominal": 0.375, "nominal_mm": 10, "minimum": 0.355, "type": make}
    if unit_of(code) == "mm":
        pane |= {"nominal": 10, "minimum": 9.02}
    guard = {"guard": {"infill": "glass", "height": 42 if unit_of(code) == "in" else 1100}}
    assert results(code, "glass_type", kit={"/glass/panes": [pane]}, **guard) == {wanted}


@pytest.mark.parametrize(
    ("code", "beneath", "make", "wanted", "words"),
    [
        *((code, None, "tempered", "fail", "as people can walk beneath it") for code in IBC),
        *((code, "walked", "tempered", "fail", "as people can walk beneath it") for code in IBC),
        *((code, "shielded", "tempered", "pass", "as nobody can walk beneath it") for code in IBC),
        *((code, None, "laminated tempered", "pass", None) for code in IBC),
        (ADK, "shielded", "annealed", "fail", None),
        (ADK, None, "annealed", "fail", None),
    ],
)
def test_what_is_beneath_glass_is_named_where_it_decides(
    code: str, beneath: str | None, make: str, wanted: str, words: str | None
) -> None:
    """The message names what is beneath the glass where that decides: 2407.1 allows glass that is
    not laminated where nobody walks below; 3.2d makes no such difference."""
    pane = {"nominal": 0.375, "nominal_mm": 10, "minimum": 0.355, "type": make}
    if unit_of(code) == "mm":
        pane |= {"nominal": 10, "minimum": 9.02}
    guard = {"infill": "glass", "height": 42 if unit_of(code) == "in" else 1100}
    deck = document(code, kit={"/glass/panes": [pane]}, guard=guard)
    if beneath is not None:
        deck["levels"][0]["beneath"] = beneath
    told = answer_document(deck, catalogue())["findings"]
    (finding,) = (each for each in told if each["rule"] == "glass_type")
    assert finding["result"] == wanted
    reasons = ("as people can walk beneath it", "as nobody can walk beneath it")
    assert [each for each in reasons if each in finding["message"]] == ([words] if words else [])


@pytest.mark.parametrize(
    ("make", "given", "wanted"),
    [
        ("clear", {"make": "tempered"}, "pass"),
        ("clear", {"make": "annealed"}, "fail"),
        ("annealed, not tempered", {"make": "tempered"}, "pass"),
        ("tempered", {"make": "annealed"}, "not_checked"),
        ("laminated annealed", {"make": "tempered", "plies": 2, "ply_minimum": 4.5}, "not_checked"),
        ("laminated", {"make": "tempered", "plies": 2, "ply_minimum": 4.5}, "pass"),
    ],
)
def test_what_strength_says_of_a_pane_goes_beside_its_words(
    make: str, given: dict[str, object], wanted: str
) -> None:
    """The make that the kit's strength states is read beside the pane's type; where the two
    contradict each other neither is taken. 9.8.8.7: safety glass."""
    pane = {"nominal": 10, "nominal_mm": 10, "minimum": 9.02, "type": make}
    deck = document(NBC, kit={"/glass/panes": [pane]}, guard={"infill": "glass", "height": 1100})
    deck["kit"]["strength"] = {"panes": [{"pane": 0, **given}]}
    found = answer_document(deck, catalogue())["findings"]
    assert {each["result"] for each in found if each["rule"] == "glass_type"} == {wanted}


@pytest.mark.parametrize("code", [*US, ADK, NCC, NZ])
def test_glass_stands_under_a_top_rail(code: str) -> None:
    """Glass stands under a top rail, which these kits have on their posts: R308.4.4.1, 2407.1.2, BS
    6180, AS 1288, NZS 4223.3."""
    guard = {"guard": {"infill": "glass", "height": 42 if unit_of(code) == "in" else 1100}}
    assert results(code, "glass_top_rail", **guard) == {"pass"}


@pytest.mark.parametrize("code", [NCC, NZ])
def test_a_top_rail_over_a_drop_that_is_not_given(code: str) -> None:
    """A top rail is required from 1 m of fall. Without a drop the message says that it may be
    required, and the panels pass, as they have one; at a lesser drop there is no finding."""
    deck = document(code, guard={"infill": "glass", "height": 1100})
    del deck["levels"][0]["drop"]
    (told,) = _of_rail(deck)
    assert told["result"] == "pass"
    assert "such a rail may be required, by the drop" in told["message"]
    deck["levels"][0]["drop"] = 999
    assert _of_rail(deck) == []
    deck["levels"][0]["drop"] = 1000
    (told,) = _of_rail(deck)
    assert "such a rail is required (" in told["message"]


def _of_rail(deck: Any) -> list[Any]:
    """Findings of `glass_top_rail`."""
    findings = answer_document(deck, catalogue())["findings"]
    return [finding for finding in findings if finding["rule"] == "glass_top_rail"]


@pytest.mark.parametrize(
    ("gap", "wanted"),
    [(99, "pass"), (100, "fail"), (101, "fail"), (199, "fail"), (200, "pass"), (201, "pass")],
)
def test_a_guard_that_is_not_required_in_canada(gap: float, wanted: str) -> None:
    """In a guard that is not required, an opening either stops 100 or lets 200 through:
    9.8.8.5.(4)."""
    kit = {"/picket/gap": gap, "/picket/spacing": "spacer"}
    reply = answer_document(document(NBC, drop=400, kit=kit), catalogue())
    said = [
        f for f in reply["findings"] if f["rule"] == "opening_not_required" and f["actual"] == gap
    ]
    assert {f["result"] for f in said} == {wanted}
    # A gap within the lesser figure passes, and the message leaves the greater one out.
    assert {"unless" in f["message"] for f in said} == {100 <= gap < 200}
    assert {f["limit"] for f in said} == {100 if gap < 200 else 200}


def test_rails_to_climb_by_are_told_where_the_code_names_them() -> None:
    """AD K 3.3b asks for no rail between the bottom and the top rail; these guards have none, and
    one finding says so of every bay."""
    reply = answer_document(document(ADK), catalogue())
    told = [f for f in reply["findings"] if "no rail stands between" in f["message"]]
    assert [(f["rule"], f["result"]) for f in told] == [("climbable", "pass")]
    assert set(told[0]["where"]) == {bay["id"] for bay in reply["bays"]}
    other = answer_document(document(NBC), catalogue())
    assert not [f for f in other["findings"] if "no rail stands between" in f["message"]]


@pytest.mark.parametrize("left_out", ["min", "max"])
def test_one_figure_of_a_guards_top_is_enough(left_out: str) -> None:
    """A code that states only the least, or only the greatest, height for the top of a guard that
    is the handrail is judged by that figure alone; its handrail figures are for other handrails."""
    code = copy.deepcopy(catalogue().code_documents["us-irc-2021"])
    del code["figures"][f"guard_top_as_handrail_{left_out}"]
    flight = usual("us-irc-2021", top_as_handrail=True, handrail=[])
    sent = {**document("us-irc-2021", flight=flight), "code": code}
    reply = answer_document(sent, catalogue())
    told = [f for f in reply["findings"] if f["rule"] == "handrail_height"]
    assert {f["cite"] for f in told} == {"IRC 2021 R312.1.2, exception 2"}
    assert [f["limit"] for f in told] == [34 if left_out == "max" else 38]


@pytest.mark.parametrize("code", IBC)
@pytest.mark.parametrize(("gap", "wanted"), [(4.3125, "pass"), (4.375, "fail"), (4.4375, "fail")])
def test_the_upper_band_of_a_shared_guard(code: str, gap: float, wanted: str) -> None:
    """1015.4 exception 1: the sphere is 4 3/8 from 36 to 42 in high; below that the sphere of 4 is
    broken already."""
    kit = {"/picket/gap": gap, "/picket/spacing": "spacer"}
    found = verdict(code, "opening_size_upper", 4.375, kit=kit)
    assert wanted in found
    assert wanted == "fail" or found == {"pass"}
    assert "fail" in results(code, "opening_size", kit=kit)


@pytest.mark.parametrize("code", IBC)
def test_an_amended_upper_band_marks_its_findings(code: str) -> None:
    """Where the band begins decides which guards are judged by its sphere, so an amended height
    marks those findings: a guard of 42 in reaches above 40 in, and one of 40 in does not."""
    amended = {"amendments": {"opening_sphere_upper_from": 40}}
    reply = answer_document({**document(code, height=42.0), **amended}, catalogue())
    told = [f for f in reply["findings"] if f["rule"] == "opening_size_upper"]
    assert {(f["amended"], f["limit"]) for f in told} == {(True, 4.375)}
    above = "above 3' 4\" (the local authority's figure; the code prints 3'"
    assert all(above in f["message"] for f in told)
    lower = answer_document({**document(code, height=40.0), **amended}, catalogue())
    assert not [f for f in lower["findings"] if f["rule"] == "opening_size_upper"]


@pytest.mark.parametrize("amended", [True, False])
def test_an_amended_upper_band_marks_what_hangs_on_the_drop(amended: bool) -> None:
    """Of a code of our own the sphere of the upper band is 4 3/8 in, and 5 in over a drop of more
    than 60 in. Gaps of 4 1/2 in break the one and keep the other, so that without a drop they are
    not checked. Where the band begins is amended or not, and the mark says which."""
    code = copy.deepcopy(catalogue().code_documents["us-ibc-2021"])
    over = {"measure": "drop", "above": 60, "value": 5, "cite": "Own code, 1"}
    code["figures"]["opening_sphere_upper"]["when"] = [over]
    del code["figures"]["opening_sphere_upper_from"]["when"]
    kit = {"/picket/gap": 4.5, "/picket/spacing": "spacer"}
    sent = {**document("us-ibc-2021", height=42.0, kit=kit), "code": code}
    del sent["levels"][0]["drop"]
    if amended:
        sent["amendments"] = {"opening_sphere_upper_from": 40}
    reply = answer_document(sent, catalogue())
    told = [f for f in reply["findings"] if f["rule"] == "opening_size_upper"]
    unsure = [f for f in told if f["result"] == "not_checked"]
    assert unsure
    assert {f["amended"] for f in unsure} == {amended}
    assert all("by the drop, which is not given: give it" in f["message"] for f in unsure)
    assert {f["actual"] for f in unsure} == {4.5}


@pytest.mark.parametrize("load", [400.0, None])
def test_an_amended_load_marks_what_could_not_be_checked_with_it(load: float | None) -> None:
    """B1 with AS/NZS 1170.1 gives the infill's point load without the square that it lies on, so
    glass under it is not checked, and that finding is marked where the load is amended."""
    own = {} if load is None else {"amendments": {"infill_point_load": load}}
    sent = document(NZ, guard={"infill": "glass", "height": 1100})
    reply = answer_document({**sent, "kit": "glass-picket-surface-mm", **own}, catalogue())
    (told,) = [f for f in reply["findings"] if "how large a square" in f["message"]]
    assert (told["result"], told["amended"]) == ("not_checked", load is not None)
    assert ("under 400 N" in told["message"]) == (load is not None)


@pytest.mark.parametrize(("gap", "wanted"), [(99, "pass"), (100, "fail"), (101, "fail")])
def test_the_gap_under_glass_in_australia(gap: float, wanted: str) -> None:
    """AS 1288:2021 as reported: a gap of 100 under glass, where pickets have 125."""
    guard = {"guard": {"infill": "glass", "height": 1000}}
    kit = {"/bottom_gap": gap}
    assert verdict(NCC, "gap_under_rail", 100.0, kit=kit, **guard) == {wanted}


@pytest.mark.parametrize(
    ("code", "use", "drop", "limit"),
    [
        *((code, "dwelling", 48.0, 36.0) for code in IBC),  # 1015.3 exception 1
        (NBC, "shared", 1500.0, 1070.0),  # 9.8.8.3.(1)
        (NBC, "dwelling", 1801.0, 1070.0),  # 9.8.8.3.(3): over 1800 above ground
        (NZ, "shared", 1500.0, 1100.0),  # Table 1
    ],
)
@pytest.mark.parametrize(("way", "wanted"), [(-1, "fail"), (0, "pass"), (1, "pass")])
def test_heights_by_use_and_by_drop(
    code: str, use: str, drop: float, limit: float, way: int, wanted: str
) -> None:
    """The height that a code asks for goes by the building's use and by the drop."""
    height = limit + way * (0.0625 if unit_of(code) == "in" else 1.0)
    found = verdict(code, "guard_height", limit, drop=drop, height=height, occupancy=use)
    assert found == {wanted}


@pytest.mark.parametrize("code", IBC)
def test_a_handrail_that_ends_at_the_top_nosing(code: str) -> None:
    """1014.6 asks for 12 in level past the top nosing. None is laid out, so this fails; inside a
    dwelling none is asked for."""
    assert results(code, "handrail_extent", flight=usual(code), occupants=10) == {"fail"}
    assert results(code, "handrail_extent", flight=usual(code), occupancy="dwelling") == set()


@pytest.mark.parametrize(
    ("lift", "drop", "wanted"),
    [
        # 3 risers of 200, goings of 255: 200 + 255 - 324.0756 = 130.9244 at no lift.
        (25.0, 600.0, {"not_checked"}),  # x 1.125 = 147.3: let through under a required guard
        (30.0, 600.0, {"fail"}),  # x 1.15 = 150.6: nowhere
        (30.0, 601.0, set()),  # required: the triangle's own rule
        (106.0, 600.0, {"pass"}),  # x 1.53 = 200.3: 200 passes, so that no head is caught
    ],
)
def test_the_triangle_of_a_guard_that_is_not_required_in_canada(
    lift: float, drop: float, wanted: set[str]
) -> None:
    """9.8.8.5.(4): the opening is under 100, or 200 and over; the 150 of (2) is for required
    guards."""
    kit = {"/stair_bottom_gap": lift}
    deck = document(NBC, drop=drop, kit=kit, flight=steps(200.0, 255.0, 3))
    findings = answer_document(deck, catalogue())["findings"]
    told = [f for f in findings if f["rule"] == "opening_not_required"]
    assert {f["result"] for f in told if "between riser, tread" in f["message"]} == wanted


@pytest.mark.parametrize(
    ("code", "rule", "words"),
    [
        (NZ, "climbable", 'climbing up to 29.9213" (760 mm)'),
        (NZ, "guard_required", 'within 47.2441" (1200 mm) of the edge'),
        (ADK, "handrail_required", 'from a width of 39.3701" (1000 mm)'),
        (NCC, "handrail_required", 'from a rise of 39.3701" (1000 mm)'),
        (NBC, "opening_not_required", 'one of 7.874" (200 mm) passes too'),
    ],
)
def test_a_figure_in_millimetres_is_told_in_them_in_a_deck_in_inches(
    code: str, rule: str, words: str
) -> None:
    """A figure that the code prints in millimetres is given in them too in a deck in inches: a tape
    in inches has no 29.9213, which is 760 mm."""
    deck = document(IN[0], drop=20 if code == NBC else 60, kit={"/picket/gap": 5.0})
    deck["code"] = code
    deck["levels"][0]["edges"].append({"edge": 1, "condition": "open"})
    deck["levels"][0]["openings"] = [
        {"id": "steps", "edge": 0, "from": 60, "width": 48, "use": "stair"}
    ]
    rise = 30 if code == NCC else 60
    flight = steps(rise / 9, 11.0, 9)
    deck["stairs"] = [{"id": "front", "opening": "main/steps", **flight}]
    findings = answer_document(deck, catalogue())["findings"]
    assert any(words in f["message"] for f in findings if f["rule"] == rule)


@pytest.mark.parametrize(("risers", "wanted"), [(1, "pass"), (2, "fail"), (3, "fail")])
def test_risers_that_ask_a_guard_in_england(risers: int, wanted: str) -> None:
    """1.40: in other buildings and common areas, two or more risers at an open side require a
    guard, at drops of 160 to 480 as well; in dwellings (1.41) they do not. The other edges are
    guarded."""
    flight = {"rise": 160.0 * risers, "risers": risers, "going": 260}
    deck = {"drop": 160.0 * risers, "flight": flight}
    assert results(ADK, "guard_required", occupancy="shared", **copy.deepcopy(deck)) == {
        "pass",
        wanted,
    }
    assert results(ADK, "guard_required", occupancy="dwelling", **deck) == {"pass"}


def test_a_gate_over_what_may_be_a_landing_in_england() -> None:
    """1.40 again: a gate over a drop of 480 mm is not checked, as what lies below may be a landing;
    in a dwelling it passes."""
    gate = {"id": "out", "edge": 0, "from": 1500, "width": 900, "use": "gate"}
    found = {}
    for use in ("shared", "dwelling"):
        deck = document(ADK, drop=480, occupancy=use)
        deck["levels"][0]["openings"] = [gate]
        findings = answer_document(deck, catalogue())["findings"]
        found[use] = {f["result"] for f in findings if "opens over a drop" in f["message"]}
    assert found == {"shared": {"not_checked"}, "dwelling": {"pass"}}


TESTED = {
    *("guard_required_drop", "guard_height", "guard_height_stair", "opening_sphere"),
    *("riser_min", "riser_max", "going_min", "going_max", "stair_width", "flight_rise_max"),
    *("handrail_required_risers", "handrail_height_min", "handrail_height_max"),
    *("opening_sphere_stair", "stair_triangle_sphere", "stair_gap_sphere", "riser_uniformity"),
    *("riser_uniformity_neighbours", "risers_and_going_min", "risers_and_going_max", "pitch_max"),
    *("flight_risers_min", "flight_risers_max", "nosing_min", "nosing_max", "handrail_grip_min"),
    *("handrail_grip_max", "handrail_both_sides_width", "handrail_sides"),
    *("handrail_required_rise", "guard_top_as_handrail_min", "guard_top_as_handrail_max"),
    *("climb_zone_from", "climb_zone_to", "glass_thickness_min", "glass_make", "glass_top_rail"),
    *("opening_not_required_guard", "opening_not_required_guard_wide", "opening_sphere_upper"),
    *("opening_sphere_upper_from", "gap_under_rail_sphere"),
    *("handrail_extension_top", "guard_required_risers"),
}
ELSEWHERE = {
    **dict.fromkeys(("landing_depth", "landing_no_deeper_than"), "test_landings"),
    "guard_drop_reach": "how the caller takes the drop; named in the finding, judged by none",
    "geometry_applies_to": "check case 62 and test_openings",
    "horizontal_rails": "these guards have none: a pass",
}


def test_no_figure_is_left_out() -> None:
    """Every figure that a shipped code states is tested: loads are tested with the strength check,
    and those in LEFT cannot be judged."""
    stated = {
        name
        for listed in catalogue().code_documents.values()
        for name in listed["figures"]
        if name not in LEFT and name not in LOADED
    }
    assert stated - TESTED - set(ELSEWHERE) == set(), (
        "test each figure at its limit, here or in test_every_figure, and name it in TESTED"
    )
