"""Rules: cures by an opening: elsewhere along its edge, wider or narrower, without its gate, or
with the gate swinging another way."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from service.core.finishing.hanging import handrail_name
from service.core.measure import TOUCH, Length, Unit, ceil_count
from service.rules.advice.attempts import Attempt, Move
from service.rules.advice.changes import (
    change_flights,
    change_opening,
    close_openings,
    flight_of,
    marked_down,
    marked_up,
    opening_of,
    tape,
)
from service.rules.advice.outcomes import Outcome
from service.rules.advice.searches import place_by_place
from service.rules.finding import Finding

DISTANCES: Final[dict[Unit, tuple[Length, ...]]] = {
    "in": (2, 4, 6, 8, 12, 16, 24, 32, 48, 64),
    "mm": (50, 100, 150, 200, 300, 400, 600, 800, 1200, 1600),
}
"""How far an opening is moved, by the document's unit, where only a trial shows the distance."""


def moved(base: Attempt, place: str, by: Iterable[Length]) -> Iterator[Attempt]:
    """Changes that move an opening along its edge by each of some distances, in both directions.

    The opening is moved on to the next mark. The shortest moves come first.
    """
    start = opening_of(base, place).start
    for off in sorted((sign * each for each in by for sign in (1, -1)), key=abs):
        attempt = _moved_from(place, start, base, off)
        if attempt is not None:
            yield attempt


def moved_further(base: Attempt, place: str) -> Iterator[Attempt]:
    """Changes that move an opening along its edge, further and further, in both directions.

    For where only trials show how far it has to go; `shorten_moves` then shortens the distance that
    passes.
    """
    start, step = opening_of(base, place).start, base.deck.step

    def by(attempt: Attempt, marks: int) -> Attempt | None:
        return _moved_from(place, start, attempt, marks * step)

    fails = 0
    for far in DISTANCES[base.deck.unit]:
        marks = ceil_count(far / step)
        for way in (marks, -marks):
            attempt = by(base, way)
            if attempt is not None:
                yield attempt.moving(Move(way, fails, by))
        fails = marks


def _moved_from(place: str, start: Length, base: Attempt, off: Length) -> Attempt | None:
    """A change that moves an opening by a distance from where it began, and on to the next mark.

    None where it would begin before its edge does, or would not move.
    """
    begins = (marked_up if off > 0 else marked_down)(base, start + off)
    if begins < 0 or abs(off) <= TOUCH:
        return None
    words = f"the opening {place} moved to begin at {tape(base, begins)} along its edge"
    return change_opening(base, words, place, start=begins)


def as_wide(base: Attempt, place: str, width: Length) -> Iterator[Attempt]:
    """Changes that make an opening this wide: from its near side, its far side, or its middle."""
    opening = opening_of(base, place)
    more = width - opening.width
    for part in (0.0, 1.0, 0.5):
        start = marked_down(base, opening.start - part * more) if part else opening.start
        if start >= 0 and width > 0:
            words = f"the opening {place} {tape(base, width)} wide, from {tape(base, start)}"
            change = {"start": start} if part else {}
            yield change_opening(base, f"{words} along its edge", place, **change, width=width)


@place_by_place
def wider_flight(state: Outcome, name: str, finding: Finding) -> Iterator[Attempt]:
    """Cure by openings as wide as the flights that go down from them have to be."""
    base = state.attempt
    place = flight_of(base, name).opening
    yield from as_wide(base, place, marked_up(base, opening_of(base, place).width + finding.excess))


@place_by_place
def narrower_gate(state: Outcome, name: str, finding: Finding) -> Iterator[Attempt]:
    """Cure by openings narrow enough for the widest leaf of the kit."""
    base = state.attempt
    yield from as_wide(base, name, marked_down(base, opening_of(base, name).width - finding.excess))


