"""Drawings: a side of a flight as seen from outside it, falling to the left or right as built."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from service.core.measure import Length, Point, Unit
from service.drawings.elevations.fills import ASIDE, Pitch, RailHeights, draw_fill, rail_heights
from service.drawings.elevations.heights import draw_plumb, draw_post_heights, post_notes, stands
from service.drawings.elevations.kinds import Lookup, alike, is_first
from service.drawings.elevations.notes import drilled_note
from service.drawings.elevations.panels import panel_words
from service.drawings.elevations.posts import draw_post
from service.drawings.elevations.rows import (
    BESIDE,
    OFF,
    Draft,
    fitted,
    has_room,
    row_name,
    spanned,
    turned,
)
from service.drawings.elevations.standing import StandingRun, Upright, rail_span
from service.drawings.elevations.steps import (
    FlightSide,
    draw_handrail,
    draw_rise,
    draw_steps,
    flight_notes,
)
from service.drawings.marks import NORMAL, SMALL, Mark, Words, line, width_of
from service.drawings.naming import together
from service.drawings.parts import View
from service.drawings.scales import Scale

AROUND = (BESIDE - 6.0, 0.0)
"""In mm on paper, the room taken beside, and over and under, to begin with.

Beside is what a handrail alone takes.
"""
BLOCKS = "; of blocks along the lower edge from the panel's upper end"
HEAD = 1.5
"""In mm on paper, from the top of the post at the head to its id."""
RAISED = 7.0
"""In mm on paper, from a raked top rail, square to it, to ids over its dimensions."""


def draw_side(
    lookup: Lookup, side: FlightSide, title: str, alike_note: str, greatest: Mapping[Unit, int]
) -> View:
    """The view of a side of a flight.

    alike_note: which other sides are like it. greatest: the largest scale that it may have, by
    unit.
    """
    size = flight_size(lookup, side)
    lines = (alike_note,) if alike_note else ()

    def make(scale: Scale) -> Draft:
        return _draft(lookup, side, title, lines, scale)

    return fitted(make, size, AROUND, lookup.subject.deck.unit, greatest)


def flight_size(lookup: Lookup, side: FlightSide) -> tuple[Length, Length]:
    """Width and height of what is built, in the deck's unit."""
    flight = side.flight
    high = max(flight.height, _head_top(lookup, side))
    return flight.total_going + 2 * flight.going, flight.rise + high


def _head_top(lookup: Lookup, side: FlightSide) -> Length:
    if side.guard is None or not side.guard.uprights[0].id:
        return 0.0
    return lookup.heights[side.guard.uprights[0].id]


def _rail_heights(lookup: Lookup, side: FlightSide) -> RailHeights:
    kit = lookup.subject.kit
    low, high = kit.stair_gap, side.flight.height
    return rail_heights(kit, side.flight.infill, low, high, side.pitch.cosine)


def _draft(
    lookup: Lookup, side: FlightSide, title: str, lines: tuple[str, ...], scale: Scale
) -> Draft:
    marks = [*draw_steps(side, scale)]
    if side.guard is not None:
        marks += _guard(lookup, side, scale)
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
        notes.append(f"Places in plan from a bay's upper face{BLOCKS if glass else ''}.")
        bays = [spot.bay for spot in firsts]
        notes += drilled_note(bays, lookup.subject.kit, lookup.subject.reply)
    return Draft(title, lines, tuple(marks), tuple(notes), beside=True)


def _guard(lookup: Lookup, side: FlightSide, scale: Scale) -> Iterator[Mark]:
    """Posts and raked bays of a side."""
    kit, pitch, standing = lookup.subject.kit, side.pitch, side.guard
    assert standing is not None
    heights = _rail_heights(lookup, side)
    for i, upright in enumerate(standing.uprights):
        foot, top = stands(lookup, side, upright)
        yield from draw_post(kit, _faced(upright, pitch), foot, top, scale, on_tread=i > 0)
    for spot in standing.spots:
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
    assert side.guard is not None
    rails, pitch, standing = lookup.subject.kit.rails[side.flight.infill], side.pitch, side.guard
    crest = _crest(side)
    spans = []
    for spot in standing.spots:
        a, b = rail_span(spot, rails.top, spot.bay.fill.top_cut, pitch.cosine)
        cut = _cut_words("top rail", spot.said["top_rail"]["cut_text"], b - a, side, scale)
        spans.append(_along(side, a, b, crest, cut))
    yield from spanned(spans, -4.0, scale)
    for i, upright in enumerate(standing.uprights):
        x, top = pitch.at(upright.at, crest)
        name = upright.id or ""
        if i == 0:
            over = pitch.sense * upright.high, max(top, _head_top(lookup, side))
            yield _head_name(pitch, name, over, scale)
        else:
            yield _name_off(pitch, name, (x, top), SMALL, scale)
    lift = 0.0 if pitch.steep else _lift(standing, pitch, scale)
    for spot in standing.spots:
        x, y = pitch.at((spot.start + spot.end) / 2, crest)
        size = SMALL if lift else NORMAL
        yield _name_off(pitch, spot.bay.id, (x, y + lift), size, scale)


