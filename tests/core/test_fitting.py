"""Blocks in the room that a rim leaves, worked by hand (method 11): places across, then along.

The faces of the joists are at 0 and 20 across. Where a test does not say otherwise, a block of two
plies of 1.5 is wanted with its middle at 0 along: its edges lie at -1.5 and 1.5, and its end toward
0 is square to the joist there.
"""

from __future__ import annotations

import math

import pytest
import shapely

from service.core.measure import Point
from service.core.records.blocking import BlockingPiece
from service.core.records.deck import Framing
from service.core.timber.blocks import Wanted, blocks_at
from service.core.timber.ends import Face
from service.core.timber.fitting import Fit, Need, Room, count_held, fit, holds
from service.core.timber.frame import Frame

SQUARE = ((0.0, 20.0), (0.0, 20.0))


def faces(*corners: Point, turns: bool = False) -> tuple[Face, ...]:
    """Faces from corner to corner; turns: whether the rim turns back at each of these corners."""
    pairs = zip(corners, corners[1:], strict=False)
    return tuple(Face(start, end, (turns, turns)) for start, end in pairs)


def fitted(
    *room: Face,
    x: float = 0.5,
    y: float = 0.0,
    moves: bool = True,
    clear: shapely.Polygon | None = None,
) -> Fit | None:
    """The block that fits at a place, or None. moves: whether it may be moved as long as it is over
    that place; clear: the area where no rim is, everywhere if left out."""

    def is_clear(place: Point) -> bool:
        return clear is None or bool(shapely.contains_xy(clear, *place))

    over = None if moves else (y - 1.5, y + 1.5)
    return fit(Room((0.0, 20.0), room, 1.5, 1.5, 0.0, is_clear), Need((x, y), over=over))


def wanted(need: Need, *room: Face, above: float = -math.inf) -> Fit:
    """The block for a need, with no rim but these faces; above: where along the joists the clear
    area begins."""
    block = fit(Room((0.0, 20.0), room, 1.5, 1.5, 0.0, lambda place: place[1] > above), need)
    assert block is not None
    return block


ENDS = {
    "a face across all of it: along that": (
        faces((8.0, -3.0), (14.0, 3.0)), ((0, 9.5), (0, 12.5)), 2, 2),
    "a bow of two chords: from edge to edge": (
        faces((9.0, -1.5), (10.5, 0.0), (11.0, 1.5)), ((0, 9), (0, 11)), 1, 2),
    "the same the other way up": (
        faces((11.0, -1.5), (10.5, 0.0), (9.0, 1.5)), ((0, 11), (0, 9)), 1, 2),
    "a bow as flat as 1/48 of the width: it bears": (
        faces((10.0, -1.5), (10.0625, 0.0), (10.0, 1.5)), ((0, 10), (0, 10)), 2, 2),
    "a bow a little deeper, by its corners alone": (
        faces((10.0, -1.5), (10.2, 0.0), (10.0, 1.5)), ((0, 10), (0, 10)), 1, 2),
    "a corner that reaches in: square to it": (
        faces((11.0, -1.5), (10.0, 0.0), (11.0, 1.5)), ((0, 10), (0, 10)), 1, 1),
    "half the width square on a face": (
        faces((10.0, -3.0), (10.0, 0.0), (13.0, 0.0), (13.0, 3.0)), ((0, 10), (0, 10)), 2, 2),
    "less than half": (
        faces((10.0, -3.0), (10.0, -0.1), (13.0, -0.1), (13.0, 3.0)), ((0, 10), (0, 10)), 1, 1),
    "60 degrees off square: sawn": (
        faces((10.0, -1.5), (10.0 + 3 * math.sqrt(3), 1.5)),
        ((0, 10), (0, 10 + 3 * math.sqrt(3))), 2, 2),
    "61 degrees off: square": (
        faces((10.0, -1.5), (10.0 + 3 * math.tan(math.radians(61.0)), 1.5)),
        ((0, 10), (0, 10)), 1, 1),
    "a second chord far along it: not into that": (
        faces((10.0, -1.5), (13.5, 0.6), (14.0, 1.5)), ((0, 10), (0, 14)), 1, 2),
    "a cut along the slant would reach back past its middle: square": (
        faces((1.0, -1.5), (1.0, -1.0), (5.0, 1.5)), ((0, 1), (0, 1)), 1, 1),
    "a face beside the joist's end: from the one to the other": (
        faces((18.5, -1.5), (20.0, 0.0)), ((0, 18.5), (0, 20)), 1, 2),
}  # fmt: skip


