"""Rules: what a guard lets through, by the code: between pickets, beside glass, under rails,
and in the stretches that are too small to rail."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.code import Code, Figure
from service.core.layout import Bay, SmallStretchSeen
from service.core.measure import TOUCH, Length
from service.rules.finding import Finding, Result
from service.rules.held import hold, scope_over
from service.rules.verdict import Job, Reading, Saying, by_figure, say, scope_text, steady

_BETWEEN: Final = "the gap between pickets is {}"
_BAY_END: Final = "the gap at the ends of the bay, outside its last picket, is {}"
_EMPTY: Final = "the opening, which takes no picket, is {}"
_BESIDE_GLASS: Final = "the gap beside the glass is {}"
_UNDER: Final = "the gap under the bottom rail is {}"
_UNRAILED: Final = {
    "wall": "the gap between the post and the wall is {}",
    "pair": "the gap between the two corner posts is {}",
}


def opening_size(job: Job) -> Iterator[Saying]:
    """Every gap in the plane of the guard, each kind with its own words."""
    yield from by_figure(job, "opening_size", "opening_sphere", _gaps(job), _sphere_demand)


def gap_under_rail(job: Job) -> Iterator[Saying]:
    """The kit's gap under the bottom rail, in every bay."""
    gap = job.kit.bottom_gap
    readings = (Reading((bay.id,), _UNDER, gap, bay.drops) for bay in job.layout.bays)
    yield from by_figure(job, "gap_under_rail", "opening_sphere", readings, _sphere_demand)


def bay_size(job: Job) -> Iterator[Saying]:
    """Stretches less than the kit's least bay: open they may stay only where the code lets them."""
    for stretch in job.layout.small_stretches:
        yield _small_stretch(job, stretch), (stretch.where,)


def _gaps(job: Job) -> Iterator[Reading]:
    for bay in job.layout.bays:
        for what, actual in _bay_gaps(bay):
            yield Reading((bay.id,), what, actual, bay.drops)
    for gap in job.layout.gaps:
        yield Reading(gap.where, _UNRAILED[gap.kind], gap.width, gap.drops)


def _bay_gaps(bay: Bay) -> Iterator[tuple[str, Length]]:
    if bay.infill == "glass":
        if bay.glass is not None:
            yield _BESIDE_GLASS, bay.glass.side_gap
        return
    if bay.pickets is None or bay.pickets.count == 0:
        yield _EMPTY, bay.clear
        return
    if bay.pickets.count > 1:
        yield _BETWEEN, bay.pickets.gap
    yield _BAY_END, bay.pickets.end_gap


def _sphere_demand(job: Job, figure: Figure, actual: Length) -> str:
    """What the figure asks of a gap, and how it comes out where it breaks it."""
    limit = figure.length()
    if figure.reads != "less_than":
        return f"no more than {job.text(limit)} may be left open"
    asks = f"a {job.text(limit)} sphere must not pass"
    if figure.met_by(actual):
        return asks
    return f"{asks}, and one just would" if actual <= limit + TOUCH else f"{asks}, and one would"


def _small_stretch(job: Job, stretch: SmallStretchSeen) -> Finding:
    actual = steady(stretch.clear)
    least = job.kit.least_bay
    what = (
        f"a stretch of {job.text(actual, least)} is less than the kit's least bay of "
        f"{job.text(least)} and stays unrailed"
    )
    figure = job.figure("opening_sphere")
    if job.code is None or figure is None:
        sentence = f"{what}; name a code with an opening limit, which decides whether it may"
        return _of_stretch(job, "fail", sentence, actual)
    return _stretch_by_code(job, job.code, figure, stretch, what)


def _stretch_by_code(
    job: Job, code: Code, figure: Figure, stretch: SmallStretchSeen, what: str
) -> Finding:
    actual = steady(stretch.clear)
    scope = scope_over(code, stretch.drops)
    if not scope.binds:
        clause = f" {job.clause(scope.by)}" if scope.by is not None else ""
        sentence = f"{what}, as it may: no guard is required at its drop{clause}"
        return _of_stretch(job, "pass", sentence, actual, scope.by)
    held = hold(figure, stretch.drops, actual)
    asks = f"{_sphere_demand(job, held.figure, actual)} {job.clause(held.figure)}"
    if held.keeps is None:
        sentence = f"{what}; give its drop, which decides the opening that may be left"
        return _of_stretch(job, "not_checked", sentence, actual, held.figure)
    if held.keeps:
        sentence = f"{what}, as it may: {asks}{scope_text(job, scope)}"
        return _of_stretch(job, "pass", sentence, actual, held.figure, scope.by)
    sentence = f"{what}: too small to rail, too wide to leave; {asks}{scope_text(job, scope)}"
    return _of_stretch(job, "fail", sentence, actual, held.figure, scope.by)


def _of_stretch(
    job: Job, result: Result, sentence: str, actual: Length, *leans_on: Figure | None
) -> Finding:
    """A finding by the kit, marked where a figure that decided it is amended."""
    return say(
        "bay_size",
        result,
        sentence,
        cite=job.kit.id,
        limit=job.kit.least_bay,
        actual=actual,
        leans_on=leans_on,
    )
