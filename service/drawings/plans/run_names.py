"""Drawings, plans: places for a run's id and length."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from service.core.measure import Point
from service.drawings.boxes import middle_of
from service.drawings.marks import SMALL, Words, width_of
from service.drawings.plans.lines import Lines, Piece
from service.drawings.plans.paper import ExtraCost, Paper, no_extra_cost
from service.drawings.plans.placed import Track
from service.drawings.plans.placing import Aside, Label, along, around, beside, square_to
from service.drawings.points import between
from service.drawings.scales import Scale

TICK: Final = 0.9
"""In mm, half the length of the slash at a mark, along the line and across it."""
GAP: Final = 1.2
"""In mm, from a line to the words at its end."""
ROW: Final = 3.0
"""In mm, the height of a row of words."""
OUTER: Final = 3
"""Places outside its marks where a run's length is tried."""
CLEAN: Final = 10
"""The most that a name by its line may cost before other places are looked for."""
LED: Final = 20
"""What it costs that a line leads to a name."""
FEW: Final = 2.0
"""In mm, from a run that is not measured to its id."""


def few_places(scale: Scale, track: Track, names: str) -> Iterator[Words]:
    """Places for a run's id alone."""
    aside = Aside(track.middle, track.outward, FEW)
    return around(scale, aside, Label(names, layer="dimension"))


def reach_of(texts: Sequence[str]) -> float:
    """How far in mm the texts of marks reach off their line."""
    return max((width_of(each, SMALL) + GAP for each in texts), default=0.0)


def best_name(
    paper: Paper,
    lines: Lines,
    track: Track,
    away: float,
    reach: float,
    texts: tuple[str, str],
    extra_cost: ExtraCost = no_extra_cost,
) -> tuple[Words | None, float]:
    """The best place for a run's id and length, and what it costs.

    Places are tried in turn until one costs less than CLEAN: by the run's line, for the id with the
    length and then for the id alone; past the ends of the line; at last anywhere, with a line that
    leads to the words. texts: the id with the length, and the id alone where marks tell the length,
    else "". extra_cost: what that leading line costs; nothing while the run may still be measured
    elsewhere.
    """
    scale, (full, few) = paper.scale, texts
    own = line_of(scale, track, away)
    is_own = lines.owned_by(own)
    tries = [_inner_places(scale, track, away, full), _past_ends(scale, track, away, full)]
    if few:
        tries.insert(1, _inner_places(scale, track, away, few))
    found: list[tuple[Words | None, float]] = [(None, math.inf)]
    for places in tries:
        if found[-1][1] >= CLEAN:
            found.append(paper.best(filter(is_own, places)))
    if found[-1][1] >= CLEAN:
        further = _further(scale, track, away, reach, full)
        words, cost = paper.best(filter(lines.free_of(own), further), extra_cost)
        found.append((words, cost + LED))
    return min(found, key=lambda each: each[1])


def cost_of_leader(paper: Paper, own: Piece) -> ExtraCost:
    """A cost for words: that of the line that leads to them from the run's own line."""

    def cost(words: Words) -> int:
        middle = middle_of(words, paper.scale)
        return paper.cost_to_lead(_foot(own, middle), middle)

    return cost


def _foot(own: Piece, at: Point) -> Point:
    """The point of a line that is nearest to another point."""
    (x0, y0), (x1, y1) = own
    dx, dy = x1 - x0, y1 - y0
    part = ((at[0] - x0) * dx + (at[1] - y0) * dy) / (dx * dx + dy * dy)
    return between(*own, min(1.0, max(0.0, part)))


def line_of(scale: Scale, track: Track, away: float) -> tuple[Point, Point]:
    """The ends of the line that a run is measured on, `away` mm off the run."""
    out, points = scale.of_paper(away), track.points
    return track.off(points[0], 0.0, out), track.off(points[-1], 0.0, out)


def _inner_places(scale: Scale, track: Track, away: float, text: str) -> Iterator[Words]:
    """Places between the deck and the line, in each bay that is long enough, the middle first."""
    wide = scale.of_paper(width_of(text, SMALL) + 0.3)
    middles = sorted(
        (between(a, b) for a, b in pairwise(track.points) if math.dist(a, b) >= wide),
        key=lambda point: math.dist(point, track.middle),
    )
    for point in middles:
        place = track.off(point, 0.0, scale.of_paper(away))
        yield along(scale, place, track.along, track.out * (SMALL / 2 + 0.8), text)


def _past_ends(scale: Scale, track: Track, away: float, text: str) -> Iterator[Words]:
    """Places past the ends of the line; on a flight past its foot alone, as its head is the deck.

    By an upright line, level words come first, beside the line too: a page is wider than it is
    high.
    """
    ends, label = [(track.points[-1], 1.0)], Label(text, layer="dimension")
    if track.run.flight is None:
        ends.append((track.points[0], -1.0))
    out, (ux, uy) = scale.of_paper(away), track.along
    if abs(uy) > abs(ux):
        for point, sense in ends:
            at = track.off(point, 0.0, out)
            yield beside(scale, Aside(at, (ux * sense, uy * sense), GAP), label)
        for pair in pairwise(track.points):
            at = track.off(between(*pair), 0.0, out)
            yield beside(scale, Aside(at, track.outward, GAP), label)
    past = scale.of_paper(2 * TICK)
    for point, sense in ends:
        yield square_to(scale, track.off(point, sense * past, out), (ux * sense, uy * sense), text)


def _further(scale: Scale, track: Track, away: float, reach: float, text: str) -> Iterator[Words]:
    """Places outside of all marks, and at last wherever there is room.

    reach: how far the texts of marks reach off the line, in mm.
    """
    mm = scale.of_paper
    outer = away + max(GAP, reach) + SMALL / 2 + 0.8
    for row in range(OUTER):
        place = track.off(track.middle, 0.0, mm(outer + row * ROW))
        yield along(scale, place, track.along, 0.0, text)
    middle, label = track.off(track.middle, 0.0, mm(away)), Label(text, layer="dimension")
    yield beside(scale, Aside(middle, track.outward, max(GAP, reach)), label)
    yield from around(scale, Aside(middle, track.outward, 1.0), label)
