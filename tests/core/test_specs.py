"""Defaults of edges, heights of posts, faults of places, and the order of the lists."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from service.core.engine import lay_out
from service.core.measure import Point
from service.core.problems import Unbuildable
from service.core.records.deck import Outline, Tie, Ties
from service.core.records.layout import Layout
from tests.core import builders
from tests.core.builders import SURFACE, laid, opening, rectangle, walls


def codes(outline: Outline | tuple[Point, ...], **parts: Any) -> list[str]:
    """Codes and pointers of the problems that a deck is refused for."""
    with pytest.raises(Unbuildable) as refused:
        laid(outline, **parts)
    return [f"{problem.code} {problem.pointer}" for problem in refused.value.problems]


def test_an_edge_s_own_height_and_infill_go_before_the_guard_s() -> None:
    """Edge 1 has its own height of 42 and glass; the others have the deck's 36 and pickets."""
    said = (builders.edge(1, "guard", height=42.0, infill="glass"),)
    layout = laid(rectangle(200, 100), edges=said)
    assert {(bay.edge, bay.height, bay.infill) for bay in layout.bays} == {
        (0, 36, "picket"),
        (1, 42, "glass"),
        (2, 36, "picket"),
        (3, 36, "picket"),
    }


@pytest.mark.parametrize(("height", "stock"), [(36, 36), (40, 42), (42, 42), (48, 48), (49, None)])
def test_a_shared_post_takes_the_greater_height(height: float, stock: float | None) -> None:
    """A post shared by two heights has the greater, and the least stock height that reaches it.

    The kit has 36, 39, 42 and 48, so over 48 there is none. Edge 1 is `height` high, the others 36;
    corners (200, 0) and (200, 100) meet both.
    """
    said = (builders.edge(1, "guard", height=float(height)),)
    layout = laid(rectangle(200, 100), edges=said)
    shared = [post for post in layout.posts if post.role == "corner" and post.at[0] > 100]
    others = [post for post in layout.posts if post.role == "corner" and post.at[0] < 100]
    assert [(post.height, post.stock_height) for post in shared] == [(height, stock)] * 2
    assert [(post.height, post.stock_height) for post in others] == [(36, 36)] * 2


def test_a_height_left_out_is_the_kit_s_least() -> None:
    """Where no edge, no guard and no code gives a height, it is the kit's least: 36."""
    deck = builders.deck(rectangle(200, 100))
    bare = replace(deck, guard=replace(deck.guard, height=None))
    assert {bay.height for bay in lay_out(bare, SURFACE, None).bays} == {36}


@pytest.mark.parametrize("said", [None, "guard"])
def test_the_baseline_is_a_wall_unless_said_otherwise(said: str | None) -> None:
    """The last edge of an outline by ties is a wall unless `edges` gives it a condition.

    Two corners off a wall of 240: edges 0 to 2 are railed, and the last one is the wall.
    """
    ties = Ties(240, (Tie(144.0, 279.9), Tie(279.9, 144.0)), "/levels/0/outline")
    edges = () if said is None else (builders.edge(3, said),)
    layout = laid(ties, edges=edges)
    assert [seen.condition for seen in layout.edges] == ["guard"] * 3 + [said or "wall"]
    assert {run.edge for run in layout.runs} == {0, 1, 2} | ({3} if said else set())


@pytest.mark.parametrize(
    ("start", "width", "fits"),
    [
        *((160, 40, True), (160, 40.0009, True)),
        *((160, 40.0011, False), (160.1, 40, False), (0, 201, False)),
    ],
)
def test_a_place_ends_on_its_edge(start: float, width: float, fits: bool) -> None:
    """Openings and no_post stretches reach to the end of their edge at most.

    Edge 0 is 200 long. A place may end 0.001 past it, as corners are given no closer: an edge of
    202.237484 is measured as 202.2375.
    """
    hole = opening(0, start, width)
    if fits:
        assert laid(rectangle(200, 100), openings=(hole,)).openings
        return
    fault = "off_its_edge /levels/0/openings/o/width"
    assert fault in codes(rectangle(200, 100), openings=(hole,))
    stretch = builders.no_post(0, start, width)
    fault = "off_its_edge /levels/0/no_post/0/width"
    assert fault in codes(rectangle(200, 100), no_post=(stretch,))


