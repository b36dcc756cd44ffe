"""Rules: bays as they are cut, by the kit: infill that hardly reaches into its rails, rails that
hardly reach from post to post, runs of more than one size, and measured bays too narrow for it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import Final

from service.core.measure import TOUCH, Length, convert
from service.core.records.layout import Bay
from service.rules.alike import BayKind, bay_kinds
from service.rules.finding import FailSeverity, Finding, Verdict
from service.rules.job import Job, Place, once
from service.rules.saying import Saying, say_by_kit, steady, tell_by_kind

RAIL_SHORTFALL: Final = 1 / 4
"""Inches by which a rail may be shorter than its opening less its allowances and still be held at
both ends (common practice, no source: no kit says how far a rail goes into its brackets)."""
INFILL_SHORTFALL: Final = 1 / 16
"""Inches by which infill may end below a top rail that it is not meant to go into (common practice,
no source: what cutting down to a mark may cost)."""
_UNEVEN: Final = (
    "posts there keep within the kit's greatest spacing, and clear of places where none may stand. "
    "Set each rail, and what is under it, in the bay that it is listed for"
)


def infill_held(job: Job) -> Iterator[Saying]:
    """Whether the pickets and panels of bays, as they are cut, reach into both of their rails."""
    yield from tell_by_kind(bay_kinds(job), partial(_infill_held, job))


def _infill_held(job: Job, kind: BayKind) -> Finding | None:
    """Finding on how far the infill of a bay goes into its rails; None for a bay without any."""
    kit, bay, pickets = job.kit, kind.bay, kind.pickets
    if kind.glass is not None:
        length = kind.glass.height
    elif pickets is not None and pickets.count:
        length = pickets.length
    else:
        return None
    rails, into = kit.rails[bay.infill], kit.engagement(bay.infill)
    cosine, gap = _cosine(bay), kit.bottom_gap
    if bay.fill.rake is not None:
        gap = kit.stair_gap
    between = bay.height - gap - (rails.top.depth + rails.bottom.depth) / cosine
    held = steady(length - into.bottom / cosine - between)
    whole = into.top / cosine
    least = whole / 2 if whole > TOUCH else -convert(INFILL_SHORTFALL, "in", job.deck.unit)
    if held >= least - TOUCH:
        lifted = _lifted(job, bay, into.bottom / cosine)
        if lifted is not None:
            return lifted
        reaches = "reaches into both" if whole > TOUCH else "comes up to the top one"
        sentence = f"what stands between the rails, as it is cut, {reaches}"
        return say_by_kit(job, "infill_held", "pass", sentence)
    what = "pickets that stand" if bay.infill == "picket" else "a panel that stands"
    sentence = (
        f"cut down to {job.text(length)}, {what} in the bottom rail {_reach(job, held, whole)}: "
        "lay the deck out to a finer precision, or choose another height"
    )
    verdict: FailSeverity = "warning" if held > TOUCH else "violation"
    return say_by_kit(job, "infill_held", verdict, sentence, limit=steady(least), actual=held)


def _lifted(job: Job, bay: Bay, whole: Length) -> Finding | None:
    """Finding on a raked panel whose lower end stands half out of the bottom rail or further.

    With its upper end down in that rail, a panel does so where its edges, cut down to the mark,
    rise less than the rails. whole: how far a panel is to go into the bottom rail, plumb. None for
    a panel that stays further in, for other bays, and where `whole` is 0.
    """
    glass, rake = bay.fill.glass, bay.fill.rake
    if glass is None or rake is None:
        return None
    rise = abs(glass.corners[1][1] - glass.corners[0][1])
    less = glass.width * math.tan(math.radians(rake.pitch)) - rise
    held, least = steady(whole - less), whole / 2
    if whole <= TOUCH or held >= least - TOUCH:
        return None
    out = f"{job.text(held, whole)} in it" if held > TOUCH else f"{job.text(abs(held))} above it"
    sentence = (
        f"cut down to the mark, the edges of a panel rise {job.text(steady(less))} less than its "
        f"rails: with its upper end down in the bottom rail, its lower one would stand {out}, of "
        f"the kit's {job.text(whole)}: lay the deck out to a finer precision"
    )
    verdict: FailSeverity = "warning" if held > TOUCH else "violation"
    return say_by_kit(job, "infill_held", verdict, sentence, limit=steady(least), actual=held)


def _reach(job: Job, held: Length, whole: Length) -> str:
    """How far the infill goes into the top rail, in words.

    held: that length, below 0 where the infill ends under the rail; whole: the kit's engagement.
    """
    if held > TOUCH:
        return f"would go {job.text(held, whole)} into the top one, of the kit's {job.text(whole)}"
    return "would end under the top one" + (f", {job.text(-held)} off" if held < -TOUCH else "")


def rails_reach(job: Job) -> Iterator[Saying]:
    """Whether each rail is cut at most RAIL_SHORTFALL short of its opening less its allowances."""
    yield from tell_by_kind(bay_kinds(job), partial(_rails_reach, job))


def _rails_reach(job: Job, kind: BayKind) -> Finding:
    most = convert(RAIL_SHORTFALL, "in", job.deck.unit)
    short = steady(_short(job, kind.bay))
    if short <= most + TOUCH:
        sentence = (
            f"rails are cut no more than {job.text(most)} shorter than their opening less its "
            "allowances"
        )
        return say_by_kit(job, "rails_reach", "pass", sentence, limit=most)
    sentence = (
        f"a rail is cut {job.text(short, most)} shorter than its opening less its allowances: see "
        f"that its brackets hold it, which {job.text(most)} is taken for, or lay the deck out to a "
        "finer precision"
    )
    return say_by_kit(job, "rails_reach", "warning", sentence, limit=most, actual=short)


def _short(job: Job, bay: Bay) -> Length:
    """Greatest length by which a rail of a bay falls short of its opening less its allowances.

    Each rail of a measured bay is held against the opening that was measured at that rail.
    """
    rails, fill = job.kit.rails[bay.infill], bay.fill
    if bay.measured:
        top, bottom = measured_openings(job)[bay.id]
    else:
        top = bottom = bay.clear / _cosine(bay)
    cuts = (top, rails.top, fill.top_cut), (bottom, rails.bottom, fill.bottom_cut)
    return max([clear - sum(rail.allowances(bay.ends)) - cut for clear, rail, cut in cuts])


@once
def measured_openings(job: Job) -> dict[str, tuple[Length, Length]]:
    """Openings as measured at the top and at the bottom rail, along the rail, by bay."""
    return {seen.bay: (seen.clear_top, seen.clear_bottom) for seen in job.layout.measures}


def _cosine(bay: Bay) -> float:
    return 1.0 if bay.fill.rake is None else math.cos(math.radians(bay.fill.rake.pitch))


def rail_sizes(job: Job) -> Iterator[Saying]:
    """Level runs whose bays do not share one size.

    Measured bays are left out, as each has its own size in any run.
    """
    runs: dict[str, set[BayKind]] = {}
    for bay, (_, kind) in zip(job.layout.bays, bay_kinds(job), strict=True):
        if bay.flight is None and not bay.measured:
            runs.setdefault(bay.run, set()).add(kind)
    uneven: list[tuple[Place, tuple[Length, Length]]] = []
    for run, kinds in runs.items():
        sizes = [_cut_from(job, kind.bay) for kind in kinds]
        if max(sizes) - min(sizes) >= job.deck.step - TOUCH:
            clears = [kind.bay.clear for kind in kinds]
            uneven.append(((run,), (steady(min(clears)), steady(max(clears)))))
    yield from tell_by_kind(uneven, partial(_uneven, job))


def _cut_from(job: Job, bay: Bay) -> Length:
    """Clear opening that a bay's top rail was cut from, to within a mark."""
    return bay.fill.top_cut + sum(job.kit.rails[bay.infill].top.allowances(bay.ends))


