"""Core: a published code's figures as frozen records, in the document's unit (contract, section 5).

The vocabulary of figures is closed (`figures`). A figure keeps its clause, how the code's text
reads at the limit itself, and whether that text was seen or is from memory.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Final, NamedTuple

from service.core.measure import TOUCH, Length
from service.core.records.deck import Drops, Infill
from service.core.records.figures import (
    FIGURES,
    LOADED,
    WIDER_OCCUPANCY,
    FigureKind,
    Measure,
    Reads,
)

NO_FIGURE_HERE: Final = "no figure here"
"""`published` of an amended figure at a place where the code's own figure does not hold."""


class Circumstances(NamedTuple):
    """What, besides drops, may decide which case of a figure holds at a place.

    Each is None where the place has no such thing, as a level bay has no risers.
    """

    infill: Infill | None = None
    height: Length | None = None
    risers: int | None = None
    going: Length | None = None


ANYWHERE: Final = Circumstances()
CODES_KEPT: Final = 16
"""For how many codes, those that were asked for last, what depends on a code alone is kept."""


@dataclass(frozen=True, slots=True)
class When:
    """A case of a figure, in which `value` holds, by `cite`, in place of the figure's own value.

    It holds where `measure` is more than `above`, or at least `starts`, or is the word `word`.

    value: None where no figure holds in this case. basis: how well the case is supported; None
    where that is as for the figure itself.
    """

    measure: Measure
    above: float | None
    value: Length | str | None
    cite: str
    starts: float | None = None
    word: str | None = None
    basis: str | None = None

    def holds(self, drops: Drops, here: Circumstances) -> bool | None:
        """Whether the case holds at a place; None where what decides that is not given.

        It does not hold where the place has nothing to measure (a level bay has no risers), nor
        where it asks for an occupancy and none is given, as the figure's own value is the code's
        ordinary one.
        """
        value = self._read(drops, here)
        if value is None:
            return None if self.measure in _MAY_BE_UNKNOWN else False
        return value == self.word if isinstance(value, str) else self.has(value)

    def has(self, value: float) -> bool:
        """Whether a measured value is more than `above`, or at least `starts`."""
        if self.above is not None:
            return value > self.above + TOUCH
        return self.starts is not None and value >= self.starts - TOUCH

    def _read(self, drops: Drops, here: Circumstances) -> float | str | None:
        measure = self.measure
        if measure == "drop":
            return drops.drop
        if measure == "drop_to_ground":
            return drops.to_ground if drops.to_ground is not None else drops.drop
        if measure == "drop_to_next_level":
            return drops.to_next_level if drops.to_next_level is not None else drops.drop
        if measure == "beneath":
            return drops.beneath or "walked"
        given: float | str | None = getattr(here, measure, None)
        return given


_MAY_BE_UNKNOWN: Final = ("drop", "drop_to_ground", "drop_to_next_level", "occupants")


