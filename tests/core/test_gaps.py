"""Gaps that no rail closes, past the ends of lines and beside posts, walls and openings, worked by
hand.

The kit's posts are 2.25 wide. The line lies 9 in from the edge, and the posts' strip goes from
7.875 to 10.125; or it lies 3.5 in, with a strip from 2.375 to 4.625.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import pytest

from service.core.engine import lay_out
from service.core.measure import Length, Point
from service.core.records.deck import Corners, Drops, Edge, Hand, Level, Obstruction
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.core.records.seen import GapSeen
from tests.core import builders
from tests.core.builders import FASCIA, edge, laid, walls
from tests.core.sloping import SURFACE, stair

NINE_IN = replace(SURFACE, post=replace(SURFACE.post, setback=9.0))
ROW = ((233.5, 234.5), (236.0, 239.0))
"""Where two columns in the line begin and end, past an end post at 240 - 9 = 231 whose face is at
232.125. Before the first is 1.375, between the two 1.5, and past them 240 - 239 = 1."""
INNER_CORNER = ((0, 0), (240, 0), (240, 100), (120, 100), (120, 200), (0, 200))


def in_line(ends: Sequence[tuple[Length, Length]]) -> tuple[object, ...]:
    """Columns that fill the posts' strip along edge 0, each from one place along it to another."""
    return tuple(builders.block((a + b) / 2, 9.0, b - a, 4.0) for a, b in ends)


def two_levels(
    outline: Sequence[Point], beyond: Sequence[Point], kit: Kit, **parts: object
) -> Layout:
    """The layout of a deck 48 above the ground and, beside it, a level without railings 24 above
    it."""
    deck = builders.deck(outline, **parts)  # type: ignore[arg-type]
    corners = Corners(tuple(beyond), "/levels/1/outline")
    bare = tuple(edge(number, "open") for number in range(len(beyond)))
    low = Level("low", corners, "/levels/1", Drops(24.0), edges=bare)
    return lay_out(replace(deck, levels=(*deck.levels, low)), kit, None)


def told(gaps: Sequence[GapSeen], *kinds: str) -> list[tuple[str, Length]]:
    """Kind and width of each gap of some kinds, by width."""
    found = [(gap.kind, round(gap.width, 6)) for gap in gaps if gap.kind in kinds]
    return sorted(found, key=lambda each: (each[1], each[0]))


def test_a_row_of_columns_past_an_end_post() -> None:
    """A row of columns leaves its gaps at the end of the line and, mirrored, at its start. A column
    amid the line and those past the deck's corners do not belong to the row. No gap of kind `past`
    is seen as well."""
    mirrored = [(240 - b, 240 - a) for a, b in ROW]
    away = [(100.0, 104.0), (241.0, 243.0), (-3.0, -1.0)]
    layout = laid(
        builders.rectangle(240, 144),
        NINE_IN,
        edges=(edge(1, "open"), *walls(2), edge(3, "open")),
        obstructions=in_line([*ROW, *mirrored, *away]),
    )
    each = [("open", 1.0), ("open", 1.0), ("beyond", 1.375), ("beyond", 1.375)]
    each += [("beyond", 1.5), ("beyond", 1.5)]
    assert told(layout.gaps, "beyond", "open", "past") == each


@pytest.mark.parametrize("by_the_corner", [False, True], ids=["as far as 235", "from 235 on"])
@pytest.mark.parametrize("turned_over", [False, True], ids=["at the end", "at the start"])
def test_each_piece_past_an_end_post_has_its_own_drop(
    turned_over: bool, by_the_corner: bool
) -> None:
    """The lower level lies along the edge as far as 235: from the post to the first column the drop
    is 24, and between the two columns, from 234.5 to 236, and past them it is 48. Where the lower
    level lies along the rest of the edge instead, the drop is 24 past the columns and 48 before.
    The same holds at the line's start, as in a mirror."""
    ends = (235, 240) if by_the_corner else (0, 235)
    ends = (240 - ends[1], 240 - ends[0]) if turned_over else ends
    beyond = [(x, y) for x, y in zip((*ends, *ends[::-1]), (-100, -100, 0, 0), strict=True)]
    row = ROW if not turned_over else [(240 - b, 240 - a) for a, b in ROW]
    layout = two_levels(
        builders.rectangle(240, 144),
        beyond,
        NINE_IN,
        edges=(edge(3 if turned_over else 1, "open"), *walls(2)),
        obstructions=in_line(row),
    )
    below = {(gap.kind, round(gap.width, 6)): gap.drops.drop for gap in layout.gaps}
    assert below["beyond", 1.375] == (48.0 if by_the_corner else 24.0)
    assert below["beyond", 1.5] == 48.0
    assert below["open", 1.0] == (24.0 if by_the_corner else 48.0)


