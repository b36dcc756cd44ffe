"""Fixings and blocking compared with joists and rims drawn by shapely (method 11).

A fixing lands in a piece of timber where a disc about it, of the kit's edge distance as its radius,
lies inside that piece.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache, partial
from typing import Any

import numpy as np
import pytest
import shapely
from shapely import affinity

from service.core.engine import Shared, lay_out
from service.core.line.posts import PostDraft
from service.core.measure import Point, Unit
from service.core.records.blocking import BlockingPiece, PostFraming
from service.core.records.deck import Drops, Framing, Obstruction
from service.core.records.kit import Kit
from service.core.records.layout import Layout, Post
from service.core.timber.blocks import Wanted, blocks_at
from service.core.timber.fitting import Need
from service.core.timber.frame import Frame
from service.core.timber.framing import frame_posts
from service.core.timber.sharing import block_for
from tests.core import builders
from tests.core.builders import SURFACE

FAR = 5000.0
HAIR = 0.004
"""A fixing whose verdict changes within this of the edge distance is left out: discs are polygons
here."""


@dataclass(frozen=True)
class Timber:
    """A level's timber as shapes."""

    outline: shapely.Polygon
    framing: Framing

    @property
    def along(self) -> np.ndarray:
        """Unit vector along the joists."""
        angle = math.radians(self.framing.joist_direction)
        return np.array([math.cos(angle), math.sin(angle)])

    @property
    def across(self) -> np.ndarray:
        """Unit vector square to the joists, toward +x, or +y where they run along x."""
        square = np.array([-self.along[1], self.along[0]])
        up = square[0] if abs(square[0]) > 1e-9 else square[1]
        return square if up > 0 else -square

    @property
    def centres(self) -> list[float]:
        """Places of the joists' centres across, counted from the outline's least place across."""
        places = shapely.get_coordinates(self.outline) @ self.across
        first = float(places.min()) + self.framing.first_joist
        count = math.floor((float(places.max()) - first) / self.framing.joist_spacing + 1e-6) + 1
        return [first + i * self.framing.joist_spacing for i in range(max(1, count))]

    def joists(self) -> list[shapely.Polygon]:
        """Each joist at its own width, reaching past the deck at both ends."""
        half = self.framing.joist_width / 2
        made = []
        for centre in self.centres:
            corners = [(centre - half, -FAR), (centre + half, -FAR), (centre + half, FAR),
                       (centre - half, FAR)]  # fmt: skip
            made.append(shapely.Polygon([a * self.across + b * self.along for a, b in corners]))
        return made

    def boards(self) -> list[shapely.Geometry]:
        """A rim board inside each edge; at an inner corner it goes on by as much as the other is
        wide."""
        points = list(self.outline.exterior.coords)
        return [
            shapely.LineString(ends).buffer(self.framing.rim_width, cap_style="square")
            .intersection(self.outline)
            for ends in zip(points, points[1:], strict=False)
        ]  # fmt: skip

    def lands(self, point: Point, distance: float, hair: float) -> str:
        """The timber, `rim`, `joist` or `none`, that holds a disc of radius `distance` plus `hair`
        about a fixing."""
        rim, joists = within(self, distance, hair)
        here = shapely.Point(point)
        return "rim" if rim.covers(here) else "joist" if joists.covers(here) else "none"


@cache
def within(
    timber: Timber, distance: float, hair: float = 0.0
) -> tuple[shapely.Geometry, shapely.Geometry]:
    """Where the centre of a disc may be for the disc to lie in one rim board, and in one joist.

    Each piece is shrunk by the disc's radius before the pieces are put together. What lies in a rim
    board lies in no joist, as joists end at the board's face.
    """
    radius = distance + hair
    rim = [board.buffer(-radius, quad_segs=64) for board in timber.boards()]
    joists = [joist.buffer(-radius, join_style="mitre") for joist in timber.joists()]
    boards = shapely.unary_union(timber.boards()).buffer(hair, quad_segs=64)
    return shapely.unary_union(rim), shapely.unary_union(joists).difference(boards)


def fixings(kit: Kit, post: Post) -> list[Point]:
    """Places of four fixings: the base's corners moved toward its middle by the inset."""
    base = kit.post.base
    share = 1 - base.fixing_inset / (base.width / 2)
    middle = np.mean(np.array(post.base), axis=0)
    return [tuple(middle + (np.array(corner) - middle) * share) for corner in post.base]


OUTLINES: tuple[tuple[Point, ...], ...] = (
    builders.rectangle(180.0, 130.0),
    ((0.0, 0.0), (200.0, 0.0), (200.0, 90.0), (110.0, 90.0), (110.0, 170.0), (0.0, 170.0)),
    ((40.0, 0.0), (160.0, 0.0), (200.0, 40.0), (200.0, 150.0), (0.0, 150.0), (0.0, 40.0)),
    ((0.0, 0.0), (190.0, 12.0), (170.0, 140.0), (-20.0, 120.0)),
)


@cache
def framed_decks(count: int = 90) -> tuple[tuple[Timber, Layout, Kit], ...]:
    """Decks of random outlines, joist directions, spacings and widths."""
    rng = random.Random(17)
    made = []
    for _ in range(count):
        points = builders.turned(rng.choice(OUTLINES), rng.choice([0.0, 0.0, 25.0, 118.0]))
        framing = Framing(
            joist_direction=rng.choice([0.0, 90.0, 45.0, 30.0, -20.0, 160.0]),
            joist_spacing=rng.choice([12.0, 16.0, 24.0, 13.7]),
            first_joist=rng.choice([0.75, 3.0, 14.0]),
            joist_width=rng.choice([1.5, 3.0]),
            rim_width=rng.choice([1.5, 3.0, 5.5]),
            pointer="/levels/0/framing",
        )
        base = replace(SURFACE.post.base, fixing_edge_distance=rng.choice([0.25, 0.5, 0.7]))
        kit = builders.with_post(SURFACE, base=base)
        made.append(
            (Timber(shapely.Polygon(points), framing), builders.laid(points, kit, framing=framing),
             kit)
        )  # fmt: skip
    return tuple(made)


