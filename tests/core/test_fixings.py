"""What a fixing lands in and what it is too near to, worked by hand (method 11).

The deck is 192 by 144 with a rim of 1.5. Joists of 1.5 run along y, 16 apart, the first at 0.75:
the second reaches from x = 16 to 17.5. A fixing has to be 0.5 from an edge of its timber.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from service.core.measure import Point
from service.core.records.deck import Framing
from service.core.timber.fixings import fixing_places, fixings_at
from service.core.timber.frame import Frame
from tests.core.builders import SURFACE, rectangle

DECK = shapely.Polygon(rectangle(192.0, 144.0))
FRAME = Frame(Framing(90.0, 16.0, 0.75, 1.5, 1.5, ""), DECK, "in")
BASE = replace(SURFACE.post.base, fixing_edge_distance=0.5)

CASES = {
    "off the deck": ((-1.0, 50.0), "none", set()),
    "off it in line with a joist": ((16.75, -1.0), "none", set()),
    "in the middle of the rim": ((0.75, 50.0), "rim", set()),
    "just far enough into it": ((0.5, 50.0), "rim", set()),
    "just far enough from its inner face": ((1.0, 50.0), "rim", set()),
    "too near the deck's edge": ((0.4375, 50.0), "none", set()),
    "too near the rim's inner face": ((1.0625, 50.0), "none", set()),
    "in the rim over the end of a joist": ((16.75, 1.25), "none", set()),
    "in the middle of a joist": ((16.75, 50.0), "joist", set()),
    "just far enough into it from its face": ((17.0, 50.0), "joist", set()),
    "in a joist, too near its face": ((17.0625, 50.0), "none", {"needs_block", "is_by_timber"}),
    "past a joist, too near its face": ((17.9375, 50.0), "none", {"needs_block", "is_by_timber"}),
    "past a joist, just far enough": ((18.0, 50.0), "none", {"needs_block"}),
    "midway between joists": ((24.0, 50.0), "none", {"needs_block"}),
    "past the last joist": ((184.0, 50.0), "none", {"needs_block"}),
    "past the rim, too near it": ((24.0, 1.9375), "none", {"needs_block", "is_by_timber"}),
    "past the rim, just far enough": ((24.0, 2.0), "none", {"needs_block"}),
    "in a joist, too near its end": ((16.75, 1.9375), "joist", {"is_by_joist_end"}),
    "in a joist, just far enough from its end": ((16.75, 2.0), "joist", set()),
}


@pytest.mark.parametrize(("at", "lands_on", "told"), CASES.values(), ids=CASES.keys())
def test_a_fixing(at: Point, lands_on: str, told: set[str]) -> None:
    """The timber that a fixing lands in, and which of three questions about it are answered with
    yes."""
    (fixing,) = fixings_at(FRAME, BASE, [at])
    assert fixing.lands_on == lands_on
    questions = ("needs_block", "is_by_timber", "is_by_joist_end")
    assert {question for question in questions if getattr(fixing, question)} == told


@pytest.mark.parametrize(
    ("at", "by_end"),
    [((1.9375, 50.0), False), ((1.9375, 1.9375), True), ((1.9375, 2.375), False)],
    ids=["beside the rim that it runs along", "at its end", "just far enough from it"],
)
def test_a_joist_ends_where_it_meets_the_rim(at: Point, by_end: bool) -> None:
    """A joist of 4.5 with its middle at x = 3.5 runs along a rim of 1.875, and ends at y = 1.875;
    only there has it an end that a fixing may be too near to."""
    frame = Frame(
        replace(FRAME.framing, first_joist=3.5, joist_width=4.5, rim_width=1.875), DECK, "in"
    )
    (fixing,) = fixings_at(frame, BASE, [at])
    assert (fixing.lands_on, fixing.is_by_joist_end) == ("joist", by_end)


def test_a_kit_that_asks_for_no_distance() -> None:
    """Where a kit asks for no edge distance, no fixing is too near a joist's end."""
    (fixing,) = fixings_at(FRAME, replace(BASE, fixing_edge_distance=0.0), [(16.75, 1.5)])
    assert (fixing.lands_on, fixing.is_by_joist_end) == ("joist", False)


def test_each_fixing_of_many_is_answered_for_itself() -> None:
    """The answers come in the order in which the places are given."""
    fixings = fixings_at(FRAME, BASE, [at for at, _, _ in CASES.values()])
    assert [fixing.lands_on for fixing in fixings] == [landing for _, landing, _ in CASES.values()]


def test_places_of_six_fixings_on_a_turned_base() -> None:
    """The corners come first, then the middles of two sides, 5/2 - 1 = 1.5 from the post's centre.
    A quarter turn takes (x, y) to (-y, x)."""
    base = replace(BASE, width=5.0, fixing_inset=1.0, fixings=6)
    wanted = [(11.5, 18.5), (11.5, 21.5), (8.5, 21.5), (8.5, 18.5), (11.5, 20.0), (8.5, 20.0)]
    for place, by_hand in zip(fixing_places(base, (10.0, 20.0), 90.0), wanted, strict=True):
        assert place == pytest.approx(by_hand)
