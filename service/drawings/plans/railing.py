"""Drawings, plans: posts and the bays between them, with their ids."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import shapely

from service.core.line.posts import square_at
from service.core.measure import Point, toward
from service.core.records.layout import Bay, Post
from service.drawings.marks import NORMAL, SMALL, Layer, Pattern, Stroke, line
from service.drawings.plans.paper import RAIL, SOLID, Paper
from service.drawings.plans.placed import Track
from service.drawings.plans.placing import Aside, Label, among, tag
from service.drawings.plans.scene import Scene
from service.drawings.points import between, moved

INFILL_LINES: Final[dict[str, tuple[Layer, Pattern]]] = {
    "picket": ("picket", "dashed"),
    "glass": ("glass", "full"),
}
"""The layer and the pattern of the line along the middle of a rail, by what fills the bay."""
WIDE: Final = 0.6
"""Width that a rail is drawn with, as a share of a post's: a kit gives only the depth of a rail."""
CLEAR: Final = 1.7
"""In mm, between an id and what it names."""

ROOMY: Final = 14.0
"""In mm, the least length of the shortest bay at which the ids of bays are written larger."""


def draw_railing(paper: Paper, scene: Scene) -> None:
    """Draw bases, rails from post to post, and posts on top of them, without words."""
    for post in scene.posts.values():
        paper.draw(Stroke("base", post.base, closed=True, filled=True), SOLID)
    for track in scene.tracks.values():
        for bay in track.bays:
            for mark in _rail(scene, track, bay):
                paper.draw(mark, RAIL)
    width = scene.subject.kit.post.width
    for post in scene.posts.values():
        square = tuple(square_at(post.at, width, post.turned))
        paper.draw(Stroke("post", square, closed=True, filled=True), SOLID)


def name_posts(paper: Paper, scene: Scene) -> None:
    """Write the id of each post by it, on the deck's side of its rails or outside its flight."""
    if scene.is_tight(paper.scale):
        paper.left_out += len(scene.posts)
        return
    k = paper.scale.per_unit
    kit = scene.subject.kit
    clear = max(kit.post.base.width / 2, -kit.post.setback) * k + CLEAR
    directions = _directions(scene)
    others = among({post.id: shapely.Polygon(post.base) for post in scene.posts.values()})
    for post in scene.posts.values():
        direction = directions.get(post.id, (0.7, 0.7))
        tag(paper, Aside(post.at, direction, clear), Label(post.id), others)


def name_bays(paper: Paper, scene: Scene) -> None:
    """Write the id of each bay by its middle, on the deck's side or outside the flight's treads."""
    if scene.is_tight(paper.scale):
        paper.left_out += sum(len(track.bays) for track in scene.tracks.values())
        return
    k = paper.scale.per_unit
    post = scene.subject.kit.post
    clear = max(post.width * WIDE / 2, -post.setback) * k + CLEAR
    placed = [
        (bay.id, track, *scene.bay_ends(track, bay))
        for track in scene.tracks.values()
        for bay in track.bays
    ]
    least = min((math.dist(start, end) for _, _, start, end in placed), default=0.0)
    size = NORMAL if least * k >= ROOMY else SMALL
    others = among({name: shapely.LineString((start, end)) for name, _, start, end in placed})
    for name, track, start, end in placed:
        side = 1.0 if track.run.flight else -1.0
        direction = track.outward[0] * side, track.outward[1] * side
        tag(paper, Aside(between(start, end), direction, clear), Label(name, size), others)


def _rail(scene: Scene, track: Track, bay: Bay) -> Iterator[Stroke]:
    """A band from post to post, and the line in its middle that shows what fills the bay."""
    start, end = scene.bay_ends(track, bay)
    if start == end:
        return
    half = scene.subject.kit.post.width * WIDE / 2
    direction = toward(start, end)
    corners = tuple(
        moved(point, direction, 0.0, right)
        for point, right in ((start, half), (end, half), (end, -half), (start, -half))
    )
    yield Stroke("rail", corners, closed=True, filled=True)
    layer, pattern = INFILL_LINES[bay.infill]
    yield line(layer, start, end, pattern)


def _directions(scene: Scene) -> dict[str, Point]:
    """By post, the direction to its id: inward of all runs that meet there, outward on a flight."""
    found: dict[str, Point] = {}
    for track in scene.tracks.values():
        ox, oy = track.outward
        inward = 1.0 if track.run.flight else -1.0
        for post in _posts_of(scene, track):
            if track.run.flight and post.flight is None:
                continue
            x, y = found.get(post.id, (0.0, 0.0))
            found[post.id] = x + ox * inward, y + oy * inward
    return {post: (x, y) for post, (x, y) in found.items() if abs(x) + abs(y) > 1e-6}


def _posts_of(scene: Scene, track: Track) -> list[Post]:
    ids = [track.run.start, track.run.end]
    for bay in track.bays:
        ids += [bay.start, bay.end]
    return [scene.posts[each] for each in dict.fromkeys(ids) if each is not None]
