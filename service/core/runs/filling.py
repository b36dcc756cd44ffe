"""Core: what goes into one bay, or into a gate's leaf (methods 5 to 8).

`Filler` takes an edge's infill and height and a bay's clear openings, and gives its rails, pickets
or panel, supports and weep holes as a BayFill. Equal bays share one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Final

from service.core.line.sides import EdgeSpec
from service.core.measure import TOUCH, Length, ceil_count, convert, least_length, plain_length
from service.core.problems import unbuildable
from service.core.records.deck import INFILL_WORDS, Infill
from service.core.records.infill import BayFill, Glass, Pickets
from service.core.records.kit import End, Kit
from service.core.runs.budget import Budget
from service.core.runs.cuts import Clears, cut_rail, infill_height, least_height
from service.core.runs.drafts import Measured
from service.core.runs.glass import panel_fits, place_panel
from service.core.runs.pickets import RailEnds, count_pickets, place_pickets, widest_gap
from service.core.runs.underside import (
    BottomRail,
    count_weeps,
    over_bottom_rail,
    place_supports,
    place_weeps,
)

OWN_COUNT_BEYOND: Final = 1 / 32
"""In inches. Where the count of a run's shared clear would leave a gap in a wider bay that exceeds
the kit's by more than this, the bay has its own count of pickets."""

HEIGHT_NOT_GIVEN: Final = " (no height is given: it is the code's, else the kit's least)"
"""Added to a refusal of a guard's height that the document does not give."""


