"""Drawings, plans: a level too large for a page, drawn closer as a whole and cut into parts.

The scale is one at which nearly all bays have room for what is said of them, or, where that would
take many parts, a smaller one at which no words are left out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import shapely

from service.core.measure import Point
from service.drawings.marks import NORMAL, Words
from service.drawings.pages import room
from service.drawings.plans.again import say_again
from service.drawings.plans.breaks import break_lines
from service.drawings.plans.level import DrawnLevel, measure_level, name_level
from service.drawings.plans.paper import CELL, Paper
from service.drawings.plans.side_notes import COLUMN, GAP
from service.drawings.plans.windows import frame_of, window_of, windows_over
from service.drawings.points import Rect, extent
from service.drawings.scales import Scale, at_least, coarser

ROOMY: Final = 14.0
"""In mm on paper, the length that nine of ten bays reach at the closest scale."""
OVERLAP: Final = 30.0
"""In mm, how much of a part is shown in the next one as well: more than most words are long."""
AROUND: Final = 60.0
"""In mm, how far words reach from what they name."""
CELLS: Final = 4_000_000
"""The most cells of the paper that a level is drawn closer on."""
FEW: Final = 6
"""The most parts of one level that are accepted before a smaller scale is tried."""
MOST_PARTS: Final = 40
"""The most parts of one level. A level that needs more parts or cells is not drawn closer."""

INSET: Final = 2.4
"""In mm, from a window's sides to the middle of its number."""
PLACES: Final = 9
"""Places that are tried for a window's number, across the window and up it."""


@dataclass(frozen=True, slots=True)
class Closer:
    """A level drawn closer.

    short: what is said of runs, flights and edges whose words found no room even so. windows: of
    its parts, in the order of their numbers.
    """

    paper: Paper
    short: list[str]
    windows: list[Rect]


def closer_of(level: DrawnLevel, scale: Scale) -> Closer | None:
    """A level drawn closer than at a scale.

    None where no scale is closer, or where the level would come to too many parts, to a single one,
    or to too large a paper.
    """
    found: Closer | None = None
    for close in _scales(level, scale):
        drawn = _drawn(level, close)
        if drawn is not None and not drawn.paper.left_out:
            return drawn
        found = drawn or found
    return found


def _scales(level: DrawnLevel, whole: Scale) -> list[Scale]:
    """Scales closer than the whole's, to be tried in turn until one leaves no words out.

    The last is the closest, at which nine of ten bays have room. Where that takes more than FEW
    parts, the closest scale that takes no more comes before it, if bays are not narrow there.
    """
    close = _closest(level)
    if close.ratio >= whole.ratio:
        return []
    far, notable = close, _notable(level)
    while len(_windows(far, _with_words(level, far), notable)) > FEW:
        far = coarser(far)
        if far.ratio >= whole.ratio or level.scene.is_narrow(far):
            return [close]
    return [far, close] if far != close else [close]


def _with_words(level: DrawnLevel, scale: Scale) -> Rect:
    """About the window that a level takes up with its words."""
    return level.extent.grown(scale.of_paper(OVERLAP))


def _drawn(level: DrawnLevel, close: Scale) -> Closer | None:
    """A level drawn at a scale and cut into parts.

    None where it would have too many parts, a single one, or too large a paper.
    """
    (x0, y0), (x1, y1) = level.extent
    k = close.per_unit
    wide, tall = (
        math.ceil(((high - low) * k + 2 * AROUND) / CELL) for low, high in ((x0, x1), (y0, y1))
    )
    if wide * tall > CELLS:
        return None
    notable = _notable(level)
    if len(_windows(close, level.extent, notable)) > MOST_PARTS:
        return None
    paper = Paper(close, ((x0 + x1) / 2, (y0 + y1) / 2), wide=wide)
    short = measure_level(paper, level)
    name_level(paper, level)
    drawn = [window_of(mark, close) for mark in paper.marks]
    whole = extent([point for each in drawn for point in each])
    windows = _windows(close, whole, [*notable, *_said_of(paper, notable)])
    if not 1 < len(windows) <= MOST_PARTS:
        return None
    say_again(paper, windows)
    break_lines(paper)
    return Closer(paper, short, windows)


def draw_windows(paper: Paper, closer: Closer) -> None:
    """Draw the windows of the parts on the plan of the whole, each with its number inside.

    The number stands where no other window lies, if there is such a place.
    """
    for window in closer.windows:
        paper.draw(frame_of(window))
    for i, window in enumerate(closer.windows, 1):
        others = [each for each in closer.windows if each is not window]
        places = _places(paper.scale, window)
        places.sort(key=lambda place: any(each.has(place) for each in others))
        sink = paper.scale.of_paper(NORMAL / 2)
        paper.write(Words("words", (x, y - sink), str(i), NORMAL) for x, y in places)


def _places(scale: Scale, window: Rect) -> list[Point]:
    """Middles of the places for a window's number, those nearest to its corners first."""
    (x0, y0), (x1, y1) = window.grown(-scale.of_paper(INSET))
    parts = [i / (PLACES - 1) for i in range(PLACES)]
    grid = [(abs(a - 0.5) + abs(b - 0.5), a, b) for a in parts for b in parts]
    return [(x0 + (x1 - x0) * a, y0 + (y1 - y0) * b) for _, a, b in sorted(grid, reverse=True)]


def _closest(level: DrawnLevel) -> Scale:
    """The smallest scale at which nine of ten bays have room."""
    bays = sorted(level.scene.bay_lengths())
    least = ROOMY / bays[len(bays) // 10] if bays else 0.0
    return at_least(least, level.scene.subject.deck.unit)


def _windows(scale: Scale, whole: Rect, items: list[Rect]) -> list[Rect]:
    """Windows as large as the room that a page has beside its notes."""
    wide, tall = room(scale.unit)
    size = scale.of_paper(wide - COLUMN - GAP), scale.of_paper(tall)
    return windows_over(whole, size, scale.of_paper(OVERLAP), items)


def _notable(level: DrawnLevel) -> list[Rect]:
    """Posts, openings, and the heads and feet of flights, each as a window without size."""
    ends = [each.at(0.5, u) for each in level.scene.courses for u in (0.0, each.flight.total_going)]
    ends += [each.course.foot(0.5) for each in level.landings]
    posts = [post.at for post in level.scene.posts.values()]
    posts += [post.at for each in level.landings for post in each.posts]
    points = [*posts, *(each.middle for each in level.scene.openings.values()), *ends]
    return [Rect(each, each) for each in points]


def _said_of(paper: Paper, notable: list[Rect]) -> list[Rect]:
    """Windows around the words that lie no further from a notable point than words reach."""
    near = shapely.STRtree([shapely.Point(each.low) for each in notable])
    words = [window_of(each, paper.scale) for each in paper.marks if isinstance(each, Words)]
    boxes = [shapely.box(*each.sides) for each in words]
    reach = paper.scale.of_paper(AROUND)
    found = set(near.query(boxes, predicate="dwithin", distance=reach)[0].tolist())
    return [words[i] for i in sorted(found)]
