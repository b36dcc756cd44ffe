"""Drawings, plans: flights, tread by tread, and which way is down.

A flight that comes down to a level from another one, a landing, is drawn lightly there. It is
measured on the plan of the level that it goes down from; here its ids stand in brackets.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from service.core.measure import Point
from service.core.records.layout import Post
from service.drawings.marks import Stroke, line
from service.drawings.plans.paper import MEASURED, SOLID, Paper
from service.drawings.plans.placed import HEAD, Course
from service.drawings.plans.scene import Scene
from service.drawings.scales import Scale

RAIL_IN: Final = 1.2
"""In mm, from a flight's clear side to where its handrail is drawn, which is no measure of it."""


def draw_flight(paper: Paper, course: Course) -> None:
    """Draw the sides of a flight, its nosings, its handrails and the arrow down."""
    paper.fill(course.corners(course.flight.total_going))
    for mark in steps_of(course):
        paper.draw(mark)
    inset = paper.scale.of_paper(RAIL_IN) / course.flight.clear_width
    for rail in course.flight.handrails:
        side = inset if rail.hand == "left" else 1.0 - inset
        paper.draw(line("handrail", course.at(side, 0.0), course.foot(side)))
    for mark in _arrow(paper.scale, course):
        paper.draw(mark)


def steps_of(course: Course) -> Iterator[Stroke]:
    """The sides of the clear width, and a line at each nosing."""
    flight = course.flight
    for j in range(flight.risers):
        u = j * flight.going
        yield line("stair", course.at(0.0, u), course.at(1.0, u))
    if course.flight.total_going:
        for side in (0.0, 1.0):
            yield line("stair", course.at(side, 0.0), course.foot(side))


def _arrow(scale: Scale, course: Course) -> Iterator[Stroke]:
    """The arrow from the deck's edge to the lowest nosing, or a little way if that is the edge."""
    head = scale.of_paper(HEAD)
    tip = course.reach(scale)
    wing = head / 4 / course.flight.clear_width
    yield line("stair", course.at(0.5, 0.0), course.at(0.5, tip))
    corners = (
        course.at(0.5, tip),
        course.at(0.5 - wing, tip - head),
        course.at(0.5 + wing, tip - head),
    )
    yield Stroke("stair", corners, closed=True)


@dataclass(frozen=True, slots=True)
class Landing:
    """A flight as drawn on the level that it leads to.

    above: the level that it goes down from. posts: its own, without those at its head. guards:
    where each begins and ends.
    """

    course: Course
    above: str
    posts: tuple[Post, ...]
    guards: tuple[tuple[Point, Point], ...]

    @property
    def corners(self) -> list[Point]:
        """Points that together span the flight and its posts."""
        bases = [corner for post in self.posts for corner in post.base]
        return [*self.course.corners(self.course.flight.total_going), *bases]


def landings_of(scenes: Sequence[Scene]) -> dict[str, list[Landing]]:
    """The flights that lead to each level, by the level's id."""
    found: dict[str, list[Landing]] = defaultdict(list)
    for scene in scenes:
        for course in scene.courses:
            flight = course.flight
            if flight.to_level is not None:
                posts = tuple(post for post in scene.posts.values() if post.flight == flight.id)
                own = [each for each in scene.tracks.values() if each.run.flight == flight.id]
                guards = tuple((track.points[0], track.points[-1]) for track in own)
                found[flight.to_level].append(Landing(course, scene.level.id, posts, guards))
    return found


def draw_landing(paper: Paper, landing: Landing) -> None:
    """Draw the sides, nosings, guards and post bases of a flight, all dashed."""
    course = landing.course
    paper.fill(course.corners(course.flight.total_going))
    for mark in _marks(landing):
        paper.draw(mark, SOLID if mark.layer == "base" else MEASURED)


def _marks(landing: Landing) -> Iterator[Stroke]:
    for mark in steps_of(landing.course):
        yield replace(mark, pattern="dashed")
    for guard in landing.guards:
        yield line("rail", *guard, "dashed")
    for post in landing.posts:
        yield Stroke("base", post.base, closed=True, pattern="dashed")
