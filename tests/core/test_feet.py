"""What a flight's foot leaves open at an open edge of a lower level, worked by hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

import pytest

from service.core.engine import lay_out
from service.core.measure import Length
from service.core.records.deck import Corners, Drops, Level
from service.core.records.kit import Kit
from tests.core import builders
from tests.core.builders import edge, opening, rectangle
from tests.core.sloping import FASCIA, SURFACE, stair


@pytest.mark.parametrize(
    ("kit", "past", "along"),
    [(FASCIA, 4.0, 5.0), (SURFACE, 4.0, 6.75)],
    ids=["fascia", "surface"],
)
def test_past_a_foot_whose_edge_and_the_next_are_open(
    kit: Kit, past: Length, along: Length
) -> None:
    """A flight of six goings of 11 comes down onto a level whose edges are all open.

    Its foot posts stand in the middle of the lowest tread, 5.5 out from the edge. End posts beside
    the edge would stand in by 2, half a base of the fascia kit, or by the setback of 3.5 of the
    other: less a post's width of 2.5 or 2.25 a way of 5.5 + 2 - 2.5 = 5 or 5.5 + 3.5 - 2.25 = 6.75
    is left in the direction of the flight. Along the edge the level reaches 1 past the outer face
    of one foot post and 4 past that of the other, where nothing stands: the greater counts.
    """
    width = kit.post.width
    deck = builders.deck(rectangle(240, 144), openings=(opening(0, 96.0, 40.0),))
    main = replace(deck.levels[0], drops=Drops(69.0))
    low, high = 96.0 - width - 1.0, 136.0 + width + past
    corners = ((low, -200.0), (high, -200.0), (high, -66.0), (low, -66.0))
    bare = tuple(edge(number, "open") for number in range(4))
    below = Level("low", Corners(corners, "/levels/1"), "/levels/1", Drops(20.0), edges=bare)
    flight = stair(49.0, 7, 11.0)
    layout = lay_out(replace(deck, levels=(main, below), stairs=(flight,)), kit, None)
    (foot,) = [seen for seen in layout.feet if seen.place == "low/edge 2"]
    assert foot.left == pytest.approx(math.hypot(past, along))
    assert foot.behind == 0


@pytest.mark.parametrize(
    ("on", "behind"), [("tread", 6.75), ("ground", 0.0)], ids=["on a tread", "on the ground"]
)
def test_how_far_behind_a_passage_foot_posts_stand(
    on: Literal["tread", "ground"], behind: Length
) -> None:
    """Foot posts in the middle of the lowest tread of 11 stand 5.5 out from the edge that the
    flight comes down to, and the posts of a passage there 3.5 in: less a post's width of 2.25 a way
    of 6.75 is left in the direction of the flight. On the ground they stand past the lowest riser,
    2.25 in, half their base, and so beside the passage's."""
    deck = builders.deck(rectangle(240, 144), openings=(opening(0, 96.0, 40.0),))
    main = replace(deck.levels[0], drops=Drops(69.0))
    corners = ((0.0, -200.0), (240.0, -200.0), (240.0, -66.0), (0.0, -66.0))
    way = opening(2, 96.0, 48.0, use="passage")
    below = Level("low", Corners(corners, "/levels/1"), "/levels/1", Drops(20.0), openings=(way,))
    flight = replace(stair(49.0, 7, 11.0), foot_post=on)
    layout = lay_out(replace(deck, levels=(main, below), stairs=(flight,)), SURFACE, None)
    assert [seen.behind for seen in layout.feet] == [pytest.approx(behind)]