@pytest.mark.parametrize(("near", "drop"), [(121, 48.0), (120, 24.0)])
@pytest.mark.parametrize("turned_over", [False, True], ids=["at the end", "at the start"])
def test_the_drop_past_a_column_before_a_wall_is_that_as_far_as_the_wall(
    turned_over: bool, near: Length, drop: Length
) -> None:
    """At an inner corner a column takes the end of the line, from x = 122 on, and the lower level
    lies beyond the edge. Where that level comes no nearer to the wall than x = 121, the drop
    between wall and column is 48; where it comes to the wall, 24. The same holds at the line's
    start, as in a mirror."""
    shapes: list[Sequence[Point]] = [
        INNER_CORNER,
        ((near, 100), (240, 100), (240, 150), (near, 150)),
        ((122, 93), (124, 93), (124, 95.5), (122, 95.5)),
    ]
    if turned_over:
        shapes = [tuple((240 - x, y) for x, y in shape[::-1]) for shape in shapes]
    outline, beyond, column = shapes
    number = next(
        i
        for i, ends in enumerate(pairwise([*outline, outline[0]]))
        if {x for x, _ in ends} == {120}
    )
    layout = two_levels(
        outline,
        beyond,
        SURFACE,
        edges=walls(number),
        obstructions=(builders.obstruction(column),),
    )
    (gap,) = [gap for gap in layout.gaps if gap.kind == "beyond"]
    assert gap.width == pytest.approx((2**2 + 4.5**2) ** 0.5)
    assert gap.drops.drop == drop


def test_past_a_post_that_stands_on_the_deck_one_may_go_along_the_edge() -> None:
    """The lower level lies beyond the last 10 of the edge, so the drop below what the post leaves
    open, from 232.125 on, is 24. But whoever gets past the post can go along the whole edge, where
    it is 48."""
    beyond = ((230, -100), (240, -100), (240, 0), (230, 0))
    ends = (edge(1, "open"), *walls(2))
    layout = two_levels(builders.rectangle(240, 144), beyond, NINE_IN, edges=ends)
    seen = [(gap.kind, gap.width, gap.drops.drop) for gap in layout.gaps]
    assert seen == [("open", 7.875, 24.0), ("past", 7.875, 48.0)]


def test_no_way_leads_round_a_post_that_a_raked_rail_comes_to() -> None:
    """An opening from 100 to 140 has its posts at 98.875 and 141.125. Beside a bare side of the
    flight one gets round the post, 3.5 - 1.125 = 2.375 from the edge; beside a guarded side one
    does not. The left side, seen going up, is the one nearer to the start of the deck's lower edge.
    """
    opening = builders.opening(0, 100, 40)
    deck = builders.deck(builders.rectangle(240, 144), edges=walls(2), openings=(opening,))

    def round_it(*guards: Hand) -> list[Length]:
        flight = stair(48, 7, 10.5, guards=guards)
        layout = lay_out(replace(deck, stairs=(flight,)), SURFACE, None)
        at = {post.id: post.at[0] for post in layout.posts}
        return [at[gap.where[0]] for gap in layout.gaps if gap.kind == "round"]

    assert round_it() == [98.875, 141.125]
    assert round_it("left") == [141.125]
    assert round_it("left", "right") == []


