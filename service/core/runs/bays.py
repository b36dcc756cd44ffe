"""Core: a stretch to its run: marks, and every bay with its rails and infill (methods 4 to 8)."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from service.core import limits
from service.core.line.outline import EdgeSpec
from service.core.line.stretches import Stretch
from service.core.measure import (
    TOUCH,
    Length,
    Unit,
    area_text,
    ceil_count,
    convert,
    plain_length,
)
from service.core.problems import Problem, TooLarge, unbuildable
from service.core.records.deck import Infill, SiteMeasure
from service.core.records.kit import End, Kit, Rails
from service.core.records.layout import BayFill, Glass, Pickets
from service.core.runs.cuts import cut_rail, infill_height, least_height, share_unmeasured
from service.core.runs.drafts import BayDraft, BayKey, Measured, RunDraft, RunKey
from service.core.runs.glass import panel_fits, place_panel
from service.core.runs.marks import NoMarks, check_bays, divide_run
from service.core.runs.pickets import count_pickets, place_pickets
from service.core.runs.rows import MarkWork
from service.core.runs.spans import Span
from service.core.runs.underside import over_bottom_rail, place_supports, place_weeps

APART: Final = 1 / 16
"""In inches: a bay that is wider than its run's clear by more has its own count of pickets, as its
end gaps would be over the kit's gap by half of it."""


def bounds_told(kit: Kit, infill: Infill, along: str = "") -> str:
    """What bounds bays of an infill, as a refusal for want of places says it.

    along: what spacings run along, where that is not plain.
    """
    told = f"spacings within {plain_length(kit.max_centres[infill], kit.unit)}{along}"
    if infill == "picket" or kit.glass is None:
        return told
    widest = plain_length(kit.glass.max_width, kit.unit)
    return (
        f"{told} and panels within {widest} of width and {area_text(kit.glass.max_area, kit.unit)}"
    )


def _in_the_way(span: Span) -> str:
    """What leaves no room for a row of posts."""
    if span.is_forced():
        return "the places where no post may stand leave"
    return "the posts at its ends, turned as they are, leave"


