"""Core: how far down it is beside a flight (contract, section 3: drops; change of level)."""

from __future__ import annotations

from collections.abc import Sequence
from operator import itemgetter

from service.core.flights.drafts import Course
from service.core.levels.level import LevelDraft
from service.core.line.neighbours import BEYOND, THIN_STRIP
from service.core.measure import TOUCH, Length, convert
from service.core.records.deck import Drops
from service.core.records.kit import Kit


def drops_beside(
    course: Course, levels: Sequence[LevelDraft], drop: Length | None, reach: Length, kit: Kit
) -> Drops:
    """What lies below the sides of a flight.

    The drop is the deepest of three: the flight's rise, what the rise must come to, and the drop of
    the edge that the flight goes down from. Where lower levels cover all the ground beside the
    flight, the deepest of them takes the place of the edge's drop. The drops to ground and to the
    next level, where they are known, are no less than the first two. The drop is None where neither
    the edge's drop nor what the rise must come to is known.

    drop: what the rise must come to; None where that is not known. reach: how far out from a side
    of the flight the code looks for the drop. kit: in the deck's unit.
    """
    edge = course.side.spec.drops
    deepest = None if _is_given(course) else _deepest(course, levels, reach, kit)
    if deepest is not None:
        ground = edge.drop if edge.to_ground is None else edge.to_ground
        edge = edge._replace(drop=deepest, to_ground=ground, to_next_level=deepest)
    least = course.stair.rise if drop is None else max(drop, course.stair.rise)
    known = edge.drop if edge.drop is not None else drop
    return edge._replace(
        drop=_at_least(least, known),
        to_ground=_at_least(least, edge.to_ground),
        to_next_level=_at_least(least, edge.to_next_level),
    )


def _at_least(least: Length, known: Length | None) -> Length | None:
    return None if known is None else max(known, least)


def _is_given(course: Course) -> bool:
    """Whether the caller gave a drop of the edge that the flight goes down from."""
    numbers = {spec.number for spec in course.side.edges}
    return any(edge.drops.given for edge in course.level.level.edges if edge.number in numbers)


def _deepest(
    course: Course, levels: Sequence[LevelDraft], reach: Length, kit: Kit
) -> Length | None:
    """How far below the flight's level the deepest of the levels beside the flight lies.

    Of these only levels count that no tread goes below; None where they do not cover all the ground
    within reach, or where the flight has no tread.
    """
    least = convert(BEYOND, "in", kit.unit)
    # Treads are wider than the clear width, by what the posts on them need.
    wider = (kit.post.width + kit.post.base.width) / 2 if course.stair.guards else 0.0
    left = course.beside(least, wider + max(reach, least + THIN_STRIP))
    if left is None:
        return None
    lowest_tread = course.stair.rise - course.stair.rise / course.stair.risers
    deepest = None
    rises = [(level.rise_to(course.level), level) for level in levels]
    lower = [(rise, level) for rise, level in rises if rise is not None and rise > TOUCH]
    for below, level in sorted(lower, key=itemgetter(0)):
        if below >= lowest_tread - TOUCH and left.intersection(level.outline).area > TOUCH:
            deepest = below
            left = left.difference(level.outline)
    # A gap that is narrow enough to step across is not fallen through.
    left = left.buffer(-least / 2, join_style="mitre")
    return deepest if left.is_empty else None
