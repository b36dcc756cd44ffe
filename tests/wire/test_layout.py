"""The reply: its members, its numbers, the tape readings beside them, and what is left out."""

from __future__ import annotations

import json
from typing import Any

import pytest

from service import RELEASE
from service.core.measure import Unit
from service.rules.finding import Amount, Finding
from service.wire.forms.layout import LayoutForm
from service.wire.writing.cautions import GLASS, MEASURE_AGAIN
from service.wire.writing.findings import write_finding

from .documents import closed_layout, deck, kit, put, reply, small

CUT_OR_MARKED = {
    *("cut", "length", "width", "height", "stock_height", "clear_width", "marks", "end_gap"),
    *("rail_supports", "weep_holes", "blocks", "blank", "end_block", "brackets"),
    *("outside_width", "into_width"),
    *("stock", "edge_rise", "lower_edge", "gasket", "thickness"),
}
"""Members that a person cuts, orders or marks to (contract, section 1); the `centres` of pickets
are such, too."""


RAKED = {"centres_slope", "clear_slope", "end_cut", "falls"}
"""Members that a bay has only in a flight."""


def objects(node: Any) -> list[dict[str, Any]]:
    """Every object within a document, itself included."""
    if isinstance(node, list):
        return [found for entry in node for found in objects(entry)]
    if isinstance(node, dict):
        return [node, *objects(list(node.values()))]
    return []


def test_the_members_and_their_order(whole: Any) -> None:
    """The members stand in the order of the contract's section 7, and new ones beside those like
    them."""
    assert list(whole) == [
        *("release", "digest", "title", "unit", "precision", "units", "kit", "code", "summary"),
        *(
            "posts",
            "runs",
            "bays",
            "openings",
            "surveyed",
            "flights",
            "gates",
            "blocking",
            "cut_list",
        ),
        *("stock_plan", "glass_order", "parts", "quote", "findings", "coverage", "comparison"),
        "cautions",
    ]
    assert list(whole["summary"]) == [
        *("posts", "bays", "runs", "railing_length", "pickets", "glass_panels"),
        *("violations", "warnings", "not_checked", "checked"),
    ]
    assert (whole["release"], whole["unit"], whole["precision"]) == (RELEASE, "in", 0.0625)
    assert whole["kit"]["id"] == "picket-glass-surface-in"
    assert (whole["code"]["id"], whole["code"]["edition"]) == ("us-irc-2021", "2021")


def test_a_reading_stands_beside_every_length_that_is_worked_to(whole: Any) -> None:
    """Each such length has its reading beside it, a list of lengths has a list of as many readings,
    and no other member has a reading."""
    for found in objects(whole):
        pickets = "end_gap" in found
        worked = {
            name
            for name, value in found.items()
            if not isinstance(value, str)
            and (name in CUT_OR_MARKED or (name == "centres" and pickets))
        }
        assert {f"{name}_text" for name in worked} == {n for n in found if n.endswith("_text")}
        for name in worked:
            value, text = found[name], found[f"{name}_text"]
            assert isinstance(value, list) == isinstance(text, list)
            if isinstance(value, list):
                assert len(value) == len(text)


def test_readings_in_inches_and_in_millimetres() -> None:
    """The front run is 240 - 2 x 3.5 = 233 long: four bays of (233 - 4 x 2.25)/4 = 56, whose top
    rails are cut to 56 - 2 x 3/16 = 55 5/8, four feet and 7 5/8; millimetres are written with their
    unit (contract, section 1)."""
    bay = reply(small())["bays"][0]
    assert (bay["top_rail"]["cut"], bay["top_rail"]["cut_text"]) == (55.625, "4' 7 5/8\"")
    metric = reply(
        small(
            unit="mm",
            kit="glass-picket-surface-mm",
            levels=[
                put(
                    small(),
                    "/levels/0/outline/points",
                    [[0, 0], [6000, 0], [6000, 3000], [0, 3000]],
                )["levels"][0]
            ],
        )
    )
    cut = metric["bays"][0]["top_rail"]
    assert cut["cut_text"] == f"{cut['cut']} mm"
    assert metric["units"] == {
        **{"length": "mm", "angle": "degrees", "area": "m2", "mass": "kg"},
        **{"force": "N", "stress": "MPa"},
    }


def test_numbers_have_no_exponent_no_point_nought_and_no_minus_nought(whole: Any) -> None:
    """The text of the reply is read, number by number."""
    for word in json.dumps(whole, separators=("\n", "\n")).splitlines():
        number = word.strip("[]{}")
        if number[:1].isdigit() or number[:1] == "-":
            assert "e" not in number.lower()
            assert not number.endswith(".0")
            assert number != "-0"
            assert len(number.partition(".")[2]) <= 4