@pytest.mark.parametrize(
    ("posts", "behind"),
    [
        (("tread", "tread"), 5.5),
        (("tread", "ground"), 5.5),
        (("ground", "tread"), 4.375),
        (("ground", "ground"), 0.0),
        (("tread", None), 5.5),
        ((None, "tread"), 4.375),
        ((None, None), 0.0),
    ],
)
def test_how_far_behind_the_ends_of_an_open_edge_foot_posts_stand(
    posts: Sequence[Literal["tread", "ground"] | None], behind: Length
) -> None:
    """Two flights come down to the open edge along y = -66, one by x = 60 and one by x = 180; one
    of them may be without guards, and so without posts.

    Foot posts in the middle of the lowest tread stand 5.5 out, their faces 5.5 - 1.125 = 4.375 from
    the edge. Past the edge's end at x = 0 a railing ends half a base, 2.25, before it: its post's
    face is 2.25 - 1.125 = 1.125 in, 5.5 from that of a foot post on a tread. Past its other end a
    wall begins at the edge, 4.375 from such a post. Of the two the greater counts.
    """
    ways = [replace(opening(0, start, 40.0), id=name) for start, name in ((40.0, "p"), (160, "q"))]
    deck = builders.deck(rectangle(240, 144), openings=tuple(ways))
    main = replace(deck.levels[0], drops=Drops(69.0))
    corners = ((0.0, -200.0), (240.0, -200.0), (240.0, -66.0), (0.0, -66.0))
    sides = edge(1, "wall"), edge(2, "open"), edge(3, open_end="edge")
    below = Level("low", Corners(corners, "/levels/1"), "/levels/1", Drops(20.0), edges=sides)
    flights = [
        stair(49.0, 7, 11.0, id=way.id, opening=f"main/{way.id}", foot_post=on or "tread")
        for way, on in zip(ways, posts, strict=True)
    ]
    bare = [
        flight if on else replace(flight, guards=())
        for flight, on in zip(flights, posts, strict=True)
    ]
    layout = lay_out(replace(deck, levels=(main, below), stairs=tuple(bare)), SURFACE, None)
    (foot,) = [seen for seen in layout.feet if seen.place == "low/edge 2"]
    assert foot.behind == pytest.approx(behind)


def test_a_foot_within_another_counts_for_nothing() -> None:
    """The wide flight comes down from main by x = 60 to 160, and the narrow one, within it, from a
    level above main by x = 100 to 120, to the open edge along y = -66 from x = 170 to 50.

    Its rise of 49, as sent, would end on main's 69, where the wide one begins, so they never meet.

    The outer faces of the wide one's posts are at 160 + 2.25 and 60 - 2.25, 7.75 from either end of
    the edge. At x = 170 the next edge is open too: 7.75 along the edge and, as in the first test,
    6.75 behind. At x = 50 a wall begins, 7.75 along and 4.375 behind, which is less. From the
    narrow one's posts, which stand on the ground, it would be 47.75 along to either end.
    """
    way = replace(opening(0, 60.0, 100.0), id="wide")
    deck = builders.deck(rectangle(240, 144), openings=(way,))
    main = replace(deck.levels[0], drops=Drops(69.0))
    over = replace(
        main, id="over", drops=Drops(118.0), openings=(replace(opening(0, 100.0, 20.0), id="way"),)
    )
    corners = ((50.0, -200.0), (170.0, -200.0), (170.0, -66.0), (50.0, -66.0))
    sides = edge(1, "open"), edge(2, "open"), edge(3, "wall")
    below = Level("low", Corners(corners, "/levels/1"), "/levels/1", Drops(20.0), edges=sides)
    flights = (
        stair(49.0, 7, 11.0, id="wide", opening="main/wide"),
        stair(49.0, 7, 11.0, id="narrow", opening="over/way", foot_post="ground", to_level="low"),
    )
    layout = lay_out(replace(deck, levels=(main, over, below), stairs=flights), SURFACE, None)
    (foot,) = [seen for seen in layout.feet if seen.place == "low/edge 2"]
    assert foot.flights == ("wide", "narrow")
    assert foot.left == pytest.approx(math.hypot(7.75, 6.75))
    assert foot.behind == pytest.approx(4.375)
