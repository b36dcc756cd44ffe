"""Rules: openings in guards that the code does not require, by the figures that it has for these.

Such an opening must be small or wide, as one in between may catch a head.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from functools import partial
from typing import Final, NamedTuple

from service.core.measure import Length, ceil_to_mark
from service.core.records.code import Figure
from service.core.records.deck import Drops
from service.core.records.seen import GapSeen, StandInSeen
from service.rules.alike import raked_kinds
from service.rules.checks.gaps import (
    TRIANGLE,
    UNRAILED,
    gaps_of,
    gaps_under,
    level_gaps,
    over_decks,
    triangles_of,
)
from service.rules.code_limits import Reading, verbatim
from service.rules.figure_words import printed, sphere_asks
from service.rules.finding import Finding, Verdict
from service.rules.job import Job, Place
from service.rules.ruling import scope_of
from service.rules.saying import Saying, say_by_figure, say_unstated, steady, tell_by_kind
from service.rules.words import list_text

_NO_FRAME: Final = ("open", "past", "round")
"""Gaps past the end of a guard, along the deck's edge, where no frame can catch a head."""
_RULE: Final = "opening_not_required"


class Spheres(NamedTuple):
    """The code's two figures for openings in guards that it does not require.

    small: the sphere that must not pass, unless `wide` passes too. wide: None where the code has no
    such figure.
    """

    job: Job
    small: Figure
    wide: Figure | None

    def keeps(self, actual: Length) -> Figure | None:
        """The figure by which an opening of this size passes; None where it does not."""
        return next(
            (each for each in (self.small, self.wide) if each and each.met_by(actual)), None
        )

    def told(self, what: str, actual: Length) -> str:
        """Words for an opening in such a guard. what: the opening, with `{}` for its size."""
        return f"{what.format(self.text(actual))}, in a guard that is not required here"

    def text(self, actual: Length) -> str:
        """The size of an opening in words."""
        return self.job.text(actual, self.small.number())

    @property
    def asks(self) -> str:
        """What the two figures ask, in words."""
        job, small = self.job, self.small
        sphere = f"a {printed(job, small)} sphere must not pass"
        return f"{sphere} {job.clause(small)}{self.unless_wide}"

    @property
    def unless_wide(self) -> str:
        """That a wide opening passes, too, in words; empty where the code does not say so."""
        if self.wide is None:
            return ""
        sphere = printed(self.job, self.wide)
        return f", unless one of {sphere} passes too {self.job.clause(self.wide)}"


def opening_not_required(job: Job) -> Iterator[Saying]:
    """Gaps of guards that the code does not require, and of what stands in their place."""
    small = job.stated("opening_not_required_guard")
    if job.code is None:
        missing = say_unstated(job, _RULE, "opening_not_required_guard")
        yield missing, [place for place, _ in _all_gaps(job)]
        return
    if small is None:
        return
    spheres = Spheres(job, small, job.stated("opening_not_required_guard_wide"))

    def tell(kind: tuple[str, Length, Drops]) -> Finding | None:
        what, actual, drops = kind
        return None if scope_of(job, drops, None).binds else _opening(spheres, what, actual)

    unsure = [gap for gap in job.layout.gaps if _is_unsure(spheres, gap)]
    gaps = _all_gaps(job, left_out=frozenset(unsure))
    kinds = ((place, (gap.what, round(gap.actual, 6), gap.drops)) for place, gap in gaps)
    yield from tell_by_kind(kinds, tell)
    yield from tell_by_kind([(gap.where, gap) for gap in unsure], partial(_either_way, spheres))
    yield from _over_obstructions(spheres)
    for place, triangle in triangles_of(job):
        if not scope_of(job, triangle.drops, None).binds:
            yield _triangle(spheres, triangle), [place]


def _all_gaps(job: Job, left_out: Collection[GapSeen] = ()) -> Iterator[tuple[Place, Reading]]:
    """Every gap in level guards and in guards of flights, and every gap over a deck.

    The ways past the end of a guard, the triangles of flights, and `left_out` are left out.
    """
    for place, each in level_gaps(job):
        if not isinstance(each, GapSeen) or (each.kind not in _NO_FRAME and each not in left_out):
            yield from ((place, gap) for gap in gaps_of(job, each))
    yield from ((place, gap) for place, over in over_decks(job) for gap in gaps_under(job, over))
    yield from ((place, gap) for place, kind in raked_kinds(job) for gap in gaps_of(job, kind))


