"""Which fixings share a block, worked by hand (method 11).

Joists of 1.5 run along y, 16 apart from 0.75: places across them are x, those along them y. A
fixing keeps 1/2 from the edges of its ply. So a row by itself has two plies, one about the row and
one on the side away from its post.
"""

from __future__ import annotations

import pytest
import shapely

from service.core.records.blocking import BlockingPiece
from service.core.records.deck import Framing
from service.core.timber.fitting import Need
from service.core.timber.frame import Frame
from service.core.timber.sharing import (
    SharedBlock,
    block_for,
    gathered,
    merge_overlapping,
    together,
)
from tests.core.builders import rectangle

FRAME = Frame(
    Framing(90.0, 16.0, 0.75, 1.5, 1.5, ""), shapely.Polygon(rectangle(192.0, 144.0)), "in"
)


def row(y: float, post: float, x: float = 24.0) -> tuple[Need, ...]:
    """A row of one fixing. post: place along the joists of the middle of its post."""
    return (Need((x, y), ((x, y),), keeps=0.5, post=post),)


GROUPS = {
    "3.125 apart: three plies take the place of two and two": (
        [row(20.0, 21.5625), row(23.125, 21.5625)], 1),
    "4.625 apart: four plies are as many": ([row(20.0, 22.3), row(24.625, 22.3)], 2),
    "in two gaps between joists": ([row(20.0, 21.5625), row(23.125, 21.5625, x=40.0)], 2),
    "2.2 apart: three would have a joint at one, two and two lie apart": (
        [row(20.0, 21.1), row(22.2, 21.1)], 2),
    "the same of posts on one side: their blocks would overlap": (
        [row(20.0, 10.0), row(22.2, 10.0)], 1),
    "2.2 apart, with a third row 3 further on": (
        [row(20.0, 21.1), row(22.2, 21.1), row(25.2, 30.0)], 2),
}  # fmt: skip


@pytest.mark.parametrize(("rows", "groups"), GROUPS.values(), ids=GROUPS.keys())
def test_rows_of_one_gap(rows: list[tuple[Need, ...]], groups: int) -> None:
    """How many blocks rows of fixings get in each situation."""
    assert len(gathered(FRAME, rows)) == groups


def test_a_block_for_two_posts_is_over_both() -> None:
    """Rows at 20 and 23.125, of a post at 18 and one at 25, get three plies midway between the
    rows, whichever side the posts are on."""
    needs = [*row(20.0, 18.0), *row(23.125, 25.0)]
    block = block_for(FRAME, needs)
    assert block.plies == 3
    assert block.need.place[1] == pytest.approx(21.5625)
    assert block.need.over == (20.0, 23.125)


def test_the_idle_ply_of_posts_on_both_sides() -> None:
    """The second ply of a row lies away from the mean of its posts.

    A row at 20 serves a post at 18 and one at 26, at 22 in the mean: the second ply lies before the
    row, from 17.75 to 19.25.
    """
    needs = [*row(20.0, 18.0), *row(20.0, 26.0, x=26.0)]
    assert block_for(FRAME, needs).need.place[1] == pytest.approx(19.25)


@pytest.mark.parametrize(("y", "groups"), [(30.0, 1), (100.0, 2)])
def test_fixings_in_one_line_share_a_block_where_no_rim_is_between(y: float, groups: int) -> None:
    """Fixings in one line share a block only where no rim lies between them.

    A notch from x = 100 to 120 comes down to y = 60; no joist is between the fixings.
    """
    notched = [(0, 0), (192, 0), (192, 144), (120, 144), (120, 60), (100, 60), (100, 144), (0, 144)]
    frame = Frame(Framing(90.0, 300.0, 0.75, 1.5, 1.5, ""), shapely.Polygon(notched), "in")
    needs = [*row(y, 0.0, x=50.0), *row(y, 0.0, x=150.0)]
    assert len(together(frame, needs)) == groups


def piece(*edges: tuple[float, float], at: float = 30.0) -> BlockingPiece:
    """A block of two plies of 1.5."""
    return BlockingPiece((None, None), at, (edges[0], edges[1]), 0.0, 1.5, 2)


PAIRS = {
    "side by side": (piece((18, 20), (18, 20)), piece((20, 22), (20, 22)), 2),
    "one in the other's place": (piece((18, 20.5), (18, 20.5)), piece((20, 22), (20, 22)), 1),
    "at their upper edges alone": (piece((18, 19), (18, 21)), piece((20, 22), (20, 22)), 1),
    "crossed, apart at both edges": (piece((18, 19), (22, 23)), piece((20, 21), (20, 21)), 1),
    "above one another": (piece((18, 22), (18, 22)), piece((18, 22), (18, 22), at=33.0), 2),
    "above, with a bit of both": (piece((18, 22), (18, 22)), piece((18, 22), (18, 22), at=32.9), 1),
    "above, but that one is cut away": (
        piece((18, 22), (18, 19)), piece((21, 22), (20, 22), at=32.0), 2),
    "above, where that one is 20 wide by then": (
        piece((0, 22), (0, 19)), piece((20, 22), (20, 22), at=32.0), 2),
    "the same, 0.1 further in": (
        piece((0, 22), (0, 19)), piece((19.9, 22), (19.9, 22), at=32.0), 1),
}  # fmt: skip


