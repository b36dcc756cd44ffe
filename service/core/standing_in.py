"""Core: obstructions that stand in a railing's place, where its line is cut (method 1)."""

from __future__ import annotations

from collections.abc import Iterator

from service.core.level import LevelDraft
from service.core.line.obstructions import interruptions_of
from service.core.measure import TOUCH
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
