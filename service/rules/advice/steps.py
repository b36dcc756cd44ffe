"""Rules: cures by the steps of flights: risers, goings, nosings, rise, foot posts and handrails."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Final

from service.core.measure import TOUCH, Length, convert, tidy
from service.core.records.deck import HANDS, Hand
from service.core.records.layout import FlightBuilt
from service.rules.advice.attempts import Attempt
from service.rules.advice.changes import (
    change_flights,
    flight_of,
    flights_text,
    marked_down,
    marked_up,
    marks_asked,
    some_text,
    tape,
)
from service.rules.advice.moves import moved
from service.rules.advice.outcomes import Outcome
from service.rules.advice.searches import (
    MADE_ON_SITE,
    failing_places,
    first,
    in_turn,
    place_by_place,
)
from service.rules.advice.trial import Trial
from service.rules.finding import Finding
from service.rules.words import count_text

_SIDES: Final[tuple[tuple[Hand, ...], ...]] = (("right",), ("left",), HANDS)
"""Sides of a flight that are given a handrail, in the order in which they are tried."""
_MISREAD: Final = 2.0
"""The most inches by which a going may have been misread."""
MORE: Final = 3
"""The most risers that are added when a flight's rise is set to its drop."""

OF_RISERS: Final = ("riser_height", "risers_and_going", "stair_pitch", "flight_risers")
"""Rules that the number of risers decides, so that a cure of one looks at the others too."""
OF_GOING: Final = ("tread_going", "risers_and_going", "stair_pitch")
"""Rules that the going decides."""


def other_risers(trial: Trial, rule: str) -> Outcome | None:
    """Cure by one riser more or fewer in every flight that fails, then two, up to four.

    The first change with which no such flight fails any rule of OF_RISERS; else the first that
    passes.
    """
    names = trial.named(rule)
    flights = {stair.id: stair for stair in trial.deck.stairs if stair.id in names}
    best: Outcome | None = None
    for more in (1, -1, 2, -2, 3, -3, 4, -4):
        counts = {name: stair.risers + more for name, stair in flights.items()}
        if min(counts.values(), default=1) < 1:
            continue
        outcome = trial.passes(rule, _with_risers(trial.base, counts))
        if outcome is not None:
            failing = (place for of in OF_RISERS for place, _ in failing_places(of, outcome))
            if names.isdisjoint(failing):
                return outcome
            best = best or outcome
    return best