def test_landings() -> None:
    """A fixing lands in the rim, else in a joist, where it keeps the edge distance all round."""
    told: dict[str, int] = {"rim": 0, "joist": 0, "none": 0}
    for timber, layout, kit in framed_decks():
        distance = kit.post.base.fixing_edge_distance
        for post in layout.posts:
            assert post.framing is not None
            for place, landing in zip(fixings(kit, post), post.framing.lands_on, strict=True):
                wanted = {timber.lands(place, distance, way * HAIR) for way in (-1, 1)}
                if len(wanted) == 1:
                    told[landing] += 1
                    assert landing == wanted.pop()
    assert min(told.values()) > 50


def test_every_other_fixing_has_blocking() -> None:
    """A post has blocking exactly where a fixing lands in nothing and has 3 in of room for a block,
    and never more blocks than it has such fixings. Beside an oblique rim a block that stands off
    its fixing finds up to 1/2 in less room."""
    for timber, layout, kit in framed_decks():
        for post in layout.posts:
            assert post.framing is not None
            none = post.framing.lands_on.count("none")
            room = [clear_between(timber, place) for place in block_places(kit, post)]
            least = [length < (3.0 if both else 3.51) for length, both in room]
            # No clear length is measured here for a fixing that stands in timber, but too near its
            # edge.
            assert post.framing.cramped <= sum(least)
            assert bool(post.framing.blocking) == (none > post.framing.cramped)
            assert len(post.framing.blocking) <= none
            assert len(post.framing.lands_on) == kit.post.base.fixings


def clear_between(timber: Timber, point: Point) -> tuple[float, bool]:
    """Clear length across the joists at a point, and whether joists bound it on both sides.

    Of a line across through the point, less every joist and rim board, it is the piece that holds
    the point.
    """
    ends = [tuple(np.array(point) + way * FAR * timber.across) for way in (-1, 1)]
    line = shapely.LineString(ends).intersection(timber.outline)
    rim, joists = within(timber, 0.0)
    left = line.difference(joists).difference(rim)
    pieces = [p for p in getattr(left, "geoms", [left]) if p.distance(shapely.Point(point)) < 1e-6]
    if not pieces:
        return 0.0, False
    both = all(joists.distance(shapely.Point(end)) < 1e-6 for end in pieces[0].coords)
    return pieces[0].length, both


def block_places(kit: Kit, post: Post) -> Iterator[Point]:
    """Places of a post's fixings that land in nothing."""
    assert post.framing is not None
    for place, landing in zip(fixings(kit, post), post.framing.lands_on, strict=True):
        if landing == "none":
            yield place


def blocks_beside(timber: Timber, post: Post, place: Point) -> Iterator[BlockingPiece]:
    """Blocks of a post that have a fixing's place between their edges."""
    assert post.framing is not None
    at = float(np.array(place) @ timber.along)
    for block in post.framing.blocking:
        if abs(block.at - at) <= block.plies * timber.framing.joist_width / 2 + 1e-6:
            yield block


def room_for(timber: Timber, block: BlockingPiece) -> shapely.Polygon:
    """The room for a block: of a strip as wide as the block, less joists and rim, the part that the
    block's middle lies in."""
    middle = sum(block.across) / 2 * timber.across + block.at * timber.along
    half = block.plies * timber.framing.joist_width / 2
    ends = [middle + way * FAR * timber.across for way in (-1, 1)]
    strip = shapely.LineString(ends).buffer(half, cap_style="flat")
    taken = shapely.unary_union([*timber.boards(), *timber.joists()])
    left = strip.intersection(timber.outline).difference(taken)
    parts = getattr(left, "geoms", [left])
    (part,) = [part for part in parts if part.distance(shapely.Point(middle)) < 1e-6]
    return part


def longest_clear(timber: Timber, block: BlockingPiece) -> float:
    """How far across the joists the room for a block reaches."""
    across = shapely.get_coordinates(room_for(timber, block)) @ timber.across
    return float(across.max() - across.min())


def ends_at_corners(timber: Timber, block: BlockingPiece) -> bool:
    """Whether a block with square ends fills its room at both ends, where a corner of the rim
    reaches in."""
    half = block.plies * timber.framing.joist_width / 2
    room = room_for(timber, block).buffer(1e-4)
    grown = []
    for more in ((0.0, 0.0), (0.01, 0.0), (0.0, 0.01)):
        low, high = block.across[0] - more[0], block.across[1] + more[1]
        ends = [x * timber.across + block.at * timber.along for x in (low, high)]
        grown.append(room.covers(shapely.LineString(ends).buffer(half, cap_style="flat")))
    length = block.across[1] - block.across[0]
    return grown == [True, False, False] and abs(block.length - length) < 1e-4


