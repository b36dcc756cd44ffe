"""Rules: handrails: whether they are required, how high they are, whether a hand closes round them,
how far they go past the steps, and what holds them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from service.core.measure import TOUCH, Length, nearest_mark
from service.core.records.code import Figure
from service.core.records.deck import Hand
from service.core.records.layout import FlightBuilt
from service.rules.code_limits import at_flight, by_bounds
from service.rules.figure_words import printed
from service.rules.finding import Finding, Verdict
from service.rules.job import Job
from service.rules.load_groups import tops_as_handrails
from service.rules.ruling import figure_on_flight
from service.rules.saying import Saying, say_by_figure, say_by_kit, say_unstated
from service.rules.words import count_text, list_text

_RULE: Final = "handrail_required"
_BRACKETS: Final = "handrail_brackets"
_NO_LENGTH: Final = (
    "a handrail is asked for, and none is listed: with one riser there is no way along the nosings "
    "to measure it by; see on site what to hold on to there, or ask for none"
)


def handrail_required(job: Job) -> Iterator[Saying]:
    """Whether each flight has the handrails that the code requires, on as many sides."""
    name = "handrail_required_risers"
    if job.figure(name) is None:
        missing = say_unstated(job, _RULE, name)
        yield missing, [(flight.id,) for flight in job.layout.flights]
        return
    for flight in job.layout.flights:
        binding = figure_on_flight(job.code, name, flight)
        if binding is not None:
            yield _required(job, binding, flight), [(flight.id,)]


def flights_with_top_as_handrail(job: Job) -> list[FlightBuilt]:
    """Flights that have a guard's top as a handrail: meant so, with rails all along that side."""
    meant = tops_as_handrails(job)
    return [one for one in job.layout.flights if one.id in meant and _railed(one)]


def _railed(flight: FlightBuilt) -> list[Hand]:
    return [hand for hand in flight.guards if hand not in flight.unrailed]


def _required(job: Job, figure: Figure, flight: FlightBuilt) -> Finding:
    """Finding on the handrails of one flight. figure: the risers from which it needs one."""
    risers = count_text(flight.risers, "riser")
    least = count_text(round(figure.number()), "riser")
    asks = f"one is required {_from(figure)} {least} {job.clause(figure)}"
    hands, unrailed = _hands(job, flight)
    has = _has_text(hands, unrailed)
    rise = figure_on_flight(job.code, "handrail_required_rise", flight)
    if rise is not None and not rise.met_by(flight.rise):
        return _low_rise(job, rise, flight, has)
    if not figure.met_by(flight.risers):
        return say_by_figure(_RULE, "pass", f"{has}, at {risers}; {asks}", figure, flight.risers)
    if flight.risers == 1:
        sentence = f"{asks}; beside a single riser none is laid out here, so settle it on site"
        return say_by_figure(_RULE, "not_checked", sentence, figure, flight.risers)
    both = figure_on_flight(job.code, "handrail_both_sides_width", flight)
    if both is not None and both.met_by(flight.clear_width):
        return _both_sides(job, both, flight, (has, hands), figure)
    sides = figure_on_flight(job.code, "handrail_sides", flight)
    if sides is not None and sides.number() > 1 and len(hands) < sides.number():
        sentence = f"{has}, at {risers}; {asks}, and on both sides {job.clause(sides)}"
        return say_by_figure(_RULE, "violation", sentence, sides, len(hands), [figure])
    verdict: Verdict = "pass" if hands else "violation"
    return say_by_figure(_RULE, verdict, f"{has}, at {risers}; {asks}", figure, flight.risers)


def _low_rise(job: Job, figure: Figure, flight: FlightBuilt, has: str) -> Finding:
    """Pass for a flight that rises too little to need a handrail. has: its handrails, in words."""
    rise = job.text(flight.rise, figure.number())
    sentence = (
        f"{has}, over a rise of {rise}; one is required {_from(figure)} a rise of "
        f"{printed(job, figure)} {job.clause(figure)}"
    )
    return say_by_figure(_RULE, "pass", sentence, figure, flight.rise)


