"""Core: a published code's figures as data, frozen, in the document's unit (contract, section 5).

The vocabulary of figures is closed (`figures`). A figure keeps its clause, how its text reads at
the limit itself, and whether the text was seen or is from memory.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Final, NamedTuple

from service.core.measure import TOUCH, Length
from service.core.records.deck import Drops, Infill
from service.core.records.figures import ALSO, LOADED, Measure, Reads

NO_FIGURE_HERE: Final = "no figure here"
"""What an amended figure's code prints where its own conditions are not met."""


class Here(NamedTuple):
    """What else than drops may decide at a place; None where it has no such thing."""

    infill: Infill | None = None
    height: Length | None = None
    risers: int | None = None
    going: Length | None = None


ANYWHERE: Final = Here()


@dataclass(frozen=True, slots=True)
class When:
    """A case of a figure: where `measure` is above `above`, or at least `starts`, or is `word`,
    `value` holds instead, by `cite`; None: no figure holds there.

    basis: how well the case is supported, None where that is as the figure itself.
    """

    measure: Measure
    above: float | None
    value: Length | str | None
    cite: str
    starts: float | None = None
    word: str | None = None
    basis: str | None = None

    def holds(self, drops: Drops, here: Here) -> bool | None:
        """Whether it holds; None where what decides is not given.

        A place that has no such thing (a level bay no risers) is not met; nor is an occupancy
        that is not given, as the figure's own value is the code's ordinary one.
        """
        value = self._read(drops, here)
        if value is None:
            return None if self.measure in _MAY_BE_UNKNOWN else False
        if isinstance(value, str):
            return value == self.word
        if self.above is not None:
            return value > self.above + TOUCH
        return self.starts is not None and value >= self.starts - TOUCH

    def _read(self, drops: Drops, here: Here) -> float | str | None:
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
    """What the whole deck is used for: None where not given."""

    occupancy: str | None = None
    occupants: int | None = None

    @property
    def words(self) -> tuple[str, ...]:
        """The occupancy, and what else that is."""
        given = self.occupancy or ""
        return (given, ALSO[given]) if given in ALSO else (given,)

    def settles(self, case: When) -> bool | None:
        """Whether the use alone says that a case holds or not; None where it does not say."""
        if case.measure == "occupancy":
            return self.occupancy is not None and case.word in self.words
        if case.measure != "occupants" or self.occupants is None:
            return None
        if case.above is not None:
            return self.occupants > case.above
        return case.starts is not None and self.occupants >= case.starts


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure.

    value: None where it holds in its cases, `when`, alone.
    basis: how well it is supported ("seen", "near", "digest", "memory").
    amended: whether it is the local authority's; then published is what the code itself prints,
    and replaced the code's own figure, where that has cases.
    name: in the vocabulary.
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

    def number(self) -> float:
        """The value of a figure that is a number: a length, degrees, a count, a load, a factor.

        Raises TypeError where it is a word, or where the figure holds in its cases alone.
        """
        if self.value is None or isinstance(self.value, str):
            raise TypeError(f"{self.cite} is no number")
        return self.value

    def over(self, drops: Drops, here: Here = ANYWHERE) -> tuple[Figure | None, ...]:
        """Every figure that may hold at a place: one, or more where what decides is not given.

        None stands for no figure. The last is the one that holds if no unknown case does.
        """
        if not self.when:
            if self.replaced is not None:
                return (self._amended(drops, here),)
            return (self if self.value is not None else None,)
        may: list[Figure | None] = []
        for case in self.when:
            holds = case.holds(drops, here)
            if holds is not False:
                may.append(self._as(case))
            if holds:
                return tuple(may)
        may.append(None if self.value is None else replace(self, when=()))
        return tuple(may)

    def at(self, drops: Drops, here: Here = ANYWHERE) -> Figure | None:
        """The figure at a place, None where none holds; a case that hangs on what is not given is
        taken not to hold."""
        return self.over(drops, here)[-1]

    def for_use(self, use: Occupancy) -> Figure:
        """The figure for a deck of this use: a case that the use alone decides is taken, or
        dropped."""
        if self.replaced is not None:
            return replace(self, replaced=self.replaced.for_use(use))
        kept: list[When] = []
        for case in self.when:
            holds = use.settles(case)
            if holds is None:
                kept.append(case)
            elif holds:
                basis = case.basis or self.basis
                return replace(
                    self, value=case.value, cite=case.cite, basis=basis, when=tuple(kept)
                )
        return self if len(kept) == len(self.when) else replace(self, when=tuple(kept))

    def _as(self, case: When) -> Figure | None:
        if case.value is None:
            return None
        basis = case.basis or self.basis
        return replace(self, value=case.value, cite=case.cite, basis=basis, when=())

    def _amended(self, drops: Drops, here: Here) -> Figure:
        """An amended figure beside what the code's own comes to at this place."""
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


@dataclass(frozen=True, slots=True)
class Code:
    """A code document: its figures by name.

    occupancy: the use that they are read for, None where none is given. told_apart: the uses for
    which the code has cases; sized_apart: those for which figures other than loads have.
    other_use: names of the figures that hold for another use alone, which are not among `figures`.
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
        """The figure of that name, or None where this code states none."""
        return self.figures.get(name)

    def stated(self, name: str) -> Figure | None:
        """The figure for a question that is of no one place, such as how far out from an edge the
        drop is looked for. One that holds in its cases alone is as where nothing is known of a
        place: None where no case holds then."""
        figure = self.figures.get(name)
        if figure is None or figure.value is not None:
            return figure
        return figure.at(Drops())

    def for_use(self, use: Occupancy) -> Code:
        """The code as it is for a deck of that use (contract, section 3: `occupancy`).

        A figure that holds for no such use is not stated, but kept by name.
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
    """The uses of a deck that these figures have cases for."""
    words = {
        case.word
        for figure in figures
        for case in figure.when
        if case.measure == "occupancy" and case.word is not None
    }
    return tuple(sorted(words))
