"""Rules: the widest gap that infill may come to have as it is set, by the code.

Spacers are cut down to a mark, and what they lose along a rail may all gather at one gap. Pickets
set by their centres stand on marks. A panel may slide in its channels until it stands against one
post (engineering facts, 1.6).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import pairwise
from typing import Final, TypeVar

from service.core.measure import TOUCH, Length
from service.core.records.code import Figure
from service.core.records.infill import Pickets
from service.core.records.layout import Bay
from service.rules.alike import BayKind, LeafKind, level_guards, level_kinds, raked_kinds
from service.rules.checks.gaps import gaps_of, stair_sphere
from service.rules.code_limits import Criterion, Reading, by_kinds
from service.rules.figure_words import Asking, sphere_asks, sphere_asks_or
from service.rules.job import Job, Place
from service.rules.ruling import scope_of
from service.rules.saying import Saying

Kind = TypeVar("Kind", BayKind, BayKind | LeafKind)
_GATHERED: Final = (
    "the spacers, cut as listed, leave up to %s of their rail empty, and with all of that at one "
    "gap the gap is {}"
)
_FULL: Final = "the spacers fill their rail, and the widest gap is {}"
_MARKED: Final = "pickets set at the centres listed leave a gap of up to {}"
_SLID: Final = "where the panel stands against one post, the gap beside the other is up to {}"
_KEEP: Final = "set it in the middle and block its sides, or take a kit with less beside the glass"
_CURES: Final = {
    "spacer": "; cut the end spacers to what is left when the row is in, or lay the deck out in "
    "the unit of the kit or to a finer precision",
    "equal": "; set them by equal gaps, or lay the deck out to a finer precision",
}

_SMALL_FIGURE: Final = "opening_not_required_guard"
_SHORTER: Final = "; shorter spacers cure it, as each alone leaves too much"


def pickets_as_set(job: Job) -> Iterator[Saying]:
    """Widest gap that each row of pickets may come to have, with all of its play at that gap.

    More than the code's sphere is a warning, as the installer can do better. Punched rails are left
    out.
    """
    if job.kit.picket is None or job.kit.picket.spacing == "punched":
        return
    spacing, spacer = job.kit.picket.spacing, job.kit.picket.gap

    def asks(job: Job, figure: Figure, actual: Length) -> str:
        asked = sphere_asks(job, figure, actual)
        if figure.met_by(actual):
            return asked
        too_long = spacing == "spacer" and not figure.met_by(spacer)
        return asked + (_SHORTER if too_long else _CURES[spacing])

    read = partial(_gathered if spacing == "spacer" else _marked, job)
    yield from _as_set(job, "pickets_as_set", asks, level_kinds(job), read)


def glass_as_set(job: Job) -> Iterator[Saying]:
    """Widest gap beside each panel, of bays and of leaves, as the panel may slide to either side.

    More than the code's sphere is a warning, as the installer can do better.
    """
    yield from _as_set(job, "glass_as_set", sphere_asks_or(_KEEP), level_guards(job), _slid)


def _as_set(
    job: Job,
    rule: str,
    asks: Asking,
    levels: Sequence[tuple[Place, Kind]],
    read: Callable[[Kind], list[Reading]],
) -> Iterator[Saying]:
    """Warnings of gaps, as set, over the code's sphere, in guards of levels, then of flights.

    Then those of guards that the code does not require, over its small figure. Only guards whose
    gaps as drawn keep that figure are read: `opening_not_required` tells of others.
    """
    rows = ((levels, "opening_sphere"), (raked_kinds(job), stair_sphere(job)))
    for kinds, name in rows:
        yield from by_kinds(job, Criterion(rule, name, asks, fails_as="warning"), kinds, read)
    small = job.stated(_SMALL_FIGURE)
    if small is None:
        return

    def kept(kind: Kind) -> bool:
        bound = scope_of(job, kind.drops, kind.here.risers).binds
        return not bound and all(small.met_by(gap.actual) for gap in gaps_of(job, kind))

    def asks_there(job: Job, figure: Figure, actual: Length) -> str:
        return f"in a guard that is not required here, {asks(job, figure, actual)}"

    criterion = Criterion(rule, _SMALL_FIGURE, asks_there, fails_as="warning", always=True)
    for kinds, _ in rows:
        yield from by_kinds(job, criterion, [each for each in kinds if kept(each[1])], read)


def _slid(kind: BayKind | LeafKind) -> list[Reading]:
    """Gap beside a panel that has slid to the other side; empty where there is no panel.

    It is read at the rail where the opening is the wider.
    """
    if kind.glass is None:
        return []
    beside, wider = kind.glass.side_gap, 0.0
    if isinstance(kind, BayKind):
        beside, wider = (beside if kind.space is None else kind.space), kind.bay.wider
    return [Reading(_SLID, beside + kind.glass.side_gap + wider, kind.drops, kind.here)]


def _gathered(job: Job, kind: BayKind) -> list[Reading]:
    """Widest gap of a row of pickets, with all that its spacers leave of their rail gathered there.

    It is read at the rail where the opening is the wider. Empty for a bay without pickets.
    """
    pickets = kind.pickets
    if pickets is None or not pickets.count:
        return []
    widest = pickets.gap if pickets.count > 1 else pickets.end_gap
    if kind.space is not None:
        widest = max(widest, kind.space) if pickets.count > 1 else kind.space
    loose = pickets.loose + kind.bay.wider
    what = _GATHERED % job.text(loose) if loose > TOUCH else _FULL
    return [Reading(what, widest + loose, kind.drops, kind.here)]


def _marked(job: Job, kind: BayKind) -> list[Reading]:
    """Widest gap of a row of pickets that stand on their marks; empty for a bay without pickets."""
    pickets = kind.pickets
    if pickets is None or not pickets.count:
        return []
    widest = pickets.gap + pickets.loose
    if kind.space is not None:
        widest = _widest_beside(job, kind.bay, pickets, kind.space)
    return [Reading(_MARKED, widest + kind.bay.wider, kind.drops, kind.here)]


def _widest_beside(job: Job, bay: Bay, pickets: Pickets, space: Length) -> Length:
    """Widest gap of such a row in a bay that ends at something not square to it.

    space: the clear space there as drawn. It counts with what the marks of the outer pickets add to
    the gap at an end; where they add nothing, `opening_size` has judged it.
    """
    assert job.kit.picket is not None
    width, centres = job.kit.picket.width, pickets.centres
    widest = max((b - a - width for a, b in pairwise(centres)), default=0.0)
    at_end = max(centres[0], bay.clear - centres[-1]) - width / 2
    added = at_end - pickets.end_gap
    return max(widest, space + added) if added > TOUCH or not widest else widest
