"""Core: the pickets of one bay: how many, the gaps, their centres and their spacers (method 6)."""

from __future__ import annotations

from itertools import pairwise

from service.core.frozen import record
from service.core.measure import TOUCH, Length, ceil_count, floor_to_mark, nearest_mark
from service.core.records.infill import Pickets, Spacer
from service.core.records.kit import End, PicketKit, Rails


def count_pickets(clear: Length, kit: PicketKit) -> int:
    """The fewest pickets for which no gap, the end gaps included, exceeds the kit's.

    n = ceil((clear - gap) / (width + gap)); 0 where the clear is within the gap.

    >>> from service.core.records.kit import Engagement
    >>> kit = PicketKit(0.75, "equal", 3.9375, Engagement(0.5, 0.5))
    >>> count_pickets(70.0, kit), count_pickets(93.0, kit), count_pickets(3.9375, kit)
    (15, 19, 0)
    """
    return max(0, ceil_count((clear - kit.gap) / (kit.width + kit.gap)))


def widest_gap(clear: Length, count: int, kit: PicketKit) -> Length:
    """The widest gap that this many pickets leave in a clear opening, before the grid.

    Without pickets it is the opening. Else it is the gap at each end or, where that is less, the
    gap between pickets; `equal` gaps are all alike.

    >>> from service.core.records.kit import Engagement
    >>> kit = PicketKit(0.75, "spacer", 3.75, Engagement(0.5, 0.5))
    >>> widest_gap(62.75, 13, kit), widest_gap(60.0, 13, kit), widest_gap(4.0, 0, kit)
    (4.0, 3.75, 4.0)
    """
    if count == 0:
        return clear
    if kit.spacing == "equal":
        return (clear - count * kit.width) / (count + 1)
    end_gap = (clear - count * kit.width - (count - 1) * kit.gap) / 2
    return end_gap if count == 1 else max(kit.gap, end_gap)


@record()
class RailEnds:
    """What the two rails of a row of pickets allow at each end, along the rail.

    top, bottom: allowance at the first and at the second end. cosine: of a raked rail's pitch,
    along whose slope spacers are cut.
    """

    top: tuple[Length, Length]
    bottom: tuple[Length, Length]
    cosine: float = 1.0

    @classmethod
    def of(cls, rails: Rails, ends: tuple[End, End], cosine: float = 1.0) -> RailEnds:
        """The allowances of a kit's rails with these kinds of end."""
        return cls(rails.top.allowances(ends), rails.bottom.allowances(ends), cosine)


def place_pickets(
    clear: Length, counted: Length, length: Length, kit: PicketKit, rails: RailEnds, step: Length
) -> Pickets:
    """The pickets of a bay, in plan.

    clear: the bay's own; counted: the clear that decides how many there are, most often its run's;
    length: of one picket. `equal` leaves count + 1 equal gaps; `spacer` and `punched` keep `gap`
    between pickets and centre the row. Centres are measured from the first clear face and are on
    the grid.
    """
    count = count_pickets(counted, kit)
    if count == 0:
        return Pickets(0, length, clear, clear, (), ())
    if kit.spacing == "equal":
        gap = end_gap = (clear - count * kit.width) / (count + 1)
    else:
        gap = kit.gap
        end_gap = (clear - count * kit.width - (count - 1) * gap) / 2
    first, pitch = end_gap + kit.width / 2, kit.width + gap
    centres = tuple([nearest_mark(first + i * pitch, step) for i in range(count)])
    if kit.spacing == "punched":
        return Pickets(count, length, gap, end_gap, centres, ())
    if kit.spacing == "equal":
        loose = _widest(clear, centres, kit.width) - gap
        return Pickets(count, length, gap, end_gap, centres, (), max(0.0, loose))
    spacers, empty = _spacers(count, gap / rails.cosine, end_gap / rails.cosine, rails, step)
    return Pickets(count, length, gap, end_gap, centres, spacers, empty * rails.cosine)


def _widest(clear: Length, centres: tuple[Length, ...], width: Length) -> Length:
    """The widest gap that pickets at these centres leave, the end gaps included."""
    between = max((b - a for a, b in pairwise(centres)), default=width) - width
    return max(between, centres[0] - width / 2, clear - centres[-1] - width / 2)


def _spacers(
    count: int, gap: Length, end_gap: Length, rails: RailEnds, step: Length
) -> tuple[tuple[Spacer, ...], Length]:
    """The spacers of both rails, and how much of a rail they leave empty.

    Full spacers go between pickets, and cut ones from the rail's ends to the outer pickets. As each
    is cut down to a mark, some of the rail is left empty: of the two rails, the greater amount
    counts. gap, end_gap: along the rail.
    """
    pieces: list[Spacer] = []
    full = floor_to_mark(gap, step)
    between = (count - 1) * max(0.0, gap - full)
    empty = 0.0
    for rail, ends in (("top", rails.top), ("bottom", rails.bottom)):
        numbers = {full: count - 1} if count > 1 else {}
        left = between
        for allowance in ends:
            room = end_gap - allowance
            cut = floor_to_mark(room, step)
            numbers[cut] = numbers.get(cut, 0) + 1
            left += max(0.0, room - max(0.0, cut))
        empty = max(empty, left)
        for length, number in numbers.items():
            if length > TOUCH:
                pieces.append(Spacer("top" if rail == "top" else "bottom", length, number))
    return tuple(pieces), empty
