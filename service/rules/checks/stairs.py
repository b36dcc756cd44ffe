"""Rules: the steps of a flight, by the code: risers, goings, nosings, pitch, rise and width."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.measure import TOUCH, Length
from service.core.records.code import Figure
from service.core.records.layout import FlightBuilt
from service.rules.code_limits import Reading, at_flight, by_bounds
from service.rules.figure_words import bound_asks
from service.rules.finding import Finding, Verdict
from service.rules.job import Job, Place
from service.rules.ruling import figure_on_flight
from service.rules.saying import Saying, say, say_by_figure, steady

_LAST: Final = "the {}, which takes up what the rise misses the drop by, is {{}} high"
_PITCH: Final = "the flight goes down at {}"
_EVENNESS: Final = ("riser_uniformity", "riser_uniformity_neighbours")
"""Both are held against one reading: a riser unlike all others is as unlike its neighbour."""


def riser_height(job: Job) -> Iterator[Saying]:
    """Height of each flight's risers, which are alike, and of a last riser that is not.

    The last riser takes up what the rise misses the drop by. It is told where it breaks a figure
    that the others keep.
    """
    rule = "riser_height"
    each = [
        at_flight(flight, "each riser is {} high", flight.riser) for flight in job.layout.flights
    ]
    told = list(by_bounds(job, rule, each))
    yield from told
    broken = {place for finding, places in told if finding.result == "fail" for place in places}
    last = [
        at_flight(flight, _LAST.format("last riser" if flight.risers > 1 else "riser"), riser)
        for flight in job.layout.flights
        if (flight.id,) not in broken and (riser := _last_riser(flight)) is not None
    ]
    uneven = by_bounds(job, rule, last)
    yield from (saying for saying in uneven if saying[0].result == "fail")


def _last_riser(flight: FlightBuilt) -> Length | None:
    """Height of the last riser of a flight whose rise misses its drop by less than a riser.

    None where the last riser is as the others, or where rise and drop are further apart than that.

    >>> from types import SimpleNamespace as Flight
    >>> [_last_riser(Flight(rise=49.0, riser=7.0, drop=drop)) for drop in (49.25, 49.0, 56.0, None)]
    [7.25, None, None, None]
    """
    if flight.drop is None:
        return None
    off = steady(flight.drop - flight.rise)
    return flight.riser + off if TOUCH < abs(off) < flight.riser - TOUCH else None


def tread_going(job: Job) -> Iterator[Saying]:
    """Going of each flight that has treads."""
    readings = [at_flight(flight, "the going is {}", flight.going) for flight in _with_treads(job)]
    yield from by_bounds(job, "tread_going", readings)


def risers_and_going(job: Job) -> Iterator[Saying]:
    """Two risers and a going of each flight that has treads, where the code limits their sum."""
    what = "two risers and a going come to {}"
    readings = [
        at_flight(flight, what, 2 * flight.riser + flight.going) for flight in _with_treads(job)
    ]
    yield from by_bounds(job, "risers_and_going", readings, optional=True)


def stair_pitch(job: Job) -> Iterator[Saying]:
    """Pitch of each flight that has treads, where the code limits it."""
    readings = [at_flight(flight, _PITCH, flight.pitch) for flight in _with_treads(job)]
    yield from by_bounds(job, "stair_pitch", readings, optional=True)


def stair_width(job: Job) -> Iterator[Saying]:
    """Clear width of each flight, between the posts of any guards, where the code limits it."""
    readings = [
        at_flight(flight, _width_words(job, flight), flight.clear_width)
        for flight in job.layout.flights
    ]
    yield from by_bounds(job, "stair_width", readings, optional=True)


def flight_rise(job: Job) -> Iterator[Saying]:
    """Total rise of each flight, where the code limits it."""
    what = "the flight rises {} without a landing"
    readings = [at_flight(flight, what, flight.rise) for flight in job.layout.flights]
    yield from by_bounds(job, "flight_rise", readings, optional=True)


def flight_risers(job: Job) -> Iterator[Saying]:
    """Number of risers of each flight, where the code limits it."""
    readings = [
        at_flight(
            flight, f"the flight has {{}} riser{'' if flight.risers == 1 else 's'}", flight.risers
        )
        for flight in job.layout.flights
    ]
    yield from by_bounds(job, "flight_risers", readings, optional=True)


def nosing_projection(job: Job) -> Iterator[Saying]:
    """How far the treads of each flight project past the riser below.

    A projection of 0 is taken as not given where the code asks for one.
    """
    readings: list[tuple[Place, Reading]] = []
    for flight in _with_treads(job):
        binding = figure_on_flight(job.code, "nosing_min", flight)
        if binding is not None and flight.nosing <= TOUCH:
            sentence = (
                "how far the treads project past the riser below is not given; give the flight's "
                f"nosing: {bound_asks(job, binding, 0.0)} {job.clause(binding)}"
            )
            yield (
                say_by_figure("nosing_projection", "not_checked", sentence, binding, None),
                [(flight.id,)],
            )
        else:
            readings.append(
                at_flight(flight, "the treads project {} past the riser below", flight.nosing)
            )
    yield from by_bounds(job, "nosing_projection", readings, optional=True)


def _with_treads(job: Job) -> list[FlightBuilt]:
    """Flights of two risers or more: a single riser has neither a tread nor a slope."""
    return [flight for flight in job.layout.flights if flight.risers > 1]


def _width_words(job: Job, flight: FlightBuilt) -> str:
    if not flight.guards:
        return "the clear width is {}"
    words = "the clear width between the faces of posts is {}"
    if steady(flight.into_width) == 0:
        return words
    each = " on each side" if len(flight.guards) > 1 else ""
    return f"{words}, into which bases reach {job.text(flight.into_width)}{each} at the treads"


def _no_way_down(flight: FlightBuilt) -> str:
    """That the drops given leave a flight no way down, and what to give instead, in words."""
    if flight.to_level is None:
        return "the drop given where it goes down is none; give that of its edge or level"
    return (
        f"by the drops of the two levels {flight.to_level} does not lie below {flight.level}; give "
        "both drops from one ground, or another level to go down to"
    )


def _drop_to_give(job: Job, flight: FlightBuilt) -> str:
    """The drop that a flight's rise cannot be held against because it is not given, in words."""
    known = {level.id for level in job.deck.levels if level.drops.drop is not None}
    missing = [level for level in (flight.level, flight.to_level) if level not in known]
    if flight.to_level is None and flight.level in known:
        return "the drop of the level at its foot"
    if flight.to_level is None:
        return f"the drop of level {flight.level} or of the edge, down to what its foot stands on"
    if len(missing) == 1:
        return f"the drop of level {missing[0]}, from the same ground as the other's,"
    return f"the drops of levels {flight.level} and {flight.to_level}, both from one ground,"


