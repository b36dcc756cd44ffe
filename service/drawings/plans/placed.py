"""Drawings, plans: where runs, openings and flights lie in plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from service.core.measure import Length, Point, toward
from service.core.records.layout import Bay, FlightBuilt, GateBuilt, OpeningBuilt, Run
from service.drawings.points import between, moved
from service.drawings.scales import Scale

HEAD: Final = 2.2
"""In mm, the length of the head of the arrow down a flight."""


@dataclass(frozen=True, slots=True)
class Track:
    """A run in plan.

    bays: in their order along it. points: of its marks, in order. along: unit vector. out: 1 where
    the run's outer side is to the right of the way along it, -1 where it is to the left.
    """

    run: Run
    bays: tuple[Bay, ...]
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


def track_of(run: Run, bays: tuple[Bay, ...], head: OpeningBuilt | None) -> Track:
    """The track of a run. head: the opening at the head of its flight; None on a level.

    Off a level the outer side is to the right. On a flight it is away from the flight's other
    guard: runs go from head to foot, so the left side as seen going up has it to the right.
    """
    points = tuple(between(*run.ends, mark / run.length) for mark in run.marks)
    out = 1.0 if head is None or run.start == head.start else -1.0
    return Track(run, bays, points, toward(*run.ends), out)


@dataclass(frozen=True, slots=True)
class PlacedOpening:
    """An opening in plan. out: the unit vector off the deck. gate: None where it has none."""

    opening: OpeningBuilt
    out: Point
    gate: GateBuilt | None

    @property
    def middle(self) -> Point:
        """The point half-way along the clear width."""
        return between(*self.opening.ends)

    def ends_off(self, away: Length) -> tuple[Point, Point]:
        """The ends of the clear width, moved away from the deck."""
        start, end = self.opening.ends
        return moved(start, self.out, away), moved(end, self.out, away)


def placed_opening(opening: OpeningBuilt, gate: GateBuilt | None) -> PlacedOpening:
    """An opening, whose ends run counter-clockwise round its deck, with the way off the deck."""
    ux, uy = toward(*opening.ends)
    return PlacedOpening(opening, (uy, -ux), gate)


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

    def corners(self, until: Length) -> tuple[Point, Point, Point, Point]:
        """Its head and, `until` down from the deck's edge, its other end, as a closed shape."""
        return *self.head, self.at(1.0, until), self.at(0.0, until)

    def reach(self, scale: Scale) -> Length:
        """From the deck's edge to the tip of the flight's arrow.

        That is the total going, or a little way where the flight has none.
        """
        return max(self.flight.total_going, scale.of_paper(2 * HEAD))


def course_of(flight: FlightBuilt, placed: PlacedOpening, setback: Length) -> Course:
    """The course of a flight from its opening. setback: from the deck's edge to the railing line.

    Going up one faces the deck, so left is the opening's start counter-clockwise.
    """
    return Course(flight, placed.ends_off(setback), placed.out)