@pytest.mark.parametrize(("room", "edges", "flush", "tied"), ENDS.values(), ids=ENDS.keys())
def test_how_an_end_is_cut(
    room: tuple[Face, ...], edges: tuple[Point, Point], flush: int, tied: int
) -> None:
    """Each case has the block's two edges, first the one at -1.5; how many of its ends bear on
    timber with half their width; and how many do so or have both corners against timber."""
    block = fitted(*room, moves=False)
    assert block is not None
    assert block.edges[0] == pytest.approx(edges[0])
    assert block.edges[1] == pytest.approx(edges[1])
    assert (block.flush, block.tied) == (flush, tied)


def test_the_other_end_is_cut_alike() -> None:
    """The bow of two chords above, met by the end at lesser places: each place is 20 less what it
    was."""
    block = fitted(*faces((11.0, -1.5), (9.5, 0.0), (9.0, 1.5)), x=15.0)
    assert block is not None
    assert block.edges[0] == pytest.approx((11, 20))
    assert block.edges[1] == pytest.approx((9, 20))
    assert (block.flush, block.tied) == (1, 2)


def test_a_block_is_moved_until_its_ends_are_tied() -> None:
    """A face that goes 2 across for each 1 along is too steep for an end to be cut along it, but
    meets the joist at (20, 5). With its middle at 2.75, or hard below that corner, the block has a
    square end that is tied to nothing. As high as it may go, 1.5 up, its lower edge, at 2.75, meets
    the face at 15.5 and its upper edge the joist: the end goes from corner to corner."""
    block = fitted(*faces((-10.0, -10.0), (20.0, 5.0)), y=2.75)
    assert block is not None
    assert block.at == pytest.approx(4.25)
    assert block.tied == 2
    assert block.edges[0] == pytest.approx((0, 15.5))
    assert block.edges[1] == pytest.approx((0, 20))


def test_a_block_is_moved_no_further_than_it_takes() -> None:
    """With its middle at 3.5 the block is hard below that corner. Half of the 1.5 that it may go is
    enough: it is then at 4.25, as above. As high as it may go, at 5, it would be tied as well."""
    block = fitted(*faces((-10.0, -10.0), (20.0, 5.0)), y=3.5)
    assert block is not None
    assert block.at == pytest.approx(4.25)
    assert block.tied == 2


def test_tied_ends_come_before_a_fixing() -> None:
    """A block at 2.75 holds a fixing at (11, 2.75), but its end at 12.5 is tied to nothing. The
    block at 4.25 is tied at both ends, and is taken although the fixing is at its very edge and not
    held."""
    need = Need((0.5, 2.75), fixings=((11.0, 2.75),), keeps=0.5)
    block = wanted(need, *faces((-10.0, -10.0), (20.0, 5.0)))
    assert block.at == pytest.approx(4.25)
    assert count_held(block, need) == (0, 0)


def test_a_fixing_in_one_ply_comes_before_an_end_that_bears() -> None:
    """The rim is square from -1.5 to 1.5 and slants in at 45 degrees on both sides. With its middle
    at 0 the block's end bears on all of the square, but its joint is under the fixing. Moved 0.75
    aside, with a joint where it should be, its end goes from the slant, at 9.25, to the square, at
    10."""
    rim = faces((2.5, -9.0), (10.0, -1.5), (10.0, 1.5), (2.5, 9.0))
    need = Need((5.0, 0.0), fixings=((5.0, 0.0),), keeps=0.5, joint=0.75)
    block = wanted(need, *rim)
    assert block.at == pytest.approx(-0.75)
    assert count_held(block, need) == (1, 1)
    assert block.flush == 1
    assert block.edges[0] == pytest.approx((0, 9.25))
    assert block.edges[1] == pytest.approx((0, 10))


def test_a_block_that_the_rim_moves_is_moved_until_its_joints_keep_off() -> None:
    """The rim takes all below 0. Two plies where they are wanted, from -0.75 on, would have the
    fixing at 1.5 in the upper ply. Hard against the rim it is in their joint; a ply above the
    wanted place it is in the middle of the lower ply."""
    need = Need((5.0, 0.75), ((5.0, 1.5),), keeps=0.5, over=(1.5, 1.5), joint=2.25)
    block = wanted(need, *faces((-10.0, 0.0), (30.0, 0.0), turns=True), above=0.0)
    assert block.at == pytest.approx(2.25)
    assert count_held(block, need) == (1, 1)


