"""Changes that advice offers, worked by hand: what moves, turns or ends otherwise.

test_advice checks that each change does cure its rule and breaks no other; the tests here check
which change it is. Sizes are those of the shipped inch kit: posts 2 1/4 in wide and 3 1/2 in from
the edge, bases 4 1/2 in wide, least bay 7 in, gates up to 46 in with gaps of 1/2 and 3/4 in beside
them.
"""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any, Final

import pytest

from service.answer import answer_document
from service.core.engine import lay_out
from service.data.catalogue import Catalogue
from service.rules.advice import outcomes, trial, work
from service.rules.advice.cures import cure
from service.rules.advice.heights import heights_to_try
from service.rules.advice.searches import shorten_moves
from service.rules.advice.spacing import closer_posts
from service.rules.advice.work import work_of
from service.rules.judge import judge
from tests.cases.test_cases import HERE, request_of

from .documents import read_deck
from .patching import patched

Json = dict[str, Any]
LEVEL: Json = {
    "id": "main",
    "drop": 48,
    "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]},
    "edges": [{"edge": 2, "condition": "wall"}],
}
FLIGHT: Json = {"id": "front", "opening": "main/s", "rise": 48, "risers": 7, "going": 11}


def _deck(openings: list[Json], **members: Any) -> Json:
    return {
        **{"unit": "in", "kit": "picket-glass-surface-in", "guard": {"infill": "picket"}},
        **{"levels": [{**LEVEL, "openings": openings}], "advise": True},
        **members,
    }


def _case(name: str) -> Json:
    path: Path = HERE / f"{name}.json"
    return {**request_of(json.loads(path.read_text("utf-8"))), "advise": True}


def _advised(document: Json, rule: str, catalogue: Catalogue) -> Json:
    reply = answer_document(document, catalogue)
    found = [one for one in reply.get("advice", ()) if one["rule"] == rule]
    assert len(found) == 1, reply.get("advice")
    (advice,) = found
    assert isinstance(advice, dict)
    return advice


def _added(advice: Json) -> dict[str, Any]:
    """The values that the advice's change writes, by their places; every step of it is an `add`."""
    assert {step["op"] for step in advice["change"]} == {"add"}
    return {step["path"]: step["value"] for step in advice["change"]}


@pytest.mark.parametrize(
    ("name", "rule", "written"),
    [
        # The deck is 40 in deep and the gate 40 in wide: opened in, it meets the railing across.
        ("gates/into_a_post", "gate_swing", {"/levels/0/openings/0/opens": "out"}),
        ("gates/over_its_flight", "gate_swing", {"/levels/0/openings/0/opens": "in"}),
        # The leaf of an opening of 48 is 46.75 wide, 0.75 over the kit's 46, so the opening has to
        # be 47.25.
        ("gates/too_wide", "gate_width", {"/levels/0/openings/0/width": 47.25}),
        # 12 - 3.5 - 1.125 - 1.125 - 1.125 is 5.125 between the faces; the least bay of 7 asks for
        # 1.875 more.
        (
            "openings/stretch_too_small_and_too_wide",
            "bay_size",
            {"/levels/0/openings/0/from": 13.875},
        ),
        # With the opening at 9 the bases overlap by 1/8 in.
        ("openings/bases_meet", "bases_apart", {"/levels/0/openings/0/from": 9.125}),
        (
            "flights/beside_it_a_level_short_of_its_treads",
            "stair_opening_size",
            {"/stairs/0/foot_post": "ground"},
        ),
        # The code asks for 914.4 mm and the opening is 900; marks are whole millimetres, and 914
        # counts as the code's figure.
        ("flights/triangle_millimetre", "stair_width", {"/levels/0/openings/0/width": 914}),
        ("flights/irc_too_steep_and_narrow", "stair_width", {"/levels/0/openings/0/width": 36}),
        (
            "openings/past_the_end_of_a_guard_that_is_required",
            "opening_size",
            {"/levels/0/edges/0/condition": "guard"},
        ),
        # Past the post on the side of the flight that has no guard, 7 7/8 in are open.
        (
            "openings/round_the_post_beside_an_opening",
            "opening_size",
            {"/stairs/0/guards": ["left", "right"]},
        ),
        # The tallest post is 48; the guard is 49.
        ("glass/too_high", "post_height", {"/guard/height": 48}),
        # The glass is 44 1/4 in high, 1/4 over what the kit takes.
        ("glass/too_high", "glass_size", {"/guard/height": 48.75}),
        # The top of the guard, which is the handrail, is 39 in high; at most 38 is allowed.
        ("codes/check_13_irc_top_as_handrail_39", "handrail_height", {"/stairs/0/height": 38}),
        # The drop is 49 in and the rise 48; the flight has seven risers, of 7 each with a rise of
        # 49.
        ("flights/rise_is_not_the_drop", "riser_evenness", {"/stairs/0/rise": 49}),
        # Bases 4 1/2 in wide stand on treads of 4.
        ("flights/going_under_a_base", "base_on_deck", {"/stairs/0/going": 4.5}),
        # The foothold is 162 mm up, 22 over 140; none may be at 140 itself, so the rail goes down
        # by one mark more.
        ("codes/check_34_nbc_foothold_4300", "climbable", {"/kit/bottom_gap": "67 mm"}),
        # A sphere of 100 mm must not pass, and it passes a gap of 100.
        (
            "codes/check_36_nbc_guard_not_required_150",
            "opening_not_required",
            {"/kit/picket/gap": "99 mm"},
        ),
        # The rail is 3.781 off the edge: 1.305 above it, sqrt(16 - 3.781^2), it leaves 4 in.
        ("fascia/inward_bow_off_the_edge", "gap_under_rail", {"/kit/bottom_gap": '1 1/4"'}),
    ],
)
def test_what_is_offered_is_what_the_figures_ask(
    name: str, rule: str, written: Json, catalogue: Catalogue
) -> None:
    """The value in the change follows from the finding's own limit and from the sizes above."""
    assert _added(_advised(_case(name), rule, catalogue)) == written


def test_a_railing_in_the_way_is_parted_where_the_flight_comes(catalogue: Catalogue) -> None:
    """The passage is as wide as the flight and a guard's base on either side. The opening runs from
    80 to 122 along y = 0, and the lower deck's edge starts at x = 220 and runs toward lower x: 98
    to 140 along it. A guard's base reaches 1 1/8 + 2 1/4 past the opening at either side."""
    advice = _advised(_case("neighbours/guard_at_the_foot"), "flight_clear", catalogue)
    passage = {"id": "way", "edge": 2, "from": 94.625, "width": 48.75, "use": "passage"}
    assert advice["change"] == [{"op": "add", "path": "/levels/1/openings", "value": [passage]}]


def test_glass_that_the_kit_has_not_gives_way_to_pickets(catalogue: Catalogue) -> None:
    """Where no pane of the kit is of the type that the code asks for, the advice offers pickets.
    Over a patio IBC 2021 2407.1 asks for laminated glass, and both panes of the kit are tempered.
    """
    advice = _advised(_case("codes/check_52_ibc_tempered_over_patio"), "glass_type", catalogue)
    changed = [step["value"] for step in advice["change"]]
    assert changed == [{"edge": edge, "infill": "picket"} for edge in (0, 1, 3)]
    assert advice["glass_panels"]["then"] == 0
    assert "it takes 10 glass panels fewer" in advice["message"]


def test_another_pane_is_offered_for_flights_too(catalogue: Catalogue) -> None:
    """The IBC (2407.1) asks for laminated glass above places where people walk. The fascia kit's
    pane 0 is tempered, and its pane 1 is laminated of tempered plies."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    flight = {**FLIGHT, "guards": ["left", "right"], "handrail": ["left"]}
    document = _deck(
        [opening],
        **{"kit": "picket-glass-fascia-in", "code": "us-ibc-2021", "occupancy": "dwelling"},
        **{"guard": {"infill": "glass", "height": 36}, "stairs": [flight]},
    )
    advice = _advised(document, "glass_type", catalogue)
    steps = {"/levels/0/edges/-": [{"edge": edge, "glass": 1} for edge in (0, 1, 3)]}
    assert [step["value"] for step in advice["change"][:3]] == steps["/levels/0/edges/-"]
    assert advice["change"][3:] == [{"op": "add", "path": "/stairs/0/glass", "value": 1}]
    assert "pane 1 of the kit, along edges 0, 1 and 3 of main and at flight front" in str(
        advice["message"]
    )


def test_setting_blocks_are_no_longer_than_is_asked(catalogue: Catalogue) -> None:
    """Blocks of 2 in, their middles 3 in from the ends, end 3 - 2/2 = 2 in from the corners of the
    glass. The trade has them 4 in long under panels of up to 40 sq ft, and 6 in from the corners:
    4/2 + 6 = 8 in from the ends to their middles."""
    kit = copy.deepcopy(catalogue.kits["picket-glass-surface-in"].document)
    kit["glass"]["block"] = {"inset": 3, "length": 2}
    advice = _advised(_deck([], kit=kit, guard={"infill": "glass"}), "setting_blocks", catalogue)
    assert _added(advice) == {
        "/kit/glass/block/length": '4"',
        "/kit/glass/block/inset": '8"',
    }


def test_a_guard_is_offered_on_the_side_that_lacks_one(catalogue: Catalogue) -> None:
    """The left side has its guard; the right side has none over a drop of 48 in, where over 30
    requires one (IRC 2021 R312.1.1)."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    stair = {**FLIGHT, "guards": ["left"], "handrail": ["left"]}
    advice = _advised(
        _deck([opening], code="us-irc-2021", stairs=[stair]), "guard_required", catalogue
    )
    assert _added(advice) == {"/stairs/0/guards": ["left", "right"]}
    assert "a guard on the right of flight front" in advice["message"]


