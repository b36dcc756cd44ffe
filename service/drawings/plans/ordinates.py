"""Drawings, plans: the running marks of a run: the line that they lie on and the text of each."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from service.drawings.dimensions import slash
from service.drawings.marks import Disc, Mark, Words, line
from service.drawings.plans.lines import Piece
from service.drawings.plans.paper import ExtraCost, Paper
from service.drawings.plans.placed import Track
from service.drawings.plans.placing import square_to
from service.drawings.plans.run_names import GAP, TICK
from service.drawings.plans.scene import Scene
from service.drawings.scales import Scale

PAST: Final = 1.0
DOT: Final = 0.7
SHIFTS: Final = (0.0, 1.5, -1.5, 2.8, 3.6)
"""In mm along a run, how far off its line the text of a mark is tried."""
CLOSE: Final = 2.4
"""In mm, the least distance of two marks whose texts can be told apart."""


def dimension_of(paper: Paper, scene: Scene, track: Track, away: float) -> Iterator[Mark]:
    """The line that a run is measured on, its origin, and at each mark a slash and a line to it."""
    scale = paper.scale
    out, t = scale.of_paper(away), scale.of_paper(TICK)
    points = track.points
    yield line("dimension", track.off(points[0], 0.0, out), track.off(points[-1], 0.0, out))
    for point, ends in zip(points, lines_to(scale, scene, track, away), strict=True):
        yield line("dimension", *ends)
        yield slash(track.off(point, 0.0, out), track.along, track.outward, t)
    yield Disc("dimension", track.off(points[0], 0.0, out), scale.of_paper(DOT))


def lines_to(scale: Scale, scene: Scene, track: Track, away: float) -> Iterator[Piece]:
    """A line from each mark of a run to the line that it is measured on, and a little past it."""
    begin = scene.subject.kit.post.base.width / 2 + scale.of_paper(PAST)
    end = scale.of_paper(away + TICK)
    for point in track.points:
        yield track.off(point, 0.0, begin), track.off(point, 0.0, end)


def ordinates_of(
    paper: Paper, track: Track, texts: Sequence[str], away: float
) -> Iterator[list[Words]]:
    """For each mark, the places that its text may take: in line with it, else a little aside."""
    mm = paper.scale.of_paper
    for i, (point, text) in enumerate(zip(track.points, texts, strict=False)):
        sense = 1.0 if i == 0 else -1.0
        yield [
            square_to(
                paper.scale,
                track.off(point, mm(sense * shift), mm(away + GAP)),
                track.outward,
                text,
            )
            for shift in SHIFTS
        ]


def write_ordinates(
    paper: Paper, track: Track, ordinates: Sequence[list[Words]], extra_cost: ExtraCost
) -> list[Words]:
    """Write the texts of the first and the last mark, then of those between that can be told apart.

    extra_cost: what a place costs beside what it covers. Returns the words written, those of the
    last mark last.
    """
    if not ordinates:
        return []
    k = paper.scale.per_unit
    last = len(ordinates) - 1
    first, end = paper.write(ordinates[0], extra_cost), paper.write(ordinates[last], extra_cost)
    written, kept = [first], 0
    for i in range(1, last):
        ends = (track.points[kept], track.points[last])
        if min(math.dist(track.points[i], each) for each in ends) * k < CLOSE:
            paper.left_out += 1
            continue
        written.append(paper.write(ordinates[i], extra_cost))
        kept = i
    return [words for words in (*written, end) if words is not None]
