"""Rules: the strength of pickets, each a simple span between its rails."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Final, NamedTuple

from service.core.measure import TOUCH, Force, Length
from service.core.records.code import Figure
from service.rules.alike import GuardKind, all_guards
from service.rules.checks.strength_posts import BASIS
from service.rules.demands import (
    Demand,
    StrengthInputs,
    Topic,
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
from service.rules.strength.loads import NO_INFILL_LOAD, Load, Loads, figures_of
from service.rules.strength.members import ReadyMember, Sides, ready_member

RULE: Final = "strength_infill"
SUBJECT: Final = "the strength of the pickets"


def strength_infill(job: Job) -> Iterator[Saying]:
    """Pickets under the infill's loads, each a simple span between its rails."""
    rows = _rows(job)
    if rows and job.kit.picket is not None:
        pickets = partial(_pickets, job.kit.picket.width, rows)
        yield from with_strength(job, RULE, SUBJECT, pickets)


def _pickets(
    width: Length, rows: list[tuple[Place, PicketRow]], job: Job, given: StrengthInputs
) -> Iterator[Saying]:
    for there, alike in by_loads(job, given, rows):
        yield from _alike(job, there, width, alike)


def _alike(
    job: Job, given: StrengthInputs, width: Length, rows: list[tuple[Place, PicketRow]]
) -> Iterator[Saying]:
    """Findings on rows of pickets under the same loads. width: of a picket."""
    loads, ready = given.loads, _ready_picket(job, given, width)
    if not loads.has_infill:
        ready = NO_INFILL_LOAD
    if isinstance(ready, str):
        yield say_not_checked(job, RULE, SUBJECT, ready)
        return
    bends = partial(_bends, loads, ready, width)
    yield from say_demands(job, _topic(loads, ready), rows, bends)
    if loads.deflection is not None:
        moves = partial(_moves, loads, ready, loads.deflection.number(), width)
        yield from say_demands(job, _moving(loads, loads.deflection), rows, moves)


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


def _ready_picket(job: Job, given: StrengthInputs, width: Length) -> ReadyMember | str:
    member = given.strength.picket
    if member is None:
        return "give strength.picket"
    return ready_member(member, Sides(width, width), given.loads.rules, job.deck.unit)


def _topic(loads: Loads, ready: ReadyMember) -> Topic:
    return Topic(
        RULE,
        "stress",
        what="the stress in a picket comes to",
        held=f"{ready.name} may take",
        method=(
            f"M = P (2 L - c)/8 or w L^2/8 of a simple span between the rails, stress M/S; "
            f"{BASIS[loads.rules]}; strengths {ready.mark}"
        ),
        leans_on=loads.on_pickets,
        reads=figures_of(loads.infill_point, loads.infill_pressure),
    )


def _moving(loads: Loads, stated: Figure) -> Topic:
    return Topic(
        RULE,
        "length",
        what="the middle of a picket moves",
        held="it may move",
        method=(
            "P (8 L^3 - 4 L c^2 + c^3)/(384 E I) or 5 w L^4/(384 E I) with E from memory, its "
            f"rails held still; limit {stated.cite}"
        ),
        leans_on=(stated,),
        reads=figures_of(loads.infill_point, loads.infill_pressure),
    )


def _bends(loads: Loads, ready: ReadyMember, width: Length, row: PicketRow) -> Demand:
    """Worst of the loads on one picket."""
    found = []
    length, pitch = row.length, row.gap + width
    if loads.infill_point is not None:
        force, side, shared = _share(loads, loads.infill_point, row, width)
        stress = span_moment_of_patch(loads.factor * force, length, side) / ready.modulus
        words = f"under {loads.times}the infill's load of {loads.infill_point.text}{shared}"
        found.append(Demand(stress, ready.stress, words, loads.infill_point.figure))
    if loads.infill_pressure is not None:
        line = loads.factor * loads.infill_pressure.value * pitch
        stress = span_moment_of_line(line, length) / ready.modulus
        words = f"under {loads.times}the infill's load of {loads.infill_pressure.text}"
        found.append(Demand(stress, ready.stress, words, loads.infill_pressure.figure))
    return worst(found) or Demand(0.0, ready.stress, "under no load")


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


def _moves(
    loads: Loads, ready: ReadyMember, limit: Length, width: Length, row: PicketRow
) -> Demand:
    """How far the middle of a picket moves under the worst of the loads, without a factor."""
    length, pitch = row.length, row.gap + width
    found = []
    if loads.infill_point is not None:
        force, side, shared = _share(loads, loads.infill_point, row, width)
        moved = span_deflection_of_patch(force, length, side, ready.elasticity, ready.moment)
        words = f"under the infill's load of {loads.infill_point.text}{shared}"
        found.append(Demand(moved, limit, words, loads.infill_point.figure))
    if loads.infill_pressure is not None:
        line = loads.infill_pressure.value * pitch
        moved = span_deflection_of_line(line, length, ready.elasticity, ready.moment)
        words = f"under the infill's load of {loads.infill_pressure.text}"
        found.append(Demand(moved, limit, words, loads.infill_pressure.figure))
    return worst(found) or Demand(0.0, limit, "under no load")
