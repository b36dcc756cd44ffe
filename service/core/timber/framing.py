"""Core: what the fixings of a level's posts land in, and the blocking that they need (method 11).

`frame_posts` is the main entry.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import chain, islice
from math import dist
from typing import Final, TypeAlias

import shapely

from service.core.line.arcs import ArcSide
from service.core.line.posts import PostDraft, square_angle
from service.core.measure import TOUCH, Degrees, FromTo, Length, Point, ceil_to_mark, convert
from service.core.records.blocking import BlockingPiece, PostFraming
from service.core.records.kit import Base, Kit
from service.core.timber.blocks import blocks_at, corners
from service.core.timber.fitting import Need, holds, is_in_a_ply
from service.core.timber.fixings import PlacedFixing, fixing_places, fixings_at
from service.core.timber.frame import HAIR, Frame
from service.core.timber.sharing import (
    SharedBlock,
    block_for,
    gathered,
    merge_overlapping,
    together,
)

SNUG: Final = 1 / 8
"""Inches: timber this near the rim is drawn up to it by the fixings (common practice, no source).
"""
Framed: TypeAlias = dict[tuple[object, ...], Sequence[PostFraming]]
"""Results of `frame_posts`, by everything that they depend on (`_grounds`)."""


def frame_once(
    framed: Framed, frame: Frame, kit: Kit, posts: Sequence[PostDraft], step: Length
) -> Sequence[PostFraming]:
    """What `frame_posts` gives, worked out only where `framed` does not hold it yet."""
    key = _grounds(frame, kit, posts, step)
    if key not in framed:
        # On a copy of the frame: what a large one caches takes tens of megabytes, which are not
        # needed again.
        framed[key] = frame_posts(replace(frame), kit, posts, step)
    return framed[key]


def _grounds(
    frame: Frame, kit: Kit, posts: Sequence[PostDraft], step: Length
) -> tuple[object, ...]:
    """Everything that the framing of these posts depends on."""
    stand = [
        (
            post.role,
            post.at,
            post.turned,
            _heading(post),
            post.rim and (post.rim[0].plan_key, post.rim[1]),
        )
        for post in posts
    ]
    about = frame.framing, frame.outline, frame.obstructions
    return *about, kit.mounting, kit.post, frame.unit, step, *stand


def frame_posts(
    frame: Frame, kit: Kit, posts: Sequence[PostDraft], step: Length
) -> list[PostFraming]:
    """What the fixings of each post land in, and the blocking for those that land in nothing.

    A fixing that is in the rim but too near a face of it, or between timbers that leave no room for
    a block, gets none and stays at `none`. One block may serve several posts. step: the smallest
    mark.
    """
    if not posts:
        return []
    if kit.mounting == "fascia":
        return _frame_fascia(frame, kit, posts)
    rows = _fixings(frame, kit.post.base, posts)
    wanted = [_needs(frame, post, row) for post, row in zip(posts, rows, strict=True)]
    blocks = _blocks(frame, [need for needs in wanted for need in needs.values()])
    return [
        _framing(frame, row, needs, blocks, _spare(frame, kit, post, row, step))
        for post, row, needs in zip(posts, rows, wanted, strict=True)
    ]


def _framing(
    frame: Frame,
    row: Sequence[PlacedFixing],
    needs: Mapping[PlacedFixing, Need],
    blocks: Mapping[Need, BlockingPiece],
    spare: Length | None,
) -> PostFraming:
    """Framing of one post.

    row: its fixings. needs: what those that need a block need it for. blocks: the level's blocks by
    the needs that they are for. spare: as in `PostFraming`.
    """
    lands_on = tuple(fixing.lands_on for fixing in row)
    blocked = [fixing for fixing, need in needs.items() if need in blocks]
    mine = tuple(dict.fromkeys(blocks[needs[fixing]] for fixing in blocked))
    carried = {
        fixing: [each for each in mine if holds(each, fixing.place, fixing.edge_distance)]
        for fixing in needs
    }
    missed = [fixing for fixing in blocked if not carried[fixing]]
    over = {*blocked, *(fixing for fixing in needs if carried[fixing])}
    by_timber = sum(fixing.is_by_timber for fixing in missed)
    off_deck = sum(fixing.depth is None for fixing in row)
    return PostFraming(
        lands_on=lands_on,
        blocking=mine,
        spare=spare,
        cramped=lands_on.count("none") - len(over) - off_deck,
        off_deck=off_deck,
        crosses=_crossed(frame, mine),
        by_timber=by_timber,
        past_ends=len(missed) - by_timber,
        at_joints=sum(_is_at_joint(carriers, at) for at, carriers in carried.items()),
        at_ends=sum(fixing.is_by_joist_end for fixing in row),
    )


def _is_at_joint(carriers: Sequence[BlockingPiece], fixing: PlacedFixing) -> bool:
    """Whether some blocks hold a fixing, but each with a joint between its plies too near it."""
    in_ply = any(is_in_a_ply(each, fixing.place, fixing.edge_distance) for each in carriers)
    return bool(carriers) and not in_ply


def _crossed(frame: Frame, blocks: Sequence[BlockingPiece]) -> tuple[str, ...]:
    """Names of the obstructions that stand on the deck over any of these blocks."""
    if not blocks or not frame.obstructions:
        return ()
    drawn = shapely.polygons([corners(frame, block) for block in blocks])
    less = shapely.buffer(drawn, -TOUCH, join_style="mitre")
    met = frame.standing.query(less, predicate="intersects")[1].tolist()
    return tuple(frame.obstructions[i].name for i in sorted(set(met)))


def _needs(frame: Frame, post: PostDraft, row: Sequence[PlacedFixing]) -> dict[PlacedFixing, Need]:
    """The need for a block of each of a post's fixings that has to go into one.

    An idle ply lies away from the post's middle. A fixing as far along the joists as that, as two
    of a square base are over joists at 45 degrees, has it away from the others that need a block.
    """
    along, needs = frame.place_along(post.at), {}
    wanting = [fixing for fixing in row if fixing.needs_block]
    for fixing in wanting:
        held = () if fixing.is_by_timber else (fixing.place,)
        is_level = abs(fixing.place[1] - along) <= TOUCH
        away = sum(each.place[1] for each in wanting) / len(wanting) if is_level else along
        needs[fixing] = Need(fixing.place, held, fixing.edge_distance, post=away)
    return needs


def _fixings(
    frame: Frame, base: Base, posts: Sequence[PostDraft]
) -> list[tuple[PlacedFixing, ...]]:
    """The fixings of each post, in the order of the posts."""
    places = [fixing_places(base, post.at, post.turned, _heading(post)) for post in posts]
    found = iter(fixings_at(frame, base, list(chain.from_iterable(places))))
    return [tuple(islice(found, len(row))) for row in places]


def _heading(post: PostDraft) -> Degrees | None:
    """Direction of the edge that a post is set by; None where it is set by none."""
    return None if post.beside is None else post.beside[0].heading_at(post.beside[1])


def _blocks(frame: Frame, needs: Sequence[Need]) -> dict[Need, BlockingPiece]:
    """The block for each of a level's needs, left out where there is no room for one."""
    rows = together(frame, needs)
    groups = gathered(frame, rows)
    several = [list(chain.from_iterable(group)) for group in groups if len(group) > 1]
    found = _shared(frame, several, only_whole=True)
    met = {need for each in found for need in each.needs}
    found += _shared(frame, [row for row in rows if row[0] not in met])
    return {need: each.block for each in merge_overlapping(frame, found) for need in each.needs}


