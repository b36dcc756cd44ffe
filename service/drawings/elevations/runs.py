"""Drawings: a run of a level as seen from outside, broken over several views where it is long."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from itertools import pairwise

from service.core.measure import Length
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.drawings.dimensions import dimension
from service.drawings.elevations.built import (
    LEVEL,
    RailHeights,
    depth_below,
    draw_fill,
    draw_post,
    draw_wall,
    rail_heights,
)
from service.drawings.elevations.kinds import Lookup, is_first, met_at
from service.drawings.elevations.notes import BLOCKS, begins_note, swivels_note
from service.drawings.elevations.panels import panel_words
from service.drawings.elevations.rows import (
    OFF,
    fits_turned,
    has_room,
    labels,
    named_row,
    row_name,
    turned,
)
from service.drawings.elevations.standing import Spot, StandingRun, Upright, rail_cut
from service.drawings.elevations.views import LEAST, Draft, Sketch
from service.drawings.marks import NORMAL, SMALL, Mark, Words, line, width_of
from service.drawings.pages import room
from service.drawings.scales import Scale

SIDES = 40.0
"""In mm on paper, the room beside a run for the names of rows and for heights."""
ABOVE = 55.0
"""In mm on paper, the room over and under a run, to begin with."""
KINDS = 6
"""The most bays that are told in full in one view."""


def sketch_run(lookup: Lookup, standing: StandingRun, title: str, alike: str) -> list[Sketch]:
    """The views of a run. alike: a sentence that says which other runs are like it, or ""."""
    unit = lookup.deck.unit
    most = (room(unit)[0] - SIDES) / Scale(LEAST[unit], unit).per_unit
    parts = broken(lookup, standing, most)
    sketches = []
    for number, part in enumerate(parts, 1):
        name = f"{title}, part {number} of {len(parts)}" if len(parts) > 1 else title
        wide = part.uprights[-1].high - part.uprights[0].low
        size = wide, _top(lookup, part) + depth_below(lookup.kit)
        draft = partial(_draft, lookup, part, name, alike if number == 1 else "")
        sketches.append(Sketch(draft, size, (SIDES, ABOVE), unit))
    return sketches


def broken(lookup: Lookup, standing: StandingRun, most: Length) -> list[StandingRun]:
    """A run in as few parts as keep to a length and to the number of bays told in full.

    most: the greatest length of a part, unless it is a single bay. Parts are even where even parts
    keep to both bounds.
    """
    last = len(standing.uprights) - 1
    firsts = {spot.bay.index for spot in standing.spots if is_first(lookup, spot.bay)}

    def fits(first: int, until: int) -> bool:
        long = standing.uprights[until].at - standing.uprights[first].at > most
        return not long and sum(i in firsts for i in range(first, until)) <= KINDS

    cuts = [0]
    for i in range(1, last):
        if not fits(cuts[-1], i + 1):
            cuts.append(i)
    count, start = len(cuts), standing.uprights[0].at
    length = standing.uprights[-1].at - start
    middles = [(a.at + b.at) / 2 - start for a, b in pairwise(standing.uprights)]
    shares = [int(middle / length * count) for middle in middles]
    even = [0, *(i for i in range(1, last) if shares[i] != shares[i - 1])]
    if len(even) == count and all(fits(a, b) for a, b in pairwise([*even, last])):
        cuts = even
    return [_part(standing, a, b) for a, b in pairwise([*cuts, last])]


def _part(standing: StandingRun, first: int, last: int) -> StandingRun:
    spots = tuple(spot for spot in standing.spots if first <= spot.bay.index < last)
    return replace(standing, uprights=standing.uprights[first : last + 1], spots=spots)


def _top(lookup: Lookup, standing: StandingRun) -> Length:
    """The greatest top of the posts and bays in a row."""
    posts = [lookup.heights[each.id] for each in standing.uprights if each.id]
    return max([*posts, *[spot.bay.height for spot in standing.spots]])


def _draft(lookup: Lookup, standing: StandingRun, title: str, alike: str, scale: Scale) -> Draft:
    spots, deck = standing.spots, lookup.deck
    firsts = [spot for spot in spots if is_first(lookup, spot.bay)]
    roomy = [spot for spot in firsts if fits_turned(spot.places, scale)]
    notes = [lookup.note(spot.said, places=spot not in roomy) for spot in firsts]
    notes += [_lengths_note(spot, deck) for spot in spots if not _lengths_fit(spot, deck, scale)]
    notes += swivels_note([spot.said for spot in spots])
    notes.append(begins_note([spot.bay for spot in spots], lookup.kit, lookup.subject.reply))
    if firsts:
        glass = any(spot.bay.fill.glass is not None for spot in firsts)
        notes.append(f"Places from a bay's left face{BLOCKS if glass else ''}.")
    marks = [
        *_built(lookup, standing, scale),
        *_over(lookup, standing, scale),
        *_under(lookup, standing, roomy, scale),
        *_heights(lookup, standing, scale),
    ]
    return Draft(title, alike, tuple(marks), tuple(notes))


def _lengths_of(spot: Spot, deck: Deck) -> Iterator[tuple[str, str, Length]]:
    """The lengths of a bay that stand in rows over and under it: name, text and length of each."""
    fill, said = spot.bay.fill, spot.said
    yield "top rail", said["top_rail"]["cut_text"], fill.top_cut
    yield "bottom rail", said["bottom_rail"]["cut_text"], fill.bottom_cut
    yield "clear", deck.tape(spot.bay.clear), spot.end - spot.start


def _lengths_fit(spot: Spot, deck: Deck, scale: Scale) -> bool:
    """Whether the texts of a bay's rail cuts and clear opening have room over and under it."""
    return all(has_room(text, length, scale) for _, text, length in _lengths_of(spot, deck))


