"""Rules: how deep the landings of flights are, by the code."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from service.core.measure import TOUCH, Length
from service.core.records.code import Figure
from service.core.records.figures import FLIGHT_WIDTH
from service.core.records.layout import FlightBuilt
from service.core.records.seen import LandingSeen
from service.rules.code_limits import Criterion, at_flight, by_figure, verbatim
from service.rules.figure_words import bound_asks
from service.rules.finding import Finding, Verdict
from service.rules.job import Job
from service.rules.ruling import circumstances_of, rule_on
from service.rules.saying import Saying, say_by_figure, say_unstated

_RULE: Final = "landing_depth"
_SETTLE: Final = ": settle with the local authority whether the room of the railing counts"
_GIVE: Final = ": give the drops of both levels to have it checked"


def landing_depth(job: Job) -> Iterator[Saying]:
    """Depth of each landing that is a level, at the head and at the foot of flights.

    Codes do not say whether the room that a railing takes up counts. Where that decides, or whether
    a level whose height is not known goes on with it, the landing is not checked.
    """
    figure, seen_all = job.figure(_RULE), job.layout.landings
    if figure is None:
        if job.code is None:
            places = [(seen.flight,) for seen in seen_all]
            yield say_unstated(job, _RULE, _RULE), list(dict.fromkeys(places))
        return
    flights = {flight.id: flight for flight in job.layout.flights}
    for seen in seen_all:
        flight = flights[seen.flight]
        ruling = rule_on(figure, flight.drops, seen.clear, circumstances_of(flight))
        if ruling is not None and ruling.keeps is None:
            reading = at_flight(flight, f"{verbatim(_where(seen))} {{}} deep", seen.clear)
            yield from by_figure(job, Criterion(_RULE, _RULE, bound_asks, always=True), [reading])
        elif ruling is not None:
            yield _judge(job, ruling.figure, seen, flight), [(flight.id,)]


def _where(seen: LandingSeen) -> str:
    return f"the landing at its {seen.at}, on {seen.level}, is"


def _judge(job: Job, figure: Figure, seen: LandingSeen, flight: FlightBuilt) -> Finding:
    """Finding on one landing by the figure that holds there, or by the width of its flight where
    the code asks for no more and that is less."""
    cap, width = job.figure("landing_no_deeper_than"), flight.clear_width
    capped = cap is not None and cap.value == FLIGHT_WIDTH and width < figure.number() - TOUCH
    least = replace(figure, value=width) if capped else figure
    as_wide = f", {FLIGHT_WIDTH}" if capped else ""

    def tell(verdict: Verdict, what: str, actual: Length, settle: str = "") -> Finding:
        asks = f"{bound_asks(job, least, actual)}{as_wide} {job.clause(figure)}"
        sentence = f"{_where(seen)} {what}; {asks}{settle}"
        return say_by_figure(_RULE, verdict, sentence, least, actual, [cap] if capped else ())

    deep, clear = (job.text(each, least.number()) for each in (seen.deep, seen.clear))
    if not least.met_by(seen.deep) and least.met_by(seen.most):
        most = job.text(seen.most, least.number())
        what = f"{deep} deep, or {most} if the level past it is as high"
        return tell("not_checked", what, seen.deep, _GIVE)
    if not least.met_by(seen.deep):
        return tell("violation", f"{deep} deep", seen.deep)
    if not least.met_by(seen.clear):
        what = f"{deep} deep, {clear} of it clear of its railing"
        return tell("not_checked", what, seen.clear, _SETTLE)
    return tell("pass", f"{clear} deep", seen.clear)