@pytest.mark.parametrize(("guards", "beside"), [(("left",), 2.0), (("left", "right"), None)])
def test_past_a_planter_beside_a_flight_one_falls_where_it_has_no_guard(
    guards: tuple[Hand, ...], beside: Length | None
) -> None:
    """A planter goes down along the flight, 2 off its right side, x = 140. The gap past the planter
    is seen where that side has no guard, and not where it has one."""
    planter = builders.obstruction(((142, -70), (150, -70), (150, -0.5), (142, -0.5)))
    deck = builders.deck(
        builders.rectangle(240, 144),
        edges=walls(2),
        openings=(builders.opening(0, 100, 40),),
        obstructions=(planter,),
    )
    layout = lay_out(replace(deck, stairs=(stair(48, 7, 10.5, guards=guards),)), SURFACE, None)
    (flight,) = layout.flights
    assert flight.beside == (None if beside is None else pytest.approx(beside, abs=1e-6))


@pytest.mark.parametrize(("left", "right"), [(2.0, 1.0), (1.0, 2.0)])
def test_past_planters_on_both_bare_sides_of_a_flight_the_wider_gap_counts(
    left: Length, right: Length
) -> None:
    """A planter goes down along each side of the flight, from the deck's edge to past the lowest
    nosing."""
    planters = [
        ((80, -70), (100 - left, -70), (100 - left, -0.5), (80, -0.5)),
        ((140 + right, -70), (160, -70), (160, -0.5), (140 + right, -0.5)),
    ]
    deck = builders.deck(
        builders.rectangle(240, 144),
        edges=walls(2),
        openings=(builders.opening(0, 100, 40),),
        obstructions=tuple(builders.obstruction(points) for points in planters),
    )
    layout = lay_out(replace(deck, stairs=(stair(48, 7, 10.5, guards=()),)), SURFACE, None)
    (flight,) = layout.flights
    assert flight.beside == pytest.approx(2.0, abs=1e-6)


def test_who_gets_round_a_post_falls_off_the_edge_on_its_own_side() -> None:
    """A passage runs from 100 to 140, and the lower level lies beyond the edge from 138 to the
    wall. The drop round the near post is 48, round the far post 24."""
    beyond = ((138, -100), (240, -100), (240, 0), (138, 0))
    passage = builders.opening(0, 100, 40, use="passage")
    outline = builders.rectangle(240, 144)
    layout = two_levels(outline, beyond, SURFACE, edges=walls(1, 2), openings=(passage,))
    at = {post.id: post.at[0] for post in layout.posts if post.level == "main"}
    falls = {at[gap.where[0]]: gap.drops.drop for gap in layout.gaps if gap.kind == "round"}
    assert falls == {98.875: 48.0, 141.125: 24.0}


def test_who_gets_round_the_post_of_a_corner_falls_off_the_next_edges_too() -> None:
    """The passage, in an edge over a drop of 4, ends at the corner's post. The next edge has a drop
    of 20 and the one after it 48, which counts. Nobody gets beyond the wall, where it is 100."""
    outline = builders.rectangle(240, 144)
    passage = builders.opening(0, 196, 40, use="passage")
    edges = (
        edge(0, drops=Drops(4.0)),
        edge(1, drops=Drops(20.0)),
        edge(2),
        edge(3, "wall", drops=Drops(100.0)),
    )
    layout = laid(outline, SURFACE, edges=edges, openings=(passage,))
    at = {post.id: post.at for post in layout.posts}
    falls = {at[gap.where[0]]: gap.drops.drop for gap in layout.gaps if gap.kind == "round"}
    assert falls[236.5, 3.5] == 48.0
    assert set(falls.values()) == {4.0, 48.0}
    assert len(falls) == 2


def test_who_gets_past_the_end_of_a_railing_falls_off_the_edges_round_the_corner_too() -> None:
    """Below the edge beside the open one, and so below what is left of it past the post, the drop
    is 20; below the edge round its other corner it is 48, which counts for whoever gets past the
    post."""
    edges = (edge(0, drops=Drops(20.0)), edge(1, "open"), *walls(2), edge(3))
    layout = laid(builders.rectangle(240, 144), NINE_IN, edges=edges)
    seen = [(gap.kind, gap.width, gap.drops.drop) for gap in layout.gaps]
    assert seen == [("open", 7.875, 20.0), ("past", 7.875, 48.0)]


