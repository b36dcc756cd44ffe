"""Core: what stands in a railing's place: obstructions where its line is cut (method 1)."""

from __future__ import annotations

import math
from collections.abc import Iterator

from service.core.finishing.adjoining import Adjoining
from service.core.finishing.line_ends import LineEnd, ends_of
from service.core.levels.railing import LineDraft
from service.core.line.obstructions import interruptions_of
from service.core.measure import TOUCH, FromTo, Length, Point
from service.core.records.seen import StandInSeen, edge_place


def see_stand_ins(about: Adjoining) -> Iterator[StandInSeen]:
    """Along each guarded edge, what the railing ends at on both sides, or on one at a corner."""
    draft = about.draft
    for line in draft.lines:
        side = line.side
        for cut in interruptions_of(about.kit, side, draft.level.obstructions):
            first, last = max(cut.first, 0.0), min(cut.last, side.length)
            if last > first + TOUCH:
                number = side.edge_over(first).number
                drops = draft.drops_between(side, first, last)
                place = edge_place(draft.level.id, number)
                length = side.on_edge(last - first)
                without = _open_without(about, line, (first, last))
                yield StandInSeen(place, cut.name, length, drops, without, cut.height)


def _open_without(about: Adjoining, line: LineDraft, cut: FromTo) -> Length:
    """What would be open along a line without what cuts it, in plan."""
    before, after = map(_goes_on, ends_of(about, line), cut)
    return math.inf if before is None or after is None else math.dist(before, after)


def _goes_on(end: LineEnd, t: Length) -> Point | None:
    """Where a railing goes on, or an opening begins, from a place on toward that end of its line:
    round the corner where the next edge has a guard, else at the corner itself; None where no
    railing is left of the next."""
    setback, near = end.about.kit.post.setback, _next_on(end, t)
    if near is not None:
        return end.side.place(near, setback)
    other = end.next_line()
    if other is None:
        return end.side.place(end.corner, setback)
    near = _next_on(LineEnd(end.about, other, end.sense), -end.sense * math.inf)
    return None if near is None else other.side.place(near, setback)


def _next_on(end: LineEnd, t: Length) -> Length | None:
    """How far along a line the next of its posts, rails and openings is reached, toward its end."""
    sense, line = end.sense, end.line
    found = [drawn.faces[0 if sense > 0 else 1] for drawn in line.openings]
    for run in line.runs:
        for terminal in (run.stretch.start, run.stretch.end):
            if run.bays or terminal.post is not None:
                half = 0.0 if terminal.post is None else end.about.kit.post.width / 2
                found.append(terminal.t - sense * half)
    ahead = [each for each in found if sense * (each - t) >= -TOUCH]
    return min(ahead, key=lambda each: sense * each, default=None)