def _lengths_note(spot: Spot, deck: Deck) -> str:
    lengths = (f"{name} {text}" for name, text, _ in _lengths_of(spot, deck))
    return f"{spot.bay.id}: {', '.join(lengths)}."


def _rail_heights(kit: Kit, spot: Spot) -> RailHeights:
    return rail_heights(kit, spot.bay.infill, kit.bottom_gap, spot.bay.height)


def _built(lookup: Lookup, standing: StandingRun, scale: Scale) -> Iterator[Mark]:
    """The deck, posts, walls and bays of a run."""
    kit, over = lookup.kit, scale.of_paper(4.0)
    low, high = standing.uprights[0].low - over, standing.uprights[-1].high + over
    yield line("deck", (low, 0.0), (high, 0.0))
    guard = max(spot.bay.height for spot in standing.spots)
    for upright in standing.uprights:
        if upright.id is None:
            outward = -1.0 if upright.at == standing.uprights[0].at else 1.0
            yield draw_wall(upright.at, outward, guard, scale)
        else:
            yield from draw_post(kit, upright, 0.0, lookup.heights.get(upright.id, guard), scale)
    for spot in standing.spots:
        yield from draw_fill(spot, _rail_heights(kit, spot), LEVEL, kit, scale)
        if spot.bay.fill.glass is not None:
            yield from panel_words(lookup, spot, _rail_heights(kit, spot), LEVEL, scale)


def _over(lookup: Lookup, standing: StandingRun, scale: Scale) -> Iterator[Mark]:
    """Rows over a run: cuts of top rails, then ids of posts, then ids of bays."""
    paper, top = scale.of_paper, _top(lookup, standing)
    at = standing.uprights[0].low, top + paper(3.2)
    cuts = (rail_cut(spot, lookup.kit, "top") for spot in standing.spots)
    spans = (((start, top), (end, top), text) for start, end, text in cuts)
    yield from named_row("top rail", spans, -4.0, at, scale)
    y = top + paper(8.0)
    posts = [(each.at, _called(lookup, standing, each)) for each in standing.uprights]
    marks, height = labels(posts, y, SMALL, scale)
    yield from marks
    middles = [(spot.middle, spot.bay.id) for spot in standing.spots]
    yield from labels(middles, y + paper(height + 1.5), NORMAL, scale)[0]