def _shared(
    frame: Frame, groups: Sequence[Sequence[Need]], only_whole: bool = False
) -> list[SharedBlock]:
    """Blocks for groups of needs, where there is room for them. only_whole: as in `blocks_at`."""
    wanted = [block_for(frame, group) for group in groups]
    return [
        SharedBlock(tuple(group), block)
        for group, block in zip(groups, blocks_at(frame, wanted, only_whole), strict=True)
        if block is not None
    ]


def _spare(
    frame: Frame, kit: Kit, post: PostDraft, row: Sequence[PlacedFixing], step: Length
) -> Length | None:
    """The least move along its run, at most a base's width, that lands every fixing of a line post.

    A fixing in the side's own rim stays as deep in it; every other has to come over a joist, out of
    the rims of other sides, or into one of these. None where no move does, for a post that needs no
    blocking, on a bowed side, and for any other post. row: the post's fixings.
    """
    if post.role != "line" or post.rim is None or _all_land(row):
        return None
    side, t = post.rim
    if isinstance(side, ArcSide):
        return None
    base = kit.post.base
    far, turned = base.width, square_angle(side.heading)
    spans: list[FromTo] = [(-far, far)]
    for place in fixing_places(base, side.place(t, kit.post.setback), turned, side.heading):
        if side.locate(place)[1] > frame.rim_reach(base):
            over = frame.over_joists(place, side.along, base, far)
            held = _common(over, frame.off_rims(place, side.along, far)) if over else []
            spans = _common(spans, held + frame.in_rims(place, side.along, base, far))
    for move in sorted({*_marks_within(spans, step)}, key=lambda move: (abs(move), move)):
        at = side.place(t + move, kit.post.setback)
        if _all_land(fixings_at(frame, base, fixing_places(base, at, turned, side.heading))):
            return move
    return None


