"""Drawings, plans: the timber under a level: joists, rim, and the blocking between them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

import shapely

from service.core.measure import Point, toward
from service.core.records.blocking import BlockingPiece
from service.core.timber.blocks import corners
from service.core.timber.frame import Frame
from service.drawings.marks import SMALL, Stroke, Words, width_of
from service.drawings.plans.paper import LINE, MEASURED, Paper
from service.drawings.plans.placing import PARTS, along
from service.drawings.plans.scene import Scene
from service.drawings.points import between, points_of
from service.drawings.scales import Scale

CLOSEST: Final = 1.0
"""In mm, the least distance between two joists; joists that lie closer are not drawn."""
OFF: Final = 1.6
"""In mm, from a joist to the middle of its number."""


def draw_timber(paper: Paper, scene: Scene) -> None:
    """Draw the centre lines of joists, the inner face of the rim, and blocking."""
    frame = _frame(scene)
    if frame is None:
        return
    for mark in _timber(paper.scale, scene, frame):
        paper.draw(mark, LINE if mark.layer == "block" else 0)


def name_joists(paper: Paper, scene: Scene) -> None:
    """Write the number of each joist that a block stands against along it, where there is room."""
    frame = _frame(scene)
    if frame is None or not _are_drawn(frame, paper.scale):
        return
    numbers = {number for block in _blocks(scene) for number in block.between}
    for number in sorted(each for each in numbers if each is not None):
        pieces = list(_joist(frame, number))
        if pieces:
            longest = max(pieces, key=lambda ends: math.dist(*ends))
            words, cost = paper.best(_places_by(paper.scale, f"joist {number}", longest))
            if words is not None and cost < MEASURED:
                paper.draw(words)


def _places_by(scale: Scale, text: str, ends: tuple[Point, Point]) -> Iterator[Words]:
    """Places for words along a joist, on either side of it; none where the joist is too short."""
    if math.dist(*ends) * scale.per_unit < width_of(text, SMALL):
        return
    for part in PARTS:
        for rise in (OFF, -OFF):
            at = between(*ends, part)
            yield along(scale, at, toward(*ends), rise, text)


def _frame(scene: Scene) -> Frame | None:
    framing = scene.level.framing
    if framing is None:
        return None
    return Frame(framing, shapely.Polygon(scene.outline), scene.subject.deck.unit)


def _are_drawn(frame: Frame, scale: Scale) -> bool:
    return frame.framing.joist_spacing * scale.per_unit >= CLOSEST


def _blocks(scene: Scene) -> Iterator[BlockingPiece]:
    """Each block once, however many posts it stands under."""
    framings = (post.framing for post in scene.posts.values() if post.framing)
    yield from dict.fromkeys(block for framing in framings for block in framing.blocking)


def _timber(scale: Scale, scene: Scene, frame: Frame) -> Iterator[Stroke]:
    if _are_drawn(frame, scale):
        for number in range(frame.last + 1):
            yield from (Stroke("joist", points) for points in _joist(frame, number))
    for ring in shapely.get_rings(shapely.get_parts(frame.inner)):
        points = points_of(ring)[:-1]
        if points:
            yield Stroke("joist", points, closed=True)
    yield from (_block(frame, block) for block in _blocks(scene))


def _joist(frame: Frame, number: int) -> Iterator[tuple[Point, Point]]:
    """The ends of each piece of a joist between rims; an inner corner may cut a joist in two."""
    x, y = shapely.get_coordinates(frame.outline).T
    places = x * frame.along[0] + y * frame.along[1]
    low, high = float(places.min()), float(places.max())
    across = frame.joist_centre(number)
    seen = shapely.LineString([frame.point(across, low), frame.point(across, high)])
    for part in shapely.get_parts(seen.intersection(frame.inner)):
        points = points_of(part)
        if len(points) > 1:
            yield points[0], points[-1]


def _block(frame: Frame, block: BlockingPiece) -> Stroke:
    return Stroke("block", tuple(corners(frame, block)), closed=True, filled=True)
