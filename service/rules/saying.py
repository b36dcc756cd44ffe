"""Rules: how a check says what it found: a finding that names no place yet, with the places that it
holds for.

Alike findings are equal, so that `judge` can gather their places.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from typing import Final, TypeAlias, TypeVar

from service.core.measure import Length
from service.core.records.code import Figure
from service.rules.finding import Amount, Finding, Result, Severity, Verdict
from service.rules.job import Job, Place
from service.rules.table import RULES

Kind = TypeVar("Kind", bound=Hashable)
Saying: TypeAlias = tuple[Finding, Sequence[Place]]
Check: TypeAlias = Callable[[Job], Iterator[Saying]]

_OUTCOMES: Final[dict[Verdict, tuple[Result, Severity]]] = {
    "pass": ("pass", "note"),
    "violation": ("fail", "violation"),
    "warning": ("fail", "warning"),
    "not_checked": ("not_checked", "note"),
}


def say(
    rule: str,
    verdict: Verdict,
    sentence: str,
    *,
    cite: str = "",
    limit: Length | str | None = None,
    actual: Length | str | None = None,
    amount: Amount = "length",
) -> Finding:
    """A finding without its places.

    rule: its name in RULES; sentence: its message, without places and full stop; cite: the clause,
    or the kit's id. limit, actual: what was compared, as `amount` says.
    """
    result, severity = _OUTCOMES[verdict]
    return Finding(
        rule=rule,
        source=RULES[rule].source,
        result=result,
        severity=severity,
        where=(),
        message=sentence,
        cite=cite,
        limit=limit,
        actual=actual,
        amount=amount,
    )


def say_by_kit(
    job: Job,
    rule: str,
    verdict: Verdict,
    sentence: str,
    *,
    limit: Length | None = None,
    actual: Length | None = None,
    amount: Amount = "length",
) -> Finding:
    """A finding whose clause is the kit's own document."""
    cite = job.kit.id
    return say(rule, verdict, sentence, cite=cite, limit=limit, actual=actual, amount=amount)


def say_by_figure(
    rule: str,
    verdict: Verdict,
    sentence: str,
    figure: Figure,
    actual: Length | str | None,
    others: Iterable[Figure | None] = (),
    amount: Amount = "length",
) -> Finding:
    """A finding whose limit is a code's figure. others: figures that it leans on beside it."""
    cite, limit = figure.cite, figure.value
    said = say(rule, verdict, sentence, cite=cite, limit=limit, actual=actual, amount=amount)
    return leaning_on(said, (figure, *others))._replace(published=figure.published)


def leaning_on(finding: Finding, figures: Iterable[Figure | None]) -> Finding:
    """A finding with the code's figures that decided it; it is marked where one is amended."""
    read = [figure for figure in figures if figure is not None]
    return finding._replace(
        amended=True in [figure.amended for figure in read],
        figures=tuple([figure.name for figure in read]),
    )


def say_unstated(job: Job, rule: str, figure: str) -> Finding:
    """Not checked: no code is named, or its document has no such figure."""
    subject = RULES[rule].subject
    if job.code is None:
        sentence = f"{subject} was not checked; name a code to have it checked"
        return say(rule, "not_checked", sentence)
    return say(
        rule,
        "not_checked",
        f"{subject} was not checked, as {job.code.id} states no {figure}; "
        "give that figure in the code document",
    )


def tell_alike(
    kinds: Iterable[tuple[Place, Kind]], tell: Callable[[Kind], Finding | None]
) -> Iterator[Saying]:
    """What is told of each place by its kind; each kind is told once, alike findings together.

    The places of a finding come in their order, the findings in that of their first places.
    """
    return tell_all(kinds, lambda kind: (tell(kind),))


def tell_all(
    kinds: Iterable[tuple[Place, Kind]], tell: Callable[[Kind], Iterable[Finding | None]]
) -> Iterator[Saying]:
    """What is told of each place by its kind, as by `tell_alike`, where several things may be told
    of one kind."""
    told: dict[Finding, list[Place]] = {}
    known: dict[Kind, list[list[Place]]] = {}
    for place, kind in kinds:
        mine = known.get(kind)
        if mine is None:
            mine = known[kind] = [told.setdefault(f, []) for f in tell(kind) if f is not None]
        for places in mine:
            places.append(place)
    return iter(told.items())


def steady(value: float) -> float:
    """A reading freed of the last bits of arithmetic, so that equal ones are equal.

    >>> steady(0.1 + 0.2), steady(-1e-9)
    (0.3, 0.0)
    """
    return round(value, 6) + 0.0
