"""Rules: what every check is given, and how it says what it found.

A check yields sayings: a finding that names no place yet, and a place that it holds for.
Alike findings are equal, so that judge.py can gather their places.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Final, NamedTuple, TypeAlias

from service.core.code import Code, Figure
from service.core.deck import Deck, Drops
from service.core.kit import Kit
from service.core.layout import Layout
from service.core.measure import TOUCH, Length
from service.rules.finding import Finding, Result, Severity
from service.rules.held import Held, Scope, hold, scope_over
from service.rules.table import RULES
from service.rules.words import clause_text, length_text

Place: TypeAlias = tuple[str, ...]
"""One place: an id, or the two ids of a pair."""
Saying: TypeAlias = tuple[Finding, Place]

_SUBJECTS: Final = {
    "guard_required": "whether a guard is required",
    "guard_height": "the height of the guard",
    "opening_size": "the size of openings in the guard",
    "gap_under_rail": "the gap under the bottom rail",
}


@dataclass(frozen=True, slots=True)
class Job:
    """What is judged, and by what."""

    layout: Layout
    deck: Deck
    kit: Kit
    code: Code | None

    def figure(self, name: str) -> Figure | None:
        """A figure of the code; None without a code or where it states none."""
        return self.code.figure(name) if self.code is not None else None

    def text(self, value: Length, beside: Length | None = None) -> str:
        """A length in the words of this document."""
        return length_text(value, self.deck.unit, self.deck.step, beside)

    def clause(self, figure: Figure) -> str:
        """The clause of a figure, in brackets."""
        published = figure.published
        if published is None or isinstance(published, str):
            return clause_text(figure, published)
        return clause_text(figure, self.text(published))


Check: TypeAlias = Callable[[Job], Iterator[Saying]]


class Reading(NamedTuple):
    """A length read at a place, and what it is in words with `{}` for its own text."""

    place: Place
    what: str
    actual: Length
    drops: Drops


def steady(value: float) -> float:
    """A reading freed of the last bits of arithmetic, so that equal ones are equal.

    >>> steady(0.1 + 0.2), steady(-1e-9)
    (0.3, 0.0)
    """
    return round(value, 6) + 0.0


def say(
    rule: str,
    result: Result,
    sentence: str,
    *,
    cite: str = "",
    limit: Length | str | None = None,
    actual: Length | str | None = None,
    warning: bool = False,
    leans_on: Iterable[Figure | None] = (),
    published: Length | str | None = None,
) -> Finding:
    """A finding without its places.

    warning: of a fail, that it is no violation. leans_on: the code's figures that decided it;
    it is marked where one of them is amended.
    """
    severity: Severity = "note"
    if result == "fail":
        severity = "warning" if warning else "violation"
    amended = any(figure is not None and figure.amended for figure in leans_on)
    source = RULES[rule].source
    return Finding(
        rule, source, result, severity, (), sentence, cite, limit, actual, amended, published
    )


def say_by_figure(
    rule: str,
    result: Result,
    sentence: str,
    figure: Figure,
    actual: Length | None,
    others: Iterable[Figure | None] = (),
) -> Finding:
    """A finding whose limit is a code's figure. others: figures that it leans on beside it."""
    return say(
        rule,
        result,
        sentence,
        cite=figure.cite,
        limit=figure.value,
        actual=actual,
        leans_on=(figure, *others),
        published=figure.published,
    )


def say_unstated(job: Job, rule: str, figure: str) -> Finding:
    """Not checked: no code is named, or its document has no such figure."""
    subject = _SUBJECTS[rule]
    if job.code is None:
        sentence = f"{subject} was not checked; name a code to have it checked"
        return say(rule, "not_checked", sentence)
    return say(
        rule,
        "not_checked",
        f"{subject} was not checked, as {job.code.id} states no {figure}; "
        "give that figure in the code document",
    )


def say_undecided(job: Job, rule: str, what: str, held: Held, actual: Length) -> Finding:
    """Not checked: the reading keeps one figure and breaks another, and the drop decides."""
    either = " or ".join(
        dict.fromkeys(f"{job.text(one.length())} {job.clause(one)}" for one in held.figures)
    )
    sentence = f"{what}; the figure is {either}, by the drop, which is not given: give it"
    finding = say_by_figure(rule, "not_checked", sentence, held.figure, actual)
    return replace(finding, limit=None)


def by_figure(
    job: Job,
    rule: str,
    name: str,
    readings: Iterable[Reading],
    demand: Callable[[Job, Figure, Length], str],
) -> Iterator[Saying]:
    """Each reading against the figure `name`, where it binds.

    demand: what the figure asks and whether this length keeps to it, in words.
    """
    figure = job.figure(name)
    if job.code is None or figure is None:
        missing = say_unstated(job, rule, name)
        yield from ((missing, reading.place) for reading in readings)
        return
    known: dict[tuple[str, Length, Drops], Finding | None] = {}
    for place, what, actual, drops in readings:
        key = (what, round(actual, 6), drops)
        if key not in known:
            known[key] = _judge(job, job.code, rule, figure, key, demand)
        finding = known[key]
        if finding is not None:
            yield finding, place


def _judge(
    job: Job,
    code: Code,
    rule: str,
    figure: Figure,
    key: tuple[str, Length, Drops],
    demand: Callable[[Job, Figure, Length], str],
) -> Finding | None:
    """One reading against a figure; None where the figure does not bind."""
    words, actual, drops = key
    scope = scope_over(code, drops)
    if not scope.binds:
        return None
    held = hold(figure, drops, actual)
    what = words.format(job.text(actual, held.figure.length()))
    if held.keeps is None:
        return say_undecided(job, rule, what, held, actual)
    sentence = f"{what}; {demand(job, held.figure, actual)} {job.clause(held.figure)}"
    sentence += scope_text(job, scope)
    result: Result = "pass" if held.keeps else "fail"
    return say_by_figure(rule, result, sentence, held.figure, actual, [scope.by])


def scope_text(job: Job, scope: Scope) -> str:
    """What a message adds where it is not plain that the figures bind."""
    if scope.assumed:
        return "; no drop is given, so the guard is taken as a required one"
    if scope.by is not None:
        return f"; a guard is required here by the drop {job.clause(scope.by)}"
    return ""


def by_kit(
    job: Job,
    rule: str,
    readings: Iterable[tuple[Place, float]],
    limit: float,
    words: Callable[[float, bool], str],
) -> Iterator[Saying]:
    """Readings against the kit's greatest: the places within it together, with their worst
    reading; and each reading over it. words: the sentence of a reading and whether it keeps."""
    kept: list[Place] = []
    worst = 0.0
    cite = job.kit.id
    for place, value in readings:
        if value <= limit + TOUCH:
            kept.append(place)
            worst = max(worst, value)
            continue
        actual = steady(value)
        yield say(rule, "fail", words(actual, False), cite=cite, limit=limit, actual=actual), place
    if kept:
        actual = steady(worst)
        held = say(rule, "pass", words(actual, True), cite=cite, limit=limit, actual=actual)
        yield from ((held, place) for place in kept)
