"""Core: rows of what is cut and ordered, as frozen records. Lengths are in the document's unit.

They are equal pieces, equal panels, and what an order shows of its sticks.
"""

from __future__ import annotations

from service.core.frozen import record
from service.core.measure import Area, Degrees, Length, Mass, Point


@record()
class Piece:
    """A row of the cut list: equal pieces of a part.

    end_cuts: angle between each end and the length, in degrees. blank: length that a piece with
    raked ends, which are parallel, is cut from; None for any other piece.
    """

    part: str
    length: Length
    count: int
    end_cuts: tuple[Degrees, Degrees]
    bays: tuple[str, ...]
    blank: Length | None = None

    @property
    def taken_up(self) -> Length:
        """The length of stick that one piece takes up."""
        return self.length if self.blank is None else self.blank


@record()
class Panel:
    """A row of the glass order: equal panels."""

    mark: str
    width: Length
    height: Length
    pane: int
    corners: tuple[Point, ...]
    area: Area
    mass: Mass
    bays: tuple[str, ...]
    measured: bool = False


@record()
class SticksSeen:
    """What an order shows of a part that is cut from sticks, for a rule to judge.

    It is not a member of a layout, as ordering comes later.

    longest: the longest piece that one of the kit's sticks holds.
    cut: the longest piece, or blank, that is cut.
    left_out: rows of the cut list whose pieces no stick holds.
    """

    part: str
    longest: Length
    cut: Length
    left_out: tuple[Piece, ...]
