"""Drawings: heights on a side of a flight: of posts, and of rails plumb over the nosings."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from service.core.measure import Length
from service.core.records.kit import Kit
from service.drawings.dimensions import OVER, TICK, dimension, slash
from service.drawings.elevations.kinds import Lookup, alike
from service.drawings.elevations.panels import PLUMB_LINE
from service.drawings.elevations.rows import has_room
from service.drawings.elevations.standing import Spot, Upright
from service.drawings.elevations.steps import FlightSide
from service.drawings.marks import SMALL, Mark, Words, line, width_of
from service.drawings.naming import together
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
