"""Drawings, plans: gaps in lines where words stand on them, and veils under words where a line is
to be seen whole."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

import shapely

from service.drawings.boxes import ink_of
from service.drawings.marks import Stroke, Words
from service.drawings.plans.paper import Paper
from service.drawings.points import points_of

CLEAR: Final = 0.1
"""In mm, from words to the lines that leave a gap for them."""


def break_lines(paper: Paper) -> None:
    """Leave gaps in lines where words stand on them, or put a veil under the words.

    Gaps are left in lines that read as well with them: those that something is measured on or that
    lead to something, joists and rim, treads and the way down, the windows of parts. An outline or
    a rail with a gap would look like one with an opening, so words on it have a veil under them,
    through which the line is seen faintly.
    """
    words = [mark for mark in paper.marks if isinstance(mark, Words)]
    lines = [mark for mark in paper.marks if isinstance(mark, Stroke)]
    if not words or not lines:
        return
    boxes = shapely.polygons([ink_of(mark, paper.scale, CLEAR) for mark in words])
    found = shapely.STRtree(boxes).query(_drawn(lines), predicate="intersects").tolist()
    struck: dict[int, list[int]] = defaultdict(list)
    covered = set[int]()
    for line, word in zip(*found, strict=True):
        if _gives_way(lines[line]):
            struck[id(lines[line])].append(word)
        else:
            covered.add(id(words[word]))
    # The box of a flag already covers lines.
    covered -= {id(mark.under) for mark in lines}
    whole, paper.marks[:] = [*paper.marks], []
    for mark in whole:
        if isinstance(mark, Stroke) and id(mark) in struck:
            paper.marks += _broken(mark, boxes[struck[id(mark)]])
            continue
        if isinstance(mark, Words) and id(mark) in covered:
            corners = ink_of(mark, paper.scale, CLEAR)
            paper.marks.append(Stroke("veil", corners, closed=True, filled=True, under=mark))
        paper.marks.append(mark)


def _gives_way(mark: Stroke) -> bool:
    if mark.layer == "words":
        return mark.pattern == "chain" or not mark.closed
    return mark.layer == "joist" or (mark.layer in ("stair", "dimension") and not mark.closed)


def _drawn(lines: Sequence[Stroke]) -> list[shapely.LineString]:
    """Lines as they run, made all at once, as making each by itself takes long."""
    ends = [mark.ends for mark in lines]
    points = [point for each in ends for point in each]
    of = [i for i, each in enumerate(ends) for _ in each]
    drawn: list[shapely.LineString] = shapely.linestrings(points, indices=of).tolist()
    return drawn


def _broken(mark: Stroke, over: Sequence[shapely.Polygon]) -> Iterator[Stroke]:
    """The pieces that words leave of a line."""
    left = shapely.LineString(mark.ends).difference(shapely.union_all(over))
    for part in shapely.get_parts(left):
        if not part.is_empty:
            yield replace(mark, points=points_of(part), closed=False)
