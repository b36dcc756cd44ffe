"""Rules: what spacers leave empty of their rail, by the code: each is cut down to a mark, and what
all of them lose so may come together at one gap, as nothing but they keep pickets apart."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Final

from service.core.measure import TOUCH, Length
from service.core.records.code import Figure
from service.rules.alike import BayKind, level_kinds, raked_kinds
from service.rules.checks.openings import stair_sphere
from service.rules.demands import sphere_demand
from service.rules.verdict import Job, Reading, Saying, by_kinds

_RULE: Final = "spacer_fit"
_GATHERED: Final = (
    "the spacers, cut as they are listed, leave up to %s of their rail empty, and where all of it "
    "comes together at one gap that is {}"
)
_FULL: Final = "the spacers fill their rail, and the widest gap is {}"
_CURE: Final = (
    "; cut the end spacers to what is left when the row is in, or lay the deck out in the unit of "
    "the kit or to a finer precision"
)


def spacer_fit(job: Job) -> Iterator[Saying]:
    """The widest gap of a row of pickets and spacers, with all that is loose in the row at it."""
    if job.kit.picket is None or job.kit.picket.spacing != "spacer":
        return
    read = partial(_gathered, job)
    rows = ((level_kinds(job), "opening_sphere"), (raked_kinds(job), stair_sphere(job)))
    for kinds, name in rows:
        yield from by_kinds(job, _RULE, name, kinds, read, _demand, warning=True)


def _gathered(job: Job, kind: BayKind) -> list[Reading]:
    """The widest gap of a bay's row, with what its spacers leave empty at the rail that is the
    longer; none of a bay without a row of spacers."""
    pickets = kind.bay.fill.pickets
    if pickets is None or not pickets.count:
        return []
    widest = pickets.gap if pickets.count > 1 else pickets.end_gap
    loose = pickets.loose + kind.bay.wider
    what = _GATHERED % job.text(loose) if loose > TOUCH else _FULL
    return [Reading(what, widest + loose, kind.drops, kind.here)]


def _demand(job: Job, figure: Figure, actual: Length) -> str:
    """What the figure asks of a gap, and what keeps to it where it is broken."""
    return sphere_demand(job, figure, actual) + ("" if figure.met_by(actual) else _CURE)
