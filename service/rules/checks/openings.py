"""Rules: what a guard lets through, by the code: between pickets, beside glass, under rails, in
flights, and in the stretches that are too small to rail."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial

from service.core.measure import TOUCH, ceil_to_mark
from service.core.records.code import Figure
from service.core.records.seen import GapSeen, SmallStretchSeen
from service.rules.alike import raked_kinds
from service.rules.checks.gaps import (
    UNRAILED,
    InPlaneKind,
    beside_flights,
    gaps_of,
    gaps_under,
    level_gaps,
    over_decks,
    past_feet,
    stair_sphere,
    triangles_of,
)
from service.rules.code_limits import Criterion, Reading, at_flight, by_figure, by_kinds, verbatim
from service.rules.figure_words import scope_text, sphere_asks, sphere_asks_or
from service.rules.finding import Finding, Verdict
from service.rules.job import Job
from service.rules.ruling import Ruling, rule_on, scope_of
from service.rules.saying import Saying, say_by_figure, say_by_kit, steady, tell_by_kind
from service.rules.words import list_text


def opening_size(job: Job) -> Iterator[Saying]:
    """Every gap in the plane of a level guard, against the code's sphere."""
    criterion = Criterion("opening_size", "opening_sphere", sphere_asks)
    rulings = {gap: _ruling_without_unknowns(job, gap) for gap in job.layout.gaps}
    unsure = {gap: ruling for gap, ruling in rulings.items() if ruling is not None}
    sure = [(place, kind) for place, kind in level_gaps(job) if kind not in unsure]
    yield from by_kinds(job, criterion, sure, partial(gaps_of, job))
    yield from tell_by_kind(
        [(gap.where, gap) for gap in unsure], lambda gap: _by_height(job, gap, unsure[gap])
    )


def _ruling_without_unknowns(job: Job, gap: GapSeen) -> Ruling | None:
    """Ruling on a gap without what may not guard it; None where that makes no difference.

    An obstruction of unknown height off the railing's line may be low, and a wall may end at the
    corner that it is given to end at. Where the gap keeps the code's figure by these alone, the
    ruling is on the gap without them. Obstructions in the railing's place are told of by
    `guard_required`.
    """
    figure, by = job.figure("opening_sphere"), gap.parted_by or gap.goes_on
    if figure is None or not by or not scope_of(job, gap.drops, None).binds:
        return None
    parted, whole = (rule_on(figure, gap.drops, width) for width in (gap.width, gap.whole))
    if parted is None or not parted.keeps or whole is None or whole.keeps:
        return None
    return whole


def _by_height(job: Job, gap: GapSeen, ruling: Ruling) -> Finding:
    """Finding on a gap that depends on the height of an obstruction, or on how far a wall goes on.

    ruling: on the gap without these.
    """
    figure, actual, width = ruling.figure, steady(gap.whole), steady(gap.width)
    what = UNRAILED[gap.kind].format(job.text(actual, figure.number()))
    if gap.goes_on:
        unless = (
            " where the wall ends at the corner of the deck; see on site that it goes on in its "
            f"line, for at least {job.text(ceil_to_mark(gap.goes_on, job.deck.step))}, with which "
            f"it is {job.text(width)}, or close what is left open"
        )
    else:
        names = list_text(list(dict.fromkeys(gap.parted_by)))
        unless = (
            f", but for {names}, with which it is {job.text(width)}; how high that stands is not "
            "given: see that it guards as the railing beside it does"
        )
    sentence = f"{what}{unless}; {sphere_asks(job, figure, width)} {job.clause(figure)}"
    return say_by_figure("opening_size", "not_checked", sentence, figure, actual)


def opening_size_upper(job: Job) -> Iterator[Saying]:
    """Gaps of level guards that reach into the upper band, against the code's sphere for that band.

    These gaps run the whole height of the guard, so they are read in the band as they are below it.
    """
    if job.code is not None and job.figure("opening_sphere_upper") is None:
        return
    begins = job.stated("opening_sphere_upper_from")
    criterion = Criterion("opening_size_upper", "opening_sphere_upper", sphere_asks, within=begins)
    read = partial(gaps_of, job) if begins is None else partial(_in_upper_band, job, begins)
    yield from by_kinds(job, criterion, level_gaps(job), read)


def _in_upper_band(job: Job, begins: Figure, kind: InPlaneKind) -> list[Reading]:
    """Gaps of a bay or a leaf whose top is above the upper band's beginning; empty for any other.

    begins: the height above the walking surface at which the band begins.
    """
    from_ = begins.number()
    if isinstance(kind, GapSeen) or kind.top <= from_:
        return []
    # A clause may hold braces, and the words of a reading are a format string.
    clause = verbatim(f" {job.clause(begins)}") if begins.amended else ""
    ending = f", above {job.text(from_)}{clause} as below it"
    return [gap._replace(what=gap.what + ending) for gap in gaps_of(job, kind)]


def gap_under_rail(job: Job) -> Iterator[Saying]:
    """Gap under the bottom rail of every level guard, and what a raked rail leaves over the deck.

    It is held against the sphere for any opening, and against the code's own for this gap, if any.
    On the treads of a flight that gap is the triangle (`stair_triangle`).
    """
    names = ["opening_sphere", "gap_under_rail_sphere"]
    for name in names if job.figure(names[1]) is not None else names[:1]:
        criterion = Criterion("gap_under_rail", name, sphere_asks)
        yield from by_kinds(job, criterion, over_decks(job), partial(gaps_under, job))


