"""Rules: what every check is given (a Job), and how it says what it found (Sayings).

A saying is a finding that names no place yet, and the places that it holds for. `by_figure` and
`by_kinds` compare readings with a code's figure, `tell_alike` takes any other check. Alike findings
are equal, so that `judge` can gather their places.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Any, Final, NamedTuple, TypeAlias, TypeVar, TypeVarTuple

from service.core.measure import Length, angle_text, number_text
from service.core.records.code import ANYWHERE, FIGURES, Code, Figure, FigureKind, Here
from service.core.records.deck import Deck, Drops
from service.core.records.kit import Kit
from service.core.records.layout import FlightBuilt, Layout, SticksSeen
from service.rules.finding import Amount, Breach, Finding, Result, Severity, Verdict
from service.rules.ruling import Ruling, Scope, here_by, rule_on, scope_over
from service.rules.table import RULES
from service.rules.words import (
    clause_text,
    count_text,
    length_text,
    list_text,
    load_text,
    nearest_text,
)

Place: TypeAlias = tuple[str, ...]
"""One place: an id, or the two ids of a pair."""
Kind = TypeVar("Kind", bound=Hashable)
T = TypeVar("T")
Given = TypeVarTuple("Given")
Saying: TypeAlias = tuple[Finding, Sequence[Place]]

_GIVEN_AS: Final = {
    "drop": "the drop",
    "drop_to_ground": "the drop",
    "drop_to_next_level": "the drop",
    "occupants": "how many people the deck is for (occupants)",
}
"""What may decide between figures and not be given, in words."""


@dataclass(frozen=True, slots=True)
class Job:
    """What is judged, and by what. sticks: what the order of the layout shows; none of a layout
    that was not ordered."""

    layout: Layout
    deck: Deck
    kit: Kit
    code: Code | None
    sticks: tuple[SticksSeen, ...] = ()
    _known: dict[object, Any] = field(default_factory=dict, init=False, compare=False, repr=False)

    def once(self, work_out: Callable[[Job, *Given], T], *given: *Given) -> T:
        """What `work_out` makes of this job and of what is given, worked out when it is first asked
        for, as several checks ask."""
        key = (work_out, given) if given else work_out
        try:
            found: T = self._known[key]
        except KeyError:
            found = self._known[key] = work_out(self, *given)
        return found

    def figure(self, name: str) -> Figure | None:
        """A figure of the code; None without a code or where it states none."""
        return self.code.figure(name) if self.code is not None else None

    def stated(self, name: str) -> Figure | None:
        """A figure of the code for what is asked of no place."""
        return self.code.stated(name) if self.code is not None else None

    def text(self, value: float, beside: float | None = None, kind: FigureKind = "length") -> str:
        """A length, an angle or a count in the words of this document."""
        if kind == "length":
            return length_text(value, self.deck.unit, self.deck.step, beside)
        if kind == "degrees":
            return angle_text(value, beside)
        if kind == "count":
            return number_text(value, 0)
        return load_text(value, kind, self.deck.unit)

    def tape(self, value: Length, beside: Length | None = None) -> str:
        """A length to the nearest mark. beside: a limit that it breaks."""
        return nearest_text(value, self.deck.unit, self.deck.step, beside)

    def clause(self, figure: Figure, kind: FigureKind = "length") -> str:
        """The clause of a figure, in brackets."""
        published = figure.published
        if published is None or isinstance(published, str):
            return clause_text(figure, published)
        return clause_text(figure, self.text(published, kind=kind))


Check: TypeAlias = Callable[[Job], Iterator[Saying]]


Asking: TypeAlias = Callable[[Job, Figure, float], str]
"""What a figure asks of a reading, and whether this one keeps to it, in words."""


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


def steady(value: float) -> float:
    """A reading freed of the last bits of arithmetic, so that equal ones are equal.

    >>> steady(0.1 + 0.2), steady(-1e-9)
    (0.3, 0.0)
    """
    return round(value, 6) + 0.0


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


def leaning_on(finding: Finding, figures: Iterable[Figure | None]) -> Finding:
    """A finding with the code's figures that decided it; it is marked where one is amended."""
    read = [figure for figure in figures if figure is not None]
    return finding._replace(
        amended=True in [figure.amended for figure in read],
        figures=tuple([figure.name for figure in read]),
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


def _always(drops: Drops) -> Scope:
    return Scope(binds=True)


def scope_of(job: Job, drops: Drops) -> Scope:
    """Whether figures of the job's code bind a guard over these drops: most guards of a deck have
    the same few."""
    return job.once(_scope, drops)


def _scope(job: Job, drops: Drops) -> Scope:
    assert job.code is not None
    return scope_over(job.code, drops)


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


def stepped_text(job: Job, figure: Figure) -> str:
    """Which flights and landings need guards, and the clause."""
    over = "of more than" if figure.reads == "more_than" else "from"
    least = count_text(round(figure.number()), "riser")
    return f"flights and landings {over} {least} need guards {job.clause(figure, 'count')}"


def scope_text(job: Job, scope: Scope) -> str:
    """What a message adds where it is not plain that the figures bind."""
    if scope.assumed:
        return "; no drop is given, so the guard is taken as a required one"
    if scope.by is not None:
        if scope.by.name == "guard_required_risers":
            return f"; whatever the drop, {stepped_text(job, scope.by)}"
        if isinstance(scope.by.value, str):
            return f"; the figures bind {scope.by.value} {job.clause(scope.by)}"
        return f"; a guard is required here by the drop {job.clause(scope.by)}"
    return ""