def riser_evenness(job: Job) -> Iterator[Saying]:
    """What each flight's risers come to against the drop; one riser takes up the difference."""
    for flight in job.layout.flights:
        stated = (figure_on_flight(job.code, name, flight) for name in _EVENNESS)
        figures: list[Figure | None] = [one for one in stated if one is not None]
        for figure in figures or [None]:
            yield _evenness(job, flight, figure), [(flight.id,)]


def _evenness(job: Job, flight: FlightBuilt, figure: Figure | None) -> Finding:
    """Finding on one flight by one figure. figure: None where the code states none."""
    what = "riser comes" if flight.risers == 1 else "risers come"
    rise = f"the {what} to {job.text(flight.rise, flight.drop)}"
    if flight.drop is None:
        give = _drop_to_give(job, flight)
        return _even(job, "not_checked", f"{rise}; give {give} to have that checked", figure)
    off = steady(abs(flight.rise - flight.drop))
    if flight.drop <= TOUCH:
        return _even(job, "violation", f"{rise}, but {_no_way_down(flight)}", figure, off)
    if off == 0:
        return _even(job, "pass", f"{rise}, which is the drop", figure, off)
    by = job.text(off, figure.number() if figure is not None else 0.0)
    drop, short = job.text(flight.drop, flight.rise), flight.drop > flight.rise
    sentence = f"{rise} and the drop is {drop}, so {_unevenly(flight, off, by, short)}"
    if figure is None:
        sentence += (
            "; name a code to have that held against its figure"
            if job.code is None
            else f"; {job.code.id} states no figure for that: settle it with the local authority"
        )
    keeps = figure is not None and figure.met_by(off)
    return _even(job, "pass" if keeps else "violation", sentence, figure, off)


def _unevenly(flight: FlightBuilt, off: Length, by: str, short: bool) -> str:
    """What a rise that misses its drop comes to, in words.

    off, by: how much it misses, as a length and as text. short: whether the rise is less than the
    drop.
    """
    if off >= flight.riser - TOUCH:
        over = "are left" if short else "are too many"
        return f"{by} {over}, a riser or more: check the rise, the risers and the drop"
    last = "it would be {}" if flight.risers == 1 else "the last riser would be {} than the others"
    return last.format(f"{by} {'higher' if short else 'lower'}")


def _even(
    job: Job, verdict: Verdict, sentence: str, figure: Figure | None, off: float | None = None
) -> Finding:
    """Finding by the code's figure; without a figure a violation becomes a warning."""
    if figure is None:
        mild: Verdict = "warning" if verdict == "violation" else verdict
        return say("riser_evenness", mild, sentence, actual=off)
    asks = bound_asks(job, figure, 0.0 if off is None else off)
    sentence = f"{sentence}; {asks} {job.clause(figure)}"
    return say_by_figure("riser_evenness", verdict, sentence, figure, off)