def test_rails_meet_at_the_head_where_the_code_lets_them(catalogue: Catalogue) -> None:
    """A flight's guard is raised to meet the deck's rail at the head, and none is made lower than
    its code allows. The raked rail's top is a little over 42 mm under the level one's 1000, with a
    guard of 900 on the flight: 942 meets it, over the 865 that the NCC asks of flights. Without a
    code no guard is made lower; with the IRC, its 34 in does not let a guard of 36 come down to
    33 3/8."""
    advice = _advised(_case("codes/check_44_ncc_stair_900_deck_1000"), "head_heights", catalogue)
    assert _added(advice) == {"/stairs/0/height": 942}
    document = _case("flights/clockwise_outline")
    for code in ({}, {"code": "us-irc-2021"}):
        reply = answer_document({**document, **code}, catalogue)
        warned = [f for f in reply["findings"] if f["rule"] == "head_heights"]
        assert [f["result"] for f in warned] == ["fail"]
        assert not [one for one in reply.get("advice", ()) if one["rule"] == "head_heights"]


def test_a_corner_too_sharp_for_one_post_is_given_two(catalogue: Catalogue) -> None:
    """At a corner of 35 degrees the rails of the fascia kit turn by 145 degrees round the corner's
    post. The post is square to one rail, so the other meets it 55 off square, and the bracket
    reaches 50. A pair of end posts has no rail round the corner. Each edge of 100 has a post in its
    middle."""
    corners = [[0, 0], [100, 0], [140, 44.14], [81.915, 57.358]]
    walls = [{"edge": number, "condition": "wall"} for number in (1, 2)]
    level = {**LEVEL, "outline": {"points": corners}, "edges": walls}
    document = _deck([], kit="picket-glass-fascia-in", levels=[level])
    advice = _advised(document, "corner_angle", catalogue)
    assert _added(advice) == {"/kit/post/corner": "pair"}
    assert "a pair of end posts at each outside corner" in advice["message"]
    assert advice["posts"] == {"now": 3, "then": 4}


def test_a_guard_that_comes_round_a_sharp_corner_is_given_two_posts_there(
    catalogue: Catalogue,
) -> None:
    """The corner is the same, 48 in up, with a guard on only one of its edges: once the other edge
    has its guard too, the bracket of one post does not reach."""
    corners = [[0, 0], [100, 0], [140, 44.14], [81.915, 57.358]]
    edges = [{"edge": number, "condition": "wall"} for number in (1, 2)]
    edges.append({"edge": 3, "condition": "open"})
    level = {**LEVEL, "outline": {"points": corners}, "edges": edges}
    document = _deck([], code="us-irc-2021", kit="picket-glass-fascia-in", levels=[level])
    advice = _advised(document, "guard_required", catalogue)
    assert _added(advice) == {"/levels/0/edges/2/condition": "guard", "/kit/post/corner": "pair"}
    assert "a guard along edge 3 of main, and a pair of end posts" in advice["message"]


def test_a_stretch_beside_a_column_is_closed_by_a_post_there(catalogue: Catalogue) -> None:
    """A column from 224 to 229 along the edge leaves 235.375 - 229 = 6.375 to the face of the
    corner's post: under the least bay of 7, over the sphere of 4. A post half a base off the
    column, at 231.25, leaves 2.25 - 1.125 = 1.125 beside it and 235.375 - 232.375 = 3 beyond; its
    base ends at 233.5, and the corner's begins at 234.25. Another post stands before the column.
    With a stretch of 5 in, from a column that ends at 230.375, the bases would meet: 232.625 + 2.25
    is past 234.25."""

    def told(end: float) -> Json:
        points = [[224, 1], [end, 1], [end, 6], [224, 6]]
        column = {"name": "column", "points": points}
        level = {**LEVEL, "obstructions": [column]}
        document = _deck([], code="us-irc-2021", levels=[level])
        return _advised(document, "bay_size", catalogue)

    advice = told(229)
    assert _added(advice) == {"/levels/0/edges/-": {"edge": 0, "wall_end": "post"}}
    assert advice["posts"]["then"] - advice["posts"]["now"] == 2
    assert "a post where the railing along edge 0 of main ends" in advice["message"]
    narrow = told(230.375)
    assert narrow["result"] == "not_found"
    assert "the room between bases would be broken" in narrow["message"]


def test_a_railing_ends_nearer_to_an_open_edge_at_a_sharp_corner(catalogue: Catalogue) -> None:
    """The open edge runs back from (240, 0) by 5 in 12, a turn of 112.62 degrees, whose half has
    the tangent 1.5. Set in by 3.5, the post stands 5.25 before the corner and leaves 4.125 open.
    Ended as near the edge as it can be, its base, which reaches 5.75 in from the guarded edge,
    needs 5.75 * 5/12 + 2.25 = 4.6458 before the corner: 3.5208 are left open."""
    corners = [[0, 0], [240, 0], [190, 120], [0, 120]]
    edges = [{"edge": 1, "condition": "open", "drop": 6}, {"edge": 2, "condition": "wall"}]
    level = {**LEVEL, "outline": {"points": corners}, "edges": edges}
    document = _deck([], code="us-irc-2021", levels=[level])
    advice = _advised(document, "opening_size", catalogue)
    assert _added(advice) == {"/levels/0/edges/-": {"edge": 0, "open_end": "edge"}}
    assert "the railing along edge 0 of main ended as near the open edge" in advice["message"]


@pytest.mark.parametrize(
    "name",
    [
        "past_a_lower_wall_to_a_corner_post",
        "past_a_wall_to_a_corner_post",
        "past_a_wall_to_a_guard_that_goes_on",
        "past_a_wall_to_a_sharp_corner",
        "rails_that_end_at_a_column_beside_a_wall",
    ],
)
def test_no_wall_is_ended_nearer_to_an_open_edge(name: str, catalogue: Catalogue) -> None:
    """The gap is from the end of a wall, along which no railing could end elsewhere: no change is
    tried, and the reader is not told of one."""
    advice = _advised(_case(f"neighbours/{name}"), "opening_size", catalogue)
    assert (advice["result"], advice["message"]) == (
        "not_found",
        "There is no change here to try.",
    )


def test_two_levels_are_joined_by_one_end_post_nearer_or_by_both(catalogue: Catalogue) -> None:
    """The edge between the two levels is open on both. With a kit whose posts stand 4.5 in from the
    edge, 9 - 2.25 = 6.75 are between the end posts; 4.5 + 2.25 - 2.25 = 4.5 with one of them half a
    base off the edge, and 2.25 with both. With posts 3.5 in from the edge it is 4.75, and 3.5 with
    one of them nearer. With posts 2.5 in there is no gap over 4 to cure."""
    levels = [
        {
            "id": name,
            "drop": 48,
            "outline": {"points": [[x, 0], [x + 96, 0], [x + 96, 96], [x, 96]]},
            "edges": [{"edge": 2, "condition": "wall"}, {"edge": number, "condition": "open"}],
        }
        for name, x, number in (("west", 0, 1), ("east", 96, 3))
    ]
    kit = copy.deepcopy(catalogue.kits["picket-glass-surface-in"].document)

    def told(setback: float) -> list[tuple[str, Any]]:
        kit["post"]["setback"] = setback
        reply = answer_document(_deck([], code="us-irc-2021", kit=kit, levels=levels), catalogue)
        (advice,) = reply.get("advice") or [{"change": []}]
        return [(step["path"], step["value"]) for step in advice["change"]]

    ended = {"edge": 0, "open_end": "edge"}
    one, both = ("/levels/0/edges/-", ended), ("/levels/1/edges/-", ended)
    assert told(3.5) == [one]
    assert told(4.5) == [one, both]
    assert told(2.5) == []


def test_posts_askew_to_an_open_edge_close_both_their_own_gap_and_that_between_levels(
    catalogue: Catalogue,
) -> None:
    """The edge between the levels leans by 35 over 120 (7, 24, 25), and posts stand 4.5 in from the
    edge. Where a level turns by 73.74, half of which has the tangent 3/4, its post stands 3.375
    before the corner; where it turns by 106.26, half of which has the tangent 4/3, its post stands
    6 before and leaves 6 - 1.125 = 4.875 of its edge open. Between the two posts are 3.375 + 6 -
    2.25 = 7.125. Ended near the edge, the posts stand 2.25 - (4.5 - 2.25) * 7/24 = 1.59375 and (4.5
    + 2.25) * 7/24 + 2.25 = 4.21875 before the corner: 3.09375 of the edge are left open, and 3.5625
    between the two posts; 5.34375 if only one of them is moved."""
    west = [[0, 0], [100, 0], [135, 120], [0, 120]]
    east = [[100, 0], [240, 0], [240, 120], [135, 120]]
    levels = [
        {
            "id": name,
            "drop": 48,
            "outline": {"points": corners},
            "edges": [{"edge": number, "condition": "open"}],
        }
        for name, corners, number in (("west", west, 1), ("east", east, 3))
    ]
    kit = copy.deepcopy(catalogue.kits["picket-glass-surface-in"].document)
    kit["post"]["setback"] = 4.5
    document = _deck([], code="us-irc-2021", kit=kit, levels=levels)
    told = {
        finding["actual"]
        for finding in answer_document(document, catalogue)["findings"]
        if finding["rule"] == "opening_size" and finding["result"] == "fail"
    }
    assert told == {4.875, 7.125}
    advice = _advised(document, "opening_size", catalogue)
    written = sorted((step["path"], step["value"]["edge"]) for step in advice["change"])
    assert {step["value"]["open_end"] for step in advice["change"]} == {"edge"}
    assert written == [(f"/levels/{i}/edges/-", edge) for i in (0, 1) for edge in (0, 2)]


def test_two_gates_alike_are_cured_at_once(catalogue: Catalogue) -> None:
    """Each gate opens out over its own flight and has to open in: one trial cures both."""
    gates = [
        {"id": name, "edge": 0, "from": at, "width": 40, "use": "gate", "opens": "out"}
        for name, at in (("s", 40), ("t", 140))
    ]
    stairs = [FLIGHT, {**FLIGHT, "id": "other", "opening": "main/t"}]
    document = _deck(gates, stairs=[{**each, "guards": ["left", "right"]} for each in stairs])
    assert _added(_advised(document, "gate_swing", catalogue)) == {
        "/levels/0/openings/0/opens": "in",
        "/levels/0/openings/1/opens": "in",
    }
    bench = _bench(document, catalogue)
    assert cure(bench, "gate_swing") is not None
    assert bench.spent["gate_swing"] == 1


