"""Sizes at their least: nothing without length is cut, ordered or planned, and no plan fails."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from service.answer import answer_document
from service.core.problems import Unbuildable
from service.data.catalogue import load_catalogue

KIT = Path(__file__).parents[2] / "service" / "data" / "kits" / "picket-glass-surface-in.json"
CATALOGUE = load_catalogue()


def deck(height: float, infill: str = "picket") -> dict[str, Any]:
    """A deck 20 by 12 ft against a house, with an inline kit that a test may change."""
    outline = {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}
    level = {"id": "main", "drop": 48, "outline": outline, "edges": [edge(2, "wall")]}
    guard = {"infill": infill, "height": height}
    kit = json.loads(KIT.read_text("utf-8"))
    return {"unit": "in", "kit": kit, "guard": guard, "levels": [level]}


def edge(number: int, condition: str) -> dict[str, Any]:
    """An edge's number and condition."""
    return {"edge": number, "condition": condition}


def off_the_grid(height: float, infill: str) -> dict[str, Any]:
    """A deck with a gap of 2.51 under rails 1.75 and 1.25 deep, which the infill does not run
    into."""
    document = deck(height, infill)
    kit = document["kit"]
    kit["bottom_gap"] = 2.51
    for rail, depth in (("top", 1.75), ("bottom", 1.25)):
        kit["rails"][infill][rail]["depth"] = depth
    kit[infill]["engagement"] = {"top": 0, "bottom": 0}
    return document


@pytest.mark.parametrize("infill", ["picket", "glass"])
def test_a_guard_leaves_its_infill_a_mark(infill: str) -> None:
    """A guard is refused where its rails leave its infill less than one mark of height.

    2.51 + 1.75 + 1.25 = 5.51. A guard of 5.5625 leaves 0.0525, which is no mark: refused. One of
    5.625 leaves 0.115: one mark of 1/16.
    """
    with pytest.raises(Unbuildable) as refusal:
        answer_document(off_the_grid(5.5625, infill), CATALOGUE)
    (problem,) = refusal.value.problems
    assert problem.code == "height_too_low"
    assert "5.625 in at least" in problem.message
    reply = answer_document(off_the_grid(5.625, infill), CATALOGUE)
    heights = {
        bay["pickets"]["length"] if infill == "picket" else bay["glass"]["height"]
        for bay in reply["bays"]
    }
    assert heights == {0.0625}


@pytest.mark.parametrize(("sent", "told"), [(5.5, 5.5313), (5.5312, 5.53125)])
def test_the_least_height_that_is_told_is_taken(sent: float, told: float) -> None:
    """The least height of a guard is written upward, where its decimals do not end on the mark.

    2.5 + 1.75 + 1.25 = 5.5, and a mark of 1/32 is 0.03125: 5.53125, which is 5.5313 upward. The
    5.5312 that it rounds to leaves 0.0312, which is short of a mark by more than a thousandth; it
    is told the least in full, as four decimals would read like it.
    """
    document = off_the_grid(sent, "picket") | {"precision": 0.03125}
    document["kit"]["bottom_gap"] = 2.5
    with pytest.raises(Unbuildable) as refusal:
        answer_document(document, CATALOGUE)
    (problem,) = refusal.value.problems
    assert problem.message.endswith(f"it has to be {told} in at least.")
    document["guard"]["height"] = told
    reply = answer_document(document, CATALOGUE)
    assert {bay["pickets"]["length_text"] for bay in reply["bays"]} == {'1/32"'}


def test_a_height_that_nobody_sent_is_told_with_where_it_comes_from() -> None:
    """A refusal for a height that was left out says where the height comes from.

    The code has 36, but gives its unit as mm: 36 / 25.4 = 1.4173 in.
    """
    document = deck(36)
    del document["guard"]["height"]
    figures = {"guard_height": {"value": 36, "cite": "1"}}
    document["code"] = {"id": "own", "title": "Own", "edition": "1", "unit": "mm"}
    document["code"]["figures"] = figures
    with pytest.raises(Unbuildable) as refusal:
        answer_document(document, CATALOGUE)
    (problem,) = refusal.value.problems
    assert (problem.pointer, problem.code) == ("/guard", "height_too_low")
    assert problem.message.startswith(
        "A guard of 1.4173 in (no height is given: it is the code's, else the kit's least) leaves "
    )


