"""Rules: the strength of pickets, each a simple span between its rails."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Final, NamedTuple

from service.core.measure import TOUCH, Force, Length
from service.core.records.strength import Strength
from service.rules.alike import GuardKind, all_guards
from service.rules.demands import (
    Demand,
    bending,
    moving,
    say_demands,
    say_not_checked,
    with_strength,
    worst,
)
from service.rules.job import Job, Place
from service.rules.load_groups import by_loads
from service.rules.saying import Saying
from service.rules.strength.beams import (
    span_deflection_of_line,
    span_deflection_of_patch,
    span_moment_of_line,
    span_moment_of_patch,
)
from service.rules.strength.loads import NO_INFILL_LOAD, InfillLoad, Load, Loads, figures_of
from service.rules.strength.members import ReadyMember, Sides, ready_member

RULE: Final = "strength_infill"
SUBJECT: Final = "the strength of the pickets"
_MOVEMENT: Final = (
    "P (8 L^3 - 4 L c^2 + c^3)/(384 E I) or 5 w L^4/(384 E I) with E from memory, its rails held "
    "still"
)


def strength_infill(job: Job) -> Iterator[Saying]:
    """Pickets under the infill's loads, each a simple span between its rails."""
    rows = _rows(job)
    if rows and job.kit.picket is not None:
        pickets = partial(_pickets, job.kit.picket.width, rows)
        yield from with_strength(job, RULE, SUBJECT, pickets)


def _pickets(
    width: Length, rows: list[tuple[Place, PicketRow]], job: Job, strength: Strength, usual: Loads
) -> Iterator[Saying]:
    """Findings on rows of pickets. width: of a picket."""
    for loads, alike in by_loads(job, usual, rows):
        ready: ReadyMember | str = "give strength.picket"
        if not loads.has_infill:
            ready = NO_INFILL_LOAD
        elif strength.picket is not None:
            sides = Sides(width, width)
            ready = ready_member(strength.picket, sides, loads.rules, job.deck.unit)
        if isinstance(ready, str):
            yield say_not_checked(job, RULE, SUBJECT, ready)
            continue
        reads = figures_of(loads.infill_point, loads.infill_pressure)
        topic = bending(
            RULE,
            loads,
            ready,
            "the stress in a picket comes to",
            "M = P (2 L - c)/8 or w L^2/8 of a simple span between the rails, stress M/S",
            leans_on=loads.on_pickets,
            reads=reads,
        )
        yield from say_demands(job, topic, alike, partial(_bends, loads, ready, width))
        if loads.deflection is not None:
            topic = moving(RULE, loads, "the middle of a picket moves", _MOVEMENT, "", reads)
            limit = loads.deflection.number()
            yield from say_demands(job, topic, alike, partial(_moves, loads, ready, limit, width))


class PicketRow(NamedTuple):
    """What alike rows of pickets share: how many there are, how long, and the gap between two."""

    number: int
    length: Length
    gap: Length


def _rows(job: Job) -> list[tuple[Place, PicketRow]]:
    """Every bay and every leaf that has pickets, with what rows like its own share."""
    rows: dict[GuardKind, PicketRow] = {}
    found: list[tuple[Place, PicketRow]] = []
    for place, kind in all_guards(job):
        pickets = kind.pickets
        if pickets is not None and pickets.count:
            if kind not in rows:
                length, gap = round(pickets.length, 6), round(pickets.gap, 6)
                rows[kind] = PicketRow(pickets.count, length, gap)
            found.append((place, rows[kind]))
    return found


def _loads_on(loads: Loads, factor: float, width: Length, row: PicketRow) -> list[InfillLoad]:
    """What one picket of a row takes of the infill's loads, times a factor. width: of a picket."""
    point, pressure = loads.infill_point, loads.infill_pressure
    found = []
    if point is not None:
        force, side, shared = _share(loads, point, row, width)
        words = f"the infill's load of {point.text}{shared}"
        found.append(InfillLoad(factor * force, side, words, point.figure))
    if pressure is not None:
        line = factor * pressure.value * (row.gap + width)
        words = f"the infill's load of {pressure.text}"
        found.append(InfillLoad(line, None, words, pressure.figure))
    return found


def _bends(loads: Loads, ready: ReadyMember, width: Length, row: PicketRow) -> Demand | None:
    """Worst of the loads on one picket."""
    found = []
    for value, patch, words, figure in _loads_on(loads, loads.factor, width, row):
        moment = (
            span_moment_of_line(value, row.length)
            if patch is None
            else span_moment_of_patch(value, row.length, patch)
        )
        words = f"under {loads.times}{words}"
        found.append(Demand(moment / ready.modulus, ready.stress, words, figure))
    return worst(found)


def _moves(
    loads: Loads, ready: ReadyMember, limit: Length, width: Length, row: PicketRow
) -> Demand | None:
    """How far the middle of a picket moves under the worst of the loads, without a factor."""
    stiffness = ready.elasticity, ready.moment
    found = []
    for value, patch, words, figure in _loads_on(loads, 1.0, width, row):
        moved = (
            span_deflection_of_line(value, row.length, *stiffness)
            if patch is None
            else span_deflection_of_patch(value, row.length, patch, *stiffness)
        )
        found.append(Demand(moved, limit, f"under {words}", figure))
    return worst(found)


def _share(loads: Loads, load: Load, row: PicketRow, width: Length) -> tuple[Force, Length, str]:
    """What one picket takes of the point load, over which height, and in words how many share it.

    The load lies on a square of side s, so on s/pitch pickets at the least, and on no more than
    there are. Where the code states no side, one picket takes the whole load at mid-height. A code
    may state how many share it; that many do where the square reaches them: the gaps and pickets
    between the outer two come to less than its side.
    """
    side, pitch = loads.infill_side or 0.0, row.gap + width
    sharing = min(row.number, max(1, int(side / pitch + TOUCH)))
    stated = 0 if loads.sharing is None else round(loads.sharing.number())
    if sharing < stated <= row.number and (stated - 1) * pitch - width < side - TOUCH:
        sharing = stated
    words = f" shared by {sharing} pickets" if sharing > 1 else " on one picket"
    return load.value / sharing, side, words
