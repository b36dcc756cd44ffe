"""Rules: how a check says what it found: a finding that names no place yet (`say`), paired with the
places that it holds for.

Findings that say the same are equal, so that `judge` can gather their places.
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
"""A finding without its places, and the places that it holds for."""
Check: TypeAlias = Callable[[Job], Iterator[Saying]]
"""Everything that one rule says of a job."""

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
    amended: bool = False,
    published: Length | str | None = None,
    ratio: float | None = None,
    unit: str | None = None,
    case: str | None = None,
    method: str | None = None,
    figures: tuple[str, ...] = (),
    amount: Amount = "length",
) -> Finding:
    """A finding without its places.

    rule: its name in RULES. sentence: the message, without places and full stop. The others are as
    in Finding.
    """
    result, severity = _OUTCOMES[verdict]
    return Finding(
        rule, RULES[rule].source, result, severity, (), sentence,
        cite, limit, actual, amended, published, ratio, unit, case, method, figures, amount,
    )  # fmt: skip


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
    """A finding that cites the kit's own document."""
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
    """A finding whose limit is a figure of the code. others: further figures that decided it."""
    decided = [figure, *[other for other in others if other is not None]]
    return say(
        rule,
        verdict,
        sentence,
        cite=figure.cite,
        limit=figure.value,
        actual=actual,
        amended=True in [each.amended for each in decided],
        published=figure.published,
        figures=tuple([each.name for each in decided]),
        amount=amount,
    )


def say_unstated(job: Job, rule: str, figure: str) -> Finding:
    """A not_checked finding: no code is named, or the code does not state `figure`."""
    why = "; name a code to have it checked"
    if job.code is not None:
        why = f", as {job.code.id} states no {figure}; give that figure in the code document"
    return say(rule, "not_checked", f"{RULES[rule].subject} was not checked{why}")


def tell_by_kind(
    kinds: Iterable[tuple[Place, Kind]], tell: Callable[[Kind], Finding | None]
) -> Iterator[Saying]:
    """What `tell` says of each place by its kind.

    Each kind is told once, and equal findings are merged. The places of a finding keep their order;
    findings come in the order of their first places. Where `tell` returns None nothing is said.
    """
    return tell_all_by_kind(kinds, lambda kind: (tell(kind),))


def tell_all_by_kind(
    kinds: Iterable[tuple[Place, Kind]], tell: Callable[[Kind], Iterable[Finding | None]]
) -> Iterator[Saying]:
    """As `tell_by_kind`, where `tell` may give several findings for one kind."""
    told: dict[Finding, list[Place]] = {}
    known: dict[Kind, list[list[Place]]] = {}
    for place, kind in kinds:
        if kind not in known:
            known[kind] = [told.setdefault(f, []) for f in tell(kind) if f is not None]
        for places in known[kind]:
            places.append(place)
    return iter(told.items())


def steady(value: float) -> float:
    """A reading without the last bits of arithmetic, so that equal readings compare equal.

    >>> steady(0.1 + 0.2), steady(-1e-9)
    (0.3, 0.0)
    """
    return round(value, 6) + 0.0