@in_turn
def other_going(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by the greatest going that any rule asks of every flight that fails.

    Then by the going that this rule asks; then by that with one or two risers more or fewer, as
    longer goings make a flight less steep, which alters its posts and gaps.
    """
    names = sorted(trial.named(rule))
    greatest = {name: max(_goings_asked(trial.stands, name).values()) for name in names}
    yield _with_goings(trial.base, greatest)
    for more in (0, 1, -1, 2, -2):
        for asked in marks_asked(trial, rule):
            risers = {name: flight_of(trial.base, name).risers + more for name in names}
            if all(count >= 1 for count in risers.values()):
                longer = _with_goings(trial.base, dict.fromkeys(names, asked))
                yield _with_risers(longer, risers) if more else longer


def _goings_asked(state: Outcome, name: str) -> dict[str, Length]:
    """The goings that would cure the rules of OF_GOING that a flight fails, by rule, on marks."""
    flight = _built(state, name)
    asked: dict[str, Length] = {}
    for rule in OF_GOING:
        for place, finding in failing_places(rule, state):
            if place == name and finding.numbers is not None:
                limit, actual = finding.numbers
                going = flight.going + limit - actual
                if finding.amount == "degrees":
                    going = flight.riser / math.tan(math.radians(limit))
                to_mark = marked_up if going > flight.going else marked_down
                asked[rule] = to_mark(state.attempt, going)
    return asked


def _built(state: Outcome, name: str) -> FlightBuilt:
    return next(flight for flight in state.layout.flights if flight.id == name)


def _with_goings(base: Attempt, goings: Mapping[str, Length]) -> Attempt:
    """A change that gives flights other goings."""
    alike: dict[Length, list[str]] = {}
    for name, going in goings.items():
        alike.setdefault(going, []).append(name)
    told = [
        f"a going of {tape(base, going)} in {flights_text(names)}" for going, names in alike.items()
    ]
    changes = {name: {"going": going} for name, going in goings.items()}
    return change_flights(base, some_text(told), changes)


def _with_risers(base: Attempt, risers: Mapping[str, int]) -> Attempt:
    """A change that gives flights other numbers of risers."""
    told = [f"{count_text(count, 'riser')} in {name}" for name, count in risers.items()]
    changes = {name: {"risers": count} for name, count in risers.items()}
    return change_flights(base, some_text(told), changes)


@place_by_place
def going_within(state: Outcome, name: str, finding: Finding) -> Iterator[Attempt]:
    """Cure by goings with which the pitch, or two risers and a going, are within the limits.

    For each flight first the greatest going that any rule asks, then what this rule asks.
    """
    asked = _goings_asked(state, name)
    for going in (max(asked.values(), default=0.0), asked.get(finding.rule, 0.0)):
        if going > 0:
            yield _with_goings(state.attempt, {name: going})


@in_turn
def other_nosing(trial: Trial, rule: str) -> Iterator[Attempt]:
    """Cure by the nosing that the rule asks, in every flight that fails."""
    names = trial.named(rule)
    for asked in marks_asked(trial, rule):
        words = f"treads that project by {tape(trial.base, asked)} in {flights_text(names)}"
        changes = {name: {"nosing": asked} for name in names}
        yield change_flights(trial.base, words, changes)


@place_by_place
def even_rise(state: Outcome, name: str, _: Finding) -> Iterator[Attempt]:
    """Cure by the rise that the drops give, as one of the two was measured wrongly.

    Only where rise and drop differ by at most a riser. The rise is divided into as many risers as
    now, or into as many as leave them about as high as now, or up to MORE more. Risers that keep
    the limits on their height come first.
    """
    flight = _built(state, name)
    base = state.attempt
    drop = flight.drop
    if drop is None or drop <= TOUCH or abs(flight.rise - drop) > flight.riser + TOUCH:
        return
    alike = max(1, round(drop / flight.riser))
    counts = dict.fromkeys((flight.risers, *range(alike, alike + MORE + 1)))
    for risers in sorted(counts, key=lambda count: not _keeps_height(state, name, drop / count)):
        words = f"a rise of {tape(base, drop)} in {count_text(risers, 'riser')} in {name}, as the "
        words += "drop is given"
        change: dict[str, object] = {"rise": tidy(drop, 6)}
        if risers != flight.risers:
            change["risers"] = risers
        yield change_flights(base, words, {name: change})


def _keeps_height(state: Outcome, name: str, riser: Length) -> bool:
    """Whether a riser is within the limits on its height that the flight's own risers break."""
    for place, finding in failing_places("riser_height", state):
        if place == name and finding.numbers is not None:
            limit, actual = finding.numbers
            if (riser > limit + TOUCH) if actual > limit else (riser < limit - TOUCH):
                return False
    return True


@place_by_place
def going_for_bases(state: Outcome, name: str, _: Finding) -> Iterator[Attempt]:
    """Cure by treads long enough for the bases that stand on them.

    First the greatest going that a rule asks, if that is longer than a base; then a base's width.
    """
    base = state.attempt
    least = marked_up(base, base.kit.post.base.width)
    for flight in sorted(state.places.flights.get(name, ())):
        if flight_of(base, flight).going < base.kit.post.base.width:
            asked = max(_goings_asked(state, flight).values(), default=0.0)
            if asked > least:
                yield _with_goings(base, {flight: asked})
            words = f"a going of {tape(base, least)} in flight {flight}, as wide as a base"
            yield change_flights(base, words, {flight: {"going": least}})


@place_by_place
def ends_on_its_level(state: Outcome, name: str, finding: Finding) -> Iterator[Attempt]:
    """Cure of flights that end off the level that they go down to.

    First the goings are changed so that together they make up the distance, if it is less than a
    going and the change of each is small enough to be a misreading. They are shortened only where a
    code judges them. Then the flight's opening is moved by the distance.
    """
    base, flight, (_, off) = state.attempt, _built(state, name), finding.numbers or (0.0, 0.0)
    misread = convert(_MISREAD, "in", base.deck.unit)
    judged = any(
        one.rule == "tread_going" and one.result != "not_checked" and name in one.where
        for one in state.findings
    )
    for more in (-off, off) if flight.risers > 1 and abs(off) < flight.going else ():
        each = more / (flight.risers - 1)
        if abs(each) <= misread and (each > 0 or judged):
            to_mark = marked_up if each > 0 else marked_down
            yield _with_goings(base, {name: to_mark(base, flight.going + each)})
    yield from moved(base, flight.opening, [off])


@place_by_place
def foot_posts_on_ground(state: Outcome, name: str, _: Finding) -> Iterator[Attempt]:
    """Cure by foot posts past the lowest riser, so that no gap is left on the lowest tread."""
    for flight in sorted(state.places.flights.get(name, ())):
        if flight_of(state.attempt, flight).foot_post == "tread":
            words = f"the foot posts of flight {flight} on the ground, past its lowest riser"
            yield change_flights(state.attempt, words, {flight: {"foot_post": "ground"}})


def with_handrail(trial: Trial, rule: str) -> Outcome | None:
    """Cure by a handrail on one guarded side of each flight that needs one, else on both.

    With a kit that has no handrail, by the tops of the flights' guards as handrails. A handrail may
    break the rules of MADE_ON_SITE, as its ends are made there; the top of a guard may not, as it
    ends at its head post.
    """
    base, names = trial.base, trial.named(rule)
    told = flights_text(names)
    if trial.kit.handrail is None:
        words = f"the tops of the guards of {told} as their handrails, if a hand closes round them"
        tops = {name: {"top_as_handrail": True} for name in names}
        return first(trial, rule, [change_flights(base, words, tops)])
    attempts = (
        change_flights(
            base,
            f"a handrail on the {' and the '.join(sides)} of {told}, as seen going up",
            {name: {"handrail": sides} for name in names},
        )
        for sides in _SIDES
    )
    return first(trial, rule, attempts, MADE_ON_SITE)
