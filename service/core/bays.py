"""Core: a stretch to its run: marks, and every bay with its rails and infill (methods 4 to 8)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from service.core import limits
from service.core.cuts import cut_rail, infill_height, share_clears
from service.core.glass import panel_fits, place_panel
from service.core.kit import End, Kit, Rails
from service.core.layout import Glass, Pickets
from service.core.marks import NoMarks, Span, Work, divide_run
from service.core.measure import TOUCH, Length, Unit, ceil_count
from service.core.outline import EdgeSpec
from service.core.pickets import count_pickets, place_pickets
from service.core.problems import Problem, TooLarge, unbuildable
from service.core.stretches import Stretch
from service.core.underside import place_supports, place_weeps


@dataclass(frozen=True, slots=True)
class BayDraft:
    """A bay before it has a number. index: its place in its run; railed bays alone are drafted."""

    index: int
    centres: Length
    clear: Length
    ends: tuple[End, End]
    fill: Fill


@dataclass(frozen=True, slots=True)
class Fill:
    """What goes into a bay: rails, infill, supports and weep holes. It depends on sizes alone."""

    top_cut: Length
    bottom_cut: Length
    rail_supports: tuple[Length, ...]
    weep_holes: tuple[Length, ...]
    weep_complete: bool
    pickets: Pickets | None
    glass: Glass | None


@dataclass(frozen=True, slots=True, eq=False)
class RunDraft:
    """A run before it has a number. marks: the run's start, the inner posts, the run's end.

    small: clears of bays that are too small to rail, left open.
    """

    stretch: Stretch
    marks: tuple[Length, ...]
    bays: tuple[BayDraft, ...]
    small: tuple[Length, ...]


@dataclass(slots=True)
class BayMaker:
    """Makes the runs of one document. Equal bays are worked out once; work is counted."""

    kit: Kit
    unit: Unit
    step: Length
    work: Work = field(default_factory=Work)
    bays_left: int = limits.BAYS
    places_left: int = limits.PLACES
    fills: dict[tuple[object, ...], Fill] = field(default_factory=dict)

    def check_height(self, spec: EdgeSpec, pointer: str) -> None:
        """Refuse a guard too low for its rails to leave room for the infill."""
        if self._infill_height(spec) <= TOUCH:
            raise unbuildable(
                pointer,
                "height_too_low",
                f"A guard of {spec.height:.6g} leaves no room for {spec.infill} between the"
                f" rails and the {self.kit.bottom_gap:.6g} under them.",
            )

    def make_run(
        self, spec: EdgeSpec, stretch: Stretch, forbidden: Sequence[tuple[Length, Length]]
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
        least = self._least_clear(spec, stretch)
        if span.even_clear(1) < least:
            marks = (0.0, span.length)
            return RunDraft(stretch, marks, (), (max(0.0, span.even_clear(1)),))
        inner = self._divide(spec, span, stretch.pointer)
        return self._fill_run(spec, stretch, span, inner, least)

    def _divide(self, spec: EdgeSpec, span: Span, pointer: str) -> tuple[Length, ...]:
        most = self.kit.max_centres[spec.infill]
        try:
            fits = self._panel_test(spec)
            inner = divide_run(span, most, self.step, fits, self.work, self.bays_left)
        except NoMarks:
            raise unbuildable(
                pointer,
                "no_place_for_posts",
                f"No row of posts keeps spacings within {most:.6g} along this stretch of"
                f" {span.length:.6g}: the places where no post may stand, or the faces of posts"
                " at sharp corners, leave no room.",
            ) from None
        self.bays_left -= len(inner) + 1
        return inner

    def _panel_test(self, spec: EdgeSpec) -> Callable[[Length], bool]:
        glass = self.kit.glass
        if spec.infill == "picket" or glass is None:
            return lambda clear: True
        height = self._infill_height(spec)
        return lambda clear: panel_fits(clear, height, glass, self.step)

    def _fill_run(
        self,
        spec: EdgeSpec,
        stretch: Stretch,
        span: Span,
        inner: tuple[Length, ...],
        least: Length,
    ) -> RunDraft:
        marks = (0.0, *inner, span.length)
        clears = [round(clear, 9) for clear in span.clears(inner)]
        shared = share_clears(clears, self.step)
        last = len(clears) - 1
        bays, small = [], []
        outer = stretch.start.end(self.kit), stretch.end.end(self.kit)
        for i, clear in enumerate(clears):
            ends: tuple[End, End] = (
                outer[0] if i == 0 else "socket",
                outer[1] if i == last else "socket",
            )
            if shared[i] < least:
                small.append(clear)
                continue
            fill = self._fill(spec, clear, shared[i], ends)
            bays.append(BayDraft(i, marks[i + 1] - marks[i], clear, ends, fill))
        return RunDraft(stretch, marks, tuple(bays), tuple(small))

    def _rails(self, spec: EdgeSpec) -> Rails:
        return self.kit.rails[spec.infill]

    def _infill_height(self, spec: EdgeSpec) -> Length:
        kit = self.kit
        part = kit.picket if spec.infill == "picket" else kit.glass
        assert part is not None
        rails = self._rails(spec)
        return infill_height(spec.height, kit.bottom_gap, rails, part.engagement, self.step)

    def _least_clear(self, spec: EdgeSpec, stretch: Stretch) -> Length:
        """Below this a bay can't be railed: the kit's least, and room for rails and a panel."""
        kit = self.kit
        room = self.step
        ends = stretch.start.end(kit), stretch.end.end(kit)
        for rail in (self._rails(spec).top, self._rails(spec).bottom):
            room = max(room, sum(rail.end_allowance[end] for end in ends) + self.step)
        if spec.infill == "glass" and kit.glass is not None:
            room = max(room, 2 * kit.glass.side_gap + self.step)
        return max(kit.least_bay, room) - TOUCH

    def _fill(self, spec: EdgeSpec, clear: Length, shared: Length, ends: tuple[End, End]) -> Fill:
        key = (spec.infill, spec.pane, spec.height, clear, shared, ends)
        fill = self.fills.get(key)
        if fill is None:
            fill = self.fills[key] = self._new_fill(spec, clear, shared, ends)
        pickets = fill.pickets.count if fill.pickets else 0
        self._spend_places(pickets + len(fill.rail_supports) + len(fill.weep_holes))
        return fill

    def _spend_places(self, count: int) -> None:
        self.places_left -= count
        if self.places_left < 0:
            raise TooLarge(
                [
                    Problem(
                        self.kit.pointer,
                        "too_many_places",
                        f"The deck needs over {limits.PLACES} pickets, supports and weep holes;"
                        " check the kit's gap and intervals, or send the deck in parts.",
                    )
                ]
            )

    def _new_fill(
        self, spec: EdgeSpec, clear: Length, shared: Length, ends: tuple[End, End]
    ) -> Fill:
        rails = self._rails(spec)
        self._check_places(spec, shared, clear)
        top = cut_rail(shared, rails.top, ends, self.step)
        bottom = cut_rail(shared, rails.bottom, ends, self.step)
        pickets, glass = self._infill(spec, clear, shared, ends)
        supports: tuple[Length, ...] = ()
        if self.kit.rail_support is not None:
            supports = place_supports(clear, self.kit.rail_support, self.step)
        start = rails.bottom.end_allowance[ends[0]]
        holes, complete = self._weeps(clear, start, bottom, supports, pickets, glass)
        return Fill(top, bottom, supports, holes, complete, pickets, glass)

    def _check_places(self, spec: EdgeSpec, shared: Length, clear: Length) -> None:
        """Count before placing, so that a kit of a hair's gap costs nothing."""
        count = 0
        if spec.infill == "picket" and self.kit.picket is not None:
            count = count_pickets(shared, self.kit.picket)
        for interval in (self.kit.rail_support, self.kit.weep):
            if interval is not None:
                count += ceil_count(clear / interval.max_interval)
        if count > self.places_left:
            self._spend_places(count)

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
            return place_pickets(clear, shared, height, kit.picket, allowances, self.step), None
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
        obstacles: list[tuple[Length, Length]] = []
        if kit.rail_support is not None:
            obstacles += [(at, kit.rail_support.width / 2) for at in supports]
        if pickets is not None and kit.picket is not None:
            obstacles += [(at, kit.picket.width / 2) for at in pickets.centres]
        if glass is not None and kit.glass is not None:
            half = kit.glass.block.length / 2
            obstacles += [(glass.side_gap + at, half) for at in glass.blocks]
        at_least = 2 if glass is not None else 1
        return place_weeps(start, rail, kit.weep, at_least, obstacles, clear / 2, self.step)
