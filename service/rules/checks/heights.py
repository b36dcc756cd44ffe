"""Rules: how high guards are, those of levels and of flights, what stands in their place, and what
is beside them to stand on, by the code."""

from __future__ import annotations

from collections.abc import Iterator

from service.core.finishing.seats import BESIDE
from service.core.measure import Length
from service.core.records.code import Figure
from service.rules.alike import GuardKind, LeafKind, level_guards
from service.rules.checks.guards import makes_no_difference
from service.rules.code_limits import Criterion, Reading, at_flight, by_figure, by_kinds, verbatim
from service.rules.figure_words import bound_asks
from service.rules.job import Job, Place
from service.rules.saying import Saying


def guard_height(job: Job) -> Iterator[Saying]:
    """Height of each level bay's guard, and of each gate's leaf, against the code's."""

    def read(kind: GuardKind) -> list[Reading]:
        what = "gate" if isinstance(kind, LeafKind) else "guard"
        return [Reading(f"the {what} is {{}} high", kind.top, kind.drops, kind.here)]

    criterion = Criterion("guard_height", "guard_height", bound_asks)
    yield from by_kinds(job, criterion, level_guards(job), read)


def stair_guard_height(job: Job) -> Iterator[Saying]:
    """Height of each guarded flight's guard, plumb above the line of nosings, by the code."""
    what = "the guard of the flight is {} high above the nosings"
    readings = (
        at_flight(flight, what, flight.height) for flight in job.layout.flights if flight.guards
    )
    criterion = Criterion("stair_guard_height", "guard_height_stair", bound_asks)
    yield from by_figure(job, criterion, readings)


def obstruction_height(job: Job) -> Iterator[Saying]:
    """Height of each obstruction in the railing's place against the code's for a guard.

    Left out are obstructions whose height is not given, and those whose place may stay open.
    """
    criterion = Criterion("obstruction_height", "guard_height", bound_asks)
    yield from by_figure(job, criterion, _heights_in_place(job))


def _heights_in_place(job: Job) -> Iterator[tuple[Place, Reading]]:
    for seen in job.layout.stand_ins:
        if seen.height is None or (job.code and makes_no_difference(job, seen)):
            continue
        what = f"{verbatim(seen.name)}, in the railing's place, is {{}} high"
        yield (seen.place,), Reading(what, seen.height, seen.drops)


def guard_over_seat(job: Job) -> Iterator[Saying]:
    """Height of level guards over what a person can stand on beside them, against the code's.

    Too little is a warning: the codes measure from the walking surface.
    """
    criterion = Criterion("guard_over_seat", "guard_height", _over_seat_asks, fails_as="warning")
    yield from by_figure(job, criterion, _heights_over_seats(job))


def _heights_over_seats(job: Job) -> Iterator[tuple[Place, Reading]]:
    near, guards = job.text(BESIDE[job.deck.unit]), dict(level_guards(job))
    for seen in job.layout.seats:
        kind = guards[seen.place,]
        stands = f"{job.text(seen.height)} high, stands within {near} of the guard"
        what = f"{verbatim(seen.name)}, {stands}, which is {{}} high over it"
        yield (seen.place,), Reading(what, kind.top - seen.height, kind.drops, kind.here)


def _over_seat_asks(job: Job, figure: Figure, actual: Length) -> str:
    asks = bound_asks(job, figure, actual)
    if figure.met_by(actual):
        return asks
    return (
        "a person can stand on it, and some local codes measure from there: move it further off or "
        f"raise the guard; {asks}"
    )
