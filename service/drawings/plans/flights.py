"""Drawings, plans: flights, tread by tread, and which way is down."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from service.core.measure import Length, Point
from service.core.records.layout import FlightBuilt
from service.drawings.marks import Stroke, line
from service.drawings.plans.openings import PlacedOpening
from service.drawings.plans.paper import Paper
from service.drawings.plans.scene import Scene
from service.drawings.points import between, moved
from service.drawings.scales import Scale

HEAD: Final = 2.2
"""In mm, the length of an arrow's head."""
RAIL_IN: Final = 1.2
"""In mm, from a flight's clear side to where its handrail is drawn, which is no measure of it."""


@dataclass(frozen=True, slots=True)
class Course:
    """A flight in plan.

    head: the ends of its clear width at the deck's edge, its left side as seen going up first.
    down: the unit vector down the flight.
    """

    flight: FlightBuilt
    head: tuple[Point, Point]
    down: Point

    def at(self, side: float, u: Length) -> Point:
        """A point of the flight. side: from 0 (left) to 1 (right); u: down from the deck's edge."""
        return moved(between(*self.head, side), self.down, u)

    def foot(self, side: float) -> Point:
        """A point of the flight at its lowest nosing. side: from 0 (left) to 1 (right)."""
        return self.at(side, self.flight.total_going)

    def reach(self, scale: Scale) -> Length:
        """From the deck's edge to the tip of the flight's arrow.

        That is the total going, or a little way where the flight has none.
        """
        return max(self.flight.total_going, scale.of_paper(2 * HEAD))


def courses_of(scene: Scene, openings: Mapping[str, PlacedOpening]) -> list[Course]:
    """The course of every flight that goes down from a level."""
    setback = scene.subject.kit.post.setback
    found = []
    for flight in scene.flights:
        placed = openings[flight.opening]
        # Going up one faces the deck, so left is the opening's start counter-clockwise.
        found.append(Course(flight, placed.ends_off(setback), placed.out))
    return found


def draw_flight(paper: Paper, course: Course) -> None:
    """Draw the sides of a flight, its nosings, its handrails and the arrow down."""
    foot = [course.foot(side) for side in (1.0, 0.0)]
    paper.fill([*course.head, *foot])
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
