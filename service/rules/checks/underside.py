"""Rules: whether feet under bottom rails and the weep holes in them keep the kit's intervals."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Final

from service.core.measure import TOUCH, Length
from service.core.records.kit import RailSupport, Weep
from service.core.records.layout import Bay
from service.core.runs.underside import widest_between
from service.rules.alike import BayKind, bay_kinds, level_kinds, off_edge, raked_kinds
from service.rules.finding import Finding, Verdict
from service.rules.job import Job, Place
from service.rules.saying import Saying, say_by_kit, steady, tell_by_kind

_AT_THE_FOOT: Final = (
    "the raked bottom rail drains by one hole at its low end, where all of its water runs to"
)
_NO_PLACE: Final = (
    "no place at the low end of the raked bottom rail is clear of supports, blocks and pickets for "
    "its weep hole; settle on site where it drains"
)
_TOO_FEW: Final = (
    "fewer weep holes than the bottom rail should have keep clear of supports, blocks and pickets; "
    "settle the places of the others on site"
)


def rail_supports(job: Job) -> Iterator[Saying]:
    """Widest stretch of each raked bottom rail with no foot under it, along the slope.

    Feet stand on nosings there. The bays that keep the interval share a pass, with the widest of
    their stretches. A level bay has as many feet as the interval wants, so all that is asked, of a
    fascia kit, is whether a deck lies under them.
    """
    kit = job.kit.rail_support
    if kit is None:
        return
    if job.kit.mounting == "fascia":
        footed = [pair for pair in level_kinds(job) if pair[1].bay.fill.rail_supports]
        yield from tell_by_kind(footed, partial(_footless, job))
    bottoms = {seen.bay: seen.clear_bottom for seen in job.layout.measures}
    kept: list[tuple[Place, Length]] = []
    for place, kind in raked_kinds(job):
        wide = steady(_widest_unfooted(kind.bay, bottoms.get(kind.bay.id)))
        if wide > kit.max_interval + TOUCH:
            yield _unfooted(job, kit, kind.bay, wide), [place]
        else:
            kept.append((place, wide))
    if kept:
        wide = max(wide for _, wide in kept)
        sentence = (
            f"feet stand on nosings, and no more than {job.text(wide)} of the bottom rail has none "
            "under it"
        )
        yield _feet(job, kit, "pass", sentence, wide), [place for place, _ in kept]


def _footless(job: Job, kind: BayKind) -> Finding | None:
    """Finding on level bays of a fascia kit whose feet have no deck under them; None for others."""
    out = off_edge(job, kind)
    if out <= TOUCH:
        return None
    sentence = (
        f"the bottom rail hangs {job.text(out)} off the edge of the deck, and its feet have none "
        "of the deck under them: settle on site what carries them"
    )
    return say_by_kit(job, "rail_supports", "not_checked", sentence)


def _unfooted(job: Job, kit: RailSupport, bay: Bay, wide: Length) -> Finding:
    stretch = job.text(wide, kit.max_interval)
    sentence = (
        f"no nosing that a foot has room on lies in the bay, so its bottom rail, {stretch} long,"
        " has no foot under it"
    )
    if bay.fill.rail_supports:
        sentence = f"feet stand on nosings, and {stretch} of the bottom rail has none under it"
    return _feet(job, kit, "warning", f"{sentence}: settle on site what carries it", wide)


def _feet(job: Job, kit: RailSupport, verdict: Verdict, sentence: str, wide: Length) -> Finding:
    asked = f"{sentence}; the kit asks one every {job.text(kit.max_interval)} along the slope"
    limit = kit.max_interval
    return say_by_kit(job, "rail_supports", verdict, asked, limit=limit, actual=wide)


def _widest_unfooted(bay: Bay, bottom: Length | None) -> Length:
    """Greatest stretch between two feet, or between a foot and a post, along the slope.

    bottom: opening measured at the bottom rail, along it; None where the bay was not measured.
    """
    assert bay.fill.rake is not None
    slope = bay.fill.rake.clear_slope / bay.clear
    clear = bay.clear if bottom is None else bottom / slope
    return widest_between(0.0, *bay.fill.rail_supports, clear) * slope


def weep_holes(job: Job) -> Iterator[Saying]:
    """Whether the weep holes of each bottom rail keep the kit's interval.

    The level rails that keep it share a pass, with the widest interval of theirs. A raked rail
    drains by one hole at its low end; those that have room for it share another pass.
    """
    weep = job.kit.weep
    if weep is None:
        return
    yield from tell_by_kind(bay_kinds(job), partial(_poorly_drained, job, weep))
    level = [(place, kind) for place, kind in level_kinds(job) if kind.bay.fill.weep_complete]
    if level:
        widest = max(_widest_drain(job, kind.bay) for kind in {kind for _, kind in level})
        limit, actual = weep.max_interval, steady(widest) if widest else None
        sentence = f"the bottom rail drains by holes no more than {job.text(limit)} apart"
        drained = say_by_kit(job, "weep_holes", "pass", sentence, limit=limit, actual=actual)
        yield drained, [place for place, _ in level]
    raked = [place for place, kind in raked_kinds(job) if kind.bay.fill.weep_complete]
    if raked:
        yield say_by_kit(job, "weep_holes", "pass", _AT_THE_FOOT), raked


def _poorly_drained(job: Job, weep: Weep, kind: BayKind) -> Finding | None:
    """Warning of a bay whose bottom rail has not all of the weep holes that it should have; None
    for other bays."""
    if kind.bay.fill.weep_complete:
        return None
    if kind.bay.flight is not None:
        return say_by_kit(job, "weep_holes", "warning", _NO_PLACE)
    limit, actual = weep.max_interval, steady(_widest_drain(job, kind.bay))
    if actual <= limit + TOUCH:
        return say_by_kit(job, "weep_holes", "warning", _TOO_FEW)
    sentence = (
        "no row of weep holes keeps clear of supports, blocks and pickets with one every "
        f"{job.text(limit)}; settle the places of the holes on site"
    )
    return say_by_kit(job, "weep_holes", "warning", sentence, limit=limit, actual=actual)


def _widest_drain(job: Job, bay: Bay) -> Length:
    """Greatest stretch of a bay's bottom rail without a hole, the rail's ends included.

    It is the whole rail where that has no hole.
    """
    start = job.kit.rails[bay.infill].bottom.end_allowance[bay.ends[0]]
    return widest_between(start, *bay.fill.weep_holes, start + bay.fill.bottom_cut)
