"""Rules: whether flights that come down to an open edge, a passage or a gate close it, by the code.

Nobody falls where the foot of a flight stands. `closed_by` judges what is left open beside the feet
at one place, and `open_round_corner` what is left between them and the feet at the next.
"""

from __future__ import annotations

from typing import Final, NamedTuple

from service.core.records.code import Code, Figure
from service.core.records.deck import Drops
from service.core.records.seen import FootSeen
from service.rules.figure_words import sphere_asks
from service.rules.job import Job
from service.rules.ruling import guard_needed, rule_on
from service.rules.saying import steady
from service.rules.words import list_text

_RISER: Final = "see that the lowest riser is closed"


class Closed(NamedTuple):
    """How flights close a place, in words, and the figure that lets the rest of it stay open.

    figure: None where the flights leave nothing of the place open.
    """

    how: str
    figure: Figure | None


def feet_of(job: Job) -> dict[str, FootSeen]:
    """The feet of flights from a higher level, by the place that they come down to."""
    return {seen.place: seen for seen in job.layout.feet}


def closed_by(job: Job, foot: FootSeen, drops: Drops) -> Closed | None:
    """How flights close the place that they come down to.

    None where they leave more of it open than the code lets an opening in a guard be, and where
    that is not known.
    """
    left, sphere = steady(foot.left), job.figure("opening_sphere")
    at = f"at the foot of {flights_text(foot)}, which leave{'s' if len(foot.flights) == 1 else ''}"
    if left == 0:
        return Closed(f"{at} nothing of it open; {_RISER}", None)
    ruling = None if sphere is None else rule_on(sphere, drops, left)
    if ruling is None or not ruling.keeps:
        return None
    figure = ruling.figure
    asks = f"{sphere_asks(job, figure, left)} {job.clause(figure)}"
    open_ = f"up to {job.text(left, figure.number())} of it open"
    return Closed(f"{at} {open_}; {asks}; {_RISER}", figure)


def open_round_corner(
    job: Job, code: Code, foot: FootSeen, drops: Drops
) -> tuple[str, Figure] | None:
    """What is open round a corner, from flights at this place to those at the next, by the code.

    None where that keeps the code's figure, and where the next place needs no guard or is not
    closed by its own flights, as its own finding then says.
    """
    sphere, feet = job.figure("opening_sphere"), feet_of(job)
    for place, gap in foot.corners:
        beyond = _drops_at(job, place)
        needed, left = guard_needed(code, beyond), steady(gap)
        ruling = None if sphere is None else rule_on(sphere, drops, left)
        if needed is None or needed.keeps is False or ruling is None or ruling.keeps is not False:
            continue
        if closed_by(job, feet[place], beyond) is not None:
            figure = ruling.figure
            what = (
                f"{job.text(left, figure.number())} is open round the corner, from there to "
                f"{flights_text(feet[place])} at {place}; {sphere_asks(job, figure, left)} "
                f"{job.clause(figure)}"
            )
            return what, figure
    return None


def _drops_at(job: Job, place: str) -> Drops:
    """What lies below an open edge or an opening."""
    edges = {edge.place: edge.drops for edge in job.layout.edges}
    openings = {opening.place: opening.drops for opening in job.layout.openings}
    return {**openings, **edges}[place]


def flights_text(foot: FootSeen) -> str:
    """The flights at a place, in words."""
    return f"{'flight' if len(foot.flights) == 1 else 'flights'} {list_text(foot.flights)}"
