"""Rules: what a code's figure asks of a reading, in words that follow the reading's own: "at least
900 mm is required", or "exactly the 900 mm that is required" where it is just met."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Final, TypeAlias

from service.core.measure import TOUCH
from service.core.records.code import Figure
from service.core.records.figures import Measure, Reads
from service.rules.job import Job
from service.rules.ruling import Scope
from service.rules.words import count_text, list_text, printed_text

Asking: TypeAlias = Callable[[Job, Figure, float], str]
"""Words for what a figure asks of a reading, and for whether this reading meets it."""

_ASKS: Final[dict[Reads, str]] = {
    "at_least": "at least {} is required",
    "more_than": "more than {} is required",
    "at_most": "at most {} is allowed",
    "less_than": "less than {} is required",
}
_EXACTLY: Final[dict[Reads, str]] = {
    "at_least": "exactly the {} that is required",
    "at_most": "exactly the {} that is allowed",
}
_GIVEN_AS: Final[dict[Measure, str]] = {
    "drop": "the drop",
    "drop_to_ground": "the drop",
    "drop_to_next_level": "the drop",
    "occupants": "how many people the deck is for (occupants)",
}
"""Words for what decides between the cases of a figure and may be missing from a document."""


def bound_asks(job: Job, figure: Figure, actual: float) -> str:
    """What a least or a greatest figure asks, and whether the reading just meets it."""
    limit = figure.number()
    met = _EXACTLY if abs(actual - limit) <= TOUCH else _ASKS
    asked = met.get(figure.reads, _ASKS[figure.reads]).format(printed(job, figure, actual))
    return asked.replace(" is ", " are ") if figure.kind == "count" and limit != 1 else asked


def required_text(job: Job, figure: Figure, unless: str = "") -> str:
    """That a guard is required, and at which drops, in words with the clause.

    unless: what would make good for one, in words, to stand before the clause.
    """
    limit = printed(job, figure)
    over = f"a drop of {limit} or more" if figure.reads == "at_least" else f"any drop over {limit}"
    return f"a guard is required at {over}{unless} {job.clause(figure)}"


def stepped_text(job: Job, figure: Figure) -> str:
    """From how many risers flights and landings need guards, in words with the clause."""
    over = "of more than" if figure.reads == "more_than" else "from"
    least = count_text(round(figure.number()), "riser")
    return f"flights and landings {over} {least} need guards {job.clause(figure)}"


def scope_text(job: Job, scope: Scope) -> str:
    """What a message adds where it is not plain that the figures bind the guard; else empty."""
    if scope.assumed:
        return f"; {_unknown(scope)}, so the guard is taken as a required one"
    if scope.by is not None:
        if scope.by.name == "guard_required_risers":
            return f"; whatever the drop, {stepped_text(job, scope.by)}"
        if isinstance(scope.by.value, str):
            return f"; the figures bind {scope.by.value} {job.clause(scope.by)}"
        return f"; a guard is required here by the drop {job.clause(scope.by)}"
    return ""


def _unknown(scope: Scope) -> str:
    """Why it is not known whether a guard is required, in words."""
    if scope.missing == ("drop",):
        return "no drop is given"
    if scope.missing:
        given = given_as(scope.missing)
        return f"whether a guard is required here depends on {given}, which is not given"
    return "the code does not say whether a guard is required here"


def given_as(measures: Iterable[Measure]) -> str:
    """What decides between the cases of a figure and may be missing from a document, in words."""
    return list_text(list(dict.fromkeys(_GIVEN_AS[measure] for measure in measures)))


def sphere_asks(job: Job, figure: Figure, actual: float) -> str:
    """What a figure for openings asks of a gap; if the gap breaks it, that a sphere would pass."""
    limit = figure.number()
    if figure.reads != "less_than":
        return f"no more than {printed(job, figure, beside=actual)} may be left open"
    asks = f"a {printed(job, figure, beside=actual)} sphere must not pass"
    if figure.met_by(actual):
        return asks
    return f"{asks}, and one just would" if actual <= limit + TOUCH else f"{asks}, and one would"


def sphere_asks_or(cure: str) -> Asking:
    """As `sphere_asks`, with a cure, in words, for a gap that breaks the figure."""

    def asks(job: Job, figure: Figure, actual: float) -> str:
        asked = sphere_asks(job, figure, actual)
        return asked if figure.met_by(actual) else f"{asked}; {cure}"

    return asks


def printed(job: Job, figure: Figure, beside: float | None = None) -> str:
    """A figure as findings tell it; a length also in the other unit, if round only in that.

    beside: the reading, which must not read like the figure unless it is equal to it.
    """
    if figure.kind != "length":
        return job.text(figure.number(), kind=figure.kind)
    return printed_text(figure.number(), job.deck.unit, job.deck.step, beside)