def _all_land(row: Iterable[PlacedFixing]) -> bool:
    """Whether each of these fixings goes into a rim or a joist."""
    return all(fixing.lands_on != "none" for fixing in row)


def _frame_fascia(frame: Frame, kit: Kit, posts: Sequence[PostDraft]) -> list[PostFraming]:
    """Framing of posts that hang on the rim.

    Every fixing goes into the rim, and a block stands behind it, between the two joists beside the
    post or between a joist and a rim.
    """
    backs = _backs(frame, posts)
    needs = [Need(place, behind=True) for place, _ in backs]
    blocks = _blocks(frame, needs)
    lands_on = ("rim",) * kit.post.base.fixings
    framings = []
    for need, (_, back) in zip(needs, backs, strict=True):
        mine = (blocks[need],) if need in blocks else ()
        has_joist = _is_by_joist(frame, back)
        is_bare = not mine and not has_joist
        off_rim = _off_rim(frame, mine[0], back) if mine and not has_joist else 0.0
        crosses = _crossed(frame, mine)
        framings.append(PostFraming(lands_on, mine, crosses=crosses, bare=is_bare, off_rim=off_rim))
    return framings


def _off_rim(frame: Frame, block: BlockingPiece, back: Point) -> Length:
    """Distance from a block to the rim's back behind a post.

    A block is square to the joists; where these run askew to the rim it meets the rim at one corner
    alone.
    """
    apart: Length = shapely.Polygon(corners(frame, block)).distance(shapely.Point(back))
    return round(apart, 6)


def _is_by_joist(frame: Frame, back: Point) -> bool:
    """Whether a joist comes to a place at the rim's back, or lies within SNUG of it.

    That joist is then what stands behind the rim there, and no block can be nearer.
    """
    close = frame.framing.joist_width / 2 + convert(SNUG, "in", frame.unit)
    return frame.off_joist(frame.place_across(back)) <= close + TOUCH


def _backs(frame: Frame, posts: Sequence[PostDraft]) -> list[tuple[Point, Point]]:
    """For each post that hangs on the rim, the place of a block behind it and the rim's back there.

    The place of the block is across and along the joists, half a joist's width in behind the rim.
    The rim's back is a point in plan; where the next edge's rim lies there, it is the corner of
    both rims. Where two rims share the post, both are the corner behind it.
    """
    rim, hair = frame.framing.rim_width, frame.framing.joist_width * HAIR
    behind = [
        post.at if post.rim is None else post.rim[0].place(post.rim[1], rim) for post in posts
    ]
    lines = shapely.shortest_line(frame.inner, shapely.points(behind))
    places = []
    for post, back, line in zip(posts, behind, lines, strict=True):
        # Where the deck is all rim there is no corner behind the post.
        corner = back if line is None else line.coords[0]
        if post.rim is None:
            places.append((frame.placed(corner), corner))
            continue
        side, t = post.rim
        deep = side.place(t, rim + frame.framing.joist_width / 2)
        if hair < dist(corner, back) <= rim:
            deep = corner[0] + deep[0] - back[0], corner[1] + deep[1] - back[1]
            back = corner
        places.append((frame.placed(deep), back))
    return places


def _common(one: list[FromTo], two: list[FromTo]) -> list[FromTo]:
    """Stretches that a span of `one` and a span of `two` share; the spans of `two` lie apart."""
    ordered = sorted(two)
    ends = [high for _, high in ordered]
    common = []
    for start, end in one:
        first = bisect_left(ends, start - 2 * TOUCH)
        for low, high in islice(ordered, first, None):
            if low > end + 2 * TOUCH:
                break
            shared = max(start, low), min(end, high)
            if shared[0] <= shared[1] + TOUCH:
                common.append(shared)
    return common


def _marks_within(spans: list[FromTo], step: Length) -> list[Length]:
    """The mark nearest to 0 in each span that has a mark."""
    marks = []
    for low, high in spans:
        nearest = ceil_to_mark(low, step) if low > 0 else -ceil_to_mark(-high, step)
        if low <= 0 <= high:
            nearest = 0.0
        if low - TOUCH <= nearest <= high + TOUCH:
            marks.append(nearest)
    return marks