def _bench(document: Json, catalogue: Catalogue, bays: int = work.WORK) -> trial.Trial:
    """The trial of changes to a document, as it stands. bays: the work that there is for them, in
    bays."""
    deck, kit = read_deck(document), catalogue.kit(document["kit"]).records["in"]
    named = document.get("code")
    code = None if named is None else catalogue.code(named).records["in"]
    layout = lay_out(deck, kit, code)
    findings = judge(layout, deck, kit, code)
    return trial.Trial(outcomes.Outcome.standing(deck, kit, layout, findings), code, bays=bays)


def test_a_gate_over_a_drop_that_no_flight_goes_down_is_closed(catalogue: Catalogue) -> None:
    """The gate is 48 in up, and whichever way it swings there is nothing beyond it to step on."""
    gate = {"id": "g", "edge": 0, "from": 96, "width": 40, "use": "gate"}
    advice = _advised(_deck([gate], code="us-irc-2021"), "gate_swing", catalogue)
    assert advice["change"] == [{"op": "remove", "path": "/levels/0/openings/0"}]
    assert "as no flight goes down there" in advice["message"]


@pytest.mark.parametrize("down", [(), (1,), (2,), (1, 2), (0, 2)])
def test_gates_closed_beside_gates_turned_are_those_that_were_meant(
    down: tuple[int, ...], catalogue: Catalogue
) -> None:
    """Of three gates that open out 48 in up, those over a flight are made to open in and the others
    are removed, each by the index that its opening has once the steps before it are made."""
    gates = [
        {"id": f"g{i}", "edge": 0, "from": 20 + 70 * i, "width": 40, "use": "gate", "opens": "out"}
        for i in range(3)
    ]
    stairs = [{**FLIGHT, "id": f"f{i}", "opening": f"main/g{i}"} for i in down]
    document = _deck(gates, stairs=[{**each, "guards": ["left", "right"]} for each in stairs])
    change = _advised(document, "gate_swing", catalogue)["change"]
    openings = patched(document, change, catalogue)["levels"][0]["openings"]
    assert openings == [{**gates[i], "opens": "in"} for i in down]


def test_a_cure_breaks_no_rule_at_another_place(catalogue: Catalogue) -> None:
    """A rule that is broken in one place already may not be broken by a change in another. A guard
    along the landing's edge, of which the flight leaves 160 - 142.25 = 17.75 open, would stand in
    the foot posts of the flight, although one of their bases meets another post already."""
    document = _case("flights/foot_posts_past_the_lowest_riser_over_a_further_drop")
    points = [[98, -110], [160, -110], [160, -66], [98, -66]]
    document["levels"][1]["outline"]["points"] = points
    advice = _advised(document, "guard_required", catalogue)
    assert advice["result"] == "not_found"
    assert "the rules on the room between bases and" in advice["message"]
    assert "would be broken" in advice["message"]


def test_where_bays_were_measured_no_post_of_theirs_moves(catalogue: Catalogue) -> None:
    """Moving the opening by 1 7/8 in would move the posts of the run beyond it, of which a bay was
    measured. Instead the opening reaches to the corner post, 5 1/8 + 2 1/4 in nearer, and its far
    side stays. Where a bay of the next side was measured, one bay more before it would change its
    number; so the opening moves the other way, by 1 7/8 in, which leaves 3 1/4 in: no sphere of 4
    in passes there, and no bay is needed."""
    document = _case("openings/stretch_too_small_and_too_wide")
    reply = answer_document(document, catalogue)
    edges = {run["id"]: run["edge"] for run in reply["runs"]}
    offered = []
    for edge in (0, 1):
        bay = next(each for each in reply["bays"] if edges[each["run"]] == edge)
        measure = {"bay": bay["id"], "clear_top": bay["clear"], "clear_bottom": bay["clear"]}
        measured = {**document, "site_measures": [measure]}
        offered.append(_added(_advised(measured, "bay_size", catalogue)))
    at = "/levels/0/openings/0"
    assert offered == [{f"{at}/from": 4.625, f"{at}/width": 43.375}, {f"{at}/from": 10.125}]


def test_posts_that_stand_are_not_measured_again_for_a_change(catalogue: Catalogue) -> None:
    """Four bays of 56 stand along the front (rectangles/against_a_house), and the first was
    measured as 56. With posts closer it would be another bay, or none. The message says that, and
    does not say that somebody measured wrongly, or measured the wrong bay."""
    measure = {"bay": "B1", "clear_top": 56, "clear_bottom": 56}
    document = _deck([], code="ca-nbc-2020", site_measures=[measure])
    document["guard"]["height"] = 42
    message = _advised(document, "strength_base", catalogue)["message"]
    assert "the bays that were measured would not be the same" in message
    for word in ("measure it again", "There is no bay", "cannot be built"):
        assert word not in message


def test_of_a_kit_without_handrails_the_guard_s_top_is_one(catalogue: Catalogue) -> None:
    """Eight risers want a handrail (IRC 2021 R311.7.8); the top of a guard of 36 in may serve as
    one (R312.1.2, exception 2). Whether a hand closes round it is not known, so the change brings
    that as a rule not checked."""
    document = _case("flights/little_over_the_deck_under_a_raked_rail")
    assert "handrail" not in document["kit"]
    advice = _advised(document, "handrail_required", catalogue)
    assert _added(advice) == {"/stairs/0/top_as_handrail": True}
    assert advice["brings"] == ["handrail_grip"]


def test_the_guard_s_top_is_not_offered_where_it_ends_too_soon(catalogue: Catalogue) -> None:
    """Four risers of 7 come to 28 in, where the IBC asks for no guard, but for handrails on both
    sides that go on 12 in past the top riser (1014.6): the top of a guard of 36 in ends at its head
    post, so it is no cure. In a dwelling (1014.6, exception) a handrail may end there."""
    kit = copy.deepcopy(catalogue.kit("picket-glass-surface-in").document)
    del kit["handrail"]
    flight = {**FLIGHT, "rise": 28, "risers": 4, "guards": ["left", "right"]}
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    document = _deck([opening], kit=kit, code="us-ibc-2021", stairs=[flight], occupants=10)
    document["levels"][0]["drop"] = 28
    document["guard"]["height"] = 36
    found = [
        _advised({**document, "occupancy": occupancy}, "handrail_required", catalogue)["result"]
        for occupancy in ("shared", "dwelling")
    ]
    assert found == ["not_found", "cured"]


