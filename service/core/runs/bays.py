"""Core: a stretch of line, divided and filled: its run, with every bay (methods 4 to 8).

`BayMaker` holds what all runs of a document share: the kit, the grid, what is left of the budget,
and what was measured on site.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from service.core.line.posts import post_on_side
from service.core.line.sides import EdgeSpec
from service.core.line.stretches import Stretch
from service.core.measure import FromTo, Length, area_text, plain_length
from service.core.problems import unbuildable
from service.core.records.deck import Infill, SiteMeasure
from service.core.records.kit import End, Kit
from service.core.runs.budget import Budget
from service.core.runs.cuts import Clears, share_clears
from service.core.runs.drafts import BayDraft, BayKey, Measured, RunDraft, RunKey, SmallBay
from service.core.runs.filling import Filler
from service.core.runs.marks import NoMarks, divide_run
from service.core.runs.measures import Measures
from service.core.runs.spans import Bounds, Span
from service.core.timber.framing import Framed


def limits_text(kit: Kit, infill: Infill, along: str = "") -> str:
    """The kit's limits on bays of an infill, in the words of a refusal.

    along: what spacings are measured along, where that is not plain.
    """
    told = f"spacings within {plain_length(kit.max_centres[infill], kit.unit)}{along}"
    glass = kit.glass_in(infill)
    if glass is None:
        return told
    widest = plain_length(glass.max_width, kit.unit)
    return f"{told} and panels within {widest} of width and {area_text(glass.max_area, kit.unit)}"


def _in_the_way(span: Span) -> str:
    """What leaves no room for a row of posts, in the words of a refusal."""
    if span.is_forced():
        return "the places where no post may stand leave"
    return "the posts at its ends, turned as they are, leave"


@dataclass(slots=True)
class BayMaker:
    """Makes the runs of one document.

    placed: where posts have been placed, by run: the inner marks of a run on a level, every post of
    a flight's side. None of this depends on site measures, so it is kept when bays are cut again.
    framed: the framing of posts that is already worked out (`frame_once`).
    """

    kit: Kit
    step: Length
    budget: Budget
    measures: Measures
    framed: Framed = field(default_factory=dict)
    placed: dict[RunKey, tuple[Length, ...]] = field(default_factory=dict)
    filler: Filler = field(init=False)

    def __post_init__(self) -> None:
        self.filler = Filler(self.kit, self.step, self.budget)

    def measured(self, given: Mapping[BayKey, SiteMeasure]) -> BayMaker:
        """A maker of the same runs with bays cut to site measures.

        It has a budget of its own, except for the work on marks, and places no post again.
        """
        budget = Budget(self.kit.pointer, self.budget.work)
        measures = Measures(self.kit.unit, self.kit.post.width, given)
        return BayMaker(self.kit, self.step, budget, measures, self.framed, self.placed)

    def place_once(
        self, key: RunKey, place: Callable[[], tuple[Length, ...]]
    ) -> tuple[Length, ...]:
        """Where the posts of a run stand; `place` is called only if they have not been placed
        yet."""
        if key not in self.placed:
            self.placed[key] = place()
        return self.placed[key]

    def make_run(self, key: RunKey, stretch: Stretch, forbidden: Sequence[FromTo]) -> RunDraft:
        """The run of a stretch, with its marks and bays.

        forbidden: from where to where along the side no post's centre may lie.
        """
        kit, start = self.kit, stretch.start.t
        span = Span(
            length=stretch.length,
            halves=stretch.halves(kit),
            width=kit.post.width,
            base=kit.post.base.width,
            forbidden=tuple([(low - start, high - start) for low, high in forbidden]),
            rooms=(stretch.start.room, stretch.end.room),
        )
        least = self.filler.least_clear(stretch.side.spec, stretch.rail_ends(kit))
        inner: tuple[Length, ...] = ()
        if span.even_clear(1) >= least:
            inner = self.place_once(key, lambda: self._divide(span, stretch))
        return self.fill_run(key, stretch, span, inner)

    def _divide(self, span: Span, stretch: Stretch) -> tuple[Length, ...]:
        spec = stretch.side.spec
        most = self.kit.max_centres[spec.infill]
        try:
            bounds = Bounds(most, self.step, self.filler.panel_test(spec))
            return divide_run(span, bounds, self.budget.work, self.budget.bays)
        except NoMarks:
            raise unbuildable(
                stretch.pointer,
                "no_place_for_posts",
                f"No row of posts {stretch.extent_text(self.kit)} keeps"
                f" {limits_text(self.kit, spec.infill)}: {_in_the_way(span)} no room.",
            ) from None

    def fill_run(
        self, key: RunKey, stretch: Stretch, span: Span, inner: tuple[Length, ...] = ()
    ) -> RunDraft:
        """The run with these inner marks; without any it is of one bay.

        Each bay is cut to the clear that it shares (method 5), or to what was measured in it. A bay
        that is too small to rail is left open.
        """
        self.budget.spend_bays(len(inner) + 1)
        kit, filler, side, spec = self.kit, self.filler, stretch.side, stretch.side.spec
        marks = (0.0, *inner, span.length)
        spacings = [b - a for a, b in pairwise(marks)]
        clears = [round(clear, 9) for clear in span.clears(inner)]
        first, last = stretch.rail_ends(kit)
        between: list[End] = ["socket"] * len(inner)
        ends = list(pairwise([first, *between, last]))
        measures = self._measured(key, spec, ends, spacings, clears)
        kinds = span.kinds(len(clears), kit.max_centres[spec.infill], self.step)
        shared = share_clears(clears, kinds, measures, self.step, forced=span.is_forced())
        bays, small = [], []
        for i, (clear, measured) in enumerate(zip(clears, measures, strict=True)):
            if measured is not None:
                fill = filler.fill_measured(spec, measured, ends[i])
                wider = max(measured.top, measured.bottom) - clear
                centres = spacings[i] + wider
                bays.append(BayDraft(i, centres, measured.least, ends[i], fill, measured))
            elif shared[i] < filler.least_clear(spec, ends[i]):
                small.append(SmallBay(i, max(0.0, clear)))
            else:
                fill = filler.fill(spec, Clears(clear, shared[i]), ends[i])
                bays.append(BayDraft(i, spacings[i], clear, ends[i], fill))
        start = stretch.start.t
        posts = [post_on_side(kit, side, start + mark, "line") for mark in inner]
        return RunDraft(key, stretch, marks, tuple(posts), tuple(bays), tuple(small))

    def _measured(
        self,
        key: RunKey,
        spec: EdgeSpec,
        ends: Sequence[tuple[End, End]],
        spacings: Sequence[Length],
        clears: Sequence[Length],
    ) -> list[Measured | None]:
        """What was measured in each bay of a run, as `Measures.of` has it."""
        if not self.measures.given:
            return [None] * len(clears)
        return [
            self.measures.of((key, i), self.filler.room(spec, ends[i]), spacings[i], clear)
            for i, clear in enumerate(clears)
        ]
