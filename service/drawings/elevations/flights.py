"""Drawings: a side of a flight as seen from outside it, falling to the left or right as built."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from service.core.measure import Length, Point
from service.drawings.elevations.built import (
    PAST,
    Pitch,
    RailHeights,
    draw_fill,
    draw_post,
    rail_heights,
)
from service.drawings.elevations.flight_sides import (
    FlightSide,
    draw_handrail,
    draw_plumb,
    draw_post_heights,
    draw_rise,
    draw_steps,
    flight_notes,
    post_notes,
    stands,
)
from service.drawings.elevations.kinds import Lookup, alike, is_first
from service.drawings.elevations.notes import RAKED_BLOCKS, drilled_note
from service.drawings.elevations.panels import panel_words
from service.drawings.elevations.rows import (
    OFF,
    Span,
    has_room,
    named_row,
    row_name,
    spanned,
    turned,
)
from service.drawings.elevations.standing import StandingRun, Upright, WhichRail, rail_cut
from service.drawings.elevations.views import BESIDE, Draft, Sketch
from service.drawings.marks import NORMAL, SMALL, Mark, Words, line, width_of
from service.drawings.naming import together
from service.drawings.scales import Scale

AROUND = (BESIDE - 6.0, 0.0)
"""In mm on paper, the room taken beside, and over and under, to begin with.

