"""Drawings, plans: gaps in lines where words stand on them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import shapely

from service.drawings.boxes import box_of
from service.drawings.marks import Stroke, Words
from service.drawings.plans.paper import Paper

CLEAR: Final = 0.1
"""In mm, from words to the lines that leave a gap for them."""


def break_lines(paper: Paper) -> None:
    """Leave gaps where words stand in the lines of joists and rim, of treads and the way down, and
    of the windows of parts, all of which are read as well with gaps."""
    if not any(isinstance(mark, Stroke) and _gives_way(mark) for mark in paper.marks):
        return
    boxes = [box_of(mark, paper.scale, CLEAR) for mark in paper.marks if isinstance(mark, Words)]
    words = shapely.STRtree([shapely.Polygon(each) for each in boxes])
    whole, paper.marks[:] = [*paper.marks], []
    for mark in whole:
        if isinstance(mark, Stroke) and _gives_way(mark):
            paper.marks += _broken(mark, words)
        else:
            paper.marks.append(mark)


def _gives_way(mark: Stroke) -> bool:
    if mark.layer == "words":
        return mark.pattern == "chain"
    return mark.layer == "joist" or (mark.layer == "stair" and not mark.closed)


def _broken(mark: Stroke, words: shapely.STRtree) -> Iterator[Stroke]:
    """What words leave of a line."""
    points = [*mark.points, mark.points[0]] if mark.closed else mark.points
    seen = shapely.LineString(points)
    over = words.geometries[words.query(seen, predicate="intersects")]
    if not len(over):
        yield mark
        return
    for part in shapely.get_parts(seen.difference(shapely.union_all(over))):
        if not part.is_empty:
            piece = tuple((x, y) for x, y in shapely.get_coordinates(part).tolist())
            yield replace(mark, points=piece, closed=False)