def _name_off(pitch: Pitch, name: str, over: Point, size: float, scale: Scale) -> Words:
    """An id clear of the dimensions along a raked rail: over them, or beside them if it is steep.

    over: the place on the rail that the id belongs to.
    """
    x, y = over
    if not pitch.steep:
        return Words("words", (x, y + _clear_of(pitch, name, size, scale)), name, size)
    off = scale.of_paper(ASIDE)
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


def _lift(standing: StandingRun, pitch: Pitch, scale: Scale) -> Length:
    """How far the ids of bays are lifted over those of posts; 0 if there is room between."""
    half = min((spot.end - spot.start for spot in standing.spots), default=0.0) / 2
    letters = max((len(spot.bay.id) for spot in standing.spots), default=0)
    need = width_of("P" * letters, SMALL) / 2 + width_of("B" * letters, NORMAL) / 2 + 0.5
    if half * scale.per_unit >= need:
        return 0.0
    widest = max((spot.end - spot.start for spot in standing.spots), default=0.0)
    return widest / 2 * pitch.tangent + scale.of_paper(SMALL + 1.5)


def _clear_of(pitch: Pitch, text: str, size: float, scale: Scale) -> Length:
    """How far over a raked rail level text stands, clear of the dimensions along the rail."""
    return scale.of_paper(RAISED / pitch.cosine + pitch.tangent * width_of(text, size) / 2)


def _cut_words(name: str, cut: str, plan: Length, side: FlightSide, scale: Scale) -> str:
    """The cut of a rail, with the rail's name where there is room.

    plan: the rail's length in plan.
    """
    long = f"{name} {cut}"
    return long if has_room(long, plan / side.pitch.cosine, scale) else cut


def _along(
    side: FlightSide, a: Length, b: Length, v: Length, text: str
) -> tuple[Point, Point, str]:
    """A dimension along the slope, its ends from left to right.

    v: its height, plumb above the line of nosings.
    """
    ends = side.pitch.at(a, v), side.pitch.at(b, v)
    return (*(ends if side.pitch.sense > 0 else ends[::-1]), text)


def _under(lookup: Lookup, side: FlightSide, standing: StandingRun, scale: Scale) -> Iterator[Mark]:
    """Cuts of bottom rails under the steps; clear openings and marks in plan under the ground."""
    deck, pitch, paper = lookup.subject.deck, side.pitch, scale.of_paper
    rails = lookup.subject.kit.rails[side.flight.infill]
    spans = []
    for spot in standing.spots:
        a, b = rail_span(spot, rails.bottom, spot.bay.fill.bottom_cut, pitch.cosine)
        cut = _cut_words("bottom rail", spot.said["bottom_rail"]["cut_text"], b - a, side, scale)
        spans.append(_along(side, a, b, 0.0, cut))
    steps = side.flight.riser * pitch.cosine * scale.per_unit
    yield from spanned(spans, steps + 4.0, scale)
    xs = [pitch.sense * each.at for each in standing.uprights]
    left, y = min(xs), -side.flight.rise - paper(8.0)
    clears = []
    for spot in standing.spots:
        a, b = sorted((pitch.sense * spot.start, pitch.sense * spot.end))
        text = deck.tape(spot.bay.clear)
        clears.append(((a, y + paper(OFF)), (b, y + paper(OFF)), text))
    if shown := list(spanned(clears, OFF, scale)):
        yield from [*shown, row_name("clear", left, y - paper(0.8), scale)]
    y -= paper(4.0)
    texts = {run["id"]: run["marks_text"] for run in lookup.subject.reply["runs"]}[standing.run.id]
    for x in xs:
        yield line("dimension", (x, -side.flight.rise - paper(2.0)), (x, y), pattern="chain")
    yield line("dimension", (min(xs), y), (max(xs), y))
    marks = [(x, texts[each.index]) for x, each in zip(xs, standing.uprights, strict=True)]
    yield from turned(marks, y - paper(1.6), scale)
    yield row_name("marks", left, y - paper(3.4), scale)
