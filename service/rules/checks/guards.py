"""Rules: where a guard must stand, and how high, by the code."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final, NamedTuple

from service.core.measure import Length
from service.core.records.code import Code, Figure
from service.core.records.deck import HANDS, Drops
from service.core.records.layout import FlightBuilt
from service.rules.alike import BayKind, LeafKind, level_guards
from service.rules.askings import bound_asks, drops_text
from service.rules.finding import Finding, Result
from service.rules.ruling import Ruling, guard_needed
from service.rules.verdict import (
    Job,
    Place,
    Reading,
    Saying,
    by_kinds,
    say_by_figure,
    say_unstated,
    tell_alike,
)

_OPEN: Final = {
    "open": "no railing",
    "passage": "a passage without a guard",
    "stair": "an opening for a flight that is not given",
    "left": "no guard on the left, as seen going up",
    "right": "no guard on the right, as seen going up",
    "both": "no guard on either side",
}
_FLIGHT_SIDES: Final = ("left", "right", "both")
_UNLESS: Final = {
    **dict.fromkeys(_FLIGHT_SIDES, ", unless a wall stands there"),
    "stair": ", unless its flight goes down there: give that in stairs",
}


class Exposure(NamedTuple):
    """What is at an edge, a stretch of one, a passage or the sides of a flight.

    kind: `guard`, or a key of _OPEN. stretch: how long a part of its edge it is, None of a whole.
    """

    kind: str
    drops: Drops
    stretch: Length | None = None


def guard_required(job: Job) -> Iterator[Saying]:
    """Open edges, passages and sides of flights over the drop at which a guard is required.

    A guarded edge keeps the rule whatever its drop; a wall is not looked at. The sides of a
    flight without a guard are a warning, as a wall may stand there that nobody has to name.
    """
    figure = job.figure("guard_required_drop")
    if job.code is None or figure is None:
        missing = say_unstated(job, "guard_required", "guard_required_drop")
        yield missing, [place for place, _ in _exposures(job)]
        return
    code = job.code

    def tell(exposure: Exposure) -> Finding | None:
        may = next((one for one in figure.over(exposure.drops) if one is not None), None)
        return None if may is None else _exposed(job, code, may, exposure)

    yield from tell_alike(_exposures(job), tell)


def guard_height(job: Job) -> Iterator[Saying]:
    """The height of each level bay's guard, and of each gate's leaf."""
    name = "guard_height"
    yield from by_kinds(job, name, name, level_guards(job), _height, bound_asks)


def _height(kind: BayKind | LeafKind) -> list[Reading]:
    if isinstance(kind, LeafKind):
        return [Reading("the gate is {} high", kind.gate.top, kind.drops, kind.here)]
    return [Reading("the guard is {} high", kind.bay.height, kind.drops, kind.here)]


def _exposures(job: Job) -> Iterator[tuple[Place, Exposure]]:
    """Every edge that is no wall, by stretches of one drop; every passage; every flight, and every
    opening for one that is not given."""
    down = {flight.opening for flight in job.layout.flights}
    pieces = Counter([edge.place for edge in job.layout.edges])
    for edge in job.layout.edges:
        if edge.condition != "wall":
            stretch = edge.length if pieces[edge.place] > 1 else None
            yield (edge.place,), Exposure(edge.condition, edge.drops, stretch)
    for opening in job.layout.openings:
        if opening.use == "passage" or (opening.use == "stair" and opening.place not in down):
            yield (opening.place,), Exposure(opening.use, opening.drops)
    for flight in job.layout.flights:
        kind = _flight_kind(flight)
        if kind is not None:
            yield (flight.id,), Exposure(kind, flight.drops)


def _flight_kind(flight: FlightBuilt) -> str | None:
    """Which sides of a flight have no guard and no wall; None where walls go down along both."""
    bare = [hand for hand in HANDS if hand not in (*flight.guards, *flight.walled)]
    if not bare:
        return "guard" if flight.guards else None
    return bare[0] if len(bare) == 1 else "both"


def _exposed(job: Job, code: Code, figure: Figure, exposure: Exposure) -> Finding:
    kind, drops = exposure.kind, exposure.drops
    needed = guard_needed(code, drops)
    if needed is None or needed.keeps is None or drops.drop is None:
        return _unknown_exposure(job, figure, needed, kind, drops)
    drop = drops.drop
    what = f"a drop of {job.text(drop, needed.figure.number())}"
    if exposure.stretch is not None:
        what += f", along a stretch of {job.text(exposure.stretch)}"
    asks = f"a guard is required at {drops_text(job, needed.figure)}"
    if kind == "guard":
        sentence = f"guarded, over {what}; {asks} {job.clause(needed.figure)}"
        return say_by_figure("guard_required", "pass", sentence, needed.figure, drop)
    result: Result = "pass"
    if needed.keeps:
        result = "not_checked" if kind == "stair" else "fail"
        ending = _UNLESS.get(kind, "")
        sentence = f"{_OPEN[kind]}, over {what}; {asks}{ending} {job.clause(needed.figure)}"
    else:
        sentence = f"no guard required over {what}; {asks} {job.clause(needed.figure)}"
    finding = say_by_figure(
        "guard_required",
        result,
        sentence + _reach_text(job, needed.figure),
        needed.figure,
        drop,
        [job.figure("guard_drop_reach")],
    )
    if needed.keeps and kind in _FLIGHT_SIDES:
        return finding._replace(severity="warning")
    return finding


def _unknown_exposure(
    job: Job, figure: Figure, needed: Ruling | None, kind: str, drops: Drops
) -> Finding:
    """A side of which it can't be known whether a guard is required."""
    shown = needed.figure if needed else figure
    asks = f"a guard is required at {drops_text(job, shown)} {job.clause(shown)}"
    if kind == "guard":
        return say_by_figure(
            "guard_required", "pass", f"guarded, whatever the drop; {asks}", shown, drops.drop
        )
    sentence = f"{_OPEN[kind]}; give the drop to have it checked: {asks}"
    sentence += _reach_text(job, shown)
    reach = job.figure("guard_drop_reach")
    return say_by_figure("guard_required", "not_checked", sentence, shown, drops.drop, [reach])


def _reach_text(job: Job, shown: Figure) -> str:
    """How the drop must have been taken, where the code says."""
    reach = job.stated("guard_drop_reach")
    if reach is None:
        return ""
    clause = "" if reach.cite == shown.cite and not reach.amended else f" {job.clause(reach)}"
    return f"; the drop must be the worst within {job.text(reach.number())} of the edge{clause}"
