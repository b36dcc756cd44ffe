"""Drawings, plans: flights, tread by tread, and which way is down."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from service.core.measure import Length, Point, tape_text
from service.core.records.layout import FlightBuilt
from service.drawings.marks import SMALL, Stroke, Words, clipped, line
from service.drawings.plans.openings import PlacedOpening
from service.drawings.plans.paper import LATER, SOLID, Paper
from service.drawings.plans.placing import around
from service.drawings.plans.scene import Scene
from service.drawings.plans.tracks import between
from service.drawings.scales import Scale

HEAD: Final = 2.2
"""Length in mm of an arrow's head."""
RAIL_IN: Final = 1.2
"""In mm, from a flight's clear side to where its handrail is drawn, which is no measure of it."""
NAME: Final = 30.0
ROW: Final = 2.9


@dataclass(frozen=True, slots=True)
class Course:
    """A flight in plan. head: the ends of its clear width at the deck's edge, its left side as seen
    going up first; down: unit vector."""

    flight: FlightBuilt
    head: tuple[Point, Point]
    down: Point

    def at(self, side: float, u: Length) -> Point:
        """A point of it: side from 0 (left) to 1 (right), u down from the deck's edge."""
        x, y = between(*self.head, side)
        return x + self.down[0] * u, y + self.down[1] * u

    @property
    def run(self) -> Length:
        """From the deck's edge to the lowest nosing."""
        return (self.flight.risers - 1) * self.flight.going


def courses_of(scene: Scene, openings: Mapping[str, PlacedOpening]) -> list[Course]:
    """Every flight that goes down from a level."""
    setback = scene.subject.kit.post.setback
    found = []
    for flight in scene.flights:
        placed = openings.get(flight.opening)
        if placed is not None:
            # Going up one faces the deck: left is the opening's start counter-clockwise.
            head = placed.off(placed.start, setback), placed.off(placed.end, setback)
            found.append(Course(flight, head, placed.out))
    return found


def draw_flight(paper: Paper, course: Course) -> None:
    """Sides, nosings, handrails and the arrow down."""
    foot = [course.at(side, course.run) for side in (1.0, 0.0)]
    paper.fill([*course.head, *foot])
    for mark in _steps(course):
        paper.draw(mark)
    inset = paper.scale.of_paper(RAIL_IN) / course.flight.clear_width
    for rail in course.flight.handrails:
        side = inset if rail.hand == "left" else 1.0 - inset
        paper.draw(line("handrail", course.at(side, 0.0), course.at(side, course.run)))
    for mark in _arrow(paper.scale, course):
        paper.draw(mark)


def name_flight(paper: Paper, scene: Scene, course: Course) -> str:
    """Beyond its foot, or beside it: what it is, how it rises, where it leads. Yields that where
    only its name finds room."""
    flight, deck = course.flight, scene.subject.deck
    name = clipped(flight.id, SMALL, NAME)
    going = tape_text(flight.going, deck.unit, deck.step)
    rows = [
        f"{name}: down, {flight.risers} riser{'s' if flight.risers > 1 else ''}",
        f"rise {tape_text(flight.rise, deck.unit, deck.step)}, going {going}",
    ]
    if flight.to_level is not None:
        rows.append(f"to {clipped(flight.to_level, SMALL, NAME)}")
    foot = course.at(0.5, max(course.run, paper.scale.of_paper(2 * HEAD)))
    if _write_rows(paper, foot, course.down, rows):
        return ""
    paper.write(around(paper.scale, course.at(0.5, course.run / 2), course.down, 0.0, name))
    return ", ".join(rows)


def _write_rows(paper: Paper, foot: Point, down: Point, rows: list[str]) -> bool:
    """Rows of words off a point, the longest of which finds the place of all; not where each place
    has other words already. Yields whether they are written."""
    deep = ROW * (len(rows) - 1)
    longest = max(rows, key=len)
    best: list[Words] = []
    least = math.inf
    for i, lead in enumerate(around(paper.scale, foot, down, 1.2, longest)):
        # The block hangs below its first row: where it lies above, lift it by its depth.
        rise = deep / 2 + max(-1.0, min(1.0, 3 * down[1])) * deep / 2
        x, y = lead.at
        block = [
            Words("words", (x, y + paper.scale.of_paper(rise - j * ROW)), row, SMALL)
            for j, row in enumerate(rows)
        ]
        if i * LATER >= least:
            break
        cost = sum(paper.cost(each) for each in block) + i * LATER
        if cost < least:
            best, least = block, cost
    if least >= SOLID:
        return False
    for words in best:
        paper.draw(words)
    return True


def _steps(course: Course) -> Iterator[Stroke]:
    """The sides of the clear width, and a line at each nosing."""
    flight = course.flight
    for j in range(flight.risers):
        u = j * flight.going
        yield line("stair", course.at(0.0, u), course.at(1.0, u))
    if course.run:
        for side in (0.0, 1.0):
            yield line("stair", course.at(side, 0.0), course.at(side, course.run))


def _arrow(scale: Scale, course: Course) -> Iterator[Stroke]:
    """From the deck's edge to the lowest nosing, or a little way where that is the edge."""
    head = scale.of_paper(HEAD)
    tip = max(course.run, 2 * head)
    wing = head / 4 / course.flight.clear_width
    yield line("stair", course.at(0.5, 0.0), course.at(0.5, tip))
    corners = (
        course.at(0.5, tip),
        course.at(0.5 - wing, tip - head),
        course.at(0.5 + wing, tip - head),
    )
    yield Stroke("stair", corners, closed=True)