@pytest.mark.parametrize(
    ("column", "told_of"),
    [((240.0, 243.0), [3]), ((241.0, 244.0), [3, 1]), (None, [3, 1])],
    ids=["at the end of the rail", "1 past it", "no column"],
)
def test_a_wall_need_not_go_on_where_a_column_holds_the_rail(
    column: tuple[Length, Length] | None, told_of: list[int]
) -> None:
    """A fascia's line hangs 2.25 off the rim. It ends at 240, in line with one wall, and at 0, in
    line with another. Each has to go on as far as the rail's far side, but not where a column holds
    the rail's end."""
    held = () if column is None else (_hung(*column),)
    layout = laid(builders.rectangle(240, 144), FASCIA, edges=walls(1, 2, 3), obstructions=held)
    assert [seen.edge for seen in layout.wall_ends] == told_of
    corner, reach = layout.wall_ends[0].goes_on
    assert corner == (0.0, 0.0)
    assert reach == pytest.approx((0.0, -2.25 - FASCIA.post.width / 2))


def test_a_wall_need_not_go_on_where_a_column_is_the_jamb() -> None:
    """A passage from 196 ends at a column, from 237 to 240, that stands in front of the wall."""
    layout = laid(
        builders.rectangle(240, 144),
        FASCIA,
        edges=walls(1, 2, 3),
        openings=(builders.opening(0, 196, 41, use="passage"),),
        obstructions=(_hung(237.0, 240.0),),
    )
    assert [seen.edge for seen in layout.wall_ends] == [3]


def _hung(first: Length, last: Length) -> Obstruction:
    """A column in the fascia's line, from one place along edge 0 to another."""
    return builders.block((first + last) / 2, -2.25, last - first, 4.0)


def test_who_gets_round_a_post_falls_where_the_edge_on_its_side_is_deepest() -> None:
    """A passage runs from 100 to 140 in an edge between two walls. The lower level lies beyond the
    edge's middle, from 60 to 180, but whoever gets round a post can go along the edge past it,
    where the drop is 48."""
    beyond = ((60, -100), (180, -100), (180, 0), (60, 0))
    passage = builders.opening(0, 100, 40, use="passage")
    outline = builders.rectangle(240, 144)
    layout = two_levels(outline, beyond, SURFACE, edges=walls(1, 2, 3), openings=(passage,))
    at = {post.id: post.at[0] for post in layout.posts if post.level == "main"}
    falls = {at[gap.where[0]]: gap.drops.drop for gap in layout.gaps if gap.kind == "round"}
    assert falls == {98.875: 48.0, 141.125: 48.0}


@pytest.mark.parametrize(("near", "width"), [(4.0, 3.535534), (2.5, 2.5)])
def test_the_way_round_a_thin_column_ends_at_the_rail_behind_it(
    near: Length, width: Length
) -> None:
    """A passage from 100 to 140 ends at a column 0.5 thick that begins `near` from the edge. The
    rail goes on behind the column from 140.5 on, its middle 3.5 from the edge: sqrt(0.5^2 +
    3.5^2) = 3.535534 from the edge's place at 140. The lesser of that and `near` is the width of
    the way."""
    column = builders.obstruction(((140, near), (140.5, near), (140.5, 8), (140, 8)))
    layout = laid(
        builders.rectangle(240, 144),
        SURFACE,
        edges=walls(1, 2, 3),
        openings=(builders.opening(0, 100, 40, use="passage"),),
        obstructions=(column,),
    )
    ways = {gap.where: gap.width for gap in layout.gaps if gap.kind == "round"}
    assert ways[("main/o",)] == pytest.approx(width, abs=1e-6)


