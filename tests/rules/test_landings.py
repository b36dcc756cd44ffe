"""How deep the landings of flights are (facts on codes, 1.3 and 2.3: landing_depth).

A flight of 3 goings of 11 leads down from level `up`, whose edge lies at y = 96, to level `lo`. Its
foot is at y = 63, so a landing is as deep as `lo` goes on below that.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from service.answer import answer_document
from service.core.records.code import Figure, When
from service.core.records.deck import Drops
from service.core.records.seen import LandingSeen
from tests.shipped import catalogue

from .small import IRC, code_with, flight, only

Json = Any
FOOT, EDGE = 63.0, 96.0
TAKEN = 3.5 + 2.25 / 2
"""What a railing of the kit takes up, from the deck's edge to the inner face of its posts."""
IRCS, IBCS = ("us-irc-2021", "us-irc-2024"), ("us-ibc-2021", "us-ibc-2024")


def box(x0: float, y0: float, x1: float, y1: float) -> Json:
    """The corners of a rectangle in plan."""
    return [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]


def stepped(
    depth: float, *, far: str = "wall", head: float = 144.0, width: float = 40.0, **more: Any
) -> Json:
    """The two levels and their flight.

    depth: of the landing at its foot. far: condition of the edge there. head: depth of the level at
    its head, to a wall. width: of the flight.
    """
    opening = {"id": "steps", "edge": 0, "from": 50, "width": width, "use": "stair"}
    up = {
        **{"id": "up", "outline": {"points": box(0, EDGE, 144, EDGE + head)}, "drop": 90},
        **{"edges": [{"edge": 2, "condition": "wall"}], "openings": [opening]},
    }
    lo: Json = {
        **{"id": "lo", "outline": {"points": box(0, FOOT - depth, 144, EDGE)}, "drop": 60},
        "edges": [{"edge": 0, "condition": far}, {"edge": 2, "condition": "open"}],
    }
    steps = {
        **{"id": "f", "opening": "up/steps", "rise": 30, "risers": 4, "going": 11},
        **{"guards": ["left", "right"], "handrail": ["left", "right"], "to_level": "lo"},
    }
    deck = {
        **{"unit": "in", "kit": "picket-glass-surface-in", "guard": {"infill": "picket"}},
        **{"code": "us-irc-2021", "levels": [up, lo], "stairs": [steps], **more},
    }
    return {name: value for name, value in deck.items() if value is not None}


def told(deck: Json) -> list[Json]:
    """The findings on landings."""
    findings = answer_document(deck, catalogue())["findings"]
    return [one for one in findings if one["rule"] == "landing_depth"]


def at_foot(deck: Json) -> Json:
    """The only finding on the landing at the foot."""
    (finding,) = (one for one in told(deck) if "at its foot" in one["message"])
    return finding


@pytest.mark.parametrize("code", IRCS)
@pytest.mark.parametrize(
    ("depth", "wanted"), [(35.9375, "fail"), (36 - 5e-7, "pass"), (36, "pass"), (36.0625, "pass")]
)
def test_a_landing_before_a_wall(code: str, depth: float, wanted: str) -> None:
    """R311.7.6, R318.7.6: at least 36 in along the way."""
    finding = at_foot(stepped(depth, code=code))
    assert (finding["result"], finding["limit"], finding["where"]) == (wanted, 36, ["f"])
    assert finding["actual"] == pytest.approx(depth, abs=1e-6)


@pytest.mark.parametrize(
    ("code", "depth", "wanted"),
    [
        *((code, 913, "fail") for code in IRCS),
        *((code, 914, "pass") for code in IRCS),
        *((code, 1015, "fail") for code in IBCS),
        *((code, 1016, "pass") for code in IBCS),
    ],
)
def test_a_landing_in_millimetres(code: str, depth: float, wanted: str) -> None:
    """36 in is printed as 914 mm; 40 in of a flight's width are 1016."""
    deck = stepped(depth / 25.4, code=code)
    for level in deck["levels"]:
        points = level["outline"]["points"]
        level["outline"]["points"] = [[25.4 * x, 25.4 * y] for x, y in points]
        level["drop"] *= 25.4
    opening, steps = deck["levels"][0]["openings"][0], deck["stairs"][0]
    for of, names in ((opening, ("from", "width")), (steps, ("rise", "going"))):
        of.update({name: 25.4 * of[name] for name in names})
    assert at_foot({**deck, "unit": "mm"})["result"] == wanted


def test_a_short_landing_as_it_is_told() -> None:
    """The message has the landing, its depth, what is required and the clause."""
    assert at_foot(stepped(20))["message"] == (
        "f: the landing at its foot, on lo, is 1' 8\" deep; at least 3' is required (IRC 2021 "
        "R311.7.6)."
    )
    assert at_foot(stepped(20))["severity"] == "violation"


