"""Core: what goes into one bay, as frozen records: its rails, pickets or glass, supports and weep
holes.

Lengths are in the document's unit, and rounded where they are marks or cuts.
"""

from __future__ import annotations

from typing import Literal

from service.core.frozen import record
from service.core.measure import Area, Degrees, Length, Mass, Point
from service.core.records.deck import Hand


@record()
class Spacer:
    """Pieces of spacer for one rail of one bay."""

    rail: Literal["top", "bottom"]
    length: Length
    count: int


@record()
class Pickets:
    """Pickets of a bay.

    gap: clear between two pickets.
    end_gap: from a post's face to the nearest picket.
    centres: from the bay's first clear face, on the grid.
    loose: how much wider than drawn a single gap may become, in plan. With spacers it is what they
        leave empty of a rail, as each is cut down to a mark; with equal gaps it comes of centres
        that move to marks.
    """

    count: int
    length: Length
    gap: Length
    end_gap: Length
    centres: tuple[Length, ...]
    spacers: tuple[Spacer, ...]
    loose: Length = 0.0


@record()
class Glass:
    """The panel of a bay.

    pane: index in the kit's list.
    side_gap: from a post's face to the panel's edge, in this bay.
    corners: as seen from outside, x right and y up, counter-clockwise from (0, 0).
    area: in square feet or square metres.
    mass: in lb or kg.
    blocks: centres of the setting blocks, from the panel's first end.
    """

    width: Length
    height: Length
    pane: int
    side_gap: Length
    corners: tuple[Point, ...]
    area: Area
    mass: Mass
    blocks: tuple[Length, ...]


@record()
class Rake:
    """What a bay of a flight has that a bay of a level has not.

    The bay's own `clear` and `centres` are in plan.

    pitch: of the flight.
    centres_slope, clear_slope: the same two along the slope.
    top_blank, bottom_blank: length of each rail before its ends are cut to the pitch.
    picket_blank: the same of a picket.
    end_cut: angle between a rail's plumb end and its length.
    falls: the side that the bay falls to, as seen from outside the flight.
    end_block: along the panel's lower edge, from its first end to the block at its low end that
        keeps it from sliding; down to the mark.
    """

    pitch: Degrees
    centres_slope: Length
    clear_slope: Length
    top_blank: Length
    bottom_blank: Length
    picket_blank: Length | None
    end_cut: Degrees
    falls: Hand
    end_block: Length | None = None


@record()
class BayFill:
    """What goes into a bay: rails, infill, supports and weep holes.

    It depends on sizes alone, so equal bays share one. weep_complete: False where no row of holes
    keeps to the kit's interval.
    """

    top_cut: Length
    bottom_cut: Length
    rail_supports: tuple[Length, ...]
    weep_holes: tuple[Length, ...]
    weep_complete: bool
    pickets: Pickets | None
    glass: Glass | None
    rake: Rake | None = None