def check_blocks(framed: tuple[tuple[Timber, Layout, Kit], ...], between_joists: bool) -> int:
    """Compare blocks with the room drawn for them, and return how many fixings were compared.

    A fixing is compared if it lands in nothing and has 3 in for a block, unless it has no block
    beside it and its post counts fixings as too close to timber. between_joists: whether to compare
    those with joists on both sides, or those with the rim on one.
    """
    compared = 0
    for timber, layout, kit in framed:
        for post in layout.posts:
            assert post.framing is not None
            for place in block_places(kit, post):
                length, both = clear_between(timber, place)
                beside = list(blocks_beside(timber, post, place))
                is_told = not beside and post.framing.by_timber > 0
                if length < 3.0 or both != between_joists or is_told:
                    continue
                assert any(
                    abs(block.length - longest_clear(timber, block)) < 1e-4
                    or ends_at_corners(timber, block)
                    for block in beside
                )
                compared += 1
    return compared


def one_frame(
    outline: tuple[Point, ...], direction: float, **figures: float
) -> tuple[Timber, Layout, Kit]:
    """The timber, layout and kit of a deck with one set of joists."""
    usual = {"joist_spacing": 16.0, "first_joist": 0.75, "joist_width": 1.5, "rim_width": 1.5}
    framing = Framing(joist_direction=direction, pointer="/levels/0/framing", **usual | figures)
    layout = builders.laid(outline, SURFACE, framing=framing)
    return Timber(shapely.Polygon(outline), framing), layout, SURFACE


def test_block_lengths_at_a_square_rim() -> None:
    """Where joists run along an edge, a block reaches from the rim of that edge to the joist beside
    it."""
    framed = one_frame(builders.rectangle(180.0, 134.0), 90.0, first_joist=14.0)
    assert check_blocks((framed,), between_joists=False) > 0


def test_block_lengths_at_an_oblique_rim() -> None:
    """An oblique rim takes more of the length across the joists: rim / sin of the angle that it
    makes with a line across them."""
    outline = ((0.0, 0.0), (180.0, 0.0), (180.0, 80.0), (100.0, 160.0), (0.0, 160.0))
    framed = [one_frame(outline, 90.0, first_joist=f) for f in (3.0, 7.0, 11.0, 14.0)]
    assert check_blocks(tuple(framed), between_joists=False) > 0


def test_block_lengths_at_an_inner_corner() -> None:
    """In a deck with a notch the next joist may lie beyond the notch; the rim then bounds the
    block."""
    framed = [
        one_frame(OUTLINES[1], 90.0, first_joist=first) for first in (0.75, 3.0, 7.0, 11.0, 14.0)
    ]
    assert check_blocks(tuple(framed), between_joists=False) > 0


def test_fixings_off_the_deck_land_in_nothing() -> None:
    """The outer fixings of a base that reaches past the deck's edge land in nothing.

    The post's centre is 1 in from the edge and the outer fixings are 4.5/2 - 0.6875 = 1.5625 out
    from it: 0.5625 off the deck.
    """
    kit = builders.with_post(SURFACE, setback=1.0)
    outline = builders.rectangle(180.0, 130.0)
    framing = Framing(90.0, 16.0, 0.75, 1.5, 1.5, "/levels/0/framing")
    layout = builders.laid(outline, kit, framing=framing)
    deck = shapely.Polygon(outline)
    for post in layout.posts:
        assert post.framing is not None
        for place, landing in zip(fixings(kit, post), post.framing.lands_on, strict=True):
            if not deck.covers(shapely.Point(place)):
                assert landing == "none"
        off = sum(not deck.covers(shapely.Point(place)) for place in fixings(kit, post))
        assert post.framing.off_deck == off
        assert all(0 < block.at < 130.0 for block in post.framing.blocking)


def test_spare_moves() -> None:
    """A move that spares blocking brings every fixing of the base into timber, which no lesser move
    does; where none is given, no move within a base's width does."""
    moved = 0
    for timber, layout, kit in framed_decks():
        distance, step = kit.post.base.fixing_edge_distance, 0.0625
        by_id = {post.id: post for post in layout.posts}
        for run in layout.runs:
            if run.start is None or run.end is None:
                continue
            line = np.array(by_id[run.end].at) - np.array(by_id[run.start].at)
            line = line / np.linalg.norm(line)
            first = by_id[run.start]
            lines = [p for p in layout.posts if p.role == "line"]
            inner = [p for p in lines if on_run(p, run.marks, line, first)]
            for post in inner:
                assert post.framing is not None
                if "none" not in post.framing.lands_on:
                    assert post.framing.spare is None
                    continue

                places = [np.array(place) for place in fixings(kit, post)]
                lands = partial(all_land, timber, places, line, distance)

                spare = post.framing.spare
                if spare is None:
                    reach = math.floor(kit.post.base.width / step)
                    for k in range(-reach, reach + 1, 7):
                        assert not lands(k * step, HAIR)
                    continue
                moved += 1
                assert lands(spare, -HAIR)
                for k in range(1, round(abs(spare) / step)):
                    assert not lands(k * step, HAIR)
                    assert not lands(-k * step, HAIR)
    assert moved > 5


def all_land(
    timber: Timber,
    places: list[np.ndarray],
    line: np.ndarray,
    distance: float,
    move: float,
    hair: float,
) -> bool:
    """Whether every fixing lands in timber once it is moved by `move` along the line."""
    return all(timber.lands(tuple(p + line * move), distance, hair) != "none" for p in places)


def on_run(post: Post, marks: tuple[float, ...], line: np.ndarray, first: Post) -> bool:
    """Whether a post stands on one of a run's inner marks."""
    off = np.array(post.at) - np.array(first.at)
    along = float(off @ line)
    beside = float(np.linalg.norm(off - along * line))
    return beside < 1e-6 and any(abs(along - mark) < 1e-6 for mark in marks[1:-1])


