"""Core: where a level leaves no room for its own railing: posts and rails that stand in those along
another edge, or hang across a narrow gap into the deck or a wall beyond it.

On one line, posts keep apart as it is divided; here are a narrow part of a deck, a slot in it, and
corners so sharp that their post stands far off. Nothing here changes a draft.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from typing import Final

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
from service.core.measure import TOUCH, Degrees, convert
from service.core.records.kit import Kit
from service.core.records.seen import WaySeen, edge_place
from service.core.runs.drafts import RunDraft

SHARP_SKEW: Final[Degrees] = 30.0
"""Of a bay at the post of a corner that turns by 120: that post stands no further off its corner
than twice the setback."""
SHARP_REACH: Final = math.tan(math.radians(60))
"""How many setbacks a line runs past such a corner, or stops short of it."""


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
    edges, and none of them sharp."""
    setback = abs(kit.post.setback)
    if draft.bows or draft.plan.clearance <= 3 * setback + 2 * kit.post.width:
        return False
    reach = SHARP_REACH * setback + TOUCH
    for line in draft.lines:
        for run in line.runs:
            start, end = run.stretch.start, run.stretch.end
            if start.skew > SHARP_SKEW + TOUCH or end.skew > SHARP_SKEW + TOUCH:
                return False
            if start.t < -reach or end.t > line.side.length + reach:
                return False
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
    """Whether a shape meets another outward of the railing lines of its sides: what it meets inward
    of one lies behind its own edge."""
    return any(
        is_more(part, other)
        and all(side.locate(part.centroid.coords[0])[1] < kit.post.setback for side in sides)
        for part in shapely.get_parts(shared_by(shape, other)).tolist()
    )