@pytest.mark.parametrize(
    ("depth", "wanted"),
    [
        (35.9375, "fail"),
        (36.0, "not_checked"),
        (36 + TAKEN - 0.0625, "not_checked"),
        (36 + TAKEN, "pass"),
    ],
)
def test_a_landing_before_a_railing(depth: float, wanted: str) -> None:
    """Whether what the railing takes up counts, the code does not say; where it decides, the local
    authority has to."""
    assert at_foot(stepped(depth, far="guard"))["result"] == wanted


def test_what_is_left_to_settle_is_told() -> None:
    """36 in to the edge leave 36 - 4.625 = 31.375 to the railing."""
    finding = at_foot(stepped(36, far="guard"))
    assert finding["actual"] == 31.375
    assert finding["message"] == (
        "f: the landing at its foot, on lo, is 3' deep, 2' 7 3/8\" of it clear of its railing; at "
        "least 3' is required (IRC 2021 R311.7.6): settle with the local authority whether the "
        "room of the railing counts."
    )


@pytest.mark.parametrize("code", IBCS)
@pytest.mark.parametrize(
    ("width", "depth", "limit", "wanted"),
    [
        (40.0, 39.9375, 40.0, "fail"),
        (40.0, 40.0, 40.0, "pass"),
        (48.0, 47.9375, 48.0, "fail"),
        (60.0, 47.9375, 48.0, "fail"),
        (60.0, 48.0, 48.0, "pass"),
    ],
)
def test_the_width_of_the_flight_is_enough(
    code: str, width: float, depth: float, limit: float, wanted: str
) -> None:
    """IBC 1011.6: as deep as the stair is wide, but no more than 48 in has to be."""
    finding = at_foot(stepped(depth, width=width, code=code))
    assert (finding["result"], finding["limit"]) == (wanted, limit)
    assert ("the width of the flight" in finding["message"]) is (width < 48)


@pytest.mark.parametrize("past", [0.0, 0.0625])
def test_a_flight_that_ends_at_the_far_edge_has_no_landing(past: float) -> None:
    """A foot within 1/8 in of the edge of a level stands on it."""
    assert at_foot(stepped(-past))["actual"] == 0


def test_a_landing_at_the_head() -> None:
    """The deck that a flight goes down from, here 30 in to the wall of the house."""
    (short,) = (one for one in told(stepped(60, head=30)) if one["result"] == "fail")
    assert short["message"].startswith("f: the landing at its head, on up, is 2' 6\" deep; ")


def test_what_stands_on_a_landing_ends_it() -> None:
    """A box whose near side is 23 in past the foot."""
    deck = stepped(100)
    box_there = {"name": "box", "points": box(60, 30, 70, FOOT - 23), "height": 10}
    deck["levels"][1]["obstructions"] = [box_there]
    assert at_foot(deck)["actual"] == 23


@pytest.mark.parametrize(("between", "depth"), [("open", 80.0), ("guard", 20.0)])
def test_two_levels_at_one_height_make_one_landing(between: str, depth: float) -> None:
    """A second level begins 20 past the foot and is 60 deep; a railing between them ends it."""
    deck = stepped(20, far=between)
    more = {
        **{"id": "more", "outline": {"points": box(0, FOOT - 80, 144, FOOT - 20)}, "drop": 60},
        "edges": [{"edge": 0, "condition": "open"}, {"edge": 2, "condition": "open"}],
    }
    deck["levels"].append(more)
    assert at_foot(deck)["actual"] == depth


@pytest.mark.parametrize("off", [2e-14, -5e-7])
def test_levels_at_one_height_but_for_the_last_bits(off: float) -> None:
    """A drop that a program worked out may differ in its last bits; up to 1e-6 is at one height."""
    deck = stepped(20, far="open")
    more = {
        **{"id": "more", "outline": {"points": box(0, FOOT - 80, 144, FOOT - 20)}},
        **{"drop": 60 + off, "edges": [{"edge": i, "condition": "open"} for i in (0, 2)]},
    }
    deck["levels"].append(more)
    assert at_foot(deck)["actual"] == 80


def test_a_level_a_step_down_is_no_part_of_a_landing() -> None:
    """The landing ends 20 past the foot, where the next level lies one riser of 7 lower."""
    deck = stepped(20, far="open")
    lower = {
        **{"id": "lower", "outline": {"points": box(0, FOOT - 80, 144, FOOT - 20)}, "drop": 53},
        "edges": [{"edge": i, "condition": "open"} for i in (0, 2)],
    }
    deck["levels"].append(lower)
    assert at_foot(deck)["actual"] == 20