@dataclass(frozen=True, slots=True)
class Occupancy:
    """What the whole deck is used for, and by how many people; each None where not given."""

    occupancy: str | None = None
    occupants: int | None = None

    @property
    def words(self) -> tuple[str, ...]:
        """The occupancy, and the wider one that it is as well (`WIDER_OCCUPANCY`)."""
        given = self.occupancy or ""
        return (given, WIDER_OCCUPANCY[given]) if given in WIDER_OCCUPANCY else (given,)

    def settles(self, case: When) -> bool | None:
        """Whether a case holds, where the use alone decides that; else None."""
        if case.measure == "occupancy":
            return self.occupancy is not None and case.word in self.words
        if case.measure != "occupants" or self.occupants is None:
            return None
        return case.has(self.occupants)


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a code.

    value: None where the figure holds in its cases, `when`, alone.
    reads: how the code's text reads at the value.
    basis: how well it is supported ("seen", "near", "digest", "memory").
    amended: whether the value is the local authority's.
    published: of an amended figure, what the code itself prints.
    replaced: of an amended figure, the code's own figure, where that has cases.
    name: its name in the vocabulary.
    """

    value: Length | str | None
    reads: Reads
    cite: str
    basis: str
    when: tuple[When, ...] = ()
    amended: bool = False
    published: Length | str | None = None
    replaced: Figure | None = field(default=None, compare=False)
    name: str = field(default="", compare=False)

    @property
    def kind(self) -> FigureKind:
        """The kind of its value; a length where it has no name."""
        return FIGURES[self.name].kind if self.name else "length"

    def number(self) -> float:
        """The value of a figure that is a number: a length, degrees, a count, a load, a factor.

        Raises TypeError where it is a word, or where the figure holds in its cases alone.
        """
        if self.value is None or isinstance(self.value, str):
            raise TypeError(f"{self.cite} is no number")
        return self.value

    def over(self, drops: Drops, here: Circumstances = ANYWHERE) -> tuple[Figure | None, ...]:
        """Every figure that may hold at a place: several where what decides is not given.

        A None among them means that there may be no figure. The last is what holds if none of the
        undecided cases does.
        """
        if not self.when:
            if self.replaced is not None:
                return (self._amended(drops, here),)
            return (self if self.value is not None else None,)
        may: list[Figure | None] = []
        for case in self.when:
            holds = case.holds(drops, here)
            if holds is not False:
                may.append(None if case.value is None else self._in(case))
            if holds:
                return tuple(may)
        may.append(None if self.value is None else replace(self, when=()))
        return tuple(may)

    def at(self, drops: Drops, here: Circumstances = ANYWHERE) -> Figure | None:
        """The figure at a place; None where none holds there.

        A case that depends on something not given is taken not to hold.
        """
        return self.over(drops, here)[-1]

    def for_use(self, use: Occupancy) -> Figure:
        """The figure for a deck of this use, without the cases that the use alone decides.

        The first of these that holds gives the figure its value; cases that do not hold are
        dropped.
        """
        if self.replaced is not None:
            return replace(self, replaced=self.replaced.for_use(use))
        kept: list[When] = []
        for case in self.when:
            holds = use.settles(case)
            if holds is None:
                kept.append(case)
            elif holds:
                return self._in(case, tuple(kept))
        return self if len(kept) == len(self.when) else replace(self, when=tuple(kept))

    def _in(self, case: When, when: tuple[When, ...] = ()) -> Figure:
        """The figure as it is in a case. when: the cases that it still has."""
        basis = case.basis or self.basis
        return replace(self, value=case.value, cite=case.cite, basis=basis, when=when)

    def _amended(self, drops: Drops, here: Circumstances) -> Figure:
        """An amended figure at a place, beside what the code's own figure comes to there."""
        own = self.replaced.at(drops, here) if self.replaced is not None else None
        if own is None:
            return replace(self, published=NO_FIGURE_HERE, replaced=None)
        return replace(self, published=own.value, cite=own.cite, basis=own.basis, replaced=None)

    def met_by(self, actual: Length) -> bool:
        """Whether `actual` keeps to the figure as its text reads; within 1e-6 is at the limit."""
        limit = self.number()
        if self.reads == "at_least":
            return actual >= limit - TOUCH
        if self.reads == "at_most":
            return actual <= limit + TOUCH
        if self.reads == "less_than":
            return actual < limit - TOUCH
        return actual > limit + TOUCH


@dataclass(frozen=True, slots=True, eq=False)
class Code:
    """A code document: its figures by name. Each record is equal to itself alone.

    occupancy: the use that its figures are read for; None where none is given.
    told_apart: the uses for which the code has cases.
    sized_apart: the uses for which figures other than loads have cases.
    other_use: names of the figures that hold for another use alone, and are not among `figures`.
    """

    id: str
    title: str
    edition: str
    figures: dict[str, Figure]
    occupancy: str | None = None
    told_apart: tuple[str, ...] = ()
    sized_apart: tuple[str, ...] = ()
    other_use: frozenset[str] = frozenset()

    def figure(self, name: str) -> Figure | None:
        """The figure of this name; None where the code states none."""
        return self.figures.get(name)

    def stated(self, name: str) -> Figure | None:
        """The figure for a question about no one place, such as how far out drops are looked for.

        A figure that holds in its cases alone is read with no drop given: None where no case holds
        then.
        """
        figure = self.figures.get(name)
        if figure is None or figure.value is not None:
            return figure
        return figure.at(Drops())

    def for_use(self, use: Occupancy) -> Code:
        """The code as read for a deck of this use (contract, section 3: `occupancy`).

        A figure that does not hold for the use is left out of `figures` and named in `other_use`.
        """
        figures = {
            name: figure.for_use(use) if figure.when or figure.replaced else figure
            for name, figure in self.figures.items()
        }
        stated = {name: f for name, f in figures.items() if f.value is not None or f.when}
        sizes = [figure for name, figure in self.figures.items() if name not in LOADED]
        return replace(
            self,
            figures=stated,
            occupancy=use.occupancy,
            told_apart=_uses_told(self.figures.values()),
            sized_apart=_uses_told(sizes),
            other_use=frozenset(figures.keys() - stated.keys()),
        )


def _uses_told(figures: Iterable[Figure]) -> tuple[str, ...]:
    """The occupancies for which these figures have cases, in alphabetical order."""
    words = {
        case.word
        for figure in figures
        for case in figure.when
        if case.measure == "occupancy" and case.word is not None
    }
    return tuple(sorted(words))