def test_fascia_blocks_stand_behind_the_rim() -> None:
    """Every fixing of a fascia post goes into the rim, and a block stands behind it between the
    joists beside the post. Where joists meet the rim square, that block is 16 less 1.5, 14.5, long.
    """
    framing = Framing(90.0, 16.0, 0.75, 1.5, 1.5, "/levels/0/framing")
    layout = builders.laid(builders.rectangle(192.0, 144.0), builders.FASCIA, framing=framing)
    seen = 0
    for post in layout.posts:
        assert post.framing is not None
        assert set(post.framing.lands_on) == {"rim"}
        for block in post.framing.blocking:
            before, after = block.between
            if before is None or after is None:
                continue
            if post.at[1] < 0 and post.role == "line":
                seen += 1
                assert block.length == pytest.approx(14.5)
                # Two plies of 1.5 behind a rim of 1.5: from 1.5 to 4.5.
                assert block.plies == 2
                assert block.at == pytest.approx(3.0)
                low = 0.75 + 16 * before
                assert low - 1e-6 <= post.at[0] <= low + 16 + 1e-6
    assert seen > 0


@pytest.mark.parametrize(("direction", "at"), [(90.0, (1.5, 3.0)), (0.0, (1.5, 3.0))])
def test_a_bracketed_corner_has_a_block_behind_both_rims(
    direction: float, at: tuple[float, float]
) -> None:
    """The block is of two plies of 1.5 in the corner of rims of 1.5, its end against one rim and
    its edge against the other. It reaches from there to the next joist, whose face is at 16.75 -
    0.75."""
    framing = Framing(direction, 16.0, 0.75, 1.5, 1.5, "/levels/0/framing")
    layout = builders.laid(builders.rectangle(192.0, 144.0), builders.FASCIA, framing=framing)
    (corner,) = [post for post in layout.posts if max(post.at) < 0]
    assert corner.framing is not None
    (block,) = corner.framing.blocking
    assert (block.between, block.plies) == ((0, 1), 2)
    assert block.at == pytest.approx(at[1])
    assert block.across == pytest.approx((at[0], 16.0))


def test_a_pair_at_a_corner_hangs_before_one_block() -> None:
    """Each post of the pair needs a block in the corner of the rims: one block stands behind both,
    and is listed once."""
    kit = builders.with_post(builders.FASCIA, corner="pair")
    framing = Framing(90.0, 16.0, 0.75, 1.5, 1.5, "/levels/0/framing")
    layout = builders.laid(builders.rectangle(192.0, 144.0), kit, framing=framing)
    near = {post.id for post in layout.posts if math.hypot(*post.at) < 4}
    assert len(near) == 2
    (block, posts) = next(each for each in layout.blocks() if set(each[1]) & near)
    assert set(posts) == near
    assert sum(set(under) & near != set() for _, under in layout.blocks()) == 1
    assert block.at == pytest.approx(3.0)


@pytest.mark.parametrize("rim", [1.5, 1.5 + 1e-9])
def test_no_block_stands_behind_a_rim_that_a_joist_lies_against(rim: float) -> None:
    """The last joist, at 144, reaches to 144.75, where the rim of the edge at 146.25 begins, so
    there is no room for a block behind the post. Once a block was placed there, past the deck."""
    framing = Framing(90.0, 16.0, 16.0, 1.5, rim, "/levels/0/framing")
    layout = builders.laid(builders.rectangle(146.25, 72.0), builders.FASCIA, framing=framing)
    (post,) = [post for post in layout.posts if post.at[0] > 146.25 and post.role == "line"]
    assert post.framing is not None
    assert post.framing == PostFraming(("rim",) * len(post.framing.lands_on), ())


def test_turned_frames() -> None:
    """A deck and its joists turned together need the same blocking."""
    for direction in (90.0, 30.0):
        for turn in (25.0, 90.0, 201.0):
            plain = one_frame(OUTLINES[0], direction, first_joist=3.0)[1]
            spun = builders.turned(OUTLINES[0], turn)
            twin = one_frame(spun, direction + turn, first_joist=3.0)[1]
            far = one_frame(spun, direction + turn, first_joist=first_from_the_other_side(
                OUTLINES[0], direction, 3.0))[1]  # fmt: skip
            wanted = blocking_of(plain)
            assert wanted in (blocking_of(twin), blocking_of(far))


def first_from_the_other_side(outline: tuple[Point, ...], direction: float, first: float) -> float:
    """Where the first of the same joists lies when they are counted from the outline's other
    end."""
    flat = affinity.rotate(shapely.Polygon(outline), -direction, origin=(0, 0))
    width = flat.bounds[3] - flat.bounds[1]
    return float((width - first) % 16.0)


def blocking_of(layout: Layout) -> list[tuple[tuple[str, ...], int]]:
    """What each post's fixings land in, and how many blocks the post needs, whatever the order of
    posts."""
    return sorted(
        (tuple(sorted(p.framing.lands_on)), len(p.framing.blocking))
        for p in layout.posts
        if p.framing is not None
    )


