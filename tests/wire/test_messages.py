"""What refusals say: where, in the caller's own numbers; with units; and what would be accepted.

The kit is picket-glass-surface-in: posts 2.25 wide, 4.5 at the base, on a line 3.5 in from the
edge.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from service.core.problems import Malformed, Problem
from tests.shipped import catalogue

from .documents import kit, problems, put, reply, small

Json = Any
SQUARE = [[0, 0], [240, 0], [240, 144], [0, 144]]
CROSSED = [[0, 0], [240, 0], [0, 144], [240, 144]]
NOTCHED = [[0, 0], [100, 0], [100, -20], [106, -20], [106, 0], [240, 0], [240, 144], [0, 144]]


def deck(points: Json = SQUARE, outline: Json = None, guard: Json = None, **level: Json) -> Json:
    """A deck of one level, with no entries for edges."""
    return small(
        guard=guard or {"infill": "picket", "height": 36},
        levels=[{"id": "main", "outline": outline or {"points": points}, **level}],
    )


def opening(name: str, start: float, width: float, use: str = "passage") -> Json:
    """An opening in edge 0."""
    return {"id": name, "edge": 0, "from": start, "width": width, "use": use}


def refused(document: Json) -> tuple[Problem, ...]:
    """The problems of a document."""
    return problems(document)[1]


ONE: list[tuple[Json, str, str]] = [
    (
        deck(openings=[opening("a", 192.0011, 48)]),
        "/levels/0/openings/0/width",
        "From 192.0011 in, 48 in wide, ends at 240.0011 in; edge 0 is 240 in long.",
    ),
    (
        deck(outline={"sides": [{"length": s, "turn": 90} for s in (1e6, 1e6, 1e6, 9e5)]}),
        "/levels/0/outline/sides",
        "misses its start by 100000 in (100000 in too far up) in a perimeter of 3900000 in; at most"
        " 39000 in, 1:100",
    ),
    (
        deck(outline={"ties": {"baseline": 10, "corners": [{"from_a": 1e6, "from_b": 2}]}}),
        "/levels/0/outline/ties/corners/0",
        "Tapes of 1000000 in from A and 2 in from B do not meet off a wall of 10 in",
    ),
    (
        deck(NOTCHED),
        "/levels/0/outline",
        "The stretch from 2.5 in to 3.5 in along edge 2 of level main needs 3.25 in more",
    ),
    (
        deck(NOTCHED[::-1], edges=[{"edge": 4, "infill": "picket"}]),
        "/levels/0/edges/0",
        "The stretch from 2.5 in to 3.5 in along edge 4 of level main needs 3.25 in more",
    ),
    (
        # The base of the post at 94.875, counted from the caller's end of an edge given clockwise.
        deck(
            SQUARE[::-1],
            openings=[opening("a", 96, 48)],
            no_post=[{"edge": 0, "from": 93, "width": 1, "why": "vent"}],
        ),
        "/levels/0/no_post/0",
        "The base of a fixed post lies from 92.625 in to 97.125 in along edge 0 of level main; no"
        " post may stand from 93 in to 94 in along edge 0",
    ),
    (
        deck(no_post=[{"edge": 0, "from": 10, "width": 200, "why": "rock"}]),
        "/levels/0/no_post/0",
        "from 3.5 in to 236.5 in along edge 0 of level main keeps spacings within 69 in",
    ),
    (
        deck(openings=[opening("a", 50, 48), opening("b", 80, 30)]),
        "/levels/0/openings/1",
        "Openings a and b overlap by 18 in; a post between them needs 2.25 in.",
    ),
    (
        # The least clear width is one step of leaf and one of rail, with 0.75 and 0.5 of gaps.
        deck(openings=[opening("a", 50, 1.25, "gate")]),
        "/levels/0/openings/0/width",
        "Gate a has 1.25 in clear; less 0.75 in at the hinge and 0.5 in at the latch no leaf is"
        " left to build. It needs 1.375 in clear.",
    ),
    (
        deck(edges=[{"edge": 0, "arc_rise": 130}]),
        "/levels/0/edges/0/arc_rise",
        "must rise less than half of it, 120 in; this one rises 130 in.",
    ),
    (
        deck([[0, 0], [240, 0], [240, 20], [0, 20]], edges=[{"edge": 0, "arc_rise": -60}]),
        "/levels/0/outline",
        "Edges 0 and 2 of level main cross or touch, bowed as they are",
    ),
    (
        deck(CROSSED),
        "/levels/0/outline/points",
        "Edges 1 and 3 of level main cross or touch",
    ),
    (
        deck([[0, 0], [240, 0], [120, 0]]),
        "/levels/0/outline/points",
        "Edges 0 and 1 of level main cross or touch",
    ),
    (
        deck([[0, 0], [240, 0], [240, 0], [240, 144], [0, 144]]),
        "/levels/0/outline/points/2",
        "Edge 1 of level main begins and ends at one corner",
    ),
    (
        deck([[0, 0], [240, 0], [240, 144], [0, 0]]),
        "/levels/0/outline/points/3",
        "Edge 3 of level main begins and ends at one corner",
    ),
    (
        put(small(kit=kit()), "/kit/post/setback", -3),
        "/kit/post/setback",
        "A setback of -3 in is not taken: that of a surface kit has to be above 0 (inward).",
    ),
    (
        put(small(kit=kit()), "/kit/picket/gap", 0.5),
        "/kit/picket/gap",
        "A gap of 0.5 in is not taken: it has to be at least what a picket is wide, 0.75 in.",
    ),
    (
        # The second corner turns the wrong way: 90 - 90 + 90 + 90 is 180.
        deck(
            outline={
                "sides": [
                    {"length": 120},
                    {"length": 60, "turn": -90},
                    {"length": 120},
                    {"length": 60},
                ]
            }
        ),
        "/levels/0/outline/sides",
        "Its turns come to 180°, and once round is 360°",
    ),
    (
        small(precision=5),
        "/precision",
        "A precision of 5 in is not taken",
    ),
]


@pytest.mark.parametrize(("document", "pointer", "said"), ONE)
def test_a_fault_is_told_with_its_place_and_its_bound(
    document: Json, pointer: str, said: str
) -> None:
    """One problem names the fault where it is, in plain decimals with the unit, never with an
    exponent."""
    found = refused(document)
    assert [problem.pointer for problem in found] == [pointer]
    assert said in found[0].message
    assert not re.search(r"\d[eE][+-]?\d", found[0].message)


@pytest.mark.parametrize(
    ("guard", "level", "pointer"),
    [
        ({"infill": "picket", "height": 4}, {}, "/guard/height"),
        (None, {"edges": [{"edge": 1, "height": 4}]}, "/levels/0/edges/0/height"),
    ],
)
def test_a_guard_too_low_is_told_once_where_its_height_is(
    guard: Json, level: Json, pointer: str
) -> None:
    """Rails 1.75 and 1.25 deep, with the bottom one 2.5 up, come to 5.5, and one step more is
    needed."""
    document = deck(guard=guard, **level)
    told = refused(document)
    assert [problem.pointer for problem in told] == [pointer]
    found = re.search(
        r"A guard of 4 in .* 2.5 in .* it has to be (\S+) in at least", told[0].message
    )
    assert found
    assert found[1] == "5.5625"
    assert "leaves no room for pickets between the rails" in told[0].message
    assert reply(put(document, pointer, float(found[1])))
    assert refused(put(document, pointer, float(found[1]) - 0.0625))


def test_four_short_edges_have_four_messages() -> None:
    """Each message names its own edge."""
    found = refused(deck([[0, 0], [3, 0], [3, 3], [0, 3]]))
    assert [problem.code for problem in found] == ["too_short_for_posts"] * 4
    for number, problem in enumerate(found):
        assert f"from 0 in to 3 in along edge {number} of level main" in problem.message


def test_a_stretch_past_a_corner_is_told_by_where_that_is() -> None:
    """The corner post of edges 0 and 1 hangs at (142.25, -2.25), and the end post stands half a
    base, 2, off a column that begins at y = 0.5: they are 0.75 apart, where their halves take 2.5.
    Both are off the deck, before edge 1 begins."""
    column = {"name": "column", "points": [[141, 0.5], [144, 0.5], [144, 5.5], [141, 5.5]]}
    points = [[0, 0], [140, 0], [140, 70], [0, 70]]
    edges = [{"edge": 1, "wall_end": "post"}]
    document = deck(points, edges=edges, obstructions=[column])
    (found,) = refused({**document, "kit": "picket-glass-fascia-in"})
    assert found.message.startswith("The stretch at 0 in along edge 1 of level main needs 1.75 in")


def test_a_stretch_over_two_edges_is_counted_from_each_edge_s_own_corner() -> None:
    """Edges 0 (100 long) and 1 (140 long) are in one line; given clockwise they are 2 and 3."""
    points = [[0, 0], [100, 0], [240, 0], [240, 144], [0, 144]]
    shut = [{"edge": 0, "from": 10, "width": 90, "why": "x"}]
    found = refused(deck(points, no_post=shut, edges=[{"edge": 1, "infill": "picket"}]))
    assert [problem.pointer for problem in found] == ["/levels/0/no_post/0"]
    assert "from 3.5 in along edge 0 to 136.5 in along edge 1 of level main" in found[0].message
    shut = [{"edge": 3, "from": 0, "width": 90, "why": "x"}]
    turned = refused(deck(points[::-1], no_post=shut))
    assert "from 3.5 in along edge 2 to 96.5 in along edge 3 of level main" in turned[0].message


def test_a_flight_too_steep_for_its_guard_names_the_least_height() -> None:
    """The message gives the pitch in degrees, and a height that is accepted if it is sent."""
    document = deck(openings=[opening("s", 50, 48, "stair")]) | {
        "stairs": [
            {
                "id": "f",
                "opening": "main/s",
                "rise": 35,
                "risers": 5,
                "going": 11,
                "guards": ["left"],
                "height": 1,
            }
        ]
    }
    message = refused(document)[0].message
    assert message.startswith("At 32.4712° (7 in up on 11 in) a guard of 1 in leaves no room")
    least = re.search(r"has to be (\S+) in at least", message)
    assert least
    assert reply(put(document, "/stairs/0/height", float(least[1])))
    assert refused(put(document, "/stairs/0/height", float(least[1]) - 0.0625))


@pytest.mark.parametrize(
    ("unknown", "code"),
    [({"kit": "none-such"}, "unknown_kit"), ({"code": "none-such"}, "unknown_code")],
)
def test_what_a_deck_shows_alone_is_told_beside_an_unknown_document(
    unknown: Json, code: str
) -> None:
    """Faults in outlines, edge numbers, obstructions, places and repeated ids need no kit and no
    code, so an unknown one does not hide them."""
    document = deck(CROSSED, edges=[{"edge": 77}])
    crossed_solid = {"name": "o", "points": [[0, 0], [1, 1], [1, 0], [0, 1]]}
    document["levels"].append(
        {
            "id": "main",
            "outline": {"points": SQUARE},
            "openings": [opening("a", 230, 48)],
            "obstructions": [crossed_solid],
        }
    )
    document["stairs"] = [{"id": "f", "opening": "main/no", "rise": 35, "risers": 5, "going": 11}]
    found = [(problem.pointer, problem.code) for problem in refused(document | unknown)]
    assert found == [
        (f"/{next(iter(unknown))}", code),
        ("/levels/1/id", "given_twice"),
        ("/levels/0/outline/points", "outline_crosses_itself"),
        ("/levels/0/edges/0/edge", "no_such_edge"),
        ("/levels/1/openings/0/width", "off_its_edge"),
        ("/levels/1/obstructions/0/points", "obstruction_crosses_itself"),
        ("/stairs/0/opening", "no_such_opening"),
    ]


def test_every_bow_too_deep_is_told_and_the_flights_that_lead_nowhere() -> None:
    """One refusal names two bows of half their chord or more, and a flight from an opening that
    does not exist."""
    bows = [{"edge": 0, "arc_rise": 130}, {"edge": 1, "arc_rise": 72}]
    flight = {"id": "f", "opening": "main/no", "rise": 35, "risers": 5, "going": 11}
    found = refused(deck(edges=bows) | {"stairs": [flight]})
    assert [(problem.pointer, problem.code) for problem in found] == [
        ("/levels/0/edges/0/arc_rise", "arc_too_deep"),
        ("/levels/0/edges/1/arc_rise", "arc_too_deep"),
        ("/stairs/0/opening", "no_such_opening"),
    ]


def test_an_infill_that_the_kit_lacks_does_not_hide_the_outline() -> None:
    """A pane past the end of the kit's list is refused together with an outline that crosses
    itself."""
    panes = len(catalogue().kit("picket-glass-surface-in").document["glass"]["panes"])
    found = refused(deck(CROSSED, edges=[{"edge": 0, "glass": panes}]))
    assert {problem.code for problem in found} == {"glass_not_in_kit", "outline_crosses_itself"}


BARRED = {"edge": 1, "from": 10, "width": 84}
STEPS = [{"id": "f", "opening": "main/s", "rise": 21, "risers": 3, "going": 90, "guards": ["left"]}]


@pytest.mark.parametrize(
    ("document", "place"),
    [
        (deck(no_post=[BARRED]), "/levels/0/no_post/0"),
        (
            deck(no_post=[BARRED], edges=[{"edge": 1, "arc_rise": 12}]),
            "/levels/0/no_post/0",
        ),
        ({**deck(drop=21, openings=[opening("s", 42, 36, "stair")]), "stairs": STEPS}, "/stairs/0"),
    ],
    ids=["straight", "bowed", "flight"],
)
@pytest.mark.parametrize(("infill", "panels"), [("picket", False), ("glass", True)])
def test_where_no_row_of_posts_will_do_its_bounds_are_told(
    document: Json, place: str, infill: str, panels: bool
) -> None:
    """The message gives the kit's spacing, and the greatest panel where that bounds a bay."""
    kit = catalogue().kit("picket-glass-surface-in").document
    sent = {**document, "guard": {"infill": infill}, "kit": kit["id"]}
    (found,) = refused(sent)
    assert (found.pointer, found.code) == (place, "no_place_for_posts")
    assert f"spacings within {kit['max_centres'][infill]} in" in found.message
    size = f"panels within {kit['glass']['max_width']} in of width and {kit['glass']['max_area']} "
    assert (size + "sq in" in found.message) is panels


