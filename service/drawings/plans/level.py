"""Drawings, plans: all that is drawn of a level, at whichever scale its paper has."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.core.measure import Point
from service.drawings.plans.edges import measure_edges
from service.drawings.plans.flags import Concern, Flagged, concerning, draw_flags, places_of
from service.drawings.plans.flight_names import name_flights, name_landing
from service.drawings.plans.flights import Landing, draw_flight, draw_landing
from service.drawings.plans.measures import measure_runs
from service.drawings.plans.openings import draw_leaves, name_openings
from service.drawings.plans.paper import LEADER, Paper
from service.drawings.plans.railing import draw_railing, name_bays, name_posts
from service.drawings.plans.scene import Scene
from service.drawings.plans.surface import draw_ground, name_ground
from service.drawings.plans.timber import draw_timber, name_joists
from service.drawings.points import Rect, extent


@dataclass(frozen=True, slots=True)
class DrawnLevel:
    """A level with all that is drawn of it.

    places: where everything lies that a finding may name. concerns: what findings say of the level,
    and where. landings: flights that come down to it.
    """

    scene: Scene
    places: Mapping[str, Point]
    concerns: list[Concern]
    landings: Sequence[Landing] = ()

    @property
    def extent(self) -> Rect:
        """The least upright rectangle around everything that must be seen."""
        points = list(self.scene.outline)
        points += [corner for post in self.scene.posts.values() for corner in post.base]
        points += [corner for landing in self.landings for corner in landing.corners]
        return extent(points + [c.foot(side) for c in self.scene.courses for side in (0.0, 1.0)])


def level_of(scene: Scene, flagged: list[Flagged], landings: Sequence[Landing]) -> DrawnLevel:
    """A level to be drawn.

    flagged: what fails, on any level; landings: flights that lead to this one.
    """
    places = places_of(scene)
    return DrawnLevel(scene, places, concerning(flagged, scene, places), landings)


def draw_level(paper: Paper, level: DrawnLevel) -> None:
    """Draw what is built, without words."""
    draw_timber(paper, level.scene)
    draw_ground(paper, level.scene)
    for landing in level.landings:
        draw_landing(paper, landing)
    for course in level.scene.courses:
        draw_flight(paper, course)
    draw_railing(paper, level.scene)
    draw_leaves(paper, level.scene)


def measure_outline(paper: Paper, level: DrawnLevel) -> None:
    """Write each edge's number, and its length where there is room, and flags: nothing else."""
    measure_edges(paper, level.scene, {})
    draw_flags(paper, level.concerns, level.places)


def measure_level(paper: Paper, level: DrawnLevel) -> list[str]:
    """Draw what is built, and measure it.

    Returns what is to be said beside the plan of runs, flights and edges whose words found no room.
    """
    scene = level.scene
    draw_level(paper, level)
    taken, notes = measure_runs(paper, scene)
    of_flights = name_flights(paper, scene)
    notes += [*measure_edges(paper, scene, taken), *of_flights]
    for leader in paper.lines.leaders():
        paper.draw(leader, LEADER)
    return notes


def name_level(paper: Paper, level: DrawnLevel) -> None:
    """Write all other names: openings, posts, bays, obstructions, joists, landings and flags."""
    name_openings(paper, level.scene)
    name_posts(paper, level.scene)
    name_bays(paper, level.scene)
    name_ground(paper, level.scene)
    name_joists(paper, level.scene)
    for landing in level.landings:
        name_landing(paper, landing)
    draw_flags(paper, level.concerns, level.places)
