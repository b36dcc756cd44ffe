"""Rules: runs whose bays are not of one size, so that whoever cuts and builds finds it said, and
why."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Final

from service.core.measure import TOUCH, Length
from service.core.records.layout import Bay
from service.rules.finding import Finding
from service.rules.job import Job, Place
from service.rules.saying import Saying, say_by_kit, steady, tell_alike

_WHY: Final = (
    "posts there keep within the kit's greatest spacing, and clear of places where none may stand. "
    "Set each rail, and what is under it, in the bay that it is listed for"
)


def rail_sizes(job: Job) -> Iterator[Saying]:
    """Level runs whose bays do not share one size; what was measured has its own in any run."""
    runs: dict[str, list[Bay]] = {}
    for bay in job.layout.bays:
        if bay.flight is None and not bay.measured:
            runs.setdefault(bay.run, []).append(bay)
    uneven: list[tuple[Place, tuple[Length, Length]]] = []
    for run, bays in runs.items():
        sizes = [_size(job, bay) for bay in bays]
        if max(sizes) - min(sizes) >= job.deck.step - TOUCH:
            clears = [bay.clear for bay in bays]
            uneven.append(((run,), (steady(min(clears)), steady(max(clears)))))
    yield from tell_alike(uneven, partial(_uneven, job))


def _size(job: Job, bay: Bay) -> Length:
    """The clear opening that a bay's top rail was cut from, but for less than a mark."""
    allowance = job.kit.rails[bay.infill].top.end_allowance
    return bay.fill.top_cut + sum(allowance[end] for end in bay.ends)


def _uneven(job: Job, clears: tuple[Length, Length]) -> Finding:
    least, most = clears
    sentence = (
        f"rails of one run are of more than one size, as its bays are from {job.text(least, most)} "
        f"to {job.text(most, least)} clear: {_WHY}"
    )
    return say_by_kit(job, "rail_sizes", "pass", sentence)