def test_posts_in_one_bay_between_joists_stand_over_one_block() -> None:
    """Joists are 60 apart and an opening runs from 70 to 106. Its posts, at 68.75 and 107.25, both
    stand between joist 1, whose face is at 61.5, and joist 2, which begins at 120. Their rows of
    fixings are at 1.9375 and 5.0625, past the rim's 1.5. One block of three plies, hard against the
    rim, serves both posts, and there are not three plies for each."""
    framing = Framing(90.0, 60.0, 0.75, 1.5, 1.5, "/levels/0/framing")
    layout = builders.laid(
        builders.rectangle(192.0, 144.0), openings=(builders.opening(0, 70.0, 36.0),),
        framing=framing,
    )  # fmt: skip
    jambs = {post.id for post in layout.posts if post.at[1] == 3.5 and 68 < post.at[0] < 108}
    assert len(jambs) == 2
    ((block, under),) = [each for each in layout.blocks() if set(each[1]) & jambs]
    assert set(under) == jambs
    assert (block.between, block.plies) == ((1, 2), 3)
    assert block.lengths == pytest.approx([58.5] * 3)
    assert block.at == pytest.approx(1.5 + 2.25)


def test_levels_one_above_the_other_have_blocks_of_their_own() -> None:
    """Of two decks alike in plan, 100 apart in height, the second needs the same blocks again."""
    framing = Framing(90.0, 16.0, 0.75, 1.5, 1.5, "/levels/0/framing")
    low = builders.deck(builders.rectangle(192.0, 144.0), framing=framing)
    high = replace(low.levels[0], id="high", drops=Drops(148.0))
    one = lay_out(low, SURFACE, None).blocks()
    both = lay_out(replace(low, levels=(*low.levels, high)), SURFACE, None).blocks()
    assert one
    assert [block for block, _ in both] == 2 * [block for block, _ in one]
    assert [len(posts) for _, posts in both] == 2 * [len(posts) for _, posts in one]


def test_a_column_over_a_block_is_told() -> None:
    """The corner post's block reaches from x = 1.5 to 16 and from y = 1.5 to 6. It lies under a
    flue that begins at y = 5, but not under a chimney that begins at 6, nor under one that begins
    half a millionth nearer and so only touches it."""
    framing = Framing(90.0, 16.0, 0.75, 1.5, 1.5, "/levels/0/framing")
    stands = tuple(
        Obstruction(name, tuple((10.0 + x, low + y) for x, y in builders.rectangle(3.0, 3.0)), "")
        for name, low in (("flue", 5.0), ("chimney", 6.0), ("chimney", 6.0 - 5e-7))
    )
    for each, told in zip(stands, (("flue",), (), ()), strict=True):
        layout = builders.laid(
            builders.rectangle(192.0, 144.0), framing=framing, obstructions=(each,)
        )
        (corner,) = [post for post in layout.posts if post.at == pytest.approx((3.5, 3.5))]
        assert corner.framing is not None
        assert corner.framing.crosses == told


def drawn(timber: Timber, block: BlockingPiece) -> shapely.Polygon:
    """A block in plan."""
    half, ((low, high), (other_low, other_high)) = block.plies * block.ply / 2, block.edges
    ends = ((low, -half), (high, -half), (other_high, half), (other_low, half))
    return shapely.Polygon([x * timber.across + (block.at + y) * timber.along for x, y in ends])


def drawn_plies(timber: Timber, block: BlockingPiece) -> Iterator[shapely.Polygon]:
    """Each ply of a block in plan, as it is listed.

    It begins on the line of the block's first end. Its longer edge has the listed length, and from
    there its other end goes back at the angle that is listed for the block's other end.
    """
    (low, high), (other_low, other_high) = block.edges
    slope = math.tan(math.radians(90.0 - block.end_cuts[1])) * (-1 if other_high < high else 1)
    for number, length in enumerate(block.lengths):
        shares = number / block.plies, (number + 1) / block.plies
        lows = [low + (other_low - low) * share for share in shares]
        longer = 0 if other_high - other_low <= high - low else 1
        tip = lows[longer] + length
        highs = [tip + slope * block.ply * (side - longer) for side in (0, 1)]
        along = [block.at + (share - 0.5) * block.plies * block.ply for share in shares]
        corners = ((lows[0], along[0]), (highs[0], along[0]), (highs[1], along[1]),
                   (lows[1], along[1]))  # fmt: skip
        yield shapely.Polygon([x * timber.across + y * timber.along for x, y in corners])


def reached(timber: Timber) -> shapely.Geometry:
    """All timber of a level: the rim as far as the inner faces of its boards meet, and the
    joists."""
    inner = timber.outline.buffer(-timber.framing.rim_width, join_style="mitre", mitre_limit=5.0)
    return shapely.union_all([timber.outline.difference(inner), *timber.joists()])


def test_no_block_reaches_into_timber() -> None:
    """Each block, drawn from corner to corner, lies on the deck and is clear of joists, rim and
    every other block of the deck. Its plies, each drawn by its listed length and end cut, are as
    clear of joists and rim, and side by side they fill the block."""
    blocks = cut = several = 0
    for timber, layout, _ in framed_decks():
        taken = reached(timber)
        shapes = [drawn(timber, block) for block, _ in layout.blocks()]
        for number, (shape, (block, _)) in enumerate(zip(shapes, layout.blocks(), strict=True)):
            assert shape.is_valid
            assert shape.intersection(taken).area < 1e-4
            assert shape.difference(timber.outline).area < 1e-4
            for other in shapes[:number]:
                assert shape.intersection(other).area < 1e-4
            plies = list(drawn_plies(timber, block))
            for ply in plies:
                assert ply.is_valid
                assert ply.intersection(taken).area < 1e-4
                assert ply.difference(shape).area < 1e-4
            assert sum(ply.area for ply in plies) == pytest.approx(shape.area)
            blocks += 1
            several += len(plies) > 1
            cut += block.end_cuts != (90.0, 90.0)
    assert blocks > 300
    assert cut > 50
    assert several > 200