def test_the_way_round_a_post_ends_at_the_next_opening() -> None:
    """Two passages, from 40 to 100 and from 106 to 166, are 6 apart, with a post beside each and
    1.5 between the two inner posts. 7.875 is open between a post and the edge, but the way round an
    inner post leads to no more than the 6 of edge between the passages."""
    passages = [
        builders.opening(0, start, 60, use="passage", name=f"o{start}") for start in (40, 106)
    ]
    layout = laid(
        builders.rectangle(240, 144), NINE_IN, edges=walls(1, 2, 3), openings=tuple(passages)
    )
    at = {post.id: post.at[0] for post in layout.posts}
    ways = {at[gap.where[0]]: gap.width for gap in layout.gaps if gap.kind == "round"}
    assert ways == pytest.approx({38.875: 7.875, 101.125: 6.0, 104.875: 6.0, 167.125: 7.875})


@pytest.mark.parametrize("beside", [edge(1, "open"), edge(1, "wall"), edge(1)])
def test_a_planter_in_the_place_of_all_of_a_railing(beside: Edge) -> None:
    """A planter takes up all of the line along edge 0. It is seen in the railing's place, and no
    gap of that line is."""
    planter = builders.block(120.0, 3.5, 260.0, 4.0)
    edges = (beside, *walls(2, 3))
    layout = laid(builders.rectangle(240, 144), SURFACE, edges=edges, obstructions=(planter,))
    assert not [run for run in layout.runs if run.edge == 0]
    assert [seen.place for seen in layout.stand_ins if seen.place == "main/edge 0"]
    assert told(layout.gaps, "open", "past", "beyond") == []


@pytest.mark.parametrize(
    ("wall_end", "column", "others", "without"),
    [
        ("bracket", (119.0, 121.0), walls(1, 2, 3), 5.625),
        ("post", (119.0, 121.0), walls(1, 2, 3), 4.25),
        ("post", (235.0, 237.0), (edge(1, "open"), *walls(2, 3)), 6.125),
        ("post", (235.0, 241.0), walls(2, 3), 4.551893),
    ],
    ids=["between rails", "between posts", "before an open edge", "at a corner of two guards"],
)
def test_what_would_be_open_if_a_column_did_not_stand_in_the_railings_place(
    wall_end: str, column: tuple[Length, Length], others: Sequence[Edge], without: Length
) -> None:
    """Rails that end on a column 2 long close nothing up to their pickets: 119 before it are two
    bays of (119 - 2.25)/2 = 58.375, whose 13 pickets leave (58.375 - 9.75 - 45)/2 = 1.8125 at each
    end, and as much past it: 2 + 3.625. A base is 4.5 long, so posts beside the column have their
    faces 2.25 - 1.125 = 1.125 off it, 2 + 2 x 1.125 apart. Before an open edge the corner is 240 -
    (235 - 1.125) = 6.125 from the post's face. At a corner between guards the next rail is fixed to
    the column at (236.5, 5.5). It has three bays of (138.5 - 4.5)/3 = 44.6667, the first 44.6875 by
    its marks, whose 10 pickets leave (44.6875 - 7.5 - 33.75)/2 = 1.71875: the first picket is
    hypot(2.625, 2 + 1.71875) = 4.551893 from the post's face at (233.875, 3.5)."""
    layout = laid(
        builders.rectangle(240, 144),
        SURFACE,
        edges=(edge(0, wall_end=wall_end), *others),
        obstructions=(builders.block(sum(column) / 2, 3.5, column[1] - column[0], 4.0),),
    )
    found = [seen.without for seen in layout.stand_ins if seen.place == "main/edge 0"]
    assert found == pytest.approx([without], abs=1e-6)