@place_by_place
def other_swing(state: Outcome, name: str, finding: Finding) -> Iterator[Attempt]:
    """Cure of gates that swing into something, or open over nothing to step on.

    The gate opens the other way, on its other post, or both; then it is moved.
    A gate over a drop that no flight goes down is replaced by a guard. A gate that hits the
    handrail of its own flight, as it does however it is hung, is removed. With a fascia kit a gate
    at a flight with a handrail is removed where turning it does not help.
    """
    base = state.attempt
    alike = (one for one in state.findings if one.rule == finding.rule and name in one.where)
    if any(one.result == "fail" and one.actual is not None for one in alike):
        yield close_openings(
            base, f"a guard in place of the gate {name}, as no flight goes down there", [name]
        )
        return
    gates = [gate for gate in state.layout.gates if gate.place == name and gate.flight]
    gone = f"no gate at {name}, the head of a flight"
    if any(handrail_name(gate.flight or "") in gate.hits for gate in gates):
        yield change_opening(base, gone, name, use="stair")
        return
    opening = opening_of(base, name)
    hinge = "far" if opening.hinge == "near" else "near"
    opens = "out" if opening.opens == "in" else "in"
    hung, turned = f"hinged at its {hinge} side", f"opening {opens}"
    yield change_opening(base, f"the gate {name} {turned}", name, opens=opens)
    yield change_opening(base, f"the gate {name} {hung}", name, hinge=hinge)
    both = f"the gate {name} {hung} and {turned}"
    yield change_opening(base, both, name, hinge=hinge, opens=opens)
    held = any(flight_of(base, gate.flight or "").handrail for gate in gates)
    if base.kit.mounting == "fascia" and held:
        yield change_opening(base, gone, name, use="stair")
    yield from moved_further(base, name)


@place_by_place
def moved_flight(state: Outcome, name: str, _: Finding) -> Iterator[Attempt]:
    """Cure by flights moved along their edge."""
    for flight in sorted(state.places.flights.get(name, ())):
        yield from moved_further(state.attempt, flight_of(state.attempt, flight).opening)


@place_by_place
def off_stretches(state: Outcome, name: str, finding: Finding) -> Iterator[Attempt]:
    """Cure of stretches too small to rail beside openings.

    The openings are moved so that the stretch becomes large enough or vanishes, or are widened to
    take it up.
    """
    base, clear = state.attempt, finding.actual
    if not isinstance(clear, float | int):
        return
    kit = base.kit
    offs = [kit.least_bay - clear, clear + kit.post.width]
    places = state.places.openings.get(name, [])
    for off in sorted(each for each in offs if each > TOUCH):
        for place in dict.fromkeys(places):
            yield from moved(base, place, [off])
    for place in dict.fromkeys(places):
        wide = opening_of(base, place).width + clear + kit.post.width
        yield from as_wide(base, place, marked_up(base, wide))


def moved_off_low_hold(state: Outcome, name: str) -> Iterator[Attempt]:
    """Changes that move a gate off something too low for it to hang on or shut against.

    The distance is the room for a post of its own between the two; first less the width that the
    opening gained by ending there.
    """
    base, post = state.attempt, state.attempt.kit.post
    room = max(post.width + base.deck.step, (post.width + post.base.width) / 2)
    for opening in state.layout.openings:
        if opening.place == name:
            yield from moved(base, name, [room - (opening.clear_width - opening.asked), room])


@place_by_place
def posts_on_rims(state: Outcome, name: str, finding: Finding) -> Iterator[Attempt]:
    """Cure by openings moved by what the base of a post beside them reaches past its surface."""
    for place in dict.fromkeys(state.places.openings.get(name, [])):
        yield from moved(state.attempt, place, [finding.excess])


@place_by_place
def bases_clear(state: Outcome, _: str, finding: Finding) -> Iterator[Attempt]:
    """Cure of posts whose bases overlap.

    Their openings are moved by that overlap, or by a base more. Then foot posts are put on the
    ground in place of the lowest tread, or the reverse.
    """
    base, places, off = state.attempt, state.places, finding.excess
    openings = [each for name in finding.where for each in places.openings.get(name, ())]
    for place in dict.fromkeys(openings):
        yield from moved(base, place, [off, off + base.kit.post.base.width])
    for flight in sorted({each for name in finding.where for each in places.flights.get(name, ())}):
        other = "ground" if flight_of(base, flight).foot_post == "tread" else "tread"
        on = "on the ground" if other == "ground" else "on its lowest tread"
        words = f"the foot posts of flight {flight} {on}"
        yield change_flights(base, words, {flight: {"foot_post": other}})
