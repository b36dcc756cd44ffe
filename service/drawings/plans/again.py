"""Drawings, plans: the measure of a line written again in each part that the line runs through."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Final

import shapely

from service.core.measure import toward
from service.drawings.marks import SMALL, Words, width_of
from service.drawings.plans.lines import Piece
from service.drawings.plans.paper import MEASURED, Paper
from service.drawings.plans.placing import PARTS, along
from service.drawings.plans.windows import window_of
from service.drawings.points import Rect, between, extent, points_of
from service.drawings.scales import Scale

TRIED: Final = (*PARTS, 0.1, 0.9)
"""Where along the visible piece of a line its words are tried, as shares of its length."""
LEAST: Final = 30.0
"""In mm, the shortest piece of a line that is given words; the next part shows shorter ones too."""
SIDES: Final = (1.0, -1.0)
OFF: Final = SMALL / 2 + 1.8
"""In mm, from a line that is already drawn to the middle of words that keep clear of it."""


def say_again(paper: Paper, windows: Sequence[Rect]) -> None:
    """Write the words of each line again in every window that shows the line but not its words.

    Where they have no room beside the line, its name alone is tried; where that has none either,
    nothing is written.
    """
    for said in paper.lines.line_words:
        shown = [window_of(said.words, paper.scale)]
        is_own: Callable[[Words], bool] | None = None
        for window in windows:
            seen = _seen(said.own, window, paper.scale)
            if seen is None or any(window.holds(each) for each in shown):
                continue
            is_own = is_own or paper.lines.others(said.own).owned_by(said.own)
            words = _write(paper, (said.words.text, said.name), seen, window, is_own)
            shown += [window_of(words, paper.scale)] if words else []


def _write(
    paper: Paper, texts: Sequence[str], seen: Piece, window: Rect, is_own: Callable[[Words], bool]
) -> Words | None:
    """Write the first of `texts` with a place along a line that covers at most a few plain lines.

    is_own: whether words would stand nearer to the line than to any other. None where no text has a
    place.
    """
    for text in texts:
        places = filter(is_own, _places(paper.scale, text, seen))
        best, cost = paper.best(
            each for each in places if window.holds(window_of(each, paper.scale))
        )
        if best is not None and cost < MEASURED:
            paper.draw(best)
            return best
    return None


def _places(scale: Scale, text: str, seen: Piece) -> Iterator[Words]:
    """Places along the visible piece of a line; none where the piece is shorter than the words."""
    if math.dist(*seen) * scale.per_unit < width_of(text, SMALL):
        return
    for part in TRIED:
        for side in SIDES:
            yield along(scale, between(*seen, part), toward(*seen), side * OFF, text)


def _seen(own: Piece, window: Rect, scale: Scale) -> Piece | None:
    """The piece of a line that a window shows; None where it is too short for words."""
    (x0, y0), (x1, y1) = extent(own)
    left, lower, right, upper = window.sides
    if x0 > right or x1 < left or y0 > upper or y1 < lower:
        return None
    cut = shapely.clip_by_rect(shapely.LineString(own), *window.sides)
    points = points_of(cut)
    if len(points) < 2 or math.dist(points[0], points[-1]) * scale.per_unit < LEAST:
        return None
    return points[0], points[-1]
