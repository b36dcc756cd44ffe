"""Core: for each post of a level, what its fixings land in and the blocking that they need (method
11)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import islice
from typing import TypeVar

from service.core.line.arcs import ArcSide
from service.core.line.outline import Side
from service.core.line.posts import PostDraft, quarter
from service.core.measure import TOUCH, FromTo, Length, ceil_to_mark, floor_to_mark
from service.core.records.kit import Base, Kit
from service.core.records.layout import BlockingPiece, PostFraming
from service.core.timber.blocks import Wanted, blocks_at
from service.core.timber.fixings import Fixing, fixing_places, fixings_at
from service.core.timber.frame import Frame
from service.core.timber.sharing import block_for, is_past, least_plies, share_blocks

T = TypeVar("T")


def frame_posts(
    frame: Frame, kit: Kit, posts: Sequence[PostDraft], step: Length
) -> list[PostFraming]:
    """Where each post's fixings land, and the blocking for those that land in nothing.

    A fixing in the rim but too near a face of it, or where two timbers meet, has no room for a
    block: it stays at `none` and is given no block.
    """
    if not posts:
        return []
    if kit.mounting == "fascia":
        return _frame_fascia(frame, kit, posts, step)
    fixings = _fixings(frame, kit.post.base, posts)
    blocked = _blocked(frame, kit, fixings, step)
    blocks = share_blocks(frame, kit, blocked)
    framings = []
    for post, row, held, shared in zip(posts, fixings, blocked, blocks, strict=True):
        lands_on = tuple(fixing.lands_on for fixing in row)
        framings.append(
            PostFraming(
                lands_on=lands_on,
                blocking=tuple(block for _, block in shared),
                spare=_spare(frame, kit, post, step) if "none" in lands_on else None,
                cramped=lands_on.count("none") - len(held),
                by_timber=sum(fixing.is_by_timber for fixing, _ in held),
                past_ends=sum(
                    is_past(frame, block, fixing)
                    for fixings, block in shared
                    for fixing in fixings
                    if not fixing.is_by_timber
                ),
                at_ends=sum(fixing.is_by_joist_end for fixing in row),
            )
        )
    return framings


def _fixings(frame: Frame, base: Base, posts: Sequence[PostDraft]) -> list[tuple[Fixing, ...]]:
    """Each post's fixings."""
    places = [fixing_places(base, post.at, post.turned) for post in posts]
    return _by_post(fixings_at(frame, base, _in_a_row(places)), places)


def _blocked(
    frame: Frame, kit: Kit, rows: Sequence[Sequence[Fixing]], step: Length
) -> list[list[tuple[Fixing, BlockingPiece]]]:
    """Each post's fixings that need a block and have room for one, each with the block beside
    it."""
    loose = [[fixing for fixing in row if fixing.needs_block] for row in rows]
    wanted = [block_for(frame, kit, [fixing]) for fixing in _in_a_row(loose)]
    beside = _by_post(blocks_at(frame, wanted), loose)
    return [
        [(fixing, block) for fixing, block in zip(*each, strict=True) if _has_length(block, step)]
        for each in zip(loose, beside, strict=True)
    ]


def _in_a_row(rows: Iterable[Iterable[T]]) -> list[T]:
    return [each for row in rows for each in row]


def _by_post(found: Iterable[T], rows: Iterable[Sequence[object]]) -> list[tuple[T, ...]]:
    """Split what was found, in order, for all the members of the rows into rows of the same
    lengths."""
    left = iter(found)
    return [tuple(islice(left, len(row))) for row in rows]


def _spare(frame: Frame, kit: Kit, post: PostDraft, step: Length) -> Length | None:
    """The least move that would spare a line post its blocking; None for any other post."""
    if post.role != "line" or post.rim is None:
        return None
    return _spare_shift(frame, kit, *post.rim, step)


def _has_length(block: BlockingPiece, step: Length) -> bool:
    """Whether a block is at least a mark long: where two timbers meet there is no room for one."""
    return floor_to_mark(block.across[1] - block.across[0], step) > TOUCH


def _frame_fascia(
    frame: Frame, kit: Kit, posts: Sequence[PostDraft], step: Length
) -> list[PostFraming]:
    """Every fixing goes into the rim, and a block stands behind it, between the two joists beside
    the post or between a joist and a rim."""
    joist = frame.framing.joist_width
    behind = frame.framing.rim_width + joist / 2
    places = [
        [] if post.rim is None else [post.rim[0].place(post.rim[1], behind)] for post in posts
    ]
    plies = least_plies(frame, kit)
    wanted = [Wanted(place, plies, plies * joist / 2) for place in _in_a_row(places)]
    rows = _by_post(blocks_at(frame, wanted), places)
    lands_on = ("rim",) * kit.post.base.fixings
    return [
        PostFraming(lands_on, tuple(block for block in row if _has_length(block, step)))
        for row in rows
    ]


def _spare_shift(frame: Frame, kit: Kit, side: Side, t: Length, step: Length) -> Length | None:
    """The least move along a straight side, at most a base's width, that lands every fixing.

    A fixing in the side's own rim stays in it; every other has to come over a joist.
    """
    if isinstance(side, ArcSide):
        return None
    base = kit.post.base
    far, turned = base.width, quarter(side.heading)
    spans: list[FromTo] = [(-far, far)]
    for place in fixing_places(base, side.place(t, kit.post.setback), turned):
        depth = side.locate(place)[1]
        if base.fixing_edge_distance > depth or depth > frame.rim_reach(base):
            spans = _shared(spans, frame.over_joists(place, side.along, base, far))
    for move in sorted(_marks_within(spans, step), key=lambda move: (abs(move), move)):
        at = side.place(t + move, kit.post.setback)
        places = fixing_places(base, at, turned)
        if all(fixing.lands_on != "none" for fixing in fixings_at(frame, base, places)):
            return move
    return None


def _shared(one: list[FromTo], two: list[FromTo]) -> list[FromTo]:
    pairs = ((max(a[0], b[0]), min(a[1], b[1])) for a in one for b in two)
    return [(low, high) for low, high in pairs if low <= high + TOUCH]


def _marks_within(spans: list[FromTo], step: Length) -> list[Length]:
    """For each span that has a mark, the one nearest to 0."""
    marks = []
    for low, high in spans:
        nearest = ceil_to_mark(low, step) if low > 0 else -ceil_to_mark(-high, step)
        if low <= 0 <= high:
            nearest = 0.0
        if low - TOUCH <= nearest <= high + TOUCH:
            marks.append(nearest)
    return marks