def test_null_stands_only_at_a_wall(whole: Any) -> None:
    """Only `from` and `to` of runs and bays are null, where `ends` says `wall`; besides, the rim is
    null in a block's `between`."""
    for found in objects(whole):
        assert [n for n, v in found.items() if v is None and n not in ("from", "to")] == []
        lists = {name: value for name, value in found.items() if isinstance(value, list)}
        assert {n for n, value in lists.items() if None in value} <= {"between"}
    at_walls = [bay for bay in reply(small())["bays"] if None in (bay["from"], bay["to"])]
    assert len(at_walls) == 2
    for bay in at_walls:
        for post, end in zip((bay["from"], bay["to"]), bay["ends"], strict=True):
            assert (post is None) == (end == "wall")


def test_what_does_not_apply_is_left_out() -> None:
    """A deck without title, code, glass, flight, gate or framing has none of their members."""
    found = reply(small())
    assert not {"title", "code", "flights", "gates", "blocking"} & set(found)
    assert found["glass_order"] == []
    assert all("glass" not in bay and "pickets" in bay for bay in found["bays"])
    assert not {"parts", "flight", "framing"} & {name for post in found["posts"] for name in post}
    assert not {*RAKED, "flight"} & {name for bay in found["bays"] for name in bay}


def test_a_walk_tells_its_gap_over_its_perimeter_as_a_number() -> None:
    """Sides of 240, 144, 240.5 and 144 miss their start by 0.5, and the finding has the ratio:
    0.5/768.5 = 0.000651."""
    walk = {"sides": [{"length": each} for each in (240, 144, 240.5, 144)]}
    findings = reply(small(levels=[{"id": "main", "outline": walk}]))["findings"]
    (closure,) = (each for each in findings if each["rule"] == "walk_closure")
    assert (closure["actual"], closure["limit"], closure["ratio"]) == (0.5, 1.537, 0.000651)


def test_the_summary_is_counted_from_the_lists(whole: Any) -> None:
    """Each number of the summary follows from the rest of the reply."""
    told, bays = whole["summary"], whole["bays"]
    for name in ("posts", "bays", "runs"):
        assert told[name] == len(whole[name])
    filled = [*bays, *whole.get("gates", ())]
    assert told["pickets"] == sum(one["pickets"]["count"] for one in filled if "pickets" in one)
    assert told["glass_panels"] == sum("glass" in one for one in filled)
    assert told["glass_panels"] == sum(row["count"] for row in whole["glass_order"])
    railed = {bay["run"] for bay in bays}
    lengths = [run["length"] for run in whole["runs"] if run["id"] in railed]
    assert told["railing_length"] == pytest.approx(sum(lengths), abs=1e-3)
    failed = [f["severity"] for f in whole["findings"] if f["result"] == "fail"]
    assert (told["violations"], told["warnings"]) == (
        failed.count("violation"),
        failed.count("warning"),
    )


def test_glass_is_the_pane_that_was_asked_for(whole: Any) -> None:
    """Edge 1 of the first level asks for pane 1 of the kit, 3/8 in; the flight has pane 0, 1/4."""
    edges = {run["id"]: (run["level"], run["edge"]) for run in whole["runs"]}
    bays = [bay for bay in whole["bays"] if edges[bay["run"]] == ("main", 1)]
    assert bays
    for bay in bays:
        assert (bay["glass"]["thickness"], bay["glass"]["type"]) == (0.375, "tempered")
    for bay in whole["bays"]:
        if "glass" in bay and "flight" in bay:
            assert bay["glass"]["thickness"] == 0.25
    assert {row["thickness"] for row in whole["glass_order"]} == {0.375, 0.25}


def test_a_gate_says_its_posts_and_swing(whole: Any) -> None:
    """The hinges are at the near side: at the post in which the run before the gate ends."""
    gate, steps = whole["openings"]
    assert not {"hinge_post", "latch_post", "opens"} & set(steps)
    assert (gate["opening"], gate["use"], gate["opens"]) == ("main/gate", "gate", "out")
    assert (gate["hinge_post"], gate["latch_post"]) == (gate["from"], gate["to"])
    assert (gate["asked_width"], gate["clear_width"]) == (36, 36)
    assert gate["clear_width_text"] == "3'"
    stair = put(deck(), "/levels/0/openings/0/use", "stair")
    assert "opens" not in reply(stair)["openings"][0]


