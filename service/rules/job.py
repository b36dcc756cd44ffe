"""Rules: what every check is given (a Job), and where things are (a Place)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeAlias, TypeVar, TypeVarTuple

from service.core.measure import Length, angle_text, number_text
from service.core.records.code import Code, Figure
from service.core.records.deck import Deck
from service.core.records.figures import FigureKind
from service.core.records.kit import Kit
from service.core.records.layout import Layout
from service.core.records.orders import SticksSeen
from service.rules.words import clause_text, length_text, load_text, nearest_text

Place: TypeAlias = tuple[str, ...]
"""One place: an id, or the two ids of a pair."""
T = TypeVar("T")
Given = TypeVarTuple("Given")


@dataclass(frozen=True, slots=True)
class Job:
    """What is judged, and by what. sticks: what the order of the layout shows; none of a layout
    that was not ordered."""

    layout: Layout
    deck: Deck
    kit: Kit
    code: Code | None
    sticks: tuple[SticksSeen, ...] = ()
    _known: dict[object, Any] = field(default_factory=dict, init=False, compare=False, repr=False)

    def once(self, work_out: Callable[[Job, *Given], T], *given: *Given) -> T:
        """What `work_out` makes of this job and of `given`: worked out once, as several checks ask
        for it."""
        key = (work_out, given) if given else work_out
        try:
            found: T = self._known[key]
        except KeyError:
            found = self._known[key] = work_out(self, *given)
        return found

    def figure(self, name: str) -> Figure | None:
        """A figure of the code; None without a code or where it states none."""
        return self.code.figure(name) if self.code is not None else None

    def stated(self, name: str) -> Figure | None:
        """A figure of the code for what is asked of no place."""
        return self.code.stated(name) if self.code is not None else None

    def text(self, value: float, beside: float | None = None, kind: FigureKind = "length") -> str:
        """A length, an angle or a count in the words of this document."""
        if kind == "length":
            return length_text(value, self.deck.unit, self.deck.step, beside)
        if kind == "degrees":
            return angle_text(value, beside)
        if kind == "count":
            return number_text(value, 0)
        return load_text(value, kind, self.deck.unit)

    def tape(self, value: Length, beside: Length | None = None) -> str:
        """A length to the nearest mark. beside: a limit that it breaks."""
        return nearest_text(value, self.deck.unit, self.deck.step, beside)

    def clause(self, figure: Figure, kind: FigureKind = "length") -> str:
        """The clause of a figure, in brackets."""
        published = figure.published
        if published is None or isinstance(published, str):
            return clause_text(figure, published)
        return clause_text(figure, self.text(published, kind=kind))