@pytest.mark.parametrize(
    ("row", "found"),
    [
        (((3.0, 10.0), (2.5, None)), {"0": 4.5625, "1": 10.5}),
        (
            ((3.0, 10.0), (2.5, None), (1.5, 12.0)),
            {"0": 4.5625, "1": 11.625, "2": 4.5625},
        ),
        (
            ((3.0, 10.0), (2.5, None), (2.0, 96.0), (1.5, 12.0)),
            {"0": 4.5625, "1": 7.0625, "2": 2.0, "3": 4.0625},
        ),
    ],
    ids=["one low", "a low one on either side", "parted by a high one"],
)
def test_what_is_open_over_a_column_of_no_given_height_beside_a_low_one(
    row: Sequence[tuple[Length, Length | None]],
    found: dict[str, Length],
) -> None:
    """Columns stand side by side in the railing's place, each of a length along it and a height.

    If the one of no given height is low, the place is open over it and over the low ones beside it:
    3 + 2.5 = 5.5, and 1.5 more on its other side. One that is as high as the guard, 36, ends what
    is open. Rails that end on the row close nothing before their pickets. Before it, two bays of
    (100 - 2.25)/2 = 48.875 with 11 pickets leave 1.5625 at each end. Past it, 134.5, 133 or 131
    long, two bays of 66.125, 65.375 or 64.375 with 14 pickets leave 3.4375, 3.0625 or 2.5625.
    """
    t, columns = 100.0, []
    for i, (length, height) in enumerate(row):
        block = builders.block(t + length / 2, 3.5, length, 4.0)
        columns.append(replace(block, name=str(i), height=height))
        t += length
    layout = laid(
        builders.rectangle(240, 144),
        SURFACE,
        edges=walls(1, 2, 3),
        obstructions=tuple(columns),
    )
    seen = {
        each.name: round(each.without, 6)
        for each in layout.stand_ins
        if each.place == "main/edge 0"
    }
    assert seen == found


def test_what_gets_over_two_low_columns_has_to_get_over_the_higher() -> None:
    """Two columns, each 1 long, 33 and 30 high, stand side by side in the railing's place, and the
    rails end on them, 2 apart. Under the top rail, 36 - 1.75 up, there are 1.25 over the higher. A
    sphere of diameter d that lies on it is 2 sqrt(1.25 d - 1.25^2) wide at the rail's underside,
    which is 2 for d = 1.25 + 2^2/(4 x 1.25) = 2.05."""
    low = builders.block(100.5, 3.5, 1.0, 4.0), builders.block(101.5, 3.5, 1.0, 4.0)
    layout = laid(
        builders.rectangle(240, 144),
        SURFACE,
        edges=walls(1, 2, 3),
        obstructions=(
            replace(low[0], name="a", height=33.0),
            replace(low[1], name="b", height=30.0),
        ),
    )
    over = [seen.over for seen in layout.stand_ins if seen.place == "main/edge 0"]
    assert over == [pytest.approx(2.05)]


@pytest.mark.parametrize(("in_the_line", "whole"), [(False, 7.875), (True, 3.0)])
def test_without_what_is_off_the_line_the_way_past_is_still_parted_by_what_is_on_it(
    in_the_line: bool, whole: Length
) -> None:
    """From the post's face at 232.125 to the open edge at 240 is 7.875. An obstruction off the line
    parts that way: its corner at (232.5, 6.5) is hypot(0.375, 1.375) = 1.425219 from the post's at
    (232.125, 7.875), and 1 is left past it. Without it 7.875 is open; or, where a column in the
    line, from 235 to 237, leaves 2.875 and 3, the wider of these."""
    low = builders.obstruction([(232.5, 0.5), (239, 0.5), (239, 6.5), (232.5, 6.5)], "low")
    layout = laid(
        builders.rectangle(240, 144),
        NINE_IN,
        edges=(edge(1, "open"), *walls(2, 3)),
        obstructions=(low, *in_line([(235.0, 237.0)] if in_the_line else [])),
    )
    (past,) = [gap for gap in layout.gaps if gap.kind == "past"]
    assert (past.width, past.whole) == pytest.approx((1.425219, whole), abs=1e-6)
    assert past.parted_by == ("low",)


