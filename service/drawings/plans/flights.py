"""Drawings, plans: flights, tread by tread, and which way is down."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.drawings.marks import Stroke, line
from service.drawings.plans.paper import Paper
from service.drawings.plans.placed import HEAD, Course
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