def test_a_block_may_leave_a_place_for_a_fixing_that_it_holds() -> None:
    """The block is to be under the places 0 and 3, and so is wanted at 1.5, but only the fixing at
    3 can be held, by a block at 2 to 4. The rim takes all below 1/4: hard against it the block
    reaches only 1/4 past the fixing. Moved half of the 2.5 that it may go, it reaches 1.25 past the
    fixing, and is off the place at 0."""
    need = Need((5.0, 1.5), ((5.0, 3.0),), keeps=0.5, over=(0.0, 3.0))
    block = wanted(need, *faces((-10.0, 0.25), (30.0, 0.25), turns=True), above=0.25)
    assert block.at == pytest.approx(2.75)
    assert count_held(block, need)[0] == 1


def test_a_block_behind_a_post_may_stand_off_its_place_by_its_width() -> None:
    """The rim takes all below 2: hard against it the block is at 3.5, 2.5 off its place, which is
    less than its width of 3. With a rim to 3.5 it would be 4 off, too far behind the post, and
    there is none."""
    need = Need((5.0, 1.0), behind=True)
    block = wanted(need, *faces((-10.0, 2.0), (30.0, 2.0), turns=True), above=2.0)
    assert block.at == pytest.approx(3.5)
    far = Room((0.0, 20.0), faces((-10.0, 3.5), (30.0, 3.5), turns=True), 1.5, 1.5, 0.0, beyond)
    assert fit(far, need) is None


def beyond(place: Point) -> bool:
    """Whether a place is past 3.5 along."""
    return place[1] > 3.5


def test_the_nearest_comes_before_the_longest() -> None:
    """At 0 the block's end meets a bow at 9.875 with its lower edge and at 11.375 with its upper
    edge. Moved up by 1, hard against a face farther off with its lower edge, it would be longer,
    with its edges at 10.625 and 11.625, but bear no better."""
    bow = faces((8.0, -4.0), (11.0, 0.0), (12.0, 4.0))
    block = fitted(*bow, *faces((18.0, -0.5), (19.0, -0.5), turns=True))
    assert block is not None
    assert (block.at, block.flush, block.tied) == (0, 1, 2)
    assert block.edges[0] == pytest.approx((0, 9.875))
    assert block.edges[1] == pytest.approx((0, 11.375))


def test_a_block_is_moved_clear_of_where_the_rim_meets_a_joist() -> None:
    """The rim leaves the joist at 0, along 5, at 45 degrees. A block at 4.5 would have a corner cut
    off; hard below that place it has both ends square."""
    block = fitted(*faces((-10.0, -5.0), (30.0, 35.0)), x=5.0, y=4.5)
    assert block is not None
    assert block.at == pytest.approx(3.5)
    assert block.edges[0] == pytest.approx((0, 20))
    assert block.edges[1] == pytest.approx((0, 20))


@pytest.mark.parametrize(("turns", "at"), [(False, 0.0), (True, 1.25)])
def test_an_end_that_bears_comes_before_the_nearest(turns: bool, at: float) -> None:
    """At 0 the corners of the block's end meet a slant and the face beyond it. Past the corner of
    these two, where the block is moved only if the rim turns there, it bears on that face with all
    its width."""
    block = fitted(*faces((10.0, -3.25), (12.0, -0.25), (12.0, 9.0), turns=turns))
    assert block is not None
    assert block.at == pytest.approx(at)
    assert block.flush == 1 + turns


@pytest.mark.parametrize(
    ("x", "found"),
    [(11.0, True), (11.5, True), (11.5 + 1e-9, True), (11.5625, False), (15.0, False)],
    ids=["1 past its end", "half its width", "but for its last bits", "more than that", "far"],
)
def test_a_block_reaches_to_its_place(x: float, found: bool) -> None:
    """The rim fills all from 10 to the joist. A block may end before its place by half its width,
    which is 1.5, and a fixing past its end then counts as not held; farther from the place there is
    no block."""
    rim = faces((10.0, -9.0), (10.0, 9.0))
    block = fitted(*rim, x=x, clear=shapely.box(0, -9, 10, 9))
    assert (block is not None) == found
    if block is not None:
        assert block.edges[0] == pytest.approx((0, 10))
        assert block.edges[1] == pytest.approx((0, 10))


def test_a_block_stands_where_no_rim_is() -> None:
    """Before and past a rim from 8 to 12 there is clear room; for a place within the rim the block
    stands on the nearer side."""
    rim = (*faces((8.0, -9.0), (8.0, 9.0)), *faces((12.0, -9.0), (12.0, 9.0)))
    room = shapely.box(0, -9, 8, 9).union(shapely.box(12, -9, 20, 9))
    for x, edges in ((9.0, (0, 8)), (11.0, (12, 20))):
        block = fitted(*rim, x=x, clear=room)
        assert block is not None
        assert block.edges[0] == pytest.approx(edges)
        assert block.edges[1] == pytest.approx(edges)