@pytest.mark.parametrize("turned_over", [False, True], ids=["at the end", "at the start"])
def test_a_wall_too_oblique_for_a_rail_is_taken_to_go_on_beside_the_post(
    *, turned_over: bool
) -> None:
    """The wall leaves the corner at x = 120, at 30 degrees to a fascia's edge. Going on in its line
    for 7 it is 3.5 outside the rim, the post's far side, 3.5 x sqrt 3 = 6.062178 before the corner.
    There the base ends; the post of 2.5 in its base of 4 ends 0.75 before that, at x = 113.187822,
    so that 0.75 is open beside the wall. If the wall does not go on, sqrt(6.812178^2 + 1) =
    sqrt 47.405769 = 6.885185 is open from the post's inner corner, 1 outside the rim, to the deck's
    corner."""
    cos, sin = 3**0.5 / 2, 0.5
    outline = [(0.0, 0.0), (120.0, 0.0), (120 + 100 * cos, 100 * sin), (0.0, 150.0)]
    if turned_over:
        outline = [(-x, y) for x, y in (outline[1], outline[0], *outline[:1:-1])]
    layout = laid(outline, FASCIA, edges=walls(1, 2, 3))
    (gap,) = [gap for gap in layout.gaps if gap.kind == "wall"]
    found = (gap.width, gap.whole, gap.goes_on)
    assert found == pytest.approx((0.75, 6.885185, 7.0), abs=1e-6)


def test_a_wall_that_turns_in_need_not_go_on() -> None:
    """A post of 2.5 in a base of 4 stands 0.75 clear of either wall. At the outside corner the wall
    has to go on 3.5 to be beside the post; if it does not, it ends 1 inside the post's inner face,
    sqrt(0.75^2 + 1) = 1.25 off the post. At the inner corner the wall is beside all of the post."""
    outline = [(0, 0), (120, 0), (120, -100), (200, -100), (200, 150), (0, 150)]
    edges = (edge(0, wall_end="post"), *walls(1, 2, 3, 4, 5))
    layout = laid(outline, FASCIA, edges=edges)
    found = [(round(gap.width, 6), gap.whole, gap.goes_on) for gap in layout.gaps]
    assert found == [(0.75, 1.25, 3.5), (0.75, 0.0, 0.0)]


@pytest.mark.parametrize("first", range(4))
@pytest.mark.parametrize("clockwise", [False, True])
def test_a_gap_at_a_corner_post_goes_by_the_deeper_of_its_edges(
    first: int, clockwise: bool
) -> None:
    """A deck 48 above the ground has a lower one, 20 above it, along its front. Beside the open
    edge of the lower deck is a gap of 7 - 2.25 = 4.75 to each corner post, which stands along the
    front, 28 above the lower deck, and along a side, 48 above the ground.

    It goes by the 48, whichever corner the outline begins at and whichever way it goes round.
    """
    corners = builders.rectangle(96.0, 120.0)
    around = corners[first:] + corners[:first]
    low = Corners(((0.0, -60.0), (96.0, -60.0), (96.0, 0.0), (0.0, 0.0)), "/levels/1/outline")
    deck = builders.deck(around[::-1] if clockwise else around)
    beside = Level("low", low, "/levels/1", Drops(20.0), edges=(edge(2, "open"),))
    layout = lay_out(replace(deck, levels=(*deck.levels, beside)), SURFACE, None)
    gaps = [gap for gap in layout.gaps if gap.kind == "joint"]
    assert [(round(gap.width, 6), gap.drops.drop) for gap in gaps] == [(4.75, 48.0)] * 2


@pytest.mark.parametrize("deep", range(4))
def test_a_gap_between_a_pair_goes_by_the_deeper_of_its_edges(deep: int) -> None:
    """One edge of a deck lies 48 above the ground, the others 20. The corner posts of a pair, 2.5
    wide, stand 2 from the corner along their rims and 2.25 off them, so their faces are 2 + 2.25 -
    2.5 = 1.75 apart both ways, 1.75 x sqrt 2 = 2.4749 in all.

    At both ends of the deep edge a sphere that gets through may fall 48.
    """
    edges = tuple(edge(i, drops=Drops(48.0 if i == deep else 20.0)) for i in range(4))
    layout = laid(builders.rectangle(144.0, 96.0), builders.PAIR, edges=edges)
    gaps = {gap.where: gap for gap in layout.gaps if gap.kind == "pair"}
    assert all(gap.width == pytest.approx(1.75 * 2**0.5) for gap in gaps.values())
    of_edge = {run.end: run.edge for run in layout.runs}
    beside = {of_edge[first]: gap.drops.drop for (first, _), gap in gaps.items()}
    assert beside == {i: 48.0 if deep in {i, (i + 1) % 4} else 20.0 for i in range(4)}
