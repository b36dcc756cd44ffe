"""Drawings, plans: openings, their clear widths, and the leaves of gates with their swing."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from service.core.measure import Point, toward
from service.core.records.layout import GateBuilt
from service.drawings.dimensions import slash
from service.drawings.marks import SMALL, Stroke, clipped, line
from service.drawings.plans.paper import MEASURED, Paper
from service.drawings.plans.placing import Aside, Label, along, around
from service.drawings.plans.run_lines import TICK
from service.drawings.plans.scene import Scene
from service.drawings.points import between

INSIDE: Final = 1.6
"""In mm, from the bases inward to the line that an opening's clear width is written at."""
CHORDS: Final = 18
"""Straight pieces that are drawn for the quarter circle that a leaf swings through."""
NAME: Final = 45.0


def draw_leaves(paper: Paper, scene: Scene) -> None:
    """Draw the leaves of gates and their swing."""
    for placed in scene.openings.values():
        for mark in _leaf(placed.gate) if placed.gate else ():
            paper.draw(mark, MEASURED)


def name_openings(paper: Paper, scene: Scene) -> None:
    """Write each opening's name and clear width, on the deck's side of it."""
    k = paper.scale.per_unit
    inside = scene.subject.kit.post.base.width / 2 + paper.scale.of_paper(INSIDE)
    for place, placed in scene.openings.items():
        start, end = placed.ends_off(-inside)
        direction = toward(start, end)
        for mark in _span(paper, start, end, direction):
            paper.draw(mark, MEASURED)
        said = scene.said["openings", place]
        name = clipped(place.split("/", 1)[1], SMALL, NAME)
        text = f"{name} {said['clear_width_text']}"
        size = math.dist(start, end) * k
        middle = between(start, end)
        first = along(paper.scale, middle, direction, SMALL / 2 + 0.5, text)
        inward = Aside(middle, (-placed.out[0], -placed.out[1]), 1.0)
        rest = around(paper.scale, inward, Label(text))
        paper.write([first, *rest] if len(text) * SMALL * 0.8 < size else rest)


def _leaf(gate: GateBuilt) -> Iterator[Stroke]:
    """A gate's leaf as it stands open and (dashed) closed, and the quarter circle between."""
    swing, leaf = gate.swing, gate.width
    yield line("gate", swing.pivot, swing.tip(leaf, 0.0), "dashed")
    yield line("gate", swing.pivot, swing.tip(leaf, 1.0))
    yield Stroke("gate", tuple(swing.tip(leaf, i / CHORDS) for i in range(CHORDS + 1)))


def _span(paper: Paper, start: Point, end: Point, direction: Point) -> Iterator[Stroke]:
    """A line with a slash at each end."""
    yield line("dimension", start, end)
    for point in (start, end):
        yield slash(point, direction, (-direction[1], direction[0]), paper.scale.of_paper(TICK))