def test_each_end_of_a_block_meets_timber() -> None:
    """A block that was longer by a hair at either end would reach into a joist or the rim."""
    for timber, layout, _ in framed_decks():
        taken = reached(timber)
        for block, _ in layout.blocks():
            for end in (0, 1):
                first, last = (
                    (low - 0.01, high) if end == 0 else (low, high + 0.01)
                    for low, high in block.edges
                )
                grown = drawn(timber, replace(block, edges=(first, last)))
                assert grown.intersection(taken).area > 1e-6


def test_fixings_that_are_said_to_be_held_are() -> None:
    """Of the fixings that land in nothing, all but those counted as not held keep the kit's
    distance to the edges and ends of a block of their post."""
    held = told = 0
    for timber, layout, kit in framed_decks():
        keeps = kit.post.base.fixing_edge_distance
        for post in layout.posts:
            framing = post.framing
            assert framing is not None
            within = [
                drawn(timber, block).buffer(1e-4 - keeps, join_style="mitre")
                for block in framing.blocking
            ]
            found = sum(
                any(shape.covers(shapely.Point(place)) for shape in within)
                for place in block_places(kit, post)
            )
            missed = framing.cramped + framing.by_timber + framing.past_ends + framing.off_deck
            assert found == framing.lands_on.count("none") - missed
            held += found
            told += framing.past_ends
    assert held > 300
    assert told > 5


def test_plies_are_listed_as_they_are_cut() -> None:
    """Each ply is listed as long as its longer edge, which differs between plies where an end is
    cut aslant."""
    unlike = 0
    for _, layout, _ in framed_decks():
        for block, _ in layout.blocks():
            (low, high), (other_low, other_high) = block.edges
            for number, length in enumerate(block.lengths):
                first, last = number / block.plies, (number + 1) / block.plies
                edges = [
                    high - low + (other_high - other_low - high + low) * share
                    for share in (first, last)
                ]
                assert length == pytest.approx(max(edges))
            assert block.length == pytest.approx(max(block.lengths))
            unlike += len({round(length, 4) for length in block.lengths}) > 1
    assert unlike > 20


def test_a_fixing_that_another_block_of_its_post_holds_is_not_told() -> None:
    """Eight fixings lie 2 in about (-87.8125, 134), over joists at -20 degrees. For the fixing at
    (-89.8125, 136) alone, 97.0805 across and -130.9109 along, a block between joist 9 and the rim
    would be too short. The four plies for other fixings reach along to -131.347, 0.436 past it. At
    its own place along, the rim, y = 136.5, lies at (136.5 - 130.9109 sin 20) / cos 20 = 97.6132
    across, and is (97.6132 - 97.0805) cos 20 = 0.5006 off the fixing. So it keeps 3/8 from both.
    Only two fixings, by a face of joist 9, are counted as not held."""
    base = replace(
        SURFACE.post.base, fixings=8, width=6.0, fixing_inset=1.0, fixing_edge_distance=0.375
    )
    kit = builders.with_post(SURFACE, base=base, setback=4.0)
    outline = [(0, 24), (0, 114), (-24, 138), (-147, 138), (-147, 0), (-24, 0)]
    frame = Frame(Framing(-20.0, 16.0, 0.75, 1.5, 1.5, ""), shapely.Polygon(outline), "in")
    post = PostDraft("end", (-87.8125, 134.0), 0.0, (), None)
    (framing,) = frame_posts(frame, kit, [post], 0.0625)
    block = framing.blocking[1]
    assert block.between == (9, None)
    assert block.plies == 4
    assert block.at == pytest.approx(-128.347, abs=1e-3)
    assert framing.lands_on.count("none") == 7
    assert (framing.cramped, framing.by_timber, framing.past_ends) == (0, 2, 0)


def test_a_block_passes_beside_a_corner_of_the_rim() -> None:
    """Beside an inner corner at (48, 36) the corner of a rim of 2 is at (46, 34). Two fixings at
    x = 42.9375 share a block of two plies of 1.75, from x = 40.3125 to 43.8125, one ply under them
    and one on the side away from the post. It is clear of that corner and runs from the rim at
    y = 2 to the joist's face at 50 less 0.875. A block that held the fixing at x = 46.0625 too
    would meet the corner."""
    corners = [(0.0, 0.0), (96.0, 0.0), (96.0, 36.0), (48.0, 36.0), (48.0, 72.0), (0.0, 72.0)]
    framing = Framing(0.0, 24.0, 50.0, 1.75, 2.0, "/levels/0/framing")
    layout = builders.laid(corners, SURFACE, framing=framing)
    (post,) = [post for post in layout.posts if post.at == (44.5, 32.5)]
    assert post.framing is not None
    assert (post.framing.cramped, post.framing.past_ends) == (1, 0)
    block = next(block for block in post.framing.blocking if block.at < 44)
    assert (block.plies, block.between) == (2, (None, 0))
    assert block.at == pytest.approx(42.0625)
    assert block.across == pytest.approx((2.0, 49.125))


@pytest.mark.parametrize(
    ("unit", "joist", "plies"),
    [
        ("in", 1.5, 2),
        ("in", 2.999, 2),
        ("in", 3.0, 1),
        ("in", 3.5, 1),
        ("mm", 45, 2),
        ("mm", 76.2, 1),
    ],
)
def test_a_block_is_of_two_plies_or_as_thick_as_a_4x(unit: Unit, joist: float, plies: int) -> None:
    """A block is two or more 2x plies or a 4x, of 3 1/2 in (engineering facts, 5.5, seen S25): one
    ply is enough from 3 in on, which is 76.2 mm."""
    inch = 1.0 if unit == "in" else 25.4
    framing = Framing(90.0, 24 * inch, 12 * inch, joist, 1.5 * inch, "")
    frame = Frame(framing, shapely.Polygon(builders.rectangle(180.0 * inch, 130.0 * inch)), unit)
    place = (90.0 * inch, 60.0 * inch)
    need = Need(frame.placed(place), keeps=SURFACE.post.base.fixing_edge_distance)
    assert block_for(frame, [need]).plies == plies