Beside is what a handrail alone takes.
"""
HEAD = 1.5
"""In mm on paper, from the top of the post at the head to its id."""
RAISED = 7.0
"""In mm on paper, from a raked top rail, square to it, to ids over its dimensions."""


def sketch_side(lookup: Lookup, side: FlightSide, title: str, alike: str) -> Sketch:
    """The view of a side of a flight. alike: a sentence that says which are like it, or ""."""
    flight = side.flight
    high = max(flight.height, _head_top(lookup, side))
    size = flight.total_going + 2 * flight.going, flight.rise + high
    return Sketch(partial(_draft, lookup, side, title, alike), size, AROUND, lookup.deck.unit)


def _head_top(lookup: Lookup, side: FlightSide) -> Length:
    """The height of the post at the head of a side; 0 where there is none."""
    head = side.uprights[0].id if side.uprights else None
    return lookup.heights[head] if head else 0.0


def _rail_heights(lookup: Lookup, side: FlightSide) -> RailHeights:
    kit = lookup.kit
    low, high = kit.stair_gap, side.flight.height
    return rail_heights(kit, side.flight.infill, low, high, side.pitch.cosine)


def _draft(lookup: Lookup, side: FlightSide, title: str, alike_note: str, scale: Scale) -> Draft:
    marks = [*draw_steps(side, scale), *_guard(lookup, side, scale)]
    if side.rail is not None:
        marks += draw_handrail(lookup, side, side.rail)
    marks += draw_plumb(lookup, side, _rail_heights(lookup, side).sill, scale)
    if side.guard is not None:
        marks += draw_post_heights(lookup, side, scale)
        marks += _over(lookup, side, scale)
        marks += _under(lookup, side, side.guard, scale)
    marks += draw_rise(lookup, side, scale)
    notes = [*flight_notes(lookup, side), *post_notes(lookup, side, scale)]
    firsts = [spot for spot in side.spots if is_first(lookup, spot.bay)]
    notes += [lookup.note(spot.said, places=True) for spot in firsts]
    others = [spot.bay.id for spot in side.spots if not is_first(lookup, spot.bay)]
    for ids in alike(others, lookup.first.__getitem__):
        notes.append(f"{together(ids)}: as {lookup.first[ids[0]]}.")
    if side.spots:
        glass = any(spot.bay.fill.glass is not None for spot in side.spots)
        notes.append(f"Places in plan from a bay's upper face{RAKED_BLOCKS if glass else ''}.")
        bays = [spot.bay for spot in firsts]
        notes += drilled_note(bays, lookup.kit, lookup.subject.reply)
    return Draft(title, alike_note, tuple(marks), tuple(notes), beside=True)


def _guard(lookup: Lookup, side: FlightSide, scale: Scale) -> Iterator[Mark]:
    """Posts and raked bays of a side."""
    kit, pitch, heights = lookup.kit, side.pitch, _rail_heights(lookup, side)
    for i, upright in enumerate(side.uprights):
        foot, top = stands(lookup, side, upright)
        yield from draw_post(kit, _faced(upright, pitch), foot, top, scale, on_tread=i > 0)
    for spot in side.spots:
        yield from draw_fill(spot, heights, pitch, kit, scale)
        if spot.bay.fill.glass is not None:
            yield from panel_words(lookup, spot, heights, pitch, scale)


def _faced(upright: Upright, pitch: Pitch) -> Upright:
    """A post with its faces as in the view, mirrored where the flight falls to the left."""
    if pitch.sense > 0:
        return upright
    return Upright(upright.id, upright.index, -upright.at, -upright.high, -upright.low)


def _over(lookup: Lookup, side: FlightSide, scale: Scale) -> Iterator[Mark]:
    """Cuts of top rails along them, or along a handrail over them, with ids over those."""
    pitch, crest = side.pitch, _crest(side)
    yield from spanned(_cuts(lookup, side, "top", crest, scale), -4.0, scale)
    for i, upright in enumerate(side.uprights):
        x, top = pitch.at(upright.at, crest)
        name = upright.id or ""
        if i == 0:
            over = pitch.sense * upright.high, max(top, _head_top(lookup, side))
            yield _head_name(pitch, name, over, scale)
        else:
            yield _name_off(pitch, name, (x, top), SMALL, scale)
    lift = 0.0 if pitch.steep else _lift(side, scale)
    for spot in side.spots:
        x, y = pitch.at(spot.middle, crest)
        size = SMALL if lift else NORMAL
        yield _name_off(pitch, spot.bay.id, (x, y + lift), size, scale)


def _name_off(pitch: Pitch, name: str, over: Point, size: float, scale: Scale) -> Words:
    """An id clear of the dimensions along a raked rail: over them, or beside them if it is steep.

    over: the place on the rail that the id belongs to.
    """
    x, y = over
    if not pitch.steep:
        return Words("words", (x, y + _clear_of(pitch, name, size, scale)), name, size)
    off = scale.of_paper(PAST)
    place = x + pitch.sense * off * pitch.tangent * pitch.cosine, y + off * pitch.cosine
    return Words("words", place, name, size, "start" if pitch.sense > 0 else "end")


def _head_name(pitch: Pitch, name: str, over: Point, scale: Scale) -> Words:
    """The id of the post at the head, close over it and away from the dimensions along the rail.

    over: the upper corner of the post's lower face, or of whatever is higher there.
    """
    place = over[0], over[1] + scale.of_paper(HEAD)
    return Words("words", place, name, SMALL, "end" if pitch.sense > 0 else "start")


def _crest(side: FlightSide) -> Length:
    """The top of what is highest over the line of nosings: the guard or a handrail over it."""
    return max(side.flight.height, side.rail.height if side.rail is not None else 0.0)


def _lift(side: FlightSide, scale: Scale) -> Length:
    """How far the ids of bays are lifted over those of posts; 0 if there is room between."""
    widths = [spot.end - spot.start for spot in side.spots] or [0.0]
    letters = max((len(spot.bay.id) for spot in side.spots), default=0)
    need = width_of("P" * letters, SMALL) / 2 + width_of("B" * letters, NORMAL) / 2 + 0.5
    if min(widths) / 2 * scale.per_unit >= need:
        return 0.0
    return max(widths) / 2 * side.pitch.tangent + scale.of_paper(SMALL + 1.5)


def _clear_of(pitch: Pitch, text: str, size: float, scale: Scale) -> Length:
    """How far over a raked rail level text stands, clear of the dimensions along the rail."""
    return scale.of_paper(RAISED / pitch.cosine + pitch.tangent * width_of(text, size) / 2)


def _cuts(
    lookup: Lookup, side: FlightSide, which: WhichRail, v: Length, scale: Scale
) -> Iterator[Span]:
    """Dimensions along the slope of the cuts of rails, each with the rail's name if it has room.

    v: their height, plumb above the line of nosings.
    """
    pitch = side.pitch
    for spot in side.spots:
        low, high, cut = rail_cut(spot, lookup.kit, which, pitch.cosine)
        named = f"{which} rail {cut}"
        text = named if has_room(named, (high - low) / pitch.cosine, scale) else cut
        left, right = (low, high) if pitch.sense > 0 else (high, low)
        yield pitch.at(left, v), pitch.at(right, v), text


def _under(lookup: Lookup, side: FlightSide, standing: StandingRun, scale: Scale) -> Iterator[Mark]:
    """Cuts of bottom rails under the steps; clear openings and marks in plan under the ground."""
    deck, pitch, paper = lookup.deck, side.pitch, scale.of_paper
    steps = side.flight.riser * pitch.cosine * scale.per_unit
    yield from spanned(_cuts(lookup, side, "bottom", 0.0, scale), steps + 4.0, scale)
    xs = [pitch.sense * each.at for each in standing.uprights]
    left, y = min(xs), -side.flight.rise - paper(8.0)
    clears = []
    for spot in standing.spots:
        a, b = sorted((pitch.sense * spot.start, pitch.sense * spot.end))
        text = deck.tape(spot.bay.clear)
        clears.append(((a, y + paper(OFF)), (b, y + paper(OFF)), text))
    yield from named_row("clear", clears, OFF, (left, y - paper(0.8)), scale)
    y -= paper(4.0)
    texts = lookup.runs[standing.run.id]["marks_text"]
    for x in xs:
        yield line("dimension", (x, -side.flight.rise - paper(2.0)), (x, y), pattern="chain")
    yield line("dimension", (min(xs), y), (max(xs), y))
    marks = [(x, texts[each.index]) for x, each in zip(xs, standing.uprights, strict=True)]
    yield from turned(marks, y - paper(1.6), scale)
    yield row_name("marks", left, y - paper(3.4), scale)