def _both_sides(
    job: Job, figure: Figure, flight: FlightBuilt, has: tuple[str, list[Hand]], by_risers: Figure
) -> Finding:
    """Finding by the clear width from which both sides of a flight need a handrail.

    has: the handrails there in words, and the sides that have one. by_risers: the figure by which a
    handrail is needed at all.
    """
    limit, width = figure.number(), flight.clear_width
    told, hands = has
    sentence = (
        f"{told}, at a clear width of {job.text(width, limit)}; both sides need one "
        f"{_from(figure)} a width of {printed(job, figure)} {job.clause(figure)}"
    )
    verdict: Verdict = "pass" if len(hands) > 1 else "violation"
    return say_by_figure(_RULE, verdict, sentence, figure, width, [by_risers])


def _from(figure: Figure) -> str:
    """Word for where a figure begins to ask for something: "over" its value, or "from" it."""
    return "over" if figure.reads == "more_than" else "from"


def _hands(job: Job, flight: FlightBuilt) -> tuple[list[Hand], list[Hand]]:
    """Sides that have a handrail, and sides whose guard was meant to be one but cannot be.

    The top of a guard is a handrail where it is meant so and rails go all along it. It cannot be
    one where two of its posts stand too near each other for a rail.
    """
    hands = [rail.hand for rail in flight.handrails]
    if flight.id not in tops_as_handrails(job):
        return hands, []
    others = [hand for hand in flight.guards if hand not in hands]
    railed = _railed(flight)
    hands += [hand for hand in others if hand in railed]
    return hands, [hand for hand in others if hand not in railed]


def _has_text(hands: list[Hand], unrailed: list[Hand]) -> str:
    """Which sides have a handrail, in words.

    >>> _has_text(["left", "right"], []), _has_text([], [])
    ('a handrail on both sides', 'no handrail')
    >>> _has_text(["left"], ["right"])
    'a handrail on the left, as the guard on the right has posts too near each other for a rail'
    """
    has = (
        "a handrail on both sides"
        if len(hands) > 1
        else f"a handrail on the {hands[0]}"
        if hands
        else "no handrail"
    )
    if not unrailed:
        return has
    beside = "guards on both sides have" if len(unrailed) > 1 else f"guard on the {unrailed[0]} has"
    return f"{has}, as the {beside} posts too near each other for a rail"


def handrail_height(job: Job) -> Iterator[Saying]:
    """Height above the line of nosings of each handrail, and of each guard's top that is one.

    A guard's top is held against the code's figures for guards' tops, or where the code has none of
    these against those for handrails.
    """
    what = "the handrail is {} high above the nosings"
    readings = [
        at_flight(flight, what, rail.height)
        for flight in job.layout.flights
        for rail in flight.handrails
    ]
    names = ("handrail_height_min", "handrail_height_max")
    yield from by_bounds(job, "handrail_height", readings, names)
    what = "the top of the guard, which is the handrail, is {} high above the nosings"
    readings = [
        at_flight(flight, what, flight.height) for flight in flights_with_top_as_handrail(job)
    ]
    own = ("guard_top_as_handrail_min", "guard_top_as_handrail_max")
    of_tops = any(job.figure(name) is not None for name in own)
    names = own if of_tops else names
    yield from by_bounds(job, "handrail_height", readings, names, optional=of_tops)


def handrail_grip(job: Job) -> Iterator[Saying]:
    """Diameter of the kit's handrail, which is round.

    The top of a guard that is the handrail has no diameter to judge, so it is not_checked.
    """
    rail = job.kit.handrail
    if rail is not None:
        what = "the handrail is round, {} across"
        readings = [
            at_flight(flight, what, rail.diameter)
            for flight in job.layout.flights
            if flight.handrails
        ]
        yield from by_bounds(job, "handrail_grip", readings, optional=True)
    tops = [(flight.id,) for flight in flights_with_top_as_handrail(job)]
    figure = job.figure("handrail_grip_min") or job.figure("handrail_grip_max")
    if figure is not None:
        sentence = (
            "the top of the guard is the handrail, and the kit does not say how a hand closes "
            f"round it; lay out a handrail, or see to its shape {job.clause(figure)}"
        )
        yield say_by_figure("handrail_grip", "not_checked", sentence, figure, None), tops


def handrail_extent(job: Job) -> Iterator[Saying]:
    """How far each handrail goes on, level, past the top nosing.

    As laid out, none does. Nor does the top of a guard that is the handrail: it slopes from its
    head post.
    """
    what = "the handrail ends above the top nosing and goes {} past it"
    readings = [at_flight(flight, what, 0.0) for flight in job.layout.flights if flight.handrails]
    what = (
        "the top of the guard, which is the handrail, slopes from its head post and goes {} on a "
        "level past the top nosing"
    )
    readings += [at_flight(flight, what, 0.0) for flight in flights_with_top_as_handrail(job)]
    yield from by_bounds(job, "handrail_extent", readings, optional=True)


