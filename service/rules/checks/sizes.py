"""Rules: runs whose bays are not of one size, which whoever cuts and builds must know; and measured
bays too narrow for the kit."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import Final

from service.core.measure import TOUCH, Length
from service.core.records.layout import Bay
from service.rules.alike import BayKind, bay_kinds
from service.rules.finding import Finding, Verdict
from service.rules.job import Job, Place
from service.rules.saying import Saying, say_by_kit, steady, tell_by_kind

_WHY: Final = (
    "posts there keep within the kit's greatest spacing, and clear of places where none may stand. "
    "Set each rail, and what is under it, in the bay that it is listed for"
)


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
        sizes = [_size(job, kind.bay) for kind in kinds]
        if max(sizes) - min(sizes) >= job.deck.step - TOUCH:
            clears = [kind.bay.clear for kind in kinds]
            uneven.append(((run,), (steady(min(clears)), steady(max(clears)))))
    yield from tell_by_kind(uneven, partial(_uneven, job))


def _size(job: Job, bay: Bay) -> Length:
    """Clear opening that a bay's top rail was cut from, to within a mark."""
    return bay.fill.top_cut + sum(job.kit.rails[bay.infill].top.allowances(bay.ends))


def _uneven(job: Job, clears: tuple[Length, Length]) -> Finding:
    least, most = clears
    sentence = (
        f"rails of one run are of more than one size, as its bays are from {job.text(least, most)} "
        f"to {job.text(most, least)} clear: {_WHY}"
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
