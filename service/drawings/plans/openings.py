"""Drawings, plans: openings, how wide they are, and the leaves of gates with their swing."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from service.core.measure import Length, Point
from service.core.records.layout import GateBuilt, OpeningBuilt
from service.drawings.marks import SMALL, Stroke, clipped, line
from service.drawings.plans.paper import MEASURED, Paper
from service.drawings.plans.placing import along, around
from service.drawings.plans.scene import Scene
from service.drawings.plans.tracks import between, unit

INSIDE: Final = 1.6
"""In mm, from the bases inward to the line that an opening's clear width is written at."""
TICK: Final = 0.9
CHORDS: Final = 18
"""Straight pieces that stand for the quarter circle that a leaf swings through."""
NAME: Final = 45.0


@dataclass(frozen=True, slots=True)
class PlacedOpening:
    """An opening in plan. start, end: its clear width's ends on the railing line, going
    counter-clockwise; out: unit vector off the deck."""

    opening: OpeningBuilt
    start: Point
    end: Point
    out: Point

    @property
    def middle(self) -> Point:
        """Half-way between its posts."""
        return between(self.start, self.end)

    def off(self, point: Point, away: Length) -> Point:
        """A point moved away from the deck."""
        return point[0] + self.out[0] * away, point[1] + self.out[1] * away


def placed_openings(scene: Scene) -> dict[str, PlacedOpening]:
    """Every opening of a level by its place."""
    found = {}
    for opening in scene.openings:
        ends = _ends(scene, opening)
        if ends is not None:
            ux, uy = unit(*ends)
            found[opening.place] = PlacedOpening(opening, *ends, (uy, -ux))
    return found


def draw_openings(paper: Paper, scene: Scene, openings: Mapping[str, PlacedOpening]) -> None:
    """Leaves and their swing."""
    for place, gate in scene.gates.items():
        if place in openings:
            for mark in leaf_of(scene, openings[place], gate):
                paper.draw(mark, MEASURED)


def name_openings(paper: Paper, scene: Scene, openings: Mapping[str, PlacedOpening]) -> None:
    """Each opening's name and clear width, on the deck's side of it."""
    k = paper.scale.per_unit
    inside = scene.subject.kit.post.base.width / 2 + paper.scale.of_paper(INSIDE)
    for place, placed in openings.items():
        start, end = placed.off(placed.start, -inside), placed.off(placed.end, -inside)
        way = unit(start, end)
        for mark in _span(paper, start, end, way):
            paper.draw(mark)
        said = scene.said["openings", place]
        name = clipped(place.split("/", 1)[1], SMALL, NAME)
        text = f"{name} {said['clear_width_text']}"
        size = math.dist(start, end) * k
        middle = between(start, end)
        first = along(paper.scale, middle, way, SMALL / 2 + 0.5, text)
        rest = around(paper.scale, middle, (-placed.out[0], -placed.out[1]), 1.0, text)
        paper.write([first, *rest] if len(text) * SMALL * 0.8 < size else rest)


def leaf_of(scene: Scene, placed: PlacedOpening, gate: GateBuilt) -> Iterator[Stroke]:
    """The leaf as it stands open, where it closes, and the quarter circle between."""
    kit = scene.subject.kit.gate
    ends = (placed.start, placed.end)
    if kit is None or gate.hinge_post is None and gate.latch_post is None:
        return
    at_start = gate.hinge_post == placed.opening.start
    hinge, latch = ends if at_start else ends[::-1]
    ux, uy = unit(hinge, latch)
    pivot = hinge[0] + ux * kit.hinge_gap, hinge[1] + uy * kit.hinge_gap
    side = -1.0 if gate.opens == "in" else 1.0
    way = placed.out[0] * side, placed.out[1] * side

    def tip(part: float) -> Point:
        """The leaf's free edge, from shut (0) to open (1)."""
        c, s = math.cos(part * math.pi / 2), math.sin(part * math.pi / 2)
        width = gate.width
        return pivot[0] + (ux * c + way[0] * s) * width, pivot[1] + (uy * c + way[1] * s) * width

    yield line("gate", pivot, tip(0.0), "dashed")
    yield line("gate", pivot, tip(1.0))
    yield Stroke("gate", tuple(tip(i / CHORDS) for i in range(CHORDS + 1)))


def _span(paper: Paper, start: Point, end: Point, way: Point) -> Iterator[Stroke]:
    """A line with a slash at each end."""
    yield line("dimension", start, end)
    (ux, uy), t = way, paper.scale.of_paper(TICK)
    for x, y in (start, end):
        yield line(
            "dimension",
            (x - ux * t + uy * t, y - uy * t - ux * t),
            (x + ux * t - uy * t, y + uy * t + ux * t),
        )


def _ends(scene: Scene, opening: OpeningBuilt) -> tuple[Point, Point] | None:
    """The ends of the clear width: half of it to either side of the middle of two posts, or from
    one post's face to the wall."""
    start, end = scene.at(opening.start), scene.at(opening.end)
    clear = opening.clear_width
    half = scene.subject.kit.post.width / 2
    if start is not None and end is not None:
        if math.dist(start, end) <= 0:
            return None
        ux, uy = unit(start, end)
        x, y = between(start, end)
        spare = clear / 2
        return (x - ux * spare, y - uy * spare), (x + ux * spare, y + uy * spare)
    edge = scene.edges[opening.edge]
    asked = next(o for o in scene.level.openings if f"{scene.level.id}/{o.id}" == opening.place)
    parts = [asked.start / edge.length, (asked.start + asked.width) / edge.length]
    first, last = (edge.place(part) for part in (parts[::-1] if edge.backward else parts))
    if first == last:
        return None
    ux, uy = unit(first, last)
    if start is not None:
        x, y = start[0] + ux * half, start[1] + uy * half
        return (x, y), (x + ux * clear, y + uy * clear)
    if end is not None:
        x, y = end[0] - ux * half, end[1] - uy * half
        return (x - ux * clear, y - uy * clear), (x, y)
    inward = scene.subject.kit.post.setback
    (x0, y0), (x1, y1) = first, last
    return (
        (x0 - uy * inward, y0 + ux * inward),
        (x1 - uy * inward, y1 + ux * inward),
    )
