"""Rules: whether what is drawn can stand and meet: bases on their surface and clear of each other,
what holds rails at walls and obstructions, chords over a bowed edge, a raked rail at a level one, a
flight's foot on its level."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from service.core.line.neighbours import BEYOND
from service.core.measure import TOUCH, Length, ceil_to_mark, convert, nearest_mark
from service.core.records.layout import FlightBuilt
from service.core.records.seen import HeadSeen, WallEndSeen
from service.core.timber.framing import SNUG
from service.rules.finding import Finding, Verdict
from service.rules.job import Job, Place
from service.rules.ruling import figure_on_flight
from service.rules.saying import Saying, say, say_by_kit, steady, tell_by_kind

OVERHANG_TOLERANCE: Final = 0.001
"""Inches that a base may reach past what carries it, as outlines are given no closer than that."""


def base_on_deck(job: Job) -> Iterator[Saying]:
    """Each base against what carries it: the deck, the rim of a fascia kit, or a tread.

    The base of a foot post that stands on the level below is held against that level's deck.
    """
    down = {post.id for post in job.layout.posts if post.flight is not None}
    bases = [
        (
            (base.post,),
            (
                base.overhang,
                base.post in down,
                base.landing if base.overhang else None,
                base.off_rim,
            ),
        )
        for base in job.layout.bases
    ]
    yield from tell_by_kind(bases, lambda kind: _base(job, *kind))


def _base(
    job: Job, overhang: Length, in_flight: bool, landing: str | None, off_rim: Length
) -> Finding:
    """Finding on the base of a post.

    landing: the level below that a foot post stands on. off_rim: as for `_off_bow`.
    """
    unit, width, overhang = job.deck.unit, job.kit.post.base.width, steady(overhang)
    surface = "its rim" if job.kit.mounting == "fascia" else "the deck"
    if overhang <= convert(OVERHANG_TOLERANCE, "in", unit):
        if abs(off_rim) > convert(SNUG, "in", unit) + TOUCH:
            return _off_bow(job, steady(off_rim))
        on = "its tread or on the ground" if in_flight else surface
        overhang, sentence = 0.0, f"the base stands wholly on {on}"
    elif in_flight and landing is None:
        # A base stands in the middle of its going, so it reaches past the front and the back alike.
        going = width - 2 * overhang
        sentence = (
            f"the base is {job.text(width, going)} wide and the going {job.text(going, width)}: it "
            f"reaches {job.text(overhang, 0.0)} past its tread at the front and at the back"
        )
    else:
        carries = surface if landing is None else f"the deck of level {landing}"
        sentence = f"the base reaches {job.text(overhang, 0.0)} past {carries} that must carry it"
    verdict: Verdict = "violation" if overhang else "pass"
    return say_by_kit(job, "base_on_deck", verdict, sentence, limit=0.0, actual=overhang)


def _off_bow(job: Job, off: Length) -> Finding:
    """Warning of a flat base on a bowed rim.

    off: how far the base lies off the rim on both sides; below 0, how far off in the middle.
    """
    where, more = "on both sides", ""
    if off < 0:
        where, more = "in the middle", ", and stands as much further out than it is drawn"
    sentence = (
        f"the base is flat and its rim bowed: {where} it lies {job.text(abs(off))} off the rim"
        f"{more}; pack it out there, so that the whole of it bears"
    )
    limit = convert(SNUG, "in", job.deck.unit)
    return say_by_kit(job, "base_on_deck", "warning", sentence, limit=limit, actual=abs(off))


def bases_apart(job: Job) -> Iterator[Saying]:
    """Each pair of bases that run into each other; where no two do, one pass for all bases."""
    for clash in job.layout.clashes:
        actual = steady(clash.overlap)
        sentence = f"their bases run {job.text(actual, 0.0)} into each other, and must stand clear"
        yield (
            say_by_kit(job, "bases_apart", "violation", sentence, limit=0.0, actual=actual),
            [clash.posts],
        )
    if job.layout.clashes or len(job.layout.bases) < 2:
        return
    clear = "no base meets another"
    apart = say_by_kit(job, "bases_apart", "pass", clear, limit=0.0, actual=0.0)
    yield apart, [(seen.post,) for seen in job.layout.bases]


def wall_goes_on(job: Job) -> Iterator[Saying]:
    """Walls that rails of a fascia kit end on, or an opening begins at, outside the deck.

    All are not_checked. At an outside corner the rails end on the wall's line past its given end,
    and whether the wall goes on there is not given. At an inner corner they end on the wall's outer
    side, and the thickness of the wall is not given.
    """
    for seen in job.layout.wall_ends:
        if seen.is_inner:
            yield say_by_kit(job, "wall_goes_on", "not_checked", _inner(seen)), [(seen.place,)]
            continue
        beyond = ceil_to_mark(seen.beyond, job.deck.step)
        cure = (
            "move the opening away from it"
            if seen.is_jamb
            else "end the railing in a post of its own"
        )
        sentence = (
            "a railing that hangs off the deck ends on the line of the wall, past the corner of "
            "the deck where it is given to end: see on site that it goes on at least "
            f"{job.text(beyond)} there, or {cure}"
        )
        yield say_by_kit(job, "wall_goes_on", "not_checked", sentence), [(seen.place,)]


def _inner(seen: WallEndSeen) -> str:
    """Sentence on a wall at an inner corner."""
    what, cure = (
        ("an opening off the deck begins", "see on site that its clear width is enough")
        if seen.is_jamb
        else ("a railing that hangs off the deck ends", "measure its last bay before rails are cut")
    )
    return (
        f"{what} at an inner corner, outside of the deck, where the wall stands as thick as it is: "
        f"its thickness is not given and comes off the clear opening there, so {cure}"
    )


def holds_high_enough(job: Job) -> Iterator[Saying]:
    """What holds a rail or a gate and is lower than it.

    An obstruction is given to be so. A wall may be no more than the face below the deck beyond it.
    """
    openings = {opening.place for opening in job.layout.openings}
    for seen in job.layout.low_holds:
        what, cure = "the rail", "end it in a post of its own"
        if seen.place in openings:
            what, cure = "the gate", "put it where it has a post of its own"
        top, held = job.text(seen.height, seen.stands), job.text(seen.stands, seen.height)
        verdict: Verdict = "violation"
        sentence = f"{what}, {top} high, is held by {seen.name}, which is {held} high: {cure}"
        if seen.deck:
            verdict = "not_checked"
            sentence = (
                f"{what}, {top} high, is held by the wall {seen.name}, beyond which the deck of "
                f"{seen.deck} lies {held} up: see on site that the wall is as high as the rail, or "
                f"{cure}"
            )
        limit, actual = seen.height, seen.stands
        told = say_by_kit(job, "holds_high_enough", verdict, sentence, limit=limit, actual=actual)
        yield told, [(seen.place,)]


def arc_over_edge(job: Job) -> Iterator[Saying]:
    """Whether the middle of each chord along a bowed edge keeps its own side of that edge.

    The runs that keep it share a pass, which names the chord with the least to spare.
    """
    kept: list[Place] = []
    worst: tuple[Length, Length] | None = None
    for seen in job.layout.arcs:
        if seen.middle < seen.least - TOUCH:
            yield _arc(job, "violation", seen.middle, seen.least), [(seen.run,)]
            continue
        kept.append((seen.run,))
        if worst is None or seen.middle < worst[0]:
            worst = seen.middle, seen.least
    if worst is not None:
        yield _arc(job, "pass", *worst), kept


def _arc(job: Job, verdict: Verdict, middle: Length, least: Length) -> Finding:
    """Finding on a chord. middle: how far within its own side of the edge its middle lies."""
    middle, least, fascia = steady(middle), steady(least), job.kit.mounting == "fascia"
    off = f"{job.text(middle, least)} {'off' if fascia else 'inside'} the deck's edge"
    if verdict == "pass":
        where = f"at least {off}; it needs {job.text(least)}"
    else:
        needs = f"it needs {job.text(least, middle)}, which is {job.text(least - middle, 0.0)} more"
        past = f"{job.text(-middle)} {'inside' if fascia else 'past'} the deck's edge"
        where = f"{past if middle < 0 else f'only {off}'}; {needs}"
    sentence = f"the middle of the rail lies {where}"
    return say_by_kit(job, "arc_over_edge", verdict, sentence, limit=least, actual=middle)


def head_heights(job: Job) -> Iterator[Saying]:
    """Whether the tops of the raked and the level rail at each head post are within a mark."""
    flights = {flight.id: flight for flight in job.layout.flights}
    for seen in job.layout.heads:
        yield _head(job, seen, flights[seen.flight]), [(seen.post,)]


def _head(job: Job, seen: HeadSeen, flight: FlightBuilt) -> Finding:
    level, raked = steady(seen.level_height), steady(seen.raked_height)
    miss = steady(abs(raked - level))
    tops = f"the level rail's top is at {job.tape(level)} and the raked rail's at "
    tops += job.tape(raked)
    meets = miss <= job.deck.step + TOUCH
    if meets:
        sentence = f"{tops} above the deck, so they meet"
    else:
        side = "above" if raked > level else "below"
        marks = nearest_mark(raked, job.deck.step) - nearest_mark(level, job.deck.step)
        sentence = f"{tops} above the deck, {job.tape(abs(marks))} {side} it; "
        sentence += _to_meet(job, flight, flight.height + level - raked)
        sentence += "see how the head post is to take both rails"
    verdict: Verdict = "pass" if meets else "warning"
    return say_by_kit(job, "head_heights", verdict, sentence, limit=job.deck.step, actual=miss)


def _to_meet(job: Job, flight: FlightBuilt, height: Length) -> str:
    """How high the guard of the flight would have to be for the rails to meet, in words.

    height: that height; empty where the code asks for a higher guard.
    """
    least = figure_on_flight(job.code, "guard_height_stair", flight)
    if least is not None and height < least.number() - TOUCH:
        return ""
    high = f"they would meet with the flight's guard {job.tape(height)} high"
    return f"{high}; else " if least is not None else f"{high}, where the code lets it be; else "


def flight_foot(job: Job) -> Iterator[Saying]:
    """Whether each flight that names a level to go down to ends on that level."""
    for flight in job.layout.flights:
        if flight.foot_off is not None:
            yield _foot(job, flight, steady(flight.foot_off)), [(flight.id,)]


def _foot(job: Job, flight: FlightBuilt, off: Length) -> Finding:
    least = convert(BEYOND, "in", job.deck.unit)
    if off <= least + TOUCH:
        sentence = f"the flight ends on {flight.to_level}, the level that it goes down to"
        return say("flight_foot", "pass", sentence, limit=least, actual=off)
    sentence = (
        f"the flight goes down to {flight.to_level}, but its foot lies {job.text(off, least)} off "
        "that level's surface; check its going and risers, and whether it is to end on the ground"
    )
    return say("flight_foot", "warning", sentence, limit=least, actual=off)
