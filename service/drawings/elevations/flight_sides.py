"""Drawings: a side of a flight apart from its guard: steps, handrail, heights, and what is told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, NamedTuple

from service.core.measure import Length, Point
from service.core.records.deck import Hand
from service.core.records.kit import Kit
from service.core.records.layout import FlightBuilt, Handrail
from service.drawings.dimensions import OVER, TICK, dimension, slash
from service.drawings.elevations.built import PAST, Pitch
from service.drawings.elevations.kinds import Lookup, alike
from service.drawings.elevations.notes import angle_words, sentence
from service.drawings.elevations.panels import PLUMB_LINE
from service.drawings.elevations.rows import has_room
from service.drawings.elevations.standing import Spot, StandingRun, Upright
from service.drawings.marks import SMALL, Disc, Mark, Pattern, Stroke, Words, line, width_of
from service.drawings.naming import SQUARE, together
from service.drawings.parts import Json
from service.drawings.scales import Scale

OFF: Final = 3.2
"""In mm, from an outer post's face to the line of its height."""
NEEDED: Final = SMALL + 2 * OVER
"""In mm, the least room between two pickets for a line with words along it."""
UPPER: Final = 1 / 3
"""Where along a bay with pickets the line of the guard's height stands, as a share of the bay.

The line of the handrail's height stands as far from the bay's other end.
"""
LOW: Final = 0.54
"""How far up its line the words of a height may reach on a panel, as a share of the height.

Above that they would come near what is written on the panel.
"""
RAILS: Final = 5.0
"""In mm, what rails take of a line that words stand along."""


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


class PlumbHeight(NamedTuple):
    """A height over the line of nosings. name: of what is so high; text: the reply's."""

    name: str
    height: Length
    text: str


def draw_post_heights(lookup: Lookup, side: FlightSide, scale: Scale) -> Iterator[Mark]:
    """The heights of the first post and the last, on their outer sides."""
    sense, uprights = side.pitch.sense, side.uprights
    firsts = [(each, each.low, -OFF) for each in uprights[:1]]
    lasts = [(each, each.high, OFF) for each in uprights[-1:]]
    for upright, u, off in [*firsts, *lasts]:
        if _is_dimensioned(lookup, side, upright, scale):
            foot, top = stands(lookup, side, upright)
            text = lookup.height_texts[upright.id or ""]
            yield from dimension((sense * u, foot), (sense * u, top), text, off * sense, scale)


def stands(lookup: Lookup, side: FlightSide, upright: Upright) -> tuple[Length, Length]:
    """The foot and the top of a post: the first stands on the deck, others reach up to the rail."""
    height = lookup.heights.get(upright.id or "", side.flight.height)
    if upright.index == 0:
        return 0.0, height
    top = side.pitch.at(upright.at, side.flight.height)[1]
    return top - height, top


def post_notes(lookup: Lookup, side: FlightSide, scale: Scale) -> Iterator[str]:
    """Sentences of how high the posts are that have no dimension of their own."""
    left = [
        each.id
        for each in side.uprights
        if each.id in lookup.height_texts and not _is_dimensioned(lookup, side, each, scale)
    ]
    for ids in alike(left, lookup.height_texts.__getitem__):
        yield f"{together(ids)}: {lookup.height_texts[ids[0]]} high."


def _is_dimensioned(lookup: Lookup, side: FlightSide, upright: Upright, scale: Scale) -> bool:
    """Whether a post stands at an end of its guard and is high enough for its dimension's text."""
    outer = upright in (side.uprights[0], side.uprights[-1])
    text = lookup.height_texts.get(upright.id or "")
    return outer and text is not None and has_room(text, lookup.heights[upright.id or ""], scale)


def draw_plumb(lookup: Lookup, side: FlightSide, sill: Length, scale: Scale) -> Iterator[Mark]:
    """The heights of the guard and of the handrail, plumb over the line of nosings.

    The guard's stands in the first bay with room for it, the handrail's in the last if that is
    another place; without a guard the handrail's stands half-way down. sill: the top of the bottom
    rail, plumb over the line of nosings.
    """
    kit, places = lookup.kit, []
    for spots, part in ((side.spots, UPPER), (side.spots[::-1], 1.0 - UPPER)):
        found = (_place_in(kit, spot, part, scale) for spot in spots)
        places.append(next((at for at in found if at is not None), None))
    first, last = places if side.guard is not None else (None, side.flight.total_going / 2)
    if first is not None:
        guard = PlumbHeight("guard", side.flight.height, side.said["height_text"])
        yield from _plumb(side, first, guard, sill, scale)
    if side.rail is not None and last is not None and last != first:
        rails = side.said["handrails"]
        text = next(each["height_text"] for each in rails if each["side"] == side.hand)
        handrail = PlumbHeight("handrail", side.rail.height, text)
        yield from _plumb(side, last, handrail, sill, scale)


def _place_in(kit: Kit, spot: Spot, part: float, scale: Scale) -> Length | None:
    """Where in a bay a line has room for words along it; None where there is no such place.

    In a bay with pickets it lies between two of them, about the share `part` of the way along; in a
    bay with a panel near the panel's lower end.
    """
    if spot.bay.fill.glass is not None:
        return spot.start + PLUMB_LINE * (spot.end - spot.start)
    centres = spot.places
    if len(centres) < 2 or kit.picket is None:
        return None
    i = min(max(int(len(centres) * part), 1), len(centres) - 1)
    clear = centres[i] - centres[i - 1] - kit.picket.width
    return (centres[i - 1] + centres[i]) / 2 if clear * scale.per_unit >= NEEDED else None


def _plumb(
    side: FlightSide, u: Length, plumb_height: PlumbHeight, sill: Length, scale: Scale
) -> Iterator[Mark]:
    """A plumb line from the line of nosings up to the top of a rail, with words to its left.

    The words are the name and the height, or the height alone where there is no room for both;
    nothing is drawn where there is no room for that either. They stand half-way up, but over the
    bottom rail in a bay with a panel. sill: the top of that rail.
    """
    mm, pitch, height = scale.of_paper, side.pitch, plumb_height.height
    u += pitch.sense * mm((SMALL + OVER) / 2)
    (x, low), (_, high) = pitch.at(u, 0.0), pitch.at(u, height)
    glazed = any(spot.bay.fill.glass is not None for spot in side.spots)
    # The words are as wide as letters are high, and the rail is higher on one side of them.
    foot = max(pitch.at(u - pitch.sense * mm(each), sill)[1] for each in (0.0, OVER + SMALL))
    foot += mm(OVER)
    room = (low + LOW * height - foot if glazed else height) * scale.per_unit
    room -= 0.0 if glazed else RAILS
    fitting = (
        each
        for each in (f"{plumb_height.name} {plumb_height.text}", plumb_height.text)
        if width_of(each, SMALL) <= room
    )
    text = next(fitting, None)
    if text is None:
        return
    yield line("dimension", (x, low), (x, high))
    for y in (low, high):
        yield slash((x, y), (1.0, 0.0), (0.0, 1.0), mm(TICK))
    middle = foot + mm(width_of(text, SMALL) / 2) if glazed else (low + high) / 2
    yield Words("dimension", (x - mm(OVER), middle), text, SMALL, turn=90.0)