def handrail_brackets(job: Job) -> Iterator[Saying]:
    """What the brackets of each handrail may be fixed to: a guard beside it, at least as high.

    Handrails of a flight that are alike share a finding. One that was asked for and has no length
    is not_checked.
    """
    asked = {stair.id: stair.handrail for stair in job.deck.stairs}
    for flight in job.layout.flights:
        if asked.get(flight.id) and not flight.handrails:
            yield say_by_kit(job, _BRACKETS, "not_checked", _NO_LENGTH), [(flight.id,)]
        kinds: dict[AlikeRails, list[Hand]] = {}
        for rail in flight.handrails:
            guarded = rail.hand in flight.guards
            kind = AlikeRails(rail.height, len(rail.brackets), guarded, rail.bare)
            kinds.setdefault(kind, []).append(rail.hand)
        for kind, hands in kinds.items():
            yield _brackets(job, flight, kind, hands), [(flight.id,)]


class AlikeRails(NamedTuple):
    """What alike handrails of a flight share.

    brackets: how many each has. guarded: whether a guard stands beside each. bare: places of the
    brackets with neither a post nor a rail of the guard beside them, from the upper end.
    """

    height: Length
    brackets: int
    guarded: bool
    bare: tuple[Length, ...]


def _brackets(job: Job, flight: FlightBuilt, rails: AlikeRails, hands: list[Hand]) -> Finding:
    """Finding on the alike handrails of a flight. hands: the sides that they are at."""
    both, height = len(hands) > 1, rails.height
    fixed = _fixed(rails.brackets, both=both)
    if not rails.guarded:
        beside = (
            "no guard stands at either side of the flight beside its handrails"
            if both
            else f"no guard stands at the {hands[0]} of the flight beside its handrail"
        )
        sentence = (
            f"{beside}; what {fixed} to was not checked: there must be a wall, or posts of "
            f"{'their' if both else 'its'} own"
        )
        return say_by_kit(job, _BRACKETS, "not_checked", sentence)
    high, top = job.text(height, flight.height), job.text(flight.height, height)
    stand = (
        f"the handrails at both sides are {high} above the nosings and the guards beside them {top}"
        if both
        else f"the handrail at the {hands[0]} is {high} above the nosings and the guard beside it "
        f"{top}"
    )
    if height > flight.height + TOUCH:
        sentence = (
            f"{stand}; what {fixed} to was not checked: make the guard of the flight as high, or"
            " have a wall there"
        )
        return say_by_kit(job, _BRACKETS, "not_checked", sentence)
    if rails.bare:
        sentence = f"{stand}, {_bare(job, rails.bare, both=both)}"
        return say_by_kit(job, _BRACKETS, "not_checked", sentence)
    sentence = f"{stand}; see that {fixed} to posts, or to a rail that may hold them"
    return say_by_kit(job, _BRACKETS, "pass", sentence)


def _bare(job: Job, bare: tuple[Length, ...], *, both: bool) -> str:
    """That the guards have neither a post nor a rail beside some brackets, in words.

    bare: places of these brackets, from the upper end of each handrail.
    """
    places = list_text([job.text(nearest_mark(at, job.deck.step)) for at in bare])
    brackets, these = ("bracket", "that is") if len(bare) == 1 else ("brackets", "those are")
    beside = f"the {brackets} of each" if both else f"its {brackets}"
    return (
        f"which {'have' if both else 'has'} neither a post nor a rail beside {beside} at {places} "
        f"from its upper end: what {these} fixed to was not checked; have a wall there, or a post "
        "of its own"
    )


def _fixed(count: int, *, both: bool) -> str:
    """That the brackets of a handrail are fixed, in words. both: they are those of two alike.

    >>> _fixed(1, both=False), _fixed(3, both=False), _fixed(3, both=True)
    ('its bracket is fixed', 'its 3 brackets are fixed', 'the 3 brackets of each are fixed')
    """
    are = "is fixed" if count == 1 else "are fixed"
    brackets = "bracket" if count == 1 else f"{count} brackets"
    return f"the {brackets} of each {are}" if both else f"its {brackets} {are}"