def corner_framing(**figures: float) -> PostFraming:
    """The framing of the corner post at (3.5, 3.5) of a rectangle whose joists run along y."""
    _, layout, _ = one_frame(builders.rectangle(192, 144), 90.0, **figures)
    corner = next(post for post in layout.posts if post.at == pytest.approx((3.5, 3.5)))
    assert corner.framing is not None
    return corner.framing


def test_a_block_before_the_first_joist_ends_at_it() -> None:
    """Joists are 16 apart and the first lies 36 in, more than two spaces from the edge. The blocks
    before it reach from the rim's inner face at 1.5 to that joist's face at 36 - 0.75, and not
    through it and all the others to the far rim."""
    blocks = corner_framing(first_joist=36.0).blocking
    assert blocks
    assert {block.between for block in blocks} == {(None, 0)}
    assert [block.length for block in blocks] == pytest.approx([33.75] * len(blocks))


def pieces_of(layout: Layout) -> list[list[tuple[float, int]]]:
    """The lengths and plies of each post's blocks, whatever the order of posts and blocks."""
    return sorted(
        sorted((round(block.length, 4), block.plies) for block in post.framing.blocking)
        for post in layout.posts
        if post.framing is not None
    )


def test_a_turned_deck_has_the_same_blocks() -> None:
    """Which fixings of a post share a block depends on where they lie, not on which corner of the
    base comes first. The joists lie askew to their deck, and both are turned by angles that keep
    the first joist first."""
    for outline in OUTLINES:
        for askew in (8.0, 23.0, 33.0):
            plain = one_frame(outline, askew, joist_width=2.0)[1]
            for turn in (40.0, 65.0, 90.0, 117.0):
                spun = one_frame(builders.turned(outline, turn), askew + turn, joist_width=2.0)[1]
                assert pieces_of(spun) == pieces_of(plain), (outline, askew, turn)


def test_a_fixing_within_the_rim_has_no_block() -> None:
    """A rim of 2.25 and a joist from 7.25 to 8.75 leave 5 clear for the block of the fixing that is
    at 5.0625 both ways. The other three fixings are 1.9375 from an edge, within the rim, where no
    block can be."""
    corner = corner_framing(first_joist=8.0, rim_width=2.25)
    assert corner.lands_on == ("none",) * 4
    assert [block.between for block in corner.blocking] == [(None, 0)]
    assert [block.length for block in corner.blocking] == pytest.approx([5.0])
    assert corner.cramped == 3


@pytest.mark.parametrize(
    ("rim_width", "by_timber"),
    [(1.4375, 0), (1.5, 3), (1.9375, 3)],
    ids=["just", "near", "against"],
)
def test_a_fixing_past_the_rim_that_a_piece_beside_it_cannot_hold(
    rim_width: float, by_timber: int
) -> None:
    """Three fixings of a corner post are 1.9375 from an edge and need 1/2 to the edge of a block,
    which is at the rim. A rim of 1.4375 leaves just that, one of 1.5 leaves 7/16, and one of 1.9375
    nothing."""
    corner = corner_framing(first_joist=8.0, rim_width=rim_width)
    assert corner.cramped == 0
    assert corner.by_timber == by_timber


@pytest.mark.parametrize(
    ("first_joist", "by_timber"),
    [(3.8125, 0), (3.875, 2), (4.6875, 2)],
    ids=["just", "past it", "in it"],
)
def test_a_fixing_by_a_joist_that_a_piece_beside_it_cannot_hold(
    first_joist: float, by_timber: int
) -> None:
    """Two fixings at x = 5.0625 need 1/2 to the end of a block, which is at a joist's face, 3/4 off
    the joist's middle. 1.25 from that middle is just enough, 1.1875 is not, and 0.375 is within the
    joist but too near its face. The other two fixings, at 1.9375, are 1.875 or more from it."""
    corner = corner_framing(first_joist=first_joist, rim_width=1.4375)
    assert corner.by_timber == by_timber


@pytest.mark.parametrize("noise", [0.0, 1e-12, -1e-12, 3e-10])
def test_of_two_stretches_as_near_the_lesser_across_is_taken(noise: float) -> None:
    """A fixing lies in the rim behind an inner corner, over joists at 45 degrees; worked by hand.

    Across the joists the rim of 1.5 leaves a stretch of 37 sqrt 2 on one side (x from -38.5 to
    -1.5) and one of 38 sqrt 2 on the other (x from 0.5 to 38.5), both sqrt 2 from the fixing. The
    last bit of the fixing's place decides nothing.
    """
    corners = [(-40, -80), (40, -80), (40, 0), (0, 0), (0, 40), (-40, 40)]
    frame = Frame(Framing(45.0, 1000.0, 0.75, 1.5, 1.5, ""), shapely.Polygon(corners), "in")
    place = frame.placed((-0.5 + noise, -0.5 - noise))
    (block,) = blocks_at(frame, [Wanted(Need(place), 1, 1)])
    assert block is not None
    assert block.across[1] - block.across[0] == pytest.approx(37 * math.sqrt(2), abs=1e-6)