def stair_opening_size(job: Job) -> Iterator[Saying]:
    """Gaps of raked bays, gaps beside bare sides of flights, and what is left past foot posts.

    The gaps of a raked bay are horizontal, as its pickets and panels stand plumb.
    """
    criterion = Criterion("stair_opening_size", stair_sphere(job), sphere_asks)
    yield from by_kinds(job, criterion, raked_kinds(job), partial(gaps_of, job))
    yield from by_figure(job, criterion, beside_flights(job))
    if job.figure(criterion.figure) is not None:
        past = criterion._replace(asking=sphere_asks_or("foot posts past the lowest riser cure it"))
        yield from by_figure(job, past, past_feet(job))


def stair_triangle(job: Job) -> Iterator[Saying]:
    """Largest sphere that passes between riser, tread and the bottom rail of a flight's guard."""
    name = "stair_triangle_sphere"
    if job.figure(name) is None and job.figure("stair_gap_sphere") is not None:
        return
    asks = sphere_asks_or("a lower rail, a filler or a closed string cures it")
    criterion = Criterion("stair_triangle", name, asks)
    yield from by_figure(job, criterion, triangles_of(job))


def stair_gap_under_rail(job: Job) -> Iterator[Saying]:
    """Gap between the line of nosings and the bottom rail of each flight, square to the slope."""
    name = "stair_gap_sphere"
    if job.code is not None and job.figure(name) is None:
        return
    what = "the gap between the line of nosings and the bottom rail, square to the slope, is {}"
    readings = (
        at_flight(flight, what, job.kit.stair_gap * math.cos(math.radians(flight.pitch)))
        for flight in job.layout.flights
        if flight.triangle is not None
    )
    yield from by_figure(job, Criterion("stair_gap_under_rail", name, sphere_asks), readings)


def bay_size(job: Job) -> Iterator[Saying]:
    """Stretches too small to rail: whether the code lets them stay open.

    They are less than the kit's least bay, or leave rails and infill no size. Without a code's
    opening limit each is a violation.
    """
    risers = {flight.id: flight.risers for flight in job.layout.flights}
    flights = {run.id: run.flight for run in job.layout.runs if run.flight is not None}
    for stretch in job.layout.small_stretches:
        flight = flights.get(stretch.where)
        name = "opening_sphere" if flight is None else stair_sphere(job)
        steps = None if flight is None else risers.get(flight)
        yield _small_stretch(job, stretch, job.figure(name), steps), [(stretch.where,)]


def _small_stretch(
    job: Job, stretch: SmallStretchSeen, figure: Figure | None, risers: int | None
) -> Finding:
    """Finding on a stretch that stays unrailed. risers: of its flight; None on a level.

    Its length along the line is held against the kit's least bay, as the method has it, and the
    space between what stands at its ends against the code's sphere. figure: that sphere.
    """
    what, space = _stretch_text(job, stretch), steady(stretch.space)
    if figure is None:
        why = "name a code with an opening limit, which decides whether it may"
        return _of_stretch(job, stretch, "violation", f"{what}; {why}")
    scope = scope_of(job, stretch.drops, risers)
    if not scope.binds:
        clause = f" {job.clause(scope.by)}" if scope.by is not None else ""
        sentence = f"{what}, as it may: no guard is required at its drop{clause}"
        return _of_stretch(job, stretch, "pass", sentence, scope.by)
    ruling = rule_on(figure, stretch.drops, space)
    if ruling is None:
        sentence = f"{what}, as it may: no opening figure holds here"
        return _of_stretch(job, stretch, "pass", sentence)
    if ruling.keeps is None:
        gives = "give the drop of its edge or level, which decides the opening that may be left"
        return _of_stretch(job, stretch, "not_checked", f"{what}; {gives}", ruling.figure)
    asks = f"{sphere_asks(job, ruling.figure, space)} {job.clause(ruling.figure)}"
    verdict: Verdict = "pass" if ruling.keeps else "violation"
    how = ", as it may:" if ruling.keeps else ": too small to rail, too wide to leave;"
    sentence = f"{what}{how} {asks}{scope_text(job, scope)}"
    return _of_stretch(job, stretch, verdict, sentence, ruling.figure, scope.by)


def _stretch_text(job: Job, stretch: SmallStretchSeen) -> str:
    """A stretch that stays unrailed, in words."""
    actual, space, least = steady(stretch.clear), steady(stretch.space), job.kit.least_bay
    what = (
        f"a stretch of {job.text(actual, least)} is less than the kit's least bay of "
        f"{job.text(least)} and stays unrailed"
        if actual < least
        else f"a stretch of {job.text(actual)} leaves rails and infill no size and stays unrailed"
    )
    if abs(space - actual) <= TOUCH:
        return what
    ends = "between what stands at its ends, where that is nearest"
    return f"{what}, {job.text(space, actual)} {ends}"


def _of_stretch(
    job: Job, stretch: SmallStretchSeen, verdict: Verdict, sentence: str, *figures: Figure | None
) -> Finding:
    """Finding by the kit, with the code's figures that it rests on."""
    limit, actual = job.kit.least_bay, steady(stretch.clear)
    said = say_by_kit(job, "bay_size", verdict, sentence, limit=limit, actual=actual)
    decided = [figure for figure in figures if figure is not None]
    return said._replace(
        amended=any(figure.amended for figure in decided),
        figures=tuple(figure.name for figure in decided),
    )
