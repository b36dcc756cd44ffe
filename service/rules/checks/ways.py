"""Rules: what stands in the way of rails and posts, and of the way down a flight: obstructions,
walls, other levels and their railings, and the deck itself where it turns out beside a flight; and
guards against another level."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.measure import TOUCH
from service.core.records.seen import WayKind
from service.rules.job import Job, Place
from service.rules.saying import Saying, say
from service.rules.words import list_text

_MET: Final[dict[WayKind, str]] = {
    "rail": "the rail runs into {}: move the posts beside it, or part the railing there",
    "guard": "the rail runs into {}: end the guard there, leave that edge open, or make room by "
    "moving an edge",
    "upright": "the post stands in {}: move the opening or the corner that it stands at",
    "post": "the base of the post stands in {}: move the post or the flight",
    "way": "the way down runs into {}: move the flight, or where a railing stands in it leave that "
    "edge open or give it a passage",
}
_DOUBTFUL: Final = "it runs into {} in plan, of another level: see that none of it reaches so high"


def rails_clear(job: Job) -> Iterator[Saying]:
    """What stands in the rails and posts of levels and flights.

    The rule's row in `table/railing` tells what is looked for in which of them.
    """
    clear = "nothing stands in the rail, or in the base of the post"
    yield from _ways(job, "rails_clear", ("rail", "guard", "upright", "post"), clear)


def flight_clear(job: Job) -> Iterator[Saying]:
    """Obstructions in the way down each flight, and posts, rails and decks in its height."""
    clear = "no deck, post, rail or obstruction stands in the way down"
    yield from _ways(job, "flight_clear", ("way",), clear)


def guard_at_level(job: Job) -> Iterator[Saying]:
    """Guarded edges, or stretches of one, beyond which another level lies as high or higher.

    Stretches too short for a bay are left out. A warning, as a guard may be wanted there all the
    same.
    """
    edges = [edge.place for edge in job.layout.edges]
    least = job.kit.least_bay - TOUCH
    told = [seen for seen in job.layout.level_guards if seen.length >= least]
    for seen in told:
        lies = "where another level lies beyond the edge, as high or higher, and nobody can fall"
        if edges.count(seen.place) > 1:
            along = f"guarded along a stretch of {job.text(seen.length)}, {lies}"
            sentence = f"{along}: give the stretch corners of its own, and leave that edge open"
        else:
            sentence = f"guarded, {lies}: leave the edge open, unless it is to have a guard"
        yield say("guard_at_level", "warning", sentence), [(seen.place,)]


def _ways(job: Job, rule: str, kinds: tuple[WayKind, ...], clear: str) -> Iterator[Saying]:
    kept: list[Place] = []
    for seen in job.layout.ways:
        if seen.kind not in kinds:
            continue
        place = (seen.place,)
        if seen.met:
            yield say(rule, "violation", _MET[seen.kind].format(list_text(seen.met))), [place]
        if seen.doubtful:
            yield say(rule, "warning", _DOUBTFUL.format(list_text(seen.doubtful))), [place]
        if not seen.met and not seen.doubtful:
            kept.append(place)
    if kept:
        yield say(rule, "pass", clear), kept
