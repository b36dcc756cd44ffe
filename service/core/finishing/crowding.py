"""Core: where a level leaves no room for its own railing (`see_crowded`).

The division of a line keeps posts along it apart. But in a narrow part of a deck, at a slot in it,
or at a corner so sharp that its post stands far off, posts and rails may run into those along
another edge, or hang across the gap into the deck or a wall beyond it. Nothing here changes a
draft.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Final

import shapely

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.solids import (
    TOUCH_LENGTH,
    Solid,
    Solids,
    deck_of,
    half_breadth,
    is_more,
    level_posts,
    level_rails,
    level_walls,
    meets,
    shared_by,
    trimmed_depth,
)
from service.core.levels.level import LevelDraft
from service.core.line.posts import PostDraft
from service.core.line.sides import Side
from service.core.measure import TOUCH, Length
from service.core.records.kit import Kit
from service.core.records.seen import WaySeen
from service.core.runs.drafts import RunDraft

FAR_APART: Final = 4
"""In post widths: rails and posts whose middle lines are further apart than this do not meet."""
HALF_DIAGONAL: Final = 0.71
"""In post widths: from a post's middle to its corner."""


def see_crowded(about: Adjoining) -> Iterator[WaySeen]:
    """The rails and posts of a level that run into its own railing, deck or walls.

    First come rails that run into posts and rails along other edges. Then, with a fascia kit, come
    rails that hang across a gap into the level's own deck, and posts that hang into it or into a
    wall.
    """
    kit, draft = about.kit, about.draft
    if _is_roomy(kit, draft):
        return
    runs = [run for line in draft.lines for run in line.railed]
    if not runs:
        return
    posts = about.ids.posts_on(draft)
    axes = [run.stretch.axis(kit) for run in runs]
    places = [shapely.Point(post.at) for post in posts]
    if _are_beside(kit, runs, axes, posts, places):
        yield from _in_rails(runs, _rails(about), list(level_posts(about)))
    if kit.mounting == "fascia":
        deck = deck_of(about)
        far = HALF_DIAGONAL * kit.post.width + trimmed_depth(kit)
        half = max(half_breadth(kit, line.side.spec.infill) for line in draft.lines)
        if _come_near(axes, deck, half + TOUCH_LENGTH) or _come_near(places, deck, far):
            yield from _across(about, deck)


def _is_roomy(kit: Kit, draft: LevelDraft) -> bool:
    """Whether a level plainly has room for all of its railing.

    It has, where no edge is bowed, every corner is well away from all other edges, and no corner
    turns by more than 120 degrees, where its post stands twice the setback off it, or, with a
    fascia kit, inward by more than 90.
    """
    if draft.bows or draft.plan.clearance <= 3 * abs(kit.post.setback) + FAR_APART * kit.post.width:
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


def _are_beside(
    kit: Kit,
    runs: Sequence[RunDraft],
    axes: Sequence[shapely.LineString],
    posts: Sequence[PostDraft],
    places: Sequence[shapely.Point],
) -> bool:
    """Whether any post or rail comes near a rail that it is not joined to.

    axes: the middle lines of the runs. places: where the posts stand.
    """
    reach, tree = FAR_APART * kit.post.width, shapely.STRtree(axes)
    ends = [_ends(run) for run in runs]
    beside = tree.query(places, predicate="dwithin", distance=reach).T.tolist() if places else []
    if any(posts[i] not in runs[j].posts for i, j in beside):
        return True
    beside = tree.query(axes, predicate="dwithin", distance=reach).T.tolist()
    return any(i < j and not ends[i] & ends[j] for i, j in beside)


def _come_near(shapes: Sequence[shapely.Geometry], deck: Solid, reach: Length) -> bool:
    """Whether any of the shapes comes within `reach` of a deck."""
    return bool(shapely.dwithin(deck.shape, shapes, reach).any()) if shapes else False


def _ends(run: RunDraft) -> set[PostDraft]:
    """The posts at the ends of a run."""
    ends = run.stretch.start.post, run.stretch.end.post
    return {post for post in ends if post is not None}


def _rails(about: Adjoining) -> list[Solid]:
    """The rails of a level, run by run, from face to face."""
    return list(level_rails(about, least_half=TOUCH_LENGTH, to_faces=True))


def _in_rails(
    runs: Sequence[RunDraft], rails: Sequence[Solid], posts: Sequence[Solid]
) -> Iterator[WaySeen]:
    """Rails that run into a post off their line, or into a rail with which they share no post."""
    ends = {rail.name: _ends(run) for run, rail in zip(runs, rails, strict=True)}
    solids = Solids([*posts, *rails])
    for run, rail in zip(runs, rails, strict=True):
        own, on_line = ends[rail.name], run.posts
        met = tuple(
            solid.name
            for solid in solids.about(rail.shape)
            if (solid.post not in on_line if solid.post else not own & ends[solid.name])
            and solid.name != rail.name
            and meets(rail.shape, solid.shape)
        )
        if met:
            yield WaySeen("guard", rail.name, met)


def _across(about: Adjoining, deck: Solid) -> Iterator[WaySeen]:
    """The rails and posts that hang across a gap into their own level.

    Rails may hang into the deck, and posts into the deck or into a wall.
    """
    kit, draft = about.kit, about.draft
    sides = [line.side for line in draft.lines for _ in line.railed]
    for rail, side in zip(_rails(about), sides, strict=True):
        if _hangs_into(kit, [side], rail.shape, deck.shape):
            yield WaySeen("guard", rail.name, (deck.name,))
    held_by: dict[PostDraft | None, list[Side]] = defaultdict(list)
    for line in draft.lines:
        inner = (post for run in line.runs for post in run.inner)
        for post in (*(end.post for end in line.terminals()), *inner):
            held_by[post].append(line.side)
    walls = (wall._replace(name=f"the wall of {wall.name}") for wall in level_walls(about))
    beyond = Solids([deck, *walls])
    for solid in level_posts(about):
        clear = solid.shape.buffer(-TOUCH_LENGTH, join_style="mitre")
        met = tuple(
            other.name
            for other in beyond.about(clear)
            if _hangs_into(kit, held_by[solid.post], clear, other.shape)
        )
        if met:
            yield WaySeen("upright", solid.name, met)


def _hangs_into(
    kit: Kit, sides: list[Side], shape: shapely.Geometry, other: shapely.Geometry
) -> bool:
    """Whether a shape meets another on the railing line of each of its sides, or outward of it.

    What it meets inward of one of these lines lies behind its own edge, and does not count.
    """
    return any(
        is_more(part, other)
        and all(
            side.locate(part.centroid.coords[0])[1] < kit.post.setback + TOUCH for side in sides
        )
        for part in shapely.get_parts(shared_by(shape, other)).tolist()
    )
