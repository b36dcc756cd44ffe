"""Rules: openings by figures that hold for some guards, or some of a guard, only, by the code: the
upper band of a guard, a guard that is not required, and the gap under the rail of a flight."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import Final

from service.core.measure import Length
from service.core.records.code import Figure, Here
from service.core.records.deck import Drops
from service.core.records.layout import FlightBuilt
from service.core.records.seen import GapSeen
from service.rules.alike import LeafKind, raked_kinds
from service.rules.askings import printed, sphere_asks
from service.rules.checks.openings import (
    TRIANGLE,
    Gapped,
    gaps_of,
    gaps_under,
    level_gaps,
    over_decks,
    triangles_of,
)
from service.rules.code_limits import Criterion, Reading, at_flight, by_figure, by_kinds, scope_of
from service.rules.finding import Finding, Verdict
from service.rules.job import Job, Place
from service.rules.saying import Saying, say_by_figure, say_unstated, tell_alike

_NO_FRAME: Final = ("open", "past", "round")
"""Ways past the end of a guard, along a deck's edge: no head is caught where there is no frame."""
_SPARED: Final = "opening_not_required"


def opening_size_upper(job: Job) -> Iterator[Saying]:
    """The gaps of guards that reach into the upper band, which run through it from below."""
    name = "opening_sphere_upper"
    begins = job.stated("opening_sphere_upper_from")
    if job.code is not None and job.figure(name) is None:
        return
    read = partial(gaps_of, job) if begins is None else partial(_above, job, begins.number())
    criterion = Criterion("opening_size_upper", name, sphere_asks)
    yield from by_kinds(job, criterion, level_gaps(job), read)


def _above(job: Job, from_: Length, kind: Gapped) -> list[Reading]:
    """The gaps of a bay or a leaf that reaches above the height from which the band runs."""
    if isinstance(kind, GapSeen):
        return []
    top = kind.gate.top if isinstance(kind, LeafKind) else kind.bay.height
    ending = f", above {job.text(from_)} as below it"
    gaps = gaps_of(job, kind) if top > from_ else []
    return [gap._replace(what=gap.what + ending) for gap in gaps]


def opening_not_required(job: Job) -> Iterator[Saying]:
    """The gaps of guards that the code does not require: small or wide, nothing between, where
    a head is caught."""
    small, wide = job.stated("opening_not_required_guard"), job.stated(_SPARED + "_guard_wide")
    if job.code is None:
        missing = say_unstated(job, _SPARED, "opening_not_required_guard")
        yield missing, [place for place, _ in _all_gaps(job)]
        return
    if small is None:
        return

    def tell(kind: tuple[str, Length, Drops]) -> Finding | None:
        what, actual, drops = kind
        required = scope_of(job, drops).binds
        return None if required else _spared(job, small, wide, what, actual)

    kinds = ((place, (gap.what, round(gap.actual, 6), gap.drops)) for place, gap in _all_gaps(job))
    yield from tell_alike(kinds, tell)
    triangles = [each for each in triangles_of(job) if not scope_of(job, each[1].drops).binds]
    for place, (_, actual, drops, here) in triangles:
        yield _triangle(job, small, wide, round(actual, 6), drops, here), [place]


def _all_gaps(job: Job) -> Iterator[tuple[Place, Reading]]:
    """The gaps of level guards but for those past their ends, those under them, and those of
    flights."""
    for place, each in level_gaps(job):
        if not isinstance(each, GapSeen) or each.kind not in _NO_FRAME:
            yield from ((place, gap) for gap in gaps_of(job, each))
    for place, over in over_decks(job):
        yield from ((place, gap) for gap in gaps_under(job, over))
    for place, kind in raked_kinds(job):
        yield from ((place, gap) for gap in gaps_of(job, kind))


def _spared(job: Job, small: Figure, wide: Figure | None, what: str, actual: Length) -> Finding:
    """One gap: kept by the lesser figure or by the greater."""
    least = small.number()
    sentence = f"{what.format(job.text(actual, least))}, in a guard that is not required here"
    asks = f"{sphere_asks(job, small, actual)} {job.clause(small)}"
    keeps, decides = small.met_by(actual), small
    if wide is not None and not keeps:
        most = printed(job, wide)
        asks += f", unless one of {most} passes too {job.clause(wide)}"
        if wide.met_by(actual):
            keeps, decides = True, wide
            asks = f"a {most} sphere passes, so that no head is caught {job.clause(wide)}"
    verdict: Verdict = "pass" if keeps else "violation"
    return say_by_figure(_SPARED, verdict, f"{sentence}; {asks}", decides, actual)


def _triangle(
    job: Job, small: Figure, wide: Figure | None, actual: Length, drops: Drops, here: Here
) -> Finding:
    """The triangle under the bottom rail of a flight. What the code lets through there in a guard
    that it requires is not held against one that it does not."""
    found = _spared(job, small, wide, TRIANGLE, actual)
    relief = job.figure("stair_triangle_sphere")
    lets = None if relief is None else relief.at(drops, here)
    if found.result == "pass" or lets is None or not lets.met_by(actual):
        return found
    least = small.number()
    sentence = (
        f"{TRIANGLE.format(job.text(actual, least))}, in a guard that is not required here; under "
        f"a required one it may pass {job.clause(lets)}, but of openings in others a "
        f"{printed(job, small)} sphere must not pass {job.clause(small)}: settle with the local "
        "authority which holds"
    )
    return say_by_figure(_SPARED, "not_checked", sentence, small, actual, [lets])


def stair_gap_under_rail(job: Job) -> Iterator[Saying]:
    """The gap between the line of nosings and the bottom rail, square to the slope."""
    name = "stair_gap_sphere"
    if job.code is not None and job.figure(name) is None:
        return
    what = "the gap between the line of nosings and the bottom rail, square to the slope, is {}"
    lift = job.kit.stair_bottom_gap or 0.0
    readings = (
        at_flight(flight, what, _square(lift, flight))
        for flight in job.layout.flights
        if flight.triangle is not None
    )
    yield from by_figure(job, Criterion("stair_gap_under_rail", name, sphere_asks), readings)


def _square(lift: Length, flight: FlightBuilt) -> Length:
    """A plumb length square to a flight's slope."""
    return lift * math.cos(math.radians(flight.pitch))