@pytest.mark.parametrize(("depth", "wanted"), [(36.0, "not_checked"), (35.9375, "fail")])
@pytest.mark.parametrize("without", [(1, 2), (2,)])
def test_a_level_past_a_landing_that_may_be_as_high(
    without: tuple[int, ...], depth: float, wanted: str
) -> None:
    """The landing is 20 deep, and the level past it, of no given drop, ends `depth` past the foot:
    the landing is deep enough only if both are at one height, and 35.9375 is too little anyway."""
    deck = stepped(20, far="open")
    past = {
        **{"id": "past", "outline": {"points": box(0, FOOT - depth, 144, FOOT - 20)}, "drop": 60},
        "edges": [{"edge": i, "condition": "open"} for i in (0, 2)],
    }
    deck["levels"].append(past)
    for i in without:
        del deck["levels"][i]["drop"]
    finding = at_foot(deck)
    assert (finding["result"], finding["actual"]) == (wanted, 20)
    told = "or 3' if the level past it is as high" in finding["message"]
    assert told is (wanted == "not_checked")


@pytest.mark.parametrize(("depth", "wanted"), [(35.9375, "fail"), (36.0, "not_checked")])
@pytest.mark.parametrize("mirrored", [False, True])
def test_a_railing_that_goes_round_an_inner_corner_in_the_way(
    depth: float, wanted: str, *, mirrored: bool
) -> None:
    """The landing ends at an edge from x = 70 on, where an inner corner lies in the way (50 to 90).

    Mirrored, it ends there up to x = 70. Both edges there have railings, which meet at a post 3.5
    in from each: the edge itself ends at the corner, so that the landing is as deep as it is to
    there.
    """
    deck, y = stepped(100, far="guard"), FOOT - depth
    lo = deck["levels"][1]
    (x0, y0), (x1, _), (_, y1), _ = lo["outline"]["points"]
    left, right = (y, y0) if mirrored else (y0, y)
    lo["outline"]["points"] = [
        *([x0, left], [70, left], [70, right], [x1, right]),
        *([x1, y1], [x0, y1]),
    ]
    lo["edges"] = [{"edge": 4, "condition": "open"}]
    finding = at_foot(deck)
    assert finding["result"] == wanted
    assert finding["actual"] == pytest.approx(depth if wanted == "fail" else depth - TAKEN)


def test_a_turned_deck_has_the_same_landings() -> None:
    """Turned by 30 degrees about the origin."""
    deck = stepped(36, far="guard")
    c, s = math.cos(math.radians(30)), math.sin(math.radians(30))
    for level in deck["levels"]:
        points = level["outline"]["points"]
        level["outline"]["points"] = [[c * x - s * y, s * x + c * y] for x, y in points]
    finding = at_foot(deck)
    assert (finding["result"], finding["actual"]) == ("not_checked", 31.375)


def test_a_railing_beside_the_way_does_not_end_it() -> None:
    """On a level as wide as the flight and 3 on either side, guards stand 1.625 in the way; how
    deep the landing is goes by the one at its end: 100 - 4.625."""
    deck = stepped(100, far="guard")
    deck["levels"][1]["outline"]["points"] = box(47, FOOT - 100, 93, EDGE)
    assert at_foot(deck)["actual"] == 95.375


def test_a_foot_that_is_not_on_its_level_has_no_landing_there() -> None:
    """The level begins at x = 60 and the flight at 50: `flight_foot` tells of that."""
    deck = stepped(60)
    deck["levels"][1]["outline"]["points"] = box(60, FOOT - 60, 144, EDGE)
    assert ["at its head" in one["message"] for one in told(deck)] == [True]


def test_where_there_is_nothing_to_say() -> None:
    """On the ground there is no landing of the deck's; NBC's figure is not in its document."""
    ground = stepped(60)
    ground["levels"].pop()
    ground["stairs"][0].pop("to_level")
    assert ["at its head" in one["message"] for one in told(ground)] == [True]
    assert told(stepped(20, code="ca-nbc-2020")) == []


def test_without_a_code() -> None:
    """No code, no figure: said once for the flight."""
    (finding,) = told(stepped(20, code=None))
    assert (finding["result"], finding["where"]) == ("not_checked", ["f"])


def test_a_depth_that_hangs_on_a_drop_that_is_not_given() -> None:
    """A code that asks for 48 over a drop of more than 60, and the drop is left out."""
    case = When("drop", 60.0, 48.0, "Town bylaw 5")
    code = code_with(IRC, landing_depth=Figure(36.0, "at_least", "Bylaw 4", "seen", (case,)))
    parts: Json = {
        "flights": (flight(drop=None, drops=Drops()),),
        "landings": (LandingSeen("front", "lo {0}", "foot", 40.0, 40.0),),
    }
    finding = only("landing_depth", code, **parts)
    assert finding.result == "not_checked"
    assert finding.message.startswith(
        "front: the landing at its foot, on lo {0}, is 3' 4\" deep; the figure is 4' (Town bylaw 5)"
    )
