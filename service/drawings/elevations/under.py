"""Drawings: the rows under a run: places in bays, cuts of bottom rails, clear openings and
marks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from service.core.measure import Length
from service.core.records.deck import Deck
from service.core.records.kit import Kit
from service.drawings.elevations.kinds import Lookup, is_first
from service.drawings.elevations.notes import texts_of
from service.drawings.elevations.posts import depth_below
from service.drawings.elevations.rows import OFF, row_name, spanned, turned
from service.drawings.elevations.standing import Spot, StandingRun, rail_span
from service.drawings.marks import SMALL, Mark, Words, line, width_of
from service.drawings.scales import Scale


def draw_under(
    lookup: Lookup, standing: StandingRun, roomy: Sequence[Spot], scale: Scale
) -> Iterator[Mark]:
    """Rows under a run, from its bays down: places, cuts of bottom rails, clear openings, marks.

    roomy: the bays that have room for the places of their pickets or blocks.
    """
    kit, deck, paper = lookup.subject.kit, lookup.subject.deck, scale.of_paper
    left, y = standing.uprights[0].low, -depth_below(kit) - paper(2.5)
    yield from _places_row(lookup, standing, roomy, y, scale)
    y -= paper(_places_deep(lookup, standing, roomy) + 3.2)
    for name, spans in (
        ("bottom rail", _bottom_cuts(standing, kit)),
        ("clear", _clears(standing, deck)),
    ):
        at = y + paper(OFF)
        shown = list(spanned([((a, at), (b, at), text) for a, b, text in spans], OFF, scale))
        if shown:
            yield from [*shown, row_name(name, left, y - paper(0.8), scale)]
        y -= paper(5.0)
    yield from _marks_row(lookup, standing, y + paper(1.5), scale)


def _places_row(
    lookup: Lookup, standing: StandingRun, roomy: Sequence[Spot], y: Length, scale: Scale
) -> Iterator[Mark]:
    row: list[Mark] = []
    for spot in standing.spots:
        if spot in roomy:
            row += turned(list(zip(places_in(spot), texts_of(spot.said), strict=True)), y, scale)
        elif not is_first(lookup, spot.bay):
            text = f"as {lookup.first[spot.bay.id]}"
            if width_of(text, SMALL) <= (spot.end - spot.start) * scale.per_unit:
                at = (spot.start + spot.end) / 2, y - scale.of_paper(SMALL)
                row.append(Words("dimension", at, text, SMALL))
    if row:
        what = "blocks" if standing.spots[0].bay.fill.glass is not None else "pickets"
        yield from [
            *row,
            row_name(what, standing.uprights[0].low, y - scale.of_paper(SMALL), scale),
        ]


def places_in(spot: Spot) -> list[Length]:
    """Centres of a bay's pickets, or of its setting blocks, along the run."""
    fill = spot.bay.fill
    if fill.pickets is not None:
        return [spot.start + at for at in fill.pickets.centres]
    if fill.glass is not None:
        return [spot.start + fill.glass.side_gap + at for at in fill.glass.blocks]
    return []


def _places_deep(lookup: Lookup, standing: StandingRun, roomy: Sequence[Spot]) -> float:
    texts = [width_of(text, SMALL) for spot in roomy for text in texts_of(spot.said)]
    same = [SMALL + 1.5 for spot in standing.spots if not is_first(lookup, spot.bay)]
    return max([*texts, *same], default=-2.0)


def _bottom_cuts(standing: StandingRun, kit: Kit) -> Iterator[tuple[Length, Length, str]]:
    for spot in standing.spots:
        bay = spot.bay
        span = rail_span(spot, kit.rails[bay.infill].bottom, bay.fill.bottom_cut)
        yield *span, spot.said["bottom_rail"]["cut_text"]


def _clears(standing: StandingRun, deck: Deck) -> Iterator[tuple[Length, Length, str]]:
    for spot in standing.spots:
        yield spot.start, spot.end, deck.tape(spot.bay.clear)


def _marks_row(lookup: Lookup, standing: StandingRun, y: Length, scale: Scale) -> Iterator[Mark]:
    """The marks from the run's start, square to a line, with a line down to it at each upright."""
    kit, paper = lookup.subject.kit, scale.of_paper
    texts = lookup.runs[standing.run.id]["marks_text"]
    places = []
    for upright in standing.uprights:
        places.append((upright.at, texts[upright.index]))
        start = upright.at, -depth_below(kit)
        yield line("dimension", start, (upright.at, y), pattern="chain")
    yield line("dimension", (places[0][0], y), (places[-1][0], y))
    yield from turned(places, y - paper(1.6), scale)
    yield row_name("marks", standing.uprights[0].low, y - paper(3.4), scale)