def test_a_first_joist_off_the_deck_is_told_with_the_width_of_the_deck() -> None:
    """Joists along y of a deck 240 in wide are counted from its left edge, and 241 in is past its
    right edge."""
    framing = {"joist_direction": 90, "joist_spacing": 16, "joist_width": 1.5, "rim_width": 1.5}
    (found,) = refused(deck(framing={**framing, "first_joist": 241}))
    assert found.message == (
        "The first joist lies off the deck: it is 241 in from the deck's outermost point, where"
        " joists are counted from, and the deck is 240 in across them."
    )


def test_where_no_post_can_stand_on_a_flight_its_steps_are_told() -> None:
    """Three risers over 21 in are 7 in each; along the slope goings of 90 in come to
    sqrt(90^2 + 7^2) = sqrt(8149) = 90.2718 in. Six risers over 600 in, as where 50 ft was typed for
    50 in, are 100 in each, and sqrt(10^2 + 100^2) = 100.4988 in."""
    document = deck(drop=21, openings=[opening("s", 42, 36, "stair")])
    (found,) = refused({**document, "stairs": STEPS})
    assert "a riser of 7 in and a going of 90 in put the treads 90.2718 in apart" in found.message
    steps = {**STEPS[0], "rise": 600, "risers": 6, "going": 10}
    (found,) = refused({**document, "stairs": [steps]})
    assert "a riser of 100 in and a going of 10 in put the treads 100.4988 in" in found.message


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("NaN", "NaN cannot be read: JSON has no such number; send a number such as 12.5."),
        (
            "-Infinity",
            "-Infinity cannot be read: JSON has no such number; send a number such as 12.5.",
        ),
        (
            "-1e999",
            "-1e999 cannot be read: it is too large for a double; send a number such as 12.5.",
        ),
        (
            "1" * 400,
            "1... cannot be read: it is too large for a double; send a number such as 12.5.",
        ),
    ],
)
def test_a_number_that_is_none_is_told_without_a_bound_of_its_member(text: str, said: str) -> None:
    """The message names no bound of the member, as only the schema says which numbers it takes."""
    kind, found = problems(f'{{"drop": {text}}}'.encode())
    assert kind is Malformed
    assert found[0].message.endswith(said)