@dataclass(slots=True)
class BayMaker:
    """Makes the runs of one document. Equal bays are worked out once; work is counted.

    divided: the inner marks of each run, and the places of each flight's posts, that have been
    found; they do not depend on what was measured. misread: what is wrong with the measures, told
    once all bays are made.
    """

    kit: Kit
    unit: Unit
    step: Length
    work: MarkWork = field(default_factory=MarkWork)
    bays_left: int = limits.BAYS
    places_left: int = limits.PLACES
    measures: Mapping[BayKey, SiteMeasure] = field(default_factory=dict)
    divided: dict[RunKey, tuple[Length, ...]] = field(default_factory=dict)
    misread: list[Problem] = field(default_factory=list)
    fills: dict[tuple[object, ...], BayFill] = field(default_factory=dict)
    rooms: dict[tuple[Infill, tuple[End, End]], Length] = field(default_factory=dict)

    def check_height(self, spec: EdgeSpec) -> None:
        """Refuse a guard too low for its rails to leave room for the infill."""
        kit, infill = self.kit, spec.infill
        rails, into = kit.rails[infill], kit.engagement(infill)
        least = least_height(kit.bottom_gap, rails, into, self.step)
        if spec.height < least - TOUCH:
            raise unbuildable(
                spec.height_pointer,
                "height_too_low",
                f"A guard of {plain_length(spec.height, self.unit, least)} leaves no room for"
                f" {'pickets' if spec.infill == 'picket' else 'glass'} between the rails and the"
                f" {plain_length(self.kit.bottom_gap, self.unit)} under them; it has to be"
                f" {plain_length(least, self.unit, spec.height)} at least.",
            )

    def measure_of(
        self, key: BayKey, room: Length, centres: Length, drawn: Length
    ) -> Measured | None:
        """What was measured in a bay, and could be.

        A clear opening cannot be as long as the bay's centres, nor too short for its rails and
        infill to have a size (room); all along the rail.
        """
        measure = self.measures.get(key)
        if measure is None:
            return None
        wrong = [
            *self._misread(measure, "top", measure.clear_top, room, centres),
            *self._misread(measure, "bottom", measure.clear_bottom, room, centres),
        ]
        if wrong:
            self.misread += wrong
            return None
        return Measured(measure.clear_top, measure.clear_bottom, drawn)

    def _misread(
        self, measure: SiteMeasure, rail: str, value: Length, room: Length, centres: Length
    ) -> Iterator[Problem]:
        pointer = f"{measure.pointer}/clear_{rail}"
        if value >= centres - TOUCH:
            yield Problem(
                pointer,
                "measure_too_long",
                f"Bay {measure.bay} cannot be {plain_length(value, self.unit, centres)} clear: its"
                f" posts stand {plain_length(centres, self.unit, value)} apart, centre to centre;"
                " send less.",
            )
        elif value < room - TOUCH:
            yield Problem(
                pointer,
                "measure_too_short",
                f"Bay {measure.bay} at {plain_length(value, self.unit, room)} clear leaves its"
                f" rails and infill no size; they need {plain_length(room, self.unit, value)} at"
                " least.",
            )

    def make_run(
        self,
        key: RunKey,
        spec: EdgeSpec,
        stretch: Stretch,
        forbidden: Sequence[tuple[Length, Length]],
    ) -> RunDraft:
        """Marks and bays of a stretch; forbidden: along its side, where no centre may lie."""
        kit = self.kit
        start = stretch.start.t
        span = Span(
            length=stretch.end.t - start,
            halves=(stretch.start.half(kit), stretch.end.half(kit)),
            width=kit.post.width,
            base=kit.post.base.width,
            forbidden=tuple((low - start, high - start) for low, high in forbidden),
        )
        if span.even_clear(1) < self._least_clear(self._room(spec, self._outer(stretch))):
            return self.make_single(key, spec, stretch, span)
        if key not in self.divided:
            self.divided[key] = self._divide(spec, span, stretch)
        inner = self.divided[key]
        self.bays_left -= len(inner) + 1
        return self._fill_run(key, spec, stretch, span, inner)

    def make_single(self, key: RunKey, spec: EdgeSpec, stretch: Stretch, span: Span) -> RunDraft:
        """A run of one bay, or of none where it is too small to rail."""
        self.spend_bays(1)
        return self._fill_run(key, spec, stretch, span, ())

    def _divide(self, spec: EdgeSpec, span: Span, stretch: Stretch) -> tuple[Length, ...]:
        most = self.kit.max_centres[spec.infill]
        try:
            fits = self.panel_test(spec)
            return divide_run(span, most, self.step, fits, self.work, self.bays_left)
        except NoMarks:
            raise unbuildable(
                stretch.pointer,
                "no_place_for_posts",
                f"No row of posts {stretch.told(self.kit)} keeps"
                f" {bounds_told(self.kit, spec.infill)}: {_in_the_way(span)} no room.",
            ) from None

    def panel_test(self, spec: EdgeSpec) -> Callable[[Length], bool]:
        """Whether a panel for a clear opening is within the kit's size, for this edge."""
        glass = self.kit.glass
        if spec.infill == "picket" or glass is None:
            return lambda clear: True
        height = self._infill_height(spec)
        return lambda clear: panel_fits(clear, height, glass, self.step)

    def _fill_run(
        self,
        key: RunKey,
        spec: EdgeSpec,
        stretch: Stretch,
        span: Span,
        inner: tuple[Length, ...],
    ) -> RunDraft:
        marks = (0.0, *inner, span.length)
        clears = [round(clear, 9) for clear in span.clears(inner)]
        kinds = span.kinds(len(clears), self.kit.max_centres[spec.infill], self.step)
        last = len(clears) - 1
        outer = self._outer(stretch)
        both: list[tuple[End, End]] = [
            (outer[0] if i == 0 else "socket", outer[1] if i == last else "socket")
            for i in range(last + 1)
        ]
        rooms = [self._room(spec, ends) for ends in both]
        taken = [
            self.measure_of((key, i), room, marks[i + 1] - marks[i], clears[i])
            for i, room in enumerate(rooms)
        ]
        shared = share_unmeasured(clears, kinds, taken, self.step, span.is_forced())
        bays, small = [], []
        for i, (clear, ends) in enumerate(zip(clears, both, strict=True)):
            centres, measured = marks[i + 1] - marks[i], taken[i]
            if measured is not None:
                fill = self._fill_measured(spec, measured, ends)
                wider = max(measured.top, measured.bottom) - clear
                bays.append(BayDraft(i, centres + wider, measured.least, ends, fill, measured))
            elif shared[i] < self._least_clear(rooms[i]):
                small.append(max(0.0, clear))
            else:
                fill = self._fill(spec, clear, shared[i], ends)
                bays.append(BayDraft(i, centres, clear, ends, fill))
        return RunDraft(key, stretch, marks, tuple(bays), tuple(small))

    def _fill_measured(self, spec: EdgeSpec, measured: Measured, ends: tuple[End, End]) -> BayFill:
        """Each rail from its own measure; the infill, and all else, from the lesser."""
        rails, least = self._rails(spec), measured.least
        fill = self._new_fill(spec, least, least, ends, measured.bottom)
        return replace(fill, top_cut=cut_rail(measured.top, rails.top, ends, self.step))

    def _rails(self, spec: EdgeSpec) -> Rails:
        return self.kit.rails[spec.infill]

    def _infill_height(self, spec: EdgeSpec) -> Length:
        """Length of a picket or height of a panel."""
        kit, rails = self.kit, self.kit.rails[spec.infill]
        into = kit.engagement(spec.infill)
        return infill_height(spec.height, kit.bottom_gap, rails, into, self.step)

    def _least_clear(self, room: Length) -> Length:
        """Below this a bay can't be railed: the kit's least, and room for rails and infill."""
        return max(self.kit.least_bay, room) - TOUCH

    def _outer(self, stretch: Stretch) -> tuple[End, End]:
        """How the rails at both ends of a stretch end."""
        return stretch.start.end(self.kit), stretch.end.end(self.kit)

    def _room(self, spec: EdgeSpec, ends: tuple[End, End]) -> Length:
        """Clear of a bay below which rails and infill have no size."""
        key = spec.infill, ends
        if key not in self.rooms:
            rails, glass = self._rails(spec), self.kit.glass
            taken = [
                sum(rail.end_allowance[end] for end in ends) for rail in (rails.top, rails.bottom)
            ]
            if spec.infill == "glass" and glass is not None:
                taken.append(2 * glass.side_gap)
            self.rooms[key] = max(0.0, *taken) + self.step
        return self.rooms[key]

    def _fill(
        self, spec: EdgeSpec, clear: Length, shared: Length, ends: tuple[End, End]
    ) -> BayFill:
        key = (spec.infill, spec.pane, spec.height, clear, shared, ends)
        fill = self.fills.get(key)
        if fill is None:
            fill = self.fills[key] = self._new_fill(spec, clear, shared, ends)
        self.count_fill(fill.pickets, fill.rail_supports, fill.weep_holes)
        return fill

    def count_fill(
        self, pickets: Pickets | None, supports: Sequence[Length], holes: Sequence[Length]
    ) -> None:
        """Take a bay's places off the document's share."""
        self.spend_places((pickets.count if pickets else 0) + len(supports) + len(holes))

    def spend_bays(self, count: int) -> None:
        """Take so many off the document's share. Refuses it where there are no more."""
        check_bays(count, self.bays_left)
        self.bays_left -= count

    def spend_places(self, count: int) -> None:
        """Take so many off the document's share. Refuses it where there are no more."""
        self.places_left -= count
        if self.places_left < 0:
            raise TooLarge(
                [
                    Problem(
                        self.kit.pointer,
                        "too_many_places",
                        f"The deck needs over {limits.PLACES} pickets, supports, weep holes and"
                        " handrail brackets; check the kit's gap and intervals, or send the deck in"
                        " parts.",
                    )
                ]
            )

    def _new_fill(
        self,
        spec: EdgeSpec,
        clear: Length,
        shared: Length,
        ends: tuple[End, End],
        bottom_clear: Length | None = None,
    ) -> BayFill:
        rails = self._rails(spec)
        self.foresee(spec.infill, self._counted(clear, shared), clear)
        top = cut_rail(shared, rails.top, ends, self.step)
        below = shared if bottom_clear is None else bottom_clear
        bottom = cut_rail(below, rails.bottom, ends, self.step)
        pickets, glass = self._infill(spec, clear, shared, ends)
        supports: tuple[Length, ...] = ()
        if self.kit.rail_support is not None:
            supports = place_supports(clear, self.kit.rail_support, self.step)
        start = rails.bottom.end_allowance[ends[0]]
        holes, complete = self._weeps(clear, start, bottom, supports, pickets, glass)
        return BayFill(top, bottom, supports, holes, complete, pickets, glass)

    def least_leaf(self, spec: EdgeSpec) -> Length:
        """Below this a gate's leaf can't be made."""
        room = 2 * self.kit.glass.side_gap if spec.infill == "glass" and self.kit.glass else 0.0
        return max(room, self.step) + self.step - TOUCH

    def fill_leaf(self, spec: EdgeSpec, width: Length) -> tuple[Pickets | None, Glass | None]:
        """Infill of a gate's leaf, as of a bay of that clear width; spacers are not used in it."""
        self.foresee(spec.infill, width, 0.0)
        pickets, glass = self._infill(spec, width, width, ("wall", "wall"))
        pickets = replace(pickets, spacers=()) if pickets is not None else None
        self.count_fill(pickets, (), ())
        return pickets, glass

    def foresee(self, infill: Infill, shared: Length, clear: Length) -> None:
        """Count before placing, so that a kit of a hair's gap costs nothing. shared: the opening
        that pickets are counted in; clear: that along which supports and weep holes are."""
        count = 0
        if infill == "picket" and self.kit.picket is not None:
            count = count_pickets(shared, self.kit.picket)
        for interval in (self.kit.rail_support, self.kit.weep):
            if interval is not None:
                count += ceil_count(clear / interval.max_interval)
        if count > self.places_left:
            self.spend_places(count)

    def _counted(self, clear: Length, shared: Length) -> Length:
        """The opening that a bay's pickets are counted in: its run's, or its own that is wider."""
        apart = convert(APART, "in", self.unit) + TOUCH
        return shared if clear - shared <= apart else clear

    def _infill(
        self, spec: EdgeSpec, clear: Length, shared: Length, ends: tuple[End, End]
    ) -> tuple[Pickets | None, Glass | None]:
        kit, height, rails = self.kit, self._infill_height(spec), self._rails(spec)
        if spec.infill == "picket":
            assert kit.picket is not None
            allowances = (
                (rails.top.end_allowance[ends[0]], rails.top.end_allowance[ends[1]]),
                (rails.bottom.end_allowance[ends[0]], rails.bottom.end_allowance[ends[1]]),
            )
            counted = self._counted(clear, shared)
            return place_pickets(clear, counted, height, kit.picket, allowances, self.step), None
        assert kit.glass is not None
        pane = spec.pane
        return None, place_panel(clear, shared, height, pane, kit.glass, self.unit, self.step)

    def _weeps(
        self,
        clear: Length,
        start: Length,
        rail: Length,
        supports: tuple[Length, ...],
        pickets: Pickets | None,
        glass: Glass | None,
    ) -> tuple[tuple[Length, ...], bool]:
        kit = self.kit
        if kit.weep is None:
            return (), True
        obstacles = over_bottom_rail(kit, supports, pickets, glass)
        at_least = 2 if glass is not None else 1
        return place_weeps(start, rail, kit.weep, at_least, obstacles, clear / 2, self.step)
