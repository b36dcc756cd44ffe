"""Drawings, plans: where each run lies, from mark to mark."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from service.core.measure import TOUCH, Length, Point, toward
from service.core.records.layout import Bay, Run
from service.drawings.plans.scene import Scene
from service.drawings.points import between, moved
from service.drawings.scales import Scale

TIGHT: Final = 5.0
"""In mm on paper, the shortest bay that has room for its id and its post's, if for nothing else."""
NARROW: Final = 10.0
"""In mm on paper, the shortest bay that has room for both ids next to each other."""


@dataclass(frozen=True, slots=True)
class Track:
    """A run in plan.

    points: of its marks, in order. along: unit vector. out: 1 where the run's outer side is to the
    right of the way along it, -1 where it is to the left.
    """

    run: Run
    points: tuple[Point, ...]
    along: Point
    out: float = 1.0

    def off(self, point: Point, along: Length, away: Length) -> Point:
        """A point moved along the run, and away from the deck or the flight."""
        return moved(point, self.along, along, away * self.out)

    @property
    def middle(self) -> Point:
        """The point half-way along the run."""
        (x0, y0), (x1, y1) = self.points[0], self.points[-1]
        return (x0 + x1) / 2, (y0 + y1) / 2

    @property
    def outward(self) -> Point:
        """The unit vector to the run's outer side."""
        return self.along[1] * self.out, -self.along[0] * self.out


def tracks_of(scene: Scene) -> dict[str, Track]:
    """The track of each run of a level and its flights, by id; runs without length are left out."""
    found = {}
    for run in scene.runs.values():
        if math.dist(*run.ends) <= TOUCH:
            continue
        points = tuple(between(*run.ends, mark / run.length) for mark in run.marks)
        found[run.id] = Track(run, points, toward(*run.ends), _out(scene, run))
    return found


def bay_ends(scene: Scene, track: Track, bay: Bay) -> tuple[Point, Point]:
    """The centres of a bay's posts, or the wall faces that it meets."""
    start, end = scene.at(bay.start), scene.at(bay.end)
    return start or track.points[0], end or track.points[-1]


def is_tight(tracks: Mapping[str, Track], scale: Scale) -> bool:
    """Whether nine of ten bays are so short on paper that their ids find no room."""
    return _large_bay(tracks, scale) < TIGHT


def is_narrow(tracks: Mapping[str, Track], scale: Scale) -> bool:
    """Whether nine of ten bays are so short on paper that their ids stand away from them.

    There they stand among the marks of other bays.
    """
    return _large_bay(tracks, scale) < NARROW


def _large_bay(tracks: Mapping[str, Track], scale: Scale) -> float:
    """Length in mm on paper that nine of ten bays do not exceed; infinite where there is no bay."""
    bays = sorted(math.dist(*pair) for track in tracks.values() for pair in pairwise(track.points))
    return bays[len(bays) * 9 // 10] * scale.per_unit if bays else math.inf


def _out(scene: Scene, run: Run) -> float:
    """1 where a run's outer side is to its right, as on a level, -1 where it is to its left.

    On a flight it is the side away from the flight's other guard.
    """
    flight = next((each for each in scene.flights if each.id == run.flight), None)
    if flight is None:
        return 1.0
    # Runs go from head to foot, so what is the left side as seen going up lies to the right.
    return 1.0 if _hand(scene, run, flight.opening) == "left" else -1.0


def _hand(scene: Scene, run: Run, place: str) -> str:
    opening = next(each for each in scene.openings if each.place == place)
    return "left" if run.start == opening.start else "right"
