"""Rules: what every check is given (`Job`), and how a place is named (`Place`)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import wraps
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
    """What is judged, and what it is judged by.

    sticks: what the layout's order shows of its sticks; empty for a layout that was not ordered.
    known: what functions that are worked out `once` have found.
    """

    layout: Layout
    deck: Deck
    kit: Kit
    code: Code | None
    sticks: tuple[SticksSeen, ...] = ()
    known: dict[object, Any] = field(default_factory=dict, init=False, compare=False, repr=False)

    def figure(self, name: str) -> Figure | None:
        """The code's figure of that name; None without a code, or where the code states none."""
        return self.code.figure(name) if self.code is not None else None

    def stated(self, name: str) -> Figure | None:
        """The code's figure for a question of no particular place (`Code.stated`), or None."""
        return self.code.stated(name) if self.code is not None else None

    def text(self, value: float, beside: float | None = None, kind: FigureKind = "length") -> str:
        """A length, an angle, a count or a load in the words of this document.

        beside: what the value is compared with; a length or an angle must not read like it.
        """
        if kind == "length":
            return length_text(value, self.deck.unit, self.deck.step, beside)
        if kind == "degrees":
            return angle_text(value, beside)
        if kind == "count":
            return number_text(value, 0)
        return load_text(value, kind, self.deck.unit)

    def tape(self, value: Length, beside: Length | None = None) -> str:
        """A length to the nearest mark. beside: a limit that it breaks, and must not read like."""
        return nearest_text(value, self.deck.unit, self.deck.step, beside)

    def clause(self, figure: Figure) -> str:
        """The clause of a figure in brackets; for an amended figure also what the code prints."""
        published = figure.published
        if published is None or isinstance(published, str):
            return clause_text(figure, published)
        return clause_text(figure, self.text(published, kind=figure.kind))


def once(work_out: Callable[[Job, *Given], T]) -> Callable[[Job, *Given], T]:
    """A function whose result is worked out once for a job, as several checks ask for it."""

    @wraps(work_out)
    def found(job: Job, *given: *Given) -> T:
        key = (work_out, given) if given else work_out
        try:
            known: T = job.known[key]
        except KeyError:
            known = job.known[key] = work_out(job, *given)
        return known

    return found
