"""Wire: a line of `comparison`, for one variant of a document."""

from __future__ import annotations

from collections.abc import Sequence

from service.core.problems import Problem
from service.wire.writing.layout import Answered, summarise
from service.wire.writing.orders import money_text
from service.wire.writing.pen import Json

TOLD: tuple[str, ...] = (
    "posts", "bays", "railing_length", "pickets", "glass_panels",
    "violations", "warnings", "not_checked",
)  # fmt: skip
"""The members of the summary that the line of a variant repeats."""


def write_variant(label: str, answered: Answered) -> Json:
    """The line of a variant that can be built: its counts, and its total where there are prices."""
    summary = summarise(answered)
    line: Json = {"label": label, **{name: summary[name] for name in TOLD}}
    quote = answered.order.quote
    if quote is not None:
        line["currency"] = quote.prices.currency
        line["total"] = money_text(quote.total)
        line["unpriced"] = list(quote.unpriced)
    return line


def write_problem(label: str, problems: Sequence[Problem]) -> Json:
    """The line of a variant that cannot be built: its first problem, and how many there are."""
    first = problems[0]
    return {
        "label": label,
        "problem": {"code": first.code, "message": first.message, "count": len(problems)},
    }
