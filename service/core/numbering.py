"""Core: drafts to records: posts, runs and bays get their numbers (method 3).

Level by level, edge by edge in the caller's numbers, counter-clockwise along each edge.
"""

from __future__ import annotations

from collections.abc import Sequence

from service.core.built import (
    built_flight,
    level_bay,
    raked_bay,
)
from service.core.flights.drafts import FlightDraft, SideDraft
from service.core.level import LevelDraft, LineDraft
from service.core.line.corners import Terminal
from service.core.line.openings import OpeningDraft
from service.core.line.posts import PostDraft
from service.core.measure import TOUCH, Length, Point
from service.core.observing import (
    see_arcs,
    see_bases,
    see_gaps,
    see_treads,
)
from service.core.records.layout import (
    Bay,
    FlightBuilt,
    OpeningBuilt,
    Post,
    PostFraming,
    Run,
)
from service.core.records.seen import (
    ArcSeen,
    BaseSeen,
    GapSeen,
    HeadSeen,
    MeasureSeen,
    SmallStretchSeen,
)
from service.core.runs.bays import BayMaker
from service.core.runs.drafts import BayKey, Measured, RunDraft, RunKey
from service.core.timber.framing import frame_posts


class Numbering:
    """Gives posts, runs and bays their numbers: level by level, edge by edge, along each edge."""

    def __init__(
        self, maker: BayMaker, drafts: Sequence[LevelDraft], flights: Sequence[FlightDraft]
    ) -> None:
        self.kit, self.maker = maker.kit, maker
        self.drafts, self.flight_drafts = drafts, flights
        self.bay_names = name_bays(drafts, flights)
        self.ids: dict[PostDraft, str] = {}
        self.on: dict[PostDraft, LevelDraft] = {}
        self.posts: list[Post] = []
        self.runs: list[Run] = []
        self.bays: list[Bay] = []
        self.openings: list[OpeningBuilt] = []
        self.bases: list[BaseSeen] = []
        self.gaps: list[GapSeen] = []
        self.small: list[SmallStretchSeen] = []
        self.flights: list[FlightBuilt] = []
        self.heads: list[HeadSeen] = []
        self.measured: list[MeasureSeen] = []
        self.arcs: list[ArcSeen] = []
        self.run_ids: dict[RunKey, str] = {}

    def number(self) -> Numbering:
        """All levels, then all flights."""
        for draft in self.drafts:
            self._number_level(draft)
            for line in draft.lines:
                self.arcs += see_arcs(self.kit, line, self.run_ids)
        for flight in self.flight_drafts:
            self._number_flight(flight)
        return self

    def _number_level(self, draft: LevelDraft) -> None:
        members = [_posts_along(line) for line in draft.lines]
        new = list(dict.fromkeys(post for along in members for post in along))
        self._number_posts(draft, new)
        for line in draft.lines:
            for run in line.runs:
                self._number_run(draft, line, run)
        self._settle_openings(draft)
        self.gaps += see_gaps(self.kit, draft, self.ids)

    def _number_posts(self, draft: LevelDraft, new: list[PostDraft]) -> None:
        self.on.update(dict.fromkeys(new, draft))
        for post, framing in zip(new, self._framings(draft, new), strict=True):
            self.posts.append(self._post(draft.level.id, post, framing=framing))
        self.bases += see_bases(self.kit, draft, new, self.ids)

    def _framings(
        self, draft: LevelDraft, posts: Sequence[PostDraft]
    ) -> Sequence[PostFraming | None]:
        """Where each of a level's posts lands in its timber; None where it gives none."""
        if draft.frame is None:
            return [None] * len(posts)
        return frame_posts(draft.frame, self.kit, posts, self.maker.step)

    def _post(
        self,
        level: str,
        draft: PostDraft,
        flight: str | None = None,
        framing: PostFraming | None = None,
    ) -> Post:
        """The post, with the next number."""
        self.ids[draft] = name = f"P{len(self.ids) + 1}"
        height = draft.height
        reaching = [h for h in self.kit.post.heights if h >= height - TOUCH]
        return Post(
            id=name,
            role=draft.role,
            level=level,
            at=draft.at,
            turned=draft.turned,
            height=height,
            stock_height=min(reaching, default=None),
            base=draft.base,
            parts=("corner_bracket",) if draft.bracketed else (),
            flight=flight,
            framing=framing,
        )

    def _number_run(self, draft: LevelDraft, line: LineDraft, run: RunDraft) -> None:
        row = [
            self._id(run.stretch.start),
            *(self.ids[post] for post in run.inner),
            self._id(run.stretch.end),
        ]
        name = self.run_ids[run.key] = f"R{len(self.runs) + 1}"
        spec, level = line.side.spec, draft.level.id
        ends = self._at(line, run.stretch.start), self._at(line, run.stretch.end)
        self.runs.append(
            Run(
                id=name,
                level=level,
                edge=spec.number,
                start=row[0],
                end=row[-1],
                length=run.marks[-1],
                marks=run.marks,
                ends=ends,
                bow=run.bow,
            )
        )
        skews = run.stretch.start.skew, run.stretch.end.skew
        start, marks = run.stretch.start.t, run.marks
        for bay in run.bays:
            i = bay.index
            outer = skews[0] if i == 0 else 0.0, skews[1] if i == len(run.inner) else 0.0
            bay_id = self._name_bay((run.key, i), name, bay.measured)
            # A chord's marks run along the chord, its terminals along the bow.
            end = run.stretch.end.t if i == len(run.inner) else start + marks[i + 1]
            drops = draft.drops_between(line.side, start + marks[i], end)
            between = row[i], row[i + 1]
            built = level_bay(bay_id, name, draft.level.id, spec, bay, between, outer, drops)
            self.bays.append(built)
        if run.small:
            drops = draft.drops_between(line.side, start, run.stretch.end.t)
            self.small += [SmallStretchSeen(name, clear, drops) for clear in run.small]

    def _name_bay(self, key: BayKey, run: str, measured: Measured | None) -> str:
        name = self.bay_names[key]
        if measured is not None:
            seen = MeasureSeen(name, run, measured.top, measured.bottom, measured.drawn)
            self.measured.append(seen)
        return name

    def _number_flight(self, flight: FlightDraft) -> None:
        level = flight.level_id
        stair = flight.stair
        first_bay = len(self.bays)
        posts: list[str] = []
        for side in flight.sides:
            new = list(side.posts[1:])
            self.posts += [self._post(level, post, flight=stair.id) for post in new]
            row = [self.ids[post] for post in side.posts]
            posts += row
            self.bases += see_treads(self.kit, flight, new, self.ids)
            self._number_side(flight, side, row)
            if side.meets_head:
                self.heads += [
                    HeadSeen(stair.id, row[0], level_head, side.raked_head)
                    for level_head in side.level_heads
                ]
        bays = tuple(bay.id for bay in self.bays[first_bay:])
        self.flights.append(built_flight(self.kit, flight, tuple(posts), bays))

    def _number_side(self, flight: FlightDraft, side: SideDraft, row: list[str]) -> None:
        name = f"R{len(self.runs) + 1}"
        level, stair = flight.level_id, flight.stair
        marks = tuple(u - side.places[0] for u in side.places)
        edge = flight.edge
        ends = side.posts[0].at, side.posts[-1].at
        self.runs.append(Run(name, level, edge, row[0], row[-1], marks[-1], marks, ends, stair.id))
        for bay in side.bays:
            bay_id = self._name_bay((side.key, bay.index), name, bay.measured)
            between = row[bay.index], row[bay.index + 1]
            self.bays.append(raked_bay(bay_id, name, flight, bay, between))
        self.small += [SmallStretchSeen(name, clear, flight.drops) for clear in side.small]

    def _at(self, line: LineDraft, terminal: Terminal) -> Point:
        """Where a terminal is in plan."""
        if terminal.post is not None:
            return terminal.post.at
        return line.side.place(terminal.t, self.kit.post.setback)

    def _id(self, terminal: Terminal | None) -> str | None:
        if terminal is None or terminal.post is None:
            return None
        return self.ids[terminal.post]

    def _settle_openings(self, draft: LevelDraft) -> None:
        built = {
            drawn.opening.id: (line, drawn) for line in draft.lines for drawn in line.line.openings
        }
        for opening in draft.level.openings:
            self.openings.append(self._opening(draft, *built[opening.id]))

    def _opening(self, draft: LevelDraft, line: LineDraft, drawn: OpeningDraft) -> OpeningBuilt:
        opening = drawn.opening
        start, end = (self._id(terminal) for terminal in drawn.sides)
        near, far = (end, start) if draft.plan.turned_round else (start, end)
        gate = opening.use == "gate"
        hinge, latch = (near, far) if opening.hinge == "near" else (far, near)
        return OpeningBuilt(
            place=f"{draft.level.id}/{opening.id}",
            level=draft.level.id,
            edge=opening.edge,
            use=opening.use,
            asked=opening.width,
            clear_width=drawn.clear_width(self.kit, line.side),
            start=start,
            end=end,
            ends=drawn.ends(self.kit, line.side),
            drops=draft.drops_between(line.side, *drawn.faces),
            hinge_post=hinge if gate else None,
            latch_post=latch if gate else None,
            opens=opening.opens if gate else None,
        )


def name_bays(drafts: Sequence[LevelDraft], flights: Sequence[FlightDraft]) -> dict[BayKey, str]:
    """The number of each bay: level by level, edge by edge, along each edge; then flight by
    flight, side by side, from head to foot."""
    runs = (run for draft in drafts for line in draft.lines for run in line.runs)
    keys: list[BayKey] = [(run.key, bay.index) for run in runs for bay in run.bays]
    for flight in flights:
        for side in flight.sides:
            keys += [(side.key, bay.index) for bay in side.bays]
    return {key: f"B{number}" for number, key in enumerate(keys, 1)}


def _posts_along(line: LineDraft) -> list[PostDraft]:
    """Every post on a line, in order along it."""
    places: list[tuple[Length, PostDraft]] = [
        (terminal.t, terminal.post) for terminal in line.terminals() if terminal.post is not None
    ]
    for run in line.runs:
        start = run.stretch.start.t
        places += [(start + m, p) for m, p in zip(run.marks[1:-1], run.inner, strict=True)]
    return [post for _, post in sorted(places, key=lambda place: place[0])]
