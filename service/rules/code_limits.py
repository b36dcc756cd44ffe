"""Rules: readings of a layout compared with a figure of the code, where that binds; `kit_limits`
has the like for a kit's own limits."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import Final, NamedTuple, TypeAlias

from service.core.records.code import ANYWHERE, FIGURES, Figure, FigureKind, Here
from service.core.records.deck import Drops
from service.core.records.layout import FlightBuilt
from service.rules.askings import scope_text
from service.rules.finding import Amount, Breach, Finding
from service.rules.job import Job, Place
from service.rules.ruling import Ruling, Scope, here_by, rule_on, scope_over
from service.rules.saying import Kind, Saying, say_by_figure, say_unstated, tell_all
from service.rules.words import list_text

Asking: TypeAlias = Callable[[Job, Figure, float], str]
"""What a figure asks of a reading, and whether this one keeps to it, in words."""

_GIVEN_AS: Final = {
    "drop": "the drop",
    "drop_to_ground": "the drop",
    "drop_to_next_level": "the drop",
    "occupants": "how many people the deck is for (occupants)",
}
"""What may decide between figures and not be given, in words."""


class Reading(NamedTuple):
    """A number read at some place, and what it is in words with `{}` for its own text."""

    what: str
    actual: float
    drops: Drops
    here: Here = ANYWHERE


def at_flight(flight: FlightBuilt, what: str, actual: float) -> tuple[Place, Reading]:
    """A reading of a flight, at its place."""
    return (flight.id,), Reading(what, actual, flight.drops, here_by(flight))


class Criterion(NamedTuple):
    """A figure that a rule compares readings with. asking: what it asks, in words; scope: whether
    it binds, by the drops. breach: what a fail is."""

    rule: str
    figure: Figure
    kind: FigureKind
    asking: Asking
    scope: Callable[[Drops], Scope]
    breach: Breach = "violation"

    @property
    def amount(self) -> Amount:
        """What its findings' limit and actual are."""
        return "degrees" if self.kind == "degrees" else "length"


def by_figure(
    job: Job,
    rule: str,
    name: str,
    readings: Iterable[tuple[Place, Reading]],
    asking: Asking,
    *,
    always: bool = False,
) -> Iterator[Saying]:
    """Each reading against the figure `name`, where it binds.

    always: the figure binds whatever the drop, as those of a stair do.
    """
    return by_kinds(job, rule, name, readings, lambda reading: (reading,), asking, always=always)


def by_kinds(
    job: Job,
    rule: str,
    name: str,
    kinds: Iterable[tuple[Place, Kind]],
    read: Callable[[Kind], Iterable[Reading]],
    asking: Asking,
    *,
    always: bool = False,
    breach: Breach = "violation",
) -> Iterator[Saying]:
    """Every reading at each place against the figure `name`, where it binds; alike places are
    read once.

    read: the readings at a place of that kind. always: as for `by_figure`. breach: what a fail is.
    """
    figure = job.figure(name)
    if job.code is None or figure is None:
        missing = say_unstated(job, rule, name)
        return iter([(missing, [place for place, kind in kinds for _ in read(kind)])])
    scope = _always if always else partial(scope_of, job)
    criterion = Criterion(rule, figure, FIGURES[name][0], asking, scope, breach)
    known: dict[Reading, Finding | None] = {}

    def tell(kind: Kind) -> Iterator[Finding | None]:
        for what, actual, drops, here in read(kind):
            reading = Reading(what, round(actual, 6), drops, here)
            if reading not in known:
                known[reading] = _judge(job, criterion, reading)
            yield known[reading]

    return tell_all(kinds, tell)


def by_bounds(
    job: Job,
    rule: str,
    names: Sequence[str],
    readings: Sequence[tuple[Place, Reading]],
    asking: Asking,
    *,
    optional: bool = False,
) -> Iterator[Saying]:
    """Each reading against each of these figures that the code states, whatever the drop.

    optional: a code that states none of them sets no such limit, and nothing is said.
    """
    stated = [name for name in names if job.figure(name) is not None]
    if optional and job.code is not None and not stated:
        return
    for name in stated or names[:1]:
        yield from by_figure(job, rule, name, readings, asking, always=True)


def scope_of(job: Job, drops: Drops) -> Scope:
    """Whether figures of the job's code bind a guard over these drops: most guards of a deck have
    the same few."""
    return job.once(_scope, drops)


def _scope(job: Job, drops: Drops) -> Scope:
    assert job.code is not None
    return scope_over(job.code, drops)


def _always(drops: Drops) -> Scope:
    return Scope(binds=True)


def _judge(job: Job, criterion: Criterion, reading: Reading) -> Finding | None:
    """One reading against a figure; None where the figure does not bind."""
    words, actual, drops, here = reading
    scope = criterion.scope(drops)
    if not scope.binds:
        return None
    ruling = rule_on(criterion.figure, drops, actual, here)
    if ruling is None:
        return None
    what = words.format(job.text(actual, ruling.figure.number(), criterion.kind))
    if ruling.keeps is None:
        return say_undecided(job, criterion, what, ruling, reading)
    asks = criterion.asking(job, ruling.figure, actual)
    sentence = f"{what}; {asks} {job.clause(ruling.figure, criterion.kind)}{scope_text(job, scope)}"
    return say_by_figure(
        criterion.rule,
        "pass" if ruling.keeps else criterion.breach,
        sentence,
        ruling.figure,
        actual,
        others=[scope.by],
        amount=criterion.amount,
    )


def say_undecided(
    job: Job, criterion: Criterion, what: str, ruling: Ruling, reading: Reading
) -> Finding:
    """Not checked: the reading keeps one figure and breaks another, and what decides is not
    given."""
    either = " or ".join(
        dict.fromkeys(
            f"{job.text(one.number(), kind=criterion.kind)} {job.clause(one, criterion.kind)}"
            for one in ruling.figures
        )
    )
    if ruling.maybe_none:
        either += " or there is none"
    open_ = [c for c in criterion.figure.when if c.holds(reading.drops, reading.here) is None]
    by = list_text(list(dict.fromkeys(_GIVEN_AS[case.measure] for case in open_)))
    sentence = f"{what}; the figure is {either}, by {by}, which is not given: give it"
    finding = say_by_figure(
        criterion.rule,
        "not_checked",
        sentence,
        ruling.figure,
        reading.actual,
        amount=criterion.amount,
    )
    return finding._replace(limit=None)
