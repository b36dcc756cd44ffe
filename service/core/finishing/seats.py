"""Core: what a person can stand on beside the guards of a level (`see_seats`)."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import shapely

from service.core.finishing.adjoining import Adjoining, GuardLine
from service.core.measure import DRAWN, TOUCH, Length, Unit
from service.core.records.deck import Obstruction
from service.core.records.seen import SeatSeen

BESIDE: Final[dict[Unit, Length]] = {"in": 21.0, "mm": 533.0}
"""How far off the near face of a guard's posts something still counts as beside it, in each unit.

New York City measures the height of a guard from fixed seats and planters so near (codes facts,
2.1).
"""


def see_seats(about: Adjoining) -> Iterator[SeatSeen]:
    """The obstructions lower than a guard that stand beside it on the deck, by bay and by gate.

    Left out are those whose height is not given, and those in the guard's own line.
    """
    given = [one for one in about.draft.level.obstructions if one.height is not None]
    near = BESIDE[about.kit.unit] + about.kit.post.width / 2 + TOUCH
    for line in about.lines if given else ():
        seats = [one for one in given if _is_seat(line, one)]
        tree = shapely.STRtree([one.shape for one in seats])
        for place, guard in _guards(line) if seats else ():
            for i in sorted(tree.query(guard, predicate="dwithin", distance=near).tolist()):
                yield SeatSeen(place, seats[i].name, seats[i].height or 0.0)


def _is_seat(line: GuardLine, one: Obstruction) -> bool:
    """Whether an obstruction of given height is lower than a guard and stands on its inner side.

    One that only the line's extension past an inner corner meets is not in the guard's own line.
    """
    side, about = line.side, line.about
    (centre,) = one.shape.centroid.coords
    return (
        not one.reaches(side.spec.height)
        and side.locate((centre[0], centre[1]))[1] > about.kit.post.setback
        and one.shape.dwithin(about.draft.outline, DRAWN)
        and not any(
            one is part and last > DRAWN and first < side.length - DRAWN
            for cut in line.cuts
            for (first, last), part in cut.parts
        )
    )


def _guards(line: GuardLine) -> Iterator[tuple[str, shapely.LineString]]:
    """The bays of a line and its gates by id, each with its middle line in plan."""
    about = line.about
    for run in line.runs:
        axis = run.stretch.axis(about.kit)
        for bay in run.bays:
            ends = axis.interpolate(run.marks[bay.index : bay.index + 2])
            yield about.ids.bays[run.key, bay.index], shapely.LineString(ends)
    for drawn in line.openings:
        if drawn.opening.use == "gate":
            ends = [line.side.place(face, about.kit.post.setback) for face in drawn.faces]
            yield about.opening_place(drawn), shapely.LineString(ends)
