"""Rules: where a guard must stand, and how high, by the code."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.code import Code, Figure
from service.core.deck import Drops
from service.core.measure import TOUCH, Length
from service.rules.finding import Finding
from service.rules.held import Held, guard_needed
from service.rules.verdict import (
    Job,
    Place,
    Reading,
    Saying,
    by_figure,
    say_by_figure,
    say_unstated,
)

_OPEN: Final = {"open": "no railing", "passage": "a passage without a guard"}


def guard_required(job: Job) -> Iterator[Saying]:
    """Open edges and passages over the drop at which a guard is required.

    A guarded edge keeps the rule whatever its drop; a wall is not looked at.
    """
    figure = job.figure("guard_required_drop")
    if job.code is None or figure is None:
        missing = say_unstated(job, "guard_required", "guard_required_drop")
        yield from ((missing, place) for place, _, _ in _sides(job))
        return
    known: dict[tuple[str, Drops], Finding] = {}
    for place, kind, drops in _sides(job):
        if (kind, drops) not in known:
            known[kind, drops] = _side(job, job.code, figure, kind, drops)
        yield known[kind, drops], place


def guard_height(job: Job) -> Iterator[Saying]:
    """The height of each bay's guard."""
    bays = job.layout.bays
    readings = (Reading((bay.id,), "the guard is {} high", bay.height, bay.drops) for bay in bays)
    yield from by_figure(job, "guard_height", "guard_height", readings, _height_demand)


def _height_demand(job: Job, figure: Figure, actual: Length) -> str:
    limit = figure.length()
    if figure.reads == "more_than":
        return f"more than {job.text(limit)} is required"
    if abs(actual - limit) <= TOUCH:
        return f"exactly the {job.text(limit)} that is required"
    return f"at least {job.text(limit)} is required"


def _sides(job: Job) -> Iterator[tuple[Place, str, Drops]]:
    """Every edge that is no wall and every passage."""
    for edge in job.layout.edges:
        if edge.condition != "wall":
            yield (edge.place,), edge.condition, edge.drops
    for opening in job.layout.openings:
        if opening.use == "passage":
            yield (opening.place,), "passage", opening.drops


def _side(job: Job, code: Code, figure: Figure, kind: str, drops: Drops) -> Finding:
    needed = guard_needed(code, drops)
    if needed is None or needed.keeps is None or drops.drop is None:
        return _unknown_side(job, figure, needed, kind, drops)
    drop = drops.drop
    what = f"a drop of {job.text(drop, needed.figure.length())}"
    asks = f"a guard is required at {_at_drop(job, needed.figure)}"
    if kind == "guard":
        sentence = f"guarded, over {what}; {asks} {job.clause(needed.figure)}"
        return say_by_figure("guard_required", "pass", sentence, needed.figure, drop)
    if needed.keeps:
        sentence = f"{_OPEN[kind]}, over {what}; {asks} {job.clause(needed.figure)}"
    else:
        sentence = f"no guard required over {what}; {asks} {job.clause(needed.figure)}"
    return say_by_figure(
        "guard_required",
        "fail" if needed.keeps else "pass",
        sentence + _reach_text(job, needed.figure),
        needed.figure,
        drop,
        [job.figure("guard_drop_reach")],
    )


def _unknown_side(
    job: Job, figure: Figure, needed: Held | None, kind: str, drops: Drops
) -> Finding:
    """A side of which it can't be known whether a guard is required."""
    shown = needed.figure if needed else figure
    asks = f"a guard is required at {_at_drop(job, shown)} {job.clause(shown)}"
    if kind == "guard":
        return say_by_figure(
            "guard_required", "pass", f"guarded, whatever the drop; {asks}", shown, drops.drop
        )
    sentence = f"{_OPEN[kind]}; give the drop to have it checked: {asks}"
    sentence += _reach_text(job, shown)
    reach = job.figure("guard_drop_reach")
    return say_by_figure("guard_required", "not_checked", sentence, shown, drops.drop, [reach])


def _at_drop(job: Job, figure: Figure) -> str:
    """The drops at which a guard is required, in words."""
    limit = job.text(figure.length())
    return f"a drop of {limit} or more" if figure.reads == "at_least" else f"any drop over {limit}"


def _reach_text(job: Job, shown: Figure) -> str:
    """How the drop must have been taken, where the code says."""
    reach = job.figure("guard_drop_reach")
    if reach is None:
        return ""
    clause = "" if reach.cite == shown.cite and not reach.amended else f" {job.clause(reach)}"
    return f"; the drop must be the worst within {job.text(reach.length())} of the edge{clause}"