def test_the_work_goes_by_more_than_bays(catalogue: Catalogue) -> None:
    """Eight columns of 64 corners and an outline of 4 are as much work as 516/16 = 32 bays, a
    flight as much as 12, a bowed edge as much as 6. The rise of 120 in is cured by no number of
    risers, so counts of risers are tried until the work is used up: with work for two and a half
    tries, three are made, as the last one is begun. With a fifth of that work, one is made."""
    columns = [
        {
            "name": f"c{i}",
            "points": [[20 + 25 * i + k / 16, 90 + k * (64 - k) / 64] for k in range(64)],
        }
        for i in range(8)
    ]
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    level = {**LEVEL, "openings": [opening], "obstructions": columns}
    stair = {**FLIGHT, "rise": 120, "risers": 6, "going": 10}
    document = _deck([], code="us-irc-2021", levels=[level], stairs=[stair])
    bench = _bench(document, catalogue)
    weight = len(bench.layout.bays) + 32 + 12
    assert work_of(bench.deck, bench.layout) == weight
    bowed = {**level, "edges": [*level.get("edges", []), {"edge": 3, "arc_rise": 12}]}
    other = _bench({**document, "levels": [bowed]}, catalogue)
    assert work_of(other.deck, other.layout) == len(other.layout.bays) + 32 + 12 + 6
    bench = _bench(document, catalogue, bays=5 * weight // 2)
    assert cure(bench, "riser_height") is None
    assert bench.spent["riser_height"] == 3
    bench = _bench(document, catalogue, bays=5 * weight // 2)
    bench.share_among(5)
    assert cure(bench, "riser_height") is None
    assert bench.spent["riser_height"] == 1


def test_what_levels_beside_each_other_weigh(catalogue: Catalogue) -> None:
    """Two of three levels of 4 edges lie over each other, so that each of 8 edges is held against
    another level: 8/6 is one bay, and 12/16 of one for the corners is none. An outline given as a
    walk begins at the origin as others do, and may lie over both: 16/6 are two bays."""
    square = {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}
    apart = {"points": [[x + 1000, y] for x, y in square["points"]]}
    walk = {"sides": [{"length": each} for each in (240, 144, 240, 144)]}

    def work(*outlines: dict[str, Any]) -> int:
        levels = [
            {"id": f"l{i}", "drop": 48 + 24 * i, "outline": outline}
            for i, outline in enumerate(outlines)
        ]
        bench = _bench(_deck([], code="us-irc-2021", levels=levels), catalogue)
        return work_of(bench.deck, bench.layout) - len(bench.layout.bays)

    assert [work(square, square, apart), work(square, walk, apart)] == [1, 2]


def test_a_deck_that_is_all_the_work_itself_has_no_tries(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A deck whose own layout takes all the work that a request may take leaves none for changes. A
    flight that is too steep, and that another number of risers cures, gets no cure where the deck
    is all the work, and gets one where a single unit of work is left."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    stair = {**FLIGHT, "risers": 6}
    document = _deck(
        [], code="us-irc-2021", levels=[{**LEVEL, "openings": [opening]}], stairs=[stair]
    )
    bench = _bench(document, catalogue)
    weight = work_of(bench.deck, bench.layout)
    results = []
    for most in (weight, weight + 1):
        monkeypatch.setattr(work, "WORK", most)
        told = answer_document({**document, "advise": True}, catalogue)["advice"]
        results += [one["result"] for one in told if one["rule"] == "riser_height"]
    assert results == ["not_found", "cured"]


def test_pickets_closer_where_a_measured_bay_leaves_too_much_at_its_ends(
    catalogue: Catalogue,
) -> None:
    """246 less 3.5 twice are 239 between posts, four bays of (239 - 9) / 4 = 57.5 clear. A bay that
    is 58 at the bottom rail takes 12 pickets: (57.5 - 9 - 41.25) / 2 = 3.625 at its ends, and 1/2
    more at the bottom, 4.125. With a gap one mark less, 3 11/16, it takes 13 and leaves 1.75 and
    1/2."""
    level = {**LEVEL, "outline": {"points": [[0, 0], [246, 0], [246, 144], [0, 144]]}}
    measure = {"bay": "B1", "clear_top": 57.5, "clear_bottom": 58}
    document = _deck([], code="us-irc-2021", levels=[level], site_measures=[measure])
    found = answer_document(document, catalogue)["findings"]
    wide = [f["actual"] for f in found if f["rule"] == "opening_size" and f["result"] == "fail"]
    assert wide == [4.125]
    advice = _advised(document, "opening_size", catalogue)
    assert advice["message"].startswith("Tried, and it passes: pickets at a gap of at most 3 11/16")
    assert _added(advice)["/kit/picket/gap"] == '3 11/16"'


def test_a_railing_is_not_done_away_with_by_posts_too_close_for_it(catalogue: Catalogue) -> None:
    """Posts so close that no bay is left are no cure for infill that is too weak. The Australian
    code puts 0.5 kN, 112.4 lbf, on one picket. 1.5 times that in the middle of 30 in or more
    between rails is 1264 lb-in; a tube of 3/4 with a wall of 1/16 has (0.75^4 - 0.625^4) / 12 /
    0.375 = 0.0364 in3, and 34 700 psi, over the 31 ksi at which the strongest 6063 yields, however
    close posts stand. At 8 5/8 apart 6 3/8 would be clear, under the least bay of 7: no bay at all
    would be left and, at a drop of 20 in, where that code asks for no guard, nothing that fails."""
    level = {**LEVEL, "drop": 20}
    document = _deck([], code="au-ncc-2022", levels=[level])
    bench = _bench(document, catalogue)
    assert closer_posts(bench, "strength_infill") is None
    declined = bench.declined["strength_infill"]
    why = declined['posts of picket bays at most 8 5/8" apart']
    assert why == "a stretch that has a railing would be left without one"
    # Nor does the advice say that glass passes, as its strength under that load is not known.
    advice = _advised(document, "strength_infill", catalogue)
    assert advice["result"] == "not_found"
    assert "the strength of that glass could not be checked" in advice["message"]


def test_a_guard_that_is_low_enough_stays_where_others_are_lowered(catalogue: Catalogue) -> None:
    """The tallest post is 48. The guard is 50 high all round and 36 along edge 0; the corner posts
    are as high as the 50 of their other edges needs, so edge 0 stays as it is."""
    edges = [*LEVEL["edges"], {"edge": 0, "height": 36}]
    guard = {"infill": "picket", "height": 50}
    document = _deck([], levels=[{**LEVEL, "edges": edges}], guard=guard)
    advice = _advised(document, "post_height", catalogue)
    assert [(step["path"], step["value"]) for step in advice["change"]] == [
        ("/levels/0/edges/-", {"edge": 1, "height": 48}),
        ("/levels/0/edges/-", {"edge": 3, "height": 48}),
    ]
    assert "the guard 4' high along edges 1 and 3 of main" in advice["message"]


def test_the_guard_of_a_deck_is_not_lowered_by_what_a_flight_is_too_high(
    catalogue: Catalogue,
) -> None:
    """The guard is 50 high all round. A post in the middle of a tread stands half a riser below the
    line of nosings and needs 50 + 48/14 = 53.4286, which is 5.4286 over 48: the flight's guard may
    be 44.5714, 44 9/16 on a mark. Its head post needs 50 + 3.5 * (48/7)/11 = 52.1818, less than
    that over. On the deck the guard may be 48, as high as posts are."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    stairs = [{**FLIGHT, "guards": ["left", "right"]}]
    guard = {"infill": "picket", "height": 50}
    advice = _advised(_deck([opening], stairs=stairs, guard=guard), "post_height", catalogue)
    assert _added(advice) == {"/guard/height": 48, "/stairs/0/height": 44.5625}
    assert "the guard 4' high, and the guard of flight front 3' 8 9/16\" high" in advice["message"]


@pytest.mark.parametrize(
    ("height", "lowered"),
    [
        # 38 + 48/14 = 41.4286, less than the tallest post, 48.
        (38, {}),
        # 50 + 48/14 = 53.4286, 5.4286 over 48; at its head 52.1818, of a post that is 60.
        (50, {"/stairs/0/height": 44.5625}),
    ],
)
def test_a_flights_guard_is_not_lowered_by_what_its_head_post_is_too_high(
    height: float, lowered: Json, catalogue: Catalogue
) -> None:
    """The guard is 60 on the deck, so head posts are as high; down the flight it is less, and the
    flight's own tallest post is the one in the middle of a tread, half a riser below the line of
    nosings."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    stairs = [{**FLIGHT, "guards": ["left", "right"], "height": height}]
    guard = {"infill": "picket", "height": 60}
    advice = _advised(_deck([opening], stairs=stairs, guard=guard), "post_height", catalogue)
    assert _added(advice) == {"/guard/height": 48, **lowered}


def _two_flights(**members: Any) -> Json:
    """A deck 48 in up with two flights: `east` has seven risers on goings of 11, `west` eight on
    goings of 12. own: further members of `east` and of `west`."""
    openings = [
        {"id": name, "edge": 0, "from": at, "width": 40, "use": "stair"}
        for name, at in (("e", 150), ("w", 40))
    ]
    own = members.pop("own")
    stairs = [
        {"rise": 48, "guards": ["left", "right"], **each, "id": name, "opening": f"main/{name[0]}"}
        for name, each in (
            ("east", {"risers": 7, "going": 11, **own[0]}),
            ("west", {"risers": 8, "going": 12, **own[1]}),
        )
    ]
    return _deck(openings, code="us-irc-2021", stairs=stairs, **members)


def test_each_flight_is_named_with_its_own_height_where_rails_meet(catalogue: Catalogue) -> None:
    """The deck's guard is 42. At a head post, 3.5 in from the edge, a raked rail is higher than the
    level one by 3.5 * (48/7)/11 = 2.1818 on one flight and by 3.5 * 6/12 = 1.75 on the other:
    guards of 39.8182, of which 39 13/16 is the nearest mark, and of 40 1/4 meet the deck's rail."""
    guard = {"infill": "picket", "height": 42}
    advice = _advised(_two_flights(own=[{}, {}], guard=guard), "head_heights", catalogue)
    assert _added(advice) == {"/stairs/0/height": 39.8125, "/stairs/1/height": 40.25}
    told = advice["message"].partition(": ")[2]
    assert told in (
        "the guard of flight east 3' 3 13/16\" and of flight west 3' 4 1/4\" high.",
        "the guard of flight west 3' 4 1/4\" and of flight east 3' 3 13/16\" high.",
    )


def test_each_flight_is_named_with_its_own_height_where_posts_are_too_low(
    catalogue: Catalogue,
) -> None:
    """The tallest post is 48, and the guards of the flights are 46 and 47. A post in the middle of
    a tread needs half a riser more, 48/14 = 3.4286 and 3: guards of 44.5714, 44 9/16 on a mark, and
    of 45 are the highest that the posts reach."""
    deck = _two_flights(own=[{"height": 46}, {"height": 47}])
    advice = _advised(deck, "post_height", catalogue)
    assert _added(advice) == {"/stairs/0/height": 44.5625, "/stairs/1/height": 45}
    told = advice["message"].partition(": ")[2]
    assert told in (
        "the guard of flight east 3' 8 9/16\" and of flight west 3' 9\" high.",
        "the guard of flight west 3' 9\" and of flight east 3' 8 9/16\" high.",
    )


@pytest.mark.parametrize(
    ("own", "rule", "written", "told"),
    [
        # A flight's guard has to be 34 in high (IRC 2021 R312.1.2, exception 1); in the second case
        # one of the two has 36.
        (
            [{"height": 32}, {"height": 33}],
            "stair_guard_height",
            {"/stairs/0/height": 34, "/stairs/1/height": 34},
            "the guards of flights east and west 2' 10\" high.",
        ),
        (
            [{"height": 36}, {"height": 33}],
            "stair_guard_height",
            {"/stairs/1/height": 34},
            "the guards of flight west 2' 10\" high.",
        ),
        # A guard's top that serves as a handrail is at most 38 in high (R312.1.2, exception 2).
        (
            [{"height": 40, "top_as_handrail": True}, {"height": 41, "top_as_handrail": True}],
            "handrail_height",
            {"/stairs/0/height": 38, "/stairs/1/height": 38},
            "the guards of flights east and west 3' 2\" high.",
        ),
        (
            [{"height": 40, "top_as_handrail": True}, {"height": 37, "top_as_handrail": True}],
            "handrail_height",
            {"/stairs/0/height": 38},
            "the guards of flight east 3' 2\" high.",
        ),
    ],
)
def test_the_flights_that_a_height_is_offered_for_are_named(
    own: list[Json], rule: str, written: Json, told: str, catalogue: Catalogue
) -> None:
    """The message names the flights that fail the rule, and no other."""
    advice = _advised(_two_flights(own=own), rule, catalogue)
    assert _added(advice) == written
    assert advice["message"].partition(": ")[2] == told


@pytest.mark.parametrize("opens", ["in", "out"])
@pytest.mark.parametrize("handrail", [["right"], ["left", "right"]])
def test_a_gate_that_stands_in_a_handrail_is_left_out(
    handrail: list[str], opens: str, catalogue: Catalogue
) -> None:
    """A fascia kit's gate shuts 2 1/4 in outside the deck's edge, over the first tread, where the
    handrail begins, whichever way it swings and wherever the flight goes down; one that opens out
    also swings over treads. No code asks for a gate there, so the advice leaves it out."""
    gate = {"id": "s", "edge": 0, "from": 96, "width": 40, "use": "gate", "opens": opens}
    stair = {**FLIGHT, "guards": ["left", "right"], "handrail": handrail}
    document = _deck([gate], kit="picket-glass-fascia-in", code="us-irc-2021", stairs=[stair])
    advice = _advised(document, "gate_swing", catalogue)
    assert _added(advice) == {"/levels/0/openings/0/use": "stair"}
    assert "no gate at main/s, the head of a flight" in advice["message"]


@pytest.mark.parametrize(
    ("at", "hand", "start"),
    [(136, "left", 92.625), (138, "left", 94.625), (86, "right", 99.375), (84, "right", 97.375)],
)
def test_a_gate_that_hangs_on_something_too_low_gets_a_post_of_its_own(
    at: float, hand: str, start: float, catalogue: Catalogue
) -> None:
    """A planter 24 in high and 10 long stands 0 or 2 in past the gate, which goes from 96 to 136,
    or as far before it: within the width of a post, so that the planter is the gate's jamb. With a
    post there, half a post and half a base, 1.125 + 2.25 = 3.375, lie between gate and planter. The
    railing on the planter's other side gets its own post, too."""
    corners = [(at, 1), (at + 10, 1), (at + 10, 8), (at, 8)]
    planter = {"name": "planter", "height": 24, "points": [list(each) for each in corners]}
    gate = {"id": "s", "edge": 0, "from": 96, "width": 40, "use": "gate"}
    level = {**LEVEL, "openings": [gate], "obstructions": [planter]}
    stairs = [{**FLIGHT, "guards": [hand], "handrail": [hand]}]
    document = _deck([], code="us-irc-2021", levels=[level], stairs=stairs)
    advice = _advised(document, "holds_high_enough", catalogue)
    assert _added(advice) == {
        "/levels/0/edges/-": {"edge": 0, "wall_end": "post"},
        "/levels/0/openings/0/from": start,
    }
    assert advice["posts"]["then"] - advice["posts"]["now"] == 2


def _beside_a_gate(*corners: list[list[float]]) -> Json:
    """A deck with a gate from 96 to 136, a guard on the left of its flight, and a thing 24 in high
    for each of `corners` beside the gate."""
    gate = {"id": "s", "edge": 0, "from": 96, "width": 40, "use": "gate"}
    things = [
        {"name": f"planter {i}", "height": 24, "points": points} for i, points in enumerate(corners)
    ]
    level = {**LEVEL, "openings": [gate], "obstructions": things}
    stairs = [{**FLIGHT, "guards": ["left"], "handrail": ["left"]}]
    return _deck([], code="us-irc-2021", levels=[level], stairs=stairs)


def test_a_gate_that_hangs_on_two_things_too_low_gets_a_post_of_its_own(
    catalogue: Catalogue,
) -> None:
    """Two planters stand side by side where the gate ends: it is moved to end 3.375 off them, and
    so begins at 92.625."""
    planters = [[[136.0, y], [146.0, y], [146.0, y + 3], [136.0, y + 3]] for y in (1.0, 4.0)]
    advice = _advised(_beside_a_gate(*planters), "holds_high_enough", catalogue)
    assert _added(advice)["/levels/0/openings/0/from"] == 92.625


def test_a_post_of_a_gates_own_stands_wider_than_itself_off_what_is_too_low(
    catalogue: Catalogue,
) -> None:
    """With a base no wider than the post, 2 1/4 in, there is room for the post where the gate ends
    that far off the planter; but at that distance the planter still is the jamb. One mark further
    off it no longer is: the gate begins at 96 - 2.3125 = 93.6875."""
    kit = copy.deepcopy(catalogue.kits["picket-glass-surface-in"].document)
    del kit["strength"]
    kit["post"]["base"].update(width=2.25, fixing_inset=0.5, fixing_edge_distance=0.25)
    document = _beside_a_gate([[136, 1], [146, 1], [146, 8], [136, 8]])
    advice = _advised({**document, "kit": kit}, "holds_high_enough", catalogue)
    assert _added(advice)["/levels/0/openings/0/from"] == 93.6875


@pytest.mark.parametrize(
    ("kit", "setback", "asked"),
    [
        # Half a base of 4 1/2 in.
        ("picket-glass-surface-in", 2, '2 1/4"'),
        # Half a base of 120 mm is 2.3622 in; the kit's setback is 50 mm here.
        ("glass-picket-surface-mm", 50, '2 3/8"'),
    ],
)
def test_posts_stand_as_far_in_as_their_bases_need(
    kit: str, setback: float, asked: str, catalogue: Catalogue
) -> None:
    """The setback offered is half a base. Corner posts, which reach past two edges at once, need no
    more than the others."""
    own = copy.deepcopy(catalogue.kits[kit].document)
    own["post"]["setback"] = setback
    advice = _advised(_deck([], kit=own), "base_on_deck", catalogue)
    assert _added(advice) == {"/kit/post/setback": asked}
    assert f"posts {asked} from the edge of the deck to their middle" in advice["message"]


def test_posts_at_the_head_of_a_flight_stand_as_far_in_as_their_bases_need(
    catalogue: Catalogue,
) -> None:
    """The only posts of a landing of 54 in between walls are those at the head of its flight, 2 in
    from the edge: of half a base of 4 1/2, a quarter of an inch is past the edge."""
    kit = copy.deepcopy(catalogue.kits["picket-glass-surface-in"].document)
    kit["post"]["setback"] = 2
    walls = [{"edge": number, "condition": "wall"} for number in (1, 2, 3)]
    outline = {"points": [[0, 0], [54, 0], [54, 144], [0, 144]]}
    opening = {"id": "s", "edge": 0, "from": 4, "width": 46, "use": "stair"}
    level = {**LEVEL, "outline": outline, "edges": walls, "openings": [opening]}
    stairs = [{**FLIGHT, "guards": ["left", "right"]}]
    document = _deck([], kit=kit, levels=[level], stairs=stairs)
    advice = _advised(document, "base_on_deck", catalogue)
    assert _added(advice) == {"/kit/post/setback": '2 1/4"'}


@pytest.mark.parametrize(("unit", "start", "moved"), [("in", 3, 3.25), ("mm", 62.5, 83)])
def test_an_opening_is_moved_until_its_post_is_on_its_rim(
    unit: str, start: float, moved: float, catalogue: Catalogue
) -> None:
    """With a fascia kit an opening 3 in from the corner has its post at 3 - 1.25 = 1.75, whose base
    of 4 in reaches 1/4 past the corner. An opening 62.5 mm from the corner has its post at 30.75,
    and 20.05 of the half base of 50.8 are past the corner: from 82.55 on the base is on its rim,
    and the next mark is 83."""
    long = 25 if unit == "mm" else 1
    points = [[x * long, y * long] for x, y in LEVEL["outline"]["points"]]
    opening = {"id": "p", "edge": 0, "from": start, "width": 40 * long, "use": "passage"}
    level = {**LEVEL, "drop": 48 * long, "outline": {"points": points}, "openings": [opening]}
    document = _deck([], unit=unit, kit="picket-glass-fascia-in", levels=[level])
    advice = _advised(document, "base_on_deck", catalogue)
    assert _added(advice) == {"/levels/0/openings/0/from": moved}


def test_a_going_as_wide_as_a_base_is_on_a_mark(catalogue: Catalogue) -> None:
    """The base of 120 mm is 4.7244 in wide, and 4 3/4 is the next mark."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    stairs = [{**FLIGHT, "going": 4, "guards": ["left", "right"]}]
    document = _deck([opening], kit="glass-picket-surface-mm", stairs=stairs)
    advice = _advised(document, "base_on_deck", catalogue)
    assert _added(advice) == {"/stairs/0/going": 4.75}


def test_rails_that_grow_too_much_are_cut_shorter_by_another_post(catalogue: Catalogue) -> None:
    """Corner posts stand 240 - 7 = 233 apart: four bays of 58.25 with bottom rails of 58.25 - 2.25
    - 0.25 = 55.75. Over 400 degrees Fahrenheit, at 13 millionths, they grow by 0.29, and have 0.25
    to grow into. With posts at most one mark less than 58 1/4 apart there are five bays."""
    document = _deck([], code="us-irc-2021", site={"temperature_range": 400})
    advice = _advised(document, "thermal_growth", catalogue)
    assert _added(advice) == {"/kit/max_centres/picket": "4' 10 3/16\""}
    assert advice["posts"]["then"] - advice["posts"]["now"] == 1


@pytest.mark.parametrize(("height", "offered"), [(42, True), (30, False)])
def test_no_guard_of_a_flight_is_made_lower_than_a_code_has_it_to_meet_a_rail(
    height: float, offered: bool, catalogue: Catalogue
) -> None:
    """At a drop of 20 in no guard is required (IRC 2021 R312.1.1: over 30). The rails of a flight
    of three risers, 3.5 * (20/3)/11 = 2.1212 higher at the head, meet the deck's 42 with a guard of
    39 7/8, and its 30 with one of 27 7/8, which is less than the 34 that the code has for a flight
    (R312.1.2, exception 1)."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    stairs = [{**FLIGHT, "rise": 20, "risers": 3, "guards": ["left", "right"], "height": 42}]
    level = {**LEVEL, "drop": 20, "openings": [opening]}
    guard = {"infill": "picket", "height": height}
    document = _deck([], code="us-irc-2021", levels=[level], stairs=stairs, guard=guard)
    reply = answer_document(document, catalogue)
    (warned, *_) = [f for f in reply["findings"] if f["rule"] == "head_heights"]
    assert warned["result"] == "fail"
    told = [_added(each) for each in reply.get("advice", ()) if each["rule"] == "head_heights"]
    assert told == ([{"/stairs/0/height": 39.875}] if offered else [])


def test_as_many_risers_are_offered_as_all_rules_on_them_ask(catalogue: Catalogue) -> None:
    """900 mm in three risers of 300, on goings of 280, break three rules (Approved Document K 2013,
    Table 1.1): each riser is over 220, two risers and a going are 880 where at most 700 is allowed,
    and the pitch is 47 degrees where at most 42 is. Four risers of 225 are 38.8 degrees, and still
    too high; five of 180 come to 640 and cure all three, so that no advice offers four."""
    level = {
        **{"id": "main", "drop": 900, "edges": [{"edge": 2, "condition": "wall"}]},
        **{"outline": {"points": [[0, 0], [6000, 0], [6000, 3600], [0, 3600]]}},
        "openings": [{"id": "s", "edge": 0, "from": 2400, "width": 1000, "use": "stair"}],
    }
    flight = {"id": "front", "opening": "main/s", "rise": 900, "risers": 3, "going": 280}
    document = _deck(
        [],
        **{"unit": "mm", "kit": "glass-picket-surface-mm", "code": "gb-eng-adk-2013"},
        **{"levels": [level], "stairs": [{**flight, "guards": ["left", "right"]}]},
    )
    for rule in ("riser_height", "risers_and_going", "stair_pitch"):
        assert _added(_advised(document, rule, catalogue)) == {"/stairs/0/risers": 5}, rule


def test_no_guard_is_offered_on_a_flight_that_needs_none(catalogue: Catalogue) -> None:
    """Of two flights with bare sides, the one over a drop of 48 in needs a guard on its right (IRC
    2021 R312.1.1: over 30), and the one over 14 in needs one on neither side."""
    points = [[300, 0], [420, 0], [420, 96], [300, 96]]
    low = {"id": "low", "drop": 14, "outline": {"points": points}}
    openings = [
        {"id": name, "edge": 0, "from": 40, "width": 48, "use": "stair"} for name in ("s", "t")
    ]
    levels = [{**LEVEL, "openings": openings[:1]}, {**low, "openings": openings[1:]}]
    stairs = [
        {**FLIGHT, "guards": ["left"], "handrail": ["left"]},
        {**FLIGHT, "id": "short", "opening": "low/t", "rise": 14, "risers": 2},
    ]
    document = _deck([], code="us-irc-2021", levels=levels, stairs=stairs)
    advice = _advised(document, "guard_required", catalogue)
    assert _added(advice) == {"/stairs/0/guards": ["left", "right"]}


def test_a_rail_all_but_on_the_nosings_is_offered_where_no_higher_one_passes(
    catalogue: Catalogue,
) -> None:
    """Risers of 7 on goings of 22 leave a triangle that passes a sphere of 7 + 22 - sqrt(49 + 484)
    = 5.9132 with the rail on the nosings; with the rail 1/16 above them (1 + 0.0625/7) of that,
    5.9660, and 1/8 above them 6.0188, over the 6 of IRC 2021 R312.1.3, exception 1."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    stair = {**FLIGHT, "rise": 49, "going": 22, "guards": ["left", "right"], "handrail": ["left"]}
    levels = [{**LEVEL, "drop": 49, "openings": [opening]}]
    document = _deck([], code="us-irc-2021", levels=levels, stairs=[stair])
    advice = _advised(document, "stair_triangle", catalogue)
    assert _added(advice) == {"/kit/stair_bottom_gap": '1/16"'}


def test_one_rule_leaves_tries_to_the_others(
    catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A flight that is too steep, which one riser more cures, is not cured where its rule may make
    no try, and is cured where it may make one."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    levels = [{**LEVEL, "openings": [opening]}]
    document = _deck([], code="us-irc-2021", levels=levels, stairs=[{**FLIGHT, "risers": 6}])
    found = []
    for most in (0, 1):
        monkeypatch.setattr(trial, "TRIES_OF_RULE", most)
        bench = _bench(document, catalogue)
        found.append((cure(bench, "riser_height") is not None, bench.spent["riser_height"]))
    assert found == [(False, 0), (True, 1)]


def test_a_kit_without_pickets_has_none_to_set_closer(catalogue: Catalogue) -> None:
    """A kit of glass alone, whose panels stand 4 1/4 in off their posts, over the 4 of IRC 2021
    R312.1.3, is cured by its side gap."""
    kit = copy.deepcopy(catalogue.kits["picket-glass-surface-in"].document)
    kit["glass"]["side_gap"] = 4.25
    del kit["picket"], kit["rails"]["picket"], kit["max_centres"]["picket"]
    for members in (kit["parts"], kit["strength"]):
        for name in [each for each in members if "picket" in each or "spacer" in each]:
            del members[name]
    document = _deck([], code="us-irc-2021", kit=kit, guard={"infill": "glass"})
    advice = _advised(document, "opening_size", catalogue)
    assert _added(advice) == {"/kit/glass/side_gap": '3 15/16"'}
    assert 'glass 3 15/16" from its posts' in advice["message"]


def _under_a_column(unit: str, start: float, end: float) -> Json:
    """A flight down to a level on which a column stands, from `start` to `end` along the edge. The
    flight's opening goes from 96 to 144 in inches, and from 25 times each in millimetres."""
    long = 1 if unit == "in" else 25
    column = [[start, -40 * long], [end, -40 * long], [end, -36 * long], [start, -36 * long]]
    corners = [[0, -200], [240, -200], [240, 0], [0, 0]]
    edges: list[Json] = [{"edge": number, "condition": "open"} for number in (0, 1, 3)]
    low = {
        **{"id": "low", "drop": 4 * long, "edges": [*edges, {"edge": 2, "condition": "wall"}]},
        "outline": {"points": [[x * long, y * long] for x, y in corners]},
        "obstructions": [{"name": "column", "points": column}],
    }
    opening = {"id": "s", "edge": 0, "from": 96 * long, "width": 48 * long, "use": "stair"}
    points = [[x * long, y * long] for x, y in LEVEL["outline"]["points"]]
    level = {**LEVEL, "drop": 52 * long, "outline": {"points": points}}
    flight = {**FLIGHT, "rise": 48 * long, "going": 11 * long}
    levels = [{**level, "openings": [opening]}, low]
    return _deck([], unit=unit, levels=levels, stairs=[flight])


@pytest.mark.parametrize(
    ("unit", "column", "begins"),
    [
        # On by 8 1/2, to where the column ends; the next of the distances that are tried is 12.
        ("in", (100, 104.5), 104.5),
        # Back by 4 1/2, so that the far side of 48 is at 139 1/2.
        ("in", (139.5, 144), 91.5),
        # It could go on by 27 or back by 25; the first distance tried that passes is 32, on.
        ("in", (119, 123), 71),
        # From 2400 on by 213, to the millimetre; the first distance tried that passes is 300.
        ("mm", (2500, 2613), 2613),
    ],
)
def test_what_is_moved_is_moved_no_further_than_it_has_to(
    unit: str, column: tuple[float, float], begins: float, catalogue: Catalogue
) -> None:
    """A flight without guards is as wide as its opening and may touch the column."""
    advice = _advised(_under_a_column(unit, *column), "flight_clear", catalogue)
    assert _added(advice) == {"/levels/0/openings/0/from": begins}


def test_a_lesser_move_brings_no_more_warnings(catalogue: Catalogue) -> None:
    """Moved by 8 1/2 the way down is clear, but the flight's own guard runs into the column beside
    it: the opening goes on by as much more as the guard needs, and a mark less would still leave
    the warning."""
    document = _under_a_column("in", 100, 104.5)
    document["stairs"][0]["guards"] = ["left", "right"]
    advice = _advised(document, "flight_clear", catalogue)
    ((path, begins),) = _added(advice).items()
    assert path == "/levels/0/openings/0/from"
    assert 104.5 < begins < 108

    def met(start: float) -> set[str]:
        document["levels"][0]["openings"][0]["from"] = start
        found = answer_document(document, catalogue)["findings"]
        return {f["rule"] for f in found if f["result"] != "pass"} & {"flight_clear", "rails_clear"}

    assert (met(104.5), met(begins - 1 / 16)) == ({"rails_clear"}, {"rails_clear"})
    assert met(begins) == set()


def test_the_tries_for_a_lesser_move_are_few(catalogue: Catalogue) -> None:
    """The opening has to go on by 8 1/2. Moves by 2, 4, 6 and 8, either way, are in vain, so that
    the ninth try is by 12 on. Of the 64 marks between 8 and 12 six halvings leave one, and one more
    try is made the other way."""
    bench = _bench(_under_a_column("in", 100, 104.5), catalogue)
    found = {"flight_clear": cure(bench, "flight_clear")}
    assert bench.spent["flight_clear"] == 9
    shorten_moves(bench, found)
    assert bench.spent["flight_clear"] == 9 + 6 + 1


@pytest.mark.parametrize("last", ["strength_post", "strength_base"])
def test_spacings_that_several_rules_ask_for_are_one(last: str, catalogue: Catalogue) -> None:
    """Under the Australian loads the posts and the bases of a guard of 42 in each ask for closer
    posts. Both advise the same spacing, so whichever of the two changes is made last stands, and
    both rules pass."""
    document = _deck([], code="au-ncc-2022", guard={"infill": "picket", "height": 42})
    document["occupancy"] = "shared"
    reply = answer_document(document, catalogue)
    told = {one["rule"]: one.get("change") for one in reply["advice"]}
    assert told["strength_post"] == told["strength_base"]
    assert told["strength_post"] is not None
    rules = sorted(("strength_post", "strength_base"), key=lambda rule: rule == last)
    made = patched(document, [step for rule in rules for step in told[rule] or ()], catalogue)
    again = answer_document(made, catalogue)["findings"]
    assert not {f["rule"] for f in again if f["result"] == "fail"} & set(rules)


def test_a_warning_does_not_make_dearer_what_is_broken(catalogue: Catalogue) -> None:
    """With panels 4 1/4 in from their posts, 3 15/16 is the greatest gap that a sphere of 4 does
    not pass (IRC 2021 R312.1.3). A warning asks for less than 2, as a panel slid to one post leaves
    twice the gap at the other; the change for the violation does not go that far."""
    kit = copy.deepcopy(catalogue.kits["picket-glass-surface-in"].document)
    kit["glass"]["side_gap"] = 4.25
    document = _deck([], code="us-irc-2021", kit=kit, guard={"infill": "glass"})
    asked = {"opening_size": '3 15/16"', "glass_as_set": '1 15/16"'}
    for rule, gap in asked.items():
        assert _added(_advised(document, rule, catalogue)) == {"/kit/glass/side_gap": gap}


def test_a_guard_where_there_was_none_is_as_high_as_is_asked(catalogue: Catalogue) -> None:
    """The document's guards are 30 in high. Of the new ones the deck's has to be 36 and the
    flight's 34 (IRC 2021 R312.1.2), so each is offered with its height. A flight's guard of 30
    would be too low, which once ruled out both."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    edges = [*LEVEL["edges"], {"edge": 1, "condition": "open"}]
    levels = [{**LEVEL, "edges": edges, "openings": [opening]}]
    document = _deck([], code="us-irc-2021", levels=levels, stairs=[FLIGHT])
    document["guard"]["height"] = 30
    advice = _advised(document, "guard_required", catalogue)
    assert _added(advice) == {
        "/levels/0/edges/1/condition": "guard",
        "/levels/0/edges/1/height": 36,
        "/stairs/0/guards": ["left", "right"],
        "/stairs/0/height": 34,
    }
    told = (
        "a guard 3' high along edge 1 of main and a guard 2' 10\" high on the left and the right of"
    )
    assert told in advice["message"]


IRC: Final = "us-irc-2021"


def _down_to(corners: list[list[float]], rise: float, risers: int) -> Json:
    """A deck with a flight of `risers` risers from y = 0 down to a level with these corners."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    edges = [{"edge": number, "condition": "open"} for number in range(4)]
    low = {"id": "low", "drop": 4, "outline": {"points": corners}, "edges": edges}
    levels = [{**LEVEL, "drop": 4 + rise, "openings": [opening]}, low]
    flight = {**FLIGHT, "rise": rise, "risers": risers, "to_level": "low"}
    return _deck([], levels=levels, stairs=[flight])


@pytest.mark.parametrize(("begins", "going"), [(12.9375, 12.9375), (13, 13), (13.0625, None)])
def test_a_going_is_misread_by_two_inches_at_most(
    begins: float, going: float | None, catalogue: Catalogue
) -> None:
    """The flight has two risers of 7 and one going of 11. A longer going is offered up to 13, 2 in
    more than was read; beyond that there is no such advice."""
    corners: list[list[float]] = [[0, -300], [240, -300], [240, -begins], [0, -begins]]
    advice = answer_document(_down_to(corners, 14, 2), catalogue).get("advice", ())
    told = [_added(one) for one in advice if one["rule"] == "flight_foot"]
    assert told == ([] if going is None else [{"/stairs/0/going": going}])


@pytest.mark.parametrize(
    ("corners", "code", "written"),
    [
        # The six treads of 11 end at 66 and the level begins at 72: each going is 6/6 = 1 more.
        ([[0, -300], [240, -300], [240, -72], [0, -72]], None, {"/stairs/0/going": 12}),
        # The level ends at 63: each going is 3/6 less, which a code judges (NBC 2020 9.8.4.2: 255
        # mm at least). By the IRC no landing of 36 is left there (R311.7.6), so it is not offered.
        ([[0, -63], [240, -63], [240, 0], [0, 0]], "ca-nbc-2020", {"/stairs/0/going": 10.5}),
        ([[0, -63], [240, -63], [240, 0], [0, 0]], IRC, None),
        ([[0, -63], [240, -63], [240, 0], [0, 0]], None, None),
        # The level begins 10.5 further on, 1.75 for each going; 11.5 further is more than one
        # going, though 1.92 for each.
        ([[0, -300], [240, -300], [240, -76.5], [0, -76.5]], IRC, {"/stairs/0/going": 12.75}),
        ([[0, -300], [240, -300], [240, -77.5], [0, -77.5]], IRC, None),
        # The level begins 4 further along the edge than the opening does.
        ([[100, -300], [240, -300], [240, 0], [100, 0]], None, {"/levels/0/openings/0/from": 100}),
    ],
)
def test_a_flight_ends_on_the_level_that_it_goes_down_to(
    corners: list[list[float]], code: str | None, written: Json | None, catalogue: Catalogue
) -> None:
    """The flight goes down from y = 0 in seven risers of 48/7. A difference that no misread tape
    explains, and a shorter going that no code judges, have no advice: the finding alone warns."""
    document = _down_to(corners, 48, 7) | ({"code": code} if code else {})
    if written is not None:
        assert _added(_advised(document, "flight_foot", catalogue)) == written
        return
    reply = answer_document(document, catalogue)
    fails = [f["rule"] for f in reply["findings"] if f["result"] == "fail"]
    assert "flight_foot" in fails
    assert "flight_foot" not in [one["rule"] for one in reply.get("advice", ())]


def test_a_rail_with_no_room_at_an_oblique_wall_ends_at_a_post_before_it(
    catalogue: Catalogue,
) -> None:
    """The wall is 45 degrees off square: a top rail 2 1/8 in wide comes 1 1/16 nearer to it with
    its corner than with its middle, and the bracket leaves it 7/16. A post before the wall stands
    square to the rail."""
    corners = [[0, 0], [240, 0], [340, 100], [0, 100]]
    walls = [{"edge": number, "condition": "wall"} for number in (1, 2)]
    level = {**LEVEL, "outline": {"points": corners}, "edges": walls}
    advice = _advised(_deck([], code="us-irc-2021", levels=[level]), "rail_ends", catalogue)
    assert _added(advice) == {"/levels/0/edges/-": {"edge": 0, "wall_end": "post"}}
    assert advice["posts"]["then"] - advice["posts"]["now"] == 1


def test_more_places_of_a_warning_are_told(catalogue: Catalogue) -> None:
    """A change that makes a warning hold at more places says so. The rail of the first flight, 36
    in high, stands apart from the deck's rail at both its head posts; that of the other flight,
    33.7143, meets it. Raised to the 34 that the code asks (IRC 2021 R312.1.2, exception 1) it does
    not, at two posts more."""
    openings = [
        {"id": name, "edge": 0, "from": at, "width": 48, "use": "stair"}
        for name, at in (("s", 30), ("t", 140))
    ]
    flight = {**FLIGHT, "going": 10.5, "guards": ["left", "right"], "handrail": ["right"]}
    stairs = [{**flight, "height": 36}, {**flight, "id": "back", "opening": "main/t"}]
    stairs[1]["height"] = 33.7143
    guard = {"infill": "picket", "height": 36}
    document = _deck(openings, code="us-irc-2021", guard=guard, stairs=stairs)
    advice = _advised(document, "stair_guard_height", catalogue)
    assert advice["brings"] == []
    assert advice["warns_more"] == [{"rule": "head_heights", "now": 2, "then": 4}]


def test_marks_that_several_rules_ask_for_are_one(catalogue: Catalogue) -> None:
    """With marks of 10 mm rails do not reach and pickets as set leave too much; with 5 mm only the
    pickets fail. Both rules are offered one mark, the lesser of the two that they need, so
    whichever change is made last stands and cures both."""
    level = {
        **LEVEL,
        "drop": 1200,
        "outline": {"points": [[0, 0], [5980, 0], [5980, 3660], [0, 3660]]},
    }
    document = _deck([], unit="mm", precision=10, code="us-irc-2021", levels=[level])
    asked = ("pickets_as_set", "rails_reach")
    told = [_advised(document, rule, catalogue)["change"] for rule in asked]
    assert told[0] == told[1]
    findings = [
        answer_document({**document, "precision": mark}, catalogue)["findings"]
        for mark in (10, 5, told[1][0]["value"])
    ]
    failing = [{f["rule"] for f in each if f["result"] == "fail"} & set(asked) for each in findings]
    assert failing == [set(asked), {"pickets_as_set"}, set()]


def test_a_top_rail_that_helps_climbing_is_raised(catalogue: Catalogue) -> None:
    """Nothing may help climbing up to 760 mm (F4/AS1 1.2(a)), and the top rail of a guard of 750
    does. Over a drop of 1.1 m the guard has to be 1000 high (Table 1), so a guard of 760 would
    still break that rule."""
    level = {
        **LEVEL,
        "drop": 1100,
        "outline": {"points": [[0, 0], [6000, 0], [6000, 3600], [0, 3600]]},
    }
    document = _deck(
        [],
        **{"unit": "mm", "kit": "glass-picket-surface-mm", "code": "nz-f4-as1", "levels": [level]},
        guard={"infill": "picket", "height": 750},
    )
    assert _added(_advised(document, "climbable", catalogue)) == {"/guard/height": 1000}


@pytest.mark.parametrize(
    ("code", "drop", "offered"),
    [("us-irc-2021", 4, True), ("us-irc-2021", 32, False), (None, 4, False)],
)
def test_a_railing_that_runs_into_a_deck_is_left_out_where_none_is_required(
    code: str | None, drop: float, offered: bool, catalogue: Catalogue
) -> None:
    """The lower deck goes on 10 in under the upper one, which is 24 in above it, and so does its
    guard, of which 100 in are beside the upper deck. Over a drop of 4 in no guard is required (IRC
    2021 R312.1.1: over 30), and over 32 one is; without a code nothing says that none is required.
    """
    points = [[-100, -100], [240, -100], [240, 10], [-100, 10]]
    edges = [{"edge": number, "condition": "open"} for number in (0, 1, 3)]
    low = {"id": "low", "drop": drop, "outline": {"points": points}, "edges": edges}
    document = _deck(
        [], levels=[{**LEVEL, "drop": drop + 24}, low], **({"code": code} if code else {})
    )
    advice = _advised(document, "rails_clear", catalogue)
    assert (advice["result"] == "cured") == offered
    if offered:
        assert "no railing along edge 2 of low" in advice["message"]
        assert {"edge": 2, "condition": "open"} in [step["value"] for step in advice["change"]]
    elif code is None:
        why = "no railing along edge 2 of low, a guard is required there, or may be"
        assert why in advice["message"]


def test_a_guard_higher_than_is_asked_is_lowered_to_what_its_posts_hold(
    catalogue: Catalogue,
) -> None:
    """A post of 48 in fails under the Canadian load at a point, which closer posts do not share;
    over a drop of 48 in the code asks for a guard of 900 mm. The stress grows with the height: the
    greatest height on a mark that the post holds is offered."""
    document = _deck([], code="ca-nbc-2020", guard={"infill": "picket", "height": 48})
    advice = _advised(document, "strength_post", catalogue)
    ((path, height),) = _added(advice).items()
    assert path == "/guard/height"
    assert 900 / 25.4 <= height < 48

    def held(high: float) -> bool:
        guard = {"infill": "picket", "height": high}
        found = answer_document({**document, "guard": guard}, catalogue)["findings"]
        return not any(f["rule"] == "strength_post" and f["result"] == "fail" for f in found)

    assert (held(height), held(height + 1 / 16)) == (True, False)


@pytest.mark.parametrize("code", ["au-ncc-2022", "nz-f4-as1"])
def test_a_guard_that_is_missing_may_lack_what_the_others_lack(
    code: str, catalogue: Catalogue
) -> None:
    """Bases that hold too little at every post along the deck's sides still do once its front has a
    guard, too, and so do those at the corners that come with it. That is no reason against the
    guard that is offered, although it once was."""
    edges = [*LEVEL["edges"], {"edge": 0, "condition": "open"}]
    guard = {"infill": "picket", "height": 40}
    document = _deck([], code=code, levels=[{**LEVEL, "edges": edges}], guard=guard)
    advice = _advised(document, "guard_required", catalogue)
    assert _added(advice) == {"/levels/0/edges/1/condition": "guard"}
    assert "strength_base" in advice["still"]


def test_no_guard_that_is_required_is_left_out(catalogue: Catalogue) -> None:
    """The flight has one riser of 36 in, over the 30 from which a guard is required (IRC 2021
    R312.1.1). Its one post, 36 and 36 in long, is too long for the kit, but leaving the guard out
    is no cure."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    stairs = [{**FLIGHT, "rise": 36, "risers": 1, "guards": ["left"]}]
    levels = [{**LEVEL, "drop": 36, "openings": [opening]}]
    document = _deck([], code="us-irc-2021", levels=levels, stairs=stairs)
    advice = _advised(document, "post_height", catalogue)
    assert advice["result"] == "not_found"


@pytest.mark.parametrize(
    ("rise", "going", "asked"),
    [
        # The pitch is 47.7 degrees and may be 42; 220 / tan 42 are 244.3, and 2 * 220 + 245 is no
        # more than 700. With 280, the least that the code asks of a going, it would be 720. Three
        # risers would be 146.7 each, under 150.
        (440, 200, {"stair_pitch": 245}),
        # The pitch is 48.6 degrees, two risers and a going are 490 of at least 550, and the going
        # is 150 of at least 280: the going of 280 cures the others too, with 31.3 and 620.
        (340, 150, {"stair_pitch": 280, "risers_and_going": 280, "tread_going": 280}),
    ],
)
def test_a_flight_too_steep_is_given_a_longer_going(
    rise: float, going: float, asked: dict[str, float], catalogue: Catalogue
) -> None:
    """Two risers are judged by Approved Document K 2013, Table 1.1. Each rule is offered the going
    that one rule asks for and that all rules pass."""
    level = {
        **{"id": "main", "drop": rise, "edges": [{"edge": 2, "condition": "wall"}]},
        **{"outline": {"points": [[0, 0], [6000, 0], [6000, 3600], [0, 3600]]}},
        "openings": [{"id": "s", "edge": 0, "from": 2400, "width": 1000, "use": "stair"}],
    }
    stair = {"id": "front", "opening": "main/s", "rise": rise, "risers": 2, "going": going}
    document = _deck(
        [],
        **{"unit": "mm", "kit": "glass-picket-surface-mm", "code": "gb-eng-adk-2013"},
        **{"levels": [level], "stairs": [stair]},
    )
    found = {rule: _added(_advised(document, rule, catalogue)) for rule in asked}
    assert found == {rule: {"/stairs/0/going": each} for rule, each in asked.items()}


def test_a_going_as_wide_as_a_base_is_as_wide_as_is_asked(catalogue: Catalogue) -> None:
    """Treads of 4 in carry no base of 4 1/2; the IRC asks for 10 (2021 R311.7.5.2). Both rules are
    offered 10, so that whichever change is made last leaves the other rule cured."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    stairs = [{**FLIGHT, "going": 4, "guards": ["left", "right"], "handrail": ["left"]}]
    levels = [{**LEVEL, "openings": [opening]}]
    document = _deck([], code="us-irc-2021", levels=levels, stairs=stairs)
    for rule in ("base_on_deck", "tread_going"):
        assert _added(_advised(document, rule, catalogue)) == {"/stairs/0/going": 10}, rule


@pytest.mark.parametrize(
    ("length", "inset", "written"),
    [
        (3, 8, {"length": '4"'}),
        (4, 7.9, {"inset": '8"'}),
        (3, 7.5, {"length": '4"', "inset": '8"'}),
        ('3 1/2"', 7.75, {"length": '4"', "inset": '8"'}),
        (5, 8, {"inset": '8 1/2"'}),
    ],
)
def test_setting_blocks_as_the_trade_has_them(
    length: float | str, inset: float, written: Json, catalogue: Catalogue
) -> None:
    """Blocks are at least 4 in long, as no panel has the 40 sq ft that ask for more, and end at
    least 6 in from the corners of the glass: the middles of blocks 4 long are 6 + 4/2 = 8 from
    there, and of blocks 5 long 8.5. What is as the trade has it is left."""
    kit = copy.deepcopy(catalogue.kits["picket-glass-surface-in"].document)
    kit["glass"]["block"] = {"length": length, "inset": inset}
    document = _deck([], kit=kit, guard={"infill": "glass", "height": 36})
    advice = _advised(document, "setting_blocks", catalogue)
    assert _added(advice) == {f"/kit/glass/block/{name}": each for name, each in written.items()}


def test_glass_of_the_other_unit_is_offered_by_its_name(catalogue: Catalogue) -> None:
    """Pane 1 of a kit in inches is 12.7 mm, a size that nobody calls it by; a glass shop calls it
    12 mm."""
    points = [[0, 0], [6000, 0], [6000, 3600], [0, 3600]]
    level = {**LEVEL, "drop": 1200, "outline": {"points": points}}
    document = _deck(
        [],
        **{"unit": "mm", "kit": "picket-glass-fascia-in", "code": "us-ibc-2021"},
        **{"guard": {"infill": "glass", "height": 1070}, "levels": [level]},
        occupancy="dwelling",
    )
    message = _advised(document, "glass_type", catalogue)["message"]
    assert message.startswith('Tried, and it passes: 12 mm (1/2") laminated tempered glass, pane 1')


def test_a_stock_height_of_the_other_unit_is_offered_on_a_mark(catalogue: Catalogue) -> None:
    """Posts of 1000, 1100 and 1200 mm are 39.370, 43.307 and 47.244 in, so that guards of 39 5/16,
    43 1/4 and 47 3/16 are the highest that they reach."""
    document = _deck([], kit="glass-picket-surface-mm", code="us-irc-2021")
    document["guard"]["height"] = 30
    bench = _bench(document, catalogue)
    assert heights_to_try(bench, "guard_height") == [36, 39.3125, 43.25, 47.1875]


def test_a_guard_as_high_as_is_asked_has_its_posts_as_close_as_that_takes(
    catalogue: Catalogue,
) -> None:
    """The guard is 36 in where the IBC asks for 42 (2021 1015.3); at that height the bases of posts
    58 1/4 apart hold too little, so the change also sets posts closer. Corners stand 240 - 7 = 233
    apart, so that one mark less than a quarter of that makes five bays of four."""
    document = _deck([], code="us-ibc-2021", guard={"infill": "picket", "height": 36})
    advice = _advised(document, "guard_height", catalogue)
    written = {"/guard/height": 42, "/kit/max_centres/picket": "4' 10 3/16\""}
    assert _added(advice) == written
    assert (
        "the guard 3' 6\" high, and posts of picket bays at most 4' 10 3/16\" apart"
        in (advice["message"])
    )
    assert advice["still"] == []


@pytest.mark.parametrize("backwards", [False, True])
def test_spacings_hold_for_the_infill_that_another_change_brings(
    backwards: bool, catalogue: Catalogue
) -> None:
    """Glass that is not laminated, over people (IBC 2021 2407.1), is replaced by pickets, whose
    posts carry as much. So the advice on bases that hold too little sets the posts of picket bays
    as close as those of glass, and both changes together pass in either order. The deck has no
    pickets yet, so that the words say where they come from."""
    guard = {"infill": "glass", "height": 42}
    document = _deck([], code="us-ibc-2021", guard=guard)
    told = answer_document(document, catalogue)["advice"]
    changes = {one["rule"]: one["change"] for one in told}
    assert set(changes) == {"glass_type", "strength_base"}
    spaced = next(one["message"] for one in told if one["rule"] == "strength_base")
    assert "Tried, and it passes: posts of glass bays at most " in spaced
    assert " apart, and so those of picket bays, which another change brings; it takes " in spaced
    order = reversed(list(changes)) if backwards else list(changes)
    made = patched(document, [step for rule in order for step in changes[rule]], catalogue)
    assert {each.get("infill") for each in made["levels"][0]["edges"]} == {None, "picket"}
    findings = answer_document(made, catalogue)["findings"]
    assert not [f["rule"] for f in findings if f["severity"] == "violation"]


def test_the_rise_that_a_drop_gives_is_in_risers_of_a_height_that_is_asked(
    catalogue: Catalogue,
) -> None:
    """The drop is 49 in and the rise 48, in six risers of 8: over 7 3/4 (IRC 2021 R311.7.5.1). Six
    risers of 49 would be 8 1/6 each; seven are 7."""
    opening = {"id": "s", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    levels = [{**LEVEL, "drop": 49, "openings": [opening]}]
    document = _deck([], code="us-irc-2021", levels=levels, stairs=[{**FLIGHT, "risers": 6}])
    advice = _advised(document, "riser_evenness", catalogue)
    assert _added(advice) == {"/stairs/0/rise": 49, "/stairs/0/risers": 7}