def test_faces_of_a_bow() -> None:
    """A round deck is drawn with 720 chords, and a rim of 1.5 leaves a radius of 98.5. Faces lie
    within 1/200 of a joist's 1.5, 0.0075, of that circle. Chords that just do so are 2.43 long, 254
    of them; faces are half as long at the least."""
    outline = shapely.Point(0, 0).buffer(100.0, quad_segs=180)
    _, faces = Frame(Framing(90.0, 16.0, 0.75, 1.5, 1.5, ""), outline, "in").rim_faces
    lines = shapely.multilinestrings([face[:2] for face in faces])
    ring = shapely.Point(0, 0).buffer(98.5, quad_segs=180).exterior
    assert shapely.hausdorff_distance(lines, ring, densify=0.05) <= 0.0075 + 1e-3
    assert 254 <= len(faces) <= 508
    # The rim turns back along the joists at its greatest and at its least place along, and changes
    # in four places between faces of up to 60 degrees off square and steeper ones.
    assert 6 <= sum(face.turns[0] for face in faces) <= 8


@pytest.mark.parametrize("rise", [0.0, 1e-5, 0.25, -0.25])
def test_a_rim_a_little_off_square_is_cleared_where_it_comes_furthest(rise: float) -> None:
    """Joists run along y, the last at 39.75, with a rim of 1.5 along the lower edge, which rises by
    `rise` in 60. Where that edge falls toward the other edge, the block is hard against its rim at
    the joist's face, 40.5; where it rises, at the inner face of the other rim, 58.5, though no rim
    turns back there."""
    outline = shapely.Polygon([(0, 0), (60, rise), (60, 60), (0, 60)])
    frame = Frame(Framing(90.0, 39.0, 0.75, 1.5, 1.5, ""), outline, "in")
    (block,) = blocks_at(frame, [Wanted(Need((50.0, 2.5)), 2, 2)])
    assert block is not None
    slope = rise / 60
    lowest = 1.5 * math.hypot(1, slope) + slope * (58.5 if rise > 0 else 40.5)
    assert block.at == pytest.approx(lowest + 1.5)
    assert block.edges[0] == pytest.approx((40.5, 58.5))


def test_a_rim_turns_back_at_each_square_corner() -> None:
    """A rim turns back where a face along the joists meets one across them, but not where two
    slants go on the same way, as at (50, 30) and (40, 70)."""
    outline = ((0.0, 0.0), (20.0, 0.0), (50.0, 30.0), (40.0, 70.0), (20.0, 90.0), (0.0, 90.0))
    _, faces = Frame(
        Framing(90.0, 16.0, 0.75, 1.5, 1e-3, ""), shapely.Polygon(outline), "in"
    ).rim_faces
    turns = {(round(face.start[0]), round(face.start[1])): face.turns[0] for face in faces}
    assert {corner for corner, does in turns.items() if not does} == {(50, 30), (40, 70)}
    assert len(turns) == 6


def test_a_rim_that_leaves_nothing() -> None:
    """A deck 40 deep with rims of 30 is all rim, so a fixing off it has no room for a block."""
    framing = Framing(90.0, 16.0, 0.75, 1.5, 30.0, "")
    frame = Frame(framing, shapely.Polygon(builders.rectangle(120.0, 40.0)), "in")
    assert blocks_at(frame, [Wanted(Need(frame.placed((50.0, -1.0))), 1, 1)]) == [None]


def test_posts_that_a_change_leaves_as_they_are_are_framed_once() -> None:
    """A higher guard moves no post and no timber, so the posts keep their framing. After any change
    that does, the posts are framed anew, as in a layout that shares nothing with another."""
    framing = Framing(90.0, 16.0, 0.75, 1.5, 3.0, "/levels/0/framing")
    shared, outline = Shared(), builders.rectangle(180.0, 130.0)

    def again(corners: tuple[Point, ...], kit: Kit, **parts: Any) -> Layout:
        return lay_out(builders.deck(corners, **{"framing": framing, **parts}), kit, None, shared)

    first, higher = (again(outline, SURFACE, height=height) for height in (36.0, 42.0))
    assert len(shared.framed) == 1
    for post, as_high in zip(first.posts, higher.posts, strict=True):
        assert post.framing is as_high.framing
        assert (post.height, as_high.height) == (36.0, 42.0)
    bow = {"edges": (builders.edge(0, arc_rise=20.0),)}
    base = replace(SURFACE.post.base, fixing_edge_distance=1.0)
    changes: list[tuple[tuple[Point, ...], Kit, dict[str, Any]]] = [
        (builders.rectangle(180.0, 131.0), SURFACE, {}),
        (outline, builders.FASCIA, {}),
        (outline, builders.with_post(SURFACE, base=base), {}),
        (outline, replace(SURFACE, max_centres={"picket": 50.0}), {}),
        (outline, SURFACE, bow),
        (outline, SURFACE, {"step": 1.0}),
        # Runs of 144 and 130 have their middle marks at 72 and 65 on either grid, but their blocks
        # differ.
        (builders.rectangle(151.0, 137.0), SURFACE, {}),
        (builders.rectangle(151.0, 137.0), SURFACE, {"step": 1.0}),
        (outline, SURFACE, {"openings": (builders.opening(0, 60.0, 48.0),)}),
        (outline, SURFACE, {"obstructions": (builders.block(60.0, 6.0, 4.0),)}),
        (outline, SURFACE, {"framing": replace(framing, first_joist=1.5)}),
    ]
    for corners, kit, parts in changes:
        anew = builders.laid(corners, kit, **{"framing": framing, **parts})
        assert again(corners, kit, **parts) == anew
    assert len(shared.framed) == 1 + len(changes)