def test_a_flight_s_guard_leaves_its_pickets_a_mark() -> None:
    """A flight's guard is refused where its rails leave its pickets less than one mark.

    7 on 24 is 25 along the slope: cos 0.96. 0.75 + (1.75 + 1.25)/0.96 = 3.875; with pickets that do
    not run into the rails 3.9375 leaves 1/16, and 3.93 less.
    """
    document = deck(36)
    kit = document["kit"]
    kit["stair_bottom_gap"] = 0.75
    for rail, depth in (("top", 1.75), ("bottom", 1.25)):
        kit["rails"]["picket"][rail]["depth"] = depth
    kit["picket"]["engagement"] = {"top": 0, "bottom": 0}
    opening = {"id": "steps", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    document["levels"][0]["openings"] = [opening]
    stair = {"id": "front", "opening": "main/steps", "rise": 35, "risers": 5, "going": 24}
    document["stairs"] = [{**stair, "guards": ["left"], "height": 3.9375}]
    reply = answer_document(document, CATALOGUE)
    raked = [bay for bay in reply["bays"] if bay["pitch"]]
    assert {bay["pickets"]["length"] for bay in raked} == {0.0625}
    document["stairs"][0]["height"] = 3.93
    with pytest.raises(Unbuildable) as refusal:
        answer_document(document, CATALOGUE)
    assert [problem.code for problem in refusal.value.problems] == ["flight_does_not_fit"]


def test_no_handrail_of_no_length() -> None:
    """A going of 0.02 on a riser of 0.02 is 0.0283 along the slope, no mark of 1/16, so there is no
    handrail."""
    document = deck(36)
    opening = {"id": "steps", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    document["levels"][0]["openings"] = [opening]
    stair = {"id": "front", "opening": "main/steps", "rise": 0.04, "risers": 2, "going": 0.02}
    document["stairs"] = [{**stair, "guards": [], "handrail": ["left"]}]
    reply = answer_document(document, CATALOGUE)
    assert reply["flights"][0]["handrails"] == []
    assert all(row["length"] > 0 for row in reply["cut_list"])


@pytest.mark.parametrize("under", [0.0, 4e-7, 9e-7, 1e-6, 1.1e-6, 2e-6])
@pytest.mark.parametrize("kerf", [0.0, 0.125, 0.2, 1 / 3])
def test_a_stick_as_long_as_its_piece_within_a_millionth(under: float, kerf: float) -> None:
    """A stick a little shorter than its piece never makes a plan fail.

    Rails of 55.625 are planned out of a stick that is short of that by less than a millionth; out
    of a shorter one they are reported as longer than every stick.
    """
    document = deck(36)
    document["levels"][0]["edges"] += [edge(1, "open"), edge(3, "open")]
    document["kit"]["parts"] = {}
    document["kit"].pop("included", None)
    document["kit"].pop("extras", None)
    rail = document["kit"]["rails"]["picket"]["top"]
    rail |= {"stock": [55.625 - under], "trim": 0, "kerf": kerf}
    reply = answer_document(document, CATALOGUE)
    (cut,) = [row for row in reply["cut_list"] if row["part"] == "top_rail_picket"]
    assert (cut["length"], cut["count"]) == (55.625, 4)
    plans = [plan for plan in reply["stock_plan"] if plan["part"] == "top_rail_picket"]
    sticks = sum(row["count"] for plan in plans for row in plan["sticks"])
    if under < 1e-6:
        assert sticks == 4
    if under > 1e-6 + 1e-9:
        assert sticks == 0


def test_the_least_width_of_a_gate_that_is_told_is_taken() -> None:
    """The least clear width of a gate is written upward, too.

    A leaf of two marks of 1/64, 0.03125, is one with room for an infill; with 0.75 at the hinge and
    0.5 at the latch that is 1.28125, which is 1.2813 upward. The 1.2812 that it rounds to would
    leave 0.0312, short of two marks by more than a thousandth of one.
    """
    document = deck(36) | {"precision": 0.015625}
    gate = {"id": "g", "edge": 0, "from": 96, "width": 1.27, "use": "gate"}
    document["levels"][0]["openings"] = [gate]
    with pytest.raises(Unbuildable) as refusal:
        answer_document(document, CATALOGUE)
    (problem,) = refusal.value.problems
    assert problem.code == "gate_too_narrow"
    assert "It needs 1.2813 in clear." in problem.message
    gate["width"] = 1.2813
    answer_document(document, CATALOGUE)