def _uneven(job: Job, clears: tuple[Length, Length]) -> Finding:
    least, most = clears
    sentence = (
        f"rails of one run are of more than one size, as its bays are from {job.text(least, most)} "
        f"to {job.text(most, least)} clear: {_UNEVEN}"
    )
    return say_by_kit(job, "rail_sizes", "pass", sentence)


def measured_bay_size(job: Job) -> Iterator[Saying]:
    """Narrower opening of each measured bay, in plan, against the kit's least bay.

    The bays that are wide enough share a pass, with the narrowest of them.
    """
    least = job.kit.least_bay
    wide: list[Place] = []
    narrowest = math.inf
    for bay in job.layout.bays:
        if not bay.measured:
            continue
        clear = steady(bay.clear)
        if clear < least - TOUCH:
            how = "clear" if bay.flight is None else "clear in plan"
            sentence = (
                f"measured {job.text(clear, least)} {how}, and the kit rails no opening under"
                f" {job.text(least)}: measure it again; if it is as narrow, set its posts further"
                " apart, or ask for rails and brackets that go into so little"
            )
            yield _of_measured(job, "violation", sentence, clear), [(bay.id,)]
        else:
            wide.append((bay.id,))
            narrowest = min(narrowest, clear)
    if wide:
        sentence = (
            f"the narrowest is measured {job.text(narrowest, least)} clear; the kit rails no"
            f" opening under {job.text(least)}"
        )
        yield _of_measured(job, "pass", sentence, narrowest), wide


def _of_measured(job: Job, verdict: Verdict, sentence: str, clear: Length) -> Finding:
    least = job.kit.least_bay
    return say_by_kit(job, "measured_bay_size", verdict, sentence, limit=least, actual=clear)