def test_cautions_of_every_job_and_of_glass(whole: Any) -> None:
    """Cautions on falls and on who decides are always given; those on glass and on measuring again
    only where there is glass."""
    said = " ".join(whole["cautions"])
    for word in ("preliminary", "local building authority", "licensed", "maker's", "Falls"):
        assert word in said
    assert MEASURE_AGAIN in whole["cautions"]
    plain = reply(small())["cautions"]
    assert GLASS not in plain
    document = put(kit(), "/posts_before_glass", False)
    kept = reply(small(kit=document, guard={"infill": "glass"}))["cautions"]
    assert (GLASS in kept, MEASURE_AGAIN in kept) == (True, False)
    assert not {"approved", "certified"} & set(" ".join([said, *plain]).lower().split())


@pytest.mark.parametrize(
    ("amount", "unit", "limit", "actual", "written"),
    [
        ("length", "in", 36.0, 35.99999, (36, 36)),
        ("length", "in", 36.0, 35.12344, (36, 35.1234)),
        ("length", "mm", 900.0, 899.12346, (900, 899.123)),
        ("degrees", "mm", 55.0, 60.12346, (55, 60.1235)),
        ("area", "in", 2300.0, 1234.00390625, (2300, 1234.004)),
    ],
)
def test_a_finding_is_rounded_as_what_it_is(
    amount: Amount, unit: Unit, limit: float, actual: float, written: Any
) -> None:
    """Lengths are rounded to 0.0001 in or 0.001 mm, angles to 0.0001 degrees, areas to 0.001."""
    finding = Finding("x", "kit", "fail", "violation", ("B1",), "M.", "k", limit, actual)
    found = write_finding(finding._replace(amount=amount), unit)
    assert (found["limit"], found["actual"]) == written


def test_a_finding_leaves_out_what_it_does_not_have() -> None:
    """A finding without a clause or a limit has no such member; a limit in words stays words."""
    finding = Finding("bases_apart", "engineering", "pass", "note", ("P1",), "M.")
    assert write_finding(finding, "in") == {
        **{"rule": "bases_apart", "source": "engineering", "result": "pass", "severity": "note"},
        **{"amended": False, "where": ["P1"], "message": "M."},
    }
    words = Finding("x", "code", "fail", "violation", (), "M.", limit="all guards")
    assert write_finding(words, "in")["limit"] == "all guards"


def test_an_amended_finding_says_what_was_published(whole: Any) -> None:
    """The deck amends the least height of guards to 42, and the code prints 36."""
    heights = [f for f in whole["findings"] if f["rule"] == "guard_height"]
    assert heights
    for finding in heights:
        assert (finding["amended"], finding["limit"], finding["published"]) == (True, 42, 36)


def test_the_closed_schema_sees_a_member_that_is_not_published(whole: Any) -> None:
    """The closed schema does find faults: a member more, at any depth, or one that is gone."""
    assert closed_layout({**whole, "colour": 1})
    assert closed_layout({name: whole[name] for name in whole if name != "runs"})
    odd = json.loads(json.dumps(whole))
    odd["bays"][0]["spare"] = 1
    assert closed_layout(odd)


def test_the_form_reads_what_the_schema_takes(whole: Any) -> None:
    """The form that documents the reply finds no fault in one, and finds the faults that are put
    into it."""
    form = LayoutForm()
    assert form.validate(whole) == {}
    odd = json.loads(json.dumps(whole))
    odd["runs"][0]["from"] = 7
    odd["findings"][0]["limit"] = True
    assert set(form.validate(odd)) == {"runs", "findings"}


@pytest.mark.parametrize("step", [1 / 32, 1 / 64])
def test_what_is_cut_or_marked_is_a_whole_number_of_marks(step: float) -> None:
    """Marks may be finer than four decimals hold: 1/64 is 0.015625, and only other numbers are
    rounded to 0.0001 (contract, section 1)."""
    whole = reply(small(precision=step))
    numbers = [row["length"] for row in whole["cut_list"]]
    numbers += [
        piece for row in whole["stock_plan"] for s in row["sticks"] for piece in s["pieces"]
    ]
    numbers += [mark for run in whole["runs"] for mark in run["marks"][:-1]]
    for bay in whole["bays"]:
        numbers += [*bay["rail_supports"], *bay["weep_holes"], *bay["pickets"]["centres"]]
        numbers += [bay["top_rail"]["cut"], bay["bottom_rail"]["cut"]]
    assert {number / step % 1 for number in numbers} == {0.0}
    assert any(number * 16 % 1 for number in numbers)
    assert any(round(number, 4) != number for number in numbers)
