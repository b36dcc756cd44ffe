"""Rules: openings against the figures by which a code judges some guards, or a part of one, only:
the upper band of a guard, a guard that is not required, and the gap under the rail of a flight."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from functools import partial
from typing import Final

from service.core.measure import Length, ceil_to_mark
from service.core.records.code import Circumstances, Figure
from service.core.records.deck import Drops
from service.core.records.layout import FlightBuilt
from service.core.records.seen import GapSeen, StandInSeen
from service.rules.alike import LeafKind, raked_kinds
from service.rules.checks.openings import (
    TRIANGLE,
    InPlaneKind,
    gaps_of,
    gaps_under,
    level_gaps,
    over_decks,
    triangles_of,
)
from service.rules.code_limits import Criterion, Reading, at_flight, by_figure, by_kinds, scope_of
from service.rules.figure_words import printed, sphere_asks
from service.rules.finding import Finding, Verdict
from service.rules.job import Job, Place
from service.rules.saying import Saying, say_by_figure, say_unstated, steady, tell_by_kind
from service.rules.words import list_text

_NO_FRAME: Final = ("open", "past", "round")
"""Gaps past the end of a guard, along the deck's edge, where no frame can catch a head."""
_RULE: Final = "opening_not_required"


def opening_size_upper(job: Job) -> Iterator[Saying]:
    """Gaps of level guards that reach into the upper band, against the code's sphere for that band.

    These gaps run the whole height of the guard, so they are read in the band as they are below it.
    """
    name = "opening_sphere_upper"
    begins = job.stated("opening_sphere_upper_from")
    if job.code is not None and job.figure(name) is None:
        return
    read = partial(gaps_of, job) if begins is None else partial(_above, job, begins)
    criterion = Criterion("opening_size_upper", name, sphere_asks, within=begins)
    yield from by_kinds(job, criterion, level_gaps(job), read)


def _above(job: Job, begins: Figure, kind: InPlaneKind) -> list[Reading]:
    """Gaps of a bay or a leaf whose top is above the upper band's beginning; empty for any other.

    begins: the height above the walking surface at which the band begins.
    """
    if isinstance(kind, GapSeen):
        return []
    top = kind.gate.top if isinstance(kind, LeafKind) else kind.bay.height
    from_ = begins.number()
    # A clause may hold braces, and the words of a reading are a format string.
    clause = job.clause(begins).replace("{", "{{").replace("}", "}}")
    ending = f", above {job.text(from_)}{f' {clause}' if begins.amended else ''} as below it"
    gaps = gaps_of(job, kind) if top > from_ else []
    return [gap._replace(what=gap.what + ending) for gap in gaps]


def opening_not_required(job: Job) -> Iterator[Saying]:
    """Gaps of guards that the code does not require.

    They must be small or wide; one in between may catch a head.
    """
    small = job.stated("opening_not_required_guard")
    wide = job.stated("opening_not_required_guard_wide")
    if job.code is None:
        missing = say_unstated(job, _RULE, "opening_not_required_guard")
        yield missing, [place for place, _ in _all_gaps(job)]
        return
    if small is None:
        return

    def tell(kind: tuple[str, Length, Drops]) -> Finding | None:
        what, actual, drops = kind
        required = scope_of(job, drops, None).binds
        return None if required else _not_required(job, small, wide, what, actual)

    unsure = [gap for gap in job.layout.gaps if _is_unsure(job, small, wide, gap)]
    gaps = _all_gaps(job, left_out=frozenset(unsure))
    kinds = ((place, (gap.what, round(gap.actual, 6), gap.drops)) for place, gap in gaps)
    yield from tell_by_kind(kinds, tell)
    yield from tell_by_kind(
        [(gap.where, gap) for gap in unsure], lambda gap: _either_way(job, small, wide, gap)
    )
    yield from _in_place(job, small, wide)
    triangles = [each for each in triangles_of(job) if not scope_of(job, each[1].drops, None).binds]
    for place, (_, actual, drops, here) in triangles:
        yield _triangle(job, small, wide, round(actual, 6), drops, here), [place]


def _all_gaps(job: Job, left_out: Collection[GapSeen] = ()) -> Iterator[tuple[Place, Reading]]:
    """Every gap in level guards and in guards of flights, and every gap over a deck.

    The ways past the end of a guard, the triangles of flights, and `left_out` are left out.
    """
    for place, each in level_gaps(job):
        if not isinstance(each, GapSeen) or (each.kind not in _NO_FRAME and each not in left_out):
            yield from ((place, gap) for gap in gaps_of(job, each))
    for place, over in over_decks(job):
        yield from ((place, gap) for gap in gaps_under(job, over))
    for place, kind in raked_kinds(job):
        yield from ((place, gap) for gap in gaps_of(job, kind))


def _is_unsure(job: Job, small: Figure, wide: Figure | None, gap: GapSeen) -> bool:
    """Whether a gap in a guard that is not required may or may not pass.

    It may do either where obstructions of unknown height, or a wall that may end at its corner,
    decide whether the gap keeps the small figure, the wide one or neither. One obstruction that
    makes a small gap of a wide one decides nothing: the gap passes with it and without it.
    """
    if gap.kind in _NO_FRAME or not (gap.parted_by or gap.goes_on):
        return False
    kept = [_kept(small, wide, each) for each in (gap.width, gap.whole)]
    if kept[0] is kept[1] or scope_of(job, gap.drops, None).binds:
        return False
    return None in kept or bool(gap.goes_on) or len(gap.parted_by) > 1


