"""Drawings: a flight without its guard: its steps, its handrail, and what is told of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.core.measure import Point
from service.core.records.deck import Hand
from service.core.records.layout import FlightBuilt, Handrail
from service.drawings.dimensions import dimension
from service.drawings.elevations.built import PAST, Pitch
from service.drawings.elevations.kinds import Lookup
from service.drawings.elevations.notes import angle_words, sentence
from service.drawings.elevations.standing import Spot, StandingRun, Upright
from service.drawings.marks import SMALL, Disc, Mark, Pattern, Stroke, line, width_of
from service.drawings.naming import SQUARE
from service.drawings.parts import Json
from service.drawings.scales import Scale


@dataclass(frozen=True, slots=True)
class FlightSide:
    """A side of a flight to draw.

    said: what the reply says of the flight. guard: its run, along which the top nosing is at 0;
    None where the side has a handrail alone.
    """

    flight: FlightBuilt
    said: Json
    hand: Hand
    guard: StandingRun | None
    pitch: Pitch

    @property
    def rail(self) -> Handrail | None:
        """The handrail on this side; None where there is none."""
        return next((rail for rail in self.flight.handrails if rail.hand == self.hand), None)

    @property
    def spots(self) -> tuple[Spot, ...]:
        """The bays of the guard on this side."""
        return self.guard.spots if self.guard else ()

    @property
    def uprights(self) -> tuple[Upright, ...]:
        """The posts of the guard on this side, from the head down."""
        return self.guard.uprights if self.guard else ()


def draw_steps(side: FlightSide, scale: Scale) -> Iterator[Mark]:
    """Treads and risers, the deck above and the ground below, and the line of nosings."""
    flight, pitch = side.flight, Pitch(0.0, side.pitch.sense)
    over, tread, riser = scale.of_paper(6.0), flight.going, flight.riser
    head = side.uprights[0].low if side.uprights else 0.0
    points: list[Point] = [(min(head, 0.0) - over, 0.0)]
    for i in range(flight.risers):
        back = i * tread - flight.nosing
        points += [(i * tread, -i * riser), (back, -i * riser), (back, -(i + 1) * riser)]
    last = side.uprights[-1].high if side.uprights else 0.0
    points.append((max(flight.total_going + tread, last + over), -flight.rise))
    yield Stroke("stair", tuple(pitch.at(u, v) for u, v in points))
    nosings = side.pitch.at(0.0, 0.0), side.pitch.at(flight.total_going, 0.0)
    yield line("stair", *nosings, pattern="chain")


def draw_handrail(lookup: Lookup, side: FlightSide, rail: Handrail) -> Iterator[Mark]:
    """A handrail from over the top nosing to over the lowest, with its brackets."""
    kit, pitch = lookup.kit.handrail, side.pitch
    assert kit is not None
    depth = kit.diameter / pitch.cosine
    end = rail.length * pitch.cosine
    low, high = rail.height - depth, rail.height
    corners = tuple(pitch.at(u, v) for u, v in ((0.0, low), (end, low), (end, high), (0.0, high)))
    behind: Pattern = "full" if side.guard is None else "dashed"
    yield Stroke("handrail", corners, closed=True, pattern=behind)
    for along in rail.brackets:
        yield Disc("handrail", pitch.at(along * pitch.cosine, low - depth / 2), kit.diameter / 2)


def draw_rise(lookup: Lookup, side: FlightSide, scale: Scale) -> Iterator[Mark]:
    """The rise of a flight, as a dimension beside its foot."""
    deck, flight = lookup.deck, side.flight
    last = side.uprights[-1].high if side.uprights else flight.total_going
    past = 6.0
    if side.uprights and side.pitch.steep:
        past = PAST + width_of(side.uprights[-1].id or "", SMALL)
    lowest = flight.total_going + flight.going
    u = max(lowest, last + scale.of_paper(past)) + scale.of_paper(2.0)
    x = side.pitch.sense * u
    text = deck.tape(flight.rise)
    yield from dimension((x, -flight.rise), (x, 0.0), text, 2.5 * side.pitch.sense, scale)


def flight_notes(lookup: Lookup, side: FlightSide) -> Iterator[str]:
    """A sentence of the flight's pitch, steps, heights and end cuts."""
    deck, flight, said = lookup.deck, side.flight, side.said
    nosing = f", nosing {deck.tape(flight.nosing)}" if flight.nosing else ""
    parts = [
        f"pitch {angle_words(said['pitch'])}",
        f"{flight.risers} riser{'s' if flight.risers > 1 else ''} of {deck.tape(flight.riser)}",
        f"going {deck.tape(flight.going)}{nosing}",
    ]
    if side.guard is not None:
        parts.append(f"guard {said['height_text']} plumb over the line of nosings")
    if side.guard is not None and not side.spots:
        parts.append("no room between its posts that has to be railed")
    if side.spots:
        gap = deck.tape(lookup.kit.stair_gap)
        parts.append(f"bottom rail {gap} plumb above the nosings")
        cut = side.spots[0].said["end_cut"]
        saw = angle_words(SQUARE - cut)
        parts.append(f"rail ends {angle_words(cut)} to the length, saw {saw} off square, parallel")
    for rail in said["handrails"]:
        if rail["side"] == side.hand:
            parts.append(
                f"handrail {rail['length_text']} long from over the top nosing,"
                f" {rail['height_text']} over the line of nosings, brackets at"
                f" {', '.join(rail['brackets_text'])} from its upper end"
            )
    yield sentence(parts)
