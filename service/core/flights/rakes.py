"""Core: what goes into one bay of a flight (method 9).

Raked rails, plumb pickets or a raked panel, feet and a weep hole. In: the bay's clear in plan. Out:
a BayFill, as of a level bay, with its Rake (`RakeMaker`). `clear` and all places are in plan, from
the bay's upper face; rails run along the slope.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

from service.core.measure import (
    TOUCH,
    Degrees,
    Length,
    all_least,
    ceil_count,
    floor_to_mark,
    nearest_mark,
)
from service.core.records.deck import Hand, Infill
from service.core.records.infill import BayFill, Glass, Pickets, Rake
from service.core.records.kit import Kit, Rail, Rails
from service.core.runs.cuts import Clears, infill_height, least_height
from service.core.runs.glass import panel_fits, place_panel
from service.core.runs.pickets import RailEnds, place_pickets
from service.core.runs.underside import BottomRail, over_bottom_rail, widest_between


@dataclass(frozen=True)
class Slope:
    """The pitch of a flight, from its riser and going, in the forms that the method uses."""

    riser: Length
    going: Length

    @cached_property
    def tangent(self) -> float:
        """Rise over run."""
        return self.riser / self.going

    @cached_property
    def pitch(self) -> Degrees:
        """The pitch in degrees from level."""
        return math.degrees(math.atan2(self.riser, self.going))

    @cached_property
    def cosine(self) -> float:
        """Run over length along the slope."""
        return self.going / math.hypot(self.riser, self.going)


def raked_cut(clear: Length, rail: Rail, slope: Slope, step: Length) -> Length:
    """Cut of a raked rail between two plumb faces `clear` apart in plan, floored.

    It is the length of either of the rail's long edges.

    >>> from service.core.records.kit import Stock
    >>> ends = {"socket": 0.1, "swivel": 0.4, "wall": 0.1, "rake": 0.375}
    >>> rail = Rail(1.75, Stock((192.0,), 0.125), ends)
    >>> raked_cut(70.0, rail, Slope(7.0, 11.0), 0.0625)
    82.1875
    """
    return floor_to_mark(clear / slope.cosine - 2 * rail.end_allowance["rake"], step)


@dataclass(frozen=True)
class RakeMaker:
    """Makes the bays of one flight.

    height: of the flight's guard, plumb. pane: index in the kit's list.
    """

    kit: Kit
    step: Length
    slope: Slope
    infill: Infill
    height: Length
    pane: int

    @property
    def rails(self) -> Rails:
        """The kit's rails for this infill."""
        return self.kit.rails[self.infill]

    @property
    def least_height(self) -> Length:
        """The least height of a guard whose rails leave room for the infill."""
        kit, cosine = self.kit, self.slope.cosine
        return least_height(kit, self.infill, kit.stair_gap, self.step, cosine)

    @cached_property
    def infill_height(self) -> Length:
        """Plumb length of a picket, or plumb height of a panel."""
        kit, cosine = self.kit, self.slope.cosine
        return infill_height(kit, self.infill, self.height, kit.stair_gap, self.step, cosine)

    @cached_property
    def room(self) -> Length:
        """The least clear in plan at which rails, along the slope, and infill are a step long."""
        allowance = max(rail.end_allowance["rake"] for rail in (self.rails.top, self.rails.bottom))
        railed = (2 * allowance + self.step) * self.slope.cosine
        return max(self.kit.side_gaps(self.infill) + self.step, railed)

    @property
    def least_clear(self) -> Length:
        """Clear in plan below which a bay cannot be railed."""
        return max(self.kit.least_bay, self.room) - TOUCH

    def panel_fits(self, clear: Length) -> bool:
        """Whether a panel for this clear is within the kit's width and area; True for pickets."""
        glass = self.kit.glass_in(self.infill)
        return glass is None or panel_fits(clear, self.infill_height, glass, self.step)

    def fill(
        self,
        centres: Length,
        clears: tuple[Length, Length],
        nosings: tuple[Length, ...],
        falls: Hand,
    ) -> BayFill:
        """What goes into a bay.

        centres: in plan. clears: at the top and at the bottom rail, in plan; the infill goes by the
        lesser. nosings: places of the nosings in the bay, from its upper face. falls: to which hand
        the bay falls, as seen from outside.
        """
        slope, rails, clear = self.slope, self.rails, min(clears)
        top = raked_cut(clears[0], rails.top, slope, self.step)
        bottom = raked_cut(clears[1], rails.bottom, slope, self.step)
        pickets = self._pickets(clear) if self.infill == "picket" else None
        glass = self._panel(clear, falls) if self.infill == "glass" else None
        picket_blank = None
        if pickets is not None and self.kit.picket is not None:
            picket_blank = pickets.length + self.kit.picket.width * slope.tangent
        rake = Rake(
            pitch=slope.pitch,
            centres_slope=centres / slope.cosine,
            clear_slope=clear / slope.cosine,
            top_blank=top + rails.top.depth * slope.tangent,
            bottom_blank=bottom + rails.bottom.depth * slope.tangent,
            picket_blank=picket_blank,
            end_cut=90 - slope.pitch,
            falls=falls,
            end_block=self._end_block(glass) if glass else None,
        )
        supports = self._supports(clears[1], nosings)
        start = rails.bottom.end_allowance["rake"] * slope.cosine
        rail = BottomRail(start, bottom * slope.cosine, clears[1] / 2)
        holes, complete = self._weeps(rail, supports, pickets, glass, clears[1] - clear)
        return BayFill(top, bottom, supports, holes, complete, pickets, glass, rake)

    def _pickets(self, clear: Length) -> Pickets:
        kit = self.kit.picket
        assert kit is not None
        rails = RailEnds.of(self.rails, ("rake", "rake"), self.slope.cosine)
        return place_pickets(clear, clear, self.infill_height, kit, rails, self.step)

    def _panel(self, clear: Length, falls: Hand) -> Glass:
        """The panel of a bay, which rises to the right where the bay falls to the left."""
        kit = self.kit.glass
        assert kit is not None
        climb = self.slope.tangent if falls == "left" else -self.slope.tangent
        clears, height = Clears(clear, clear), self.infill_height
        return place_panel(clears, height, kit, self.pane, self.kit.unit, self.step, climb)

    def _end_block(self, glass: Glass) -> Length:
        """The place of the block at a panel's low end, along its lower edge from its upper end.

        Floored as the lower edge itself is, so that the mark is not past the glass.
        """
        return floor_to_mark(math.dist(*glass.corners[:2]), self.step)

    def _supports(self, clear: Length, nosings: tuple[Length, ...]) -> tuple[Length, ...]:
        """Places of the feet under a raked rail, which stand on nosings.

        They are the nosings nearest to an even division of the clear, by the fewest feet that keep
        the interval along the slope; where no number of feet does, by the fewest that leave the
        least widest interval. None stands on a nosing so near to a post that it would reach into
        the post.
        """
        kit = self.kit.rail_support
        half = 0.0 if kit is None else kit.width / 2 - TOUCH
        nosings = tuple(at for at in nosings if half <= at <= clear - half)
        if kit is None or not nosings:
            return ()
        most = kit.max_interval * self.slope.cosine
        least = max(1, ceil_count(clear / most) - 1)
        some = (self._feet(clear, count, nosings) for count in range(least, len(nosings) + 1))
        best: tuple[Length, ...] = ()
        widest = math.inf
        for row in chain(some, [self._marked(nosings)]):
            interval = widest_between(0.0, *row, clear)
            if interval <= most + TOUCH:
                return row
            if interval < widest - TOUCH:
                best, widest = row, interval
        return best

    def _feet(self, clear: Length, count: int, nosings: Sequence[Length]) -> tuple[Length, ...]:
        """The nosings nearest to the places of `count` feet that divide a clear width evenly.

        Each nosing is taken once. Of two that are as near, as beside a post in the middle of its
        tread, the upper one is taken.
        """
        even = [clear * i / (count + 1) for i in range(1, count + 1)]
        return self._marked(sorted({_nearest(nosings, at) for at in even}))

    def _marked(self, row: Sequence[Length]) -> tuple[Length, ...]:
        return tuple(nearest_mark(at, self.step) for at in row)

    def _weeps(
        self,
        rail: BottomRail,
        supports: tuple[Length, ...],
        pickets: Pickets | None,
        glass: Glass | None,
        wider: Length,
    ) -> tuple[tuple[Length, ...], bool]:
        """The weep hole of a raked rail, and whether it has a place; True where the kit has none.

        As water runs to the foot, there is one hole, at the lowest mark that is free of supports
        and infill and where the hole's edge is a diameter from the rail's end, so that it does not
        break out. rail: in plan. wider: as for `over_bottom_rail`.
        """
        kit = self.kit
        if kit.weep is None:
            return (), True
        margin = kit.weep.diameter / 2 + self.step
        cosine = self.slope.cosine
        blocked = over_bottom_rail(kit, supports, pickets, glass, cosine, wider)
        if glass is not None and kit.glass is not None:
            # The end block is at its mark or, less than a mark on, at the end of the panel.
            first, last = self._end_block(glass) * cosine, glass.width
            half = (kit.glass.block.length * cosine + wider + last - first) / 2
            blocked.append((glass.side_gap + (first + last + wider) / 2, half))
        within = 1.5 * kit.weep.diameter
        at = floor_to_mark(rail.end - within, self.step)
        for place, half in sorted(blocked, reverse=True):
            if abs(at - place) < half + margin - TOUCH:
                at = floor_to_mark(place - half - margin, self.step)
        return ((at,), True) if at >= rail.start + within - TOUCH else ((), False)


def _nearest(nosings: Sequence[Length], at: Length) -> Length:
    """The nosing nearest to a place; of two that are as near, the first."""
    return all_least(nosings, lambda nosing: abs(nosing - at))[0]
