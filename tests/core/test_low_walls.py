"""Walls that hold a rail along a higher deck, and may be no more than the face below it, worked by
hand."""

from __future__ import annotations

from dataclasses import replace

from service.core.engine import lay_out
from service.core.measure import Length
from service.core.records.deck import Condition, Corners, Drops, Level
from service.core.records.kit import Kit
from tests.core import builders
from tests.core.builders import edge, rectangle, turned
from tests.core.sloping import FASCIA, SURFACE


def held(
    *beyond: tuple[Length, Length, Length, Condition],
    kit: Kit = SURFACE,
) -> list[tuple[str, Length, str]]:
    """Place, height of the deck and its name for each low hold of a deck of 100 by 100 from x = 100
    on, 40.5 up, whose edge 3, at x = 100, is a wall.

    beyond: the decks at that wall, each from where to where it lies along y, how far up it is, and
    what its edge at x = 100 is.
    """
    deck = builders.deck(turned(rectangle(100, 100), 0.0, (100.0, 0.0)), edges=(edge(3, "wall"),))
    low = replace(deck.levels[0], drops=Drops(40.5))
    others = []
    for i, (first, last, drop, condition) in enumerate(beyond, 1):
        pointer = f"/levels/{i}"
        corners = Corners(((0.0, first), (100.0, first), (100.0, last), (0.0, last)), pointer)
        sides = (edge(0, "open"), edge(1, condition), edge(2, "open"), edge(3, "wall"))
        others.append(Level(f"high{i}", corners, pointer, Drops(drop), edges=sides))
    layout = lay_out(replace(deck, levels=(low, *others)), kit, None)
    return [(seen.place, seen.stands, seen.deck) for seen in layout.low_holds]


def test_a_wall_of_the_higher_deck_holds_the_rail() -> None:
    """The other deck is 48 - 40.5 = 7.5 up, less than the 36 of the rails. With its own edge there
    open, the wall may be no more than the face of 7.5. A wall of its own stands on that deck, as
    high as is needed."""
    low = [("main/edge 0", 7.5, "high1"), ("main/edge 2", 7.5, "high1")]
    assert held((0.0, 100.0, 48.0, "open")) == low
    assert held((0.0, 100.0, 48.0, "wall")) == []


def test_of_two_decks_the_higher_counts() -> None:
    """The rail of edge 0 meets the wall 3.5 in from y = 0, where two decks meet: one 7.5 up, the
    other 78 - 40.5 = 37.5, over the rail's 36, so that its face holds the rail. At 76 it is 35.5
    up. Up the wall the rail of edge 2, at y = 96.5, has the second deck alone."""
    assert held((-80.0, 3.5, 48.0, "open"), (3.5, 100.0, 78.0, "open")) == []
    found = [("main/edge 0", 35.5, "high2"), ("main/edge 2", 35.5, "high2")]
    assert held((-80.0, 3.5, 48.0, "open"), (3.5, 100.0, 76.0, "open")) == found


def test_a_deck_that_only_touches_the_walls_corner_is_not_along_it() -> None:
    """A fascia's rail of edge 0 hangs outside the deck, and meets the wall's line past its corner
    at y = 0. A deck that ends there lies along no part of the wall; one that begins there does."""
    assert held((-80.0, 0.0, 48.0, "open"), kit=FASCIA) == []
    assert ("main/edge 0", 7.5, "high1") in held((0.0, 60.0, 48.0, "open"), kit=FASCIA)
