"""Rules: readings of a layout compared with a greatest value of the kit's own; `code_limits` has
the like for a code's figures."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from service.core.measure import TOUCH
from service.rules.finding import Amount, Breach
from service.rules.job import Job, Place
from service.rules.saying import Saying, say_by_kit, steady


def by_kit(
    job: Job,
    rule: str,
    readings: Iterable[tuple[Place, float]],
    limit: float,
    words: Callable[[float, bool], str],
    *,
    breach: Breach = "violation",
    amount: Amount = "length",
) -> Iterator[Saying]:
    """Readings against the kit's greatest: the places within it together, with their worst
    reading; and each reading over it. words: the sentence of a reading and whether it keeps;
    breach: what one over it is."""
    kept: list[Place] = []
    worst = 0.0
    for place, value in readings:
        if value <= limit + TOUCH:
            kept.append(place)
            worst = max(worst, value)
            continue
        actual = steady(value)
        over = words(actual, False)
        yield (
            say_by_kit(job, rule, breach, over, limit=limit, actual=actual, amount=amount),
            [place],
        )
    if kept:
        actual = steady(worst)
        within = words(actual, True)
        yield (
            say_by_kit(job, rule, "pass", within, limit=limit, actual=actual, amount=amount),
            kept,
        )
