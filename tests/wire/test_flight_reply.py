"""What a reply says of flights, gates, blocking and measured bays: members, order, readings, what
is left out. Lengths are worked out here from the deck and the kit as they are sent."""

from __future__ import annotations

import math
from typing import Any

import pytest

from .documents import kit, put, reply, small

MARK = 0.0625
RISER, GOING = 48 / 7, 10.5
"""Riser and going of the flight `front`."""
SLOPE = math.hypot(RISER, GOING) / GOING
"""Length along the slope for a length of one in plan."""


def down(length: float) -> float:
    """The length rounded down to the mark; no length that is measured here lies near one."""
    return math.floor(length / MARK) * MARK


def flight_deck(**members: Any) -> Any:
    """The rectangular deck with one flight of seven risers down its front."""
    opening = {"id": "steps", "edge": 0, "from": 96, "width": 48, "use": "stair"}
    flight = {"id": "front", "opening": "main/steps", "rise": 48, "risers": 7, "going": 10.5}
    return put(small(stairs=[{**flight, **members}]), "/levels/0/openings", [opening])


def test_the_members_of_a_flight_and_their_order(whole: Any) -> None:
    """The members stand in the order of the contract's section 7, and new ones beside those like
    them."""
    front, side = whole["flights"]
    names = [
        *("id", "level", "opening", "pitch", "rise", "risers", "riser", "going", "nosing"),
        *("clear_width", "clear_width_text", "outside_width", "outside_width_text"),
        *("into_width", "into_width_text", "guards", "height", "height_text"),
        *("posts", "bays", "handrails"),
    ]
    assert list(front) == [*names, "triangle", "to_level"]
    assert list(side) == [*names, "drop"]
    assert (front["id"], front["level"], front["opening"]) == ("front", "main", "main/steps")
    assert (front["to_level"], side["drop"]) == ("walk", 48)
    assert (front["rise"], front["risers"], front["going"], front["nosing"]) == (48, 7, 10.5, 1)
    assert front["riser"] == round(RISER, 4)
    assert front["pitch"] == round(math.degrees(math.atan(RISER / GOING)), 4)
    assert (front["guards"], front["height"], front["height_text"]) == (["left", "right"], 36, "3'")
    assert (side["guards"], side["posts"], side["bays"], side["handrails"]) == ([], [], [], [])


def test_a_flight_names_posts_and_bays_that_name_it(whole: Any) -> None:
    """The flight's runs and bays have its id, and so has each post that stands on the flight; the
    head post is the level's and has not."""
    front = whole["flights"][0]
    assert [bay["id"] for bay in whole["bays"] if bay.get("flight") == "front"] == front["bays"]
    runs = [run for run in whole["runs"] if run.get("flight") == "front"]
    assert [run["id"] for run in runs] == list(
        dict.fromkeys(bay["run"] for bay in whole["bays"] if bay["id"] in front["bays"])
    )
    posts = {post["id"]: post for post in whole["posts"]}
    of_flight = [name for name in front["posts"] if posts[name].get("flight") == "front"]
    heads = [name for name in front["posts"] if name not in of_flight]
    (steps,) = [opening for opening in whole["openings"] if opening["opening"] == "main/steps"]
    assert set(heads) == {steps["from"], steps["to"]}


def test_a_handrail_over_the_nosings(whole: Any) -> None:
    """The handrail goes from the top nosing to the lowest, six goings in plan. Its brackets stand
    within the kit's interval, with a quarter of their spacing past the last one at each end, to the
    nearest mark (method 9)."""
    (rail,) = whole["flights"][0]["handrails"]
    length = 6 * GOING * SLOPE
    assert kit()["handrail"]["max_bracket_interval"] == 46
    # Two brackets on 75.2456 would be 50.2 apart; three are 75.2456 / 2.5 = 30.0982 apart: the
    # first at 7.5246, then 37.6228 and 67.721.
    places = [7.5, 37.625, 67.75]
    assert list(rail) == [
        *("side", "length", "length_text", "height", "height_text", "brackets", "brackets_text"),
        "returns",
    ]
    assert (rail["side"], rail["returns"]) == ("right", 2)
    assert rail["length"] == down(length)
    assert rail["height"] == kit()["handrail"]["height"]
    assert rail["brackets"] == places
    assert rail["brackets_text"] == ['7 1/2"', "3' 1 5/8\"", "5' 7 3/4\""]
    (row,) = [row for row in whole["cut_list"] if row["part"] == "handrail"]
    assert (row["length"], row["count"], row["bays"]) == (down(length), 1, [])


