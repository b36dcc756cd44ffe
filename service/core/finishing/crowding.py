"""Core: where a level leaves no room for its own railing: posts and rails that stand in those along
another edge, or hang across a narrow gap into the deck or a wall beyond it.

On one line, posts keep apart as it is divided; here are a narrow part of a deck, a slot in it, and
corners so sharp that their post stands far off. Nothing here changes a draft.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

import shapely

from service.core.finishing.numbering import Ids
from service.core.finishing.solids import (
    ALONG,
    TRIMMED_DEPTH,
    Solid,
    Solids,
    deck_of,
    is_more,
    level_rails,
    meets,
    shared_by,
)
from service.core.levels.level import LevelDraft
from service.core.levels.railing import LineDraft
from service.core.line.outline import Side
from service.core.line.posts import PostDraft, body
from service.core.measure import TOUCH, convert
from service.core.records.kit import Kit
from service.core.records.seen import WaySeen, edge_place
from service.core.runs.drafts import RunDraft


def see_crowded(kit: Kit, draft: LevelDraft, ids: Ids) -> Iterator[WaySeen]:
    """Rails of a level that its own posts and rails along other edges stand in, then what of a
    railing hangs into its own deck across a gap, or a post into a wall there."""
    if _is_roomy(kit, draft):
        return
    rails = level_rails(kit, ids, draft, broad=True, least_half=ALONG, to_faces=True)
    runs = [(line, run) for line in draft.lines for run in line.runs if run.bays]
    pairs = list(zip(runs, rails, strict=True))
    posts = [Solid(ids.posts[post], body(kit, post), "", post=post) for post in ids.posts_on(draft)]
    ends = {rail.name: _ends(run) for (_, run), rail in pairs}
    solids = Solids([*posts, *(rail for _, rail in pairs)])
    for (_, run), rail in pairs:
        own, on_line = ends[rail.name], {*_ends(run), *run.inner}
        met = tuple(
            solid.name
            for solid in solids.about(rail.shape)
            if (solid.post not in on_line if solid.post else not own & ends[solid.name])
            and solid.name != rail.name
            and meets(rail.shape, solid.shape)
        )
        if met:
            yield WaySeen("guard", rail.name, met)
    if kit.mounting == "fascia":
        hung = [(rail, [line.side]) for (line, _), rail in pairs]
        yield from _across(kit, draft, hung, posts)


def _is_roomy(kit: Kit, draft: LevelDraft) -> bool:
    """Whether a level plainly has room for all of its railing: no bows, corners well off all other
    edges, and none so sharp that it turns by over 120, or inward by over 90 where rails hang out.

    A post at a corner that turns by 120 stands twice the setback off it.
    """
    if draft.bows or draft.plan.clearance <= 3 * abs(kit.post.setback) + 2 * kit.post.width:
        return False
    points, hangs = draft.plan.points, kit.mounting == "fascia"
    before = points[-1]
    for (x, y), after in zip(points, (*points[1:], points[0]), strict=True):
        ux, uy, vx, vy = x - before[0], y - before[1], after[0] - x, after[1] - y
        on = ux * vx + uy * vy
        if on < 0 and (
            4 * on * on > (ux * ux + uy * uy) * (vx * vx + vy * vy) or (hangs and ux * vy < uy * vx)
        ):
            return False
        before = x, y
    return True


def _ends(run: RunDraft) -> set[PostDraft]:
    """The posts at the ends of a run."""
    ends = run.stretch.start.post, run.stretch.end.post
    return {post for post in ends if post is not None}


def _across(
    kit: Kit, draft: LevelDraft, rails: list[tuple[Solid, list[Side]]], posts: list[Solid]
) -> Iterator[WaySeen]:
    """What of a railing hangs outward into its own level: rails into the deck, posts into the deck
    or a wall. rails: each with its side."""
    deck = deck_of(draft, convert(TRIMMED_DEPTH, "in", kit.unit))
    for rail, sides in rails:
        if _hangs_into(kit, sides, rail.shape, deck.shape):
            yield WaySeen("guard", rail.name, (deck.name,))
    held_by: dict[PostDraft | None, list[Side]] = defaultdict(list)
    for line in draft.lines:
        for post in (*(end.post for end in line.terminals()), *_inner(line)):
            held_by[post].append(line.side)
    level = draft.level.id
    walls = [
        Solid(f"the wall of {edge_place(level, number)}", wall, level)
        for number, wall in draft.walls()
    ]
    beyond = Solids([deck, *walls])
    for solid in posts:
        clear = solid.shape.buffer(-ALONG, join_style="mitre")
        met = tuple(
            other.name
            for other in beyond.about(clear)
            if _hangs_into(kit, held_by[solid.post], clear, other.shape)
        )
        if met:
            yield WaySeen("upright", solid.name, met)


def _inner(line: LineDraft) -> Iterator[PostDraft]:
    """The posts of a line that stand between the ends of its runs."""
    return (post for run in line.runs for post in run.inner)


def _hangs_into(
    kit: Kit, sides: list[Side], shape: shapely.Geometry, other: shapely.Geometry
) -> bool:
    """Whether a shape meets another on the railing lines of its sides or outward of them: what it
    meets inward of one lies behind its own edge."""
    return any(
        is_more(part, other)
        and all(
            side.locate(part.centroid.coords[0])[1] < kit.post.setback + TOUCH for side in sides
        )
        for part in shapely.get_parts(shared_by(shape, other)).tolist()
    )
