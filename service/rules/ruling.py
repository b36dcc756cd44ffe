"""Rules: how a reading compares with a code's figure (`rule_on`), and whether the figure binds a
guard at all (`scope_of`).

Both may depend on the drop, the infill and more, which may not be given. Then every figure that may
hold is looked at, and the answer may be that it cannot be known.
"""

from __future__ import annotations

from typing import NamedTuple

from service.core.measure import TOUCH, Length
from service.core.records.code import ANYWHERE, Circumstances, Code, Figure
from service.core.records.deck import Drops
from service.core.records.figures import Measure
from service.core.records.layout import FlightBuilt
from service.rules.job import Job, once


class Ruling(NamedTuple):
    """How a reading compares with a figure.

    keeps: whether the reading keeps to it; None where the figures that may hold disagree, as what
    decides between them is not given. figure: the one to tell of: the mildest where the reading
    breaks them all, else the strictest. figures: all that may hold. maybe_none: whether possibly
    none of them holds.
    """

    keeps: bool | None
    figure: Figure
    figures: tuple[Figure, ...]
    maybe_none: bool = False


class Scope(NamedTuple):
    """Whether the height and opening figures bind a guard.

    assumed: whether they are taken to bind it, as it is not known if a guard is required there.
    missing: what would decide that and is not given. by: the amended figure that binds or frees the
    guard, or the figure of risers that binds it whatever its drop; else None.
    """

    binds: bool
    assumed: bool = False
    missing: tuple[Measure, ...] = ()
    by: Figure | None = None


def circumstances_of(flight: FlightBuilt) -> Circumstances:
    """What a figure may depend on, besides drops, at the guards of a flight."""
    return Circumstances(flight.infill, flight.height, flight.risers, flight.going)


def figure_on_flight(code: Code | None, name: str, flight: FlightBuilt) -> Figure | None:
    """The code's figure of that name for a flight; None where none holds for it."""
    figure = None if code is None else code.figure(name)
    return None if figure is None else figure.at(flight.drops, circumstances_of(flight))


def rule_on(
    figure: Figure, drops: Drops, actual: Length, here: Circumstances = ANYWHERE
) -> Ruling | None:
    """How a reading compares with the figure that holds at a place; None where no figure holds.

    >>> from service.core.records.code import When
    >>> low = Figure(900.0, "at_least", "1", "seen", (When("drop_to_ground", 1800.0, 1070.0, "2"),))
    >>> [rule_on(low, Drops(drop), 950.0).keeps for drop in (None, 1800.0, 1801.0)]
    [None, True, False]
    """
    may = figure.over(drops, here)
    figures = tuple([one for one in may if one is not None])
    if not figures:
        return None
    if len(may) == 1:
        return Ruling(figures[0].met_by(actual), figures[0], figures)
    verdicts = {one.met_by(actual) for one in figures}
    maybe_none = len(figures) < len(may)
    if maybe_none:
        verdicts.add(True)
    keeps = verdicts.pop() if len(verdicts) == 1 else None
    upward = figure.reads in ("at_least", "more_than")
    least, greatest = min(figures, key=Figure.number), max(figures, key=Figure.number)
    mildest, strictest = (least, greatest) if upward else (greatest, least)
    return Ruling(keeps, mildest if keeps is False else strictest, figures, maybe_none)


def guard_needed(job: Job, drops: Drops) -> Ruling | None:
    """Ruling on whether the code requires a guard over these drops; its `keeps` is true if so.

    None where no code has such a figure, where none holds there, and where the drop is not given.
    """
    figure = job.figure("guard_required_drop")
    if figure is None or drops.drop is None:
        return None
    return rule_on(figure, drops, drops.drop)


def is_freed(needed: Ruling | None) -> bool:
    """Whether it is known that the drop requires no guard. needed: as `guard_needed` has it."""
    return needed is not None and needed.keeps is False


def stepped_figure(job: Job, drops: Drops, risers: int | None = None) -> Figure | None:
    """The figure of how many risers make flights and landings need guards, whatever the drop.

    None where no code has such a figure, where there is no drop at all, and for a flight of fewer
    risers. risers: of a flight; None elsewhere.
    """
    figure = job.figure("guard_required_risers")
    level = drops.drop is not None and drops.drop <= TOUCH
    stepped = None if figure is None or level else figure.at(drops)
    fewer = stepped is not None and risers is not None and not stepped.met_by(risers)
    return None if fewer else stepped


@once
def scope_of(job: Job, drops: Drops, risers: int | None) -> Scope:
    """Whether the height and opening figures bind a guard over these drops. risers: of a flight.

    A code that does not say which guards its figures bind, or from which drop a guard is required,
    binds all guards. Worked out once for equal drops, as most guards of a deck have the same few.
    """
    words = job.figure("geometry_applies_to")
    required = job.figure("guard_required_drop")
    needed = guard_needed(job, drops)
    if words is None or words.value != "required guards" or required is None:
        # Words that are the local authority's decide where the drop alone would free the guard.
        decide = words is not None and words.amended and is_freed(needed)
        return Scope(binds=True, by=words if decide else None)
    if needed is None or needed.keeps is None:
        missing = ("drop",) if drops.drop is None else undecided(required, drops)
        return Scope(binds=True, assumed=True, missing=missing)
    stepped = None if needed.keeps else stepped_figure(job, drops, risers)
    if stepped is not None:
        return Scope(binds=True, by=stepped)
    return Scope(needed.keeps, by=needed.figure if needed.figure.amended else None)


def undecided(figure: Figure, drops: Drops) -> tuple[Measure, ...]:
    """What decides between the figure's cases over these drops and is not given."""
    open_ = [case.measure for case in figure.when if case.holds(drops, ANYWHERE) is None]
    return tuple(dict.fromkeys(open_))