def test_a_raked_bay_has_what_a_level_one_has_and_its_slope(whole: Any) -> None:
    """A raked bay has the members of a level one, and those of the slope last. Its ends are plumb,
    cut at 90 less the pitch; a blank is the cut and the depth times the slope's tangent (method 9).
    """
    bays = [bay for bay in whole["bays"] if bay.get("flight") == "front"]
    pitch = math.degrees(math.atan(RISER / GOING))
    rails = kit()["rails"]["glass"]
    for bay in bays:
        assert list(bay) == [
            *("id", "run", "flight", "from", "to", "infill", "height", "height_text", "centres"),
            *("clear", "measured", "ends", "pitch", "top_rail", "bottom_rail", "rail_supports"),
            *("rail_supports_text", "weep_holes", "weep_holes_text", "glass"),
            *("centres_slope", "clear_slope", "end_cut", "falls", "parts"),
        ]
        assert bay["parts"] == ["end_block"]
        assert bay["ends"] == ["rake", "rake"]
        assert bay["pitch"] == round(pitch, 4)
        assert bay["end_cut"] == round(90 - pitch, 4)
        assert bay["clear_slope"] == pytest.approx(bay["clear"] * SLOPE, abs=1e-4)
        assert bay["centres_slope"] == pytest.approx(bay["centres"] * SLOPE, abs=1e-4)
        for name in ("top_rail", "bottom_rail"):
            rail, half = bay[name], rails[name.partition("_")[0]]
            assert list(rail) == ["cut", "cut_text", "blank", "blank_text"]
            assert rail["cut"] == down(bay["clear"] * SLOPE - 2 * half["end_allowance"]["rake"])
            more = half["depth"] * RISER / GOING
            assert rail["blank"] - rail["cut"] == pytest.approx(more, abs=MARK)
        assert list(bay["glass"])[-2:] == ["end_block", "end_block_text"]
    assert {bay["falls"] for bay in bays} == {"left", "right"}


def test_raked_pickets_have_a_blank_and_an_end_cut() -> None:
    """A blank is longer than its picket by the width times the tangent (method 9). Level pickets
    have neither blank nor end cut, and level rails have no blank."""
    found = reply(flight_deck(guards=["left"]))
    raked = [bay["pickets"] for bay in found["bays"] if "flight" in bay]
    assert raked
    for pickets in raked:
        assert list(pickets)[-3:] == ["blank", "blank_text", "end_cut"]
        more = kit()["picket"]["width"] * RISER / GOING
        assert pickets["blank"] - pickets["length"] == pytest.approx(more, abs=MARK)
    for bay in found["bays"]:
        if "flight" not in bay:
            assert not {"blank", "end_cut", "end_block"} & set(bay["pickets"])
            assert not {"blank"} & {*bay["top_rail"], *bay["bottom_rail"]}
    pieces = [row for row in found["cut_list"] if row["part"] == "picket"]
    assert {"blank" in row: row["end_cuts"] != [90, 90] for row in pieces} == {
        False: False,
        True: True,
    }


def test_a_flight_without_guards_has_no_triangle() -> None:
    """Without guards there is no rail for a circle to pass under, and the reply has no
    `triangle`."""
    assert "triangle" not in reply(flight_deck())["flights"][0]
    found = reply(flight_deck(guards=["right"], nosing=1))["flights"][0]
    gap = kit()["stair_bottom_gap"]
    circle = (1 + gap / RISER + 1 / GOING) * (RISER + GOING - math.hypot(RISER, GOING))
    assert found["triangle"] == pytest.approx(circle, abs=1e-4)


def test_a_handrail_of_one_riser_is_left_out() -> None:
    """A flight of one riser has one nosing, and a handrail nothing to run between."""
    found = reply(flight_deck(rise=7, risers=1, handrail=["left"]))["flights"][0]
    assert found["handrails"] == []


