"""How high a guard is over a seat or a planter beside it (facts on codes, 2.1 and part 8, 26)."""

from __future__ import annotations

import json
from typing import Any

import pytest

from service.answer import answer
from service.core.records.deck import Drops
from service.core.records.seen import SeatSeen
from tests.shipped import catalogue

from .small import ADK, bay, found, gate, only

Json = Any
NEAR_FACE = 3.5 + 2.25 / 2
"""From the deck's edge to the inner face of the posts of the inch kit with base plates."""


def over(height: float, **changes: Any) -> Json:  # noqa: ANN401
    """The only finding on a bay of 42 in with something beside it that is so high."""
    seats = (SeatSeen("B1", "bench {1}", height),)
    return only("guard_over_seat", bays=(bay(height=42.0, **changes),), seats=seats)


@pytest.mark.parametrize(
    ("height", "severity"),
    [(6.0625, "warning"), (6.0, "note"), (6.0 + 5e-7, "note"), (5.9375, "note")],
)
def test_what_is_left_over_a_bench(height: float, severity: str) -> None:
    """IRC 2021 R312.1.2 asks for 36: a guard of 42 leaves that over 6, and no less."""
    finding = over(height)
    assert (finding.severity, finding.limit) == (severity, 36.0)
    assert finding.message.startswith("B1: bench {1}, ")


def test_a_guard_that_is_not_required_may_have_a_bench() -> None:
    """Over a drop of 30 no guard is required by the IRC, so nothing is said."""
    seats = (SeatSeen("B1", "bench", 18.0),)
    assert found("guard_over_seat", bays=(bay(drops=Drops(30.0)),), seats=seats) == []


def test_a_leaf_in_millimetres() -> None:
    """The top of a gate's leaf counts: 1100 - 450 = 650 of the 1100 that England asks for."""
    leaf = gate(height=1030.0, top=1100.0)
    seats = (SeatSeen(leaf.place, "planter", 450.0),)
    finding = only("guard_over_seat", ADK, unit="mm", gates=(leaf,), seats=seats)
    assert finding.message == (
        f"{leaf.place}: planter, 450 mm high, stands within 533 mm of the guard, which is 650 mm "
        "high over it; a person can stand on it, and some local codes measure from there: move it "
        "further off or raise the guard; at least 1100 mm is required (AD K 2013, Diagram 3.1)."
    )


def told(edges: list[Json], points: Json, **level: Any) -> list[str]:  # noqa: ANN401
    """Where a seat of 18 in is told of, beside a guard of 36 on a deck of 240 by 144."""
    seat = {"name": "seat", "points": points, "height": 18}
    outline = {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]}
    main = {"id": "main", "outline": outline, "drop": 48, "edges": edges, "obstructions": [seat]}
    deck = {
        "unit": "in",
        "kit": "picket-glass-surface-in",
        "code": "us-irc-2021",
        "guard": {"infill": "picket"},
        "levels": [{**main, **level}],
    }
    reply = json.loads(answer(json.dumps(deck).encode(), catalogue()).body)
    found = [each for each in reply["findings"] if each["rule"] == "guard_over_seat"]
    return sorted({place for each in found for place in each["where"]})


def box(x0: float, y0: float, x1: float, y1: float) -> Json:
    """The corners of a box in plan."""
    return [[x0, y0], [x1, y0], [x1, y1], [x0, y1]]


WALLS = [{"edge": number, "condition": "wall"} for number in (1, 2, 3)]


@pytest.mark.parametrize(
    ("front", "near"),
    [(0.5, True), (21.0, True), (21.0 + 5e-7, True), (21.0625, False)],
)
def test_how_near_a_gate_a_seat_counts(front: float, near: bool) -> None:
    """Within 21 in of the line of a gate that takes up its whole edge but for two bays."""
    gates = [{"id": "gate", "edge": 0, "from": 100, "width": 40, "use": "gate"}]
    y = NEAR_FACE + front
    where = told(WALLS, box(110, y, 130, y + 12), openings=gates)
    assert ("main/gate" in where) is near


def test_a_seat_on_the_outer_side_of_a_bow_is_outside_the_guard() -> None:
    """An edge bowed out by 24: on the chord's outer side, but inside the bow, a seat counts.

    The line at mid-chord lies 3.5 inside y = -24, so a seat from y = -19 to -7 stands inside of it,
    its front 0.375 from the face of posts there.
    """
    bowed = [*WALLS, {"edge": 0, "arc_rise": 24}]
    assert told(bowed, box(118, -19, 122, -7)) != []
    hollow = [*WALLS, {"edge": 0, "arc_rise": -24}]
    # Bowed in by 24, the line lies at y = 27.5 at mid-chord, and the seat outside of it.
    assert told(hollow, box(118, 5, 122, 15)) == []


def test_what_stands_outside_the_guard_is_no_help_to_get_over_it() -> None:
    """On the deck, but between its edge and the guard, whose posts stand from y = 2.375 on."""
    assert told(WALLS, box(100, 0.25, 110, 2)) == []


def test_what_stands_beside_the_deck_is_not_stood_on() -> None:
    """Past the corner (120, 0) of an L, 8.5 from the line's end, a box stands off the deck.

    The guard of edge 0 faces up, as the box does, but edge 1's guard stands between them. On the
    deck, as far from the other end of that line, the box counts.
    """
    outline = {"points": [[0, 0], [120, 0], [120, 96], [240, 96], [240, 192], [0, 192]]}
    walls = [{"edge": number, "condition": "wall"} for number in (2, 3, 4, 5)]
    assert told(walls, box(125, 5, 135, 15), outline=outline) == []
    assert told(walls, box(10, 12, 20, 22), outline=outline) == ["B1"]


def test_a_seat_past_an_inner_corner_is_not_in_the_line() -> None:
    """The line of edge 2 lies at y = 92.5 and ends at the post (136.5, 92.5) of the inner corner.

    A box up to x = 132 and y = 93 stands across that height past the corner, 4.5 from the ends of
    both lines: beside the second bay along edge 2 and the first along edge 3.
    """
    outline = {"points": [[0, 0], [240, 0], [240, 96], [140, 96], [140, 200], [0, 200]]}
    walls = [{"edge": number, "condition": "wall"} for number in (0, 1, 4, 5)]
    assert told(walls, box(120, 82, 132, 93), outline=outline) == ["B2", "B3"]
