"""Core: what a level says of places along one side: its openings, and where no post may stand.

Every place is given along the side's railing line.
"""

from __future__ import annotations

from service.core.line.obstructions import post_reaches
from service.core.line.openings import AskedOpening
from service.core.line.posts import half_base
from service.core.line.sides import Side
from service.core.line.stretches import Stretch
from service.core.measure import TOUCH, FromTo, Length
from service.core.records.deck import Level, NoPost
from service.core.records.kit import Kit


def asked_openings(kit: Kit, level: Level, side: Side) -> list[AskedOpening]:
    """The openings of a side, each with where along the side it is asked for."""
    found = []
    for opening in level.openings:
        span = side.opening_span(opening.edge, opening.start, opening.width, kit.post.width)
        if span is not None:
            found.append(AskedOpening(opening, *span))
    return found


def no_post_spans(level: Level, side: Side) -> list[tuple[Length, Length, NoPost]]:
    """The `no_post` stretches of a side, in which no part of a base may lie.

    Each is given as where it begins and ends along the side, and its record.
    """
    spans = []
    for place in level.no_post:
        span = side.span_of(place.edge, place.start, place.width)
        if span is not None:
            spans.append((*span, place))
    return spans


def pointer_to_blame(level: Level, stretch: Stretch) -> str:
    """Pointer to what to blame where the posts of a stretch find no place.

    This is the `no_post` place that covers the longest part of the stretch, else whatever set its
    length.
    """
    widest, pointer = TOUCH, stretch.pointer
    for low, high, place in no_post_spans(level, stretch.side):
        within = min(high, stretch.end.t) - max(low, stretch.start.t)
        if within > widest:
            widest, pointer = within, place.pointer
    return pointer


def forbidden_spans(level: Level, kit: Kit, side: Side) -> list[FromTo]:
    """Intervals along a side in which no post's centre may lie.

    Its base would reach into a `no_post` stretch or meet an obstruction.
    """
    half = half_base(kit, side)
    spans = [(low, high) for low, high, _ in no_post_spans(level, side)]
    if level.obstructions:
        spans += post_reaches(kit, side, level.obstructions)
    return [(low - half, high + half) for low, high in spans]
