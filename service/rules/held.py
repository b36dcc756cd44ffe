"""Rules: a code's figure held against a reading, over drops that may not be given."""

from __future__ import annotations

from dataclasses import dataclass, replace

from service.core.code import Code, Figure
from service.core.deck import Drops
from service.core.layout import FlightBuilt
from service.core.measure import Length


@dataclass(frozen=True, slots=True)
class Held:
    """A reading against a figure. keeps: None where the drop that decides is not given.

    figure: the one that decides, the strictest kept or the mildest broken; figures: all
    that may hold.
    """

    keeps: bool | None
    figure: Figure
    figures: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class Scope:
    """Whether the height and opening figures bind a guard.

    assumed: only because its drop is not given. by: the amended drop that binds or frees it.
    """

    binds: bool
    assumed: bool = False
    by: Figure | None = None


def figures_over(figure: Figure, drops: Drops) -> tuple[Figure, ...]:
    """Every figure that may hold over these drops: one, or more where a drop is not given.

    >>> from service.core.code import When
    >>> low = Figure(900.0, "at_least", "1", "seen", (When("drop_to_ground", 1800.0, 1070.0, "2"),))
    >>> [one.value for one in figures_over(low, Drops())]
    [1070.0, 900.0]
    >>> [one.value for one in figures_over(low, Drops(drop=1801.0))]
    [1070.0]
    """
    if not figure.when:
        return (figure,)
    ground = drops.to_ground if drops.to_ground is not None else drops.drop
    below = drops.to_next_level if drops.to_next_level is not None else drops.drop
    given = {"drop": drops.drop, "drop_to_ground": ground, "drop_to_next_level": below}
    unknown = tuple(
        replace(figure, value=case.value, cite=case.cite, when=())
        for case in figure.when
        if given[case.measure] is None
    )
    return (*unknown, replace(figure.at(drops), when=()))


def hold(figure: Figure, drops: Drops, actual: Length) -> Held:
    """A reading against the figure that holds over these drops."""
    figures = figures_over(figure, drops)
    verdicts = {one.met_by(actual) for one in figures}
    keeps = verdicts.pop() if len(verdicts) == 1 else None
    upward = figure.reads in ("at_least", "more_than")
    pick = max if upward == (keeps is not False) else min
    return Held(keeps, pick(figures, key=Figure.length), figures)


def guard_needed(code: Code, drops: Drops) -> Held | None:
    """Whether the code requires a guard over these drops; None where it can't be known."""
    figure = code.figure("guard_required_drop")
    if figure is None or drops.drop is None:
        return None
    return hold(figure, drops, drops.drop)


def scope_over(code: Code, drops: Drops) -> Scope:
    """Whether the height and opening figures bind a guard over these drops.

    A code that does not say which guards they bind, or from which drop a guard is
    required, binds them all.
    """
    words = code.figure("geometry_applies_to")
    required = code.figure("guard_required_drop")
    if words is None or words.value != "required guards" or required is None:
        return Scope(binds=True)
    needed = guard_needed(code, drops)
    if needed is None or needed.keeps is None:
        return Scope(binds=True, assumed=True)
    return Scope(needed.keeps, by=needed.figure if needed.figure.amended else None)


def beside_flight(flight: FlightBuilt) -> Drops:
    """What lies below the sides of a flight: the deeper of the drop of the edge that it goes
    down from and the drop that its rise must come to."""
    known = [drop for drop in (flight.drops.drop, flight.drop) if drop is not None]
    return flight.drops._replace(drop=max(known, default=None))
