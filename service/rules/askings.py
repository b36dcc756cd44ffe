"""Rules: what a code's figure asks of a reading, in the words that follow the reading's own: "at
least 900 mm is required", "exactly the 900 mm that is required"."""

from __future__ import annotations

from typing import Final

from service.core.measure import TOUCH
from service.core.records.code import Figure, FigureKind, Reads
from service.rules.verdict import Job
from service.rules.words import printed_text

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


def bound_asks(job: Job, figure: Figure, actual: float, kind: FigureKind = "length") -> str:
    """What a least or a greatest figure asks; one that is just met is not asked for more."""
    limit = figure.number()
    met = _EXACTLY if abs(actual - limit) <= TOUCH else _ASKS
    asked = met.get(figure.reads, _ASKS[figure.reads]).format(printed(job, figure, kind))
    return asked.replace(" is ", " are ") if kind == "count" and limit != 1 else asked


def degrees_asks(job: Job, figure: Figure, actual: float) -> str:
    """What a figure in degrees asks."""
    return bound_asks(job, figure, actual, "degrees")


def drops_text(job: Job, figure: Figure) -> str:
    """The drops at which a guard is required, in words."""
    limit = printed(job, figure)
    return f"a drop of {limit} or more" if figure.reads == "at_least" else f"any drop over {limit}"


def sphere_asks(job: Job, figure: Figure, actual: float) -> str:
    """What the figure asks of a gap, and how it comes out where it breaks it."""
    limit = figure.number()
    if figure.reads != "less_than":
        return f"no more than {printed(job, figure)} may be left open"
    asks = f"a {printed(job, figure)} sphere must not pass"
    if figure.met_by(actual):
        return asks
    return f"{asks}, and one just would" if actual <= limit + TOUCH else f"{asks}, and one would"


def printed(job: Job, figure: Figure, kind: FigureKind = "length") -> str:
    """A figure as findings tell it: a length also in the other unit, where it is round in that
    alone."""
    if kind != "length":
        return job.text(figure.number(), kind=kind)
    return printed_text(figure.number(), job.deck.unit, job.deck.step)