@pytest.mark.parametrize(("one", "other", "left"), PAIRS.values(), ids=PAIRS.keys())
def test_no_two_blocks_are_in_one_place(
    one: BlockingPiece, other: BlockingPiece, left: int
) -> None:
    """Where two blocks overlap, one block takes the place of both, in whichever order they come."""
    shared = [SharedBlock(row(30.0, 28.0), one), SharedBlock(row(31.0, 33.0), other)]
    for blocks in (shared, shared[::-1]):
        found = merge_overlapping(FRAME, blocks)
        assert len(found) == left
        assert sum(len(each.needs) for each in found) == 2


def needs(*places: tuple[float, float]) -> tuple[Need, ...]:
    """A need for each fixing, all of one post."""
    return tuple(Need(place, (place,), keeps=0.5, post=30.0) for place in places)


def parted(*blocks: tuple[tuple[Need, ...], BlockingPiece]) -> set[int]:
    """How many needs each block that is left meets.

    The blocks meet 1, 2 and 4 needs at first, so the sums tell which of them were put together.
    """
    assert [len(met) for met, _ in blocks] == [1, 2, 4]
    return {
        len(each.needs)
        for each in merge_overlapping(FRAME, [SharedBlock(*each) for each in blocks])
    }


FIRST = (needs((12.0, 30.0)), piece((10, 20), (10, 20), at=30.0))
LAST = needs((42.0, 31.0), (44.0, 31.0), (46.0, 31.0), (47.0, 31.0))


@pytest.mark.parametrize("at", [30.4, 30.6])
def test_the_nearest_blocks_along_the_joists_are_put_together_first(at: float) -> None:
    """A block that overlaps two others is joined to the one that it is nearer to.

    The second block is in the way of the first, at 30, and of the third, at 31, and its fixings lie
    where either of these holds them.
    """
    second = (needs((19.0, at), (39.0, at)), piece((18, 40), (18, 40), at=at))
    third = (LAST, piece((38, 50), (38, 50), at=31.0))
    assert parted(FIRST, second, third) == ({3, 4} if at < 30.5 else {1, 6})


@pytest.mark.parametrize(("end", "groups"), [(46.0, {3, 4}), (50.0, {1, 6})])
def test_of_blocks_as_near_the_longest_are_put_together_first(end: float, groups: set[int]) -> None:
    """Of two blocks that are equally near, the longer one is joined first.

    The second block lies midway between the first, which is 10 long, and the third, of 8 or of 12.
    """
    second = (needs((19.0, 30.5), (39.0, 30.5)), piece((18, 40), (18, 40), at=30.5))
    third = (LAST, piece((38, end), (38, end), at=31.0))
    assert parted(FIRST, second, third) == groups


@pytest.mark.parametrize("places", [(20.0, 23.0, 26.5), (20.0, 23.5, 26.5)])
def test_the_nearest_rows_share_a_block(places: tuple[float, float, float]) -> None:
    """Of three rows, the two that are nearest to each other share a block.

    Of rows 3 and 3.5 apart, about the middle of one post, the pair 3 apart gets one block of three
    plies; all three would take five, as many as three and two.
    """
    post = sum(places) / 3
    rows = [row(y, post) for y in places]
    near = min((0, 1), key=lambda i: places[i + 1] - places[i])
    groups = gathered(FRAME, rows)
    assert sorted(sorted(need.place[1] for (need,) in group) for group in groups) == sorted(
        [list(places[near : near + 2]), [places[2 - 2 * near]]]
    )


@pytest.mark.parametrize(("first", "last"), [(32.0, 30.0), (30.0, 32.0), (28.0, 30.0)])
def test_of_two_blocks_that_hold_nothing_the_one_under_both_places_is_left(
    first: float, last: float
) -> None:
    """Of two overlapping blocks that hold no fixing, the one that lies under both places is left.

    The places, at 29 and 31, are of fixings too near a joist for any block to hold: a block of 3
    reaches 1.5 both ways, so one at 30 is under both places and any other under one. Joists 4 apart
    leave 2.5 between them, too little for a block made anew.
    """
    close = Frame(Framing(90.0, 4.0, 0.75, 1.5, 1.5, ""), FRAME.outline, "in")
    blocks = [
        SharedBlock((Need((20.0, y), keeps=0.5, post=30.0),), piece((18, 22), (18, 22), at=at))
        for y, at in ((31.0, first), (29.0, last))
    ]
    (left,) = merge_overlapping(close, blocks)
    assert left.block.at == 30.0
