"""Rules: where a guard must stand, by the code (`guard_required`)."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from typing import Final, NamedTuple

from service.core.measure import Length
from service.core.records.code import ANYWHERE, Figure
from service.core.records.deck import Drops
from service.core.records.layout import FlightBuilt
from service.core.records.seen import FootSeen, StandInSeen
from service.rules.checks.feet import (
    closed_by,
    feet_of,
    flights_text,
    left_open,
    open_round_corner,
)
from service.rules.checks.gaps import stair_sphere
from service.rules.figure_words import printed, required_text, stepped_text
from service.rules.finding import Finding, Verdict
from service.rules.job import Job, Place
from service.rules.ruling import (
    Ruling,
    circumstances_of,
    guard_needed,
    is_freed,
    rule_on,
    stepped_figure,
)
from service.rules.saying import Saying, say_by_figure, say_unstated, steady, tell_by_kind
from service.rules.words import count_text, list_text

_RULE: Final = "guard_required"
_LANDING: Final = "settle with the local authority whether this is such a landing"


class Lack(NamedTuple):
    """A place without a guard, in words. unless: what would make good for one, in words.

    verdict: where the code requires a guard.
    """

    words: str
    unless: str = ""
    verdict: Verdict = "violation"


_WALL: Final = ", unless a wall stands there"
_LACKS: Final = {
    "open": Lack("no railing"),
    "passage": Lack("a passage without a guard"),
    "stair": Lack(
        "an opening for a flight, with no flight given",
        ", unless its flight goes down there: give that flight",
        "not_checked",
    ),
    "left": Lack("no guard on the left, as seen going up", _WALL, "warning"),
    "right": Lack("no guard on the right, as seen going up", _WALL, "warning"),
    "both": Lack("no guard on either side", _WALL, "warning"),
}


class Exposure(NamedTuple):
    """What `guard_required` judges: an edge, a stretch of one, a passage or the sides of a flight.

    kind: `guard`, or a key of _LACKS. stretch: length of a part of an edge; None for a whole edge.
    risers, rise: of a flight; None elsewhere. foot: what flights that come down there leave open.
    """

    kind: str
    drops: Drops
    stretch: Length | None = None
    risers: int | None = None
    rise: Length | None = None
    foot: FootSeen | None = None

    @property
    def lack(self) -> Lack | None:
        """What is missing there; None where a guard stands."""
        return _LACKS.get(self.kind)


def guard_required(job: Job) -> Iterator[Saying]:
    """Edges, passages and sides of flights against the drop at which the code requires a guard.

    A guarded edge passes whatever its drop, and walls are left out. A bare side of a flight is a
    warning, as a wall that no document need name may stand there. An obstruction of unknown height
    in the railing's place is not_checked.
    """
    figure = job.figure("guard_required_drop")
    if figure is None:
        missing = say_unstated(job, _RULE, "guard_required_drop")
        yield missing, [place for place, _ in _exposures(job)]
        return

    def tell(exposure: Exposure) -> Finding | None:
        lack, foot = exposure.lack, exposure.foot
        may = next((one for one in figure.over(exposure.drops) if one is not None), None)
        told = None
        if lack is not None:
            if foot is not None and may is not None:
                told = _closed_by_flights(job, may, exposure, lack, foot)
            told = told or _by_risers(job, exposure, lack)
        return told if may is None else told or _by_drop(job, may, exposure)

    yield from tell_by_kind(_exposures(job), tell)
    yield from _stand_ins(job, figure)


def _exposures(job: Job) -> Iterator[tuple[Place, Exposure]]:
    """Every place that guard_required judges, with what is there.

    These are edges other than walls, by stretches of one drop; passages; flights; and openings for
    a flight that is not given.
    """
    down = {flight.opening for flight in job.layout.flights}
    pieces = Counter([edge.place for edge in job.layout.edges])
    feet = feet_of(job)
    for edge in job.layout.edges:
        if edge.condition != "wall":
            stretch = edge.length if pieces[edge.place] > 1 else None
            foot = feet.get(edge.place) if stretch is None else None
            yield (edge.place,), Exposure(edge.condition, edge.drops, stretch, foot=foot)
    for opening in job.layout.openings:
        if opening.use == "passage" or (opening.use == "stair" and opening.place not in down):
            foot = feet.get(opening.place)
            yield (opening.place,), Exposure(opening.use, opening.drops, foot=foot)
    for flight in job.layout.flights:
        kind = _flight_kind(flight)
        if kind is not None:
            yield (flight.id,), Exposure(kind, flight.drops, risers=flight.risers, rise=flight.rise)


def _flight_kind(flight: FlightBuilt) -> str | None:
    """Kind of exposure of a flight, by its sides with neither a guard nor a wall.

    `guard` where no side is bare; None where walls go down along both sides.
    """
    bare = flight.bare
    if not bare:
        return "guard" if flight.guards else None
    return bare[0] if len(bare) == 1 else "both"


def _closed_by_flights(
    job: Job, figure: Figure, exposure: Exposure, lack: Lack, foot: FootSeen
) -> Finding | None:
    """Finding on a place that flights come down to and close; None for any other place.

    It passes, unless more than the code allows is open round a corner, between these flights and
    those at the next edge.
    """
    drops = exposure.drops
    closed = closed_by(job, foot, drops)
    if closed is None:
        return None
    open_ = open_round_corner(job, foot, drops)
    if open_ is None:
        sentence = f"{lack.words}, {closed.how}"
        return say_by_figure(_RULE, "pass", sentence, figure, drops.drop, [closed.figure])
    needed = guard_needed(job, drops)
    if needed is None or not needed.keeps:
        return None
    what, sphere = open_
    sentence = f"{lack.words}, at the foot of {flights_text(foot)}, but {what}"
    return say_by_figure(_RULE, "violation", sentence, needed.figure, drops.drop, [sphere])


def _by_risers(job: Job, exposure: Exposure, lack: Lack) -> Finding | None:
    """Finding on a place without a guard by the risers that require one, whatever the drop.

    A flight is a warning from that many risers on. Elsewhere the place may be a landing's edge,
    which is not_checked where its drop is known to be too small to require a guard. None for other
    places, and where the code has no such figure.
    """
    drops, risers = exposure.drops, exposure.risers
    if risers is not None:
        figure = job.figure("guard_required_risers")
        binding = None if figure is None else figure.at(drops)
        if binding is None or not binding.met_by(risers):
            return None
        at = f"{lack.words}, at {count_text(risers, 'riser')}"
        sentence = f"{at}; {stepped_text(job, binding)}{lack.unless}"
        return say_by_figure(_RULE, "warning", sentence, binding, risers)
    stepped, needed = stepped_figure(job, drops), guard_needed(job, drops)
    if stepped is None or needed is None or not is_freed(needed) or drops.drop is None:
        return None
    figure = needed.figure
    sentence = (
        f"{lack.words}, over a drop of {job.text(drops.drop, figure.number())}; "
        f"{required_text(job, figure)}, and {stepped_text(job, stepped)}: "
        f"{_LANDING}"
    )
    return say_by_figure(_RULE, "not_checked", sentence, figure, drops.drop, [stepped])


def _by_drop(job: Job, may: Figure, exposure: Exposure) -> Finding:
    """Finding on one place by its drop. may: a requirement that may hold there."""
    lack, drops = exposure.lack, exposure.drops
    needed = guard_needed(job, drops)
    if needed is None or needed.keeps is None or drops.drop is None:
        return _by_rise(job, exposure) or _by_no_drop(job, needed, may, exposure)
    figure, drop = needed.figure, drops.drop
    over = f"over a drop of {job.text(drop, figure.number())}"
    if exposure.stretch is not None:
        over += f", along a stretch of {job.text(exposure.stretch)}"
    verdict: Verdict = "pass"
    others = [job.figure("guard_drop_reach")]
    if lack is None:
        sentence = f"guarded, {over}; {required_text(job, figure)}"
        if needed.keeps:
            return say_by_figure(_RULE, verdict, sentence, figure, drop)
    elif needed.keeps:
        verdict = lack.verdict
        if exposure.foot is not None and verdict == "violation":
            how, sphere = left_open(job, exposure.foot, drops, exposure.kind)
            over += f", {how}"
            others.append(sphere)
        sentence = f"{lack.words}, {over}; {required_text(job, figure, lack.unless)}"
    else:
        sentence = f"no guard required {over}; {required_text(job, figure)}"
    sentence += _reach_text(job, figure)
    return say_by_figure(_RULE, verdict, sentence, figure, drop, others)


def _by_rise(job: Job, exposure: Exposure) -> Finding | None:
    """Warning of a flight's bare sides by its rise, where its drop is not given.

    None where the rise alone does not require a guard.
    """
    lack, rise = exposure.lack, exposure.rise
    needed = None if rise is None else guard_needed(job, exposure.drops._replace(drop=rise))
    if lack is None or rise is None or needed is None or not needed.keeps:
        return None
    figure = needed.figure
    sentence = (
        f"{lack.words}, down a rise of {job.text(rise, figure.number())}; "
        f"{required_text(job, figure, lack.unless)}"
    )
    return say_by_figure(_RULE, "warning", sentence, figure, rise)


def _by_no_drop(job: Job, needed: Ruling | None, may: Figure, exposure: Exposure) -> Finding:
    """Finding on a place of which it cannot be known whether a guard is required."""
    lack, drop = exposure.lack, exposure.drops.drop
    figure = needed.figure if needed else may
    asks = required_text(job, figure)
    if lack is None:
        sentence = f"guarded, whatever the drop; {asks}"
        return say_by_figure(_RULE, "pass", sentence, figure, drop)
    sentence = f"{lack.words}; give the drop of the edge or its level to have it checked: {asks}"
    sentence += _reach_text(job, figure)
    reach = job.figure("guard_drop_reach")
    return say_by_figure(_RULE, "not_checked", sentence, figure, drop, [reach])


def _reach_text(job: Job, shown: Figure) -> str:
    """How far out from the edge the drop must be looked for; empty where the code does not say.

    shown: the figure whose clause the sentence cites already.
    """
    reach = job.stated("guard_drop_reach")
    if reach is None:
        return ""
    clause = "" if reach.cite == shown.cite and not reach.amended else f" {job.clause(reach)}"
    return f"; the drop must be the worst within {printed(job, reach)} of the edge{clause}"


def _stand_ins(job: Job, required: Figure) -> Iterator[Saying]:
    """Findings on obstructions in the railing's place whose height is not given, one for each drop.

    Places where no guard can be required, or that may stay open, are left out. The obstructions of
    given height are read by `obstruction_height`.
    """
    over: dict[Drops, list[StandInSeen]] = {}
    for seen in job.layout.stand_ins:
        if seen.height is None and not makes_no_difference(job, seen):
            over.setdefault(seen.drops, []).append(seen)
    for drops, alike in over.items():
        needed = guard_needed(job, drops)
        may = [one for one in required.over(drops) if one is not None]
        if may:
            figure = needed.figure if needed is not None else may[0]
            stepped = stepped_figure(job, drops) if is_freed(needed) else None
            places = dict.fromkeys((seen.place,) for seen in alike)
            yield _stand_in(job, figure, stepped, alike), list(places)


def _stand_in(
    job: Job, figure: Figure, stepped: Figure | None, alike: list[StandInSeen]
) -> Finding:
    """Finding on the obstructions over one drop.

    stepped: the risers that may require a guard there; None where the drop itself may.
    """
    drop = alike[0].drops.drop
    names = list(dict.fromkeys(seen.name for seen in alike))
    lengths = [job.text(length) for length in sorted({steady(seen.length) for seen in alike})]
    long = lengths[0] if len(lengths) == 1 else f"{lengths[0]} to {lengths[-1]}"
    over = "" if drop is None else f", over a drop of {job.text(drop, figure.number())}"
    long += " each" if len(names) > 1 else ""
    sentence = (
        f"the railing's place is taken by {list_text(names)} along {long}{over}; how high that "
        "stands is not given: see that it guards as the railing beside it does, or takes "
        f"a railing on it; {required_text(job, figure)}"
    )
    if stepped is not None:
        sentence += f", and {stepped_text(job, stepped)}"
    return say_by_figure(_RULE, "not_checked", sentence, figure, drop, [stepped])


def makes_no_difference(job: Job, seen: StandInSeen) -> bool:
    """Whether it makes no difference how high an obstruction is that stands in a railing's place.

    It makes none where no guard is required there, and where the opening without the obstruction
    would be small enough for the code's sphere. Beside a flight that is closed without it, it makes
    none either where the opening is too large with it as well, or where the code has no sphere: of
    both `stair_opening_size` tells.
    """
    flight = next((one for one in job.layout.flights if one.id == seen.place), None)
    name = "opening_sphere" if flight is None else stair_sphere(job)
    needed, sphere = guard_needed(job, seen.drops), job.figure(name)
    risers, here = (None, ANYWHERE) if flight is None else (flight.risers, circumstances_of(flight))
    if is_freed(needed) and stepped_figure(job, seen.drops, risers) is None:
        return True
    if math.isinf(seen.without):
        return False
    opened, left = (
        None if sphere is None else rule_on(sphere, seen.drops, width, here)
        for width in (seen.without, seen.beside)
    )
    if opened is None or left is None:
        return flight is not None
    return opened.keeps is left.keeps
