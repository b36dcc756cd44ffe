"""Rules: readings of a layout compared with a figure of the code wherever that figure binds;
`kit_limits` does the same with a kit's own limits."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple

from service.core.records.code import ANYWHERE, Circumstances, Figure
from service.core.records.deck import Drops
from service.core.records.layout import FlightBuilt
from service.rules.figure_words import Asking, bound_asks, given_as, scope_text
from service.rules.finding import Amount, FailSeverity, Finding, Verdict
from service.rules.job import Job, Place
from service.rules.ruling import Ruling, Scope, circumstances_of, rule_on, scope_of, undecided
from service.rules.saying import Kind, Saying, say_by_figure, say_unstated, tell_all_by_kind
from service.rules.table import RULES


class Reading(NamedTuple):
    """A number read at some place. what: words for it, with `{}` for the number's own text."""

    what: str
    actual: float
    drops: Drops
    here: Circumstances = ANYWHERE


def verbatim(name: str) -> str:
    """A name for the words of a reading, which are a format string: a name may hold braces."""
    return name.replace("{", "{{").replace("}", "}}")


def at_flight(flight: FlightBuilt, what: str, actual: float) -> tuple[Place, Reading]:
    """A reading of a flight, with its place."""
    return (flight.id,), Reading(what, actual, flight.drops, circumstances_of(flight))


class Criterion(NamedTuple):
    """What a rule compares readings with. figure: its name. asking: words for what it asks.

    always: whether it binds whatever the drop, as figures of stairs do. fails_as: what a fail is.
    within: a further figure, which decides what is read at all.
    """

    rule: str
    figure: str
    asking: Asking
    always: bool = False
    fails_as: FailSeverity = "violation"
    within: Figure | None = None


def by_figure(
    job: Job, criterion: Criterion, readings: Iterable[tuple[Place, Reading]]
) -> Iterator[Saying]:
    """Findings on readings by a criterion, each with its places, where its figure binds."""
    return by_kinds(job, criterion, readings, lambda reading: (reading,))


def by_kinds(
    job: Job,
    criterion: Criterion,
    kinds: Iterable[tuple[Place, Kind]],
    read: Callable[[Kind], Iterable[Reading]],
) -> Iterator[Saying]:
    """Findings on all readings at some places by a criterion, where its figure binds.

    kinds: the places with their kinds. read: the readings at a place of a kind; places of one kind
    are read once.
    """
    figure = job.figure(criterion.figure)
    if figure is None:
        missing = say_unstated(job, criterion.rule, criterion.figure)
        return iter([(missing, [place for place, kind in kinds for _ in read(kind)])])
    known: dict[Reading, Finding | None] = {}

    def tell(kind: Kind) -> Iterator[Finding | None]:
        for what, actual, drops, here in read(kind):
            reading = Reading(what, round(actual, 6), drops, here)
            if reading not in known:
                known[reading] = _judge(job, criterion, figure, reading)
            yield known[reading]

    return tell_all_by_kind(kinds, tell)


def by_bounds(
    job: Job,
    rule: str,
    readings: Sequence[tuple[Place, Reading]],
    names: Sequence[str] = (),
    *,
    optional: bool = False,
) -> Iterator[Saying]:
    """Findings on readings by each figure of the rule that the code states, whatever the drop.

    Where the code does not state the first figure, the rule is not checked, as meeting the other
    figures alone is not enough. names: of the figures, where they are not all of the rule's.
    optional: a code without the first figure sets no such limit, and nothing is said of that.
    """
    names = names or RULES[rule].figures
    first = "" if optional and job.code is not None else names[0]
    for name in names:
        if name == first or job.figure(name) is not None:
            yield from by_figure(job, Criterion(rule, name, bound_asks, always=True), readings)


def _judge(job: Job, criterion: Criterion, figure: Figure, reading: Reading) -> Finding | None:
    """The finding on one reading by the criterion's figure; None where the figure does not bind.

    Not checked where the reading keeps one value of the figure and breaks another, and what decides
    between them is not given.
    """
    words, actual, drops, here = reading
    scope = Scope(binds=True) if criterion.always else scope_of(job, drops, here.risers)
    ruling = rule_on(figure, drops, actual, here) if scope.binds else None
    if ruling is None:
        return None
    rule, binding, kind = criterion.rule, ruling.figure, figure.kind
    amount: Amount = "degrees" if kind == "degrees" else "length"
    what = words.format(job.text(actual, binding.number(), kind))
    if ruling.keeps is None:
        either, by = _either(job, ruling), given_as(undecided(figure, drops))
        sentence = f"{what}; the figure is {either}, by {by}, which is not given: give it"
        others = [criterion.within]
        open_ = say_by_figure(rule, "not_checked", sentence, binding, actual, others, amount)
        return open_._replace(limit=None)
    asks = criterion.asking(job, binding, actual)
    sentence = f"{what}; {asks} {job.clause(binding)}{scope_text(job, scope)}"
    verdict: Verdict = "pass" if ruling.keeps else criterion.fails_as
    others = [scope.by, criterion.within]
    return say_by_figure(rule, verdict, sentence, binding, actual, others, amount)


def _either(job: Job, ruling: Ruling) -> str:
    """The values of a figure that may hold, each with its clause."""
    told = dict.fromkeys(
        f"{job.text(one.number(), kind=one.kind)} {job.clause(one)}" for one in ruling.figures
    )
    return " or ".join(told) + (" or there is none" if ruling.maybe_none else "")