@dataclass(slots=True)
class Filler:
    """Fills the bays of one document.

    Equal bays are worked out once, but the places in each of them are counted.
    """

    kit: Kit
    step: Length
    budget: Budget
    fills: dict[tuple[object, ...], BayFill] = field(default_factory=dict)
    least_clears: dict[tuple[Infill, tuple[End, End]], Length] = field(default_factory=dict)

    def check_height(self, spec: EdgeSpec) -> None:
        """Refuse a guard that is too low to leave room for the infill between its rails."""
        kit, infill = self.kit, spec.infill
        least = least_height(kit, infill, kit.bottom_gap, self.step)
        if spec.height < least - TOUCH:
            given = spec.height_pointer.endswith("/height")
            raise unbuildable(
                spec.height_pointer,
                "height_too_low",
                f"A guard of {plain_length(spec.height, kit.unit, least)}"
                f"{'' if given else HEIGHT_NOT_GIVEN} leaves no room for"
                f" {INFILL_WORDS[infill]} between the rails and the"
                f" {plain_length(kit.bottom_gap, kit.unit)} under them; it has to be"
                f" {least_length(least, kit.unit, spec.height)} at least.",
            )

    def panel_test(self, spec: EdgeSpec) -> Callable[[Length], bool]:
        """A test of whether the panel for a clear opening is within the kit's size, for this edge.

        Every opening passes it where the infill is not glass.
        """
        glass = self.kit.glass_in(spec.infill)
        if glass is None:
            return lambda clear: True
        height = self._infill_height(spec)
        return lambda clear: panel_fits(clear, height, glass, self.step)

    def fill(self, spec: EdgeSpec, clears: Clears, ends: tuple[End, End]) -> BayFill:
        """What goes into a bay, cut and counted by the clear that it shares with its run."""
        key = (spec.infill, spec.pane, spec.height, clears, ends)
        fill = self.fills.get(key)
        if fill is None:
            fill = self.fills[key] = self._new_fill(spec, clears, ends, clears.shared)
        self.budget.spend_fill(fill)
        return fill

    def fill_measured(self, spec: EdgeSpec, measured: Measured, ends: tuple[End, End]) -> BayFill:
        """What goes into a bay that was measured.

        Each rail is cut to its own measure, and infill to the lesser of the two. Weep holes lie
        along the bottom rail as cut. Feet are set out by the lesser measure, or by the bottom
        rail's where the lesser would leave that rail too few of them.
        """
        rails, least = self.kit.rails[spec.infill], measured.least
        fill = self._new_fill(spec, Clears(least, least), ends, measured.bottom)
        self.budget.spend_fill(fill)
        return replace(fill, top_cut=cut_rail(measured.top, rails.top, ends, self.step))

    def _infill_height(self, spec: EdgeSpec) -> Length:
        """Length of a picket, or height of a panel, on this edge."""
        kit = self.kit
        return infill_height(kit, spec.infill, spec.height, kit.bottom_gap, self.step)

    def least_clear(self, spec: EdgeSpec, ends: tuple[End, End]) -> Length:
        """The least clear that is railed: the kit's least bay, or what rails and infill need if
        that is more."""
        key = spec.infill, ends
        if key not in self.least_clears:
            self.least_clears[key] = max(self.kit.least_bay, self.room(spec, ends)) - TOUCH
        return self.least_clears[key]

    def room(self, spec: EdgeSpec, ends: tuple[End, End]) -> Length:
        """The least clear at which a bay's rails and infill are at least a step long."""
        rails = self.kit.rails[spec.infill]
        taken = [sum(rail.allowances(ends)) for rail in (rails.top, rails.bottom)]
        return max(self.kit.side_gaps(spec.infill), *taken) + self.step

    def _new_fill(
        self, spec: EdgeSpec, clears: Clears, ends: tuple[End, End], bottom_clear: Length
    ) -> BayFill:
        """Work out what goes into a bay with these clears.

        bottom_clear: what the bottom rail is cut to; where it was measured it may be over the bay's
        clear.
        """
        rails = self.kit.rails[spec.infill]
        self.check_places(spec.infill, self._counted(clears), max(clears.own, bottom_clear))
        top = cut_rail(clears.shared, rails.top, ends, self.step)
        bottom = cut_rail(bottom_clear, rails.bottom, ends, self.step)
        pickets, glass = self._infill(spec, clears, ends)
        supports = self._supports(clears.own, bottom_clear)
        below = BottomRail(rails.bottom.end_allowance[ends[0]], bottom, clears.own / 2)
        wider = bottom_clear - clears.own if bottom_clear > clears.own else 0.0
        holes, complete = self._weeps(below, supports, pickets, glass, wider)
        return BayFill(top, bottom, supports, holes, complete, pickets, glass)

    def _supports(self, clear: Length, bottom_clear: Length) -> tuple[Length, ...]:
        """Centres of the feet under a bottom rail; none where the kit has no supports.

        They are set out in the bay's clear opening, or in the opening at the bottom rail where
        otherwise more than the kit's interval of that would be left past the last foot.
        """
        kit = self.kit.rail_support
        if kit is None:
            return ()
        supports = place_supports(clear, kit, self.step)
        if bottom_clear > clear and bottom_clear - supports[-1] > kit.max_interval + TOUCH:
            return place_supports(bottom_clear, kit, self.step)
        return supports

    def least_leaf(self, spec: EdgeSpec) -> Length:
        """The least width at which a gate's leaf can be made."""
        return max(self.kit.side_gaps(spec.infill), self.step) + self.step - TOUCH

    def fill_leaf(self, spec: EdgeSpec, width: Length) -> tuple[Pickets | None, Glass | None]:
        """The infill of a gate's leaf, as of a bay of that clear width but without spacers."""
        self.check_places(spec.infill, width, 0.0)
        pickets, glass = self._infill(spec, Clears(width, width), ("wall", "wall"))
        if pickets is not None:
            pickets = replace(pickets, spacers=())
            self.budget.spend_places(pickets.count)
        return pickets, glass

    def check_places(self, infill: Infill, counted: Length, clear: Length) -> None:
        """Refuse a bay with more places than are left, before any of them is worked out.

        If a kit's gap is tiny, a bay can have very many. counted: the opening in which pickets are
        counted; clear: the opening along which supports and weep holes are placed.
        """
        count = 0
        if infill == "picket" and self.kit.picket is not None:
            count = count_pickets(counted, self.kit.picket)
        for interval in (self.kit.rail_support, self.kit.weep):
            if interval is not None:
                count += ceil_count(clear / interval.max_interval)
        if count > self.budget.places:
            self.budget.spend_places(count)

    def _counted(self, clears: Clears) -> Length:
        """The opening in which a bay's pickets are counted.

        It is the one that its run shares, or its own where the count of that one would leave a gap
        over the kit's by more than OWN_COUNT_BEYOND.
        """
        pickets, beyond = self.kit.picket, convert(OWN_COUNT_BEYOND, "in", self.kit.unit) + TOUCH
        if pickets is None or clears.own - clears.shared <= beyond:
            return clears.shared
        widest = widest_gap(clears.own, count_pickets(clears.shared, pickets), pickets)
        return clears.shared if widest <= pickets.gap + beyond else clears.own

    def _infill(
        self, spec: EdgeSpec, clears: Clears, ends: tuple[End, End]
    ) -> tuple[Pickets | None, Glass | None]:
        kit, height = self.kit, self._infill_height(spec)
        if spec.infill == "picket":
            assert kit.picket is not None
            counted, rails = self._counted(clears), RailEnds.of(self.kit.rails[spec.infill], ends)
            return place_pickets(clears.own, counted, height, kit.picket, rails, self.step), None
        assert kit.glass is not None
        return None, place_panel(clears, height, kit.glass, spec.pane, kit.unit, self.step)

    def _weeps(
        self,
        rail: BottomRail,
        supports: tuple[Length, ...],
        pickets: Pickets | None,
        glass: Glass | None,
        wider: Length,
    ) -> tuple[tuple[Length, ...], bool]:
        kit = self.kit
        if kit.weep is None:
            return (), True
        obstacles = over_bottom_rail(kit, supports, pickets, glass, 1.0, wider)
        at_least = 2 if glass is not None else 1
        holes, complete = place_weeps(rail, kit.weep, at_least, obstacles, self.step)
        # Looking for a place in vain costs as much as finding one.
        looked = count_weeps(rail, kit.weep, at_least, self.step)
        self.budget.spend_places(max(0, looked - len(holes)))
        return holes, complete
