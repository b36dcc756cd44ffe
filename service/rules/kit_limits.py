"""Rules: readings of a layout compared with a greatest value of the kit's own; `verdict` has the
like for a code's figures."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from service.core.measure import TOUCH
from service.rules.finding import Amount
from service.rules.verdict import Job, Place, Saying, say, steady


def by_kit(
    job: Job,
    rule: str,
    readings: Iterable[tuple[Place, float]],
    limit: float,
    words: Callable[[float, bool], str],
    *,
    warning: bool = False,
    amount: Amount = "length",
) -> Iterator[Saying]:
    """Readings against the kit's greatest: the places within it together, with their worst
    reading; and each reading over it. words: the sentence of a reading and whether it keeps;
    warning: that one over it is no violation."""
    kept: list[Place] = []
    worst = 0.0
    cite = job.kit.id
    for place, value in readings:
        if value <= limit + TOUCH:
            kept.append(place)
            worst = max(worst, value)
            continue
        actual = steady(value)
        over = say(
            rule,
            "fail",
            words(actual, False),
            cite=cite,
            limit=limit,
            actual=actual,
            warning=warning,
            amount=amount,
        )
        yield over, [place]
    if kept:
        actual = steady(worst)
        sentence = words(actual, True)
        passed = say(rule, "pass", sentence, cite=cite, limit=limit, actual=actual, amount=amount)
        yield passed, kept
