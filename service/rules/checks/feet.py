"""Rules: whether flights that come down to an open edge, a passage or a gate close it, by the code.

Nobody falls where the foot of a flight stands. `closed_by` judges what is left open beside the feet
at one place, `left_open` says what that is where it is too much, and `open_round_corner` what is
left between them and the feet at the next.
"""

from __future__ import annotations

from typing import Final, NamedTuple

from service.core.measure import Length
from service.core.records.code import Figure
from service.core.records.deck import Drops
from service.core.records.seen import FootSeen
from service.rules.figure_words import sphere_asks
from service.rules.job import Job
from service.rules.ruling import Ruling, guard_needed, is_freed, rule_on
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
    left = steady(foot.left)
    if left == 0:
        return Closed(f"{_leaving(foot)} nothing of it open; {_RISER}", None)
    ruling = _ruling(job, left, drops)
    if ruling is None or not ruling.keeps:
        return None
    return Closed(f"{_open_text(job, foot, left, ruling)}; {_RISER}", ruling.figure)


def left_open(job: Job, foot: FootSeen, drops: Drops, kind: str) -> Closed:
    """What flights leave open of the place that they come down to, where they do not close it.

    The words say how much that is, what the code lets an opening in a guard be, and what would
    close it. The figure is None where the code does not say, or where that hangs on what is not
    given. kind: `open` (an edge), `passage` or `gate`.
    """
    left = steady(foot.left)
    ruling = _ruling(job, left, drops)
    several = len(foot.flights) > 1
    ends = "what stands past the edge's ends" if kind == "open" else f"the ends of the {kind}"
    closing = f"bring {ends} nearer to the flight"
    if several:
        closing = f"bring the flights nearer to each other and to {ends}"
    if kind == "open":
        each = "each flight" if several else "the flight"
        closing = f"put a railing there, with a passage for {each}, or {closing}"
    elif several:
        closing += f", or give each flight a {kind} of its own"
    behind = _ruling(job, steady(foot.behind), drops)
    if behind is not None and behind.keeps is False:
        its = "their" if several else "its"
        closing += f", with {its} foot posts on this level in place of a tread"
    figure = None if ruling is None or ruling.keeps is None else ruling.figure
    return Closed(f"{_open_text(job, foot, left, ruling)}; to close that, {closing}", figure)


def _ruling(job: Job, left: Length, drops: Drops) -> Ruling | None:
    """How the code's figure for openings rules on what is left open; None where it has none."""
    sphere = job.figure("opening_sphere")
    return None if sphere is None else rule_on(sphere, drops, left)


def _open_text(job: Job, foot: FootSeen, left: Length, ruling: Ruling | None) -> str:
    """What flights leave open, and what the code asks of that."""
    if ruling is None or ruling.keeps is None:
        return f"{_leaving(foot)} up to {job.text(left)} of it open"
    figure = ruling.figure
    asks = f"{sphere_asks(job, figure, left)} {job.clause(figure)}"
    return f"{_leaving(foot)} up to {job.text(left, figure.number())} of it open; {asks}"


def _leaving(foot: FootSeen) -> str:
    return (
        f"at the foot of {flights_text(foot)}, which leave{'s' if len(foot.flights) == 1 else ''}"
    )


def open_round_corner(job: Job, foot: FootSeen, drops: Drops) -> tuple[str, Figure] | None:
    """What is open round a corner, from flights at this place to those at the next, by the code.

    None where that keeps the code's figure, and where the next place needs no guard or is not
    closed by its own flights, as its own finding then says.
    """
    feet = feet_of(job)
    for place, gap in foot.corners:
        beyond = _drops_at(job, place)
        needed, left = guard_needed(job, beyond), steady(gap)
        ruling = _ruling(job, left, drops)
        if needed is None or is_freed(needed) or ruling is None or ruling.keeps is not False:
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
