"""Drawings, plans: places for a run's id and length, and how far out its marks take room."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from service.drawings.marks import SMALL, Words, width_of
from service.drawings.plans.placing import along, around, beside
from service.drawings.plans.tracks import Track, between
from service.drawings.scales import Scale

TICK: Final = 0.9
"""Half as long in mm, along and across, as the slash at a mark."""
GAP: Final = 1.2
"""In mm, from a line to the words at its end."""
ROW: Final = 3.0
"""In mm, what a row of words takes."""
OUTER: Final = 3
"""Places outside its marks that a run's length is tried at."""
FEW: Final = 2.0
"""In mm, from a run to its id where it is not measured."""


def few_places(scale: Scale, track: Track, names: str) -> Iterator[Words]:
    """Places for a run's id alone."""
    return around(scale, track.middle, track.outward, FEW, names, layer="dimension")


def reach_of(texts: Sequence[str]) -> float:
    """How far in mm the texts of marks reach off their line."""
    return max((width_of(each, SMALL) + GAP for each in texts), default=0.0)


def names_places(
    scale: Scale, track: Track, away: float, reach: float, text: str
) -> Iterator[Words]:
    """Places for a run's id and length, the best first."""
    yield from strip_places(scale, track, away, text)
    yield from _past(scale, track, away, reach, text)


def strip_places(scale: Scale, track: Track, away: float, text: str) -> Iterator[Words]:
    """Places between the deck and the line, in each bay that is wide enough, from the middle."""
    wide = scale.of_paper(width_of(text, SMALL) + 0.3)
    middles = sorted(
        (between(a, b) for a, b in pairwise(track.points) if math.dist(a, b) >= wide),
        key=lambda point: math.dist(point, track.middle),
    )
    for point in middles:
        place = track.off(point, 0.0, scale.of_paper(away))
        yield along(scale, place, track.along, track.out * (SMALL / 2 + 0.8), text)


def _past(scale: Scale, track: Track, away: float, reach: float, text: str) -> Iterator[Words]:
    """Places outside of all marks, past an end of the line, and at last wherever there is room.
    reach: of the marks' texts, in mm off the line."""
    mm, ahead = scale.of_paper, track.along
    outer = away + max(GAP, reach) + SMALL / 2 + 0.8
    for row in range(OUTER):
        place = track.off(track.middle, 0.0, mm(outer + row * ROW))
        yield along(scale, place, ahead, 0.0, text)
    middle = track.off(track.middle, 0.0, mm(away))
    yield beside(scale, middle, track.outward, max(GAP, reach), text, layer="dimension")
    past = mm(width_of(text, SMALL) / 2 + 2 * TICK)
    for point, step in ((track.points[-1], past), (track.points[0], -past)):
        yield along(scale, track.off(point, step, mm(away)), ahead, 0.0, text)
    yield from around(scale, middle, track.outward, 1.0, text, layer="dimension")