def _called(lookup: Lookup, standing: StandingRun, upright: Upright) -> str:
    """The id of a post, or the name of what a rail ends at."""
    run = standing.run
    return upright.id or met_at(lookup, run.level, run.ends[0 if upright.index == 0 else 1])


def _under(
    lookup: Lookup, standing: StandingRun, roomy: list[Spot], scale: Scale
) -> Iterator[Mark]:
    """Rows under a run, from its bays down: places, cuts of bottom rails, clear openings, marks.

    roomy: the bays that have room for the places of their pickets or blocks.
    """
    kit, paper, spots = lookup.kit, scale.of_paper, standing.spots
    left, y = standing.uprights[0].low, -depth_below(kit) - paper(2.5)
    if row := list(_places(lookup, standing, roomy, y, scale)):
        what = "blocks" if spots[0].bay.fill.glass is not None else "pickets"
        yield from [*row, row_name(what, left, y - paper(SMALL), scale)]
    texts = [width_of(text, SMALL) for spot in roomy for text in spot.places_text]
    same = [SMALL + 1.5 for spot in spots if not is_first(lookup, spot.bay)]
    y -= paper(max([*texts, *same], default=-2.0) + 3.2)
    for name, spans in (
        ("bottom rail", [rail_cut(spot, kit, "bottom") for spot in spots]),
        ("clear", [(spot.start, spot.end, lookup.deck.tape(spot.bay.clear)) for spot in spots]),
    ):
        foot, at = y + paper(OFF), (left, y - paper(0.8))
        raised = (((start, foot), (end, foot), text) for start, end, text in spans)
        yield from named_row(name, raised, OFF, at, scale)
        y -= paper(5.0)
    yield from _marks(lookup, standing, y + paper(1.5), scale)


def _places(
    lookup: Lookup, standing: StandingRun, roomy: list[Spot], y: Length, scale: Scale
) -> Iterator[Mark]:
    """The places in each bay, or under a bay told before the bay that it is filled as."""
    for spot in standing.spots:
        if spot in roomy:
            yield from turned(zip(spot.places, spot.places_text, strict=True), y, scale)
        elif not is_first(lookup, spot.bay):
            text = f"as {lookup.first[spot.bay.id]}"
            if width_of(text, SMALL) <= (spot.end - spot.start) * scale.per_unit:
                at = spot.middle, y - scale.of_paper(SMALL)
                yield Words("dimension", at, text, SMALL)


def _marks(lookup: Lookup, standing: StandingRun, y: Length, scale: Scale) -> Iterator[Mark]:
    """The marks from the run's start, square to a line, with a line down to it at each upright."""
    paper, uprights = scale.of_paper, standing.uprights
    for upright in uprights:
        start = upright.at, -depth_below(lookup.kit)
        yield line("dimension", start, (upright.at, y), pattern="chain")
    yield line("dimension", (uprights[0].at, y), (uprights[-1].at, y))
    texts = lookup.runs[standing.run.id]["marks_text"]
    yield from turned(((each.at, texts[each.index]) for each in uprights), y - paper(1.6), scale)
    yield row_name("marks", uprights[0].low, y - paper(3.4), scale)


def _heights(lookup: Lookup, standing: StandingRun, scale: Scale) -> Iterator[Mark]:
    """The height of the guard and the gap under it, to the right of the run."""
    kit, spot = lookup.kit, standing.spots[-1]
    x = standing.uprights[-1].high + scale.of_paper(4.0)
    height, gap = spot.said["height_text"], lookup.deck.tape(kit.bottom_gap)
    # Text too long for its dimension stands level, in the way of the second dimension.
    wide = 0.0 if has_room(height, spot.bay.height, scale) else width_of(height, SMALL)
    yield from dimension((x, 0.0), (x, spot.bay.height), height, 2.5, scale)
    yield from dimension((x, 0.0), (x, kit.bottom_gap), gap, 7.5 + wide, scale)
