"""A block in the room that a rim leaves, worked by hand (method 11): places across, then along.

Joists' faces are at 0 and 20 across. A block of two plies of 1.5 is wanted about along 0: its edges
lie at -1.5 and 1.5, and its end toward 0 is square to the joist there.
"""

from __future__ import annotations

import math

import pytest
import shapely

from service.core.measure import Point
from service.core.records.deck import Framing
from service.core.timber.blocks import Wanted, blocks_at
from service.core.timber.fitting import Face, Fit, Need, Room, fit, is_held
from service.core.timber.frame import Frame

SQUARE = ((0.0, 20.0), (0.0, 20.0))


def faces(*corners: Point, turns: bool = False) -> tuple[Face, ...]:
    """Faces from corner to corner; turns: whether what lies there turns back at each corner."""
    pairs = zip(corners, corners[1:], strict=False)
    return tuple(Face(start, end, (turns, turns)) for start, end in pairs)


def fitted(
    *room: Face,
    x: float = 0.5,
    y: float = 0.0,
    moves: bool = True,
    clear: shapely.Polygon | None = None,
) -> Fit | None:
    """The block about a place. moves: whether it may be moved while it is over it; clear: where no
    rim is, everywhere if left out."""

    def is_clear(place: Point) -> bool:
        return clear is None or bool(shapely.contains_xy(clear, *place))

    over = None if moves else (y - 1.5, y + 1.5)
    return fit(Room((0.0, 20.0), room, 1.5, 1.5, 0.0, is_clear), Need((x, y), over=over))


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
    """Its two edges, first the one at -1.5; how many ends bear on timber with half their width; and
    how many do or have both corners against it."""
    block = fitted(*room, moves=False)
    assert block is not None
    assert block.edges[0] == pytest.approx(edges[0])
    assert block.edges[1] == pytest.approx(edges[1])
    assert (block.flush, block.tied) == (flush, tied)


def test_the_other_end_is_cut_alike() -> None:
    """The bow of two chords at the end toward lesser places: 20 less what it was."""
    block = fitted(*faces((11.0, -1.5), (9.5, 0.0), (9.0, 1.5)), x=15.0)
    assert block is not None
    assert block.edges[0] == pytest.approx((11, 20))
    assert block.edges[1] == pytest.approx((9, 20))
    assert (block.flush, block.tied) == (1, 2)


def test_a_block_is_moved_until_its_ends_are_tied() -> None:
    """A face 2 across for each 1 along is too steep to be cut along, but at (20, 5) it meets the
    joist. About 2.75, and hard below that corner, an end square to the face is tied to nothing. As
    high as it may go, 1.5 up, its lower edge, at 2.75, meets the face at 15.5 and its upper one the
    joist: from corner to corner."""
    block = fitted(*faces((-10.0, -10.0), (20.0, 5.0)), y=2.75)
    assert block is not None
    assert block.at == pytest.approx(4.25)
    assert block.tied == 2
    assert block.edges[0] == pytest.approx((0, 15.5))
    assert block.edges[1] == pytest.approx((0, 20))


@pytest.mark.parametrize(("turns", "at"), [(False, 0.0), (True, 1.25)])
def test_an_end_that_bears_comes_before_the_nearest(turns: bool, at: float) -> None:
    """About 0 its corners meet a slant and the face beyond; past the corner of these, where moves
    are looked for, it bears on that face with all its width."""
    block = fitted(*faces((10.0, -3.25), (12.0, -0.25), (12.0, 9.0), turns=turns))
    assert block is not None
    assert block.at == pytest.approx(at)
    assert block.flush == 1 + turns


@pytest.mark.parametrize(
    ("x", "found"),
    [(11.0, True), (11.5, True), (11.5625, False), (15.0, False)],
    ids=["1 past its end", "half its width", "more than that", "far"],
)
def test_a_block_reaches_to_its_place(x: float, found: bool) -> None:
    """The rim fills all from 10 to the joist. A block may end before its place by half its width,
    which is 1.5: a fixing that is off its end is told."""
    rim = faces((10.0, -9.0), (10.0, 9.0))
    block = fitted(*rim, x=x, clear=shapely.box(0, -9, 10, 9))
    assert (block is not None) == found
    if block is not None:
        assert block.edges[0] == pytest.approx((0, 10))
        assert block.edges[1] == pytest.approx((0, 10))


def test_a_block_stands_where_no_rim_is() -> None:
    """Of the stretches before, in and past a rim from 8 to 12 the first and the last are clear; a
    place in the rim has the nearer."""
    rim = (*faces((8.0, -9.0), (8.0, 9.0)), *faces((12.0, -9.0), (12.0, 9.0)))
    room = shapely.box(0, -9, 8, 9).union(shapely.box(12, -9, 20, 9))
    for x, edges in ((9.0, (0, 8)), (11.0, (12, 20))):
        block = fitted(*rim, x=x, clear=room)
        assert block is not None
        assert block.edges[0] == pytest.approx(edges)
        assert block.edges[1] == pytest.approx(edges)


def test_a_face_along_an_edge_is_not_in_the_way() -> None:
    """A rim from 1.5 along on lies hard against the block, not in it."""
    block = fitted(*faces((3.0, 4.0), (3.0, 1.5), (9.0, 1.5), (9.0, 4.0)))
    assert block is not None
    assert block.edges == SQUARE


@pytest.mark.parametrize(
    ("x", "y", "held"),
    [(10.79, 0.0, True), (10.8, 0.0, False), (11.29, 0.5, True), (0.5, 1.0, True),
     (0.49, 0.0, False), (5.0, 1.01, False), (5.0, -1.0, True)],
)  # fmt: skip
def test_a_fixing_keeps_off_a_slant_square_to_it(x: float, y: float, held: bool) -> None:
    """The end goes from 10 to 13 over a width of 3, at 45 degrees: 11.5 at the middle. Half an inch
    square to it is half of sqrt 2 across, 0.7071: 10.7929. From other edges it is 1/2 itself."""
    assert is_held(((0.0, 10.0), (0.0, 13.0)), 0.0, 1.5, (x, y), 0.5) == held


def test_an_end_at_a_joist_and_the_rim_is_at_the_rim() -> None:
    """A clipped corner: inside a rim of 1 the slant is x + y = 10 + sqrt 2, and meets the joist's
    face, at 1.75, at y = 9.6642. A block about that goes from the slant at its lower edge, at
    x = 3.25, to the joist at its upper one; `between` is a joist only where the whole end is at it.
    Joist 1 begins at 16.25."""
    outline = shapely.Polygon([(0, 10), (10, 0), (60, 0), (60, 60), (0, 60)])
    frame = Frame(Framing(90.0, 16.0, 1.0, 1.5, 1.0, ""), outline)
    y = 10 + math.sqrt(2) - 1.75
    wanted = Wanted(Need((5.0, y), over=(y - 1.5, y + 1.5)), 2, 2)
    (block,) = blocks_at(frame, [wanted])
    assert block is not None
    assert block.between == (None, 1)
    assert block.edges[0] == pytest.approx((3.25, 16.25))
    assert block.edges[1] == pytest.approx((1.75, 16.25))
    assert block.lengths == pytest.approx([13.75, 14.5])