def test_places_on_edges_without_railing_and_on_no_edge() -> None:
    """Faults of places are reported all at once: an opening in a wall, one on edge 4 of four edges,
    and an edge 9."""
    holes = (opening(1, 0, 20, name="a"), opening(4, 0, 20, name="b"))
    said = (*walls(1), replace(builders.edge(9, "wall"), pointer="/levels/0/edges/1"))
    assert sorted(codes(rectangle(200, 100), openings=holes, edges=said)) == [
        "edge_without_railing /levels/0/openings/a/edge",
        "no_such_edge /levels/0/edges/1/edge",
        "no_such_edge /levels/0/openings/b/edge",
    ]


@pytest.mark.parametrize(("depth", "railed"), [(16.24, False), (16.26, True)])
def test_the_kit_s_least_bay(depth: float, railed: bool) -> None:
    """A stretch that is shorter than the kit's least bay is not railed but reported.

    A side of depth d has a clear of d - 7 - 2.25; the kit's least bay is 7, so d must be 16.25.
    """
    layout = laid(rectangle(200, depth))
    sides = [bay for bay in layout.bays if bay.edge in (1, 3)]
    assert len(sides) == (2 if railed else 0)
    small = [seen.clear for seen in layout.small_stretches]
    assert small == pytest.approx([] if railed else [depth - 9.25] * 2)


def test_bases_that_meet() -> None:
    """Openings 5 apart have posts at 81.125 and 83.875, 2.75 apart, so that bases 4.5 wide overlap
    by 1.75."""
    holes = (opening(0, 40, 40, name="a"), opening(0, 85, 40, name="b"))
    layout = laid(rectangle(200, 100), openings=holes)
    assert [clash.overlap for clash in layout.clashes] == pytest.approx([1.75])
    places = {post.id: post.at[0] for post in layout.posts}
    assert sorted(places[name] for name in layout.clashes[0].posts) == pytest.approx(
        [81.125, 83.875]
    )


def test_each_edge_has_its_own_pane() -> None:
    """Equal panels on edges 0 and 2, in the kit's first glass (6 mm) and its second (10 mm), weigh
    as 6 to 10."""
    said = (builders.edge(2, "guard", glass=1), *walls(1, 3))
    layout = laid(rectangle(200, 100), edges=said, infill="glass")
    weights = [panel.mass for panel in layout.glass_order]
    assert len({(panel.width, panel.height) for panel in layout.glass_order}) == 1
    assert weights[1] / weights[0] == pytest.approx(10 / 6)


def mixed() -> Layout:
    """Layout of a deck with both infills and bays of several sizes."""
    said = (builders.edge(1, "guard", infill="glass"), builders.edge(2, "guard", infill="glass"))
    return laid(rectangle(250, 133), edges=said)


def test_the_cut_list_is_by_part_longest_first() -> None:
    """The cut list has rails of pickets, rails of glass, pickets, then spacers; within each part
    the longest pieces come first."""
    rows = [(piece.part, piece.length) for piece in mixed().cut_list]
    parts = list(dict.fromkeys(part for part, _ in rows))
    assert parts == [
        "top_rail_picket",
        "bottom_rail_picket",
        "top_rail_glass",
        "bottom_rail_glass",
        "picket",
        "spacer",
    ]
    for part in parts:
        lengths = [length for name, length in rows if name == part]
        assert lengths == sorted(set(lengths), reverse=True)


def test_panels_are_marked_in_the_order_of_their_bays() -> None:
    """G1 is the size of the first glass bay, G2 the next size."""
    layout = mixed()
    bays = {bay.id: bay for bay in layout.bays}
    assert [panel.mark for panel in layout.glass_order] == ["G1", "G2"]
    firsts = [int(panel.bays[0][1:]) for panel in layout.glass_order]
    assert firsts == sorted(firsts)
    for panel in layout.glass_order:
        sizes = {(g.width, g.height) for name in panel.bays if (g := bays[name].fill.glass)}
        assert sizes == {(panel.width, panel.height)}
