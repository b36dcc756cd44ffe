"""Drawings: a run of a level as seen from outside, broken over several views where it is long."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import pairwise

from service.core.measure import Length, Unit
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.drawings.dimensions import dimension
from service.drawings.elevations.fills import LEVEL, RailHeights, draw_fill, rail_heights
from service.drawings.elevations.kinds import Lookup, is_first, met_at
from service.drawings.elevations.notes import BLOCKS, begins_note, swivels_note
from service.drawings.elevations.panels import panel_words
from service.drawings.elevations.posts import depth_below, draw_post, draw_wall
from service.drawings.elevations.rows import (
    LEAST,
    Draft,
    fits_turned,
    fitted,
    has_room,
    labels,
    row_name,
    spanned,
)
from service.drawings.elevations.standing import Spot, StandingRun, Upright, rail_span
from service.drawings.elevations.under import draw_under, places_in
from service.drawings.marks import NORMAL, SMALL, Mark, line, width_of
from service.drawings.pages import room
from service.drawings.parts import View
from service.drawings.scales import Scale

ASIDE = 40.0
"""In mm on paper, the room beside a run for the names of rows and for heights."""
ABOVE = 55.0
"""In mm on paper, the room over and under a run, to begin with."""
KINDS = 6
"""The most bays that are told in full in one view."""


def draw_run(
    lookup: Lookup,
    standing: StandingRun,
    title: str,
    alike_note: str,
    greatest: Mapping[Unit, int],
) -> list[View]:
    """The views of a run.

    alike_note: which other runs are like it. greatest: the largest scale that a view may have, by
    unit.
    """
    unit, kit = lookup.subject.deck.unit, lookup.subject.kit
    most = (room(unit)[0] - ASIDE) / Scale(LEAST[unit], unit).per_unit
    parts = broken(lookup, standing, most)
    views = []
    for number, part in enumerate(parts, 1):
        name = f"{title}, part {number} of {len(parts)}" if len(parts) > 1 else title
        lines = (alike_note,) if alike_note and number == 1 else ()
        size = part.uprights[-1].high - part.uprights[0].low, _top(lookup, part) + depth_below(kit)

        def make(
            scale: Scale, part: StandingRun = part, name: str = name, lines: tuple[str, ...] = lines
        ) -> Draft:
            return _draft(lookup, part, name, lines, scale)

        views.append(fitted(make, size, (ASIDE, ABOVE), unit, greatest))
    return views


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


def _draft(
    lookup: Lookup, standing: StandingRun, title: str, lines: tuple[str, ...], scale: Scale
) -> Draft:
    spots, deck = standing.spots, lookup.subject.deck
    firsts = [spot for spot in spots if is_first(lookup, spot.bay)]
    roomy = [spot for spot in firsts if fits_turned(places_in(spot), scale)]
    notes = [lookup.note(spot.said, places=spot not in roomy) for spot in firsts]
    notes += [_lengths_note(spot, deck) for spot in spots if not _lengths_fit(spot, deck, scale)]
    notes += swivels_note([spot.said for spot in spots])
    notes.append(
        begins_note([spot.bay for spot in spots], lookup.subject.kit, lookup.subject.reply)
    )
    if firsts:
        glass = any(spot.bay.fill.glass is not None for spot in firsts)
        notes.append(f"Places from a bay's left face{BLOCKS if glass else ''}.")
    marks = [
        *_built(lookup, standing, scale),
        *_over(lookup, standing, scale),
        *draw_under(lookup, standing, roomy, scale),
        *_heights(lookup, standing, scale),
    ]
    return Draft(title, lines, tuple(marks), tuple(notes))


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
    kit, over = lookup.subject.kit, scale.of_paper(4.0)
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
    kit, left, paper = lookup.subject.kit, standing.uprights[0].low, scale.of_paper
    top = _top(lookup, standing)
    cuts = []
    for spot in standing.spots:
        a, b = rail_span(spot, kit.rails[spot.bay.infill].top, spot.bay.fill.top_cut)
        cuts.append(((a, top), (b, top), spot.said["top_rail"]["cut_text"]))
    if shown := list(spanned(cuts, -4.0, scale)):
        yield from [*shown, row_name("top rail", left, top + paper(3.2), scale)]
    y = top + paper(8.0)
    posts = [(each.at, _called(lookup, standing, each)) for each in standing.uprights]
    marks, height = labels(posts, y, SMALL, scale)
    yield from marks
    middles = [((spot.start + spot.end) / 2, spot.bay.id) for spot in standing.spots]
    yield from labels(middles, y + paper(height + 1.5), NORMAL, scale)[0]


def _called(lookup: Lookup, standing: StandingRun, upright: Upright) -> str:
    """The id of a post, or the name of what a rail ends at."""
    run = standing.run
    return upright.id or met_at(lookup, run.level, run.ends[0 if upright.index == 0 else 1])


def _heights(lookup: Lookup, standing: StandingRun, scale: Scale) -> Iterator[Mark]:
    """The height of the guard and the gap under it, to the right of the run."""
    deck, kit, spot = lookup.subject.deck, lookup.subject.kit, standing.spots[-1]
    x = standing.uprights[-1].high + scale.of_paper(4.0)
    height, gap = spot.said["height_text"], deck.tape(kit.bottom_gap)
    # Text too long for its dimension stands level, in the way of the second dimension.
    wide = 0.0 if has_room(height, spot.bay.height, scale) else width_of(height, SMALL)
    yield from dimension((x, 0.0), (x, spot.bay.height), height, 2.5, scale)
    yield from dimension((x, 0.0), (x, kit.bottom_gap), gap, 7.5 + wide, scale)