def test_the_members_of_a_gate_and_their_order(whole: Any) -> None:
    """The leaf is 36 clear less the kit's gaps wide, and 42 of guard less the kit's bottom gap
    high."""
    (gate,) = whole["gates"]
    gaps, bottom = kit()["gate"], kit()["bottom_gap"]
    assert list(gate) == [
        *("opening", "leaf", "rails", "infill", "pickets", "hinge_post", "latch_post", "opens"),
        *("flight", "swings_into"),
    ]
    assert list(gate["leaf"]) == ["width", "width_text", "height", "height_text"]
    assert gate["leaf"]["width"] == down(36 - gaps["hinge_gap"] - gaps["latch_gap"])
    assert gate["leaf"]["height"] == down(42 - bottom)
    assert list(gate["rails"]) == ["cut", "cut_text"]
    opening = next(each for each in whole["openings"] if each["opening"] == gate["opening"])
    assert (gate["hinge_post"], gate["latch_post"]) == (opening["from"], opening["to"])
    assert (gate["opens"], gate["flight"]) == ("out", "side")
    assert "side" in gate["swings_into"]


def test_a_gate_of_glass_with_nothing_in_its_way() -> None:
    """The gate has a panel in place of pickets, no flight, nothing that it swings into, and its
    hinges at the far side."""
    opening = {"id": "g", "edge": 0, "from": 90, "width": 36, "use": "gate", "hinge": "far"}
    found = reply(put(small(guard={"infill": "glass"}), "/levels/0/openings", [opening]))
    (gate,) = found["gates"]
    assert list(gate) == [
        *("opening", "leaf", "rails", "infill", "glass", "hinge_post", "latch_post", "opens"),
    ]
    (built,) = found["openings"]
    assert (gate["hinge_post"], gate["latch_post"]) == (built["to"], built["from"])
    assert gate["opening"] in {place for row in found["glass_order"] for place in row["bays"]}


OBLIQUE = {
    **{"joist_direction": 15, "joist_spacing": 24, "first_joist": 15},
    **{"joist_width": 1.5, "rim_width": 1.5},
}
"""Joists with which blocks are cut to the rim, some of two plies and some of more."""


def test_blocking_is_the_posts_blocks_in_rows(whole: Any) -> None:
    """Rows are sorted from the longest down. Each counts its pieces, ply by ply, and names their
    posts; the list of parts counts the same pieces."""
    oblique = reply(put(small(), "/levels/0/framing", OBLIQUE))
    plies = {block["plies"] for _, block in blocks_of(oblique)}
    assert min(plies) == 2 < max(plies)
    assert any(block["end_cuts"] != [90, 90] for _, block in blocks_of(oblique))
    assert any(
        block["length"] == max(block["lengths"]) > min(block["lengths"])
        for _, block in blocks_of(oblique)
        if "lengths" in block
    )
    for found in (whole, oblique):
        pieces = [
            (length, sorted(block["end_cuts"]), post)
            for post, block in blocks_of(found)
            for length in block.get("lengths", [block["length"]] * block["plies"])
        ]
        kinds = sorted({(length, *cuts) for length, cuts, _ in pieces}, reverse=True)
        assert len(kinds) > 1
        assert [(row["length"], *row["end_cuts"]) for row in found["blocking"]] == kinds
        for row in found["blocking"]:
            assert list(row) == ["length", "length_text", "count", "end_cuts", "posts"]
            mine = [post for *kind, post in pieces if kind == [row["length"], row["end_cuts"]]]
            assert row["count"] == len(mine)
            assert row["posts"] == list(dict.fromkeys(mine))
        listed = [part["quantity"] for part in found["parts"] if part["role"] == "blocking"]
        assert sum(listed) == len(pieces)


def blocks_of(found: Any) -> list[tuple[str, Any]]:
    """Each block, with the id of its post."""
    return [
        (post["id"], block)
        for post in found["posts"]
        for block in post.get("framing", {}).get("blocking", ())
    ]


def test_framing_is_said_of_posts_on_a_level_that_gives_it(whole: Any) -> None:
    """Each post on a level with `framing` says where each of its fixings lands; posts on treads, on
    the ground and on other levels say nothing of it."""
    fixings = kit()["post"]["base"]["fixings"]
    for post in whole["posts"]:
        assert ("framing" in post) == (post["level"] == "main" and "flight" not in post)
        if "framing" in post:
            framing = post["framing"]
            assert list(framing) == ["lands_on", "blocking"]
            assert len(framing["lands_on"]) == fixings
            assert ("none" in framing["lands_on"]) == bool(framing["blocking"])
            for block in framing["blocking"]:
                assert list(block) == [
                    "between",
                    "at",
                    "length",
                    "length_text",
                    "end_cuts",
                    "direction",
                    "plies",
                ]


