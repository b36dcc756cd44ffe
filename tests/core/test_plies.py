"""How many plies a block has, and where the joints between them come, worked by hand (method
11)."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.core.records.blocking import PostFraming
from service.core.records.deck import Framing
from service.core.timber.plies import is_off_joints, lay_plies
from tests.core import builders
from tests.core.builders import SURFACE

PLACES = {
    "one row: in the middle of a ply, the other beyond it": ((5.0,), 3.5, 2, 5.75, True),
    "one row on the lesser side of its post": ((2.0,), 3.5, 2, 1.25, True),
    "two rows within 1/2, both in one ply": ((5.0, 5.5), 3.5, 2, 6.0, True),
    "two rows 0.6 apart: neither one ply nor two take both": ((5.0, 5.6), 3.5, 2, 5.3, False),
    "two rows 1 apart, half a ply from the joint between": ((5.0, 6.0), 3.5, 2, 5.5, True),
    "two rows a ply apart, each in the middle of one": ((5.0, 6.5), 3.5, 2, 5.75, True),
    "two rows 2 apart: 1/2 from the outer edges of two": ((5.0, 7.0), 3.5, 2, 6.0, True),
    "two rows 2.2 apart: three plies as wide as they ask": ((5.0, 7.2), 3.5, 3, 6.1, False),
    "two rows 2.5 apart: in the outer two of three": ((5.0, 7.5), 3.5, 3, 6.25, True),
    "three rows, 3 and 0.25 apart": ((2.0, 5.0, 5.25), 3.5, 3, 3.625, True),
}


@pytest.mark.parametrize(
    ("rows", "post", "plies", "at", "clear"), PLACES.values(), ids=PLACES.keys()
)
def test_plies_of_one_and_a_half(
    rows: tuple[float, ...], post: float, plies: int, at: float, clear: bool
) -> None:
    """A block has two plies at least, and each fixing is 1/2 from the edges of one: it may lie in
    the middle half inch of a ply, and of the next, 1.5 on."""
    laid = lay_plies(rows, post, 0.5, 1.5, 2)
    assert (laid.plies, laid.joint is not None) == (plies, clear)
    assert laid.at == pytest.approx(at)
    edge = laid.at - plies * 0.75
    assert clear == all(is_off_joints(row - edge, 1.5, 0.5) for row in rows)


def test_rows_half_a_ply_apart_lie_in_one_ply_each() -> None:
    """Rows that are as far off the joints either way lie in one ply each, so that no ply lies idle.

    0.75 apart with 1/4 to keep: one joint midway leaves each row 3/8, as both rows in one ply
    would; two plies are needed anyway.
    """
    laid = lay_plies((5.0, 5.75), 3.5, 0.25, 1.5, 2)
    assert laid.plies == 2
    assert laid.at == pytest.approx(5.375)
    assert laid.joint == pytest.approx(5.375)


def test_fewer_plies_come_before_more_room_to_the_joints() -> None:
    """Of two layouts the one of fewer plies is taken, though its joints are nearer the fixings.

    2.3 apart with 1/4 to keep: two plies, 0.35 from their outer edges. With one ply midway between
    the rows they would be 0.4 off its joints, but take three plies.
    """
    laid = lay_plies((5.0, 7.3), 3.5, 0.25, 1.5, 2)
    assert laid.plies == 2
    assert laid.at == pytest.approx(6.15)


def test_more_room_to_the_joints_comes_before_an_idle_ply() -> None:
    """Of two layouts of as many plies the one with more room to the joints is taken, though one ply
    is idle.

    0.6 apart with 1/4 to keep: both rows in one ply, 0.45 from its edges, and one ply beyond it, so
    the two lie from 4.55 to 7.55. With the joint midway between the rows they would be 0.3 off, and
    neither ply idle.
    """
    laid = lay_plies((5.0, 5.6), 3.5, 0.25, 1.5, 2)
    assert laid.plies == 2
    assert laid.at == pytest.approx(6.05)


def test_one_timber_has_its_fixing_in_its_middle() -> None:
    """A 4x by itself has its fixing in its middle, as there is no second ply to either side."""
    laid = lay_plies((5.0,), 3.5, 0.5, 3.5, 1)
    assert laid.plies == 1
    assert laid.at == pytest.approx(5.0)


@pytest.mark.parametrize(
    ("from_edge", "off"),
    [(0.5, True), (0.4375, False), (1.0, True), (1.0625, False), (1.5, False), (2.0, True)],
)
def test_off_the_joints(from_edge: float, off: bool) -> None:
    """In plies of 1.5, with joints at 1.5 and 3, a fixing keeps 1/2 from the edges."""
    assert is_off_joints(from_edge, 1.5, 0.5) == off


def corner(keeps: float = 0.5, **figures: float) -> PostFraming:
    """Framing of the corner post at (3.5, 3.5), whose fixings are at 1.9375 and 5.0625 both ways;
    joists run along y."""
    usual = {"joist_spacing": 24.0, "first_joist": 24.0, "joist_width": 1.5, "rim_width": 3.0}
    framing = Framing(joist_direction=90.0, pointer="", **usual | figures)
    kit = builders.with_post(SURFACE, base=replace(SURFACE.post.base, fixing_edge_distance=keeps))
    layout = builders.laid(builders.rectangle(192.0, 144.0), kit, framing=framing)
    (post,) = [post for post in layout.posts if post.at == pytest.approx((3.5, 3.5))]
    assert post.framing is not None
    return post.framing


@pytest.mark.parametrize(
    ("rim", "at"),
    [(3.0, 5.8125), (4.3125, 5.8125), (4.5, 6.0), (4.5625, 6.0625)],
    ids=["clear of the rim", "just", "hard against it", "as hard as 1/2 lets it"],
)
def test_a_lone_fixing_lies_in_one_ply(rim: float, at: float) -> None:
    """The block of a single fixing has it in one ply, and moves along as the rim comes further.

    The rim takes the other fixings, 1.9375 in. About 5.0625 one ply reaches from 4.3125 to 5.8125,
    and the other on to 7.3125. A rim that comes further moves both: at 4.5625 the fixing is 1/2 in
    from the rim.
    """
    framing = corner(rim_width=rim)
    (block,) = framing.blocking
    assert block.plies == 2
    assert block.at == pytest.approx(at)
    assert (framing.at_joints, framing.past_ends) == (0, 0)


@pytest.mark.parametrize(
    ("keeps", "rim", "at", "told"),
    [(0.5, 0.5, 3.5, 0), (0.625, 0.5, 3.5, 4), (0.5, 1.25, 4.25, 2)],
    ids=["they keep off", "more is to be kept", "the rim moves them"],
)
def test_fixings_at_a_joint_are_told(keeps: float, rim: float, at: float, told: int) -> None:
    """Fixings nearer to a joint than they must keep are counted in `at_joints`.

    Three plies of 2 about 3.5, from 0.5 to 6.5: joints at 2.5 and 4.5, 0.5625 from the rows at
    1.9375 and 5.0625. No other joints leave as much: rows 3.125 apart are 0.875 short of two plies.
    A rim of 1.25 moves the joints to 3.25 and 5.25, 0.1875 from the further row.
    """
    framing = corner(keeps, rim_width=rim, joist_width=2.0)
    (block,) = framing.blocking
    assert block.plies == 3
    assert block.at == pytest.approx(at)
    assert framing.at_joints == told
    assert (framing.by_timber, framing.past_ends) == (0, 0)


@pytest.mark.parametrize(("rim", "plies", "at"), [(1.5, 3, 3.75), (1.625, 2, 5.8125)])
def test_a_row_beside_the_rim_is_left_out_where_it_brings_a_joint_to_another(
    rim: float, plies: int, at: float
) -> None:
    """A row too near the rim to be held does not share a block that would bring a joint to another
    row.

    The row at 1.9375 is too near the rim, and is counted in `by_timber`. Hard against a rim of 1.5,
    up to 6, three plies are under it, too: the fixing at 5.0625 is 0.5625 past the joint at 4.5.
    Against a rim of 1.625 it would be 0.4375 past the joint at 4.625, so it has two plies of its
    own, from 4.3125 on.
    """
    framing = corner(rim_width=rim)
    (block,) = framing.blocking
    assert block.plies == plies
    assert block.at == pytest.approx(at)
    assert (framing.by_timber, framing.at_joints, framing.past_ends) == (3, 0, 0)


@pytest.mark.parametrize(
    ("first", "length"), [(6.75, 3.0), (6.6875, None), (6.0625, None), (6.8125, 3.0625)]
)
def test_no_block_is_shorter_than_three_inches(first: float, length: float | None) -> None:
    """A gap of less than 3 in gets no block, as nobody cuts and nails 2 15/16.

    The gap runs from the rim's face at 3 to a joist's face, 3/4 before the joist's middle.
    """
    framing = corner(first_joist=first)
    assert [block.length for block in framing.blocking] == (
        [] if length is None else [pytest.approx(length)]
    )
    assert framing.cramped == (length is None)