def test_a_face_along_an_edge_is_not_in_the_way() -> None:
    """A rim that begins at 1.5 along lies hard against the block's edge and is not in its way."""
    block = fitted(*faces((3.0, 4.0), (3.0, 1.5), (9.0, 1.5), (9.0, 4.0)))
    assert block is not None
    assert block.edges == SQUARE


@pytest.mark.parametrize(
    ("x", "y", "held"),
    [(10.79, 0.0, True), (10.8, 0.0, False), (11.29, 0.5, True), (0.5, 1.0, True),
     (0.49, 0.0, False), (5.0, 1.01, False), (5.0, -1.0, True)],
)  # fmt: skip
def test_a_fixing_keeps_off_a_slant_square_to_it(x: float, y: float, held: bool) -> None:
    """The end goes from 10 to 13 over a width of 3, at 45 degrees, and is at 11.5 in the middle.
    Half an inch square to it is half of sqrt 2 across, 0.7071, so a fixing there is held up to
    10.7929. From the other edges the distance is 1/2 itself."""
    block = BlockingPiece((None, None), 0.0, ((0.0, 10.0), (0.0, 13.0)), 90.0, 1.5, plies=2)
    assert holds(block, (x, y), 0.5) == held


@pytest.mark.parametrize(
    ("points", "first", "x", "between", "edges"),
    [
        (((0, 10), (10, 0), (60, 0), (60, 60), (0, 60)), 1.0, 5.0, (None, 1),
         ((3.25, 16.25), (1.75, 16.25))),
        (((0, 0), (50, 0), (60, 10), (60, 60), (0, 60)), 11.0, 55.0, (2, None),
         ((43.75, 56.75), (43.75, 58.25))),
    ],
    ids=["lesser", "greater"],
)  # fmt: skip
def test_an_end_at_a_joist_and_the_rim_is_at_the_rim(
    points: tuple[Point, ...],
    first: float,
    x: float,
    between: tuple[int | None, int | None],
    edges: tuple[Point, Point],
) -> None:
    """At a clipped corner the slant inside a rim of 1 is x + y = 10 + sqrt 2, and meets the joist's
    face, at 1.75, at y = 9.6642. A block with its middle there goes from the slant at its lower
    edge, at x = 3.25, to the joist at its upper edge. `between` is a joist only where the whole end
    is at it, and so is None for this end; the other is at joist 1, which begins at 16.25. The same
    holds on the other side of a deck of 60, with joist 3 at 59."""
    frame = Frame(Framing(90.0, 16.0, first, 1.5, 1.0, ""), shapely.Polygon(points), "in")
    y = 10 + math.sqrt(2) - 1.75
    need = Need((x, y), over=(y - 1.5, y + 1.5))
    (block,) = blocks_at(frame, [Wanted(need, 2, 2)])
    assert block is not None
    assert block.between == between
    assert block.edges[0] == pytest.approx(edges[0])
    assert block.edges[1] == pytest.approx(edges[1])
    assert block.lengths == pytest.approx([13.75, 14.5])


@pytest.mark.parametrize(("fewest", "plies"), [(2, 2), (3, None)])
def test_where_no_room_is_for_all_plies_there_are_fewer(fewest: int, plies: int | None) -> None:
    """Rims of 3 leave 4 of a deck 10 deep, from 3 to 7: room for two plies of 1.5, not for three.
    There is no block where three are the fewest."""
    outline = shapely.Polygon([(0, 0), (60, 0), (60, 10), (0, 10)])
    frame = Frame(Framing(90.0, 16.0, 1.0, 1.5, 3.0, ""), outline, "in")
    (block,) = blocks_at(frame, [Wanted(Need((24.0, 5.0)), 3, fewest)])
    assert (block and block.plies) == plies
    if block is not None:
        assert block.at == 5
        assert block.lengths == pytest.approx([14.5, 14.5])


@pytest.mark.parametrize(("least", "found"), [(2.5, True), (2.5625, False)])
def test_joists_too_close_for_a_block(least: float, found: bool) -> None:
    """Joists 4 apart and 1.5 wide have 2.5 between them: enough for a block that has to be 2.5
    long, not for one of 2.5625."""
    outline = shapely.Polygon([(0, 0), (60, 0), (60, 60), (0, 60)])
    frame = Frame(Framing(90.0, 4.0, 1.0, 1.5, 1.5, ""), outline, "in")
    (block,) = blocks_at(frame, [Wanted(Need((31.0, 30.0)), 2, 2, least)])
    assert (block is not None) == found