def _opening(spheres: Spheres, what: str, actual: Length) -> Finding:
    """Finding on one opening. what: the opening in words, with `{}` for its size."""
    job, small, wide = spheres
    asks = f"{sphere_asks(job, small, actual)} {job.clause(small)}"
    decides = spheres.keeps(actual)
    if decides is None:
        asks += spheres.unless_wide
    elif decides is wide:
        asks = f"a {printed(job, wide)} sphere passes, so that no head is caught {job.clause(wide)}"
    verdict: Verdict = "violation" if decides is None else "pass"
    sentence = f"{spheres.told(what, actual)}; {asks}"
    return say_by_figure(_RULE, verdict, sentence, decides or small, actual)


def _is_unsure(spheres: Spheres, gap: GapSeen) -> bool:
    """Whether a gap in a guard that is not required may or may not pass.

    It may do either where obstructions of unknown height, or a wall that may end at its corner,
    decide whether the gap keeps the small figure, the wide one or neither. One obstruction that
    makes a small gap of a wide one decides nothing: the gap passes with it and without it.
    """
    if gap.kind in _NO_FRAME or not (gap.parted_by or gap.goes_on):
        return False
    kept = [spheres.keeps(each) for each in (gap.width, gap.whole)]
    if kept[0] is kept[1] or scope_of(spheres.job, gap.drops, None).binds:
        return False
    return None in kept or bool(gap.goes_on) or len(gap.parted_by) > 1


def _either_way(spheres: Spheres, gap: GapSeen) -> Finding:
    """Finding on a gap that may or may not pass."""
    actual, width = steady(gap.whole), spheres.text(steady(gap.width))
    if gap.goes_on:
        least = ceil_to_mark(gap.goes_on, spheres.job.deck.step)
        on_site = (
            f"where the wall ends at the corner of the deck, and {width} where it goes on in its "
            f"line for at least {spheres.job.text(least)}: see on site how far it goes on"
        )
    else:
        names = list_text(list(dict.fromkeys(gap.parted_by)))
        on_site = f"but for {names}, with which it is {width}: see on site how high that stands"
    sentence = f"{spheres.told(UNRAILED[gap.kind], actual)}, {on_site}; {spheres.asks}"
    return say_by_figure(_RULE, "not_checked", sentence, spheres.small, actual, [spheres.wide])


def _over_obstructions(spheres: Spheres) -> Iterator[Saying]:
    """Findings on obstructions in the place of a railing that is not required.

    One that is lower than the railing leaves an opening over it, and one of unknown height may.
    Without railing on both sides there is no opening.
    """
    flights = {flight.id for flight in spheres.job.layout.flights}
    for seen in spheres.job.layout.stand_ins:
        at_edge = seen.place not in flights and math.isfinite(seen.without)
        if not at_edge or scope_of(spheres.job, seen.drops, None).binds:
            continue
        what = f"the opening over {verbatim(seen.name)}, in the railing's place, is {{}}"
        if seen.low:
            actual = steady(min(seen.without, seen.over))
            yield _opening(spheres, what, actual), [(seen.place,)]
        elif seen.height is None and (told := _maybe_low(spheres, what, seen)):
            yield told, [(seen.place,)]


def _maybe_low(spheres: Spheres, what: str, seen: StandInSeen) -> Finding | None:
    """Finding on an obstruction of unknown height; None where that makes no difference.

    It makes one where the opening over the obstruction would be neither small nor wide, or where a
    wide one may be less: over several obstructions, of which some may be low, and between the ends
    of rails that are held by it. what: the opening in words, with `{}` for its size.
    """
    actual, over = steady(seen.without), steady(seen.over)
    kept = spheres.keeps(actual)
    if kept is spheres.small or (kept is not None and kept.met_by(over) and seen.count == 1):
        return None
    if kept is not None and not kept.met_by(over):
        what += f" between the ends of the rails and {spheres.text(actual)} below them"
        actual = over
    sentence = (
        f"{spheres.told(what, actual)}, unless that stands as high as the railing beside it, which "
        f"is not given: see on site how high it stands; {spheres.asks}"
    )
    return say_by_figure(_RULE, "not_checked", sentence, spheres.small, actual, [spheres.wide])


def _triangle(spheres: Spheres, triangle: Reading) -> Finding:
    """Finding on the triangle under a flight's bottom rail.

    A fail becomes not_checked where the code lets as much pass in a guard that it does require.
    """
    job, small, _ = spheres
    actual = round(triangle.actual, 6)
    found = _opening(spheres, TRIANGLE, actual)
    relief = job.figure("stair_triangle_sphere")
    lets = None if relief is None else relief.at(triangle.drops, triangle.here)
    if found.result == "pass" or lets is None or not lets.met_by(actual):
        return found
    sentence = (
        f"{spheres.told(TRIANGLE, actual)}; under a required one it may pass {job.clause(lets)}, "
        f"but of openings in others a {printed(job, small)} sphere must not pass "
        f"{job.clause(small)}: settle with the local authority which holds"
    )
    return say_by_figure(_RULE, "not_checked", sentence, small, actual, [lets])
