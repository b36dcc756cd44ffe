"""Rules: readings of a layout compared with a greatest value that the kit allows; `code_limits`
does the same with a code's figures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from service.core.measure import TOUCH, angle_text, area_text
from service.rules.finding import Amount, FailSeverity, Finding, Verdict
from service.rules.job import Job, Place
from service.rules.saying import Saying, say_by_kit, steady


class KitLimit(NamedTuple):
    """A greatest value that the kit allows.

    what: a reading in words, with `{}` for its size. takes: what the kit allows, in words, where
    "the kit takes at most" will not do. cure: what the sentence on a reading over the limit ends
    with. fails_as: what such a reading is.
    """

    rule: str
    greatest: float
    what: str
    takes: str = ""
    cure: str = ""
    amount: Amount = "length"
    fails_as: FailSeverity = "violation"


def by_kit(job: Job, limit: KitLimit, readings: Iterable[tuple[Place, float]]) -> Iterator[Saying]:
    """A finding for each reading over the limit, then one for all places within it.

    The latter shows the worst of their readings.
    """
    kept: list[Place] = []
    worst = 0.0
    for place, value in readings:
        if value > limit.greatest + TOUCH:
            yield _told(job, limit, limit.fails_as, value), [place]
        else:
            kept.append(place)
            worst = max(worst, value)
    if kept:
        yield _told(job, limit, "pass", worst), kept


def _told(job: Job, limit: KitLimit, verdict: Verdict, value: float) -> Finding:
    rule, _, what, takes, cure, amount, _ = limit
    actual = steady(value)
    size = _size_text(job, limit, actual)
    if verdict == "pass":
        size, cure = f"at most {size}", ""
    takes = takes or f"the kit takes at most {_size_text(job, limit, limit.greatest)}"
    sentence = f"{what.format(size)}; {takes}{cure}"
    most = limit.greatest
    return say_by_kit(job, rule, verdict, sentence, limit=most, actual=actual, amount=amount)


def _size_text(job: Job, limit: KitLimit, actual: float) -> str:
    if limit.amount == "degrees":
        return angle_text(actual)
    if limit.amount == "area":
        return area_text(actual, job.deck.unit)
    return job.text(actual, limit.greatest)
