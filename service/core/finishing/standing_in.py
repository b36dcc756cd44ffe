"""Core: obstructions that stand in a railing's place, where its line is cut (method 1) and beside
flights (method 9)."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from service.core.flights.drafts import FlightDraft
from service.core.levels.level import LevelDraft
from service.core.line.obstructions import interruptions_of
from service.core.measure import TOUCH
from service.core.records.deck import HANDS
from service.core.records.kit import Kit
from service.core.records.seen import StandInSeen


def see_stand_ins(kit: Kit, draft: LevelDraft) -> Iterator[StandInSeen]:
    """Along each guarded edge, what the railing ends at on both sides, or on one at a corner."""
    for line in draft.lines:
        side = line.side
        for cut in interruptions_of(kit, side, draft.level.obstructions):
            first, last = max(cut.first, 0.0), min(cut.last, side.length)
            if last > first + TOUCH:
                number = side.edge_over(first).number
                drops = draft.drops_between(side, first, last)
                place = f"{draft.level.id}/edge {number}"
                yield StandInSeen(place, cut.name, side.on_edge(last - first), drops)


def see_beside(kit: Kit, flight: FlightDraft) -> Iterator[StandInSeen]:
    """Along each side of a flight that has no guard, as something goes down along it."""
    course, stair, near = flight.course, flight.stair, kit.post.width + TOUCH
    obstructions = course.level.level.obstructions
    if not obstructions:
        return
    bare = [hand for hand in flight.walled if hand not in stair.guards]
    for hand, face in zip(HANDS, course.opening.faces, strict=True):
        line = shapely.LineString([course.side.place(face, u) for u in (0.0, -course.run)])
        beside = {
            one.name: shapely.Polygon(one.points).buffer(near)
            for one in obstructions
            if hand in bare and line.dwithin(shapely.Polygon(one.points), near)
        }
        length = line.intersection(shapely.union_all(list(beside.values()))).length
        if length > TOUCH:
            yield StandInSeen(stair.id, " and ".join(beside), length, flight.drops)