def test_a_measured_bay_is_cut_from_its_own_measures(whole: Any) -> None:
    """B1 is measured as 43 1/2 at the top and 43 1/4 at the bottom, and its rails are that less two
    sockets each (method 5); its run's other bay is cut by the drawing."""
    first, second = whole["bays"][:2]
    assert (first["measured"], second["measured"]) == (True, False)
    assert first["run"] == second["run"]
    rails = kit()["rails"]["picket"]
    for name, clear in (("top", 43.5), ("bottom", 43.25)):
        allowances = sum(rails[name]["end_allowance"][end] for end in first["ends"])
        assert first[f"{name}_rail"]["cut"] == down(clear - allowances)
        drawn = sum(rails[name]["end_allowance"][end] for end in second["ends"])
        assert second[f"{name}_rail"]["cut"] == down(second["clear"] - drawn)
    assert first["clear"] == 43.25
    assert [bay["id"] for bay in whole["bays"] if bay["measured"]] == ["B1"]
    (plumb,) = [f for f in whole["findings"] if f["rule"] == "out_of_plumb"]
    assert (plumb["result"], plumb["actual"], plumb["where"]) == ("pass", 0.25, ["B1"])


def test_a_bowed_edge_in_the_reply(whole: Any) -> None:
    """Each chord is a run of one bay, whose marks are its ends (method 10)."""
    runs = [run for run in whole["runs"] if (run["level"], run["edge"]) == ("walk", 1)]
    assert len(runs) > 1
    for run in runs:
        assert len([bay for bay in whole["bays"] if bay["run"] == run["id"]]) == 1
        assert run["marks"] == [0, run["length"]]


def test_feet_on_every_nosing_where_the_interval_wants_more() -> None:
    """An interval of 4 in wants two or more feet on each tread. They stand on nosings, every 10.5
    from the deck's edge, and the finding says that they do not keep the interval."""
    told = reply(
        {
            **flight_deck(guards=["left", "right"]),
            "kit": put(kit(), "/rail_support/max_interval", 4),
        }
    )
    at = {post["id"]: -post["at"][1] for post in told["posts"]}
    raked = [bay for bay in told["bays"] if "clear_slope" in bay]
    assert len(raked) > 1
    for bay in raked:
        face = at[bay["from"]] + 2.25 / 2
        places = [n * GOING - face for n in range(7)]
        assert bay["rail_supports"] == [place for place in places if 0 < place < bay["clear"]]
    failed = [each for each in told["findings"] if each["rule"] == "rail_supports"]
    assert {each["result"] for each in failed} == {"fail"}
    assert max(each["actual"] for each in failed) >= round(GOING * SLOPE, 4)


@pytest.mark.parametrize(
    ("joist_width", "edge_distance", "plies"),
    [(1.5, 0.5, 3), (0.5, 6, 24), (0.5, 6.0625, 0), (1e-5, 0.5, 0), (1.5, 1e5, 0)],
)
def test_blocking_of_more_plies_than_anybody_fastens_is_none(
    joist_width: float, edge_distance: float, plies: int
) -> None:
    """Two fixings 3.125 apart take (3.125 + 2 * 0.5) / 1.5 plies, rounded up: 3. One fixing takes
    two edge distances over the width of a joist, up to 24 plies: 12 over 0.5 is 24, and 12.125 over
    it is more. Joists a hundred-thousandth of an inch wide once held a worker for minutes, as each
    ply was tried and listed by itself."""
    framing = {
        "joist_direction": 90, "joist_spacing": 16, "first_joist": 8, "joist_width": joist_width,
        "rim_width": 1.5,
    }  # fmt: skip
    told = reply(
        {
            **put(small(), "/levels/0/framing", framing),
            "kit": put(kit(), "/post/base/fixing_edge_distance", edge_distance),
        }
    )
    blocks = [block for post in told["posts"] for block in post["framing"]["blocking"]]
    assert max((block["plies"] for block in blocks), default=0) == plies
    said = [each["message"] for each in told["findings"] if each["rule"] == "fixing_into_framing"]
    assert any("over 24 plies" in each for each in said) == (not plies)
    assert not any('plies 0"' in each for each in said)