def _kept(small: Figure, wide: Figure | None, actual: Length) -> Figure | None:
    """The figure by which a gap of this size passes; None where it does not."""
    return next((each for each in (small, wide) if each and each.met_by(actual)), None)


def _in_place(job: Job, small: Figure, wide: Figure | None) -> Iterator[Saying]:
    """Findings on obstructions in the place of a railing that is not required.

    One that is lower than the railing leaves an opening over it. One of unknown height may, and is
    told where that opening would be neither small nor wide, or where a wide one may be less: over
    several obstructions, of which some may be low, and between the ends of rails that are held by
    it. Without railing on both sides there is no opening.
    """
    flights = {flight.id for flight in job.layout.flights}
    for seen in job.layout.stand_ins:
        at_edge = seen.place not in flights and math.isfinite(seen.without)
        if not at_edge or scope_of(job, seen.drops, None).binds:
            continue
        # A name may hold braces, and the words of a reading are a format string.
        name = seen.name.replace("{", "{{").replace("}", "}}")
        place, what = (seen.place,), f"the opening over {name}, in the railing's place, is {{}}"
        if seen.low:
            actual = steady(min(seen.without, seen.over))
            yield _not_required(job, small, wide, what, actual), [place]
        elif seen.height is None and (told := _maybe_low(job, small, wide, what, seen)):
            yield told, [place]


def _maybe_low(
    job: Job, small: Figure, wide: Figure | None, what: str, seen: StandInSeen
) -> Finding | None:
    """Finding on an obstruction of unknown height; None where that makes no difference.

    what: the opening in words, with `{}` for its size.
    """
    actual, over = steady(seen.without), steady(seen.over)
    kept = _kept(small, wide, actual)
    if kept is small or (kept is not None and kept.met_by(over) and seen.count == 1):
        return None
    least = small.number()
    if kept is not None and not kept.met_by(over):
        what += f" between the ends of the rails and {job.text(actual, least)} below them"
        actual = over
    sentence = (
        f"{what.format(job.text(actual, least))}, in a guard that is not required here, unless "
        "that stands as high as the railing beside it, which is not given: see on site how high it "
        f"stands; {_asked(job, small, wide)}"
    )
    return say_by_figure(_RULE, "not_checked", sentence, small, actual, [wide])


def _asked(job: Job, small: Figure, wide: Figure | None) -> str:
    """What the two figures ask of openings in guards that are not required, in words."""
    asks = f"a {printed(job, small)} sphere must not pass {job.clause(small)}"
    if wide is not None:
        asks += f", unless one of {printed(job, wide)} passes too {job.clause(wide)}"
    return asks


def _either_way(job: Job, small: Figure, wide: Figure | None, gap: GapSeen) -> Finding:
    """Finding on a gap, in a guard that is not required, that may or may not pass."""
    what, actual = gaps_of(job, gap)[0].what, steady(gap.whole)
    least = small.number()
    width = job.text(steady(gap.width), least)
    if gap.goes_on:
        on_site = (
            f"where the wall ends at the corner of the deck, and {width} where it goes on in its "
            f"line for at least {job.text(ceil_to_mark(gap.goes_on, job.deck.step))}: see on site "
            "how far it goes on"
        )
    else:
        names = list_text(list(dict.fromkeys(gap.parted_by)))
        on_site = f"but for {names}, with which it is {width}: see on site how high that stands"
    sentence = (
        f"{what.format(job.text(actual, least))}, in a guard that is not required here, {on_site}; "
        f"{_asked(job, small, wide)}"
    )
    return say_by_figure(_RULE, "not_checked", sentence, small, actual, [wide])


def _not_required(
    job: Job, small: Figure, wide: Figure | None, what: str, actual: Length
) -> Finding:
    """Finding on one gap in a guard that is not required, by the small figure or the wide one.

    what: the gap in words, with `{}` for its size. wide: None where the code has no such figure.
    """
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
    return say_by_figure(_RULE, verdict, f"{sentence}; {asks}", decides, actual)


def _triangle(
    job: Job, small: Figure, wide: Figure | None, actual: Length, drops: Drops, here: Circumstances
) -> Finding:
    """Finding on the triangle under a flight's bottom rail, in a guard that is not required.

    A fail becomes not_checked where the code lets as much pass in a guard that it does require.
    """
    found = _not_required(job, small, wide, TRIANGLE, actual)
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
    return say_by_figure(_RULE, "not_checked", sentence, small, actual, [lets])


def stair_gap_under_rail(job: Job) -> Iterator[Saying]:
    """Gap between the line of nosings and the bottom rail of each flight, square to the slope."""
    name = "stair_gap_sphere"
    if job.code is not None and job.figure(name) is None:
        return
    what = "the gap between the line of nosings and the bottom rail, square to the slope, is {}"
    lift = job.kit.stair_gap
    readings = (
        at_flight(flight, what, _square(lift, flight))
        for flight in job.layout.flights
        if flight.triangle is not None
    )
    yield from by_figure(job, Criterion("stair_gap_under_rail", name, sphere_asks), readings)


def _square(lift: Length, flight: FlightBuilt) -> Length:
    """What a plumb length above the slope of a flight measures square to that slope."""
    return lift * math.cos(math.radians(flight.pitch))
